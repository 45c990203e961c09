"""The craft in three views with its measures."""

from __future__ import annotations

import numpy as np

from foilwright.craft import Craft, Surface
from foilwright.parts.foam.layers import shape_of
from foilwright.parts.paper.drawing import Drawing, Point
from foilwright.shape import foil

FRAME = 0.09
"""Distance of the first measure from what is measured [m]."""


def _millimetres(value: float) -> str:
    return f"{1000.0 * value:.0f}"


def _plan(surface: Surface) -> list[Point]:
    """Return the outline of a lifting surface from above: x forward from the tail of the board, y to port."""
    made = foil.stations(
        area=surface.area[:1], span=surface.span[:1], taper=surface.taper[:1], sweep=surface.sweep[:1],
        dihedral=surface.dihedral[:1], twist=surface.twist[:1],
    )  # fmt: skip
    y, x, chord = (np.asarray(getattr(made, name))[0] for name in ("y", "x", "chord"))
    at = float(surface.x[0])
    front = [(at + float(b) + 0.25 * float(c), float(a)) for a, b, c in zip(y, x, chord, strict=True)]
    back = [(at + float(b) - 0.75 * float(c), float(a)) for a, b, c in zip(y, x, chord, strict=True)]
    half = [*front, *reversed(back)]
    return [*half, *((a, -b) for a, b in reversed(half))]


def top(craft: Craft) -> Drawing:
    """Return the craft from above, tail to the left."""
    s = shape_of(craft)
    out = Drawing(name="from above")
    port = list(zip(s.x, s.half, strict=True))
    out.line([(0.0, 0.0), *port, *((x, -y) for x, y in reversed(port))], "cut", closed=True, fill="#f4f7f9")
    for surface in (craft.wing, craft.stabiliser):
        out.line(_plan(surface), "inner", closed=True)
    fuse = 0.5 * float(craft.fuselage.diameter[0])
    ends = float(craft.stabiliser.x[0]) - 0.03, float(craft.wing.x[0]) + 0.05
    out.box((ends[0], -fuse), (ends[1], fuse), "inner")
    chord, lead = float(craft.mast.chord[0]), float(craft.mast.x[0])
    out.box((lead - chord, -0.06 * chord), (lead, 0.06 * chord), "inner", fill="#123047")
    middle = lead + float(craft.rider.stance[0])
    for side in (-0.5, 0.5):
        at = middle + side * float(craft.rider.stance_width[0])
        foot = 0.5 * float(craft.rider.foot_length[0])
        out.box((at - 0.05, -foot), (at + 0.05, foot), "zone")
    out.line([(min(ends[0], 0.0) - 0.05, 0.0), (float(s.x[-1]) + 0.05, 0.0)], "middle")
    side = max(float(s.half.max()), 0.5 * float(craft.wing.span[0])) + FRAME
    length, wide = float(craft.board.length[0]), float(craft.board.width[0])
    out.measure((0.0, side), (length, side), _millimetres(length))
    out.measure((0.0, -side), (lead, -side), f"mast {_millimetres(lead)}")
    span, at = float(craft.wing.span[0]), float(craft.wing.x[0])
    out.measure((at, -0.5 * span), (at, 0.5 * span), f"span {_millimetres(span)}")
    right = length + 0.08
    out.measure((right, -0.5 * wide), (right, 0.5 * wide), _millimetres(wide))
    tail = float(craft.stabiliser.x[0])
    if tail < -0.05:
        out.measure((tail, side - 0.03), (0.0, side - 0.03), _millimetres(-tail))
    return out


