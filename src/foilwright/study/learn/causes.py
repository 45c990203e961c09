"""Explanations of a trial: each a change of the craft, in sizes from mild to grave, as columns of fields."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from foilwright.assemble.reader import Reader
from foilwright.build.build import Build
from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.study.learn.predict import EFFECTS, NEUTRAL, Columns

AS_DESIGNED, SOMETHING_ELSE = "as_designed", "something_else"
PRIOR_AS_DESIGNED, PRIOR_ELSE = 0.30, 0.05
"""How likely nothing is wrong, and something is that is not listed, before any reading (judgement)."""
NODES = 5
"""Sizes of each explanation that are worked out."""
LATE = frozenset({"heat_cut_back"})
"""Explanations that show only when the craft has been run for a while."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """How an explanation changes one field."""

    path: str
    how: str
    mild: float
    grave: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """An explanation: its name, how likely it is before any reading, and what it changes."""

    id: str
    name: str
    prior: float
    changes: tuple[Change, ...]
    minutes: float
    look: str
    ways_out: tuple[str, ...]

    @property
    def late(self) -> bool:
        """Say whether it shows only after a while."""
        return self.id in LATE


def causes(build: Build, *, asked: Collection[str] = ()) -> tuple[Cause, ...]:
    """Return the explanations that can be true of a build, the plain design first.

    Parameters
    ----------
    build : Build
        What was ridden.
    asked : collection of str
        What was read and so is known: an explanation that it settles is left out.
    """
    book, told = table("learn/causes"), table("learn/told").texts
    minutes = table("learn/told").columns["minutes"]
    about = {name: k for k, name in enumerate(told["cause"])}
    changes: dict[str, list[Change]] = {}
    prior: dict[str, float] = {}
    texts, numbers = book.texts, book.columns
    out: set[str] = set()
    for k, cause in enumerate(texts["cause"]):
        weight = float(numbers["prior"][k])
        prior[cause] = weight if np.isfinite(weight) else prior[cause]
        note = texts["asked"][k]
        if note in asked:
            out.add(cause)
        if note == "never" or (texts["path"][k] not in EFFECTS and not _known(build, texts["path"][k])):
            continue
        changes.setdefault(cause, []).append(
            Change(
                path=texts["path"][k],
                how=texts["how"][k],
                mild=float(numbers["mild"][k]),
                grave=float(numbers["grave"][k]),
            )
        )
    left = {cause: found for cause, found in changes.items() if cause not in out}
    rest = (1.0 - PRIOR_AS_DESIGNED - PRIOR_ELSE) / sum(prior[cause] for cause in left)
    shares = {AS_DESIGNED: PRIOR_AS_DESIGNED, SOMETHING_ELSE: PRIOR_ELSE}
    shares |= {cause: prior[cause] * rest for cause in left}
    return tuple(
        Cause(
            id=cause, name=told["name"][about[cause]], prior=share, changes=tuple(left.get(cause, ())),
            minutes=float(minutes[about[cause]]), look=told["look"][about[cause]],
            ways_out=tuple(each.strip() for each in told["ways_out"][about[cause]].split(";")),
        )
        for cause, share in shares.items()
    )  # fmt: skip


def _known(build: Build, path: str) -> bool:
    value = value_of(build, path)
    return bool(np.isfinite(value))


def value_of(build: Build, path: str) -> float:
    """Return what a build has for a field, measured, written or assumed, in SI; NaN where it is open."""
    if path in EFFECTS:
        return NEUTRAL[EFFECTS.index(path)]
    return float(Reader(build=build, designs=1, varied={}, as_built=True).number(path)[0])


def changed(change: Change, own: Array | float, size: Array) -> Array:
    """Return the value of a field for sizes of an explanation, from the build's own or the day's."""
    if change.how == "times":
        return np.asarray(own * np.exp(np.log(change.mild) + size * np.log(change.grave / change.mild)))
    moved = change.mild + size * (change.grave - change.mild)
    return np.asarray(own + moved if change.how == "plus" else moved + 0.0 * np.asarray(own))


def columns(build: Build, cause: Cause, sizes: Array) -> Columns:
    """Return the fields that an explanation changes, for sizes from 0 (mild) to 1 (grave)."""
    return {each.path: changed(each, value_of(build, each.path), sizes) for each in cause.changes}
