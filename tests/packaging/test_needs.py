"""Where the rule engine can't be compiled, the install says what is missing, in one sentence."""

from __future__ import annotations

import re
import sysconfig
from pathlib import Path

import pytest

from tests.packaging.conftest import ROOT, Fresh

README = (ROOT / "README.md").read_text()
METADATA = ("-c", f"import os; os.chdir({str(ROOT)!r}); "
            "from hatchling.build import get_requires_for_build_wheel as _, "
            "prepare_metadata_for_build_wheel as made; made(os.environ['HOME'])")


@pytest.fixture(scope="module")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Fresh:
    """An environment that can build, and holds no engine."""
    fresh = Fresh(tmp_path_factory.mktemp("bare"))
    fresh.lend("hatchling")
    return fresh


def test_with_a_compiler_it_builds(bare: Fresh) -> None:
    done = bare.run("python", *METADATA)
    assert done.returncode == 0, done.stderr


def test_without_a_compiler_it_ends_with_the_sentence(bare: Fresh) -> None:
    done = bare.run("python", *METADATA, PATH=str(bare.bin))
    assert done.returncode != 0 and "Traceback" not in done.stderr
    (line,) = done.stderr.splitlines()
    assert "no C compiler" in line and "headers of Python 3.11" in line


def test_without_headers_it_names_the_one_that_is_missing(bare: Fresh, tmp_path: Path) -> None:
    hidden = f"import sysconfig; own = sysconfig.get_path; sysconfig.get_path = lambda name, *more: " \
             f"{str(tmp_path)!r} if name == 'include' else own(name, *more); "
    done = bare.run("python", "-c", hidden + METADATA[1])
    assert done.returncode != 0
    assert f"no Python headers ({tmp_path / 'Python.h'} is not there)" in done.stderr


def test_an_engine_that_is_there_needs_no_compiler(bare: Fresh) -> None:
    engine = bare.site / f"durable_rules_engine{sysconfig.get_config_var('EXT_SUFFIX')}"
    engine.touch()
    try:
        assert bare.run("python", *METADATA, PATH=str(bare.bin)).returncode == 0
    finally:
        engine.unlink()


def test_the_readme_asks_for_what_the_sentence_asks_for(bare: Fresh) -> None:
    done = bare.run("python", *METADATA, PATH=str(bare.bin))
    (packages,) = re.findall(r"apt-get install ([\w. -]+\w)", done.stderr)
    assert f"apt-get install {packages}" in README
