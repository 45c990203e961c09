"""The drive on a grid of speeds: what it can do from no thrust to full throttle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array, Mask, model
from foilwright.physics.drive import chain as ch
from foilwright.physics.drive import point as pt
from foilwright.physics.drive.chain import Chain, Flag
from foilwright.physics.drive.inputs import DriveInputs
from foilwright.physics.drive.point import DECIDES, LIMITS, SOURCE, DrivePoint

NODES = 28
IN_CACHE = 15000
"""Numbers in an array of 120 kB: the working arrays of a block stay in the processor's cache."""
BINDING = (
    "nothing",
    "voltage of the pack",
    "motor current",
    "pack current",
    "shaft speed",
    "least pack voltage",
    "power of the pack",
)
"""What holds the drive back at full throttle, by the code in ``FullThrottle.binding``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveMap:
    """Operating points of a drive over (n, V) speeds and k shaft speeds from zero thrust to the top.

    Arrays (n, V, k) unless said: ``shaft_speed`` [rad/s], effective ``thrust`` [N] rising along k from
    0, ``torque`` [N m], currents [A], voltages [V], ``duty`` [-], ``pack_power`` [W]. ``feasible`` is
    False where the duty passes 1 or the supply cannot feed the power; its voltage there is half of
    what it shows at rest. ``speed`` is (n, V) [m/s]; ``outside`` is (n,).
    """

    speed: Array
    shaft_speed: Array
    thrust: Array
    torque: Array
    motor_current: Array
    duty: Array
    pack_voltage: Array
    pack_current: Array
    feasible: Flag
    outside: Mask
    chain: Chain

    @property
    def motor_voltage(self) -> Array:
        """Voltage at the controller's output [V]."""
        return self.duty * self.pack_voltage

    @property
    def pack_power(self) -> Array:
        """Power taken from the supply [W]."""
        return self.pack_voltage * self.pack_current


@dataclass(frozen=True, slots=True, kw_only=True)
class FullThrottle:
    """The most that the drive gives at each speed, (n, V), and which limit binds.

    ``binding`` is a place in ``BINDING``. Where not ``found`` (the craft is faster than the drive can
    push) the thrust is zero and the other numbers are those of zero thrust, which the limits do not
    allow.
    """

    point: DrivePoint
    thrust: Array
    shaft_speed: Array
    pack_power: Array
    pack_current: Array
    motor_current: Array
    binding: npt.NDArray[np.int8]
    found: Flag
    outside: Mask


@model(source=SOURCE, valid=LIMITS, decides=DECIDES)
def map(*, inputs: DriveInputs, speed: Array) -> DriveMap:
    """Return the operating points of each drive over speed and shaft speed.

    Parameters
    ----------
    inputs : DriveInputs
        Fields (n,) or (n, V) [SI, see the class].
    speed : (V,) or (n, V) array
        Of the craft through the water [m/s].

    Returns
    -------
    DriveMap
        Arrays (n, V, 28) in SI units [see the class].
    """
    speed = np.atleast_2d(np.asarray(speed, dtype=np.float64))
    base = ch.prepare(inputs)
    c = base.over(2)
    water = speed * c.inflow
    start = ch.turns_for_thrust(c, water, np.zeros_like(water), 1e-9)
    top = np.maximum(ch.top_turns(c, water, 1e-9), start * 1.001)
    values, feasible = _in_blocks(base.over(3), water, start, top)
    return DriveMap(
        speed=np.broadcast_to(speed, water.shape),
        **values,
        feasible=feasible,
        outside=pt.propeller_mask(inputs),
        chain=c,
    )


