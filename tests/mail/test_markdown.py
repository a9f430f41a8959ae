"""What a person wrote never acts as Markdown."""

from __future__ import annotations

import pytest

from diagnose.mail.markdown import plain, quote


@pytest.mark.parametrize(
    "text",
    [
        "# head",
        "> quote",
        "- item",
        "1. one",
        "![x](http://a)",
        "<script>",
        "`code`",
        "*bold* _it_",
        "| a | b |",
        "~~x~~",
    ],
)
def test_marks_are_made_harmless(text: str) -> None:
    said = plain(text)
    stripped = said
    for sign in "\\`*_[]<>#|~-.":
        stripped = stripped.replace("\\" + sign, "")
    assert not set("`*_[]<>#|~") & set(stripped)
    assert not stripped.startswith("- ") and not stripped.startswith("1. ")


def test_a_quotation_keeps_its_lines_and_is_cut() -> None:
    assert quote("a\n\nb") == "> a\n>\n> b"
    assert len(quote("word " * 10_000)) < 3_000
