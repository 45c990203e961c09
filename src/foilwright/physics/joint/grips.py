"""What is held by friction, by a pin through hub and shaft, and on a seat: motor clamp, hub and wing seats."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model


@dataclass(frozen=True, slots=True, kw_only=True)
class PinnedHub:
    """A hub on a shaft with a pin through both, under torque; arrays (n,)."""

    pin_shear: Array
    """pin_shear, shear in the pin [Pa]."""
    hub_pressure: Array
    """hub_pressure of the pin on the wall of the hub [Pa]."""
    shaft_pressure: Array
    """shaft_pressure, greatest, of the pin on the shaft [Pa]."""
    hub_shear: Array
    """hub_shear of torsion at the outside of the hub [Pa]."""


@model(source="Coulomb friction on both faces of a bolted clamp; Shigley, Mechanical Engineering Design, 9th ed., 8-12")
def friction_grip(*, preload: Array, bolts: Array, friction: Array) -> Array:
    r"""Return the force along its faces at which a clamp of two halves slips.

    Parameters
    ----------
    preload : float or array
        Clamp force of one bolt that is left [N].
    bolts : float or array
        Number of bolts that draw the halves together [-].
    friction : float or array
        Friction of the faces [-].

    Returns
    -------
    array
        Force at which it slips [N].

    Notes
    -----
    .. math:: F = 2 \mu n F_v
    """
    force: Array = 2.0 * np.asarray(friction) * bolts * preload
    return force


@model(source="Roloff and Matek, Maschinenelemente, cross pin under torque; torsion of a round tube")
def pinned_hub(*, torque: Array, pin: Array, shaft: Array, hub: Array) -> PinnedHub:
    r"""Return what torque asks of a pin through hub and shaft, and of the hub.

    Parameters
    ----------
    torque : float or array
        Torque [N*m].
    pin : float or array
        Diameter of the pin [m].
    shaft : float or array
        Diameter of the shaft [m].
    hub : float or array
        Outer diameter of the hub where the pin sits [m].

    Returns
    -------
    PinnedHub
        Fields with their units in the class [Pa].

    Notes
    -----
    .. math:: \tau_a = \frac{4 T}{\pi d^2 d_w}, \quad p_N = \frac{T}{d s (d_w + s)}, \quad
              p_W = \frac{6 T}{d d_w^2}, \quad \tau = \frac{16 T D}{\pi (D^4 - d_w^4)}, \quad s = (D - d_w) / 2
    """
    torque, pin, shaft, hub = (np.asarray(each, dtype=np.float64) for each in (torque, pin, shaft, hub))
    wall = 0.5 * (hub - shaft)
    return PinnedHub(
        pin_shear=4.0 * torque / (np.pi * pin * pin * shaft),
        hub_pressure=torque / (pin * wall * (shaft + wall)),
        shaft_pressure=6.0 * torque / (pin * shaft * shaft),
        hub_shear=16.0 * torque * hub / (np.pi * (hub**4 - shaft**4)),
    )


@model(source="Bowles, Foundation Analysis and Design, 5th ed., 8-10: eccentric force on a rectangle that cannot pull")
def seat_pressure(*, force: Array, moment: Array, length: Array, width: Array) -> Array:
    r"""Return the greatest pressure under a part that is pressed on its seat off the middle.

    Parameters
    ----------
    force : float or array
        Force onto the seat [N].
    moment : float or array
        Moment about the middle of the seat, across its width [N*m].
    length : float or array
        Length of the seat [m].
    width : float or array
        Its width, in the direction in which the force lies off the middle [m].

    Returns
    -------
    array
        Greatest pressure [Pa]; without end where the force lies beside the seat.

    Notes
    -----
    .. math:: p = \frac{F}{l b}\left(1 + \frac{6 e}{b}\right) \; (e \le b/6), \quad
              p = \frac{4 F}{3 l (b - 2 e)} \; (e > b/6), \quad e = M / F
    """
    force, width = np.asarray(force, dtype=np.float64), np.asarray(width, dtype=np.float64)
    off = np.abs(np.asarray(moment, dtype=np.float64)) / np.maximum(force, 1e-12)
    mean = force / (np.asarray(length) * width)
    left = width - 2.0 * off
    lifted = np.where(left > 0.0, 4.0 * force / (3.0 * np.asarray(length) * np.maximum(left, 1e-12)), np.inf)
    pressure: Array = np.where(off <= width / 6.0, mean * (1.0 + 6.0 * off / width), lifted)
    return pressure
