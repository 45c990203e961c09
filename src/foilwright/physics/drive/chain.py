"""The equations of the drive from water to supply, and the shaft speeds that satisfy them.

Inside this file speeds of revolution are in revolutions a second and the speed of the water is over
the propeller's diameter, so that their ratio is the advance ratio.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.physics.drive.inputs import DriveInputs
from foilwright.physics.drive.motor import hot_resistance, magnet_factor
from foilwright.physics.propeller.correction import (
    SERIES_REYNOLDS,
    SMOOTHEST,
    chord_ratio,
    rough_friction,
    series_thickness,
    smooth_friction,
)
from foilwright.physics.propeller.series import (
    collapse,
    collapse_ducted,
    horner,
    zero_thrust_advance,
)

Flag = npt.NDArray[np.bool_]
TINY = 1e-9
BEYOND = 1.05
"""How far past zero thrust the polynomials are read, over the advance ratio there [-]."""


class Electric(NamedTuple):
    """Currents [A], voltages [V], duty [-], and the discriminant of the supply over its voltage squared."""

    motor_current: Array
    motor_voltage: Array
    pack_voltage: Array
    pack_current: Array
    duty: Array
    slack: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """Constants of the drive's equations, made once from the inputs."""

    thrust_series: Array
    torque_series: Array
    end: Array
    thrust_scale: Array
    torque_scale: Array
    inflow: Array
    reynolds_scale: Array
    rough: Array
    drag_form: Array
    drag_tested: Array
    thrust_drag: Array
    torque_drag: Array
    turn: Array
    gear_efficiency: Array
    drag_torque: Array
    voltage_constant: Array
    current_per_torque: Array
    idle_current: Array
    idle_slope: Array
    winding: Array
    controller: Array
    wires: Array
    standby: Array
    switching: Array
    open_voltage: Array
    supply: Array

    def over(self, ndim: int) -> Chain:
        """Return the same constants with trailing axes added, so that they broadcast over ``ndim`` axes."""
        wide = {}
        for item in fields(self):
            value = getattr(self, item.name)
            kept = value.shape[-1:] if item.name.endswith("series") else ()
            lead = value.shape[: value.ndim - len(kept)]
            wide[item.name] = value.reshape(lead + (1,) * (ndim - len(lead)) + kept)
        return Chain(**wide)

    def part(self, designs: slice) -> Chain:
        """Return the constants of some of the designs."""
        few = {}
        for item in fields(self):
            value = getattr(self, item.name)
            few[item.name] = value[designs] if value.ndim and value.shape[0] > 1 else value
        return Chain(**few)


def prepare(x: DriveInputs) -> Chain:
    """Return the constants of the drive's equations."""
    x = _levelled(x)
    thrust, torque = _series(x)
    area = x.diameter * x.diameter
    chord = chord_ratio(x.area_ratio, x.blades)
    friction = 2.0 * (1.0 + 2.0 * series_thickness(chord, x.blades))
    solidity = chord * x.blades * x.scale_effect
    voltage = magnet_factor(coefficient=x.magnet_coefficient, temperature=x.magnet_temperature)
    voltage_constant = np.asarray(voltage) / x.speed_constant
    torque_kept = x.immersion**0.85
    constants = {
        "thrust_series": thrust,
        "torque_series": torque,
        "end": zero_thrust_advance(coefficients=thrust),
        "thrust_scale": x.density * area * area * (1.0 - x.thrust_deduction) * x.immersion,
        "torque_scale": x.density * area * area * x.diameter / x.relative_rotative * torque_kept,
        "inflow": (1.0 - x.wake) / x.diameter,
        "reynolds_scale": chord * area / x.kinematic_viscosity,
        "rough": rough_friction(chord * x.diameter / np.maximum(x.roughness, SMOOTHEST)),
        "drag_form": 2.0 * (1.0 + 2.0 * x.thickness_ratio),
        "drag_tested": friction * smooth_friction(np.asarray(SERIES_REYNOLDS)),
        "thrust_drag": 0.30 * solidity * x.pitch_ratio,
        "torque_drag": 0.25 * solidity,
        "turn": 2.0 * np.pi * x.gear_ratio,
        "gear_efficiency": x.gear_efficiency,
        "drag_torque": x.drag_torque,
        "voltage_constant": voltage_constant,
        "current_per_torque": 1.0 / (x.gear_ratio * x.gear_efficiency * voltage_constant),
        "idle_current": x.idle_current,
        "idle_slope": x.idle_slope,
        "winding": hot_resistance(resistance=x.motor_resistance, temperature=x.winding_temperature),
        "controller": x.controller_resistance,
        "wires": x.wire_resistance,
        "standby": x.standby_power,
        "switching": x.switching_share,
        "open_voltage": x.open_voltage,
        "supply": x.supply_resistance,
    }
    return Chain(**{name: np.array(value, dtype=np.float64) for name, value in constants.items()})


