"""The network that the wiring of a craft stands for: one for all designs of the same structure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.assemble.reader import same
from foilwright.assemble.wiring import OWN, STEP_DOWN
from foilwright.build.network import Wiring, element, expand, pole
from foilwright.build.schema import Joint
from foilwright.core.errors import BuildFileError, Fault
from foilwright.craft import Craft
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

Array = npt.NDArray[np.float64]
Rows = npt.NDArray[np.intp]
NONE: dict[str, Any] = dict(pole(""))
PHASES = ("", "", "")
BRIDGE = 0.05
"""Length of the piece of lead that stands where there is no fuse or switch [m]."""
OWN_CELL = {"capacity": 2.5 * 3600.0, "resistance": 50e-3, "volts": 3.9, "full": 4.2}
"""A cell of a receiver's own battery: capacity [A s], resistance [ohm], voltages [V] (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A network of one structure, and the designs that have it; modules without their voltages yet."""

    rows: Rows
    network: Network


def drawn(craft: Craft) -> tuple[Drawn, ...]:
    """Return the networks of all designs.

    Raises
    ------
    BuildFileError
        A joint that the maker wrote fits no element.
    """
    return tuple(Drawn(rows=rows, network=_network(craft, rows)) for rows in _structures(craft))


def _structures(craft: Craft) -> Iterator[Rows]:
    """Yield the designs of each structure."""
    h = craft.harness
    marks = zip(
        *(values.tolist() for values in (h.modules_in_series, h.modules_side_by_side, h.contacts, h.inputs)),
        *((values == 0.0).tolist() for values in (h.fuse_rating, h.precharge, h.receiver_fuse)),
        (name == "none" for name in h.main_switch), h.signal_ground, h.poles, h.receiver_feed, craft.pack.kind,
        strict=True,
    )  # fmt: skip
    groups: dict[Any, list[int]] = {}
    for row, mark in enumerate(marks):
        groups.setdefault(mark, []).append(row)
    for rows in groups.values():
        yield np.array(rows, dtype=np.intp)


def _network(craft: Craft, rows: Rows) -> Network:
    h, first = craft.harness, int(rows[0])
    network = expand(_form(craft, rows))
    if h.main_switch[first] == "none":
        network = _bridged(network, "main switch", h.main_area[rows])
    if h.precharge[first] == 0.0:
        network = network.without("pre-charge")
    if h.fuse_rating[first] == 0.0:
        for k in range(1, int(h.modules_side_by_side[first]) + 1):
            network = _bridged(network, f"fuse {k}", h.lead_area[rows])
    if h.poles[first] == "tied to the water":
        network = network.adding(Bond(name="tie to the water", start="minus bus", end="water"))
    return _with_joints(network, h.joints, rows)


def _bridged(network: Network, name: str, area: Array) -> Network:
    """Put a piece of lead where an element is missing."""
    gone = network.named(name)
    if not isinstance(gone, TwoPole):
        return network
    wire = Lead(name=f"lead for {name}", start=gone.start, end=gone.end, area=area, length=BRIDGE)
    return network.without(name).adding(wire)


def _form(craft: Craft, rows: Rows) -> Wiring:
    h, d, first = craft.harness, craft.drive, int(rows[0])
    insulation = h.insulation[rows]

    def lead(area: Array, length: Array, **more: Any) -> Lead:
        return Lead(**NONE, area=area[rows], length=length[rows], insulation=insulation, **more)

    return Wiring(
        in_series=int(h.modules_in_series[first]),
        side_by_side=int(h.modules_side_by_side[first]),
        contacts=int(h.contacts[first]),
        inputs=int(h.inputs[first]),
        module=_module(craft, rows),
        stub=lead(h.lead_area, h.stub_length),
        fuse=Fuse(
            **NONE, rating=h.fuse_rating[rows], voltage_limit=h.fuse_voltage[rows],
            interrupting=h.fuse_interrupting[rows],
        ),
        lead=lead(h.lead_area, h.lead_length),
        jumper=lead(h.lead_area, h.jumper_length),
        contact=Contact(
            **NONE, diameter=h.contact_diameter[rows], worn=same(h.contact_wear, "worn")[rows],
            insulated=same(h.contact_cover, "covered")[rows], resistance=h.contact_resistance[rows],
        ),
        switch=Switch(**NONE),
        precharge=Precharge(**NONE, resistance=h.precharge[rows]),
        main=lead(h.main_area, h.main_length),
        controller=Controller(
            **NONE, phases=PHASES, voltage_limit=d.voltage_limit[rows], current_limit=d.battery_current_limit[rows],
            capacitance=h.capacitance[rows], braking=same(h.braking, "on")[rows],
        ),
        phase=lead(d.phase_area, d.phase_length, bundled=3),
        motor=Motor(
            name="", phases=PHASES, wanted=np.where(same(d.hand, "right"), 1.0, -1.0)[rows],
            sense=np.array([{"right": 1.0, "left": -1.0}.get(h.rotation[row], UNKNOWN) for row in rows]),
        ),
        **_radio(craft, rows),
    )  # fmt: skip


