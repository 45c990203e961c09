"""Corrections that take a reading of their own: heat ways, link, prints, reach; into the build and its answers."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from foilwright.build import load
from foilwright.build.build import Build
from foilwright.questions import report
from foilwright.questions.ask import ask
from foilwright.study import learn
from foilwright.study.learn import truth as made_up
from foilwright.study.learn.diagnose import Diagnosis
from foilwright.study.learn.model import corrections, not_asked_for
from foilwright.study.learn.predict import predict
from foilwright.study.learn.seen import Reading, Scene

FIRST, LAKE = load.scenario("first-try"), load.scenario("lake")
SEATED = FIRST.with_texts({"controller.seat": "closed box"})
SCENE = Scene(values={"rider.posture": "kneeling"})
FAR = np.geomspace(2.0, 2000.0, 400)


def told(build: Build, name: str, true: float, **reading: Any) -> float:
    """Return what the models say of a reading where a correction is true."""
    asked = Reading(says="", source="", **reading)
    return float(predict(build, {f"factors.{name}": np.full(1, true)}, [SCENE], [asked]).values[0, 0])


def warm(build: Build, name: str, true: float, part: str) -> str:
    shown = told(build, name, true, kind="temperature", part=part, after=1800.0) - 273.15
    return f'[[temperature]]\npart = "{part}"\nafter = "30 min"\nvalue = "{shown:.1f} degC"\n'


def lost(build: Build, name: str, true: float) -> str:
    margins = np.array([told(build, name, true, kind="link_held", at=far) for far in FAR])
    return f'[[link]]\ndistance = "{FAR[int(np.argmax(margins < 0.0))]:.1f} m"\nlost = true\n'


def moved(build: Build, name: str, true: float) -> str:
    gave = np.exp(told(build, name, true, kind="deflection", at=60.0))
    return f'[[load]]\nforce = "60 N"\nmoved = "{1e3 * gave:.1f} mm"\n'


def broke(build: Build, name: str, true: float) -> str:
    force = np.exp(told(build, name, true, kind="proof", at=1.0))
    hung = (("true", 0.95), ("false", 1.05))
    return "".join(f'[[load]]\nforce = "{share * force:.1f} N"\nheld = {held}\n' for held, share in hung)


def reached(build: Build, name: str, true: float) -> str:
    place = told(build, name, true, kind="reach", part="aft")
    return f'[[reach]]\nposture = "kneeling"\nend = "aft"\nplace = "{100.0 * place:.1f} cm"\n'


CASES: dict[str, tuple[Build, float, str, str]] = {
    "controller_heat_resistance": (
        SEATED, 1.5, warm(SEATED, "controller_heat_resistance", 1.5, "controller"), "cool.controller",
    ),
    "motor_heat_resistance": (LAKE, 1.6, warm(LAKE, "motor_heat_resistance", 1.6, "motor"), "cool.winding"),
    "link_power": (LAKE, 0.02, lost(LAKE, "link_power", 0.02), "obey.link"),
    "print_stiffness": (FIRST, 0.75, moved(FIRST, "print_stiffness", 0.75), "hold.mast.deflection"),
    "print_strength": (FIRST, 0.7, broke(FIRST, "print_strength", 0.7), "hold.mast.sideways"),
    "rider_reach": (FIRST, 0.7, reached(FIRST, "rider_reach", 0.7), "rise.reach"),
}  # fmt: skip
"""Correction to the build, what is true, the sheet's lines, and a finding that rests on it."""


def diagnosed(folder: Path, text: str, build: Build) -> Diagnosis:
    path = folder / "day.toml"
    path.write_text(f'format = 1\n[session]\ndate = "2026-06-02"\n{text}', encoding="utf-8")
    return learn.diagnose(build, learn.read(build, [path]).trial)


@pytest.mark.parametrize("name", CASES)
def test_a_reading_tells_its_correction_and_the_answers_rest_on_it(name: str, tmp_path: Path) -> None:
    build, true, text, finding = CASES[name]
    found = diagnosed(tmp_path, text, build)
    one = next(each for each in found.corrections if each.name == name)
    assert one.told
    assert one.low < true < one.high
    assert abs(np.log(one.factor / true)) < 0.6 * abs(np.log(true))
    written, changes = learn.learnt(found)
    assert f"factors.{name}" in changes
    (tmp_path / "learnt.toml").write_text(written, encoding="utf-8")
    built = load.load(tmp_path / "learnt.toml")
    before, after = ask(build), ask(built)
    was, now = ({each.id: each for each in answers.all()} for answers in (before, after))
    assert now[finding].margin[0] != was[finding].margin[0]
    assert f"factors.{name}" in now[finding].inputs
    assert "2026-06-02" in report.rests_on(after)
    assert name.replace("_", " ") in report.rests_on(after)
    assert report.rests_on(before) == ""


