"""Steady flight over the speeds: angle, drag by cause, power, the rider's place, and the usable band."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.core import solve
from foilwright.core.model import Array
from foilwright.core.shapes import column
from foilwright.craft import Craft
from foilwright.physics import balance, rider, section, strut
from foilwright.physics import propeller as screw
from foilwright.physics.water import GRAVITY, Water
from foilwright.questions.state.drive import DriveState
from foilwright.questions.state.flex import Flex
from foilwright.questions.state.foils import Foils, Force, Hung, hung_drag
from foilwright.questions.state.run import LEAST_DEPTH, PLACE_SCALE
from foilwright.questions.state.weights import POSTURES, Weights

Flag = npt.NDArray[np.bool_]

STEEPEST = 0.5
"""Trim beyond which the shaft is taken no steeper: no foil flies there [rad]."""
LEAST_KEPT = 0.05
"""Share of its thrust below which a propeller near the surface is not followed."""
MOST_DRAG = 0.5
"""Drag over weight beyond which thrust and drag bend the mast no further: no craft flies there."""
PASSES = 4
"""Passes for the upward part of the thrust, which depends on drag."""
STANDING = POSTURES.index("standing")
BOUNDS = ("stall", "thrust", "reach", "cavitation", "ventilation")
"""What can bound the usable band of speeds."""
SUCTION_FACTOR = 1.15
"""On the suction peak of the panel method, which reads low at high lift."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wet:
    """Buoyancy of what is under water in flight (n,), and its moments about the tail's bottom edge."""

    buoyancy: Array  # N
    moment_x: Array  # N m, buoyancy times x
    moment_z: Array  # N m, buoyancy times z


@dataclass(frozen=True, slots=True, kw_only=True)
class Flight:
    """Flight at the target depth; (n, V) over the speeds, (n,) the marks."""

    speeds: Array
    trim: Array  # rad, of the board
    wing_lift: Array  # N
    tail_lift: Array  # N
    wing_coefficient: Array
    drag: Array  # N, all of it
    thrust: Array  # N, along the shaft, which turns with the board
    causes: dict[str, Array]  # N, by cause
    thrust_change: Array  # N, in the last pass
    turned: Array  # rad, of the end of the mast nose up under thrust and drag
    wet: Wet
    power: Array  # W, from the pack
    flyable: Flag  # the drive holds this speed
    place: Array  # m, of a standing rider's weight
    margins: Array  # (5, n, V), 0 where a bound is met, negative beyond
    depth: Array  # (n,) m
    available: Array  # N, full throttle as deep as the propeller is
    immersion: Array  # (n,) share of the thrust that is left so close to the surface
    slow: Array  # (n,) m/s, NaN where it does not fly
    fast: Array
    slow_bound: npt.NDArray[np.intp]
    fast_bound: npt.NDArray[np.intp]
    found: Flag
    cruise: Array  # m/s
    foils: Foils
    hung: Hung

    def at(self, values: Array, speed: Array) -> Array:
        """Read values over the speeds at one speed for each design; NaN outside the speeds."""
        return solve.at(self.speeds, values, speed)


def flight(
    craft: Craft, water: Water, weights: Weights, foils: Foils, power: DriveState, speeds: Array, flex: Flex
) -> Flight:
    """Work out steady flight of every design at the target depth of the wing."""
    depth = np.minimum(craft.targets.wing_depth, craft.mast.length)
    hung = hung_drag(craft, water, speeds, wet_mast=depth, spray=True)
    air = rider.air_drag(
        drag_area=weights.drag_area[:, STANDING, None], speed=speeds, wind_speed=craft.water.wind[:, None],
        air_density=np.asarray(1.225),
    )  # fmt: skip
    weight = weights.total * GRAVITY
    wet = _wet(craft, water, weights, depth)
    lift, most = (weight - wet.buoyancy)[:, None], MOST_DRAG * weight[:, None]
    thrust = np.broadcast_to(weight[:, None] / 10.0, (craft.designs, speeds.size))
    change = trim = turned = np.zeros_like(thrust)
    for _ in range(PASSES):
        upward = thrust * np.sinc(trim / np.pi)
        angle = foils.trim_for(lift + upward * turned, upward)
        trim = angle - turned
        wing, tail = foils.forces(angle[..., None])
        drag = wing.drag[..., 0] + tail.drag[..., 0] + hung.drag + air
        pushed = drag / np.cos(np.clip(trim, -STEEPEST, STEEPEST))
        change, thrust = pushed - thrust, pushed
        turned = flex.turn(np.minimum(thrust, most), np.minimum(drag - air, most))
    trim, foils = angle - turned, foils.turned(turned)
    causes = _causes(wing, tail, hung, np.asarray(air))
    place = _place(weights, wing, tail, hung, trim, thrust, np.asarray(air), wet, craft.pod.z)
    shaft = depth - (craft.pod.z - craft.wing.z)
    immersion = np.asarray(screw.immersion_loss(shaft_depth=shaft, diameter=craft.drive.diameter))
    drawn, held = power.power_for(thrust / np.maximum(immersion, LEAST_KEPT)[:, None])
    available = power.thrust * immersion[:, None]
    margins = _margins(craft, water, weights, (wing, tail), thrust, available, place, depth)
    band = _band(speeds, margins)
    energy = np.where(held & (margins >= 0.0).all(axis=0), drawn / speeds, np.inf)
    nearest = np.where(np.isfinite(energy).any(axis=1), energy.argmin(axis=1), margins.min(axis=0).argmax(axis=1))
    return Flight(
        speeds=speeds, trim=trim, wing_lift=wing.lift[..., 0], tail_lift=tail.lift[..., 0],
        wing_coefficient=wing.coefficient[..., 0], drag=drag, thrust=thrust, causes=causes, thrust_change=change,
        turned=turned, wet=wet,
        power=drawn, flyable=held, place=place, margins=margins,
        depth=depth, available=available, immersion=immersion, foils=foils, hung=hung,
        cruise=np.where(np.isnan(craft.targets.cruise_speed), speeds[nearest], craft.targets.cruise_speed), **band,
    )  # fmt: skip


