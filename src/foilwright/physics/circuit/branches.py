"""From the drawn network to branches with numbers: what the solver takes."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.core.errors import ModelError
from foilwright.core.model import Array
from foilwright.network import (
    Contact,
    Controller,
    Element,
    Fuse,
    Lead,
    Module,
    Network,
    Precharge,
    Receiver,
    Supply,
    Switch,
    TwoPole,
)
from foilwright.physics.circuit.nodal import Shorts, Solution, shorts, solve
from foilwright.physics.conductor import resistance_by_area
from foilwright.physics.contact import pair

Index = npt.NDArray[np.intp]
CARRIES = (Module, Lead, Contact, Fuse, Switch)
LOADS = (Controller, Supply, Receiver)
STAND_IN = 10e-3
"""Stands in for a resistance that is not known, so that voltages without load can still be told [ohm]."""
WARM = 313.15
"""Temperature of the copper where none is given [K]."""


def _ohms(element: Element, temperature: Array | float) -> Array:
    """Return the resistance of an element [ohm]."""
    if isinstance(element, Lead):
        along = resistance_by_area(
            area=np.asarray(element.area), temperature=np.asarray(temperature),
            stranding=np.asarray(element.stranding),
        )  # fmt: skip
        return np.asarray(along * np.asarray(element.length))
    if isinstance(element, Contact):
        known = np.asarray(element.resistance, dtype=np.float64)
        return np.where(np.isnan(known), pair(diameter=element.diameter, worn=element.worn).resistance, known)
    if isinstance(element, Fuse):
        return np.asarray(np.asarray(element.drop) / np.asarray(element.rating))
    if isinstance(element, Module | Switch | Precharge):
        return np.array(element.resistance, dtype=np.float64)
    raise ModelError(f"{element.name} has no resistance")


@dataclass(frozen=True, slots=True, kw_only=True)
class Branches:
    """The branches of a network by name, sorted; joints numbered in the order of their names.

    A conductor counts its current positive from its start to its end, a module out of its plus pole.
    Parts without a module, such as the phase leads, are left away. ``load_names`` are controller, supplies
    and receivers; a receiver behind a supply draws nothing here. ``open_voltage`` [V] and ``resistance``
    [ohm] are (..., b); ``known`` (...,) is False where a resistance is a stand-in.
    """

    names: tuple[str, ...]
    joints: tuple[str, ...]
    load_names: tuple[str, ...]
    plus: Index
    minus: Index
    load_plus: Index
    load_minus: Index
    open_voltage: Array
    resistance: Array
    known: npt.NDArray[np.bool_]

    @classmethod
    def of(
        cls,
        network: Network,
        *,
        left_out: Collection[str] = (),
        temperature: Array | float = WARM,
        full: bool = False,
        capacitors: bool = False,
    ) -> Branches:
        """Return the branches of a network in service, pre-charge resistors open.

        ``left_out`` are elements that are not joined, ``temperature`` [K] is that of the copper; with
        ``full`` modules stand at their full voltage; with ``capacitors`` those of the controller are
        branches, empty.
        """
        carries: list[TwoPole] = [one for kind in CARRIES for one in network.of(kind)]
        if capacitors:
            carries += [*network.of(Controller), *network.of(Precharge)]
        carries = _live([one for one in carries if one.name not in left_out])
        loads = [one for kind in LOADS for one in network.of(kind)]
        joints = network.joints
        place = {joint: k for k, joint in enumerate(joints)}
        at_start, at_end = (
            np.array([place[getattr(one, side)] for one in carries], dtype=np.intp) for side in ("start", "end")
        )
        ohms = _stack(_each(carries, temperature))
        source = np.array([isinstance(one, Module | Controller) for one in carries], dtype=bool)
        return cls(
            names=tuple(one.name for one in carries),
            joints=joints,
            load_names=tuple(one.name for one in loads),
            plus=np.where(source, at_start, at_end),
            minus=np.where(source, at_end, at_start),
            load_plus=np.array([place[one.start] for one in loads], dtype=np.intp),
            load_minus=np.array([place[one.end] for one in loads], dtype=np.intp),
            open_voltage=_stack([_volts(one, full) for one in carries]),
            resistance=np.where(np.isnan(ohms), STAND_IN, ohms),
            known=np.asarray(~np.isnan(ohms).any(axis=-1)),
        )

    def charged(self, network: Network) -> Branches:
        """Return the same with the modules at their full voltage."""
        volts = _stack([_volts(network.named(name), full=True) for name in self.names])
        return replace(self, open_voltage=volts)

    def solve(self, *, power: Array | float = 0.0, current: Array | float = 0.0) -> Solution:
        """Return the network under load; ``power`` [W] and ``current`` [A] are (..., k)."""
        return solve(
            plus=self.plus, minus=self.minus, open_voltage=self.open_voltage, resistance=self.resistance,
            load_plus=self.load_plus, load_minus=self.load_minus, power=power, current=current,
        )  # fmt: skip

    def draws(self, **values: Array | float) -> Array:
        """Return loads (..., k) from values by name, such as ``controller=2000.0``; 0 for the others."""
        each = [np.asarray(values.get(name, 0.0), dtype=np.float64) for name in self.load_names]
        return _stack(each)

    def shorts(self, joint: str) -> Shorts:
        """Return dead shorts from every joint to one."""
        return shorts(
            plus=self.plus, minus=self.minus, open_voltage=self.open_voltage, resistance=self.resistance,
            joint=self.joints.index(joint),
        )  # fmt: skip


def _each(carries: list[TwoPole], temperature: Array | float) -> list[Array]:
    """Return the resistance of each element [ohm]; elements of one pattern are worked out once."""
    done: dict[tuple[Any, ...], Array] = {}
    out = []
    for one in carries:
        marks: tuple[Any, ...] = (type(one), one.name)
        if isinstance(one, Lead):
            marks = (Lead, id(one.area), id(one.length), id(one.stranding))
        elif isinstance(one, Contact):
            marks = (Contact, id(one.diameter), id(one.worn), id(one.resistance))
        if marks not in done:
            known = isinstance(one, Controller)
            done[marks] = np.asarray(one.series_resistance) if known else _ohms(one, temperature)  # type: ignore[attr-defined]
        out.append(done[marks])
    return out


def _live(carries: list[TwoPole]) -> list[TwoPole]:
    """Return the elements that are tied to a module, by name."""
    fed = {joint for one in carries if isinstance(one, Module) for joint in (one.start, one.end)}
    fresh = set(fed)
    while fresh:
        ends = ((one.start, one.end) for one in carries if one.start in fresh or one.end in fresh)
        fresh = {joint for pair_of in ends for joint in pair_of} - fed
        fed |= fresh
    return sorted((one for one in carries if one.start in fed), key=lambda one: one.name)


def _volts(element: Element, full: bool) -> Array:
    if isinstance(element, Module):
        return np.asarray(element.full_voltage if full else element.open_voltage, dtype=np.float64)
    return np.asarray(0.0)


def _stack(values: list[Array]) -> Array:
    """Return values of the branches along a last axis."""
    return np.stack(np.broadcast_arrays(*values), axis=-1)
