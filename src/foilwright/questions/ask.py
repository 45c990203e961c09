"""Asking: the explicit tuple of questions, many designs in blocks, the finding that holds back."""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, Protocol

import numpy as np
import numpy.typing as npt

from foilwright.assemble import Assumption, Varied, assemble, checked
from foilwright.build.build import Build
from foilwright.core.engine import Cores
from foilwright.core.errors import BuildFileError
from foilwright.questions.afloat import Afloat
from foilwright.questions.charge import Charge
from foilwright.questions.cool import Cool
from foilwright.questions.dry import Dry
from foilwright.questions.endure import Endure
from foilwright.questions.finding import VERDICTS, Beyond, Finding, gravity
from foilwright.questions.fly import Fly
from foilwright.questions.hold import Hold
from foilwright.questions.makeable import Makeable
from foilwright.questions.names import unknown
from foilwright.questions.obey import Obey
from foilwright.questions.push import Push
from foilwright.questions.rise import Rise
from foilwright.questions.state import State
from foilwright.questions.summary import Seats, curves, numbers, seats
from foilwright.questions.wire import Wire

Array = npt.NDArray[np.float64]


class Question(Protocol):
    """One of the questions that a build must answer."""

    name: str
    asks: str

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        ...


QUESTIONS: tuple[Question, ...] = (
    Afloat(), Rise(), Fly(), Push(), Endure(), Hold(), Dry(), Obey(), Wire(), Cool(), Charge(), Makeable(),
)  # fmt: skip
"""Every question that has landed, in the order in which a maker meets them."""

NAMES = tuple(question.name for question in QUESTIONS)

BLOCK = 128
"""Designs worked on at once; measured: fewer cost overhead, more do not fit the cache."""
WORTH_SHARING = 1000
"""Designs from which on starting more processes pays."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What was found about one design or thousands."""

    build: Build
    designs: int
    findings: Mapping[str, tuple[Finding, ...]]
    numbers: Mapping[str, Array]
    curves: Mapping[str, Mapping[str, Array]]
    assumed: tuple[Assumption, ...]
    seats: Callable[[], Seats] = tuple
    """The controller in every seat, worked out when it is asked for; nothing for many designs, or without `cool`."""

    def all(self) -> tuple[Finding, ...]:
        """Return the findings of all questions."""
        return tuple(finding for found in self.findings.values() for finding in found)

    def worst_first(self, row: int = 0, question: str | None = None) -> list[Finding]:
        """Return the findings that apply to one design, of one question or of all, worst first."""
        found = self.findings[question] if question else self.all()
        return sorted((each for each in found if each.applies[row]), key=lambda each: gravity(each, row))

    def verdict(self, question: str | None = None, row: int = 0) -> str:
        """Return the worst verdict of one question, or of all."""
        return VERDICTS[int(self.worst_first(row, question)[0].verdict[row])]

    def holds_back(self, row: int = 0) -> Finding:
        """Return the finding that holds the build back."""
        return self.worst_first(row)[0]


def ask(
    build: Build,
    *,
    questions: Sequence[str] = (),
    vary: Varied | None = None,
    as_built: bool = True,
) -> Answers:
    """Ask a build, or many variants of it at once.

    Parameters
    ----------
    build : Build
        A checked build.
    questions : sequence of str
        Names of the questions; none for all.
    vary : mapping
        Path to (n,) array in SI, or to n names for a choice.
    as_built : bool
        Let measured values stand in for designed ones.
    """
    if faults := unknown(questions, NAMES):
        raise BuildFileError(faults)
    wanted = tuple(question for question in QUESTIONS if not questions or question.name in questions)
    varied = checked(build, vary or {})
    designs = next((len(values) for values in varied.values()), 1)
    starts = range(0, designs, BLOCK)
    parts = [{path: values[start : start + BLOCK] for path, values in varied.items()} for start in starts]
    work = functools.partial(_block, build, wanted, as_built)
    if len(parts) == 1:
        return work(parts[0])
    engine = Cores() if designs >= WORTH_SHARING else Cores(workers=1)
    return _joined(build, list(engine.run(work, parts)), designs)


def _block(build: Build, wanted: tuple[Question, ...], as_built: bool, varied: Varied) -> Answers:
    craft, assumed = assemble(build, varied, as_built=as_built)
    state = State(craft)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore", under="ignore"):
        findings = {question.name: tuple(question.answer(state)) for question in wanted}
        counted = numbers(state)
        drawn = curves(state) if craft.designs == 1 else {}
    elsewhere = craft.designs == 1 and "cool" in findings
    return Answers(
        build=build, designs=craft.designs, findings=findings, numbers=counted, curves=drawn, assumed=assumed,
        seats=functools.partial(seats, state) if elsewhere else tuple,
    )  # fmt: skip


def _joined(build: Build, blocks: list[Answers], designs: int) -> Answers:
    first = blocks[0]
    findings = {
        name: tuple(
            _join_findings([block.findings[name][k] for block in blocks]) for k in range(len(first.findings[name]))
        )
        for name in first.findings
    }
    counted = {name: np.concatenate([block.numbers[name] for block in blocks]) for name in first.numbers}
    return Answers(build=build, designs=designs, findings=findings, numbers=counted, curves={}, assumed=first.assumed)


def _join_findings(each: list[Finding]) -> Finding:
    first = each[0]
    arrays: dict[str, Any] = {
        item.name: np.concatenate([getattr(finding, item.name) for finding in each])
        for item in fields(Finding)
        if isinstance(getattr(first, item.name), np.ndarray)
    }
    beyond = tuple(_join_beyond([finding.beyond[k] for finding in each]) for k in range(len(first.beyond)))
    if any(finding.cases != first.cases for finding in each):
        cases = {case: k for k, case in enumerate(dict.fromkeys(case for one in each for case in one.cases))}
        arrays["case"] = np.concatenate([np.array([cases[case] for case in one.cases])[one.case] for one in each])
        return replace(first, beyond=beyond, **{**arrays, "cases": tuple(cases)})
    return replace(first, beyond=beyond, **arrays)


def _join_beyond(each: list[Beyond]) -> Beyond:
    return replace(each[0], value=np.concatenate([np.atleast_1d(beyond.value) for beyond in each]))
