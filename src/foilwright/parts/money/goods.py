"""What to buy: how much, what matters when buying it, how to look at it when it comes, what it costs."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from foilwright.core import units
from foilwright.core.data import table
from foilwright.core.errors import BuildFileError, Fault, PlaceError
from foilwright.questions.state import State

WHOLE = ("piece", "set", "pair", "bolt", "cell")
"""Units that are bought whole."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Own:
    """What the maker's own list says of one thing."""

    price: float | None
    owned: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Good:
    """One line of the list."""

    item: str
    quantity: float  # with reserve
    unit: str
    price: float  # of the unit, in the workshop's currency
    owned: bool
    matters: str
    look: str
    mine: bool  # the price is the maker's own
    how: str  # how much, in words

    @property
    def cost(self) -> float:
        """What is still to be paid."""
        return 0.0 if self.owned else self.quantity * self.price


def goods(state: State, own: Mapping[str, Own]) -> tuple[Good, ...]:
    """Return everything to buy for the first design."""
    rows = table("workshop/prices")
    shop, amounts = state.craft.workshop, state.making.quantities
    matters, looks = specifications(state), arrival()
    out = []
    for item, key, unit, price in zip(
        rows.texts["item"], rows.texts["key"], rows.texts["unit"], rows.columns["price"].tolist(), strict=True
    ):
        amount = float(np.asarray(amounts[key]).reshape(-1)[0])
        if amount <= 0.0:
            continue
        reserve = 1.0 + (float(shop.reserve[0]) if key not in ONE_OFF else 0.0)
        quantity = amount * reserve
        quantity = float(np.ceil(quantity - 1e-9)) if unit.partition(" ")[0] in WHOLE else quantity
        mine = own.get(item)
        told = mine.price if mine and mine.price is not None else price * float(shop.price_level[0])
        out.append(
            Good(
                item=item, quantity=quantity, unit=unit, price=told, owned=bool(mine and mine.owned),
                matters=matters.get(item, ""), look=looks.get(LOOK.get(item, ""), ""),
                mine=bool(mine and mine.price is not None), how=_how(state, item, quantity, unit),
            )
        )  # fmt: skip
    return tuple(out)


def _how(state: State, item: str, quantity: float, unit: str) -> str:
    """Return how much of something as one asks for it in a shop."""
    p, m = state.craft.pack, state.making
    if item == "foam sheets":
        return f"{int(m.sheets[0])} sheets"
    if item == "cells":
        return f"{round(quantity / (float(p.capacity[0]) / 3600.0))} cells"
    if item in ("motor", "controller", "charger"):
        return "1 piece"
    if item == "filament":
        return f"from {quantity:.1f} kg, see the print plan"
    return f"{quantity:.3g} {unit.replace('^2', '²').replace('^3', '³')}"


ONE_OFF = frozenset({"once", "motor", "gears", "controller_current", "charger_power", "fuses", "foam_volume"})
"""Quantities that need no reserve: things, and sheets that are counted whole."""
LOOK = {
    "foam sheets": "foam", "laminating resin with hardener": "resin", "motor": "motor", "propeller": "propeller",
    "controller": "controller", "cells": "cells", "main fuse and holder": "fuse", "throttle and receiver": "radio",
    "bolts inserts and washers": "bolts", "aluminium profile and plate": "mast", "carbon parts": "mast",
}  # fmt: skip
"""Row of the table of what to look at when a part comes."""


def arrival() -> dict[str, str]:
    """Return what to look at when a part comes."""
    listed = table("cards/goods")
    return dict(zip(listed.texts["part"], listed.texts["look"], strict=True))


