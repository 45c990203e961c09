"""What the reading of trials does, in the terms of published worked examples: adapters for the outside checks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from foilwright.core.model import Array
from foilwright.study.learn.infer import Posterior, identifiability, laplace, log_tail
from foilwright.study.learn.next_reading import information
from foilwright.study.learn.rank import FINE, even_weights
from foilwright.study.learn.tracks import metres


@dataclass(frozen=True, slots=True, kw_only=True)
class Linear:
    """A posterior of a linear problem in the terms of its parameters."""

    mode: Array
    deviation: Array
    correlation: float
    strongest: float  # of what the readings add, over what was known before
    log_evidence: float


def linear(*, jacobian: Any, observed: Any, error: Any, spread: Any) -> Linear:
    """Return the posterior of parameters, normal about nothing with a spread, from readings that are linear in them."""
    spread = np.atleast_1d(spread).astype(np.float64)
    slope = np.atleast_2d(jacobian) * spread
    observed, error = np.atleast_1d(observed).astype(np.float64), np.atleast_1d(error).astype(np.float64)
    found = _plain(slope, observed, error)
    deviation = np.sqrt(np.diag(found.covariance[0]))
    alike = found.covariance[0] / np.outer(deviation, deviation)
    return Linear(
        mode=found.mode[0] * spread, deviation=deviation * spread, correlation=float(alike[0, -1]),
        strongest=float(identifiability(found.covariance[0])[0][0]), log_evidence=float(found.log_evidence[0]),
    )  # fmt: skip


def _plain(slope: Array, observed: Array, error: Array) -> Posterior:
    none = np.zeros(0)
    return laplace(
        values=np.zeros((1, observed.size)), slope=slope[None], centre=np.zeros((1, slope.shape[1])),
        observed=observed, covariance=np.diag(error**2), limit=np.zeros((1, 0)),
        limit_slope=np.zeros((1, 0, slope.shape[1])), side=none, limit_error=none,
    )  # fmt: skip


def nothing(*, observed: Any, error: Any) -> float:
    """Return the logarithm of the evidence of readings where there is nothing to explain them but their errors."""
    observed, error = np.atleast_1d(observed).astype(np.float64), np.atleast_1d(error).astype(np.float64)
    return float(_plain(np.zeros((observed.size, 1)), observed, error).log_evidence[0])


def told(*, prior: Any, likelihood: Any) -> Array:
    """Return the probabilities of explanations after something was seen."""
    joint = np.asarray(prior) * np.asarray(likelihood)
    return np.asarray(joint / joint.sum())


def bent_coin(*, heads: Any, tails: Any, straight: Any) -> float:
    """Return the evidence for a coin bent by any size over that for a known one, by the sum over sizes."""
    size = np.linspace(0.0, 1.0, FINE)
    bent = even_weights(FINE) @ (size**heads * (1.0 - size) ** tails)
    return float(bent / (straight**heads * (1.0 - straight) ** tails))


def channel(*, prior: Any, outcome: Any) -> float:
    """Return what an outcome tells about which of several is true [bit]."""
    return information(np.asarray(prior), np.asarray(outcome))


def distance(*, latitude: Any, longitude: Any) -> float:
    """Return the distance of two fixes [m]."""
    east, north = metres(latitude=np.asarray(latitude), longitude=np.asarray(longitude))
    return float(np.hypot(east[1] - east[0], north[1] - north[0]))


def tail(*, z: Any) -> float:
    """Return the natural logarithm of the normal distribution."""
    return float(log_tail(np.array([float(z)]))[0][0])


CHECKS: dict[str, Callable[..., Any]] = {
    "learn.linear": linear,
    "learn.nothing": nothing,
    "learn.told": told,
    "learn.bent_coin": bent_coin,
    "learn.channel": channel,
    "learn.distance": distance,
    "learn.tail": tail,
}
"""Name of the model in the outside checks to the function that asks it."""
