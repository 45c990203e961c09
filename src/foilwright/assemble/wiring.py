"""The wiring, the cooling and the charger from their fields."""

from __future__ import annotations

from typing import Any

import numpy as np

from foilwright.assemble.parts import choices
from foilwright.assemble.reader import Array, Reader, numbers
from foilwright.core.data import table
from foilwright.craft.wiring import Charger, Cooling, Harness

STEP_DOWN, OWN_STEP_DOWN, OWN = ("the pack through a step-down", "own battery through a step-down", "own battery")
"""What feeds the receiver."""
NUMBERS = (
    "modules_in_series modules_side_by_side contacts inputs contact_diameter contact_resistance lead_area lead_length"
    " stub_length jumper_length main_area main_length insulation fuse_rating precharge precharge_energy receiver_cells"
    " receiver_limit step_down_limit receiver_area receiver_fuse voltage_apart resistance_spread"
)
CHOICES = "contact_wear contact_cover fuse_kind main_switch signal_ground poles rotation braking"


def harness(read: Reader) -> Harness:
    """Return the wiring in its short form, and the joints that differ from it."""
    w: dict[str, Any] = numbers(read, "wires", NUMBERS) | choices(read, "wires", CHOICES)
    for name, column in (("fuse_voltage", "voltage_limit"), ("fuse_interrupting", "interrupting")):
        stated = read.number(f"wires.{name}")
        w[name] = np.where(np.isnan(stated), _of_kind(w["fuse_kind"], column), stated)
    return Harness(
        receiver_feed=_feed(read), capacitance=read.number("controller.capacitance"),
        pulse_frequency=read.number("controller.pulse_frequency"),
        cell_charge_limit=read.number("cell.charge_limit"), joints=_joints(read), **w,
    )  # fmt: skip


def _of_kind(kinds: tuple[str, ...], column: str) -> Array:
    """Return the usual rating of kinds of fuse; NaN where the kind is open."""
    listed = table("wiring/fuses")
    usual = dict(zip(listed.texts["kind"], listed.columns[column].tolist(), strict=True))
    return np.array([usual.get(kind, np.nan) for kind in kinds])


def _feed(read: Reader) -> tuple[str, ...]:
    written, supplies = read.names("wires.receiver_feed"), read.names("radio.receiver_supply")
    return tuple(
        mine or (OWN if theirs == "own cell" else STEP_DOWN) for mine, theirs in zip(written, supplies, strict=True)
    )


def _joints(read: Reader) -> dict[str, dict[str, Any]]:
    """Return what is written of each joint; numbers are (n,)."""
    out: dict[str, dict[str, Any]] = {}
    for name in read.build.names["joint"]:
        given = {path: value for path, value in read.build.values.items() if path.rpartition(".")[0] == f"joint.{name}"}
        out[name] = {
            path.rpartition(".")[2]: value if isinstance(value, str | bool) else read.number(path)
            for path, value in given.items()
        }
    return out


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