def _wet(craft: Craft, water: Water, weights: Weights, depth: Array) -> Wet:
    """Return the buoyancy in flight: all that hangs below but the part of the mast above the water."""
    mast = weights.masses.pieces["mast"]
    above = craft.mast.length - depth
    dry = mast.volume * above / craft.mast.length
    heavy = water.density * GRAVITY
    return Wet(
        buoyancy=heavy * (weights.hung_volume - dry),
        moment_x=heavy * (weights.hung_volume * weights.hung_x - dry * mast.x),
        moment_z=heavy * (weights.hung_volume * weights.hung_z + dry * 0.5 * above),
    )


def _causes(wing: Force, tail: Force, hung: Hung, air: Array) -> dict[str, Array]:
    """Return the drag by cause."""
    surface = wing.surface
    lifting = wing.drag[..., 0] - wing.profile[..., 0]
    wave = surface.pressure * surface.area * surface.factor * surface.wave_share * wing.coefficient[..., 0] ** 2
    return {
        "wing_profile": wing.profile[..., 0], "induced": lifting - wave, "wave": wave,
        "stabiliser": tail.drag[..., 0], "mast": hung.mast, "spray": hung.spray, "junction": hung.junction,
        "pod": hung.pod, "air": air,
    }  # fmt: skip


def _place(
    weights: Weights, wing: Force, tail: Force, hung: Hung, trim: Array, thrust: Array, air: Array, wet: Wet,
    shaft_z: Array,
) -> Array:  # fmt: skip
    """Return where a rider's weight must be for balance in pitch, in the axes of the board."""
    sine, cosine = np.sin(trim), np.cos(trim)
    craft_weight, rider_weight = weights.masses.mass * GRAVITY, column(weights.rider * GRAVITY)
    moment = (
        wing.moment(trim[..., None])[..., 0] + tail.moment(trim[..., None])[..., 0]
        + (hung.moment + column(wet.moment_x - craft_weight * weights.craft_x)) * cosine
        + (hung.reach - column(wet.moment_z - craft_weight * weights.craft_z)) * sine
        - column(shaft_z) * thrust
    )  # fmt: skip
    at = balance.rider_place(
        moment=moment, rider_weight=rider_weight * cosine - air * sine, rider_drag=air * cosine + rider_weight * sine,
        deck_height=column(weights.deck),
    )  # fmt: skip
    return np.asarray(at)


def _margins(
    craft: Craft, water: Water, weights: Weights, foils: tuple[Force, Force], needed: Array, available: Array,
    place: Array, depth: Array,
) -> Array:  # fmt: skip
    """Return the margin to each bound of the band, 0 where it is met."""
    wing, tail = foils
    coefficient = wing.coefficient[..., 0]
    stall = -np.maximum(wing.surface.stalled(coefficient), tail.surface.stalled(tail.coefficient[..., 0]))
    thrust = available / np.maximum(needed, 1.0) - 1.0
    aft, forward = weights.aft[:, STANDING, None], weights.forward[:, STANDING, None]
    reach = np.minimum(place - aft, forward - place) / PLACE_SCALE
    suction = -section.pressure_at(tables=wing.surface.tables, lift_coefficient=coefficient * wing.surface.peak)
    number = strut.cavitation_number(
        depth=column(depth), speed=wing.surface.speeds, density=column(water.density),
        vapour_pressure=column(water.vapour_pressure),
    )  # fmt: skip
    cavitation = number / (SUCTION_FACTOR * np.maximum(suction, 1e-3)) - 1.0
    least = np.maximum(LEAST_DEPTH, craft.wing.area / craft.wing.span)
    air = column(depth / least - 1.0)
    return np.stack([np.broadcast_to(each, needed.shape) for each in (stall, thrust, reach, cavitation, air)])


def _band(speeds: Array, margins: Array) -> dict[str, Any]:
    """Return the slow and the fast end of the usable band and what bounds each."""
    least = margins.min(axis=0)
    which = margins.argmin(axis=0)
    slow = solve.first_crossing(speeds, least)
    start = np.where(slow.found, slow.value, speeds[-1])[:, None]
    beyond = np.where(speeds < start, 1.0, least)
    fast = solve.first_crossing(speeds, beyond, falling=True)
    rows = np.arange(least.shape[0])
    below = np.clip(np.searchsorted(speeds, start[:, 0]) - 1, 0, speeds.size - 1)
    above = np.where(beyond < 0.0, 1, 0).argmax(axis=1)
    return {
        "slow": slow.value,
        "fast": np.where(slow.found, np.where(fast.found, fast.value, speeds[-1]), np.nan),
        "slow_bound": np.where(slow.found, which[rows, below], which[rows, least.argmax(axis=1)]),
        "fast_bound": np.where(fast.found, which[rows, above], which[:, -1]),
        "found": slow.found,
    }
