"""What an exploration found: the best designs as text and JSON, and pictures of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from foilwright.core import units
from foilwright.core.units import SHOWN
from foilwright.questions import report
from foilwright.questions.report_json import number
from foilwright.questions.report_text import NUMBERS, WIDE, wrapped
from foilwright.study.explore.aims import Aim
from foilwright.study.explore.plan import FORMAT, Columns, Plan
from foilwright.study.explore.run import goals
from foilwright.study.explore.search import undominated
from foilwright.study.explore.store import Store
from foilwright.study.plots import BLUE, FAINT, ORANGE, panels
from foilwright.version import __version__

if TYPE_CHECKING:
    from matplotlib.figure import Figure

LISTED = 12
"""Designs shown one a line."""
DRAWN = 20_000
"""Most designs drawn behind the best ones."""
CELL = 11
"""Columns of one value."""
KEPT = 1000
"""Most designs kept where there is no goal."""
LABELLED = 12
"""Most designs whose row stands beside them in a picture."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What is there of an exploration: counts, and the designs that no other beats, in the order of the first goal."""

    plan: Plan
    store: Store
    done: int
    good: int
    best: dict[str, npt.NDArray[Any]]


def found(plan: Plan, store: Store) -> Found:
    """Read the results part by part and keep the designs that no other beats; the first ones where there is no goal."""
    done = good = 0
    aims = list(dict.fromkeys(aim.column for aim in plan.goals))
    best: dict[str, npt.NDArray[Any]] = {}
    for place in sorted(store.numbers()):
        part = store.read(place, ["row", "lacks", *aims])
        some = _taken(part, np.flatnonzero(part["lacks"] <= 0.0))
        done, good = done + len(part["row"]), good + len(some["row"])
        some["part"] = np.full(len(some["row"]), place)
        best = {name: np.concatenate([best[name], some[name]]) for name in best} if best else some
        best = _taken(best, _front(plan, best))
    rows, parts = (best.get(name, np.zeros(0, dtype=np.int64)) for name in ("row", "part"))
    whole = [store.read(place) for place in dict.fromkeys(parts.tolist())]
    some_of = [_taken(part, np.flatnonzero(np.isin(part["row"], rows))) for part in whole]
    every = {name: np.concatenate([each[name] for each in some_of]) for name in some_of[0]} if some_of else {}
    if plan.goals and every:
        every = _taken(every, _front(plan, every))
    return Found(plan=plan, store=store, done=done, good=good, best=every)


def _front(plan: Plan, columns: Columns) -> npt.NDArray[np.intp]:
    """Return the places of the designs that no other beats, one of those alike, in the order of the first goal."""
    if not plan.goals or not len(columns["row"]):
        return np.arange(min(len(columns["row"]), KEPT))
    every = goals(plan, columns)
    first = np.flatnonzero(undominated(every))
    return first[np.unique(every[first], axis=0, return_index=True)[1]]


def _taken(columns: Columns, which: npt.NDArray[Any]) -> dict[str, npt.NDArray[Any]]:
    return {name: values[which] for name, values in columns.items()}


def text(got: Found) -> str:
    """Return what was found in plain words."""
    plan = got.plan
    what = {"sound": "are sound", "not-failing": "fail nowhere", "any": "are counted, whatever their verdict"}[
        plan.where
    ]
    within = [aim for aim in plan.aims if aim.kind == "within"]
    limits = f" and keep {', '.join(_limits(aim) for aim in within)}" if within else ""
    lines = wrapped(f"EXPLORE  {plan.build.name}: {got.done} of {plan.count} designs, {got.good} {what}{limits}.")
    if len(plan.cases) > 1:
        told = "; ".join(
            ", ".join(f"{path} {_value(value, _unit(plan, path))}" for path, value in case) for case in plan.cases
        )
        lines += wrapped(f"Each design is asked for {len(plan.cases)} cases and counts for its worst: {told}.", "  ")
    rows = got.best.get("row", np.zeros(0))
    if not rows.size:
        return "\n".join([*lines, "", *_none(got)]) + "\n"
    if plan.goals:
        told = ", ".join(f"{aim.kind} {aim.column}" for aim in plan.goals)
        one = "One of them is" if rows.size == 1 else f"{rows.size} of them are"
        lines += wrapped(f"{one} beaten by no other in every aim ({told}).", "  ")
    shown = np.unique(np.linspace(0, rows.size - 1, min(rows.size, LISTED)).round().astype(int))
    lines += ["", *_table(got, shown)]
    if rows.size > len(shown):
        lines += wrapped(f"{len(shown)} of {rows.size} shown, from one end to the other; --json lists them all.", "  ")
    lines += ["", *wrapped(
        f"All rows: {got.store.place}. A row becomes a build file with: foilwright explore {plan.build.file}"
        f" --in {got.store.place} --pick {rows[shown[0]]} -o NAME.toml"
    )]  # fmt: skip
    return "\n".join(lines) + "\n"


