"""Two explanations at once, against single ones: their traces added up, as far as traces add."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from foilwright.core.model import Array
from foilwright.study.learn.causes import AS_DESIGNED, Cause
from foilwright.study.learn.infer import laplace
from foilwright.study.learn.model import Slopes
from foilwright.study.learn.rank import Ranked, even_weights, likelihood, seen_of
from foilwright.study.learn.seen import Reading

PRIOR_TWO = 0.08
"""How likely two of the list are true on one day, before any reading (judgement)."""
EVERY = 2
"""Of the sizes of each explanation, every how many are paired."""
LIKELY = 0.1
"""Share of the pairs from which on one is told."""
SHOWN = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two explanations, by their index, and their share among all pairs."""

    one: int
    other: int
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Two:
    """How likely it is that two of the list are true at once, not one or none, and which."""

    probability: float
    pairs: tuple[Pair, ...]


def two(causes: Sequence[Cause], made: Slopes, found: Ranked, readings: Sequence[Reading]) -> Two:
    """Return how likely two explanations at once are, and the likeliest pairs.

    The trace of a pair is the sum of the traces of its two, over the sizes of both; corrections act as they do
    with the first. So it is a hint where to look, not a model of both.

    Parameters
    ----------
    causes : sequence of Cause
        Explanations.
    made : Slopes
        What the models say of these readings and no others.
    found : Ranked
        The single ones.
    readings : sequence of Reading
        Those of the trial.
    """
    usable = [k for k, cause in enumerate(causes) if cause.changes]
    both = np.array(list(combinations(usable, 2)))
    evidence = _evidence(causes, made, readings, both)
    looked = seen_of(causes, readings)
    prior = np.array([cause.prior for cause in causes])
    weight = prior[both[:, 0]] * prior[both[:, 1]]
    of_pairs = evidence + np.maximum(looked[both[:, 0]], looked[both[:, 1]]) + np.log(PRIOR_TWO * weight / weight.sum())
    of_one = np.logaddexp.reduce(found.log_evidence + np.log((1.0 - PRIOR_TWO) * prior))
    whole = np.logaddexp.reduce(of_pairs)
    share = np.exp(of_pairs - whole)
    order = [int(k) for k in np.argsort(-share, kind="stable")[:SHOWN] if share[k] >= LIKELY]
    return Two(
        probability=float(np.exp(whole - np.logaddexp(whole, of_one))),
        pairs=tuple(Pair(one=int(both[k, 0]), other=int(both[k, 1]), share=float(share[k])) for k in order),
    )


def _evidence(causes: Sequence[Cause], made: Slopes, readings: Sequence[Reading], both: Array) -> Array:
    """Return the logarithm of the evidence of each pair (pairs,), summed over the sizes of both."""
    plain = next(k for k, cause in enumerate(causes) if cause.id == AS_DESIGNED)
    given, numbers, limits = likelihood(readings)
    coarse = made.values[:, ::EVERY]
    k, p = coarse.shape[1], made.slope.shape[2]
    bare = coarse - np.einsum("cmp,cp->cm", made.slope, made.centre)[:, None, :]
    values = bare[both[:, 0], :, None] + (bare - bare[plain, :1])[both[:, 1], None, :]
    rows = np.repeat(both[:, 0], k * k)
    flat, slope = values.reshape(rows.size, -1), made.slope[rows]
    told = laplace(
        values=flat[:, numbers], slope=slope[:, numbers], centre=np.zeros((rows.size, p)), limit=flat[:, limits],
        limit_slope=slope[:, limits], prior=1.0, **given,
    )  # fmt: skip
    weight = np.log(np.outer(even_weights(k), even_weights(k))).ravel()
    return np.asarray(np.logaddexp.reduce(told.log_evidence.reshape(len(both), -1) + weight, axis=1))
