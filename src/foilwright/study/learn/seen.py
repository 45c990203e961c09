"""What was seen in a trial: readings, each with what the models must tell about it, and where it was read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array

POSTURES = {"lying": "prone", "prone": "prone", "kneeling": "kneeling", "standing": "standing"}
"""What a sheet calls a posture, and what a build calls it."""
FORCES = ("balance", "bollard", "tow", "coast")
YES_OR_NO = ("lifted", "stance", "higher", "link_held", "proof")
"""Kinds that say which side of a limit the craft was on."""
OWN = ("link", "link_held", "deflection", "proof", "reach", "temperature", "warming")
"""Kinds that tell a correction of their own; what they miss speaks for no explanation of the ride."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """How the craft was ridden: fields of the build as they were that day, in SI."""

    values: Mapping[str, float | str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One thing read or seen.

    ``kind`` is a row of ``data/learn/readings.csv``; ``value`` is in SI (1 or 0 where it says yes or no, the
    name of what was seen in ``what``); ``error`` is the error of the reading in the terms of its kind.
    """

    kind: str
    says: str
    source: str
    scene: int = 0
    value: float = np.nan
    error: float = np.nan
    speed: float = 0.0
    throttle: float = 1.0
    acceleration: float = 0.0
    flying: bool = False
    late: bool = False
    speed_error: float = 0.0  # m/s, of the speed at which it was read
    steep: float = 0.0  # change of the reading's logarithm over that of the speed
    what: str = ""
    part: str = ""
    after: float = np.nan
    at: float = np.nan  # m of a link, N of a load

    @property
    def about(self) -> frozenset[str]:
        """Return its kind, alone and with its part."""
        return frozenset({self.kind, f"{self.kind}/{self.part}"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What one or more days gave: scenes, readings, what was weighed, and what was said while reading."""

    scenes: tuple[Scene, ...]
    readings: tuple[Reading, ...]
    dates: tuple[str, ...] = ()
    measured: Mapping[str, float] = field(default_factory=dict)
    weighed: frozenset[str] = frozenset()
    notes: tuple[str, ...] = ()


def joined(trials: list[Trial]) -> Trial:
    """Return several trials as one; scenes keep apart."""
    scenes: list[Scene] = []
    readings: list[Reading] = []
    measured: dict[str, float] = {}
    for each in trials:
        begin = len(scenes)
        scenes += each.scenes
        readings += [_moved(one, begin) for one in each.readings]
        measured |= each.measured
    return Trial(
        scenes=tuple(scenes),
        readings=tuple(readings),
        dates=tuple(dict.fromkeys(date for each in trials for date in each.dates)),
        measured=measured,
        weighed=frozenset().union(*(each.weighed for each in trials)),
        notes=tuple(dict.fromkeys(note for each in trials for note in each.notes)),
    )


def _moved(reading: Reading, by: int) -> Reading:
    return replace(reading, scene=reading.scene + by)


def errors(readings: tuple[Reading, ...]) -> tuple[Array, Array]:
    """Return the error of each reading and that of the models about it, in the terms of its kind."""
    book = table("learn/readings")
    rows = {name: k for k, name in enumerate(book.texts["kind"])}
    at = [rows[each.kind] for each in readings]
    own, usual = np.array([each.error for each in readings]), book.columns["reading"][at]
    steep = np.array([abs(each.steep) for each in readings])
    by_speed = steep * np.array([each.speed_error / max(each.speed, 0.5) for each in readings])
    return np.hypot(np.where(np.isnan(own), usual, own), by_speed), np.hypot(book.columns["model"][at], MOVES * steep)


def covariance(readings: tuple[Reading, ...]) -> Array:
    """Return the covariance of readings about what the models say (m, m).

    A model that errs at one speed and throttle errs much the same at the next: the larger part of its error is
    one for readings of a kind, and fades with their distance; the rest is each reading's own.
    """
    own, model = errors(readings)
    kinds = np.array([each.kind for each in readings])
    speed = np.array([each.speed for each in readings])
    alike = kinds[:, None] == kinds[None, :]
    throttle = np.array([each.throttle for each in readings])
    apart = [(each[:, None] - each[None, :]) / fades for each, fades in ((speed, FADES), (throttle, FADES_BY_THROTTLE))]
    near = np.exp(-0.5 * (apart[0] ** 2 + apart[1] ** 2))
    shared = COMMON * alike * near + (1.0 - COMMON) * np.eye(len(readings))
    return np.asarray(np.diag(own * own) + shared * np.outer(model, model))


MOVES = 0.04
"""Share of the speed by which a hump may stand elsewhere than the models have it (judgement)."""
COMMON = 0.7
"""Share of the variance of a model's error that readings of a kind have in common (judgement)."""
FADES, FADES_BY_THROTTLE = 2.5, 0.35
"""Distance in speed [m/s], and in throttle, over which the error of a model becomes another one (judgement)."""
