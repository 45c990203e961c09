"""Plots of one design's answers: the run, its balance, flight and the ride, as PNG and SVG."""

from __future__ import annotations

import functools
import io
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from foilwright.core.errors import PlaceError
from foilwright.questions.ask import Answers
from foilwright.questions.report import amount, case, never, percent, relief
from foilwright.study import wiring

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Array = npt.NDArray[np.float64]
Curve = Mapping[str, Array]

INK, FAINT, GRID, PAPER = "#22303c", "#6b7a86", "#dde3e8", "#ffffff"
BLUE, ORANGE, GREEN, ROSE = "#1f5a99", "#c4570c", "#187a5b", "#a8325e"
CAUSES = (
    ("drag_wing_profile", "wing, friction", "#2e2a7d"),
    ("drag_induced", "wing, lift and waves", "#7fb9dd"),
    ("drag_stabiliser", "stabiliser", "#3d9a8b"),
    ("drag_mast", "mast", "#145f2f"),
    ("drag_spray", "spray", "#c9b458"),
    ("drag_junction", "joints", "#8a8a2b"),
    ("drag_pod", "pod and fuselage", "#c25b68"),
    ("drag_air", "air", "#7d1f4f"),
)
"""Drag by cause in the order in which it is stacked; light beside dark, so that each border shows."""
LINK = ("#f3cdb4", "#f3ecd2", "#d5e6f2")
"""Less than nothing to spare, less than is needed, enough; each border is a line with its number."""
BEHIND: Any = {"facecolor": PAPER, "edgecolor": "none", "alpha": 0.75, "pad": 1.5}
"""What lies behind words that stand in a plot."""
STYLE: Any = {
    "font.family": "DejaVu Sans", "font.size": 9.0, "text.color": INK, "axes.labelcolor": INK, "axes.edgecolor": FAINT,
    "axes.facecolor": PAPER, "figure.facecolor": PAPER, "savefig.facecolor": PAPER, "axes.grid": True,
    "grid.color": GRID, "grid.linewidth": 0.7, "axes.axisbelow": True, "axes.spines.top": False,
    "axes.spines.right": False, "xtick.color": FAINT, "ytick.color": FAINT, "xtick.labelcolor": INK,
    "ytick.labelcolor": INK, "lines.linewidth": 2.0, "figure.dpi": 110.0, "savefig.dpi": 110.0,
    "svg.hashsalt": "foilwright",
}  # fmt: skip
KMH = 3.6
ZERO = 273.15
NO_FLIGHT = 12.0
"""Speed up to which the drag of a craft is drawn that flies at none [m/s]."""
WIDE = 8.4
"""Width of a figure [in]."""


ASKED = frozenset({"hold", "obey", "cool"})
"""Plots of which there is something to draw only where the question was asked."""


def write(answers: Answers, folder: Path) -> list[Path]:
    """Draw one design's answers into a folder; return the files, PNG and SVG of each plot.

    Raises
    ------
    PlaceError
        The folder cannot be made, or a file in it cannot be written.
    """
    drawn = {name: each for name, each in PLOTS.items() if name not in ASKED or name in answers.curves}
    return draw(folder, {name: functools.partial(each, answers) for name, each in drawn.items()})


def draw(folder: Path, figures: Mapping[str, Callable[[], Figure]]) -> list[Path]:
    """Draw figures into a folder under their names; return the files, PNG and SVG of each."""
    import matplotlib as mpl  # noqa: PLC0415 - takes half a second

    made = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with mpl.rc_context(STYLE):
            for name, drawn in figures.items():
                figure = drawn()
                made += [_save(figure, folder / f"{name}.{kind}") for kind in ("png", "svg")]
    except OSError as error:
        raise PlaceError(f"{folder} cannot be written: {error.strerror or error}") from error
    return made


def _save(figure: Figure, path: Path) -> Path:
    """Write a figure in one step; the same answers give the same bytes."""
    kind = path.suffix.removeprefix(".")
    drawn = io.BytesIO()
    figure.savefig(drawn, format=kind, metadata={"Date": None} if kind == "svg" else {"Software": None})
    fresh = path.with_name(path.name + ".new")
    fresh.write_bytes(drawn.getvalue())
    fresh.replace(path)
    return path