def test_without_a_reading_of_its_own_a_correction_is_not_asked_for(tmp_path: Path) -> None:
    found = diagnosed(tmp_path, '[[run]]\nthrottle = "100 %"\nspeed = "15 km/h"\nlifted = false\n', FIRST)
    assert {each.name for each in found.corrections} == set(corrections().names)
    assert set(not_asked_for(found.trial.readings).names) == set(CASES) | {"pack_heat_resistance"}
    assert "Other corrections would be told by" in " ".join(learn.text(found).split())


def test_a_coupon_goes_into_what_was_measured_the_lowest_of_several(tmp_path: Path) -> None:
    text = "".join(f'[[coupon]]\ndirection = "across"\nstrength = "{each} MPa"\n' for each in (24, 19, 22))
    _, changes = learn.learnt(diagnosed(tmp_path, text, FIRST))
    assert changes["measured.print_across"] == pytest.approx(19e6)


def test_a_proof_load_is_read_over_the_coupon_of_the_same_day(tmp_path: Path) -> None:
    """A coupon at half of the book's strength leaves a mast that held less to explain than the book does."""
    hung = broke(FIRST, "print_strength", 0.7)
    by_book = diagnosed(tmp_path, hung, FIRST)
    coupon = '[[coupon]]\ndirection = "along"\nstrength = "{}"\n[[coupon]]\ndirection = "across"\nstrength = "{}"\n'
    by_coupon = diagnosed(tmp_path, hung + coupon.format("20 MPa", "9 MPa"), FIRST)
    book, own = (
        next(each.factor for each in found.corrections if each.name == "print_strength")
        for found in (by_book, by_coupon)
    )
    assert own > book + 0.05


def test_a_log_of_temperatures_tells_the_heat_way(tmp_path: Path) -> None:
    """A closed box at full throttle for half an hour, warmer than the models have it by half."""
    build, seconds = SEATED, np.arange(0.0, 1840.0, 2.0)
    rise = told(build, "controller_heat_resistance", 1.5, kind="warming", part="controller", after=1800.0, throttle=1.0)
    course = 20.0 + rise * np.clip((seconds - 30.0) / 1800.0, 0.0, 1.0)
    amps = np.where(seconds < 30.0, 0.0, 40.0)
    rows = "".join(f"{t},{a},{c:.1f}\n" for t, a, c in zip(seconds, amps, course, strict=True))
    (tmp_path / "day.csv").write_text(f"t,I,T\n{rows}", encoding="utf-8")
    (tmp_path / "day.columns.toml").write_text(
        'format = 1\n[columns]\ntime = { column = "t", unit = "s" }\namps = { column = "I", unit = "A" }\n'
        'controller_temperature = { column = "T", unit = "degC" }\n',
        encoding="utf-8",
    )
    trial = learn.read(build, [tmp_path / "day.csv"]).trial
    one = next(each for each in trial.readings if each.kind == "warming")
    assert one.value == pytest.approx(rise, abs=1.5)
    assert one.after == pytest.approx(1800.0, abs=8.0)
    found = learn.diagnose(build, trial, propose=False)
    factor = next(each for each in found.corrections if each.name == "controller_heat_resistance")
    assert factor.low < 1.5 < factor.high
    assert factor.factor > 1.15


def test_two_faults_at_once_are_not_sold_as_one() -> None:
    """Too much pitch and weed: none of the list tells it alone as well as two do."""
    truth = replace(made_up.draw(LAKE, 16, "wrong_propeller"), also="weed", size=0.9)
    found = learn.diagnose(LAKE, made_up.trial(LAKE, truth)[0], propose=False)
    assert found.two.probability > 0.5
    assert not found.clear
    first = found.two.pairs[0]
    assert "wrong_propeller" in {found.causes[first.one].id, found.causes[first.other].id}
    said = " ".join(learn.text(found).split())
    assert "No single explanation tells these readings as well as two at once do" in said
    assert found.causes[first.one].name in said
    told_ = learn.document(found)["two_at_once"]
    assert told_["pairs"][0]["share"] == first.share
    alone = learn.diagnose(LAKE, made_up.trial(LAKE, replace(truth, also=""))[0], propose=False)
    assert alone.two.probability < 0.3


def test_a_reading_that_its_correction_cannot_reach_is_set_aside_and_speaks_for_no_explanation(tmp_path: Path) -> None:
    """An antenna under water holds no link at 30 m, and says nothing of what keeps the craft on the water."""
    ride = "".join(
        f'[[run]]\nthrottle = "100 %"\nspeed = "15 km/h"\nlifted = false\nvoltage = "{volts} V"\n' for volts in (33, 34)
    )
    plain = diagnosed(tmp_path, ride, FIRST)
    found = diagnosed(tmp_path, f'{ride}[[link]]\ndistance = "30 m"\nlost = true\n', FIRST)
    assert [each.kind for each in found.aside] == ["link"]
    assert "link lost at 30 m" in " ".join(learn.text(found).split())
    np.testing.assert_allclose(found.found.probability, plain.found.probability, atol=1e-6)
    assert "factors.link_power" not in learn.learnt(found)[1]
