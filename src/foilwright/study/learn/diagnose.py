"""A trial read back into the model: explanations, corrections, what stops the craft, what to read next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from foilwright.build.build import Build
from foilwright.core.model import Array
from foilwright.questions.state.reasons import REASONS
from foilwright.study.learn import next_reading as nexts
from foilwright.study.learn.causes import AS_DESIGNED, SOMETHING_ELSE, Cause, causes, columns
from foilwright.study.learn.infer import identifiability
from foilwright.study.learn.model import CHARGE, Corrections, Slopes, corrections, fields_of, slopes, together
from foilwright.study.learn.pairs import Two, two
from foilwright.study.learn.predict import SHOWS, USUAL_CHARGE, predict
from foilwright.study.learn.rank import Ranked, leads, rank
from foilwright.study.learn.seen import OWN, YES_OR_NO, Reading, Trial

FACTORS = "factors."
DOUBTED, FEWEST = ("balance", "amps", "volts"), 6
"""Kinds of which many are read, so that one may be set aside; and how many readings there must be."""
BAD = 4.0
"""Standard deviations by which one reading may miss the best explanation before it is set aside with a notice."""
MOST_SET_ASIDE = 2
DOUBT = 0.5
"""Probability of two explanations at once from which on no single one leads."""
SAMPLES = 24
TOGETHER = 0.9
"""Correlation from which on only a combination of two corrections is known."""
NOT_MODEL = ("seen",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """One correction: its factor with the ends of its 90 % interval, and whether the readings say anything about it."""

    name: str
    path: str
    says: str
    factor: float
    low: float
    high: float
    told: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnosis:
    """What a trial says about a build."""

    build: Build
    trial: Trial
    causes: tuple[Cause, ...]
    found: Ranked
    readings: tuple[Reading, ...]
    aside: tuple[Reading, ...]  # set aside with a notice
    clear: bool  # one explanation leads
    corrections: tuple[Correction, ...]  # under the likeliest explanation
    together: tuple[tuple[str, str, float], ...]  # pairs of which only a combination is known
    stops: tuple[tuple[str, float], ...]  # what stops the design as it stands, with its probability
    carried: tuple[
        float, float
    ]  # m/s, the fastest on the water that was seen, and the wing's share of the weight there
    values: tuple[tuple[str, float, float, float], ...]  # fields that the leader changes: path, value, low, high
    next: tuple[nexts.Next, ...]
    fits: bool
    two: Two  # of the list at once

    @property
    def order(self) -> list[int]:
        """Return the explanations, likeliest first."""
        return [int(k) for k in np.argsort(-self.found.probability, kind="stable")]

    @property
    def leader(self) -> Cause:
        """Return the likeliest explanation."""
        return self.causes[self.order[0]]


def plain(build: Build) -> Build:
    """Return a build without corrections: what the water says is always read anew, from all trials given."""
    return replace(build, values={path: value for path, value in build.values.items() if not path.startswith(FACTORS)})


def diagnose(build: Build, trial: Trial, *, passes: int = 2, propose: bool = True) -> Diagnosis:
    """Return what a trial says about a build.

    Parameters
    ----------
    build : Build
        What was ridden.
    trial : Trial
        Readings; several days joined.
    passes : int
        How often the models are asked, each time at the corrections found before.
    propose : bool
        Also say what to read next.
    """
    base = plain(build)
    all_causes = causes(base, asked=trial.weighed)
    kept, aside = steep(base, trial), tuple[Reading, ...]()
    options, about = nexts.candidates(_typical(trial), kept) if propose else ((), ())
    known = corrections(trial.readings)
    centre: Array | None = None
    for k in range(passes):
        some = tuple(each for each in kept if each.kind not in NOT_MODEL)
        made = slopes(base, all_causes, trial.scenes, (*some, *options), centre=centre, known=known)
        whole = _whole(made, kept, some)
        found = rank(all_causes, whole, kept)
        gone = _missed(kept, found, most=MOST_SET_ASIDE - sum(each.kind not in OWN for each in aside))
        if gone:
            aside, kept = (*aside, *gone), tuple(each for each in kept if not any(each is one for one in gone))
            whole = _whole(made, kept, some)
            found = rank(all_causes, whole, kept)
        if k + 1 < passes:
            centre = found.mode[np.arange(len(all_causes)), found.best]
    top = int(found.probability.argmax())
    later = _part(made, slice(len(made.values[0, 0]) - len(options), None))
    at_once = two(all_causes, whole, found, kept)
    fit = bool(found.misfit[top] <= 2.0 * max(sum(each.kind not in YES_OR_NO for each in some), 2))
    return Diagnosis(
        build=build, trial=trial, causes=all_causes, found=found, readings=kept, aside=aside,
        clear=leads(found, all_causes) and fit and at_once.probability < DOUBT,
        corrections=_corrections(found, top, known), together=_together(found, top, known),
        **_design(base, trial, all_causes, found, known),
        values=_values(base, all_causes[top], found, top),
        next=_next(all_causes, found, later, options, about, kept) if propose else (), fits=fit,
        two=at_once,
    )  # fmt: skip


def steep(base: Build, trial: Trial) -> tuple[Reading, ...]:
    """Return the readings with how steeply the models have them change with speed, so that errors of speed count."""
    at = [j for j, each in enumerate(trial.readings) if each.speed > 0.0 and each.kind in STEEP]
    if not at:
        return trial.readings
    some = [trial.readings[j] for j in at]
    sides = [replace(each, speed=each.speed * (1.0 + share)) for share in (-BY, BY) for each in some]
    told = predict(base, {"effect.drag_area": np.zeros(1)}, trial.scenes, sides).values[0].reshape(2, -1)
    slopes_ = dict(zip(at, (told[1] - told[0]) / (2.0 * BY), strict=True))
    return tuple(
        replace(each, steep=float(np.clip(slopes_[j], -STEEPEST, STEEPEST))) if j in slopes_ else each
        for j, each in enumerate(trial.readings)
    )


STEEP = ("balance", "tow", "coast", "amps")
BY, STEEPEST = 0.05, 8.0
"""Share of the speed over which steepness is taken, and the most that is believed."""


def _typical(trial: Trial) -> int:
    """Return the scene in which most was read."""
    counts = np.bincount([each.scene for each in trial.readings], minlength=len(trial.scenes))
    return int(counts.argmax())


def _part(made: Slopes, rows: slice) -> Slopes:
    return replace(made, values=made.values[:, :, rows], slope=made.slope[:, rows])


def _whole(made: Slopes, kept: Sequence[Reading], some: Sequence[Reading]) -> Slopes:
    """Return what the models say of all readings; of what is merely seen they say nothing."""
    where = {id(each): j for j, each in enumerate(some)}
    c, k, _, p = *made.values.shape, made.slope.shape[2]
    values, slope = np.zeros((c, k, len(kept))), np.zeros((c, len(kept), p))
    for j, each in enumerate(kept):
        if id(each) in where:
            values[:, :, j], slope[:, j] = made.values[:, :, where[id(each)]], made.slope[:, where[id(each)]]
    return replace(made, values=values, slope=slope)


def _missed(kept: tuple[Reading, ...], found: Ranked, most: int) -> tuple[Reading, ...]:
    """Return readings that no likely explanation tells.

    Of the ride one, while enough others are left; of those with a correction of their own, all that it cannot reach.
    """
    numbers = [each for each in kept if each.kind not in (*YES_OR_NO, *OWN, *NOT_MODEL)]
    least = np.abs(np.nan_to_num(found.score[found.probability > 0.02])).min(axis=0)
    own = tuple(each for each, miss in zip(kept, least, strict=True) if each.kind in OWN and miss >= BAD)
    least[[each.kind not in DOUBTED for each in kept]] = 0.0
    if most <= 0 or len(numbers) < FEWEST or least.max() < BAD:
        return own
    return (*own, kept[int(least.argmax())])


def _corrections(found: Ranked, top: int, known: Corrections) -> tuple[Correction, ...]:
    """Return the corrections under the likeliest explanation, averaged over its sizes."""
    mean, covariance = moments(found, top)
    deviation = np.sqrt(np.diag(covariance))
    return tuple(
        Correction(
            name=name, path=known.paths[j], says=known.says[j],
            told=bool(deviation[j] < TOLD),
            **_factor(name, float(known.spread[j]), float(mean[j]), float(deviation[j])),
        )
        for j, name in enumerate(known.names)
    )  # fmt: skip


TOLD = 0.85
"""Standard deviation after the readings, over that before, from which on they say something about a correction."""


def moments(found: Ranked, which: int) -> tuple[Array, Array]:
    """Return mean (p,) and covariance (p, p) of the corrections under an explanation, over its sizes."""
    weight = found.size_weight[which]
    mean = weight @ found.mode[which]
    apart = found.mode[which] - mean
    within = np.einsum("k,kpr->pr", weight, found.covariance[which])
    return mean, np.asarray(within + np.einsum("k,kp,kr->pr", weight, apart, apart))


def _factor(name: str, spread: float, mean: float, deviation: float) -> dict[str, float]:
    ends = [spread * (mean + sign * 1.645 * deviation) for sign in (0.0, -1.0, 1.0)]
    value, low, high = (USUAL_CHARGE + end if name == CHARGE else float(np.exp(end)) for end in ends)
    return {"factor": value, "low": low, "high": high}


def _together(found: Ranked, top: int, known: Corrections) -> tuple[tuple[str, str, float], ...]:
    """Return pairs of corrections of which the readings tell a combination only."""
    _, covariance = moments(found, top)
    _, vectors = identifiability(covariance)
    deviation = np.sqrt(np.diag(covariance))
    alike = covariance / np.outer(deviation, deviation)
    names = known.names
    pairs = {(i, j) for i in range(len(names)) for j in range(i) if abs(alike[i, j]) > TOGETHER}
    loud = np.abs(vectors[:, 0]).argsort()[::-1][:2]
    if pairs or min(abs(vectors[loud, 0])) < 0.35:
        return tuple((names[j], names[i], float(alike[i, j])) for i, j in sorted(pairs))
    one, two = sorted(int(k) for k in loud)
    return ((names[one], names[two], float(alike[one, two])),) if abs(alike[one, two]) > 0.35 else ()


def _values(base: Build, cause: Cause, found: Ranked, top: int) -> tuple[tuple[str, float, float, float], ...]:
    """Return the fields that an explanation changes, with the ends of 90 % of its sizes."""
    if not cause.changes:
        return ()
    rising = np.cumsum(found.size_weight[top])
    ends = np.interp([0.5, 0.05, 0.95], rising, found.size)
    return tuple(
        (path, *(float(value) for value in np.asarray(values)[[0, 1, 2]]))  # type: ignore[misc]
        for path, values in columns(base, cause, ends).items()
    )


def _design(
    base: Build, trial: Trial, all_causes: tuple[Cause, ...], found: Ranked, known: Corrections
) -> dict[str, Any]:
    """Return what stops the design as it stands, and what its wing carries, with the corrections that fit the trial."""
    plain_one = next(k for k, cause in enumerate(all_causes) if cause.id == AS_DESIGNED)
    mean, covariance = moments(found, plain_one)
    chance = np.random.default_rng(5)
    x = np.clip(chance.multivariate_normal(mean, covariance, SAMPLES), -3.0, 3.0)
    crafts = together(base, [fields_of(x, {}, known)], trial.scenes)
    on_water = [each for each in trial.readings if each.kind == "balance" and not each.flying]
    fastest = max(on_water, key=lambda each: each.speed, default=None)
    scene = fastest.scene if fastest is not None else _typical(trial)
    asked = [Reading(kind="lifted", says="", source="", scene=scene)]
    asked += [replace(fastest, kind="higher")] if fastest is not None else []
    told = predict(base, crafts, trial.scenes, asked)
    names = [REASONS[int(k)] or "nothing: it takes off" for k in told.reason[:, scene]]
    stops = sorted(((n, names.count(n) / SAMPLES) for n in dict.fromkeys(names)), key=lambda each: -each[1])
    share = float(np.median(told.values[:, -1])) + SHOWS if fastest is not None else float("nan")
    return {"stops": tuple(stops), "carried": (fastest.speed if fastest is not None else float("nan"), share)}


def _next(
    all_causes: tuple[Cause, ...], found: Ranked, made: Slopes, options: tuple[Reading, ...],
    about: tuple[dict[str, object], ...], kept: Sequence[Reading],
) -> tuple[nexts.Next, ...]:  # fmt: skip
    gain, expected = nexts.gains(all_causes, found, made, options) if options else (np.zeros(0), np.zeros((0, 0)))
    order = np.argsort(-found.probability)[:4]
    read = [
        nexts.Next(
            **about[j], gain=float(gain[j]), kind=each.kind, reading=each,  # type: ignore[arg-type]
            expects=tuple((int(k), float(expected[k, j])) for k in order if all_causes[k].id != SOMETHING_ELSE),
        )
        for j, each in enumerate(options)
    ]  # fmt: skip
    return nexts.ordered([*read, *nexts.looks(all_causes, found, kept)])
