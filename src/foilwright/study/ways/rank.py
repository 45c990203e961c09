"""Which way out comes first: no new harm, then the beach before the workshop, effort and cost, what is owned, size."""

from __future__ import annotations

import fnmatch
import functools
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from foilwright.core.data import table
from foilwright.study.ways.fields import Field
from foilwright.study.ways.search import Cure
from foilwright.study.ways.trials import FAILS, SLIM, UNKNOWN, Design, Trials

EFFORTS = ("minutes", "hours", "days", "weeks")
COSTS = ("none", "low", "medium", "high")
HARM = {FAILS: 4.0, UNKNOWN: 2.0, SLIM: 1.0}
"""How much a finding weighs that becomes worse, by what it becomes."""
NEW = 1.0
"""How much a finding weighs that had no object before and now fails."""
MERIT, MERITS = 0.5, 4
"""What each other finding that is cleared as well makes up in effort and cost, and how many of them count."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """What a change of a field takes, as is common practice."""

    effort: str
    cost: str
    phrase: str


@functools.cache
def practice(path: str) -> Practice:
    """Return what a change of a field takes: the first row of the table that fits its path."""
    rows = table("ways").texts
    k = next(k for k, pattern in enumerate(rows["field"]) if fnmatch.fnmatchcase(path, pattern))
    return Practice(effort=rows["effort"][k], cost=rows["cost"][k], phrase=rows["phrase"][k])


def place(fields: Sequence[Field]) -> Literal["beach", "workshop"]:
    """Return where changes are made: at the beach where all of them can be."""
    return "beach" if all(field.meta.beach for field in fields) else "workshop"


def effort(fields: Sequence[Field]) -> str:
    """Return the largest effort among changes; on the beach it is a matter of minutes."""
    return max(("minutes" if field.meta.beach else practice(field.path).effort for field in fields), key=EFFORTS.index)


def cost(fields: Sequence[Field]) -> str:
    """Return the largest class of cost among changes; on the beach there is none."""
    return max(("none" if field.meta.beach else practice(field.path).cost for field in fields), key=COSTS.index)


def takes(field: Field) -> int:
    """Return effort and cost of a change, in classes."""
    return 0 if field.meta.beach else _classes(field.path)


@functools.cache
def _classes(path: str) -> int:
    known = practice(path)
    return EFFORTS.index(known.effort) + COSTS.index(known.cost)


def owned(paths: Collection[str], inventory: Collection[str]) -> bool:
    """Say whether changes leave everything that is owned as it is."""
    return not any(path in inventory for path in paths)


def harm(trials: Trials, row: int, target: int) -> tuple[bool, float]:
    """Return whether a change trades a failure for one at least as grave, and how much else it makes worse."""
    out = trials.out
    before, after = out.verdict[0], out.verdict[row]
    other = np.arange(len(trials.ids)) != target
    worse = other & out.applies[0] & out.applies[row] & (after < before)
    fresh = other & ~out.applies[0] & out.applies[row] & (after == FAILS)
    mine = (int(before[target]), int(trials.grave[target]))
    trades = any((int(after[k]), int(trials.grave[k])) <= mine for k in np.flatnonzero(worse))
    weight = sum(HARM[int(after[k])] for k in np.flatnonzero(worse)) + NEW * int(fresh.sum())
    return trades, float(weight)


def cleared(trials: Trials, row: int, target: int) -> int:
    """Return how many other findings that fail or are slim a change clears as well."""
    out = trials.out
    bad = out.applies[0] & ((out.verdict[0] == FAILS) | (out.verdict[0] == SLIM))
    bad[target] = False
    return int((bad & trials.cleared[row]).sum())


def size(trials: Trials, design: Design) -> float:
    """Return how large changes are together."""
    return sum(trials.fields[path].size(value) for path, value in design.items())


def key(
    trials: Trials, cure: Cure, inventory: Collection[str]
) -> tuple[bool, float, bool, bool, bool, float, float, str]:
    """Return the sort key of a way out of a finding: the least comes first."""
    trades, weight = harm(trials, cure.row, cure.target)
    fields = [trials.fields[path] for path in cure.design]
    classes = max(map(takes, fields)) + 2.0 * (len(fields) - 1)
    classes -= MERIT * min(cleared(trials, cure.row, cure.target), MERITS)
    return (
        trades, weight, any(field.taken_for_granted for field in fields), place(fields) == "workshop",
        not owned(cure.design, inventory), classes, size(trials, cure.design), " ".join(cure.design),
    )  # fmt: skip


def ranked(trials: Trials, cures: Sequence[Cure], inventory: Collection[str], most: int) -> list[Cure]:
    """Return the best ways out of one finding; a change that trades one failure for a graver one is left out.

    Of each set of fields only the best change stays.
    """
    keyed = sorted(((key(trials, cure, inventory), cure) for cure in cures), key=lambda each: each[0])
    best: dict[frozenset[str], Cure] = {}
    for (trades, *_), cure in keyed:
        if not trades:
            best.setdefault(frozenset(cure.design), cure)
    return list(best.values())[:most]
