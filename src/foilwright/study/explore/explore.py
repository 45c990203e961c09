"""The doors of an exploration: a plan from what is written, its run, and a row that becomes a build."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.build import load, save
from foilwright.build.build import Build, Value
from foilwright.core import units
from foilwright.core.engine import Cores, Engine
from foilwright.core.errors import BuildFileError, Fault
from foilwright.questions.ask import ask
from foilwright.study.explore.aims import WHERES, aims
from foilwright.study.explore.plan import Case, Plan
from foilwright.study.explore.run import Progress, Tell, run
from foilwright.study.explore.space import EXAMPLE, variables
from foilwright.study.explore.store import Store
from foilwright.study.explore.told import Found, found

FOR = '--for "rider.mass=60 kg,100 kg"'
MOST = 1_000_000_000
"""Designs of one exploration: as many as the sequence has points."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exploration:
    """A finished exploration: ``best`` holds the columns of the designs that no other beats."""

    found: Found

    @property
    def best(self) -> Mapping[str, npt.NDArray[Any]]:
        """Columns (k,) of the designs that no other beats: rows, varied fields, numbers, margins."""
        return self.found.best

    def columns(self, *names: str) -> Mapping[str, npt.NDArray[Any]]:
        """Return columns (n,) of all designs; all columns where none is named."""
        return self.found.store.all(names or None)

    def pick(self, row: int) -> Build:
        """Return one design as a build; ``build.text`` is its file."""
        return picked(self.found.plan.build, self.found.store, row, name=f"{self.found.plan.build.name}-{row}")


def planned(
    build: Build,
    *,
    vary: Sequence[str],
    aim: Sequence[str],
    where: str,
    count: int,
    every: Sequence[str] = (),
    as_built: bool = True,
) -> Plan:
    """Return the plan of an exploration from what is written; everything wrong is told together."""
    varied, faults = variables(build, vary)
    cases, others = _cases(build, every, {each.path for each in varied})
    faults += others
    if not vary:
        faults.append(_fault("--vary", "nothing", "a field at least", EXAMPLE))
    ids = [finding.id for finding in ask(build, as_built=as_built).all()]
    wanted, more = aims(aim, varied, ids)
    faults += more
    known = next((each for each in WHERES if each == where), None)
    if known is None:
        faults.append(_fault("--where", units.quoted(where), f"one of {', '.join(WHERES)}", "--where sound"))
    if not 1 <= count <= MOST:
        faults.append(_fault("-n", str(count), f"a whole number from 1 to {MOST}", "-n 10000"))
    if faults or known is None:
        raise BuildFileError(faults)
    return Plan(build=build, variables=varied, aims=wanted, where=known, count=count, as_built=as_built, cases=cases)


def _cases(build: Build, written: Sequence[str], varied: set[str]) -> tuple[tuple[Case, ...], list[Fault]]:
    """Return the cases for which each design must be as wanted: every one of these values with every other."""
    made, faults = variables(build, written)
    for each in made:
        if not (each.values or each.names):
            faults.append(_fault("--for", each.path, "values, not a range", FOR))
        if each.path in varied:
            faults.append(_fault("--for", each.path, "a field that is not varied", FOR))
    lists = [[(each.path, value) for value in (each.names or each.values)] for each in made]
    return tuple(itertools.product(*lists)), faults


def explore(plan: Plan, place: Path, *, engine: Engine | None = None, tell: Tell | None = None) -> Exploration:
    """Work through a plan, keeping results in a folder of Parquet parts; go on where a run was stopped."""
    store = Store(place=place)
    run(plan, store, engine or Cores(), tell or _silent)
    return Exploration(found=found(plan, store))


def _silent(_: Progress) -> None:
    """Tell nothing."""


def picked(build: Build, store: Store, row: int, *, name: str, file: str = "") -> Build:
    """Return a row as a build: the given one with the varied fields changed, comments and order kept."""
    for number in sorted(store.numbers()):
        rows = store.read(number, ["row"])["row"]
        at = np.flatnonzero(rows == row)
        if at.size:
            columns = store.read(number)
            break
    else:
        allowed = "the number of a row that is there"
        raise BuildFileError([_fault("--pick", str(row), allowed, "--pick 12")])
    paths = build.paths()
    changes = {path: _plain(values[at[0]]) for path, values in columns.items() if path in paths}
    text = save.with_changes(build, changes)
    return load.read(text, name=name, file=file or f"{name}.toml", beside=build.beside)


def _plain(value: Any) -> Value:
    return value if isinstance(value, str) else float(value)


def _fault(field: str, got: str, allowed: str, example: str) -> Fault:
    return Fault(file="command line", line=None, field=field, got=got, allowed=allowed, example=example)
