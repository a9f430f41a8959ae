"""Ratio, flow, strength and extraction of a shot; what the beans' age does to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from diagnose.calc.form import Given, Result, Results, Subject, day, option, word
from diagnose.compute import advice, beans, shot, units
from diagnose.compute.errors import ComputeError

GOLDEN = "18 to 22 % is a figure borrowed from filter coffee; there is none for espresso"
HARDLY = {
    "dose": (5.0, 30.0, "a basket holds from about 6 to 25 g. Look at the scale and the unit."),
    "ratio": (0.8, 6.0, "a drink is from about once to four times its coffee by weight. Look whether dose "
                        "and drink are both in grams."),
    "time": (3.0, 120.0, "a shot takes from a few seconds to a minute or so. Look whether it is in seconds."),
    "flow": (0.1, 12.0, "no shot runs so. Look at the time and the weight."),
}
"""Least and most that a number plausibly is, and what to look at: common practice, no source."""


def _work(given: Given) -> Results:
    results = [*_ratio(given), *_flow(given), *_strength(given), *_beans(given)]
    return Results(results, remarks=[*_doubtful(given, results)])


def _doubtful(given: Given, results: Sequence[Result]) -> Iterator[str]:
    """What of the numbers given or worked out can hardly be."""
    numbers: dict[str, float] = {r.id: r.value for r in results if isinstance(r.value, float | int)}
    numbers |= {name: value for name in ("ratio", "dose", "time") if name not in numbers
                and isinstance(value := given.values[name], float | int)}
    for name, (least, most, says) in HARDLY.items():
        if name in numbers and not least <= numbers[name] <= most:
            unit = {"ratio": "ratio", "dose": "g", "time": "s", "flow": "g/s"}[name]
            yield f"{units.show(numbers[name], unit)} can hardly be: {says}"


def _yield_g(given: Given) -> tuple[float, str] | None:
    if given.yield_ is not None and given.volume is not None:
        raise ComputeError("The drink is given by weight (--yield) and by volume (--volume): give one.")
    if given.yield_ is not None:
        return given.yield_, ""
    if given.volume is not None:
        found = shot.volume_to_mass(volume_ml=given.volume, crema=given.crema or "fresh")
        return found.value, found.basis
    return None


def _ratio(given: Given) -> Iterator[Result]:
    drink = _yield_g(given)
    if given.volume is not None:
        yield Result("drink", "Weight of the drink", shot.volume_to_mass(
            volume_ml=given.volume, crema=given.crema or "fresh"), "g")
    if given.has("dose") and drink:
        if given.ratio is not None:
            shot.consistency(dose_g=given.dose, yield_g=drink[0], ratio=given.ratio)
        yield Result("ratio", "Brew ratio", shot.brew_ratio(dose_g=given.dose, yield_g=drink[0]),
                     "ratio", drink[1])
    elif given.dose is not None and given.has("ratio"):
        yield Result("yield", "Drink to aim for", shot.yield_for(
            dose_g=given.dose, ratio=given.ratio), "g")
    elif drink and given.has("ratio"):
        yield Result("dose", "Dose to use", shot.dose_for(yield_g=drink[0], ratio=given.ratio), "g")
    else:
        given.has("yield_")


def _flow(given: Given) -> Iterator[Result]:
    drink = _yield_g(given)
    if not given.has("time"):
        return
    counted = given.preinfusion_counted != "no"
    if given.preinfusion is not None:
        times = {"shot_time_s": given.time, "preinfusion_s": given.preinfusion, "counted": counted}
        yield Result("time_whole", "Time from first water, pre-infusion counted in",
                     shot.time_with_preinfusion(**times), "s")
        yield Result("time_full", "Time under full pressure", shot.time_without_preinfusion(**times),
                     "s")
    if drink:
        yield Result("flow", "Average flow", shot.mass_flow_g_s(
            yield_g=drink[0], shot_time_s=given.time), "g/s", drink[1] or "over the time given")
        if given.aim_yield is not None:
            yield Result("time_aim", "The same grind would take for the drink aimed at",
                         shot.scaled_time(shot_time_s=given.time, yield_g=drink[0],
                                          aim_yield_g=given.aim_yield), "s",
                         "at the same average flow, good for drinks near one another")


def _strength(given: Given) -> Iterator[Result]:
    drink = _yield_g(given)
    if given.tds is not None and given.has("dose") and drink:
        found = shot.extraction_yield_percent(dose_g=given.dose, yield_g=drink[0],
                                              tds_percent=given.tds)
        yield Result("extraction", "Extraction", found, "percent",
                     f"{shot.extraction_word(extraction_percent=found)}: {GOLDEN}")


def _beans(given: Given) -> Iterator[Result]:
    if given.roasted is None:
        return
    days = beans.days_since(roast_date=date.fromisoformat(given.roasted), today=given.now.date())
    yield Result("days", "Days since the roast", days, "days")
    if given.has("roast"):
        yield Result("phase", "Beans of that age", advice.bean_phase(
            roast=given.roast, days=days, days_open=given.open or 0.0))
        yield Result("rest", "Best begun after", beans.rest_window_days(roast=given.roast), "days")


SUBJECT = Subject("shot", "ratio, flow, strength and extraction; age of the beans", (
    option("dose", "g", "dry coffee", low=0.1, high=200),
    option("yield_", "g", "drink, by weight", low=0.1, high=5000),
    option("volume", "ml", "drink, by volume, foam included", low=0.1, high=5000),
    word("crema", "how the volume was read", "fresh", "settled"),
    option("ratio", "ratio", "brew ratio, as 1:2", low=0.1, high=50, bare=True),
    option("time", "s", "shot time", low=0.1, high=600),
    option("preinfusion", "s", "gentle wetting before full pressure", high=600),
    word("preinfusion-counted", "is it counted in the shot time", "yes", "no"),
    option("aim-yield", "g", "drink to aim for", low=0.1, high=5000),
    option("tds", "percent", "strength, read by a refractometer", high=100),
    day("roasted", "date of the roast"),
    word("roast", "colour of the roast", "light", "medium", "dark"),
    option("open", "days", "how long the bag has been open"),
), _work)
