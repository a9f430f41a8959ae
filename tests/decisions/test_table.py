"""Every constant of the table stands where it says, is moved by its step, and is held by a test."""

from __future__ import annotations

from importlib import import_module

import pytest

from tests.decisions.table import ROOT, TABLE, Decision, notices, run


@pytest.mark.parametrize("one", TABLE, ids=lambda one: one.name)
def test_a_constant_and_its_test_are_there(one: Decision) -> None:
    file, _, test = one.test.partition("::")
    value = getattr(import_module(f"diagnose.{one.module}"), one.name)
    assert value != float(one.moved)
    assert f"def {test.partition('[')[0]}(" in (ROOT / file).read_text(encoding="utf-8")


def test_no_constant_stands_twice() -> None:
    assert len({(one.module, one.name) for one in TABLE}) == len(TABLE) >= 40


def test_a_test_passes_as_things_stand_and_fails_once_its_constant_is_moved() -> None:
    one = TABLE[0]
    assert run(one.test).returncode == 0 and notices(one)


@pytest.mark.campaign
@pytest.mark.timeout(600)
@pytest.mark.parametrize("one", TABLE, ids=lambda one: one.name)
def test_the_test_fails_once_the_constant_is_moved(one: Decision) -> None:
    assert notices(one)
