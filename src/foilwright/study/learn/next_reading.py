"""What to read next: how much each reading would tell the explanations apart, and what it takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.study.learn.causes import SOMETHING_ELSE, Cause
from foilwright.study.learn.model import Slopes
from foilwright.study.learn.rank import FALSE_ALARM, HIT, WIDER, Ranked, _finer
from foilwright.study.learn.seen import Reading, errors

GRID = 160
ENOUGH = 0.6
"""Share of the most that can be learnt from which on a reading is good enough, so that the quickest is taken."""
WORTH = 0.02
"""Expected gain below which a reading is not worth its time [bit]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """A reading that could be made: what it is, its line in the sheet, minutes, and what it would tell [bit]."""

    name: str
    says: str
    line: str
    minutes: float
    gain: float
    expects: tuple[tuple[int, float], ...] = ()  # explanation, value that it expects
    kind: str = ""
    reading: Reading | None = None


def candidates(scene: int, known: Sequence[Reading]) -> tuple[tuple[Reading, ...], tuple[dict[str, object], ...]]:
    """Return the readings of the sheet that could be made next, and how they are called."""
    book = table("learn/next")
    done = {(each.kind, round(each.speed), round(each.throttle, 1)) for each in known}
    readings, about = [], []
    for k, name in enumerate(book.texts["name"]):
        kind, speed = book.texts["kind"][k], float(book.columns["speed"][k])
        throttle = float(book.columns["throttle"][k])
        if (kind, round(speed), round(throttle, 1)) in done or (kind == "capacity" and any(kind in d for d in done)):
            continue
        says, line = book.texts["says"][k], book.texts["line"][k]
        readings.append(Reading(kind=kind, says=says, source="", scene=scene, speed=speed, throttle=throttle))
        about.append({"name": name, "says": says, "line": line, "minutes": float(book.columns["minutes"][k])})
    return tuple(readings), tuple(about)


def gains(causes: Sequence[Cause], found: Ranked, made: Slopes, readings: Sequence[Reading]) -> tuple[Array, Array]:
    """Return what each reading would tell about which explanation is true [bit], and what each expects (c, m).

    The outcome under an explanation is a mixture over its sizes of normal distributions: what the models say
    with the corrections that the trial leaves it, and the errors of model and reading.
    """
    _, values = _finer(made)
    shift = found.mode - made.centre[:, None, :]
    mean = values + np.einsum("cmp,ckp->ckm", made.slope, shift)
    spread = np.einsum("cmp,ckpr,cmr->ckm", made.slope, found.covariance, made.slope)
    own, of_model = errors(tuple(readings))
    wider = np.array([WIDER if cause.id == SOMETHING_ELSE else 1.0 for cause in causes])
    spread = spread + (own**2 + of_model**2) * wider[:, None, None] ** 2
    out = np.array([_mutual(found, mean[..., j], spread[..., j]) for j in range(len(readings))])
    return out, np.einsum("ck,ckm->cm", found.size_weight, mean)


def _mutual(found: Ranked, mean: Array, variance: Array) -> float:
    deviation = np.sqrt(variance)
    low, high = (mean - 4.0 * deviation).min(), (mean + 4.0 * deviation).max()
    z = np.linspace(low, high, GRID)
    density = np.exp(-0.5 * ((z - mean[..., None]) / deviation[..., None]) ** 2) / deviation[..., None]
    by_cause = np.einsum("ck,ckz->cz", found.size_weight, density) + 1e-300
    by_cause /= by_cause.sum(axis=1, keepdims=True)
    return information(found.probability, by_cause)


def information(probability: Array, outcome: Array) -> float:
    """Return the information that an outcome has about which of several is true.

    Parameters
    ----------
    probability : (c,) array
        Of each being true [-].
    outcome : (c, z) array
        Probability of each outcome where it is true [-].

    Returns
    -------
    float
        Mutual information [bit].
    """
    joint = probability[:, None] * outcome
    either = joint.sum(axis=0)
    ratio = np.where(joint > 0.0, np.log2(np.maximum(outcome, 1e-300) / np.maximum(either, 1e-300)), 0.0)
    return float(max(np.sum(joint * ratio), 0.0))


def looks(causes: Sequence[Cause], found: Ranked, known: Sequence[Reading]) -> list[Next]:
    """Return what looking at one thing would tell, for every explanation that a look settles."""
    done = {each.what.removeprefix("not ").removeprefix("found ") for each in known if each.kind == "seen"}
    out = []
    for k, cause in enumerate(causes):
        if not cause.look or cause.id in done:
            continue
        there = np.full(len(causes), FALSE_ALARM)
        there[k] = HIT
        gain = information(found.probability, np.stack([there, 1.0 - there], axis=1))
        line = f'[[look]] at = "{cause.id}", found = true (or false)'
        says = f"look at {cause.look}"
        out.append(Next(name=f"look_{cause.id}", says=says, line=line, minutes=cause.minutes, gain=gain, kind="look"))
    return out


def ordered(options: Sequence[Next]) -> tuple[Next, ...]:
    """Return what is worth reading: the quickest of those that tell nearly the most, then the rest."""
    worth = sorted((each for each in options if each.gain >= WORTH), key=lambda each: -each.gain)
    if not worth:
        return ()
    enough = [each for each in worth if each.gain >= ENOUGH * worth[0].gain]
    first = min(enough, key=lambda each: each.minutes)
    return (first, *(each for each in worth if each is not first))
