"""Explanations ranked by their evidence: probabilities, what speaks for and against each, what cannot be told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.study.learn.causes import AS_DESIGNED, SOMETHING_ELSE, Cause
from foilwright.study.learn.infer import Posterior, laplace
from foilwright.study.learn.model import Slopes, corrections
from foilwright.study.learn.seen import OWN, YES_OR_NO, Reading, covariance, errors

FINE = 33
"""Sizes of each explanation over which its evidence is summed."""
WIDER = 3.0
"""How much more models and readings err where something is true that is not listed."""
WIDER_CORRECTIONS = 2.0
LIKELY, TIMES = 0.65, 4.0
"""Probability, and how many times that of the next, from which on an explanation leads; else it cannot be told."""
SPEAKS, SPEAKS_AGAINST = 0.5, 1.0
"""Difference in standard deviations from which a reading speaks for an explanation, and against it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """Explanations (c,) in the order given: probabilities, and the posterior at each size (c, k)."""

    probability: Array
    log_evidence: Array
    size: Array  # (k,)
    size_weight: Array  # (c, k) after the readings
    mode: Array  # (c, k, p)
    covariance: Array  # (c, k, p, p)
    misfit: Array  # (c,) at the likeliest size
    best: npt.NDArray[np.intp]  # (c,) index of the likeliest size
    score: Array  # (c, m) reading less told, in standard deviations, at the likeliest size


def rank(causes: Sequence[Cause], made: Slopes, readings: Sequence[Reading]) -> Ranked:
    """Return the explanations with their probabilities.

    Parameters
    ----------
    causes : sequence of Cause
        Explanations, with what is likely before any reading.
    made : Slopes
        What the models say of these readings and no others.
    readings : sequence of Reading
        Those of the trial; what was merely seen counts by its table.
    """
    given, numbers, limits = likelihood(readings)
    about = given.pop("covariance")
    fine, values = _finer(made)
    c, k = len(causes), FINE
    slope = np.repeat(made.slope, k, axis=0)
    centre = np.repeat(made.centre, k, axis=0)
    flat = values.reshape(c * k, -1)

    of_ride = np.array([readings[j].kind not in OWN for j in numbers], dtype=bool)
    usual = np.array([name in corrections().names for name in made.known.names])

    def solved(rows: slice, wider: float, prior: float) -> Posterior:
        errs = np.where(of_ride, wider, 1.0)
        return laplace(
            values=flat[rows][:, numbers], slope=slope[rows][:, numbers], centre=centre[rows],
            covariance=about * np.outer(errs, errs), limit=flat[rows][:, limits], limit_slope=slope[rows][:, limits],
            prior=np.where(usual, prior, 1.0), **given,
        )  # fmt: skip

    parts = [
        solved(
            slice(row * k, (row + 1) * k),
            *((WIDER, WIDER_CORRECTIONS) if cause.id == SOMETHING_ELSE else (1.0, 1.0)),
        )
        for row, cause in enumerate(causes)
    ]
    by_size = np.stack([each.log_evidence for each in parts]) + seen_of(causes, readings)[:, None]
    share = np.array([even_weights(k) if cause.changes else np.eye(1, k)[0] for cause in causes])
    top = by_size.max(axis=1)
    weight = np.exp(by_size - top[:, None]) * share
    evidence = top + np.log(weight.sum(axis=1))
    total = evidence + np.log([cause.prior for cause in causes])
    probability = np.exp(total - total.max())
    best = weight.argmax(axis=1)
    rows = np.arange(c)
    spread = np.sqrt(np.diag(about))
    score = np.full((c, len(readings)), np.nan)
    score[:, numbers] = np.stack([each.residual for each in parts])[rows, best] / spread
    return Ranked(
        probability=probability / probability.sum(), log_evidence=evidence, size=fine,
        size_weight=weight / weight.sum(axis=1, keepdims=True), mode=np.stack([each.mode for each in parts]),
        covariance=np.stack([each.covariance for each in parts]),
        misfit=np.stack([each.misfit for each in parts])[rows, best], best=best,
        score=_with_limits(score, flat.reshape(c, k, -1)[rows, best], limits, given),
    )  # fmt: skip