def _in_blocks(c: Chain, water: Array, start: Array, top: Array) -> tuple[dict[str, Array], Flag]:
    """Return the arrays (n, V, k) of a map, made a few designs at a time so that they stay in cache."""
    share = np.linspace(0.0, 1.0, NODES)
    names = (
        "shaft_speed",
        "thrust",
        "torque",
        "motor_current",
        "duty",
        "pack_voltage",
        "pack_current",
    )
    out = {name: np.empty((*water.shape, NODES)) for name in names}
    feasible = np.empty((*water.shape, NODES), dtype=np.bool_)
    step = max(1, IN_CACHE // (water.shape[1] * NODES))
    for first in range(0, water.shape[0], step):
        some = slice(first, first + step)
        one = c.part(some)
        turns = start[some, :, None] + (top - start)[some, :, None] * share
        thrust, torque = ch.loads(one, water[some, :, None], turns)
        e = ch.electric(one, turns, torque)
        thrust[..., 0] = 0.0
        values = (
            2.0 * np.pi * turns,
            thrust,
            torque,
            e.motor_current,
            e.duty,
            e.pack_voltage,
            e.pack_current,
        )
        for name, value in zip(names, values, strict=True):
            out[name][some] = value
        feasible[some] = (e.slack >= 0.0) & (e.duty <= 1.0 + 1e-6)
    return out, feasible


def _column(limit: Array) -> Array:
    """Return a limit (n,) or (n, V) with a speed axis."""
    value = np.asarray(limit, dtype=np.float64)
    return value if value.ndim == 2 else value.reshape(-1, 1)


def _relief(c: Chain, water: Array, turns: Array, limits: tuple[Array, ...]) -> Array:
    """Return by how much each limit is passed, (6, n, V), over the limit; negative within it."""
    _, torque = ch.loads(c, water, turns)
    e = ch.electric(c, turns, torque)
    duty, motor, pack, shaft, least = limits
    out = np.empty((6, *turns.shape))
    np.divide(e.duty, duty, out=out[0])
    np.divide(e.motor_current, motor, out=out[1])
    np.divide(e.pack_current, pack, out=out[2])
    np.divide(2.0 * np.pi * turns, shaft, out=out[3])
    np.divide(least, e.pack_voltage, out=out[4])
    np.subtract(1.0, e.slack / np.maximum(c.open_voltage * c.open_voltage, ch.TINY), out=out[5])
    out -= 1.0
    return out


def _nearest_root(low: Array, high: Array, at_low: Array, at_high: Array) -> Array:
    """Return the smallest of the secant roots of the limits, within the bracket."""
    passed = (at_high > 0.0) & (at_high > at_low)
    share = np.where(passed, -at_low / np.where(passed, at_high - at_low, 1.0), 1.0)
    least = np.minimum(np.maximum(share.min(axis=0), 0.0), 1.0)
    return np.asarray(low + least * (high - low))


@model(source=SOURCE, valid=LIMITS, decides=DECIDES)
def full_throttle(
    *,
    map: DriveMap,
    duty_limit: Array,
    motor_current_limit: Array,
    pack_current_limit: Array,
    shaft_speed_limit: Array,
    pack_voltage_least: Array,
) -> FullThrottle:
    """Return the largest operating point at each speed that keeps within every limit.

    The point is bracketed between two nodes of the map and closed by two secant steps on the exact
    equations.

    Parameters
    ----------
    map : DriveMap
        From ``map`` [SI, see the class].
    duty_limit : (n,) array
        Largest duty of the controller, up to 1 [-].
    motor_current_limit : (n,) array
        DC equivalent; infinite where there is none [A].
    pack_current_limit : (n,) array
        Of the supply, the fuse or the controller's input; infinite where there is none [A].
    shaft_speed_limit : (n,) array
        Of the propeller shaft: electrical limit over pole pairs and gear ratio; infinite where
        there is none [rad/s].
    pack_voltage_least : (n,) array
        At which the controller or the cells' protection cuts off; 0 where there is none [V].

    Returns
    -------
    FullThrottle
        Arrays (n, V) in SI units [see the class].
    """
    c = map.chain
    limits = tuple(
        _column(limit)
        for limit in (
            duty_limit,
            motor_current_limit,
            pack_current_limit,
            shaft_speed_limit,
            pack_voltage_least,
        )
    )
    low, high, found = _bracket(map, limits)
    water = map.speed * c.inflow
    at_low, at_high = _relief(c, water, low, limits), _relief(c, water, high, limits)
    for _ in range(2):
        turns = _nearest_root(low, high, at_low, at_high)
        now = _relief(c, water, turns, limits)
        within = now.max(axis=0) <= 0.0
        low, high = np.where(within, turns, low), np.where(within, high, turns)
        at_low, at_high = np.where(within, now, at_low), np.where(within, at_high, now)
    binding = now.argmax(axis=0).astype(np.int8) + np.int8(1)
    turns = np.where(found, _nearest_root(low, high, at_low, at_high), low)
    point = pt.evaluate(c, map.speed, turns, found, map.outside)
    return FullThrottle(
        point=point,
        thrust=np.where(found, point.thrust, 0.0),
        shaft_speed=point.shaft_speed,
        pack_power=point.pack_power,
        pack_current=point.pack_current,
        motor_current=point.motor_current,
        binding=binding,
        found=found,
        outside=point.outside,
    )


def _bracket(map: DriveMap, limits: tuple[Array, ...]) -> tuple[Array, Array, Flag]:
    """Return the revolutions at the last node within every limit and at the next one."""
    duty, motor, pack, shaft, least = (limit[..., None] for limit in limits)
    inside = map.feasible & (map.duty <= duty) & (map.motor_current <= motor)
    inside &= (map.pack_current <= pack) & (map.shaft_speed <= shaft) & (map.pack_voltage >= least)
    first = np.where(inside.all(axis=-1), NODES - 1, inside.argmin(axis=-1))[..., None]
    before = np.maximum(first - 1, 0)
    scale = 0.5 / np.pi
    low = np.take_along_axis(map.shaft_speed, before, axis=-1)[..., 0] * scale
    high = np.take_along_axis(map.shaft_speed, first, axis=-1)[..., 0] * scale
    return low, high, np.asarray(inside[..., 0])


@model(source=SOURCE, valid=LIMITS, decides=DECIDES)
def at_thrust(*, map: DriveMap, thrust: Array, speed: Array | None = None) -> DrivePoint:
    """Return the operating points that give a thrust at each speed of a map, or at other speeds.

    Parameters
    ----------
    map : DriveMap
        From ``map`` [SI, see the class].
    thrust : (n, V) array
        Effective thrust asked for, zero or more [N].
    speed : (n, V) array, optional
        Speeds in place of those of the map [m/s].

    Returns
    -------
    DrivePoint
        Arrays (n, V) in SI units [see the class]; not ``found`` where the duty would pass 1 or the
        supply collapses.
    """
    along = map.speed if speed is None else speed
    wanted = np.broadcast_to(np.asarray(thrust, dtype=np.float64), along.shape)
    return pt.solve_thrust(map.chain, along, wanted, map.outside)
