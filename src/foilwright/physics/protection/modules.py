"""Rules on how the modules are joined."""

from __future__ import annotations

from collections import Counter

import numpy as np

from foilwright.core.model import Array
from foilwright.network import Controller, Module, Network, TwoPole
from foilwright.physics.circuit.branches import Branches
from foilwright.physics.circuit.nodal import Solution
from foilwright.physics.protection.survey import Fault, Survey, fault, rule

GAP = 0.05
"""Difference of voltage a cell at which strings may still be joined [V] (common practice: 0.1 and below)."""
EQUAL = 1.02
"""Ratio of capacities in series that still counts as equal [-]."""
RATE = 0.5 / 3600.0
"""Charging rate that a module bears where its limit is not known [1/s]."""
LAWS = "Kirchhoff's laws"


def _loop_current(branches: Branches, rest: Solution, names: tuple[str, ...]) -> Array:
    """Return the largest current of some modules without load [A]; NaN where a resistance is not known."""
    places = [branches.names.index(name) for name in names if name in branches.names]
    if not places:
        return np.asarray(np.nan)
    flows = np.abs(rest.rest_current[..., places]).max(axis=-1)
    return np.where(branches.known, flows, np.nan)


def _alone(network: Network, name: str) -> Array:
    """Return the current of one module in a network that is not put right [A]."""
    branches = Branches.of(network)
    return _loop_current(branches, branches.solve(), (name,))


@rule("Does a loop of nothing but conductors short a module, or the terminals of a load?", LAWS)
def dead_short(survey: Survey) -> list[Fault]:
    """Name the conductors that make a short."""
    out = []
    for short in survey.shorts:
        current = _alone(short.before, short.thing) if short.cells else np.asarray(np.nan)
        whose = f"the poles of {short.thing}" if short.cells else f"the terminals of {short.thing}"
        out.append(
            fault(
                kind="dead short",
                joints=(*short.culprits, short.thing),
                wrong=f"{', '.join(short.culprits)}: tie {whose} together",
                do="take it out before anything else is joined, and measure the open ends: they must not be one",
                meaning="burns",
                source=LAWS,
                demand=current,
                capacity=0.0,
                unit="A",
            )
        )
    return out


@rule("Does every module drive the current the same way?", LAWS)
def reversed_module(survey: Survey) -> list[Fault]:
    """Name modules that stand against the others, or a polarity that is wrong as a whole."""
    out = []
    before = survey.network.without(*(name for short in survey.shorts for name in short.culprits))
    for name in survey.turned:
        one = survey.network.named(name)
        poles = (one.start, one.end) if isinstance(one, TwoPole) else ()
        out.append(
            fault(
                kind="reversed module",
                joints=(name, *poles),
                wrong=f"{name} stands with its poles swapped",
                do="part it, turn it, and measure the string before joining it again",
                meaning="burns",
                source=LAWS,
                demand=_alone(before, name),
                capacity=0.0,
                unit="A",
            )
        )
    if survey.backwards:
        controllers = survey.network.of(Controller)
        ends = tuple(joint for one in controllers for joint in (one.start, one.end))
        out.append(
            fault(
                kind="reversed polarity",
                joints=(*survey.backwards, *(one.name for one in controllers), *ends),
                wrong="the controller gets plus at its minus terminal",
                do="swap the leads where the polarity turns, and measure at the controller's plug before joining it",
                meaning="burns",
                source=LAWS,
            )
        )
    return out


@rule("Does every module feed something?", LAWS)
def module_left_out(survey: Survey) -> list[Fault]:
    """Name modules that carry no current, and the pole that hangs free."""
    idle = [one for one in survey.each(Module) if one.name not in survey.live]
    joined = {one.start: one.name for one in survey.each(Module) if one.name in survey.live}  # poles of modules at work
    busy = Counter(survey.net[joint] for one in survey.each(Module) for joint in (one.start, one.end))
    busy.update(survey.net[joint] for one in survey.each(Controller) for joint in (one.start, one.end))
    out = []
    for group in survey.strings:
        lost = [one for one in group if one in idle]
        if lost:
            free = [
                joint for one in lost for joint in (one.start, one.end)
                if busy[survey.net[joint]] == 1 and joint not in joined
            ]  # fmt: skip
            out.append(
                fault(
                    kind="module left out",
                    joints=(*(one.name for one in lost), *free),
                    wrong=f"{', '.join(one.name for one in lost)}: no current can flow"
                    + (f"; {', '.join(free)} hangs free" if free else ""),
                    do="find the joint that is not closed; a pack with a part missing looks like a cold or weak one",
                    meaning="stops",
                    source=LAWS,
                )
            )
    return out


