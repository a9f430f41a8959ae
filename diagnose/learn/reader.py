"""Learning to read: one linear classifier a meaning, over words and parts of words."""

from __future__ import annotations

import math
import sys
import zlib
from array import array
from collections import Counter, defaultdict
from collections.abc import Sequence
from typing import Any

import msgspec
import numpy as np
from joblib import Parallel, delayed
from scipy import sparse
from sklearn.linear_model import LogisticRegression
from sklearn.svm import LinearSVC

from diagnose.learn import corpus
from diagnose.learn.corpus import Example
from diagnose.reading import features
from diagnose.reading.classifier import ANSWER, HAZARD, PARTS, PRACTICE, STEP, SYMPTOM, Header

KINDS = (SYMPTOM, ANSWER, HAZARD, PRACTICE)
LEAST_EXAMPLES = 5
"""Examples from which a meaning is learnt; fewer teach habits of a writer."""
LEAST_TEXTS = 2
"""Texts that a feature must stand in."""
MOST_WEIGHTS = 1_800_000
"""Weights kept, the heaviest: with 1.2 million a right symptom is among the first six in 79 % of the
development reports, with 2 million in 85 %; the file stays under 8 MB, packed under 5."""
ASIDE = 10
"""One text in so many is set aside: the curves from margin to probability are fitted to these."""
PENALTY, PENALTY_ANY = 1.0, 0.3
"""What a text on the wrong side costs, and what it costs for "some danger", which thousands of texts
tell: of 160 harmless complaints 9 ring a danger where 152 of 160 dangers are heard, and 15 with 1.0."""
MOST_OTHERS = 8_000
"""Texts of other meaning that a question of practice is told from, beside all other questions: a part of
them, drawn by lot, is learnt from in a part of the time."""


class LearntWeights(msgspec.Struct):
    """Weights of all classes over the features of a vocabulary."""

    labels: list[str]
    keys: Any
    rarity: Any
    weights: Any
    base: Any


def learn(given: Sequence[Example]) -> LearntWeights:
    """Fit one classifier for each meaning with enough examples."""
    often = Counter(m for one in given for m in one.means)
    labels = sorted(m for m, count in often.items() if count >= LEAST_EXAMPLES)
    rows = [features.counts(one.text) for one in given]
    texts = Counter(key for row in rows for key in row)
    keys = np.array(sorted(k for k, n in texts.items() if n >= LEAST_TEXTS), dtype=np.uint32)
    rarity = np.array([round(STEP * (math.log((1 + len(rows)) / (1 + texts[int(k)])) + 1))
                       for k in keys]).clip(0, 255)
    x = matrix(rows, keys, rarity)
    noted = {kind: np.array([kind not in one.unnoted for one in given]) for kind in KINDS}
    asked = {name: np.array([any(m.startswith(f"{name}=") for m in one.means) for one in given])
             for name in {label.partition("=")[0] for label in labels if label.startswith(ANSWER)}}
    meant = {label: np.array([label in one.means for one in given]) for label in labels}
    judged = {label: noted[label.partition(":")[0]] | asked.get(label.partition("=")[0], False)
              for label in labels}
    asking = np.array([any(m.startswith(PRACTICE) for m in one.means) for one in given])
    fitted = Parallel(n_jobs=-1)(delayed(_class)(x, meant[label], judged[label], asking, label)
                                 for label in labels)
    weights = np.array([row for row, _ in fitted], dtype=np.float32)
    return LearntWeights(labels, keys, rarity, _heaviest(weights), np.array([base for _, base in fitted]))


def _class(x: sparse.csr_matrix, y: Any, noted: Any, asking: Any, label: str) -> tuple[Any, float]:
    """The weights of one class and its base; the lot is drawn from the label, so runs come out alike."""
    kind = label.partition(":")[0]
    lot = np.random.default_rng(zlib.crc32(label.encode())).random(len(y))
    others = (lot < _others(label, len(y))) | (asking if kind == PRACTICE else False)
    kept = np.flatnonzero(y | (others & noted))
    penalty = PENALTY_ANY if label == corpus.ANY_HAZARD else PENALTY
    fitted = LinearSVC(C=penalty, tol=0.05, max_iter=100, random_state=0).fit(x[kept], y[kept])
    return fitted.coef_[0].astype(np.float32), float(fitted.intercept_[0])


