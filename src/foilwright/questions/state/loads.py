"""Currents in strings, contacts and leads, and the first moments of switching on and off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.network import Contact, Lead, Module
from foilwright.physics import circuit, contact
from foilwright.physics import pack as packs
from foilwright.physics.protection import ampacity
from foilwright.questions.state.network import Circuit, contact_resistance
from foilwright.questions.state.points import AT, Points
from foilwright.questions.state.supply import SupplyState

Cases = tuple[str, ...]
Index = npt.NDArray[np.intp]

AMBIENT = 313.15
"""Surroundings of leads in the box [K]."""
CRUISE = 3
ENDLESS = 1e9
"""What a lead bears for which the table has no row [A]."""
NOTED = 1e-9
"""Difference by which one element counts as harder loaded than another [-]."""
WAIT = 1.0
"""Gap to the pack at which the switch may be closed [V]."""
DEPTH = 2.0 / np.sqrt(3.0)
"""Depth of modulation at full duty [-]."""
POWER_FACTOR = 0.95
"""Of the phases under load: their inductance turns the current by less than 20 degrees (judgement) [-]."""
FREEZING = 273.15
TOLD_APART = 0.03
"""Voltage that charge and temperature leave open in one reading, share of the pack's [-]."""
ALIKE = "one reading cannot tell: a string left out and the whole pack at 0 degC sag alike"
APART = "one reading tells them apart at full throttle, if the charge is known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Loads:
    """Currents (n,) [A], and what the hardest-loaded element bears."""

    most: Array  # largest from the pack
    cruise: Array  # from the pack, in steady flight
    string_current: Array  # of the hardest-driven string, the oldest one weaker
    contact_current: Array
    contact_limit: Array
    contact_cases: Cases
    contact_case: Index
    lead_current: Array
    lead_limit: Array
    lead_cases: Cases
    lead_case: Index
    cut_off_voltage: Array  # V
    ripple: Array  # V, peak to peak at the controller, at the worst of the drive's points
    ripple_cases: Cases
    ripple_case: Index
    ringing: Array  # pulses over the ringing of leads and capacitors [-]
    precharge_wait: Array  # s
    precharge_energy: Array  # J
    readings: Array  # needed to tell a string left out from a cold pack
    reading_cases: Cases
    reading_case: Index


class Worst:
    """The element with the least limit over current, by name, gathered over structures."""

    def __init__(self, designs: int) -> None:
        self.demand, self.limit = np.zeros(designs), np.ones(designs)
        self.ratio = np.full(designs, -1.0)
        self.names: dict[str, int] = {"": 0}
        self.case = np.zeros(designs, dtype=np.intp)

    def add(self, rows: Index, name: str, demand: Array, limit: Array) -> None:
        """Compare one element of some designs with the worst so far."""
        ratio = demand / limit
        worse = ratio > self.ratio[rows] + NOTED
        if worse.any():
            at = rows[worse]
            self.ratio[at], self.demand[at] = ratio[worse], demand[worse]
            self.limit[at] = limit[worse]
            self.case[at] = self.names.setdefault(name, len(self.names))


def loads_state(craft: Craft, supply: SupplyState, points: Points) -> Loads:
    """Return the currents of every design."""
    found = points.point
    drawn = np.where(found.found, found.pack_current, 0.0)
    most, cruise = drawn.max(axis=1), drawn[:, CRUISE]
    phase = np.where(found.found, points.phase_current, 0.0) / np.sqrt(2.0)
    contacts, leads, strings = Worst(craft.designs), Worst(craft.designs), np.zeros(craft.designs)
    for each in supply.network.circuits:
        _contacts(contacts, each, most[each.rows])
        _leads(leads, each, cruise[each.rows])
        strings[each.rows] = _strings(each, most[each.rows])
    everyone = np.arange(craft.designs)
    contacts.add(everyone, "phase contacts", *_one_contact(craft, phase.max(axis=1)))
    bears = ampacity(
        area=craft.drive.phase_area, insulation=craft.harness.insulation, ambient=craft.water.temperature, bundled=3.0
    ).current
    leads.add(everyone, "phase leads", phase[:, CRUISE], np.where(np.isnan(bears), ENDLESS, bears))
    h, k = craft.harness, craft.harness.modules_side_by_side
    uneven = 1.0 + h.resistance_spread
    return Loads(
        most=most, cruise=cruise,
        string_current=strings * np.where(k > 1.0, k * uneven / ((k - 1.0) * uneven + 1.0), 1.0),
        contact_current=contacts.demand, contact_limit=contacts.limit, contact_cases=tuple(contacts.names),
        contact_case=contacts.case, lead_current=leads.demand, lead_limit=leads.limit,
        lead_cases=tuple(leads.names), lead_case=leads.case, **_moments(craft, supply, most),
        **_ripple(craft, points),
        **_readings(craft, supply, most),
    )  # fmt: skip


def _strings(each: Circuit, most: Array) -> Array:
    """Return the current of the hardest-driven module."""
    modules = {one.name for one in each.network.of(Module)}
    places = [k for k, name in enumerate(each.branches.names) if name in modules]
    flows: Array = np.abs(each.share[:, places]).max(axis=1) * most
    return flows


def _one_contact(craft: Craft, current: Array) -> tuple[Array, Array]:
    """Return the current of one of the contacts of a joint of the short form, and what it bears."""
    h = craft.harness
    ohms = contact_resistance(craft)
    return current / h.contacts, _bears(h.contact_diameter, ohms) * _together(h.contacts)


