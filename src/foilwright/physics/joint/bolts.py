"""Groups of bolts: tension and shear of each, contact at the edge, prying."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltGroup:
    """Forces on the bolts of a plate; arrays (..., k)."""

    tension: Array
    """tension of each, negative where the plate presses [N]."""
    shear: Array
    """shear of each [N]."""
    most_tension: Array
    """most_tension of the group, with prying where a prying factor is given (...) [N]."""
    most_shear: Array
    """most_shear of the group (...) [N]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flange:
    """A flange between bolt line and web."""

    capacity: Array
    """capacity of the flange and its bolts, pull on the web [N]."""
    bolt_force: Array
    """bolt_force of all the bolts at the pull asked for, prying in it [N]."""


@model(source="Shigley, Mechanical Engineering Design, 9th ed., sec. 8-12: stiff plate about the bolts' centroid")
def bolt_group(
    *,
    bolt_x: Array,
    bolt_y: Array,
    pull: Array | float = 0.0,
    moment_about_x: Array | float = 0.0,
    moment_about_y: Array | float = 0.0,
    shear_x: Array | float = 0.0,
    shear_y: Array | float = 0.0,
    torque: Array | float = 0.0,
    prying: Array | float = 1.0,
) -> BoltGroup:
    r"""Return the force on each bolt of a plate, all bolts alike.

    Parameters
    ----------
    bolt_x, bolt_y : (..., k) array
        Places of the bolts from any origin; leading axes broadcast with the loads' [m].
    pull : float or (...) array
        Pull on the whole plate at the centroid of the bolts [N].
    moment_about_x, moment_about_y : float or (...) array
        Moments about axes in the plate; positive loads the bolts at positive y, at positive x [N*m].
    shear_x, shear_y : float or (...) array
        Forces in the plane of the plate at the centroid [N].
    torque : float or (...) array
        Moment in the plane of the plate, from x to y [N*m].
    prying : float or (...) array
        Bolt force over its share of the pull, for a plate that bends; 1 for a stiff one [-].

    Returns
    -------
    BoltGroup
        Fields with their units in the class [N]. Contact under the plate is left out: for a stiff
        plate the tension is an upper bound, by 12 to 20 % for four bolts.

    Notes
    -----
    .. math:: F_i = \frac{N}{k} + \frac{M_x y_i}{\sum y^2} + \frac{M_y x_i}{\sum x^2}
    """
    x, y = np.broadcast_arrays(*(np.asarray(v, dtype=np.float64) for v in (bolt_x, bolt_y)))
    x = x - x.mean(axis=-1, keepdims=True)
    y = y - y.mean(axis=-1, keepdims=True)
    whole, about_x, about_y, along, across, turn = (
        np.asarray(v, dtype=np.float64)[..., None]
        for v in (pull, moment_about_x, moment_about_y, shear_x, shear_y, torque)
    )
    count = x.shape[-1]
    xx, yy = ((v * v).sum(axis=-1, keepdims=True) for v in (x, y))
    each = whole / count + about_x * y / np.maximum(yy, 1e-300) + about_y * x / np.maximum(xx, 1e-300)
    polar = np.maximum(xx + yy, 1e-300)
    shear = np.hypot(along / count - turn * y / polar, across / count + turn * x / polar)
    return BoltGroup(
        tension=each,
        shear=shear,
        most_tension=np.maximum(each.max(axis=-1), 0.0) * prying,
        most_shear=shear.max(axis=-1),
    )


@model(source="equilibrium about the edge that presses, bolt forces in proportion to their distance from it")
def edge_contact(*, moment: Array, bolt_pitch: Array, edge_distance: Array) -> Array:
    r"""Return the pull on each of the two far bolts of four when a stiff plate tilts about its edge.

    Parameters
    ----------
    moment : float or array
        Moment on the plate [N*m].
    bolt_pitch : float or array
        Distance of the bolt rows in the plane of the moment [m].
    edge_distance : float or array
        Near row to the edge that presses [m].

    Returns
    -------
    array
        Pull on one far bolt [N].

    Notes
    -----
    .. math:: F = \frac{M (s + e)}{2 ((s + e)^2 + e^2)}
    """
    near = np.asarray(edge_distance, dtype=np.float64)
    far = near + bolt_pitch
    out: Array = moment * far / (2.0 * (far * far + near * near))
    return out


@model(source="EN 1993-1-8, table 6.2: T-stub, modes 1 to 3")
def flange(
    *,
    pull: Array,
    bolt_strength: Array,
    bolt_arm: Array,
    edge_distance: Array,
    width: Array,
    thickness: Array,
    yield_strength: Array,
) -> Flange:
    r"""Return what a bent flange bears at one row on each side of its web, and how it pries the bolts.

    Parameters
    ----------
    pull : float or array
        Pull on the web [N].
    bolt_strength : float or array
        Breaking loads of all its bolts together [N].
    bolt_arm : float or array
        Bolt line to the foot of the web, less 0.8 of a fillet [m].
    edge_distance : float or array
        Bolt line to the edge of the flange; no more than 1.25 arms count [m].
    width : float or array
        Length of flange that works with the bolts [m].
    thickness : float or array
        Thickness of the flange [m].
    yield_strength : float or array
        Yield strength, or for a brittle print two thirds of its bending strength [Pa].

    Returns
    -------
    Flange
        Fields with their units in the class [N].

    Notes
    -----
    .. math:: F = \min\left(\frac{4 M}{m}, \frac{2 M + n \sum F_t}{m + n}, \sum F_t\right), \quad
              M = l t^2 f_y / 4
    """
    arm = np.asarray(bolt_arm, dtype=np.float64)
    bent = 0.25 * width * np.square(thickness) * yield_strength
    lever = np.minimum(edge_distance, 1.25 * arm)
    by_bolts = np.asarray(bolt_strength, dtype=np.float64)
    capacity = np.minimum(np.minimum(4.0 * bent / arm, (2.0 * bent + lever * by_bolts) / (arm + lever)), by_bolts)
    pried = (pull * (arm + lever) - 2.0 * bent) / lever
    return Flange(capacity=capacity, bolt_force=np.maximum(pull, pried))