def _others(label: str, texts: int) -> float:
    """Share of the texts that mean something else which a class is told from."""
    return MOST_OTHERS / texts if label.startswith(PRACTICE) else 1.0


def matrix(rows: Sequence[dict[int, float]], keys: Any, rarity: Any) -> sparse.csr_matrix:
    """Texts as rows of unit length."""
    place = {int(k): i for i, k in enumerate(keys)}
    data, columns, ends = [], [], [0]
    for row in rows:
        known = [(place[k], v * rarity[place[k]] / STEP) for k, v in row.items() if k in place]
        norm = math.sqrt(sum(v * v for _, v in known)) or 1.0
        columns += [c for c, _ in known]
        data += [v / norm for _, v in known]
        ends.append(len(columns))
    return sparse.csr_matrix((data, columns, ends), shape=(len(rows), len(keys)))


def _heaviest(weights: Any) -> Any:
    """The weights that are kept, each rounded to one of 255 steps."""
    sizes = np.abs(weights).ravel()
    if sizes.size > MOST_WEIGHTS:
        least = np.partition(sizes, sizes.size - MOST_WEIGHTS)[sizes.size - MOST_WEIGHTS]
        weights = np.where(np.abs(weights) >= least, weights, 0)
    return weights


def set_aside(given: Sequence[Example]) -> tuple[list[Example], list[Example]]:
    """The examples to learn from, and those kept apart: the same ones whenever a text is there."""
    learnt: list[Example] = []
    aside: list[Example] = []
    for one in given:
        (aside if zlib.crc32(one.text.encode()) % ASIDE == 0 else learnt).append(one)
    return learnt, aside


def curves(learnt: LearntWeights, aside: Sequence[Example]) -> dict[str, tuple[float, float]]:
    """Kind to slope and offset from margin to probability, on examples kept from the learning."""
    margins = (matrix([features.counts(one.text) for one in aside], learnt.keys, learnt.rarity)
               @ learnt.weights.T + learnt.base)
    points: dict[str, list[tuple[float, bool]]] = defaultdict(list)
    for at, label in enumerate(learnt.labels):
        points[label.partition(":")[0]] += [
            (float(margins[row, at]), label in one.means) for row, one in enumerate(aside)
            if label.partition(":")[0] not in one.unnoted]
    return {kind: _curve(rows) for kind, rows in points.items()}


def _curve(points: list[tuple[float, bool]]) -> tuple[float, float]:
    x = np.array([[m] for m, _ in points])
    fitted = LogisticRegression(C=1e4).fit(x, [truth for _, truth in points])
    return float(fitted.coef_[0][0]), float(fitted.intercept_[0])


def encoded(learnt: LearntWeights, fitted: dict[str, tuple[float, float]], digest: str) -> bytes:
    """The file that `reading.classifier` loads."""
    scale = float(np.abs(learnt.weights).max()) / 127
    steps = np.round(learnt.weights / scale).astype(np.int8)
    starts, classes, weights = [0], array("H"), array("b")
    for column in steps.T:
        told = np.flatnonzero(column)
        classes.extend(told.tolist())
        weights.extend(column[told].tolist())
        starts.append(len(classes))
    header = Header(digest, tuple(learnt.labels), tuple(round(float(b), 5) for b in learnt.base), scale,
                    fitted, (len(learnt.keys), len(classes)))
    columns = (learnt.keys.tolist(), learnt.rarity.tolist(), starts, classes, weights)
    parts = [array(code, column) for code, column in zip(PARTS, columns, strict=True)]
    if sys.byteorder == "big":
        for part in parts:
            part.byteswap()
    return msgspec.json.encode(header) + b"\n" + b"".join(p.tobytes() for p in parts)


def main() -> bytes:
    """Learn from the corpus; the bytes of the file."""
    given, aside = set_aside(list(corpus.examples()))
    learnt = learn(given)
    return encoded(learnt, curves(learnt, aside), corpus.digest())
