"""What the rules on the drawn wiring come to for each design: numbers, flags, and sentences that name the joint."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.physics.protection import RULES, Fault
from foilwright.questions.state.network import LookState

Flag = npt.NDArray[np.bool_]
FAR = 1e6
"""Sorts what is wrong before what is open, and that before what is right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One rule for every design (n,).

    ``demand`` and ``capacity`` are those of the element with the least to spare, NaN where the rule is no
    matter of numbers; ``cases`` are sentences, ``case`` tells which holds; ``looked`` is False where the
    rule had nothing to compare.
    """

    demand: Array
    capacity: Array
    wrong: Flag
    unknown: Flag
    looked: Flag
    cases: tuple[str, ...]
    case: npt.NDArray[np.intp]


@dataclass(slots=True)
class Sentences:
    """Sentences in the order in which they were needed first; the empty one is the first."""

    known: dict[str, int] = field(default_factory=lambda: {"": 0})

    def place(self, sentence: str) -> int:
        """Return the number of a sentence."""
        return self.known.setdefault(sentence, len(self.known))


def sentence(one: Fault, row: int) -> str:
    """Return what is wrong at which joint, with its numbers, and what to do."""
    unsaid = [joint for joint in one.joints if joint not in one.wrong]
    told = one.wrong + (f" (at {', '.join(unsaid)})" if unsaid else "")
    demand, capacity = (_at(values, row) for values in (one.demand, one.capacity))
    if one.unit and np.isfinite(demand):
        unit = {"1": "", "A*s": "A s"}.get(one.unit, one.unit)
        told += f"; {_short(demand)} {unit}".rstrip()
        if np.isfinite(capacity) and capacity > 0.0:
            told += f" where {_short(capacity)} {unit}".rstrip() + " is allowed"
    return f"{told}: {one.do}"


def _short(number: float) -> str:
    return f"{number:.0f}" if abs(number) >= 100.0 else f"{number:.2g}" if abs(number) >= 1.0 else f"{number:.1g}"


def _at(values: Array, row: int) -> float:
    return float(values.reshape(-1)[row if values.size > 1 else 0])


def checks(designs: int, state: LookState) -> dict[str, Check]:
    """Return every rule by name."""
    none, nothing = np.zeros(designs, dtype=bool), np.full(designs, np.nan)
    quiet = Check(
        demand=nothing, capacity=nothing, wrong=none, unknown=none, looked=none, cases=("",),
        case=np.zeros(designs, dtype=np.intp),
    )  # fmt: skip
    return {
        rule.name: _check(rule.name, designs, state) if any(look.found[rule.name] for look in state.looks) else quiet
        for rule in RULES
    }


def _check(name: str, designs: int, state: LookState) -> Check:
    demand, capacity = np.full(designs, np.nan), np.full(designs, np.nan)
    wrong, unknown, looked = (np.zeros(designs, dtype=bool) for _ in range(3))
    case = np.zeros(designs, dtype=np.intp)
    told = Sentences()
    for look in state.looks:
        found = look.found[name]
        if not found:
            continue
        rows, wide = look.rows, (look.rows.size,)
        applies, open_, asked, has = (
            np.stack([np.broadcast_to(getattr(one, what), wide) for one in found])
            for what in ("applies", "unknown", "demand", "capacity")
        )
        with np.errstate(divide="ignore", invalid="ignore"):
            ratio = has / asked
        ratio = np.where(ratio < FAR, ratio, FAR)
        at = (ratio - 4.0 * FAR * applies - 2.0 * FAR * (open_ & ~applies)).argmin(axis=0)
        along = np.arange(rows.size)
        demand[rows], capacity[rows] = asked[at, along], has[at, along]
        wrong[rows], looked[rows] = applies.any(axis=0), True
        unknown[rows] = open_.any(axis=0) & ~applies.any(axis=0)
        for k in np.flatnonzero(wrong[rows]).tolist():
            told_here = [sentence(one, k) for one, holds in zip(found, applies[:, k].tolist(), strict=True) if holds]
            case[rows[k]] = told.place(" / ".join(told_here))
    return Check(
        demand=demand, capacity=capacity, wrong=wrong, unknown=unknown, looked=looked, cases=tuple(told.known),
        case=case,
    )  # fmt: skip
