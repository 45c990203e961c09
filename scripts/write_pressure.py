"""Write the least pressure and the geometry of the built-in sections to the shipped tables."""

from __future__ import annotations

import numpy as np

from foilwright.core.data import folder
from foilwright.physics.section import LIFT_AXIS
from foilwright.shape.foil import four_digit, section_coordinates, section_outline
from foilwright.study.polars import pressure_curve

SECTIONS = {
    "naca0008": "stabiliser",
    "naca0009": "stabiliser",
    "naca0010": "stabiliser or mast",
    "naca0012": "mast or stabiliser",
    "naca0015": "mast or fuselage",
    "naca1408": "stabiliser or fast wing",
    "naca1410": "stabiliser or fast wing",
    "naca1412": "wing",
    "naca2408": "fast wing",
    "naca2410": "wing",
    "naca2412": "wing",
    "naca2415": "thick wing",
    "naca4410": "slow wing",
    "naca4412": "slow wing",
    "naca4415": "thick slow wing",
}
POINTS = 121
STEP = 0.025


def curves(lift: np.ndarray, points: int) -> dict[str, np.ndarray]:
    """Return the least pressure of every section over lift."""
    outlines = {name: section_coordinates(section=name, points=points, trailing_edge=0.0) for name in SECTIONS}
    return {name: pressure_curve(coordinates=outline, lift_coefficient=lift) for name, outline in outlines.items()}


def write_pressure() -> None:
    """Write the least pressure over lift."""
    lift = np.linspace(LIFT_AXIS[0], LIFT_AXIS[-1], round(2.8 / STEP) + 1)
    found, finer = curves(lift, POINTS), curves(lift, 2 * POINTS)
    middle = 0.5 * (lift[1:] + lift[:-1])
    between = curves(middle, POINTS)
    panels = max(np.abs(finer[name] / found[name] - 1.0).max() for name in SECTIONS)
    linear = max(np.abs(np.interp(middle, lift, found[name]) / between[name] - 1.0).max() for name in SECTIONS)
    coarse = max(
        np.abs(np.interp(lift, LIFT_AXIS, np.interp(LIFT_AXIS, lift, found[name])) / found[name] - 1.0).max()
        for name in SECTIONS
    )
    tunnel = curves(np.array([1.08, 1.51]), POINTS)["naca0012"]
    twice, here, fast = (f"{100 * error:.1f} %" for error in (panels, linear, coarse))
    head = [
        "Least pressure coefficient over lift coefficient [-] in potential flow: linear vortex panels",
        "(Katz & Plotkin 2001, Low-Speed Aerodynamics, ch. 11), 240 panels, closed trailing edge.",
        f"Written by scripts/write_pressure.py. Twice the panels changes it by {twice} at most; linear",
        f"between rows {here} at most here, {fast} at most on the axis of the fast tables (step 0.05):",
        "where the place of least pressure jumps from nose to crest, towards more suction.",
        "NACA 0012 at equal lift against Gregory & O'Reilly 1970 (R&M 3726): measured -5.24 at a lift",
        f"coefficient of 1.08, here {tunnel[0]:.2f}; measured -10.18 at 1.51, here {tunnel[1]:.2f}.",
        "section,lift_coefficient,pressure_minimum",
    ]
    rows = [f"{name},{cl:.3f},{cp:.4f}" for name, curve in found.items() for cl, cp in zip(lift, curve, strict=True)]
    text = "\n".join([*(f"# {line}" for line in head[:-1]), head[-1], *rows]) + "\n"
    (folder() / "section_pressure.csv").write_text(text, encoding="utf-8", newline="\n")


def write_geometry() -> None:
    """Write what the outlines of the sections amount to."""
    columns = "section,use,thickness,camber,camber_place,area,perimeter,centroid_x,centroid_z"
    head = [
        "Built-in sections (Abbott & von Doenhoff 1959, ch. 6), open trailing edge, chord 1; camber, its",
        "place, thickness, perimeter and centroid in chords, area in chord^2, second moments about the axes",
        "through the centroid in chord^4 (flat: bending up and down; edge: bending fore and aft).",
        "Written by scripts/write_pressure.py from 401 points a side.",
        f"{columns},second_moment_flat,second_moment_edge",
    ]
    rows = []
    for name, use in SECTIONS.items():
        shape = four_digit(section=name)
        outline = section_outline(coordinates=section_coordinates(section=name, points=401))
        rows.append(
            f"{name},{use},{shape.thickness:g},{shape.camber:g},{shape.camber_place:g},{outline.area:.6f},"
            f"{outline.perimeter:.5f},{outline.centroid_x:.5f},{outline.centroid_z:.6f},"
            f"{outline.second_moment_flat:.4e},{outline.second_moment_edge:.4e}"
        )
    text = "\n".join([*(f"# {line}" for line in head[:-1]), head[-1], *rows]) + "\n"
    (folder() / "sections.csv").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write_geometry()
    write_pressure()
