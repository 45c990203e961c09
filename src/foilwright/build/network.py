"""The short form of the wiring, the full network that it stands for, and both ways between them.

The short form is how many modules stand in series, how many such strings side by side, how many
contact pairs at each joint and leads at each input, and one pattern of each kind of element.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, cast

import numpy as np

from foilwright.core.errors import BuildFileError, Fault
from foilwright.network import (
    KINDS,
    UNKNOWN,
    Contact,
    Controller,
    Element,
    Fuse,
    Kind,
    Lead,
    Module,
    Motor,
    Network,
    Precharge,
    Receiver,
    Supply,
    Switch,
    TwoPole,
    repeated,
)

PHASES = ("a", "b", "c")
WINDINGS = ("u", "v", "w")
WORDS = {kind.__name__.lower(): kind for kind in KINDS}
JOINED = ("phases",)
"""Fields of an element that are lists of joints."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wiring:
    """The short form; names and joints of the patterns mean nothing and are written by ``expand``.

    ``jumper`` joins modules in series; ``lead`` runs from a string to the bus, ``stub`` from the
    plus pole of a string to its fuse; ``main`` runs from the bus to the controller (``inputs`` of
    them side by side); without a ``supply`` the receiver hangs on ``battery``.
    """

    in_series: int = 1
    side_by_side: int = 1
    contacts: int = 1
    inputs: int = 1
    module: Module
    stub: Lead
    fuse: Fuse
    lead: Lead
    jumper: Lead
    contact: Contact
    switch: Switch
    precharge: Precharge
    main: Lead
    controller: Controller
    phase: Lead
    motor: Motor
    receiver: Receiver
    supply: Supply | None = None
    supply_fuse: Fuse | None = None
    supply_lead: Lead | None = None
    battery: Module | None = None
    ground: Lead | None = None


def _put(pattern: Kind, name: str, start: str, end: str, **more: Any) -> Kind:
    return replace(pattern, name=name, start=start, end=end, **more)  # type: ignore[call-arg]


def _several(pattern: Kind, count: int, name: str, start: str, end: str) -> Iterator[Kind]:
    """Give an element, or ``count`` of them side by side."""
    for k in range(count):
        yield _put(pattern, name if count == 1 else f"{name} {k + 1}", start, end)


def _string(form: Wiring, s: int) -> Iterator[Element]:
    """Give one string: fuse, modules with their jumpers, leads to the bus."""
    first, last = f"module {s}.1", f"module {s}.{form.in_series}"
    yield _put(form.stub, f"fuse lead {s}", f"{first} plus", f"fuse {s} in")
    yield _put(form.fuse, f"fuse {s}", f"fuse {s} in", f"fuse {s} out")
    yield _put(form.lead, f"plus lead {s}", f"fuse {s} out", f"plus plug {s}")
    yield from _several(form.contact, form.contacts, f"plus contact {s}", f"plus plug {s}", "plus bus")
    for m in range(1, form.in_series + 1):
        name = f"module {s}.{m}"
        yield _put(form.module, name, f"{name} plus", f"{name} minus")
        if m < form.in_series:
            after, jumper = f"module {s}.{m + 1}", f"series jumper {s}.{m}"
            yield from _several(form.contact, form.contacts, f"{name} minus contact", f"{jumper} end", f"{name} minus")
            yield _put(form.jumper, jumper, f"{jumper} start", f"{jumper} end")
            yield from _several(
                form.contact, form.contacts, f"{after} plus contact", f"{after} plus", f"{jumper} start"
            )
    yield from _several(form.contact, form.contacts, f"minus contact {s}", f"minus plug {s}", f"{last} minus")
    yield _put(form.lead, f"minus lead {s}", "minus bus", f"minus plug {s}")


