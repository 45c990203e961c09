"""Predictions and their slopes for every explanation and size, all in one batch of the models."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.build.build import Build
from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.study.learn.causes import NODES, Cause, columns, value_of
from foilwright.study.learn.infer import FARTHEST
from foilwright.study.learn.predict import USUAL_CHARGE, Columns, Told, predict
from foilwright.study.learn.seen import Reading, Scene

STEP = 0.7
"""Step of the slopes, in standard deviations of a correction: wide enough to see over a kink."""
TURNS = 2.2
"""Standard deviations beyond which the step goes back."""
CHARGE = "charge"
FULLEST = 0.97
"""Most charge of a pack about which slopes are taken: above it the models stop at full."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrections:
    """What is corrected: names, fields, and the spread before any reading."""

    names: tuple[str, ...]
    paths: tuple[str, ...]
    spread: Array
    says: tuple[str, ...]
    reading: tuple[str, ...]  # what would tell it


@dataclass(frozen=True, slots=True, kw_only=True)
class Slopes:
    """Predictions (c, k, m) of explanations at sizes; slopes (c, m, p) over standard deviations of corrections."""

    centre: Array  # (c, p) corrections at which they were made
    sizes: Array  # (k,)
    values: Array
    slope: Array
    known: Corrections


def corrections(readings: Sequence[Reading] = ()) -> Corrections:
    """Return the corrections that readings may tell: those of every ride, and those with readings of their own."""
    about = frozenset().union(*(each.about for each in readings))
    return _chosen(lambda by: not by or not about.isdisjoint(by))


def not_asked_for(readings: Sequence[Reading]) -> Corrections:
    """Return the corrections of which readings say nothing at all."""
    about = frozenset().union(*(each.about for each in readings))
    return _chosen(lambda by: bool(by) and about.isdisjoint(by))


def _chosen(wanted: Callable[[list[str]], bool]) -> Corrections:
    book = table("learn/corrections")
    at = [k for k, by in enumerate(book.texts["by"]) if wanted(by.split())]
    names, paths, says, reading = (
        tuple(book.texts[column][k] for k in at) for column in ("name", "path", "says", "reading")
    )
    return Corrections(names=names, paths=paths, spread=book.columns["spread"][at], says=says, reading=reading)


def fields_of(x: Array, own: Columns, known: Corrections) -> Columns:
    """Return columns of fields for corrections x (n, p), on top of those that an explanation changes."""
    out: Columns = dict(own)
    for j, (name, path) in enumerate(zip(known.names, known.paths, strict=True)):
        if name == CHARGE:
            out[CHARGE] = known.spread[j] * x[:, j]
        else:
            out[path] = np.asarray(out.get(path, np.ones(len(x)))) * np.exp(known.spread[j] * x[:, j])
    return out


def slopes(
    build: Build,
    causes: Sequence[Cause],
    scenes: Sequence[Scene],
    readings: Sequence[Reading],
    *,
    centre: Array | None = None,
    nodes: int = NODES,
    known: Corrections | None = None,
) -> Slopes:
    """Return predictions and slopes of every explanation, from one batch.

    Parameters
    ----------
    build : Build
        Without corrections.
    causes : sequence of Cause
        Explanations.
    scenes, readings : sequence
        Of the trial.
    centre : (c, p) array
        Corrections about which to work; none for those of the models.
    nodes : int
        Sizes of each explanation.
    known : Corrections
        Those that are asked for; left out: what the readings may tell.
    """
    known = known or corrections(readings)
    p = len(known.names)
    most = _most(known, scenes)
    at = np.minimum(np.zeros((len(causes), p)) if centre is None else centre, most)
    sizes = np.linspace(0.0, 1.0, nodes)
    parts: list[Columns] = []
    for cause, x in zip(causes, at, strict=True):
        size = sizes if cause.changes else sizes[:1]
        rows = np.concatenate([np.tile(x, (size.size, 1)), x + _steps(x, most)])
        every = np.concatenate([size, np.full(p, size[size.size // 2])])
        parts.append(fields_of(rows, columns(build, cause, every), known))
    told = predict(build, together(build, parts, scenes), scenes, readings)
    return _taken_apart(told, causes, scenes, readings, at, sizes, known)


def _most(known: Corrections, scenes: Sequence[Scene]) -> Array:
    """Return how far up each correction may be worked about: a full pack has no more charge."""
    highest = max(float(scene.values.get("charge", USUAL_CHARGE)) for scene in scenes)
    room = (FULLEST - highest) / known.spread
    return np.where([name == CHARGE for name in known.names], room, FARTHEST)


def _steps(x: Array, most: Array) -> Array:
    """Return the step of each correction, away from the end of its range."""
    return np.asarray(np.where(x + STEP > np.minimum(most, TURNS), -STEP, STEP) * np.eye(x.size))


def together(build: Build, parts: Sequence[Columns], scenes: Sequence[Scene]) -> Columns:
    """Return columns of several explanations as one; NaN leaves a field as it was that day, or as the build has it."""
    counts = [len(next(iter(each.values()))) for each in parts]
    paths = dict.fromkeys(path for each in parts for path in each)
    of_day = {path for scene in scenes for path in scene.values}
    plain = {path: np.nan if path in of_day else value_of(build, path) for path in paths if path != CHARGE}
    return {
        path: np.concatenate(
            [
                np.asarray(each[path]) if path in each else np.full(count, plain[path])
                for each, count in zip(parts, counts, strict=True)
            ]
        )
        for path in paths
    }


def _taken_apart(
    told: Told, causes: Sequence[Cause], scenes: Sequence[Scene], readings: Sequence[Reading], at: Array,
    sizes: Array, known: Corrections,
) -> Slopes:  # fmt: skip
    p, m, most = at.shape[1], len(readings), _most(known, scenes)
    values, slope = np.empty((len(causes), sizes.size, m)), np.empty((len(causes), m, p))
    begin = 0
    for c, cause in enumerate(causes):
        count = sizes.size if cause.changes else 1
        rows = told.values[begin : begin + count + p]
        begin += count + p
        values[c] = rows[:count]
        slope[c] = (rows[count:] - rows[count // 2]).T / _steps(at[c], most).sum(axis=1)
    early = np.array([not each.late for each in readings], dtype=bool)
    for c, cause in enumerate(causes):
        if cause.late:
            values[c][:, early], slope[c][early] = values[0][:, early], slope[0][early]
    return Slopes(centre=at, sizes=sizes, values=values, slope=slope, known=known)
