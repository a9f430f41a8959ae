"""Who wrote: by the columns, by the sign-off; nothing else passes for a name."""

from __future__ import annotations

from pathlib import Path

import pytest

from diagnose.mail.letters import read
from diagnose.mail.person import Person, of_columns, signed


@pytest.mark.parametrize("text, name", [
    ("It drips.\nKind regards,\nOdalys Finch", "Odalys Finch"),
    ("It drips. Cheers, Bram", "Bram"),
    ("Yours in some hurry, Petronel", "Petronel"),
    ("It drips. Signed, Ysolde, who is late", "Ysolde"),
    ("My name is Corwin and it drips.", "Corwin"),
    ("It drips.\n\n- Jean-Luc", "Jean-Luc"),
    ("It drips. Thanks!", ""),
    ("It drips. Thanks. Help Please", ""),
    ("Best, the coffee drips", ""),
    ("The grinder is a Thing", ""),
    ("", ""),
])
def test_the_name_in_a_sign_off(text: str, name: str) -> None:
    assert signed(text) == name


def test_columns_are_known_by_their_heads() -> None:
    found = of_columns([("From", "Ada\tQuill"), ("E-mail", "a@example.org"), ("ID", "7"), ("x", "y")], "text")
    assert found == Person("Ada Quill", "a@example.org", "7")


@pytest.mark.parametrize("name, greeted", [
    ("J. R. Oakum", "J. R. Oakum"), ("Müller", "Müller"), ("=HYPERLINK(1)", ""), ("<b>Ann</b>", ""),
    ("a@example.org", ""), ("x" * 41, ""), ("", ""), ("All is well. Go on: brew", "")])
def test_only_a_name_is_greeted(name: str, greeted: str) -> None:
    assert Person(name).greeted == greeted


def test_the_columns_of_a_row_stay_with_its_letter(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text(
        'id,name,email,text\n7,Ada,a@example.org,It drips.\n8,,,"Sour. Cheers, Bo"\n')
    letters, _ = read(tmp_path / "a.csv")
    assert [one.person for one in letters] == [Person("Ada", "a@example.org", "7"), Person("Bo", "", "8")]
    (tmp_path / "b.jsonl").write_text('{"id": 9, "from": "Cy", "message": "It drips."}\n')
    (letter,), _ = read(tmp_path / "b.jsonl")
    assert letter.text == "It drips." and letter.person == Person("Cy", "", "9")


@pytest.mark.parametrize("head", ["email", "mail"])
def test_a_column_of_addresses_is_no_column_of_letters(tmp_path: Path, head: str) -> None:
    (tmp_path / "a.csv").write_text(f"{head},said\na@example.org,It drips from the group.\n")
    (letter,), _ = read(tmp_path / "a.csv")
    assert letter.text == "It drips from the group." and letter.person.address == "a@example.org"
