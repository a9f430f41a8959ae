"""Hand-outs: whole, escaped, every caution exact and the gravest first, nothing written over unsaid."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from xml.etree import ElementTree

import pytest

from diagnose.book.model import SIGNALS
from diagnose.book.with_house import load
from diagnose.case.case import Case
from diagnose.case.events import Answered
from diagnose.case.hypothetical import shadow
from diagnose.cli import main
from diagnose.errors import UserError
from diagnose.reason.system import System
from diagnose.teach import find, handout
from diagnose.teach.drawing import WIDTH
from diagnose.teach.sheet import sheet
from diagnose.teach.tree import Fork, Leaf, TreeNode, causes, tree
from tests.report.test_page import read

TROUBLES = ("shot_too_fast", "foam_dry", "water_in_machine", "no_water_group", "handle_stuck")


@pytest.fixture(scope="module")
def system() -> System:
    return System(load().book)


def cautions(page: str) -> list[tuple[str, str]]:
    """Signal word and text of each caution, as a reader meets them."""
    found = re.findall(r'<div class="caution" role="note"><strong>\d+\. (\w+):</strong> (.*?)</div>', page)
    return [(signal, unescape(text)) for signal, text in found]


@pytest.fixture(scope="module")
def pages(system: System) -> dict[str, str]:
    return {name: handout.pages(system, [name], "a4", 2, False) for name in TROUBLES}


def test_a_page_is_whole_needs_nothing_from_outside_and_leaves_no_number_open(pages: dict[str, str]) -> None:
    for page in pages.values():
        met = read(page)
        assert met.headings[0] == "h1" and not {"src", "href", "onclick"} & {n for _, n, _ in met.attributes}
        assert not re.search(r"\{[a-z_.]+\}", page.partition("</style>")[2])
        assert "http" not in page


def test_every_caution_of_every_remedy_stands_in_full_the_gravest_first(
        system: System, pages: dict[str, str]) -> None:
    shown = 0
    for name, page in pages.items():
        one, said = sheet(system, name, 2), cautions(page)
        assert [s for s, _ in said] == sorted((s for s, _ in said), key=SIGNALS.index)
        fixes = [s.fix.remedy for s in one.shown if s.fix]
        for remedy in fixes:
            for caution in system.book.remedies[remedy].cautions:
                stated = system.book.cautions[caution]
                assert (stated.signal, f"{stated.text} {stated.avoid}") in said
                shown += 1
        if fixes:
            assert page.index('class="caution"') < page.index("Try first")
    assert shown > 5


def test_a_danger_says_stop_first_and_offers_nothing_to_try(system: System) -> None:
    page = handout.pages(system, ["flames"], "a4", 2, False)
    assert "Stop. Do not go on." in page and "Try first" not in page and "<svg" not in page
    assert page.index("Stop. Do not go on.") < page.index("<footer")


def test_a_class_sheet_holds_every_caution_once_before_all_else(system: System) -> None:
    names = TROUBLES
    page = handout.pages(system, names, "a5", 2, True)
    said = cautions(page)
    assert len(set(said)) == len(said) and "size: A5" in page
    assert page.rindex('class="caution"') < page.index("<article>")
    assert page.count("<article>") == len(names)


def test_a_technicians_work_is_named_without_its_steps(system: System) -> None:
    book = system.book
    name = next(n for n in book.symptoms for s in [sheet(system, n, 0)]
                if any(x.fix and x.fix.who == "technician" for x in s.shown))
    page = handout.pages(system, [name], "a4", 0, False)
    fix = next(x.fix for x in sheet(system, name, 0).shown if x.fix and x.fix.who == "technician")
    assert f"What they would do: {fix.name}." in unescape(page)
    assert not any(step in unescape(page) for step in fix.steps)


def test_the_tree_asks_what_the_engine_asks_and_its_leaves_are_cases_of_their_own(system: System) -> None:
    case = Case(system)
    case.complain("", ["shot_too_fast"])
    root = tree(case, 2).root
    assert isinstance(root, Fork) and root.observation == case.step().question.observation  # type: ignore[union-attr]
    ways = {a: b.to for b in root.branches for a in b.answers}
    stated = system.book.observations[root.observation]
    for answer, said in stated.answers.items():
        after = shadow(case, [Answered(root.observation, answer)])
        to = ways[said.says]
        if isinstance(to, Fork):
            assert to.observation == after.step().question.observation  # type: ignore[union-attr]
        elif not to.stop:
            assert to.causes[0] == after.ranked[0].cause


def forks(node: TreeNode) -> list[Fork]:
    return [] if isinstance(node, Leaf) else [node, *(f for b in node.branches for f in forks(b.to))]


def test_no_question_is_drawn_whose_answers_all_lead_to_the_same(system: System) -> None:
    case = Case(system)
    case.complain("", ["foam_dry"])
    found = forks(tree(case, 2).root)
    assert len(found) > 1 and all(len(fork.branches) > 1 for fork in found)


def depth(node: TreeNode) -> int:
    return 0 if isinstance(node, Leaf) else 1 + max(depth(b.to) for b in node.branches)


def test_the_tree_is_as_deep_as_asked_for(system: System) -> None:
    case = Case(system)
    case.complain("", ["shot_too_fast"])
    assert [depth(tree(case, d).root) for d in (2, 3)] == [2, 3]
    assert set(causes(tree(case, 2).root)) <= system.book.causes.keys()


def test_the_drawing_is_sound_told_in_words_and_fits_a_phone(system: System, pages: dict[str, str]) -> None:
    drawn = [svg for page in pages.values() for svg in re.findall(r"<svg.*?</svg>", page, re.S)]
    assert drawn
    for svg in drawn:
        root = ElementTree.fromstring(svg)
        texts = [t for t in root.iter("text")]
        assert root.find("desc") is not None and texts and int(root.attrib["width"]) == WIDTH <= 340
        for text in texts:   # letters of this size are 6.5 wide on average
            assert float(text.attrib["x"]) + len(text.text or "") * 6.5 < WIDTH
        colours = set(re.findall(r"#[0-9a-fA-F]{3,6}", svg))
        assert colours == {"#000"}


def test_the_wall_card_says_the_houses_numbers(tmp_path: Path, system: System) -> None:
    house = tmp_path / "lane"
    house.mkdir()
    (house / "targets.yaml").write_text(
        "schema: 1\nchapter: lane\ntitle: The lane\ntargets:\n"
        "  dose: {label: dose, unit: g, low: 15, value: 16, high: 17, replaces: yes, source: house}\n")
    page = handout.card(load([str(house)]).book, "a5", Case(system).today)
    assert "16 g" in page and "15 to 17 g" in page and "set by lane" in page
    read(page)
    assert page.count("<tr>") == 1 + len(system.book.targets)


def test_the_steps_carry_the_houses_numbers(tmp_path: Path) -> None:
    house = tmp_path / "lane"
    house.mkdir()
    (house / "targets.yaml").write_text(
        "schema: 1\nchapter: lane\ntitle: The lane\ntargets:\n"
        "  shot_time: {label: shot time, unit: s, low: 37, value: 39,"
        " high: 41, replaces: yes, source: house}\n")
    page = handout.pages(System(load([str(house)]).book), ["shot_too_fast"], "a4", 0, False)
    assert "41 s" in page and "26 s to 32 s" not in page


def test_words_find_a_trouble_and_doubtful_ones_name_the_nearest(system: System) -> None:
    book = system.book
    name = book.symptoms["shot_too_fast"].name
    assert find.symptoms(book, name.split()) == ["shot_too_fast"]
    assert find.symptoms(book, ["shot_too_fast", name]) == ["shot_too_fast"]
    with pytest.raises(UserError, match=r"name one of these:\n  \w+: "):
        find.symptoms(book, ["water"])
    with pytest.raises(UserError, match="lookup --list"):
        find.symptoms(book, ["zzqx"])


def test_nothing_is_written_over_without_being_told(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["handout", "--targets"]) == 0 and "Written: targets.html" in capsys.readouterr().out
    assert main(["handout", "--targets"]) == 2 and "--replace" in capsys.readouterr().err
    assert main(["handout", "--targets", "--replace"]) == 0
    assert "Written over: targets.html" in capsys.readouterr().out
    (tmp_path / "mine.html").write_text("mine")
    assert main(["handout", "--targets", "-o", "mine.html", "--replace"]) == 2
    assert (tmp_path / "mine.html").read_text() == "mine"
    assert main(["handout"]) == 2 and main(["handout", "x", "--targets"]) == 2
