"""The plan of an exploration: which designs in which blocks, and the answers of one block as columns."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.build.build import Build
from foilwright.core.errors import FoilwrightError
from foilwright.core.model import Array
from foilwright.questions.ask import BLOCK, Answers, ask
from foilwright.questions.finding import MEANINGS, NO_SOLUTION, VERDICTS, Finding
from foilwright.study.even import even_points
from foilwright.study.explore.aims import Aim, Where, margin_column
from foilwright.study.explore.space import Variable

FORMAT = 1
LEAST_BLOCK, MOST_BLOCK, BLOCKS = 64, 8192, 256
"""Designs in a block, and about how many blocks a run has before they grow."""
GENERATIONS, LEAST_GENERATION, MOST_GENERATION = 40, 64, 8192
"""Rounds of the search, and designs in each; a run beyond that samples the rest."""
PIECES, LEAST_PIECE = 4, 32
"""Blocks of a round of the search, and designs in each at least."""
FAILS, UNKNOWN = VERDICTS.index("fails"), VERDICTS.index("unknown")
GRAVE = (MEANINGS.index("hurts"), MEANINGS.index("burns"))

Columns = Mapping[str, npt.NDArray[Any]]
Case = tuple[tuple[str, float | str], ...]
"""Fields and their values for which each design must be as wanted: one rider, one lake."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Designs that are worked on together: points of the sequence, or ``shares`` that the search chose."""

    number: int
    start: int
    count: int
    round: int = 0
    shares: Array | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Everything that the results of an exploration hang on."""

    build: Build
    variables: tuple[Variable, ...]
    aims: tuple[Aim, ...]
    where: Where
    count: int
    as_built: bool = True
    cases: tuple[Case, ...] = ((),)

    @property
    def goals(self) -> tuple[Aim, ...]:
        """The aims that are minimised or maximised."""
        return tuple(aim for aim in self.aims if aim.kind != "within")

    @property
    def sampled(self) -> int:
        """How many designs are sampled evenly; the others are searched from the best of them."""
        if not self.goals or self.count < 2 * LEAST_GENERATION:
            return self.count
        return max(math.ceil(0.5 * self.count), self.count - GENERATIONS * MOST_GENERATION)

    @property
    def generation(self) -> int:
        """Designs of a round of the search."""
        even = math.ceil((self.count - self.sampled) / GENERATIONS)
        return min(max(even, LEAST_GENERATION), MOST_GENERATION)

    @property
    def piece(self) -> int:
        """Designs of a block in the search: a few blocks a round, so that several workers share it."""
        return min(self.block, max(math.ceil(self.generation / PIECES / LEAST_PIECE), 1) * LEAST_PIECE)

    @property
    def block(self) -> int:
        """Designs of a block."""
        return min(max(math.ceil(self.count / BLOCKS / LEAST_BLOCK) * LEAST_BLOCK, LEAST_BLOCK), MOST_BLOCK)

    def blocks(self) -> list[Block]:
        """Return the blocks of the sampling."""
        starts = range(0, self.sampled, self.block)
        return [
            Block(number=k, start=start, count=min(self.block, self.sampled - start)) for k, start in enumerate(starts)
        ]

    def told(self) -> str:
        """Return what the results hang on, as text: the same for the same results."""
        tree = {
            "format": FORMAT, "build": self.build.hash, "vary": [asdict(each) for each in self.variables],
            "aims": [asdict(each) for each in self.aims], "where": self.where, "count": self.count,
            "as_built": self.as_built, "cases": self.cases,
        }  # fmt: skip
        return json.dumps(tree, indent=1, sort_keys=True) + "\n"


def answer(plan: Plan, block: Block) -> Columns:
    """Return the answers of a block as columns: a pure function of plan and block."""
    shares = block.shares
    if shares is None:
        shares = even_points(block.count, len(plan.variables), start=block.start)
    vary = {each.path: each.at(shares[:, k]) for k, each in enumerate(plan.variables)}
    parts = []
    for start in range(0, block.count, BLOCK):
        some = {path: values[start : start + BLOCK] for path, values in vary.items()}
        parts.append(_worst(plan, [_case(plan, some, case) for case in plan.cases]))
    joined = {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}
    return {
        "row": block.start + np.arange(block.count),
        "round": np.full(block.count, block.round, dtype=np.int32),
        **joined,
    }


def _case(plan: Plan, vary: Mapping[str, Any], case: Case) -> dict[str, npt.NDArray[Any]]:
    """Return the columns of some designs for one case."""
    count = len(next(iter(vary.values())))
    held = {path: (value,) * count if isinstance(value, str) else np.full(count, value) for path, value in case}
    return _columns(plan, ask(plan.build, vary={**vary, **held}, as_built=plan.as_built), vary)


def _worst(plan: Plan, cases: list[dict[str, npt.NDArray[Any]]]) -> dict[str, npt.NDArray[Any]]:
    """Return for each design the columns of the case that lacks most; of each goal the worst of all cases."""
    if len(cases) == 1:
        return cases[0]
    lacks = np.stack([case["lacks"] for case in cases])
    which, rows = lacks.argmax(axis=0), np.arange(lacks.shape[1])
    out = {name: np.stack([case[name] for case in cases])[which, rows] for name in cases[0]}
    for aim in plan.goals:
        values = np.stack([aim.sign * case[aim.column].astype(np.float64) for case in cases])
        out[aim.column] = aim.sign * np.where(np.isnan(values).any(axis=0), np.nan, values.max(axis=0))
    return {"case": which.astype(np.int16), **out}


def _columns(plan: Plan, answers: Answers, vary: Mapping[str, Any]) -> dict[str, npt.NDArray[Any]]:
    found = sorted(answers.all(), key=lambda each: each.id)
    verdicts = np.stack([np.where(each.applies, each.verdict, len(VERDICTS)) for each in found])
    meanings = np.array([MEANINGS.index(each.meaning) for each in found])
    worst, held = _held(found, verdicts, meanings)
    margins = {margin_column(each.id): _margin(each) for each in found}
    out: dict[str, npt.NDArray[Any]] = {path: np.asarray(values) for path, values in vary.items()}
    out |= {name: np.asarray(values, dtype=np.float64) for name, values in answers.numbers.items()}
    out["verdict"] = np.array(VERDICTS)[worst]
    out["holds_back"] = np.array([each.id for each in found])[held]
    out["fails"] = np.sum(verdicts == FAILS, axis=0).astype(np.int16)
    out["lacks"] = _lacks(plan, found, verdicts, meanings) + _outside(plan, out | margins)
    return out | margins


def _held(
    found: list[Finding], verdicts: npt.NDArray[np.intp], meanings: npt.NDArray[np.intp]
) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp]]:
    """Return the worst verdict of each design and the place of the finding that holds it back."""
    rank = verdicts * len(MEANINGS) + meanings[:, None]
    least = rank.min(axis=0)
    short = np.stack([each.shortfall for each in found])
    gone = np.stack([each.no_solution for each in found])
    short = np.where(np.isfinite(short), short, np.where(gone, -np.inf, np.finfo(np.float64).max))
    held = np.where(rank == least, short, np.inf).argmin(axis=0)
    return np.minimum(least // len(MEANINGS), len(VERDICTS) - 1), held


def _margin(finding: Finding) -> npt.NDArray[np.float32]:
    """Return the margin in units of its scale, held within 99; NaN where there is none."""
    known = finding.applies & (finding.reason == 0)
    return np.where(known, np.clip(finding.margin / finding.scale, -99.0, 99.0), np.nan).astype(np.float32)


def _lacks(plan: Plan, found: list[Finding], verdicts: npt.NDArray[np.intp], meanings: npt.NDArray[np.intp]) -> Array:
    """Return by how much the wanted verdicts are missed; 0 where they are there."""
    total = np.zeros(verdicts.shape[1])
    if plan.where == "any":
        return total
    for finding, verdict, meaning in zip(found, verdicts, meanings, strict=True):
        counts = verdict == FAILS
        if plan.where == "sound":
            counts = verdict < VERDICTS.index("sound")
        elif meaning in GRAVE:
            counts = counts | (verdict == UNKNOWN)
        gone = 1.0 if finding.relief is None else np.nan_to_num(np.abs(finding.relief), nan=1.0, posinf=1.0)
        known = finding.shortfall if plan.where == "sound" else finding.margin / finding.scale
        short = np.where(finding.reason == NO_SOLUTION, gone, np.nan_to_num(-known, nan=1.0, posinf=1.0, neginf=1.0))
        total += np.where(counts, 0.01 + np.clip(short, 0.0, 1.0), 0.0)
    return total


def _outside(plan: Plan, columns: Mapping[str, npt.NDArray[Any]]) -> Array:
    """Return by how much the aims are missed that keep a number within limits, or that need it to exist."""
    total = np.zeros(columns["verdict"].size)
    for aim in plan.aims:
        if aim.column not in columns:
            raise FoilwrightError(f"there is no {aim.column} in this exploration")
        values = np.asarray(columns[aim.column], dtype=np.float64)
        beyond = np.zeros_like(values)
        if aim.kind == "within":
            beyond = np.maximum(aim.low - values, values - aim.high) / (aim.high - aim.low)
        total += np.where(np.isfinite(values), np.clip(beyond, 0.0, 1.0), 1.0)
    return total
