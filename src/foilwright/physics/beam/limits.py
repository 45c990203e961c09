"""Strength, buckling, divergence and vibration of a part, from its section."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array, model
from foilwright.physics.beam.shapes import ROARK

ENDS = {"free": 2.0, "pinned": 1.0, "held and pinned": 0.7, "held": 0.5}
"""Length that buckles over the length, by how the far end is held (near end held, but for pinned)."""


@model(source="quadratic interaction of normal and shear stress; von Mises for metals with shear at 0.577")
def utilisation(
    *,
    tension: Array,
    compression: Array,
    shear: Array,
    tension_strength: Array,
    compression_strength: Array,
    shear_strength: Array,
) -> Array:
    r"""Return how much of its strength a material uses: 1 is failure, the margin is 1/u - 1.

    Parameters
    ----------
    tension, compression, shear : float or array
        Greatest stresses, none negative [Pa].
    tension_strength, compression_strength, shear_strength : float or array
        What it bears, with every knock-down in it; 0 for softened material [Pa].

    Returns
    -------
    array
        Utilisation, infinite where softened material is loaded [-].

    Notes
    -----
    .. math:: u = \sqrt{\max(\sigma_t/R_t, \sigma_c/R_c)^2 + (\tau/R_s)^2}
    """

    def share(stress: Array, strength: Array) -> Array:
        strength = np.asarray(strength, dtype=np.float64)
        held = strength > 0.0
        over = np.where(np.asarray(stress) > 0.0, np.inf, 0.0)
        return np.where(held, stress / np.where(held, strength, 1.0), over)

    normal = np.maximum(share(tension, tension_strength), share(compression, compression_strength))
    cross = share(shear, shear_strength)
    out: Array = np.sqrt(normal * normal + cross * cross)
    return out


@model(source=f"Euler 1744; end factors: {ROARK}, table of columns")
def euler_load(*, bending_stiffness: Array, length: Array, far_end: str = "free") -> Array:
    r"""Return the thrust at which a slender part buckles.

    Parameters
    ----------
    bending_stiffness : float or array
        EI in the weaker direction [N*m^2].
    length : float or array
        Length [m].
    far_end : str
        Far end ``free`` (a mast), ``pinned`` (both ends), ``held and pinned`` or ``held`` [-].

    Returns
    -------
    array
        Critical thrust [N].

    Notes
    -----
    .. math:: P = \pi^2 E I / (K l)^2
    """
    reach = ENDS[far_end] * np.asarray(length, dtype=np.float64)
    out: Array = np.pi**2 * bending_stiffness / (reach * reach)
    return out


@model(
    source="Timoshenko & Gere, Theory of Elastic Stability, beam-column magnification",
    valid={"thrust_share": (-np.inf, 0.9, "thrust at 0.9 or more of the buckling load")},
    decides=("thrust_share",),
)
def magnification(*, thrust_share: Array) -> Array:
    """Return by what side deflection and moment grow under thrust along the part.

    Parameters
    ----------
    thrust_share : float or array
        Thrust over the buckling load, negative for a pull [-].

    Returns
    -------
    array
        1/(1 - share); NaN outside the limit [-].
    """
    share = np.asarray(thrust_share, dtype=np.float64)
    inside = share <= 0.9
    out: Array = np.where(inside, 1.0 / (1.0 - np.where(inside, share, 0.0)), np.nan)
    return out


@model(source="NASA SP-8007 (1968), eq. 5: cylinders in bending; flat: Timoshenko & Gere, k = 4")
def wall_buckling(*, modulus: Array, thickness: Array, radius: Array, width: Array, poisson: Array) -> Array:
    r"""Return the stress at which a thin wall buckles: the larger of a curved and of a flat one.

    Parameters
    ----------
    modulus : float or array
        Young's modulus [Pa].
    thickness : float or array
        Thickness of the wall [m].
    radius : float or array
        Radius of its curvature across the stress, infinite if flat [m].
    width : float or array
        Width between edges that hold it [m].
    poisson : float or array
        Lateral contraction [-].

    Returns
    -------
    array
        Critical compression [Pa].

    Notes
    -----
    .. math:: \sigma = \frac{\gamma E t}{r \sqrt{3 (1 - \nu^2)}}, \quad
              \gamma = 1 - 0.731 (1 - e^{-\sqrt{r/t}/16})
    """
    thickness = np.asarray(thickness, dtype=np.float64)
    lateral = 1.0 - np.square(poisson)
    slender = np.asarray(radius, dtype=np.float64) / thickness
    knocked = 1.0 - 0.731 * (1.0 - np.exp(-np.sqrt(slender) / 16.0))
    curved = knocked * modulus / (slender * np.sqrt(3.0 * lateral))
    flat = 4.0 * np.pi**2 * modulus / (12.0 * lateral) * np.square(thickness / width)
    return np.asarray(np.maximum(curved, flat))


@model(source="Bisplinghoff, Ashley & Halfman 1955, Aeroelasticity, sec. 8-2: uniform wing, strip theory")
def divergence(
    *,
    torsion_stiffness: Array,
    span: Array,
    chord: Array,
    lift_ahead: Array,
    section_slope: Array,
    density: Array,
) -> Array:
    r"""Return the speed at which lift twists a wing faster than the wing can hold.

    Parameters
    ----------
    torsion_stiffness : float or array
        GJ; of a tapered wing that at 0.7 of the half span is usual [N*m^2].
    span : float or array
        Tip to tip [m].
    chord : float or array
        Mean chord [m].
    lift_ahead : float or array
        Shear centre aft of the aerodynamic centre [m].
    section_slope : float or array
        Lift slope [1/rad].
    density : float or array
        Density of the water [kg/m^3].

    Returns
    -------
    array
        Divergence speed, infinite where the shear centre is not aft of the lift [m/s].

    Notes
    -----
    .. math:: V = \frac{\pi}{2} \sqrt{\frac{2 G J}{\rho e c a s^2}}

    with s the half span. Strip theory: the true speed of a wing of finite span is higher.
    """
    half = 0.5 * np.asarray(span, dtype=np.float64)
    drive = density * np.asarray(lift_ahead, dtype=np.float64) * chord * section_slope * half * half
    turns = drive > 0.0
    out: Array = np.where(turns, 0.5 * np.pi * np.sqrt(2.0 * torsion_stiffness / np.where(turns, drive, 1.0)), np.inf)
    return out


@model(source="Rayleigh; Blevins, Formulas for Natural Frequency, cantilever with a mass at its end")
def natural_frequency(*, bending_stiffness: Array, length: Array, end_mass: Array, part_mass: Array) -> Array:
    r"""Return the lowest frequency of a cantilever with a mass at its free end.

    Parameters
    ----------
    bending_stiffness : float or array
        EI [N*m^2].
    length : float or array
        Length [m].
    end_mass : float or array
        Mass at the end, with the water that it moves [kg].
    part_mass : float or array
        Mass of the part itself, with the water that it moves [kg].

    Returns
    -------
    array
        Natural frequency [Hz].

    Notes
    -----
    .. math:: f = \frac{1}{2 \pi} \sqrt{\frac{3 E I}{l^3 (M + 0.24 m)}}
    """
    length = np.asarray(length, dtype=np.float64)
    inertia = length * length * length * (end_mass + 0.24 * np.asarray(part_mass))
    out: Array = np.sqrt(3.0 * bending_stiffness / inertia) / (2.0 * np.pi)
    return out
