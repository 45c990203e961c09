"""Write the lift factor of a section below a free surface as a table, from its closed form.

One vortex at the quarter chord, one control point at three quarters, in a stream with gravity. With
Z the distance from the image of the vortex and K = g/U^2, the surface adds to the vortex (Kochin,
Kibel & Rose 1964, Theoretical Hydromechanics; Hough & Moran 1969, J. Ship Research 13)

    q = 1/Z - 2 i K exp(-i K Z) Int_-inf^Z exp(i K t)/t dt,

so that the section keeps k = 1/(1 + f) of its lift, f = (c/2) Re q at Z = c/2 - 2 i h. The part of f
that is already there at the vortex itself, pi K c exp(-2 K h), is the wave downwash that makes the
wave drag. The table holds 4 h/c times the rest of f, over r = 1/(1 + 4 h/c) and
s = U/(U + sqrt(g h)): r = 0 is great depth, s = 0 standstill, s = 1 high speed.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import numpy.typing as npt
from scipy.special import exp1, j1

Array = npt.NDArray[np.float64]
DATA = Path(__file__).resolve().parents[1] / "src" / "foilwright" / "data"
DEPTHS = np.arange(37) / 64
SPEEDS = np.arange(65) / 64
NODES, WEIGHTS = np.polynomial.legendre.leggauss(200)


def loss(depth_over_chord: float, depth_wave_number: float) -> float:
    """Return f for h/c and K h."""
    wave_number = depth_wave_number / depth_over_chord
    z = 0.5 - 2j * depth_over_chord
    wave = 0.0
    if wave_number > 0.0:
        turn = -1j * wave_number * z
        wave = float(np.real(-2j * wave_number * np.exp(turn) * (2j * np.pi - exp1(turn))))
    return float(0.5 * (np.real(1.0 / z) + wave))


def at_vortex(depth_over_chord: float, depth_wave_number: float) -> float:
    """Return the part of f that is the wave downwash at the vortex itself."""
    return np.pi * depth_wave_number / depth_over_chord * np.exp(-2.0 * depth_wave_number)


def scaled(closeness: float, speed_share: float) -> float:
    """Return what the table holds: 4 h/c times the curvature part of f; zero at great depth."""
    if closeness <= 0.0:
        return 0.0
    four = (1.0 - closeness) / closeness
    root = (1.0 - speed_share) / speed_share if speed_share > 0.0 else np.inf
    if root > 15.0:
        return -four / (1.0 + four * four)
    return four * (loss(0.25 * four, root * root) - at_vortex(0.25 * four, root * root))


def _integral(values: Array, start: float, end: float, pieces: int = 8) -> float:
    """Return the integral of values given at ``_places(start, end)``."""
    return float(np.sum(values.reshape(pieces, -1) @ WEIGHTS) * 0.5 * (end - start) / pieces)


def _places(start: float, end: float, pieces: int = 8) -> Array:
    """Return the points of a composite Gauss rule."""
    return (start + (np.arange(pieces)[:, None] + 0.5 * (NODES + 1.0)) * ((end - start) / pieces)).ravel()


def finite_span_curvature(span: float, chord: float, depth: float, speed: float) -> float:
    """Return the curvature part of f of an elliptically loaded wing, from the double integral.

    The surface changes the downwash between the quarter and the three-quarter chord by this much of
    the section's own; it is the oracle for the choice made from the table.
    """
    wave_number, arm = 9.80665 / speed**2, 0.5 * chord
    angles, weights = 0.25 * np.pi * (NODES + 1.0), 0.25 * np.pi * WEIGHTS
    far = 20.0 / depth
    total = 0.0
    for angle, weight in zip(angles, weights, strict=True):
        along, across = np.cos(angle), np.sin(angle)
        pole = wave_number / along**2

        def height(k: Array | float, along: float = along, across: float = across) -> Array:
            x = 0.5 * np.asarray(k) * across * span
            return k / along * (2.0 * j1(x) / x) ** 2 * np.exp(-2.0 * np.asarray(k) * depth)

        def swing(k: Array | float, along: float = along) -> Array:
            return height(k) * np.sin(np.asarray(k) * along * arm)

        k = _places(0.0, far)
        part = _integral(swing(k), 0.0, far)
        if 2.0 * pole < far:
            near, beyond = _places(0.0, 2.0 * pole), _places(2.0 * pole, far)
            principal = _integral((swing(near) - swing(pole)) / (near - pole), 0.0, 2.0 * pole)
            principal += _integral(swing(beyond) / (beyond - pole), 2.0 * pole, far)
        elif pole < far:
            near = _places(0.0, 2.0 * pole)
            principal = _integral((swing(near) - swing(pole)) / (near - pole), 0.0, 2.0 * pole)
        else:
            principal = _integral(swing(k) / (k - pole), 0.0, far)
        part += 2.0 * pole * principal
        part += 2.0 * np.pi * pole * float(height(pole) * (np.cos(pole * along * arm) - 1.0))
        total += 2.0 * weight * part
    return 2.0 * total * span * span / (8.0 * np.pi) / (span / chord)


def main() -> None:
    """Write the table."""
    head = [
        "# Loss of lift of a section below a free surface, curvature part, as 4 h/c (f - f at the vortex)",
        "# [-]; linear theory with gravity, one vortex and one control point (Kochin, Kibel & Rose 1964,",
        "# Theoretical Hydromechanics), computed by scripts/write_surface_lift.py. Rows: closeness = 1/(1",
        "# + 4 h/c); columns: s = U/(U + sqrt(g h)). Linear interpolation misses the closed form by at",
        "# most 0.003 of the lift factor for U >= sqrt(g c), 0.007 for U >= 0.7 sqrt(g c) and h/c >= 0.5;",
        "# below that the single vortex means nothing.",
        ",".join(["closeness", *(f"s{s:.6f}" for s in SPEEDS)]),
    ]
    rows = [",".join([f"{r:.6f}", *(f"{scaled(r, s):.6f}" for s in SPEEDS)]) for r in DEPTHS]
    (DATA / "surface_lift.csv").write_text("\n".join([*head, *rows]) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
