"""The command line: find the command, run it, turn every expected failure into one line."""

from __future__ import annotations

import argparse
import errno
import gc
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module
from typing import NoReturn

from diagnose import __version__
from diagnose.commands import book, calc, case, consult, handout, house, lookup, mail, notebook
from diagnose.errors import UserError, short
from diagnose.ui.shown import all_shown

COMMANDS = (consult, lookup, case, mail, house, notebook, calc, handout, book)
GROUPS = {"When something is wrong": ("consult", "lookup", "case"),
          "A pile of letters": ("mail",),
          "Your own rules and records": ("house", "notebook"),
          "Numbers and paper": ("calc", "handout"),
          "The book, and what to teach next": ("book",)}
"""The commands as the help and the README group them."""
MORE = """\
Your data (consults, notebook, house rules) stands in
  {folder}
and {name} in the environment moves it. Each command says more with --help.
"""
COMPLETING = "_ARGCOMPLETE"
"""Set in the environment by a shell that wants a line completed; nothing is loaded for it otherwise."""
ABOUT = ("-h", "--help", "--version")
LITTLE_GARBAGE = 500_000
"""Objects made between two looks for garbage in circles: a book is many objects and hardly a circle, and
to walk all of them again and again took a quarter of every start."""


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise UserError(f"{message}; see `{self.prog} --help`")


class _Top(_Parser):
    """Its help groups the commands and says where the person's data stands."""

    def format_help(self) -> str:
        from diagnose.storage import paths

        form = self._get_formatter()
        form.add_usage(self.usage, self._actions, self._mutually_exclusive_groups)
        form.add_text(self.description)
        (commands,) = (a for a in self._actions if isinstance(a, argparse._SubParsersAction))
        about = {a.dest: a for a in commands._get_subactions()}
        for title, names in GROUPS.items():
            form.start_section(title)
            form.add_arguments([about[name] for name in names])
            form.end_section()
        form.start_section("Options")
        form.add_arguments([a for a in self._actions if a is not commands])
        form.end_section()
        return f"{form.format_help()}\n{MORE.format(folder=paths.data(), name=paths.DATA)}"


def parser() -> argparse.ArgumentParser:
    """The whole command line."""
    top = _Top(prog="diagnose", description="Find what is wrong with an espresso at home, "
               "and the one thing to change next. Alone, it starts a consult.")
    top.add_argument("--version", action="version", version=f"diagnose {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", parser_class=_Parser)
    for command in COMMANDS:
        command.add(commands)
    return top


def named(arguments: Sequence[str]) -> list[str]:
    """The arguments with their command: none means the consult, whose options may follow."""
    alone = not arguments or (arguments[0].startswith("-") and arguments[0] not in ABOUT)
    return ["consult", *arguments] if alone else list(arguments)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; the exit status: 0 done, 1 a check failed, 2 it could not be done."""
    gc.set_threshold(LITTLE_GARBAGE)
    if COMPLETING in os.environ:
        return complete()
    with all_shown():
        return _run(sys.argv[1:] if arguments is None else arguments)


def complete() -> int:
    """Answer a shell that completes a line; without argcomplete there is nothing to offer."""
    with suppress(ImportError):
        import_module("argcomplete").autocomplete(parser())  # ends the program
    return 1


def _run(arguments: Sequence[str]) -> int:
    try:
        args = parser().parse_args(named(arguments))
        return int(args.run(args))
    except UserError as error:
        print(f"diagnose: {error}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("diagnose: stopped", file=sys.stderr)
        return 130
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 141
    except OSError as error:
        if error.errno != errno.ENAMETOOLONG:
            raise
        print(f"diagnose: {short(str(error.filename))}: too long for the name of a file", file=sys.stderr)
        return 2
