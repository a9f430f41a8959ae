"""The linter: every check fails on a book spoilt for it, and passes the sound one."""

from __future__ import annotations

import json
import time
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.book.assemble import build_book
from diagnose.book.lint import CHECKS, lint
from diagnose.book.lint.hazards import hazard_uncautioned, table
from diagnose.book.lint.logic import rings
from diagnose.book.lint.tell import checked, listed
from diagnose.book.problems import KnowledgeError
from diagnose.book.yaml import loader
from diagnose.engine import EngineError, EngineRule, levels
from diagnose.engine.rule import NameTest
from diagnose.storage import paths
from tests.book.small import COMMON, SMALL, book_of, changed

ITEM = {"when": {"last_change": "grind"}, "weight": "slight for"}
LATE = {"says": "it took long", "when": {"shot_time": "> 50 s"}}
OLD = SMALL["causes"]["too_old"]
COARSE = SMALL["causes"]["too_coarse"]
CAUTION = SMALL["cautions"]["hot"]
CHOICE = {"a": {"says": "aa"}, "b": {"says": "bb"}}

SPOILT: tuple[tuple[str, str, Any, str, str], ...] = (
    # check, what is changed, to what, the entry at fault, words of the issue
    ("finding_unreachable", "findings/flow/values/odd", {"says": "it ran oddly"}, "flow", "odd"),
    ("evidence_unreachable", "causes/too_old/evidence/1/when", {"shot_time": "> 500 s"}, "too_old",
     "never hold"),
    ("evidence_unreachable", "causes/too_old/evidence/1/when",
     {"all": [{"fresh": "yes"}, {"fresh": "no"}]}, "too_old", "never hold"),
    ("cause_not_raised", "causes/too_old/evidence",
     [{"when": {"fresh": "yes"}, "weight": "strong against"}], "too_old", "raise"),
    ("cause_not_lowered", "causes/too_old/evidence", [{"when": {"fresh": "no"}, "weight": "slight for"}],
     "too_old", "lower"),
    ("question_unneeded", "observations/idle", {"ask": "Is it?", "kind": "yes_no", "minutes": 1},
     "idle", "nothing needs"),
    ("measure_unused", "measures/idle", SMALL["measures"]["ratio"], "idle", "nothing uses"),
    ("finding_unused", "findings/idle", {"label": "idle", "values": {
        "yes": {"says": "it is so", "when": {"fresh": "yes"}}}}, "idle", "nothing tests"),
    ("target_unused", "targets/idle", SMALL["targets"]["shot_time"], "idle", "nothing uses"),
    ("symptom_unshown", "symptoms/odd", SMALL["symptoms"]["too_fast"] | {"finding": {"flow": "right"}},
     "odd", "no cause shows"),
    ("cause_shows_nothing", "causes/too_old/shows", {}, "too_old", "shows no symptom"),
    ("remedy_unused", "remedies/idle", SMALL["remedies"]["finer"], "idle", "no cause uses"),
    ("caution_unused", "cautions/idle", CAUTION, "idle", "never shown"),
    ("ask_long", "observations/fresh/ask", "Is it " + "very " * 25 + "new?", "fresh", "135 characters"),
    ("ask_no_question", "observations/fresh/ask", "Say whether it is fresh.", "fresh", "`?`"),
    ("step_long", "remedies/finer/steps/0", "Grind finer. " * 24, "finer", "312 characters"),
    ("source_missing", "causes/too_old/source", ..., "too_old", "no source"),
    ("source_missing", "findings/hazard/values/none/when", {"shot_time": "> 170 s"}, "hazard",
     "no source"),
    ("source_malformed", "causes/too_old/source", "the maker's manual, page 4", "too_old", "leaflet"),
    ("source_malformed", "causes/too_old/source", "internet", "too_old", "looked up"),
    ("source_malformed", "causes/too_old/source", "common practice", "too_old", "write it out"),
    ("standard_without_year", "causes/too_old/source", "ISO 3509, coffee vocabulary", "too_old",
     "ISO 3509"),
    ("rules_contradict", "findings/flow/values/late", {"says": "late", "when": {
        "shot_time": "> 100 s"}}, "flow", "and late"),
    ("rules_contradict", "causes/too_old/evidence/1", {"when": {"fresh": "no"}, "weight": "slight against"},
     "too_old", "the same condition"),
    ("rules_subsume", "rules/again", {"when": {"smell": "burning", "fresh": "yes"},
                                      "then": {"hazard": "fire"}, "source": COMMON}, "again",
     "follows already"),
    ("rules_subsume", "rules/again", {"when": {"hazard": "fire"}, "caution": "fire", "source": COMMON},
     "again", "follows already"),
    ("evidence_counts_twice", "causes/too_coarse/evidence/1", {
        "when": {"shot_time": "< 20 s"}, "weight": "slight for"}, "too_coarse", "below 20 s"),
    ("values_overlap", "findings/flow/values/right/when", {"last_change": "nothing"}, "flow",
     "both fast and right"),
    ("answer_in_two_values", "findings/hazard/values/none/when", {"known": "smell"}, "hazard",
     "smell: burning"),
    ("negation_cycle", "findings/hazard/values", {
        "fire": {"says": "fire", "when": {"smell": "burning", "none": [{"hazard": "none"}]}},
        "none": {"says": "none", "when": {"smell": "fine", "none": [{"hazard": "fire"}]}}},
     "hazard", "absent"),
    ("bands_overlap", "findings/flow/values/fast/when", {"shot_time": "<= target.shot_time.low"}, "flow",
     "26 s"),
    ("bands_gap", "findings/flow/values/right/when",
     {"shot_time": "between 28 s and target.shot_time.high"}, "flow", "between 26 and 28 s"),
    ("bands_open", "findings/flow/values/slow/when", {"shot_time": "between 33 s and 60 s"}, "flow",
     "above 60 s"),
    ("grave_on_target", "cautions/fire/when", {"flow": "fast"}, "fire", "by way of flow: fast"),
    ("grave_on_target", "cautions/fire/when", {"shot_time": "< target.shot_time.low"}, "fire",
     "target shot_time"),
    ("causes_alike", "causes/too_coarse_too", COARSE, "too_coarse_too", "tells too_coarse_too from"),
    ("look_alikes_few", "causes/too_old/look_alikes", OLD["look_alikes"][:1], "too_old", "names 1"),
    ("look_alike_not_apart", "causes/too_old/look_alikes/0/ask", ["smell"], "too_old", "smell bears alike"),
    ("look_alike_idle_ask", "causes/too_old/look_alikes/0/ask", ["fresh", "smell"], "too_old",
     "smell bears alike"),
    ("look_alike_itself", "causes/too_old/look_alikes/0/cause", "too_old", "too_old", "the cause itself"),
    ("hazard_uncautioned", "remedies/finer/steps/0", "Backflush with espresso detergent.", "finer",
     "cleaners"),
    ("hazard_uncautioned", "remedies/finer/steps/0", "Brush the burrs.", "finer", "burrs"),
    ("hazard_uncautioned", "remedies/finer/steps/0", "Purge the wand.", "finer", "steam"),
    ("hazard_uncautioned", "remedies/finer/steps/0", "Set the relief valve.", "finer", "pressure"),
    ("hazard_uncautioned", "remedies/finer/steps/0", "Change the fuse.", "finer", "mains"),
    ("hazard_uncautioned", "remedies/finer/steps/0", "Wash the glass jug.", "finer", "glass"),
    ("hazard_uncautioned", "remedies/finer/steps/0", "Rinse the milk hose.", "finer", "milk"),
    ("technician_unsaid", "remedies/finer/who", "technician", "finer", "does not say so"),
    ("harm_unstated", "symptoms/too_fast/finding", {"hazard": "fire"}, "finer", "can come of a hazard"),
    ("harm_cures", "remedies/finer/harmful_under", {"causes": ["too_coarse"], "why": "It hurts."}, "finer",
     "remedy of too_coarse"),
    ("answer_uncautioned", "practice/leave_on/now", "Brush the burrs.", "leave_on", "burrs"),
    ("answer_long", "practice/leave_on/answer", "No. No. No. No.", "leave_on", "4 sentences"),
    ("answer_long", "practice/leave_on/answer", "No " * 200, "leave_on", "600 characters"),
    ("answer_long", "practice/leave_on/depends", "On this. On that.", "leave_on", "2 sentences"),
    ("answer_to_no_question", "practice/leave_on/asks", "Leaving it on", "leave_on", "`?`"),
    ("answer_to_no_question", "practice/leave_on/ask_back", "Say which machine.", "leave_on", "ask_back"),
    ("asked_alike", "practice/left_on", SMALL["practice"]["leave_on"], "left_on", "leave_on too"),
    ("maker_unnamed", "practice/leave_on/now", "Descale it.", "leave_on", "maker's word wins"),
    ("inside_by_owner", "remedies/finer/steps/0", "Open the housing and look.", "finer", "technician"),
    ("deferral_missing", "remedies/finer/who", "careful owner", "finer", "maker's instructions"),
)


