"""What a network is joined to: nets of conductors, which way modules drive, what carries current."""

from __future__ import annotations

import functools
from collections import deque
from collections.abc import Collection, Iterable
from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array
from foilwright.network import (
    Conductor,
    Controller,
    Lead,
    Module,
    Network,
    Precharge,
    Receiver,
    Supply,
    TwoPole,
)
from foilwright.physics.circuit.nodal import solve

FAINT = 1e-9
"""Share of a current below which an element counts as carrying none [-]."""
GOLDEN = 0.6180339887498949
STAND_INS = {"wire": 1e-3, "cells": 1.0, "ohms": 1.0, "load": 10.0}
"""Resistances of the made-up circuit that asks only which way current can go [ohm]."""
LOADS = (Controller, Supply, Receiver)


@dataclass(frozen=True, slots=True, kw_only=True)
class Flow:
    """Which elements carry current in the made-up circuit, and the shares of a load, by name."""

    carries: frozenset[str]
    share: dict[str, float]


def nets(network: Network, *, without: Collection[str] = ()) -> dict[str, str]:
    """Return for each joint the first joint, by name, of the net of conductors that it belongs to."""
    label = {joint: joint for joint in network.joints}

    def root(joint: str) -> str:
        while label[joint] != joint:
            joint = label[joint]
        return joint

    ties = [(one.start, one.end) for one in network.of(Conductor) if one.name not in without]
    ties += [(one.end, one.out_end) for one in network.of(Supply) if not one.isolated]
    for a, b in ties:
        first, second = sorted((root(a), root(b)))
        label[second] = first
    return {joint: root(joint) for joint in network.joints}


def two_poles(network: Network) -> tuple[TwoPole, ...]:
    """Return everything that can carry current from the modules, by name."""
    kinds = (Module, Conductor, Precharge)
    found = [one for kind in kinds for one in network.of(kind)]
    return tuple(sorted(found, key=lambda one: one.name))


def loads(network: Network) -> tuple[TwoPole, ...]:
    """Return controller, supplies and receivers, by name."""
    return tuple(sorted((one for kind in LOADS for one in network.of(kind)), key=lambda one: one.name))


Way = tuple[str, str, str, str]
"""Name of an element, what it is (cells, wire, resistor or load), joints at its start and end."""


def flow(
    network: Network,
    *,
    without: Collection[str] = (),
    through: Iterable[TwoPole] | None = None,
    share_of: TwoPole | None = None,
) -> Flow:
    """Return what carries current when unlike sources stand in for the modules.

    ``through`` are the loads that stay on (all if None); ``share_of`` is the load whose shares are asked.
    """
    on = tuple(loads(network) if through is None else through)
    ways = tuple(
        (
            one.name,
            "cells" if isinstance(one, Module) else "wire" if isinstance(one, Conductor) else "ohms",
            one.start,
            one.end,
        )
        for one in two_poles(network)
        if one.name not in without
    )
    port = share_of or (on[0] if on else None)
    if not ways or port is None:
        return Flow(carries=frozenset(), share={})
    drains = tuple((one.name, "load", one.start, one.end) for one in on if one is not share_of)
    return _flow(ways + drains, port.start, port.end)


@functools.lru_cache(maxsize=4096)
def _flow(ways: tuple[Way, ...], port_plus: str, port_minus: str) -> Flow:
    """Return what carries current; depends on the structure only, so it is kept."""
    joints = sorted({joint for _, _, *ends in ways for joint in ends} | {port_plus, port_minus})
    place = {joint: k for k, joint in enumerate(joints)}
    odd = 1.0 + 0.3 * (np.arange(1, len(ways) + 1) * GOLDEN % 1.0)
    cells = np.array([kind == "cells" for _, kind, *_ in ways])
    start, end = (np.array([place[way[side]] for way in ways], dtype=np.intp) for side in (2, 3))
    wire = np.array([kind == "wire" for _, kind, *_ in ways])
    found = solve.function(
        plus=np.where(wire, end, start),
        minus=np.where(wire, start, end),
        open_voltage=np.where(cells, odd, 0.0),
        resistance=odd * np.array([STAND_INS[kind] for _, kind, *_ in ways]),
        load_plus=np.array([place[port_plus]]),
        load_minus=np.array([place[port_minus]]),
    )
    names = [name for name, *_ in ways]
    big = np.abs(found.rest_current) > FAINT
    share = np.where(np.abs(found.share[0]) > FAINT, found.share[0], 0.0)
    return Flow(
        carries=frozenset(name for name, one in zip(names, big.tolist(), strict=True) if one),
        share=dict(zip(names, share.tolist(), strict=True)),
    )


def bundles(network: Network) -> dict[tuple[str, ...], tuple[str, ...]]:
    """Return conductors side by side: names by the two joints that they tie."""
    out: dict[tuple[str, ...], list[str]] = {}
    for one in network.of(Conductor):
        out.setdefault(tuple(sorted((one.start, one.end))), []).append(one.name)
    return {ends: tuple(sorted(names)) for ends, names in sorted(out.items())}


def strings(network: Network) -> tuple[tuple[Module, ...], ...]:
    """Return modules in series: joined by a net where two of their poles meet and no controller hangs."""
    net = nets(network)
    poles: dict[str, list[str]] = {}
    for module in network.of(Module):
        for joint in (module.start, module.end):
            poles.setdefault(net[joint], []).append(module.name)
    busy = {net[joint] for one in network.of(Controller) for joint in (one.start, one.end)}
    label = {module.name: module.name for module in network.of(Module)}
    for where, names in poles.items():
        if len(names) == 2 and where not in busy:
            old, new = sorted((label[names[0]], label[names[1]]), reverse=True)
            label = {name: new if mark == old else mark for name, mark in label.items()}
    groups: dict[str, list[Module]] = {}
    for module in network.of(Module):
        groups.setdefault(label[module.name], []).append(module)
    return tuple(tuple(group) for _, group in sorted(groups.items()))


def along_leads(network: Network, sources: Collection[str], *, bare: bool) -> dict[str, Array]:
    """Return the length of lead from each joint to the nearest of some [m]; ``bare`` leaves out sheathed leads."""
    shape = np.broadcast_shapes(*(np.shape(one.length) for one in network.of(Lead)))
    far = {joint: np.full(shape, np.inf) for joint in network.joints}
    far |= {joint: np.zeros(shape) for joint in sources}
    ways: dict[str, list[tuple[str, Array | float]]] = {joint: [] for joint in far}
    for one in network.of(Conductor):
        length: Array | float = 0.0
        if isinstance(one, Lead):
            length = np.where(one.sheathed, 0.0, one.length) if bare else np.asarray(one.length)
        ways[one.start].append((one.end, length))
        ways[one.end].append((one.start, length))
    waiting = deque(sorted(sources))
    while waiting:
        here = waiting.popleft()
        for there, length in ways[here]:
            nearer = far[here] + length
            if (nearer < far[there]).any():
                far[there] = np.minimum(far[there], nearer)
                waiting.append(there)
    return far
