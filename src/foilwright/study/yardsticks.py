"""Whole-craft yardsticks: adapters that let a row of the outside checks ask more than one model.

An adapter takes keyword arguments as they stand in the row's inputs (SI numbers, arrays, text) and
returns what a physics function would: a number, an array, or a dataclass with the field asked for.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from foilwright.assemble import assemble
from foilwright.build import load
from foilwright.core import solve
from foilwright.core.data import folder
from foilwright.physics.water import GRAVITY
from foilwright.questions.state import State
from foilwright.questions.state.structure.cases import PITCH, SLIP, STANDSTILL
from foilwright.study import lattice, meshes
from foilwright.study.learn.checks import CHECKS
from foilwright.study.records import RECORDS


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """How a craft gets going, with full throttle."""

    pull: float  # N, at standstill
    merit: float  # of the propeller at standstill, momentum theory's power over the shaft's
    hump_ratio: float  # drag at the hump over what the board still carries
    first_speed: float  # m/s, at which the wing can carry all
    peak_power: float  # W, from the pack
    craft_mass: float  # kg, without rider and kit


@dataclass(frozen=True, slots=True, kw_only=True)
class Cruise:
    """Steady flight at a speed."""

    drag: float  # N
    power: float  # W, from the pack
    glide_ratio: float
    static_margin: float  # of the mean chord, at the cruise speed of the build


@functools.cache
def _state(build: str) -> State:
    """Return the state of a shipped scenario or of a yardstick craft."""
    own = folder() / "yardsticks" / f"{build}.toml"
    craft, _ = assemble(load.load(own) if own.is_file() else load.scenario(build))
    return State(craft)


def start(*, build: str) -> Start:
    """Return the start of a craft."""
    with np.errstate(all="ignore"):
        state = _state(build)
        run = state.run
        shaft = state.points.point
        disc = np.pi / 4.0 * state.craft.drive.diameter[0] ** 2
        pull = float(state.drive.bollard[0])
        ideal = pull**1.5 / np.sqrt(2.0 * state.water.density[0] * disc)
        hump = np.searchsorted(run.speeds, run.hump_speed[0])
        return Start(
            pull=pull,
            merit=float(ideal / (shaft.torque[0, 0] * shaft.shaft_speed[0, 0])),
            hump_ratio=float(run.hump_resistance[0] / run.load[0, hump]),
            first_speed=float(run.take_off[0]),
            peak_power=float(run.peak_power[0]),
            craft_mass=float(state.weights.masses.mass[0]),
        )


def lift_off(*, build: str, trim: Any) -> float:
    """Return the speed at which wing and stabiliser carry all with the board on the water at an angle.

    Parameters
    ----------
    build : str
        Scenario or yardstick craft.
    trim : float
        Of the board, nose up [rad].
    """
    with np.errstate(all="ignore"):
        state = _state(build)
        w = state.weights
        wing, tail = state.deep_foils.forces(np.array([float(trim)]))
        carried = (wing.lift + tail.lift)[0, :, 0]
        load = w.total[0] * GRAVITY - w.hung_volume[0] * state.water.density[0] * GRAVITY
        return float(solve.first_crossing(state.deep_foils.wing.speeds, carried - load).value)


def cruise(*, build: str, speed: Any) -> Cruise:
    """Return steady flight at a speed [m/s]."""
    with np.errstate(all="ignore"):
        state = _state(build)
        flight, at = state.flight, np.array([float(speed)])
        drag = float(flight.at(flight.drag, at)[0])
        return Cruise(
            drag=drag,
            power=float(flight.at(flight.power, at)[0]),
            glide_ratio=float(state.weights.total[0] * GRAVITY / drag),
            static_margin=float(state.motions.static_margin[0, 1]),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Mast:
    """What acts on the foot of a mast at the board, and what a print bears of it."""

    slip: float  # N m, sideways, before a fall
    pitch: float  # N m, rider thrown fore or aft
    thrust: float  # N m, full throttle at a standstill
    standing_over_lying: float  # use of a mast printed standing over that of one printed lying


def mast(*, build: str, length: Any) -> Mast:
    """Return the load cases of a craft whose mast has another length [m], the motor at its end."""
    found = load.scenario(build) if build in load.scenarios() else load.load(folder() / "yardsticks" / f"{build}.toml")
    printed = {"mast.length": f"{float(length)} m", "mast.material": "printed pla", "pod.above_wing": "0 mm"}
    made = [State(assemble(found.with_texts(printed | {"mast.print": way}))[0]) for way in ("standing", "lying")]
    with np.errstate(all="ignore"):
        side, long = (each[0, :, 0] for each in (made[0].cases.sideways(FOOT), made[0].cases.lengthways(FOOT)))
        standing, lying = (float(each.mast.uses.used[0, SLIP].max()) for each in made)
        return Mast(
            slip=float(side[SLIP]), pitch=float(long[PITCH]), thrust=float(long[STANDSTILL]),
            standing_over_lying=standing / lying,
        )  # fmt: skip


FOOT = np.zeros(1)
ADAPTERS: dict[str, Callable[..., Any]] = {
    **RECORDS,
    "lattice.wing": lattice.wing,
    "craft.start": start,
    "craft.lift_off": lift_off,
    "craft.cruise": cruise,
    "craft.mast": mast,
    "sections.closed": meshes.closed_row,
    **CHECKS,
}
"""Name in the ``model`` column to the function that answers it."""
