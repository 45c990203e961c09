"""What the models say about readings: one batch of crafts, every reading for each of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from foilwright.assemble import assemble
from foilwright.build.build import Build
from foilwright.core import solve
from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import drive
from foilwright.physics import pack as packs
from foilwright.questions.state import State
from foilwright.questions.state.drive import DriveState
from foilwright.questions.state.heat import CONTROLLER, FULL, PLATES
from foilwright.questions.state.heat import PACK as CELLS
from foilwright.questions.state.structure.strength import WEIGHT_PROOF
from foilwright.study.learn.seen import Reading, Scene

EFFECTS = ("effect.drag_area", "effect.thrust_share", "effect.legs_area")
"""What no field of a build says: drag area of something towed along [m^2]; share of the time that there is thrust;
drag area of legs, which drag only while the board is on the water [m^2]."""
NEUTRAL = (0.0, 1.0, 0.0)
SLOWEST = 0.4
"""Least speed at which the models are read [m/s]."""
USUAL_CHARGE = 0.6
"""Charge of the pack while it is ridden, where nothing tells it."""
REACH_SCALE = 0.1
"""Distance of the weight from the end of its reach that counts as much as a tenth of a force [m]."""
FLAT = 30.0
NODE = {"pack": CELLS, "controller": CONTROLLER}
ASHORE = frozenset(
    {"bollard", "capacity", "amps", "volts", "link", "link_held", "deflection", "proof", "reach", "warming"}
)
"""Readings that say nothing of the run, so that it need not be asked what stops it."""
LOST_AT = 1.6
"""Margin at which half of the packets are lost (Rayleigh) [dB]."""
BLOCK = 256
"""Crafts worked out together."""
Columns = dict[str, Array | tuple[str, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the models say (n, m): each reading in the terms of its kind, for each craft."""

    values: Array
    reason: Array  # (n, scenes) index of what stops the run; 0 where it takes off
    take_off: Array  # (n, scenes) m/s; NaN where it never does


def predict(build: Build, crafts: Columns, scenes: Sequence[Scene], readings: Sequence[Reading]) -> Told:
    """Return what the models say about readings for crafts that differ by columns of fields.

    Parameters
    ----------
    build : Build
        What all crafts share.
    crafts : mapping
        Path to (n,) values in SI or names; paths in ``EFFECTS`` are (n,) too.
    scenes : sequence of Scene
        Fields of the day; a craft's own column comes before that of the day.
    readings : sequence of Reading
        What is to be told.
    """
    count = len(next(iter(crafts.values())))
    out = np.full((count, len(readings)), np.nan)
    reason, take_off = np.zeros((count, len(scenes))), np.full((count, len(scenes)), np.nan)
    for begin in range(0, count, BLOCK):
        rows = slice(begin, min(begin + BLOCK, count))
        some: Columns = {path: values[rows] for path, values in crafts.items()}
        for k, scene in enumerate(scenes):
            here = [j for j, each in enumerate(readings) if each.scene == k]
            if not here:
                continue
            told, why, speed = _scene(build, some, scene, [readings[j] for j in here])
            out[rows, here] = told
            reason[rows, k], take_off[rows, k] = why, speed
    return Told(values=out, reason=reason, take_off=take_off)


def _scene(build: Build, crafts: Columns, scene: Scene, readings: list[Reading]) -> tuple[Array, Array, Array]:
    count = len(next(iter(crafts.values())))
    varied: Columns = {
        path: (value,) * count if isinstance(value, str) else np.full(count, value)
        for path, value in scene.values.items()
        if path != "charge"
    }
    for path, values in crafts.items():
        if path not in EFFECTS:
            varied[path] = _over(values, varied.get(path))
    _charged(varied, scene, count)
    effects = [np.asarray(crafts.get(name, np.full(count, none))) for name, none in zip(EFFECTS, NEUTRAL, strict=True)]
    with np.errstate(all="ignore"):
        craft, _ = assemble(build, varied, trusted=True)
        look = Look(State(craft), craft, effects, readings)
        told = np.stack([look.told(j) for j in range(len(readings))], axis=1)
    run = look.state.run if look.runs else None
    none = np.zeros(count)
    if run is None:
        return told, none, none * np.nan
    return told, run.reason.astype(np.float64), run.take_off


def _over(values: Array | tuple[str, ...], day: Array | tuple[str, ...] | None) -> Array | tuple[str, ...]:
    """Return a column of crafts; where it is NaN, what the day had."""
    if day is None or isinstance(values, tuple) or isinstance(day, tuple):
        return values
    return np.where(np.isnan(values), day, values)


