"""What screens and reports are made of: cautions, signs, causes, fixes, questions, as structs.

Fields in their order are the keys that JSON shows; docstrings and the words of `Meta` are its schema.
A field with a default is left out of JSON where it holds that.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal, TypeVar, get_args

import msgspec
from msgspec import Meta

from diagnose.book.model import Money, Signal, Who

Id = Annotated[str, Meta(description="Name of the entry in the book; stable, not for showing.")]
Name = Annotated[str, Meta(description="In plain words.")]
Place = Annotated[str, Meta(description="File, line and column.")]
Chance = Annotated[float, Meta(ge=0, le=1, description="Probability as things stand, 0 to 1.")]
SignalWord = Annotated[Signal, Meta(description="Signal word in the sense of ANSI Z535.6.")]
Use = Annotated[str, Meta(description="May one go on using it? `yes`, `yes, but ...` or `no, until ...`.")]
T = TypeVar("T")
NOT_IN_BOOK = "not_in_book"
"""The id of what no book holds, among causes."""


class Data(msgspec.Struct, frozen=True, omit_defaults=True, forbid_unknown_fields=True):
    """What is shown, as data."""


class OneOf:
    """Stands, where a struct is described, for one of several that no single key tells apart.

    Whoever checks types sees the union itself; the schema says which they are.
    """

    kinds: tuple[type, ...]


def one_of(union: object) -> type[OneOf]:
    """What describes a field that holds one of a union's structs."""
    return type("OneOf", (OneOf,), {"kinds": get_args(union)})


def plain(data: object) -> Any:
    """Data as dicts, lists, text and numbers, for JSON."""
    return msgspec.to_builtins(data, enc_hook=str)


def more(kind: Callable[..., T], data: Data, **fields: object) -> T:
    """A larger part that holds all that a smaller one does."""
    return kind(**msgspec.structs.asdict(data), **fields)


class CautionData(Data, frozen=True):
    """A hazard."""

    id: Id
    signal: SignalWord
    text: Annotated[str, Meta(description="What can happen.")]
    avoid: Annotated[str, Meta(description="How to avoid it.")]


class SignData(Data, frozen=True):
    """A sign of danger told."""

    id: Id
    name: Annotated[str, Meta(description="In a few words.")]
    signal: SignalWord
    text: Annotated[str, Meta(description="What it means.")]
    hurt: Annotated[bool, Meta(description="Is or may somebody be hurt?")]
    first: Annotated[str, Meta(description="What to do before anything else.")]
    first_aid: Annotated[str, Meta(description="Help for the hurt, and who to ring; may be empty.")]


Signs = Annotated[list[SignData], Meta(
    description="Signs of danger told and not dealt with, in the order to show them, before any cause.")]


class HazardData(Data, frozen=True):
    """A hazard that stops: the signs told, what can happen, what to do, and whether to go on."""

    reason: Literal["hazard"]
    id: Id
    signal: SignalWord
    text: Annotated[str, Meta(description="What can happen.")]
    avoid: Annotated[str, Meta(description="What to do.")]
    go_on: Annotated[str, Meta(
        description="What must be done before going on; empty where this is the end.")]
    signs: Signs
    use: Use


class HouseRule(Data, frozen=True):
    """A house rule."""

    id: Id
    kind: Annotated[str, Meta(description="Kind of entry.")]
    place: Place


class CauseData(Data, frozen=True):
    """A possible cause, and how sure."""

    id: Annotated[str, Meta(description="The cause's id, or `not_in_book` for none of them.")]
    name: Annotated[str, Meta(description="The cause in plain words.")]
    probability: Chance


class CompanionData(CauseData, frozen=True):
    """A cause that would explain what the first leaves open."""

    explains: Annotated[list[str], Meta(description="What it would explain, in plain words.")]


class NumberData(Data, frozen=True):
    """A number put into the steps."""

    id: Id
    label: Annotated[str, Meta(description="What it is.")]
    text: Annotated[str, Meta(description="As said.")]
    basis: Annotated[str, Meta(
        description="Where it comes from; empty where it follows from the answers alone.")]


