"""Write the downwash behind a deep wing as a table, from its integrals.

Elliptically loaded straight lifting line with a flat wake (Prandtl's theory; Glauert 1926, The
Elements of Aerofoil and Airscrew Theory, ch. 12). On the centre line, x aft and z above or below the
wake over the half span, the angle is kappa C_L/(pi A) with

    kappa = 1/pi Int_-pi/2^pi/2 sin^2 p/(sin^2 p + z^2) (1 + x/d) + cos^2 p x/d^3 dp,
    d^2 = x^2 + sin^2 p + z^2;   kappa = 2 far aft in the wake.

The table holds kappa over u = x/(1 + x) and v = z/(1 + z). The same-sense image above a surface that
is passed at high Froude number is the same field, read at its own distance.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
DATA = Path(__file__).resolve().parents[1] / "src" / "foilwright" / "data"
BEHIND = np.arange(16, 65, 2) / 64
ASIDE = np.arange(0, 65) / 64
POINTS = np.linspace(-1.0, 1.0, 40001)


def factor(behind: float, aside: float) -> float:
    """Return kappa at x and z over the half span; infinite x is far aft."""
    if not np.isfinite(aside):
        return 0.0
    share = 0.5 * np.pi * POINTS**3
    sine2 = np.sin(share) ** 2
    reach = sine2 / (sine2 + aside * aside) if aside > 0.0 else np.ones_like(sine2)
    far = sine2 + aside * aside
    distance = np.sqrt(behind * behind + far) if np.isfinite(behind) else np.inf
    trailing = reach * (1.0 + (behind / distance if np.isfinite(behind) else 1.0))
    bound = np.cos(share) ** 2 * behind / distance**3 if np.isfinite(behind) else 0.0
    return float(np.trapezoid((trailing + bound) * 1.5 * np.pi * POINTS**2, POINTS) / np.pi)


def place(share: float) -> float:
    """Return x from x/(1 + x)."""
    return share / (1.0 - share) if share < 1.0 else np.inf


def main() -> None:
    """Write the table."""
    head = [
        "# Downwash factor kappa [-] behind a deep, elliptically loaded straight lifting line with a flat",
        "# wake: angle = kappa C_L/(pi A). Prandtl's theory (Glauert 1926, Elements of Aerofoil and",
        "# Airscrew Theory, ch. 12), computed by scripts/write_downwash.py. Rows: behind = x/(1 + x), x",
        "# aft of the quarter chord; columns: z/(1 + z), z above or below the wake; both over the half",
        "# span. Linear interpolation misses the integrals by at most 0.003 from x = 0.5.",
        ",".join(["behind", *(f"v{v:.6f}" for v in ASIDE)]),
    ]
    rows = [",".join([f"{u:.6f}", *(f"{factor(place(u), place(v)):.5f}" for v in ASIDE)]) for u in BEHIND]
    (DATA / "downwash.csv").write_text("\n".join([*head, *rows]) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
