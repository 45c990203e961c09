"""Curves of one question's answer, to be pointed at and zoomed into."""

from __future__ import annotations

from typing import Any

import numpy as np

from foilwright.core.model import Array
from foilwright.page.marks import safe
from foilwright.questions.ask import Answers

KMH, ZERO = 3.6, 273.15
BLUE, ORANGE, GREEN, ROSE = "#3f86c9", "#c9711f", "#2f9268", "#c45c86"
STROKES = ("solid", "dash", "dot", "dashdot", "longdash")
COLOURS = (BLUE, ORANGE, GREEN, ROSE, "#8a6fc0")
TITLES = {
    "rise": "Thrust and resistance on the run",
    "fly": "Drag and power in flight",
    "endure": "The pack over the ride",
    "cool": "Temperatures over the ride",
    "hold": "The mast below the board",
}
CAUSES = {
    "drag_wing_profile": "wing, friction", "drag_induced": "wing, lift", "drag_wave": "waves",
    "drag_stabiliser": "stabiliser", "drag_mast": "mast", "drag_spray": "spray", "drag_junction": "joints",
    "drag_pod": "pod", "drag_air": "air",
}  # fmt: skip


CONFIG = {"displaylogo": False, "modeBarButtonsToRemove": ["select2d", "lasso2d", "toImage"]}


def figure(answers: Answers, question: str) -> dict[str, Any] | None:
    """Return the curves of a question; none where it has none."""
    made = {"rise": _rise, "fly": _fly, "endure": _endure, "cool": _cool, "hold": _hold}.get(question)
    if made is None or question not in answers.curves:
        return None
    return {**made(answers), "config": CONFIG}


def told(answers: Answers, question: str) -> str:
    """Return what the curves show in one line, for those who do not see them."""
    if figure(answers, question) is None:
        return ""
    return f'<p class="quiet caption">{safe(TITLES[question])}: {safe(SAYS[question])}</p>'


SAYS = {
    "rise": "where full thrust lies above resistance it gains speed; the dotted line is take-off.",
    "fly": "drag by cause, stacked; the dotted lines are the slowest and the fastest flight.",
    "endure": "charge, and the current that the ride draws.",
    "cool": "the dotted line is what the controller may reach.",
    "hold": "moments in the worst case, and those at which it breaks (broken lines).",
}


def _layout(x: str, y: str, **more: Any) -> dict[str, Any]:
    return {
        "margin": {"l": 52, "r": 12, "t": 8, "b": 44}, "height": 300, "paper_bgcolor": "rgba(0,0,0,0)",
        "plot_bgcolor": "rgba(0,0,0,0)", "font": {"family": "inherit", "size": 13, "color": "#6b7780"},
        "xaxis": {"title": {"text": x}, "zeroline": False, "gridcolor": "#8884"},
        "yaxis": {"title": {"text": y}, "zeroline": False, "gridcolor": "#8884", "rangemode": "tozero"},
        "legend": {"orientation": "h", "y": 1.02, "yanchor": "bottom", "x": 0}, "hovermode": "x unified", **more,
    }  # fmt: skip


def _curve(x: Array, y: Array, name: str, number: int, **more: Any) -> dict[str, Any]:
    return {
        "type": "scatter", "mode": "lines", "x": _plain(x), "y": _plain(y), "name": name,
        "line": {"color": COLOURS[number % 5], "width": 2.2, "dash": STROKES[number % 5]}, **more,
    }  # fmt: skip


def _plain(values: Array) -> list[float | None]:
    return [float(f"{value:.4g}") if np.isfinite(value) else None for value in np.asarray(values)]


def _marks(*places: float) -> list[dict[str, Any]]:
    return [
        {"type": "line", "x0": place, "x1": place, "yref": "paper", "y0": 0, "y1": 1,
         "line": {"dash": "dot", "width": 1.4, "color": "#8a949c"}}
        for place in places if np.isfinite(place)
    ]  # fmt: skip


def _number(answers: Answers, name: str) -> float:
    return float(answers.numbers[name][0])


def _rise(answers: Answers) -> dict[str, Any]:
    curve, take_off = answers.curves["rise"], _number(answers, "take_off_speed")
    last = 1.35 * take_off if np.isfinite(take_off) else 0.75 * float(curve["speed"][-1])
    shown = curve["speed"] <= last
    x = curve["speed"][shown] * KMH
    lines = [
        _curve(x, curve["thrust"][shown], "full thrust [N]", 0),
        _curve(x, curve["resistance"][shown], "resistance [N]", 1),
    ]
    return {"data": lines, "layout": _layout("speed [km/h]", "force [N]", shapes=_marks(take_off * KMH))}


def _fly(answers: Answers) -> dict[str, Any]:
    curve = answers.curves["fly"]
    slow, fast = _number(answers, "slowest_flight"), _number(answers, "fastest_flight")
    low, high = (0.85 * slow, 1.1 * fast) if np.isfinite(slow + fast) else (3.5, 12.0)
    shown = (curve["speed"] >= low) & (curve["speed"] <= high)
    x = curve["speed"][shown] * KMH
    stack = [
        _curve(x, curve[name][shown], label, number, stackgroup="drag", fillpattern={"shape": PATTERNS[number % 4]})
        for number, (name, label) in enumerate(CAUSES.items())
    ]
    return {"data": stack, "layout": _layout("speed [km/h]", "drag [N]", shapes=_marks(slow * KMH, fast * KMH))}


PATTERNS = ("", "/", ".", "x")


def _endure(answers: Answers) -> dict[str, Any]:
    curve = answers.curves["endure"]
    x = curve["time"] / 60.0
    lines = [
        _curve(x, 100.0 * curve["state_of_charge"], "charge [%]", 0),
        _curve(x, curve["current"], "current [A]", 1),
        _curve(x, curve["voltage"], "voltage [V]", 2),
    ]
    return {"data": lines, "layout": _layout("time [min]", "")}


def _cool(answers: Answers) -> dict[str, Any]:
    curve = answers.curves["cool"]
    x = curve["time"] / 60.0
    names = {"controller": "controller", "plate": "plate", "box_air": "air in the box", "cells": "cells"}
    lines = [_curve(x, curve[name] - ZERO, told, k) for k, (name, told) in enumerate(names.items())]
    limit = _curve(x, curve["limit"] - ZERO, "limit", 3)
    limit["line"] = {"color": "#8a949c", "width": 1.6, "dash": "dot"}
    return {"data": [*lines, limit], "layout": _layout("time [min]", "temperature [°C]")}


def _hold(answers: Answers) -> dict[str, Any]:
    curve = answers.curves["hold"]
    x = 100.0 * curve["below_board"]
    names = {
        "moment_sideways": ("sideways", 0), "breaks_sideways": ("breaks sideways", 1),
        "moment_lengthways": ("lengthways", 2), "breaks_lengthways": ("breaks lengthways", 3),
    }  # fmt: skip
    lines = [_curve(x, curve[name], f"{label} [N·m]", number) for name, (label, number) in names.items()]
    for line, name in zip(lines, names, strict=True):
        line["line"]["dash"] = "dash" if name.startswith("breaks") else "solid"
    return {"data": lines, "layout": _layout("below the board [cm]", "moment [N·m]")}
