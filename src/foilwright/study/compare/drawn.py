"""Curves of builds laid over each other."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from foilwright.questions.ask import Answers
from foilwright.study.compare.differences import Comparison
from foilwright.study.plots import BLUE, GREEN, KMH, NO_FLIGHT, ORANGE, ROSE, panels

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

STROKES = (
    (BLUE, "-"), (ORANGE, "--"), (GREEN, "-."), (ROSE, ":"), ("#2e2a7d", (0, (5, 1))), ("#8a8a2b", (0, (3, 1, 1, 1))),
    ("#145f2f", (0, (1, 1))), ("#7d1f4f", (0, (8, 3))),
)  # fmt: skip
"""Colour and stroke of each build: told apart without colours too."""


def figures(found: Comparison) -> dict[str, Callable[[], Figure]]:
    """Return what draws the run, the flight and the ride of all builds."""
    return {
        "compare-rise": lambda: _rise(found),
        "compare-fly": lambda: _fly(found),
        "compare-endure": lambda: _endure(found),
    }


def _heading(found: Comparison, title: str) -> tuple[str, str]:
    """Return the heading, and which letter is which build."""
    names = [each.build.name for each in found.answers]
    files = [each.build.file for each in found.answers]
    told = names if len(set(names)) == len(names) else files
    return title, ", ".join(f"{letter} {name}" for letter, name in zip(found.letters, told, strict=True))


def _over(axes: Axes, found: Comparison, curve: str, x: str, y: str, *, by: float = 1.0, across: float = 1.0) -> None:
    """Draw one curve of every build, named by its letter in the legend."""
    for (colour, stroke), letter, each in zip(STROKES, found.letters, found.answers, strict=False):
        shown = _shown(each, curve)
        values = each.curves[curve]
        axes.plot(values[x][shown] * across, values[y][shown] * by, color=colour, linestyle=stroke, label=letter)


def _shown(answers: Answers, curve: str) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Return which part of a curve is drawn: the run a little beyond take-off, flight within its band."""
    speed = answers.curves[curve].get("speed")
    if speed is None:
        return np.ones(answers.curves[curve]["time"].size, dtype=bool)
    if curve == "rise":
        take_off = float(answers.numbers["take_off_speed"][0])
        return np.asarray(speed <= 1.35 * take_off if np.isfinite(take_off) else speed <= 0.7 * speed[-1])
    slow, fast = (float(answers.numbers[name][0]) for name in ("slowest_flight", "fastest_flight"))
    if not np.isfinite(slow + fast):
        slow, fast = 0.3 * NO_FLIGHT, NO_FLIGHT
    return np.asarray((speed >= 0.9 * slow) & (speed <= 1.08 * fast))


def _rise(found: Comparison) -> Figure:
    figure, (force, trim) = panels(*_heading(found, "Thrust and resistance on the run"), 2, 6.4, sharex=True,
                                   height_ratios=(3, 2))  # fmt: skip
    _over(force, found, "rise", "speed", "resistance", across=KMH)
    for (colour, stroke), each in zip(STROKES, found.answers, strict=False):
        shown, curve = _shown(each, "rise"), each.curves["rise"]
        force.plot(curve["speed"][shown] * KMH, curve["thrust"][shown], color=colour, linestyle=stroke, linewidth=1.0)
    _over(trim, found, "rise", "speed", "board_trim", by=180.0 / np.pi, across=KMH)
    force.set(ylabel="resistance, thin: full thrust [N]", ylim=(0.0, None))
    trim.set(ylabel="trim of the board [°]", xlabel="speed [km/h]", ylim=(0.0, None), xlim=(0.0, None))
    force.legend(frameon=False, ncols=len(found.answers))
    return figure


def _fly(found: Comparison) -> Figure:
    figure, (drag, power) = panels(*_heading(found, "Drag and power in flight"), 2, 6.4, sharex=True)
    _over(drag, found, "fly", "speed", "drag", across=KMH)
    _over(power, found, "fly", "speed", "electric_power", by=1e-3, across=KMH)
    drag.set(ylabel="drag [N]", ylim=(0.0, None))
    power.set(ylabel="from the pack [kW]", xlabel="speed [km/h]", ylim=(0.0, None))
    drag.legend(frameon=False, ncols=len(found.answers))
    return figure


def _endure(found: Comparison) -> Figure:
    figure, (charge, current) = panels(*_heading(found, "The pack over the ride"), 2, 6.4, sharex=True)
    _over(charge, found, "endure", "time", "state_of_charge", by=100.0, across=1.0 / 60.0)
    _over(current, found, "endure", "time", "current", across=1.0 / 60.0)
    charge.set(ylabel="charge [%]", ylim=(0.0, 104.0))
    current.set(ylabel="current [A]", xlabel="time [min]", ylim=(0.0, None), xlim=(0.0, None))
    charge.legend(frameon=False, ncols=len(found.answers))
    return figure
