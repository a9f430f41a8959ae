"""House files as text: what is put in, and that all else stays as it was."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.book.yaml.decode import ID
from diagnose.book.yaml.source import read_text
from diagnose.errors import UserError
from diagnose.house.make import LONGEST_ID, new_id, slug
from diagnose.house.write import (
    Addition,
    entry_text,
    head,
    holds,
    save,
    state,
    with_entries,
    without_entry,
)
from tests.book.small import SMALL, book_of

NEW = Addition("targets", "dose", {"label": "dose", "unit": "g", "value": 18, "source": "house"})
GONE = Addition("retires", "", {"kind": "causes", "id": "too_old", "reason": "we buy fresh: always"})
OWNED = """\
# Our house.
schema: 1     # the first
chapter: house
title: Ours

targets:
    # what we aim at
    shot_time:   {label: shot time, unit: s,
                  value: 25, source: house}   # seconds
    # end of the targets

# Rules below.
rules:
    r1:
        when: {fresh: "yes"}
        weigh: {too_old: slight against}
        source: house
        note: >
            Folded
            text.
"""


def _lines_left(before: str, after: str) -> bool:
    """Does every line of before stand in after, in order?"""
    rest = iter(after.splitlines())
    return all(line in rest for line in before.splitlines())


@pytest.mark.parametrize("text", [OWNED, head("Ours"), OWNED.rstrip("\n")])
@pytest.mark.parametrize("addition", [NEW, GONE, NEW._replace(kind="rules", id="r2", data={
    "when": {"fresh": "no"}, "weigh": {"too_old": "slight for"}, "source": "house"})])
def test_an_entry_is_added_and_nothing_else_changes(text: str, addition: Addition) -> None:
    after = with_entries(text, [addition])
    data = read_text(after, "x").data
    section = data[addition.kind]
    assert (section[addition.id] if addition.id else section[-1]).keys() == addition.data.keys()
    assert _lines_left(text, after)
    before = read_text(text.rstrip() + "\n", "x").data
    assert {k: v for k, v in data.items() if k != addition.kind} == {
        k: v for k, v in before.items() if k != addition.kind}


def test_the_new_entry_stands_after_the_section_and_its_comments() -> None:
    lines = with_entries(OWNED, [NEW]).splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("    dose:"))
    assert lines[at - 1] == "    # end of the targets" and lines[at + 1] == ""


def test_entries_after_one_another() -> None:
    text = head("Ours")
    for i in range(5):
        text = with_entries(text, [NEW._replace(id=f"dose_{i}"), GONE])
    data = read_text(text, "x").data
    assert list(data["targets"]) == [f"dose_{i}" for i in range(5)] and len(data["retires"]) == 5


def test_lines_end_as_they_did() -> None:
    text = OWNED.replace("\n", "\r\n")
    after = with_entries(text, [NEW])
    assert after.count("\r\n") == after.count("\n")
    assert without_entry(after, "targets", "dose", "no").count("\r\n") == after.count("\n") + 1


def test_a_section_in_brackets_is_left_alone() -> None:
    with pytest.raises(UserError, match="line 4: targets stands in brackets"):
        with_entries(head("Ours") + "targets: {a: {label: aa, unit: g, value: 1}}\n", [NEW])


_TEXTS = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=2, max_size=200).filter(
    lambda t: t.strip() == t)


@given(text=_TEXTS, steps=st.lists(_TEXTS, min_size=1, max_size=4))
def test_any_text_is_read_back_as_it_was(text: str, steps: list[str]) -> None:
    made = Addition("remedies", "own", {"name": text, "steps": steps, "minutes": 3})
    data = read_text(with_entries(head("Ours"), [made]), "x").data
    assert data["remedies"]["own"]["name"] == text and data["remedies"]["own"]["steps"] == steps


def test_an_entry_taken_out_becomes_a_comment() -> None:
    text = with_entries(OWNED, [NEW])
    after = without_entry(text, "targets", "shot_time", "not\nused")
    assert "# retired: not used\n#     shot_time:" in after
    assert list(read_text(after, "x").data["targets"]) == ["dose"]


def test_the_last_entry_takes_its_section_with_it() -> None:
    after = without_entry(OWNED, "targets", "shot_time", "gone")
    assert read_text(after, "x").data.keys() == {"schema", "chapter", "title", "rules"}
    again = with_entries(after, [NEW])
    assert list(read_text(again, "x").data["targets"]) == ["dose"]


def test_a_folded_text_at_the_end_is_taken_out_whole() -> None:
    assert read_text(without_entry(OWNED, "rules", "r1", "gone"), "x").data.keys() == {
        "schema", "chapter", "title", "targets"}


def test_what_is_not_there_cannot_be_taken_out() -> None:
    assert holds(OWNED, "targets", "shot_time") and not holds(OWNED, "targets", "dose")
    with pytest.raises(UserError, match="take it out by hand"):
        without_entry(OWNED, "targets", "dose", "gone")


def test_entries_read_well() -> None:
    assert entry_text(NEW) == "  dose: {label: dose, unit: g, value: 18, source: house}\n"
    assert entry_text(GONE).startswith("  - {kind: causes, id: too_old,")


def test_a_file_is_written_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "new" / "rules.yaml"
    save(path, "one\n", state(path.parent))
    path.chmod(0o600)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(UserError, match=r"No space left on device.*nothing was changed"):
        save(path, "two\n", state(path.parent))
    assert path.read_text() == "one\n"
    monkeypatch.undo()
    save(path, "three\n", state(path.parent))
    assert path.read_text() == "three\n" and path.stat().st_mode & 0o777 == 0o600


def test_a_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(UserError, match="can't be written"):
        save(tmp_path / "taken" / "rules.yaml", "one\n", {})


@given(st.text(max_size=80))
def test_any_words_make_an_id(text: str) -> None:
    assert ID.fullmatch(slug(text))


def test_an_id_is_new() -> None:
    book = book_of(SMALL)
    assert new_id(book, "Too old") == "too_old_2" and new_id(book, "Any") not in ("any", "")


def test_a_long_id_is_cut_between_words() -> None:
    made = slug("The old lever machine of Lantern Lane kicks back when wet")
    assert made == "the_old_lever_machine_of_lantern_lane"
    assert len(slug("x" * 90)) == LONGEST_ID
