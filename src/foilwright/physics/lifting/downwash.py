"""Downwash of the wing at the stabiliser."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array, model
from foilwright.physics.lifting._grid import plane

SOURCE = "lifting line and flat wake: Glauert 1926, Elements of Aerofoil and Airscrew Theory, ch. 12"


def _factor(behind: Array, aside: Array) -> Array:
    """Return kappa of a deep wing at distances over the half span."""
    return plane("downwash").at(behind / (1.0 + behind), aside / (1.0 + aside))


@model(
    source=SOURCE,
    valid={"arm_over_half_span": (0.5, np.inf, "too close behind the wing for a lifting line")},
)
def downwash_factor(
    *, aspect_ratio: Array, span: Array, arm: Array, depth: Array, height_offset: Array | float = 0.0
) -> Array:
    r"""Return the downwash angle at the stabiliser for each unit of the wing's lift coefficient.

    Parameters
    ----------
    aspect_ratio : float or array
        Aspect ratio of the wing, span squared over area [-].
    span : float or array
        Span of the wing [m].
    arm : float or array
        Distance of the stabiliser behind the quarter chord of the wing [m].
    depth : float or array
        Depth of the wing below the still surface [m].
    height_offset : float or array
        Height of the stabiliser above the wake of the wing [m].

    Returns
    -------
    array
        Downwash angle over lift coefficient [rad]; its product with the lift slope is the downwash
        slope. NaN within a third of the half span behind the wing.

    Notes
    -----
    .. math:: \varepsilon = \frac{\kappa C_L}{\pi A}, \quad
              \kappa = \kappa_0(x, |z|) + \kappa_0(x, 2 h - z)

    The image is that of high Froude number; waves are left out. Rolled-up wakes give a little more
    at the centre.
    """
    aspect_ratio, span, arm = np.asarray(aspect_ratio), np.asarray(span), np.asarray(arm)
    half = 0.5 * span
    behind = arm / half
    deep = _factor(behind, np.abs(height_offset) / half)
    image = _factor(behind, np.abs(2.0 * np.asarray(depth) - height_offset) / half)
    factor: Array = (deep + image) / (np.pi * aspect_ratio)
    return factor


@model(
    source=SOURCE,
    valid={"arm_over_half_span": (0.5, np.inf, "too close behind the wing for a lifting line")},
)
def downwash(
    *,
    lift_coefficient: Array,
    aspect_ratio: Array,
    span: Array,
    arm: Array,
    depth: Array,
    height_offset: Array | float = 0.0,
) -> Array:
    """Return the downwash angle at the stabiliser.

    Parameters
    ----------
    lift_coefficient : float or array
        Lift coefficient of the wing [-].
    aspect_ratio : float or array
        Aspect ratio of the wing, span squared over area [-].
    span : float or array
        Span of the wing [m].
    arm : float or array
        Distance of the stabiliser behind the quarter chord of the wing [m].
    depth : float or array
        Depth of the wing below the still surface [m].
    height_offset : float or array
        Height of the stabiliser above the wake of the wing [m].

    Returns
    -------
    array
        Downwash angle, positive down [rad].
    """
    per_lift = downwash_factor.function(
        aspect_ratio=aspect_ratio, span=span, arm=arm, depth=depth, height_offset=height_offset
    )
    angle: Array = np.asarray(lift_coefficient) * per_lift
    return angle
