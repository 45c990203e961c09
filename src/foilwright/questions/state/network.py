"""The wiring solved as a circuit: the source that the controller sees, and the current of every element."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.assemble.drawn import BRIDGE, Drawn
from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.network import Controller, Lead, Module, Network
from foilwright.physics import cell as cells
from foilwright.physics import heat
from foilwright.physics import pack as packs
from foilwright.physics.circuit import Branches
from foilwright.physics.conductor import resistance_by_area
from foilwright.physics.contact import pair
from foilwright.physics.protection import Fault, Inspection

Flag = npt.NDArray[np.bool_]
Rows = npt.NDArray[np.intp]

WARM = 313.15
"""Temperature of the copper to which a stated resistance of links and leads belongs [K]."""
STRANDED = 1.04
SWITCH = 0.2e-3
"""Resistance of a switch [ohm]."""
FUSE_DROP, USUAL_FUSE = 0.08, 1e3
"""Voltage of a fuse at its rating [V]; rating that stands for one that is not stated [A]."""
STILL = 12.0
"""Film on a lead in still air, radiation with it [W/(m^2*K)]."""
FILLED, COVER = 0.6, 0.8e-3
"""Share of copper in a stranded wire [-], thickness of its insulation [m]."""
HOTTEST = 423.15
"""Temperature beyond which copper is followed no further [K]."""
HALF_GONE = 0.5
"""Open voltage over that of the plain pack below which a network does not stand in for it [-]."""
LEAST = 1e-6
"""Least resistance of the links in a module [ohm]."""
CLOSED = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """A network of one structure solved for its designs (m,); branches b."""

    rows: Rows
    network: Network
    branches: Branches
    share: Array  # (m, b) change of current over that of the controller
    load: float  # 1 where there is a controller, else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class NetworkState:
    """The wiring as a source (n,)."""

    circuits: tuple[Circuit, ...]
    open_voltage: Array  # V, at the controller
    resistance: Array  # ohm
    leads: Array  # ohm, of all but the cells
    harness: Array  # ohm, of leads, contacts, fuses and switch, with warm copper
    stated: Array  # ohm, of links, leads and contacts as the maker states them
    copper_temperature: Array  # K, of the leads
    stands: Flag  # whether the network gives the source; the plain sums do where it is broken


@dataclass(frozen=True, slots=True, kw_only=True)
class Harness:
    """Resistance of leads, contacts, fuses and switch of the short form (n,)."""

    fixed: Array  # ohm, of contacts, fuses and switch
    copper: Array  # m/m^2, length over area

    @classmethod
    def of(cls, craft: Craft) -> Harness:
        """Return the sums along the way from the strings to the controller."""
        h = craft.harness
        contact = contact_resistance(craft) / h.contacts
        fused, switched = h.fuse_rating != 0.0, np.array([name != "none" for name in h.main_switch])
        rating = np.where(np.isnan(h.fuse_rating) | ~fused, USUAL_FUSE, h.fuse_rating)
        fuse = np.where(fused, FUSE_DROP / rating, 0.0)
        length = h.stub_length + 2.0 * h.lead_length + (h.modules_in_series - 1.0) * h.jumper_length
        string = (length + np.where(fused, 0.0, BRIDGE)) / h.lead_area
        main = (2.0 * h.main_length / h.inputs + np.where(switched, 0.0, BRIDGE)) / h.main_area
        return cls(
            fixed=(2.0 * h.modules_in_series * contact + fuse) / h.modules_side_by_side
            + np.where(switched, SWITCH, 0.0),
            copper=string / h.modules_side_by_side + main,
        )

    def at(self, temperature: Array | float = WARM) -> Array:
        """Return the resistance with the copper at a temperature [ohm]."""
        one, warm = np.asarray(1.0), np.asarray(temperature, dtype=np.float64)
        along = resistance_by_area(area=one, temperature=warm, stranding=np.asarray(STRANDED))
        return self.fixed + np.asarray(along) * self.copper


def contact_resistance(craft: Craft) -> Array:
    """Return the resistance of one pair of contacts (n,) [ohm]."""
    h = craft.harness
    made = pair(diameter=h.contact_diameter, worn=np.array([name == "worn" for name in h.contact_wear])).resistance
    return np.where(np.isnan(h.contact_resistance), made, h.contact_resistance)


def lead_diameter(area: Array) -> Array:
    """Return the diameter of a lead over its insulation [m]."""
    return 2.0 * np.sqrt(area / (np.pi * FILLED)) + 2.0 * COVER


def lead_temperature(area: Array, current: Array, ambient: Array) -> Array:
    """Return the temperature of a lead in still air [K]."""
    hot = heat.lead_temperature(
        area=area, diameter=lead_diameter(area), current=current, ambient=ambient, film=STILL, stranding=STRANDED
    )
    return np.asarray(np.minimum(hot, HOTTEST))


def network_state(
    craft: Craft,
    drawn: tuple[Drawn, ...],
    *,
    cell_voltage: Array,
    cell_resistance: Array,
    copper_temperature: Array | float = WARM,
) -> NetworkState:
    """Return the wiring solved; voltage and resistance are those of one cell (n,)."""
    p, h = craft.pack, craft.harness
    stated = p.link_resistance * craft.factors.pack_resistance
    drawn_in = Harness.of(craft)
    links = np.maximum(stated - drawn_in.at(), LEAST)
    plain = p.series / p.parallel * cell_resistance
    hot = np.broadcast_to(np.asarray(copper_temperature, dtype=np.float64), plain.shape)
    volts, ohms = p.series * cell_voltage, np.full(craft.designs, np.nan)
    open_voltage = np.full(craft.designs, np.nan)
    circuits = []
    for each in drawn:
        rows = each.rows
        network = _filled(
            each, voltage=cell_voltage[rows], resistance=cell_resistance[rows],
            links=(links * h.modules_side_by_side / h.modules_in_series)[rows],
        )  # fmt: skip
        branches = Branches.of(network, temperature=hot[rows])
        found = branches.solve()
        controllers = [one.name for one in network.of(Controller)]
        load = branches.load_names.index(controllers[0]) if controllers else 0
        open_voltage[rows], ohms[rows] = found.open_voltage[..., load], found.resistance[..., load]
        share = np.broadcast_to(found.share[..., load, :], (rows.size, len(branches.names)))
        circuits.append(
            Circuit(rows=rows, network=network, branches=branches, share=share, load=float(bool(controllers)))
        )
    stands = np.isfinite(ohms) & (ohms > CLOSED) & (open_voltage > HALF_GONE * volts)
    harness = drawn_in.at(hot)
    sums = links + harness
    return NetworkState(
        circuits=tuple(circuits),
        open_voltage=np.where(stands, open_voltage, volts),
        resistance=np.where(stands, ohms, plain + sums),
        leads=np.where(stands, np.maximum(ohms - plain, CLOSED), sums),
        harness=harness,
        stated=stated,
        copper_temperature=hot,
        stands=stands,
    )


def _filled(drawn: Drawn, *, voltage: Array, resistance: Array, links: Array, now: bool = False) -> Network:
    """Return a network whose modules have voltage and resistance where none are written in."""
    values = {}
    for one in drawn.network.of(Module):
        if one.name == "receiver battery":
            continue
        ohms = np.asarray(one.series) / np.asarray(one.parallel) * resistance + links
        volts = np.asarray(one.series) * voltage
        given = np.asarray(one.resistance, dtype=np.float64), np.asarray(one.open_voltage, dtype=np.float64)
        values[one.name] = {
            "resistance": np.where(np.isnan(given[0]), ohms, given[0]),
            "open_voltage": np.where(np.isnan(given[1]), volts, given[1]) if now else volts,
        }
    for fuse in drawn.network.elements:
        if not now and getattr(fuse, "rating", None) is not None and np.isnan(fuse.rating).any():  # type: ignore[attr-defined]
            values[fuse.name] = {"rating": np.where(np.isnan(fuse.rating), USUAL_FUSE, fuse.rating)}  # type: ignore[attr-defined]
    return drawn.network.with_values(values)


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What the rules found on the networks of one structure, by name of rule."""

    rows: Rows
    network: Network
    found: dict[str, list[Fault]]


