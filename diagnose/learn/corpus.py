"""The corpus: phrases with what they mean, and situations as people told them.

`knowledge/phrases/*.yaml` map what is meant (ids with a blank between them, `nothing` for none of
them) to ways of saying it; ids are `symptom:ID`, `answer:QUESTION=ANSWER`, `hazard:ID` or
`practice:ID`. The ways to ask that stand beside the answers in `knowledge/practice/*.yaml` count too.
`knowledge/situations/*.yaml` map causes to situations: what was said, the symptoms
and answers in it, and further facts, each with the answers it gives.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

import msgspec
import yaml

from diagnose.reading import features
from diagnose.reading.classifier import HAZARD
from diagnose.reading.danger import ANY
from diagnose.storage import paths

PHRASES, SITUATIONS, NOTHING = "phrases", "situations", "nothing"
UNNOTED = {"symptoms": ("answer",), "answers": ("symptom", "answer", "hazard"), "hazards": ("answer",),
           "harmless": ("symptom", "answer"), "questions": ("symptom", "answer"), "complaints": ("hazard",)}
"""File of phrases to the kinds of meaning that its writers left unnoted."""
LETTERS = "letters"
"""The file of whole letters: a sentence of one that tells of no danger tells of none."""
UNNOTED_IN_SENTENCES = ("symptom", "answer", "practice")
ANY_HAZARD = f"{HAZARD}:{ANY}"
"""What every phrase of a danger means beside its own hazard."""


class FurtherFact(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One thing more that the person could tell, and the answers it gives."""

    said: str
    answers: dict[str, str] = {}
    symptoms: tuple[str, ...] = ()


class Situation(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A person's trouble as told, by somebody who knew the cause's name and nothing else of the book."""

    say: str
    hand: int
    """Which writer."""
    symptoms: tuple[str, ...] = ()
    answers: dict[str, str] = {}
    heard: dict[str, str] = {}
    also: tuple[str, ...] = ()
    """Answers and symptoms that a second listener took from the words. Reading is learnt from them; they are
    not counted, as the further facts were not gone through for them."""
    facts: tuple[FurtherFact, ...] = ()

    def all_answers(self) -> dict[str, str]:
        """The answers of words and facts, the words' first."""
        found = dict(self.answers)
        for fact in self.facts:
            found = {**fact.answers, **found}
        return found


class Example(msgspec.Struct, frozen=True):
    """A text and all that it is known to mean."""

    text: str
    means: frozenset[str]
    unnoted: tuple[str, ...] = ()
    """Kinds of meaning that may stand in it and that nobody noted: who wrote ways to say an answer put
    troubles and other answers beside it."""


class _Text(yaml.CSafeLoader):
    """Every scalar is text, as everywhere in the knowledge."""


_Text.yaml_implicit_resolvers = {}


def digest(root: Path | None = None) -> str:
    """A digest of all phrases and situations, and of the ways to ask that the book states."""
    found = hashlib.sha256()
    for file in files(root):
        found.update(f"\0{file.name}\0".encode() + file.read_bytes())
    for name, ways in asked(root).items():
        found.update("\0".join((f"\0{name}", *ways)).encode())
    return found.hexdigest()[:32]


def files(root: Path | None = None) -> list[Path]:
    """The files of the corpus, by name."""
    here = root or paths.shipped()
    return [*paths.chapters(here / PHRASES), *paths.chapters(here / SITUATIONS)]


def asked(root: Path | None = None) -> dict[str, list[str]]:
    """Questions of practice to the ways to ask them that stand beside their answers."""
    found = {}
    for file in paths.chapters((root or paths.shipped()) / paths.PRACTICE):
        for name, entry in yaml.load(file.read_text("utf-8"), _Text)["practice"].items():
            found[name] = [entry["asks"], *entry.get("lay", ())]
    return found


def situations(root: Path | None = None) -> dict[str, list[Situation]]:
    """Cause to its situations; msgspec.ValidationError where a file is not of the form."""
    found: dict[str, list[Situation]] = {}
    for file in paths.chapters((root or paths.shipped()) / SITUATIONS):
        rows = msgspec.convert(yaml.load(file.read_text("utf-8"), _Text),
                               dict[str, list[Situation]], strict=False)
        for cause, told in rows.items():
            found.setdefault(cause, []).extend(told)
    return found


def phrases(root: Path | None = None) -> Iterator[Example]:
    """The ways of saying what is meant, file by file."""
    for file in paths.chapters((root or paths.shipped()) / PHRASES):
        for meant, texts in yaml.load(file.read_text("utf-8"), _Text).items():
            means = frozenset() if meant == NOTHING else frozenset(meant.split())
            if any(m.startswith(f"{HAZARD}:") for m in means):
                means |= {ANY_HAZARD}
            for text in texts:
                yield Example(text, means, UNNOTED.get(file.stem, ()))
                if file.stem == LETTERS and ANY_HAZARD not in means:
                    yield from (Example(said, frozenset(), UNNOTED_IN_SENTENCES)
                                for said in features.sentences(text))


def examples(root: Path | None = None) -> Iterator[Example]:
    """Everything there is to learn reading from.

    The further facts of situations are not: they are told to a question, and what they leave out nobody
    noted. With them the mean precision of answers on the development reports is 0.28 instead of 0.37, of
    symptoms 0.41 instead of 0.44.
    """
    yield from phrases(root)
    for name, ways in asked(root).items():
        for text in ways:
            yield Example(text, frozenset([f"practice:{name}"]), UNNOTED["questions"])
    for told in situations(root).values():
        for one in told:
            yield Example(one.say, _means((*one.symptoms, *one.also), {**one.heard, **one.answers}))


def _means(symptoms: tuple[str, ...], answers: dict[str, str]) -> frozenset[str]:
    return frozenset([*(f"symptom:{s}" for s in symptoms),
                      *(f"answer:{name}={value}" for name, value in answers.items()
                        if not any(c.isdigit() for c in value[:1]))])  # figures are read exactly
