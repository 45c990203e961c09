"""One operating point of the drive: by duty, or by the thrust that is asked for."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.errors import ModelError
from foilwright.core.model import Array, Mask, model
from foilwright.physics.drive import chain as ch
from foilwright.physics.drive.chain import Chain, Flag
from foilwright.physics.drive.inputs import DriveInputs
from foilwright.physics.propeller.correction import TURBULENT_REYNOLDS
from foilwright.physics.propeller.series import SERIES_LIMITS, area_beyond

SOURCE = (
    "Oosterveld and van Oossanen 1975 (propeller), ITTC 1978 (blade drag), DC-equivalent motor "
    "of three constants (Drela, MIT), Thevenin supply"
)
LIMITS: dict[str, tuple[float, float, str]] = {
    **SERIES_LIMITS,
    "advance_share": (0.0, 1.0, "the water drives the propeller: not modelled, thrust taken as zero"),
    "reynolds": (
        TURBULENT_REYNOLDS,
        1e9,
        "the blade's boundary layer is partly laminar and may separate",
    ),
}
DECIDES = ("blades", "pitch_ratio")
EXACT = 1e-10


@dataclass(frozen=True, slots=True, kw_only=True)
class DrivePoint:
    """A steady operating point; every array has the shape of the speed.

    ``thrust`` is what is left after the thrust deduction [N]; ``shaft_speed`` [rad/s] and ``torque``
    [N m] are the propeller's; ``motor_voltage`` is at the controller's output, with leads and
    transistors [V]; ``duty`` [-]; powers and losses [W], currents [A].
    ``useful_power`` + ``loss_propeller`` + ... + ``loss_wires`` = ``pack_power``;
    ``loss_propeller`` contains the pod's influence, ``loss_gear`` seals and bearings.
    ``found`` is False where no such point exists; the numbers beside it are then no answer.
    """

    speed: Array
    shaft_speed: Array
    thrust: Array
    torque: Array
    motor_current: Array
    motor_voltage: Array
    duty: Array
    pack_power: Array
    pack_voltage: Array
    pack_current: Array
    useful_power: Array
    shaft_power: Array
    loss_propeller: Array
    loss_gear: Array
    loss_copper: Array
    loss_iron: Array
    loss_controller: Array
    loss_wires: Array
    advance: Array
    found: Flag
    outside: Mask

    @property
    def efficiency(self) -> Array:
        """Useful power over pack power [-]."""
        return np.asarray(self.useful_power / np.maximum(self.pack_power, ch.TINY))

    @property
    def propeller_efficiency(self) -> Array:
        """Useful power over shaft power [-]."""
        return np.asarray(self.useful_power / np.maximum(self.shaft_power, ch.TINY))

    @property
    def gear_efficiency(self) -> Array:
        """Shaft power over the motor's output [-]."""
        return np.asarray(self.shaft_power / np.maximum(self.shaft_power + self.loss_gear, ch.TINY))

    @property
    def motor_efficiency(self) -> Array:
        """The motor's output over its input [-]."""
        out = self.shaft_power + self.loss_gear
        return np.asarray(out / np.maximum(out + self.loss_copper + self.loss_iron, ch.TINY))

    @property
    def controller_efficiency(self) -> Array:
        """Power to the motor's leads over pack power [-]."""
        return np.asarray(1.0 - self.loss_controller / np.maximum(self.pack_power, ch.TINY))


def propeller_mask(inputs: DriveInputs) -> Mask:
    """Return the mask of the propeller's geometry against its series."""
    inside = np.asarray(inputs.ducted) > 0.5
    beyond = area_beyond(area_ratio=inputs.area_ratio, blades=inputs.blades)
    return at.mask(
        blades=inputs.blades,
        pitch_ratio=inputs.pitch_ratio,
        area_beyond=np.where(inside, 0.0, beyond),
    )


def state_mask(c: Chain, water: Array, turns: Array, thrust: Array) -> Mask:
    """Return the mask of an operating point: driven by the water, or laminar blades."""
    tip = 0.75 * np.pi * turns
    turning = c.reynolds_scale * np.sqrt(water * water + tip * tip)
    corrected = np.where(c.torque_drag > 0.0, turning, TURBULENT_REYNOLDS)
    ratio = water / np.maximum(turns * c.end, ch.TINY)
    share = np.where(thrust > 0.0, 0.0, ratio * (1.0 - 1e-9))
    return at.mask(advance_share=share, reynolds=np.where(thrust > 0.0, corrected, TURBULENT_REYNOLDS))


