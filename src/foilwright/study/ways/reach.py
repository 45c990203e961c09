"""Only what a change reaches is worked out anew: which fields of a craft each shared result and question reads.

The craft as it stands is answered once while it is watched what each result reads. A variant then
takes over every result that reads nothing which differs.
"""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from functools import cached_property
from types import FunctionType, MethodType
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.assemble import Varied, assemble
from foilwright.build.build import Build
from foilwright.craft import Craft
from foilwright.questions.ask import QUESTIONS, Answers
from foilwright.questions.finding import Finding
from foilwright.questions.state import State
from foilwright.questions.summary import numbers
from foilwright.study.ways.alike import WHOLE, different, many_of, one_of

Flag = npt.NDArray[np.bool_]
Array = npt.NDArray[np.float64]

MEMBERS = tuple(name for name, thing in vars(State).items() if isinstance(thing, cached_property))
"""The shared results, in the order in which one needs the other."""
ROWS = 37
"""Designs of the craft as it stands: a prime that no other axis has, so that the axis of designs is known by it."""
ALIKE = "rider.mass"
"""A field that every build has: given as often as there are rows."""
NUMBERS = "numbers"
WORK = {
    "run": 0.43,
    "floating": 0.13,
    "drive": 0.09,
    "heat": 0.05,
    "flight": 0.04,
    "looks": 0.05,
    "supply": 0.03,
    "mast": 0.03,
}
"""Share of the work in an answer, as measured once; it decides which variants are asked together, nothing else."""
OTHER_WORK = 0.01


class Ground:
    """A build as it stands, worked out once: the results that variants of it take over."""

    def __init__(self, build: Build, *, as_built: bool, reads: Mapping[str, set[str]]) -> None:
        self.build, self.as_built, self.reads = build, as_built, reads
        vary = {ALIKE: np.full(ROWS, float(build.values[ALIKE]))}
        craft, _ = assemble(build, vary, as_built=as_built)
        state = State(craft)
        with quiet():
            self.findings = {question.name: question.answer(state) for question in QUESTIONS}
            self.numbers = numbers(state)
        self.leaves = {path: one_of(value, ROWS) for path, value in _leaves(craft)}
        members = {name: one_of(state.__dict__[name], ROWS) for name in MEMBERS if name in state.__dict__}
        self.members = {name: one for name, one in members.items() if one is not WHOLE}

    def answer(self, varied: Varied) -> tuple[dict[str, list[Finding] | None], dict[str, Array] | None]:
        """Return the findings of variants by question, and their numbers; None where nothing differs."""
        craft, _ = assemble(self.build, varied, as_built=self.as_built, trusted=True)
        changed = set(self.changed(craft))
        kept = {name: one for name, one in self.members.items() if not self._reached(name, changed)}
        state = _Variant(craft, kept)
        with quiet():
            found = {
                question.name: question.answer(state) if self._reached(question.name, changed) else None
                for question in QUESTIONS
            }
            counted = numbers(state) if self._reached(NUMBERS, changed) else None
        return found, counted

    def _reached(self, name: str, changed: set[str]) -> bool:
        return name not in self.reads or not self.reads[name].isdisjoint(changed)

    def reached(self, changed: set[str]) -> frozenset[str]:
        """Return the shared results that rest on any of some fields of the craft."""
        return frozenset(name for name in MEMBERS if self._reached(name, changed))

    def changed(self, craft: Craft) -> dict[str, Flag]:
        """Return which fields of a craft differ from those here, and in which designs."""
        found = {}
        for path, value in _leaves(craft):
            rows = different(value, self.leaves.get(path), craft.designs)
            if rows is not None:
                found[path] = rows
        return found


