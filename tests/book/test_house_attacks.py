"""What a house file may try against the shipped book: every way of taking caution is refused.

Refused means: told with the reason, file and line, not loaded, and an error of the house check.
What adds caution, or touches none, is loaded beside it.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import msgspec
import pytest

from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.problems import KnowledgeError
from diagnose.book.with_house import load
from diagnose.book.yaml import loader
from diagnose.house.check import check
from diagnose.storage import paths
from tests.book.small import dumped, folder, house

Data = dict[str, Any]


@cache
def shipped() -> Book:
    """The shipped book without any house."""
    return build_book(loader.load(paths.shipped()))


def plain(kind: str, name: str) -> Data:
    """A shipped entry as plain data."""
    made: Data = msgspec.json.decode(msgspec.json.encode(getattr(shipped(), kind)[name]))
    return made


def entry(kind: str, name: str, /, **changes: Any) -> Data:
    """A house that replaces a shipped entry, with these fields otherwise; a value of ... is left out."""
    made = plain(kind, name) | changes | {"replaces": "yes"}
    return house(**{kind: {name: {k: v for k, v in made.items() if v is not ...}}})


def more(kind: str, name: str, field: str, *added: Any) -> Data:
    """A house that adds to a list of a shipped entry."""
    return entry(kind, name, **{field: [*plain(kind, name).get(field, []), *added]})


def answered(name: str, answer: str, **changes: Any) -> Data:
    """A house with one answer of a shipped question otherwise."""
    answers = plain("observations", name)["answers"]
    answers[answer] = answers.get(answer, {}) | changes
    return entry("observations", name, answers=answers)


def concluded(name: str, value: str, **changes: Any) -> Data:
    """A house with one value of a shipped finding otherwise."""
    values = plain("findings", name)["values"]
    values[value] = values.get(value, {}) | changes
    return entry("findings", name, values=values)


def retired(kind: str, name: str) -> Data:
    return house(retires=[{"kind": kind, "id": name, "reason": "not wanted here"}])


def caution(**changes: Any) -> Data:
    """A house's own caution about a tingle."""
    return {
        "signal": "DANGER",
        "text": "The tingle comes from the mains here too.",
        "avoid": "Pull the plug with dry hands.",
        "when": {"danger_sign": "tingle"},
        "stop": "yes",
        "source": "house",
    } | changes


def own_caution(**changes: Any) -> Data:
    return house(cautions={"our_tingle": caution(**changes)})


def symptom(**changes: Any) -> Data:
    """A house's own harmless complaint, shown by a cause of its own."""
    return house(
        symptoms={
            "hums": {
                "name": "the cup shelf hums a tune",
                "area": "noise",
                "finding": {"flow": "right"},
                "lay": ["sings to itself"],
            }
            | changes
        }
    )


def question(**changes: Any) -> Data:
    """A house's own harmless question."""
    return house(
        observations={
            "shelf": {
                "ask": "Which shelf does it stand on?",
                "kind": "choice",
                "minutes": 0.1,
                "answers": {"upper": {"says": "the upper one"}, "lower": {"says": "the lower one"}},
            }
            | changes
        }
    )


def remedy(**changes: Any) -> Data:
    """A house's own harmless fix."""
    return {
        "name": "Move the tin",
        "steps": ["Move the tin to the left."],
        "minutes": 1,
        "should": "The tin stands to the left.",
        "source": "house",
    } | changes


def own_remedy(**changes: Any) -> Data:
    return house(remedies={"move_tin": remedy(**changes)})


def cause(**changes: Any) -> Data:
    """A house's own harmless cause."""
    return {
        "name": "the tin stands in the way",
        "part": "kitchen",
        "common": "uncommon",
        "what": "The tin keeps the scoop from its place.",
        "shows": {"shot_too_fast": "seldom"},
        "evidence": [{"when": {"bag_smell": "fresh"}, "weight": "slight for"}],
        "confirm": "Move the tin and see.",
        "remedies": [{"remedy": "rest_beans"}],
        "source": "house",
    } | changes


def own_cause(**changes: Any) -> Data:
    return house(causes={"tin": cause(**changes)})


def rule(**changes: Any) -> Data:
    return house(rules={"ours": {"when": {"bag_smell": "fresh"}, "source": "house"} | changes})


