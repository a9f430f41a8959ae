"""Shots as they went: within 80 columns, the same as lines, and as drawings of a page."""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path

import pytest

from diagnose import cli
from diagnose.notebook import over_time
from diagnose.notebook.plot import Plot, draw, listed
from diagnose.notebook.store import Notebook
from diagnose.report import log
from tests.notebook.rows import CURVE, NOW, fill, shot


@pytest.fixture
def notebook(tmp_path: Path) -> Notebook:
    made = Notebook(tmp_path / "notebook.sqlite")
    fill(made, "shots", [*CURVE, shot(1, 13, 28.5, grinder="<b>left</b>", note="sweet")])
    return made


def test_time_yield_and_ratio_are_drawn_within_80_columns(notebook: Notebook) -> None:
    plots = over_time.plots(over_time.rows(notebook))
    assert [p.sentence.partition(":")[0] for p in plots] == ["Shot time", "Yield", "Ratio"]
    assert plots[0].sentence == ("Shot time: 20 s to 28.5 s over 6 shots, the middle one 24.8 s, "
                                 "the last 28.5 s.")
    assert plots[2].points[0] == (0.0, 2.0)
    assert all(len(line) < 80 for plot in plots for line in draw(plot).splitlines())


def test_the_axis_stands_in_one_line_however_long_its_numbers() -> None:
    drawn = draw(Plot("So.", "x", "y", [(0, 1.98), (1, 2.03)])).splitlines()
    assert len({line.index("|") for line in drawn if "|" in line}) == 1


def test_the_same_as_a_table(notebook: Notebook) -> None:
    head, first, *rest = over_time.table(over_time.rows(notebook))
    assert head == ["when", "grinder", "mark", "time", "yield", "ratio"] and len(rest) == 5
    assert first[2:] == ["10", "20 s", "36 g", "1:2"]


def test_one_shot_and_none(tmp_path: Path) -> None:
    assert over_time.plots([]) == []
    assert over_time.plots([shot()])[0].sentence == "Shot time: 28 s, one shot."


def test_points_in_lines() -> None:
    assert listed(Plot("So.", "mark", "s", [(12, 28.0)])) == "So.\n\nmark 12: 28 s"
    assert listed(Plot("None.", "mark", "s", ())) == "None."


class _Seen(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tags.append(tag)


def test_the_page_has_three_drawings_told_in_words_and_every_shot(notebook: Notebook) -> None:
    page = log.html(notebook, NOW)
    seen = _Seen()
    seen.feed(page)
    assert seen.tags.count("svg") == seen.tags.count("desc") == 3 and seen.tags.count("circle") == 18
    assert seen.tags.count("tr") == 7 and "<b>left" not in page and "http" not in page.replace(
        "http://www.w3.org", "")


def test_the_page_of_an_empty_notebook_says_so(tmp_path: Path) -> None:
    assert "No shot is logged yet" in log.html(Notebook(tmp_path / "none.sqlite"), NOW)


def test_by_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["notebook", "plot", "shots"]) == 0 and "No shot is logged" in capsys.readouterr().out
    fill(Notebook(), "shots", CURVE)
    assert cli.main(["notebook", "plot", "shots", "--table"]) == 0
    assert capsys.readouterr().out.startswith("when")
    path = str(tmp_path / "page.html")
    assert cli.main(["notebook", "page", "-o", path]) == 0
    assert cli.main(["notebook", "page", "-o", path]) == 2 and "--replace" in capsys.readouterr().err
