"""Corrections of the likeliest explanation sampled by an ensemble, to check Laplace's approximation."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from foilwright.core.extras import need
from foilwright.core.model import Array
from foilwright.study.learn.causes import columns
from foilwright.study.learn.diagnose import Diagnosis, plain
from foilwright.study.learn.infer import log_tail
from foilwright.study.learn.model import CHARGE, corrections, fields_of, together
from foilwright.study.learn.predict import predict
from foilwright.study.learn.seen import YES_OR_NO, covariance, errors

WALKERS, STEPS, BURNT = 28, 60, 20
FARTHEST = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sampled:
    """Samples (s, p) of the corrections, as factors."""

    names: tuple[str, ...]
    factors: Array
    accepted: float

    def document(self) -> dict[str, Any]:
        """Return median and 90 % interval of each as plain data."""
        ends = np.percentile(self.factors, [50.0, 5.0, 95.0], axis=0)
        return {
            name: dict(zip(("factor", "low", "high"), ends[:, j].tolist(), strict=True))
            for j, name in enumerate(self.names)
        }

    def text(self) -> str:
        """Return median and 90 % interval of each, for the screen."""
        head = f"\nSAMPLED by an ensemble ({len(self.factors)} samples, {100.0 * self.accepted:.0f} % of steps taken)\n"
        rows = [
            f"  {name.replace('_', ' '):<36}{each['factor']:5.2f}  {each['low']:.2f} to {each['high']:.2f}\n"
            for name, each in self.document().items()
        ]
        return head + "".join(rows)


def sample(found: Diagnosis, *, seed: int = 1) -> Sampled:
    """Return samples of the corrections through the full models, not through their slopes."""
    emcee = need("emcee", extra="learn")
    top = found.order[0]
    cause, base = found.causes[top], plain(found.build)
    size = float(found.found.size_weight[top] @ found.found.size)
    some = tuple(each for each in found.readings if each.kind != "seen")
    known = corrections(found.trial.readings)
    numbers = [j for j, each in enumerate(some) if each.kind not in YES_OR_NO]
    limits = [j for j, each in enumerate(some) if each.kind in YES_OR_NO]
    root = np.linalg.cholesky(covariance(tuple(some[j] for j in numbers))) if numbers else np.zeros((0, 0))
    own, of_model = errors(tuple(some[j] for j in limits))
    sides = np.array([1.0 if some[j].value > 0.5 else -1.0 for j in limits]) / np.hypot(own, of_model)

    def chance(x: Array) -> Array:
        inside = np.clip(x, -FARTHEST, FARTHEST)
        own_fields = columns(base, cause, np.full(len(x), size)) if cause.changes else {}
        crafts = together(base, [fields_of(inside, own_fields, known)], found.trial.scenes)
        told = predict(base, crafts, found.trial.scenes, some).values
        gap = np.linalg.solve(root, (np.array([some[j].value for j in numbers]) - told[:, numbers]).T)
        out = -0.5 * np.sum(gap * gap, axis=0) - 0.5 * np.sum(x * x, axis=1)
        out += log_tail(told[:, limits] * sides)[0].sum(axis=1)
        return np.where((np.abs(x) <= FARTHEST).all(axis=1), out, -np.inf)

    p = len(known.names)
    rng = np.random.RandomState(seed)
    walk = emcee.EnsembleSampler(WALKERS, p, chance, vectorize=True)
    walk._random = rng
    start = found.found.mode[top][found.found.best[top]]
    walk.run_mcmc(np.clip(start + 0.3 * rng.standard_normal((WALKERS, p)), -2.5, 2.5), STEPS)
    kept = walk.get_chain(discard=BURNT, flat=True)
    told = [j for j, name in enumerate(known.names) if name != CHARGE]
    factors = np.exp(kept[:, told] * known.spread[told])
    return Sampled(
        names=tuple(known.names[j] for j in told), factors=factors, accepted=float(np.mean(walk.acceptance_fraction))
    )