def _bears(diameter: Array, ohms: Array) -> Array:
    """Return the current at which a contact makes as much heat as a new one at its rating."""
    new = contact.pair(diameter=diameter, worn=False)
    return np.asarray(new.current * np.sqrt(np.minimum(new.resistance / ohms, 1.0)))


def _together(count: Array | float) -> Array:
    """Return what each of several contacts side by side bears, over what it bears alone."""
    return np.asarray(np.asarray(contact.rated_together(current=1.0, count=count)) / np.asarray(count))


def _contacts(worst: Worst, each: Circuit, most: Array) -> None:
    """Compare every contact of the pack's side."""
    beside: dict[tuple[str, str], int] = {}
    there = [one for one in each.network.of(Contact) if one.name in each.branches.names]
    for one in there:
        ends = (one.start, one.end)
        beside[ends] = beside.get(ends, 0) + 1
    limits: dict[tuple[float, ...], Array] = {}
    for one in there:
        place, count = each.branches.names.index(one.name), beside[one.start, one.end]
        marks = (count, id(one.diameter), id(one.worn), id(one.resistance))
        if marks not in limits:
            ohms = np.broadcast_to(each.branches.resistance[..., place], most.shape)
            limits[marks] = _bears(np.broadcast_to(one.diameter, most.shape), ohms) * _together(float(count))
        worst.add(each.rows, one.name, np.abs(each.share[:, place]) * most, limits[marks])


def _leads(worst: Worst, each: Circuit, cruise: Array) -> None:
    """Compare every lead of the pack's side; those of one pattern bear the same."""
    leads = [one for one in each.network.of(Lead) if one.name in each.branches.names]
    patterns = {(id(one.area), id(one.insulation), id(one.bundled)): one for one in leads}
    area, insulation, bundled = (
        np.stack([np.broadcast_to(getattr(one, name), cruise.shape) for one in patterns.values()])
        for name in ("area", "insulation", "bundled")
    )
    bears = ampacity(area=area, insulation=insulation, ambient=AMBIENT, bundled=bundled).current
    limits = dict(zip(patterns, np.where(np.isnan(bears), ENDLESS, bears), strict=True))
    for one in leads:
        flow = np.abs(each.share[:, each.branches.names.index(one.name)]) * cruise
        worst.add(each.rows, one.name, flow, limits[id(one.area), id(one.insulation), id(one.bundled)])


def _moments(craft: Craft, supply: SupplyState, most: Array) -> dict[str, Any]:
    """Return what switching on and cutting off does."""
    h = craft.harness
    full = supply.limits.charge_end * craft.pack.series
    loop = np.asarray(circuit.lead_loop(length=h.lead_length + h.main_length))
    resistor = np.where(h.precharge > 0.0, h.precharge, 1.0)
    filling = circuit.precharge(
        open_voltage=full, resistance=resistor, capacitance=h.capacitance, time=np.asarray(1.0), gap=WAIT
    )
    return {
        "cut_off_voltage": full + most * np.sqrt(loop / h.capacitance),
        "precharge_wait": filling.wait,
        "precharge_energy": filling.energy,
    }


def _ripple(craft: Craft, points: Points) -> dict[str, Any]:
    """Return the ripple that the pulses leave at the controller, by duty and current, at the worst point."""
    h, p = craft.harness, points.point
    loop = np.asarray(circuit.lead_loop(length=h.lead_length + h.main_length))
    load = circuit.capacitor_load(
        phase_current=np.where(p.found, points.phase_current, 0.0),
        modulation=DEPTH * np.clip(np.where(p.found, p.duty, 0.0), 0.0, 1.0), power_factor=np.asarray(POWER_FACTOR),
        frequency=h.pulse_frequency[:, None], capacitance=h.capacitance[:, None], inductance=loop[:, None],
        pack_current=np.where(p.found, p.pack_current, 0.0),
    )  # fmt: skip
    along = np.arange(craft.designs)
    at = np.round(load.ripple_voltage, 9).argmax(axis=1)
    names: dict[str, int] = {}
    told = [
        names.setdefault(f"{AT[k]}: its capacitors carry {amperes:.0f} A", len(names))
        for k, amperes in zip(at.tolist(), load.ripple_current[along, at].tolist(), strict=True)
    ]
    return {
        "ripple": load.ripple_voltage[along, at], "ripple_cases": tuple(names),
        "ripple_case": np.array(told, dtype=np.intp),
        "ringing": 2.0 * h.pulse_frequency * 2.0 * np.pi * np.sqrt(loop * h.capacitance),
    }  # fmt: skip


def _readings(craft: Craft, supply: SupplyState, most: Array) -> dict[str, Any]:
    """Say whether one reading under load tells a string left out from a whole pack at 0 degC."""
    p, k = craft.pack, np.maximum(craft.harness.modules_side_by_side, 2.0)
    part, cold = (
        np.asarray(
            packs.resistance(
                cell=supply.tables, charge=supply.charge, temperature=temperature,
                cell_resistance=supply.cell_resistance, series=p.series, parallel=parallel, leads=supply.leads,
            )
        )
        for temperature, parallel in (
            (p.temperature, p.parallel * (k - 1.0) / k),
            (np.full(craft.designs, FREEZING), p.parallel),
        )
    )  # fmt: skip
    alike = most * np.abs(part - cold) < TOLD_APART * supply.supply.open_voltage
    return {
        "readings": np.where(alike, 2.0, 1.0), "reading_cases": (APART, ALIKE), "reading_case": alike.astype(np.intp),
    }  # fmt: skip