def _figure(answers: Answers, title: str, told: str, rows: int, tall: float, **extra: Any) -> tuple[Figure, list[Axes]]:
    """Return a figure of one build with a heading and panels above each other."""
    return panels(f"{answers.build.name}: {title}", told, rows, tall, sharex=True, **extra)


def panels(heading: str, told: str, rows: int, tall: float, **extra: Any) -> tuple[Figure, list[Axes]]:
    """Return a figure with a heading, a sentence below it, and panels above each other."""
    from matplotlib.figure import Figure  # noqa: PLC0415

    figure = Figure(figsize=(WIDE, tall), layout="constrained")
    figure.get_layout_engine().set(rect=(0.0, 0.0, 1.0, 1.0 - 0.62 / tall))  # type: ignore[union-attr,call-arg]
    made = figure.subplots(rows, 1, squeeze=False, **extra)[:, 0]
    figure.text(0.014, 1.0 - 0.10 / tall, heading, va="top", size=12.5, weight="bold")
    figure.text(0.014, 1.0 - 0.36 / tall, told, va="top", color=FAINT)
    return figure, list(made)


def _verdict(answers: Answers, question: str) -> str:
    """Return a question's verdict as the end of a heading; nothing where it was not asked."""
    return f" ({answers.verdict(question)})" if question in answers.findings else ""


def _number(answers: Answers, name: str) -> float:
    return float(answers.numbers[name][0])


def _line(axes: Axes, x: Array, y: Array, label: str, colour: str, **extra: Any) -> None:
    """Draw a line and write its name at its right end."""
    axes.plot(x, y, color=colour, **extra)
    there = np.flatnonzero(np.isfinite(y))
    if label and there.size:
        at = there[-1]
        axes.annotate(label, (x[at], y[at]), (5, 0), textcoords="offset points", color=colour, va="center")


def _mark(axes: Axes, x: float, told: str, *, high: float = 0.98, side: str = "left") -> None:
    """Draw an upright line with words beside it; nothing where there is no such place."""
    if not np.isfinite(x):
        return
    axes.axvline(x, color=FAINT, linewidth=1.0, linestyle=(0, (4, 3)))
    axes.annotate(
        told, (x, high), (4 if side == "left" else -4, 0), xycoords=("data", "axes fraction"),
        textcoords="offset points", va="top", ha=side, color=INK, size=8.5,
    )  # fmt: skip


def _area(axes: Axes, x: Array, lines: tuple[Array, Array], label: str, colour: str, *, along: float) -> None:
    """Name what lies between two lines, at a share of the way along; nothing where the gap is narrow."""
    low, high = lines
    there = np.flatnonzero(np.isfinite(high - low))
    if not there.size:
        return
    at = there[int(along * there.size)]
    if high[at] - low[at] > 0.15 * float(np.nanmax(high)):
        middle = 0.5 * (low[at] + high[at])
        axes.text(x[at], middle, label, color=colour, ha="center", va="center", size=8.5, bbox=BEHIND)


def _run_shown(answers: Answers, beyond: float) -> npt.NDArray[np.bool_]:
    """Return which speeds of the run are drawn: up to take-off, times so much; else while there is thrust."""
    curve, take_off = answers.curves["rise"], _number(answers, "take_off_speed")
    if np.isfinite(take_off):
        return np.asarray(curve["speed"] <= beyond * take_off)
    return np.asarray(curve["thrust"] > 0.02 * curve["thrust"].max())


def _told_of_run(answers: Answers) -> str:
    """Return in a sentence whether, when and where it takes off, or what stops it."""
    speed, time, way = (_number(answers, f"take_off_{name}") for name in ("speed", "time", "distance"))
    if np.isfinite(speed):
        told = f"Takes off at {amount(speed, 'm/s')}"
        from_rest = f", {amount(time, 's')} and {amount(way, 'm')} from rest at full throttle"
        return told + (from_rest if np.isfinite(time) else "")
    stopped = [finding for finding in answers.findings.get("rise", ()) if never(finding, 0)]
    if not stopped:
        return "Never takes off"
    needs = relief(stopped[0], 0)
    return f"Never takes off: {case(stopped[0], 0)}" + (f"; it needs {needs}" if needs else "")


