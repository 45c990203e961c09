"""Write the drag factor of a wing below a free surface as a table, from its integrals.

Linear theory of an elliptically loaded lifting line in a stream with gravity (Wu 1953, Calif. Inst.
Tech. Hydrodynamics Lab. Rep. 26-8; Breslin 1957, J. Ship Research 1), with y = h/b and K = g/U^2:

    T = 1 - sigma + W,   sigma = 2 Int_0^inf J1(x)^2/x exp(-4 x y) dx,
    W = (K b)^2/2 Int_0^inf (1 + t^2)^1.5 exp(-2 K h (1 + t^2)) (2 J1(x)/x)^2 dt,
    x = K b/2 t sqrt(1 + t^2)   (t is the tangent of the wave angle).

The table holds 4 y (T - 1) over r = 1/(1 + 4 y) and s = U/(U + sqrt(g h)), both bounded: r = 0 is
great depth, s = 0 standstill (T = 1 - sigma), s = 1 high speed (T = 1 + sigma).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import numpy.typing as npt
from scipy.special import j1

Array = npt.NDArray[np.float64]
DATA = Path(__file__).resolve().parents[1] / "src" / "foilwright" / "data"
DEPTHS = np.arange(61) / 64
SPEEDS = np.arange(65) / 64
NODES, WEIGHTS = np.polynomial.legendre.leggauss(40)


def _integral(values: npt.NDArray[np.float64], end: float) -> float:
    """Return the integral from zero to ``end`` of values given at ``_places(end)``."""
    pieces = values.size // NODES.size
    return float(values.reshape(pieces, -1) @ WEIGHTS @ np.full(pieces, 0.5 * end / pieces))


def _places(end: float, pieces: int = 120) -> Array:
    """Return the points of a composite Gauss rule from zero to ``end``."""
    return ((np.arange(pieces)[:, None] + 0.5 * (NODES + 1.0)) * (end / pieces)).ravel()


def biplane(depth_over_span: float) -> float:
    """Return Prandtl's mutual factor of the wing and its surface image, gap 2 h."""
    end = 10.0 / depth_over_span
    x = _places(end)
    return 2.0 * _integral(j1(x) ** 2 / x * np.exp(-4.0 * x * depth_over_span), end)


def wave(depth_over_span: float, depth_wave_number: float) -> float:
    """Return the wave part W for h/b and K h."""
    span = depth_wave_number / depth_over_span
    end = float(np.sqrt(20.0 / depth_wave_number))
    t = _places(end)
    x = 0.5 * span * t * np.sqrt(1.0 + t * t)
    kernel = (1.0 + t * t) ** 1.5 * np.exp(-2.0 * depth_wave_number * (1.0 + t * t)) * (2.0 * j1(x) / x) ** 2
    return 0.5 * span * span * _integral(kernel, end)


def factor(depth_over_span: float, speed_share: float) -> float:
    """Return the drag factor T for h/b and s = U/(U + sqrt(g h))."""
    sigma = biplane(depth_over_span)
    if speed_share >= 1.0:
        return 1.0 + sigma
    root = (1.0 - speed_share) / speed_share if speed_share > 0.0 else np.inf
    return 1.0 - sigma + (wave(depth_over_span, root * root) if root < 20.0 else 0.0)


def scaled(closeness: float, speed_share: float) -> float:
    """Return what the table holds: 4 h/b (T - 1); zero at great depth."""
    if closeness <= 0.0:
        return 0.0
    four = (1.0 - closeness) / closeness
    return four * (factor(0.25 * four, speed_share) - 1.0)


def main() -> None:
    """Write the table."""
    head = [
        "# Drag factor T of an elliptically loaded wing below a free surface, as 4 h/b (T - 1) [-];",
        "# linear theory of Wu 1953 (Calif. Inst. Tech. Hydrodynamics Lab. Rep. 26-8) and Breslin 1957",
        "# (J. Ship Research 1), computed by scripts/write_surface_drag.py. Rows: closeness = 1/(1 + 4",
        "# h/b); columns: s = U/(U + sqrt(g h)). Linear interpolation misses the integrals by at most",
        "# 0.25 % of T for h/b >= 0.1 and U >= sqrt(g h), 0.8 % for h/b >= 0.1 at any speed, 2 % for h/b",
        "# >= 0.05; above that depth it grows to 4 %.",
        ",".join(["closeness", *(f"s{s:.6f}" for s in SPEEDS)]),
    ]
    rows = [",".join([f"{r:.6f}", *(f"{scaled(r, s):.6f}" for s in SPEEDS)]) for r in DEPTHS]
    (DATA / "surface_drag.csv").write_text("\n".join([*head, *rows]) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
