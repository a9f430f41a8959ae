"""Parsers that learn their options when first used, so that other commands don't wait for them."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable
from typing import Any


class Late(argparse.ArgumentParser):
    """A parser whose last options are stated when it is first to parse."""

    stated: Callable[[argparse.ArgumentParser], None] | None = None

    def parse_known_args(self, args: Iterable[str] | None = None,
                         namespace: Any = None) -> tuple[Any, list[str]]:
        """As in argparse, the late options stated first."""
        if self.stated is not None:
            state, self.stated = self.stated, None
            state(self)
        return super().parse_known_args(args, namespace)


def late(parser: argparse.ArgumentParser) -> type[Late]:
    """The class of a late parser that fails as the given one does."""
    return type("_LateParser", (Late, type(parser)), {})
