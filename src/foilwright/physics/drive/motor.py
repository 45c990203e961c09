"""The motor and its reduction: constants, heat, limits of current, field and speed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model

ROOM = 293.15
"""Temperature at which cold constants are stated [K]."""
COPPER_ZERO = 234.5
"""Inferred absolute zero of copper resistance below 0 degC [K]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorPoint:
    """Shaft speed [rad/s], torque [N m], power [W] and efficiency [-] of a motor."""

    shaft_speed: Array
    torque: Array
    power: Array
    efficiency: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueConstant:
    """Torque per ampere: DC-equivalent (six-step), phase peak, phase rms [N m/A]."""

    direct: Array
    phase_peak: Array
    phase_rms: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldVoltage:
    """Voltages that a field-oriented controller must apply [V] and the torque [N m]."""

    quadrature: Array
    direct: Array
    supply: Array
    torque: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Planetary:
    """Reduction and efficiency of a planetary stage [-], and whether its planets can be fitted."""

    ratio: Array
    efficiency: Array
    assembles: Array


@model(source="DC-equivalent motor of three constants (Drela, MIT, first-order motor model)")
def motor_point(
    *, speed_constant: Array, resistance: Array, idle_current: Array, voltage: Array, current: Array
) -> MotorPoint:
    r"""Return what a motor does at a voltage and a current.

    Parameters
    ----------
    speed_constant : (...,) array
        Unloaded speed per volt [rad/s/V].
    resistance : (...,) array
        Line to line [ohm].
    idle_current : (...,) array
        Current without load at this speed [A].
    voltage, current : (...,) arrays
        DC equivalent at the motor's terminals [V], [A].

    Returns
    -------
    MotorPoint
        Speed [rad/s], torque [N m], power [W], efficiency [-]; 0 efficiency without input.

    Notes
    -----
    .. math:: \omega = K (U - I R), \quad Q = (I - I_0)/K
    """
    speed = speed_constant * (voltage - np.asarray(current) * resistance)
    torque = (np.asarray(current) - idle_current) / speed_constant
    power = speed * torque
    taken = np.asarray(voltage * np.asarray(current), dtype=np.float64)
    efficiency = np.where(taken > 0.0, power / np.where(taken > 0.0, taken, 1.0), 0.0)
    return MotorPoint(
        shaft_speed=np.asarray(speed),
        torque=np.asarray(torque),
        power=np.asarray(power),
        efficiency=efficiency,
    )


@model(source="Drela, MIT, first-order motor model: maximum of the efficiency over the current")
def peak_efficiency(*, voltage: Array, resistance: Array, idle_current: Array) -> Array:
    r"""Return the best efficiency of a motor at a voltage.

    Parameters
    ----------
    voltage : (...,) array
        DC equivalent at the terminals [V].
    resistance : (...,) array
        Line to line [ohm].
    idle_current : (...,) array
        Current without load [A].

    Returns
    -------
    (...,) array
        Efficiency [-].

    Notes
    -----
    .. math:: \eta = (1 - \sqrt{I_0 R / U})^2
    """
    lost = 1.0 - np.sqrt(np.asarray(idle_current) * resistance / voltage)
    return np.asarray(lost * lost)


@model(source="sinusoidal machine: line-line peak constant against DC, phase peak and phase rms current")
def torque_constant(*, speed_constant: Array) -> TorqueConstant:
    r"""Return the three torque constants that belong to one speed constant.

    Parameters
    ----------
    speed_constant : (...,) array
        Unloaded speed per volt, line-line peak [rad/s/V].

    Returns
    -------
    TorqueConstant
        [N m/A].

    Notes
    -----
    .. math:: K_t = 1/K, \quad \tfrac{\sqrt 3}{2} K_t, \quad \sqrt{3/2}\, K_t
    """
    direct = 1.0 / np.asarray(speed_constant, dtype=np.float64)
    return TorqueConstant(direct=direct, phase_peak=0.5 * np.sqrt(3.0) * direct, phase_rms=np.sqrt(1.5) * direct)


@model(
    source="IEC 60034-1: copper resistance with temperature, constant 234.5",
    valid={"temperature": (223.15, 473.15, "winding temperature outside -50 to 200 degC")},
)
def hot_resistance(*, resistance: Array, temperature: Array) -> Array:
    r"""Return the resistance of a copper winding at a temperature.

    Parameters
    ----------
    resistance : (...,) array
        At 20 degC [ohm].
    temperature : (...,) array
        Of the winding [K].

    Returns
    -------
    (...,) array
        Resistance [ohm].

    Notes
    -----
    .. math:: R = R_{20} (234.5 + T) / 254.5, \quad T \text{ in degC}
    """
    return np.asarray(resistance * (1.0 + (temperature - ROOM) / (COPPER_ZERO + 20.0)))


@model(
    source="linear reversible loss of remanence of sintered magnets",
    valid={"temperature": (253.15, 473.15, "magnet temperature outside -20 to 200 degC")},
)
def magnet_factor(*, coefficient: Array, temperature: Array) -> Array:
    """Return what is left of the magnets' field, and so of the voltage constant.

    Parameters
    ----------
    coefficient : (...,) array
        Change of remanence per kelvin, about -0.0012 [1/K].
    temperature : (...,) array
        Of the magnets [K].

    Returns
    -------
    (...,) array
        Field over the field at 20 degC [-].
    """
    return np.asarray(1.0 + coefficient * (temperature - ROOM))


