"""Files of trials gathered by day: sheets, tracks and logs of one name belong together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from foilwright.assemble import assemble
from foilwright.build.build import Build
from foilwright.core import units
from foilwright.core.errors import BuildFileError, Fault, FoilwrightError
from foilwright.questions.state import State
from foilwright.study.learn import clock, logs, sheet, tracks
from foilwright.study.learn.charge import Charge
from foilwright.study.learn.predict import charge_at
from foilwright.study.learn.seen import Reading, Scene, Trial, joined
from foilwright.study.learn.segment import FLYING, PHASES, Marks, Ride, Stretch, ride
from foilwright.study.learn.sheet import LEAST_USED
from foilwright.study.learn.warming import warmings

KINDS = (".gpx", ".csv", ".toml")
FULL = 0.95
"""Throttle from which on it counts as full."""
BY_TRACK = 0.12
"""Error of the speed of four seconds of a track, the current taken off [m/s]."""
READ = 0.004
"""Error of a logger's volts, and of the curve of the cells at rest, share of the volts."""
FLEW = 4.0
"""Time in flight from which on a track says that it flew [s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """All trials of a call: what they say, and their rides for the plot."""

    trial: Trial
    rides: tuple[tuple[str, Ride], ...]


def read(build: Build, paths: Sequence[Path]) -> Read:
    """Return what the files of trials say; everything wrong in any of them is told at once."""
    headers, days, faults = _by_day(paths)
    trials: list[Trial] = []
    rides: list[tuple[str, Ride]] = []
    marks = marks_of(build) if any(path.suffix != ".toml" for day in days.values() for path in day) else None
    for name, files in days.items():
        try:
            trial, ridden = _day(build, name, files, headers, marks)
        except BuildFileError as error:
            faults += error.faults
            continue
        trials.append(trial)
        rides += [(name, ridden)] if ridden is not None else []
    if faults:
        raise BuildFileError(faults)
    if not trials:
        raise FoilwrightError("there is no trial to read; give a track, a log or a session sheet: day-1.gpx day-1.toml")
    return Read(trial=joined(trials), rides=tuple(rides))


def _by_day(paths: Sequence[Path]) -> tuple[list[Path], dict[str, list[Path]], list[Fault]]:
    """Return header files, and the other files by the name of their day."""
    headers: list[Path] = []
    days: dict[str, list[Path]] = {}
    faults: list[Fault] = []
    for path in paths:
        name = units.quoted(path.name, 120)[1:-1]
        if path.suffix.lower() not in KINDS or not path.is_file():
            got = "no such file" if not path.is_file() else f"a file {path.suffix or 'without an ending'}"
            allowed = "a track (.gpx), a log (.csv) or a session sheet (.toml)"
            faults.append(Fault(file=name, line=None, field="", got=got, allowed=allowed, example="day-1.gpx"))
            continue
        try:
            if path.suffix.lower() == ".toml" and logs.is_header(path):
                headers.append(path)
                continue
        except BuildFileError as error:
            faults += error.faults
            continue
        days.setdefault(path.name.partition(".")[0], []).append(path)
    return headers, days, faults


def marks_of(build: Build) -> Marks:
    """Return the speeds at which a craft changes its way of moving, as the models have it."""
    craft, _ = assemble(build)
    with np.errstate(all="ignore"):
        run = State(craft).run
    return Marks(hump=float(run.hump_speed[0]), take_off=float(run.take_off[0]))


def _day(
    build: Build, name: str, files: list[Path], headers: list[Path], marks: Marks | None
) -> tuple[Trial, Ride | None]:
    faults: list[Fault] = []
    sheets: list[Trial] = []
    found: list[tracks.Series] = []
    recorded: list[tracks.Series] = []
    for path in files:
        try:
            if path.suffix.lower() == ".toml":
                sheets.append(sheet.read(path, build))
            elif path.suffix.lower() == ".gpx":
                found.append(tracks.series(tracks.read(path)))
            else:
                recorded.append(logs.read(path, logs.header_of(path) or next(iter(headers), None)))
        except BuildFileError as error:
            faults += error.faults
    if faults:
        raise BuildFileError(faults)
    day = joined(sheets) if sheets else Trial(scenes=(Scene(values={}),), readings=())
    series, notes = _one_series(name, found, recorded)
    if series is None or marks is None:
        return day, None
    flew = [each.value > 0.5 for each in day.readings if each.kind == "lifted"]
    ridden = ride(series, marks, may_fly=any(flew) or not flew)
    return with_ride(build, day, ridden, name, notes), ridden


def _one_series(
    name: str, found: list[tracks.Series], recorded: list[tracks.Series]
) -> tuple[tracks.Series | None, list[str]]:
    """Return track and logs of a day on one clock."""
    notes = [note for each in (*found, *recorded) for note in each.notes]
    if not found:
        return (recorded[0] if recorded else None), notes
    series = found[0]
    for log in recorded:
        joint, shift = clock.together(series, log)
        if shift.found:
            series = joint
            if abs(shift.seconds) > tracks.STEP and log.clocked:
                notes.append(f"{name}: the log's clock is set by {shift.seconds:+.1f} s to fit the track")
        else:
            told = "track and log tell of different rides"
            notes.append(f"{name}: {told} (they agree to {shift.agreement:.2f}); the log is left out")
    return series, notes


def with_ride(build: Build, day: Trial, ridden: Ride, name: str, notes: list[str]) -> Trial:
    """Return a day with the steady stretches of its ride as readings."""
    scene = _scene_of(day)
    throttles = [each.throttle for each in ridden.stretches]
    if ridden.stretches and not np.isfinite(throttles).any():
        fastest = max(ridden.stretches, key=lambda each: each.speed)
        stretches: tuple[Stretch, ...] = (replace(fastest, throttle=1.0),)
        notes = [*notes, f"{name}: no throttle was logged; the fastest steady stretch is taken as full throttle"]
    else:
        stretches = tuple(each for each in ridden.stretches if np.isfinite(each.throttle))
    charge = Charge.of(build, ridden)
    readings_of_pack = _capacity(build, charge, name, scene)
    readings = [reading for each in stretches for reading in _readings(each, name, scene, charge)]
    readings += [*readings_of_pack, *warmings(ridden, name, scene), *_lifted(day, ridden, stretches, name, scene)]
    scenes = _charged(build, day.scenes, charge)
    return replace(day, scenes=scenes, readings=(*day.readings, *readings), notes=(*day.notes, *notes))


def _charged(build: Build, scenes: tuple[Scene, ...], charge: Charge) -> tuple[Scene, ...]:
    """Return the scenes of a day with the charge in its middle, where the volts at rest tell it."""
    if charge.ends[2] <= 0.0:
        return scenes
    middle = charge_at(build, charge.start + charge.slope * charge.middle)
    return tuple(Scene(values={"charge": middle, **scene.values}) for scene in scenes)


def _scene_of(day: Trial) -> int:
    """Return the scene in which most runs of a sheet were made; a ride that was logged belongs to it."""
    counts = np.bincount([e.scene for e in day.readings if e.kind in ("balance", "lifted")] or [0], minlength=1)
    return int(counts.argmax())


def _readings(each: Stretch, name: str, scene: int, charge: Charge) -> list[Reading]:
    long = float(np.sqrt(max(each.seconds / 4.0, 1.0)))
    flying = each.phase == FLYING
    fresher = charge.over(each.used)
    at: dict[str, Any] = {
        "scene": scene, "speed": each.speed, "throttle": each.throttle * fresher, "flying": flying, "late": each.late,
        "source": name,
    }  # fmt: skip
    how = f"at {units.show(each.speed, 'm/s')}, {100.0 * each.throttle:.0f} % throttle, {PHASES[each.phase]}"
    how += " (late)" if each.late else ""
    at["speed_error"] = BY_TRACK / long
    out = [Reading(kind="balance", says=f"speed held: {how}", value=0.0, acceleration=each.acceleration, **at)]
    if np.isfinite(each.volts) and each.volts > 1.0:
        volts = float(np.log(each.volts / fresher))
        out.append(Reading(kind="volts", says=f"{units.show(each.volts, 'V')} {how}", value=volts, **at))
    if np.isfinite(each.amps) and each.amps > 1.0:
        amps = float(np.log(each.amps))
        out.append(Reading(kind="amps", says=f"{units.show(each.amps, 'A')} {how}", value=amps, **at))
    return out


def _capacity(build: Build, charge: Charge, name: str, scene: int) -> list[Reading]:
    """Return the capacity that the log's volts at rest and its amps tell."""
    first, last, used = charge.ends
    if used <= 0.0:
        return []
    low, fall, high = (charge_at(build, first * k) - charge_at(build, last * k) for k in (1.0 - READ, 1.0, 1.0 + READ))
    if fall < LEAST_USED:
        return []
    says = f"{used / 3600.0:.3g} Ah taken while the charge fell by {100.0 * fall:.0f} % by the volts at rest"
    value, error = float(np.log(used / fall)), float(np.hypot(0.05, (0.03 + 0.5 * abs(high - low)) / fall))
    return [Reading(kind="capacity", says=says, source=name, scene=scene, value=value, error=error)]


def _lifted(day: Trial, ridden: Ride, stretches: tuple[Stretch, ...], name: str, scene: int) -> list[Reading]:
    """Return whether it flew, where no sheet says it and full throttle was held."""
    if any(each.kind == "lifted" for each in day.readings):
        return []
    if ridden.flew > FLEW:
        return [Reading(kind="lifted", says="it flew", value=1.0, scene=scene, source=name)]
    if any(each.throttle >= FULL for each in stretches):
        return [Reading(kind="lifted", says="it did not lift at full throttle", value=0.0, scene=scene, source=name)]
    return []