@pytest.mark.parametrize(("check", "path", "value", "entry", "words"), SPOILT,
                         ids=[f"{row[0]}-{row[1].split('/')[1]}-{i}" for i, row in enumerate(SPOILT)])
def test_a_spoilt_book_is_told(check: str, path: str, value: Any, entry: str, words: str) -> None:
    data = changed(path, value)
    found = [i for i in lint(book_of(data)).issues if i.check == check and i.id == entry]
    assert found, [str(i) for i in lint(book_of(data)).issues]
    assert any(words in i.text for i in found), found
    assert all(i.place.file == "small.yaml" and i.place.line > 1 for i in found)


def test_the_sound_book_has_no_issue() -> None:
    report = lint(book_of(SMALL))
    assert not report.issues and not report.allowed


def test_every_check_has_a_row_here_and_says_what_it_looks_for() -> None:
    assert {c.name for c in CHECKS} == {row[0] for row in SPOILT}
    assert all(len(c.about) > 20 and c.about.endswith(".") for c in CHECKS)
    assert listed(CHECKS).count("\n") + 1 == len(CHECKS)


@pytest.mark.parametrize(("check", "path", "value", "entry"), [row[:4] for row in SPOILT])
def test_an_entry_can_allow_a_check_with_a_reason(check: str, path: str, value: Any, entry: str) -> None:
    data = changed(path, value)
    kind = next(k for k in ("causes", "findings", "observations", "remedies", "cautions", "symptoms",
                            "measures", "targets", "rules", "practice") if entry in data[k])
    data[kind][entry]["allow"] = {check: "argued at length elsewhere"}
    report = lint(book_of(data))
    assert not [i for i in report.issues if i.check in (check, "allow_idle")]
    assert [i for i in report.allowed if i.check == check]


