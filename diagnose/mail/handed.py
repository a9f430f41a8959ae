"""The summary for a technician inside a reply, less what the reply has said above it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from diagnose.case.case import Case
from diagnose.present import handover, stopping

SAID_ABOVE = (handover.DANGER, handover.CAUTIONS)


def handed(case: Case, today: date) -> Iterator[str]:
    """The summary's sections, one heading deeper."""
    head, *sections = handover.summary(case, today).split("\n## ")
    title, _, blanks = head.removeprefix("# ").partition("\n")
    yield from ("## To hand over", "", f"**{title}**", "", blanks.strip(), "")
    for section in sections:
        name, _, inside = section.partition("\n")
        if name in SAID_ABOVE:
            continue
        lines = [line for line in inside.strip().split("\n") if line not in stopping.CLOSINGS]
        yield from (f"### {name}", "", "\n".join(lines).strip(), "")
