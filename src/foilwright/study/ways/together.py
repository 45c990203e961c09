"""Changes applied one upon the other until nothing fails: the best first, and none that is not needed."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import zip_longest

import numpy as np

from foilwright.build.build import Value
from foilwright.questions.finding import MEANINGS, MISSING
from foilwright.study.ways import rank
from foilwright.study.ways.fields import MIDDLE, NEAR, WIDE, Field
from foilwright.study.ways.search import Cure, Search
from foilwright.study.ways.trials import FAILS, SLIM, UNKNOWN, Array, Design, Flag, Outcome, Trials

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
"""What a change weighs that gives up something that the maker wants: the ride, the targets, the water; and one of what
is taken for granted."""
WISHES = ("ride.", "targets.", "water.", "rider.", "sun.", "loads.")
EFFORT = 0.02
"""What effort and cost weigh, a class."""
ROUNDS, AT_ONCE, BEGINNINGS = 16, 48, 3
"""Rounds at most; variants of one round; how often the search begins anew without what led it astray."""
PACES = (((MIDDLE, WIDE), False), ((NEAR, MIDDLE), False), ((NEAR, MIDDLE, WIDE), True))
"""How far the fields behind what fails are moved from where they are, and whether a wish may be given up: the next
where the one before brings nothing more."""
SPARED = 0.02
"""How much shorter another failing finding may become by a change that is made without a second thought."""
CROSSED = 4
"""The best changes of a round that are also tried two and two."""
MERGED = (3, 5, 8, 13, 21, 34)
"""How many of the best changes of a round are also tried at once."""
LIGHT, WORTH_STANDING = 0.5, 40
"""Share of the work below which little must be worked out anew; variants of that kind from which on it pays to work
out what they have in common."""
CURES, HELPERS = 2, 2
"""Ways out and other fields tried for each finding that still fails."""


def penalty(trials: Trials) -> Array:
    """Return how bad each variant is: 0 where every finding is sound."""
    out = trials.out
    weights = WEIGHTS[trials.grave]
    fails = (out.verdict == FAILS) * (1.0 + DEPTH * np.clip(-out.level, 0.0, DEEPEST))
    fails = fails * np.where(out.applies[0] & (out.verdict[0] > FAILS), TRADED, 1.0)
    unknown = _lost_sight(trials, out, slice(None)) * np.where(_can_hurt(trials), BARE, 1.0)
    slim = (out.verdict == SLIM) * SLIGHT
    bad = np.where(out.applies, (fails + unknown + slim) * weights, LOST * out.applies[0])
    return np.asarray(bad.sum(axis=1))


def failing(trials: Trials, out: Outcome, row: int) -> list[int]:
    """Return what fails in a variant, or has become unknown by it and can hurt or burn.

    What was unknown before stays out: an input must be stated, and no other change makes up for it.
    """
    bad = (out.verdict[row] == FAILS) | (_lost_sight(trials, out, row) & _can_hurt(trials))
    return [int(k) for k in np.flatnonzero(out.applies[row] & bad)]


def _can_hurt(trials: Trials) -> Flag:
    return np.asarray(trials.grave <= MEANINGS.index("burns"))


def _lost_sight(trials: Trials, out: Outcome, row: int | slice) -> Flag:
    """Return what has become unknown by a change, and not for want of an input."""
    known = (trials.out.verdict[0] != UNKNOWN) | ~trials.out.applies[0]
    return np.asarray((out.verdict[row] == UNKNOWN) & (out.reason[row] != MISSING) & known)


def price(trials: Trials, design: Design) -> float:
    """Return what the changes themselves weigh."""
    wishes = sum(path.startswith(WISHES) or trials.fields[path].taken_for_granted for path in design)
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
        design = self._at_once()
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
        bad = penalty(self.trials)
        return [
            float(bad[row]) + price(self.trials, design) if row >= 0 else float("inf")
            for design, row in zip(designs, rows, strict=True)
        ]

    def _at_once(self) -> Design:
        """Return the first ways out that do no harm and touch different fields, where they are good together."""
        joined: dict[str, Value] = {}
        for target, cures in self.cures.items():
            first = next((cure for cure in cures if self._plain(cure)), None)
            done = any(self.trials.cleared[self.row({p: v}), target] for p, v in joined.items())
            if first is not None and not done and not joined.keys() & first.design.keys():
                joined |= first.design
        whole, bare = self.worth([joined, {}])
        return joined if whole < bare else {}

    def _plain(self, cure: Cure) -> bool:
        """Say whether a way out is one change that brings nothing else nearer to failing, nor gives up a wish."""
        if len(cure.design) > 1 or any(path in self.barred or path.startswith(WISHES) for path in cure.design):
            return False
        level = self.trials.out.level
        lower = any(level[cure.row, target] < level[0, target] - SPARED for target in self.search.targets)
        return not lower and rank.harm(self.trials, cure.row, cure.target) == (False, 0.0)

    def _steps(self, design: Design, reaches: Sequence[int], wishes: bool) -> list[Design]:
        """Return the set with one change less, or one more: a way out, or another field that matters."""
        steps: dict[frozenset[tuple[str, Value]], Design] = {}
        fewer = [{path: value for path, value in design.items() if path != out} for out in design]
        each = [iter(self._for(design, target, reaches)) for target in self._left(design)]
        for step in itertools.chain(fewer, *zip_longest(*each)):
            given_up = step is not None and any(p.startswith(WISHES) and p not in design for p in step)
            if step is None or step == design or not self.barred.isdisjoint(step):
                continue
            if wishes or not given_up:
                steps[frozenset(step.items())] = step
        return list(steps.values())[: AT_ONCE + len(fewer)]

    def _for(self, design: Design, target: int, reaches: Sequence[int]) -> list[Design]:
        """Return the set with one more change for the sake of one finding."""
        steps: list[Design] = [{**design, **cure.design} for cure in self.cures.get(target, ())[:CURES]]
        for field, value in self.search.helpers(target, HELPERS):
            less = self.search.moderate(field, target, value)
            steps += [{**design, field.path: value}, {**design, field.path: less}]
        for path in self.trials.findings[target].inputs:
            if path in self.trials.fields:
                field = self.trials.fields[path]
                steps += [{**design, path: value} for value in _moved(field, design.get(path), reaches)]
        return steps

    def _best(self, design: Design, steps: Sequence[Design]) -> Design | None:
        """Return the best of some variants, where it is better than what there is."""
        if not steps:
            return None
        light = sum(self.trials.share(step, design) < LIGHT for step in steps)
        if light > WORTH_STANDING:
            self.trials.stand_on(design)
        here, *there = self.worth([design, *steps])
        better = [int(k) for k in np.argsort(there, kind="stable") if there[k] < here - 1e-6]
        if not better:
            return None
        found = [steps[better[0]]]
        found += [_crossed(design, steps[a], steps[b]) for a, b in itertools.combinations(better[:CROSSED], 2)]
        merged = steps[better[0]]
        for count, k in enumerate(better[1:], start=2):
            merged = _crossed(design, merged, steps[k])
            if count in MERGED or count == len(better):
                found.append(merged)
        worth = self.worth(found)
        return found[worth.index(min(worth))]

    def _needed(self, design: Design) -> Design:
        """Return the set without the changes that are not needed."""
        while len(design) > 1:
            fewer = [{path: v for path, v in design.items() if path != out} for out in design]
            better = self._best(design, fewer)
            if better is None:
                return design
            design = better
        return design


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
