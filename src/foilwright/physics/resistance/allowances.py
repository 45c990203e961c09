"""What comes on top of the calm-water resistance of a clean board, and a regression to check it with."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array, Mask, model
from foilwright.physics.resistance import prismatic
from foilwright.physics.resistance.prismatic import GRAVITY, RADIAN

ROUNDED_EDGE_BAND = (1.0 / 3.0, 3.0)
"""Factors by which `lost_beam` and `lift_loss` of `rounded_edge` may be off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundedEdge:
    """What round edges cost: lost_beam [m], lift_loss [N] at the tail, turning [rad]; outside."""

    lost_beam: Array
    lift_loss: Array
    turning: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Chop:
    """Factor on the resistance of the board [-] with its band low, high [-]; outside."""

    factor: Array
    low: Array
    high: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class PrePlaning:
    """ratio = R/W at 100000 lbf [-], resistance scaled to the hull at hand [N]; outside."""

    ratio: Array
    resistance: Array
    outside: Mask


@model(
    source="estimate: tail as a trim flap bent up, flaps after Savitsky & Brown 1976, Marine Technology 13, "
    "381; small chine radii measured to lower lift by Shuford 1957, NACA TN 3939 (trend only)",
    valid={
        "rail_radius": (0.0, 0.04, "rail radius beyond what the estimate was made for"),
        "tail_edge_radius": (0.0, 0.04, "tail radius beyond what the estimate was made for"),
    },
)
def rounded_edge(
    *, speed: Array, beam: Array, rail_radius: Array, tail_edge_radius: Array, density: Array
) -> RoundedEdge:
    r"""Return what rounded lower edges of rails and tail cost a planing board. An estimate.

    No measured law for this case was found. Each rail loses half its radius of carrying beam. At the
    tail the flow follows the radius r through an angle that grows from nothing to 40 degrees (half of
    it at 10 mm) before it lets go; this acts as a flap of chord r sin(angle) bent up by half the angle. True
    values may lie between a third and three times these (`ROUNDED_EDGE_BAND`).

    Parameters
    ----------
    speed : float or array
        Speed through water [m/s].
    beam : float or array
        Beam of the bottom, rails taken as sharp [m].
    rail_radius : float or array
        Radius of the lower edge of the rails [m].
    tail_edge_radius : float or array
        Radius of the lower edge of the tail [m].
    density : float or array
        Water density [kg/m^3].

    Returns
    -------
    RoundedEdge
        ``lost_beam`` [m], ``lift_loss`` [N] (0.6 beam ahead of the tail), ``turning`` (flap angle) [rad].

    Notes
    -----
    .. math:: \Delta L = 0.046 L_F \delta b \rho V^2/2, \quad \Delta D = 0.0052 \Delta L (\delta - \tau)
    """
    radius = np.asarray(tail_edge_radius, dtype=np.float64)
    followed = 40.0 * RADIAN * radius / (radius + 0.010)
    chord, turning = radius * np.sin(followed), 0.5 * followed
    lift = 0.046 * chord * (turning / RADIAN) * beam * (0.5 * density * np.square(speed))
    outside = rounded_edge.mask(rail_radius=rail_radius, tail_edge_radius=tail_edge_radius)
    lost = np.asarray(rail_radius, dtype=np.float64) * 1.0
    return RoundedEdge(lost_beam=lost, lift_loss=lift, turning=turning, outside=outside)


@model(
    source="assumption, no test of flat boards found; the formulas of Savitsky & Brown 1976 need V bottoms",
    valid={"chop": (0.0, 0.3, "chop above 0.3 m: no allowance known")},
    decides=("chop",),
)
def chop_factor(*, chop: Array) -> Chop:
    """Return the factor on the calm-water resistance of the board in chop. An assumption.

    Parameters
    ----------
    chop : float or array
        Height of the chop, trough to crest [m].

    Returns
    -------
    Chop
        factor, low and high (half and twice the addition) [-]; NaN above 0.3 m, flagged.
    """
    nodes = table("chop").columns
    factor = np.interp(chop, nodes["chop"], nodes["factor"], left=np.nan, right=np.nan)
    added = np.asarray(factor - 1.0)
    return Chop(factor=1.0 + added, low=1.0 + 0.5 * added, high=1.0 + 2.0 * added, outside=chop_factor.mask(chop=chop))


@model(
    source="Matthews 2002, Aeronautical Engineer's Data Book, figure 5.13 (values of Hoerner 1965)",
    valid={"slenderness": (1.0, np.inf, "cylinder shorter than wide")},
)
def cylinder_drag_coefficient(*, slenderness: Array) -> Array:
    """Return the drag coefficient of a cylinder across the stream, below the drag crisis.

    Parameters
    ----------
    slenderness : float or array
        Length over diameter, infinity for a long one [-].

    Returns
    -------
    float or array
        Drag over dynamic pressure and length times diameter [-]; linear in diameter over length.
    """
    nodes = table("cylinder_drag").columns
    across = 1.0 / np.asarray(slenderness, dtype=np.float64)
    read: Array = np.interp(across, nodes["diameter_over_length"], nodes["drag_coefficient"], right=np.nan)
    return read


