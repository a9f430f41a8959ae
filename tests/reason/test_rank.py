"""Posteriors against a Bayesian network library, and the fast scores against the reasoned ones."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from diagnose.reason import weights
from diagnose.reason.infer.prior import OTHER
from diagnose.reason.rank import believed, posterior, rank
from diagnose.reason.weights import COMMON, GRADES, LEAK, OTHER_SHARE, TYPICAL
from tests.reason.books import Drawn, cause, caution, choice, finding, symptom, system

pytestmark = pytest.mark.filterwarnings("ignore::FutureWarning")      # of pgmpy about itself


def ratio(grade: str) -> float:
    """A grade as likelihood ratio, from the tables alone."""
    word, side = grade.rsplit(" ", 1)
    return 10 ** (GRADES[word] * (1 if side == "for" else -1) / 10)


@pytest.fixture
def independent(monkeypatch: pytest.MonkeyPatch) -> None:
    """Facts that say nothing twice, as those drawn for a network: their weights count in full."""
    monkeypatch.setattr(weights, "OVERLAP", 1.0)


class Network:
    """The same book as a network of pgmpy: a cause, and a node for each thing observed."""

    def __init__(self, drawn: Drawn) -> None:
        from pgmpy.factors.discrete import TabularCPD
        from pgmpy.models import DiscreteBayesianNetwork

        self.drawn, self.names = drawn, [*drawn.causes, OTHER]
        prior = [10 ** (COMMON[c["common"]] / 10) for c in drawn.causes.values()]
        prior.append(OTHER_SHARE / (1 - OTHER_SHARE) * sum(prior))
        self.prior = [p / sum(prior) for p in prior]
        leaves = [*drawn.observations, *drawn.symptoms]
        self.model = DiscreteBayesianNetwork([("cause", leaf) for leaf in leaves])
        self.model.add_cpds(TabularCPD("cause", len(prior), [[p] for p in self.prior]))
        for leaf in leaves:
            rows = [[self.likelihood(leaf, state, c) for c in self.names] for state in self.states(leaf)]
            top = max(sum(column) for column in zip(*rows, strict=True))
            rows = [[p / top for p in r] for r in rows]          # what is left: not looked at
            rows.append([max(0.0, 1 - sum(column)) for column in zip(*rows, strict=True)])
            self.model.add_cpds(TabularCPD(leaf, len(rows), rows, ["cause"], [len(prior)]))

    def states(self, leaf: str) -> list[str]:
        return list(self.drawn.observations[leaf]["answers"]) if leaf in self.drawn.observations else ["said"]

    def likelihood(self, leaf: str, state: str, name: str) -> float:
        """How likely an observation is under a cause, up to a factor that all causes share."""
        if leaf in self.drawn.symptoms:
            return self.complaint(leaf, name)
        likely = 1.0
        for one in self.drawn.causes.get(name, {}).get("evidence", []):
            if leaf in one["when"]:
                if one["when"][leaf] == state:
                    likely *= ratio(one["weight"])
                elif "otherwise" in one:
                    likely *= ratio(one["otherwise"])
        return likely

    def complaint(self, said: str, name: str) -> float:
        """As often as the cause shows it; else a fixed part of how often anyone says so."""
        known = [10 ** (COMMON[c["common"]] / 10) for c in self.drawn.causes.values()]
        often = [10 ** (TYPICAL[c["shows"][said]] / 10) if said in c["shows"] else 0.0
                 for c in self.drawn.causes.values()]
        general = max(sum(p * q for p, q in zip(known, often, strict=True)), 1e-6) / sum(known)
        if name == OTHER:
            return general
        shows = self.drawn.causes[name]["shows"]
        return 10 ** (TYPICAL[shows[said]] / 10) if said in shows else LEAK * general

    def posterior(self, answers: dict[str, str], complaints: tuple[str, ...]) -> dict[str, float]:
        from pgmpy.inference import VariableElimination

        evidence: dict[str, Any] = {n: self.states(n).index(v) for n, v in answers.items()}
        evidence |= {s: 0 for s in complaints}
        found = VariableElimination(self.model).query(["cause"], evidence, show_progress=False)
        return dict(zip(self.names, found.values, strict=True))


@pytest.mark.usefixtures("independent")
def test_posteriors_are_those_of_a_bayesian_network(tmp_path: Path) -> None:
    for seed in range(10):
        drawn = Drawn(seed)
        reasoner, network = drawn.system(tmp_path / str(seed)).reasoner, Network(drawn)
        for _ in range(4):
            answers, complaints = drawn.case()
            ours = {r.cause: r.probability for r in rank(reasoner.infer(answers, complaints))}
            assert ours == pytest.approx(network.posterior(answers, complaints), abs=1e-9)


@pytest.mark.usefixtures("independent")
def test_the_worked_example_of_naive_bayes(tmp_path: Path) -> None:
    """Priors 5:3:2 and three observations; exact fractions 405, 1512 and 16 of 1933.

    Bayes' rule with conditional independence, worked out by hand; numbers made for the check.
    """
    likely = {"coarse": (0.9, 0.1, 0.9), "channels": (0.7, 0.8, 0.9), "light": (0.8, 0.2, 0.05)}
    prior = {"coarse": 0.5, "channels": 0.3, "light": 0.2}
    scores = {c: weights.in_decibans(prior[c]) + sum(map(weights.in_decibans, likely[c]))
              for c in prior}
    assert posterior(scores) == pytest.approx(
        {"coarse": 405 / 1933, "channels": 1512 / 1933, "light": 16 / 1933}, abs=1e-12)


def test_what_is_given_as_nine_in_ten_is_summed_less_boldly() -> None:
    """By hand: 13 decibans of facts that overlap count as 10, so ten to one."""
    assert posterior({"one": 13.0, "other": 0.0})["one"] == pytest.approx(10 / 11, abs=1e-12)


@pytest.mark.usefixtures("independent")
def test_a_sure_fix_that_failed_is_doubt_of_the_evidence_too() -> None:
    """Evidence of 49 to 1 for one of two causes, then its fix fails that cures 95 in 100.

    By hand: in full 0.98 and 0.02; at 0.4 of its weight 49**0.4 = 4.744 to 1, so 0.8259 and
    0.1741. The failure had a chance of 0.0690 in full and of 0.2154 in part, so the doubt is
    0.3 * (1 - 0.0690 / 0.2154) = 0.2039, and what is left (0.7961 * 0.98 + 0.2039 * 0.8259) * 0.05
    = 0.0474 to 0.7961 * 0.02 + 0.2039 * 0.1741 = 0.0514. Taken at its word the evidence would
    leave 0.71.
    """
    before = {"sure": 0.0, "other": 0.0}
    scores = {"sure": weights.in_decibans(49), "other": 0.0}
    failed = {"sure": weights.in_decibans(0.05)}
    assert believed(scores, before, failed)["sure"] == pytest.approx(0.4798, abs=2e-4)
    assert posterior({**scores, "sure": scores["sure"] + failed["sure"]})["sure"] == pytest.approx(
        0.71, abs=1e-3)
    told_nothing = {"sure": weights.in_decibans(0.5), "other": weights.in_decibans(0.5)}
    assert believed(scores, before, told_nothing) == pytest.approx(posterior(scores))
    assert believed(scores, before, None) == believed(scores, before, {}) == posterior(scores)


def test_the_fast_scores_are_those_that_rank_gives_reasons_for(tmp_path: Path) -> None:
    for seed in range(16):
        drawn = Drawn(seed, negation=True, findings=True)
        one = drawn.system(tmp_path / str(seed))
        for _ in range(4):
            answers, complaints = drawn.case()
            reasons = {r.cause: r.score for r in rank(one.reasoner.infer(answers, complaints))}
            assert one.scorer.scores(answers, complaints) == pytest.approx(reasons, abs=1e-9)


def test_trying_an_answer_on_its_slice_of_the_book_is_like_a_full_run(tmp_path: Path) -> None:
    for seed in range(24):
        drawn = Drawn(seed, negation=True, findings=True)
        one = drawn.system(tmp_path / str(seed))
        every = frozenset({*drawn.causes, OTHER})
        for _ in range(3):
            answers, complaints = drawn.case()
            base = one.scorer.base(answers, complaints)
            for look in drawn.observations.keys() - answers.keys():
                for answer in drawn.observations[look]["answers"]:
                    change = one.scorer.change(base, look, answer, every)
                    full = one.scorer.scores({**answers, look: answer}, complaints)
                    ours = {c: base.scores[c] + change.decibans.get(c, 0.0) for c in every}
                    assert ours == pytest.approx(full, abs=1e-9)


def test_a_number_tried_moves_the_measures_worked_out_from_it(tmp_path: Path) -> None:
    one = system(
        tmp_path,
        observations={
            "dose": {"ask": "What dose?", "kind": "quantity", "unit": "g", "range": [1, 30],
                     "minutes": 1},
            "drink": {"ask": "What drink?", "kind": "quantity", "unit": "g", "range": [1, 90],
                      "minutes": 1}},
        measures={"ratio": {"label": "ratio", "compute": "shot.brew_ratio",
                            "given": {"dose_g": "dose", "yield_g": "drink"}}},
        causes={"long": cause(evidence=[{"when": {"ratio": "> 3"}, "weight": "strong for",
                                         "otherwise": "strong against"}])})
    base = one.scorer.base({"dose": 18.0}, ())
    for drink in (20.0, 80.0):
        moved = one.scorer.change(base, "drink", drink, {"long"}).decibans
        full = one.scorer.scores({"dose": 18.0, "drink": drink}, ())
        assert base.scores["long"] + moved["long"] == pytest.approx(full["long"])


def test_only_a_stop_that_is_new_counts_as_one(tmp_path: Path) -> None:
    one = system(tmp_path,
                 observations={"smell": choice("burning", "none"), "look": choice("a", "b")},
                 causes={"cc": cause(evidence=[{"when": {"smell": "burning"}, "weight": "strong for"},
                                              {"when": {"look": "a"}, "weight": "slight for"}])},
                 cautions={"fire": caution({"smell": "burning"})})
    fresh, smelt = one.scorer.base({}, ()), one.scorer.base({"smell": "burning"}, ())
    assert one.scorer.change(fresh, "smell", "burning", {"cc"}).stops
    assert not one.scorer.change(fresh, "smell", "none", {"cc"}).stops
    assert not one.scorer.change(smelt, "look", "a", {"cc"}).stops


def test_of_a_group_only_the_weightiest_counts(tmp_path: Path) -> None:
    grouped = [{"when": {"look": "a"}, "weight": "slight for", "group": "g"},
               {"when": {"look": ["a", "b"]}, "weight": "strong for", "group": "g"},
               {"when": {"other": "a"}, "weight": "slight for"}]
    one = system(tmp_path, observations={"look": choice("a", "b"), "other": choice("a", "b")},
                 causes={"cc": cause(evidence=grouped)})
    moved = one.scorer.scores({"look": "a", "other": "a"}, ())["cc"] - one.scorer.scores({}, ())["cc"]
    assert moved == pytest.approx(GRADES["strong"] + GRADES["slight"])


def test_a_requirement_that_fails_all_but_rules_a_cause_out(tmp_path: Path) -> None:
    one = system(tmp_path, observations={"kind": choice("lever", "pump")},
                 causes={"cc": cause(requires={"kind": "lever"}), "dd": cause()})
    found = {r.cause: r for r in rank(one.reasoner.infer({"kind": "pump"}))}
    assert found["dd"].score - found["cc"].score == pytest.approx(GRADES["decisive"])
    assert one.scorer.scores({}, ())["cc"] == one.scorer.scores({}, ())["dd"]


def test_a_complaint_that_an_answer_refutes_still_says_where_to_look(tmp_path: Path) -> None:
    one = system(tmp_path, observations={"look": choice("bad", "good")},
                 findings={"state": finding(("bad",), bad={"look": "bad"}, good={"look": "good"})},
                 symptoms={"looks_bad": symptom("state", "bad", "look")},
                 causes={"cc": cause({"looks_bad": "seldom"}), "dd": cause({"looks_bad": "always"})})
    for values in ({}, {"look": "good"}):
        scores = one.scorer.scores(values, ("looks_bad",))
        assert scores["dd"] - scores["cc"] == pytest.approx(TYPICAL["always"] - TYPICAL["seldom"])


def test_where_nothing_is_complained_of_what_came_up_is_to_be_explained(tmp_path: Path) -> None:
    one = system(tmp_path, observations={"look": choice("bad", "good")},
                 findings={"state": finding(("bad",), bad={"look": "bad"}, good={"look": "good"})},
                 symptoms={"looks_bad": symptom("state", "bad", "look")},
                 causes={"cc": cause({"looks_bad": "seldom"}), "dd": cause({"looks_bad": "always"})})
    scores = one.scorer.scores({"look": "bad"}, ())
    assert scores["dd"] - scores["cc"] == pytest.approx(TYPICAL["always"] - TYPICAL["seldom"])
