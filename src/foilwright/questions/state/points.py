"""Operating points of the drive that `push` looks at: bollard, hump, take-off, cruise, top."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.core.shapes import column
from foilwright.craft import Craft
from foilwright.physics import drive
from foilwright.physics import propeller as screw
from foilwright.physics.water import Water
from foilwright.questions.state.drive import DriveState
from foilwright.questions.state.flight import LEAST_KEPT, Flight
from foilwright.questions.state.run import Run
from foilwright.questions.state.supply import SupplyState

Flag = npt.NDArray[np.bool_]

AT = ("standstill, full throttle", "hump, full throttle", "take-off, full throttle", "cruise", "fastest flight")
STEADY = slice(3, 5)
"""Points that last for minutes."""
ROOT = 0.5
"""Share of a blade's mass radius over the tip radius (tapered blade)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Points:
    """Operating points (n, 5) in the order of ``AT``; (n,) else."""

    speed: Array
    point: drive.DrivePoint
    cavitation_number: Array
    loading: Array  # tau_c
    limit: Array  # tau_c at 5 % back cavitation
    blade: screw.BladeStress
    root_chord: Array  # (n,) m
    phase_current: Array  # A, peak
    winding: Array  # K, if it lasted
    winding_before: Array  # (n,) K, with which the drive was worked out
    pin_torque: Array  # (n,) N m that breaks the pin; NaN where no pin is stated
    shaft_thrust: Array  # N, in the shaft: what is useful and what the flow around the pod takes
    holds: Flag  # (n,) the drive holds the cruise speed
    free_speed: Array  # (n,) rad/s, of the propeller out of the water, full pack and full throttle


def points(craft: Craft, water: Water, supply: SupplyState, power: DriveState, run: Run, flight: Flight) -> Points:
    """Return the operating points of every design."""
    d = craft.drive
    take_off = np.where(run.found, run.take_off, run.least_speed)
    fast = np.where(flight.found, flight.fast, take_off)
    cruise = np.clip(flight.cruise, flight.speeds[0], flight.speeds[-1])
    speed = np.stack([np.zeros_like(take_off), run.least_speed, take_off, cruise, fast], axis=1)
    full = [power.bollard, *(flight.at(power.thrust, speed[:, k]) for k in (1, 2))]
    deep = flight.thrust / np.maximum(flight.immersion, LEAST_KEPT)[:, None]
    asked = [flight.at(deep, speed[:, k]) for k in (3, 4)]
    most = [flight.at(power.thrust, speed[:, k]) for k in (3, 4)]
    thrust = np.stack([*full, *np.minimum(asked, most)], axis=1)
    point = drive.at_thrust(map=power.map, speed=speed, thrust=thrust)
    inflow = speed * (1.0 - power.inputs.wake[:, None])
    shaft = np.stack([-craft.pod.z, -craft.pod.z, -craft.pod.z] + [flight.depth - (craft.pod.z - craft.wing.z)] * 2, 1)
    number = screw.cavitation_number(
        shaft_depth=np.maximum(shaft, 0.0), density=column(water.density),
        vapour_pressure=column(water.vapour_pressure),
        diameter=column(d.diameter), advance_speed=inflow, shaft_speed=point.shaft_speed,
    )  # fmt: skip
    behind = thrust / (1.0 - power.inputs.thrust_deduction[:, None])
    loading = screw.cavitation_loading(
        thrust=behind, density=column(water.density), diameter=column(d.diameter), area_ratio=column(d.area_ratio),
        pitch_ratio=column(d.pitch / d.diameter), advance_speed=inflow, shaft_speed=point.shaft_speed,
    )  # fmt: skip
    chord = np.where(np.isnan(d.root_chord), 1.6 * d.area_ratio * d.diameter / d.blades, d.root_chord)
    blade_mass = d.blade_density * 0.5 * chord * d.root_thickness * 0.5 * (d.diameter - d.hub_diameter) * 0.7
    blade = screw.blade_stress(
        thrust=behind, torque=point.torque, blades=column(d.blades), diameter=column(d.diameter),
        pitch_ratio=column(d.pitch / d.diameter), root_radius=column(0.5 * d.hub_diameter), chord=column(chord),
        thickness=column(d.root_thickness), blade_mass=column(blade_mass), mass_radius=column(ROOT * 0.5 * d.diameter),
        shaft_speed=point.shaft_speed,
    )  # fmt: skip
    heat = point.loss_copper + point.loss_iron
    return Points(
        speed=speed, point=point, cavitation_number=np.asarray(number), loading=np.asarray(loading),
        limit=np.asarray(screw.burrill_limit(cavitation_number=number)), blade=blade, root_chord=chord,
        phase_current=point.motor_current * 2.0 / np.sqrt(3.0),
        winding=column(craft.water.temperature) + column(d.thermal_resistance) * heat,
        winding_before=power.winding_temperature,
        pin_torque=np.asarray(
            screw.shear_pin(shear_strength=PIN_STRENGTH, pin_diameter=d.pin_diameter, shaft_diameter=d.shaft_diameter)
        ),
        shaft_thrust=behind, holds=point.found[:, 3] & (asked[0] <= most[0]),
        free_speed=d.speed_constant * supply.full_voltage * d.duty_limit / d.gear_ratio,
    )  # fmt: skip


PIN_STRENGTH = np.asarray(0.6 * 520e6)
"""Shear strength of a stainless pin, 0.6 of its tensile strength [Pa] (ISO 3506 A2 rod)."""