def twin(**changes: Any) -> Data:
    """A shipped fix over again under another id."""
    made = plain("remedies", "backflush_clean") | {"source": "house"} | changes
    return house(remedies={"our_backflush": {k: v for k, v in made.items() if v is not ...}})


TINGLE = "electric shock"
BACKFLUSH, TECHNICIAN = "backflush_clean", "technician_electrics"
STEPS = {n: plain("remedies", n)["steps"] for n in (BACKFLUSH, TECHNICIAN, "rest_beans")}

ATTACKS: tuple[tuple[str, Data, str], ...] = (
    # what the house tries, how, words of the refusal
    # the words of a danger
    ("lay words of a danger for a complaint of its own", symptom(lay=[TINGLE]), "words of the danger"),
    ("the same in capitals and with dashes", symptom(lay=["Electric--SHOCK!"]), "words of the danger"),
    ("the same typed wrong", symptom(lay=["elecrtic shok off the metal"]), "words of the danger"),
    (
        "the same among other words",
        symptom(lay=["my mug gives me a tingle on sundays"]),
        "words of the danger",
    ),
    ("the greater part of a danger's words", symptom(lay=["a tickle in the hand"]), "words of the danger"),
    ("a word that only dangers use", symptom(lay=["sparks nicely"]), "words of the danger"),
    (
        "a complaint of its own named like a danger",
        symptom(name="the machine gives a tingle or shock"),
        "words of the danger",
    ),
    (
        "a danger's words for a shipped harmless complaint",
        more("symptoms", "shot_too_fast", "lay", "it zaps me"),
        "words of the danger",
    ),
    (
        "a danger's words for an answer of its own",
        question(
            answers={
                "upper": {"says": "the upper one", "lay": ["smoke came out"]},
                "lower": {"says": "the lower one"},
            }
        ),
        "words of the danger",
    ),
    (
        "an answer of its own that says a danger",
        question(answers={"upper": {"says": "drank the descaler"}, "lower": {"says": "the lower one"}}),
        "words of the danger",
    ),
    (
        "a danger's words for the answer none of these",
        answered("danger_sign", "none", lay=["nothing like that", "no", "all normal", "a little tingle"]),
        "words of the danger",
    ),
    ("a danger's words taken from it", entry("symptoms", "tingling", lay=["feels live"]), "add to `lay:`"),
    (
        "an answer's words taken from it",
        answered("danger_sign", "tingle", lay=["tingle"]),
        "`answers:` must stay",
    ),
    # against a danger
    ("a rule that concludes there is none", rule(then={"mains_hazard": "none"}), "speaks against a danger"),
    ("a rule that concludes nobody is hurt", rule(then={"injury": "none"}), "speaks against a danger"),
    (
        "a complaint that claims there is none",
        symptom(finding={"mains_hazard": "none"}),
        "speaks against a danger",
    ),
    (
        "its absence concluded from more",
        concluded("mains_hazard", "none", when={"known": "danger_sign"}),
        "`values:` must stay",
    ),
    (
        "a new value in place of a danger",
        concluded("mains_hazard", "static", says="static", when={"danger_sign": "tingle"}),
        "`values:` must stay",
    ),
    (
        "a danger no longer concluded",
        concluded("mains_hazard", "shock", when={"danger_sign": "wet"}),
        "`values:` must stay",
    ),
    (
        "a finding of danger worded as none",
        concluded("mains_hazard", "shock", says="it is static, as in wool"),
        "`values:` must stay",
    ),
    ("no fault any more", concluded("mains_hazard", "trips", abnormal="no"), "`values:` must stay"),
    (
        "a rule against a cause of danger",
        rule(weigh={"earth_fault": "decisive against"}),
        "which brings a danger",
    ),
    (
        "a sign of danger for a harmless cause",
        rule(when={"danger_sign": "tingle"}, weigh={"grind_too_coarse": "decisive for"}),
        "makes a sign of danger speak",
    ),
    (
        "a harmless cause of its own that a sign of danger speaks for",
        own_cause(evidence=[{"when": {"mains_hazard": "trips"}, "weight": "decisive for"}]),
        "makes a sign of danger speak",
    ),
    (
        "a cause of danger that is called normal",
        own_cause(shows={"tingling": "always"}, normal="yes"),
        "normal",
    ),
    (
        "a cause of danger that is called harmless",
        own_cause(shows={"tingling": "always"}, what="It is only static, quite harmless."),
        "takes back",
    ),
    (
        "a cause of danger made rare",
        entry("causes", "earth_fault", common="very rare"),
        "`common:` must stay",
    ),
    ("a cause of danger retired", retired("causes", "earth_fault"), "can't be retired"),
    # questions
    (
        "a danger's question kept from case to case",
        entry("observations", "danger_sign", equipment="yes"),
        "`equipment:`",
    ),
    (
        "its `how:` turned",
        entry("observations", "danger_sign", how="Touch the metal with a wet hand."),
        "`how:`",
    ),
    ("asked otherwise", entry("observations", "danger_sign", ask="Is all well?"), "`ask:`"),
    (
        "asked less often",
        entry("observations", "danger_sign", requires={"bag_smell": "fresh"}),
        "`requires:`",
    ),
    ("made dear", entry("observations", "danger_sign", minutes=90), "`minutes:`"),
    ("its answer thought rarer", answered("danger_sign", "tingle", share=0.0001), "`answers:`"),
    ("its answer said otherwise", answered("danger_sign", "tingle", says="a pleasant warmth"), "`answers:`"),
    (
        "one more answer that takes its reports",
        answered("danger_sign", "static", says="static only"),
        "`answers:`",
    ),
    ("retired", retired("observations", "danger_sign"), "can't be retired"),
    (
        "the `how:` of a question with a caution turned",
        entry("observations", "bloom_test", how="Hold it hot."),
        "`how:`",
    ),
    ("the caution of a question left out", entry("observations", "bloom_test", cautions=...), "leaves out"),
    (
        "a question of its own that has the cover off",
        question(how="Take the cover off and look at the wiring."),
        "inside of the housing",
    ),
    # complaints
    ("a danger renamed", entry("symptoms", "tingling", name="the machine feels fizzy"), "`name:`"),
    ("a danger among harmless areas", entry("symptoms", "tingling", area="taste"), "`area:`"),
    (
        "a danger that claims something else",
        entry("symptoms", "tingling", finding={"flow": "fast"}),
        "`finding:`",
    ),
    (
        "a danger overruled by an answer",
        entry("symptoms", "tingling", unless_known=["danger_sign"]),
        "`unless_known:`",
    ),
    ("a danger retired", retired("symptoms", "tingling"), "can't be retired"),
    # cautions
    ("a stop retired", retired("cautions", "mains_stop"), "never take away one"),
    ("a notice retired", retired("cautions", "descale_maker_first"), "never take away one"),
    ("the signal lowered", entry("cautions", "mains_stop", signal="CAUTION"), "can't become CAUTION"),
    ("no stop any more", entry("cautions", "mains_stop", stop="no"), "stops the consult"),
    (
        "a way on where there is none",
        entry("cautions", "mains_stop", go_on="I looked at it."),
        "stops the consult",
    ),
    ("an easier way on", entry("cautions", "lets_go_though_locked", go_on="It is off."), "stops the consult"),
    (
        "the same way on, or an easier one",
        entry(
            "cautions",
            "lets_go_though_locked",
            go_on=(plain("cautions", "lets_go_though_locked")["go_on"] + " Or nobody is near."),
        ),
        "stops the consult",
    ),
    ("another text", entry("cautions", "mains_stop", text="All fine. Go on."), "`text:`"),
    (
        "the text with an end that takes it back",
        entry(
            "cautions",
            "mains_stop",
            text=(plain("cautions", "mains_stop")["text"] + " This does not count here."),
        ),
        "`text:`",
    ),
    (
        "the advice behind a negation",
        entry(
            "cautions",
            "mains_stop",
            avoid=("None of this is needed: " + plain("cautions", "mains_stop")["avoid"]),
        ),
        "`avoid:`",
    ),
    ("shown on less", entry("cautions", "mains_stop", when={"mains_hazard": ["shock"]}), "`when:`"),
    (
        "an own danger that takes the real one back",
        own_caution(text="This tingle is harmless."),
        "takes a caution back",
    ),
    (
        "an own danger that has the one above ignored",
        own_caution(avoid="Ignore the warning above."),
        "takes a caution back",
    ),
    ("an own way on that takes it back", own_caution(go_on="Never mind the tingle."), "takes a caution back"),
    (
        "a rule that raises a danger on less",
        entry("rules", "hot_plug_or_plastic", when={"bag_smell": "fresh"}),
        "must go on doing so",
    ),
    (
        "a rule that raises another",
        entry("rules", "hot_plug_or_plastic", caution="tools_slip"),
        "must go on doing so",
    ),
    ("a rule that raises a danger retired", retired("rules", "hot_plug_or_plastic"), "can't be retired"),
    # fixes
    ("`before:` emptied", entry("remedies", BACKFLUSH, before=...), "`before:`"),
    ("`before:` widened", entry("remedies", BACKFLUSH, before="On any machine."), "`before:`"),
    ("`stop:` emptied", entry("remedies", BACKFLUSH, stop=...), "`stop:`"),
    ("`stop:` turned", entry("remedies", TECHNICIAN, stop="A bigger fuse will do."), "`stop:`"),
    ("`requires:` emptied", entry("remedies", BACKFLUSH, requires=...), "`requires:`"),
    (
        "`requires:` widened",
        entry("remedies", BACKFLUSH, requires={"backflush_valve": ["yes", "no"]}),
        "`requires:`",
    ),
    ("`cautions:` emptied", entry("remedies", BACKFLUSH, cautions=[]), "leaves out"),
    (
        "one caution left out",
        entry("remedies", BACKFLUSH, cautions=plain("remedies", BACKFLUSH)["cautions"][1:]),
        "leaves out the WARNING portafilter_pressure",
    ),
    (
        "cautions of its own put before",
        entry("remedies", BACKFLUSH, cautions=["tools_slip", *plain("remedies", BACKFLUSH)["cautions"]]),
        "`cautions:`",
    ),
    (
        "a technician's work handed to anyone",
        entry("remedies", TECHNICIAN, who="anyone"),
        "technician's work",
    ),
    (
        "a careful owner's work handed to anyone",
        entry("remedies", BACKFLUSH, who="anyone"),
        "careful owner's work",
    ),
    (
        "a step inside the housing",
        more("remedies", TECHNICIAN, "steps", "Open the housing and bridge the link."),
        "`steps:`",
    ),
    (
        "a step inside a harmless fix",
        entry(
            "remedies",
            "rest_beans",
            steps=[*STEPS["rest_beans"], "Then take the cover off and push the thermal fuse back."],
        ),
        "inside of the housing",
    ),
    (
        "a harmless fix that meets steam, without its caution",
        entry("remedies", "rest_beans", steps=[*STEPS["rest_beans"], "Open the steam wand over your hand."]),
        "touches hot water",
    ),
    ("steps left out", entry("remedies", BACKFLUSH, steps=STEPS[BACKFLUSH][:1]), "`steps:`"),
    ("a technician's fix made dear", entry("remedies", TECHNICIAN, minutes=9000), "`minutes:`"),
    ("a technician's fix retired", retired("remedies", TECHNICIAN), "can't be retired"),
    ("a twin without the cautions", twin(cautions=...), "is the same work as"),
    (
        "a twin with one caution less",
        twin(cautions=plain("remedies", BACKFLUSH)["cautions"][:-1]),
        "is the same work as",
    ),
    ("a twin in lesser hands", twin(who="anyone"), "is the same work as"),
    ("a twin of another name", twin(name="Sunday wash", cautions=...), "is the same work as"),
    (
        "a twin with its steps run together",
        twin(
            name="Sunday wash",
            steps=[" ".join(STEPS[BACKFLUSH][:2])[:299], " ".join(STEPS[BACKFLUSH][2:4])[:299]],
            cautions=["hot_parts_touch"],
        ),
        "is the same work as",
    ),
    (
        "work inside the housing of its own",
        own_remedy(steps=["Open the housing and clean the solenoid."]),
        "inside of the housing",
    ),
    (
        "work on cleaners of its own, under a notice",
        house(
            remedies={"soak": remedy(steps=["Soak it in espresso detergent."], cautions=["mild"])},
            cautions={
                "mild": caution(
                    signal="NOTICE", text="Detergent is wet.", stop="no", when={"bag_smell": "fresh"}
                )
            },
        ),
        "touches cleaners",
    ),
    (
        "work of its own that lets the check of hazards pass",
        own_remedy(
            steps=["Open the housing."], allow={"inside_by_owner": "We know what we do in this house."}
        ),
        "lets",
    ),
    (
        "a fix that has the caution ignored",
        own_remedy(steps=["Ignore the caution and go on."]),
        "speaks against",
    ),
    # numbers
    ("a brew pressure that bursts", entry("targets", "brew_pressure", value=20, high=22), "too far"),
    ("milk that scalds", entry("targets", "milk_temperature", value=95, high=98), "too far"),
    ("a target in another unit", entry("targets", "brew_pressure", unit="psi"), "`unit:` must stay"),
    (
        "a number of a cautioned fix worked out otherwise",
        entry("measures", "steam_boiler_temperature", default="as hot as it gets"),
        "`default:`",
    ),
    # hidden or buried
    ("a control character", own_caution(text="It tingles.\x1b[2J"), "hidden character"),
    ("a control character written out", own_caution(text="It tingles.\x9b2J"), "hidden character"),
    ("a bidirectional character", own_caution(text="It \u202ezaps\u202c you."), "hidden character"),
    ("an invisible character in lay words", symptom(lay=["ting\u200ble on the metal"]), "hidden character"),
    ("a filler that looks like nothing", own_caution(avoid="Pull\u3164the plug."), "hidden character"),
    ("a soft hyphen in a name", own_remedy(name="Move the\u00ad tin"), "hidden character"),
    ("letters of another alphabet in lay words", symptom(lay=["t\u0456ngle on the metal"]), "alphabets"),
    ("marks heaped on a letter", own_caution(text="It tin\u0301\u0302\u0303\u0304gles."), "hidden character"),
    ("mark-up that hides what follows", own_remedy(steps=["Move the tin. <!-- "]), "mark-up"),
    (
        "empty lines that push the rest off",
        own_caution(text="It tingles.\n\n\n\n\nA lot."),
        "blanks or empty lines",
    ),
    ("blanks that push the rest off", own_caution(text="It tingles." + " " * 90 + "A lot."), "blanks"),
    (
        "a caution too long to be read",
        own_caution(text="The tingle comes from the mains. " * 12),
        "characters",
    ),
    ("a step too long to be read", own_remedy(steps=["Move the tin to the left. " * 13]), "characters"),
    (
        "steps too many to be read",
        own_remedy(steps=[f"Move tin {i} to the left." for i in range(13)]),
        "entries",
    ),
    (
        "cautions too many to be read",
        house(cautions={f"own_{i}": caution(stop="no", signal="NOTICE") for i in range(13)}),
        "bury",
    ),
    ("stops too many to be read", house(cautions={f"own_{i}": caution() for i in range(5)}), "bury"),
)


