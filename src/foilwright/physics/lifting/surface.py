"""What the free surface does to a wing below it: drag factor and lift factor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model
from foilwright.core.solve import smoothstep
from foilwright.physics.lifting._grid import plane

GRAVITY = 9.80665
STANDSTILL = 1e-3
"""Speeds below this count as this one [m/s]."""
SHORT_WAVES = (0.7, 1.0)
"""Chord Froude numbers between which the waves' part of the lift factor fades in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceLift:
    """Lift of a section over that in deep water, with its band.

    ``low`` [-], ``central`` [-] and ``high`` [-] have the broadcast shape of the inputs.
    """

    low: Array
    central: Array
    high: Array
    outside: Mask


def _axes(length: Array, depth: Array, speed: Array) -> tuple[Array, Array]:
    """Return the bounded axes of the tables: closeness to the surface, and speed."""
    return length / (length + 4.0 * depth), speed / (speed + np.sqrt(GRAVITY * depth))


@model(
    source="Wu 1953, Calif. Inst. Tech. Hydrodynamics Lab. Rep. 26-8; Breslin 1957, J. Ship Research 1",
    valid={"depth_over_span": (1 / 60, np.inf, "the wing is closer to the surface than its table")},
    decides=("depth_over_span",),
)
def surface_drag_factor(*, span: Array, depth: Array, speed: Array) -> Array:
    r"""Return the drag due to lift of an elliptically loaded wing over that in deep water.

    Parameters
    ----------
    span : float or array
        Tip to tip [m].
    depth : float or array
        Depth of the wing below the still surface [m].
    speed : float or array
        Speed through the water [m/s].

    Returns
    -------
    array
        Factor T [-] of the broadcast shape, with :math:`C_{Di} = (T + \delta) C_L^2/(\pi A)`; NaN
        where the depth is less than a sixtieth of the span.

    Notes
    -----
    .. math:: T = 1 - \sigma(h/b) + W(h/b, U/\sqrt{g b})

    The wave part W already holds the two-dimensional wave drag: never add that again. At high speed
    T is Prandtl's biplane value 1 + sigma (more drag, not less), at standstill 1 - sigma.
    """
    span, depth, speed = np.asarray(span), np.asarray(depth), np.asarray(speed)
    scaled = plane("surface_drag").at(*_axes(span, depth, speed))
    factor: Array = 1.0 + span / (4.0 * depth) * scaled
    return factor


def _losses(chord: Array, depth: Array, speed: Array) -> tuple[Array, Array, Array, Array]:
    """Return losses of lift: image, curvature with waves, wave downwash; and the chord Froude number."""
    squared = np.maximum(speed * speed, STANDSTILL * STANDSTILL)
    ratio = depth / chord
    image = 1.0 / (1.0 + 16.0 * ratio * ratio)
    curvature = chord / (4.0 * depth) * plane("surface_lift").at(*_axes(chord, depth, speed))
    wave_number = GRAVITY * chord / squared
    downwash = np.pi * wave_number * np.exp(-2.0 * np.minimum(wave_number * ratio, 300.0))
    return image, curvature, downwash, 1.0 / np.sqrt(wave_number)


@model(
    source="Hough & Moran 1969, J. Ship Research 13; Kochin, Kibel & Rose 1964, Theoretical Hydromechanics",
    valid={"chord_froude": (0.7, np.inf), "depth_over_chord": (0.2, np.inf)},
    decides=("chord_froude", "depth_over_chord"),
)
def section_lift_factor(*, chord: Array, depth: Array, speed: Array) -> Array:
    r"""Return the lift of a wing of infinite span over that in deep water, at equal incidence.

    Parameters
    ----------
    chord : float or array
        Chord [m].
    depth : float or array
        Depth below the still surface [m].
    speed : float or array
        Speed through the water [m/s].

    Returns
    -------
    array
        Factor [-] of the broadcast shape; NaN closer to the surface than a fifth of the chord and
        where :math:`U < 0.7 \sqrt{g c}`.

    Notes
    -----
    .. math:: k_F = 1/(1 + f), \quad f = \tfrac{c}{2} \Re q(c/2 - 2 i h)

    with one vortex at the quarter chord and one control point at three quarters. The wave downwash
    of an infinite span is in it, so it is not the factor of a wing: see `surface_lift_factor`.
    """
    chord, depth, speed = np.asarray(chord), np.asarray(depth), np.asarray(speed)
    _, curvature, downwash, froude = _losses(chord, depth, speed)
    return np.where(froude >= SHORT_WAVES[0], 1.0 / (1.0 + curvature + downwash), np.nan)


