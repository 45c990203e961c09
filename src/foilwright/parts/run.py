"""One run: each kind made or kept, what is missing told, the index written last."""

from __future__ import annotations

import difflib
import functools
import hashlib
import importlib
import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from foilwright.assemble import assemble
from foilwright.build.build import Build
from foilwright.core import units
from foilwright.core.data import folder as data_folder
from foilwright.core.data import write_whole
from foilwright.core.engine import Cores
from foilwright.core.errors import BuildFileError, Fault, MissingExtraError, PlaceError
from foilwright.parts import KINDS, found, index
from foilwright.parts.job import Job, Made
from foilwright.parts.kept import Kept, key_of
from foilwright.questions.ask import ask
from foilwright.questions.state import State
from foilwright.version import __version__

MOST_WORKERS = 3
"""Processes that draw solids side by side; each takes some 0.6 GB."""
FOAM_FIELDS = ("board", "part", "mast.x", "mast.chord", "base", "rider", "workshop", "box", "name")
"""Tables and fields on which the foam depends; the other kinds look at the whole build."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What is asked for in one run."""

    job: Job
    kept: Kept
    prices: Path | None


def run(
    build: Build,
    folder: Path,
    *,
    only: Sequence[str] = (),
    tell: Callable[[str], None] | None = None,
    prices: Path | None = None,
) -> list[Made]:
    """Make the parts of a build; see ``foilwright.parts.make``."""
    _known(only)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise PlaceError(f"{folder} cannot be made: {error.strerror or error}") from error
    say = tell or (lambda _told: None)
    say("the build is asked")
    job = Job(build=build, state=State(assemble(build)[0]), answers=ask(build), folder=folder, tell=say)
    order = Order(job=job, kept=Kept.read(folder, build.hash), prices=prices)
    made: dict[str, list[Made]] = {}
    missing: dict[str, str] = {}
    for kind in KINDS:
        if only and kind not in only:
            made |= _before(order, kind)
            continue
        try:
            made |= MAKERS.get(kind, _whole)(order, kind, made)
        except MissingExtraError as error:
            say(f"{kind}: {error}")
            missing[kind] = str(error)
    order.kept.missing = {kind: why for kind, why in order.kept.missing.items() if only and kind not in only} | missing
    gone = [name for name in order.kept.entries if name not in made]
    order.kept.drop(gone, made)
    things = _things(order, made)
    told = found.findings(job, things)
    write_whole(folder / found.FILE, found.text(found.document(job, told)))
    index.write(job, things, missing, found.rows(job, told))
    say(f"index.html shows {len(things)} things")
    for line in found.lines(told):
        say(line)
    return [thing for thing, _ in things]


def _things(order: Order, made: dict[str, list[Made]]) -> list[tuple[Made, str]]:
    """Return what there is, each with the build that it was made for."""
    of_build = {name: str(order.kept.entries[name].get("build")) for name in made}
    return [(thing, of_build[name]) for name in made for thing in made[name]]


def _known(only: Sequence[str]) -> None:
    strange = [kind for kind in only if kind not in KINDS]
    if strange:
        raise BuildFileError(
            [
                Fault(
                    file="command line", line=None, field="--only", got=units.quoted(kind),
                    allowed="one of " + ", ".join(KINDS), example="foam",
                    nearest=next(iter(difflib.get_close_matches(kind[:40], KINDS, n=1)), None),
                )
                for kind in strange
            ]
        )  # fmt: skip


def _before(order: Order, kind: str) -> dict[str, list[Made]]:
    """Return what an earlier run made of a kind that is not asked for now."""
    found: dict[str, list[Made]] = {}
    for name in order.kept.entries:
        if name.partition(".")[0] == kind:
            things = order.kept.before(name)
            if things:
                found[name] = things
    return found


