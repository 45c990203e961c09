"""The electrical network as drawn: joints, and the elements between them.

The structure (names, kinds, joints) is one for a whole block of designs; numbers are arrays (n,) or
numbers that hold for every design. NaN stands for what is not known. A conductor runs from ``start``
to ``end``; a source or a load has its plus terminal at ``start`` and its minus terminal at ``end``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64] | float
Flags = npt.NDArray[np.bool_] | bool
Three = tuple[str, str, str]
UNKNOWN = float("nan")


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """Anything with a name."""

    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoPole(Element):
    """An element between two joints."""

    start: str
    end: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Module(TwoPole):
    """Cells joined for good: ``series`` groups of ``parallel`` cells; ``start`` is the plus pole."""

    cell: str  # kind of cell
    series: Array
    parallel: Array
    capacity: Array  # A*s, of the module
    charge: Array = UNKNOWN  # now
    open_voltage: Array = UNKNOWN  # V, now
    full_voltage: Array = UNKNOWN  # V, charged
    resistance: Array = UNKNOWN  # ohm, of cells and links
    charge_limit: Array = UNKNOWN  # A, largest charging current
    current_limit: Array = UNKNOWN  # A


@dataclass(frozen=True, slots=True, kw_only=True)
class Conductor(TwoPole):
    """An element that is meant to have no resistance."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead(Conductor):
    """A stranded copper wire."""

    area: Array  # m^2
    length: Array  # m
    insulation: Array = 378.15  # K, class of the insulation
    stranding: Array = 1.04  # resistance over that of solid copper
    bundled: Array = 1.0  # current-carrying wires that lie together
    sheathed: Flags = False  # in a sheath or conduit all the way


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact(Conductor):
    """A pair of round bullet contacts."""

    diameter: Array  # m
    worn: Flags = False
    insulated: Flags = True
    resistance: Array = UNKNOWN  # ohm, measured; NaN: by diameter and wear


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuse(Conductor):
    """A fuse."""

    rating: Array  # A
    voltage_limit: Array = UNKNOWN  # V, direct current
    interrupting: Array = UNKNOWN  # A
    drop: Array = 0.08  # V at its rating


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch(Conductor):
    """The main switch or loop key."""

    resistance: Array = 0.2e-3  # ohm
    breaks: Flags = False  # may be opened under load


@dataclass(frozen=True, slots=True, kw_only=True)
class Precharge(TwoPole):
    """A resistor that fills the controller's capacitors before the switch is closed."""

    resistance: Array  # ohm


@dataclass(frozen=True, slots=True, kw_only=True)
class Bond(TwoPole):
    """A joint tied to the water or to metal that touches it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Controller(TwoPole):
    """The motor controller: supply terminals and three phase terminals."""

    phases: Three
    voltage_limit: Array = UNKNOWN  # V
    current_limit: Array = UNKNOWN  # A, from the pack
    capacitance: Array = 1e-3  # F
    series_resistance: Array = 10e-3  # ohm, of its capacitors
    braking: Flags = False  # the motor feeds the pack when it is slowed
    reversed: Flags = False  # set to turn the other way


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor(Element):
    """The motor: its phase leads in the order of the controller's for the sense that is stated."""

    phases: Three
    sense: Array = UNKNOWN  # 1: propeller turns clockwise seen from behind, -1: the other way
    wanted: Array = 1.0  # 1 for a right-hand propeller, -1 for a left-hand one


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply(TwoPole):
    """A step-down supply for the receiver."""

    out_start: str
    out_end: str
    output_voltage: Array = 5.0  # V
    voltage_limit: Array = UNKNOWN  # V, largest at its input
    efficiency: Array = 0.85
    linear: Flags = False
    isolated: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Receiver(TwoPole):
    """The receiver of the radio throttle, whose signal returns by the controller's minus."""

    voltage_low: Array = 4.5  # V
    voltage_limit: Array = 6.0  # V
    current: Array = 0.1  # A


Kind = TypeVar("Kind", bound=Element)
KINDS: tuple[type[Element], ...] = (
    Module, Lead, Contact, Fuse, Switch, Precharge, Bond, Controller, Motor, Supply, Receiver,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """All elements; their order means nothing."""

    elements: tuple[Element, ...]
    kept: dict[Any, Any] = field(default_factory=dict, compare=False, repr=False)

    def of(self, kind: type[Kind]) -> tuple[Kind, ...]:
        """Return the elements of a kind, by name."""
        if kind not in self.kept:
            found = [element for element in self.elements if isinstance(element, kind)]
            self.kept[kind] = tuple(sorted(found, key=lambda element: element.name))
        out: tuple[Kind, ...] = self.kept[kind]
        return out

    def named(self, name: str) -> Element:
        """Return the element called ``name``."""
        return next(element for element in self.elements if element.name == name)

    @property
    def names(self) -> tuple[str, ...]:
        """Names of all elements, sorted."""
        return tuple(sorted(element.name for element in self.elements))

    @property
    def joints(self) -> tuple[str, ...]:
        """Names of all joints, sorted."""
        if "joints" not in self.kept:
            self.kept["joints"] = self._joints()
        out: tuple[str, ...] = self.kept["joints"]
        return out

    def _joints(self) -> tuple[str, ...]:
        found: set[str] = set()
        for element in self.elements:
            if isinstance(element, TwoPole):
                found |= {element.start, element.end}
            if isinstance(element, Supply):
                found |= {element.out_start, element.out_end}
            if isinstance(element, Controller | Motor):
                found |= set(element.phases)
        return tuple(sorted(found))

    def without(self, *names: str) -> Network:
        """Return the network with some elements taken out."""
        return Network(elements=tuple(element for element in self.elements if element.name not in names))

    def adding(self, *elements: Element) -> Network:
        """Return the network with more elements."""
        return Network(elements=self.elements + elements)

    def changing(self, name: str, **values: Any) -> Network:
        """Return the network with other joints or values in one element."""
        return Network(
            elements=tuple(replace(element, **values) if element.name == name else element for element in self.elements)
        )

    def with_values(self, values: dict[str, dict[str, Any]]) -> Network:
        """Return the network with values written in by name of element and of field."""
        return Network(
            elements=tuple(
                replace(element, **values[element.name]) if element.name in values else element
                for element in self.elements
            )
        )


def repeated(elements: Iterable[Element]) -> tuple[str, ...]:
    """Return names that were given twice."""
    seen: set[str] = set()
    return tuple(sorted({one.name for one in elements if one.name in seen or seen.add(one.name)}))  # type: ignore[func-returns-value]
