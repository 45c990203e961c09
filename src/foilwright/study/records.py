"""Adapters for models whose input is a record that a cell of a row cannot write.

Each stands under the model's own name: it makes the record from plain inputs and calls the model.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from foilwright.core import solve
from foilwright.core.model import Array
from foilwright.physics import drive, section

NO_LIMIT = np.array([np.inf])
WHOLE = np.ones(1)
ZERO = np.zeros(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class OnMap:
    """What a map of the drive says at a thrust between its nodes."""

    torque: float  # N m
    pack_power: float  # W
    pack_voltage: float  # V


def drag_at(*, sections: Any, finishes: Any, lift_coefficient: Any, reynolds: Any) -> Array:
    """Return the profile drag of stated sections [-]."""
    tables = section.gather(sections=sections, finishes=finishes)
    return section.drag_at(tables=tables, lift_coefficient=lift_coefficient, reynolds=reynolds)


def pressure_at(*, sections: Any, lift_coefficient: Any) -> Array:
    """Return the least pressure coefficient of stated sections [-]."""
    tables = section.gather(sections=sections, finishes="polished")
    return section.pressure_at(tables=tables, lift_coefficient=lift_coefficient)


def characteristics_at(*, sections: Any, finishes: Any, reynolds: Any) -> section.Characteristics:
    """Return slope, angles and limits of stated sections."""
    return section.characteristics_at(
        tables=section.gather(sections=sections, finishes=finishes), reynolds=np.asarray(reynolds)
    )


def at(*, speed: Any, thrust: Any, **system: Any) -> drive.DrivePoint:
    """Return the operating point of a drive at a thrust [N] and speed [m/s]."""
    return drive.at(inputs=_inputs(system), speed=_one(speed), thrust=_one(thrust))


def at_duty(*, speed: Any, duty: Any, **system: Any) -> drive.DrivePoint:
    """Return the operating point of a drive at a duty and speed [m/s]."""
    return drive.at_duty(inputs=_inputs(system), speed=_one(speed), duty=_one(duty))


def at_thrust(*, speed: Any, thrust: Any, **system: Any) -> drive.DrivePoint:
    """Return the operating point that a map of the drive gives at a thrust [N] and speed [m/s]."""
    return drive.at_thrust(map=drive.map(inputs=_inputs(system), speed=_one(speed)), thrust=_one(thrust))


def full_throttle(
    *,
    speed: Any,
    duty_limit: Any = WHOLE,
    motor_current_limit: Any = NO_LIMIT,
    pack_current_limit: Any = NO_LIMIT,
    pack_voltage_least: Any = ZERO,
    **system: Any,
) -> drive.FullThrottle:
    """Return the most that a drive gives at a speed [m/s]."""
    return drive.full_throttle(
        map=drive.map(inputs=_inputs(system), speed=_one(speed)),
        duty_limit=_one(duty_limit),
        motor_current_limit=_one(motor_current_limit),
        pack_current_limit=_one(pack_current_limit),
        shaft_speed_limit=NO_LIMIT,
        pack_voltage_least=_one(pack_voltage_least),
    )


def on_map(*, speed: Any, thrust: Any, **system: Any) -> OnMap:
    """Return what the map of a drive says between its nodes at a thrust [N] and speed [m/s]."""
    made = drive.map(inputs=_inputs(system), speed=_one(speed))

    def read(values: Array) -> float:
        return float(solve.at(made.thrust[0], values[0], _one(thrust))[0])

    return OnMap(torque=read(made.torque), pack_power=read(made.pack_power), pack_voltage=read(made.pack_voltage))


def _one(value: Any) -> Array:
    return np.atleast_1d(np.asarray(value, dtype=np.float64))


def _inputs(system: dict[str, Any]) -> drive.DriveInputs:
    return drive.DriveInputs(**{name: _one(value) for name, value in system.items()})


RECORDS: dict[str, Callable[..., Any]] = {
    "section.drag_at": drag_at,
    "section.pressure_at": pressure_at,
    "section.characteristics_at": characteristics_at,
    "drive.at": at,
    "drive.at_duty": at_duty,
    "drive.at_thrust": at_thrust,
    "drive.full_throttle": full_throttle,
    "drive.map": on_map,
}
"""Name of the model to the function that asks it."""
