"""Corrections by maximum a posteriori with Laplace's approximation, and the evidence for each explanation.

For each size of an explanation the corrections x, each normal with spread one, are found by Newton's method on
readings y that are normal about g + J (x - c) with covariance R, and on what says yes or no, which is probable as
the normal distribution of its distance from the limit over its error. The evidence is summed over the sizes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array

NEWTON = 8
FARTHEST = 3.0
"""Standard deviations beyond which no correction is taken."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Posterior:
    """Corrections (n, p) in standard deviations, their covariance (n, p, p), and the logarithm of the evidence (n,)."""

    mode: Array
    covariance: Array
    log_evidence: Array
    misfit: Array  # (n,) r' R^-1 r of what has a number
    residual: Array  # (n, m) what was read less what is told, at the mode


def log_tail(z: Array) -> tuple[Array, Array]:
    """Return ln Phi(z), and its slope phi(z)/Phi(z), without underflow."""
    small = z < -8.0
    mild = np.where(small, 0.0, z)
    whole = 0.5 * _erfc(-mild / math.sqrt(2.0))
    near = np.log(whole)
    square = 1.0 / np.square(np.where(small, z, 10.0))
    series = np.log1p(-square * (1.0 - square * (3.0 - square * (15.0 - square * 105.0))))
    far = -0.5 * z * z - 0.5 * math.log(2.0 * math.pi) - np.log(np.where(small, -z, 1.0)) + series
    ratio = np.exp(-0.5 * mild * mild) / math.sqrt(2.0 * math.pi) / whole
    return np.where(small, far, near), np.where(small, -z - 1.0 / np.minimum(z, -1.0), ratio)


_erfc = np.vectorize(math.erfc, otypes=[np.float64])


def laplace(
    *,
    values: Array,
    slope: Array,
    centre: Array,
    observed: Array,
    covariance: Array,
    limit: Array,
    limit_slope: Array,
    side: Array,
    limit_error: Array,
    prior: Array | float = 1.0,
) -> Posterior:
    """Return the posterior of corrections for each of n sets of predictions.

    Parameters
    ----------
    values : (n, m) array
        What is told of each reading at the centre [as the reading].
    slope : (n, m, p) array
        Its change with a correction of one standard deviation.
    centre : (n, p) array
        Corrections at which that holds [standard deviations].
    observed : (m,) array
        What was read [as the reading].
    covariance : (m, m) array
        Of readings about what the models say.
    limit, limit_slope : (n, q), (n, q, p) arrays
        Distance from each limit, and its change with corrections.
    side : (q,) array
        1 where the craft was seen beyond the limit, -1 where not.
    limit_error : (q,) array
        Standard deviation of the distance from each limit.
    prior : float or (p,) array
        Spread of the corrections before any reading [standard deviations].

    Returns
    -------
    Posterior
        Mode, covariance and evidence.
    """
    n, m, p = slope.shape
    root = np.linalg.cholesky(covariance) if m else np.zeros((0, 0))
    white = np.linalg.solve(root, slope.reshape(n, m, p)) if m else np.zeros((n, 0, p))
    rest = np.linalg.solve(root, (observed - values).T).T if m else np.zeros((n, 0))
    prior = np.broadcast_to(np.asarray(prior, dtype=np.float64), (p,))
    precision = np.diag(1.0 / prior**2)
    x = centre.copy()
    scaled = limit_slope * (side / limit_error)[:, None]
    for _ in range(NEWTON):
        gap = rest - np.einsum("nmp,np->nm", white, x - centre)
        z = (limit + np.einsum("nqp,np->nq", limit_slope, x - centre)) * side / limit_error
        _, push = log_tail(z)
        bend = np.maximum(push * (push + z), 1e-9)
        gradient = np.einsum("nmp,nm->np", white, gap) + np.einsum("nqp,nq->np", scaled, push) - x / prior**2
        hessian = (
            precision + np.einsum("nmp,nmr->npr", white, white) + np.einsum("nqp,nq,nqr->npr", scaled, bend, scaled)
        )
        step = np.linalg.solve(hessian, gradient[..., None])[..., 0]
        x = np.clip(x + step, -FARTHEST * prior, FARTHEST * prior)
    gap = rest - np.einsum("nmp,np->nm", white, x - centre)
    z = (limit + np.einsum("nqp,np->nq", limit_slope, x - centre)) * side / limit_error
    passed, _ = log_tail(z)
    misfit = np.sum(gap * gap, axis=1)
    evidence = (
        -0.5 * misfit - 0.5 * m * math.log(2.0 * math.pi) - float(np.log(np.diag(root)).sum() if m else 0.0)
        + passed.sum(axis=1) - 0.5 * np.sum((x / prior) ** 2, axis=1) - float(np.log(prior).sum())
        - 0.5 * np.linalg.slogdet(hessian)[1]
    )  # fmt: skip
    return Posterior(
        mode=x, covariance=np.linalg.inv(hessian), log_evidence=evidence, misfit=misfit,
        residual=observed - values - np.einsum("nmp,np->nm", slope, x - centre),
    )  # fmt: skip


def identifiability(posterior: Array) -> tuple[Array, Array]:
    """Return how much the readings say along each direction, largest first, and the directions.

    Over what was known before: below 1 the prior decides.

    Parameters
    ----------
    posterior : (p, p) array
        Covariance of corrections in standard deviations of their prior [-].

    Returns
    -------
    tuple of (p,) and (p, p) arrays
        Eigenvalues of what the readings add, below 1 where the prior decides; directions as columns [-].
    """
    added = np.linalg.inv(posterior) - np.eye(posterior.shape[0])
    values, vectors = np.linalg.eigh(0.5 * (added + added.T))
    return values[::-1], vectors[:, ::-1]
