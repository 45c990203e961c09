"""Potential flow about a section: thin-section theory and a panel method."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array, model

Complex = npt.NDArray[np.complex128]


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinSection:
    """Zero-lift angle [rad] and moment coefficient about the quarter chord, nose up [-]."""

    zero_lift_angle: Array
    moment: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Flow:
    """Potential flow about a section at each incidence."""

    lift: Array
    """Lift coefficient, (...,) [-]."""
    moment: Array
    """Moment coefficient about the quarter chord, nose up, (...,) [-]."""
    speed: Array
    """Speed along the outline over that of the stream, signed, (..., k) [-]."""
    pressure: Array
    """Pressure coefficient at each point of the outline, (..., k) [-]."""
    pressure_minimum: Array
    """Least pressure coefficient, by a parabola through the three points about it, (...,) [-]."""


@model(
    source="Glauert 1926, Aerofoil and Airscrew Theory, ch. 7, for the mean line of two parabolas",
    valid={"camber": (0.0, 0.1, "too much camber for the linear theory"), "camber_place": (0.1, 0.9)},
)
def thin_section(*, camber: Array, camber_place: Array) -> ThinSection:
    r"""Return the zero-lift angle and moment of a four-digit mean line by thin-section theory.

    Parameters
    ----------
    camber : float or array
        Greatest height of the mean line over chord [-].
    camber_place : float or array
        Its place behind the nose over chord [-].

    Returns
    -------
    ThinSection
        Angle [rad] and moment coefficient [-].

    Notes
    -----
    With :math:`x = (1 - \cos\theta)/2` the slope of each parabola is
    :math:`g (2p - 1 + \cos\theta)`, :math:`g = m/p^2` before and :math:`m/(1-p)^2` behind p; its
    Fourier integrals over the two pieces are closed.
    """
    m, p = np.broadcast_arrays(np.asarray(camber, dtype=np.float64), camber_place)
    turn = np.arccos(1.0 - 2.0 * p)
    fore, aft, shift = m / (p * p), m / ((1.0 - p) * (1.0 - p)), 2.0 * p - 1.0
    s1, s2 = np.sin(turn), np.sin(2.0 * turn)
    zero = shift * turn + s1
    first = shift * s1 + 0.5 * turn + 0.25 * s2
    second = 0.5 * shift * s2 + 0.5 * s1 + np.sin(3.0 * turn) / 6.0
    a0 = -(fore * zero + aft * (shift * np.pi - zero)) / np.pi
    a1 = 2.0 / np.pi * (fore * first + aft * (0.5 * np.pi - first))
    a2 = 2.0 / np.pi * (fore - aft) * second
    return ThinSection(zero_lift_angle=-a0 - 0.5 * a1, moment=0.25 * np.pi * (a2 - a1))


@model(
    source="Katz & Plotkin 2001, Low-Speed Aerodynamics, ch. 11: linear vortex panels",
    valid={"incidence": (-0.35, 0.35, "a section does not stay without separation so far")},
)
def panel(*, coordinates: Array, incidence: Array) -> Flow:
    r"""Return the potential flow about a section with a closed trailing edge.

    Parameters
    ----------
    coordinates : (k, 2) array
        Outline from the trailing edge over the top and back to the same point; chord 1, nose at 0
        [chord].
    incidence : float or (...,) array
        Angle of the stream to the chord line [rad].

    Returns
    -------
    Flow
        Lift, moment, speed and pressure coefficients [-].

    Notes
    -----
    The strength runs linearly along each panel. The complex velocity of a panel of length L that
    begins at the origin along the real axis is

    .. math:: w(\zeta) = \frac{1}{2 \pi i} \left[\gamma_1 (I_0 - I_1/L) + \gamma_2 I_1/L\right],
        \quad I_0 = \ln\frac{\zeta}{\zeta - L}, \quad I_1 = \zeta I_0 - L.

    The strengths at the trailing edge cancel (Kutta). The speed of the stream outside the outline
    is the strength, since the fluid inside is at rest. At the edge itself, where both sides meet at
    an angle, the stream stands still; the strength of the last panels does not resolve that, so the
    speed there is set to 0.
    """
    point = np.asarray(coordinates, dtype=np.float64) @ np.array([1.0, 1.0j])
    edge = np.diff(point)
    length = np.abs(edge)
    along = edge / length
    strength = _unit_strengths(point, length, along)
    angle = np.asarray(incidence, dtype=np.float64)[..., None]
    speed = np.cos(angle) * strength[:, 0] + np.sin(angle) * strength[:, 1]
    circulation = (0.5 * (speed[..., 1:] + speed[..., :-1]) * length).sum(axis=-1)
    speed[..., [0, -1]] = 0.0
    pressure = 1.0 - speed * speed
    fluid = 0.5 * (pressure[..., 1:] + pressure[..., :-1])
    arm = 0.5 * (point[1:] + point[:-1]) - 0.25
    turning = np.real(arm * np.conj(edge))
    return Flow(
        lift=-2.0 * circulation,
        moment=-(fluid * turning).sum(axis=-1),
        speed=speed,
        pressure=pressure,
        pressure_minimum=1.0 - _peak(speed * speed, np.concatenate([[0.0], np.cumsum(length)])),
    )


def _unit_strengths(point: Complex, length: Array, along: Complex) -> Array:
    """Return the strengths (k, 2) at the points for a stream along x and one along z."""
    count = length.size
    middle = 0.5 * (point[1:] + point[:-1])
    local = (middle[:, None] - point[None, :-1]) / along
    ratio = local / (local - length)
    np.fill_diagonal(ratio, 1.0)
    zeroth = np.log(ratio)
    np.fill_diagonal(zeroth, 1j * np.pi)
    first = (local * zeroth - length) / length
    scale = 1.0 / (2j * np.pi * along)
    normal = -1j * along
    matrix = np.zeros((count + 1, count + 1))
    matrix[:-1, :-1] += np.real((zeroth - first) * scale * normal[:, None])
    matrix[:-1, 1:] += np.real(first * scale * normal[:, None])
    matrix[-1, 0] = matrix[-1, -1] = 1.0
    stream = np.zeros((count + 1, 2))
    stream[:-1, 0] = -np.real(normal)
    stream[:-1, 1] = -np.real(-1j * normal)
    return np.asarray(np.linalg.solve(matrix, stream), dtype=np.float64)


def _peak(value: Array, place: Array) -> Array:
    """Return the greatest value along the last axis, by a parabola through the points about it."""
    at = np.clip(value.argmax(axis=-1), 1, place.size - 2)
    y0, y1, y2 = (np.take_along_axis(value, (at + k)[..., None], axis=-1)[..., 0] for k in (-1, 0, 1))
    left, right = place[at] - place[at - 1], place[at + 1] - place[at]
    rise, fall = (y1 - y0) / left, (y2 - y1) / right
    bend = (fall - rise) / (left + right)
    slope = (rise * right + fall * left) / (left + right)
    curved = bend < 0.0
    gain = np.where(curved, -slope * slope / (4.0 * np.where(curved, bend, 1.0)), 0.0)
    top: Array = np.maximum(y1 + gain, value.max(axis=-1))
    return top
