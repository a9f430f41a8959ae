"""What a notebook entry holds: the columns of each kind, read from words and checked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from diagnose.compute import jobs, units
from diagnose.compute.unit_table import BY_ID, EXAMPLES, unit
from diagnose.errors import UserError, short

LONGEST = 500


class FieldError(UserError):
    """A value that can't be taken: what was read, why not, the mend."""


@dataclass(frozen=True)
class Field:
    """One column of a kind of entry."""

    name: str
    """The column, with its unit where it is a number; the heading of an exported file."""
    option: str
    """What it is called when typed."""
    ask: str
    kind: str = "text"
    """quantity, text, moment, day or job."""
    unit: str = ""
    required: bool = False
    low: float = 0.0
    high: float = float("inf")
    bare: bool = False
    """A number without a unit is clear: marks, pH."""

    def read(self, text: str, now: datetime) -> Any:
        """The value typed, None where it is empty; FieldError where it can't be."""
        said = " ".join(text.split())
        if not said:
            if self.required:
                raise FieldError(f"{self.option} is missing; {self.example()}")
            return None
        return _READERS[self.kind](self, said, now)

    def example(self) -> str:
        """How it is written, as a mend."""
        if self.kind == "quantity":
            return f'write it like "{EXAMPLES[units.kind(self.unit)]}"' if not self.bare else (
                'write a number, like "7.5"')
        return {"moment": 'write it like "2026-03-31 08:15", or "today"',
                "day": 'write it like "2026-03-31" or "10 days ago"',
                "job": f"write one of {', '.join(jobs.NAMES)}"}.get(self.kind, "write it in words")

    def check(self, value: float) -> float:
        """The number, if it can be; else FieldError."""
        if not self.low <= value <= self.high:
            raise FieldError(f"{self.option} reads {self.show(value)} but can only lie between "
                             f"{self.show(self.low)} and {self.show(self.high)}; measure again")
        return value

    def show(self, value: Any) -> str:
        """The value in words."""
        if value is None:
            return ""
        if self.kind != "quantity":
            return str(value)
        figures = f"{round(value, 2 if abs(value) < 10 else 1):g}"
        return figures if self.bare else f"{figures} {unit(self.unit).symbol(value)}"


def bare_number(text: str) -> bool:
    """Is it a figure and nothing else, its unit left to guess?"""
    return all(c in "0123456789.,+-eE" for c in text.strip()) and any(c.isdigit() for c in text)


def quantity(field: Field, text: str, now: datetime | None = None) -> float:
    """A number with its unit, in the field's own; FieldError where the unit is missing."""
    if bare_number(text) and not field.bare:
        symbols = ", ".join(u.id for u in BY_ID.values() if u.kind == units.kind(field.unit))
        raise FieldError(f'{field.option} reads "{short(text)}" without a unit ({symbols}); '
                         f"{field.example()}")
    try:
        return field.check(units.read(text, field.unit))
    except units.UnitError as error:
        raise FieldError(f"{field.option}: {error}") from None


def _text(field: Field, text: str, now: datetime) -> str:
    if len(text) > LONGEST:
        raise FieldError(f"{field.option} is longer than {LONGEST} signs; shorten it")
    return text


def day(field: Field, text: str, now: datetime) -> str:
    """A date as ISO text; FieldError for one to come."""
    from diagnose.book import answers

    try:
        return answers.day(text, now.date()).isoformat()
    except answers.AnswerError as error:
        raise FieldError(f"{field.option}: {error}") from None


def moment(field: Field, text: str, now: datetime) -> str:
    """A moment as ISO text with its offset, to the second; FieldError for one to come."""
    from diagnose.book.answers import EARLIEST

    if text.lower() in ("now", "today"):
        found = now
    else:
        try:
            found = datetime.fromisoformat(text)
        except ValueError:
            found = datetime.fromisoformat(day(field, text, now))
    if found.date() < EARLIEST:
        raise FieldError(f"{field.option} reads {text}, which lies before {EARLIEST.year}; correct it")
    found = found if found.tzinfo else found.astimezone()
    if found > now + timedelta(minutes=5):
        raise FieldError(f"{field.option} reads {text}, which lies in the future (now is "
                         f"{now:%Y-%m-%d %H:%M}); correct it")
    return found.isoformat(timespec="seconds")


