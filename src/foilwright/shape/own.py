"""A maker's own sections: outlines from points, and the store in which models find them.

A craft names an own section by a key that is made from its content, so that two shapes are never taken
for each other, in one batch or in one process. Whoever assembles a craft puts the sections that it
names here first; the craft is worked on in the same process, so the store holds what is asked for.
"""

from __future__ import annotations

import functools
import hashlib
from dataclasses import dataclass, field

import numpy as np

from foilwright.core.errors import DataError
from foilwright.core.model import Array

TABLES = "NeuralFoil 0.3 xlarge and 240 vortex panels, tables 1"
"""What an own section's tables are computed with; another text makes kept tables stale."""
FEWEST = 400
"""Points a side from which thickness and area are taken."""
LEAST = 0.003
"""Points nearer to the one before are passed over: what they are rounded by would bend the line [chord]."""
DENSE = 16
"""Steps between two points in which the angle along the line is tabulated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSection:
    """A maker's own section: its outline, and its tables as text once they are computed."""

    name: str
    """As the build file calls it."""
    file: str
    """Name of the file that its points are from."""
    mark: str
    """Stands for outline and kind of tables: tables with another mark are of another shape."""
    outline: Array = field(compare=False)
    """(k, 2) points from the trailing edge over the top and back [chord]."""
    polar: str = ""
    """Table of lift, drag and moment, as the shipped ones are; empty until computed."""
    pressure: str = ""
    """Table of least pressure; empty until computed."""

    @property
    def key(self) -> str:
        """Return the name under which a craft has this section, made from its content."""
        told = hashlib.sha256("\n".join((self.mark, self.polar, self.pressure)).encode()).hexdigest()
        return f"{self.name} ({told[:16]})"

    @property
    def ready(self) -> bool:
        """Whether the tables are there."""
        return bool(self.polar and self.pressure)


def made(*, name: str, file: str, outline: Array) -> OwnSection:
    """Return an own section without tables."""
    rounded = np.asarray(np.round(thinned(outline), 9) + 0.0, dtype=np.float64)
    mark = hashlib.sha256(TABLES.encode() + rounded.tobytes()).hexdigest()[:16]
    return OwnSection(name=name, file=file, mark=mark, outline=rounded)


def thinned(outline: Array) -> Array:
    """Return an outline without points that crowd: from the nose outward, alike on both sides."""
    nose = int(np.argmin(outline[:, 0]))
    upper, lower = _apart(outline[nose::-1]), _apart(outline[nose:])
    return np.concatenate([upper[::-1], lower[1:]])


def _apart(side: Array) -> Array:
    """Return one side, from nose to edge, without points that crowd."""
    kept = [0]
    for k in range(1, len(side) - 1):
        near = min(float(np.hypot(*(side[k] - side[other]))) for other in (kept[-1], -1))
        if near >= LEAST:
            kept.append(k)
    return side[[*kept, len(side) - 1]]


_KEPT: dict[str, OwnSection] = {}


def keep(section: OwnSection) -> str:
    """Put a section where models find it; return its key."""
    key = section.key
    _KEPT.setdefault(key, section)
    return key


def kept(key: str) -> OwnSection | None:
    """Return the own section of a key; None where the key is no own section's."""
    return _KEPT.get(key)


@functools.lru_cache(maxsize=64)
def outline_of(key: str, points: int, trailing_edge: float | None) -> Array:
    """Return the outline of a kept section with half-cosine spacing, as ``resampled`` does."""
    out = resampled(_there(key).outline, points, trailing_edge)
    out.flags.writeable = False
    return out


def sides_of(key: str, x: Array, trailing_edge: float | None) -> tuple[Array, Array]:
    """Return the heights of both sides of a kept section at places along the chord [chord]."""
    outline = _there(key).outline
    angle = np.arccos(1.0 - 2.0 * np.asarray(x, dtype=np.float64))
    upper, lower = (_height(outline, sign * angle) for sign in (-1.0, 1.0))
    change = _half_change(outline, trailing_edge) * np.asarray(x) ** 4
    return upper + change, lower - change


@functools.lru_cache(maxsize=64)
def measures(key: str) -> tuple[float, float]:
    """Return greatest thickness [chord] and area [chord^2] of a kept section."""
    return measured(_there(key).outline)


def measured(outline: Array) -> tuple[float, float]:
    """Return greatest thickness, to a thousandth [chord], and area [chord^2] of an outline.

    The thickness is rounded since points tell it no better; models have a limit at 12 %.
    """
    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, FEWEST)))
    angle = np.arccos(1.0 - 2.0 * x)
    high = _height(outline, -angle) - _height(outline, angle)
    return round(float(high.max()), 3), float(np.trapezoid(high, x))


