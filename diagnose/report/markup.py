"""Pieces of an HTML page, every text escaped, and the file they are written to."""

from __future__ import annotations

import os
from collections.abc import Iterable
from html import escape
from pathlib import Path
from typing import Any

from diagnose.errors import UserError
from diagnose.present.parts import CautionData, HazardData

GENERATOR = '<meta name="generator" content="diagnose">'


def document(title: str, style: str, body: str) -> str:
    """A whole page that needs nothing from outside."""
    return (f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">{GENERATOR}'
            '<meta name="viewport" content="width=device-width, initial-scale=1">'
            f"<title>{escaped(title)}</title><style>{style}</style></head>\n<body>{body}</body></html>\n")


def escaped(text: Any) -> str:
    """A text as HTML shows it."""
    return escape(str(text))


def paragraph(text: str, kind: str = "") -> str:
    """A paragraph, with its class where it has one."""
    mark = f' class="{kind}"' if kind else ""
    return f"<p{mark}>{escaped(text)}</p>\n"


def listed(texts: Iterable[str], tag: str = "ul") -> str:
    """A list; nothing where there is nothing to list."""
    items = "".join(f"<li>{escaped(text)}</li>" for text in texts)
    return f"<{tag}>{items}</{tag}>\n" if items else ""


def section(title: str, inside: str) -> str:
    """A part with its heading; nothing where it would be empty."""
    return f"<section><h2>{escaped(title)}</h2>\n{inside}</section>\n" if inside else ""


def caution(stated: CautionData | HazardData, number: str = "") -> str:
    """A caution in its frame, its words exactly as they stand."""
    return (f'<div class="caution" role="note"><strong>{escaped(number + stated.signal)}:</strong> '
            f'{escaped(stated.text)} {escaped(stated.avoid)}</div>\n')


def can_be_saved(path: Path) -> None:
    """UserError, before anything is asked, where a page could not be written to this file."""
    try:
        if path.exists() and not path.is_file():
            raise UserError(f"{path} is no file; name another")
        if path.exists() and GENERATOR not in _beginning(path):
            raise UserError(f"{path} is there already and is no page of diagnose; name another file")
        if not path.parent.is_dir():
            raise UserError(f"{path}: there is no folder {path.parent}; make it, or name another file")
        if not os.access(path.parent, os.W_OK):
            raise UserError(f"{path}: nothing can be written in {path.parent}; name another file")
    except OSError as error:
        raise UserError(f"{path}: {error.strerror}; name another file") from None


def _beginning(path: Path) -> str:
    with path.open(encoding="utf-8", errors="replace") as file:
        return file.read(600)
