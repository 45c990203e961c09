"""Write data/plates.csv: coefficients of rectangular plates under even pressure, edges supported or clamped.

Supported: the single series of Levy. Clamped: Chebyshev collocation of the plate equation. Run once:
python scripts/write_plates.py
"""

from __future__ import annotations

import numpy as np

from foilwright.core.data import folder
from foilwright.core.model import Array

POISSON = 0.3
SHARES = (
    0.0,
    0.05,
    0.1,
    0.15,
    0.2,
    0.25,
    0.3,
    0.35,
    0.4,
    0.45,
    0.5,
    0.55,
    0.6,
    0.65,
    0.7,
    0.75,
    0.8,
    0.85,
    0.9,
    0.95,
    1.0,
)
NODES = 28


def supported(long: float) -> tuple[float, float, float]:
    """Return stress, deflection and edge reaction of a plate of short side 1 with supported edges."""
    moment = deflection = reaction = 0.0
    for m in range(1, 6001, 2):
        a = m * np.pi
        half = 0.5 * a * long
        sign = (-1.0) ** ((m - 1) // 2)
        load = 4.0 / a
        # w_m(y) = load / a^4 (1 - (2 + half tanh half) / (2 cosh half) cosh(a y) + a y sinh(a y) / (2 cosh half))
        one = 1.0 / np.cosh(min(half, 600.0))
        tanh = np.tanh(half)
        first = (2.0 + half * tanh) * 0.5 * one
        w = load / a**4 * (1.0 - first)
        second = load / a**4 * (-first * a * a + a * a * one)
        deflection += sign * w
        moment += sign * (a * a * w - POISSON * second)
        # reaction of the long edge in its middle: V_x = D (w_xxx + (2 - nu) w_xyy), up
        reaction += a**3 * w - (2.0 - POISSON) * a * second
    lateral = 1.0 - POISSON**2
    return 6.0 * moment, 12.0 * lateral * deflection, reaction


def chebyshev(count: int) -> tuple[Array, Array]:
    """Return the points and the differentiation matrix (Trefethen 2000, program cheb)."""
    x = np.cos(np.pi * np.arange(count + 1) / count)
    c = np.ones(count + 1)
    c[[0, -1]] = 2.0
    c *= (-1.0) ** np.arange(count + 1)
    apart = x[:, None] - x[None, :]
    d = np.outer(c, 1.0 / c) / (apart + np.eye(count + 1))
    return x, d - np.diag(d.sum(axis=1))


def clamped(long: float) -> tuple[float, float]:
    """Return stress in the middle of the long edge and deflection, short side 1, edges clamped."""
    x, d = chebyshev(NODES)
    d2 = d @ d
    scale = np.diag(np.concatenate([[0.0], 1.0 / (1.0 - x[1:-1] ** 2), [0.0]]))
    fourth = (
        np.diag(1.0 - x**2) @ np.linalg.matrix_power(d, 4) - 8.0 * np.diag(x) @ np.linalg.matrix_power(d, 3) - 12.0 * d2
    ) @ scale
    inner = slice(1, -1)
    d2, fourth = d2[inner, inner], fourth[inner, inner]
    size = NODES - 1
    eye = np.eye(size)
    sx, sy = 2.0, 2.0 / long  # the short side along x
    plate = sx**4 * np.kron(eye, fourth) + sy**4 * np.kron(fourth, eye) + 2.0 * sx**2 * sy**2 * np.kron(d2, d2)
    w = np.zeros((NODES + 1, NODES + 1))
    w[inner, inner] = np.linalg.solve(plate, np.ones(size * size)).reshape(size, size)
    middle = NODES // 2
    bend = sx**2 * (d @ (d @ w[middle]))[0]
    lateral = 1.0 - POISSON**2
    return 6.0 * abs(bend), 12.0 * lateral * w[middle, middle]


def main() -> None:
    """Write the table."""
    lines = [
        "# Plates under even pressure q: stress = a q w^2/t^2, deflection = b q w^4/(E t^3), edge reaction = c q w",
        "# (supported edges); w the short side, share w over the long side, contraction 0.3. Supported: series of",
        "# Levy (Timoshenko & Woinowsky-Krieger 1959, ch. 5), stress in the middle. Clamped: Chebyshev collocation",
        "# with 28 intervals, stress in the middle of the long edge; below 0.2 the strip.",
        "# Written by scripts/write_plates.py; linear interpolation between the rows errs by less than 0.2 %.",
        "share,supported_stress,supported_deflection,supported_reaction,clamped_stress,clamped_deflection",
    ]
    for share in SHARES:
        strip = share < 0.2
        stress, deflection, reaction = (
            (0.75, 12 * (1 - POISSON**2) * 5 / 384, 0.5) if share == 0.0 else supported(1 / share)
        )
        edge, sag = (0.5, 12 * (1 - POISSON**2) / 384) if strip else clamped(1 / share)
        lines.append(f"{share:g},{stress:.5f},{deflection:.5f},{reaction:.5f},{edge:.5f},{sag:.5f}")
    (folder() / "plates.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