def _levelled(x: DriveInputs) -> DriveInputs:
    """Give fields (n,) a second axis where another field changes along the speeds."""
    values = {item.name: np.asarray(getattr(x, item.name), dtype=np.float64) for item in fields(x)}
    if max(value.ndim for value in values.values()) > 1:
        values = {name: v[:, None] if v.ndim == 1 else v for name, v in values.items()}
    return DriveInputs(**values)


def _series(x: DriveInputs) -> tuple[Array, Array]:
    """Return thrust (n, 4) and torque (n, 4 or 5) coefficients of the series of each design."""
    fitted = collapse(pitch_ratio=x.pitch_ratio, area_ratio=x.area_ratio, blades=x.blades)
    thrust, torque = fitted.thrust, fitted.torque
    inside = x.ducted > 0.5
    if inside.any():
        nozzle = collapse_ducted(pitch_ratio=x.pitch_ratio)
        longer = np.concatenate((torque, np.zeros_like(torque[..., :1])), axis=-1)
        thrust = np.where(inside[..., None], nozzle.thrust, thrust)
        torque = np.where(inside[..., None], nozzle.torque, longer)
    return thrust, torque


def drag(c: Chain, water: Array, turns: Array) -> Array | None:
    """Return the blade drag beyond that of the tested series [-]; nothing where no design asks for it."""
    if not c.torque_drag.any():
        return None
    tip = 0.75 * np.pi * turns
    reynolds = c.reynolds_scale * np.sqrt(water * water + tip * tip)
    out: Array = c.drag_form * np.maximum(smooth_friction(reynolds), c.rough) - c.drag_tested
    return out


def loads(c: Chain, water: Array, turns: Array) -> tuple[Array, Array]:
    """Return effective thrust [N] and torque [N m] of the propeller."""
    turns = np.maximum(turns, TINY)
    advance = np.minimum(water / turns, BEYOND * c.end)
    thrust, torque = horner(advance, c.thrust_series), horner(advance, c.torque_series)
    extra = drag(c, water, turns)
    if extra is not None:
        thrust = thrust - c.thrust_drag * extra
        torque = torque + c.torque_drag * extra
    square = turns * turns
    return (
        c.thrust_scale * square * np.maximum(thrust, 0.0),
        c.torque_scale * square * np.maximum(torque, 0.0),
    )


def electric(c: Chain, turns: Array, torque: Array) -> Electric:
    """Return currents and voltages from the motor to the supply; the supply's upper voltage is taken.

    Where the supply cannot feed the power, ``slack`` is negative and its voltage is half of what it
    shows at rest.
    """
    speed = c.turn * turns
    current = c.idle_current + c.idle_slope * speed + (torque + c.drag_torque) * c.current_per_torque
    voltage = c.voltage_constant * speed + current * (c.winding + c.controller + c.wires)
    load = voltage * current + c.standby
    driving = c.open_voltage - c.supply * c.switching * current
    slack = driving * driving - 4.0 * c.supply * load
    pack = np.maximum(0.5 * (driving + np.sqrt(np.maximum(slack, 0.0))), TINY)
    return Electric(current, voltage, pack, load / pack + c.switching * current, voltage / pack, slack)


def turns_for_thrust(c: Chain, water: Array, thrust: Array, within: float) -> Array:
    """Return the revolutions a second that give an effective thrust, by Newton's method.

    The thrust rises with the revolutions ever more steeply, so that the iteration comes from above.
    """
    wanted = thrust / c.thrust_scale
    least = np.maximum(water / (BEYOND * c.end), TINY)
    slip = water / c.end
    turns = 0.5 * (slip + np.sqrt(slip * slip + 4.0 * wanted / c.thrust_series[..., 0]))
    turns = np.maximum(turns, least)
    slope = c.thrust_series[..., 1:] * np.arange(1.0, c.thrust_series.shape[-1])
    for _ in range(20):
        advance = water / turns
        coefficient = horner(advance, c.thrust_series)
        extra = drag(c, water, turns)
        if extra is not None:
            coefficient = coefficient - c.thrust_drag * extra
        rise = 2.0 * turns * coefficient - water * horner(advance, slope)
        step = (turns * turns * coefficient - wanted) / np.maximum(rise, TINY)
        turns = np.maximum(turns - step, least)
        if np.all(np.abs(step) <= within * turns + TINY):
            break
    return turns