def _sum(values: list[Array | float]) -> Array:
    return np.asarray(sum(np.asarray(value, dtype=np.float64) for value in values))


def _ends(survey: Survey, group: tuple[Module, ...]) -> tuple[frozenset[str], frozenset[str]]:
    """Return the nets at the plus and at the minus end of a string."""
    starts, ends = ({survey.net[getattr(one, side)] for one in group} for side in ("start", "end"))
    return frozenset(starts - ends), frozenset(ends - starts)


def _apart(groups: list[tuple[Module, ...]]) -> tuple[Array, Array, Array]:
    """Return cells in series of the longest string, and the spread of cells and of voltage."""
    cells = np.stack(np.broadcast_arrays(*(_sum([one.series for one in group]) for group in groups)))
    volts = np.stack(np.broadcast_arrays(*(_sum([one.open_voltage for one in group]) for group in groups)))
    most: Array = cells.max(axis=0)
    return most, most - cells.min(axis=0), volts.max(axis=0) - volts.min(axis=0)


def _bears(module: Module) -> Array:
    given = np.asarray(module.charge_limit, dtype=np.float64)
    return np.where(np.isnan(given), np.asarray(module.capacity) * RATE, given)


@rule(
    "May the strings side by side be joined?",
    "0.05 V a cell and the charging current of the smaller string; common practice",
)
def unequal_strings(survey: Survey) -> list[Fault]:
    """Name strings of unlike cells in series or unlike voltage that stand side by side."""
    beside: dict[tuple[frozenset[str], frozenset[str]], list[tuple[Module, ...]]] = {}
    for group in survey.strings:
        if all(one.name in survey.live for one in group):
            beside.setdefault(_ends(survey, group), []).append(group)
    out: list[Fault] = []
    for groups in beside.values():
        if len(groups) < 2:
            continue
        modules = [one for group in groups for one in group]
        names = tuple(one.name for one in modules)
        cells, missing, gap = _apart(groups)
        flows = _loop_current(survey.branches(full=False), survey.rest(full=False), names)
        bears = np.min(np.broadcast_arrays(*(_bears(one) for one in modules)), axis=0)
        wrong = (missing > 0.0) | (gap > GAP * cells) | (flows > bears)
        out.append(
            fault(
                kind="unequal strings",
                joints=names,
                wrong=f"{', '.join(names)}: strings of unlike voltage side by side",
                do="do not join; bring them to within 0.05 V a cell first; strings of unlike cells in series never",
                meaning="burns",
                source="0.05 V a cell, charging current of the smaller string; common practice",
                demand=flows,
                capacity=bears,
                unit="A",
                applies=wrong,
                unknown=~wrong & np.isnan(gap + flows),
            ),
        )
    return out


@rule("Are all cells of the pack alike?", "common practice: equal kind everywhere, equal capacity in series")
def mixed_cells(survey: Survey) -> list[Fault]:
    """Name modules of another kind, and smaller ones in a string."""
    out = []
    kinds = Counter(one.cell for one in survey.main)
    usual = min(kinds, key=lambda kind: (-kinds[kind], kind)) if kinds else ""
    strange = [one for one in survey.main if one.cell != usual]
    if strange:
        names = [one.name for one in strange]
        out.append(
            fault(
                kind="mixed cells",
                joints=names,
                wrong=f"{', '.join(names)}: another kind of cell than {usual}",
                do="use one kind of cell, from one batch",
                meaning="burns",
                source="common practice",
            )
        )
    main = {one.name for one in survey.main}
    for group in survey.strings:
        if len(group) < 2 or not main & {one.name for one in group}:
            continue
        sizes = np.stack(np.broadcast_arrays(*(np.asarray(one.capacity, dtype=np.float64) for one in group)))
        largest = sizes.max(axis=0)
        small = sizes * EQUAL < largest
        names = [one.name for one, less in zip(group, small, strict=True) if np.any(less)]
        if names:
            out.append(
                fault(
                    kind="mixed cells",
                    joints=names,
                    wrong=f"{', '.join(names)}: less capacity than the rest of its string",
                    do="the smallest empties first and is driven below zero: put equal modules in series",
                    meaning="burns",
                    source="common practice",
                    demand=largest,
                    capacity=sizes.min(axis=0),
                    unit="A*s",
                    applies=small.any(axis=0),
                )
            )
    return out
