"""Days on the water on the page: their files in the folder of the build, read back as `learn` does, what is kept."""

from __future__ import annotations

import functools
import io
import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from foilwright.build import load as files
from foilwright.build.build import Build, Value
from foilwright.build.save import as_written, with_changes
from foilwright.build.schema import TABLES
from foilwright.core.data import table
from foilwright.core.errors import FoilwrightError, PlaceError
from foilwright.core.model import Array
from foilwright.page.labour import Labour
from foilwright.page.look import many
from foilwright.study.learn import logs, tracks
from foilwright.study.learn.diagnose import Diagnosis
from foilwright.study.learn.segment import PHASES, Ride
from foilwright.study.learn.tracks import STEP
from foilwright.study.learn.write import changes, noted, notes

SUFFIXES = {".gpx": tracks.LARGEST, ".csv": tracks.LARGEST, ".toml": files.LARGEST}
"""Endings of the files of a day, and the bytes that one may have."""
NAME = re.compile(r"[^\W_][\w ()+&',-]{0,79}")
VERSION = re.compile(r" [0-9a-f]{12}$")
"""What stands behind the name of a build on a sheet."""
FACTORS = "factors."


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """The files of one day, by their common name; ``build`` is the one that its sheet names.

    ``headless``: a log has no header file.
    """

    name: str
    files: tuple[str, ...]
    build: str = ""
    date: str = ""
    headless: bool = False

    @property
    def bare(self) -> bool:
        """Whether there is nothing to read: a header file alone."""
        return all(file.endswith(".columns.toml") for file in self.files)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of one phase of a day; NaN where nothing was logged."""

    begin: float  # s since the start
    seconds: float
    phase: str
    speed: float  # m/s
    volts: float
    amps: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What days on the water say of a build, with what is drawn."""

    found: Diagnosis
    days: tuple[str, ...]
    rides: Mapping[str, tuple[Stretch, ...]]
    drawings: Mapping[str, str]  # SVG by name: diagnosis, and each day


class Water:
    """What was read back last of one build, and the work on it."""

    def __init__(self, stir: Callable[[], None]) -> None:
        self.stir = stir
        self.labour = Labour(stir)
        self.ticked: dict[str, bool] = {}
        self.told: Told | None = None
        self.of = ""

    def take(self, of: str, found: Told) -> None:
        """Keep what was read."""
        self.told, self.of = found, of


def plain_name(name: str, day: str = "") -> str:
    """Return the name under which a file of a day is kept: never a path; dots within it become dashes."""
    whole = name.strip()
    lower = whole.lower()
    suffix = next((each for each in (".columns.toml", *SUFFIXES) if lower.endswith(each)), "")
    if not suffix:
        raise PlaceError(
            "a file of a day is a track (.gpx), a log (.csv) with its header file (.columns.toml), or a session sheet"
            " (.toml)"
        )
    stem = day.strip() or whole[: -len(suffix)]
    if whole[: -len(suffix)] == "" and lower == "columns.toml":
        return "columns.toml"
    plain = stem.replace(".", "-") if ".." not in stem else stem
    if not NAME.fullmatch(plain):
        raise PlaceError("a name has letters, digits, spaces and dashes, no path, and at most 80 of them")
    return plain + suffix


def days(folder: Path) -> list[Day]:
    """Return the days whose files lie in a folder, by name."""
    found: dict[str, list[Path]] = {}
    for path in sorted(folder.iterdir()) if folder.is_dir() else []:
        if not path.name.startswith(".") and path.is_file() and path.suffix.lower() in SUFFIXES and _of_day(path):
            found.setdefault(path.name.partition(".")[0], []).append(path)
    return [_day(name, here) for name, here in found.items() if name != "columns"]


def _of_day(path: Path) -> bool:
    return path.suffix.lower() != ".toml" or kind_of(path) in ("sheet", "header")


def kind_of(path: Path) -> str:
    """Return what a TOML file is: a session ``sheet``, a log's ``header``; all else counts as a ``build``."""
    try:
        stat = path.stat()
    except OSError:
        return "build"
    return _kind(str(path), stat.st_mtime_ns, stat.st_size)[0]


@functools.lru_cache(maxsize=512)
def _kind(path: str, _stamp: int, _size: int) -> tuple[str, str, str]:
    """Return what a TOML file is, and the build and the date that a sheet names."""
    try:
        tree = files.tree_of(*files.text_of(Path(path)))
    except FoilwrightError:
        return "build", "", ""
    if isinstance(tree.get("columns"), dict):
        return "header", "", ""
    if "session" not in tree and (tree.keys() & {"board", "wing"} or not tree.keys() & _of_sheets()):
        return "build", "", ""
    session = tree.get("session")
    session = session if isinstance(session, dict) else {}
    return "sheet", str(session.get("build", "")), str(session.get("date", ""))


@functools.cache
def _of_sheets() -> frozenset[str]:
    """Return the tables that a session sheet has and a build file has not."""
    return frozenset(table("cards/session").texts["table"]) - TABLES.keys()


def _day(name: str, here: Sequence[Path]) -> Day:
    sheets = [
        _kind(str(path), path.stat().st_mtime_ns, path.stat().st_size)
        for path in here
        if path.suffix.lower() == ".toml" and kind_of(path) == "sheet"
    ]
    build = next((each[1] for each in sheets if each[1]), "")
    date = next((each[2] for each in sheets if each[2]), "")
    headless = any(path.suffix.lower() == ".csv" and logs.header_of(path) is None for path in here)
    return Day(name=name, files=tuple(path.name for path in here), build=build, date=date, headless=headless)


