"""Changes applied one upon the other until nothing fails: the best first, and none that is not needed."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import zip_longest

import numpy as np

from foilwright.build.build import Value
from foilwright.questions.finding import MEANINGS, MISSING
from foilwright.study.ways import rank
from foilwright.study.ways.fields import MIDDLE, NEAR, WIDE, Field
from foilwright.study.ways.search import Cure, Search
from foilwright.study.ways.trials import FAILS, SLIM, UNKNOWN, Array, Design, Flag, Outcome, Trials, Whole

WEIGHTS = np.array([3.0, 3.0, 2.0, 1.5, 1.0])
"""How much a failing finding weighs, by what failing means: hurts, burns, breaks, stops, annoys."""
DEPTH, DEEPEST, BARE = 0.5, 10.0, 2.0
SLIGHT = 0.1
"""Weights: of how short it is, up to so much; of a grave unknown; of a slim one."""
TRADED = 3.0
"""How much more a finding weighs that did not fail before."""
LOST = 0.5
"""What a finding weighs that loses its object."""
WISH = 1.0
"""What a change weighs that gives up something that the maker wants, or builds on: the ride, the targets, the water,
the chemistry of the cells; and one of what is taken for granted."""
WISHES = ("ride.", "targets.", "water.", "rider.", "sun.", "loads.", "cell.kind")
EFFORT = 0.02
"""What effort and cost weigh, a class."""
ROUNDS, AT_ONCE, BEGINNINGS = 16, 48, 3
"""Rounds at most; variants of one round; how often the search begins anew without what led it astray."""
PACES = (((MIDDLE, WIDE), False), ((NEAR, MIDDLE), False), ((NEAR, MIDDLE, WIDE), True))
"""How far the fields behind what fails are moved from where they are, and whether a wish may be given up: the next
where the one before brings nothing more."""
SPARED = 0.02
"""How much shorter another failing finding may become by a change that is made without a second thought."""
PREFIXES = (0.15, 0.3, 0.5, 0.7, 0.85, 1.0)
"""How many of the changes that are said to bring something together are tried at once, as shares of them."""
LITTLE = 1e-3
"""What one more change must bring at least."""
CURES, HELPERS = 2, 2
"""Ways out and other fields tried for each finding that still fails."""


def burden(trials: Trials, rows: Sequence[int]) -> Array:
    """Return how bad each finding is in some variants: 0 where it is sound."""
    out, at = trials.out, np.asarray(rows, dtype=np.intp)
    weights = WEIGHTS[trials.grave]
    verdict = out.verdict[at]
    fails = (verdict == FAILS) * (1.0 + DEPTH * np.clip(-out.level[at], 0.0, DEEPEST))
    fails = fails * np.where(out.applies[0] & (out.verdict[0] > FAILS), TRADED, 1.0)
    unknown = _lost_sight(trials, out, at) * np.where(_can_hurt(trials), BARE, 1.0)
    slim = (verdict == SLIM) * SLIGHT
    return np.asarray(np.where(out.applies[at], (fails + unknown + slim) * weights, LOST * out.applies[0]))


def failing(trials: Trials, out: Outcome, row: int) -> list[int]:
    """Return what fails in a variant, or has become unknown by it and can hurt or burn.

    What was unknown before stays out: an input must be stated, and no other change makes up for it.
    """
    bad = (out.verdict[row] == FAILS) | (_lost_sight(trials, out, row) & _can_hurt(trials))
    return [int(k) for k in np.flatnonzero(out.applies[row] & bad)]


def _can_hurt(trials: Trials) -> Flag:
    return np.asarray(trials.grave <= MEANINGS.index("burns"))


def _lost_sight(trials: Trials, out: Outcome, row: int | Whole) -> Flag:
    """Return what has become unknown by a change, and not for want of an input."""
    known = (trials.out.verdict[0] != UNKNOWN) | ~trials.out.applies[0]
    return np.asarray((out.verdict[row] == UNKNOWN) & (out.reason[row] != MISSING) & known)


def price(trials: Trials, design: Design) -> float:
    """Return what the changes themselves weigh."""
    wishes = sum(_wishes([path]) or trials.fields[path].taken_for_granted for path in design)
    return EFFORT * sum(rank.takes(trials.fields[path]) for path in design) + WISH * wishes


class Joining:
    """The search for a set of changes that leaves nothing failing."""

    def __init__(self, search: Search, cures: Mapping[int, Sequence[Cure]]) -> None:
        self.search, self.trials, self.cures = search, search.trials, cures
        self.barred: set[str] = set()

    def run(self) -> Design:
        """Return the set: the ways out that do no harm at once, then the best of what helps, then what is needed.

        Where something still fails, the search begins anew without the changes behind it.
        """
        found: list[Design] = []
        for _ in range(BEGINNINGS):
            design = self._joined()
            found.append(design)
            left = self._left(design)
            astray = {path for k in left for path in self.trials.findings[k].inputs if path in design}
            if not left or not astray:
                break
            self.barred |= astray
        return min(found, key=lambda design: (len(self._left(design)), *self.worth([design])))

    def _joined(self) -> Design:
        design = self._beginning()
        paces = iter(PACES)
        pace = next(paces)
        for _ in range(ROUNDS):
            if not self._left(design):
                break
            better = self._best(design, self._steps(design, *pace))
            if better is not None:
                design = better
            else:
                following = next(paces, None)
                if following is None:
                    break
                pace = following
        return self._needed(design)

    def row(self, design: Design) -> int:
        """Return the row of a variant."""
        return self.trials.rows([design])[0]

    def _left(self, design: Design) -> list[int]:
        """Return what still fails in a variant."""
        row = self.row(design)
        return failing(self.trials, self.trials.out, row)

    def worth(self, designs: Sequence[Design]) -> list[float]:
        """Return how bad variants are, their price with it; infinitely where they contradict themselves."""
        rows = self.trials.rows(designs)
        bad = burden(self.trials, rows).sum(axis=1)
        return [
            float(each) + price(self.trials, design) if row >= 0 else float("inf")
            for each, design, row in zip(bad, designs, rows, strict=True)
        ]

    def _beginning(self) -> Design:
        """Return the first ways out that do no harm and touch different fields, where they are good together."""
        joined: dict[str, Value] = {}
        rows: list[int] = []
        for target, cures in self.cures.items():
            first = next(filter(self._plain, cures), None)
            done = any(self.trials.cleared[row, target] for row in rows)
            if first is not None and not done and not joined.keys() & first.design.keys():
                joined |= first.design
                rows.append(first.row)
        return self._best_of([joined, {}])

    def _plain(self, cure: Cure) -> bool:
        """Say whether a way out is one change that brings nothing else nearer to failing, nor gives up a wish."""
        if len(cure.design) > 1 or not self.barred.isdisjoint(cure.design) or _wishes(cure.design):
            return False
        level = self.trials.out.level
        lower = any(level[cure.row, target] < level[0, target] - SPARED for target in self.search.targets)
        return not lower and rank.harm(self.trials, cure.row, cure.target) == (False, 0.0)

    def _added_up(self, design: Design, steps: Sequence[Design]) -> list[Design]:
        """Return sets with more and more of some changes: each time the one that brings most if effects add up."""
        rows = self.trials.rows([design, *steps])
        here, *there = burden(self.trials, rows)
        gains = np.array(there) - here
        own = price(self.trials, design)
        prices = np.array([price(self.trials, step) - own for step in steps])
        changed = [_differing(design, step) for step in steps]
        free = np.array([row >= 0 for row in rows[1:]])
        merged, found = design, list[Design]()
        while free.any():
            after = np.maximum(here + gains[free], 0.0)
            worth = after.sum(axis=1) + prices[free]
            best = int(np.argmin(worth))
            if worth[best] > here.sum() - LITTLE:
                break
            k = int(np.flatnonzero(free)[best])
            more = _crossed(design, merged, steps[k])
            if self.trials.fits(more):
                merged, here = more, after[best]
                found.append(merged)
                free &= np.array([changed[k].isdisjoint(each) for each in changed])
            free[k] = False
        counts = {max(1, round(share * len(found))) for share in PREFIXES}
        return [found[count - 1] for count in sorted(counts) if found]

    def _best_of(self, designs: Sequence[Design]) -> Design:
        worth = self.worth(designs)
        return designs[worth.index(min(worth))]

    def _steps(self, design: Design, reaches: Sequence[int], wishes: bool) -> list[Design]:
        """Return the set with one change less, or one more: a way out, or another field that matters."""
        left = self._left(design)
        behind = {path for target in left for path in self.trials.findings[target].inputs}
        steps: dict[frozenset[tuple[str, Value]], Design] = {}
        for step in (_without(design, path) for path in design if path in behind):
            steps[frozenset(step.items())] = step
        fewer = len(steps)
        for step in itertools.chain(*zip_longest(*(self._for(design, target, reaches) for target in left))):
            if len(steps) == AT_ONCE + fewer:
                break
            if step is None or step == design or not self.barred.isdisjoint(step):
                continue
            if wishes or not _wishes(step.keys() - design.keys()):
                steps[frozenset(step.items())] = step
        return list(steps.values())

    def _for(self, design: Design, target: int, reaches: Sequence[int]) -> Iterator[Design]:
        """Yield the set with one more change for the sake of one finding."""
        yield from ({**design, **cure.design} for cure in self.cures.get(target, ())[:CURES])
        for field, value in self.search.helpers(target, HELPERS):
            yield {**design, field.path: value}
            yield {**design, field.path: self.search.moderate(field, target, value)}
        for path in self.trials.findings[target].inputs:
            if path in self.trials.fields:
                field = self.trials.fields[path]
                yield from ({**design, path: value} for value in _moved(field, design.get(path), reaches))

    def _best(self, design: Design, steps: Sequence[Design]) -> Design | None:
        """Return the best of some variants, where it is better than what there is."""
        if not steps:
            return None
        here, *there = self.worth([design, *steps])
        better = [steps[int(k)] for k in np.argsort(there, kind="stable") if there[k] < here - 1e-6]
        if not better:
            return None
        return self._best_of([better[0], *self._added_up(design, better)])

    def _needed(self, design: Design) -> Design:
        """Return the set without the changes that are not needed."""
        while len(design) > 1:
            fewer = [_without(design, path) for path in design]
            better = self._best(design, fewer)
            if better is None:
                return design
            design = better
        return design


def _wishes(paths: Iterable[str]) -> bool:
    """Say whether changes give up something that the maker wants or builds on."""
    return any(path.startswith(WISHES) for path in paths)


def _differing(one: Design, other: Design) -> frozenset[str]:
    """Return the fields in which two variants differ."""
    return frozenset(path for path in {**one, **other} if one.get(path) != other.get(path))


def _without(design: Design, out: str) -> Design:
    """Return a set without one of its changes."""
    return {path: value for path, value in design.items() if path != out}


def _crossed(design: Design, one: Design, two: Design) -> Design:
    """Return what two variants of a set change in it, both at once; the first counts where they differ."""
    joined = {**two, **{path: value for path, value in one.items() if design.get(path) != value}}
    gone = [path for path in design if path not in one or path not in two]
    return {path: value for path, value in joined.items() if path not in gone}


def _moved(field: Field, now: Value | None, reaches: Sequence[int]) -> list[Value]:
    """Return values of a field on either side of the one that it has now; the other names of a choice."""
    if field.meta.kind == "choice":
        return [name for name in field.others() if name != now]
    here = field if now is None else replace(field, base=now, start=float(now))
    values = [value for reach in reaches for up in (True, False) for value in here.at(reach, up=up)]
    return [value for value in dict.fromkeys(values) if value != field.base]
