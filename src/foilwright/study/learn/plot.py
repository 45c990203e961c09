"""Plots of a diagnosis: explanations, corrections, and each ride with its phases."""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from foilwright.study.learn.diagnose import Diagnosis
from foilwright.study.learn.model import CHARGE
from foilwright.study.learn.segment import PHASES, Ride
from foilwright.study.learn.told import percent
from foilwright.study.plots import BLUE, FAINT, INK, KMH, ORANGE, WIDE

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SHADES = ("#ffffff", "#d5e6f2", "#f3ecd2", "#c9e3d6")
"""Behind rest, displacement, hump and flying; each is also named."""
MOST = 8
USUAL = 6
"""Corrections of every ride; each more makes the drawing higher."""
MARKS = (0.001, 0.01, 0.1, 0.2, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.5, 2.0, 3.0, 5.0, 10.0, 100.0, 1000.0)
ROUND = (0.001, 0.01, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 100.0, 1000.0)
MOST_MARKS = 12
"""Factors that are written below the drawing, and those where many are."""


def figures(found: Diagnosis, rides: Sequence[tuple[str, Ride]]) -> Mapping[str, Callable[[], Figure]]:
    """Return what is drawn by name: the diagnosis, and the ride of each day."""
    out: dict[str, Callable[[], Figure]] = {"diagnosis": functools.partial(diagnosis, found)}
    return out | {name: functools.partial(ride, name, ridden) for name, ridden in rides}


def diagnosis(found: Diagnosis) -> Figure:
    """Draw how likely each explanation is, before and after the readings, and the corrections."""
    from matplotlib.figure import Figure  # noqa: PLC0415

    extra = max(len(found.corrections) - USUAL, 0)
    figure = Figure(figsize=(WIDE, 5.6 + 0.25 * extra), layout="constrained")
    left, right = figure.subplots(2, 1, height_ratios=(1.5, 1.0 + 0.12 * extra))
    order = [k for k in found.order if found.found.probability[k] >= 0.005][:MOST][::-1]
    rows = np.arange(len(order))
    left.barh(rows, [found.found.probability[k] for k in order], height=0.55, color=BLUE, label="after the readings")
    left.plot([found.causes[k].prior for k in order], rows, "|", color=ORANGE, markersize=13, mew=2.5, label="before")
    left.set_yticks(rows, [_short(found.causes[k].name) for k in order])
    for row, k in zip(rows, order, strict=True):
        share = float(found.found.probability[k])
        left.text(max(share, found.causes[k].prior) + 0.015, row, percent(share), va="center", color=INK)
    left.set(xlim=(0.0, 1.08), xlabel="probability", title=f"What explains the trials of {found.build.name}")
    left.set_ylim(min(-0.6, len(order) - 4.4), len(order) - 0.4)
    left.legend(frameon=False, loc="lower right")
    left.grid(visible=False, axis="y")
    shown = [each for each in found.corrections if each.name != CHARGE][::-1]
    for place, each in enumerate(shown):
        colour = BLUE if each.told else FAINT
        right.plot([each.low, each.high], [place, place], color=colour, linewidth=3.0, solid_capstyle="butt")
        right.plot([each.factor], [place], "o", color=colour)
    right.axvline(1.0, color=INK, linewidth=0.8)
    right.set_xscale("log")
    ends = [end for each in shown for end in (each.low, each.high)]
    marks = [mark for mark in MARKS if 0.95 * min(ends) <= mark <= 1.05 * max(ends)]
    marks = marks if len(marks) <= MOST_MARKS else [mark for mark in marks if mark in ROUND]
    right.set_xticks(marks, [f"{mark:g}" for mark in marks])
    right.set_xticks([], minor=True)
    right.set_yticks(range(len(shown)), [each.says + ("" if each.told else " (not told)") for each in shown])
    right.set(xlabel="factor on what the models say, 90 % intervals", ylim=(-0.6, len(shown) - 0.4))
    return figure


def _short(name: str, longest: int = 44) -> str:
    return name if len(name) <= longest else name[: name.rfind(" ", 0, longest)] + " ..."


def ride(name: str, ridden: Ride) -> Figure:
    """Draw speed, phases, falls, and what was logged over the time of a ride."""
    from matplotlib.figure import Figure  # noqa: PLC0415

    columns = {what: ridden.series.columns[what] for what in ("amps", "volts") if what in ridden.series.columns}
    figure = Figure(figsize=(WIDE, 2.6 + 1.5 * len(columns)), layout="constrained")
    axes = figure.subplots(1 + len(columns), 1, sharex=True, squeeze=False)[:, 0]
    minutes = (ridden.time - ridden.time[0]) / 60.0
    axes[0].plot(minutes, KMH * ridden.speed, color=BLUE, linewidth=1.4)
    edges = np.concatenate([[0], np.flatnonzero(np.diff(ridden.phase)) + 1, [ridden.phase.size]])
    seen: set[int] = set()
    for begin, end in pairwise(edges.tolist()):
        phase = int(ridden.phase[begin])
        label = PHASES[phase] if phase and phase not in seen else None
        seen.add(phase)
        axes[0].axvspan(minutes[begin], minutes[end - 1], color=SHADES[phase], linewidth=0.0, label=label)
    for each in ridden.falls:
        axes[0].axvline((each - ridden.time[0]) / 60.0, color=ORANGE, linewidth=1.2, linestyle=":")
    current = float(np.hypot(*ridden.current))
    told = f", a current of {KMH * current:.1f} km/h taken off" if ridden.current_known else ""
    axes[0].set(
        ylabel="speed through water [km/h]", title=f"{name}{told}", ylim=(0.0, 1.3 * KMH * np.nanmax(ridden.speed))
    )
    axes[0].legend(frameon=False, ncols=3, loc="upper left")
    for axis, (what, values) in zip(axes[1:], columns.items(), strict=True):
        axis.plot(minutes, values, color=INK, linewidth=1.0)
        axis.set_ylabel({"amps": "current [A]", "volts": "pack [V]"}[what])
    axes[-1].set_xlabel("time [min]")
    return figure
