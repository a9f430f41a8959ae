"""After anything that goes wrong, the next run is right."""

from __future__ import annotations

import os
import threading

import pytest

from diagnose.engine import Engine, EngineError
from diagnose.engine.ruleset import library
from tests.engine.make import apart, fired, has, rule

FACTS = [("a", "1"), ("b", "1")]
CALLS = ["assert_fact", "start_action_for_state", "complete_and_start_action", "retract_fact"]


def small_book() -> list:
    return [rule("one", has("a"), then=("c", "1")),
            rule("two", has("c"), has("b"), none=[has("d")], then=("e", "1")),
            rule("three", has("a"), none=[has("e")]), rule("four", none=[has("c"), has("e")])]


class Trouble:
    """Stands in for the library, and fails at its n-th call of one function."""

    def __init__(self, name: str, at: int, error: BaseException) -> None:
        self._name, self._left, self._error = name, at, error
        self.struck = False

    def __getattr__(self, name):
        function = getattr(library, name)
        if name != self._name:
            return function

        def call(*arguments):
            self._left -= 1
            if self._left == 0:
                self.struck = True
                raise self._error
            return function(*arguments)
        return call


@pytest.mark.parametrize("error", [library.error("out of order"), KeyboardInterrupt(), MemoryError()],
                         ids=["library", "interrupt", "memory"])
@pytest.mark.parametrize("call", CALLS)
@pytest.mark.parametrize("at", [1, 2, 3])
def test_the_run_after_a_failure_is_right(monkeypatch, call, at, error):
    engine = Engine(small_book())
    expected = engine.run(FACTS), engine.run([]), engine.run(FACTS[1:])
    trouble = Trouble(call, at, error)
    with monkeypatch.context() as patch:
        patch.setattr("diagnose.engine.ruleset.library", trouble)
        with pytest.raises(EngineError if isinstance(error, library.error) else type(error)):
            for _ in range(3):
                engine.run(FACTS)
    assert trouble.struck
    assert (engine.run(FACTS), engine.run([]), engine.run(FACTS[1:])) == expected


def test_a_failure_while_compiling_anew_is_survived_too(monkeypatch):
    engine = Engine(small_book())
    expected = engine.run(FACTS)
    for call in ("assert_fact", "create_ruleset"):
        with monkeypatch.context() as patch:
            patch.setattr("diagnose.engine.ruleset.library", Trouble(call, 1, KeyboardInterrupt()))
            with pytest.raises(KeyboardInterrupt):
                engine.run(FACTS)
    assert engine.run(FACTS) == expected


def test_a_refusal_of_the_library_itself_is_one_plain_line(monkeypatch):
    """With our own count of tests out of the way, the library's refusal comes through."""
    monkeypatch.setattr("diagnose.engine.layout.MOST_TESTS", 200)
    engine = Engine([rule(f"r{i}", has("n", "v", f"w{i}")) for i in range(100)])
    with pytest.raises(EngineError, match="the rule library failed: Could not assert fact, error code: 303"):
        engine.run([("n", "v")])
    assert fired(engine, ("n", "w3")) == ["r3"]


def test_an_error_in_the_facts_given_changes_nothing():
    engine = Engine(small_book())
    expected = engine.run(FACTS)

    def facts():
        yield FACTS[0]
        raise ValueError("no more")

    with pytest.raises(ValueError, match="no more"):
        engine.run(facts())
    assert engine.run(FACTS) == expected


INTERRUPTED = """
import signal, sys
from diagnose.engine import Engine
from tests.engine.test_recovery import FACTS, small_book
engine = Engine(small_book())
expected = engine.run(FACTS)
def interrupt(*_): raise KeyboardInterrupt
signal.signal(signal.SIGALRM, interrupt)
struck = 0
for i in range(600):
    try:
        signal.setitimer(signal.ITIMER_REAL, 0.00003 + i % 97 * 0.000004)
        for _ in range(40): engine.run(FACTS)
    except KeyboardInterrupt:
        struck += 1
    try:
        signal.setitimer(signal.ITIMER_REAL, 0)
    except KeyboardInterrupt:
        struck += 1
    assert engine.run(FACTS) == expected, i
print(struck)
"""


def test_real_interrupts_at_any_moment():
    done = apart("-c", INTERRUPTED)
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) > 300


def test_another_thread_is_refused():
    engine, caught = Engine(small_book()), []

    def run():
        try:
            engine.run(FACTS)
        except EngineError as error:
            caught.append(str(error))

    thread = threading.Thread(target=run)
    thread.start()
    thread.join()
    assert caught == ["an engine runs only in the thread that made it: make one for each thread"]
    assert fired(engine, *FACTS) == ["one", "two"]


def test_a_forked_process_goes_on_by_itself():
    engine = Engine(small_book())
    expected = engine.run(FACTS)
    child = os.fork()
    if child == 0:
        right = all(engine.run(FACTS) == expected for _ in range(50))
        os._exit(0 if right else 1)
    for _ in range(50):
        assert engine.run(FACTS) == expected
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


def test_two_engines_side_by_side_keep_to_themselves():
    one, other = Engine(small_book()), Engine([rule("z", has("a"), none=[has("b")])])
    for _ in range(3):
        assert fired(one, *FACTS) == ["one", "two"]
        assert fired(other, *FACTS) == []
        assert fired(other, FACTS[0]) == ["z"]