def told(home: Path) -> list[str]:
    """All that the house check calls an error."""
    try:
        return [str(issue) for issue in check([home]).issues if issue.severity == "error"]
    except KnowledgeError as error:
        return [str(problem) for problem in error.problems]


@pytest.mark.parametrize(("rules", "words"), [row[1:] for row in ATTACKS], ids=[row[0] for row in ATTACKS])
def test_a_way_of_taking_caution_is_refused(tmp_path: Path, rules: Data, words: str) -> None:
    home = folder(
        tmp_path,
        "home",
        bad=dumped(rules),
        good=dumped(
            house(targets={"shot_time": plain("targets", "shot_time") | {"low": 24, "replaces": "yes"}})
        ),
    )
    loaded = load([str(home)])
    (problem, *_) = [p for p in loaded.broken if words in p.text] or pytest.fail(f"{loaded.broken}")
    lines = (home / "bad.yaml").read_text(encoding="utf-8").splitlines()
    assert problem.place.file == str(home / "bad.yaml") and 1 <= problem.place.line <= len(lines)
    assert {Path(p.place.file).name for p in loaded.broken} == {"bad.yaml"}, "the good file went too"
    assert [Path(c.file).name for c in loaded.book.chapters if c.layer] == ["good.yaml"]
    assert any(words in text and "bad.yaml:" in text for text in told(home))