def _unit(plan: Plan, path: str) -> str:
    meta = plan.build.meta(path)
    return meta.unit if meta.kind == "quantity" else "1"


def _none(got: Found) -> list[str]:
    """Return what is in the way where no design is as wanted."""
    nearest, lacks = -1, np.inf
    counts: dict[str, int] = {}
    for part in got.store.parts(["row", "lacks", "holds_back"]):
        at = int(np.argmin(part["lacks"]))
        if part["lacks"][at] < lacks:
            nearest, lacks = int(part["row"][at]), float(part["lacks"][at])
        for name, count in zip(*np.unique(part["holds_back"].astype(str), return_counts=True), strict=True):
            counts[str(name)] = counts.get(str(name), 0) + int(count)
    if nearest < 0:
        return ["  Nothing is there yet."]
    common = sorted(counts, key=lambda name: -counts[name])[:3]
    return wrapped(
        f"No design is as wanted. Most are held back by {', '.join(common)}; row {nearest} lacks least. Widen a range,"
        " or ask for less (--where any).",
        "  ",
    )


def _limits(aim: Aim) -> str:
    (low, high), unit = report.amounts([aim.low, aim.high], aim.unit)
    return f"{aim.column} within {low} to {high}{unit}"


def _table(got: Found, shown: npt.NDArray[np.intp]) -> list[str]:
    """Return the designs one a line: row, goals, varied fields; as many columns as there is room for."""
    plan = got.plan
    columns = [(aim.column, aim.unit) for aim in plan.goals]
    columns += [
        (each.path, each.unit) for each in plan.variables if each.path not in {aim.column for aim in plan.goals}
    ]
    fit = (WIDE - 9) // CELL
    lines = []
    for start in range(0, len(columns), fit):
        some = columns[start : start + fit]
        heads = [_broken(name) for name, _ in some]
        for k in range(max(map(len, heads))):
            label = "row" if k == 0 else ""
            lines.append(f"  {label:>7}" + "".join(f"{head[k] if k < len(head) else '':>{CELL}}" for head in heads))
        for at in shown:
            cells = [_value(got.best[name][at], unit) for name, unit in some]
            lines.append(f"  {got.best['row'][at]:>7}" + "".join(f"{cell[: CELL - 1]:>{CELL}}" for cell in cells))
        lines.append("")
    return lines[:-1]


def _broken(name: str) -> list[str]:
    """Return a name in pieces that fit a column, broken at points and underscores."""
    lines = [""]
    for piece in name.replace(".", ". ").replace("_", "_ ").split(" "):
        held = piece[: CELL - 1]
        if lines[-1] and len(lines[-1]) + len(held) > CELL - 1:
            lines.append("")
        lines[-1] += held
    return lines


def _value(value: Any, unit: str) -> str:
    if isinstance(value, str):
        return value
    if not np.isfinite(float(value)):
        return "none"
    return report.amount(float(value), unit or "1")


def document(got: Found) -> dict[str, Any]:
    """Return what was found as plain data; every design that no other beats is a row."""
    plan = got.plan
    names = ["row", *(each.path for each in plan.variables), *NUMBERS, "verdict", "holds_back"]
    names += [aim.column for aim in plan.aims]
    names = [name for name in dict.fromkeys(names) if name in got.best]
    rows = range(len(got.best.get("row", ())))
    return {
        "format": FORMAT,
        "program": f"foilwright {__version__}",
        "build": {"name": plan.build.name, "file": plan.build.file, "hash": plan.build.hash},
        "place": str(got.store.place),
        "designs": {"wanted": plan.count, "done": got.done, "good": got.good},
        "vary": [{"path": each.path, "unit": each.unit} for each in plan.variables],
        "aims": [{"kind": aim.kind, "name": aim.column, "unit": aim.unit} for aim in plan.aims],
        "where": plan.where,
        "cases": [dict(case) for case in plan.cases],
        "best": [{name: _plain(got.best[name][k]) for name in names} for k in rows],
    }


