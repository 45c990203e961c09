"""Curves and margins as line drawings: a few lines over one axis, bars about a zero line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.parts.paper.drawing import Drawing
from foilwright.questions import report
from foilwright.questions.ask import Answers
from foilwright.questions.finding import Finding, is_flag

Flag = npt.NDArray[np.bool_]
WIDE, TALL = 1.6, 0.72
BARS = 16
"""Findings in the picture of margins."""
DASHES = ("good", "bad", "hidden", "joint")
"""Styles of lines, the first solid blue, the second solid brown, then dashed ones: told apart without colour too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """One line: its name and its values."""

    name: str
    x: Array
    y: Array


def ticks(low: float, high: float, count: int = 5) -> list[float]:
    """Return round values between two."""
    step = (high - low) / max(count, 1)
    size = 10.0 ** np.floor(np.log10(max(step, 1e-12)))
    step = next(each * size for each in (1.0, 2.0, 2.5, 5.0, 10.0) if each * size >= step - 1e-12)
    first = np.ceil(low / step - 1e-9) * step
    return [float(np.round(value, 9)) + 0.0 for value in np.arange(first, high + 1e-9 * step, step)]


def chart(name: str, curves: Sequence[Curve], *, along: str, up: str, from_zero: bool = True) -> Drawing:
    """Return lines over one axis, each named at its end."""
    out = Drawing(name=name)
    x = np.concatenate([one.x for one in curves])
    y = np.concatenate([one.y[np.isfinite(one.y)] for one in curves])
    left, right = float(x.min()), float(x.max())
    low, high = (0.0 if from_zero else float(y.min())), float(y.max())
    low, high = (low, high) if high > low else (low, low + 1.0)
    high += 0.06 * (high - low)

    def at(a: float, b: float) -> tuple[float, float]:
        return WIDE * (a - left) / (right - left), TALL * (b - low) / (high - low)

    for value in ticks(low, high):
        out.line([at(left, value), at(right, value)], "frame")
        out.say((-0.02, at(left, value)[1]), f"{value:g}", size=2.6, anchor="end")
    for value in ticks(left, right, 7):
        place = at(value, low)
        out.line([place, (place[0], place[1] - 0.015)], "measure")
        out.say((place[0], -0.045), f"{value:g}", size=2.6)
    out.line([at(left, low), at(right, low)], "measure")
    out.say((0.5 * WIDE, -0.10), along, size=2.9)
    out.say((-0.10, 0.5 * TALL), up, size=2.9, turned=True)
    taken: list[float] = []
    for k, one in enumerate(curves):
        good = np.isfinite(one.y)
        points = [at(float(a), float(b)) for a, b in zip(one.x[good], one.y[good], strict=True)]
        out.line(points, DASHES[k % len(DASHES)])
        height = points[-1][1]
        while any(abs(height - other) < 0.045 for other in taken):
            height -= 0.02
        taken.append(height)
        out.say((points[-1][0] + 0.02, height), one.name, size=2.7, anchor="start")
    out.line([(-0.12, -0.12), (-0.12, -0.12)], "frame")
    out.line([(WIDE + 0.34, 0.0), (WIDE + 0.34, 0.0)], "frame")
    return out


def curves(answers: Answers) -> list[tuple[Drawing, str]]:
    """Return the drawn curves of one design with what they show."""
    out: list[tuple[Drawing, str]] = []
    for made in (_rise(answers), _drag(answers), _ride(answers), _warm(answers)):
        if made is not None:
            out.append(made)
    return out


def _rise(answers: Answers) -> tuple[Drawing, str] | None:
    c = answers.curves.get("rise")
    if c is None:
        return None
    speed = 3.6 * c["speed"]
    end = float(answers.numbers["take_off_speed"][0]) * 3.6 * 1.1
    keep = speed <= (end if np.isfinite(end) else speed.max())
    lines = [
        Curve(name=name, x=speed[keep], y=c[key][keep])
        for name, key in (("thrust at full throttle", "thrust"), ("resistance", "resistance"))
    ]
    drawing = chart("take-off run", lines, along="speed, km/h", up="N")
    return (
        drawing,
        "Take-off run: what the propeller can give, and what board and foil ask. The hump is known to a quarter.",
    )


