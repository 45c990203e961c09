"""A beam held at one end: forces, moments, deflection and twist at its stations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model

GERE = "Gere, Mechanics of Materials, 7th ed."


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """A bent cantilever; arrays (..., s) over its stations from the held end."""

    shear: Array
    """shear force just inboard of each station [N]."""
    moment: Array
    """moment just inboard of each station [N*m]."""
    slope: Array
    """slope [rad]."""
    deflection: Array
    """deflection [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Twist:
    """A twisted cantilever; arrays (..., s) over its stations from the held end."""

    torque: Array
    """torque just inboard of each station [N*m]."""
    twist: Array
    """twist against the held end [rad]."""


def _from_tip(segments: Array) -> Array:
    """Return sums of segments from the tip inward, one a station."""
    inward = np.cumsum(segments[..., ::-1], axis=-1)[..., ::-1]
    return np.concatenate([inward, np.zeros_like(inward[..., :1])], axis=-1)


def _from_root(segments: Array) -> Array:
    """Return sums of segments from the held end outward, one a station."""
    outward = np.cumsum(segments, axis=-1)
    return np.concatenate([np.zeros_like(outward[..., :1]), outward], axis=-1)


@model(source=f"{GERE}, ch. 4 and 9: equilibrium from the tip, curvature integrated twice (Simpson)")
def cantilever(
    *,
    place: Array,
    bending_stiffness: Array,
    spread_load: Array | float = 0.0,
    force: Array | float = 0.0,
    couple: Array | float = 0.0,
    root_stiffness: Array | float = np.inf,
    shear_stiffness: Array | float = np.inf,
) -> Bend:
    r"""Return shear, moment, slope and deflection of a cantilever of any taper.

    Parameters
    ----------
    place : (..., s) array
        Stations from the held end, which is the first [m].
    bending_stiffness : (..., s) array
        EI, linear between stations [N*m^2].
    spread_load : (..., s) array
        Load a length, linear between stations [N/m].
    force : (..., s) array
        Forces at the stations [N].
    couple : (..., s) array
        Moments applied at the stations, in the sense of a positive force further out [N*m].
    root_stiffness : float or (...) array
        What holds the first station against turning, infinite if clamped [N*m/rad].
    shear_stiffness : float or (..., s) array
        GA at the mean shear stress, infinite to leave shear deflection out [N].

    Returns
    -------
    Bend
        Arrays (..., s); fields with their units in the class [SI].

    Notes
    -----
    Shear and moment are exact; so is the deflection where the curvature is a parabola between
    stations (constant stiffness under any force and even load).
    """
    place, stiff, load, force, couple = np.broadcast_arrays(
        *(np.asarray(v, dtype=np.float64) for v in (place, bending_stiffness, spread_load, force, couple))
    )
    step = np.diff(place, axis=-1)
    near, far = load[..., :-1], load[..., 1:]
    all_of = _from_tip(0.5 * step * (near + far))
    outboard = np.cumsum(force[..., ::-1], axis=-1)[..., ::-1]
    shear = all_of + outboard
    beyond = shear[..., 1:]
    moment = _from_tip(beyond * step + step * step * (near + 2.0 * far) / 6.0)
    couples = np.cumsum(couple[..., ::-1], axis=-1)[..., ::-1]
    moment = moment + couples
    start = (moment - couple)[..., :-1]
    end = moment[..., 1:]
    half = 0.5 * step
    middle = end + beyond * half + half * half * (0.5 * near + 2.5 * far) / 6.0
    first, last = start / stiff[..., :-1], end / stiff[..., 1:]
    mean = middle / (0.5 * (stiff[..., :-1] + stiff[..., 1:]))
    turned = moment[..., :1] / np.asarray(root_stiffness, dtype=np.float64)[..., None]
    slope = _from_root(step * (first + 4.0 * mean + last) / 6.0) + turned
    rise = slope[..., :-1] * step + step * step * (first + 2.0 * mean) / 6.0
    cross = np.broadcast_to(np.asarray(shear_stiffness, dtype=np.float64), shear.shape)
    mean_shear = 0.5 * (beyond + (shear - force)[..., :-1])
    rise = rise + 2.0 * mean_shear * step / (cross[..., :-1] + cross[..., 1:])
    return Bend(shear=shear, moment=moment, slope=slope, deflection=_from_root(rise))


@model(source=f"{GERE}, ch. 3: torque from the tip, rate of twist integrated (Simpson)")
def twisted(
    *, place: Array, torsion_stiffness: Array, spread_torque: Array | float = 0.0, couple: Array | float = 0.0
) -> Twist:
    """Return torque and twist of a cantilever of any taper.

    Parameters
    ----------
    place : (..., s) array
        Stations from the held end, which is the first [m].
    torsion_stiffness : (..., s) array
        GJ, linear between stations [N*m^2].
    spread_torque : (..., s) array
        Torque a length, linear between stations [N].
    couple : (..., s) array
        Torques applied at the stations [N*m].

    Returns
    -------
    Twist
        Arrays (..., s); fields with their units in the class [SI].
    """
    place, stiff, spread, couple = np.broadcast_arrays(
        *(np.asarray(v, dtype=np.float64) for v in (place, torsion_stiffness, spread_torque, couple))
    )
    step = np.diff(place, axis=-1)
    near, far = spread[..., :-1], spread[..., 1:]
    torque = _from_tip(0.5 * step * (near + far)) + np.cumsum(couple[..., ::-1], axis=-1)[..., ::-1]
    start, end = (torque - couple)[..., :-1], torque[..., 1:]
    middle = end + 0.5 * step * (0.25 * near + 0.75 * far)
    mean = middle / (0.5 * (stiff[..., :-1] + stiff[..., 1:]))
    rate = start / stiff[..., :-1] + 4.0 * mean + end / stiff[..., 1:]
    return Twist(torque=torque, twist=_from_root(step * rate / 6.0))