def side(craft: Craft) -> Drawing:
    """Return the craft from its starboard side, nose to the right."""
    s, m, pod = shape_of(craft), craft.mast, craft.pod
    out = Drawing(name="from the side")
    body = [*zip(s.x, s.bottom, strict=True), *zip(s.x[::-1], s.deck[::-1], strict=True)]
    out.line(body, "cut", closed=True, fill="#f4f7f9")
    lead, chord, length = float(m.x[0]), float(m.chord[0]), float(m.length[0])
    out.box((lead - chord, -length), (lead, 0.0), "cut", fill="#e3e8ec")
    deep = float(craft.wing.z[0])
    fuse = 0.5 * float(craft.fuselage.diameter[0])
    out.box((float(craft.stabiliser.x[0]) - 0.03, deep - fuse), (float(craft.wing.x[0]) + 0.05, deep + fuse), "cut",
        fill="#e3e8ec")  # fmt: skip
    for surface in (craft.wing, craft.stabiliser):
        _profile(out, surface)
    radius = 0.5 * float(pod.diameter[0])
    x, z, half = float(pod.x[0]), float(pod.z[0]), 0.5 * float(pod.length[0])
    out.box((x - half, z - radius), (x + half, z + radius), "cut", fill="#e3e8ec")
    blade = 0.5 * float(craft.drive.diameter[0])
    at = x - half - 0.015 if pod.behind[0] else x + half + 0.015
    out.line([(at, z - blade), (at, z + blade)], "bar")
    low = min(deep, z - blade) - 0.08
    out.measure((lead + 0.1, -length), (lead + 0.1, 0.0), _millimetres(length))
    back, front = float(craft.stabiliser.x[0]), float(craft.wing.x[0])
    out.measure((back, low), (front, low), f"arm {_millimetres(front - back)}")
    thick = float(craft.board.thickness[0])
    out.measure((0.05, 0.0), (0.05, thick), _millimetres(thick))
    out.measure((at - 0.06, z - blade), (at - 0.06, z + blade), f"propeller {_millimetres(2.0 * blade)}")
    end = float(s.x[-1])
    out.measure((end + 0.06, 0.0), (end + 0.06, float(s.bottom[-1])), _millimetres(float(s.bottom[-1])))
    out.line([(-0.1, 0.0), (end + 0.06, 0.0)], "middle")
    return out


def _profile(out: Drawing, surface: Surface) -> None:
    """Draw the root section of a surface at its incidence."""
    chord = 2.0 * float(surface.area[0]) / (float(surface.span[0]) * (1.0 + float(surface.taper[0])))
    thick = float(surface.section[0][-2:]) / 100.0 if surface.section[0][-2:].isdigit() else 0.12
    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, 31)))
    y = 5.0 * thick * (0.2969 * np.sqrt(x) - 0.1260 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1036 * x**4)
    turn = float(surface.incidence[0])
    both = np.concatenate([np.stack([0.25 - x, y], 1), np.stack([0.25 - x, -y], 1)[::-1]]) * chord
    rotated = both @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    out.line([(float(a) + float(surface.x[0]), float(b) + float(surface.z[0])) for a, b in rotated], "cut",
        closed=True, fill="#ffffff")  # fmt: skip


def front(craft: Craft) -> Drawing:
    """Return the craft from ahead."""
    s, m, w = shape_of(craft), craft.mast, craft.wing
    out = Drawing(name="from ahead")
    widest = int(s.half.argmax())
    half, low, high, rail = (float(each[widest]) for each in (s.half, s.bottom, s.deck, s.rail))
    turn = np.linspace(0.0, 0.5 * np.pi, 9)
    corner = [(half - rail + rail * float(np.sin(a)), low + rail - rail * float(np.cos(a))) for a in turn]
    right = [(0.0, low), *corner, (half, high), (0.0, high)]
    out.line([*right, *((-x, z) for x, z in reversed(right))], "cut", closed=True, fill="#f4f7f9")
    share = float(m.section[0][-2:]) / 100.0 if m.section[0][-2:].isdigit() else 0.12
    thick = 0.5 * share * float(m.chord[0])
    length = float(m.length[0])
    out.box((-thick, -length), (thick, 0.0), "cut", fill="#e3e8ec")
    for surface in (craft.stabiliser, w):
        span, rise = 0.5 * float(surface.span[0]), float(np.tan(surface.dihedral[0]))
        z = float(surface.z[0])
        out.line([(-span, z + span * rise), (0.0, z), (span, z + span * rise)], "bar")
    radius, z = 0.5 * float(craft.pod.diameter[0]), float(craft.pod.z[0])
    out.circle((0.0, z), radius, "cut")
    out.circle((0.0, z), 0.5 * float(craft.drive.diameter[0]), "hidden")
    span = float(w.span[0])
    low = float(w.z[0]) - 0.09
    out.measure((-0.5 * span, low), (0.5 * span, low), _millimetres(span))
    out.measure((-half, high + 0.06), (half, high + 0.06), _millimetres(2.0 * half))
    return out
