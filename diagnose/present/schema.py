"""JSON Schema, from the structs, of what is printed: a case's report, a line of the JSON consult."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, get_args

from msgspec.json import decode, encode, schema_components

from diagnose.present import screen_data as shown
from diagnose.present.json_lines import Line, NoteSaid
from diagnose.present.parts import OneOf
from diagnose.present.report_data import CaseReport, FileReport, Next
from diagnose.present.screens import Kind, Screen
from diagnose.present.told_data import Told

Schema = dict[str, Any]
DIALECT = "https://json-schema.org/draft/2020-12/schema"
LINES = ("Read a line, write one: {\"say\": TEXT} (or the bare string), where TEXT is an answer, a number of "
         "the list, free words with further facts, or a command such as back, why, best fix or save; with "
         "\"to\": NUMBER beside it a line is taken only while that screen stands; {\"interrupt\": true} for "
         "Ctrl-C; {\"report\": true} for the whole case. The end of the input saves and leaves.")
SHOWN: Mapping[Kind, tuple[type, ...]] = {
    "opening": (), "resume": (shown.ResumeData,), "complaint": (shown.ComplaintData,),
    "understood": (shown.UnderstoodData,), "browse": (shown.BrowseData,), "besides": (shown.BesidesData,),
    "question": (shown.QuestionData,), "recheck": (shown.RecheckData,), "remedy": (shown.AdviceData,),
    "no_fix": (shown.NoFixData,), "also": (shown.AlsoData,), "left": (shown.LeftData,),
    "done_right": (shown.DoneRightData,), "stop": (shown.StopData, shown.HandoverData),
    "done": (shown.SolvedData, shown.UnsureData, shown.UsedUpData), "timer": (shown.TimerData,),
    "leave": (shown.LeaveData,), "keep": (shown.KeepData,), "save": (),
    "explain": get_args(Told), "answer": (shown.AnswersData,)}
"""What each kind of screen shows: one of these."""


def _ref(kind: type) -> Schema:
    return {"$ref": f"#/$defs/{kind.__name__}"}


def _one_of(kinds: Iterable[type]) -> Schema:
    return {"oneOf": [_ref(kind) for kind in kinds]}


def _described(kind: type) -> Schema:
    """What is no struct: a reason is a line of text; one of several is stated by their names."""
    if issubclass(kind, OneOf):
        return {"anyOf": [_ref(one) for one in kind.kinds]}
    return {"type": "string"}


def _parts(*kinds: type) -> dict[str, Schema]:
    """The schemas of structs and of all that they hold, by name."""
    held = (*kinds, *get_args(Next))
    _, made = schema_components(held, schema_hook=_described, ref_template="#/$defs/{name}")
    parts: dict[str, Schema] = decode(encode(made))  # defaults as JSON has them
    return parts


def _lines() -> Schema:
    """The lines of the JSON consult; a screen's choices and notes are said in words there."""
    parts = _parts(*get_args(Line), NoteSaid, Screen, *get_args(shown.ScreenData))
    parts["ScreenLine"]["properties"]["screen"] = _ref(Screen)
    parts["Choice"]["required"].append("text")
    screen = parts["Screen"]
    screen["properties"]["notes"] = {"type": "array", "items": _ref(NoteSaid)}
    screen["required"] += ["choices", "wanted", "notes"]
    screen["oneOf"] = [{"properties": {"kind": {"const": kind}, "data": _one_of(kinds) if kinds else False}}
                       for kind, kinds in SHOWN.items()]
    return {"$schema": DIALECT, "title": "A line that the JSON consult writes", "description": LINES,
            **_one_of(get_args(Line)), "$defs": parts}


SCHEMA: Schema = {"$schema": DIALECT, "title": "What a case comes to", **_one_of((FileReport, CaseReport)),
                  "$defs": _parts(FileReport, CaseReport)}
"""One object of `diagnose case --json`, or the `report` of the JSON consult."""

SCREEN_SCHEMA: Schema = _lines()
"""One line of `diagnose consult --json`."""
