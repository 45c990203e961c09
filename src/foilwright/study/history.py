"""The builds, trials and corrections of one craft over time, from the plain files in its folder.

Nothing is kept besides these files: they are at home under version control, and a copy of the folder is a
copy of the history.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from foilwright.build import load as files
from foilwright.build.build import Build, Value
from foilwright.core import units
from foilwright.core.errors import BuildFileError, FoilwrightError, PlaceError
from foilwright.questions.ask import Answers, ask
from foilwright.study.learn import sheet

WIDE = 80
MOST = 12
"""Changes that are listed of one build against the one before."""
NUMBERS = {"take_off_speed": "m/s", "hump_thrust": "N", "hump_resistance": "N", "cruise_electric_power": "W"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """One build file, what changed since the one before, and what it was predicted to do."""

    build: Build
    changes: tuple[tuple[str, str, str], ...]  # path, before, now
    predicted: Mapping[str, float]
    holds_back: str
    corrections: Mapping[str, float]
    read_on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One session sheet: when, of which build, and what was seen."""

    file: str
    date: str
    build: str
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """Builds in the order of their names, days in the order of their dates, and files that do not read."""

    folder: str
    versions: tuple[Version, ...]
    days: tuple[Day, ...]
    unread: tuple[str, ...]


def history(folder: Path) -> History:
    """Return the builds and trials in a folder.

    A build file of a name that another begins with, as ``mine.toml`` and ``mine-2.toml``, comes before it.
    """
    if not folder.is_dir():
        raise PlaceError(f"{folder} is no folder; give the one with the build files and trials of a craft")
    builds: list[Build] = []
    sheets: list[Path] = []
    unread: list[str] = []
    for path in sorted(folder.glob("*.toml"), key=lambda each: each.stem):
        try:
            tree = files.tree_of(*files.text_of(path))
        except BuildFileError as error:
            unread.append(str(error).split("\n", 1)[0])
            continue
        if "columns" in tree:
            continue
        if "session" in tree or not tree.keys() & {"board", "wing"}:
            sheets.append(path)
            continue
        try:
            builds.append(files.load(path))
        except BuildFileError as error:
            unread.append(str(error).split("\n", 1)[0])
    if not builds:
        raise FoilwrightError(f"there is no build file in {folder}; write one there with: foilwright new mine")
    days = []
    for path in sheets:
        try:
            days.append(_day(path, builds[0]))
        except BuildFileError as error:
            unread.append(str(error).split("\n", 1)[0])
    versions = tuple(_version(build, builds[k - 1] if k else None) for k, build in enumerate(builds))
    days.sort(key=lambda each: (each.date or "9999", each.file))
    return History(folder=str(folder), versions=versions, days=tuple(days), unread=tuple(unread))


def _version(build: Build, before: Build | None) -> Version:
    answers = ask(build, questions=("rise", "fly"))
    own = {
        path: float(value) for path, value in build.values.items() if path.startswith("factors.") and path != READ_ON
    }
    return Version(
        build=build, changes=_changes(before, build) if before else (), predicted=_numbers(answers),
        holds_back=_held(answers), corrections=own, read_on=str(build.values.get(READ_ON, "")),
    )  # fmt: skip


READ_ON = "factors.read_on"


def _numbers(answers: Answers) -> dict[str, float]:
    found = {name: float(answers.numbers[name][0]) for name in NUMBERS if name in answers.numbers}
    return {name: value for name, value in found.items() if np.isfinite(value)}


def _held(answers: Answers) -> str:
    from foilwright.questions import report  # noqa: PLC0415

    finding, verdict = report.ranked(answers)[0]
    return f"{finding.name}: {verdict}"


def _changes(before: Build, now: Build) -> tuple[tuple[str, str, str], ...]:
    paths = dict.fromkeys([*before.values, *now.values])
    return tuple(
        (path, _shown(before, path), _shown(now, path))
        for path in paths
        if before.values.get(path) != now.values.get(path)
    )


def _shown(build: Build, path: str) -> str:
    value: Value | None = build.values.get(path)
    if value is None:
        return "left out"
    meta = build.meta(path)
    return units.show(float(value), meta.unit) if meta.kind == "quantity" else str(value)


def _day(path: Path, build: Build) -> Day:
    trial = sheet.read(path, build)
    tree = files.tree_of(*files.text_of(path))
    session = tree.get("session", {})
    says = [each.says for each in trial.readings]
    says += [str(each.get("text", "")) for each in tree.get("note", []) if isinstance(each, dict)]
    return Day(file=path.name, date=str(session.get("date", "")), build=str(session.get("build", "")), seen=tuple(says))


def _wrap(told: str, indent: str = "") -> list[str]:
    return textwrap.wrap(told, WIDE, initial_indent=indent, subsequent_indent=indent + "  ", break_on_hyphens=False)


def text(found: History) -> str:
    """Return a history for a screen of 80 columns: builds, then days."""
    lines = ["BUILDS"]
    for version in found.versions:
        lines += _wrap(f"{version.build.file}  {version.build.name}, version {version.build.hash}", "  ")
        for path, before, now in version.changes[:MOST]:
            lines += _wrap(f"{path}: {before} before, {now} now", "    ")
        if len(version.changes) > MOST:
            lines.append(f"    and {len(version.changes) - MOST} fields more")
        told = ", ".join(
            f"{name.replace('_', ' ')} {units.show(v, NUMBERS[name])}" for name, v in version.predicted.items()
        )
        lines += _wrap(f"predicted: {told or 'no take-off'}; holds it back: {version.holds_back}", "    ")
        if version.corrections:
            own = ", ".join(
                f"{path.partition('.')[2].replace('_', ' ')} {v:.2f}" for path, v in version.corrections.items()
            )
            lines += _wrap(f"corrections{' read on ' + version.read_on if version.read_on else ''}: {own}", "    ")
    lines += ["", "DAYS"]
    for day in found.days:
        lines += _wrap(f"{day.date or 'no date'}  {day.file}" + (f", {day.build}" if day.build else ""), "  ")
        for each in day.seen:
            lines += _wrap(f"seen: {each}", "    ")
    lines += [] if found.days else ["  none: a session sheet is written by foilwright ready"]
    for each in found.unread:
        lines += _wrap(f"Not read: {each}")
    return "\n".join(lines) + "\n"


def document(found: History) -> dict[str, Any]:
    """Return a history as plain data for JSON; numbers in SI."""
    return {
        "format": 1,
        "builds": [
            {
                "file": each.build.file, "name": each.build.name, "hash": each.build.hash,
                "changes": [{"path": path, "from": before, "to": now} for path, before, now in each.changes],
                "predicted": dict(each.predicted), "holds_back": each.holds_back,
                "corrections": dict(each.corrections), "read_on": each.read_on or None,
            }
            for each in found.versions
        ],
        "days": [
            {"file": each.file, "date": each.date or None, "build": each.build or None, "seen": list(each.seen)}
            for each in found.days
        ],
        "unread": list(found.unread),
    }  # fmt: skip
