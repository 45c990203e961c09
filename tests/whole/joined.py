"""Networks as makers join them: wrong ones with the faults that must be named, and right ones."""

from __future__ import annotations

from dataclasses import replace

from foilwright.build.network import Wiring, expand, pole
from foilwright.network import (
    Bond,
    Contact,
    Controller,
    Fuse,
    Lead,
    Module,
    Motor,
    Network,
    Precharge,
    Receiver,
    Supply,
    Switch,
)

NONE = pole("")
MM2 = 1e-6


def module(series: int, **values: object) -> Module:
    """Return a module of 21700 cells, four side by side, at 90 % charge."""
    given = {
        "cell": "nmc energy cylindrical",
        "series": series,
        "parallel": 4,
        "capacity": 72000.0,
        "charge": 0.9,
        "open_voltage": 4.0967 * series,
        "full_voltage": 4.2 * series,
        "resistance": 3.6e-3 * series,
        "charge_limit": 10.0,
        "current_limit": 60.0,
    }
    return Module(**NONE, **(given | values))


def lead(area: float, length: float, **values: object) -> Lead:
    return Lead(**NONE, area=area * MM2, length=length, **values)


FORM = Wiring(
    in_series=2,
    side_by_side=2,
    module=module(7),
    stub=lead(10, 0.10),
    fuse=Fuse(**NONE, rating=60.0, voltage_limit=72.0, interrupting=10e3),
    lead=lead(10, 0.40),
    jumper=lead(10, 0.15),
    contact=Contact(**NONE, diameter=6e-3),
    switch=Switch(**NONE),
    precharge=Precharge(**NONE, resistance=47.0),
    main=lead(16, 0.30),
    controller=Controller(**NONE, phases=("", "", ""), voltage_limit=63.0, current_limit=80.0, capacitance=3e-3),
    phase=lead(8, 1.2),
    motor=Motor(name="", phases=("", "", ""), sense=1.0),
    supply=Supply(**NONE, out_start="", out_end="", voltage_limit=75.0),
    supply_fuse=Fuse(**NONE, rating=3.0, voltage_limit=72.0, interrupting=10e3),
    supply_lead=lead(1, 0.30),
    receiver=Receiver(**NONE),
)
PAIR = replace(FORM, in_series=1, module=module(14))
THREE = replace(PAIR, side_by_side=3, main=lead(35, 0.30))
LINE = replace(
    FORM,
    side_by_side=1,
    fuse=replace(FORM.fuse, rating=120.0),
    stub=lead(16, 0.1),
    lead=lead(16, 0.4),
    jumper=lead(16, 0.15),
)
ONE = replace(LINE, in_series=1, module=module(14))
TWO_CELLS = replace(module(2), parallel=1, capacity=7200.0, resistance=50e-3)
SMALL_FUSE = Fuse(**NONE, rating=3.0, voltage_limit=32.0, interrupting=1e3)
OWN = replace(FORM, battery=TWO_CELLS, ground=lead(1, 0.2), supply_fuse=SMALL_FUSE)
STRAIGHT = replace(FORM, supply=None, battery=TWO_CELLS, ground=lead(1, 0.2))


def jumper(network: Network) -> Network:
    """Leave the series jumper in while the parallel harness is fitted."""
    return network.adding(
        Contact(name="jumper contact plus", start="module 2.1 plus", end="jumper start", diameter=6e-3),
        Lead(name="series jumper", start="jumper start", end="jumper end", area=10e-6, length=0.15),
        Contact(name="jumper contact minus", start="jumper end", end="module 1.1 minus", diameter=6e-3),
    )


def turned(network: Network, name: str) -> Network:
    """Turn a module or load round."""
    one = network.named(name)
    return network.changing(name, start=one.end, end=one.start)


def swapped(network: Network) -> Network:
    """Swap two phase leads at the motor."""
    a, b = network.named("phase contact a"), network.named("phase contact b")
    return network.changing(a.name, end=b.end).changing(b.name, end=a.end)