def _module(craft: Craft, rows: Rows) -> Module:
    h, p = craft.harness, craft.pack
    beside = (p.parallel / h.modules_side_by_side)[rows]
    return Module(
        **NONE, cell=p.kind[rows[0]], series=(p.series / h.modules_in_series)[rows], parallel=beside,
        capacity=p.capacity[rows] * beside, charge=p.start_charge[rows],
        charge_limit=h.cell_charge_limit[rows] * beside, current_limit=p.cell_current_limit[rows] * beside,
    )  # fmt: skip


def _radio(craft: Craft, rows: Rows) -> dict[str, Any]:
    """Return the receiver and what feeds it."""
    h, r, first = craft.harness, craft.radio, int(rows[0])
    feed, cells = h.receiver_feed[first], h.receiver_cells[rows]
    thin = Lead(**NONE, area=h.receiver_area[rows], length=h.main_length[rows])
    out: dict[str, Any] = {
        "supply_lead": thin,
        "receiver": Receiver(
            **NONE, voltage_low=r.receiver_least[rows], voltage_limit=h.receiver_limit[rows],
            current=(r.receiver_power / r.receiver_voltage)[rows],
        ),
    }  # fmt: skip
    if feed != OWN:
        out["supply"] = Supply(
            **NONE, out_start="", out_end="", output_voltage=r.receiver_voltage[rows],
            voltage_limit=h.step_down_limit[rows],
        )  # fmt: skip
        if h.receiver_fuse[first] != 0.0:
            out["supply_fuse"] = Fuse(
                **NONE, rating=h.receiver_fuse[rows], voltage_limit=h.fuse_voltage[rows],
                interrupting=h.fuse_interrupting[rows],
            )  # fmt: skip
    if feed != STEP_DOWN:
        out["battery"] = Module(
            **NONE, cell="lco pouch", series=cells, parallel=1.0, capacity=OWN_CELL["capacity"], charge=0.5,
            open_voltage=OWN_CELL["volts"] * cells, full_voltage=OWN_CELL["full"] * cells,
            resistance=OWN_CELL["resistance"] * cells,
        )  # fmt: skip
        if h.signal_ground[first] == "joined":
            out["ground"] = replace(thin)
    return out


def _with_joints(network: Network, joints: dict[str, dict[str, Any]], rows: Rows) -> Network:
    """Return the network with the joints that the maker wrote: changed, added or left out."""
    faults: list[Fault] = []
    for name, written in joints.items():
        given = {key: value[rows] if isinstance(value, np.ndarray) else value for key, value in written.items()}
        kind, gone = given.pop("kind", None), bool(given.pop("left_out", False))
        there = name in network.names
        if there and gone:
            network = network.without(name)
        elif there and kind is None:
            known = {field.name for field in fields(network.named(name))}
            if strange := sorted(set(given) - known):
                faults.append(_fault(name, f"{', '.join(strange)} written", ", ".join(sorted(known - {"name"}))))
            else:
                network = network.changing(name, **given)
        elif gone or kind is None:
            faults.append(_fault(name, "no such element", f"a kind for a new one, or {', '.join(network.names)}"))
        else:
            made = element({"kind": kind, "name": name, **given}, f"joint.{name}", "")
            if isinstance(made, Element):
                network = network.without(name).adding(made)
            else:
                faults.append(made)
    if faults:
        raise BuildFileError(faults)
    return network


def _fault(name: str, got: str, allowed: str) -> Fault:
    return Fault(file="", line=None, field=f"joint.{name}", got=got, allowed=allowed, example="")


FIXED = (Controller, Motor, Supply)
"""Elements that a joint changes, but never adds."""


def as_joints(network: Network, *, short: Network | None = None, row: int = 0) -> str:
    """Return the full form of a network: every element as it would stand in a build file, in SI.

    With ``short``, the network of a short form, what that has and this one lacks is left out by name.
    """
    gone = [] if short is None else sorted(set(short.names) - set(network.names))
    parts = [f'[[joint]]\nname = "{name}"\nleft_out = true\n' for name in gone]
    return "\n".join([*parts, *(_as_joint(one, row) for one in network.elements)])


def _as_joint(one: Element, row: int) -> str:
    lines = [f'name = "{one.name}"']
    if not isinstance(one, FIXED):
        lines.append(f'kind = "{type(one).__name__.lower()}"')
    for name, meta in Joint.metas().items():
        value: Any = getattr(one, name, None)
        if name in ("name", "kind", "left_out") or value is None:
            continue
        if not isinstance(value, str):
            values = np.asarray(value).reshape(-1)
            value = values[row if values.size > 1 else 0].item()
        if isinstance(value, str):
            lines.append(f'{name} = "{value}"')
        elif isinstance(value, bool):
            lines.append(f"{name} = {str(value).lower()}")
        elif np.isfinite(value):
            plain = f"{round(value)}" if meta.kind == "count" else f"{float(value)!r}"
            lines.append(f"{name} = {plain}" if meta.unit == "1" else f'{name} = "{plain} {meta.unit}"')
    return "[[joint]]\n" + "\n".join(lines) + "\n"