def _rise(answers: Answers) -> Figure:
    curve, take_off = answers.curves["rise"], _number(answers, "take_off_speed")
    heading = f"thrust and resistance on the run{_verdict(answers, 'rise')}"
    figure, (axes,) = _figure(answers, heading, _told_of_run(answers), 1, 4.6)
    shown = _run_shown(answers, 1.35)
    speed, drag, thrust = (curve[name][shown] for name in ("speed", "resistance", "thrust"))
    speed = speed * KMH
    axes.fill_between(speed, drag, thrust, where=thrust >= drag, color=GREEN, alpha=0.10, linewidth=0)
    axes.fill_between(speed, drag, thrust, where=thrust < drag, color=ROSE, alpha=0.18, linewidth=0)
    _line(axes, speed, thrust, "full thrust", BLUE)
    axes.plot(speed, drag, color=ORANGE, linestyle=(0, (1, 1.5)), linewidth=1.4)
    _line(axes, speed, np.where(speed > take_off * KMH, np.nan, drag), "", ORANGE)
    _line(axes, speed[-1:], drag[-1:], "resistance", ORANGE)
    _area(axes, speed, (drag, thrust), "to spare", GREEN, along=0.2)
    _hump(axes, answers)
    _mark(axes, take_off * KMH, "take-off")
    axes.set(xlabel="speed [km/h]", ylabel="force [N]", ylim=(0.0, None), xlim=(0.0, None))
    return figure


def _hump(axes: Axes, answers: Answers) -> None:
    """Mark the hump and tell what full thrust is there."""
    speed, drag, thrust = (_number(answers, f"hump_{name}") for name in ("speed", "resistance", "thrust"))
    if not speed > answers.curves["rise"]["speed"][0]:
        return
    axes.plot([speed * KMH], [drag], "o", color=ORANGE, markersize=6)
    spare = thrust / drag - 1.0
    told = f"hump: {amount(drag, 'N')} at {amount(speed, 'm/s')}\n"
    told += f"full thrust {percent(abs(spare))} {'above' if spare >= 0.0 else 'below'} it"
    axes.annotate(
        told, (speed * KMH, drag), (0, 10), textcoords="offset points", ha="center", va="bottom", size=8.5, bbox=BEHIND
    )


def _balance(answers: Answers) -> Figure:
    curve = answers.curves["rise"]
    take_off = _number(answers, "take_off_speed")
    heading = f"lift, trim and the rider's place on the run{_verdict(answers, 'rise')}"
    told = "At each speed the trim of least drag that keeps every limit"
    told += ", up to take-off" if np.isfinite(take_off) else "; it never takes off"
    figure, (lift, trim, place) = _figure(answers, heading, told, 3, 6.4)
    shown = _run_shown(answers, 1.0)
    speed = curve["speed"][shown] * KMH
    if np.isfinite(take_off):
        lift.plot([take_off * KMH], [100.0], "o", color=BLUE, markersize=6)
    _line(lift, speed, 100.0 * curve["lift_share"][shown], "", BLUE)
    lift.axhline(100.0, color=FAINT, linewidth=1.0)
    lift.annotate("the whole weight", (0.005, 100.0), (0, 3), xycoords=("axes fraction", "data"),
                  textcoords="offset points", size=8.5, color=FAINT)  # fmt: skip
    _line(trim, speed, np.degrees(curve["board_trim"][shown]), "", ORANGE)
    _line(place, speed, curve["rider_position"][shown], "", GREEN)
    mast = answers.build.values.get("mast.x")
    if isinstance(mast, float):
        place.axhline(mast, color=FAINT, linewidth=1.0)
        place.annotate("mast", (0.005, mast), (0, 3), xycoords=("axes fraction", "data"),
                       textcoords="offset points", size=8.5, color=FAINT)  # fmt: skip
    for axes in (lift, trim, place):
        _mark(axes, take_off * KMH, "take-off" if axes is lift else "", high=0.5)
    lift.set(ylabel="carried by the foils [%]", ylim=(0.0, max(118.0, 105.0 * curve["lift_share"][shown].max())))
    trim.set(ylabel="trim of the board [°]", ylim=(0.0, None))
    place.set(ylabel="rider's weight,\nfrom the tail [m]", xlabel="speed [km/h]", xlim=(0.0, None))
    return figure


