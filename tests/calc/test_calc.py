"""`diagnose calc`: numbers with units in, right numbers in plain words out, or one line why not."""

from __future__ import annotations

import json
from typing import Any

import pytest

from diagnose.cli import main
from diagnose.commands.calc import SUBJECTS
from diagnose.notebook.store import Notebook
from diagnose.storage import paths
from tests.notebook.rows import CURVE, fill, row


def calc(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
    """Results by id."""
    assert main(["calc", *arguments, "--json"]) == 0
    return {r["id"]: r for r in json.loads(capsys.readouterr().out)["results"]}


def test_a_shot(capsys: pytest.CaptureFixture[str]) -> None:
    found = calc(capsys, "shot", "--dose", "18g", "--yield", "40g", "--time", "19s")
    assert found["ratio"]["value"] == pytest.approx(40 / 18)
    assert found["ratio"]["text"] == "1:2.2"
    assert found["flow"]["value"] == pytest.approx(40 / 19)


def test_extraction_from_strength(capsys: pytest.CaptureFixture[str]) -> None:
    """Strength x drink / dose: the brewing control chart (Lockhart 1957)."""
    found = calc(capsys, "shot", "--dose", "18g", "--yield", "36g", "--tds", "10%")
    assert found["extraction"]["value"] == pytest.approx(20.0)
    assert "borrowed from filter" in found["extraction"]["basis"]


def test_units_of_many_kinds_are_taken(capsys: pytest.CaptureFixture[str]) -> None:
    """An ounce is 28.349523125 g: NIST Special Publication 811, appendix B."""
    found = calc(capsys, "shot", "--dose", "0.65 oz", "--ratio", "1:2")
    assert found["yield"]["value"] == pytest.approx(2 * 0.65 * 28.349523125)


def test_boiling_on_a_mountain(capsys: pytest.CaptureFixture[str]) -> None:
    """Air holds 795 hPa at 2000 m (ISO 2533), where water boils at 93.4 °C (steam tables)."""
    found = calc(capsys, "boiler", "--altitude", "2000 m")
    assert found["boils"]["value"] == pytest.approx(93.4, abs=0.2)


def test_a_gauge_as_a_temperature_both_ways(capsys: pytest.CaptureFixture[str]) -> None:
    """2.0133 bar absolute is 120.4 °C: IAPWS-IF97 saturation line."""
    hot = calc(capsys, "boiler", "--gauge", "1 bar", "--altitude", "0m")["steam"]["value"]
    assert hot == pytest.approx(120.4, abs=0.1)
    back = calc(capsys, "boiler", "--temperature", f"{hot} C", "--altitude", "0 m")["gauge"]["value"]
    assert back == pytest.approx(1.0, abs=1e-6)


def test_water_scale_and_its_time(capsys: pytest.CaptureFixture[str]) -> None:
    found = calc(capsys, "water", "--hardness", "14dH", "--alkalinity", "10dH", "--litres", "2l",
                 "--ph", "7.6", "--conductivity", "500 uS/cm")
    litre, month = found["scale_litre"]["value"], found["scale_month"]["value"]
    assert month == pytest.approx(litre * 2 * 365.25 / 12 / 1000)
    assert found["interval"]["value"] == pytest.approx(10_000 / (2 * litre))
    assert found["langelier"]["value"] > 0


def test_langelier_of_a_worked_example(capsys: pytest.CaptureFixture[str]) -> None:
    """The usual fit by hand: A = (log 320 - 1)/10, B = -13.12 log 298 + 34.55, C = log 150 - 0.4,
    D = log 34; pHs = 9.3 + A + B - C - D = 8.22; pH 7.5 gives -0.7."""
    found = calc(capsys, "water", "--calcium", "150 mg/L CaCO3", "--hardness", "150 mg/L CaCO3",
                 "--alkalinity", "34 mg/L CaCO3", "--ph", "7.5", "--boiler", "25 C",
                 "--conductivity", f"{320 / 0.65} uS/cm")
    assert found["langelier"]["value"] == pytest.approx(-0.7, abs=0.05)


def test_a_blend_with_pure_water(capsys: pytest.CaptureFixture[str]) -> None:
    found = calc(capsys, "water", "--alkalinity", "180 mg/L CaCO3", "--blend-with", "0 dH",
                 "--aim", "45 mg/L CaCO3")
    assert found["blend"]["value"] == pytest.approx(25.0)


def test_milk_heat_and_mass(capsys: pytest.CaptureFixture[str]) -> None:
    """150 g x 3.93 kJ/(kg K) x 57 K over the 2.45 MJ/kg that steam gives: 13.7 g."""
    found = calc(capsys, "milk", "--milk", "150g", "--start", "5C", "--end", "62C", "--power", "1200W")
    steam = found["steam"]["value"]
    assert steam == pytest.approx(13.7, abs=0.2)
    assert found["dilution"]["value"] == pytest.approx(100 * steam / (150 + steam))
    assert found["time"]["low"] < found["time"]["value"] < found["time"]["high"]


def test_upkeep_by_use(capsys: pytest.CaptureFixture[str]) -> None:
    found = calc(capsys, "upkeep", "--shots", "320", "--days", "40 days",
                 "--done", "detergent / 300 shots / 39 days")
    assert found["detergent"]["text"].startswith("in ")
    assert found["tank"]["text"] == "now"


def test_the_grinder_from_shots_given(capsys: pytest.CaptureFixture[str]) -> None:
    shots = [f"--shot={m} / 18 g / 36 g / {t} s" for m, t in ((10, 20), (11, 22.5), (12, 25), (13, 28))]
    found = calc(capsys, "grinder", "--time", "22s", *shots)
    assert "from 13 to about 15" in found["move"]["text"]
    assert found["per_mark"]["value"] == pytest.approx(2.5, abs=0.3)


def test_the_grinder_from_the_notebook(capsys: pytest.CaptureFixture[str]) -> None:
    fill(Notebook(), "shots", CURVE)
    fill(Notebook(), "weighings", [row("weighings", timer_s=9.0, dose_g=17.4)])
    found = calc(capsys, "grinder", "--time", "22s", "--aim-dose", "18g")
    assert found["move"]["basis"].startswith("from your last 5 shots")
    assert found["timer"]["value"] == pytest.approx(9 * 18 / 17.4)


def test_what_is_looked_at_better_is_drawn_after_the_numbers(capsys: pytest.CaptureFixture[str]) -> None:
    fill(Notebook(), "shots", CURVE)
    assert main(["calc", "grinder", "--time", "22s"]) == 0
    out = capsys.readouterr().out
    assert "One mark up makes the shot" in out and out.index("Move the grinder") < out.index("*")
    assert main(["calc", "water", "--hardness", "14dH", "--alkalinity", "10dH", "--litres", "2l"]) == 0
    out = capsys.readouterr().out
    assert "Scale builds up" in out and "WARNING" in out
    assert max(map(len, out[out.index("Scale builds"):].split("\n\nWARNING")[0].splitlines())) <= 80


@pytest.mark.parametrize(("arguments", "words"), [
    (["shot", "--dose", "18", "--yield", "40g"], "without a unit"),
    (["shot", "--dose", "18g", "--yield", "40 s"], "is a time"),
    (["shot", "--dose", "nan g"], "number"),
    (["shot", "--dose", "1e999 g"], "too large"),
    (["shot", "--dose", "-3 g"], "between"),
    (["shot", "--dose", ""], "is empty"),
    (["shot", "--dose", "18g", "--yield", "40g", "--ratio", "1:3"], "not the 1 to 3"),
    (["shot", "--dose", "18g", "--yield", "36g", "--volume", "40ml"], "give one"),
    (["shot", "--dose", "18g", "--yield", "36g", "--tds", "30%"], "more than water can dissolve"),
    (["shot", "--time", "20s", "--preinfusion", "25s", "--yield", "36g"], "does not fit"),
    (["shot", "--roasted", "2999-01-01"], "future"),
    (["shot"], "too little is given"),
    (["grinder", "--time", "20s", "--aim-low", "32s", "--aim-high", "26s"], "swap"),
    (["grinder", "--time", "20s", "--shot", "12 / 18 / 36 g / 24 s"], "dose without a unit"),
    (["grinder", "--time", "20s", "--shot", "12 / 18 g"], "2 of 4 parts"),
    (["milk", "--milk", "150g", "--start", "60C", "--end", "5C"], "cannot cool"),
    (["milk", "--milk", "150g", "--power", "1200W", "--rate", "1g/s"], "not both"),
    (["boiler", "--gauge=-2bar"], "vacuum"),
    (["boiler", "--gauge", "1.1bar", "--temperature", "95C"], "cannot both be right"),
    (["water", "--hardness", "100 mg/L"], "of what"),
    (["water", "--hardness", "100 mg/L CaCO3", "--calcium", "150 mg/L CaCO3"], "cannot both be right"),
    (["water", "--calcium", "80 mg/L Ca", "--magnesium", "20 mg/L Mg", "--sodium", "10 mg/L",
      "--alkalinity", "60 mg/L HCO3", "--chloride", "10 mg/L", "--sulphate", "10 mg/L"], "apart"),
    (["water", "--alkalinity", "30 mg/L CaCO3", "--blend-with", "0 dH", "--aim", "45 mg/L CaCO3"],
     "between the two"),
    (["upkeep", "--shots", "100", "--days", "30 days", "--done", "tank / 300 days"], "correct one"),
    (["upkeep", "--shots", "100", "--days", "30 days", "--done", "windows / 3 days"], "no job"),
    (["upkeep", "--shots", "100"], "too little"),
    (["upkeep"], "too little"),
    (["juggling"], "invalid choice"),
])
def test_what_can_t_be_right_is_one_line_and_status_2(
        capsys: pytest.CaptureFixture[str], arguments: list[str], words: str) -> None:
    assert main(["calc", *arguments]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.startswith("diagnose: ") and err.count("\n") == 1
    assert words in err


@pytest.mark.parametrize("subject", SUBJECTS)
def test_every_subject_explains_itself(capsys: pytest.CaptureFixture[str], subject: str) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["calc", subject, "--help"])
    assert ended.value.code == 0
    assert "carry their unit" in capsys.readouterr().out.replace("\n", " ").replace("  ", " ")




@pytest.mark.parametrize(("words", "unused"), [
    (("shot", "--dose", "18g", "--yield", "36g", "--tds", "9%"), ()),
    (("shot", "--dose", "18g", "--ratio", "1:2", "--tds", "9%"),
     ("--tds is not used: it goes with --yield.",)),
    (("shot", "--dose", "18g", "--ratio", "1:2", "--crema", "settled", "--aim-yield", "40g"),
     ("--crema is not used: it goes with --volume.",
      "--aim-yield is not used: nothing else that was given goes with it.")),
    (("water", "--hardness", "10dH", "--alkalinity", "8dH", "--boiler", "93C"), ()),
    (("water", "--hardness", "10dH", "--rated", "50l"), ("--rated is not used: it goes with ",)),
    (("milk", "--milk", "150g", "--wand-time", "30s", "--drink", "180ml"),
     ("--wand-time is not used: ", "--drink is not used: it goes with --cup-width and --froth-depth.")),
    (("grinder", "--time", "20s", "--beans-in", "18g"),
     ("--beans-in is not used: it goes with --grounds-out.",)),
    (("grinder", "--time", "20s", "--timer", "9s"),
     ("--timer is not used: it goes with --aim-dose and --dose.",)),
    (("boiler", "--altitude", "1000m", "--kind", "heat-exchanger"), ("--kind is not used: ",)),
])
def test_an_option_that_changes_nothing_is_named_with_what_it_lacks(
        capsys: pytest.CaptureFixture[str], words: tuple[str, ...], unused: tuple[str, ...]) -> None:
    assert main(["calc", *words]) == 0
    out = capsys.readouterr().out
    assert out.count("is not used: ") == len(unused) and all(line in out for line in unused)


@pytest.mark.parametrize(("words", "said"), [
    (("--dose", "18g", "--yield", "900g"), "1:50 can hardly be"),
    (("--dose", "18g", "--ratio", "1:50"), "1:50 can hardly be"),
    (("--dose", "180g", "--yield", "360g"), "180 g can hardly be"),
    (("--dose", "18g", "--yield", "36g", "--time", "2s"), "2 s can hardly be"),
    (("--dose", "18g", "--yield", "36g", "--time", "0:02.5"), "2.5 s can hardly be"),
    (("--dose", "18g", "--yield", "36g", "--time", "28s", "--tds", "9%"), ""),
])
def test_what_can_hardly_be_is_warned_of(
        capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str) -> None:
    assert main(["calc", "shot", *words]) == 0
    out = capsys.readouterr().out
    assert said in out if said else "can hardly be" not in out


FINER = ("calc", "grinder", "--finer", "2")


def test_two_marks_finer_from_the_shots(capsys: pytest.CaptureFixture[str]) -> None:
    shots = [f"{mark} / 18 g / 36 g / {20 * 1.1 ** (mark - 10):.3f} s" for mark in (10, 11, 12, 11)]
    assert main([*FINER, "--json", *(part for shot in shots for part in ("--shot", shot))]) == 0
    (then,) = [r for r in json.loads(capsys.readouterr().out)["results"] if r["id"] == "time_after"]
    assert then["value"] == pytest.approx(20 * 1.1 ** 3, rel=0.02)
    assert "shots" in then["basis"] and "from 22 s, your last shot" in then["basis"]


def test_two_marks_finer_without_any_shot(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*FINER]) == 0
    out = capsys.readouterr().out
    assert "Shot time 2 marks finer: 36 s" in out and "from 29 s, what this book aims at" in out
    assert main([*FINER, "--time", "20s"]) == 0 and "from 20 s, the time given" in capsys.readouterr().out
    assert main(["calc", "grinder", "--finer", "-9"]) == 0
    out = capsys.readouterr().out
    assert "9 marks coarser" in out and "9 marks at once is further" in out


def test_two_marks_finer_by_the_house_s_number(capsys: pytest.CaptureFixture[str]) -> None:
    paths.house().mkdir(parents=True)
    (paths.house() / "targets.yaml").write_text(
        "schema: 1\nchapter: house\ntitle: Ours\ntargets:\n  shot_time: {label: shot time, unit: s, low: 20, "
        "value: 22, high: 24, source: house, replaces: yes}\n", encoding="utf-8")
    assert main([*FINER]) == 0 and "from 22 s, what your house aims at" in capsys.readouterr().out
    assert main(["calc", "grinder", "--time", "30s"]) == 0
    out = capsys.readouterr().out
    assert "for 20 to 24 s" in out and "what your house aims at" in out


def test_shots_that_can_t_tell_are_not_made_to(capsys: pytest.CaptureFixture[str]) -> None:
    shots = [f"{mark} / {mark + 6} g / 36 g / {mark + 12} s" for mark in (10, 12, 14, 16)]
    assert main([*FINER, *(part for shot in shots for part in ("--shot", shot))]) == 0
    out = capsys.readouterr().out
    assert "since your shots can't tell" in out and "the dose changes together with the mark" in out