@dataclass(frozen=True, slots=True, kw_only=True)
class LookState:
    """What the rules found on every network."""

    looks: tuple[Look, ...]
    cell_voltage: Array  # (n,) V, of one cell when the pack is joined
    cell_resistance: Array  # (n,) ohm, at once


def look_state(
    craft: Craft, drawn: tuple[Drawn, ...], tables: cells.CellTables, full: Array, sustained: Array
) -> LookState:
    """Look at every network with all rules, as it is when the maker joins it.

    ``full`` is the voltage of a full cell [V], ``sustained`` the lasting resistance of a cell at 25 degC [ohm].
    """
    p, h = craft.pack, craft.harness
    voltage = np.asarray(packs.open_voltage(cell=tables, charge=p.start_charge, series=1.0))
    at_once = np.asarray(
        packs.resistance(
            cell=tables, charge=p.start_charge, temperature=p.temperature, cell_resistance=sustained, series=1.0,
            parallel=1.0, leads=0.0, lasting="instant",
        )
    )  # fmt: skip
    links = np.maximum(p.link_resistance - Harness.of(craft).at(), LEAST) * h.modules_side_by_side / h.modules_in_series
    made = []
    for each in drawn:
        rows = each.rows
        network = _filled(
            _apart(craft, _charged(craft, each, full[rows])), voltage=voltage[rows], resistance=at_once[rows],
            links=links[rows], now=True,
        )  # fmt: skip
        made.append(Look(rows=rows, network=network, found=_looked(network)))
    return LookState(looks=tuple(made), cell_voltage=voltage, cell_resistance=at_once)


