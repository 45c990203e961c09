"""The drive over all speeds: what it gives at full throttle, and the map that answers any thrust."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import drive
from foilwright.physics import propeller as screw
from foilwright.physics.water import GRAVITY, Water
from foilwright.questions.state.supply import SupplyState
from foilwright.questions.state.weights import Weights
from foilwright.shape.mass import section_factor

Flag = npt.NDArray[np.bool_]

RESISTIVITY = 1.7241e-8 * 1.2
"""Copper at 20 degC (IACS) and a fifth more at some 70 degC [ohm m]."""
PEAK_TO_DC = np.sqrt(3.0) / 2.0
"""Phase peak current into the equivalent direct current."""
POD_DRAG = 0.12
"""Drag coefficient of housing and mast in the slipstream on frontal area (estimate, 0.08 to 0.2)."""
USUAL_GLIDE, USUAL_SPEED = 9.0, 6.5
"""Glide ratio and speed [m/s] at which the winding settles while its temperature is sought."""
PASSES = 2
NEARLY = 0.999
"""Share of the full-throttle thrust that is surely given [-]."""
MAGNET = -0.0012
"""Change of the magnets' field [1/K] (sintered NdFeB)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveState:
    """Drive of each design; (n, V) over the speeds unless said."""

    inputs: drive.DriveInputs
    limits: dict[str, Array]  # (n,) of controller and pack
    map: drive.DriveMap  # from standstill on
    thrust: Array  # N, full throttle
    power: Array  # W, from the pack, full throttle
    binding: npt.NDArray[np.int8]  # what limits full throttle, into drive.BINDING
    bollard: Array  # (n,) N, pull at standstill
    winding_temperature: Array  # (n,) K
    winding_change: Array  # (n,) K, in the last pass

    def power_for(self, thrust: Array) -> tuple[Array, Flag]:
        """Return pack power (n, V) [W] for a thrust at each speed, and whether the drive gives it."""
        from_rest = np.concatenate([thrust[:, :1], thrust], axis=1)
        point = drive.at_thrust(map=self.map, thrust=from_rest)
        return point.pack_power[:, 1:], point.found[:, 1:]

    def unsagged(self, speed: Array) -> Array:
        """Return the full-throttle thrust at a speed (n,) on a pack without resistance [N]."""
        stiff = replace(self.inputs, supply_resistance=np.full(speed.shape, 1e-4))
        return _most(stiff, self.limits, speed)


def drive_state(craft: Craft, water: Water, weights: Weights, supply: SupplyState, speeds: Array) -> DriveState:
    """Return the drive over the speeds, its winding as warm as steady flight makes it, or full throttle if less."""
    cold = _inputs(craft, water, supply)
    warm = craft.water.temperature + 30.0
    thrust = weights.total * GRAVITY / USUAL_GLIDE
    change = warm
    inputs = cold
    limits = _limits(craft, supply)
    usual = np.full(craft.designs, USUAL_SPEED)
    for _ in range(PASSES):
        inputs = replace(cold, winding_temperature=warm, magnet_temperature=0.5 * (warm + craft.water.temperature))
        point = drive.at(inputs=inputs, speed=usual, thrust=thrust)
        if not point.found.all():
            less = np.where(point.found, thrust, NEARLY * _most(inputs, limits, usual))
            point = drive.at(inputs=inputs, speed=usual, thrust=np.minimum(thrust, less))
        heat = point.loss_copper + point.loss_iron
        hotter = np.where(point.found, craft.water.temperature + craft.drive.thermal_resistance * heat, warm)
        hotter = np.minimum(hotter, craft.drive.winding_limit + 40.0)
        change, warm = hotter - warm, hotter
    made = drive.map(inputs=inputs, speed=np.concatenate([[0.0], speeds]))
    full = drive.full_throttle(map=made, **limits)
    return DriveState(
        inputs=inputs, limits=limits, map=made, thrust=full.thrust[:, 1:], power=full.pack_power[:, 1:],
        binding=full.binding[:, 1:], bollard=full.thrust[:, 0], winding_temperature=warm, winding_change=change,
    )  # fmt: skip


def _most(inputs: drive.DriveInputs, limits: dict[str, Array], speed: Array) -> Array:
    """Return the full-throttle thrust at one speed (n,) [N]."""
    made = drive.map(inputs=inputs, speed=speed[:, None])
    return np.asarray(drive.full_throttle(map=made, **limits).thrust[:, 0])


def _or_none(limit: Array) -> Array:
    """Return a limit, infinite where none is stated."""
    return np.where(np.isnan(limit), np.inf, limit)


def _limits(craft: Craft, supply: SupplyState) -> dict[str, Array]:
    d = craft.drive
    return {
        "duty_limit": d.duty_limit,
        "motor_current_limit": _or_none(d.phase_current_limit) * PEAK_TO_DC,
        "pack_current_limit": _or_none(d.battery_current_limit),
        "shaft_speed_limit": _or_none(d.electrical_speed_limit) / (d.pole_pairs * d.gear_ratio),
        "pack_voltage_least": supply.stop_voltage,
    }


def _inputs(craft: Craft, water: Water, supply: SupplyState) -> drive.DriveInputs:
    d, pod = craft.drive, craft.pod
    disc_height = np.minimum(d.diameter, craft.mast.length)
    mast_front = (
        section_factor(craft.mast.section, "thickness")
        * craft.mast.chord
        * np.maximum(disc_height - pod.diameter, 0.0)
        * 0.5
    )
    area = POD_DRAG * (np.pi / 4.0 * pod.diameter**2 + mast_front)
    interaction = screw.interaction(drag_area=area, diameter=d.diameter, tractor=np.where(pod.behind, 0.0, 1.0))
    chord = 2.073 * d.area_ratio * d.diameter / d.blades
    return drive.DriveInputs(
        diameter=d.diameter, pitch_ratio=d.pitch / d.diameter, area_ratio=d.area_ratio, blades=d.blades,
        thickness_ratio=np.clip(0.43 * d.root_thickness / chord, 0.02, 0.4), roughness=blade_roughness(d.finish),
        density=water.density, kinematic_viscosity=water.kinematic_viscosity, speed_constant=d.speed_constant,
        motor_resistance=d.resistance, idle_current=d.idle_current, idle_slope=d.idle_slope,
        open_voltage=supply.supply.open_voltage, supply_resistance=supply.supply.resistance,
        scale_effect=np.ones(craft.designs), relative_rotative=craft.factors.propeller_efficiency,
        wake=interaction.wake, thrust_deduction=interaction.thrust_deduction,
        gear_ratio=d.gear_ratio, gear_efficiency=d.gear_efficiency, magnet_coefficient=np.full(craft.designs, MAGNET),
        controller_resistance=d.path_resistance, standby_power=d.standby,
        wire_resistance=2.0 * RESISTIVITY * d.phase_length / d.phase_area,
    )  # fmt: skip


def blade_roughness(finishes: tuple[str, ...]) -> Array:
    """Return the roughness of blades by finish [m]."""
    heights = table("propeller/finish")
    rows = {name: k for k, name in enumerate(heights.texts["finish"])}
    return heights.columns["roughness"][[rows[name] for name in finishes]]