def _main(form: Wiring) -> Iterator[Element]:
    """Give everything from the bus to the motor."""
    yield _put(form.switch, "main switch", "plus bus", "switch out")
    yield _put(form.precharge, "pre-charge", "plus bus", "switch out")
    yield from _several(form.main, form.inputs, "main plus lead", "switch out", "controller plus")
    yield from _several(form.main, form.inputs, "main minus lead", "controller minus", "minus bus")
    phases = tuple(f"controller phase {phase}" for phase in PHASES)
    windings = tuple(f"motor lead {winding}" for winding in WINDINGS)
    yield _put(form.controller, "controller", "controller plus", "controller minus", phases=phases)
    for phase, at, winding in zip(PHASES, phases, windings, strict=True):
        plug = f"phase plug {phase}"
        yield _put(form.phase, f"phase lead {phase}", at, plug)
        yield from _several(form.contact, form.contacts, f"phase contact {phase}", plug, winding)
    yield replace(form.motor, name="motor", phases=cast(tuple[str, str, str], windings))


def _radio(form: Wiring) -> Iterator[Element]:
    """Give the receiver and what feeds it."""
    yield _put(form.receiver, "receiver", "receiver plus", "receiver minus")
    if form.battery is not None:
        yield _put(form.battery, "receiver battery", "battery plus", "battery minus")
    if form.ground is not None:
        yield _put(form.ground, "signal ground", "receiver minus", "controller minus")
    ends = ("receiver plus", "receiver minus")
    if form.supply is not None and form.supply_lead is not None:
        yield _put(form.supply, "supply", "supply plus", "supply minus", out_start=ends[0], out_end=ends[1])
        taps = ("switch out", "minus bus") if form.battery is None else ("battery plus", "battery minus")
        tap = taps[0] if form.supply_fuse is None else "supply fuse out"
        if form.supply_fuse is not None:
            yield _put(form.supply_fuse, "supply fuse", taps[0], tap)
        yield _put(form.supply_lead, "supply plus lead", tap, "supply plus")
        yield _put(form.supply_lead, "supply minus lead", "supply minus", taps[1])
    elif form.battery is not None and form.supply_lead is not None:
        yield _put(form.supply_lead, "receiver plus lead", "battery plus", ends[0])
        yield _put(form.supply_lead, "receiver minus lead", ends[1], "battery minus")


def expand(form: Wiring) -> Network:
    """Return the full network, every joint named."""
    elements: list[Element] = []
    for s in range(1, form.side_by_side + 1):
        elements += _string(form, s)
    return Network(elements=(*elements, *_main(form), *_radio(form)))


def shorten(network: Network) -> Wiring | None:
    """Return the short form that stands for a network, or None where there is none."""
    by_name = {element.name: element for element in network.elements}
    modules = [name for name in by_name if name.startswith("module ") and "contact" not in name]
    places = [name.removeprefix("module ").split(".") for name in modules]
    if not all(len(place) == 2 and all(one.isdigit() for one in place) for place in places):
        return None

    def count(start: str) -> int:
        return sum(name == start or name.removeprefix(f"{start} ").isdigit() for name in by_name)

    try:
        form = Wiring(
            in_series=max(int(place[1]) for place in places),
            side_by_side=max(int(place[0]) for place in places),
            contacts=count("plus contact 1"),
            inputs=count("main plus lead"),
            **_patterns(by_name),
        )
    except (KeyError, ValueError):
        return None
    return form if same(expand(form), network) else None


def _patterns(by_name: Mapping[str, Element]) -> dict[str, Any]:
    """Return one element of each kind; an optional one may be missing."""
    several = {name.removesuffix(" 1"): element for name, element in by_name.items()}
    needed = {
        "module": "module 1.1", "stub": "fuse lead 1", "fuse": "fuse 1", "lead": "plus lead 1",
        "contact": "plus contact 1", "switch": "main switch", "precharge": "pre-charge",
        "main": "main plus lead", "controller": "controller", "phase": "phase lead a", "motor": "motor",
        "receiver": "receiver",
    }  # fmt: skip
    optional = {
        "supply": "supply", "supply_fuse": "supply fuse", "battery": "receiver battery",
        "ground": "signal ground",
    }  # fmt: skip
    numbered = {"fuse lead 1", "fuse 1", "plus lead 1", "module 1.1"}
    out: dict[str, Any] = {
        key: by_name[name] if name in numbered else several.get(name, several.get(name.removesuffix(" 1")))
        for key, name in needed.items()
    }
    if any(value is None for value in out.values()):
        raise KeyError
    out |= {key: by_name.get(name) for key, name in optional.items()}
    out["jumper"] = by_name.get("series jumper 1.1", out["lead"])
    out["supply_lead"] = by_name.get("supply plus lead", by_name.get("receiver plus lead"))
    return out


