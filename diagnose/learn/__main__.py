"""`python -m diagnose.learn`: learn reading and count situations anew; minutes of work.

Needs the libraries of the extra `learn`. Writes `knowledge/learnt/`; run it after a change to
`knowledge/phrases` or `knowledge/situations` (a test says when it is due). `--counts` makes the
counts alone.
"""

from __future__ import annotations

import argparse

import msgspec

from diagnose.book.with_house import load
from diagnose.learn import experience
from diagnose.reading import classifier
from diagnose.storage import atomic, paths


def main() -> None:
    """Make the files and say how large they are."""
    parser = argparse.ArgumentParser(prog="python -m diagnose.learn",
                                     description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--counts", action="store_true", help="count the situations only")
    asked = parser.parse_args()
    counts = msgspec.json.encode(experience.count(load([]).book))
    made = {paths.EXPERIENCE: msgspec.json.format(counts, indent=0)}
    if not asked.counts:
        from diagnose.learn import reader  # its libraries are wanted for this alone

        made[classifier.FILE] = reader.main()
    for name, data in made.items():
        place = paths.shipped() / name
        place.parent.mkdir(exist_ok=True)
        atomic.write(place, data)
        print(f"{place}: {len(data) / 1e6:.1f} MB")


if __name__ == "__main__":
    main()
