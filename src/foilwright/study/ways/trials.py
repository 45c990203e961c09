"""Variants of one build, each asked once: verdicts, margins and numbers as arrays over all that were tried."""

from __future__ import annotations

import functools
import itertools
import math
import weakref
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
import numpy.typing as npt

from foilwright.assemble import assemble
from foilwright.build.build import Value, disordered
from foilwright.build.schema import Surface
from foilwright.questions.ask import Answers
from foilwright.questions.finding import MEANINGS, NO_SOLUTION, VERDICTS, Finding, judged
from foilwright.study.ways.fields import WIDE, Field
from foilwright.study.ways.hands import Hands, work
from foilwright.study.ways.reach import OTHER_WORK, WORK, Ground, reads

Array = npt.NDArray[np.float64]
Flag = npt.NDArray[np.bool_]
Whole = npt.NDArray[np.intp]
Design = Mapping[str, Value]

FAILS, UNKNOWN, SLIM, SOUND = range(len(VERDICTS))
SLENDER = (3.0, 12.0)
"""Aspect ratios of wings that home builders make (common practice)."""
DEEP, MUCH = 6.0, 3.0
"""How short a finding is that has no solution, in units of its scale; and the relief that counts on top."""


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What came out for n designs; findings on axis 1."""

    verdict: Whole
    margin: Array
    level: Array
    """Shortfall, kept within bounds; deep below zero where there is no solution or no answer."""
    reason: npt.NDArray[np.int8]
    applies: Flag
    numbers: Array

    @functools.cached_property
    def cleared(self) -> Flag:
        """Where a finding is judged and has the margin that it must have."""
        return np.asarray((self.verdict == SOUND) & self.applies)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A craft worked out, with what came out for it by question: what variants of it are measured against."""

    ground: Ground
    parts: Mapping[str, Outcome]
    numbers: Array


_STANDING: dict[int, Standing] = {}
"""What the searches under way stand on, by number: forked processes find here what was there when they began."""
_NUMBER = itertools.count()


def _standing(ground: Ground) -> Standing:
    """Return a craft with what came out for it."""
    parts = {name: _of_findings(findings) for name, findings in ground.findings.items()}
    numbers = np.stack(list(ground.numbers.values()), axis=1)
    return Standing(ground=ground, parts=parts, numbers=numbers)


def _block(number: int, base: Mapping[str, Value | None], designs: Sequence[Design]) -> Outcome:
    here, n = _STANDING[number], len(designs)
    found, counted = here.ground.answer(vary(base, designs))
    parts = []
    for name, findings in found.items():
        parts.append(_repeated(here.parts[name], n) if findings is None else _of_findings(findings))
    numbers = here.numbers[:1].repeat(n, axis=0) if counted is None else np.stack(list(counted.values()), axis=1)
    names = [item.name for item in fields(Outcome) if item.name != "numbers"]
    return Outcome(
        **{name: np.concatenate([getattr(part, name) for part in parts], axis=1) for name in names}, numbers=numbers
    )


def _repeated(one: Outcome, designs: int) -> Outcome:
    return Outcome(**{item.name: getattr(one, item.name)[:1].repeat(designs, axis=0) for item in fields(Outcome)})


def vary(base: Mapping[str, Value | None], designs: Sequence[Design]) -> dict[str, Array | tuple[str, ...]]:
    """Return variants as columns: the value of the build where one leaves a field as it is."""
    paths = dict.fromkeys(path for design in designs for path in design)
    return {path: _column([design.get(path, base[path]) for design in designs]) for path in paths}


def outcome(answers: Answers) -> Outcome:
    """Return what came out as arrays over designs and findings."""
    return replace(_of_findings(answers.all()), numbers=np.stack(list(answers.numbers.values()), axis=1))


def _of_findings(findings: Sequence[Finding]) -> Outcome:
    all_ = judged(findings)
    applies = np.array([finding.applies for finding in findings]).T
    level = np.clip(np.where(np.isnan(all_.shortfall), -DEEP, all_.shortfall), -DEEP, DEEP)
    unsolved = all_.reason == NO_SOLUTION
    for k in np.flatnonzero(unsolved.any(axis=0)).tolist():
        found = findings[k].relief
        relief = MUCH if found is None else np.where(np.isfinite(found), found, MUCH)
        level[:, k] = np.where(unsolved[:, k], -DEEP - np.clip(relief, 0.0, MUCH), level[:, k])
    level = np.where((all_.verdict == UNKNOWN) | ~applies, -DEEP - MUCH - 1.0, level)
    return Outcome(
        verdict=all_.verdict, margin=all_.margin, level=level, reason=all_.reason, applies=applies,
        numbers=np.zeros((len(level), 0)),
    )  # fmt: skip


def _column(values: Sequence[Value | None]) -> Array | tuple[str, ...]:
    if any(isinstance(value, str) for value in values):
        return tuple("" if value is None else str(value) for value in values)
    return np.array([math.nan if value is None else float(value) for value in values])


def _aspect_ratio(area: Value | None, span: Value | None, ratio: Value | None, chord: Value | None) -> float:
    """Return span squared over area from the two sizes that are written."""
    if ratio is not None:
        return float(ratio)
    if span is not None:
        return float(span) ** 2 / float(area) if area is not None else float(span) / float(chord or 1.0)
    return float(area or 1.0) / float(chord or 1.0) ** 2


