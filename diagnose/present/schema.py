"""JSON Schema of what the consult prints: a case's report, and a screen of the JSON front end."""

from __future__ import annotations

from typing import Any, get_args

from diagnose.book.model import SIGNALS
from diagnose.present.screens import Expects, Kind

Schema = dict[str, Any]
DIALECT = "https://json-schema.org/draft/2020-12/schema"


def _object(about: str, optional: str = "", /, **properties: Schema) -> Schema:
    """An object whose properties are all required but those named optional, and no others."""
    left = optional.split()
    return {"type": "object", "description": about, "properties": properties,
            "required": [n for n in properties if n not in left],
            "additionalProperties": False}


def _list(of: Schema, about: str = "") -> Schema:
    return {"type": "array", "items": of} | ({"description": about} if about else {})


def _text(about: str) -> Schema:
    return {"type": "string", "description": about}


def _words(about: str, *words: str) -> Schema:
    return {"type": "string", "description": about, "enum": list(words)}


def _number(about: str, **limits: float) -> Schema:
    return {"type": "number", "description": about, **limits}


_ID = _text("Name of the entry in the book; stable, not for showing.")
_CHANCE = _number("Probability as things stand, 0 to 1.", minimum=0, maximum=1)
_PLACE = _text("File, line and column.")
_SIGNAL = _words("Signal word in the sense of ANSI Z535.6.",
                 *SIGNALS)
_HOUSE = _list(_object("A house rule.", id=_ID, kind=_text("Kind of entry."), place=_PLACE),
               "House rules that had a part in this.")
_CAUTION = _object("A hazard.", id=_ID, signal=_SIGNAL, text=_text("What can happen."),
                   avoid=_text("How to avoid it."))

_CAUSE = _object(
    "A possible cause.", id=_text("The cause's id, or `not_in_book` for none of them."),
    name=_text("The cause in plain words."), probability=_CHANCE,
    why=_list(_text("One reason, the weightiest first.")))

_OTHER_CAUSE = {"type": "object", "description": "A cause of a second look.",
                "properties": {"id": _ID, "name": _text("The cause in plain words."),
                               "probability": _CHANCE},
                "required": ["id", "name"]}

_ANSWERS = _list(_object("An answer that may be given.", id=_ID, text=_text("In plain words.")))
_QUESTION = _object(
    "Ask this next.", "saves_minutes", kind={"const": "question"}, id=_ID,
    text=_text("The question."), how=_text("How to observe it; may be empty."),
    answer_kind=_words("What the answer is.", "choice", "yes_no", "quantity", "date"),
    unit=_text("Unit of a quantity, else empty."),
    several={"type": "boolean", "description": "May more than one answer be true? Then join them by +."},
    minutes=_number("What answering costs.", minimum=0), answers=_ANSWERS,
    saves_minutes=_number("Expected minutes of repair saved, the question's own taken off."))
_RECHECK = _object(
    "Two answers can't both hold: ask which one stands.", kind={"const": "question"},
    id=_text("Key of the contradiction."), recheck=_list(_ID, "The observations to look at again."),
    text=_text("What does not fit, in plain words."))

_WORK: dict[str, Schema] = {
    "id": _ID, "name": _text("What to do, in a few words."),
    "steps": _list(_text("One step, numbers put in.")),
    "before": _text("What must hold before starting; may be empty."),
    "should": _text("What it should change, and by when."),
    "undo": _text("How to undo it; may be empty."),
    "stop_when": _text("When to stop; may be empty."),
    "minutes": _number("What trying it takes.", exclusiveMinimum=0),
    "shots": {"type": "integer", "description": "Shots spent on trying.", "minimum": 0},
    "money": _words("What it costs in money.", "none", "small", "moderate", "large"),
    "who": _words("Who may do it.", "anyone", "careful owner", "technician"),
    "tools": _text("Tools; may be empty."), "chance": _CHANCE,
    "source": _text("Where it comes from."), "causes": _list(_ID, "The causes it is for."),
    "numbers": _list(_object(
        "A number put into the steps.", id=_ID, label=_text("What it is."), text=_text("As said."),
        basis=_text("Where it comes from; empty where it follows from the answers alone.")),
        "Where the numbers in the steps come from."),
}
_BRIEF = _object("A fix named.", id=_ID, name=_text("In a few words."), who=_WORK["who"],
                 chance=_CHANCE)