def instead(network: Network, name: str) -> Network:
    """Put a bare piece of the thick lead where an element was."""
    one = network.named(name)
    wire = Lead(name=f"wire for {name}", start=one.start, end=one.end, area=16e-6, length=0.1)
    return network.without(name).adding(wire)


base, pair, line, one, own = expand(FORM), expand(PAIR), expand(LINE), expand(ONE), expand(OWN)
low = {"resistance": 0.0722}
apart = {
    "module 1.1": {"open_voltage": 14 * 3.9, **low},
    "module 2.1": {"open_voltage": 14 * 3.7, **low},
}
bypass = {"start": "switch out", "end": "controller plus"}

WRONG: dict[str, tuple[Network, set[tuple[str, str]]]] = {
    "series jumper left in with the parallel harness": (jumper(pair), {("dead short", "series jumper")}),
    "minus lead plugged into the plus pole": (
        one.changing("minus contact 1", end="module 1.1 plus"),
        {("dead short", "minus contact 1"), ("module left out", "module 1.1 minus")},
    ),
    "module turned round in a string": (turned(line, "module 1.2"), {("reversed module", "module 1.2")}),
    "module turned round beside another": (turned(pair, "module 2.1"), {("reversed module", "module 2.1")}),
    "module turned round alone": (turned(one, "module 1.1"), {("reversed polarity", "module 1.1")}),
    "controller leads swapped": (turned(base, "controller"), {("reversed polarity", "controller")}),
    "thirteen cells beside fourteen": (
        pair.changing("module 2.1", series=13, open_voltage=13 * 4.0967, full_voltage=13 * 4.2),
        {("unequal strings", "module 2.1")},
    ),
    "0.2 V a cell apart": (pair.with_values(apart), {("unequal strings", "module 1.1")}),
    "one string not plugged in": (base.without("minus contact 2"), {("module left out", "module 2.2 minus")}),
    "module bypassed in one string": (
        base.without("module 2.2 plus contact").changing("minus contact 2", end="series jumper 2.1 start"),
        {("unequal strings", "module 2.1"), ("module left out", "module 2.2")},
    ),
    "another kind of cell": (base.changing("module 1.2", cell="lco pouch"), {("mixed cells", "module 1.2")}),
    "less capacity in series": (
        line.changing("module 1.2", capacity=54000.0),
        {("mixed cells", "module 1.2")},
    ),
    "no main switch": (instead(base, "main switch"), {("no main switch", "controller plus")}),
    "no pre-charge": (base.without("pre-charge"), {("no pre-charge", "main switch")}),
    "pre-charge behind the switch": (base.changing("pre-charge", **bypass), {("no pre-charge", "main switch")}),
    "one string without a fuse": (instead(base, "fuse 2"), {("no fuse", "module 2.1 plus")}),
    "one fuse for two strings": (
        instead(instead(base, "fuse 1"), "fuse 2"),
        {("no fuse", "module 1.1 plus"), ("no fuse", "module 2.1 plus")},
    ),
    "fuse far from the pack": (base.changing("fuse lead 1", length=0.8), {("fuse place", "fuse 1")}),
    "fuse for 32 V": (base.changing("fuse 1", voltage_limit=32.0), {("fuse voltage", "fuse 1")}),
    "fuse that cannot break the short": (
        base.changing("fuse 2", interrupting=1000.0),
        {("fuse interrupting", "fuse 2")},
    ),
    "thin lead behind the fuse": (base.changing("plus lead 1", area=4e-6), {("fuse too large", "plus lead 1")}),
    "fuse too small": (base.changing("fuse 1", rating=40.0), {("fuse too small", "fuse 1")}),
    "controller below the full voltage": (
        base.changing("controller", voltage_limit=50.0),
        {("over-voltage", "controller")},
    ),
    "supply below the full voltage": (base.changing("supply", voltage_limit=30.0), {("over-voltage", "supply")}),
    "supply lead without its own fuse": (
        instead(base, "supply fuse"),
        {("fuse too large", "supply plus lead"), ("fuse too large", "supply minus lead")},
    ),
    "supply on half of a string": (
        base.changing("supply minus lead", end="module 1.1 minus"),
        {("tap between modules", "supply"), ("no common ground", "receiver")},
    ),
    "no common ground": (own.without("signal ground"), {("no common ground", "receiver")}),
    "receiver on two cells": (
        expand(STRAIGHT),
        {("receiver supply", "receiver"), ("no fuse", "battery plus")},
    ),
    "receiver turned round": (turned(base, "receiver"), {("receiver supply", "receiver")}),
    "receiver not fed": (base.without("supply minus lead"), {("receiver supply", "receiver")}),
    "pole tied to the mast": (
        base.adding(Bond(name="mast bolt", start="minus bus", end="water")),
        {("bonded pole", "minus bus")},
    ),
    "bare contact": (base.changing("plus contact 1", insulated=False), {("touchable pole", "plus contact 1")}),
    "two phases swapped": (swapped(base), {("rotation sense", "motor")}),
    "phase not plugged in": (base.without("phase contact c"), {("phase order", "controller phase c")}),
    "braking on a full pack": (
        base.changing("controller", braking=True).with_values(
            {f"module {k}": {"charge": 1.0} for k in ("1.1", "1.2", "2.1", "2.2")}
        ),
        {("braking at full charge", "controller")},
    ),
    # two faults at once
    "jumper left in and low controller": (
        jumper(pair).changing("controller", voltage_limit=50.0),
        {("dead short", "series jumper"), ("over-voltage", "controller")},
    ),
    "turned module and no pre-charge": (
        turned(base, "module 2.1").without("pre-charge"),
        {("reversed module", "module 2.1"), ("no pre-charge", "main switch")},
    ),
    "left out and wrong fuse": (
        base.without("plus contact 1").changing("fuse 2", voltage_limit=32.0),
        {("module left out", "module 1.1"), ("fuse voltage", "fuse 2")},
    ),
    "phases swapped and no common ground": (
        swapped(own).without("signal ground"),
        {("rotation sense", "motor"), ("no common ground", "receiver")},
    ),
    "jumper left in and a module turned": (
        turned(jumper(expand(THREE)), "module 3.1"),
        {("dead short", "series jumper"), ("reversed module", "module 3.1")},
    ),
    "two modules turned": (
        turned(turned(expand(THREE), "module 3.1"), "module 1.1"),
        {("reversed module", "module 3.1"), ("reversed module", "module 1.1")},
    ),
    "no switch and a bare contact": (
        instead(base, "main switch").changing("minus contact 1", insulated=False),
        {("no main switch", "controller plus"), ("touchable pole", "minus contact 1")},
    ),
}

straight = expand(replace(STRAIGHT, receiver=replace(FORM.receiver, voltage_limit=10.0)))

RIGHT: dict[str, Network] = {
    "one module": one,
    "two in series": line,
    "two side by side": pair,
    "two by two": base,
    "four contacts and two inputs": expand(replace(FORM, contacts=4, inputs=2, main=lead(16, 0.3))),
    "three strings": expand(THREE),
    "own battery through a supply": own,
    "own battery straight on": straight.changing("receiver plus lead", start="receiver fuse out").adding(
        replace(SMALL_FUSE, name="receiver fuse", start="battery plus", end="receiver fuse out")
    ),
    "left-hand propeller with phases swapped": swapped(base).changing("motor", wanted=-1.0),
    "braking on a part-charged pack": base.changing("controller", braking=True),
    "bare contacts below 30 V": expand(
        replace(
            ONE, module=module(7), contact=replace(FORM.contact, insulated=False),
            controller=replace(FORM.controller, voltage_limit=34.0),
        )
    ),
}  # fmt: skip