def _job(field: Field, text: str, now: datetime) -> str:
    name = text.lower()
    found = [job for job in jobs.NAMES if job == name] or [
        job for job in jobs.NAMES if job.startswith(name)]
    if len(found) != 1:
        raise FieldError(f"{field.option} reads {short(text)!r}; {field.example()}")
    return found[0]


_READERS: Mapping[str, Callable[[Field, str, datetime], Any]] = {
    "quantity": quantity, "text": _text, "day": day, "moment": moment, "job": _job}


def _q(name: str, option: str, ask: str, unit: str, **more: Any) -> Field:
    return Field(name, option, ask, "quantity", unit, **more)


_AT = Field("at", "at", "When? Enter for now.", "moment")
_GRINDER = Field("grinder", "grinder", "Which grinder? Enter if there is only one.")
_MARK = _q("mark", "mark", "At which mark does the grinder stand?", "marks", low=-1000, high=1000,
           bare=True)
_DOSE = _q("dose_g", "dose", "How much dry coffee?", "g", required=True, low=0.5, high=60)
_NOTE = Field("note", "note", "Anything to note?")

KINDS: dict[str, tuple[Field, ...]] = {
    "shots": (
        _AT, _GRINDER, _MARK, _DOSE,
        _q("yield_g", "yield", "How much came out, by weight?", "g", required=True, low=0.5,
           high=500),
        _q("shot_time_s", "time", "How long did it take, from start to stop?", "s",
           required=True, low=1, high=300),
        Field("beans", "beans", "Which beans?"),
        Field("roast_date", "roasted", "When were they roasted?", "day"),
        Field("taste", "taste", "How did it taste?"), _NOTE),
    "weighings": (
        _AT, _GRINDER, _MARK,
        _q("timer_s", "timer", "What is the timer set to?", "s", required=True, low=0.2, high=120),
        _DOSE, _NOTE),
    "waters": (
        _AT,
        _q("litres", "litres", "How many litres were filled or used since the last entry?", "l",
           high=5000),
        _q("hardness_mg_l", "hardness", "What is its total hardness?", "mg/L CaCO3", high=1200),
        _q("alkalinity_mg_l", "alkalinity", "What is its alkalinity?", "mg/L CaCO3", high=800),
        _q("ph", "ph", "What is its pH?", "count", low=4, high=10.5, bare=True),
        _q("conductivity_us_cm", "conductivity", "What is its conductivity?", "uS/cm", high=5000),
        Field("source", "source", "Where does the figure, or the water, come from?")),
    "cleanings": (
        _AT, Field("what", "what", "What was done?", "job", required=True), _NOTE),
    "equipment": (
        Field("name", "name", "Which question of the book does it answer?", required=True),
        Field("value", "value", "What is the answer?", required=True), _AT),
}
"""Kind of entry to its fields, in the order of the table and of exported files."""

SINGULAR = {"shot": "shots", "weighing": "weighings", "water": "waters", "cleaning": "cleanings",
            "equipment": "equipment"}


def read(kind: str, typed: Mapping[str, str], now: datetime) -> dict[str, Any]:
    """An entry from what was typed, by option; FieldError names what can't be taken."""
    row = {f.name: f.read(typed.get(f.option) or "", now) for f in KINDS[kind]}
    row["at"] = row["at"] or now.isoformat(timespec="seconds")
    return fitting(kind, row)


def fitting(kind: str, row: dict[str, Any]) -> dict[str, Any]:
    """The entry, if its parts can all be right together; else FieldError."""
    if kind == "waters" and all(row[f.name] is None for f in KINDS[kind] if f.kind == "quantity"):
        raise FieldError("a water needs one number at least: litres, hardness, alkalinity, ph or "
                         "conductivity")
    roasted = row.get("roast_date")
    if roasted and date.fromisoformat(roasted) > datetime.fromisoformat(row["at"]).date():
        raise FieldError(f"the roast date {roasted} lies after the shot on {row['at'][:10]}; one "
                         "of the two can't be right")
    return row