def likelihood(readings: Sequence[Reading]) -> tuple[dict[str, Array], list[int], list[int]]:
    """Return what the posterior needs of readings, and which of them have a number, and which say yes or no."""
    numbers = [j for j, each in enumerate(readings) if each.kind not in (*YES_OR_NO, "seen")]
    limits = [j for j, each in enumerate(readings) if each.kind in YES_OR_NO]
    some = tuple(readings[j] for j in numbers)
    own, of_model = errors(tuple(readings[j] for j in limits))
    given = {
        "observed": np.array([each.value for each in some]),
        "covariance": covariance(some) if some else np.zeros((0, 0)),
        "side": np.array([1.0 if readings[j].value > 0.5 else -1.0 for j in limits]),
        "limit_error": np.hypot(own, of_model) if limits else np.zeros(0),
    }
    return given, numbers, limits


def _finer(made: Slopes) -> tuple[Array, Array]:
    """Return sizes, and predictions between those that were worked out (c, k, m)."""
    fine = np.linspace(0.0, 1.0, FINE)
    at = np.clip(np.searchsorted(made.sizes, fine, side="right") - 1, 0, made.sizes.size - 2)
    part = ((fine - made.sizes[at]) / (made.sizes[at + 1] - made.sizes[at]))[:, None]
    return fine, made.values[:, at] * (1.0 - part) + made.values[:, at + 1] * part


def even_weights(k: int) -> Array:
    """Return the weights of sizes that are evenly likely (trapezoids), which add to one."""
    weight = np.ones(k)
    weight[[0, -1]] = 0.5
    return np.asarray(weight / weight.sum())


def _with_limits(score: Array, values: Array, limits: list[int], given: dict[str, Array]) -> Array:
    """Return scores that also tell how far beyond the wrong side of a limit the models put the craft."""
    for n, j in enumerate(limits):
        beyond = -given["side"][n] * values[:, j] / given["limit_error"][n]
        score[:, j] = np.maximum(beyond, 0.0)
    return score


def seen_of(causes: Sequence[Cause], readings: Sequence[Reading]) -> Array:
    """Return the logarithm of how often what was merely seen is seen, for each explanation."""
    return np.asarray(sum((seen(causes, each.what) for each in readings if each.kind == "seen"), np.zeros(len(causes))))


def seen(causes: Sequence[Cause], what: str) -> Array:
    """Return ln P(seen | explanation); a look at one thing hits in nine of ten, and errs in one of twenty."""
    if what.startswith(("found ", "not found ")):
        at = what.removeprefix("not ").removeprefix("found ")
        there = np.array([HIT if cause.id == at else FALSE_ALARM for cause in causes])
        return np.log(1.0 - there if what.startswith("not ") else there)
    book = table("learn/seen")
    row = book.texts["what"].index(what)
    named = book.texts["at"][row].split()
    often, usual = float(book.columns["often"][row]), float(book.columns["usual"][row])
    between = 0.5 * (often + usual)
    return np.log(
        [between if cause.id == SOMETHING_ELSE else often if cause.id in named else usual for cause in causes]
    )


HIT, FALSE_ALARM = 0.9, 0.05
"""How often a look at something finds it where it is, and where it is not."""


def leads(found: Ranked, causes: Sequence[Cause]) -> bool:
    """Say whether one explanation leads; else it cannot be told."""
    first, second = np.sort(found.probability)[::-1][:2]
    top = causes[int(found.probability.argmax())]
    return bool(first >= LIKELY and first >= TIMES * second and top.id != SOMETHING_ELSE)


def speaks(
    found: Ranked, causes: Sequence[Cause], readings: Sequence[Reading], which: int
) -> tuple[list[int], list[int]]:
    """Return the readings that speak for an explanation and against it, the loudest first.

    For: it tells the reading better than the design as it stands does, or than the best other where it is
    that. Against: it tells it worse than the best other, by more than the errors.
    """
    own = np.abs(np.nan_to_num(found.score[which]))
    plain = next(k for k, cause in enumerate(causes) if cause.id == AS_DESIGNED)
    others = np.abs(np.nan_to_num(np.delete(found.score, [which], axis=0)))
    other = np.abs(np.nan_to_num(found.score[plain])) if which != plain else np.median(others, axis=0)
    pro, con = other - own, own - others.min(axis=0)
    for j, each in enumerate(readings):
        if each.kind == "seen":
            told = seen(causes, each.what)
            pro[j] = con[j] = 0.0
            pro[j], con[j] = max(told[which] - np.median(told), 0.0), max(np.median(told) - told[which], 0.0)
    order = range(len(readings))
    return (
        sorted((j for j in order if pro[j] > SPEAKS), key=lambda j: -pro[j]),
        sorted((j for j in order if con[j] > SPEAKS_AGAINST and own[j] > SPEAKS_AGAINST), key=lambda j: -con[j]),
    )