def counted(every: Sequence[Day], build: Build, ticked: Mapping[str, bool]) -> list[str]:
    """Return the names of the days that are read: those of this build that can be, unless it was chosen otherwise."""
    return [day.name for day in every if not day.bare and ticked.get(day.name, _counts(day, build))]


def _counts(day: Day, build: Build) -> bool:
    return not day.headless and (not day.build or VERSION.sub("", day.build) == build.name)


def checked(build: Build, path: Path, _tell: Callable[[Any], None]) -> str:
    """Read one file of a day as it came; return what it is, or say what is wrong with it."""
    from foilwright.study.learn import sheet  # noqa: PLC0415

    suffix = path.suffix.lower()
    if suffix == ".gpx":
        fixes = tracks.read(path)
        return "; ".join(
            [
                f"a track of {many(int(fixes.time.size), 'fix', 'fixes')}",
                *(note.removeprefix(f"{path.name}: ") for note in fixes.notes),
            ]
        )
    if suffix == ".csv":
        return _log(path)
    kind = kind_of(path)
    if kind == "header":
        return f"a header file for logs, {', '.join(logs.mapping(path))}"
    if files.tree_of(*files.text_of(path)).keys() & {"board", "wing"} and kind == "build":
        raise FoilwrightError(f"{path.name} is a build file; bring it under All builds")
    read = sheet.read(path, build)
    return f"a session sheet with {many(len(read.readings), 'reading')}"


def _log(path: Path) -> str:
    try:
        lines = path.read_text(encoding="utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError):
        raise FoilwrightError(f"{path.name} is no text; a log is a table of text, saved as UTF-8") from None
    if len(lines) < 2 or not any(mark in lines[0] for mark in ",;\t"):
        raise FoilwrightError(f"{path.name} is no table: its first line names the columns, one row follows a line")
    return f"a log of {many(len(lines) - 1, 'row')}"


def learned(build: Build, folder: Path, names: Collection[str], tell: Callable[[Any], None]) -> Told:
    """Read days back, telling how far it is: the same as ``foilwright learn`` says, with its plots."""
    from foilwright.study import learn  # noqa: PLC0415
    from foilwright.study.learn import plot  # noqa: PLC0415

    chosen = [day for day in days(folder) if day.name in names]
    tell((0.02, f"reading {', '.join(day.name for day in chosen)}"))
    read = learn.read(build, [folder / file for day in chosen for file in day.files])
    tell((0.3, "asking the models what each explanation would have shown"))
    found = learn.diagnose(build, read.trial)
    tell((0.85, "drawing"))
    drawings = {name: _svg(draw) for name, draw in plot.figures(found, read.rides).items()}
    return Told(
        found=found, days=tuple(day.name for day in chosen), drawings=drawings,
        rides={name: stretches(ride) for name, ride in read.rides},
    )  # fmt: skip


def _svg(draw: Callable[[], Any]) -> str:
    import matplotlib as mpl  # noqa: PLC0415

    from foilwright.study import plots  # noqa: PLC0415

    drawn = io.StringIO()
    with mpl.rc_context({**plots.STYLE, "svg.fonttype": "none"}):
        draw().savefig(drawn, format="svg", metadata={"Date": None})
    return drawn.getvalue()


def stretches(ride: Ride) -> tuple[Stretch, ...]:
    """Return a day as stretches of one phase each."""
    edges = np.concatenate([[0], np.flatnonzero(np.diff(ride.phase)) + 1, [ride.phase.size]])
    volts, amps = (ride.series.columns.get(name, np.full(ride.time.size, np.nan)) for name in ("volts", "amps"))
    return tuple(
        Stretch(
            begin=float(ride.time[a] - ride.time[0]), seconds=float((b - a) * STEP), phase=PHASES[int(ride.phase[a])],
            speed=_mean(ride.speed[a:b]), volts=_mean(volts[a:b]), amps=_mean(amps[a:b]),
        )
        for a, b in zip(edges[:-1].tolist(), edges[1:].tolist(), strict=True)
    )  # fmt: skip


def _mean(values: Array) -> float:
    fine = values[np.isfinite(values)]
    return float(fine.mean()) if fine.size else float("nan")


def state(build: Build, every: Sequence[Day], names: Collection[str], folder: Path, told: Told | None) -> str:
    """Return a mark of what a reading rests on: the build without what was learnt, and the files of the days."""
    learnt = set(told.found.trial.measured) if told is not None else set()
    own = [(p, v) for p, v in sorted(build.values.items()) if not p.startswith(FACTORS) and p not in learnt]
    seen = [
        (file, (folder / file).stat().st_size, (folder / file).stat().st_mtime_ns)
        for day in every if day.name in names for file in day.files if (folder / file).is_file()
    ]  # fmt: skip
    return repr((own, seen))


def to_keep(found: Diagnosis, build: Build) -> dict[str, str]:
    """Return what would be kept of a reading, as it is written: corrections and their days, what was weighed."""
    made = changes(replace(found, build=build))
    return {path: str(as_written(build.meta(path), value)) for path, value in made.items()}


def kept(found: Diagnosis, build: Build, texts: Mapping[str, str | None]) -> str:
    """Return the text of a build as it stands on the page, with what was learnt and the intervals beside it.

    ``texts`` are the fields that are not saved, as the maker wrote them.
    """
    learnt = changes(replace(found, build=build))
    texts = {path: text for path, text in texts.items() if path not in learnt}
    fresh: dict[str, Value | None] = {path: build.values.get(path) for path in texts}
    text = with_changes(build, fresh | learnt, texts)
    return noted(text, notes(found))


def in_build(build: Build) -> dict[str, str]:
    """Return the corrections that a build has, as they are written."""
    return {path: str(value) for path, value in build.values.items() if path.startswith(FACTORS)}