def _rising(c: Chain, water: Array, turns: Array) -> tuple[Array, Array, Array, Array]:
    """Return motor current and voltage and their growth with the revolutions a second."""
    ratio = water / turns
    advance = np.minimum(ratio, BEYOND * c.end)
    slope = c.torque_series[..., 1:] * np.arange(1.0, c.torque_series.shape[-1])
    coefficient = horner(advance, c.torque_series)
    extra = drag(c, water, turns)
    if extra is not None:
        coefficient = coefficient + c.torque_drag * extra
    coefficient = np.maximum(coefficient, 0.0)
    falling = water * horner(advance, slope) * (ratio <= advance)
    speed = c.turn * turns
    torque = c.torque_scale * turns * turns * coefficient + c.drag_torque
    current = c.idle_current + c.idle_slope * speed + torque * c.current_per_torque
    current_rise = c.idle_slope * c.turn + c.current_per_torque * c.torque_scale * (2.0 * turns * coefficient - falling)
    path = c.winding + c.controller + c.wires
    voltage = c.voltage_constant * speed + current * path
    return current, voltage, current_rise, c.voltage_constant * c.turn + current_rise * path


def turns_for_duty(c: Chain, water: Array, duty: Array, within: float) -> Array:
    """Return the revolutions a second at a duty of the controller, by Newton's method.

    With the duty given, the supply's voltage is the motor's over the duty; its sag must agree.
    """
    free = np.maximum(duty * c.open_voltage / (c.voltage_constant * c.turn), TINY)
    coefficient = horner(np.minimum(water / free, c.end), c.torque_series)
    path = (c.winding + c.controller + c.wires) / duty + c.supply * (duty + c.switching)
    bend = c.torque_scale * np.maximum(coefficient, 0.0) * c.current_per_torque * path
    back = c.voltage_constant * c.turn / duty
    turns = 2.0 * c.open_voltage / (back + np.sqrt(back * back + 4.0 * bend * c.open_voltage))
    turns = np.maximum(turns, TINY)
    for _ in range(30):
        current, voltage, current_rise, voltage_rise = _rising(c, water, turns)
        voltage = np.maximum(voltage, TINY)
        idle = duty * c.standby / voltage
        sag = c.supply * ((duty + c.switching) * current + idle)
        rise = voltage_rise / duty + c.supply * ((duty + c.switching) * current_rise - idle * voltage_rise / voltage)
        step = (voltage / duty + sag - c.open_voltage) / np.maximum(rise, TINY)
        turns = np.maximum(turns - step, 0.1 * turns + TINY)
        if np.all(np.abs(step) <= within * turns + TINY):
            break
    return turns


def turns_at_collapse(c: Chain, water: Array, turns: Array, within: float) -> Array:
    """Return the revolutions a second at which the supply gives the most power it can."""
    for _ in range(30):
        current, voltage, current_rise, voltage_rise = _rising(c, water, turns)
        driving = c.open_voltage - c.supply * c.switching * current
        short = 4.0 * c.supply * (voltage * current + c.standby) - driving * driving
        rise = 4.0 * c.supply * (voltage_rise * current + voltage * current_rise)
        rise = rise + 2.0 * driving * c.supply * c.switching * current_rise
        step = short / np.maximum(rise, TINY)
        turns = np.maximum(turns - step, 0.1 * turns + TINY)
        if np.all(np.abs(step) <= within * turns + TINY):
            break
    return turns


def top_turns(c: Chain, water: Array, within: float) -> Array:
    """Return the most revolutions a second that full duty and the supply allow."""
    turns = turns_for_duty(c, water, np.asarray(1.0), within)
    current, voltage, _, _ = _rising(c, water, turns)
    weak = voltage < 0.5 * (c.open_voltage - c.supply * c.switching * current)
    if weak.any():
        turns = np.where(weak, turns_at_collapse(c, water, turns, within), turns)
    return turns
