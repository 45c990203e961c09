"""Holes at full size: base of the mast, motor mount, lid of the box."""

from __future__ import annotations

import math

import numpy as np

from foilwright.core.data import table
from foilwright.craft import Craft
from foilwright.parts.paper.drawing import Drawing

CLEARANCE = 0.0005
"""A hole is so much larger than its thread [m]."""
SCREW = 0.005
"""Clearance hole of a lid's screw where no insert is stated [m]."""


def sheets(craft: Craft) -> dict[str, Drawing]:
    """Return the drilling templates by name."""
    out = {"drill-base": base(craft), "drill-motor": motor(craft)}
    lid_sheet = lid(craft)
    if lid_sheet is not None:
        out["drill-lid"] = lid_sheet
    return out


def thread(size: str) -> float:
    """Return the diameter of a thread [m]."""
    listed = table("fasteners")
    name = "diameter" if "diameter" in listed.columns else next(iter(listed.columns))
    return float(listed.columns[name][listed.texts["size"].index(size)])


def base(craft: Craft) -> Drawing:
    """Return the flange with its bolts, nose to the right."""
    b, m = craft.structure.base, craft.mast
    long, wide = 0.5 * float(b.length[0]), 0.5 * float(b.width[0])
    out = Drawing(name="base of the mast, seen from below")
    out.box((-long, -wide), (long, wide), "cut")
    hole = 0.5 * (thread(b.size[0]) + CLEARANCE)
    row = int(b.bolts[0]) // 2
    xs = np.linspace(-0.5, 0.5, row) * float(b.pitch_x[0]) if row > 1 else np.zeros(1)
    for x in xs.tolist():
        for side in (-0.5, 0.5):
            y = side * float(b.pitch_y[0])
            out.circle((x, y), hole, "cut")
            out.cross((x, y), 0.008)
    chord = float(m.chord[0])
    out.line(_section(chord, m.section[0]), "inner", closed=True)
    out.line([(-long - 0.01, 0.0), (long + 0.02, 0.0)], "middle")
    out.line([(0.0, -wide - 0.005), (0.0, wide + 0.005)], "middle")
    out.say((long + 0.03, 0.0), "nose", size=4.0, anchor="start")
    out.say((0.0, wide + 0.012), f"{int(b.bolts[0])} holes {2000.0 * hole:.1f} mm for {b.size[0]}", size=3.8)
    out.say((0.0, -wide - 0.012),
        f"{1000 * float(b.pitch_x[0]):.1f} mm along, {1000 * float(b.pitch_y[0]):.1f} mm across, middle to middle",
        size=3.8)  # fmt: skip
    out.box((-long - 0.015, -wide - 0.018), (long + 0.05, wide + 0.018), "frame")
    out.say((0.0, -0.5 * wide), f"leading edge of the mast {1000 * (float(m.x[0])):.0f} mm from the tail", size=3.4)
    return out


def _section(chord: float, name: str) -> list[tuple[float, float]]:
    """Return the outline of the mast, nose to the right, its middle at the origin."""
    thick = float(name[-2:]) / 100.0 if name[-2:].isdigit() else 0.12
    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, 41)))
    y = 5.0 * thick * (0.2969 * np.sqrt(x) - 0.1260 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1036 * x**4)
    up = [((0.5 - a) * chord, b * chord) for a, b in zip(x.tolist(), y.tolist(), strict=True)]
    return up + [(a, -b) for a, b in reversed(up)]


def motor(craft: Craft) -> Drawing:
    """Return the circle of screws that hold the motor."""
    j, pod = craft.structure.joints, craft.pod
    out = Drawing(name="motor mount")
    radius = 0.5 * float(j.mount_circle[0])
    hole = 0.5 * (thread(j.mount_size[0]) + CLEARANCE)
    out.circle((0.0, 0.0), 0.5 * float(pod.diameter[0]), "hidden")
    out.circle((0.0, 0.0), radius, "middle")
    count = int(j.mount_bolts[0])
    for k in range(count):
        turn = 2.0 * math.pi * k / count
        at = (radius * math.cos(turn), radius * math.sin(turn))
        out.circle(at, hole, "cut")
        out.cross(at, 0.006)
    out.cross((0.0, 0.0), 0.01)
    room = 0.5 * float(pod.diameter[0]) + 0.01
    out.box((-room - 0.02, -room - 0.008), (room + 0.02, room + 0.008), "frame")
    out.say((0.0, room), f"{count} holes {2000 * hole:.1f} mm for {j.mount_size[0]}", size=3.8)
    out.say((0.0, -room), f"on a circle of {2000 * radius:.1f} mm; measure your motor first", size=3.8)
    return out


def lid(craft: Craft) -> Drawing | None:
    """Return the lid with its screws, evenly round the flange; none where no lid is stated."""
    b = craft.box
    long, wide, count = float(b.lid_length[0]), float(b.lid_width[0]), b.fastenings[0]
    if not np.isfinite([long, wide, count]).all() or "screws" not in b.fastening[0]:
        return None
    edge = 0.5 * (float(b.flange_width[0]) if np.isfinite(b.flange_width[0]) else 0.024)
    out = Drawing(name="lid of the box, from above")
    out.box((0.0, 0.0), (long, wide), "cut")
    out.box((2 * edge, 2 * edge), (long - 2 * edge, wide - 2 * edge), "hidden")
    hole = 0.5 * (SCREW + CLEARANCE)
    around = _ring(long - 2 * edge, wide - 2 * edge, int(count))
    for x, y in around:
        out.circle((x + edge, y + edge), hole, "cut")
        out.cross((x + edge, y + edge), 0.006)
    out.say((0.5 * long, 0.5 * wide + 0.01), f"{int(count)} screws, {1000 * edge:.0f} mm from the edge", size=3.8)
    out.say((0.5 * long, 0.5 * wide - 0.01), f"holes {2000 * hole:.1f} mm: change them to fit your screws", size=3.8)
    return out


def _ring(long: float, wide: float, count: int) -> list[tuple[float, float]]:
    """Return places evenly along a rectangle, corners first of all."""
    around = 2.0 * (long + wide)
    step, out = around / count, []
    for k in range(count):
        at = k * step
        if at < long:
            out.append((at, 0.0))
        elif at < long + wide:
            out.append((long, at - long))
        elif at < 2.0 * long + wide:
            out.append((2.0 * long + wide - at, wide))
        else:
            out.append((0.0, around - at))
    return out
