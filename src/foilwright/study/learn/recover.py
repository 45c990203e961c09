"""How often the true fault is found in made-up trials, by the instruments carried."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.build.build import Build
from foilwright.core.data import table
from foilwright.core.engine import Cores
from foilwright.core.model import Array
from foilwright.study.learn import truth as made_up
from foilwright.study.learn.causes import AS_DESIGNED, Cause, columns
from foilwright.study.learn.diagnose import diagnose, moments, steep
from foilwright.study.learn.model import CHARGE, corrections, fields_of, together
from foilwright.study.learn.predict import predict
from foilwright.study.learn.seen import YES_OR_NO, Trial, covariance

FIRST, THIRD = 1, 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One made-up trial: what was true, the explanations by likelihood, and which intervals hold the truth."""

    cause: str
    ranked: tuple[str, ...]
    probability: tuple[float, ...]
    clear: bool
    within: tuple[bool, ...]  # by correction: 90 % interval under the true explanation holds it
    flew: bool
    shows: float  # how far the fault moves the readings, in their errors
    two: float = 0.0  # probability of two explanations at once
    also: str = ""  # a second fault that was there too
    pair: tuple[str, str] = ("", "")  # the likeliest two at once

    @property
    def place(self) -> int:
        """Return the place of the true fault, from 1."""
        return self.ranked.index(self.cause) + 1

    @property
    def family_place(self) -> int:
        """Return the place of the true fault's family, from 1: families ranked by their probabilities' sum."""
        total: dict[str, float] = {}
        for cause, chance in zip(self.ranked, self.probability, strict=True):
            total[family(cause)] = total.get(family(cause), 0.0) + chance
        return sorted(total, key=lambda each: -total[each]).index(family(self.cause)) + 1


def family(cause: str) -> str:
    """Return the part of the craft in which an explanation lies."""
    told = table("learn/told").texts
    return dict(zip(told["cause"], told["family"], strict=True))[cause]


def members() -> dict[str, list[str]]:
    """Return the explanations of each family."""
    told = table("learn/told").texts
    out: dict[str, list[str]] = {}
    for cause, name in zip(told["cause"], told["family"], strict=True):
        out.setdefault(name, []).append(cause.replace("_", " "))
    return out


def seeded(build: Build) -> list[str]:
    """Return the faults that are drawn from, the sound craft among them."""
    return list(made_up.candidates(build))


def one(build: Build, seed: int, instruments: str, cause: str | None = None, *, second: bool = False) -> Outcome:
    """Return the outcome of one made-up trial, with one fault or with two."""
    truth = made_up.draw(build, seed, cause)
    truth = made_up.with_second(build, truth) if second else truth
    trial, ridden = made_up.trial(build, truth, instruments)
    found = diagnose(build, trial, propose=False)
    order = found.order
    own = next(k for k, each in enumerate(found.causes) if each.id == truth.cause)
    mean, covariance = moments(found.found, own)
    deviation = np.sqrt(np.diag(covariance))
    true = np.array([truth.corrections[name] for name in corrections().names])
    within = np.abs(true - mean) <= 1.645 * deviation
    return Outcome(
        cause=truth.cause, ranked=tuple(found.causes[k].id for k in order),
        probability=tuple(float(found.found.probability[k]) for k in order), clear=found.clear,
        within=tuple(bool(each) for name, each in zip(corrections().names, within, strict=True) if name != CHARGE),
        flew=bool(ridden.flying.any()), shows=_shows(build, truth, trial, own, found.causes),
        two=found.two.probability, also=truth.also,
        pair=next(((found.causes[each.one].id, found.causes[each.other].id) for each in found.two.pairs), ("", "")),
    )  # fmt: skip


def _shows(build: Build, truth: made_up.Truth, trial: Trial, own: int, known: Sequence[Cause]) -> float:
    """Return how far the fault moves the readings from those of a sound craft with its corrections, in their errors."""
    some = tuple(each for each in steep(build, trial) if each.kind not in ("seen", *YES_OR_NO))
    if not some or truth.cause == AS_DESIGNED:
        return 0.0
    asked = corrections()
    x = np.array([[truth.corrections[name] for name in asked.names]])
    fault = columns(build, known[own], np.full(1, truth.size))
    crafts = together(build, [fields_of(x, {}, asked), fields_of(x, fault, asked)], trial.scenes)
    told = predict(build, crafts, trial.scenes, some)
    apart = told.values[1] - told.values[0]
    if known[own].late:
        apart = np.where([each.late for each in some], apart, 0.0)
    return float(np.sqrt(apart @ np.linalg.solve(covariance(some), apart)))


def study(builds: Sequence[Build], seeds: Sequence[int], instruments: str, *, second: bool = False) -> list[Outcome]:
    """Return the outcomes of many made-up trials, over the builds by turns, on all cores."""
    tasks = [(builds[k % len(builds)], seed, instruments, second) for k, seed in enumerate(seeds)]
    return list(Cores().run(_task, tasks))


def _task(task: tuple[Build, int, str, bool]) -> Outcome:
    build, seed, instruments, second = task
    return one(build, seed, instruments, second=second)


def rates(outcomes: Sequence[Outcome]) -> dict[str, float]:
    """Return how often the true fault, or its family, was first or among three; and how often intervals held."""
    place = np.array([each.place for each in outcomes])
    wider = np.array([each.family_place for each in outcomes])
    clear = [each for each in outcomes if each.clear]
    return {
        "first": float(np.mean(place <= FIRST)), "first_three": float(np.mean(place <= THIRD)),
        "family_first": float(np.mean(wider <= FIRST)), "family_first_three": float(np.mean(wider <= THIRD)),
        "coverage": float(np.mean([each.within for each in outcomes])),
        "clear": len(clear) / len(outcomes),
        "right_where_clear": float(np.mean([each.place == 1 for each in clear])) if clear else float("nan"),
    }  # fmt: skip


def confusion(outcomes: Sequence[Outcome]) -> tuple[list[str], Array]:
    """Return families, and how often a fault of one (rows) was read as one of another (columns)."""
    names = list(dict.fromkeys(table("learn/told").texts["family"]))
    out = np.zeros((len(names), len(names)))
    for each in outcomes:
        out[names.index(family(each.cause)), names.index(family(each.ranked[0]))] += 1.0
    return names, out
