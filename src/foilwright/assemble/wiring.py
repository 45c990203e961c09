"""The wiring from its short form and its joints: one network for all designs of one structure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.assemble.parts import choices
from foilwright.assemble.reader import Array, Reader, numbers, same
from foilwright.build.network import Wiring, element, expand, pole
from foilwright.core.data import table
from foilwright.core.errors import BuildFileError, Fault
from foilwright.craft import Drive, Pack, Radio
from foilwright.craft.wiring import Charger, Cooling, Drawn, Harness
from foilwright.network import (
    UNKNOWN,
    Bond,
    Contact,
    Controller,
    Element,
    Fuse,
    Lead,
    Module,
    Motor,
    Network,
    Precharge,
    Receiver,
    Supply,
    Switch,
    TwoPole,
)

NONE = pole("")
PHASES = ("", "", "")
BRIDGE = 0.05
"""Length of the piece of lead that stands where there is no fuse or switch [m]."""
STEP_DOWN, OWN_STEP_DOWN, OWN = ("the pack through a step-down", "own battery through a step-down", "own battery")
OWN_CELL = {"capacity": 2.5 * 3600.0, "resistance": 50e-3, "volts": 3.9, "full": 4.2}
"""A cell of a receiver's own battery: capacity [A s], resistance [ohm], voltages [V] (common practice)."""
RADIO_SUPPLY = {"own cell": OWN}
Rows = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """The fields of the wiring by name, and of what they join."""

    wires: dict[str, Any]
    feed: tuple[str, ...]
    kinds: tuple[str, ...]
    module: dict[str, Array]
    controller: dict[str, Any]
    motor: dict[str, Array]
    radio: Radio

    def at(self, rows: Rows, name: str) -> Array:
        """Return a field for some designs."""
        values: Array = self.wires[name][rows]
        return values

    def flag(self, rows: Rows, name: str, word: str) -> npt.NDArray[np.bool_]:
        """Return where a choice has a name, for some designs."""
        return same(self.wires[name], word)[rows]


NUMBERS = (
    "modules_in_series modules_side_by_side contacts inputs contact_diameter contact_resistance lead_area lead_length"
    " stub_length jumper_length main_area main_length insulation fuse_rating fuse_voltage fuse_interrupting precharge"
    " precharge_energy receiver_cells receiver_limit step_down_limit receiver_area receiver_fuse voltage_apart"
    " resistance_spread phase_area phase_length"
)
CHOICES = "contact_wear contact_cover fuse_kind main_switch signal_ground poles rotation braking"


def harness(read: Reader, drive: Drive, pack: Pack, radio: Radio) -> Harness:
    """Return the wiring in its short form and as networks."""
    w: dict[str, Any] = numbers(read, "wires", NUMBERS) | choices(read, "wires", CHOICES)
    for name, column in (("fuse_voltage", "voltage_limit"), ("fuse_interrupting", "interrupting")):
        w[name] = np.where(np.isnan(w[name]), _of_kind(w["fuse_kind"], column), w[name])
    given = Given(
        wires=w,
        feed=_feed(read, radio),
        kinds=pack.kind,
        module=_modules(read, pack, w),
        controller=_controller(read, drive, w),
        motor={
            "sense": np.array([{"right": 1.0, "left": -1.0}.get(name, UNKNOWN) for name in w["rotation"]]),
            "wanted": np.where(same(drive.hand, "right"), 1.0, -1.0),
        },
        radio=radio,
    )
    drawn = tuple(_drawn(read, given, rows) for rows in _structures(given))
    missing = {
        **{f"wires.{name}": np.isnan(w[name]) for name in ("fuse_rating", "precharge", "step_down_limit")},
        "wires.fuse_kind": np.isnan(w["fuse_voltage"]) | np.isnan(w["fuse_interrupting"]),
        "wires.main_switch": same(w["main_switch"], ""),
        "wires.rotation": same(w["rotation"], ""),
        "controller.voltage_limit": np.isnan(drive.voltage_limit),
        "controller.battery_current_limit": np.isnan(drive.battery_current_limit),
    }
    plain = ("contacts", "inputs", "contact_diameter", "contact_resistance", "lead_area", "lead_length",
             "stub_length", "jumper_length", "main_area", "main_length", "insulation", "fuse_rating", "precharge",
             "precharge_energy", "voltage_apart", "resistance_spread")  # fmt: skip
    return Harness(
        in_series=w["modules_in_series"], side_by_side=w["modules_side_by_side"],
        worn=same(w["contact_wear"], "worn"), fused=w["fuse_rating"] != 0.0,
        switched=~same(w["main_switch"], "none"), capacitance=given.controller["capacitance"],
        open_fields=missing, drawn=drawn, **{name: w[name] for name in plain},
    )  # fmt: skip


