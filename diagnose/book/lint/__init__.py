"""The linter: what the strict reading can't see, one small check for each kind of trouble."""

from diagnose.book.lint.issue import ADVICE, ERROR, Issue
from diagnose.book.lint.run import CHECKS, Report, lint

__all__ = ["ADVICE", "CHECKS", "ERROR", "Issue", "Report", "lint"]
