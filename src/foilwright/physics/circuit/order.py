"""Plugging in: the spark at each joint, and an order that makes none."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model
from foilwright.network import Conductor, Contact, Controller, Network, Precharge, Switch
from foilwright.physics.circuit.branches import Branches
from foilwright.physics.circuit.nodal import Flag, Mesh, Number, _loads

OPEN = np.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Joining:
    """Branches joined one after another, steps s.

    ``gap_voltage`` (..., s) across the joint just before, 0 where one side hangs free [V];
    ``current`` (..., s) at the moment it is joined [A]; ``tied`` (s,) whether the two sides were
    already joined by another way.
    """

    gap_voltage: Array
    current: Array
    tied: Flag


def _across(mesh: Mesh, plus: int, minus: int) -> tuple[Array, Array]:
    """Return open voltage and resistance between two joints of one part."""
    ports = _loads(mesh.island.size, np.array([plus]), np.array([minus]))
    drawn = np.concatenate([np.zeros_like(ports), ports], axis=1)
    sources = np.zeros((*mesh.source.shape, 2))
    sources[..., 0] = mesh.source
    both = (ports.T @ mesh.voltages(sources, drawn)[0])[..., 0, :]
    return both[..., 0], -both[..., 1]


@model(source="Thevenin's theorem at each joint, capacitors as sources at the voltage that they hold")
def plug_in(
    *,
    plus: Number,
    minus: Number,
    open_voltage: Number,
    resistance: Number,
    order: Number,
    capacitors: Number | tuple[int, ...] = (),
) -> Joining:
    """Return the voltage across each joint before it is closed, and the current when it is.

    Parameters
    ----------
    plus, minus : (b,) int arrays
        Joints of each branch, numbered from 0; its open voltage drives current out of ``plus`` [-].
    open_voltage : (b,) or (..., b) array
        Open voltage of each branch, 0 for a conductor and an empty capacitor [V].
    resistance : (b,) or (..., b) array
        Resistance of each branch, above zero [ohm].
    order : (s,) int array
        Branches that are open at first, in the order in which they are closed [-].
    capacitors : (c,) int array
        Branches that are capacitors, and fill after each step [-].

    Returns
    -------
    Joining
        Voltage [V] and current [A] of each step.
    """
    p, m = (np.asarray(joint).astype(np.intp) for joint in (plus, minus))
    steps, holds = (np.asarray(given, dtype=np.float64).astype(np.intp) for given in (order, capacitors))
    volts, ohms = (np.array(one, dtype=np.float64) for one in np.broadcast_arrays(open_voltage, resistance))
    gaps, currents, joined = [], [], []
    for k, step in enumerate(steps.tolist()):
        there = ohms.copy()
        there[..., steps[k:]] = OPEN
        mesh = Mesh.of(p, m, volts, there, m[[step]])
        tied = bool(mesh.island[p[step]] == mesh.island[m[step]])
        none = np.zeros(ohms.shape[:-1])
        gap, behind = _across(mesh, int(p[step]), int(m[step])) if tied else (none, none)
        push = volts[..., step] - gap
        gaps.append(np.abs(push) if tied else none)
        currents.append(np.abs(push) / (behind + ohms[..., step]) if tied else none)
        joined.append(tied)
        there[..., step] = ohms[..., step]
        there[..., holds] = OPEN
        rest = Mesh.of(p, m, volts, there, m[[step]])
        for hold in holds.tolist():
            if rest.island[p[hold]] == rest.island[m[hold]]:
                volts[..., hold] = _across(rest, int(p[hold]), int(m[hold]))[0]
    return Joining(gap_voltage=np.stack(gaps, axis=-1), current=np.stack(currents, axis=-1), tied=np.array(joined))


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """An order of plugging in: names of the joints closed, and what each step does (..., s) [V, A]."""

    names: tuple[str, ...]
    joining: Joining

    @classmethod
    def of(cls, network: Network, *, names: tuple[str, ...] = ()) -> Plan:
        """Return what an order does; without one, the order that this program proposes."""
        order = names or _proposed(network)
        branches = Branches.of(network, capacitors=True)
        place = {name: k for k, name in enumerate(branches.names)}
        joining = plug_in(
            plus=branches.plus, minus=branches.minus, open_voltage=branches.open_voltage,
            resistance=branches.resistance, order=np.array([place[name] for name in order]),
            capacitors=np.array([place[one.name] for one in network.of(Controller)]),
        )  # fmt: skip
        return cls(names=order, joining=joining)


def _proposed(network: Network) -> tuple[str, ...]:
    """Return series joints first, then those on the minus side, then the plus side; the switch last."""
    phases = {joint for one in network.of(Controller) for joint in one.phases}
    ends = {rank: {getattr(one, side) for one in network.of(Controller)} for rank, side in ((1, "end"), (2, "start"))}
    ranked = []
    for contact in network.of(Contact):
        net = _reach(network, contact.start)
        if not net & phases:
            rank = next((rank for rank, joints in ends.items() if net & joints), 0)
            ranked.append((rank, contact.name))
    last = [*network.of(Precharge), *network.of(Switch)]
    return (*(name for _, name in sorted(ranked)), *(one.name for one in last))


def _reach(network: Network, joint: str) -> set[str]:
    """Return the joints that conductors tie to one."""
    ways = [{one.start, one.end} for one in network.of(Conductor)]
    found, fresh = {joint}, {joint}
    while fresh:
        fresh = set().union(*(way for way in ways if way & fresh)) - found
        found |= fresh
    return found
