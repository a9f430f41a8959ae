"""Danger comes first: lay words raise their caution before any question, and nothing makes it worse.

HAZARDS is the written list of what can hurt somebody at an espresso machine; every line names the
caution that it leads to and says it in words that stand nowhere in the book.
"""

from __future__ import annotations

from datetime import date

import pytest

from diagnose.book.with_house import load
from diagnose.case.case import Case, Stop
from diagnose.present.handover import summary
from diagnose.reading.complaint import understand
from diagnose.reason.system import System

HAZARDS: dict[str, dict[str, tuple[str, ...]]] = {
    "scald": {
        "burn_first_aid": ("I scalded my wrist under the group", "the steam burned my fingers badly"),
        "runaway_heat": ("it overheats and boils by itself while on brew",),
        "scald_wand": ("milk splashes out all over when I steam",),
    },
    "pressure": {
        "portafilter_pressure": (
            "The shot choked, not a drop comes out",
            "my small steam espresso maker heats and no coffee comes",
            "nothing comes out, the pump strains and the shot is completely choked",
            "The portafilter is stuck fast and hisses when I try to take it off",
        ),
        "safety_valve": (
            "The boiler needle is way past the red and it hisses, I pulled the plug",
            "safety valve keeps going off with a blast of steam",
        ),
        "cap_under_pressure": (
            "my small steam espresso maker heats and no coffee comes",
            "steam hisses out round the screw cap",
        ),
        "lever_kick": ("the lever shot up out of my hand",),
    },
    "blow-out": {
        "portafilter_pressure": (
            "The coffee maker exploded, coffee all over the ceiling",
            "My handle blew off with a bang and sprayed the kitchen",
        ),
        "blown_out": (
            "The coffee maker exploded, coffee all over the ceiling",
            "The portafilter came off with a bang in the middle of a shot",
        ),
        "steam_blown_out": (
            "The cap of my little steam machine shot off and boiling water went everywhere",
            "boiler lid popped off while it was heating",
        ),
    },
    "mains": {
        "mains_stop": (
            "I get a tingle off the drip tray",
            "it trips the breaker whenever I press brew",
            "smoke came out of the back",
            "it sparked with a blue flash when I switched it on",
            "water dripped into the socket",
            "hot water spurting from the top of the machine",
        ),
        "shock_first_aid": ("I got an electric shock from the metal",),
        "cord_stop": ("the kettle lead is melted", "the cable is frayed where it goes in"),
        "grinder_mains_stop": (
            "My grinder sparked, and that socket is dead since",
            "smoke is coming from the grinder",
        ),
        "socket_stop": (
            "My grinder sparked, and that socket is dead since",
            "the wall outlet died with a spark and its reset will not stay in",
        ),
    },
    "safety put out of action": {
        "no_bypass": (
            "It trips the breaker so I run it off an extension lead from the bathroom",
            "I taped over the thermostat so it keeps heating",
            "wired the safety valve shut because it kept spitting",
            "I bridged the thermal fuse and it heats again",
            "cut the earth pin off the plug to fit the socket",
            "I keep resetting the breaker and carry on",
        ),
        "live_work_stop": (
            "I had the cover off with it plugged in to see what is going on",
            "measured the voltage inside with the power on",
        ),
        "mains_stop": ("I keep getting little shocks off it but it works",),
    },
    "dry fire and frost": {
        "dry_boiler": ("forgot to fill it and it heated dry for an hour",),
        "frost_crack": ("the machine froze in the caravan over winter",),
    },
    "gas": {"gas_stop": ("gas leak from the cart burner", "it smells of gas next to the burner")},
    "chemicals": {
        "chemicals_never_mix": ("I mixed vinegar and bleach in the tank",),
        "fumes_first_aid": ("I mixed bleach with descaler and the fumes make me cough",),
        "swallowed_first_aid": ("my daughter drank the descaler",),
        "eye_first_aid": ("backflush cleaner splashed in my eye",),
        "detergent_rinse": ("the coffee tastes of soap and cleaner",),
    },
    "burrs": {
        "burrs_unplug": (
            "can I poke the burrs with a knife to free them",
            "The grinder just hums and the burrs do not turn",
        ),
        "stalled_motor": ("The grinder just hums and the burrs do not turn",),
        "cut_first_aid": ("my fingers got caught in the burrs and bleed",),
    },
    "glass": {
        "glass_splinters": ("the glass cracked when the shot hit it",),
        "glass_thermal": ("the glass cracked when the shot hit it",),
    },
    "food safety": {
        "milk_spoils": ("is milk that stood out overnight still fit to drink",),
        "mould_clean": ("there is mould in the water tank",),
        "spoiled_beans": ("the beans are mouldy",),
    },
    "lifting and falls": {
        "lift_heavy": ("it is too heavy and I dropped the machine",),
        "fall_check": ("the machine fell off the worktop",),
    },
    "lead-free parts": {
        "lead_free_parts": (
            "I used plumber's solder on the boiler",
            "used bathroom silicone to seal the group",
        ),
    },
    "children": {
        "children_near": (
            "my toddler keeps reaching for the hot wand",
            "my little boy pulls at the hot steam wand",
        )
    },
}
SAID = [
    (hazard, caution, text)
    for hazard, cautions in HAZARDS.items()
    for caution, texts in cautions.items()
    for text in texts
]

