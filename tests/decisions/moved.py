"""A plug-in of pytest that runs the tests with one constant of the program moved.

    MOVED=reason.rank:MOST_DOUBT=1.0 python -m pytest -p tests.decisions.moved tests/reason
"""

from __future__ import annotations

import ast
import os
import sys
from collections.abc import Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from types import CodeType, ModuleType

MODULE, _, _CHANGE = os.environ["MOVED"].partition(":")
NAME, _, VALUE = _CHANGE.partition("=")


class _Loader(SourceFileLoader):
    """Loads the module with the constant's value put in its place."""

    def get_code(self, fullname: str) -> CodeType:
        tree = ast.parse(self.get_data(self.get_filename(fullname)))
        assert sum(_put(node) for node in tree.body) == 1, f"{fullname} states no {NAME}"
        return compile(ast.fix_missing_locations(tree), self.get_filename(fullname), "exec")


def _put(node: ast.stmt) -> bool:
    """Put in the value where a statement gives the constant one; was it so?"""
    if not isinstance(node, ast.Assign) or not isinstance(node.targets[0], ast.Name) \
            or node.targets[0].id != NAME:
        return False
    node.value = ast.parse(VALUE, mode="eval").body
    return True


class _Finder(MetaPathFinder):
    def find_spec(self, fullname: str, path: Sequence[str] | None = None, target: ModuleType | None = None
                  ) -> ModuleSpec | None:
        if fullname != f"diagnose.{MODULE}":
            return None
        spec = PathFinder.find_spec(fullname, path, target)
        assert spec is not None and spec.origin is not None
        spec.loader = _Loader(fullname, spec.origin)
        return spec


assert f"diagnose.{MODULE}" not in sys.modules
sys.meta_path.insert(0, _Finder())
