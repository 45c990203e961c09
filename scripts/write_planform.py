"""Write what a vortex lattice adds to the lifting line for finite chord, sweep and roll.

Straight-tapered flat wings, section slope 2 pi, from ``foilwright.study.lattice``:

    1/a = 1/(2 pi cos L) + (1 + tau + chord_tau)/(pi A)      slope of the wing,
    C_Di = (1 + delta + sweep_delta) C_L^2/(pi A)            induced drag,
    1/C_l = 1/(strip value) + excess/A                       roll: linear and step incidence,

with the strip value of the rolling moment a (1 + 3 t)/(12 (1 + t)) for an incidence that grows to one
radian at the tip and a (1 + 2 t)/(6 (1 + t)) for one radian on each half, a = 2 pi cos L. Axes:
u = A/(A + 6), the taper t, the sweep L of the quarter-chord line.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import numpy as np

from foilwright.study import lattice

DATA = Path(__file__).resolve().parents[1] / "src" / "foilwright" / "data"
SHAPES = 0.2 + 0.1 * np.arange(7)
TAPERS = 0.1 + 0.1 * np.arange(10)
SWEEPS = np.radians(-22.5 + 7.5 * np.arange(9))
NAMES = ("chord_tau", "sweep_delta", "peak", "peak_at", "roll_linear_excess", "roll_step_excess")


def _lifting_line() -> ModuleType:
    """Return the neighbouring script of the lifting line."""
    spec = importlib.util.spec_from_file_location(
        "write_lifting_line", Path(__file__).with_name("write_lifting_line.py")
    )
    if spec is None or spec.loader is None:
        raise FileNotFoundError("write_lifting_line.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def wing(aspect_ratio: float, taper: float, sweep: float, tau: float) -> dict[str, float]:
    """Return the additions for one wing; ``tau`` is that of the lifting line."""
    shape = {"span": aspect_ratio, "root_chord": 2.0 / (1.0 + taper), "taper": taper, "sweep": sweep}
    size = {"chordwise": 6, "spanwise": 20}
    level = lattice.wing(**shape, **size)
    linear = lattice.wing(**shape, **size, rolled="linear").roll_coefficient
    step = lattice.wing(**shape, **size, rolled="step").roll_coefficient
    peak, at = level.peak
    section = 1.0 / (2.0 * np.pi * np.cos(sweep))
    return {
        "chord_tau": np.pi * aspect_ratio * (1.0 / level.lift_coefficient - section) - 1.0 - tau,
        "sweep_delta": 1.0 / level.span_efficiency,
        "peak": peak,
        "peak_at": at,
        "roll_linear_excess": aspect_ratio * (1.0 / linear - section * 12.0 * (1.0 + taper) / (1.0 + 3.0 * taper)),
        "roll_step_excess": aspect_ratio * (1.0 / step - section * 6.0 * (1.0 + taper) / (1.0 + 2.0 * taper)),
    }


def main() -> None:
    """Write the table."""
    line = _lifting_line()
    head = [
        "# What a vortex lattice adds to the lifting line [-]: straight-tapered flat wings, section slope",
        "# 2 pi, 6 x 20 panels a half wing (Falkner 1943, ARC R&M 1910, for the method), computed by",
        "# scripts/write_planform.py. shape = A/(A + 6); taper; sweep of the quarter-chord line in rad.",
        "# chord_tau adds to tau of the lifting line, sweep_delta to its delta; peak = largest local lift",
        "# over C_L, peak_at its place over the half span; 1/C_l = 1/strip + excess/A for roll. Linear",
        "# interpolation misses the lattice by at most 0.4 % of the slope, 0.002 of delta, 1 % of C_l, 4",
        "# % of the peak (1 % for A >= 4 and taper >= 0.2), 0.13 of its place.",
        ",".join(("shape", "taper", "sweep", *NAMES)),
    ]
    rows = []
    for u in SHAPES:
        aspect_ratio = 6.0 * u / (1.0 - u)
        for taper in TAPERS:
            tau = line.wing(aspect_ratio, taper)["tau"]
            straight = wing(aspect_ratio, taper, 0.0, tau)["sweep_delta"]
            for sweep in SWEEPS:
                found = wing(aspect_ratio, taper, float(sweep), tau)
                found["sweep_delta"] -= straight
                cells = (f"{found[name]:.5f}" for name in NAMES)
                rows.append(",".join([f"{u:.4f}", f"{taper:.4f}", f"{sweep:.6f}", *cells]))
    (DATA / "planform.csv").write_text("\n".join([*head, *rows]) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