def specifications(state: State) -> dict[str, str]:
    """Return what matters when buying each thing."""
    craft = state.craft
    s, d, p, h, shop = craft.structure, craft.drive, craft.pack, craft.harness, craft.workshop
    full = float(state.charging.match.full_voltage[0])
    sheet = " x ".join(f"{1000 * float(each[0]):.0f}" for each in (shop.sheet_length, shop.sheet_width))
    return {
        "foam sheets": f"{s.laminate.foam.names[0]}, {sheet} x {1000 * float(shop.sheet_thickness[0]):.0f} mm,"
        f" {float(craft.board.foam_density[0]):.0f} kg/m³; no printed or laminated faces",
        "glass cloth": f"{1000 * float(s.laminate.cloth[0]):.0f} g/m² plain or twill with a finish for epoxy,"
        f" {float(shop.cloth_width[0]):.2f} m wide",
        "carbon cloth": f"{1000 * float(s.laminate.cloth[0]):.0f} g/m², {float(shop.cloth_width[0]):.2f} m wide",
        "laminating resin with hardener": f"{s.laminate.resin[0]}, 100 : {100 * float(shop.mix_ratio[0]):.0f} by mass,"
        f" {float(shop.pot_life[0]) / 60:.0f} min at 25 °C; low viscosity, no styrene on polystyrene foam",
        "filament": f"{shop.filament[0].removeprefix('printed ')} and what the print plan names; dry, one lot",
        "aluminium profile and plate": f"alloy that welds and bears water (6082 or 5083), section as drawn: mast"
        f" {1000 * float(craft.mast.chord[0]):.0f} mm chord",
        "bolts inserts and washers": f"{s.base.size[0]} {s.base.grade[0]}, large washers; grease for stainless threads",
        "motor": f"{_known(d.speed_constant, 9.5493, '{:.0f} rpm/V')},"
        f" {_known(d.resistance, 1000, '{:.0f} mohm')} between leads, shaft {1000 * float(d.shaft_diameter[0]):.0f} mm",
        "propeller": f"{1000 * float(d.diameter[0]):.0f} x {1000 * float(d.pitch[0]):.0f} mm,"
        f" {int(d.blades[0])} blades, {d.hand[0] or 'hand as the motor turns'}",
        "controller": f"at least {full:.0f} V, {_known(d.battery_current_limit, 1, '{:.0f} A from the pack')},"
        f" {_known(d.phase_current_limit, 1, '{:.0f} A a phase')}, restarts at zero throttle only",
        "cells": f"{p.kind[0]}, {float(p.capacity[0]) / 3600:.1f} Ah,"
        f" {_known(p.cell_current_limit, 1, '{:.0f} A lasting')}; one lot, data sheet, no re-wrapped cells",
        "pack: links covers and monitoring": f"{int(p.series[0])} in series, {int(p.parallel[0])} side by side; a board"
        " that watches every group",
        "cable": f"fine strands (class 5 or 6), silicone, {_known(h.main_area, 1e6, '{:.0f} mm² main')},"
        f" {_known(d.phase_area, 1e6, '{:.0f} mm² phases')}, {float(h.insulation[0]) - 273.15:.0f} °C",
        "contacts": f"{1000 * float(h.contact_diameter[0]):.0f} mm, gold, with covers on the side of the pack",
        "main fuse and holder": f"{h.fuse_kind[0]}, {float(h.fuse_rating[0]):.0f} A, at least {full:.0f} V direct"
        f" current, breaks {_known(h.fuse_interrupting, 1, '{:.0f} A')}" if h.fuse_kind[0] else "",
        "main switch or loop key": h.main_switch[0],
        "throttle and receiver": f"{craft.radio.band[0]}, {craft.radio.pairing[0] or 'paired'},"
        f" {craft.radio.trigger[0]}",
        "box lid gasket and screws": f"{craft.box.seal[0]}, {_known(craft.box.fastenings, 1, '{:.0f} screws')}",
        "charger": f"{_known(craft.charger.voltage, 1, '{:.1f} V')}, {_known(craft.charger.current, 1, '{:.0f} A')},"
        " current first, then voltage; ends by itself",
    }  # fmt: skip


def _known(values: np.ndarray, factor: float, told: str) -> str:
    value = float(values[0]) * factor
    return told.format(value) if np.isfinite(value) else told.replace("{:.0f}", "?").replace("{:.1f}", "?")


def own_list(path: Path | None) -> dict[str, Own]:
    """Read the maker's own prices and what is owned: columns item, price, owned.

    Raises
    ------
    BuildFileError
        A row names something that is not on the list, or a price that is no number.
    """
    if path is None:
        return {}
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise PlaceError(
            f"{path} cannot be read: {getattr(error, 'strerror', None) or 'it is no UTF-8 text'}"
        ) from error
    known = table("workshop/prices").texts["item"]
    out: dict[str, Own] = {}
    faults: list[Fault] = []
    reader = csv.DictReader(io.StringIO(text))
    if "item" not in (reader.fieldnames or ()):
        faults.append(_fault(path, 1, "item", "no such column", "a CSV with the columns item, price, owned"))
        raise BuildFileError(faults)
    for number, row in enumerate(reader, 2):
        item, price = (row.get("item") or "").strip(), (row.get("price") or "").strip()
        if item in ("", "all"):
            continue
        if item not in known:
            faults.append(_fault(path, number, "item", units.quoted(item), "an item of materials.csv"))
        try:
            value = float(price) if price else None
        except ValueError:
            value = float("nan")
        if value is not None and not (np.isfinite(value) and value >= 0.0):
            faults.append(_fault(path, number, "price", units.quoted(price), "a number from 0 up"))
        owned = (row.get("owned") or "").strip().lower() in ("yes", "y", "true", "1", "x")
        out[item] = Own(price=value, owned=owned)
    if faults:
        raise BuildFileError(faults)
    return out


def _fault(path: Path, line: int, field: str, got: str, allowed: str) -> Fault:
    return Fault(file=path.name, line=line, field=field, got=got, allowed=allowed, example="motor,180,yes")
