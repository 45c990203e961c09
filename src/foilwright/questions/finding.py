"""A finding: demand, capacity, the margin it must have; the one place where a margin becomes a word."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Model

Array = npt.NDArray[np.float64]
Flag = npt.NDArray[np.bool_]
Code = npt.NDArray[np.int8]
Meaning = Literal["hurts", "burns", "breaks", "stops", "annoys"]

MEANINGS: tuple[Meaning, ...] = ("hurts", "burns", "breaks", "stops", "annoys")
VERDICTS = ("fails", "unknown", "slim", "sound")
"""Worst first."""

KNOWN, MISSING, OUTSIDE, NO_SOLUTION = np.int8(0), np.int8(1), np.int8(2), np.int8(3)
WHY = {int(MISSING): "missing", int(OUTSIDE): "outside", int(NO_SOLUTION): "no_solution"}


@dataclass(frozen=True, kw_only=True)
class Beyond:
    """A model used at a value: outside its registered range where ``bad``.

    ``decides``: the answer is then unknown. ``voids``: so it is even where no solution was found.
    """

    model: str
    variable: str
    value: Array
    low: float
    high: float
    means: str
    decides: bool
    voids: bool = False

    @functools.cached_property
    def bad(self) -> Flag:
        """Where the value lies outside the range; many findings share what they say of one model."""
        return np.asarray(~((self.value >= self.low) & (self.value <= self.high)) & np.isfinite(self.value))

    @functools.cached_property
    def keeps(self) -> bool:
        """Whether the value lies within the range for every design."""
        return not self.bad.any()


def used(model: Model[Any, Any], **values: Array) -> tuple[Beyond, ...]:
    """Return what a model says about the values at which an answer used it."""
    return tuple(
        Beyond(
            model=model.name, variable=limit.variable, value=np.asarray(values[limit.variable]), low=limit.low,
            high=limit.high, means=limit.means, decides=limit.decides,
        )
        for limit in model.limits
        if limit.variable in values
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One comparison of what is asked of a part with what it can give, for every design.

    Arrays are (n,) in SI. ``cases`` names the possible governing cases and ``case`` which one
    governs each design; ``applies`` is False where the question has no object (no flight to judge):
    its numbers are then no answer. ``missing`` is the path whose absence makes the finding unknown.
    """

    id: str
    name: str
    part: str
    place: str
    meaning: Meaning
    demand: Array
    capacity: Array
    unit: str
    required: Array
    required_why: str
    source: str
    model: str
    inputs: tuple[str, ...]
    kind: Literal["ratio", "difference"] = "ratio"
    scale: float = 1.0
    cases: tuple[str, ...] = ("",)
    case: npt.NDArray[np.intp]
    unknown: Code
    missing: str = ""
    no_solution: Flag
    applies: Flag
    sought: str = ""
    beyond: tuple[Beyond, ...] = ()
    temperature: Array | None = None
    relief: Array | None = None

    @property
    def question(self) -> str:
        """The question that this finding belongs to."""
        return self.id.split(".", 1)[0]

    @property
    def margin(self) -> Array:
        """Capacity over demand less one, or their difference; +inf where nothing is asked."""
        return _margin(self.demand, self.capacity, self.kind == "ratio")

    @property
    def shortfall(self) -> Array:
        """Margin less the required margin, in units of ``scale``; negative where it lacks."""
        return np.asarray((self.margin - self.required) / self.scale)

    @property
    def reason(self) -> Code:
        """Why there is no margin: missing, outside, no solution; 0 where there is one."""
        return self.judged().reason

    @property
    def verdict(self) -> npt.NDArray[np.intp]:
        """Index into ``VERDICTS``: what the margin comes to in a word."""
        return self.judged().verdict

    def judged(self) -> Judged:
        """Return margin, shortfall, reason and verdict, each worked out once."""
        outside, void = (np.zeros(self.demand.shape, dtype=bool) for _ in range(2))
        _mark(self, outside, void)
        return _judged(
            demand=self.demand, capacity=self.capacity, required=self.required, ratio=self.kind == "ratio",
            scale=self.scale, unknown=self.unknown, no_solution=self.no_solution, applies=self.applies,
            outside=outside, void=void,
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What a finding comes to, for every design."""

    margin: Array
    shortfall: Array
    reason: Code
    verdict: npt.NDArray[np.intp]


def judged(findings: Sequence[Finding]) -> Judged:
    """Return what findings come to, arrays (n, findings), as each by itself does."""
    shape = findings[0].demand.size, len(findings)
    outside, void = (np.zeros(shape, dtype=bool) for _ in range(2))
    for k, each in enumerate(findings):
        _mark(each, outside[:, k], void[:, k])

    def all_of(name: str) -> Any:
        return np.array([getattr(each, name) for each in findings]).T

    return _judged(
        **{name: all_of(name) for name in ("demand", "capacity", "required", "unknown", "no_solution", "applies")},
        ratio=np.array([each.kind == "ratio" for each in findings]), scale=all_of("scale"), outside=outside, void=void,
    )  # fmt: skip


def _mark(finding: Finding, outside: Flag, void: Flag) -> None:
    """Mark the designs of a finding for which a model is outside its range, and where no answer stands for that."""
    for each in finding.beyond:
        if not each.keeps:
            if each.decides:
                outside |= each.bad
            if each.voids:
                void |= each.bad


def _margin(demand: Array, capacity: Array, ratio: bool | Flag) -> Array:
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        share = np.where(demand <= 0.0, np.inf, capacity / demand - 1.0)
        return np.where(ratio, share, capacity - demand)


def _judged(
    *, demand: Array, capacity: Array, required: Array, ratio: bool | Flag, scale: float | Array, unknown: Code,
    no_solution: Flag, applies: Flag, outside: Flag, void: Flag,
) -> Judged:  # fmt: skip
    """Return what is asked and given as a margin, and a margin as a word: the one place where it becomes one."""
    margin = _margin(demand, capacity, ratio)
    reason = np.where((outside | np.isnan(margin)) & (unknown == KNOWN), OUTSIDE, unknown)
    reason = np.where(no_solution & ~void, NO_SOLUTION, reason)
    reason = np.where(applies, reason, KNOWN).astype(np.int8)
    verdict = np.where(margin >= 0.0, np.where(margin < required, 2, 3), 0)
    verdict = np.where(reason > 0, np.where(reason == NO_SOLUTION, 0, 1), verdict)
    return Judged(
        margin=margin, shortfall=np.asarray((margin - required) / scale), reason=reason,
        verdict=np.where(applies, verdict, 3).astype(np.intp),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Maker:
    """Makes the findings of one question, filling in what most of them share."""

    question: str
    designs: int
    made: list[Finding] = field(default_factory=list)
    first: npt.NDArray[np.intp] = field(init=False)
    known: Code = field(init=False)
    yes: Flag = field(init=False)
    no: Flag = field(init=False)

    def __post_init__(self) -> None:
        """Make what most findings share."""
        for name, value, kind in (("first", 0, np.intp), ("known", KNOWN, np.int8), ("yes", 1, bool), ("no", 0, bool)):
            shared = np.full(self.designs, value, dtype=kind)
            shared.setflags(write=False)
            object.__setattr__(self, name, shared)

    def add(
        self,
        key: str,
        *,
        name: str,
        part: str,
        meaning: Meaning,
        demand: Array,
        capacity: Array,
        unit: str,
        required: float | Array,
        required_why: str,
        source: str,
        inputs: str,
        model: str = "",
        place: str = "",
        kind: Literal["ratio", "difference"] = "ratio",
        scale: float = 1.0,
        cases: tuple[str, ...] = ("",),
        case: npt.NDArray[np.intp] | None = None,
        missing: str = "",
        is_missing: Flag | None = None,
        no_solution: Flag | None = None,
        applies: Flag | None = None,
        sought: str = "",
        beyond: Sequence[Beyond] = (),
        temperature: Array | None = None,
        relief: Array | None = None,
    ) -> None:
        """Add one finding; ``inputs`` are paths parted by spaces."""
        n = self.designs
        asks, gives, asked = _wide(demand, n), _wide(capacity, n), _wide(required, n)
        none = np.isnan(asks) | np.isnan(gives) | np.isnan(asked)
        numbers = _computed(model, n)
        if none.any():
            gives, asked = np.where(np.isnan(asked), np.nan, gives), np.nan_to_num(asked)
            numbers = _not_computed(model, none)
        self.made.append(
            Finding(
                id=f"{self.question}.{key}", name=name, part=part, place=place, meaning=meaning, demand=asks,
                capacity=gives, unit=unit, required=asked, required_why=required_why, source=source, model=model,
                inputs=_paths(inputs), kind=kind, scale=scale, cases=cases,
                case=self.first if case is None else case,
                unknown=self.known if is_missing is None else np.where(is_missing, MISSING, KNOWN),
                missing=missing, no_solution=self.no if no_solution is None else np.asarray(no_solution, dtype=bool),
                applies=self.yes if applies is None else np.asarray(applies, dtype=bool),
                sought=sought, beyond=(*beyond, numbers), temperature=temperature, relief=relief,
            )
        )  # fmt: skip


def _not_computed(model: str, none: Flag) -> Beyond:
    """Return what says so where a number of a finding came out as none, although no range of a model told it."""
    return Beyond(
        model=model, variable="numbers", value=none.astype(np.float64), low=0.0, high=0.5,
        means="demand, capacity or the margin that it must have cannot be computed here", decides=True,
    )  # fmt: skip


@functools.lru_cache(maxsize=1024)
def _computed(model: str, designs: int) -> Beyond:
    """Return what says that every number of a finding was computed."""
    none = np.zeros(designs, dtype=bool)
    none.setflags(write=False)
    return _not_computed(model, none)


@functools.lru_cache(maxsize=4096)
def _paths(inputs: str) -> tuple[str, ...]:
    return tuple(inputs.split())


def _wide(values: float | Array, designs: int) -> Array:
    array = np.asarray(values, dtype=np.float64)
    if array.shape == (designs,):
        return array
    out = np.empty(designs)
    out[...] = array
    return out


def is_flag(finding: Finding, row: int) -> bool:
    """Say whether a finding is a plain right or wrong, such as the hand of a thread."""
    return (
        finding.kind == "difference"
        and finding.unit == "1"
        and float(finding.demand[row]) == 1.0
        and float(finding.capacity[row]) in (0.0, 1.0)
        and float(finding.required[row]) == 0.0
    )


def gravity(finding: Finding, row: int) -> tuple[int, int, float, str]:
    """Return the sort key of a finding for one design: verdict, meaning, least margin first.

    What is as it must be has no margin: it comes last.
    """
    verdict = int(finding.verdict[row])
    if verdict == len(VERDICTS) - 1 and is_flag(finding, row):
        return (verdict, len(MEANINGS), np.inf, finding.id)
    shortfall = float(finding.shortfall[row])
    return (
        verdict,
        MEANINGS.index(finding.meaning),
        shortfall if np.isfinite(shortfall) else (-np.inf if finding.no_solution[row] else np.inf),
        finding.id,
    )
