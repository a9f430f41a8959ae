"""Says in one sentence what the machine lacks for compiling the rule engine.

Run by hatchling before anything is built (`pyproject.toml`), so that an install without a
compiler ends in these words and not in a page of the compiler driver's.
"""

from __future__ import annotations

import os
import shlex
import shutil
import sysconfig
from pathlib import Path
from typing import Any

from hatchling.metadata.plugin.interface import MetadataHookInterface

SENTENCE = ("diagnose: the rule engine is compiled while it installs, and this machine has no {lacks}; "
            "it needs a C compiler and the headers of Python 3.11 or newer "
            "(on Debian: apt-get install python3-dev python3-venv gcc), then run the command again")


class Needs(MetadataHookInterface):
    """Looks for the compiler and the headers; changes no metadata."""

    def update(self, metadata: dict[str, Any]) -> None:
        """End with the sentence where the engine is neither there nor can be compiled."""
        lacks = lacking()
        if lacks and not compiled_already():
            raise SystemExit(SENTENCE.format(lacks=" and no ".join(lacks)))


def lacking() -> list[str]:
    """What is missing of compiler and headers."""
    lacks = []
    driver = os.environ.get("CC") or sysconfig.get_config_var("CC")
    if driver and shutil.which(shlex.split(driver)[0]) is None:
        lacks.append(f"C compiler ({shlex.split(driver)[0]} is not found)")
    header = Path(sysconfig.get_path("include"), "Python.h")
    if not header.is_file():
        lacks.append(f"Python headers ({header} is not there)")
    return lacks


def compiled_already() -> bool:
    """Does the environment that is installed into hold the engine already?"""
    return any(Path(sysconfig.get_path("platlib")).glob("durable_rules_engine*"))