class FixData(Data, frozen=True, kw_only=True):
    """A fix in full, numbers put in."""

    id: Id
    name: Annotated[str, Meta(description="What to do, in a few words.")]
    steps: Annotated[list[str], Meta(description="One step each, numbers put in.")]
    before: Annotated[str, Meta(description="What must hold before starting; may be empty.")]
    should: Annotated[str, Meta(description="What it should change, and by when.")]
    undo: Annotated[str, Meta(description="How to undo it; may be empty.")]
    stop_when: Annotated[str, Meta(description="When to stop; may be empty.")]
    minutes: Annotated[float, Meta(gt=0, description="What trying it takes.")]
    shots: Annotated[int, Meta(ge=0, description="Shots spent on trying.")]
    money: Annotated[Money, Meta(description="What it costs in money.")]
    who: Annotated[Who, Meta(description="Who may do it.")]
    tools: Annotated[str, Meta(description="Tools; may be empty.")]
    chance: Chance
    source: Annotated[str, Meta(description="Where it comes from.")]
    causes: Annotated[list[str], Meta(description="The ids of the causes it is for.")]
    numbers: Annotated[list[NumberData], Meta(description="Where the numbers in the steps come from.")]


class Choice(msgspec.Struct, frozen=True, omit_defaults=True, forbid_unknown_fields=True):
    """One thing to choose, by its number in the list (from 1) or its words."""

    id: Id
    text: Annotated[str, Meta(description="In plain words.")] = ""
    """The book's words; empty where the front end has words for the id."""
    more: Annotated[str, Meta(description="A word of help beside it.")] = ""


class FixNamed(Data, frozen=True):
    """A fix named, with its chance at its turn."""

    id: Id
    name: Annotated[str, Meta(description="In a few words.")]
    who: Annotated[Who, Meta(description="Who may do it.")]
    chance: Chance


class ThenData(Data, frozen=True):
    """A complaint that waits."""

    symptom: Name
    fix: Annotated[str, Meta(description="What comes for it; empty where that is not known yet.")]


class WaitsData(Data, frozen=True):
    """Several complaints: which a fix is for, and what comes for the others."""

    first: Annotated[list[str], Meta(description="The complaints that this is for.")]
    why: Annotated[Literal["likelier", "quicker"], Meta(description="Why it is first.")]
    then: list[ThenData]


class LossData(Data, frozen=True, kw_only=True):
    """Where too little is known: what would help to know, what to watch for, the best guess."""

    needs: Annotated[list[str], Meta(description="Questions whose answers would help.")]
    watch: Annotated[list[str], Meta(description="How likely causes would show themselves.")]
    guess: Annotated[str, Meta(description="The best guess at a fix; may be empty.")]


class QuestionStated(Data, frozen=True, tag_field="kind", tag="question"):
    """A question of the book: its words, and what an answer is."""

    id: Id
    text: Annotated[str, Meta(description="The question.")]
    how: Annotated[str, Meta(description="How to observe it; may be empty.")]
    answer_kind: Annotated[Literal["choice", "yes_no", "quantity", "date"], Meta(
        description="What the answer is.")]
    several: Annotated[bool, Meta(description="May more than one answer be true? Then join them by +.")]
    unit: Annotated[str, Meta(description="Unit of a quantity, else empty.")]
    minutes: Annotated[float, Meta(ge=0, description="What answering costs.")]


class PracticeAnswer(Data, frozen=True):
    """A question of practice that the words ask, with its answer; no chance stands beside it."""

    id: Id
    asked: Annotated[str, Meta(description="The words that ask it.")]
    question: Annotated[str, Meta(description="The book's own words for it.")]
    first: Annotated[str, Meta(description="What to say first: what the figures told come to, or what the "
                                           "case decides; may be empty.")]
    answer: Annotated[str, Meta(description="The answer in one to three sentences.")]
    numbers: Annotated[str, Meta(description="The numbers; may be empty.")]
    depends: Annotated[str, Meta(description="What it depends on; may be empty.")]
    ask_back: Annotated[str, Meta(description="What to ask back; may be empty.")]
    now: Annotated[str, Meta(description="What to do now.")]
    maker: Annotated[str, Meta(description="The maker's word, which wins; may be empty.")]
    cautions: Annotated[list[CautionData], Meta(description="To be shown with it; they stop nothing.")]
    source: Annotated[str, Meta(description="Where it comes from.")]
    house: Annotated[str, Meta(
        description="File and place of the house's own answer; empty where it is the book's.")]