def _charged(craft: Craft, drawn: Drawn, full: Array) -> Drawn:
    """Return the network with the full voltage of its modules, and the open one of those that the maker changed."""
    values = {}
    charge, kinds = craft.pack.start_charge[drawn.rows], craft.pack.kind
    for one in drawn.network.of(Module):
        other = one.cell != kinds[drawn.rows[0]]
        mine = cells.limits(kinds=one.cell).charge_end if other else full
        told = np.asarray(one.full_voltage, dtype=np.float64)
        values[one.name] = {"full_voltage": np.where(np.isnan(told), np.asarray(one.series) * mine, told)}
        known = np.asarray(one.open_voltage, dtype=np.float64)
        if (other or not np.array_equal(np.asarray(one.charge), charge)) and np.isnan(known).any():
            rest = packs.open_voltage(cell=one.cell, charge=np.asarray(one.charge), series=np.asarray(one.series))
            values[one.name]["open_voltage"] = np.where(np.isnan(known), np.asarray(rest), known)
    return Drawn(rows=drawn.rows, network=drawn.network.with_values(values))


def _apart(craft: Craft, drawn: Drawn) -> Drawn:
    """Return the network with the first string fuller than the others by what the maker allows."""
    h, rows = craft.harness, drawn.rows
    count = int(h.modules_side_by_side[rows[0]])
    if count < 2:
        return drawn
    gap = h.voltage_apart[rows]
    voltage = np.asarray(
        packs.open_voltage(
            cell=cells.gather(kinds=[craft.pack.kind[row] for row in rows]), charge=craft.pack.start_charge[rows],
            series=1.0,
        )
    )  # fmt: skip
    values = {}
    for one in drawn.network.of(Module):
        if one.name.startswith("module ") and np.isnan(np.asarray(one.open_voltage, dtype=np.float64)).all():
            part = (count - 1.0) / count if one.name.startswith("module 1.") else -1.0 / count
            values[one.name] = {"open_voltage": np.asarray(one.series) * (voltage + part * gap)}
    return Drawn(rows=rows, network=drawn.network.with_values(values))


KEPT: dict[bytes, dict[str, list[Fault]]] = {}
MOST = 128
"""Networks whose inspection is kept: the same wiring asked again, with another wing, is not looked at twice."""


def _looked(network: Network) -> dict[str, list[Fault]]:
    network = _told_once(network)
    key = b"".join(_content(network))
    if key not in KEPT:
        if len(KEPT) >= MOST:
            KEPT.pop(next(iter(KEPT)))
        KEPT[key] = Inspection.compared(network)
    return KEPT[key]


def _told_once(network: Network) -> Network:
    """Return the network with one design, where all that it stands for are wired alike."""
    values: dict[str, dict[str, Array]] = {}
    for one in network.elements:
        for name in one.__dataclass_fields__:
            value = getattr(one, name)
            if isinstance(value, np.ndarray) and value.size > 1:
                first = value[:1]
                if not ((value == first) | ((value != value) & (first != first))).all():  # noqa: PLR0124
                    return network
                values.setdefault(one.name, {})[name] = first
    return network.with_values(values) if values else network


def _content(network: Network) -> Iterator[bytes]:
    for one in network.elements:
        yield type(one).__name__.encode()
        for name in one.__dataclass_fields__:
            value = getattr(one, name)
            yield value.tobytes() if isinstance(value, np.ndarray) else repr(value).encode()


def hottest_lead(circuit: Circuit, current: Array, ambient: Array) -> tuple[Array, Array, tuple[str, ...]]:
    """Return temperature [K] and current [A] of each lead of the pack (m, leads), and their names."""
    leads = [one for one in circuit.network.of(Lead) if one.name in circuit.branches.names]
    places = [circuit.branches.names.index(one.name) for one in leads]
    flows = np.abs(circuit.share[:, places]) * current[:, None]
    area = np.stack([np.broadcast_to(one.area, current.shape) for one in leads], axis=1)
    return lead_temperature(area, flows, ambient[:, None]), flows, tuple(one.name for one in leads)
