"""One look at a network: what is shorted, turned or left out, and its numbers once that is put right."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.network import Controller, Fuse, Kind, Lead, Module, Network, Precharge, Supply, TwoPole
from foilwright.physics.circuit.branches import Branches
from foilwright.physics.circuit.nodal import Shorts, Solution
from foilwright.physics.protection.graph import Flow, along_leads, bundles, flow, loads, nets, strings
from foilwright.physics.protection.sizing import ampacity

MOST_SHORTS = 12
AROUND = 313.15
"""Surroundings of the leads where none are given [K]."""
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing that is joined wrongly.

    ``joints`` are the elements and joints concerned; ``applies`` says for which designs (n,) it holds,
    ``unknown`` for which a number is missing; ``demand`` and ``capacity`` are in ``unit``, NaN where it
    is not a matter of numbers.
    """

    kind: str
    joints: tuple[str, ...]
    wrong: str
    do: str
    meaning: str
    source: str
    demand: Array
    capacity: Array
    unit: str
    applies: Flags
    unknown: Flags


def fault(
    *,
    kind: str,
    joints: Collection[str],
    wrong: str,
    do: str,
    meaning: str,
    source: str,
    demand: Any = np.nan,
    capacity: Any = np.nan,
    unit: str = "",
    applies: Any = True,
    unknown: Any = False,
) -> Fault:
    """Return a fault; values are made arrays."""
    return Fault(
        kind=kind, joints=tuple(sorted(set(joints))), wrong=wrong, do=do, meaning=meaning, source=source,
        demand=np.asarray(demand, dtype=np.float64), capacity=np.asarray(capacity, dtype=np.float64),
        unit=unit, applies=np.asarray(applies, dtype=bool), unknown=np.asarray(unknown, dtype=bool),
    )  # fmt: skip