def evaluate(c: Chain, speed: Array, turns: Array, found: Flag, geometry: Mask) -> DrivePoint:
    """Return everything about the operating points at given revolutions a second.

    ``c`` must already broadcast over the axes of ``speed``.
    """
    water = speed * c.inflow
    thrust, torque = ch.loads(c, water, turns)
    e = ch.electric(c, turns, torque)
    shaft_speed = 2.0 * np.pi * turns
    shaft_power = torque * shaft_speed
    useful = thrust * speed
    square = e.motor_current * e.motor_current
    friction = (torque + c.drag_torque) * shaft_speed / c.gear_efficiency
    idle = (c.idle_current + c.idle_slope * c.turn * turns) * c.voltage_constant * c.turn * turns
    switching = c.switching * e.pack_voltage * e.motor_current
    return DrivePoint(
        speed=speed,
        shaft_speed=shaft_speed,
        thrust=thrust,
        torque=torque,
        motor_current=e.motor_current,
        motor_voltage=e.motor_voltage,
        duty=e.duty,
        pack_power=e.pack_voltage * e.pack_current,
        pack_voltage=e.pack_voltage,
        pack_current=e.pack_current,
        useful_power=useful,
        shaft_power=shaft_power,
        loss_propeller=shaft_power - useful,
        loss_gear=friction - shaft_power,
        loss_copper=square * c.winding,
        loss_iron=idle,
        loss_controller=square * c.controller + switching + c.standby,
        loss_wires=square * c.wires,
        advance=water / np.maximum(turns, ch.TINY),
        found=np.asarray(found & (e.slack >= -1e-9 * e.pack_voltage * e.pack_voltage)),
        outside=np.asarray(state_mask(c, water, turns, thrust) | _trailing(geometry, np.ndim(turns))),
    )


def _trailing(mask: Mask, ndim: int) -> Mask:
    return mask.reshape(mask.shape + (1,) * (ndim - mask.ndim))


def solve_thrust(c: Chain, speed: Array, thrust: Array, geometry: Mask) -> DrivePoint:
    """Return the operating points that give a thrust; ``c`` broadcasts over the axes of ``speed``."""
    water = speed * c.inflow
    turns = ch.turns_for_thrust(c, water, np.maximum(thrust, 0.0), EXACT)
    point = evaluate(c, speed, turns, np.asarray(thrust >= 0.0), geometry)
    within = point.duty <= 1.0 + 1e-9
    return _with_found(point, np.asarray(point.found & within))


def _with_found(point: DrivePoint, found: Flag) -> DrivePoint:
    values = {name: getattr(point, name) for name in DrivePoint.__slots__}
    return DrivePoint(**{**values, "found": found})


@model(source=SOURCE, valid=LIMITS, decides=DECIDES)
def at(*, inputs: DriveInputs, speed: Array, thrust: Array) -> DrivePoint:
    """Return the operating point that gives a thrust at a speed.

    Parameters
    ----------
    inputs : DriveInputs
        Fields (n,), or of the shape of ``speed`` [SI, see the class].
    speed : (n, ...) array
        Of the craft through the water [m/s].
    thrust : (n, ...) array
        Effective thrust asked for, zero or more [N].

    Returns
    -------
    DrivePoint
        Of the shape of ``speed`` [SI, see the class]; not ``found`` where the duty would pass 1 or
        the supply collapses.
    """
    speed, thrust = np.broadcast_arrays(np.asarray(speed, dtype=np.float64), np.asarray(thrust, dtype=np.float64))
    ndim = max(speed.ndim, np.ndim(inputs.diameter))
    return solve_thrust(ch.prepare(inputs).over(ndim), speed, thrust, propeller_mask(inputs))


@model(source=SOURCE, valid=LIMITS, decides=DECIDES)
def at_duty(*, inputs: DriveInputs, speed: Array, duty: Array) -> DrivePoint:
    """Return the operating point at a duty of the controller.

    Parameters
    ----------
    inputs : DriveInputs
        Fields (n,), or of the shape of ``speed`` [SI, see the class].
    speed : (n, ...) array
        Of the craft through the water [m/s].
    duty : (n, ...) array
        Motor voltage over pack voltage, above 0 up to 1 [-].

    Returns
    -------
    DrivePoint
        Of the shape of ``speed`` [SI, see the class]; not ``found`` where the motor does not start
        or the supply would sag below half its voltage.
    """
    speed, duty = np.broadcast_arrays(np.asarray(speed, dtype=np.float64), np.asarray(duty, dtype=np.float64))
    ndim = max(speed.ndim, np.ndim(inputs.diameter))
    c = ch.prepare(inputs).over(ndim)
    turns = ch.turns_for_duty(c, speed * c.inflow, duty, EXACT)
    point = evaluate(c, speed, turns, np.ones(np.shape(turns), dtype=np.bool_), propeller_mask(inputs))
    return _with_found(point, np.asarray(point.found & (np.abs(point.duty - duty) <= 1e-6)))


@model(source=SOURCE, valid=LIMITS, decides=DECIDES)
def operating_point(
    *, speed: Array, duty: Array | None = None, thrust: Array | None = None, **system: Array
) -> DrivePoint:
    """Return the steady operating point at a duty, or at a thrust: one of the two is given.

    Parameters
    ----------
    speed : (n, ...) array
        Of the craft through the water [m/s].
    duty : (n, ...) array, optional
        Motor voltage over pack voltage, above 0 up to 1 [-].
    thrust : (n, ...) array, optional
        Effective thrust asked for [N].
    **system : (n,) arrays
        The fields of :class:`DriveInputs` [SI, see the class].

    Returns
    -------
    DrivePoint
        Of the shape of ``speed``, SI units [see the class].
    """
    inputs = DriveInputs(**system)
    if duty is not None and thrust is None:
        return at_duty(inputs=inputs, speed=speed, duty=duty)
    if thrust is not None and duty is None:
        return at(inputs=inputs, speed=speed, thrust=thrust)
    raise ModelError("an operating point is given by a duty or by a thrust, one of the two")
