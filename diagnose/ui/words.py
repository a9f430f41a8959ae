"""Every word of the program's own that a person sees in a consult, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from diagnose.present.parts import HouseRule, NumberData

PROMPT = "> "

COMPLAINT = {
    "first": "What is wrong? Say it in your own words.",
    "more": "And what is wrong? Say it in your own words.",
    "answered": "Is something wrong as well? Say what, in your own words.",
    "again": "Say it in other words, or say what else you noticed.",
    "new": "What is new? Say it in your own words.",
}
COMPLAINT_HELP = {
    "first": "For example: the shot gushes out in 15 seconds and tastes sour.",
    "answered": "If that was all, type \"save\": it leaves.",
    "again": "",
    "new": "What came up since you tried it.",
}
COMPLAINT_LIST = "Or type \"list\" to choose from everything this book knows."
HOW_KEYS_WORK = "Later, at a question: d if you don't know, b to go back. ? is help."
SAID = "You said: {text}"

UNDERSTOOD = "I understood this. Is it right?"
ALL_OF_THAT = "yes, all of that"
BESIDE_THING = {"danger": " (danger: choose it if it is so)", "same": ": tried, no change",
                "better": ": tried, it got better", "worse": ": tried, it got worse",
                "solved": ": tried, it was gone"}
UNDERSTOOD_MAYBE = "I am not sure what you mean. Is it one of these?"
UNDERSTOOD_NOTHING = "I did not understand that."
UNDERSTOOD_PERHAPS = "Maybe also:"
KEPT = "What I have so far: {things}."
SEVERAL = "For more than one, give the numbers, as in: 1 3"

BESIDES = "Anything else you know?"
BESIDES_HELP = "Which machine it is, what was changed last, what you tried."

BESIDES_BRIEF = "Anything else?"
BESIDES_BRIEF_HELP = "What you tried already, above all."

BROWSE = "What is it about?"
BROWSE_AREA = "Which of these is it?"
BROWSE_KNOWN = "Your answers so far. A number changes one; Enter goes back."

OPENING = "One moment: opening your case."
WORKING = "One moment."
RESUME = "Go on with the case you left?"
RESUME_WHAT = "\"{complaint}\", {answers}, last touched {at}."
NOT_ANSWERED = "not answered"
RESUME_NO_WORDS = "A case without words, {answers}, last touched {at}."

ASKED = "You asked: {question}"
NUMBERS = "Numbers:"
DEPENDS = "It depends:"
DO_THIS = "Now: {text}"
MAKER = "The maker: {text}"
ASK_BACK = "To say more, it would help to know: {text}"
LIKE_TROUBLES = "If something is wrong, these are the troubles with such words:"
HOUSE_ANSWER = "So it is done in this house ({place})."

RECHECK = "Two things you told me do not fit together."
YOU_SAID = "you said: {given}"
RECHECK_ASK = "Is one of these wrong? Choose it, and I ask it again."
GIVEN_BEFORE = "Your answer so far: {given}"

READ_FIRST = "Read this first."
CAUTIONS_IN_FULL = "What to watch out for, in full:"
RECALLED = {1: "mind the caution you have just read.",
            2: "mind the {count} cautions you have just read."}

PROBABLY = "{Sure} ({percent}): {cause}."
LIKELIEST = "Not clear yet. First of many ({percent}): {cause}."
ALL_TRIED = "You have tried every fix for that. This one is for: {cause} ({percent})."
STILL_HERE = "What is left to try is for: {cause} ({percent})."
SECOND = "There may be a second trouble too. This one is for that: {cause} ({percent})."
THIS_IS_FOR = "This one is for: {cause} ({percent})."
LONG_SHOT = "A long shot, but quick. It is for: {cause} ({percent})."
WORTH_FIRST = "This is quick, so try it first. It is for: {cause} ({percent})."
RIVALS = "It could also be: {rivals}."
EARLY = "This is my best advice so far. I would still ask: {ask}"
NO_FIX = "No fix is worth trying yet."
SO_FAR = "So far the likeliest is: {cause} ({percent})."
NO_FIX_WHY = {
    "none": "You have tried every fix that fits here.",
    "unlikely": "The best one is unlikely to help ({chance}): {name}.",
    "long": "The best one takes {minutes}, and that is too long for how seldom it helps ({chance}): {name}."}
HELPS_MOST = "It would help most to know: {ask}"
DO_NOW = "Do this now: {name}."
ONCE_MORE = "It helps, so do it once more. {text}"
FIRST_THIS = "First this, for: {first}. {why}"
FIRST_WHY = {"likelier": "It is the likelier of the two to help.",
             "quicker": "It is the quicker of the two to try."}
THEN_THAT = "Then, for: {symptom}. {fix}."
THEN_LOOKED_AT = "This comes next, and we will look at it then: {symptom}."
COSTS = "It takes about {minutes}{shots}{money}. It helps {chance} of the time."
MORE_THAN_ONE = " It is good for more than one cause."
SHOTS = {0: "", 1: " and one shot"}
SHOTS_MANY = " and {shots} shots"
MONEY = {"none": "", "small": ", and a little money", "moderate": ", and some money",
         "large": ", and a good deal of money"}
WHO = {"anyone": "", "careful owner": "For a careful owner; the maker's instructions come first.",
       "technician": "For a technician; the maker's instructions come first."}
BEFORE = "Before you start: {text}"
TOOLS = "You need: {text}"
STOP_WHEN = "When to stop: {text}"
SHOULD = "What you should see: {text}"
UNDO = "To undo it: {text}"
IF_NOT = "If it does not help, we try this next: {name}."
IF_NOT_LAST = "If it does not help, nothing else in this book is likely to help."
DID_IT_WORK = "Did it work?"
HOW_DID_IT_GO = "How did it go with: {remedy}?"
FIRST_TROUBLE = "And the trouble you came with? You did this: {remedy}."
NEW_TROUBLE = "New: {names}."
STILL_THERE = "It is better. You did this: {remedy}. Which of these is still there?"

DONE_RIGHT = "{remedy}: was it done just as it says, to the last step?"

SOLVED = "Solved: {fix}."
LEARNT = "So it was this, most likely: {cause}."
SOLVED_MORE = "Write down what you changed. It saves you the search next time."
USED_UP = "{Sure} ({percent}): {cause}. But you have tried every fix this book has for it."
NOT_IN_BOOK = "I can't find your trouble in this book."
NOT_IN_BOOK_MORE = ("Nothing left has a fair chance, and guessing would cost you time. Show the machine or "
                    "the grinder to the maker's service or a technician. Show the coffee to the roaster.")
HELPED = "This made it better, so keep to it: {fixes}."
UNSURE = "I don't know enough yet to tell you what to do."
UNSURE_NEEDS = "One of these would help me most. Can you find it out?"
UNSURE_WATCH = "Or try this, and tell me what you see:"
UNSURE_ASK = ("Or ask somebody who can see it and taste it: the maker's service or a technician for the "
              "machine, the roaster for the coffee.")
UNSURE_GUESS = "My best guess, and it is only a guess: {name}."
RULED_OUT = "What it most likely is not:"

TIMER = {
    "ready": "Press Enter when you start. Press Enter again when it ends.",
    "running": "Running. Press Enter to stop.",
    "taken": "Stopped. Enter takes this time; or type another.",
}
SECONDS = "{seconds:.1f} s"

LEAVE = {"leave": "Leave now? Your answers are kept, and you can go on later.",
         "leave_unkept": "Leave now? Your answers are NOT being kept: {why}.",
         "restart": "Begin again? This takes back everything you said."}
KEEP = "Keep this in your notebook, for better numbers and fewer questions next time?"
KEEP_MARK = "At which mark does the grinder stand? Enter if you can't tell."
SAVE = "Write a summary to which file? Enter takes the name shown."

CHOICES: Mapping[tuple[str, str], str] = {
    ("resume", "yes"): "yes, go on with it",
    ("resume", "no"): "no, start a new one",
    ("understood", "yes"): "yes, that is it",
    ("understood", "go_on"): "go on with what is kept",
    ("understood", "none"): "something else: I'll say it in other words",
    ("understood", "drop"): "none of that, go on",
    ("understood", "list"): "show me the whole list",
    ("recheck", "stand"): "no, it is all right as it stands: go on",
    ("remedy", "solved"): "solved",
    ("remedy", "better"): "better",
    ("remedy", "same"): "same",
    ("remedy", "worse"): "worse",
    ("remedy", "new"): "new: something else came up",
    ("remedy", "ask"): "ask me more first",
    ("stop", "ask"): "ask me more first",
    ("no_fix", "ask"): "ask me that",
    ("no_fix", "other_words"): "say what else I noticed",
    ("no_fix", "summary"): "write a summary to a file",
    ("also", "solved"): "solved, it is gone",
    ("also", "better"): "better",
    ("also", "same"): "same as before",
    ("also", "worse"): "worse",
    ("done_right", "yes"): "yes, all of it",
    ("done_right", "no"): "not quite: show it to me again",
    ("left", "all"): "all of it, only less",
    ("left", "nothing"): "nothing, all of it is gone",
    ("stop", "leave"): "leave; my answers are kept",
    ("stop", "summary"): "write a summary for the technician",
    ("stop", "been_done"): "it has been done: say how it went",
    ("stop", "cleared"): "all of that is true, go on",
    ("done", "finish"): "finish",
    ("done", "summary"): "write a summary to a file",
    ("done", "other_words"): "say more in my own words",
    ("done", "guess"): "try the guess",
    ("keep", "yes"): "yes, keep it",
    ("keep", "no"): "no",
    ("leave", "yes"): "yes",
    ("leave", "no"): "no, go on here",
}

NOTES = {
    "book_changed": "The book has changed since: {count} of your answers no longer fit and will be "
                    "asked again if they matter.",
    "case_damaged": "Some lines of this case can't be read and are left out; the file as it was is kept as "
                    "{file}.",
    "resumed": "Going on where you left. (Case {id}.)",
    "put_by": "Put by. To come back to it: diagnose consult --resume {id}",
    "cut": "That was long; only the first {most} characters were read.",
    "refused": "{text}",
    "nothing_yet": "There is nothing to tell yet; say first what is wrong.",
    "nothing_better": "This is my best advice already.",
    "and_the_trouble": "Good, I have that.",
    "no_trouble_named": "Going on with that alone. If you notice what is wrong, say it at any question.",
    "kept_says_nothing": "That alone does not tell me what is wrong. Choose it below, or type b and say it "
                         "in other words.",
    "noted_one": "Noted. \"back\" takes it back.",
    "noted": "Noted: {count} things. \"back\" takes them back.",
    "taken_as_read": "Taken as understood; \"known\" shows and changes it.",
    "no_reading": "I can't read words now: {why}. The list and the numbers still work.",
    "dropped": "Nothing of that was kept.",
    "kept_as_said": "I could not use that. I keep it in your words for whoever helps you.",
    "stop_stands": "I keep your words for whoever helps you. It stays off. To change what you told me, "
                   "type \"known\".",
    "stop_stands_until": "I keep your words. If all that I ask above is true, type 1. To change what you "
                         "told me, type \"known\".",
    "nothing_to_take_back": "There is nothing to take back.",
    "taken_back": "Taken back: {what}",
    "taken_back_here": "Taken back: \"{what}\".",
    "taken_back_unknown_here": "Taken back: your \"don't know\".",
    "taken_back_unknown": "Taken back: that you don't know this. {what}",
    "taken_back_recheck": "Taken back: that all of it is right.",
    "not_asked": "d answers a question, and there is no question here.",
    "no_skip": "This can't be skipped.",
    "fix_aside": "Put aside for now: {fix}.",
    "last_fix": "There is no other fix to offer; all of them are back on the list.",
    "no_timer": "There is no time to take here.",
    "restarted": "Everything was taken back. From the beginning, then.",
    "out_of_sight": "Not taken: that is not on this page. Enter shows the next page.",
    "not_in_sight": "Not taken: that is on the screen under this one. Enter goes back to it.",
    "empty": "Nothing was typed. Type the number of your choice.",
    "empty_question": "Nothing was typed. If you can't tell, type d (don't know).",
    "no_choice": "\"{said}\" is none of the choices. Type a number from 1 to {most}.",
    "no_other_choice": "\"{said}\" is none of the choices. There is only 1.",
    "no_answer": "\"{said}\" is none of the answers. Type a number from 1 to {most}, or d if you "
                 "can't tell.",
    "say_something": "Nothing was typed. A few words will do, such as: the foam is dry.",
    "was_solved": "Good.",
    "was_better": "Better, but not gone. We go on from here.",
    "was_partly": "One thing less. Now for the rest.",
    "was_enough": "No more gain, so leave it there. On with the rest.",
    "as_it_says": "Then it says nothing yet. Do it once as it stands here.",
    "was_same": "No change. That makes what I thought less likely.",
    "was_worse": "Worse. Undo what you changed if you can.",
    "file_there": "{file} is there already and stays as it is; give another name.",
    "file_failed": "{file} could not be written: {why}; give another name.",
    "written": "Written: {file}",
    "from_notebook": "Your notebook answered {count} of the questions; \"known\" shows and changes "
                     "them.",
    "notebook_unread": "Your notebook could not be read: {why}.",
    "notebook_failed": "It could not be kept in the notebook: {why}.",
    "store_unreadable": "Earlier cases could not be read: {why}.",
    "not_text": "That was no text; write it again in plain letters.",
}
"""What the consult says in passing, by the code of the note."""

BROKEN = "House file left out until it is mended: {problem}"
HOUSE = "House rules had a part in this: {rules}."
HOUSE_RULE = "{id} ({place})"
HOUSE_MORE = " and {count} more"
UNKEPT = "Warning: your answers are not being kept: {why}."

KNOWN = {0: "no answers yet", 1: "1 answer", 2: "{count} answers"}
LEFT = {0: "No more questions likely.", 1: "Nearly done.",
        2: "About {count} questions left, with this one."}

WANTED = {
    "words": "In your own words, then Enter",
    "one": "Number, then Enter",
    "several": "Number or numbers, then Enter",
    "quantity": "Number, as in {example}",
    "date": "Date, as in {example}",
    "enter": "Enter goes on",
    "save": "File name",
    "understood": "Enter: yes; or numbers to keep: 2 3",
    "besides": "In your own words; Enter if nothing",
    "go_on": "Enter goes on with what is kept; or numbers",
    "kept": "In your own words; Enter goes on with what is kept",
}
WANTED_TIMER = {"ready": "Enter starts the clock", "running": "Enter stops the clock",
                "taken": "Enter takes it; or another number"}
READ_AS = "read as {value}"
READ_WORDS = "Enter: read as your own words"
PAGE = "Page {page} of {pages}: Enter shows the rest."
LAST_PAGE = "Page {page} of {pages}: the last."
KEYS = {
    "question": "d don't know   ! best fix now   b back   ? help",
    "timed": "t timer   d don't know   ! best fix now   b back   ? help",
    "remedy": "why   more (and undo)   b back   ? help",
    "explain": "Enter goes back",
    "answer": "Enter goes on; or say more",
    "complaint": "? help",
    "timer": "b back",
    "other": "b back   ? help",
}
HOW = "How: {text}"

HELP_TITLE = "What you can say at any time"
HELP: Mapping[str, str] = {
    "?": "this help",
    "why": "why this is asked, or how the conclusion was reached",
    "!": "the best fix as things stand, without more questions (also: best fix)",
    "b": "back: take back the last thing you said (also: back)",
    "d": "don't know: you can't tell (also: don't know)",
    "skip": "put this question or fix aside for now",
    "what if ANSWER": "what that answer would do; nothing is changed",
    "change mind": "which answers would put another cause first",
    "more": "all causes, steps in full, where it comes from",
    "known": "your answers so far, to change any of them",
    "sources": "the reasons again, with file and line of each rule",
    "timer": "time the shot here; the time becomes the answer (also: t)",
    "save": "save and leave",
    "restart": "begin again from nothing",
}
HELP_WORDS = "At any question you can also say in your own words what else you know or saw; what I " \
             "understand of it is shown first."
HELP_ANSWERS = "Answers: the number beside a choice, or its words. Nothing happens before Enter, and only " \
               "what stands on the page can be chosen. Numbers go with or " \
               "without their unit: 19, 19s, 19 sec and 0:19 are the same."

WHY_QUESTION = "Why this question: {ask}"
WHY_NUMBER = "It is needed to work out the {number}."
WHY_SAVES = "Your answer saves you {minutes} of trying things out, on average."
WHY_NONE = "no cause in particular"
WHY_BRANCH = "If you say {answers} (I expect that: {percent}), it is most likely this: {cause} ({sure})."
WHY_BRANCH_ANY = "If you say anything else ({percent}), it is most likely this: {cause} ({sure})."
WHY_OR = " or "
WHY_SAME = "The same cause stays first whatever you say. But I will know how sure to be, and so what to " \
           "try first."
WEIGHS = {"slight": "a little", "substantial": "clearly", "strong": "strongly",
          "very strong": "very strongly", "decisive": "decisively"}
WEIGHS_SAID = "Speaks {how} {side} it: {text}"
WHY_HAZARD = "What raised this:"
WHY_RECHECK = "These answers can't all hold:"
WHY_CONCLUSION = "Why I think so: {cause} ({percent})"
WHY_NO_EVIDENCE = ("No answer speaks for it or against it yet. I go by what you told me first and by how "
                   "common it is.")
MORE_CAUSES = "Causes considered"
MORE_FINDINGS = "What follows from your answers"
MORE_HOW = "How to find out"
MORE_STEPS = "{name}, step by step"
MORE_CONFIRM = "To make sure: {text}"
MORE_NUMBERS = "Where the numbers come from"
NUMBER_FROM = "{label}: {text}, {basis}."
NUMBER = "{label}: {text}."
MORE_SOURCE = "Source of the fix: {fix}. Source of the cause: {cause}."
MORE_COMPETITORS = "Other causes that would explain the same"
MORE_COMPANIONS = "Causes that would explain what is left"
DOUBT = "What would change my mind? Now: {leading} ({percent})."
DOUBT_TURN = "{changes} Then the likeliest would be: {cause} ({percent})."
DOUBT_CHANGE = "{ask} \"{text}\"."
DOUBT_INSTEAD = "{ask} \"{text}\" instead of \"{given}\"."
DOUBT_AND = " And: "
DOUBT_NONE = "No answer, and no two answers, would put another cause first."
WHAT_IF = "If the answer were: {said}"
WHAT_IF_BEFORE = "Now: {causes}."
WHAT_IF_AFTER = "Then: {causes}."
WHAT_IF_NEXT = {
    "question": "Next I would ask: {text}", "remedy": "Next I would suggest: {text}.",
    "hazard": "I would stop: {text}", "handover": "I would hand over to a technician: {text}.",
    "recheck": "I would ask you to look again: {text}", "done": "That would be the end."}
WHAT_IF_NOTHING = "Your case has not been changed."
CAUSE_PERCENT = "{name} ({percent})"

GOODBYE_KEPT = "Your answers are kept. To go on: diagnose consult --resume {id}"
GOODBYE_NOTHING = "Nothing was said, so nothing is kept."
GOODBYE_UNKEPT = "Your answers could not be kept: {why}."
RESULT_DONE = "What was done"
RESULT_ASKS = "Next I would ask: {ask}"
GOODBYE_END = "That is the end of this consult."

LISTED = "{id}  {at}  {state}, {answers} answers: {complaint}"
CLOSED = {"": "open", "put_by": "put by", "solved": "solved", "not_in_book": "not in the book",
          "left": "left"}
NO_WORDS = "without words"
NO_CASES = "No cases on file."

PAGE_COMPLAINT = "Complaint"
PAGE_SYMPTOMS = "Taken as"
PAGE_ANSWERS = "Answers"
PAGE_FINDINGS = "What follows from the answers"
PAGE_CAUSES = "Causes, most likely first"
PAGE_CAUTIONS = "Cautions"
PAGE_HOUSE = "House rules that had a part in this"
PAGE_BROKEN = "House files left out until they are mended"
PAGE_FIRST_FIX = "If that can't be answered now"
PAGE_NEXT = {"question": "Next question", "remedy": "Do this now", "stop": "Stop",
             "done": "The end"}


def plural(table: Mapping[int, str], count: int) -> str:
    """The words for a count: its own, else those of the largest number in the table."""
    return table.get(count, table[max(table)]).format(count=count)


def number(stated: NumberData) -> str:
    """A number of a fix, and where it comes from."""
    return (NUMBER_FROM if stated.basis else NUMBER).format(
        label=stated.label, text=stated.text, basis=stated.basis)


def house_rule(stated: HouseRule) -> str:
    """A house rule, and where it stands."""
    return HOUSE_RULE.format(id=stated.id, place=stated.place)


def capital(text: str) -> str:
    """A text as a sentence begins."""
    return text[:1].upper() + text[1:]


def minutes(count: float) -> str:
    """Minutes as people say them."""
    if count < 0.75:
        return "less than a minute"
    if count < 1.5:
        return "1 minute"
    if count < 90:
        return f"{count:.0f} minutes"
    if count < 60 * 36:
        return f"{count / 60:.0f} hours"
    return f"{count / 1440:.0f} days"


def goodbye(kept_id: str, anything: bool, unkept: str, ended: str) -> str:
    """The last line: whether and how the case can be gone on with."""
    if ended not in ("left", ""):
        return GOODBYE_END
    if not anything:
        return GOODBYE_NOTHING
    return GOODBYE_UNKEPT.format(why=unkept) if unkept else GOODBYE_KEPT.format(id=kept_id)
