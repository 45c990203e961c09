"""Logs as CSV with any column names, mapped once in a small header file."""

from __future__ import annotations

import csv
import difflib
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np

from foilwright.build import load as files
from foilwright.core import units
from foilwright.core.errors import BuildFileError, Fault
from foilwright.core.model import Array
from foilwright.study.learn.tracks import LARGEST, STEP, Series

KNOWN = {
    "time": "s", "speed": "m/s", "volts": "V", "amps": "A", "throttle": "1", "height": "m",
    "controller_temperature": "K", "motor_temperature": "K", "pack_temperature": "K",
}  # fmt: skip
"""What a column can be, and its SI unit."""
OF_DAY = "time of day"
EXAMPLE = 'volts = { column = "U_batt", unit = "V" }'
GAP = 4.0


def header_of(path: Path) -> Path | None:
    """Return the header file that belongs to a log: its own, or the one of its folder."""
    for name in (f"{path.stem}.columns.toml", "columns.toml"):
        if path.with_name(name).is_file():
            return path.with_name(name)
    return None


def is_header(path: Path) -> bool:
    """Say whether a TOML file is a header file."""
    text, file = files.text_of(path)
    return "columns" in files.tree_of(text, file)


def mapping(path: Path) -> dict[str, tuple[str, str]]:
    """Return what a header file says: what it is, to the column and its unit."""
    text, file = files.text_of(path)
    tree = files.tree_of(text, file).get("columns", {})
    faults, out = list[Fault](), dict[str, tuple[str, str]]()
    for name, entry in (tree if isinstance(tree, dict) else {}).items():
        near = difflib.get_close_matches(name, KNOWN, n=1, cutoff=0.5)
        if name not in KNOWN:
            faults.append(
                _fault(
                    file,
                    f"columns.{name}",
                    "an unknown name",
                    "one of " + ", ".join(KNOWN),
                    EXAMPLE,
                    near[0] if near else None,
                )
            )
        elif (
            not isinstance(entry, dict)
            or not isinstance(entry.get("column"), str)
            or not isinstance(entry.get("unit"), str)
        ):
            faults.append(_fault(file, f"columns.{name}", units.quoted(entry), "the column and its unit", EXAMPLE))
        elif entry["unit"] != OF_DAY and not _is_unit(entry["unit"], KNOWN[name]):
            faults.append(
                _fault(
                    file,
                    f"columns.{name}.unit",
                    units.quoted(entry["unit"]),
                    f"a unit of {units.kind_of(KNOWN[name])}",
                    EXAMPLE,
                )
            )
        else:
            out[name] = (entry["column"], entry["unit"])
    if "time" not in tree:
        faults.append(
            _fault(
                file, "columns", "no time", "time and at least one other column", 'time = { column = "t", unit = "s" }'
            )
        )
    if faults:
        raise BuildFileError(faults)
    return out


def _is_unit(unit: str, si: str) -> bool:
    try:
        units.parse(f"1 {unit}" if unit != "1" else 1.0, si)
    except units.UnitError:
        return False
    return True


def _fault(file: str, field: str, got: str, allowed: str, example: str = "", near: str | None = None) -> Fault:
    return Fault(file=file, line=None, field=field, got=got, allowed=allowed, example=example, nearest=near)