def _plain(value: Any) -> str | int | float | None:
    if isinstance(value, str):
        return value
    return int(value) if isinstance(value, np.integer) else number(float(value))


def figures(got: Found) -> dict[str, Callable[[], Figure]]:
    """Return what draws the best designs: their aims against each other, and the fields along them."""
    if not got.plan.goals or not got.best:
        return {}
    name = got.store.place.stem
    return {f"{name}-aims": lambda: _aims(got), f"{name}-fields": lambda: _fields(got)}


def _shown(values: npt.NDArray[Any], unit: str) -> tuple[npt.NDArray[np.float64], str]:
    """Return values in a maker's unit, and its name."""
    name, factor, offset = SHOWN.get(unit, (units.WRITTEN_IN.get(unit, unit), 1.0, 0.0))
    return (values.astype(np.float64) - offset) / factor, "" if name in ("", "1") else f" [{name}]"


def _label(column: str, unit: str, name: str) -> str:
    label = NUMBERS[column][0] if column in NUMBERS else column
    return f"{label}{name}" if unit else label


def _aims(got: Found) -> Figure:
    """Draw each further goal over the first: all that are as wanted, and in front those that no other beats."""
    plan = got.plan
    first, *others = plan.goals
    pairs = others or [first]
    columns = list(dict.fromkeys([aim.column for aim in plan.goals] + ["lacks"]))
    good = _some(got.store, columns, got.done)
    told = f"{got.done} designs, {got.good} as wanted, {len(got.best['row'])} that no other beats (numbers: rows)"
    figure, axes = panels(f"{plan.build.name}: what can be had", told, len(pairs), 1.2 + 3.6 * len(pairs))
    for panel, aim in zip(axes, pairs, strict=True):
        for columns_, colour, size, shape in ((good, FAINT, 5.0, "."), (got.best, ORANGE, 22.0, "o")):
            x, x_unit = _shown(columns_[first.column], first.unit)
            y, y_unit = _shown(columns_[aim.column], aim.unit)
            panel.scatter(x, y, s=size, c=colour, marker=shape, linewidths=0, alpha=0.5 if columns_ is good else 1.0)
        rows = np.unique(np.linspace(0, len(got.best["row"]) - 1, LABELLED).round().astype(int))
        for k in rows:
            panel.annotate(str(got.best["row"][k]), (x[k], y[k]), (4, 3), textcoords="offset points", size=7.5)
        panel.set(xlabel=f"{_label(first.column, first.unit, x_unit)}, {first.kind}",
                  ylabel=f"{_label(aim.column, aim.unit, y_unit)}, {aim.kind}")  # fmt: skip
    return figure


def _some(store: Store, columns: list[str], done: int) -> dict[str, npt.NDArray[Any]]:
    """Return columns of designs as wanted: of all, or of every so many parts where there are very many."""
    step = max(1, done // DRAWN)
    parts = [store.read(place, columns) for place in sorted(store.numbers())[::step]]
    good = [_taken(part, np.flatnonzero(part["lacks"] <= 0.0)) for part in parts]
    return {name: np.concatenate([part[name] for part in good]) for name in columns}


def _fields(got: Found) -> Figure:
    """Draw every varied field along the designs that no other beats."""
    plan = got.plan
    first = plan.goals[0]
    x, x_unit = _shown(got.best[first.column], first.unit)
    fields = plan.variables
    told = "The varied fields of the designs that no other beats"
    figure, axes = panels(f"{plan.build.name}: what makes the best ones", told, len(fields), 1.2 + 1.5 * len(fields),
                          sharex=True)  # fmt: skip
    for panel, each in zip(axes, fields, strict=True):
        values = got.best[each.path]
        if each.names:
            places = np.array([each.names.index(str(value)) for value in values], dtype=np.float64)
            panel.scatter(x, places, s=16.0, c=BLUE, linewidths=0)
            panel.set_yticks(range(len(each.names)), each.names)
            panel.set_ylabel(each.path)
        else:
            shown, unit = _shown(values, each.unit)
            panel.scatter(x, shown, s=16.0, c=BLUE, linewidths=0)
            panel.set_ylabel(f"{each.path}{unit}")
    axes[-1].set_xlabel(f"{_label(first.column, first.unit, x_unit)}, {first.kind}")
    return figure
