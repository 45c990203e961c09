"""The search along single fields and pairs: coarse samples of every field, then the smallest change that clears."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.build.build import Value
from foilwright.study.ways.fields import FAR, MIDDLE, NEAR, WIDE, Field
from foilwright.study.ways.trials import DEEP, Design, Trials

INSIDE = 3
"""Values between the last that does not clear and the first that does."""
PROMISE = 4.0
"""How many times its gain at a wide step a change may bring further out."""
PASSES = 2
"""How often they are sought."""
BETTER = 1e-3
"""Gain, in units of a finding's scale, from which on a change is said to help."""
IN_PAIRS, PAIRS = 7, 320
"""Fields that are paired for one finding; pairs in all."""
STEPS_BACK = (0.25, 0.4, 0.55, 0.7, 0.85)
"""Shares of a pair's changes that are tried to make it smaller."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """A variant that clears a finding; ``target`` is the column of the finding, ``row`` that of the variant."""

    target: int
    design: Design
    row: int


class Search:
    """All variants of one field at a time, kept by field and side."""

    def __init__(self, trials: Trials, targets: Sequence[int]) -> None:
        self.trials = trials
        self.targets = list(targets)
        self.tried: dict[str, dict[Value, int]] = {path: {} for path in trials.fields}

    def run(self) -> None:
        """Sample every field coarsely, those that matter finely, and close in on the smallest changes."""
        fields = self.trials.fields.values()
        self.add((field, value) for field in fields for value in _first(field))
        self.add(each for field in fields for each in self._further(field))
        for _ in range(PASSES):
            self.add(each for field in fields for each in self._closer(field))

    def add(self, samples: Iterator[tuple[Field, Value]]) -> None:
        """Ask for fields at values."""
        asked = list(samples)
        rows = self.trials.rows([{field.path: value} for field, value in asked])
        for (field, value), row in zip(asked, rows, strict=True):
            if row >= 0:
                self.tried[field.path][value] = row

    def gain(self, row: int, target: int) -> float:
        """Return how much less short a finding is than in the build as it stands."""
        level = self.trials.out.level
        return float(level[row, target] - level[0, target])

    def short(self, target: int) -> float:
        """Return how short a finding is; of one that has no solution, the relief that it needs."""
        level = -float(self.trials.out.level[0, target])
        return level - DEEP if level > DEEP else level

    def _promises(self, row: int, target: int) -> bool:
        """Say whether more of a change may clear a finding."""
        gain = self.gain(row, target)
        return gain > BETTER and PROMISE * gain >= self.short(target)

    def _moves(self, row: int) -> bool:
        """Say whether a change does anything to what must be cleared."""
        level = self.trials.out.level[:, self.targets]
        return bool((np.abs(level[row] - level[0]) > 0.1 * BETTER).any())

    def _further(self, field: Field) -> Iterator[tuple[Field, Value]]:
        """Yield nearer values where a field matters, and farther ones on the sides that promise something."""
        tried = self.tried[field.path]
        if field.meta.kind == "choice" or not any(self._moves(row) for row in tried.values()):
            return
        cleared = self.trials.out.cleared
        for up in (False, True):
            row = next((tried[value] for value in field.at(WIDE, up=up) if value in tried), None)
            hoped = [] if row is None else [target for target in self.targets if self._promises(row, target)]
            reaches = [NEAR, MIDDLE] if hoped else [NEAR]
            if not all(cleared[row, target] for target in hoped):
                reaches.append(FAR)
            yield from ((field, value) for reach in reaches for value in field.at(reach, up=up))

    def _closer(self, field: Field) -> Iterator[tuple[Field, Value]]:
        """Yield values where a finding is first cleared, or beside the best where none clears it."""
        if field.meta.kind == "choice":
            return
        spans: dict[tuple[float, float], None] = {}
        for side in self._sides(field):
            for target in self.targets:
                span = self._span(side, target)
                if span is not None:
                    spans[span] = None
        for first, last in spans:
            yield from ((field, value) for value in field.between(first, last, INSIDE))

    def _sides(self, field: Field) -> Iterator[list[tuple[float, int]]]:
        """Yield what was tried on either side of the base, from it outwards, the base first."""
        for sign in (-1.0, 1.0):
            away = sorted(
                (sign * (float(value) - field.start), float(value), row)
                for value, row in self.tried[field.path].items()
                if sign * (float(value) - field.start) > 0.0
            )
            yield [(field.start, 0), *((value, row) for _, value, row in away)]

    def _span(self, side: list[tuple[float, int]], target: int) -> tuple[float, float] | None:
        """Return the values between which a finding is first cleared; else those beside a best one inside."""
        cleared = self.trials.out.cleared
        first = next((k for k, (_, row) in enumerate(side) if k and cleared[row, target]), None)
        if first is not None:
            return side[first - 1][0], side[first][0]
        levels = [self.trials.out.level[row, target] for _, row in side]
        best = int(np.argmax(levels))
        if not 0 < best < len(side) - 1 or not self._promises(side[best][1], target):
            return None
        other = best - 1 if levels[best - 1] > levels[best + 1] else best + 1
        return side[best][0], side[other][0]

    def singles(self, target: int) -> list[Cure]:
        """Return the changes of one field that clear a finding: of each field the smallest on either side."""
        cleared = self.trials.out.cleared[:, target]
        cures = []
        for field in self.trials.fields.values():
            if field.meta.kind == "choice":
                found = [(value, row) for value, row in self.tried[field.path].items() if cleared[row]]
            else:
                sides = ((next(((v, r) for v, r in side[1:] if cleared[r]), None)) for side in self._sides(field))
                found = [self._as_tried(field, each) for each in sides if each is not None]
            cures += [Cure(target=target, design={field.path: value}, row=row) for value, row in found]
        return cures

    def _as_tried(self, field: Field, found: tuple[float, int]) -> tuple[Value, int]:
        return next((value, row) for value, row in self.tried[field.path].items() if row == found[1])

    def helpers(self, target: int, most: int) -> list[tuple[Field, Value]]:
        """Return the fields that bring a finding nearest to its margin, each at its best value, best first."""
        found = []
        for field in self.trials.fields.values():
            tried = self.tried[field.path]
            if tried:
                best = max(tried, key=lambda value: self.gain(tried[value], target))
                if self.gain(tried[best], target) > BETTER:
                    found.append((self.gain(tried[best], target), field, best))
        return [(field, value) for _, field, value in sorted(found, key=lambda each: (-each[0], each[1].path))[:most]]

    def moderate(self, field: Field, target: int, best: Value) -> Value:
        """Return the smallest tried value that brings at least half of what the best one does."""
        tried = self.tried[field.path]
        half = 0.5 * self.gain(tried[best], target)
        enough = [value for value, row in tried.items() if self.gain(row, target) >= half]
        return min(enough, key=field.size)

    def pairs(self, targets: Sequence[int]) -> list[Cure]:
        """Return the pairs of changes that clear findings which no single change clears."""
        if not targets:
            return []
        most = min(IN_PAIRS, int((1 + np.sqrt(1 + 4 * PAIRS / len(targets))) / 2))
        designs: list[Design] = []
        for target in targets:
            helpers = self.helpers(target, max(most, 2))
            for (one, high), (two, wide) in itertools.combinations(helpers, 2):
                low, less = self.moderate(one, target, high), self.moderate(two, target, wide)
                designs += [{one.path: high, two.path: wide}, {one.path: low, two.path: less}]
        found = list(self._clearing(designs, targets))
        shorter = [design for cure in found for design in self._shorter(cure.design)]
        found += self._clearing(shorter, targets)
        return found

    def _clearing(self, designs: Sequence[Design], targets: Sequence[int]) -> Iterator[Cure]:
        rows = self.trials.rows(designs)
        for design, row in {frozenset(d.items()): (d, r) for d, r in zip(designs, rows, strict=True)}.values():
            for target in targets:
                if row >= 0 and self.trials.out.cleared[row, target]:
                    yield Cure(target=target, design=design, row=row)

    def _shorter(self, design: Design) -> Iterator[Design]:
        """Yield the same changes, smaller."""
        for share in STEPS_BACK:
            less: dict[str, Value] = {}
            for path, value in design.items():
                field = self.trials.fields[path]
                if field.meta.kind == "choice":
                    less[path] = value
                else:
                    less[path] = field.rounded(field.start + share * (float(value) - field.start))
            if all(less[path] != self.trials.fields[path].base for path in less):
                yield less


def _first(field: Field) -> tuple[Value, ...]:
    """Return what is tried of every field: each other name of a choice, else one value on either side."""
    if field.meta.kind == "choice":
        return field.others()
    return (*field.at(WIDE, up=False), *field.at(WIDE, up=True))
