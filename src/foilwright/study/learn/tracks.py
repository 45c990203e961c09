"""GPS tracks: fixes read from GPX, cleaned, and their speed over ground on an even clock."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from foilwright.core import units
from foilwright.core.errors import BuildFileError, Fault
from foilwright.core.extras import need
from foilwright.core.model import Array

SEMI_MAJOR, FLATTENING = 6378137.0, 1.0 / 298.257223563
"""The ellipsoid WGS 84 [m]."""
FASTEST = 20.0
"""Speed between two fixes beyond which one of them has jumped [m/s]."""
GAP = 4.0
"""Time between fixes over which nothing is read [s]."""
STEP, HALF_WINDOW = 0.5, 1.5
"""Step of the even clock, and half of the window in which a line is laid through the fixes [s]."""
LARGEST = 60_000_000
"""Bytes of a track."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixes:
    """Fixes as they are in a file: time [s since 1970], degrees; and how many were left out, and why."""

    time: Array
    latitude: Array
    longitude: Array
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """Things over an even clock (t,); NaN where nothing is known."""

    time: Array  # s
    east: Array  # m/s over ground; NaN without a track
    north: Array
    columns: dict[str, Array]  # speed, volts, amps, throttle, height, temperatures
    notes: tuple[str, ...] = ()
    clocked: bool = True  # time is that of day


def metres(*, latitude: Array, longitude: Array) -> tuple[Array, Array]:
    """Return fixes as metres east and north of the first, on the ellipsoid's tangent.

    Parameters
    ----------
    latitude, longitude : (t,) arrays
        WGS 84 [degrees].

    Returns
    -------
    tuple of (t,) arrays
        East and north [m]; within some kilometres right to one part in ten thousand.
    """
    phi = np.radians(latitude)
    middle = np.radians(float(np.median(latitude)))
    square = FLATTENING * (2.0 - FLATTENING)
    bend = 1.0 - square * np.sin(middle) ** 2
    along = SEMI_MAJOR * (1.0 - square) / bend**1.5
    across = SEMI_MAJOR / np.sqrt(bend)
    turn = np.radians((longitude - longitude[0] + 180.0) % 360.0 - 180.0)
    return across * np.cos(middle) * turn, along * (phi - phi[0])


def read(path: Path) -> Fixes:
    """Return the fixes of a GPX file, in the order of their times, without repeats and jumps."""
    text = _text(path)
    gpxpy = need("gpxpy", extra="learn")
    try:
        tree = gpxpy.parse(text)
    except Exception as error:
        raise _bad(path, "a text that is no GPX track", "a GPX file as a watch or phone writes it") from error
    points = [
        (point.time.timestamp(), point.latitude, point.longitude)
        for track in tree.tracks for segment in track.segments for point in segment.points
        if point.time is not None
    ]  # fmt: skip
    if len(points) < 10:
        raise _bad(path, f"{len(points)} fixes with a time", "a track of at least 10 fixes, each with its time")
    time, latitude, longitude = np.array(points, dtype=np.float64).T
    return cleaned(time, latitude, longitude, path.name)


def _text(path: Path) -> str:
    try:
        raw = path.read_bytes()
    except (OSError, ValueError) as error:
        told = str(getattr(error, "strerror", "") or "no file").lower()
        raise _bad(path, told, "a GPX file that can be read") from None
    if len(raw) > LARGEST:
        raise _bad(path, f"more than {LARGEST} bytes", "a track of one day")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _bad(path, "bytes that are not text", "a GPX file, which is text") from None


def _bad(path: Path, got: str, allowed: str) -> BuildFileError:
    name = units.quoted(path.name, 120)[1:-1]
    return BuildFileError([Fault(file=name, line=None, field="", got=got, allowed=allowed, example="day-1.gpx")])


def cleaned(time: Array, latitude: Array, longitude: Array, name: str) -> Fixes:
    """Return fixes in order, one for each time, without those that jump."""
    fine = np.isfinite(time) & (np.abs(latitude) <= 90.0) & (np.abs(longitude) <= 180.0)
    order = np.argsort(time[fine], kind="stable")
    back = int((np.diff(time[fine]) < 0.0).sum())
    time, latitude, longitude = (each[fine][order] for each in (time, latitude, longitude))
    first = np.concatenate([[True], np.diff(time) > 0.0])
    twice = int((~first).sum())
    time, latitude, longitude = (each[first] for each in (time, latitude, longitude))
    east, north = metres(latitude=latitude, longitude=longitude)
    keep = _steady(time, east, north)
    told = ((twice, "with a time that was there before"), (int((~keep).sum()), "that jumped"), (back, "out of order"))
    notes = tuple(f"{name}: {count} {'fix' if count == 1 else 'fixes'} {what}" for count, what in told if count)
    return Fixes(time=time[keep], latitude=latitude[keep], longitude=longitude[keep], notes=notes)


def _steady(time: Array, east: Array, north: Array) -> np.ndarray:
    """Return which fixes do not jump: each must be reachable from the last good one."""
    keep = np.ones(time.size, dtype=bool)
    speed = np.hypot(np.diff(east), np.diff(north)) / np.diff(time)
    if (speed <= FASTEST).all():
        return keep
    last = 0
    for k in range(1, time.size):
        way = float(np.hypot(east[k] - east[last], north[k] - north[last]))
        keep[k] = way <= FASTEST * (time[k] - time[last])
        if keep[k]:
            last = k
    return keep


def series(fixes: Fixes) -> Series:
    """Return velocity over ground on an even clock: a line through the fixes of three seconds."""
    east, north = metres(latitude=fixes.latitude, longitude=fixes.longitude)
    clock = np.arange(fixes.time[0], fixes.time[-1] + STEP, STEP)
    velocity = [line_slope(fixes.time, each, clock) for each in (east, north)]
    after = np.clip(np.searchsorted(fixes.time, clock), 1, fixes.time.size - 1)
    gap = fixes.time[after] - fixes.time[after - 1] > GAP
    east, north = (np.where(gap, np.nan, each) for each in velocity)
    notes = list(fixes.notes)
    holes = int((np.diff(fixes.time) > GAP).sum())
    if holes:
        gaps = "a gap" if holes == 1 else f"{holes} gaps"
        notes.append(f"the track has {gaps} of more than {GAP:.0f} s; nothing is read across")
    return Series(time=clock, east=east, north=north, columns={}, notes=tuple(notes))


def line_slope(time: Array, values: Array, clock: Array, half: float = HALF_WINDOW) -> Array:
    """Return the slope of the line of least squares through values within a window about each time."""
    begin = time[0]
    t = time - begin
    low, high = np.searchsorted(t, clock - begin - half), np.searchsorted(t, clock - begin + half, side="right")
    count = (high - low).astype(np.float64)

    def total(each: Array) -> Array:
        run = np.concatenate([[0.0], np.cumsum(each)])
        return np.asarray(run[high] - run[low])

    middle = values - values.mean()
    mean = total(t) / np.maximum(count, 1.0)
    top = total(t * middle) - mean * total(middle)
    below = total(t * t) - count * mean * mean
    return np.where((count > 2) & (below > 1e-3), top / np.where(below > 1e-3, below, 1.0), np.nan)
