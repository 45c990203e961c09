"""Many likely versions of one build: what fails in how many of them, and what decides it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.build.build import Build
from foilwright.core.errors import BuildFileError, Fault
from foilwright.core.model import Array
from foilwright.questions.ask import Answers, ask
from foilwright.questions.finding import NO_SOLUTION, VERDICTS, Finding
from foilwright.study.even import even_points
from foilwright.study.spread.indices import Indices, indices
from foilwright.study.spread.ranges import WIDE, Range, uncertain

FEWEST, MOST = 64, 100_000
"""Samples that can be asked for."""
GRAVE = ("hurts", "burns")
DECISIVE = 3
"""Inputs that are named to be measured first."""
FAILS, UNKNOWN, SLIM = (VERDICTS.index(name) for name in ("fails", "unknown", "slim"))
IN_DOUBT = 0.002
"""Least doubt (chance times its complement) of a verdict that something is said to hang on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """One finding over all samples: counts by verdict, the share that fails with its 95 % confidence."""

    id: str
    name: str
    nominal: str
    counts: Mapping[str, int]
    fails: float
    low: float
    high: float
    doubt: float
    explained: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Deciding:
    """An input that decides verdicts: the part of what is in doubt, alone and with all others."""

    range: Range
    first: float
    total: float
    findings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """What became of the samples."""

    build: Build
    samples: int
    ranges: tuple[Range, ...]
    nothing_fails: tuple[float, float, float]
    chances: tuple[Chance, ...]
    deciding: tuple[Deciding, ...]
    in_doubt: bool
    indices: Indices


def spread(
    build: Build,
    *,
    samples: int = 2000,
    questions: Sequence[str] = (),
    as_built: bool = True,
    ranges: Mapping[str, tuple[float, float]] | None = None,
) -> Spread:
    """Ask many likely versions of one build.

    Parameters
    ----------
    build : Build
        A checked build.
    samples : int
        How many versions.
    questions : sequence of str
        Names of the questions; none for all.
    as_built : bool
        Let measured values stand in for designed ones; they are taken as exact.
    ranges : mapping
        Path to (low, high) in SI of written fields that are uncertain too.
    """
    if not FEWEST <= samples <= MOST:
        allowed = f"a whole number from {FEWEST} to {MOST}"
        raise BuildFileError([
            Fault(file="command line", line=None, field="--spread", got=str(samples), allowed=allowed, example="2000")
        ])  # fmt: skip
    over = uncertain(build, as_built=as_built, ranges=ranges or {})
    points = even_points(samples, len(over))
    vary = {each.path: each.at(points[:, k]) for k, each in enumerate(over)}
    nominal = ask(build, questions=questions, as_built=as_built)
    many = ask(build, questions=questions, vary=vary, as_built=as_built) if over else nominal
    points = points[: many.designs]
    found = many.all()
    scores = np.stack([score(finding) for finding in found], axis=1)
    doubt = np.array([_doubt(finding) for finding in found])
    known = indices(points, scores, doubt)
    chances = [_chance(*each) for each in zip(nominal.all(), found, doubt, known.explained, strict=True)]
    return Spread(
        build=build, samples=many.designs, ranges=over, nothing_fails=wilson(_sound(many), many.designs),
        chances=tuple(sorted(chances, key=lambda each: (-each.fails, -each.counts["unknown"], -each.doubt, each.id))),
        deciding=_deciding(over, known, doubt, [finding.id for finding in found]),
        in_doubt=bool(doubt.max() > IN_DOUBT), indices=known,
    )  # fmt: skip


def wilson(count: int, of: int) -> tuple[float, float, float]:
    """Return a share and the ends of its 95 % confidence (Wilson 1927, J. Am. Stat. Assoc. 22, 209)."""
    share, square = count / of, WIDE**2 / of
    middle = (share + 0.5 * square) / (1.0 + square)
    half = WIDE / (1.0 + square) * np.sqrt(share * (1.0 - share) / of + 0.25 * square / of)
    return share, max(0.0, float(middle - half)), min(1.0, float(middle + half))


def score(finding: Finding) -> Array:
    """Return by how much each design passes, held within 1 either way; what is not known is the mean.

    A margin in units of its scale above the one at which it fails; where a solution does not exist,
    how far it is off.
    """
    lacks = np.full(finding.demand.shape, -1.0) if finding.relief is None else -np.nan_to_num(finding.relief, nan=1.0)
    margin = np.where(finding.reason == NO_SOLUTION, lacks, finding.margin / finding.scale)
    known = finding.applies & ((finding.reason == 0) | (finding.reason == NO_SOLUTION)) & ~np.isnan(margin)
    held = np.clip(margin, -1.0, 1.0)
    return np.where(known, held, held[known].mean() if known.any() else 0.0)


def _doubt(finding: Finding) -> float:
    """Return how much in doubt it is whether it fails: the chance times its complement, tails as of a normal."""
    from scipy.special import ndtr  # noqa: PLC0415 - not on the way of a plain ask

    margin = score(finding)
    deviation = float(margin.std())
    if deviation <= 1e-12:
        return 0.0
    chance = float(ndtr(-margin.mean() / deviation))
    counted = float(np.mean(finding.verdict == FAILS))
    return max(chance * (1.0 - chance), counted * (1.0 - counted))


def _chance(nominal: Finding, finding: Finding, doubt: float, explained: float) -> Chance:
    verdict, applies = finding.verdict, finding.applies
    counts = {name: int(np.sum((verdict == k) & applies)) for k, name in enumerate(VERDICTS)}
    share, low, high = wilson(counts["fails"], verdict.size)
    now = VERDICTS[int(nominal.verdict[0])] if nominal.applies[0] else ""
    return Chance(
        id=finding.id, name=finding.name, nominal=now, counts=counts, fails=share, low=low, high=high,
        doubt=float(doubt), explained=float(explained),
    )  # fmt: skip


def _sound(many: Answers) -> int:
    """Return in how many samples nothing fails and nothing grave is unknown."""
    bad = np.zeros(many.designs, dtype=bool)
    for finding in many.all():
        worst = finding.verdict == FAILS
        if finding.meaning in GRAVE:
            worst |= finding.verdict == UNKNOWN
        bad |= worst & finding.applies
    return int(np.sum(~bad))


def _deciding(over: tuple[Range, ...], known: Indices, doubt: Array, ids: list[str]) -> tuple[Deciding, ...]:
    """Return the inputs that decide most of what is in doubt, the first first."""
    if not over or doubt.sum() <= 0.0:
        return ()
    weight = doubt / doubt.sum()
    first, total = known.first @ weight, known.total @ weight
    worst = np.argsort(-total, kind="stable")[:DECISIVE]
    out = []
    for k in worst:
        each = known.total[k] * weight
        of = np.argsort(-each, kind="stable")[:DECISIVE]
        findings = tuple(ids[j] for j in of if each[j] > 0.1 * each.max() > 0.0)
        out.append(Deciding(range=over[k], first=float(first[k]), total=float(total[k]), findings=findings))
    return tuple(each for each in out if each.total > 0.0)