def read(path: Path, header: Path | None) -> Series:
    """Return a log on an even clock; rows that do not read are left out and counted."""
    name = units.quoted(path.name, 120)[1:-1]
    if header is None:
        known = ", ".join(KNOWN)
        raise BuildFileError(
            [
                _fault(
                    name,
                    "",
                    "a log without a header file",
                    f"a file {path.stem}.columns.toml beside it that maps {known}",
                    EXAMPLE,
                )
            ]
        )
    wanted = mapping(header)
    try:
        if path.stat().st_size > LARGEST:
            raise BuildFileError([_fault(name, "", f"more than {LARGEST} bytes", "a log of one day")])
        rows = list(csv.reader(path.read_text(encoding="utf-8-sig").splitlines(), delimiter=_mark(path)))
    except (OSError, UnicodeDecodeError, ValueError, csv.Error):
        raise BuildFileError(
            [
                _fault(
                    name,
                    "",
                    "a file that does not read",
                    "a table of text, one row a line, saved as UTF-8",
                    "day-1.csv",
                )
            ]
        ) from None
    titles = [title.strip() for title in rows[0]] if rows else []
    missing = [column for column, _ in wanted.values() if column not in titles]
    if missing:
        told = "one of " + ", ".join(titles[:20]) if titles else "a first line with the names of the columns"
        raise BuildFileError([_fault(name, column, "no such column", told) for column in missing])
    values = {
        what: _column(rows[1:], titles.index(column), unit, KNOWN[what]) for what, (column, unit) in wanted.items()
    }
    return _even(values, name, clocked=wanted["time"][1] == OF_DAY)


def _mark(path: Path) -> str:
    with path.open(encoding="utf-8-sig") as opened:
        first = opened.readline()
    return max(",;\t", key=first.count)


def _column(rows: list[list[str]], at: int, unit: str, si: str) -> Array:
    return np.array([_number(row[at] if at < len(row) else "", unit, si) for row in rows])


def _number(cell: str, unit: str, si: str) -> float:
    try:
        if unit == OF_DAY:
            return datetime.fromisoformat(cell.strip().replace("Z", "+00:00")).timestamp()
        value = float(cell)
    except ValueError:
        return float("nan")
    if not np.isfinite(value):
        return float("nan")
    factor, offset = _scale(unit, si)
    return factor * value + offset


def _scale(unit: str, si: str, kept: dict[tuple[str, str], tuple[float, float]] = {}) -> tuple[float, float]:  # noqa: B006
    """Return how a unit becomes SI, worked out once."""
    if (unit, si) not in kept:
        zero, one = (units.parse(float(k) if unit == "1" else f"{k} {unit}", si) for k in (0, 1))
        kept[unit, si] = (one - zero, zero)
    return kept[unit, si]


def _even(values: dict[str, Array], name: str, *, clocked: bool) -> Series:
    """Return columns on an even clock, each the mean of the samples of a step."""
    time = values["time"]
    fine = np.isfinite(time)
    order = np.argsort(time[fine], kind="stable")
    bad, back = int((~fine).sum()), int((np.diff(time[fine]) < 0.0).sum())
    kept = {what: each[fine][order] for what, each in values.items()}
    time = kept.pop("time")
    if time.size < 10:
        raise BuildFileError(
            [_fault(name, "", f"{time.size} rows with a time", "at least 10 rows, each with its time")]
        )
    clock = np.arange(time[0], time[-1] + STEP, STEP)
    at = np.round((time - time[0]) / STEP).astype(np.intp)
    notes = [
        f"{name}: {count} {'row' if count == 1 else 'rows'} {what}"
        for count, what in ((bad, "without a time"), (back, "out of order"))
        if count
    ]
    return Series(
        time=clock, east=np.full(clock.size, np.nan), north=np.full(clock.size, np.nan),
        columns={what: _filled(clock, at, each) for what, each in kept.items()}, notes=tuple(notes), clocked=clocked,
    )  # fmt: skip


def _filled(clock: Array, at: Any, values: Array) -> Array:
    """Return the mean of each step, lines between, and nothing across gaps."""
    fine = np.isfinite(values)
    count = np.bincount(at[fine], minlength=clock.size)[: clock.size]
    total = np.bincount(at[fine], weights=values[fine], minlength=clock.size)[: clock.size]
    there = np.flatnonzero(count)
    if there.size < 2:
        return np.full(clock.size, np.nan)
    mean = total[there] / count[there]
    out = np.interp(clock, clock[there], mean, left=np.nan, right=np.nan)
    after = np.clip(np.searchsorted(there, np.arange(clock.size)), 1, there.size - 1)
    return np.where((there[after] - there[after - 1]) * STEP > GAP, np.nan, out)