@model(
    source="linear loss of intrinsic coercivity of sintered magnets",
    valid={"temperature": (253.15, 473.15, "magnet temperature outside -20 to 200 degC")},
)
def coercivity(*, coercivity_cold: Array, coefficient: Array, temperature: Array) -> Array:
    """Return the intrinsic coercivity of a magnet at a temperature.

    Parameters
    ----------
    coercivity_cold : (...,) array
        At 20 degC [A/m].
    coefficient : (...,) array
        Change per kelvin, about -0.0076 for the plain class [1/K].
    temperature : (...,) array
        Of the magnet [K].

    Returns
    -------
    (...,) array
        Intrinsic coercivity [A/m].
    """
    return np.asarray(coercivity_cold * (1.0 + coefficient * (temperature - ROOM)))


@model(source="steady heat balance of the winding through one thermal resistance")
def continuous_current(
    *,
    temperature_limit: Array,
    coolant_temperature: Array,
    thermal_resistance: Array,
    resistance: Array,
    iron_loss: Array,
) -> Array:
    r"""Return the DC-equivalent motor current that holds the winding at its limit for good.

    Parameters
    ----------
    temperature_limit : (...,) array
        Of the winding [K].
    coolant_temperature : (...,) array
        Of the water [K].
    thermal_resistance : (...,) array
        Winding to water: 0.2 to 0.6 in a wetted can, 1 to 2 in an air-filled pod [K/W].
    resistance : (...,) array
        Line to line at 20 degC [ohm].
    iron_loss : (...,) array
        Other heat that takes the same path [W].

    Returns
    -------
    (...,) array
        Current; 0 where the iron loss alone passes the limit [A].

    Notes
    -----
    .. math:: I = \sqrt{((T_{max} - T_w)/R_{th} - P_{Fe}) / R(T_{max})}
    """
    hot = resistance * (1.0 + (temperature_limit - ROOM) / (COPPER_ZERO + 20.0))
    heat = (temperature_limit - coolant_temperature) / thermal_resistance - iron_loss
    return np.asarray(np.sqrt(np.maximum(heat, 0.0) / hot))


@model(source="synchronous machine in rotor axes, isotropic, no field weakening; space-vector limit")
def field_voltage(
    *,
    speed_constant: Array,
    pole_pairs: Array,
    inductance: Array,
    resistance: Array,
    phase_current: Array,
    shaft_speed: Array,
) -> FieldVoltage:
    r"""Return the voltages of a field-oriented controller and the supply that they need.

    Parameters
    ----------
    speed_constant : (...,) array
        Unloaded speed per volt, line-line peak [rad/s/V].
    pole_pairs : (...,) array
        Number of pole pairs [-].
    inductance : (...,) array
        Of a phase [H].
    resistance : (...,) array
        Line to line [ohm].
    phase_current : (...,) array
        Peak, all on the torque axis [A].
    shaft_speed : (...,) array
        Of the motor [rad/s].

    Returns
    -------
    FieldVoltage
        Quadrature and direct axis, least supply [V]; electromagnetic torque [N m].

    Notes
    -----
    .. math:: v_q = \tfrac R2 I + \omega_e \lambda, \quad v_d = -\omega_e L I, \quad
        U \ge \sqrt{3 (v_q^2 + v_d^2)}, \quad \lambda = 1/(\sqrt3\, p K)
    """
    linkage = 1.0 / (np.sqrt(3.0) * np.asarray(pole_pairs) * speed_constant)
    electrical = pole_pairs * np.asarray(shaft_speed)
    quadrature = 0.5 * resistance * np.asarray(phase_current) + electrical * linkage
    direct = -electrical * inductance * phase_current
    return FieldVoltage(
        quadrature=np.asarray(quadrature),
        direct=np.asarray(direct),
        supply=np.asarray(np.sqrt(3.0 * (quadrature * quadrature + direct * direct))),
        torque=np.asarray(1.5 * pole_pairs * linkage * phase_current),
    )


@model(source="definition: electrical revolutions are shaft revolutions times pole pairs")
def electrical_speed(*, shaft_speed: Array, gear_ratio: Array, pole_pairs: Array) -> Array:
    """Return the electrical angular speed that the controller must follow.

    Parameters
    ----------
    shaft_speed : (...,) array
        Of the propeller [rad/s].
    gear_ratio : (...,) array
        Motor speed over propeller speed [-].
    pole_pairs : (...,) array
        Number of pole pairs [-].

    Returns
    -------
    (...,) array
        Electrical angular speed [rad/s].
    """
    return np.asarray(np.asarray(shaft_speed) * gear_ratio * pole_pairs)


@model(source="planetary stage with fixed ring: Mueller, Epicyclic Drive Trains (1982)")
def planetary(*, sun_teeth: Array, ring_teeth: Array, planets: Array, mesh_efficiency: Array) -> Planetary:
    r"""Return reduction and efficiency of a planetary stage driven at the sun.

    Parameters
    ----------
    sun_teeth, ring_teeth : (...,) arrays
        Numbers of teeth [-].
    planets : (...,) array
        Number of planets [-].
    mesh_efficiency : (...,) array
        Product of both meshes' efficiencies with the carrier held [-].

    Returns
    -------
    Planetary
        Ratio, efficiency, and 1 where the planets can be spaced evenly [-].

    Notes
    -----
    .. math:: G = 1 + z_r/z_s, \quad \eta = 1 - (1 - \eta_b)(G - 1)/G
    """
    ratio = 1.0 + np.asarray(ring_teeth, dtype=np.float64) / sun_teeth
    return Planetary(
        ratio=ratio,
        efficiency=np.asarray(1.0 - (1.0 - mesh_efficiency) * (ratio - 1.0) / ratio),
        assembles=np.where(np.mod(np.asarray(sun_teeth) + ring_teeth, planets) == 0.0, 1.0, 0.0),
    )
