"""The terminal front end through a pipe: keys in, the same ends as everywhere."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest
from prompt_toolkit.data_structures import Size
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from diagnose.case.journal import Store
from diagnose.dialogue.session import Session
from diagnose.dialogue.stages.question import Question
from diagnose.errors import UserError
from diagnose.present import screens
from diagnose.ui import typed_ahead
from diagnose.ui.screen import Terminal
from tests.case.small import FakeLookup, small_system
from tests.dialogue.scripts import SCRIPTS, Script
from tests.dialogue.test_scripts import ended

pytestmark = pytest.mark.timeout(20)
SECONDS = 30


@pytest.fixture(scope="module")
def system(tmp_path_factory: pytest.TempPathFactory):
    return small_system(tmp_path_factory.mktemp("small"))


@pytest.fixture(autouse=True)
def _quick_hands(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys come quickly here, though none before the screen that it is for."""
    monkeypatch.setattr(typed_ahead, "STILL_SECONDS", 0.01)


class Sized(DummyOutput):
    """An output of a given size that draws nothing."""

    def __init__(self, columns: int, rows: int) -> None:
        self.size = Size(rows=rows, columns=columns)

    def get_size(self) -> Size:
        return self.size


class Driver:
    """A terminal with keys sent one after another, each once the last has been dealt with."""

    def __init__(self, system, folder: Path, columns: int = 80, rows: int = 24, start=None) -> None:
        self.system, self.folder, self.start = system, folder, start
        self.output = Sized(columns, rows)
        self.shown: list[str] = []

    def opened(self) -> Session:
        session = Session(self.system, FakeLookup(self.system.book), Store(self.folder / "cases"))
        if self.start:
            self.start(session)
        return session

    def run(self, *keys: str, first=None) -> Session:
        """Send the keys; ends with the session, or leaves when the keys are used up."""
        with create_pipe_input() as pipe:
            terminal = Terminal(first or screens.complaint(), self.opened, pipe, self.output)
            self.terminal = terminal
            terminal.app.key_processor.after_key_press += self._pressed

            async def drive() -> None:
                done = asyncio.ensure_future(terminal.app.run_async(
                    pre_run=terminal._warm, handle_sigint=False))
                await self._until(done, lambda: "session" in vars(terminal))
                for key in keys:
                    if done.done():
                        break
                    self.pressed = 0
                    await self._until(done, lambda: not terminal.ahead.now)
                    pipe.send_text(key)
                    await self._until(done, lambda k=key: self.pressed >= len(k))
                    self.shown.append(self.text())
                if not terminal.session.ended:
                    terminal.session.close()
                    terminal.app.exit()
                await asyncio.wait_for(done, SECONDS)

            asyncio.run(asyncio.wait_for(drive(), SECONDS * 2))
        return terminal.session

    def _pressed(self, _) -> None:
        self.pressed += 1

    async def _until(self, done, reached) -> None:
        """Wait until something is so, or the application has ended."""
        async with asyncio.timeout(SECONDS):
            while not (reached() or done.done()):
                await asyncio.sleep(0.005)

    def text(self) -> str:
        """What stands on the screen, the prompt apart."""
        parts = [*self.terminal._body(), ("", "\n"), *self.terminal._foot(), ("", "\n"),
                 *self.terminal._hint()]
        return "".join(p[1] for p in parts)


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda s: s.name)
def test_a_script_ends_as_it_says(script: Script, system, tmp_path: Path) -> None:
    driver = Driver(system, tmp_path)
    session = driver.run(*_typed(script))
    session.close()
    assert ended(session) == (script.ended, script.values, script.tried)
    everything = " ".join(" ".join(driver.shown).split())
    assert [w for w in script.seen if w not in everything] == []


def _typed(script: Script) -> list[str]:
    """The script's lines as keys: nothing is said before Enter."""
    return [line + "\r" for line in script.lines]


def test_a_digit_answers_a_question_once_enter_is_pressed(system, tmp_path):
    assert Driver(system, tmp_path).run("gush\r", "1\r", "\r", "1").case.values == {}
    session = Driver(system, tmp_path / "other").run("gush\r", "1\r", "\r", "1\r")
    assert session.case.values == {"last_change": "grind"}


def test_a_number_is_checked_while_it_is_typed(system, tmp_path):
    driver = Driver(system, tmp_path, start=_asking_time)
    driver.run("9", "00", " s", "\x1b", "0:19")
    assert "read as 9 s" in driver.shown[0]
    assert "can't be right here" in driver.shown[1]
    assert "read as 19 s" in driver.shown[-1]


def _asking_time(session: Session) -> None:
    session.take("gush")
    session.take("1")
    session.over.append(Question("shot_time"))


def test_a_refused_number_leaves_the_question_and_says_why(system, tmp_path):
    driver = Driver(system, tmp_path, start=_asking_time)
    session = driver.run("900 s\r")
    assert "can't be right here" in " ".join(driver.shown[-1].split())
    assert session.stage.asks(session) == "shot_time"


def test_the_timer_starts_and_stops_by_a_key_and_gives_the_answer(system, tmp_path):
    driver = Driver(system, tmp_path, start=_asking_time)
    session = driver.run("t\r", " ", " ", "\r")
    assert "Press Enter when you start" in driver.shown[0]
    assert "Running" in driver.shown[1]
    assert driver.terminal.session.over or "shot_time" not in session.case.values  # under 1 s
    driver = Driver(system, tmp_path, start=_asking_time)
    session = driver.run("t\r", " ", " ", "19 s\r")
    assert session.case.values["shot_time"] == 19


