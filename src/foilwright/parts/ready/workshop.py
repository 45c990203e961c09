"""Tables of the workshop: goods-in, as built, torque, proof load, shims, plugging in."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.parts.ready.card import GAP
from foilwright.parts.ready.facts import GRAVITY, Facts, shown
from foilwright.physics import joint
from foilwright.questions.state.motions import AT
from foilwright.study import wiring

Row = tuple[str, ...]
GREASED = 0.12
"""Friction of a stainless bolt with anti-seize (Shigley; practice)."""
TIGHT = 0.75
"""Share of its proof load to which a bolt is tightened."""
SIZES = ("M4", "M5", "M6", "M8")
PROOF = 1.25
"""Proof load over the largest moment that the rider can put in (common practice)."""
SHIMS = (-1.0, -0.5, 0.5, 1.0)
"""Changes of the stabiliser's angle [deg]."""


def goods(facts: Facts) -> Iterable[Row]:
    """Return what was ordered and what to look at when it comes."""
    yield "Part", "Ordered as", "Look at and measure", "Reading"
    ordered = _ordered(facts)
    book = table("cards/goods").texts
    for part, look in zip(book["part"], book["look"], strict=True):
        yield *ordered[part], look, GAP


def _ordered(facts: Facts) -> dict[str, tuple[str, str]]:
    """Return each part as the sheet names it, and as it was ordered."""
    craft, full = facts.state.craft, shown(facts.state.supply.full_voltage, "V")
    d, p, base, radio = craft.drive, craft.pack, craft.structure.base, craft.radio
    size = f"{d.diameter[0] * 100:.1f} x {d.pitch[0] * 100:.1f} cm"
    constants = f"{shown(d.speed_constant, 'rad/s/V')}, {shown(d.resistance, 'ohm')}, {shown(d.motor_mass, 'kg')}"
    rated = radio.transmitter_rating[0] or "rating not stated"
    return {
        "cells": (f"{p.series[0] * p.parallel[0]:.0f} cells",
                  f"{p.kind[0]}, {shown(p.capacity, 'A*s')}, {shown(p.cell_mass, 'kg')}"),
        "controller": ("controller", f"at least {full}, {shown(d.battery_current_limit, 'A')} from the pack"),
        "motor": ("motor", constants),
        "propeller": ("propeller", f"{size}, {d.blades[0]:.0f} blades, {d.hand[0]} hand"),
        "mast": ("mast", f"{craft.mast.length[0] * 100:.0f} cm, chord {craft.mast.chord[0] * 1000:.0f} mm"),
        "bolts": (f"{base.bolts[0]:.0f} bolts of the base", f"{base.size[0]} {base.grade[0].upper()}"),
        "fuse": ("fuse and holder", f"direct current, at least {full}"),
        "radio": ("radio", f"{radio.frequency[0] / 1e6:.0f} MHz, transmitter {rated}"),
        "foam": ("foam", f"{craft.board.foam_density[0]:.0f} kg/m³"),
        "resin": ("resin, cloth", "as the laminate asks"),
    }  # fmt: skip


def as_built(facts: Facts) -> Iterable[Row]:
    """Return designed sizes with room for those of the finished craft."""
    craft = facts.state.craft
    d, angle = craft.drive, "rad"
    yield "What", "Designed", "As built", "Write it as"
    for name, part in (("wing", craft.wing), ("stabiliser", craft.stabiliser)):
        yield f"{name}, span", f"{part.span[0] * 1000:.0f} mm", GAP, f"{name}.span"
        yield f"{name}, mean chord", f"{part.area[0] / part.span[0] * 1000:.0f} mm", GAP, f"{name}.area"
        yield f"{name}, angle to the bottom", shown(part.incidence, angle), GAP, f"measured.{name}_incidence"
    yield "wing, left tip less right", "0°", GAP, "measured.wing_twist_left_right"
    yield "wing to stabiliser", f"{craft.fuselage.arm[0] * 1000:.0f} mm", GAP, "stabiliser.arm"
    yield "mast, length", f"{craft.mast.length[0] * 1000:.0f} mm", GAP, "mast.length"
    yield "mast's edge from the tail", f"{craft.mast.x[0] * 1000:.0f} mm", GAP, "mast.x"
    yield "propeller, pitch", f"{d.pitch[0] * 1000:.0f} mm", GAP, "measured.propeller_pitch"
    yield "motor, speed a volt", shown(d.speed_constant, "rad/s/V"), GAP, "measured.motor_speed_constant"
    yield "motor, resistance", shown(d.resistance, "ohm"), GAP, "measured.motor_resistance"
    yield "motor, idle current in water", shown(d.idle_current, "A"), GAP, "measured.motor_idle_current"
    yield "cell, capacity", shown(craft.pack.capacity, "A*s"), GAP, "measured.cell_capacity"
    yield "cell, resistance", shown(facts.state.supply.cell_resistance, "ohm"), GAP, "measured.cell_resistance"
    yield "craft, mass", f"{facts.state.weights.masses.mass[0]:.1f} kg", GAP, "measured.craft_mass"
    yield "craft, balance point", f"{facts.state.weights.masses.x[0] * 1000:.0f} mm", GAP, "measured.balance_point"