def _flying(answers: Answers) -> Flag | None:
    c = answers.curves.get("fly")
    low, high = (float(answers.numbers[name][0]) for name in ("slowest_flight", "fastest_flight"))
    if c is None or not np.isfinite(low + high):
        return None
    keep: Flag = (c["speed"] >= low - 1e-9) & (c["speed"] <= high + 1e-9)
    return keep if keep.sum() > 2 else None


def _drag(answers: Answers) -> tuple[Drawing, str] | None:
    keep = _flying(answers)
    if keep is None:
        return None
    c = answers.curves["fly"]
    speed = 3.6 * c["speed"][keep]
    wing = (c["drag_wing_profile"] + c["drag_induced"])[keep]
    lines = [
        Curve(name="all drag, N", x=speed, y=c["drag"][keep]), Curve(name="wing alone, N", x=speed, y=wing),
        Curve(name="pack power, 10 W", x=speed, y=c["electric_power"][keep] / 10.0),
    ]  # fmt: skip
    return chart(
        "flight", lines, along="speed, km/h", up="N, or 10 W"
    ), "Flight: drag, the wing's part of it, and the power that the pack gives."


def _ride(answers: Answers) -> tuple[Drawing, str] | None:
    c = answers.curves.get("endure")
    if c is None:
        return None
    minutes = c["time"] / 60.0
    lines = [
        Curve(name="pack voltage, V", x=minutes, y=c["voltage"]),
        Curve(name="charge, %", x=minutes, y=100.0 * c["state_of_charge"]),
        Curve(name="current, A", x=minutes, y=c["current"]),
    ]
    return chart(
        "ride", lines, along="time, min", up="V, %, A"
    ), "The stated ride: voltage under load, charge left, current."


def _warm(answers: Answers) -> tuple[Drawing, str] | None:
    c = answers.curves.get("cool")
    if c is None or "controller" not in c:
        return None
    minutes = c["time"] / 60.0
    lines = [
        Curve(name=f"{name.replace('_', ' ')}, °C", x=minutes, y=c[name] - 273.15)
        for name in ("controller", "cells", "box_air")
        if name in c
    ]
    return chart("warmth", lines, along="time, min", up="°C"), "Temperatures over the ride, as far as the models tell."


def margins(answers: Answers) -> Drawing:
    """Return the findings with the least to spare as bars about a zero line, the margin they must have marked."""
    found = [
        (one, verdict)
        for one, verdict in report.ranked(answers)
        if not one.reason[0] and not is_flag(one, 0) and np.isfinite(one.margin[0])
    ][:BARS]
    out = Drawing(name="least to spare")
    step = 0.085
    for k, (one, verdict) in enumerate(found):
        y = -k * step
        has, needs = _shares(one)
        bad = verdict == "fails"
        out.box((min(0.0, has), y - 0.022), (max(0.0, has), y + 0.022), "bad" if bad else "good",
            fill="#f0d9c2" if bad else "#cfe2f6")  # fmt: skip
        out.line([(needs, y - 0.034), (needs, y + 0.034)], "bar")
        out.say((-0.62, y), f"{verdict}: {one.name}", size=2.5, anchor="end")
    low = -(len(found) - 1) * step - 0.05
    out.line([(0.0, 0.05), (0.0, low)], "measure")
    for value in (-0.5, 0.5, 1.0):
        out.line([(value, 0.05), (value, low)], "frame")
        out.say((value, low - 0.035), f"{100 * value:+.0f} %", size=2.5)
    out.say((0.0, low - 0.035), "0", size=2.5)
    out.line([(-2.6, 0.0), (-2.6, 0.0)], "frame")
    return out


def _shares(one: Finding) -> tuple[float, float]:
    """Return margin and needed margin in units of the finding's scale, kept within the picture."""
    has, needs = float(one.margin[0]) / one.scale, float(one.required[0]) / one.scale
    return float(np.clip(has, -0.6, 1.05)), float(np.clip(needs, -0.6, 1.05))
