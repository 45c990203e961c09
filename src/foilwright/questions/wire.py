"""`wire`: is everything joined correctly, and does each joint bear its current?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.physics import circuit
from foilwright.physics.protection import RULES
from foilwright.questions.finding import Finding, Maker, Meaning, used
from foilwright.questions.state import State
from foilwright.questions.state.checks import Check

WIRES = (
    "wires.modules_in_series wires.modules_side_by_side wires.contacts wires.contact_diameter wires.contact_wear"
    " wires.lead_area wires.main_area wires.inputs wires.fuse_rating"
)
CELLS = "pack.series pack.parallel cell.kind cell.capacity cell.resistance pack.start_charge pack.temperature"
SOURCES = {rule.name: rule.source[:1].upper() + rule.source[1:] for rule in RULES}
Flag = npt.NDArray[np.bool_]
KIRCHHOFF = "The drawn network solved by Kirchhoff's laws"


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """How a rule on the drawn network reads as a finding; ``unit`` where it is a matter of numbers."""

    name: str
    part: str
    meaning: Meaning
    why: str
    inputs: str
    unit: str = ""
    needs: float = 0.0
    missing: tuple[str, ...] = ()


TOLD: dict[str, Told] = {
    "dead short": Told(
        name="No loop of plain conductors around a module or a load", part="wires", meaning="burns",
        why="a dead short draws many hundred amperes, until something melts", inputs=WIRES,
    ),
    "reversed module": Told(
        name="Every module and the controller the right way round", part="wires", meaning="burns",
        why="a module turned round drives against the others; a controller turned round burns at once", inputs=WIRES,
    ),
    "unequal strings": Told(
        name="Current between the strings when they are joined", part="pack", meaning="burns", unit="A", needs=0.2,
        why="resistances at once are known to a fifth; the fuller string charges the emptier at once",
        inputs=f"{CELLS} wires.modules_side_by_side wires.voltage_apart cell.charge_limit",
        missing=("cell.charge_limit",),
    ),
    "module left out": Told(
        name="Every module feeds something", part="pack", meaning="stops",
        why="one reading under load does not tell a module left out from a cold pack: a second one does",
        inputs=WIRES,
    ),
    "mixed cells": Told(
        name="One kind of cell everywhere, equal capacity in series", part="pack", meaning="burns",
        why="the smallest in a string empties first and is driven below zero", inputs=f"{CELLS} {WIRES}",
    ),
    "no main switch": Told(
        name="A main switch or loop key", part="wires", meaning="hurts",
        why="the pack must be parted from the controller within reach, without tools", inputs="wires.main_switch",
        missing=("wires.main_switch",),
    ),
    "no precharge": Told(
        name="The controller's capacitors are filled slowly", part="wires", meaning="breaks",
        why="empty capacitors draw thousands of amperes at once: the spark eats the contacts",
        inputs="wires.precharge wires.main_switch controller.capacitance", missing=("wires.precharge",),
    ),
    "no fuse": Told(
        name="A fuse of its own in every string", part="wires", meaning="burns",
        why="only a fuse ends a dead short in the leads", inputs="wires.fuse_rating wires.modules_side_by_side",
        missing=("wires.fuse_rating",),
    ),
    "fuse place": Told(
        name="Length of lead before the fuse", part="wires", meaning="burns", unit="m",
        why="what lies before the fuse is not guarded", inputs="wires.stub_length",
    ),
    "fuse voltage": Told(
        name="Full voltage against what the fuse can part", part="wires", meaning="burns", unit="V",
        why="above its rating for direct current an arc stays when it melts",
        inputs="wires.fuse_voltage wires.fuse_kind pack.series cell.kind", missing=("wires.fuse_kind",),
    ),
    "fuse interrupting": Told(
        name="Short-circuit current against what the fuse can break", part="wires", meaning="burns", unit="A",
        needs=0.2, why="resistances at once are known to a fifth",
        inputs=f"wires.fuse_interrupting wires.fuse_kind {CELLS}", missing=("wires.fuse_kind", "wires.fuse_rating"),
    ),
    "fuse too small": Told(
        name="Fuse that the lasting current asks for against the one there is", part="wires", meaning="stops",
        unit="A", why="a fuse lasts at three quarters of its rating",
        inputs="wires.fuse_rating controller.battery_current_limit wires.modules_side_by_side",
        missing=("wires.fuse_rating", "controller.battery_current_limit"),
    ),
    "fuse too large": Told(
        name="Fuse against the largest one that the lead allows", part="wires", meaning="burns", unit="A",
        why="the fuse must open before the lead is too hot",
        inputs="wires.fuse_rating wires.lead_area wires.main_area wires.insulation wires.receiver_area"
        " wires.receiver_fuse wires.inputs wires.modules_side_by_side",
        missing=("wires.fuse_rating",),
    ),
    "over voltage": Told(
        name="Full pack against controller and supply", part="controller", meaning="burns", unit="V",
        why="the rating of the part", inputs="pack.series cell.kind controller.voltage_limit wires.step_down_limit",
        missing=("controller.voltage_limit", "wires.step_down_limit"),
    ),
    "tap between modules": Told(
        name="No load on a part of a string", part="wires", meaning="breaks",
        why="the modules drift apart, and the emptier ones are driven below zero", inputs="wires.receiver_feed",
    ),
    "no common ground": Told(
        name="The throttle signal has a way back", part="receiver", meaning="hurts",
        why="without it the controller reads noise as throttle", inputs="wires.signal_ground wires.receiver_feed",
    ),
    "bonded pole": Told(
        name="Both poles of the pack float", part="wires", meaning="hurts",
        why="a second fault at the other pole is a shock, and eats metal", inputs="wires.poles",
    ),
    "touchable pole": Told(
        name="No bare contact above what wet people may touch", part="wires", meaning="hurts",
        why="30 V direct for wet or immersed people", inputs="wires.contact_cover pack.series cell.kind",
    ),
    "receiver supply": Told(
        name="The receiver is fed once, the right way round, within its voltage", part="receiver", meaning="hurts",
        why="a dead receiver obeys nobody", inputs="wires.receiver_feed wires.receiver_cells wires.receiver_limit"
        " radio.receiver_voltage radio.receiver_least",
    ),
    "phase order": Told(
        name="Each phase of the controller reaches one lead of the motor", part="motor", meaning="breaks",
        why="on two phases a motor jerks, and burns the controller", inputs="wires.contacts",
    ),
    "rotation sense": Told(
        name="The propeller turns the way its hand asks", part="motor", meaning="breaks",
        why="swapping any two phase leads turns it round", inputs="wires.rotation propeller.hand",
        missing=("wires.rotation",),
    ),
    "braking at full charge": Told(
        name="The pack takes what braking gives back", part="controller", meaning="breaks",
        why="a full pack takes nothing: the voltage rises until a protection opens",
        inputs="wires.braking pack.start_charge",
    ),
}  # fmt: skip
"""Every rule by its name."""


class Wire:
    """The wiring as drawn."""

    name = "wire"
    asks = "Is everything joined correctly: polarity, sharing, fuses, switch, inrush, phases, plug-in order?"

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        make = Maker(question=self.name, designs=state.craft.designs)
        fields = _open_fields(state)
        for rule, told in TOLD.items():
            _rule(make, state.checks[rule], rule, told, fields)
        _modules(make, state)
        _contacts(make, state)
        _leads(make, state)
        _moments(make, state)
        _readings(make, state)
        return make.made


def _rule(make: Maker, check: Check, rule: str, told: Told, fields: dict[str, Flag]) -> None:
    numbers = bool(told.unit)
    open_ = [path for path in told.missing if path in fields and fields[path].any()]
    unstated = np.any([np.zeros(make.designs, dtype=bool), *(fields[path] for path in open_)], axis=0)
    wrong = check.wrong & ~(unstated & numbers & np.isnan(check.demand))
    unknown = (check.unknown | (unstated & (check.looked | (not numbers)))) & ~wrong
    demand, capacity = np.ones(make.designs), np.where(wrong, 0.0, 1.0)
    if numbers:
        fails = wrong & ~(check.demand > check.capacity)
        demand = np.where(np.isfinite(check.demand), check.demand, 1.0)
        capacity = np.where(fails, 0.0, np.where(np.isfinite(check.capacity), check.capacity, 1.0))
    make.add(
        rule.replace(" ", "_").replace("-", "_"), name=told.name, part=told.part, meaning=told.meaning,
        kind="ratio" if numbers else "difference", demand=demand, capacity=capacity, unit=told.unit or "1",
        required=told.needs, required_why=told.why, source=SOURCES[rule], model=f"protection.{rule.replace(' ', '_')}",
        inputs=told.inputs, missing=open_[0] if open_ else (told.missing or ("",))[0], is_missing=unknown,
        applies=check.looked if numbers else None, cases=check.cases, case=np.where(wrong, check.case, 0),
    )  # fmt: skip


def _open_fields(state: State) -> dict[str, Flag]:
    """Return where a field is left open on which a rule rests, by its path."""
    h, d = state.craft.harness, state.craft.drive
    return {
        "wires.fuse_rating": np.isnan(h.fuse_rating),
        "wires.fuse_kind": np.isnan(h.fuse_voltage) | np.isnan(h.fuse_interrupting),
        "wires.precharge": np.isnan(h.precharge),
        "wires.step_down_limit": np.isnan(h.step_down_limit),
        "wires.main_switch": np.array([name == "" for name in h.main_switch]),
        "wires.rotation": np.array([name == "" for name in h.rotation]),
        "controller.voltage_limit": np.isnan(d.voltage_limit),
        "controller.battery_current_limit": np.isnan(d.battery_current_limit),
    }


def _modules(make: Maker, state: State) -> None:
    p, h, load = state.craft.pack, state.craft.harness, state.loads
    whole = (p.series % h.modules_in_series == 0.0) & (p.parallel % h.modules_side_by_side == 0.0)
    make.add(
        "modules", name="The cells divide evenly into the modules", part="pack", meaning="stops", kind="difference",
        demand=np.ones(make.designs), capacity=np.where(whole, 1.0, 0.0), unit="1", required=0.0,
        required_why="modules in series hold equal rows, strings side by side equal numbers",
        source="Counts of cells and modules",
        inputs="pack.series pack.parallel wires.modules_in_series wires.modules_side_by_side",
    )  # fmt: skip
    limit = p.cell_current_limit * p.parallel / h.modules_side_by_side
    make.add(
        "module_sharing", name="Current of the hardest-driven string against what its cells bear", part="pack",
        meaning="burns", demand=load.string_current, capacity=np.nan_to_num(limit), unit="A", required=0.05,
        required_why="the older string takes less and leaves the rest to the others", source=KIRCHHOFF,
        model="circuit.solve", inputs=f"{WIRES} wires.resistance_spread cell.current_limit pack.parallel",
        missing="cell.current_limit", is_missing=np.isnan(limit), applies=h.modules_side_by_side > 1.0,
    )  # fmt: skip
    n = state.supply.network
    make.add(
        "links", name="Resistance of the drawn leads and contacts against what is stated for all", part="wires",
        meaning="annoys", demand=n.harness, capacity=np.maximum(n.stated, 1e-9), unit="ohm", required=0.0,
        required_why="the drawn ones count where they are more; measure from the cells to the controller",
        source=f"{KIRCHHOFF}; copper of IEC 60028", model="conductor.resistance_by_area",
        inputs=f"{WIRES} pack.link_resistance",
    )  # fmt: skip


def _contacts(make: Maker, state: State) -> None:
    load = state.loads
    make.add(
        "contacts", name="Current of the hardest-loaded contact against what it bears", part="wires", meaning="burns",
        demand=load.contact_current, capacity=load.contact_limit, unit="A", required=0.1,
        required_why="makers claim 1.2 to 2 times these currents; a measured drop of 20 mV is the limit",
        source="Bullet contacts by diameter and wear (common practice); sharing by resistance", model="contact.beside",
        inputs=f"{WIRES} wires.contact_resistance controller.battery_current_limit controller.phase_current_limit",
        cases=load.contact_cases, case=load.contact_case,
    )  # fmt: skip


def _leads(make: Maker, state: State) -> None:
    load, n = state.loads, state.supply.network
    make.add(
        "leads", name="Lasting current of the hardest-loaded lead against what it bears", part="wires",
        meaning="burns", demand=load.lead_current, capacity=load.lead_limit, unit="A", required=0.1,
        required_why="leads lie in foam and under covers, where they cool less",
        source="US 33 CFR 183.425, Table 5", model="protection.ampacity",
        inputs="wires.lead_area wires.main_area wires.inputs wires.insulation wires.phase_area"
        " targets.cruise_speed",
        cases=load.lead_cases, case=load.lead_case,
    )  # fmt: skip
    make.add(
        "drop", name="Voltage lost in leads and contacts at cruise, share of the pack's", part="wires",
        meaning="annoys", demand=n.harness * load.cruise / state.supply.supply.open_voltage,
        capacity=np.full(make.designs, 0.03), unit="1", required=0.0,
        required_why="ISO 10133 asks for 3 % in main feeders; 2 % is a good aim", source=f"{KIRCHHOFF}; ISO 10133",
        model="conductor.pair_drop", inputs=f"{WIRES} wires.lead_length wires.main_length targets.cruise_speed",
    )  # fmt: skip


def _moments(make: Maker, state: State) -> None:
    load, h, limit = state.loads, state.craft.harness, state.craft.drive.voltage_limit
    make.add(
        "cut_off", name="Voltage when the current is cut at once against the controller's limit", part="controller",
        meaning="breaks", demand=load.cut_off_voltage, capacity=np.nan_to_num(limit), unit="V", required=0.0,
        required_why="long leads push on when a controller cuts: shorten them, or add capacitors",
        source="Energy of leads and capacitors; 1 microhenry by metre of pair", model="circuit.capacitor_load",
        inputs="wires.lead_length wires.main_length controller.capacitance controller.voltage_limit pack.series",
        missing="controller.voltage_limit", is_missing=np.isnan(limit),
    )  # fmt: skip
    make.add(
        "ripple", name="Ripple of the voltage at the controller against a twentieth of the pack's", part="controller",
        meaning="breaks", demand=load.ripple, capacity=0.05 * state.supply.supply.open_voltage, unit="V", required=0.2,
        required_why="the capacitors carry what the leads are too long to bring, and age with it: short leads, or"
        " more capacitors at the controller",
        source="Kolar and Round 2006, capacitors of a three-phase bridge; a twentieth is common practice",
        model="circuit.capacitor_load", inputs="controller.capacitance controller.pulse_frequency wires.lead_length"
        " wires.main_length motor.speed_constant controller.phase_current_limit pack.series cell.kind",
        cases=load.ripple_cases, case=load.ripple_case,
        beyond=used(circuit.capacitor_load, spread=load.ringing),
    )  # fmt: skip
    there = h.precharge > 0.0
    make.add(
        "precharge_wait", name="Time that the pre-charge takes against one that people wait", part="wires",
        meaning="annoys", demand=np.where(there, load.precharge_wait, 0.0), capacity=np.full(make.designs, 5.0),
        unit="s", required=0.0, required_why="who waits too short closes the switch on a spark",
        source="Charge of a capacitor through a resistor, to within 1 V", model="circuit.precharge",
        inputs="wires.precharge controller.capacitance pack.series", applies=there,
    )  # fmt: skip
    make.add(
        "precharge_pulse", name="Energy of the pre-charge against what its resistor bears", part="wires",
        meaning="breaks", demand=load.precharge_energy, capacity=np.nan_to_num(h.precharge_energy), unit="W*s",
        required=0.5, required_why="it is switched on twice in a row sometimes",
        source="Half the capacitance times the voltage squared", model="circuit.precharge",
        inputs="wires.precharge_energy controller.capacitance pack.series", applies=there & (h.precharge_energy > 0.0),
    )  # fmt: skip


def _readings(make: Maker, state: State) -> None:
    load = state.loads
    make.add(
        "readings", name="Readings that tell a module left out from a cold pack", part="pack", meaning="annoys",
        demand=load.readings, capacity=np.full(make.designs, 2.0), unit="1", required=0.0,
        required_why="the sag of a pack at 0 degC and of one with a string left out differ by less than charge"
        " and temperature do: read the current of each string too",
        source="Resistance of open cell models over temperature", model="pack.resistance",
        inputs=f"{CELLS} wires.modules_side_by_side", applies=state.craft.harness.modules_side_by_side > 1.0,
        cases=load.reading_cases, case=load.reading_case,
    )  # fmt: skip