def _fly(answers: Answers) -> Figure:
    curve = answers.curves["fly"]
    slow, fast, cruise = (_number(answers, name) for name in ("slowest_flight", "fastest_flight", "cruise_speed"))
    flies = np.isfinite(slow) and np.isfinite(fast)
    if flies:
        told = f"Flies in balance from {slow * KMH:.1f} to {fast * KMH:.1f} km/h"
        taken = _number(answers, "cruise_electric_power")
        told += f"; takes {amount(taken, 'W')} at cruise" if np.isfinite(taken) else ""
    else:
        told = "Flies at no speed; shown is the drag that flight would have"
    figure, (drag, power) = _figure(answers, f"drag and power in flight{_verdict(answers, 'fly')}", told, 2, 7.2,
                                    height_ratios=(3, 2))  # fmt: skip
    low, high = (0.85 * min(slow, cruise), 1.12 * max(fast, cruise)) if flies else _no_flight(curve)
    shown = (curve["speed"] >= low) & (curve["speed"] <= high)
    speed = curve["speed"][shown] * KMH
    _stack(drag, speed, {name: curve[name][shown] for name, _, _ in CAUSES} | {"drag_wave": curve["drag_wave"][shown]})
    useful = curve["drag"][shown] * curve["speed"][shown] / 1000.0
    electric = curve["electric_power"][shown] / 1000.0
    power.fill_between(speed, useful, electric, where=np.isfinite(electric), color=ROSE, alpha=0.14, linewidth=0)
    _line(power, speed, useful, "drag times speed", BLUE)
    _line(power, speed, electric, "from the pack", ROSE)
    _area(power, speed, (useful, electric), "lost in the drive", ROSE, along=0.75)
    for axes in (drag, power):
        _mark(axes, slow * KMH, "slowest" if axes is drag else "")
        _mark(axes, fast * KMH, "fastest" if axes is drag else "", side="right")
        _mark(axes, cruise * KMH, "cruise" if axes is drag else "")
    drag.set(ylabel="drag by cause [N]", ylim=(0.0, None))
    power.set(ylabel="power [kW]", xlabel="speed [km/h]", ylim=(0.0, None))
    power.set_xlim(speed[0], speed[-1])
    return figure


def _no_flight(curve: Curve) -> tuple[float, float]:
    """Return the speeds over which drag is drawn where no flight is: from a little below the least of it."""
    shown = curve["speed"] <= NO_FLIGHT
    drag, speed = curve["drag"][shown], curve["speed"][shown]
    falls = np.flatnonzero(np.diff(drag) < 0.0)
    return 0.93 * float(speed[falls[-1] + 1] if falls.size else speed[0]), NO_FLIGHT


def _stack(axes: Axes, speed: Array, drags: Mapping[str, Array]) -> None:
    """Stack the drag by cause; each name stands beside its band, moved apart where bands are thin."""
    waves = {**drags, "drag_induced": drags["drag_induced"] + drags["drag_wave"]}
    bands = np.stack([np.maximum(waves[name], 0.0) for name, _, _ in CAUSES])
    tops = np.cumsum(bands, axis=0)
    floor = np.zeros_like(speed)
    for (_, _, colour), top in zip(CAUSES, tops, strict=True):
        axes.fill_between(speed, floor, top, color=colour, linewidth=0.8, edgecolor=PAPER)
        floor = top
    middle = tops[:, -1] - 0.5 * bands[:, -1]
    room = 0.062 * float(tops[-1].max())
    heights = _apart(middle, room, float(tops[-1].max()))
    for (_, label, colour), at, height in zip(CAUSES, middle, heights, strict=True):
        axes.annotate(
            label, (speed[-1], at), (1.03, height), xycoords="data", textcoords=("axes fraction", "data"), va="center",
            size=8.5, color=INK, annotation_clip=False,
            arrowprops={"arrowstyle": "-", "color": colour, "linewidth": 1.6, "relpos": (0.0, 0.5), "shrinkA": 2.0},
        )  # fmt: skip