def test_completion_offers_complaints_of_the_book(system, tmp_path):
    driver = Driver(system, tmp_path)
    session = driver.run("gush", "\t", "\r", "1\r")
    assert session.case.complaint == "the shot runs too fast"


def test_completion_offers_choices_with_a_word_of_help(system, tmp_path):
    from prompt_toolkit.completion import CompleteEvent
    from prompt_toolkit.document import Document

    driver = Driver(system, tmp_path)
    driver.run("gush\r", "1\r", "\r")
    offers = driver.terminal.buffer.completer.get_completions(Document("the b"), CompleteEvent())
    assert [(c.text, c.display_meta_text) for c in offers] == [("the beans", "2")]


def test_control_c_asks_and_escape_comes_back(system, tmp_path):
    driver = Driver(system, tmp_path)
    session = driver.run("gush\r", "1\r", "\r", "1\r", "\x03", "\x1b")
    assert "Leave now?" in driver.shown[-2] and "Did it work?" in driver.shown[-1]
    assert session.ended == ""


def test_control_c_twice_leaves_with_everything_on_file(system, tmp_path):
    session = Driver(system, tmp_path).run("gush\r", "1\r", "\r", "1\r", "\x03", "\x03")
    assert session.ended == "left"
    assert Store(tmp_path / "cases").load(session.id) == session.case.entries


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (40, 20)])
def test_every_screen_fits(system, tmp_path, columns, rows):
    driver = Driver(system, tmp_path, columns, rows)
    driver.run("gush\r", "1\r", "\r", "why\r", "\r", "1\r", "why\r", "\x1b", "more\r", "\x1b", "?\r", "\x1b",
               "change mind\r")
    for shown in driver.shown:
        assert len(shown.split("\n")) + 1 <= rows, shown
        assert max(map(len, shown.split("\n")[:-1])) < columns


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (40, 20)])
def test_every_screen_of_own_words_and_of_the_best_fix_fits(system, tmp_path, columns, rows):
    driver = Driver(system, tmp_path, columns, rows)
    driver.run("gush and drip in 19 s with a new bag, perhaps frost\r", "it drips\r", "1 3\r", "\r", "!\r",
               "\r", "\x1b", "well it is burning\r", "\r", "\r", "save\r")
    assert any("Is it right?" in shown for shown in driver.shown)
    for shown in driver.shown:
        assert len(shown.split("\n")) + 1 <= rows, shown
        assert max(map(len, shown.split("\n")[:-1])) < columns


def test_a_long_screen_is_turned_page_by_page(system, tmp_path):
    driver = Driver(system, tmp_path, 40, 20)
    driver.run("gush\r", "1\r", "\r", "?\r", "\r", "\r")
    assert "Page 1 of" in driver.shown[3] and "Page 2 of" in driver.shown[4]


def test_pages_once_read_are_not_turned_to_again(system, tmp_path):
    driver = Driver(system, tmp_path, 40, 15)
    driver.run("gush\r", "1\r", "\r", "1\r", "\r", "\r", "why\r", "\x1b")
    assert "Do this now: Grind finer" in driver.shown[3] and "Page 1 of 2" in driver.shown[3]
    assert all("Did it work?" in shown for shown in (driver.shown[4], driver.shown[5]))
    assert "Nothing was typed" in driver.shown[5]
    assert "Why I think so" in driver.shown[6] and "Did it work?" in driver.shown[7]


def test_the_best_fix_is_given_when_asked_for_and_back_goes_on_asking(system, tmp_path):
    driver = Driver(system, tmp_path)
    session = driver.run("gush\r", "1\r", "\r", "!\r", "b\r")
    assert "This is my best advice so far" in driver.shown[3]
    assert "What was changed last" in driver.shown[4] and not session.hurried


def test_words_at_a_number_are_said_to_be_read_as_such(system, tmp_path):
    driver = Driver(system, tmp_path, start=_asking_time)
    driver.run("with a new bag")
    assert "Enter: read as your own words" in driver.shown[0]


def test_the_prompt_stands_there_again_after_a_long_line(system, tmp_path):
    driver = Driver(system, tmp_path, 40, 20)
    driver.run("gush " * 20 + "\r")
    assert driver.terminal.prompt.horizontal_scroll == 0


def test_a_book_that_can_t_be_opened_ends_it_with_its_one_line(system, tmp_path):
    def opened() -> Session:
        raise UserError("the shipped book is not sound: x.yaml:1:1: wrong")

    with create_pipe_input() as pipe, pytest.raises(UserError, match="not sound"):
        Terminal(screens.complaint(), opened, pipe, Sized(80, 24)).run()


def test_a_word_says_that_it_is_being_worked_out(system, tmp_path, monkeypatch):
    driver, said, take = Driver(system, tmp_path), [], Session.take

    def taken(session: Session, line: str) -> None:
        said.append("".join(p[1] for p in driver.terminal._hint()))
        take(session, line)

    monkeypatch.setattr(Session, "take", taken)
    driver.run("gush\r", "1\r")
    assert said == ["One moment."] * 2 and "One moment." not in driver.shown[-1]
