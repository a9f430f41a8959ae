"""A number that knows how sure it is and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass

from .errors import ComputeError, finite


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with the span it plausibly lies in.

    `basis` is a plain phrase that can end a sentence: "from your last 6 shots",
    "a default, no shots logged yet".  Raises `ComputeError` when a part is no
    finite number or the value lies outside its own span.
    """

    value: float
    low: float
    high: float
    unit: str
    basis: str

    def __post_init__(self) -> None:
        for name in ("value", "low", "high"):
            finite(f"estimate's {name}", getattr(self, name))
        if not self.low <= self.value <= self.high:
            raise ComputeError(
                f"An estimate of {self.value:g} cannot lie outside its span"
                f" {self.low:g} to {self.high:g}: one of the three is wrong."
            )

    def times(self, factor: float, unit: str | None = None) -> Estimate:
        """Return the estimate multiplied by an exactly known factor."""
        low, high = sorted((self.low * factor, self.high * factor))
        return Estimate(self.value * factor, low, high, unit or self.unit, self.basis)


@dataclass(frozen=True, slots=True)
class Advice:
    """Advice in words, short enough to stand inside a step; where it comes from stands apart."""

    text: str
    basis: str = ""
