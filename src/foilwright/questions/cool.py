"""`cool`: how hot does everything get, and when?"""

from __future__ import annotations

import numpy as np

from foilwright.questions.endure import PACK, RIDE
from foilwright.questions.finding import Finding, Maker
from foilwright.questions.push import CRUISE, MOTOR
from foilwright.questions.rise import THRUST
from foilwright.questions.state import State
from foilwright.questions.state.heat import CASES, DRY, FULL

SEAT = (
    "controller.seat controller.skin_area controller.sink_area controller.plate_area controller.plate_wet"
    " controller.pad_resistance controller.mass box.air_area box.wall_material box.wall_thickness sun.board"
    " sun.irradiance sun.air_temperature water.temperature"
    " factors.controller_heat_resistance factors.pack_heat_resistance"
)
LUMPS = (
    "Lumps of controller, sink, box, plate and pack (Churchill and Chu 1975, Incropera); heat of the controller 3 % of"
    " its input and more at part throttle (common practice)"
)
SOFT = 353.15
"""Foam, prints and solder soften above it [K]."""
AIR_LIMIT = 333.15
"""Air in which receiver, cells and prints last [K]."""
ASKED_FULL, ASKED_DRY = 90.0, 120.0
"""Full throttle in a row, and cruise with a dry plate, that must be borne [s] (judgement)."""


class Cool:
    """Temperatures over the ride."""

    name = "cool"
    asks = "How hot do controller, motor, leads, contacts, box and cells get, and when?"

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        make = Maker(question=self.name, designs=state.craft.designs)
        _controller(make, state)
        _times(make, state)
        _around(make, state)
        _rest(make, state)
        return make.made


def _controller(make: Maker, state: State) -> None:
    h, c = state.heat, state.craft.cooling
    make.add(
        "controller", name="Controller at its warmest in the ride", part="controller", meaning="burns",
        kind="difference", scale=20.0, demand=h.controller, capacity=c.limit, unit="K", required=10.0,
        required_why="films and pads are known to a quarter; a bigger sink in a closed box only delays it",
        source=LUMPS, model="heat.cooling_network", inputs=f"{SEAT} {RIDE} controller.temperature_limit",
        temperature=h.controller, cases=tuple(dict.fromkeys(c.seat)),
        case=np.array([list(dict.fromkeys(c.seat)).index(seat) for seat in c.seat], dtype=np.intp),
    )  # fmt: skip
    make.add(
        "label", name="Motor current at cruise against what its seat leaves of the label's", part="controller",
        meaning="burns", demand=h.phase, capacity=np.nan_to_num(h.label), unit="A", required=0.0,
        required_why="label currents are given for cooled units: a closed box leaves 20 to 50 %, until it is measured",
        source="Assumed derating by seat (judgement)", model="heat.derated_current",
        inputs=f"controller.label_current controller.seat {CRUISE}", applies=~np.isnan(c.label_current),
    )  # fmt: skip


def _times(make: Maker, state: State) -> None:
    h, w = state.heat, state.heat.warmed
    for key, case, name, asked, why in (
        ("full_throttle", FULL, "Full throttle until the controller is too hot", ASKED_FULL,
         "a few take-offs in a row"),
        ("dry_plate", DRY, "Cruise power with the plate out of the water until the controller is too hot", ASKED_DRY,
         "a plate cools only while it is wet: on the beach or high over the water it is a plate in air"),
    ):  # fmt: skip
        make.add(
            key, name=name, part="controller", meaning="stops" if case == FULL else "annoys",
            demand=np.full(make.designs, asked), capacity=w.to_limit[:, case], unit="s", required=0.25,
            required_why=why, source=LUMPS, model="heat.transient",
            inputs=f"{SEAT} {THRUST if case == FULL else CRUISE} controller.temperature_limit",
            cases=(CASES[case], f"{CASES[case]}: an hour and more"), case=(~w.met[:, case]).astype(np.intp),
            applies=None if case == FULL else np.isin(state.craft.cooling.seat, ("wetted plate", "mast or pod")),
        )  # fmt: skip
    make.add(
        "winding", name="Winding after a minute of full throttle from cruise", part="motor", meaning="burns",
        kind="difference", scale=20.0, demand=h.winding, capacity=state.craft.drive.winding_limit, unit="K",
        required=5.0, required_why="the path from winding to water is not known better",
        source=f"{MOTOR}; one lump and one thermal resistance", model="heat.winding_temperature",
        inputs=f"{THRUST} motor.thermal_resistance motor.mass motor.winding_limit", temperature=h.winding,
    )  # fmt: skip