def _held(found: Iterable[Fault]) -> tuple[Fault, ...]:
    """Return the faults that hold, or are open, for any design."""
    return tuple(one for one in found if np.any(one.applies | one.unknown))


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A check of the drawn network: what it asks, where its measure comes from, how it looks."""

    name: str
    asks: str
    source: str
    look: Callable[[Survey], list[Fault]]

    def __call__(self, network: Network) -> tuple[Fault, ...]:
        """Return the faults of this kind alone."""
        return _held(self.look(Survey.of(network)))


def rule(asks: str, source: str) -> Callable[[Callable[[Survey], list[Fault]]], Rule]:
    """Make a rule of a function that looks at a survey."""

    def made(look: Callable[[Survey], list[Fault]]) -> Rule:
        name = look.__name__.strip("_").replace("_", " ")
        return Rule(name=name, asks=asks, source=source, look=look)

    return made


@dataclass(frozen=True, slots=True, kw_only=True)
class Short:
    """Poles of ``thing`` tied by ``culprits``; ``cells`` says whether a module drives the short."""

    thing: str
    culprits: tuple[str, ...]
    cells: bool
    before: Network


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """A network, and the same with shorts opened and what is turned put round."""

    network: Network
    repaired: Network
    shorts: tuple[Short, ...]
    turned: tuple[str, ...]
    backwards: tuple[str, ...]  # all modules, or the controller, where the whole polarity is wrong
    ambient: Array
    kept: dict[Any, Any] = field(default_factory=dict)

    @classmethod
    def of(cls, network: Network, *, ambient: Array | float = AROUND) -> Survey:
        """Return the survey of a network; the order of its elements is forgotten first."""
        whole = Network(elements=tuple(sorted(network.elements, key=lambda one: one.name)))
        repaired, shorts = _opened(whole)
        turned, backwards = _turned(repaired)
        for name in turned + backwards:
            one = repaired.named(name)
            if isinstance(one, TwoPole):
                repaired = repaired.changing(name, start=one.end, end=one.start)
        return cls(
            network=whole, repaired=repaired, shorts=shorts, turned=turned, backwards=backwards,
            ambient=np.asarray(ambient, dtype=np.float64),
        )  # fmt: skip

    def _once(self, key: Any, make: Callable[[], Any]) -> Any:
        if key not in self.kept:
            self.kept[key] = make()
        return self.kept[key]

    def each(self, kind: type[Kind]) -> tuple[Kind, ...]:
        """Return the elements of a kind, by name, once put right."""
        found: tuple[Kind, ...] = self._once(kind, lambda: self.repaired.of(kind))
        return found

    @property
    def idle(self) -> tuple[str, ...]:
        """Pre-charge resistors, which are open in service."""
        return tuple(one.name for one in self.each(Precharge))

    @property
    def net(self) -> dict[str, str]:
        """Net of each joint."""
        found: dict[str, str] = self._once("net", lambda: nets(self.repaired))
        return found

    @property
    def strings(self) -> tuple[tuple[Module, ...], ...]:
        """Modules in series."""
        found: tuple[tuple[Module, ...], ...] = self._once("strings", lambda: strings(self.repaired))
        return found

    @property
    def bare(self) -> tuple[tuple[Module, ...], ...]:
        """Strings that carry current with every fuse open."""

        def look() -> tuple[tuple[Module, ...], ...]:
            still = self.flow(*self.idle, *(one.name for one in self.each(Fuse))).carries
            return tuple(group for group in self.strings if any(one.name in still for one in group))

        found: tuple[tuple[Module, ...], ...] = self._once("bare", look)
        return found

    def shorted(self, joint: str) -> Shorts:
        """Return dead shorts of the full pack from every joint to one."""
        found: Shorts = self._once(("short", joint), lambda: self.branches(full=True).shorts(joint))
        return found

    def flow(self, *without: str, through: tuple[TwoPole, ...] | None = None) -> Flow:
        """Return what carries current with some elements out, and all loads on if none are named."""
        key = ("flow", frozenset(without), None if through is None else tuple(one.name for one in through))
        found: Flow = self._once(key, lambda: flow(self.repaired, without=without, through=through))
        return found

    def share(self, load: TwoPole) -> dict[str, float]:
        """Return the part of each element in a load's current, pre-charge resistors open."""
        found: Flow = self._once(
            ("share", load.name),
            lambda: flow(self.repaired, without=self.idle, through=(), share_of=load),
        )
        return found.share

    @property
    def live(self) -> frozenset[str]:
        """Names of the modules that can feed something."""

        def look() -> frozenset[str]:
            carried = self.flow(*self.idle).carries
            return frozenset(one.name for one in self.each(Module) if one.name in carried)

        found: frozenset[str] = self._once("live", look)
        return found

    @property
    def complete(self) -> bool:
        """Whether every module is at work."""
        return len(self.live) == len(self.each(Module))

    @property
    def main(self) -> tuple[Module, ...]:
        """The modules that feed a controller."""
        feeds = {name for one in self.each(Controller) for name, part in self.share(one).items() if part != 0.0}
        return tuple(one for one in self.each(Module) if one.name in feeds)

    def branches(self, *, full: bool) -> Branches:
        """Return the branches with their numbers, charged full or as they are."""

        def look() -> Branches:
            if not full:
                return Branches.of(self.repaired)
            return self.branches(full=False).charged(self.repaired)

        found: Branches = self._once(("branches", full), look)
        return found

    def rest(self, *, full: bool) -> Solution:
        """Return the network without load."""
        found: Solution = self._once(("rest", full), lambda: self.branches(full=full).solve())
        return found

    def full_voltage(self, load: TwoPole) -> Array:
        """Return the voltage at a load when the pack is full; NaN where it is not fed."""

        def look() -> Array:
            if not any(self.share(load).values()):
                return np.asarray(np.nan)
            place = self.branches(full=True).load_names.index(load.name)
            return np.asarray(np.abs(self.rest(full=True).open_voltage[..., place]))

        found: Array = self._once(("full", load.name), look)
        return found

    def served(self, name: str) -> tuple[TwoPole, ...]:
        """Return the loads whose current an element carries."""
        everything: tuple[TwoPole, ...] = self._once("loads", lambda: loads(self.repaired))
        return tuple(one for one in everything if self.share(one).get(name, 0.0) != 0.0)

    def bears(self, lead: Lead) -> Array:
        """Return the current that a lead bears [A]; leads of one pattern are worked out once."""
        marks = ("bears", *(id(value) for value in (lead.area, lead.insulation, lead.bundled)))
        found: Array = self._once(
            marks,
            lambda: (
                ampacity(area=lead.area, insulation=lead.insulation, ambient=self.ambient, bundled=lead.bundled).current
            ),
        )
        return found

    def distance(self, sources: frozenset[str], *, bare: bool) -> dict[str, Array]:
        """Return the length of lead from each joint to the nearest of some [m]."""
        found: dict[str, Array] = self._once(
            ("distance", sources, bare), lambda: along_leads(self.repaired, sources, bare=bare)
        )
        return found

    def voltage_at(self, name: str) -> Array:
        """Return the full voltage of the circuit that an element is part of."""
        found = [self.full_voltage(one) for one in self.served(name)]
        return np.asarray(np.max(np.broadcast_arrays(*found), axis=0)) if found else np.asarray(np.nan)