def _of_kind(kinds: tuple[str, ...], column: str) -> Array:
    """Return the usual rating of kinds of fuse; NaN where the kind is open."""
    listed = table("wiring/fuses")
    usual = dict(zip(listed.texts["kind"], listed.columns[column].tolist(), strict=True))
    return np.array([usual.get(kind, UNKNOWN) for kind in kinds])


def _feed(read: Reader, radio: Radio) -> tuple[str, ...]:
    written = read.names("wires.receiver_feed")
    return tuple(
        mine or RADIO_SUPPLY.get(theirs, STEP_DOWN)
        for mine, theirs in zip(written, radio.receiver_supply, strict=True)
    )


def _modules(read: Reader, pack: Pack, w: dict[str, Any]) -> dict[str, Array]:
    beside = pack.parallel / w["modules_side_by_side"]
    return {
        "series": pack.series / w["modules_in_series"],
        "parallel": beside,
        "capacity": pack.capacity * beside,
        "charge": pack.start_charge,
        "charge_limit": read.number("cell.charge_limit") * beside,
        "current_limit": pack.cell_current_limit * beside,
    }


def _controller(read: Reader, drive: Drive, w: dict[str, Any]) -> dict[str, Any]:
    return {
        "voltage_limit": drive.voltage_limit,
        "current_limit": drive.battery_current_limit,
        "capacitance": read.number("controller.capacitance"),
        "braking": same(w["braking"], "on"),
    }


def _structures(given: Given) -> Iterator[Rows]:
    """Yield the designs of each structure."""
    w = given.wires
    marks = list(
        zip(
            *(w[name].tolist() for name in ("modules_in_series", "modules_side_by_side", "contacts", "inputs")),
            *((w[name] == 0.0).tolist() for name in ("fuse_rating", "precharge", "receiver_fuse")),
            (name == "none" for name in w["main_switch"]),
            w["signal_ground"],
            w["poles"],
            given.feed,
            given.kinds,
            strict=True,
        )
    )
    groups: dict[Any, list[int]] = {}
    for row, mark in enumerate(marks):
        groups.setdefault(mark, []).append(row)
    for rows in groups.values():
        yield np.array(rows, dtype=np.intp)


def _drawn(read: Reader, given: Given, rows: Rows) -> Drawn:
    form = _form(given, rows)
    network = expand(form)
    area = given.at(rows, "main_area")
    if given.wires["main_switch"][rows[0]] == "none":
        network = _bridged(network, "main switch", area)
    if given.wires["precharge"][rows[0]] == 0.0:
        network = network.without("pre-charge")
    if given.wires["fuse_rating"][rows[0]] == 0.0:
        for k in range(1, form.side_by_side + 1):
            network = _bridged(network, f"fuse {k}", given.at(rows, "lead_area"))
    if given.wires["poles"][rows[0]] == "tied to the water":
        network = network.adding(Bond(name="tie to the water", start="minus bus", end="water"))
    return Drawn(rows=rows, network=_with_joints(read, network, rows))


def _bridged(network: Network, name: str, area: Array) -> Network:
    """Put a piece of lead where an element is missing."""
    gone = network.named(name)
    if not isinstance(gone, TwoPole):
        return network
    wire = Lead(name=f"lead for {name}", start=gone.start, end=gone.end, area=area, length=BRIDGE)
    return network.without(name).adding(wire)


def _form(given: Given, rows: Rows) -> Wiring:
    w, first = given.wires, int(rows[0])

    def lead(area: str, length: str, **more: Any) -> Lead:
        return Lead(
            **NONE, area=given.at(rows, area), length=given.at(rows, length), insulation=given.at(rows, "insulation"),
            **more,
        )  # fmt: skip

    return Wiring(
        in_series=int(w["modules_in_series"][first]),
        side_by_side=int(w["modules_side_by_side"][first]),
        contacts=int(w["contacts"][first]),
        inputs=int(w["inputs"][first]),
        module=Module(**NONE, cell=given.kinds[first], **{name: values[rows] for name, values in given.module.items()}),
        stub=lead("lead_area", "stub_length"),
        fuse=Fuse(
            **NONE, rating=given.at(rows, "fuse_rating"), voltage_limit=given.at(rows, "fuse_voltage"),
            interrupting=given.at(rows, "fuse_interrupting"),
        ),
        lead=lead("lead_area", "lead_length"),
        jumper=lead("lead_area", "jumper_length"),
        contact=Contact(
            **NONE, diameter=given.at(rows, "contact_diameter"), worn=given.flag(rows, "contact_wear", "worn"),
            insulated=given.flag(rows, "contact_cover", "covered"), resistance=given.at(rows, "contact_resistance"),
        ),
        switch=Switch(**NONE),
        precharge=Precharge(**NONE, resistance=given.at(rows, "precharge")),
        main=lead("main_area", "main_length"),
        controller=Controller(**NONE, phases=PHASES, **{k: value[rows] for k, value in given.controller.items()}),
        phase=lead("phase_area", "phase_length", bundled=3),
        motor=Motor(name="", phases=PHASES, **{name: values[rows] for name, values in given.motor.items()}),
        receiver=Receiver(
            **NONE, voltage_low=given.radio.receiver_least[rows], voltage_limit=given.at(rows, "receiver_limit"),
            current=given.radio.receiver_power[rows] / given.radio.receiver_voltage[rows],
        ),
        **_radio(given, rows),
    )  # fmt: skip