def _joined(parts: Sequence[Outcome]) -> Outcome:
    names = [item.name for item in fields(Outcome)]
    return Outcome(**{name: np.concatenate([getattr(part, name) for part in parts]) for name in names})


def _sum(names: Collection[str]) -> float:
    """Return what share of the work some shared results are."""
    return sum(WORK.get(name, OTHER_WORK) for name in sorted(names))


def _sample(field: Field) -> Value:
    """Return any other value of a field."""
    if field.meta.kind == "choice":
        return field.others()[0]
    return (*field.at(WIDE, up=True), *field.at(WIDE, up=False), field.high)[0]


class Trials:
    """Variants of a build; the first row is the build itself, and each variant is asked once."""

    def __init__(self, plain: Answers, fields_: Sequence[Field], *, as_built: bool) -> None:
        self.build, self.as_built = plain.build, as_built
        self.fields = {field.path: field for field in fields_}
        self.base: dict[str, Value | None] = {field.path: field.base for field in fields_}
        self._rows: dict[frozenset[tuple[str, Value]], int] = {frozenset(): 0}
        self._parts = [outcome(plain)]
        self._all: Outcome | None = None
        self.findings = plain.all()
        self.ids = tuple(finding.id for finding in self.findings)
        self.grave = np.array([MEANINGS.index(finding.meaning) for finding in self.findings])
        self.plain = plain
        self._number = next(_NUMBER)
        weakref.finalize(self, _STANDING.pop, self._number, None)
        ground = Ground(self.build, as_built=as_built, reads=reads(self.build, as_built=as_built))
        _STANDING[self._number] = _standing(ground)
        self.hands = Hands()
        self._reach = self._reaches()

    def name(self, finding: str) -> str:
        """Return what a finding is called."""
        return self.findings[self.ids.index(finding)].name

    def rows(self, designs: Sequence[Design]) -> list[int]:
        """Ask variants that were not asked before; return the row of each, -1 where it contradicts itself."""
        keys = [frozenset(design.items()) for design in designs]
        fresh = {
            key: design
            for key, design in zip(keys, designs, strict=True)
            if key not in self._rows and self.fits(design)
        }
        if fresh:
            start = len(self._rows)
            self._rows |= {key: start + k for k, key in enumerate(fresh)}
            self._parts += self._asked(list(fresh.values()))
            self._all = None
        return [self._rows.get(key, -1) for key in keys]

    def fits(self, design: Design) -> bool:
        """Say whether the values of a variant do not contradict each other, and its wings can be built."""
        if not all(self._can_be_built(table, design) for table in {path.partition(".")[0] for path in design}):
            return False
        if not any(self.fields[path].may_contradict for path in design):
            return True
        return not disordered({**self.build.values, **design}, self.build.names, file="")

    def _can_be_built(self, table: str, design: Design) -> bool:
        """Say whether a lifting surface keeps an aspect ratio of the trade, or that of the build if it is beyond."""
        sizes = [f"{table}.{size}" for size in Surface.SIZES]
        if not any(path in design for path in sizes):
            return True
        now, then = (
            _aspect_ratio(*(values.get(path) for path in sizes))
            for values in (self.build.values, {**self.build.values, **design})
        )
        return min(SLENDER[0], now) <= then <= max(SLENDER[1], now)

    def _reaches(self) -> dict[str, frozenset[str]]:
        """Return which shared results rest on each field."""
        ground = _STANDING[self._number].ground
        varied = vary(self.base, [{path: _sample(field)} for path, field in self.fields.items()])
        craft, _ = assemble(self.build, varied, as_built=self.as_built, trusted=True)
        rows = ground.changed(craft)
        return {
            path: ground.reached({leaf for leaf, changed in rows.items() if changed[k]})
            for k, path in enumerate(self.fields)
        }

    def _asked(self, designs: Sequence[Design]) -> list[Outcome]:
        """Ask variants, those together that rest on much the same results that must be worked out anew."""
        groups: dict[frozenset[str], list[int]] = {}
        for k, design in enumerate(designs):
            groups.setdefault(self._reached(design), []).append(k)
        joined: list[tuple[frozenset[str], list[int]]] = []
        for reached, rows in sorted(groups.items(), key=lambda each: (-_sum(each[0]), sorted(each[0]))):
            if joined:
                last, there = joined[-1]
                apart = work(_sum(last), len(there)) + work(_sum(reached), len(rows))
                if work(_sum(last | reached), len(there) + len(rows)) <= apart:
                    joined[-1] = last | reached, there + rows
                    continue
            joined.append((reached, rows))
        works, blocks = zip(*self.hands.cut([(_sum(reached), rows) for reached, rows in joined]), strict=True)
        do = functools.partial(_block, self._number, self.base)
        whole = _joined(self.hands.run(do, [[designs[k] for k in block] for block in blocks], works))
        order = np.argsort(np.concatenate(blocks))
        return [Outcome(**{item.name: getattr(whole, item.name)[order] for item in fields(Outcome)})]

    def _reached(self, design: Design) -> frozenset[str]:
        return frozenset().union(*(self._reach[path] for path in design))

    @property
    def out(self) -> Outcome:
        """What came out for every row."""
        if self._all is None:
            self._all = _joined(self._parts)
            self._parts = [self._all]
        return self._all

    @property
    def cleared(self) -> Flag:
        """Where a finding is judged and has the margin that it must have, for every row."""
        return self.out.cleared

    @property
    def count(self) -> int:
        """How many variants were asked."""
        return len(self._rows)