def _central(image: Array, curvature: Array, froude: Array) -> tuple[Array, Array]:
    """Return the loss of lift taken, and that with the whole of the waves' curvature."""
    waves = smoothstep(froude, *SHORT_WAVES) * (curvature - image)
    return image + 0.5 * waves, image + waves


@model(
    source="Wadlin, Shuford & McGehee 1955, NACA Rep. 1232; Hough & Moran 1969, J. Ship Research 13",
    valid={
        "depth_over_chord": (0.2, np.inf, "the wing is closer to the surface than a fifth of its chord"),
        "chord_froude": (1.0, np.inf, "waves shorter than six chords are left out"),
    },
    decides=("depth_over_chord",),
)
def surface_lift_factor(*, chord: Array, depth: Array, speed: Array) -> Array:
    r"""Return what the surface leaves of a wing's section slope, beside its wave downwash.

    Parameters
    ----------
    chord : float or array
        Mean chord [m].
    depth : float or array
        Depth below the still surface [m].
    speed : float or array
        Speed through the water [m/s].

    Returns
    -------
    array
        Factor k [-] of the broadcast shape; NaN closer to the surface than a fifth of the chord.

    Notes
    -----
    .. math:: \alpha - \alpha_0 = \frac{C_L}{a_0 k} + \frac{C_L (T + \tau)}{\pi A}, \quad
              k = \frac{1}{1 + f}

    At high Froude number :math:`k = (16 \eta^2 + 1)/(16 \eta^2 + 2)` with :math:`\eta = h/c`. T holds
    the downwash of the waves at the wing; here belongs only the curvature of the stream behind it,
    so f is the mean of the image's and of the two-dimensional one less its wave downwash. The double
    integral of an elliptic wing agrees within 0.015 from 2.5 m/s and one chord of depth; taking the
    whole two-dimensional factor counts the waves twice and is up to 0.15 too low.
    """
    chord, depth, speed = np.asarray(chord), np.asarray(depth), np.asarray(speed)
    image, curvature, _, froude = _losses(chord, depth, speed)
    factor: Array = 1.0 / (1.0 + _central(image, curvature, froude)[0])
    return factor


@model(
    source="Wadlin, Shuford & McGehee 1955, NACA Rep. 1232; Hough & Moran 1969, J. Ship Research 13",
    valid={"depth_over_chord": (0.2, np.inf), "chord_froude": (1.0, np.inf)},
    decides=("depth_over_chord",),
)
def surface_lift_band(*, chord: Array, depth: Array, speed: Array) -> SurfaceLift:
    """Return the lift factor with its band: without and with the whole of the waves' curvature.

    Parameters
    ----------
    chord : float or array
        Mean chord [m].
    depth : float or array
        Depth below the still surface [m].
    speed : float or array
        Speed through the water [m/s].

    Returns
    -------
    SurfaceLift
        Factors [-] of the broadcast shape.
    """
    chord, depth, speed = np.asarray(chord), np.asarray(depth), np.asarray(speed)
    image, curvature, _, froude = _losses(chord, depth, speed)
    central, whole = (1.0 / (1.0 + loss) for loss in _central(image, curvature, froude))
    plain = 1.0 / (1.0 + image)
    return SurfaceLift(
        low=np.minimum(plain, whole),
        central=central,
        high=np.maximum(plain, whole),
        outside=surface_lift_band.mask(depth_over_chord=depth / chord, chord_froude=froude),
    )