def _radio(given: Given, rows: Rows) -> dict[str, Any]:
    """Return what feeds the receiver."""
    w, first = given.wires, int(rows[0])
    feed, fused = given.feed[first], w["receiver_fuse"][first] != 0.0
    cells = given.at(rows, "receiver_cells")
    thin = Lead(**NONE, area=given.at(rows, "receiver_area"), length=given.at(rows, "main_length"))
    out: dict[str, Any] = {"supply_lead": thin}
    if feed != OWN:
        out["supply"] = Supply(
            **NONE, out_start="", out_end="", output_voltage=given.radio.receiver_voltage[rows],
            voltage_limit=given.at(rows, "step_down_limit"),
        )  # fmt: skip
        if fused:
            out["supply_fuse"] = Fuse(
                **NONE, rating=given.at(rows, "receiver_fuse"),
                voltage_limit=given.at(rows, "fuse_voltage"), interrupting=given.at(rows, "fuse_interrupting"),
            )  # fmt: skip
    if feed != STEP_DOWN:
        out["battery"] = Module(
            **NONE, cell="lco pouch", series=cells, parallel=1.0, capacity=OWN_CELL["capacity"], charge=0.5,
            open_voltage=OWN_CELL["volts"] * cells, full_voltage=OWN_CELL["full"] * cells,
            resistance=OWN_CELL["resistance"] * cells,
        )  # fmt: skip
        if w["signal_ground"][first] == "joined":
            out["ground"] = replace(thin)
    return out


FIELDS = {"start", "end", "cell"}
"""Fields of a joint that are texts."""


def _with_joints(read: Reader, network: Network, rows: Rows) -> Network:
    """Return the network with the joints that the maker wrote: changed, added or left out."""
    faults: list[Fault] = []
    for name in read.build.names["joint"]:
        given = {
            path.rpartition(".")[2]: _value(read, path, rows)
            for path in read.build.values
            if path.rpartition(".")[0] == f"joint.{name}"
        }
        kind, gone = given.pop("kind", None), bool(given.pop("left_out", False))
        there = name in network.names
        if there and gone:
            network = network.without(name)
        elif there and kind is None:
            known = set(network.named(name).__dataclass_fields__)
            if strange := sorted(set(given) - known):
                faults.append(_fault(read, name, f"{', '.join(strange)} written", ", ".join(sorted(known - {"name"}))))
            else:
                network = network.changing(name, **given)
        elif gone or kind is None:
            faults.append(_fault(read, name, "no such element", f"a kind for a new one, or {', '.join(network.names)}"))
        else:
            made = element({"kind": kind, "name": name, **given}, f"joint.{name}", read.build.file)
            if isinstance(made, Element):
                network = network.without(name).adding(made)
            else:
                faults.append(made)
    if faults:
        raise BuildFileError(faults)
    return network


def _value(read: Reader, path: str, rows: Rows) -> Any:
    value = read.build.values[path]
    if isinstance(value, str | bool):
        return value
    return read.number(path)[rows]


def _fault(read: Reader, name: str, got: str, allowed: str) -> Fault:
    return Fault(file=read.build.file, line=None, field=f"joint.{name}", got=got, allowed=allowed, example="")


def cooling(read: Reader) -> Cooling:
    """Return where the heat of the controller goes."""
    listed, surfaces = table("heat/materials"), table("heat/surfaces")
    deck = [surfaces.texts["surface"].index(name) for name in read.names("sun.board")]
    place = [listed.texts["material"].index(name) for name in read.names("box.wall_material")]
    return Cooling(
        seat=read.names("controller.seat"),
        limit=read.number("controller.temperature_limit"),
        wall_conductivity=listed.columns["conductivity"][place],
        absorptance=surfaces.columns["absorptance"][deck],
        irradiance=read.number("sun.irradiance"),
        air_temperature=read.number("sun.air_temperature"),
        wall_density=listed.columns["density"][place],
        **numbers(
            read,
            "controller",
            "label_current skin_area sink_area sink_mass plate_area plate_mass pad_resistance plate_wet",
        ),
        **numbers(read, "box", "wall_thickness air_area air_volume"),
    )


def charger(read: Reader) -> Charger:
    """Return charging, keeping and carrying."""
    return Charger(
        cell_limit=read.number("cell.charge_limit"),
        **numbers(
            read,
            "charger",
            "voltage current efficiency temperature time balance_current cell_spread stored_charge",
        ),
        **choices(read, "charger", "protection source place state carriage"),
    )