_WAITS = _object(
    "Several complaints: which this is for, and what comes for the others.",
    first=_list(_text("A complaint that this is for.")),
    why=_words("Why it is first.", "likelier", "quicker"),
    then=_list(_object("A complaint that waits.", symptom=_text("In plain words."),
                       fix=_text("What comes for it; empty where that is not known yet."))))
_REMEDY = _object("Do this next.", "waits", kind={"const": "remedy"}, **_WORK, waits=_WAITS,
                  after=_list(_BRIEF, "What comes next if it does not help."))
_SIGNS = _list(_object(
    "A sign of danger told.", id=_ID, name=_text("In a few words."), signal=_SIGNAL,
    text=_text("What it means."), hurt={"type": "boolean", "description": "Is or may somebody be hurt?"},
    first=_text("What to do before anything else."),
    first_aid=_text("Help for the hurt, and who to ring; may be empty.")),
    "Signs of danger told and not dealt with, in the order to show them, before any cause.")
_USE = _text("May one go on using it? `yes`, `yes, but ...` or `no, until ...`.")
_HAZARD = _object(
    "Stop: a hazard.", kind={"const": "stop"}, reason={"const": "hazard"}, id=_ID, signal=_SIGNAL,
    text=_text("What can happen."), avoid=_text("What to do."),
    go_on=_text("What must be done before going on; empty where this is the end."), signs=_SIGNS,
    use=_USE)
_HANDOVER = _object("Stop: work for a technician.", kind={"const": "stop"},
                    reason={"const": "handover"}, text=_text("What to say."), **_WORK)
_DONE = _object(
    "The end.", "needs watch guess", kind={"const": "done"},
    reason=_words("How it ended.", "solved", "not_in_book", "unsure"),
    needs=_list(_text("A question whose answer would help.")),
    watch=_list(_text("How a likely cause would show itself.")),
    guess=_text("The best guess at a fix; may be empty."))

_ANSWERED = _object(
    "A question of practice that the words ask, with its answer; no chance stands beside it.",
    id=_ID, asked=_text("The words that ask it."), question=_text("The book's own words for it."),
    first=_text("What to say first: what the figures told come to, or what the case decides; may be empty."),
    answer=_text("The answer in one to three sentences."), numbers=_text("The numbers; may be empty."),
    depends=_text("What it depends on; may be empty."), ask_back=_text("What to ask back; may be empty."),
    now=_text("What to do now."), maker=_text("The maker's word, which wins; may be empty."),
    cautions=_list(_CAUTION, "To be shown with it; they stop nothing."),
    source=_text("Where it comes from."),
    house=_text("File and place of the house's own answer; empty where it is the book's."))

