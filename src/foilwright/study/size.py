"""Sizing the rest of a craft to what is owned, or telling which owned thing stands in the way."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from foilwright.build import load, owned, save
from foilwright.build.build import Build, Value
from foilwright.build.owned import Inventory
from foilwright.questions import report
from foilwright.questions.ask import Answers, ask
from foilwright.questions.finding import MISSING
from foilwright.study import ways
from foilwright.study.ways.fields import admissible
from foilwright.study.ways.words import shown

ROUNDS = 3
"""How often the search begins anew from the craft that it came to."""
HELD = ("rider.", "water.")
"""Tables that are given: the rider and the place."""
RIDER, WARMTH, OTHER = 20.0, 15.0, 1.0
"""What counts as one step away from a scenario: kilograms of rider, kelvin of water, another kind of water."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sized:
    """A build around what is owned: its text, what was changed in the scenario, and what still stands against it."""

    scenario: str
    build: Build
    changed: Mapping[str, Value]
    answers: Answers
    against: tuple[str, ...]
    """Findings that still fail, or that can hurt or burn and are not known, in words; empty where it is sound."""


def nearest(inventory: Inventory) -> str:
    """Return the scenario nearest in rider and water, of those that do not fail."""
    good = [name for name in load.scenarios() if not report.something_fails(ask(load.scenario(name)))]
    return min(good, key=lambda name: (_distance(load.scenario(name), inventory), name))


def _distance(scenario: Build, inventory: Inventory) -> float:
    mass, warm, kind = (inventory.value(path) for path in ("rider.mass", "water.temperature", "water.kind"))
    away = 0.0 if kind in (None, scenario.values["water.kind"]) else OTHER
    away += 0.0 if mass is None else abs(float(mass) - float(scenario.values["rider.mass"])) / RIDER
    return away + (0.0 if warm is None else abs(float(warm) - float(scenario.values["water.temperature"])) / WARMTH)


def size(
    inventory: Inventory,
    scenario: str,
    *,
    settings: Mapping[str, str] | None = None,
    without: Collection[str] = (),
) -> Sized:
    """Return the scenario with what is owned, and everything else sized until nothing fails.

    Parameters
    ----------
    inventory : Inventory
        What is owned: it stays as it is.
    scenario : str
        Name of the scenario to start from.
    settings : mapping
        Fields that are wished so, as text by path: they stay too.
    without : collection of str
        Tables of the inventory that are left out of it.
    """
    start = owned.joined(load.scenario(scenario), inventory, without=without)
    wished = start.with_texts(settings or {})
    given = {path: value for path, value in wished.values.items() if start.values.get(path) != value}
    if given:
        start = load.read(save.with_changes(start, given), name=start.name, file=start.file)
    held = (
        set(settings or ())
        | set(inventory.paths(without=without))
        | {path for path in start.paths() if path.startswith(HELD)}
    )
    build, changed = start, dict[str, Value]()
    answers = ask(build)
    for _ in range(ROUNDS):
        design = ways.join(answers, held=held)
        if not design:
            break
        changed |= design
        build = load.read(save.with_changes(build, design), name=build.name, file=build.file)
        answers = ask(build)
    kept = {path: value for path, value in changed.items() if build.values.get(path) != start.values.get(path)}
    return Sized(scenario=scenario, build=build, changed=kept, answers=answers, against=_against(answers))


def _against(answers: Answers) -> tuple[str, ...]:
    """Return what still stands against a build, in words."""
    out = []
    for finding, verdict in report.ranked(answers):
        grave = verdict == "unknown" and finding.meaning in ("hurts", "burns")
        if verdict == "fails" or grave:
            out.append(f"{verdict}: {finding.name}: {report.said(finding, 0)}")
    return tuple(out)


def text(sized: Sized, inventory: Inventory) -> str:
    """Return the text of a sized build, with a remark at what is owned and at what was sized."""
    start = load.scenario(sized.scenario)
    remarks = {
        path: f"{'given' if path.partition('.')[0] in owned.PLACES else 'owned'}, from {inventory.file}"
        for path in inventory.paths()
    }
    fields = {field.path: field for field in admissible(start, as_built=True)}
    for path in sized.changed:
        before = fields[path].base if path in fields else None
        was = "left it out" if before is None else f"has {shown(fields[path], before)}"
        remarks[path] = f"sized to what is owned; the scenario {sized.scenario} {was}"
    return owned.commented(sized.build, remarks)


def summary(sized: Sized) -> str:
    """Return in one line what was done."""
    count = len(sized.changed)
    fields = f"{count} field{'s' if count != 1 else ''}"
    sizing = f"{fields} sized" if count else "nothing else had to change"
    return f"From the scenario {sized.scenario} with what is owned; {sizing}; nothing fails."


def against(sized: Sized, inventory: Inventory) -> str:
    """Return what stands against a sound craft, and which owned thing is in the way."""
    lines = ["Not written: with what is owned no sound craft was found. What is left:"]
    lines += [f"  {each}" for each in sized.against]
    if open_ := _missing(sized.answers):
        lines.append(f"State in {inventory.file}: {', '.join(open_)}.")
    if things := _in_the_way(inventory, sized.scenario):
        lines.append("In the way: " + "; ".join(f"[{thing}]: without it a sound craft is found" for thing in things))
    elif not open_:
        lines.append("No single thing is in the way: without any one of them it still fails.")
    return "\n".join(lines) + "\n"


def _in_the_way(inventory: Inventory, scenario: str) -> list[str]:
    """Return the owned things without each of which a sound craft is found."""
    things = [table for table in inventory.tables if table not in owned.PLACES]
    return [table for table in things if not size(inventory, scenario, without=(table,)).against]


def _missing(answers: Answers) -> tuple[str, ...]:
    """Return the fields that must be stated before it is known whether something can hurt or burn."""
    grave = [finding for finding in answers.all() if finding.applies[0] and finding.meaning in ("hurts", "burns")]
    unstated = [finding.missing for finding in grave if finding.reason[0] == MISSING and finding.missing]
    return tuple(dict.fromkeys(unstated))
