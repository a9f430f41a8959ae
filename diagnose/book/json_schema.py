"""The JSON Schema of a chapter, with every allowed word explained, so that an editor teaches."""

from __future__ import annotations

import typing
from typing import Any

import msgspec

from diagnose.book import model

Meanings = dict[str, str]

_SIDES = {"for": "likelier", "against": "less likely"}
_GRADES = {"slight": (3, 2), "substantial": (7, 5), "strong": (12, 16), "very strong": (17, 50),
           "decisive": (25, 300)}
"""Decibans and about how many times, as the weights of the reasoning have them (a test holds it)."""


def _grade(grade: str) -> str:
    word, side = grade.rsplit(" ", 1)
    decibans, times = _GRADES[word]
    return f"about {times} times {_SIDES[side]} ({decibans} decibans)"


MEANINGS: dict[Any, Meanings] = {
    model.YesNo: {"yes": "it is so", "no": "it is not so, which is also what leaving it out means"},
    model.Common: {
        "very common": "most homes meet it (0 decibans)", "common": "many homes meet it (-4 decibans)",
        "occasional": "one home in some meets it (-9 decibans)",
        "uncommon": "few homes meet it (-14 decibans)", "rare": "hardly any home meets it (-19 decibans)",
        "very rare": "a technician sees it now and then (-25 decibans)"},
    model.Grade: {g: _grade(g) for g in typing.get_args(model.Grade)},
    model.Against: {g: _grade(g) for g in typing.get_args(model.Against)},
    model.Typical: {
        "always": "whoever has this fault complains so (0 decibans)",
        "often": "more than half complain so (-2 decibans)",
        "sometimes": "about a quarter complain so (-6 decibans)",
        "seldom": "one in sixteen complains so (-12 decibans)"},
    model.Cures: {
        "nearly always": "cures 95 of 100", "usually": "cures 80 of 100", "often": "cures 60 of 100",
        "sometimes": "cures 35 of 100", "seldom": "cures 15 of 100"},
    model.Who: {
        "anyone": "nothing is opened, nobody can be hurt who heeds the cautions",
        "careful owner": "the maker's instructions let the owner do it; the remedy says that they win",
        "technician": "inside the housing, on mains, pressure or safety parts"},
    model.Money: {"none": "costs nothing", "small": "as much as a bag of beans",
                  "moderate": "a part or a tool", "large": "a repair or a new machine"},
    model.Signal: {
        "DANGER": "death or serious injury will follow", "WARNING": "death or serious injury could follow",
        "CAUTION": "minor injury could follow", "NOTICE": "things get damaged, nobody hurt"},
    model.Within: {
        "": "the same answer, whatever the trouble",
        "direction": "finer or coarser: as the fix that comes next says",
        "whose": "grinder, machine, beans or hands: as the causes stand",
        "broken": "did it break: as the next step says",
        "going on": "may it be used till then: as the cautions of the case say",
        "drinking": "can it be drunk: as the cautions of the case say"},
    model.Need: {
        "run": "water, steam, milk or coffee must be run through it, or the motor",
        "heat": "it must be heated up or hot", "open": "covers or parts must come off that are held by tools",
        "plugged": "its plug must be in"},
    typing.get_type_hints(model.Hazard)["kind"]: {
        "mains": "shock, trips, leads and plugs", "fire": "smoke, sparks, flames, overheating",
        "pressure": "steam, hot water and parts under pressure", "heat": "scalds and hot metal",
        "glass": "broken glass and cuts", "burrs": "burrs, blades and motors",
        "chemical": "cleaners, descalers, acids", "food": "what is drunk with the coffee",
        "gas": "gas and what burns it", "child": "children and pets", "fall": "what falls or tips",
        "part": "a part that gives way"},
    typing.get_type_hints(model.Observation)["kind"]: {
        "choice": "one of the stated `answers:`", "yes_no": "yes or no",
        "quantity": "a number with a unit, within `range:`", "date": "a day of the calendar"},
    typing.get_type_hints(model.Retire)["kind"]: {
        kind: f"an entry under `{kind}:`" for kind in model.KINDS},
}
"""Every set of allowed words to the meaning of each."""


def schema() -> dict[str, Any]:
    """JSON Schema of a chapter, for editors: the model's own, each allowed word explained."""
    meanings = {frozenset(typing.get_args(words)): said for words, said in MEANINGS.items()}
    explained: dict[str, Any] = _explained(msgspec.json.schema(model.Chapter), meanings)
    return explained


def _explained(part: Any, meanings: dict[frozenset[str], Meanings]) -> Any:
    if isinstance(part, list):
        return [_explained(item, meanings) for item in part]
    if not isinstance(part, dict):
        return part
    found = {key: _explained(value, meanings) for key, value in part.items()}
    said = meanings.get(frozenset(part["enum"])) if isinstance(part.get("enum"), list) else None
    if said:
        del found["enum"]
        found["oneOf"] = [{"const": word, "description": said[word]} for word in said]
    return found