SCHEMA: Schema = {
    "$schema": DIALECT, "title": "What a case comes to",
    **_object(
        "One case: what was said, what follows, what comes next.",
        "file broken competitors companions ruled_out first_fix",
        file=_text("The case file, where one was read."),
        complaint=_text("The person's own words."),
        asked=_list(_ANSWERED, "Questions in the words, in the order asked: answer these first."),
        symptoms=_list(_object("A complaint of the book.", id=_ID, name=_text("In plain words.")),
                       "What the complaint was taken for."),
        answers=_list(_object("An answer given.", id=_ID, value=_text("As it can be read again."),
                              text=_text("In plain words."))),
        findings=_list(_object("A conclusion.", id=_ID, value=_text("The finding's value."),
                               text=_text("In plain words."))),
        causes=_list(_CAUSE, "Most likely first; `not_in_book` always among them."),
        next={"description": "What comes next.", "oneOf": [
            _QUESTION, _RECHECK, _REMEDY, _HAZARD, _HANDOVER, _DONE]},
        first_fix={"description": "While `next` is a question: what to try if nobody can answer.",
                   "oneOf": [_REMEDY, _HANDOVER, _DONE]},
        signs=_SIGNS, use=_USE,
        cautions=_list(_CAUTION, "To be shown above what comes next."),
        stopped={"type": "boolean", "description": "Nothing else is suggested until dealt with."},
        house=_HOUSE,
        broken=_list(_text("A house file left out, and why.")),
        competitors=_list(_OTHER_CAUSE, "Other causes that would explain the same findings."),
        companions=_list(_OTHER_CAUSE, "Causes that would explain what the first leaves open."),
        ruled_out=_list(_OTHER_CAUSE, "Causes that the answers speak against.")),
}
"""One object of `diagnose case --json`, and the `report` of the JSON consult."""

_CHOICE = _object("One thing to choose, by its number in the list (from 1) or its words.", "more",
                  id=_ID, text=_text("In plain words."), more=_text("A word of help beside it."))
_WANTED = _object(
    "What the screen takes.", "unit low high example start",
    expects=_words("words: free text; one: a choice; several: one choice or more, an empty line "
                   "for a leading `yes`; quantity: a number; date; enter: an empty line.",
                   *get_args(Expects)),
    unit=_text("Unit of the number; another may be typed with it."),
    low={"type": ["number", "null"], "description": "Least plausible number."},
    high={"type": ["number", "null"], "description": "Largest plausible number."},
    example=_text("How an answer is written."), start=_text("Text to begin with."))
_STATUS = _object(
    "Where the consult stands.", "leading sure left at_least", known={"type": "integer", "minimum": 0},
    leading=_text("The leading cause in plain words."), sure=_CHANCE,
    left={"type": ["integer", "null"], "description": "Questions likely left; null: nothing known."},
    at_least={"type": "boolean", "description": "More may be left."})
_SCREEN = _object(
    "A screen as data.", "data cautions status broken house unkept",
    kind=_words("What kind of screen.", *get_args(Kind)),
    data={"type": "object", "description": "What is shown, by the kind of screen.",
          "properties": {"answers": _list(_ANSWERED, "Of an `answer`: in the order asked.")}},
    choices=_list(_CHOICE), wanted=_WANTED,
    status={"anyOf": [_STATUS, {"type": "null"}]}, cautions=_list(_CAUTION),
    notes=_list(_object("Said once.", code=_text("Stable code."), text=_text("In plain words."))),
    broken=_list(_text("A house file left out, and why.")), house=_HOUSE,
    unkept=_text("Why answers are not being kept; absent while they are."))

SCREEN_SCHEMA: Schema = {
    "$schema": DIALECT, "title": "A line that the JSON consult writes",
    "description": "Read a line, write one: {\"say\": TEXT} (or the bare string), where TEXT is "
                   "an answer, a number of the list, free words with further facts, or a "
                   "command such as back, why, best fix or save; "
                   "with \"to\": NUMBER beside it a line is taken only while that screen stands; "
                   "{\"interrupt\": true} for Ctrl-C; {\"report\": true} for the whole case. "
                   "The end of the input saves and leaves.",
    "oneOf": [
        _object("What to show now.", screen=_SCREEN, text=_text("The same as plain text."),
                number={"type": "integer", "minimum": 1, "description": "Which screen this is."}),
        _object("The case as it stands.", report={k: v for k, v in SCHEMA.items() if k[0] != "$"}),
        _object("The line read was no such line; nothing happened.", error=_text("What to do.")),
        _object("The line was taken and the consult has ended.", taken={"const": True}),
        _object("The last line.", ended=_words("How.", "left", "solved", "not_in_book"),
                case=_text("The case's id, for --resume."),
                unkept=_text("Why answers could not be kept; empty where they were.")),
    ],
}
"""One line of `diagnose consult --json`."""