def _charged(varied: Columns, scene: Scene, count: int) -> None:
    """Turn a charge over that of the day into the charges between which the models take the middle."""
    over = np.asarray(varied.pop("charge", np.zeros(count)), dtype=np.float64)
    middle = np.clip(float(scene.values.get("charge", USUAL_CHARGE)) + over, 0.05, 0.99)
    start = np.minimum(middle + 0.2, 1.0)
    varied["pack.start_charge"], varied["pack.stop_charge"] = start, np.maximum(2.0 * middle - start, 0.0)


class Look:
    """The shared results of some crafts, read at the readings."""

    def __init__(self, state: State, craft: Craft, effects: list[Array], readings: list[Reading]) -> None:
        self.state, self.craft, self.readings = state, craft, readings
        self.area, self.share, self.legs = effects
        self.runs = any(each.kind not in ASHORE for each in readings)
        speed = np.array([max(each.speed, 0.0) for each in readings])
        duty = np.array([np.clip(each.throttle, 0.05, 1.2) for each in readings])
        self.full = _throttled(state.drive, np.where(speed > 0.0, np.maximum(speed, SLOWEST), 0.0), duty)

    def told(self, j: int) -> Array:
        """Return what the models say about one reading (n,)."""
        each = self.readings[j]
        made = getattr(self, f"_{each.kind}")(j, each)
        return np.nan_to_num(np.asarray(made, dtype=np.float64), nan=0.0, posinf=FLAT, neginf=-FLAT)

    def _dragged(self, each: Reading) -> Array:
        """Return the drag at a speed, of the run or of flight [N]."""
        state, speed = self.state, np.full(self.craft.designs, max(each.speed, SLOWEST))
        pressure = 0.5 * state.water.density * speed * speed
        if each.flying:
            return np.asarray(state.flight.at(state.flight.drag, speed) + pressure * self.area)
        on_board = state.run.at_speed(np.minimum(speed, state.run.speeds[-1]))
        return np.asarray(on_board + pressure * (self.area + self.legs))

    def _balance(self, j: int, each: Reading) -> Array:
        needed = self._dragged(each) + self.state.weights.total * each.acceleration
        return _log(self.full.thrust[:, j] * self.share) - _log(needed)

    def _amps(self, j: int, _each: Reading) -> Array:
        return _log(self.full.pack_current[:, j] * self.share)

    def _volts(self, j: int, _each: Reading) -> Array:
        source, point = self.state.supply.supply, self.full
        return _log(source.open_voltage - source.resistance * point.pack_current[:, j] * self.share)

    def _bollard(self, j: int, _each: Reading) -> Array:
        return _log(self.full.thrust[:, j] * self.share)

    def _tow(self, _j: int, each: Reading) -> Array:
        return _log(self._dragged(each))

    def _coast(self, _j: int, each: Reading) -> Array:
        return _log(self._dragged(replace(each, flying=True)) / self.state.weights.total)

    def _take_off_speed(self, _j: int, _each: Reading) -> Array:
        run = self.state.run
        return _log(np.where(run.found, run.take_off, run.speeds[-1]))

    def _take_off_time(self, _j: int, _each: Reading) -> Array:
        run = self.state.run
        return _log(np.where(run.found, np.nan_to_num(np.asarray(run.passage.time), nan=60.0), 60.0))

    def _place(self, _j: int, each: Reading) -> Array:
        speed = np.full(self.craft.designs, max(each.speed, SLOWEST))
        if each.flying:
            return np.asarray(self.state.flight.at(self.state.flight.place, speed)) - self.craft.mast.x
        run = self.state.run
        return np.asarray(solve.at(run.speeds, run.place, np.minimum(speed, run.speeds[-1]))) - self.craft.mast.x

    def _capacity(self, _j: int, _each: Reading) -> Array:
        return _log(self.craft.pack.capacity * self.craft.pack.parallel)

    def _temperature(self, _j: int, each: Reading) -> Array:
        if each.part == "motor":
            return np.asarray(self.state.heat.winding)
        warmed, node = self.state.heat.warmed, NODE[each.part]
        after = np.full(self.craft.designs, each.after)
        rows = zip(after, warmed.time[:, FULL], warmed.temperature[:, FULL, :, node], strict=True)
        return np.array([np.interp(t, x, y) for t, x, y in rows])

    def _warming(self, j: int, each: Reading) -> Array:
        """Return how much warmer a part gets in the time, at a share of the heat of full throttle [K]."""
        warmed, water = self.state.heat.warmed, self.craft.water.temperature
        begin = water if each.part == "motor" else warmed.temperature[:, FULL, 0, NODE[each.part]]
        wet = np.isin(self.craft.cooling.seat, PLATES) & (each.part == "controller")
        idle = np.where(wet, water, begin)
        return np.asarray(idle + each.throttle * (self._temperature(j, each) - idle) - begin)

    def _margin(self, each: Reading) -> Array:
        """Return the margin of the link at a distance, the antenna upright as the board floats [dB]."""
        link, away = self.state.link, np.full((self.craft.designs, 1), each.at)
        return np.asarray(link.budget.margin(away, link.height[:, :1])[:, 0] + link.shift)

    def _link(self, _j: int, each: Reading) -> Array:
        return self._margin(each)

    def _link_held(self, _j: int, each: Reading) -> Array:
        return self._margin(each) - LOST_AT

    def _deflection(self, _j: int, each: Reading) -> Array:
        return _log(self.state.mast.deflection * each.at / WEIGHT_PROOF)

    def _proof(self, _j: int, each: Reading) -> Array:
        """Return the side force at which mast or base give, over what was hung."""
        gives = np.minimum(self.state.mast.sideways, 1.0 / np.maximum(self.state.footing.side_use, 1e-12))
        return _log(gives / self.craft.mast.length / each.at)

    def _reach(self, _j: int, each: Reading) -> Array:
        weights, rows = self.state.weights, np.arange(self.craft.designs)
        ends = weights.aft if each.part == "aft" else weights.forward
        return np.asarray(ends[rows, weights.posture.astype(np.intp)])

    def _lifted(self, _j: int, each: Reading) -> Array:
        """Return how far it is from leaving the water: thrust to spare on the way, or what lacks."""
        run, drag = self.state.run, self._drags()
        end = np.where(run.found, run.take_off, run.speeds[-1])[:, None]
        on_way = (run.speeds >= 1.0) & (run.speeds <= end) & run.open
        thrust = self._scaled_thrust(each) * self.share[:, None]
        spare = np.where(on_way, _log(thrust) - _log(drag), np.inf).min(axis=1)
        return np.where(run.found, spare, np.minimum(-run.relief, np.where(np.isfinite(spare), spare, 0.0)))

    def _drags(self) -> Array:
        run = self.state.run
        return (
            run.resistance + 0.5 * self.state.water.density[:, None] * run.speeds**2 * (self.area + self.legs)[:, None]
        )

    def _scaled_thrust(self, each: Reading) -> Array:
        run = self.state.run
        if each.throttle >= 0.99:
            return run.thrust
        duty = np.full(run.speeds.size, each.throttle)
        return np.asarray(_throttled(self.state.drive, run.speeds, duty).thrust)

    def _stance(self, _j: int, each: Reading) -> Array:
        """Return by how much the weight is beyond the end of its reach, in tenths of a metre as shares."""
        state, rows = self.state, np.arange(self.craft.designs)
        posture = state.weights.posture.astype(np.intp)
        speed = np.full(self.craft.designs, np.clip(each.speed or 3.5, SLOWEST, state.run.speeds[-1]))
        place = solve.at(state.run.speeds, state.run.place, speed)
        aft, forward = state.weights.aft[rows, posture], state.weights.forward[rows, posture]
        return np.asarray(0.1 - np.minimum(place - aft, forward - place)) * (0.1 / REACH_SCALE)

    def _higher(self, _j: int, each: Reading) -> Array:
        """Return how much of the weight the wing carries at the speed, over the least that shows."""
        run = self.state.run
        speed = np.full(self.craft.designs, np.clip(each.speed or 4.0, SLOWEST, run.speeds[-1]))
        return np.asarray(solve.at(run.speeds, run.lift_share, speed)) - SHOWS


SHOWS = 0.25
"""Share of the weight on the wing from which on a board is seen to ride higher (judgement)."""


def _log(values: Any) -> Array:
    return np.asarray(np.log(np.maximum(values, 1e-3)))


def _throttled(state: DriveState, speed: Array, duty: Array) -> drive.FullThrottle:
    """Return what the drive gives at speeds (m,) with a share of full throttle (m,)."""
    made = drive.map(inputs=state.inputs, speed=speed)
    limits = dict(state.limits)
    limits["duty_limit"] = limits["duty_limit"][:, None] * duty
    return drive.full_throttle(map=made, **limits)


def at_rest(build: Build) -> tuple[Array, Array]:
    """Return charges of the pack of a build, rising, and the volts that it shows at rest with each."""
    craft, _ = assemble(build)
    cells = State(craft).cells.tables
    charge = np.linspace(0.0, 1.0, 101)
    series = craft.pack.series
    shown = [packs.open_voltage(cell=cells, charge=np.full(1, each), series=series) for each in charge]
    return charge, np.array(shown).ravel()


def charge_at(build: Build, volts: float) -> float:
    """Return the charge at which the pack of a build shows volts at rest."""
    charge, shown = at_rest(build)
    return float(np.interp(volts, shown, charge))
