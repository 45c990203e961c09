"""Roll of a wing: damping, and the moment of a left-to-right error."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model
from foilwright.physics.lifting.planform import PLANFORM_LIMITS, read_lattice

TWO_PI = 2.0 * np.pi


@dataclass(frozen=True, slots=True, kw_only=True)
class RollError:
    """What a left-to-right error of a wing does.

    ``coefficient`` [-], rolling moment on dynamic pressure, area and span; ``moment`` [N m], lifting
    port; ``rider_shift`` [m], how far to port the rider's weight must move to hold it.
    """

    coefficient: Array
    moment: Array
    rider_shift: Array
    outside: Mask


def _moments(aspect_ratio: Array, taper: Array, sweep: Array, section_slope: Array) -> tuple[Array, Array]:
    """Return rolling-moment coefficients for incidence growing to +-1 rad at the tips, and for +-1 rad."""
    aspect_ratio, taper, sweep = np.broadcast_arrays(aspect_ratio, taper, sweep)
    excess = read_lattice(aspect_ratio, taper, sweep)[4:] / aspect_ratio
    slope = section_slope * np.cos(sweep)
    linear = 1.0 / (12.0 * (1.0 + taper) / (slope * (1.0 + 3.0 * taper)) + excess[0])
    step = 1.0 / (6.0 * (1.0 + taper) / (slope * (1.0 + 2.0 * taper)) + excess[1])
    return linear, step


@model(
    source="vortex lattice after Falkner 1943, ARC R&M 1910; compare Swanson & Priddy 1945, NACA ARR L5F23",
    valid=PLANFORM_LIMITS,
    decides=("aspect_ratio", "taper", "sweep"),
)
def roll_damping(
    *, aspect_ratio: Array, taper: Array, sweep: Array | float = 0.0, section_slope: Array | float = TWO_PI
) -> Array:
    r"""Return the damping in roll of a wing.

    Parameters
    ----------
    aspect_ratio : float or array
        Span squared over area [-].
    taper : float or array
        Tip chord over root chord [-].
    sweep : float or array
        Sweep of the quarter-chord line, tips aft positive [rad].
    section_slope : float or array
        Lift slope of the section [1/rad].

    Returns
    -------
    array
        Change of the rolling-moment coefficient (on dynamic pressure, area and span) with the helix
        angle p b/(2 U) [1/rad]; negative.

    Notes
    -----
    .. math:: \frac{-1}{C_{lp}} = \frac{12 (1 + t)}{a_0 \cos\Lambda (1 + 3 t)} + \frac{e(A, t, \Lambda)}{A}

    The strip formula with the slope of the whole wing gives 30 to 50 % more damping than there is.
    """
    return -_moments(np.asarray(aspect_ratio), np.asarray(taper), np.asarray(sweep), np.asarray(section_slope))[0]


@model(source="strip integral of a straight-tapered wing, as in Etkin & Reid 1996, Dynamics of Flight, ch. 5")
def roll_damping_strip(*, lift_slope: Array, taper: Array) -> Array:
    r"""Return the damping in roll by strips: an upper bound, kept for comparison.

    Parameters
    ----------
    lift_slope : float or array
        Lift slope of each strip [1/rad].
    taper : float or array
        Tip chord over root chord [-].

    Returns
    -------
    array
        Change of the rolling-moment coefficient with the helix angle [1/rad]; negative.

    Notes
    -----
    .. math:: C_{lp} = -\frac{a}{12} \frac{1 + 3 t}{1 + t}
    """
    taper = np.asarray(taper)
    damping: Array = -lift_slope * (1.0 + 3.0 * taper) / (12.0 * (1.0 + taper))
    return damping


@model(
    source="vortex lattice after Falkner 1943, ARC R&M 1910, antisymmetric incidence",
    valid=PLANFORM_LIMITS,
    decides=("aspect_ratio", "taper", "sweep"),
)
def twist_error_roll(
    *,
    area: Array,
    span: Array,
    taper: Array,
    speed: Array,
    density: Array,
    rider_weight: Array,
    twist_difference: Array | float = 0.0,
    incidence_difference: Array | float = 0.0,
    sweep: Array | float = 0.0,
    section_slope: Array | float = TWO_PI,
) -> RollError:
    """Return the rolling moment of a wing whose halves differ, and what it asks of the rider.

    Parameters
    ----------
    area : float or array
        Projected area [m^2].
    span : float or array
        Tip to tip [m].
    taper : float or array
        Tip chord over root chord [-].
    speed : float or array
        Speed through the water [m/s].
    density : float or array
        Density of the water [kg/m^3].
    rider_weight : float or array
        Weight that can be shifted [N].
    twist_difference : float or array
        Incidence of the port tip less that of the starboard tip, growing evenly from the root [rad].
    incidence_difference : float or array
        Incidence of the whole port half less that of the starboard half [rad].
    sweep : float or array
        Sweep of the quarter-chord line, tips aft positive [rad].
    section_slope : float or array
        Lift slope of the section [1/rad].

    Returns
    -------
    RollError
        Of the broadcast shape; a deep wing.
    """
    aspect_ratio = np.asarray(span) ** 2 / area
    linear, step = _moments(aspect_ratio, np.asarray(taper), np.asarray(sweep), np.asarray(section_slope))
    coefficient = 0.5 * (linear * twist_difference + step * incidence_difference)
    moment = 0.5 * density * np.square(speed) * area * span * coefficient
    return RollError(
        coefficient=coefficient,
        moment=moment,
        rider_shift=moment / rider_weight,
        outside=twist_error_roll.mask(aspect_ratio=aspect_ratio, taper=taper, sweep=sweep),
    )
