"""The box under pressure: trapped air, the lid, the water that pushes in, leaks and wicks, what stands lowest."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import air, box
from foilwright.physics.box.lid import REFERENCE_TEMPERATURE
from foilwright.physics.water import GRAVITY, Water
from foilwright.questions.state.floating import Floating
from foilwright.questions.state.level import is_named, level, or_else
from foilwright.questions.state.weights import Weights

Flag = npt.NDArray[np.bool_]

HEEL = 0.025
"""Radius of the patch on which a heel stands [m]."""
PHASES = 3
"""Wires that run up from the motor."""
MOUTHS = {"plugged": np.nan, "flush": 0.0, "faces forward": 1.0}
"""Pressure over dynamic pressure at the mouth of the mast's duct."""
WASH = 0.15
"""Water that stands over the seal while the craft floats and is washed over [m]."""
TEST_TEMPERATURE = 293.15
"""Temperature at which a vacuum is held [K]."""
PUDDLE = 0.5e-3
"""Water that has come in, to see what it reaches [m^3]."""
LOW_PARTS = ("the pack", "the controller", "the receiver")
HALF_HEIGHTS = (0.035, 0.015, 0.005)
"""From the middle of each to its lowest live part [m]; estimates."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trapped:
    """The air in the box; pressures are inside less outside."""

    volume: Array  # m^3
    vents: Flag  # it breathes: has a vent, above the water
    humidity: Array  # when shut
    closed: air.TrappedAir  # cooled by the water, without any vent
    cold: Array  # Pa, the same with the vent it has, 0 or less
    warm: Array  # Pa, ashore in the sun, 0 or more


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """The lid as a plate, by each pascal where it is a slope."""

    short: Array  # m, short side
    stress: Array  # Pa a Pa
    bow: Array  # m a Pa, at 23 degC
    warm_bow: Array  # m a Pa, warmest
    modulus: Array  # Pa, warmest
    softened: Array  # share of stiffness and strength left when warmest
    lasting: Array  # Pa, what it bears for days
    strength: Array  # Pa, for moments
    expansion: Array  # 1/K
    hottest: Array  # K, up to which its softening is known
    heel_stress: Array  # Pa
    heel_bow: Array  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class Gland:
    """Where the wires come in."""

    duct: Array  # Pa, ram water up the mast as the board touches down
    deep: Array  # Pa, pushed under
    wicked: Array  # m^3, through the strands in a ride


@dataclass(frozen=True, slots=True, kw_only=True)
class Dryness:
    """The box; arrays (n,), NaN where an open field decides."""

    trapped: Trapped
    lid: Plate
    gland: Gland
    water_pressure: Array  # Pa, of water on lid and seal in a fall
    inward: Array  # Pa, that with the suction of the cold air
    pod: Array  # Pa, on the seals of the motor's housing
    leak: Array  # m^3/s of water, from the hold
    hold: box.Likeness
    puddle: Array  # m, height of the water that came in
    lowest: Array  # m
    lowest_part: npt.NDArray[np.intp]  # into LOW_PARTS


def dryness(craft: Craft, water: Water, weights: Weights, floating: Floating) -> Dryness:
    """Work out the box of every design."""
    b = craft.box
    speed = craft.ride.speed.max(axis=1)
    trapped = _trapped(craft, level(craft, floating, craft.pack.x))
    fall = {"depth": b.depth, "speed": speed, "density": water.density, "swing_warm": trapped.warm}
    design = box.design_pressure(**fall, swing_cold=trapped.cold)
    plain = box.design_pressure(**fall, swing_cold=np.zeros_like(speed), least=0.0)
    lowest = np.stack([craft.pack.z, craft.drive.controller_z, craft.radio.receiver_height])
    lowest = lowest - np.array(HALF_HEIGHTS)[:, None]
    leak, hold = _leak(craft, water, trapped)
    return Dryness(
        trapped=trapped, lid=_lid(craft, weights), gland=_gland(craft, water, speed),
        water_pressure=plain.inward, inward=design.inward,
        pod=_pod(craft, water, speed, level(craft, floating, craft.pod.x)), leak=leak, hold=hold,
        puddle=b.floor + PUDDLE / (b.lid_length * b.lid_width),
        lowest=lowest.min(axis=0), lowest_part=lowest.argmin(axis=0),
    )  # fmt: skip


def _trapped(craft: Craft, waterline: Array) -> Trapped:
    """Return the air in the box: shut, cooled by the water, warmed by the sun, and what a vent leaves of it."""
    b, parts = craft.box, craft.parts
    free = np.sum(parts.free_volume * (parts.in_hull & parts.sealed), axis=1)
    volume = np.where(np.isnan(b.air_volume), np.where(free > 0.0, free, np.nan), b.air_volume)
    shut = np.asarray(air.saturation_pressure(temperature=b.closed_temperature))
    humidity = np.minimum(np.asarray(air.saturation_pressure(temperature=b.dew_point)) / shut, 1.0)
    closed, sunned = (
        air.trapped_air(closed_temperature=b.closed_temperature, temperature=now, humidity=humidity)
        for now in (craft.water.temperature, b.hottest)
    )
    vents = ~is_named(b.vent, "none", "") & (b.vent_height > waterline)
    membranes = table("box/vents")
    rows = [membranes.texts["membrane"].index(name) if name != "none" else 0 for name in or_else(b.vent, "none")]
    swings = []
    for start, end in ((np.maximum(b.hottest, b.closed_temperature), craft.water.temperature),
                       (b.closed_temperature, b.hottest)):  # fmt: skip
        breath = air.breathing(
            volume=volume, temperature=end, temperature_rate=(end - start) / b.cooling_time,
            permeance=membranes.columns["permeance_low"][rows], vent_area=b.vent_area,
        )  # fmt: skip
        swings.append(breath.difference)
    cold, warm = np.minimum(closed.swing, 0.0), np.maximum(sunned.swing, 0.0)
    return Trapped(
        volume=volume, vents=vents, closed=closed, humidity=humidity,
        cold=np.where(vents, -np.minimum(-cold, swings[0]), cold),
        warm=np.where(vents, np.minimum(warm, swings[1]), warm),
    )  # fmt: skip


def _lid(craft: Craft, weights: Weights) -> Plate:
    """Return what the lid does under each pascal, and under a heel when warm; cold stiffens it, uncounted."""
    b = craft.box
    stuff = table("box/lids")
    rows = [stuff.texts["material"].index(name) for name in or_else(b.lid_material, stuff.texts["material"][0])]
    open_ = is_named(b.lid_material, "")
    of = {name: np.where(open_, np.nan, values[rows]) for name, values in stuff.columns.items()}
    warm = np.maximum(b.hottest, REFERENCE_TEMPERATURE)
    size: dict[str, Any] = {"width": b.lid_width, "length": b.lid_length, "thickness": b.lid_thickness}
    one = np.ones(craft.designs)
    plain = box.lid(**size, modulus=of["modulus"], pressure=one)
    modulus = np.asarray(box.warm_modulus(modulus=of["modulus"], temperature=warm, softening=of["softening"]))
    softened = modulus / of["modulus"]
    heel = box.heel_on_lid(**size, modulus=modulus, force=weights.rider * GRAVITY, patch_radius=np.asarray(HEEL))
    return Plate(
        short=np.minimum(b.lid_width, b.lid_length), stress=plain.stress, bow=plain.deflection,
        warm_bow=plain.deflection / softened, modulus=modulus, lasting=of["lasting_stress"],
        strength=of["strength"], expansion=of["expansion"], hottest=of["hottest"], softened=softened,
        heel_stress=heel.stress, heel_bow=heel.deflection,
    )  # fmt: skip


def _gland(craft: Craft, water: Water, speed: Array) -> Gland:
    """Return what ram water presses on the gland as the board touches down, and what strands carry in a ride."""
    b, wires = craft.box, craft.drive
    mouth = np.array([MOUTHS[name] for name in b.duct])
    ram, ends = (
        box.duct_head(
            speed=speed, density=water.density, gland_height=b.gland_height, pressure_coefficient=coefficient
        ).pressure
        for coefficient in (mouth, np.ones_like(mouth))
    )
    strand = np.square(b.strand_diameter) * (0.25 * np.pi)
    wick = box.strand_wick(
        strand_diameter=b.strand_diameter, strands=wires.phase_area / strand, length=wires.phase_length,
        pressure=ends, density=water.density,
    )  # fmt: skip
    blocked = is_named(b.wire_block, "potted", "solid studs")
    afloat = craft.ride.time.sum(axis=1)
    return Gland(
        duct=np.where(is_named(b.duct, "plugged"), 0.0, ram),
        deep=np.asarray(box.head(depth=b.depth, density=water.density)),
        wicked=np.where(blocked, 0.0, PHASES * wick.water_flow * afloat),
    )


def _pod(craft: Craft, water: Water, speed: Array, waterline: Array) -> Array:
    """Return the pressure on the seals of the motor's housing: depth, speed, and its own air cooled."""
    deep = np.asarray(box.head(depth=waterline - craft.pod.z, density=water.density))
    struck = np.asarray(box.slam_pressure(speed=speed, density=water.density))
    cooled = air.trapped_air(
        closed_temperature=craft.box.closed_temperature, temperature=craft.water.temperature,
        humidity=np.zeros_like(speed),
    )  # fmt: skip
    suction = np.where(is_named(craft.pod.filling, "air"), np.maximum(-cooled.swing, 0.0), 0.0)
    return np.asarray(deep + struck + suction)


def _leak(craft: Craft, water: Water, trapped: Trapped) -> tuple[Array, box.Likeness]:
    """Return the water that comes in at the lake through the leak that a vacuum hold told, and the test it is like."""
    b = craft.box
    first = air.ATMOSPHERE - b.vacuum
    room = np.full(craft.designs, TEST_TEMPERATURE)
    told = box.vacuum_hold(
        volume=trapped.volume, first_pressure=first, second_pressure=air.ATMOSPHERE - b.vacuum_left, time=b.vacuum_time,
        first_temperature=room, second_temperature=room + b.vacuum_warming,
    )  # fmt: skip
    entry = box.water_entry(
        leak_rate=told.leak_rate, mean_pressure=told.mean_pressure,
        pressure=np.asarray(box.head(depth=np.asarray(WASH), density=water.density)) - trapped.cold,
        dynamic_viscosity=water.kinematic_viscosity * water.density, density=water.density,
    )  # fmt: skip
    hold = box.immersion_likeness(pressure=0.5 * (b.vacuum + b.vacuum_left), time=b.vacuum_time, density=water.density)
    return np.maximum(entry.narrow, entry.hole), hold