@pytest.mark.parametrize(("allow", "words"), [
    ({"look_alikes_few": "there is no other such cause"}, "nothing to let pass"),
    ({"look_alike_few": "there is no other such cause"}, "did you mean 'look_alikes_few'"),
])
def test_an_idle_allow_is_an_issue_itself(allow: dict[str, str], words: str) -> None:
    (issue,) = lint(book_of(changed("causes/too_old/allow", allow))).issues
    assert issue.check == "allow_idle" and words in issue.text and issue.severity == "error"


def test_an_allow_without_a_reason_is_an_issue() -> None:
    data = changed("causes/too_old/look_alikes", OLD["look_alikes"][:1])
    data["causes"]["too_old"]["allow"] = {"look_alikes_few": "so"}
    (issue,) = lint(book_of(data)).issues
    assert issue.check == "allow_idle" and "no reason" in issue.text


def test_of_two_causes_alike_either_may_allow_it() -> None:
    for name in ("too_coarse", "too_coarse_too"):
        data = changed("causes/too_coarse_too", COARSE)
        data["causes"][name] = data["causes"][name] | {"allow": {"causes_alike": "one is kept for notes"}}
        assert "causes_alike" not in {i.check for i in lint(book_of(data)).issues}


# Harmless sentences that hold a word of the lists: none of them is an alarm.
@pytest.mark.parametrize("step", [
    "Throw away one dose; it was ground with the burrs half empty.",
    "Look for a burr grinder said to be for espresso.",
    "Never bypass the safety valve; call a technician.",
    "Do not descale before the maker on descaling has been read.",
    "Move the setting with the burrs empty.",
    "Pour the coffee into a warm cup.",
])
def test_harmless_words_are_no_alarm(step: str) -> None:
    book = book_of(changed("remedies/finer/steps/0", step))
    assert not lint(book, [hazard_uncautioned]).issues