def same(network: Network, other: Network) -> bool:
    """Say whether two networks have the same elements with the same values, in any order."""
    mine, theirs = ({element.name: element for element in one.elements} for one in (network, other))
    return mine.keys() == theirs.keys() and all(_alike(mine[name], theirs[name]) for name in mine)


def _alike(element: Element, other: Element) -> bool:
    if type(element) is not type(other):
        return False
    for field in dataclasses.fields(element):
        a, b = getattr(element, field.name), getattr(other, field.name)
        if isinstance(a, str | tuple):
            if a != b:
                return False
        elif not np.array_equal(np.asarray(a, float), np.asarray(b, float), equal_nan=True):
            return False
    return True


def rows(network: Network) -> list[dict[str, Any]]:
    """Return the full form as plain data: one table an element, SI numbers, what is unknown left out."""
    out = []
    for element in network.elements:
        row: dict[str, Any] = {"kind": type(element).__name__.lower()}
        for field in dataclasses.fields(element):
            value = getattr(element, field.name)
            if isinstance(value, np.ndarray):
                value = value.item() if value.ndim == 0 else value.tolist()
            elif isinstance(value, tuple):
                value = list(value)
            if not (isinstance(value, float) and np.isnan(value)):
                row[field.name] = value
        out.append(row)
    return out


def read(tables: Iterable[Mapping[str, Any]], *, file: str = "") -> Network:
    """Return the network of a full form; every fault is told at once."""
    elements: list[Element] = []
    faults: list[Fault] = []
    for number, table in enumerate(tables, 1):
        found = element(table, f"wires.element {table.get('name', number)}", file)
        if isinstance(found, Fault):
            faults.append(found)
        else:
            elements.append(found)
    faults += [
        Fault(file=file, line=None, field=f"wires.element {name}", got="this name twice",
              allowed="each name once", example="")
        for name in repeated(elements)
    ]  # fmt: skip
    if faults:
        raise BuildFileError(faults)
    return Network(elements=tuple(elements))


def element(table: Mapping[str, Any], where: str, file: str) -> Element | Fault:
    """Return one element of a full form, or what is wrong with it."""
    kind = WORDS.get(str(table.get("kind", "")))
    if kind is None:
        return Fault(
            file=file, line=None, field=f"{where}.kind", got=repr(table.get("kind")),
            allowed=", ".join(sorted(WORDS)), example='kind = "lead"',
        )  # fmt: skip
    known = {field.name: field for field in dataclasses.fields(kind)}
    strange = sorted(set(table) - set(known) - {"kind"})
    needed = sorted(name for name, field in known.items() if field.default is dataclasses.MISSING and name not in table)
    if strange or needed:
        got = f"{', '.join(strange)} written" if strange else f"{', '.join(needed)} missing"
        return Fault(file=file, line=None, field=where, got=got, allowed=", ".join(sorted(known)), example="")
    return kind(**{name: _value(name, value) for name, value in table.items() if name != "kind"})


def _value(name: str, value: Any) -> Any:
    if name in JOINED:
        return tuple(cast(Sequence[str], value))
    return np.asarray(value) if isinstance(value, list) else value


def pole(name: str) -> dict[str, str]:
    """Return a start and an end for a pattern, whose joints mean nothing yet."""
    return {"name": name, "start": "", "end": ""}


__all__ = ["UNKNOWN", "TwoPole", "Wiring", "element", "expand", "pole", "read", "rows", "same", "shorten"]