def _apart(heights: Array, room: float, top: float) -> Array:
    """Return heights moved up, then down from the top, as far as needed to stand apart."""
    out = heights.copy()
    for k in range(1, out.size):
        out[k] = max(out[k], out[k - 1] + room)
    out[-1] = min(out[-1], top)
    for k in range(out.size - 2, -1, -1):
        out[k] = min(out[k], out[k + 1] - room)
    return out


def _endure(answers: Answers) -> Figure:
    curve = answers.curves["endure"]
    run = _number(answers, "run_time")
    told = f"On a charge it runs {amount(run, 's')}" if np.isfinite(run) else "How long it runs is not known"
    told += f"; shown is the stated ride of {amount(float(curve['time'][-1]), 's')}"
    figure, (charge, voltage, current) = _figure(
        answers, f"the pack over the ride{_verdict(answers, 'endure')}", told, 3, 6.4
    )
    minutes = curve["time"] / 60.0
    _line(charge, minutes, 100.0 * curve["state_of_charge"], "", GREEN)
    _line(voltage, minutes, curve["voltage"], "", BLUE)
    _line(current, minutes, curve["current"], "", ORANGE)
    charge.set(ylabel="charge [%]", ylim=(0.0, 104.0))
    voltage.set(ylabel="voltage under load [V]")
    current.set(ylabel="current [A]", xlabel="time [min]", ylim=(0.0, None), xlim=(0.0, None))
    return figure


def _obey(answers: Answers) -> Figure:
    curve = answers.curves["obey"]
    away, up = np.unique(curve["distance"]), np.unique(curve["antenna_height"])
    margin = curve["margin"].reshape(away.size, up.size).T
    stated = bool(np.isfinite(margin).all())
    told = "Margin of the throttle's link, body and hand between, its error not yet taken off"
    figure, (axes,) = _figure(
        answers, f"the link over distance{_verdict(answers, 'obey')}",
        told if stated else "The place of the antenna is not stated", 1, 4.6,
    )  # fmt: skip
    axes.set(xlabel="distance of the hand from the board [m]", ylabel="antenna over the water [m]", xscale="log")
    axes.set_xticks([2, 5, 10, 20, 50, 100], ["2", "5", "10", "20", "50", "100"])
    axes.minorticks_off()
    axes.set(xlim=(away[0], away[-1]), ylim=(up[0], up[-1]))
    axes.axhline(0.0, color=BLUE, linewidth=1.2)
    if stated:
        axes.contourf(away, up, margin, levels=[-400.0, 0.0, 25.0, 400.0], colors=LINK)
        lines = axes.contour(away, up, margin, levels=[-60, -30, 0, 10, 25, 40, 60], colors=INK, linewidths=1.0)
        axes.clabel(lines, fmt=lambda level: f"{level:.0f} dB", fontsize=8.0)
    axes.annotate(
        "under water", (away[-1], 0.0), (-4, -4), textcoords="offset points", va="top", ha="right", color=INK, size=8.5,
        bbox=BEHIND,
    )  # fmt: skip
    return figure


