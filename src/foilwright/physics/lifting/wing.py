"""A whole wing below the surface: lift slope, zero-lift angle, drag due to lift, height stiffness."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model
from foilwright.physics.lifting.planform import PLANFORM_LIMITS, lifting_line_slope, taper_factors
from foilwright.physics.lifting.surface import GRAVITY, surface_drag_factor, surface_lift_factor

LIMITS = PLANFORM_LIMITS | {
    "dihedral": (-0.36, 0.36, "dihedral beyond 20 deg"),
    "twist": (-0.18, 0.18, "twist beyond 10 deg"),
    "depth_over_span": (1 / 60, np.inf, "the wing is closer to the surface than its table"),
    "depth_over_chord": (0.2, np.inf, "the wing is closer to the surface than a fifth of its chord"),
    "chord_froude": (1.0, np.inf, "waves shorter than six chords are left out of the lift"),
}
DECIDES = ("aspect_ratio", "taper", "sweep", "depth_over_span", "depth_over_chord")
SOURCE = (
    "Prandtl 1921, NACA Rep. 116; surface: Wu 1953, Calif. Inst. Tech. Hydrodynamics Lab. Rep. 26-8; "
    "finite chord and sweep: vortex lattice after Falkner 1943, ARC R&M 1910"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    r"""A wing without its incidence: lift is linear in it, drag is quadratic in lift.

    ``lift_slope`` [1/rad], on area, surface and all; ``zero_lift_shift`` [rad], what twist adds to the
    zero-lift angle of the root; ``induced_drag_factor`` [-], K of :math:`K C_L^2`;
    ``twist_drag_slope`` [-] and ``twist_drag`` [-], so that :math:`C_{Di} = K C_L^2 + slope\, C_L + drag`;
    ``wave_share`` [-], part of K that the surface makes (negative where it helps); ``peak_ratio`` [-],
    largest local lift coefficient over that of the wing, at ``peak_place`` [-] of the half span.
    """

    lift_slope: Array
    zero_lift_shift: Array
    induced_drag_factor: Array
    twist_drag_slope: Array
    twist_drag: Array
    wave_share: Array
    peak_ratio: Array
    peak_place: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Wing:
    """A wing at an incidence, of the broadcast shape of the inputs.

    ``lift_coefficient`` [-]; ``lift_slope`` [1/rad]; ``zero_lift_angle`` [rad] of the root, with
    twist; ``induced_drag_coefficient`` [-], waves included; ``induced_drag_factor`` [-], K of K C_L^2;
    ``wave_share`` [-], part of K that the surface makes; ``peak_ratio`` [-], largest local lift
    coefficient over that of the wing.
    """

    lift_coefficient: Array
    lift_slope: Array
    zero_lift_angle: Array
    induced_drag_coefficient: Array
    induced_drag_factor: Array
    wave_share: Array
    peak_ratio: Array
    outside: Mask


@model(source=SOURCE, valid=LIMITS, decides=DECIDES)
def slope_and_drag(
    *,
    area: Array,
    span: Array,
    taper: Array,
    sweep: Array,
    section_slope: Array,
    depth: Array,
    speed: Array,
    dihedral: Array | float = 0.0,
    twist: Array | float = 0.0,
    junction_drag_factor: Array | float = 0.025,
) -> Slope:
    r"""Return what a wing does with any incidence: its lift slope and the factors of its drag.

    Parameters
    ----------
    area : float or array
        Projected area [m^2].
    span : float or array
        Tip to tip, projected [m].
    taper : float or array
        Tip chord over root chord [-].
    sweep : float or array
        Sweep of the quarter-chord line, tips aft positive [rad].
    section_slope : float or array
        Lift slope of the section [1/rad].
    depth : float or array
        Depth of the wing below the still surface [m].
    speed : float or array
        Speed through the water [m/s].
    dihedral : float or array
        Rise of the half wings, either sign [rad].
    twist : float or array
        Incidence of the tip less that of the root, growing evenly; washout negative [rad].
    junction_drag_factor : float or array
        What mast, fuselage and tip shape add to delta [-]; 0.02 to 0.03 is usual.

    Returns
    -------
    Slope
        Factors of the broadcast shape.

    Notes
    -----
    .. math::

        \frac{1}{a} = \frac{1}{a_0 k \cos\Lambda} + \frac{T + \tau + \tau_c}{\pi A}, \quad
        K = \frac{T + \delta + \delta_j}{\pi A}

    Dihedral takes the square root of its cosine from the slope, a fit to the lattice within 1.5 % to 20 deg.
    """
    aspect_ratio = np.asarray(span) ** 2 / area
    chord = area / np.asarray(span)
    form = taper_factors.function(aspect_ratio=aspect_ratio, taper=taper, sweep=sweep)
    drag_factor = surface_drag_factor.function(span=span, depth=depth, speed=speed)
    lift_slope = np.sqrt(np.cos(dihedral)) * lifting_line_slope.function(
        section_slope=section_slope * np.cos(sweep),
        aspect_ratio=aspect_ratio,
        tau=form.tau + form.chord_tau,
        lift_factor=surface_lift_factor.function(chord=chord, depth=depth, speed=speed),
        drag_factor=drag_factor,
    )
    total = drag_factor + form.delta + junction_drag_factor
    return Slope(
        lift_slope=lift_slope,
        zero_lift_shift=-form.twist_shift * twist,
        induced_drag_factor=total / (np.pi * aspect_ratio),
        twist_drag_slope=form.twist_cross * twist,
        twist_drag=form.twist_square * np.square(twist),
        wave_share=(drag_factor - 1.0) / total,
        peak_ratio=form.peak_ratio,
        peak_place=form.peak_place,
        outside=slope_and_drag.mask(
            aspect_ratio=aspect_ratio,
            taper=taper,
            sweep=sweep,
            dihedral=dihedral,
            twist=twist,
            depth_over_span=depth / np.asarray(span),
            depth_over_chord=depth / chord,
            chord_froude=speed / np.sqrt(GRAVITY * chord),
        ),
    )


@model(source=SOURCE, valid=LIMITS, decides=DECIDES)
def wing(
    *,
    area: Array,
    span: Array,
    taper: Array,
    sweep: Array,
    section_slope: Array,
    zero_lift_angle: Array,
    incidence: Array,
    depth: Array,
    speed: Array,
    dihedral: Array | float = 0.0,
    twist: Array | float = 0.0,
    junction_drag_factor: Array | float = 0.025,
) -> Wing:
    """Return lift and drag due to lift of a wing at an incidence.

    Parameters
    ----------
    area : float or array
        Projected area [m^2].
    span : float or array
        Tip to tip, projected [m].
    taper : float or array
        Tip chord over root chord [-].
    sweep : float or array
        Sweep of the quarter-chord line, tips aft positive [rad].
    section_slope : float or array
        Lift slope of the section [1/rad].
    zero_lift_angle : float or array
        Zero-lift angle of the section [rad].
    incidence : float or array
        Incidence of the root section [rad].
    depth : float or array
        Depth of the wing below the still surface [m].
    speed : float or array
        Speed through the water [m/s].
    dihedral : float or array
        Rise of the half wings, either sign [rad].
    twist : float or array
        Incidence of the tip less that of the root, growing evenly; washout negative [rad].
    junction_drag_factor : float or array
        What mast, fuselage and tip shape add to delta [-]; 0.02 to 0.03 is usual.

    Returns
    -------
    Wing
        Coefficients on projected area; linear theory, without stall.
    """
    slope = slope_and_drag.function(
        area=area,
        span=span,
        taper=taper,
        sweep=sweep,
        section_slope=section_slope,
        depth=depth,
        speed=speed,
        dihedral=dihedral,
        twist=twist,
        junction_drag_factor=junction_drag_factor,
    )
    none = zero_lift_angle + slope.zero_lift_shift
    lift = slope.lift_slope * (incidence - none)
    drag = slope.induced_drag_factor * lift * lift + slope.twist_drag_slope * lift + slope.twist_drag
    return Wing(
        lift_coefficient=lift,
        lift_slope=slope.lift_slope,
        zero_lift_angle=none,
        induced_drag_coefficient=drag,
        induced_drag_factor=slope.induced_drag_factor,
        wave_share=slope.wave_share,
        peak_ratio=slope.peak_ratio,
        outside=slope.outside,
    )


@model(
    source="derivative of the lift slope with depth; the criterion: Staufenbiel 1978, J. Aircraft 15",
    valid=LIMITS,
    decides=DECIDES,
)
def height_stiffness(
    *,
    lift: Array,
    area: Array,
    span: Array,
    taper: Array,
    sweep: Array,
    section_slope: Array,
    depth: Array,
    speed: Array,
) -> Array:
    r"""Return how much lift a wing gains with depth, at a held incidence and speed.

    Parameters
    ----------
    lift : float or array
        Lift of the wing [N].
    area : float or array
        Projected area [m^2].
    span : float or array
        Tip to tip, projected [m].
    taper : float or array
        Tip chord over root chord [-].
    sweep : float or array
        Sweep of the quarter-chord line, tips aft positive [rad].
    section_slope : float or array
        Lift slope of the section [1/rad].
    depth : float or array
        Depth of the wing below the still surface [m].
    speed : float or array
        Speed through the water [m/s].

    Returns
    -------
    array
        Lift per depth [N/m]; positive where the wing holds its height by itself.

    Notes
    -----
    .. math:: K_h = \frac{L}{a} \frac{\mathrm{d}a}{\mathrm{d}h}

    by a difference over a tenth of the depth to either side.
    """
    given = (area, span, taper, sweep, section_slope, depth, speed)
    either = np.array([0.9, 1.1]).reshape((2,) + (1,) * max(np.ndim(each) for each in given))
    above, below = slope_and_drag.function(
        area=area, span=span, taper=taper, sweep=sweep, section_slope=section_slope, depth=either * depth, speed=speed
    ).lift_slope
    stiffness: Array = lift * (below - above) / (0.1 * depth * (below + above))
    return stiffness
