"""What the planform does: lifting line, finite chord, sweep, twist, and where the stall starts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model
from foilwright.physics.lifting._grid import stack

LINE = ("tau", "delta", "twist_shift", "twist_cross", "twist_square")
LATTICE = (
    "chord_tau",
    "sweep_delta",
    "peak",
    "peak_at",
    "roll_linear_excess",
    "roll_step_excess",
)
PLANFORM_LIMITS = {
    "aspect_ratio": (1.5, 24.0, "aspect ratio outside the table of planforms"),
    "taper": (0.1, 1.0, "taper outside the table of planforms"),
    "sweep": (-0.3927, 0.6545, "sweep outside the table of planforms (-22.5 to 37.5 deg)"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Planform:
    """Factors of a straight-tapered wing, of the broadcast shape of the inputs.

    ``tau`` [-] and ``delta`` [-] of the lifting line, ``delta`` with sweep; ``chord_tau`` [-], what
    the finite chord adds to ``tau``; ``peak_ratio`` [-], largest local lift coefficient over that of
    the wing, at ``peak_place`` [-] of the half span; ``twist_shift`` [-], incidence gained per twist;
    ``twist_cross`` [1/rad] and ``twist_square`` [1/rad^2], drag of twist per lift and alone.
    """

    tau: Array
    delta: Array
    chord_tau: Array
    peak_ratio: Array
    peak_place: Array
    twist_shift: Array
    twist_cross: Array
    twist_square: Array
    outside: Mask


def read_lattice(aspect_ratio: Array, taper: Array, sweep: Array) -> Array:
    """Return the lattice quantities (6, ...) of ``LATTICE``."""
    grid = stack("planform", ("shape", "taper", "sweep"), LATTICE)
    return grid.at(aspect_ratio / (aspect_ratio + 6.0), taper, sweep)


@model(
    source="Glauert 1926, Elements of Aerofoil and Airscrew Theory, ch. 11; Falkner 1943, ARC R&M 1910",
    valid=PLANFORM_LIMITS,
    decides=("aspect_ratio", "taper", "sweep"),
)
def taper_factors(*, aspect_ratio: Array, taper: Array, sweep: Array | float = 0.0) -> Planform:
    r"""Return the lifting-line factors of a straight-tapered wing and what its chord and sweep add.

    Parameters
    ----------
    aspect_ratio : float or array
        Span squared over area [-].
    taper : float or array
        Tip chord over root chord [-].
    sweep : float or array
        Sweep of the quarter-chord line, tips aft positive [rad].

    Returns
    -------
    Planform
        Factors of the broadcast shape; NaN outside the tables.

    Notes
    -----
    Computed for a section slope of 2 pi. A lifting line alone is 5 to 8 % too steep at the aspect
    ratios of boards: ``chord_tau``, from a vortex lattice, takes that away.

    .. math:: C_{Di} = \frac{(T + \delta) C_L^2}{\pi A} + \text{cross}\, C_L \theta + \text{square}\, \theta^2
    """
    aspect_ratio, taper, sweep = np.broadcast_arrays(aspect_ratio, taper, sweep)
    shape = aspect_ratio / (aspect_ratio + 6.0)
    tau, delta, shift, cross, square = stack("lifting_line", ("shape", "taper"), LINE).at(shape, taper)
    lattice = read_lattice(aspect_ratio, taper, sweep)
    return Planform(
        tau=tau,
        delta=delta + lattice[1],
        chord_tau=lattice[0],
        peak_ratio=lattice[2],
        peak_place=lattice[3],
        twist_shift=shift,
        twist_cross=cross,
        twist_square=square,
        outside=taper_factors.mask(aspect_ratio=aspect_ratio, taper=taper, sweep=sweep),
    )


@model(source="Prandtl 1921, NACA Rep. 116; Glauert 1926, Elements of Aerofoil and Airscrew Theory, ch. 11")
def lifting_line_slope(
    *,
    section_slope: Array,
    aspect_ratio: Array,
    tau: Array,
    lift_factor: Array | float = 1.0,
    drag_factor: Array | float = 1.0,
) -> Array:
    r"""Return the lift slope of a wing from that of its section.

    Parameters
    ----------
    section_slope : float or array
        Lift slope of the section [1/rad].
    aspect_ratio : float or array
        Span squared over area [-].
    tau : float or array
        Departure from elliptic loading, and whatever else adds to it [-].
    lift_factor : float or array
        What the surface leaves of the section slope [-].
    drag_factor : float or array
        What the surface does to the induced angle, T without delta [-].

    Returns
    -------
    array
        Lift slope [1/rad].

    Notes
    -----
    .. math:: \frac{1}{a} = \frac{1}{a_0 k} + \frac{T + \tau}{\pi A}
    """
    slope: Array = 1.0 / (1.0 / (section_slope * lift_factor) + (drag_factor + tau) / (np.pi * aspect_ratio))
    return slope