def _cool(answers: Answers) -> Figure:
    curve = answers.curves["cool"]
    warmest = float(curve["controller"].max()) - ZERO
    told = f"The controller reaches {warmest:.0f} °C and may reach {float(curve['limit'][0]) - ZERO:.0f} °C"
    figure, (axes,) = _figure(answers, f"temperatures over the ride{_verdict(answers, 'cool')}", told, 1, 4.6)
    minutes = curve["time"] / 60.0
    for name, label, colour, dash in (
        ("controller", "controller", ROSE, "-"), ("plate", "plate or skin", ORANGE, "--"),
        ("box_air", "air in the box", BLUE, "-."), ("cells", "cells", GREEN, ":"),
    ):  # fmt: skip
        axes.plot(minutes, curve[name] - ZERO, color=colour, linestyle=dash, label=label)
    axes.plot(minutes, curve["limit"] - ZERO, color=FAINT, linewidth=1.0, label="limit of the controller")
    figure.legend(loc="outside lower center", ncols=5, frameon=False, fontsize=8.5)
    axes.set(xlabel="time [min]", ylabel="temperature [°C]", xlim=(0.0, None))
    return figure


def _hold(answers: Answers) -> Figure:
    curve, build = answers.curves["hold"], answers.build.values
    depth, used = 100.0 * curve["below_board"], 100.0 * curve["used"]
    weak = int(np.argmax(used))
    place = f"{amount(float(curve['below_board'][weak]), 'm')} below the board" if weak else "at the board"
    told = f"Most is used {place}: {used[weak]:.0f} % of what the mast bears; base, joints and twist are not in it"
    figure, (whole,) = _figure(answers, f"moments along the mast{_verdict(answers, 'hold')}", told, 1, 5.6)
    whole.remove()
    shape, sideways, lengthways = figure.subplots(1, 3, sharey=True, width_ratios=(0.7, 1.0, 1.0))
    _mast(shape, depth, used, 100.0 * float(build["mast.chord"]))
    for axes, name, colour in ((sideways, "sideways", BLUE), (lengthways, "lengthways", ORANGE)):
        moment, breaks = curve[f"moment_{name}"], float(curve[f"breaks_{name}"][0])
        axes.fill_betweenx(depth, 0.0, moment, color=colour, alpha=0.25)
        axes.plot(moment, depth, color=colour)
        most = float(moment.max())
        axes.set(xlabel=f"moment {name} [N·m]", xlim=(0.0, 1.25 * max(most, min(breaks, 3.0 * most))))
        if breaks < axes.get_xlim()[1]:
            axes.axvline(breaks, color=ROSE, linestyle=(0, (4, 3)))
            axes.annotate(
                "breaks", (breaks, 0.5), (-4, 0), xycoords=("data", "axes fraction"), textcoords="offset points",
                color=ROSE, ha="right", va="center", rotation=90.0, size=8.5,
            )  # fmt: skip
    return figure


def _mast(axes: Axes, depth: Array, used: Array, chord: float) -> None:
    """Draw the mast seen from the side, darker where more of it is used, and its weakest place."""
    for low, high, share in zip(depth[:-1], depth[1:], used[:-1], strict=True):
        dark = float(np.clip(share / 120.0, 0.05, 0.95))
        axes.fill_betweenx([low, high], 0.0, chord, color=ROSE, alpha=dark, linewidth=0.0)
    axes.plot([0.0, chord, chord, 0.0, 0.0], [0.0, 0.0, depth[-1], depth[-1], 0.0], color=INK, linewidth=1.2)
    axes.plot([-0.6 * chord, 1.6 * chord], [0.0, 0.0], color=INK, linewidth=4.0)
    at = depth[int(np.argmax(used))]
    axes.annotate(
        f"weakest: {used.max():.0f} %", (0.5 * chord, at), (0.5 * chord, 0.12 * depth[-1] + at * 0.8), ha="center",
        bbox=BEHIND, arrowprops={"arrowstyle": "->", "color": INK}, size=8.5,
    )  # fmt: skip
    axes.set(xlabel="along the board [cm]", ylabel="below the board [cm]", xlim=(-0.8 * chord, 1.8 * chord))
    axes.set_ylim(1.04 * depth[-1], -0.03 * depth[-1])


PLOTS: dict[str, Callable[[Answers], Figure]] = {
    "rise": _rise, "balance": _balance, "fly": _fly, "endure": _endure, "obey": _obey,
    "cool": _cool, "hold": _hold, "wiring": wiring.diagram,
}  # fmt: skip
"""File name to what draws it."""