def test_the_ways_are_many_and_distinct() -> None:
    assert len({dumped(rules) for _, rules, _ in ATTACKS}) == len(ATTACKS) >= 60


LAWFUL: tuple[tuple[str, Data], ...] = (
    ("a caution of its own", own_caution()),
    ("a caution of its own with a way on", own_caution(go_on="An electrician has tested it.")),
    ("a notice of its own", own_caution(signal="NOTICE", stop="no", text="The socket is behind the shelf.")),
    ("a rule that raises a danger more often", rule(when={"machine_smell": "burning"}, caution="mains_stop")),
    ("a rule that concludes a danger more often", rule(then={"mains_hazard": "trips"})),
    (
        "a rule for a cause of danger",
        rule(when={"danger_sign": "tingle"}, weigh={"earth_fault": "slight for"}),
    ),
    ("a target moved", entry("targets", "shot_time", low=22, value=25, high=28)),
    ("a lower brew pressure", entry("targets", "brew_pressure", low=5, value=6, high=7)),
    (
        "a target of its own",
        house(
            targets={
                "shelf_life": {"label": "life of a bag here", "unit": "days", "value": 20, "source": "house"}
            }
        ),
    ),
    ("a cause of its own", own_cause()),
    (
        "a cause of danger of its own",
        own_cause(
            name="the old lead in the cellar",
            shows={"tingling": "sometimes"},
            evidence=[{"when": {"danger_sign": "tingle"}, "weight": "slight for"}],
            remedies=[{"remedy": "unplug_and_hand_over"}],
        ),
    ),
    ("more lay words for a complaint", more("symptoms", "shot_too_fast", "lay", "whoosh and gone")),
    ("more lay words for a danger", more("symptoms", "tingling", "lay", "bites my elbow")),
    (
        "more lay words for a danger's answer",
        answered(
            "danger_sign",
            "tingle",
            lay=[*plain("observations", "danger_sign")["answers"]["tingle"]["lay"], "it bites"],
        ),
    ),
    ("a stop where there was none", entry("cautions", "tools_slip", stop="yes")),
    ("no way on after a stop", entry("cautions", "lets_go_though_locked", go_on=...)),
    ("a signal raised", entry("cautions", "glass_thermal", signal="WARNING")),
    ("one more caution for a fix", more("remedies", "rest_beans", "cautions", "tools_slip")),
    ("one more caution for a fix that has some", more("remedies", TECHNICIAN, "cautions", "tools_slip")),
    ("one more caution for a question", more("observations", "bloom_test", "cautions", "tools_slip")),
    ("work kept for a technician", entry("remedies", BACKFLUSH, who="technician")),
    (
        "a condition before a fix that had none",
        entry("remedies", TECHNICIAN, before="Our electrician is called first."),
    ),
    (
        "a harmless fix with steps of this house",
        entry("remedies", "rest_beans", steps=["Leave the bag in the hall."]),
    ),
    ("a harmless fix of its own", own_remedy()),
    (
        "a fix of its own with its caution",
        own_remedy(steps=["Open the steam wand over the tray."], cautions=["steam_burst"]),
    ),
    ("a twin with all cautions", twin(name="Sunday wash")),
    ("a harmless question of its own", question()),
    ("a harmless complaint of its own", symptom()),
    ("a danger asked for more eagerly", entry("observations", "danger_sign", minutes=0.05)),
    ("a harmless cause made rarer", entry("causes", "grind_too_coarse", common="uncommon")),
    ("a harmless fix retired", retired("remedies", "thaw_shut")),
    ("words of another tongue", symptom(lay=["siffle comme une bouilloire d\u00e9\u00e7ue"])),
)


@pytest.mark.parametrize("rules", [row[1] for row in LAWFUL], ids=[row[0] for row in LAWFUL])
def test_what_adds_or_takes_no_caution_is_loaded(tmp_path: Path, rules: Data) -> None:
    home = folder(tmp_path, "home", ours=dumped(rules))
    loaded = load([str(home)])
    assert not loaded.broken
    assert [Path(c.file).name for c in loaded.book.chapters if c.layer] == ["ours.yaml"]


@pytest.mark.parametrize("rules", [row[1] for row in LAWFUL[::4]], ids=[row[0] for row in LAWFUL[::4]])
def test_what_is_loaded_is_no_error_of_the_check(tmp_path: Path, rules: Data) -> None:
    assert not told(folder(tmp_path, "home", ours=dumped(rules)))


def test_the_lawful_ways_are_many() -> None:
    assert len(LAWFUL) >= 20
