"""The phrasebook: read strictly, in step with the book, and patterns that mean what they say."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from diagnose.book.problems import KnowledgeError
from diagnose.reading.complaint import understand
from diagnose.reading.wordings import phrasebook
from diagnose.reading.wordings.patterns import PatternError, compiled, make, sentences
from diagnose.storage import paths

CLASSES = {"beans": ("beans", "bag"), "changed": ("changed", "went over to")}
SKIP = frozenset(["a", "the", "it", "i", "be", "always", "any"])


def fits(pattern: str, text: str) -> bool:
    found = make(pattern, CLASSES, SKIP)
    return any(compiled(found.code).search(row.code) for row in sentences(text, SKIP))


@pytest.mark.parametrize(
    "pattern, text",
    [
        ("changed the beans", "I changed beans"),
        ("<changed> .. <beans>", "we went over to some other bag"),
        ("new (coffee|) beans", "new beans"),
        ("no crema", "there isn't any crema"),
        ("not .. crema", "it does not give crema"),
        ("NUM clicks", "moved it 3 clicks"),
        ("finer ... no difference", "I went finer, twice, and it made no difference"),
        ("other beans .., same", "other beans, the same"),
        ("new machine", "a new espresso machine"),
        ("new .. bag .. NOW", "a new sort of bag and now it gushes"),
        ("new bag NOW", "new bag, now it gushes"),
    ],
)
def test_a_pattern_fits_what_it_says(pattern: str, text: str) -> None:
    assert fits(pattern, text)


@pytest.mark.parametrize(
    "pattern, text",
    [
        ("lever machine", "not a lever machine"),
        ("no crema", "lovely crema"),
        ("changed .. beans", "I changed the water. The beans are old."),
        ("changed .. beans", "I changed the water, the beans are old"),
        ("changed .. beans", "I have not changed the beans"),
        ("new coffee", "a new coffee machine"),
        ("new bag .. NOW", "I have a new bag now"),
        ("foam .. fast", "the foam is dry and the shot runs too fast"),
        ("finer ... no difference", "finer helps. It makes no difference to me what it costs"),
    ],
)
def test_a_pattern_fits_nothing_else(pattern: str, text: str) -> None:
    assert not fits(pattern, text)


@pytest.mark.parametrize("pattern", ["the", "..", "(|)", "NUM", "not always", "<milk> beans"])
def test_a_pattern_that_says_nothing_is_refused(pattern: str) -> None:
    with pytest.raises(PatternError):
        make(pattern, CLASSES, SKIP)


def test_a_fault_is_named_with_its_place(tmp_path: Path) -> None:
    path = tmp_path / "facts.yaml"
    path.write_text("schema: 1\nskip: [the]\nanswers:\n  taste:\n    sour: [<acid> taste]\n", "utf-8")
    with pytest.raises(KnowledgeError, match=r"facts.yaml:5:.*no class <acid>"):
        phrasebook.read(path)


def test_a_name_in_two_files_is_refused(tmp_path: Path) -> None:
    files = [tmp_path / "a.yaml", tmp_path / "b.yaml"]
    for file, said in zip(files, ("sour", "tart"), strict=True):
        file.write_text(f"schema: 1\nskip: [the]\nanswers:\n  taste:\n    sour: [{said}]\n", "utf-8")
    with pytest.raises(KnowledgeError, match=r"b.yaml:4:.*taste stands in `answers:` at a.yaml:4"):
        phrasebook.read(*files)


def test_wordings_that_are_gone_are_missed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(paths, "shipped", lambda: tmp_path)
    with pytest.raises(KnowledgeError, match=r"common.yaml"):
        phrasebook.load()


@pytest.mark.parametrize(("title", "entry", "fault"), [
    ("about", "(side|edge) of it", r"facts.yaml:6:.*can't hold \( \| \)"),
    ("unless", "side|edge", r"facts.yaml:6:.*can't hold"),
    ("given", "<acid>", r"facts.yaml:4:.*no class <acid>"),
])
def test_a_fault_in_a_plain_list_is_named_with_its_place(tmp_path: Path, title: str, entry: str,
                                                         fault: str) -> None:
    path = tmp_path / "facts.yaml"
    path.write_text(f'schema: 1\nskip: [the]\n{title}:\n  taste:\n    - sour\n    - "{entry}"\n', "utf-8")
    with pytest.raises(KnowledgeError, match=fault):
        phrasebook.read(path)


def test_every_name_in_the_phrasebook_is_in_the_book(book: Any) -> None:
    found = phrasebook.read(*phrasebook.shipped())
    wrong = [n for n in (*found.about, *found.given, *found.history, *found.context, *found.own_words,
                         *(n.partition("=")[0] for n in found.offered), *found.over,
                         *(n.partition("=")[0] for names in found.over.values() for n in names))
             if n not in book.observations and n not in book.symptoms]
    for rule in found.rules:
        if rule.kind == "answer":
            stated = book.observations.get(rule.name)
            if stated is None or not (rule.value in stated.answers or stated.kind == "yes_no"):
                wrong.append(f"{rule.name}: {rule.value}")
        elif rule.name not in {"symptom": book.symptoms, "fix": book.remedies}.get(rule.kind, {rule.name}):
            wrong.append(rule.name)
    assert wrong == []


def test_no_pattern_gives_two_answers_of_one_question() -> None:
    found = phrasebook.read(*phrasebook.shipped())
    given: dict[tuple[str, str], str] = {}
    for rule in found.rules:
        if rule.kind == "answer":
            key = rule.name, rule.pattern.code
            assert given.setdefault(key, rule.value) == rule.value, rule


def test_the_phrasebook_is_recalled_as_it_was_read() -> None:
    assert phrasebook.load() == phrasebook.load() == phrasebook.read(*phrasebook.shipped())


@pytest.mark.parametrize(("text", "symptom"), [
    ("water drips out around the rim of the portafilter during the shot", "rim_leaks"),
    ("it drips from the sides of the portafilter when I pull a shot", "rim_leaks"),
    ("coffee comes out between the group and the portafilter", "rim_leaks"),
    ("only slow drips come out of the portafilter spouts", "shot_too_slow"),
])
def test_what_drips_past_the_rim_is_no_slow_shot(book: Any, text: str, symptom: str) -> None:
    found = understand(book, text)
    assert set(found.symptoms) <= {symptom} and symptom in (*found.symptoms, *found.maybe)
    assert "flow_look" not in found.values or symptom == "shot_too_slow"


@pytest.mark.parametrize(("text", "symptoms", "values"), [
    ("grind setting changes did nothing", ("flow_unchanged_after_grind",),
     {"grind_change_result": "unchanged"}),
    ("coffee is sour no matter what I do", ("taste_sour",), {"taste": "sour"}),
    ("steam comes out of the group head when I flush", ("group_spits_steam",), {}),
    ("steam wand has no pressure", ("steam_weak",), {}),
    ("little black bits in my cup", ("grounds_in_cup",), {"cup_bottom": "grains"}),
    ("my grinder does not work", ("grinder_dead",), {}),
    ("my machine does not work", ("stopped_working",), {}),
    ("it never worked from day one", (), {"ever_worked": "never"}),
    ("latte art will not work, foam sits in a blob", ("pour_blob",), {"drink_kind": "latte"}),
    ("milk screams when I steam it", ("milk_screeches",), {"air_sound": "screech"}),
    ("steam screams out of the top of the machine", ("boiler_over_pressure",),
     {"steam_escape": "blast"}),
    ("water sprays out of the tank connection", (), {}),
    ("it does not have a pressure gauge", (), {"gauge": "none"}),
    ("I lost the o-ring", (), {}),
    ("brown sludge inside the tank", ("mould_found",), {}),
    ("the drip tray smells", ("machine_smells",), {}),
    ("the machine smells of burning", ("burning_smell",),
     {"danger_sign": "burning", "machine_smell": "burning"}),
    ("the boiler keeps refilling", ("boiler_overfills",), {"fill_run": "often"}),
    ("new bag of beans and everything runs fast", ("shot_too_fast",), {"last_change": "beans"}),
])
def test_plain_complaints_say_this_and_no_more(book: Any, text: str, symptoms: tuple[str, ...],
                                               values: dict[str, str]) -> None:
    found = understand(book, text)
    assert set(found.symptoms) <= set(symptoms) and found.values.items() <= values.items()
    assert set(symptoms) <= {*found.symptoms, *found.maybe}


@pytest.mark.parametrize("text, tap", [
    ("the hot water from the tap looks cloudy", False),
    ("I fill it with water from the tap", True),
    ("hot water is cloudy, I use tap water", True),
])
def test_hot_water_from_a_tap_is_not_what_goes_in(book: Any, text: str, tap: bool) -> None:
    found = understand(book, text)
    assert ("fill_water" in found.values) is tap
    assert ("water_cloudy" in found.symptoms) is ("cloudy" in text)
