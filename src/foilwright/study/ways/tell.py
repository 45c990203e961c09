"""From variants to ways out: the chosen ones are asked anew, and everything that they do is told."""

from __future__ import annotations

import functools
import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from foilwright.build.build import Build, Value
from foilwright.questions import report
from foilwright.questions.ask import Answers
from foilwright.questions.finding import VERDICTS
from foilwright.questions.way import Change, Pair, Together, Way, WaysOut
from foilwright.study.ways import rank, words
from foilwright.study.ways.reach import asked
from foilwright.study.ways.search import Cure
from foilwright.study.ways.together import failing
from foilwright.study.ways.trials import SLIM, Design, Outcome, Trials, outcome, vary

SAME = 1e-9
"""Difference of a number, as a share of it, up to which it is the same."""


def told(
    trials: Trials,
    cures: Mapping[int, Sequence[Cure]],
    joined: Design,
    *,
    tried: tuple[str, ...],
    inventory: Collection[str],
) -> WaysOut:
    """Return everything that was found, from answers that were asked anew."""
    shown = {frozenset(cure.design.items()): cure.design for found in cures.values() for cure in found}
    shown[frozenset(joined.items())] = joined
    after = _anew(trials, shown)
    kept = {
        target: [cure for cure in found if after[frozenset(cure.design.items())].cleared(target)]
        for target, found in cures.items()
    }
    ways: list[Way] = []
    for found in kept.values():
        each = [_way(trials, after[frozenset(cure.design.items())], cure, inventory) for cure in found]
        ways += sorted(each, key=lambda way: way.deepens)
    return WaysOut(
        ways=tuple(ways),
        without=tuple(trials.ids[target] for target, found in kept.items() if not found),
        together=_together(trials, after[frozenset(joined.items())], joined) if joined else None,
        tried=tried,
        as_built=trials.as_built,
        designs=trials.count + len(shown),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """What a chosen variant came to: its row of the answers, and of the same as arrays."""

    answers: Answers
    out: Outcome
    row: int

    def cleared(self, finding: int) -> bool:
        """Say whether a finding is cleared."""
        return bool(self.out.cleared[self.row, finding])


def _anew(trials: Trials, shown: Mapping[frozenset[tuple[str, Value]], Design]) -> dict[Any, After]:
    """Ask some variants anew, with everything that an answer tells."""
    works, parts = zip(*trials.hands.cut([(1.0, list(shown))]), strict=True)
    do = functools.partial(_ask, trials.build, trials.as_built, trials.base)
    found: dict[Any, After] = {}
    for part, answers in zip(
        parts, trials.hands.run(do, [[shown[name] for name in part] for part in parts], works), strict=True
    ):
        out = outcome(answers)
        found |= {name: After(answers=answers, out=out, row=row) for row, name in enumerate(part)}
    return found


def _ask(build: Build, as_built: bool, base: Mapping[str, Value | None], designs: Sequence[Design]) -> Answers:
    return asked(build, vary(base, designs), as_built=as_built)


def _way(trials: Trials, after: After, cure: Cure, inventory: Collection[str]) -> Way:
    changes = _changes(trials, cure.design)
    fields = [trials.fields[path] for path in cure.design]
    where = rank.place(fields)
    effects, verdicts = _effects(trials, after, cure.target)
    named = {trials.name(finding): pair for finding, pair in verdicts.items()}
    besides = [*words.numbers(trials.plain, after.answers, after.row), *words.worse(named)]
    parts = [report.said(after.answers.all()[cure.target], after.row), *besides, *words.also(named)]
    return Way(
        finding=trials.ids[cure.target],
        changes=changes,
        place=where,
        effort=rank.effort(fields),
        cost=rank.cost(fields),
        owned=rank.owned(cure.design, inventory) if inventory else None,
        margin_after=_margin(after.out, after.row, cure.target),
        effects=effects,
        verdicts=verdicts,
        numbers=_numbers(trials.plain, after.answers, after.row),
        besides=tuple(besides),
        text=words.sentence([change.told for change in changes], where, parts),
    )


def _changes(trials: Trials, design: Design) -> tuple[Change, ...]:
    fields = [trials.fields[path] for path in design]
    return tuple(
        Change(
            path=field.path,
            unit=field.unit,
            before=field.base,
            after=design[field.path],
            written=field.written(design[field.path]),
            told=words.told(field, design[field.path]),
            place=rank.place([field]),
        )
        for field in fields
    )


def _effects(trials: Trials, after: After, target: int) -> tuple[dict[str, Pair], dict[str, tuple[str, str]]]:
    """Return margins and verdicts, before and after, of every other finding that changes."""
    effects: dict[str, Pair] = {}
    verdicts: dict[str, tuple[str, str]] = {}
    for k in _touched(trials.out, after):
        name = trials.ids[k]
        margins = _margin(trials.out, 0, k), _margin(after.out, after.row, k)
        named = _verdict(trials.out, 0, k), _verdict(after.out, after.row, k)
        if k == target or (named[0] == named[1] and _same(*margins)):
            continue
        effects[name] = margins
        if named[0] != named[1]:
            verdicts[name] = named
    return effects, verdicts


def _touched(before: Outcome, after: After) -> list[int]:
    """Return the findings of which anything differs, however little."""
    row, now = after.row, after.out
    other = (before.verdict[0] != now.verdict[row]) | (before.applies[0] != now.applies[row])
    other |= before.reason[0] != now.reason[row]
    margins = before.margin[0], now.margin[row]
    other |= (margins[0] != margins[1]) & ~(np.isnan(margins[0]) & np.isnan(margins[1]))
    return [int(k) for k in np.flatnonzero(other)]


def _margin(out: Outcome, row: int, finding: int) -> float | None:
    """Return the margin of a finding; none where it has none, no object, or nothing is asked."""
    margin = float(out.margin[row, finding])
    there = out.applies[row, finding] and not out.reason[row, finding] and math.isfinite(margin)
    return margin if there else None


def _verdict(out: Outcome, row: int, finding: int) -> str:
    return VERDICTS[int(out.verdict[row, finding])] if out.applies[row, finding] else words.NOT_ASKED


def _numbers(before: Answers, after: Answers, row: int) -> dict[str, Pair]:
    """Return the flat numbers that change, before and after."""
    pairs = {
        name: (_finite(float(old[0])), _finite(float(after.numbers[name][row]))) for name, old in before.numbers.items()
    }
    return {name: pair for name, pair in pairs.items() if not _same(*pair)}


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _same(old: float | None, new: float | None) -> bool:
    if old is None or new is None:
        return old is new
    return math.isclose(old, new, rel_tol=SAME, abs_tol=SAME)


def _together(trials: Trials, after: After, design: Design) -> Together:
    """Return the set of changes, and what it comes to."""
    there = after.out.applies[after.row]
    return Together(
        changes=_changes(trials, design),
        failing=tuple(trials.ids[k] for k in failing(trials, after.out, after.row)),
        verdict=after.answers.verdict(row=after.row),
        slim=int((after.out.verdict[after.row] == SLIM)[there].sum()),
        text=tuple(words.numbers(trials.plain, after.answers, after.row)),
    )
