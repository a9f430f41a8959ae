"""Completion by the shell: asked of argcomplete where a shell wants it, and of nobody otherwise."""

from __future__ import annotations

import argparse
import sys
from types import SimpleNamespace

import pytest

from diagnose import cli


def test_a_shell_that_completes_gets_the_whole_parser(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[argparse.ArgumentParser] = []
    monkeypatch.setitem(sys.modules, "argcomplete", SimpleNamespace(autocomplete=asked.append))
    assert cli.main(["book", "list", "targets"]) == 0 and not asked
    monkeypatch.setenv(cli.COMPLETING, "1")
    assert cli.main([]) == 1 and asked[0].prog == "diagnose"


def test_without_the_library_nothing_is_started(
        monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setitem(sys.modules, "argcomplete", None)
    monkeypatch.setenv(cli.COMPLETING, "1")
    assert cli.main([]) == 1 and capsys.readouterr().out == ""