def asked(build: Build, varied: Varied, *, as_built: bool, questions: Sequence[str] = ()) -> Answers:
    """Return what an answer tells of variants, worked out anew; what one leaves open stays open.

    ``questions`` are names; none for all, and for the numbers with them.
    """
    craft, assumed = assemble(build, varied, as_built=as_built, trusted=True)
    state = State(craft)
    with quiet():
        wanted = [question for question in QUESTIONS if not questions or question.name in questions]
        found = {question.name: tuple(question.answer(state)) for question in wanted}
        counted = {} if questions else numbers(state)
    return Answers(build=build, designs=craft.designs, findings=found, numbers=counted, curves={}, assumed=assumed)


class _Taken:
    """A shared result that is taken over where nothing that it reads differs, and worked out else."""

    def __init__(self, name: str, make: cached_property[Any]) -> None:
        self.name, self.make = name, make

    def __get__(self, state: _Variant, kind: type) -> Any:
        kept = self.name in state.kept
        value = many_of(state.kept[self.name], state.craft.designs) if kept else self.make.func(state)
        state.__dict__[self.name] = value
        return value


class _Variant(State):
    """A state that takes over some results."""

    def __init__(self, craft: Craft, kept: Mapping[str, Any]) -> None:
        super().__init__(craft)
        self.kept = kept


for _name in MEMBERS:
    setattr(_Variant, _name, _Taken(_name, vars(State)[_name]))


def reads(build: Build, *, as_built: bool) -> dict[str, set[str]]:
    """Return which fields of the craft each shared result, each question and the numbers read."""
    craft, _ = assemble(build, as_built=as_built)
    state = _Watching(craft)
    found: dict[str, set[str]] = state.found
    with quiet():
        for question in QUESTIONS:
            state.watch(question.name, functools.partial(question.answer, state))
        state.watch(NUMBERS, lambda: numbers(state))
    return found


class _Watching(State):
    """A state that notes which fields of the craft are read for what."""

    def __init__(self, craft: Craft) -> None:
        self.found: dict[str, set[str]] = {}
        self.open: list[set[str]] = []
        super().__init__(_Watched(craft, "", self._note))  # type: ignore[arg-type]

    def _note(self, path: str) -> None:
        for each in self.open:
            each.add(path)

    def watch(self, name: str, work: Callable[[], Any]) -> Any:
        """Do something and note what it reads."""
        self.open.append(set())
        try:
            return work()
        finally:
            self.found[name] = self.open.pop()

    def __getattribute__(self, name: str) -> Any:
        if name not in MEMBERS:
            return super().__getattribute__(name)
        if name not in self.found:
            value = self.watch(name, lambda: super(_Watching, self).__getattribute__(name))
        else:
            value = super().__getattribute__(name)
        for each in self.open:
            each.update(self.found[name])
        return value


class _Watched:
    """A part of the craft that notes which of its fields are read."""

    __slots__ = ("_note", "_path", "_thing")

    def __init__(self, thing: Any, path: str, note: Callable[[str], None]) -> None:
        self._thing, self._path, self._note = thing, path, note

    @property  # type: ignore[misc]
    def __class__(self) -> Any:
        return type(self._thing)

    def __getattr__(self, name: str) -> Any:
        static = inspect.getattr_static(type(self._thing), name, None)
        if isinstance(static, property) and static.fget is not None:
            return static.fget(self)
        if isinstance(static, FunctionType):
            return MethodType(static, self)
        value = getattr(self._thing, name)
        path = f"{self._path}{name}"
        if not self._path and is_dataclass(value):
            return _Watched(value, f"{path}.", self._note)
        self._note(path)
        return value


def _leaves(craft: Craft) -> list[tuple[str, Any]]:
    """Return the fields of a craft by their paths of two steps."""
    found = []
    for item in fields(craft):
        part = getattr(craft, item.name)
        if is_dataclass(part):
            found += [(f"{item.name}.{each.name}", getattr(part, each.name)) for each in fields(part)]
        elif item.name != "designs":
            found.append((item.name, part))
    return found


def quiet() -> np.errstate:
    """Return a context in which numbers that become none say nothing."""
    return np.errstate(divide="ignore", invalid="ignore", over="ignore", under="ignore")
