"""What a change does, told as sentences: what is lost, what is advised otherwise, the rest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diagnose.house.effect import Difference, HouseEffect

MOST = 8
"""Cases named under each sentence."""


def told(effect: HouseEffect, most: int = MOST) -> list[str]:
    """An effect as lines, the gravest first."""
    differences = effect.differences
    losing = [d for d in differences if d.lost]
    advised = [d for d in differences if d.advice[1] and not d.lost]
    rest = [d for d in differences if not d.advice[1] and not d.lost]
    lines = [
        *_part(losing, effect, most, "{} no longer {} a warning:", ("shows", "show")),
        *_part(advised, effect, most, "{} now {} another first advice:", ("gets", "get")),
        *_part(rest, effect, most, "{} {} the same advice as before, but not all else:", ("gets", "get"))]
    return [*lines, *_others(effect), *(f"left out: {line}" for line in effect.skipped[:5])]


def _part(found: Sequence[Difference], effect: HouseEffect, most: int, says: str,
          verb: tuple[str, str]) -> Iterator[str]:
    if not found:
        return
    yield says.format(f"{len(found)} of {_samples(effect.cases)}", verb[len(found) > 1])
    for difference in found[:most]:
        yield from _case(difference)
    if len(found) > most:
        yield f"... and {len(found) - most} more."


def _samples(count: int) -> str:
    return f"{count} sample case{'' if count == 1 else 's'}"


def _case(difference: Difference) -> Iterator[str]:
    was, now = difference.advice
    yield f"- {difference.case}" + (f': "{_plain(now)}" instead of "{_plain(was)}"' if now else "")
    yield from (f"    {line}" for line in difference.lines)


def _plain(text: str) -> str:
    return text.rstrip(".")


def _others(effect: HouseEffect) -> Iterator[str]:
    """What became of the cases that no sentence names."""
    unseen = effect.touched - effect.looked_at
    if unseen:
        yield (f"There was time for the {effect.looked_at} cases nearest to it; {unseen} more may come out "
               "otherwise too. Once it is kept, `diagnose house effect` looks at them all.")
    elif effect.differences:
        yield "All others come out as before."
    else:
        yield f"All {_samples(effect.cases)} come out as before." if effect.cases != 1 else (
            "The sample case comes out as before.")

