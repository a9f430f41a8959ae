"""The command `diagnose` over the small book: the folder of the book, then the arguments."""

from __future__ import annotations

import sys
from pathlib import Path

from diagnose.cli import main
from diagnose.storage import paths

if __name__ == "__main__":
    book = Path(sys.argv[1])
    paths.shipped = lambda: book
    sys.exit(main(sys.argv[2:]))