def test_every_hazard_word_is_found_in_a_sentence() -> None:
    for hazard, touch in table().touches.items():
        for word in touch.words:
            step = f"Then see to the {word.rstrip('*')} with care."
            found = lint(book_of(changed("remedies/finer/steps/0", step)), [hazard_uncautioned]).issues
            assert [i for i in found if f"({hazard})" in i.text], word


def test_a_house_may_write_the_caution_itself() -> None:
    data = changed("remedies/finer/steps/0", "Brush the burrs.")
    data["cautions"]["own"] = CAUTION | {"text": "Burrs cut fingers."}
    data["remedies"]["finer"]["cautions"] = ["own"]
    assert not lint(book_of(data), [hazard_uncautioned]).issues


_NAMES = st.sampled_from(["a", "b", "c", "d"])
_RULES = st.lists(st.tuples(_NAMES, st.lists(_NAMES, max_size=2, unique=True),
                            st.lists(_NAMES, max_size=2, unique=True)), min_size=1, max_size=7)


@given(_RULES)
def test_circles_through_negation_are_those_the_engine_refuses(drawn: list) -> None:
    rules, edges, absent = [], {}, []
    for i, (made, wants, refuses) in enumerate(drawn):
        refuses = [r for r in refuses if r not in wants]
        rules.append(EngineRule(f"r{i}", tuple(NameTest(w, frozenset({"x"})) for w in ["given", *wants]),
                                tuple(NameTest(r, frozenset({"x"})) for r in refuses), (made, "x")))
        edges.setdefault(made, set()).update([*wants, *refuses])
        absent += [(made, r) for r in refuses]
    circle = any({user, gone} <= ring for ring in rings(edges) for user, gone in absent)
    try:
        levels(rules)
        refused = False
    except EngineError as error:
        refused = "circle" in str(error)
    assert circle == refused


def test_what_is_told_as_lines_and_as_json() -> None:
    data = changed("causes/too_old/look_alikes", OLD["look_alikes"][:1])
    data["targets"]["idle"] = SMALL["targets"]["shot_time"]
    report = lint(book_of(data))
    text, failed = checked(lambda: report, False, False, "The book")
    assert failed and text.endswith("The book needs mending: 1 error, 1 piece of advice, "
                                    "no issues let pass with a reason.")
    lines = [json.loads(line) for line in checked(lambda: report, True, False, "")[0].splitlines()]
    assert {line["severity"] for line in lines} == {"error", "advice"}
    assert all({"file", "line", "column", "check", "kind", "id", "text", "allowed"} <= line.keys()
               for line in lines)


def test_advice_fails_only_where_it_is_strict() -> None:
    data = changed("targets/idle", SMALL["targets"]["shot_time"])
    assert [checked(lambda: lint(book_of(data)), False, strict, "")[1] for strict in (False, True)] == [
        False, True]


def test_what_cannot_be_read_is_told_too() -> None:
    def look() -> Any:
        return lint(book_of(changed("causes/too_old/shows", {"gone": "often"})))

    text, failed = checked(look, False, False, "")
    assert failed and "symptom 'gone'" in text
    assert json.loads(checked(look, True, False, "")[0])["check"] == "loader"


def test_the_shipped_book_is_linted_within_three_seconds() -> None:
    try:
        book = build_book(loader.load(paths.shipped()))
    except KnowledgeError as error:
        pytest.fail(f"the shipped book can't be read: {error.problems[0]}")
    start = time.process_time()
    report = lint(book)
    assert time.process_time() - start < 3
    assert not [str(i) for i in report.issues if i.severity == "error"]
