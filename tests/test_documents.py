"""README.md and DEVELOPERS.md say what is so: examples pass, commands exist, rooms stand as told."""

from __future__ import annotations

import ast
import re
import shlex
from pathlib import Path

import pytest
import yaml

from diagnose import cli
from diagnose.book.assemble import build_book
from diagnose.book.book import Book
from diagnose.book.lint import CHECKS, lint
from diagnose.book.yaml import loader
from diagnose.case.casefile import build, read
from diagnose.reason.system import System
from diagnose.storage import paths

ROOT = Path(__file__).parents[1]
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()
TEXTS = DEVELOPERS + (ROOT / "README.md").read_text()
ROOMS = tuple(dict.fromkeys(re.findall(r"^\|.*?`diagnose/(\w+)/`", DEVELOPERS, re.M)))
CIRCLE = {"lookup": "consult", "consult": "lookup"}
PLACEHOLDERS = {"NAME": "static_grounds", "WORDS": "dry foam", "FILE": "one.yaml"}


def block(name: str) -> str:
    """The code block that starts so."""
    (text,) = re.findall(rf"^```{name}\n(.*?)^```$", DEVELOPERS, re.M | re.S)
    return text


@pytest.fixture(scope="module")
def taught() -> Book:
    """The shipped book with the example as one more chapter."""
    chapters = loader.load(paths.shipped())
    return build_book([*chapters, loader.of_text(block("yaml"), "example.yaml", "")])


def test_the_example_passes_the_strict_check(taught: Book) -> None:
    report = lint(taught)
    ours = [i for i in (*report.issues, *report.allowed) if i.place.file == "example.yaml"]
    assert not ours, "\n".join(map(str, ours))


def test_the_example_of_an_answer_passes_the_strict_check() -> None:
    example = loader.of_text(block("yaml practice"), "example.yaml", "")
    report = lint(build_book([*loader.load(paths.shipped()), example]))
    assert not [str(i) for i in (*report.issues, *report.allowed) if i.place.file == "example.yaml"]


def test_the_example_of_a_letters_frame_is_read() -> None:
    example = loader.of_text(block("yaml letter"), "letters.yaml", "ours")
    assert build_book([*loader.load(paths.shipped()), example]).letter.nameless == "Good day,"


def test_the_example_case_fits_the_book(taught: Book, tmp_path: Path) -> None:
    file = tmp_path / "case.yaml"
    file.write_text(block("yaml case"))
    ((found, tree),) = read(file)
    case = build(System(taught), found, tree)
    assert found.expect is not None and case.ranked[0].cause in found.expect.causes


def test_an_entry_may_allow_what_a_check_would_not() -> None:
    (allow,) = yaml.safe_load(block("yaml allow")).values()
    (named,) = allow
    example = yaml.safe_load(block("yaml"))
    cause = example["causes"]["chute_flap_torn"]
    cause["look_alikes"] = cause["look_alikes"][:1]
    for stated, severity in (({}, "issues"), (allow, "allowed")):
        cause["allow"] = stated
        book = build_book([*loader.load(paths.shipped()),
                     loader.of_text(yaml.safe_dump(example), "example.yaml", "")])
        report = lint(book, [one for one in CHECKS if one.name == named])
        assert any(i.place.file == "example.yaml" for i in getattr(report, severity))


@pytest.mark.parametrize("command", sorted({c for c in re.findall(r"`(diagnose [^`]*)`", TEXTS)
                                            if not c.startswith("diagnose case ./")}))
def test_every_command_named_can_be_given(command: str) -> None:
    words = [PLACEHOLDERS.get(word, word) for word in shlex.split(command)[1:]]
    assert cli.parser().parse_args(cli.named(words)).run


def test_every_room_is_named_in_the_order_of_imports() -> None:
    folders = {p.name for p in (ROOT / "diagnose").iterdir() if (p / "__init__.py").exists()}
    assert set(ROOMS) == folders
    for at, room in enumerate(ROOMS):
        below = set(ROOMS[at + 1:]) - {CIRCLE.get(room, "")}
        for file in sorted((ROOT / "diagnose" / room).rglob("*.py")):
            assert not _imported(file) & below, f"{file.relative_to(ROOT)} imports a room below it"


def _imported(file: Path) -> set[str]:
    """The rooms a file imports, wherever in it."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(file.read_text())):
        if isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
        elif isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
    return {name.split(".")[1] for name in names if name.startswith("diagnose.")}


NAMED = re.findall(r"`((?:diagnose|knowledge|tests)/[\w/.]+)`(?: `([\w.]+)`)?", DEVELOPERS)


@pytest.mark.parametrize(("path", "name"), NAMED)
def test_what_is_named_with_its_file_is_there(path: str, name: str) -> None:
    assert (ROOT / path).exists()
    if name and path.endswith(".py"):
        for part in name.split("."):
            assert re.search(rf"(?:def|class) {part}\b", (ROOT / path).read_text(encoding="utf-8")), part
