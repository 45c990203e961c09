"""The search along single fields and pairs: coarse samples of every field, then the smallest change that clears."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.build.build import Value
from foilwright.study.ways.fields import FAR, MIDDLE, NEAR, WIDE, Field
from foilwright.study.ways.trials import DEEP, Design, Trials

BESIDE = (-0.15, 0.0, 0.15)
"""Where values are tried between the last that does not clear and the first that does: beside the one at which a
straight line would clear, in shares of the way between the two."""
ONCE_MORE = (0.04,)
"""The same, the second time."""
ENOUGH = 8
"""Ways out of a finding from which on larger changes are tried for it at the beach alone."""
GRID = 0.05
"""Values are tried at multiples of this share, so that findings that are cleared near to each other share them."""
NEARLY = 0.3
"""How short a finding may be, in units of its scale, for small changes to be tried where large ones do not help."""
PROMISE = 4.0
"""How many times its gain at a wide step a change may bring further out."""
BETTER = 1e-3
"""Gain, in units of a finding's scale, from which on a change is said to help."""
IN_PAIRS, PAIRS = 7, 320
"""Fields that are paired for one finding; pairs in all."""
HOPE = 0.3
"""What two changes must bring, each alone, of what a finding is short for them to be tried together."""
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
        self._sorted: dict[str, tuple[int, list[list[tuple[float, int]]]]] = {}
        self._helpers: dict[int, list[tuple[Field, Value]]] = {}

    def run(self) -> None:
        """Sample every field coarsely, and those that matter on the other side, nearer and farther."""
        fields = self.trials.fields.values()
        self.add((field, value) for field in fields for value in self._first(field))
        self.add(each for field in fields for each in self._second(field))
        rows = [list(values.values()) for values in self.tried.values()]
        known = np.sum([self.trials.cleared[each].any(axis=0) for each in rows], axis=0)
        wanting = [target for target in self.targets if known[target] < ENOUGH]
        self.add(
            each for field in fields for each in self._further(field, self.targets if field.meta.beach else wanting)
        )

    def _away(self, field: Field) -> tuple[Value, ...]:
        """Return the values that are tried first: the other names of a choice, else one on either side."""
        if field.meta.kind == "choice":
            return field.others()
        return tuple(value for up in (True, False) for value in self._wide(field, up=up))

    def _wide(self, field: Field, *, up: bool) -> tuple[Value, ...]:
        """Return the value on one side with which to begin: wide, or nearer where other fields set a limit."""
        for reach in (WIDE, MIDDLE, NEAR):
            found = field.at(reach, up=up)
            if found and self.trials.fits({field.path: found[0]}):
                return found
        return ()

    def _first(self, field: Field) -> tuple[Value, ...]:
        """Return what is tried of every field: each other name of a choice, else one value on one side."""
        return field.others() if field.meta.kind == "choice" else self._away(field)[:1]

    def _second(self, field: Field) -> tuple[tuple[Field, Value], ...]:
        """Return the value on the other side where the first one makes worse what must be cleared."""
        tried = self.tried[field.path]
        if field.meta.kind == "choice":
            return ()
        worse = any(self._promises(row, target, less=True) for row in tried.values() for target in self.targets)
        return tuple((field, value) for value in self._away(field)[1:]) if worse or not tried else ()

    def refine(self, cures: Mapping[int, Sequence[Cure]]) -> None:
        """Close in on the smallest change of each field that is a way out of a finding."""
        wanted = [
            (target, self.trials.fields[path]) for target in cures for cure in cures[target] for path in cure.design
        ]
        for beside in (BESIDE, ONCE_MORE):
            self.add(each for target, field in wanted for each in self._closer(field, target, beside))

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

    def _promises(self, row: int, target: int, *, less: bool = False) -> bool:
        """Say whether more of a change may clear a finding, or (``less``) the opposite change."""
        gain = -self.gain(row, target) if less else self.gain(row, target)
        return gain > BETTER and PROMISE * gain >= self.short(target)

    def _moves(self, row: int) -> bool:
        """Say whether a change does anything to what must be cleared."""
        level = self.trials.out.level[:, self.targets]
        return bool((np.abs(level[row] - level[0]) > 0.1 * BETTER).any())

    def _further(self, field: Field, targets: Sequence[int]) -> Iterator[tuple[Field, Value]]:
        """Yield farther values on the sides that promise something, and near ones where that may be enough."""
        tried = self.tried[field.path]
        if field.meta.kind == "choice" or not any(self._moves(row) for row in tried.values()):
            return
        cleared, level = self.trials.cleared, self.trials.out.level
        nearly = [target for target in targets if self.short(target) < NEARLY]
        near = any(abs(level[row, target] - level[0, target]) > BETTER for row in tried.values() for target in nearly)
        for up in (False, True):
            row = next((tried[value] for value in self._wide(field, up=up) if value in tried), None)
            hoped = [] if row is None else [target for target in targets if self._promises(row, target)]
            reaches = [FAR] if any(not cleared[row, target] for target in hoped) else []
            if not hoped and near:
                reaches = [NEAR]
            yield from ((field, value) for reach in reaches for value in field.at(reach, up=up))

    def _closer(self, field: Field, target: int, beside: Sequence[float]) -> Iterator[tuple[Field, Value]]:
        """Yield values near the one at which a finding is first cleared."""
        if field.meta.kind == "choice":
            return
        cleared, level = self.trials.cleared[:, target], self.trials.out.level[:, target]
        for side in self._both_sides(field):
            first = next((k for k, (_, row) in enumerate(side) if k and cleared[row]), None)
            if first is None:
                continue
            (last, row), (value, further) = side[first - 1], side[first]
            share = float(np.clip(-level[row] / max(level[further] - level[row], 1e-9), 0.1, 0.9))
            wished = share + np.array(beside)
            shares = np.clip(GRID * np.round(wished / GRID) if len(beside) > 1 else wished, 0.05, 0.95)
            yield from ((field, each) for each in field.between(last, value, shares=tuple(shares)))

    def _sides(self, field: Field) -> Iterator[list[tuple[float, int]]]:
        """Yield what was tried on either side of the base, from it outwards, the base first."""
        for sign in (-1.0, 1.0):
            away = sorted(
                (sign * (float(value) - field.start), float(value), row)
                for value, row in self.tried[field.path].items()
                if sign * (float(value) - field.start) > 0.0
            )
            yield [(field.start, 0), *((value, row) for _, value, row in away)]

    def _both_sides(self, field: Field) -> list[list[tuple[float, int]]]:
        """Return what was tried on either side, as last sorted where nothing new was tried."""
        tried = len(self.tried[field.path])
        if self._sorted.get(field.path, (0, []))[0] != tried:
            self._sorted[field.path] = tried, list(self._sides(field))
        return self._sorted.get(field.path, (0, []))[1]

    def singles(self, target: int) -> list[Cure]:
        """Return the changes of one field that clear a finding: of each field the smallest on either side."""
        cleared = self.trials.cleared[:, target].tolist()
        cures = []
        for field in self.trials.fields.values():
            if not any(cleared[row] for row in self.tried[field.path].values()):
                continue
            if field.meta.kind == "choice":
                found = [(value, row) for value, row in self.tried[field.path].items() if cleared[row]]
            else:
                sides = ((next(((v, r) for v, r in side[1:] if cleared[r]), None)) for side in self._both_sides(field))
                found = [self._as_tried(field, each) for each in sides if each is not None]
            cures += [Cure(target=target, design={field.path: value}, row=row) for value, row in found]
        return cures

    def _as_tried(self, field: Field, found: tuple[float, int]) -> tuple[Value, int]:
        return next((value, row) for value, row in self.tried[field.path].items() if row == found[1])

    def helpers(self, target: int, most: int) -> list[tuple[Field, Value]]:
        """Return the fields that bring a finding nearest to its margin, each at its best value, best first."""
        if target not in self._helpers:
            level = self.trials.out.level[:, target].tolist()
            found = []
            for field in self.trials.fields.values():
                tried = self.tried[field.path]
                best = max(tried, key=lambda value: level[tried[value]], default=None)
                if best is not None and level[tried[best]] - level[0] > BETTER:
                    found.append((level[0] - level[tried[best]], field.path, best))
            self._helpers[target] = [(self.trials.fields[path], best) for _, path, best in sorted(found, key=_by_gain)]
        return self._helpers[target][:most]

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
        strong: list[Design] = []
        less: dict[frozenset[tuple[str, Value]], list[Design]] = {}
        for target in targets:
            helpers = self.helpers(target, max(most, 2))
            for (one, high), (two, wide) in itertools.combinations(helpers, 2):
                gains = (self.gain(self.tried[field.path][best], target) for field, best in ((one, high), (two, wide)))
                if sum(gains) < HOPE * self.short(target):
                    continue
                strong.append({one.path: high, two.path: wide})
                low, small = self.moderate(one, target, high), self.moderate(two, target, wide)
                less.setdefault(frozenset(strong[-1].items()), []).append({one.path: low, two.path: small})
        found = list(self._clearing(strong, targets))
        shorter = [
            each for cure in found for each in (*less[frozenset(cure.design.items())], *self._shorter(cure.design))
        ]
        found += self._clearing(shorter, targets)
        return found

    def _clearing(self, designs: Sequence[Design], targets: Sequence[int]) -> Iterator[Cure]:
        rows = self.trials.rows(designs)
        for design, row in {frozenset(d.items()): (d, r) for d, r in zip(designs, rows, strict=True)}.values():
            for target in targets:
                if row >= 0 and self.trials.cleared[row, target]:
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


def _by_gain(found: tuple[float, str, Value]) -> tuple[float, str]:
    return found[0], found[1]
