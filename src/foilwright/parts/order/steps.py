"""The steps from the first cut to the water: time, waiting, jigs, what must be done before, points of no return."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.physics import workshop
from foilwright.questions.state import State
from foilwright.questions.state.making import PRINTING_DAY

WEEK = 7.0 * 86400.0
FIRST = "Before the first cut"
"""Stage in which the printer runs beside everything else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step."""

    stage: str
    does: str
    hours: float = 0.0
    waits: float = 0.0  # h
    jig: str = ""
    caution: str = ""
    last_chance: str = ""  # what must be done before, because it cannot be done after


def hours_of(state: State) -> dict[str, float]:
    """Return the hours of each task for the first design."""
    rows = table("workshop/tasks")
    amounts = state.making.quantities
    out = {}
    for name, key, start, each in zip(
        rows.texts["task"], rows.texts["key"], rows.columns["outset"].tolist(), rows.columns["each"].tolist(),
        strict=True,
    ):  # fmt: skip
        out[name] = start + each * float(np.asarray(amounts[key]).reshape(-1)[0])
    return out


def steps(state: State) -> tuple[Step, ...]:
    """Return the steps of a build, in order."""
    craft, m = state.craft, state.making
    task = hours_of(state)
    shop, s = craft.workshop, craft.structure
    cure = (
        float(np.asarray(workshop.cure(cure_time=shop.cure_time[:1], temperature=shop.room_temperature[:1]))[0]) / 3600
    )
    printing = float(m.print_time[0]) / 3600.0 / max(float(shop.printers[0]), 1.0) / PRINTING_DAY
    layers = int(m.layers[0])
    bolts = f"{int(s.base.bolts[0])} {s.base.size[0]}"
    insert = s.base.insert[0]
    made = [
        Step(stage=FIRST, hours=2.0,
            does="Weigh a cube of the foam; lay a drop of resin on a scrap of foam and of each print and look after a"
            " day; cut three test strips of the laminate for the strength test; look at every part that comes (see"
            " the list of what to buy).",
            caution="Know where the burn gel, the extinguisher and the way out are."),
        Step(stage=FIRST, hours=task["printing: setting up and cleaning"], waits=printing,
            does="Start the prints in the order of the print plan; jigs and gauges first, they are needed early.",
            caution="Do not leave a printer alone in the house; hot nozzle and bed; fumes of ABS and ASA outdoors."),
        Step(stage="Blank", hours=task["templates and marking out"],
            does="Print the templates, measure the bar on each sheet, glue them together, mark out the sheets."),
        Step(stage="Blank", hours=task["cutting and gluing foam"], waits=cure * max(layers - 1, 1),
            does=f"Cut the pieces, glue each of {layers} layers, then layer on layer, flat and weighted.",
            jig="straight bench or two rails, weights",
            last_chance="the channel for the leads and pockets that lie inside one layer"),
        Step(stage="Blank", hours=task["shaping rails and rocker"],
            does="Outline, bottom and deck line by the rocker template, rails by their sections; both sides in turn.",
            jig="rail sections, rocker template, long straight edge",
            caution="Foam dust: mask and fresh air; a plane takes fingers as it takes foam."),
        Step(stage="Insert and box", hours=task["pockets and inserts"], waits=cure,
            does=f"Cut the pocket of the {insert}, glue it in with thickened resin, bolts ({bolts}, waxed) standing in"
            " the drilling jig; set the box or its pocket; lay the pipe or a cord for the leads.",
            jig="drilling jig of the base, a square against the middle line",
            last_chance="place and angle of the mast: measure twice against the middle line before the resin gels"),
        Step(stage="Skin", hours=task["sealing the foam"], waits=0.3 * cure,
            does="Seal the foam with thickened resin, so that it drinks none of the laminate's."),
        Step(stage="Skin", hours=0.55 * task["laying up"], waits=cure,
            does="Bottom: mast patch first, then every ply, wet in wet, strips staggered; round the rail to the deck.",
            jig="cradle or two padded trestles",
            caution="Gloves, sleeves, eyes, air; a batch is poured out at once, a cup that warms goes outdoors.",
            last_chance="anything that is to lie under the bottom skin"),
        Step(stage="Skin", hours=0.45 * task["laying up"], waits=cure,
            does="Deck: whole plies, then those under the feet, each a little smaller; second mast patch over the"
            " insert.",
            caution="Gloves, sleeves, eyes, air.",
            last_chance="leads, pipe for the antenna, vent and handles: after this skin the board is closed"),
        Step(stage="Skin", hours=0.5, waits=0.5 * cure, does="Fill coat over the weave, sanded lightly between coats."),
    ]  # fmt: skip
    if np.isfinite(s.laminate.post_cure[0]):
        warm = s.laminate.post_cure[0] - 273.15
        made.append(
            Step(stage="Skin", hours=1.0, waits=14.0, jig="warm box or tent with a fan and two thermometers",
                does=f"Cure warm at {warm:.0f} °C, no faster than 10 K an hour, the board lying free on its cradle.",
                caution="Watch the heater, keep it away from foam; foam blisters above 75 °C.")
        )  # fmt: skip
    made += [
        Step(stage="Finish", hours=task["sanding and filling"] + task["paint and deck"], waits=24.0,
            does="Sand, fill, paint (white: dark decks soften in the sun), glue the deck pad; open drains and vent.",
            caution="Sanding glass: dust mask, covered skin, wet if you can."),
        Step(stage="Foil", hours=task["mast and base: fitting and drilling"],
            does=f"Drill the flange with the template, fit the mast, {bolts} {s.base.grade[0]} with washers as planned,"
            " torque as in the cards.",
            jig="drilling template of the base", last_chance="bolts of unlike metals: isolate them first"),
        Step(stage="Foil", hours=task["wings: fairing and sanding"], waits=cure if _wrapped(state) else 0.0,
            does="Fair wings by their section gauges, lay wraps, sand along the flow to the stated finish.",
            jig="section gauges"),
        Step(stage="Foil", hours=1.0, jig="cradles with a level or a phone on them",
            does=f"Rig the angles: wing {_deg(craft.wing.incidence)}, stabiliser {_deg(craft.stabiliser.incidence)} to"
            " the bottom of the board; shims as in the cards; write down what you measure."),
        Step(stage="Drive", hours=task["motor housing and propeller"],
            does="Motor into its housing, shaft sealed, propeller with its pin and nut; hold the guard or a glove over"
            " the blades whenever the pack is joined.",
            caution="A propeller cuts to the bone: no pack joined while hands are near it.",
            last_chance="leads through the mast before the housing is closed"),
        Step(stage="Electrics", hours=task["pack: sorting and joining cells"],
            does="Sort and join the cells, tape every free pole, fuse in the plus lead at the pack.",
            caution="No rings or watch; one pole open at a time; a cell that sparks, smells or warms goes outdoors."),
        Step(stage="Electrics", hours=task["wiring and box"],
            does="Leads by the cut list, lugs by the crimper that fits them, labels on both ends; box closed and held"
            " under vacuum as in the cards.",
            jig="label sheet, drilling template of the lid"),
        Step(stage="Trials", hours=task["bench tests and first checks"],
            does="Bench tests, proof load of the mast, weighing, then the staged trials: foilwright ready prints the"
            " cards.",
            caution="First runs tied down in a tub, everybody behind the plane of the propeller."),
    ]  # fmt: skip
    return tuple(made)


def _wrapped(state: State) -> bool:
    s = state.craft.structure
    return bool(s.mast.wrap[0] + s.wing.wrap[0] + s.stabiliser.wrap[0] > 0.0)


def _deg(angle: np.ndarray) -> str:
    return f"{np.degrees(float(angle[0])):+.1f}°"
