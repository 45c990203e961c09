"""What the drive is made of, one value a design."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from foilwright.core.model import Array


def _none() -> Array:
    return np.zeros(())


def _whole() -> Array:
    return np.ones(())


def _room() -> Array:
    return np.asarray(293.15)


@dataclass(frozen=True, slots=True, kw_only=True)
class DriveInputs:
    """Propeller, water, gear, motor, controller and supply; each field (n,), or (n, V) on a speed grid.

    Fields with a default are neutral when left out: they then add no loss.

    Parameters
    ----------
    diameter : of the propeller [m].
    pitch_ratio : pitch over diameter [-].
    area_ratio : expanded blade area over disc area [-].
    blades : number of blades [-].
    thickness_ratio : thickness over chord of the blade at 0.75 radius as made [-].
    roughness : height of the blade's surface roughness [m].
    scale_effect : share of the blade drag correction applied; 0 leaves the series as tested [-].
    ducted : 1 for the Ka 4-70 screw in nozzle 19A instead of the B-series [-].
    relative_rotative : torque in open water over torque behind the pod, at equal thrust [-].
    wake : wake fraction [-].
    thrust_deduction : thrust deduction fraction [-].
    immersion : share of its thrust that the propeller keeps near the surface [-].
    density : of the water [kg/m^3].
    kinematic_viscosity : of the water [m^2/s].
    gear_ratio : motor speed over propeller speed [-].
    gear_efficiency : of the reduction under load [-].
    drag_torque : of seals and bearings, at the propeller shaft [N m].
    speed_constant : unloaded motor speed per volt at 20 degC, line-line peak [rad/s/V].
    motor_resistance : line to line at 20 degC [ohm].
    idle_current : unloaded current extrapolated to standstill [A].
    idle_slope : its growth with motor speed [A s/rad].
    winding_temperature : of the copper [K].
    magnet_temperature : of the magnets [K].
    magnet_coefficient : change of the magnets' field per kelvin [1/K].
    controller_resistance : DC equivalent of the conducting transistors, twice one channel [ohm].
    switching_share : switching loss over pack voltage times motor current [-].
    standby_power : of the controller's electronics [W].
    wire_resistance : of the motor's leads, line to line [ohm].
    open_voltage : of the supply at rest [V].
    supply_resistance : of the supply up to the controller [ohm].
    """

    diameter: Array
    pitch_ratio: Array
    area_ratio: Array
    blades: Array
    thickness_ratio: Array
    roughness: Array
    density: Array
    kinematic_viscosity: Array
    speed_constant: Array
    motor_resistance: Array
    idle_current: Array
    open_voltage: Array
    supply_resistance: Array
    scale_effect: Array = field(default_factory=_none)
    ducted: Array = field(default_factory=_none)
    relative_rotative: Array = field(default_factory=_whole)
    wake: Array = field(default_factory=_none)
    thrust_deduction: Array = field(default_factory=_none)
    immersion: Array = field(default_factory=_whole)
    gear_ratio: Array = field(default_factory=_whole)
    gear_efficiency: Array = field(default_factory=_whole)
    drag_torque: Array = field(default_factory=_none)
    idle_slope: Array = field(default_factory=_none)
    winding_temperature: Array = field(default_factory=_room)
    magnet_temperature: Array = field(default_factory=_room)
    magnet_coefficient: Array = field(default_factory=_none)
    controller_resistance: Array = field(default_factory=_none)
    switching_share: Array = field(default_factory=_none)
    standby_power: Array = field(default_factory=_none)
    wire_resistance: Array = field(default_factory=_none)
