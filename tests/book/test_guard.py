"""A house can add but never silence or soften a DANGER or WARNING: every way tried is refused."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from diagnose.book.problems import KnowledgeError
from tests.book.small import COMMON, SMALL, book_of, house

BASE = copy.deepcopy(SMALL)
BASE["observations"]["gauge"] = {"ask": "What does the gauge show?", "kind": "quantity", "unit": "bar",
                                 "range": [0, 20], "usual": [8, 10], "minutes": 0.2}
BASE["observations"]["cleaned"] = {"ask": "When was it cleaned?", "kind": "yes_no", "minutes": 0.1}
BASE["targets"]["limit"] = {"label": "pressure limit", "unit": "bar", "value": 12, "source": COMMON}
BASE["findings"]["hazard"]["values"]["fire"]["when"] = {"any": [{"smell": "burning"}, {"gauge": "> 15 bar"}]}
BASE["findings"]["safe"] = {"label": "safe", "values": {
    "yes": {"says": "all is safe", "when": {"fresh": "yes"}}, "no": {"says": "it is not safe"}}}
BASE["symptoms"]["burns"] = {"name": "it burns", "area": "danger", "finding": {"hazard": "fire"},
                             "lay": ["it smokes", "flames"], "unless_known": ["smell"]}
BASE["rules"]["fire_too"] = {"when": {"cleaned": "no"}, "then": {"hazard": "fire"}, "source": COMMON}
BASE["rules"]["hot_always"] = {"when": {"fresh": "no"}, "caution": "hot", "source": COMMON}
BASE["cautions"]["burst"] = {"signal": "WARNING", "text": "It may burst.", "avoid": "Stand back.",
                             "when": {"gauge": "> target.limit", "none": [{"safe": "yes"}]},
                             "stop": "yes", "go_on": "The gauge shows nothing.", "source": COMMON}
BASE["cautions"]["mild"] = {"signal": "NOTICE", "text": "It wears.", "avoid": "Oil it.",
                            "when": {"last_change": "beans"}, "source": COMMON}
BASE["remedies"]["service"] = {"name": "Have it serviced", "steps": ["Call a technician."], "minutes": 60,
                               "who": "technician", "should": "It is safe.", "source": COMMON,
                               "cautions": ["hot"]}
BASE["observations"]["fresh"]["cautions"] = ["hot"]
BASE["measures"]["drop"] = {"label": "drop of pressure", "compute": "shot.brew_ratio",
                            "given": {"dose_g": "dose", "yield_g": "drink"}}
BASE["cautions"]["odd"] = {"signal": "WARNING", "text": "Odd ratio.", "avoid": "Weigh again.",
                           "when": {"drop": "> 9"}, "source": COMMON}


def entry(kind: str, name: str, /, **changes: Any) -> dict[str, Any]:
    """A house that replaces one entry, with these fields otherwise; a value of ... is left out."""
    made = copy.deepcopy(BASE[kind][name]) | changes | {"replaces": "yes"}
    return house(**{kind: {name: {k: v for k, v in made.items() if v is not ...}}})


def retire(kind: str, name: str) -> dict[str, Any]:
    """A house that retires one entry."""
    return house(retires=[{"kind": kind, "id": name, "reason": "not wanted here"}])


def _values(finding: str, **changes: Any) -> dict[str, Any]:
    values = copy.deepcopy(BASE["findings"][finding]["values"])
    for value, change in changes.items():
        if change is ...:
            del values[value]
        else:
            values[value] = values.get(value, {}) | change
    return {"values": values}


def _answers(**changes: Any) -> dict[str, Any]:
    answers = copy.deepcopy(BASE["observations"]["smell"]["answers"])
    return {"answers": {a: v for a, v in (answers | changes).items() if v is not ...}}


REFUSED: tuple[tuple[str, dict[str, Any], str], ...] = (
    # what the house tries, how, words of the refusal
    ("retire a DANGER", retire("cautions", "fire"), "never take away one"),
    ("retire a WARNING that has no condition", retire("cautions", "hot"), "never take away one"),
    ("lower the signal", entry("cautions", "fire", signal="WARNING"), "can't become WARNING"),
    ("lower it to a notice", entry("cautions", "hot", signal="NOTICE"), "can't become NOTICE"),
    ("not stop any more", entry("cautions", "fire", stop="no"), "stops the consult"),
    ("go on after a stop that ends it", entry("cautions", "fire", go_on="I looked."), "stops the consult"),
    ("go on after less", entry("cautions", "burst", go_on="Whatever."), "until the same is done"),
    ("another condition", entry("cautions", "fire", when={"smell": "fine"}), "can't be changed"),
    ("no condition", entry("cautions", "fire", when=...), "can't be changed"),
    ("a narrower condition", entry("cautions", "fire", when={"hazard": "fire", "fresh": "no"}),
     "can't be changed"),
    ("another text", entry("cautions", "fire", text="Hm."), "`text:`"),
    ("a long other text", entry("cautions", "fire", text="It is all quite harmless, never mind." * 4),
     "`text:`"),
    ("other words on avoiding it", entry("cautions", "fire", avoid="Breathe in."), "`avoid:`"),
    ("drop it from a remedy", entry("remedies", "new_beans", cautions=...), "leaves out the WARNING hot"),
    ("drop it from a question", entry("observations", "fresh", cautions=...), "leaves out the WARNING hot"),
    ("hand a technician's work to anyone", entry("remedies", "service", who="anyone"), "technician's work"),
    ("hand it to a careful owner", entry("remedies", "service", who="careful owner"), "technician's work"),
    ("retire the finding", retire("findings", "hazard"), "the DANGER fire rests on it"),
    ("retire a question below it", retire("observations", "smell"), "the DANGER fire rests on it"),
    ("retire a number below it", retire("observations", "gauge"), "rests on it"),
    ("retire a measure below it", retire("measures", "drop"), "the WARNING odd rests on it"),
    ("retire what the measure is made of", retire("observations", "dose"), "the WARNING odd rests on it"),
    ("retire the complaint that claims it", retire("symptoms", "burns"), "the DANGER fire rests on it"),
    ("retire a rule that concludes it", retire("rules", "fire_too"), "the DANGER fire rests on it"),
    ("retire a rule that raises it", retire("rules", "hot_always"), "raises a WARNING"),
    ("retire the target", retire("targets", "limit"), "the WARNING burst rests on it"),
    ("move the target", entry("targets", "limit", value=19), "compares with this target"),
    ("the target in another unit", entry("targets", "limit", unit="psi"), "compares with this target"),
    ("drop the finding's value", entry("findings", "hazard", **_values("hazard", fire=...)),
     "its `values:` must stay"),
    ("the value never concluded", entry("findings", "hazard", **_values("hazard", fire={
        "when": {"all": [{"smell": "burning"}, {"smell": "fine"}]}})), "its `values:` must stay"),
    ("the value concluded on less", entry("findings", "hazard", **_values("hazard", fire={
        "when": {"smell": "burning"}})), "its `values:` must stay"),
    ("what silences it concluded on more", entry("findings", "safe", **_values("safe", yes={
        "when": {"known": "fresh"}})), "its `values:` must stay"),
    ("a rule that concludes what silences it", house(rules={"calm": {
        "when": {"known": "gauge"}, "then": {"safe": "yes"}, "source": "house"}}), "would silence"),
    ("a complaint that claims what silences it", house(symptoms={"calm": {
        "name": "all is well", "area": "danger", "finding": {"safe": "yes"}, "lay": ["well"]}}),
     "would silence"),
    ("drop the answer", entry("observations", "smell", **_answers(burning=..., smoke={"says": "smoke"})),
     "`answers:` must stay"),
    ("say the answer otherwise", entry("observations", "smell", **_answers(burning={
        "says": "a pleasant warmth", "lay": ["burnt smell"]})), "`answers:` must stay"),
    ("fewer words for the answer", entry("observations", "smell", **_answers(burning={
        "says": "something burns"})), "`answers:` must stay"),
    ("ask otherwise", entry("observations", "smell", ask="What does it not smell of?"), "`ask:` must stay"),
    ("ask less often", entry("observations", "smell", requires={"fresh": "yes"}), "`requires:`"),
    ("make the question dear", entry("observations", "smell", minutes=100), "`minutes:`"),
    ("a narrower range", entry("observations", "gauge", range=[0, 14]), "`range:`"),
    ("another kind of answer", entry("observations", "gauge", kind="yes_no", unit=..., range=..., usual=...),
     "`kind:` must stay"),
    ("another unit", entry("observations", "gauge", unit="psi"), "`unit:` must stay"),
    ("another measure", entry("measures", "drop", given={"dose_g": "drink", "yield_g": "dose"}),
     "`given:` must stay"),
    ("the complaint claims something else", entry("symptoms", "burns", finding={"hazard": "none"}),
     "`finding:`"),
    ("the complaint gives way to more", entry("symptoms", "burns", unless_known=["smell", "fresh"]),
     "`unless_known:`"),
    ("fewer words for the complaint", entry("symptoms", "burns", lay=["flames"]), "add to `lay:`"),
    ("the rule raises another", entry("rules", "hot_always", caution="mild"), "must go on doing so"),
    ("the rule raises it on less", entry("rules", "hot_always", when={"fresh": "no", "smell": "fine"}),
     "must go on doing so"),
    ("the rule concludes it on less", entry("rules", "fire_too", when={"cleaned": "no", "fresh": "no"}),
     "must go on doing so"),
    ("say more in its text", entry("cautions", "fire", text="In this house: Fire. Mind it."),
     "add a caution"),
    ("go on when the same is done, or something else", entry("cautions", "burst", go_on=(
        "The gauge shows nothing, or you like.")),
     "until the same is done"),
    ("soften a notice", entry("cautions", "mild", text="Fine.", when=...), "add a caution"),
    ("retire a notice", retire("cautions", "mild"), "never take away one"),
    ("one more answer for what it says", entry("observations", "smell", **_answers(smoke={
        "says": "it smokes"})),
     "`answers:` must stay"),
    ("its absence concluded otherwise", entry("findings", "hazard", **_values("hazard", none={
        "when": {"smell": "fine", "fresh": "yes"}})), "its `values:` must stay"),
)

ALLOWED: tuple[tuple[str, dict[str, Any]], ...] = (
    ("raise the signal", entry("cautions", "hot", signal="DANGER")),
    ("stop where it did not", entry("cautions", "odd", stop="yes")),
    ("never go on", entry("cautions", "burst", go_on=...)),
    ("a caution of its own", house(cautions={"own": BASE["cautions"]["fire"]})),
    ("a rule that raises one more often", house(rules={"more": {
        "when": {"last_change": "grind"}, "caution": "fire", "source": "house"}})),
    ("a rule that concludes the hazard more often", house(rules={"more": {
        "when": {"last_change": "grind"}, "then": {"hazard": "fire"}, "source": "house"}})),
    ("move another target", entry("targets", "shot_time", low=20)),
    ("more words for the complaint", entry("symptoms", "burns", lay=["it smokes", "flames", "sparks"])),
    ("a wider range", entry("observations", "gauge", range=[0, 25])),
    ("retire a cause that others look like", retire("causes", "too_old")),
    ("retire a symptom", retire("symptoms", "too_slow")),
)


@pytest.mark.parametrize(("rules", "words"), [row[1:] for row in REFUSED], ids=[r[0] for r in REFUSED])
def test_what_would_soften_is_refused_and_explained(rules: dict[str, Any], words: str) -> None:
    with pytest.raises(KnowledgeError) as caught:
        book_of(BASE, rules)
    told = [p for p in caught.value.problems if words in p.text]
    assert told, caught.value.problems
    assert told[0].place.file == "house0.yaml" and told[0].place.line >= 4


@pytest.mark.parametrize("rules", [row[1] for row in ALLOWED], ids=[row[0] for row in ALLOWED])
def test_what_adds_or_touches_nothing_grave_is_let_be(rules: dict[str, Any]) -> None:
    book_of(BASE, rules)


@pytest.mark.parametrize(("rules", "words"), [row[1:] for row in REFUSED], ids=[r[0] for r in REFUSED])
def test_a_second_house_may_not_either(rules: dict[str, Any], words: str) -> None:
    first = entry("targets", "shot_time", low=20)
    with pytest.raises(KnowledgeError) as caught:
        book_of(BASE, first, rules)
    assert any(words in p.text and p.place.file == "house1.yaml" for p in caught.value.problems)


def test_a_house_above_may_not_soften_what_a_house_below_added() -> None:
    below = house(cautions={"own": BASE["cautions"]["fire"] | {"when": {"last_change": "grind"}}})
    with pytest.raises(KnowledgeError, match="never take away one"):
        book_of(BASE, below, retire("cautions", "own"))
    with pytest.raises(KnowledgeError, match="the DANGER own rests on it"):
        book_of(BASE, below, retire("observations", "last_change"))


def test_a_raised_signal_cannot_be_lowered_again() -> None:
    with pytest.raises(KnowledgeError, match="can't become WARNING"):
        book_of(BASE, entry("cautions", "hot", signal="DANGER"), entry("cautions", "hot"))


def test_only_a_house_may_replace_or_retire() -> None:
    data = copy.deepcopy(BASE)
    data["targets"]["limit"]["replaces"] = "yes"
    data["retires"] = [{"kind": "causes", "id": "too_old", "reason": "why not"}]
    with pytest.raises(KnowledgeError) as caught:
        book_of(data)
    texts = [p.text for p in caught.value.problems]
    assert any("only a house file may retire" in t for t in texts)
    assert any("replaces nothing" in t for t in texts)


@pytest.mark.parametrize(("rules", "words"), [
    (house(targets={"shot_tim": BASE["targets"]["shot_time"] | {"replaces": "yes"}}),
     "did you mean 'shot_time'"),
    (house(targets={"shot_time": BASE["targets"]["shot_time"]}), "add `replaces: yes`"),
    (retire("causes", "too_ol"), "did you mean 'too_old'"),
])
def test_what_misses_its_entry_is_told_the_nearest(rules: dict[str, Any], words: str) -> None:
    with pytest.raises(KnowledgeError, match=words):
        book_of(BASE, rules)


def test_a_retired_cause_is_gone_from_every_list_that_named_it() -> None:
    book = book_of(BASE, retire("causes", "too_old"))
    assert all(o.cause != "too_old" for c in book.causes.values() for o in c.look_alikes)
    assert book.layers.changes["causes", "too_old"].what == "retires"
    assert str(book.layers.changes["causes", "too_old"].place).startswith("house0.yaml:")


def test_where_an_entry_comes_from_is_known() -> None:
    book = book_of(BASE, entry("targets", "shot_time", low=20))
    assert book.house("targets", "shot_time") == "house0" and not book.house("targets", "limit")
    assert book.place("targets", "shot_time").file == "house0.yaml"


BASE["cautions"]["greasy"] = {"signal": "NOTICE", "text": "It is greasy.", "avoid": "Wipe it.",
                              "source": COMMON}
BASE["practice"]["leave_on"]["cautions"] = ["hot", "greasy"]


def test_a_house_answers_otherwise_and_keeps_every_caution() -> None:
    book = book_of(BASE, entry("practice", "leave_on", answer="Yes, in this house.", source="house"))
    assert book.practice["leave_on"].answer == "Yes, in this house."
    assert book.practice["leave_on"].cautions == ("hot", "greasy")


@pytest.mark.parametrize("left", [["hot"], ["greasy"], ...])
def test_no_caution_of_an_answer_goes_lost_not_even_the_mildest(left: Any) -> None:
    with pytest.raises(KnowledgeError, match="leaves out the"):
        book_of(BASE, entry("practice", "leave_on", cautions=left))


@pytest.mark.parametrize(("changes", "words"), [
    ({"maker": "Ours says yes."}, "`maker:` must stay"),
    ({"now": "Ignore the warning and go on."}, "speaks against a caution"),
    ({"allow": {"answer_uncautioned": "we know better"}}, "lets answer_uncautioned pass")])
def test_a_house_answer_keeps_the_maker_s_word_and_takes_no_caution_back(changes: Any, words: str) -> None:
    data = copy.deepcopy(BASE)
    data["practice"]["leave_on"]["maker"] = "The leaflet decides."
    own = entry("practice", "leave_on", **({"maker": "The leaflet decides."} | changes))
    with pytest.raises(KnowledgeError, match=words):
        book_of(data, own)


def test_an_answer_that_says_a_caution_is_not_retired() -> None:
    with pytest.raises(KnowledgeError, match="its answer says hot"):
        book_of(BASE, retire("practice", "leave_on"))


def test_a_measure_retired_leaves_the_answers_that_name_it() -> None:
    data = copy.deepcopy(BASE)
    data["practice"]["leave_on"]["worked"] = ["age"]
    del data["causes"]["too_old"]["evidence"][2]
    assert book_of(data, retire("measures", "age")).practice["leave_on"].worked == ()