ANSWERED = (
    ({"handle_event": "locked_blew"}, "lets_go_though_locked"),
    ({"handle_event": "creeps"}, "lets_go_though_locked"),
    ({"handle_event": "hard_shut"}, "portafilter_pressure"),
    ({"flow_look": "nothing"}, "portafilter_pressure"),
    ({"cap_close": "blew_off"}, "steam_blown_out"),
    ({"cap_close": "valve_blows"}, "cap_under_pressure"),
    ({"cap_close": "nothing_comes"}, "cap_under_pressure"),
    ({"machine_kind": "steam_only", "handle_place": "falls_out"}, "steam_blown_out"),
    ({"socket_after": "no_reset"}, "socket_stop"),
    ({"socket_after": "scorched"}, "socket_stop"),
    ({"danger_sign": "trips", "tried_since": "other_socket"}, "no_bypass"),
    ({"danger_sign": "tingle", "tried_since": "reset_again"}, "no_bypass"),
    ({"tried_since": "bigger_fuse"}, "no_bypass"),
    ({"cord_state": "hot"}, "cord_stop"),
    ({"boiler_ran_dry": "long"}, "dry_boiler"),
    ({"idle_time": "frost"}, "frost_crack"),
    ({"boiler_needle": "past_mark"}, "safety_valve"),
    ({"milk_out": "over_4h"}, "milk_spoils"),
    ({"milk_out": "unsure"}, "milk_spoils"),
    ({"milk_kind": "raw"}, "raw_milk"),
    ({"hurt": "burned"}, "burn_first_aid"),
)
PUMP = ("the pump", "pump ")


@pytest.fixture(scope="module")
def system() -> System:
    return System(load().book)


def told(system: System, text: str) -> Case:
    case = Case(system)
    case.complain(text, understand(system.book, text).symptoms, read=True)
    return case


@pytest.mark.parametrize(("hazard", "caution", "text"), SAID)
def test_a_dangerous_complaint_raises_its_caution(
    system: System, hazard: str, caution: str, text: str
) -> None:
    assert caution in told(system, text).cautions


@pytest.mark.parametrize(("hazard", "caution", "text"), SAID)
def test_what_must_stop_stops_before_any_question_or_fix(
    system: System, hazard: str, caution: str, text: str
) -> None:
    if system.book.cautions[caution].stop == "yes":
        step = told(system, text).step()
        assert isinstance(step, Stop) and step.reason == "hazard" and step.option is None


@pytest.mark.parametrize(("hazard", "caution", "text"), SAID)
def test_the_words_are_not_the_books_own(system: System, hazard: str, caution: str, text: str) -> None:
    plain = text.lower().rstrip(".")
    assert all(plain != said.lower() for s in system.book.symptoms.values() for said in s.lay)


@pytest.mark.parametrize("caution", sorted({caution for _, caution, _ in SAID}))
def test_a_caution_says_how_bad_what_happens_and_what_to_do(system: System, caution: str) -> None:
    stated = system.book.cautions[caution]
    assert stated.signal in ("DANGER", "WARNING", "CAUTION") and stated.source
    assert len(stated.text) > 40 and len(stated.avoid) > 40


@pytest.mark.parametrize(("answers", "caution"), ANSWERED)
def test_a_dangerous_answer_raises_its_caution(system: System, answers: dict[str, str], caution: str) -> None:
    case = Case(system)
    for name, value in answers.items():
        case.answer(name, value)
    assert caution in case.cautions
    if system.book.cautions[caution].stop == "yes":
        assert case.hazard


def test_a_danger_without_a_way_on_ends_in_a_hand_over(system: System) -> None:
    stops = [c for c in system.book.cautions.values() if c.stop == "yes" and not c.go_on]
    assert stops and all(c.signal == "DANGER" for c in stops)


def test_a_motor_that_only_hums_is_never_told_to_run(system: System) -> None:
    case = told(system, "The grinder just hums and the burrs do not turn")
    assert "set_while_running" not in {option.remedy for option in case.options}


@pytest.mark.parametrize("said", ("cap_blew_off", "handle_slips_out"))
def test_a_blown_out_steam_machine_is_checked_first_and_hears_nothing_of_a_pump(
    system: System, said: str
) -> None:
    case = Case(system)
    case.complain("it blew", [said])
    case.answer("machine_kind", "steam_only")
    step = case.step()
    assert isinstance(step, Stop) and step.caution == "steam_blown_out"
    case.clear("steam_blown_out")
    assert case.ranked[0].cause == "steam_holder_not_home"
    steps = " ".join(system.book.remedies[case.options[0].remedy].steps)
    assert not any(word in steps for word in PUMP)
    assert "pump to stop" in system.book.cautions["portafilter_pressure"].avoid


def test_the_hand_over_of_a_tripping_machine_says_when_and_whether_water_was_near(
    system: System,
) -> None:
    case = told(system, "it trips the breaker whenever I press brew")
    case.answer("trip_moment", "on_brew")
    case.answer("wet_event", "leak_spill")
    note = summary(case, date(2026, 1, 5))
    book = system.book.observations
    assert book["trip_moment"].answers["on_brew"].says in note
    assert book["wet_event"].answers["leak_spill"].says in note
    assert "when it happened" in note and "leak" in note
