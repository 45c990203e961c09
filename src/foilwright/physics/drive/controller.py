"""Losses of the motor controller."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgeLoss:
    """Losses of a three-phase bridge [W]: conduction, switching, and both together with standby."""

    conduction: Array
    switching: Array
    total: Array


@model(source="three-phase bridge on sine currents: application notes on MOSFET losses")
def transistor_loss(
    *, phase_current: Array, channel_resistance: Array, modulation: Array, power_factor: Array
) -> Array:
    r"""Return the conduction loss of one transistor of a bridge whose diodes freewheel.

    Parameters
    ----------
    phase_current : (...,) array
        Peak [A].
    channel_resistance : (...,) array
        Of one transistor at its temperature [ohm].
    modulation : (...,) array
        Depth of modulation [-].
    power_factor : (...,) array
        Cosine of the phase angle [-].

    Returns
    -------
    (...,) array
        Loss [W].

    Notes
    -----
    .. math:: P = R I^2 (1/8 + m \cos\varphi / (3\pi))
    """
    share = 0.125 + np.asarray(modulation) * power_factor / (3.0 * np.pi)
    return np.asarray(channel_resistance * np.asarray(phase_current) ** 2 * share)


@model(source="linear switching ramps on three legs, mean of a sine current")
def switching_share(*, rise_time: Array, fall_time: Array, frequency: Array) -> Array:
    r"""Return switching loss over pack voltage times DC-equivalent motor current.

    Parameters
    ----------
    rise_time, fall_time : (...,) arrays
        Of the transistors' voltage [s].
    frequency : (...,) array
        Of the pulses [Hz].

    Returns
    -------
    (...,) array
        Share [-].

    Notes
    -----
    .. math:: 3 \cdot \tfrac12 \cdot \tfrac{2}{\pi} \cdot \tfrac{2}{\sqrt 3} (t_r + t_f) f
    """
    legs = 3.0 * 0.5 * (2.0 / np.pi) * (2.0 / np.sqrt(3.0))
    return np.asarray(legs * (np.asarray(rise_time) + fall_time) * frequency)


@model(source="field-oriented three-phase bridge with synchronous switching: 3 Irms^2 R = 2 Idc^2 R")
def controller_loss(
    *,
    motor_current: Array,
    pack_voltage: Array,
    channel_resistance: Array,
    switching_share: Array,
    standby_power: Array,
) -> BridgeLoss:
    r"""Return the losses of a controller; its heat for the question of cooling.

    Parameters
    ----------
    motor_current : (...,) array
        DC equivalent [A].
    pack_voltage : (...,) array
        At the controller [V].
    channel_resistance : (...,) array
        Of one transistor, warm (1.4 to 1.6 times the cold value at 100 degC) [ohm].
    switching_share : (...,) array
        Switching loss over pack voltage times motor current [-].
    standby_power : (...,) array
        Of the electronics [W].

    Returns
    -------
    BridgeLoss
        Losses [W].

    Notes
    -----
    .. math:: P = 2 I^2 R + s U I + P_0
    """
    current = np.asarray(motor_current, dtype=np.float64)
    conduction = 2.0 * current * current * channel_resistance
    switching = switching_share * pack_voltage * current
    return BridgeLoss(
        conduction=conduction,
        switching=np.asarray(switching),
        total=np.asarray(conduction + switching + standby_power),
    )
