"""Arithmetic of the planing bottom of Savitsky (1964), shared by the models of `resistance`.

Arrays in, arrays out, written for grids of designs, speeds and trims: powers are taken of the small
arrays only, and large ones are worked on in place.
"""

from __future__ import annotations

import functools

import numpy as np

from foilwright.core.model import Array

GRAVITY = 9.80665
RADIAN = np.pi / 180.0


def friction(log_reynolds: Array) -> Array:
    """Friction line from log10(Re), held below Re = 1e4, where such areas carry no force that counts."""
    gap = np.asarray(np.maximum(log_reynolds, 4.0))
    gap -= 2.0
    gap *= gap
    return np.asarray(np.divide(0.075, gap, out=gap))


def flat_lift(lift: Array, deadrise: Array) -> Array:
    """C_L0 of C_Lb = C_L0 - 0.0065 beta C_L0^0.6 (beta in degrees), Newton from above."""
    slope = 0.0065 * deadrise / RADIAN
    flat = 2.0 * lift + 4.0 * slope**2.5 + 1e-12
    for _ in range(10):
        power = slope * flat**0.6
        flat = (lift + 0.4 * power) / (1.0 - 0.6 * power / flat)
    return flat


_STEP = 0.01


@functools.cache
def _start() -> tuple[Array, Array]:
    """Return chords of the root t of t + t^5 = q^4 over cells of q: value and slope."""
    q = np.arange(0.0, 16.0 + 1.5 * _STEP, _STEP)
    y = q**4
    t = np.maximum(q, np.sqrt(q))
    for _ in range(60):
        t = (4.0 * t**5 + y) / (5.0 * t**4 + 1.0)
    slope = np.diff(t) / _STEP
    return t[:-1] - slope * q[:-1], slope


def root_of_wetted_ratio(lift: Array, squared: Array) -> Array:
    """Solve 0.0120 s + 0.0055 s^5/C_V^2 = lift for s = sqrt(lambda).

    With s = a t it reads t + t^5 = y; a chord over y^(1/4) and one Newton step give t to 1e-7.
    """
    scale = np.sqrt(np.sqrt(0.0120 / 0.0055 * squared))
    y = np.asarray(lift / (0.0120 * scale))
    quarter = np.asarray(np.sqrt(y))
    np.sqrt(quarter, out=quarter)
    level, slope = _start()
    cell = np.minimum(quarter * (1.0 / _STEP), slope.size - 1.0).astype(np.intp)
    t = np.asarray(slope[cell] * quarter)
    t += level[cell]
    t4 = np.asarray(t * t)
    t4 *= t4
    t *= t4
    t *= 4.0
    t += y
    t4 *= 5.0
    t4 += 1.0
    t /= t4
    t *= scale
    return t


def squared(speed: Array, beam: Array) -> Array:
    """Return C_V^2 = V^2/(g b), kept off zero."""
    return np.asarray((speed * speed + 1e-6) / (GRAVITY * beam))


def bottom_friction(
    *, root: Array, power: Array, speed: Array, beam: Array, trim: Array, deadrise: Array,
    roughness_allowance: Array, density: Array, kinematic_viscosity: Array,
) -> Array:  # fmt: skip
    """Friction along the bottom, with the mean bottom speed that the lift leaves (equations 6 and 7)."""
    ratio = np.asarray(root * root)
    if np.any(deadrise):
        dynamic = 0.0120 * root * power
        dynamic = dynamic - 0.0065 * deadrise / RADIAN * dynamic**0.6
        drop = dynamic / ((ratio + 1e-12) * np.cos(trim))
    else:
        drop = (0.0120 * power / np.cos(trim)) / (root + 1e-6)
    held = np.asarray(np.minimum(drop, 0.5))
    slowed = np.asarray(held / drop)
    np.subtract(1.0, held, out=held)
    slowed *= held
    force = np.asarray(ratio * ((0.5 * density) * speed * speed * (beam * beam) / np.cos(deadrise)))
    force *= slowed
    ratio *= ratio
    ratio *= slowed
    ratio += 1e-30
    gap = np.asarray(np.log(ratio, out=ratio))
    gap *= 0.5 / np.log(10.0)
    force *= friction(gap + np.log10((speed + 1e-6) * beam / kinematic_viscosity)) + roughness_allowance
    return force


def centre(ratio: Array, squared: Array) -> Array:
    """Return l_cp/b = C_p lambda, C_p = 0.75 - 1/(5.21 C_V^2/lambda^2 + 2.39)."""
    square = np.asarray(ratio * ratio)
    under = np.asarray(2.39 * square)
    under += 5.21 * squared
    square /= under
    np.subtract(0.75, square, out=square)
    square *= ratio
    return square


def flat_plate_lift(load: Array, speed: Array, beam: Array, density: Array) -> Array:
    """Return the lift coefficient W/(0.5 rho V^2 b^2) of a load."""
    return np.asarray(load / (0.5 * density * (speed * speed + 1e-6) * (beam * beam)))


def lift(load: Array, speed: Array, beam: Array, deadrise: Array, density: Array) -> Array:
    """Return C_L0 of the load; a load below zero counts as none."""
    of_load = flat_plate_lift(np.maximum(load, 0.0), speed, beam, density)
    return flat_lift(of_load, deadrise) if np.any(deadrise) else of_load