def _around(make: Maker, state: State) -> None:
    h = state.heat
    make.add(
        "box_air", name="Air in the box at its warmest in the ride", part="box", meaning="breaks", kind="difference",
        scale=20.0, demand=h.box_air, capacity=np.full(make.designs, AIR_LIMIT), unit="K", required=5.0,
        required_why="receiver, cells and prints last up to some 60 degC", source=LUMPS, model="heat.box_resistance",
        inputs=f"{SEAT} {RIDE}", temperature=h.box_air,
    )  # fmt: skip
    insulation = np.minimum(state.craft.harness.insulation, 378.15)
    make.add(
        "leads", name="Hottest lead if cruise lasts", part="wires", meaning="burns", kind="difference", scale=20.0,
        demand=h.lead, capacity=insulation, unit="K", required=10.0,
        required_why="leads lie together, in foam and under covers",
        source="Heat balance of a lead in still air, copper of IEC 60028", model="heat.lead_temperature",
        inputs=f"wires.lead_area wires.main_area wires.phase_area wires.inputs wires.insulation {CRUISE}",
        temperature=h.lead, cases=h.lead_cases, case=h.lead_case,
    )  # fmt: skip
    make.add(
        "contacts", name="Hottest contact if cruise lasts", part="wires", meaning="burns", kind="difference",
        scale=20.0, demand=h.contact, capacity=np.full(make.designs, SOFT), unit="K", required=5.0,
        required_why="foam, prints and solder soften from 80 degC; heat loosens the spring, and that makes more heat",
        source="30 K at the rating of a new contact, with the square of the current (common practice)",
        model="contact.pair", inputs=f"wires.contacts wires.contact_diameter wires.contact_wear {CRUISE} {SEAT}",
        temperature=h.contact,
    )  # fmt: skip


def _rest(make: Maker, state: State) -> None:
    h = state.heat
    apart = np.stack([h.cell_residual, h.copper_residual, h.winding_residual])
    make.add(
        "cells", name="Cells at the end of the ride if they gave no heat off", part="pack", meaning="burns",
        kind="difference", scale=20.0, demand=h.cells_uncooled, capacity=state.craft.pack.temperature_limit, unit="K",
        required=0.0, required_why="a pack in foam or potting keeps nearly all of its heat: this is the most it gets",
        source="Heat of the ride over the heat that the cells store", model="pack.ride", inputs=f"{PACK} {RIDE}",
        temperature=h.cells_uncooled,
    )  # fmt: skip
    make.add(
        "closure", name="Cells, leads and winding of the ride against those that the drive was worked out with",
        part="drive", meaning="annoys", kind="difference", scale=20.0, demand=np.abs(apart).max(axis=0),
        capacity=np.full(make.designs, 25.0), unit="K", required=0.0,
        cases=("cells", "leads", "winding at cruise"), case=np.round(np.abs(apart), 6).argmax(axis=0),
        required_why="thrust and time are worked out in one pass with warm cells and copper; 25 K change the"
        " resistance by a fifth",
        source="Temperature of copper (IEC 60028) and of cells (Arrhenius)", model="conductor.temperature_factor",
        inputs=f"{PACK} {RIDE}", applies=state.run.found,
    )  # fmt: skip
