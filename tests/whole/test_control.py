"""A craft as usual as common practice has it: nothing fails, and its numbers are those that riders know."""

from __future__ import annotations

import pytest

from foilwright.build import load
from foilwright.build.build import Build
from foilwright.core.data import folder
from foilwright.questions.ask import Answers, ask
from foilwright.questions.finding import VERDICTS
from foilwright.questions.report import something_fails
from foilwright.study import yardsticks

KMH = 1.0 / 3.6
USUAL_ANGLE = 0.1309  # rad, 7.5 degrees: what a board takes at the hump


@pytest.fixture(scope="module")
def build() -> Build:
    return load.load(folder() / "yardsticks" / "control.toml")


@pytest.fixture(scope="module")
def answers(build: Build) -> Answers:
    """What rests on the fields that the control states: it says nothing of walls, lids, fuses or the radio."""
    return ask(build, questions=("afloat", "rise", "fly", "push", "endure"))


def test_it_is_the_craft_of_common_practice(build: Build, answers: Answers) -> None:
    assert answers.numbers["total_mass"][0] == pytest.approx(115.0, abs=3.0)
    assert build.values["wing.area"] == pytest.approx(0.15)
    assert build.values["mast.length"] == pytest.approx(0.75)
    assert build.values["mast.material"] == "aluminium"
    assert yardsticks.start(build="control").pull == pytest.approx(350.0, rel=0.05)


def test_nothing_fails(answers: Answers) -> None:
    failing = [f.id for f in answers.all() if VERDICTS[f.verdict[0]] == "fails"]
    assert failing == []
    assert not something_fails(answers)


def test_it_lifts_off_when_riders_say() -> None:
    """Riders let it rise at the angle of the hump; the take-off of an answer is the first that can be had."""
    assert 15.0 * KMH <= yardsticks.lift_off(build="control", trim=USUAL_ANGLE) <= 17.0 * KMH


def test_the_first_take_off_is_earlier_but_not_by_much(answers: Answers) -> None:
    first = answers.numbers["take_off_speed"][0]
    assert 0.8 < first / yardsticks.lift_off(build="control", trim=USUAL_ANGLE) < 1.0


def test_cruise_takes_the_power_that_watt_meters_show(answers: Answers) -> None:
    assert answers.numbers["cruise_speed"][0] == pytest.approx(25.0 * KMH, rel=1e-3)
    assert 90.0 <= answers.numbers["cruise_drag"][0] <= 160.0
    assert 1300.0 <= answers.numbers["cruise_electric_power"][0] <= 2600.0
    assert 7.0 <= answers.numbers["glide_ratio"][0] <= 12.0


def test_the_hump_is_where_and_what_it_should_be(answers: Answers) -> None:
    assert 2.0 <= answers.numbers["hump_speed"][0] <= 4.0
    assert 0.12 <= yardsticks.start(build="control").hump_ratio <= 0.22
