"""Which inputs an outcome hangs on: variance-based sensitivities from one set of points.

The outcome is fitted by polynomials that are orthonormal over the inputs' shares (Legendre), each
input alone and in pairs. The squares of the coefficients are then the parts of the variance that
inputs cause alone and together (Sudret 2008, Reliability Engineering and System Safety 93, 964), so
the samples that gave the probabilities serve the sensitivities too, and nothing more is computed.
What the fit leaves unexplained is told. Pairs are looked at among the inputs that matter most alone.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from foilwright.core.model import Array

PER_TERM = 3
"""Samples for each term of the fit."""
HIGHEST = 10
"""Highest power of one input; 4 where there are many."""
MANY = 4
IN_PAIRS = 12
"""Inputs looked at in pairs."""
UNEVEN = (0.8, 1.25)
"""How far the parts are stretched to sum to what is explained: the points are not quite even."""
SURE = 3.0
"""Standard errors from which on a coefficient is more than noise."""

Term = tuple[tuple[int, int], ...]
"""Inputs with their powers: ((3, 2),) or ((3, 1), (5, 2))."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Indices:
    """Parts of the variance: (d, m) by input alone and with all others, (m,) explained by the fit."""

    first: Array
    total: Array
    explained: Array


def indices(points: Array, values: Array, weights: Array | None = None) -> Indices:
    """Return first-order and total sensitivities of outcomes.

    Parameters
    ----------
    points : (n, d) array
        Independent inputs as shares, evenly spread over 0 to 1 [-].
    values : (n, m) array
        Outcomes, finite.
    weights : (m,) array
        How much each outcome counts in the choice of the inputs looked at in pairs; all alike if left out.
    """
    n, d = points.shape
    spread = values.std(axis=0)
    moves = spread > 1e-12 * np.maximum(1.0, np.abs(values).max(axis=0))
    scaled = np.where(moves, (values - values.mean(axis=0)) / np.where(moves, spread, 1.0), 0.0)
    budget = max(n // PER_TERM, 1)
    power = min(HIGHEST, budget // (4 * d)) or 1
    if power < HIGHEST:
        power = max(1, min(MANY, budget // (2 * d)))
    bases = _legendre(points, HIGHEST)
    mains = _mains(bases[:, :, :power], scaled)
    worth = mains @ (np.ones(values.shape[1]) if weights is None else weights)
    best = np.argsort(-worth, kind="stable").tolist()
    alone: list[Term] = [((i, a),) for i in sorted(best[: budget // power]) for a in range(1, power + 1)]
    terms = alone + _pairs(sorted(best[: min(d, IN_PAIRS)]), budget - len(alone))
    design = np.stack([math.prod(bases[:, i, a - 1] for i, a in term) for term in terms], axis=1)
    parts, explained = _fit(design, scaled)
    first, total = np.zeros((2, d, values.shape[1]))
    for term, part in zip(terms, parts, strict=True):
        for i, _ in term:
            total[i] += part
            if len(term) == 1:
                first[i] += part
    return Indices(first=first, total=total, explained=np.where(moves, explained, 1.0))


def _mains(bases: Array, scaled: Array) -> Array:
    """Return roughly what each input alone does to each outcome (d, m)."""
    n, d, power = bases.shape
    rough = bases.reshape(n, d * power).T @ scaled / n
    return np.asarray((rough**2).reshape(d, power, -1).sum(axis=1))


def _legendre(points: Array, highest: int) -> Array:
    """Return the orthonormal polynomials 1 to ``highest`` over 0 to 1 (n, d, highest)."""
    x = 2.0 * points - 1.0
    before, here = np.ones_like(x), x
    made = []
    for k in range(1, highest + 1):
        made.append(math.sqrt(2.0 * k + 1.0) * here)
        before, here = here, ((2.0 * k + 1.0) * x * here - k * before) / (k + 1.0)
    return np.stack(made, axis=2)


def _pairs(chosen: list[int], room: int) -> list[Term]:
    """Return the terms of pairs with as high a sum of powers as there is room for."""
    every = list(combinations(chosen, 2))
    top = next((q for q in range(HIGHEST, 1, -1) if len(every) * q * (q - 1) // 2 <= room), 0)
    if not top:
        keep = int((1.0 + math.sqrt(1.0 + 8.0 * max(room, 0))) / 2.0)
        return _pairs(chosen[:keep], room) if 2 <= keep < len(chosen) else []
    return [((i, a), (j, b)) for i, j in every for a in range(1, top) for b in range(1, top - a + 1)]


def _fit(design: Array, scaled: Array) -> tuple[Array, Array]:
    """Return the part of the variance of each term (terms, m) and how much all of them explain (m,)."""
    n, count = design.shape
    centred = design - design.mean(axis=0)
    inverse = np.linalg.inv(centred.T @ centred + 1e-9 * n * np.eye(count))
    found = inverse @ (centred.T @ scaled)
    left = np.sum((scaled - centred @ found) ** 2, axis=0)
    noise = left / max(n - count - 1, 1)
    error = np.outer(np.diag(inverse), noise)
    parts = np.where(found**2 > SURE**2 * error, found**2, 0.0)
    explained = np.clip(1.0 - noise, 0.0, 1.0)
    whole = parts.sum(axis=0)
    return parts * np.clip(explained / np.where(whole > 0.0, whole, 1.0), *UNEVEN), explained