def _tied(network: Network) -> list[tuple[str, bool]]:
    """Return modules, then loads, whose two poles stand in one net."""
    net = nets(network)
    things = [(one, True) for one in network.of(Module)]
    both: list[tuple[TwoPole, bool]] = [*things, *((one, False) for one in loads(network))]
    return [(one.name, cells) for one, cells in both if net[one.start] == net[one.end]]


def _opened(network: Network) -> tuple[Network, tuple[Short, ...]]:
    """Return the network with every short opened at one place, and the shorts."""
    found: list[Short] = []
    for _ in range(MOST_SHORTS):
        tied = _tied(network)
        if not tied:
            break
        thing, cells = tied[0]
        ways = _culprits(network, thing)
        if not ways:
            network = network.without(thing)
            found.append(Short(thing=thing, culprits=(thing,), cells=cells, before=network))
            continue
        names = tuple(sorted({name for way in ways for name in way}))
        found.append(Short(thing=thing, culprits=names, cells=cells, before=network))
        network = network.without(*ways[0])
    return network, tuple(found)


def _culprits(network: Network, thing: str) -> list[tuple[str, ...]]:
    """Return the conductors that open a short alone and leave most modules at work.

    Where no single one does, the conductors at the poles themselves.
    """
    one = network.named(thing)
    if not isinstance(one, TwoPole):
        return []
    net = nets(network)
    home = net[one.start]
    there = {ends: names for ends, names in bundles(network).items() if net[ends[0]] == home}
    scored = []
    for names in there.values():
        cut = nets(network, without=names)
        if cut[one.start] != cut[one.end]:
            scored.append((_merit(network.without(*names)), names))
    if not scored:
        return sorted(names for ends, names in there.items() if {one.start, one.end} & set(ends))
    best = max(merit for merit, _ in scored)
    return sorted(names for merit, names in scored if merit == best)


def _merit(network: Network) -> tuple[int, int]:
    """Return how few poles are still tied, and how many modules are at work."""
    modules = {one.name for one in network.of(Module)}
    return -len(_tied(network)), len(flow(network).carries & modules)


def _turned(network: Network) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return modules that drive against the others, and what makes the whole polarity wrong."""
    idle = tuple(one.name for one in network.of(Precharge))
    modules = {one.name for one in network.of(Module)}
    against: set[str] = set()
    backwards: set[str] = set()
    for controller in network.of(Controller):
        share = flow(network, without=idle, through=(), share_of=controller).share
        driving = {name: part for name, part in share.items() if name in modules and part != 0.0}
        wrong = {name for name, part in driving.items() if part < 0.0}
        if wrong and wrong == set(driving):
            supplies = [flow(network, without=idle, through=(), share_of=one).share for one in network.of(Supply)]
            right = any(one.get(name, 0.0) > 0.0 for one in supplies for name in wrong)
            backwards |= {controller.name} if right else wrong
        else:
            against |= wrong
    return tuple(sorted(against)), tuple(sorted(backwards))