def _anew(
    order: Order, kind: str, *given: object, rests_on: Sequence[object], doing: str = "being made", unchanged: str = ""
) -> dict[str, list[Made]]:
    """Return a kind as an earlier run made it from the same things, else made anew; what is ``given`` goes to it."""
    key = key_of(__version__, rules(), kind, _fields(order.job.build, kind), *rests_on)
    there = order.kept.same(kind, key)
    if there is None:
        order.job.tell(f"{kind}: {doing}")
        module: Any = importlib.import_module(f"foilwright.parts.{kind}")
        there = module.make(order.job, *given)
        order.kept.put(kind, key, there)
    elif unchanged:
        order.job.tell(f"{kind}: {unchanged}")
    return {kind: there}


def _whole(order: Order, kind: str, _made: dict[str, list[Made]]) -> dict[str, list[Made]]:
    """Return a kind that is made all at once."""
    given = (order.prices,) if kind == "money" else ()
    return _anew(order, kind, *given, rests_on=[_own(order, kind)], unchanged="as it was")


def _solids(order: Order, _kind: str, _made: dict[str, list[Made]]) -> dict[str, list[Made]]:
    """Return the solids, each piece made only where its own inputs changed, on several cores."""
    module: Any = importlib.import_module("foilwright.parts.solids")
    pieces = list(module.plan(order.job))
    there = {piece.name: order.kept.same(f"solids.{piece.name}", piece.key) for piece in pieces}
    left = [piece for piece in pieces if there[piece.name] is None]
    if left:
        order.job.tell(f"solids: {len(left)} of {len(pieces)} to be made")
    workers = min(os.cpu_count() or 1, MOST_WORKERS)
    for number, (place, thing) in enumerate(Cores(workers=workers).as_ready(_made_of, left) if left else (), 1):
        order.job.tell(f"solids: {number} of {len(left)}, {thing.title}")
        there[left[place].name] = [thing]
        order.kept.put(f"solids.{left[place].name}", left[place].key, [thing])
    return {f"solids.{name}": things for name, things in there.items() if things is not None}


def _made_of(piece: Any) -> Made:
    """Return a piece made; a function of its own, so that another process can do it."""
    made: Made = piece.make()
    return made


def _prints(order: Order, kind: str, made: dict[str, list[Made]]) -> dict[str, list[Made]]:
    """Return the print plan of the solids."""
    solids = [thing for name, things in made.items() if name.startswith("solids.") for thing in things]
    names = [name for name in made if name.startswith("solids.")]
    told = [order.kept.entries.get(name, {}).get("key") for name in names]
    return _anew(order, kind, solids, rests_on=[told], doing="being planned")


def _report(order: Order, kind: str, made: dict[str, list[Made]]) -> dict[str, list[Made]]:
    """Return the report, which tells what the other kinds came to."""
    told = found.rows(order.job, found.findings(order.job, _things(order, made)))
    return _anew(order, kind, told, rests_on=[_own(order, kind), told])


MAKERS: dict[str, Callable[[Order, str, dict[str, list[Made]]], dict[str, list[Made]]]] = {
    "solids": _solids, "prints": _prints, "report": _report,
}  # fmt: skip


def _fields(build: Build, kind: str) -> list[tuple[str, object]]:
    """Return the fields of a build on which a kind depends."""
    told = sorted((path, value) for path, value in build.values.items())
    if kind == "foam":
        return [one for one in told if one[0].partition(".")[0] in FOAM_FIELDS or one[0] in FOAM_FIELDS]
    return [*told, ("name", build.name)]


def _own(order: Order, kind: str) -> str:
    """Return the hash of the maker's own prices, where a kind reads them."""
    if order.prices is None or kind not in ("money", "report"):
        return ""
    try:
        return hashlib.sha256(order.prices.read_bytes()).hexdigest()
    except OSError as error:
        raise PlaceError(f"{order.prices} cannot be read: {error.strerror or error}") from error


@functools.cache
def rules() -> str:
    """Return a hash of the code and tables that make the kinds without solids."""
    told = hashlib.sha256()
    here = Path(__file__).parent
    for path in sorted([*here.glob("*.py"), *(here.glob("[!s]*/*.py")), *data_folder().glob("workshop/*.csv"),
                        *data_folder().glob("parts/*.typ")]):  # fmt: skip
        told.update(path.read_bytes())
    return told.hexdigest()[:16]
