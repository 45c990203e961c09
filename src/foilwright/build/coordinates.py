"""A coordinate file: the points of a maker's own section, or the sentence that says what is wrong with it."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import numpy.typing as npt

from foilwright.core import units
from foilwright.core.errors import BuildFileError, Fault
from foilwright.shape import own

Array = npt.NDArray[np.float64]
Lines = npt.NDArray[np.int_]

LARGEST = 200_000
"""Bytes of a coordinate file."""
FEWEST, MOST = 20, 1000
"""Points of an outline."""
HEADS = 5
"""Lines of words before the first point."""
SLACK = 0.01
"""How far from 0 and 1 the ends of the chord may lie [chord]."""
GAP = 0.03
"""Thickest trailing edge [chord]."""
THIN, THICK, CAMBER = 0.04, 0.25, 0.10
"""Least and greatest thickness, greatest camber [chord]."""
HUGE = 1e6
"""A number from which on it is none of an outline."""
NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")
POINTS = "two numbers a line, x and z, with a decimal point"
ROUND = "points from the trailing edge over the top to the nose and back along the underside"
EXAMPLE = "0.9500 0.0114"


class _Says:
    """Makes the one sentence about a file."""

    def __init__(self, file: str, field: str) -> None:
        self.file, self.field = file, field

    def __call__(self, line: int | None, got: str, allowed: str, example: str = EXAMPLE) -> BuildFileError:
        told = Fault(file=self.file, line=line, field=self.field, got=got, allowed=allowed, example=example)
        return BuildFileError([told])


def read(place: Path, *, field: str = "") -> Array:
    """Return the outline of a coordinate file, from the trailing edge over the top and back.

    One point a line, x and z over the chord, after up to five lines of words: all around from the
    trailing edge, or after a line with two counts the upper and then the lower side, each from the nose.

    Parameters
    ----------
    place : Path
        The file.
    field : str
        Field of the build file that names it.

    Returns
    -------
    (k, 2) array
        x aft of the nose and z above the chord line [chord].

    Raises
    ------
    BuildFileError
        It cannot be read, or is no outline: one sentence.
    """
    says = _Says(units.quoted(place.name, 120)[1:-1], field)
    text = _text(place, says)
    points, lines = _points(text, says)
    points, lines = _one_way(*_around(points, lines, says))
    _normalised(points, lines, says)
    _in_order(points, lines, says)
    _closed(points, lines, says)
    _sides(points, lines, says)
    return points


def _text(place: Path, says: _Says) -> str:
    try:
        if not place.is_file():
            raise says(None, "no such file", "a file of coordinates beside the build file", "my-foil.dat")
        with place.open("rb") as opened:
            raw = opened.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        told = (getattr(error, "strerror", None) or "a name that no file can have").lower()
        raise says(None, told, "a file that can be read", "my-foil.dat") from None
    if len(raw) > LARGEST:
        raise says(None, f"more than {LARGEST} bytes", f"at most {MOST} points in {LARGEST} bytes")
    control = next((k for k, byte in enumerate(raw) if byte < 9 or 13 < byte < 32), None)
    if control is not None:
        raise says(raw[:control].count(b"\n") + 1, "bytes that are not text", f"a plain text, {POINTS}")
    return raw.decode("utf-8-sig", errors="replace")


def _points(text: str, says: _Says) -> tuple[Array, Lines]:
    """Return the numbers of each line, and the lines."""
    pairs: list[list[float]] = []
    lines: list[int] = []
    heads = 0
    for number, line in enumerate(text.splitlines(), 1):
        words = re.split(r"[\s,;]+", line.strip().strip(",;"))
        if words == [""] or line.lstrip().startswith("#"):
            continue
        if not all(NUMBER.fullmatch(word) and abs(float(word)) < HUGE for word in words):
            heads += 1
            if pairs or heads > HEADS:
                raise says(number, units.quoted(line.strip()), f"{POINTS}; words only in the first {HEADS} lines")
            continue
        if len(words) != 2:
            raise says(number, f"{len(words)} number{'s' * (len(words) > 1)}", POINTS)
        pairs.append([float(word) for word in words])
        lines.append(number)
        if len(pairs) > MOST + 1:
            raise says(number, f"more than {MOST} points", f"{FEWEST} to {MOST} points")
    if len(pairs) < FEWEST:
        count = f"{len(pairs)} points" if pairs else "no point"
        raise says(None, count, f"{FEWEST} to {MOST} points, {POINTS}")
    return np.array(pairs), np.array(lines)


def _around(points: Array, lines: Lines, says: _Says) -> tuple[Array, Lines]:
    """Return the points all around, where the sides are given one by one after their counts."""
    first = points[0]
    if first.min() >= 2.0 and np.all(first == np.round(first)):
        upper = int(first[0])
        if first.sum() != len(points) - 1:
            got = f"{upper} and {int(first[1])} points announced and {len(points) - 1} given"
            raise says(int(lines[0]), got, "the numbers of points of upper and lower side", "61 61")
        order = np.concatenate([np.arange(upper, 0, -1), np.arange(upper + 1, len(points))])
        points, lines = points[order], lines[order]
    fresh = np.append(True, np.any(np.diff(points, axis=0) != 0.0, axis=1))
    return points[fresh], lines[fresh]


def _one_way(points: Array, lines: Lines) -> tuple[Array, Lines]:
    """Return the points over the top first."""
    x, z = points.T
    if np.dot(x, np.roll(z, -1)) < np.dot(np.roll(x, -1), z):
        return points[::-1].copy(), lines[::-1]
    return points, lines


def _normalised(points: Array, lines: Lines, says: _Says) -> None:
    low, high = points[:, 0].min(), points[:, 0].max()
    if abs(low) > SLACK or abs(high - 1.0) > SLACK:
        wrong = int(np.argmax(points[:, 0]) if abs(high - 1.0) > SLACK else np.argmin(points[:, 0]))
        allowed = "x from 0 at the nose to 1 at the trailing edge: every number over the chord"
        raise says(int(lines[wrong]), f"x from {low:g} to {high:g}", allowed)
    nose = int(np.argmin(points[:, 0]))
    if abs(points[nose, 1]) > 2.0 * SLACK:
        allowed = f"the nose at z 0, within {2.0 * SLACK:g}: the chord is the x axis"
        raise says(int(lines[nose]), f"the nose at z {points[nose, 1]:g}", allowed, "0.0000 0.0000")


def _in_order(points: Array, lines: Lines, says: _Says) -> None:
    x = points[:, 0]
    nose = int(np.argmin(x))
    steps = np.diff(x) * np.where(np.arange(len(x) - 1) < nose, -1.0, 1.0)
    if steps.min() <= 0.0:
        wrong = int(np.argmax(steps <= 0.0))
        raise says(int(lines[wrong + 1]), f"x {x[wrong + 1]:g} next to {x[wrong]:g}", ROUND)
    for end in (0, -1):
        if x[end] < 1.0 - 2.0 * SLACK:
            raise says(
                int(lines[end]), f"a side that ends at x {x[end]:g}", f"both sides to x 1; {ROUND}", "1.0000 0.0013"
            )


def _closed(points: Array, lines: Lines, says: _Says) -> None:
    first, last = points[0, 1], points[-1, 1]
    if abs(first - last) > GAP:
        got = f"a trailing edge {abs(first - last):.3g} of the chord thick"
        raise says(int(lines[-1]), got, f"at most {GAP:g}; points that close it", "1.0000 -0.0013")
    if abs(first + last) > 2.0 * GAP:
        got = f"the trailing edge at z {0.5 * (first + last):.3g}"
        raise says(int(lines[-1]), got, f"at z 0, within {GAP:g}: the chord is the x axis", "1.0000 -0.0013")


def _sides(points: Array, lines: Lines, says: _Says) -> None:
    """Refuse sides that cross, and shapes that no model here is for."""
    nose = int(np.argmin(points[:, 0]))
    upper, lower = points[nose::-1], points[nose:]
    x = points[:, 0]
    high = np.interp(x, *upper.T) - np.interp(x, *lower.T)
    crossed = ((high <= 0.0) & (x > SLACK) & (x < 1.0 - SLACK)) | (high < -1e-9)
    if crossed.any():
        wrong = int(np.argmax(crossed))
        raise says(
            int(lines[wrong]), f"sides that meet or cross at x {x[wrong]:g}", f"the top above the underside; {ROUND}"
        )
    thickness, _ = own.measured(points)
    if not THIN <= thickness <= THICK:
        allowed = f"{THIN:g} to {THICK:g} of the chord, for which the models hold"
        raise says(None, f"a thickness of {thickness:g}", allowed, "z from -0.06 to 0.06")
    middle = float(np.abs(camber(points)).max())
    if middle > CAMBER:
        raise says(None, f"a camber of {middle:.3f}", f"at most {CAMBER:g} of the chord, for which the models hold")


def camber(points: Array) -> Array:
    """Return the height of the mean line over the chord [chord]."""
    smooth = own.resampled(points, 101)
    return np.asarray(0.5 * (smooth[100::-1, 1] + smooth[100:, 1]))