@model(
    source="Hoerner 1965, Fluid-Dynamic Drag: bluff cylinders; legs as cylinders are an estimate, +- 40 %",
    valid={
        "slenderness": (1.0, np.inf, "legs shorter in the water than wide"),
        "speed": (0.0, 5.0, "dangling legs above 5 m/s"),
    },
)
def legs(*, speed: Array, density: Array, submerged_length: Array, width: Array, count: Array | float = 2.0) -> Array:
    """Return the drag of a prone or kneeling rider's legs that hang in the water.

    Parameters
    ----------
    speed : float or array
        Speed through water [m/s].
    density : float or array
        Water density [kg/m^3].
    submerged_length : float or array
        Length of each leg in the water, across the stream [m].
    width : float or array
        Width of each leg [m].
    count : float or array
        Number of legs [-].

    Returns
    -------
    float or array
        Drag of all legs [N].
    """
    length, width = np.asarray(submerged_length, dtype=np.float64), np.asarray(width, dtype=np.float64)
    read = np.asarray(cylinder_drag_coefficient(slenderness=np.maximum(length / width, 1.0)))
    force: Array = 0.5 * density * np.square(speed) * read * length * width * count
    return force


@model(
    source="Mercier & Savitsky 1973, Davidson Laboratory report 1667 (coefficients recalled, unverified)",
    valid={
        "volume_froude": (1.0, 2.0, "volume Froude number outside the regression"),
        "slenderness": (3.07, 12.4, "length over cube root of volume outside the regression"),
        "entrance": (3.7 * RADIAN, 28.6 * RADIAN, "half angle of entrance outside the regression"),
        "transom_ratio": (0.0, 1.0, "transom over largest section outside the regression"),
    },
)
def mercier_savitsky(
    *, load: Array, speed: Array, length: Array, beam: Array, draught: Array, entrance: Array,
    transom_ratio: Array, density: Array, kinematic_viscosity: Array,
    roughness_allowance: Array | float = 0.0,
) -> PrePlaning:  # fmt: skip
    r"""Return the resistance before planing of transom-stern hulls, to check `board` with.

    Parameters
    ----------
    load : float or array
        Weight [N].
    speed : float or array
        Speed through water [m/s].
    length : float or array
        Waterline length [m].
    beam : float or array
        Largest beam at the chine [m].
    draught : float or array
        Draught of the largest section [m].
    entrance : float or array
        Half angle of entrance of the waterline [rad].
    transom_ratio : float or array
        Area of the transom over that of the largest section [-].
    density : float or array
        Water density [kg/m^3].
    kinematic_viscosity : float or array
        Kinematic viscosity of the water [m^2/s].
    roughness_allowance : float or array
        Addition to the friction coefficient [-].

    Returns
    -------
    PrePlaning
        ``ratio`` at 100000 lbf [-] and ``resistance`` [N]; NaN outside volume Froude numbers 1 to 2, flagged.

    Notes
    -----
    .. math:: R/W = (R/W)_{100000} + \tfrac12 (S/\nabla^{2/3}) F_\nabla^2 (C_F + C_A - C_{F,100000})
    """
    load, speed, length, beam = (np.asarray(v, dtype=np.float64) for v in (load, speed, length, beam))
    volume = load / (density * GRAVITY)
    side = np.cbrt(volume)
    froude = speed / np.sqrt(GRAVITY * side)
    ratio = _regression(froude, side / length, volume / beam**3, np.sqrt(2.0 * entrance / RADIAN), transom_ratio)
    area = 2.262 * np.sqrt(length / side) * (1.0 + 0.046 * beam / draught + 0.00287 * (beam / draught) ** 2)
    scale = 44.25 ** (1 / 3) / side
    reynolds = speed * length / kinematic_viscosity
    ship = speed * np.sqrt(scale) * length * scale / 1.1907e-6
    gain = prismatic.friction(np.log10(reynolds)) + roughness_allowance - prismatic.friction(np.log10(ship))
    outside = mercier_savitsky.mask(
        volume_froude=froude, slenderness=length / side, entrance=entrance, transom_ratio=transom_ratio
    )
    resistance = load * (ratio + 0.5 * area * froude * froude * gain)
    return PrePlaning(ratio=ratio, resistance=resistance, outside=outside)


def _regression(froude: Array, x: Array, z: Array, u: Array, w: Array) -> Array:
    """Read the fourteen coefficients at the Froude number and sum the terms of the regression."""
    columns = table("mercier_savitsky").columns
    terms: dict[str, Array] = {
        "A1": np.ones(()), "A2": x, "A4": u, "A5": w, "A6": x * z, "A7": x * u, "A8": x * w,
        "A9": z * u, "A10": z * w, "A15": w * w, "A18": x * w * w, "A19": z * x * x,
        "A24": u * w * w, "A27": w * u * u,
    }  # fmt: skip
    out: Array = np.zeros(())
    for name, term in terms.items():
        out = out + term * np.interp(froude, columns["froude"], columns[name], left=np.nan, right=np.nan)
    return out
