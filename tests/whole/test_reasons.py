"""A sound craft with one thing wrong: the answer names that thing, and the amount that it states cures it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest

from foilwright.assemble import assemble
from foilwright.build import load
from foilwright.build.build import Build
from foilwright.questions.ask import ask
from foilwright.questions.finding import Finding
from foilwright.questions.state import State
from foilwright.questions.state.reasons import REASONS
from foilwright.questions.state.run import PLACE_SCALE

Array = npt.NDArray[np.float64]

BUILDS = Path(__file__).parent / "builds"
WRONG = {
    "thrust": "thrust",
    "small-wing": "lift before stall",
    "prone": "reach",
    "short-mast": "ventilation",
    "current-limit": "current limit",
    "sag": "sag",
    "shallow": "shallow water",
    "nose": "nose dives",
    "sinks": "sinks",
}
"""The build with one thing wrong, and the reason that must be named."""
LITTLE = 0.03
"""What is added to the stated amount."""


def wrong(name: str) -> Build:
    return load.load(BUILDS / f"{name}.toml")


def take_off(build: Build, vary: Mapping[str, Array] | None = None) -> Finding:
    answers = ask(build, questions=["rise"], vary=vary)
    return next(finding for finding in answers.all() if finding.id == "rise.take_off")


def needs(build: Build) -> float:
    """Return the amount that the answer states."""
    relief = take_off(build).relief
    assert relief is not None
    return float(relief[0])


def rises(build: Build, **values: float) -> bool:
    """Say whether it takes off with fields changed; two underscores stand for the dot of a path."""
    vary = {path.replace("__", "."): np.array([value]) for path, value in values.items()}
    return not take_off(build, vary).no_solution[0]


@pytest.mark.parametrize("name", WRONG)
def test_the_reason_is_named(name: str) -> None:
    build = wrong(name)
    craft, _ = assemble(build)
    run = State(craft).run
    assert not run.found[0]
    assert REASONS[run.reason[0]] == WRONG[name]
    assert run.alone[0], "one thing is wrong, so one relief must do"
    finding = take_off(build)
    assert finding.no_solution[0]
    assert 0.0 < needs(build) < 1.0


def test_no_two_builds_have_one_reason() -> None:
    assert sorted(path.stem for path in BUILDS.glob("*.toml")) == sorted(WRONG)
    assert len(set(WRONG.values())) == len(WRONG) >= 6


@pytest.mark.parametrize(
    ("name", "path", "right"),
    [
        ("thrust", "motor.speed_constant", 8.0),
        ("current-limit", "controller.battery_current_limit", 40.0),
        ("sag", "cell.resistance", 0.06),
    ],
)
def test_thrust_raised_by_the_stated_amount_is_enough(name: str, path: str, right: float) -> None:
    build = wrong(name)
    values = np.linspace(float(build.values[path]), right, 40)
    craft, _ = assemble(build, {path: values})
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        run = State(craft).run
    lacks = (run.thrust[0] < run.resistance[0]) & (run.speeds <= run.least_speed[0])
    gained = run.thrust[:, lacks] / run.thrust[0, lacks] - 1.0
    stated = needs(build)
    enough = gained.min(axis=1) >= stated + LITTLE
    too_little = gained.max(axis=1) <= 0.7 * stated
    assert enough.any()
    assert too_little.any()
    assert run.found[enough].all()
    assert not run.found[too_little].any()


def grown(build: Build, share: float) -> dict[str, float]:
    """Return a wing larger by a share in area, of the same shape."""
    area, span = (float(build.values[f"wing.{size}"]) for size in ("area", "span"))
    return {"wing__area": area * (1.0 + share), "wing__span": span * float(np.sqrt(1.0 + share))}


@pytest.mark.parametrize("place", [BUILDS / "small-wing.toml", "first-try"], ids=["small-wing", "first-try"])
def test_a_wing_larger_by_the_stated_amount_rises(place: Path | str) -> None:
    build = load.scenario(place) if isinstance(place, str) else load.load(place)
    stated = needs(build)
    assert not rises(build, **grown(build, 0.5 * stated))
    assert rises(build, **grown(build, stated + LITTLE))


def test_a_rider_who_can_lie_as_far_back_as_stated_rises() -> None:
    build = wrong("prone")
    shift = needs(build) * PLACE_SCALE
    start = float(build.values["rider.prone_from"])
    assert not rises(build, rider__prone_from=start - 0.8 * shift)
    assert rises(build, rider__prone_from=start - shift - 0.01)


def test_more_power_does_not_help_a_rider_out_of_reach() -> None:
    build = wrong("prone")
    assert not rises(build, controller__battery_current_limit=190.0, controller__phase_current_limit=220.0)


@pytest.mark.parametrize(
    ("name", "path"),
    [("short-mast", "mast.length"), ("shallow", "water.depth")],
)
def test_a_length_raised_by_the_stated_amount_is_enough(name: str, path: str) -> None:
    build = wrong(name)
    written, stated = float(build.values[path]), needs(build)
    field = path.replace(".", "__")
    assert not rises(build, **{field: written * (1.0 + 0.9 * stated)})
    assert rises(build, **{field: written * (1.0 + stated) + 0.001})


def test_a_board_of_the_stated_volume_rises() -> None:
    build = wrong("sinks")
    written, stated = float(build.values["board.thickness"]), needs(build)
    assert not rises(build, board__thickness=written * (1.0 + 0.7 * stated))
    assert rises(build, board__thickness=written * (1.0 + stated + 4.0 * LITTLE))


def test_a_flat_longer_by_the_stated_amount_does_not_dive() -> None:
    build = wrong("nose")
    starts = np.linspace(float(build.values["board.rocker_start"]), 0.5, 31)
    craft, _ = assemble(build, {"board.rocker_start": starts})
    run = State(craft).run
    shift = (starts - starts[0]) * float(build.values["board.length"])
    stated = needs(build) * PLACE_SCALE
    assert run.found[shift >= stated + 0.03].all()
    assert not run.found[shift <= 0.7 * stated].any()