def resampled(outline: Array, points: int, trailing_edge: float | None = None) -> Array:
    """Return a smooth outline through the points of a coarser one.

    The line is a cubic spline over the length along the points, straight at both ends; its nose is where
    it lies foremost, between points too.

    Parameters
    ----------
    outline : (k, 2) array
        Points from the trailing edge over the top and back [chord].
    points : int
        Points a side, nose and trailing edge included [-].
    trailing_edge : float, optional
        Thickness of the trailing edge [chord]; left out, the outline's own; 0 closes it. The
        difference goes with the fourth power of the distance behind the nose.

    Returns
    -------
    (2 points - 1, 2) array
        Outline [chord].
    """
    angle = np.linspace(-np.pi, np.pi, 2 * points - 1)
    out = _at(_curve(outline.tobytes(), len(outline)), angle)
    share = 0.5 * (1.0 - np.cos(angle))
    if trailing_edge is not None:
        middle, half = 0.5 * (outline[0] + outline[-1]), np.array([0.0, 0.5 * trailing_edge])
        moved = np.where(angle[:, None] < 0.0, middle + half - outline[0], middle - half - outline[-1])
        out += moved * share[:, None] ** 4
    return out


def _half_change(outline: Array, trailing_edge: float | None) -> float:
    """Return what each side moves outward at the trailing edge [chord]."""
    if trailing_edge is None:
        return 0.0
    return 0.5 * (trailing_edge - float(outline[0, 1] - outline[-1, 1]))


def _there(key: str) -> OwnSection:
    found = _KEPT.get(key)
    if found is None:
        raise DataError(f"there is no section {key}")
    return found


def _height(outline: Array, angle: Array) -> Array:
    """Return the height at angles from -pi (upper end) over 0 (nose) to pi (lower end) [chord]."""
    return _at(_curve(outline.tobytes(), len(outline)), angle)[..., 1]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Curve:
    """A smooth line through points: knots along it, points, second derivatives, and angles over its length."""

    knots: Array
    points: Array
    bends: Array
    angles: Array
    lengths: Array


def _at(curve: _Curve, angle: Array) -> Array:
    """Return the points (..., 2) of a curve at angles."""
    return _along(curve.knots, curve.points, curve.bends, np.interp(angle, curve.angles, curve.lengths))


def _along(knots: Array, points: Array, bends: Array, length: Array) -> Array:
    """Return the points (..., 2) of a cubic spline at lengths along it."""
    k = np.clip(np.searchsorted(knots, length) - 1, 0, len(knots) - 2)
    wide = (knots[k + 1] - knots[k])[..., None]
    right = (length - knots[k])[..., None] / wide
    left = 1.0 - right
    bent = (left**3 - left) * bends[k] + (right**3 - right) * bends[k + 1]
    out: Array = left * points[k] + right * points[k + 1] + bent * wide * wide / 6.0
    return out


@functools.lru_cache(maxsize=64)
def _curve(raw: bytes, count: int) -> _Curve:
    """Return the spline over the length along the points, and the angle along it."""
    points: Array = np.frombuffer(raw, dtype=np.float64).reshape(count, 2)
    wide = np.hypot(*np.diff(points, axis=0).T)
    knots: Array = np.append(0.0, np.cumsum(wide))
    system = np.eye(count)
    right = np.zeros((count, 2))
    inner = np.arange(1, count - 1)
    system[inner, inner - 1], system[inner, inner + 1] = wide[:-1], wide[1:]
    system[inner, inner] = 2.0 * (wide[:-1] + wide[1:])
    right[1:-1] = 6.0 * np.diff(np.diff(points, axis=0) / wide[:, None], axis=0)
    bends = np.asarray(np.linalg.solve(system, right), dtype=np.float64)
    between = (knots[:-1, None] + np.arange(DENSE) / DENSE * wide[:, None]).ravel()
    lengths: Array = np.append(between, knots[-1])
    x = _along(knots, points, bends, lengths)[:, 0]
    nose = int(np.argmin(x))
    upper = np.arange(len(x)) < nose
    share = (x - x[nose]) / (np.where(upper, x[0], x[-1]) - x[nose])
    angles = np.arccos(np.clip(1.0 - 2.0 * share, -1.0, 1.0)) * np.where(upper, -1.0, 1.0)
    return _Curve(knots=knots, points=points, bends=bends, angles=np.maximum.accumulate(angles), lengths=lengths)