def torque(facts: Facts) -> Iterable[Row]:
    """Return tightening torques by size and by what lies under the head."""
    yield "Thread", "Metal on metal", "On laminate or wood", "On a print", "Used at"
    grade = facts.state.craft.structure.base.grade[0]
    for size in SIZES:
        bolt = joint.fastener(sizes=(size,), grades=(grade,))
        told = [
            turned(np.minimum(TIGHT * bolt.proof, _pressed(bolt, pressure)), bolt)
            for pressure in table("cards/clamping").columns["pressure"]
        ]
        yield f"{size} {grade.upper()}", *told, GAP


def turned(preload: Array, bolt: joint.Fastener) -> str:
    """Return the torque that pulls a greased bolt to a preload."""
    moment = joint.tightening_torque(
        preload=preload, diameter=bolt.diameter, pitch=bolt.pitch, friction=np.asarray(GREASED)
    )
    return f"{float(moment[0]):.1f} N·m"


def _pressed(bolt: joint.Fastener, pressure: float) -> Array:
    return joint.washer_limit(pressure=np.asarray(pressure), washer=bolt.washer, hole=bolt.hole)


def retorque(facts: Facts) -> Iterable[Row]:
    """Return the joints whose bolts are followed, with room for dates."""
    yield "Joint", "First ride", "Third", "Tenth", "Each tenth"
    base = facts.state.craft.structure.base
    for name in (
        f"base of the mast, {base.bolts[0]:.0f} x {base.size[0]}", "mast to fuselage", "wing", "stabiliser",
        "motor to its housing", "propeller nut and lock", "lid of the box",
    ):  # fmt: skip
        yield name, GAP, GAP, GAP, GAP


def proof(facts: Facts) -> Iterable[Row]:
    """Return what to hang on the clamped mast, sideways and fore and aft."""
    yield "Way", "Largest moment of the rider", "Hang at the fuselage", "Bow seen", "Lasting bow"
    craft, footing = facts.state.craft, facts.state.footing
    loads, weight = craft.structure.loads, facts.state.weights.rider[0] * GRAVITY
    ways = (
        ("sideways", loads.roll_reach[0], 1.0 / footing.side_use[0]),
        ("fore and aft", loads.pitch_reach[0], min(footing.gives[0], footing.tears[0])),
    )
    for name, reach, gives in ways:
        moment = loads.dynamic[0] * weight * reach
        hung = f"{PROOF * moment / (GRAVITY * craft.mast.length[0]):.0f} kg"
        if PROOF * moment >= gives:
            hung = f"nothing: it gives at {gives:.0f} N·m by the answers"
        yield name, f"{moment:.0f} N·m", hung, GAP, GAP


def shim(facts: Facts) -> Iterable[Row]:
    """Return how far the feet move for a change of the stabiliser's angle, at three speeds."""
    motions = facts.state.motions
    if not facts.flies:
        return
    speeds = [f"{name}, {shown(speed, 'm/s')}" for name, speed in zip(AT, motions.speeds[0], strict=True)]
    yield "Stabiliser's angle", "Packer for 100 mm", *speeds
    for degrees in SHIMS:
        moved = motions.stance_per_angle[0] * np.radians(degrees) * 100.0
        told = [f"{abs(cm):.1f} cm {'forward' if cm > 0.0 else 'back'}" for cm in moved]
        yield f"{degrees:+.1f}°", f"{100.0 * np.tan(np.radians(abs(degrees))):.1f} mm", *told


def plug_in(facts: Facts) -> Iterable[Row]:
    """Return the joints in the order in which they are made, with what stands across each just before."""
    yield "Step", "Close", "Measure first", "Makes", "Done"
    for number, step in enumerate(wiring.steps(facts.state.looks.looks[0].network), 1):
        yield f"{number}", step.name, _measured(step), MAKES[step.makes].format(amps=step.amps), GAP


def _measured(step: wiring.Step) -> str:
    """Return what the meter must read before a joint is made."""
    if not np.isfinite(step.volts):
        return "-"
    return f"{step.volts:.1f} V across it" if step.tied else f"{step.volts:.1f} V, its plug to the minus bus"


MAKES = {
    "nothing": "no current",
    "little": "{amps:.1f} A, then dies away",
    "filling": "{amps:.1f} A, then dies away: wait until it reads below 1 V",
    "spark": "{amps:.0f} A, a hard spark: not before a pre-charge is fitted and written in the build",
    "stop": "STOP, {amps:.0f} A would flow: do not join, bring the strings to one voltage first",
    "unknown": "not known: write wires.precharge",
}
"""What joining makes, by the kind of step."""
