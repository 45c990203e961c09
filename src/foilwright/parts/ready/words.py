"""Words for the numbers of a build, by the name that stands in braces in a card's text, and what a card may ask."""

from __future__ import annotations

import math

import numpy as np

from foilwright.parts.ready.facts import GRAVITY, Facts, percent, pull, shown
from foilwright.parts.ready.workshop import turned
from foilwright.physics import joint, pack
from foilwright.questions.state.motions import HIGHEST
from foilwright.questions.state.run import CLEARANCE

KEEP = 0.7
"""Water asked below the board beyond the length of the mast [m] (common practice)."""
SLOWED = 0.8
"""Share of the speed to which a coasting craft is timed."""
LEAST_PULL, LEAST_HUMP = 0.85, 1.3
"""Least bollard pull over the computed one, and over the resistance of the hump (common practice)."""
NEAR = 0.25
"""How far cruise power and tow pull may miss the computed value before it means something (common practice)."""
VACUUM, CAUTIOUS_VACUUM, LEAST_VACUUM = 20e3, 5e3, 3e3
"""Vacuum of a hold, where the lid is not known, and the least that tells anything [Pa] (common practice)."""
LID_SHARE = 0.5
"""Share of a lid's strength that a vacuum hold may use."""
FULL = 0.995
"""Share of the throttle from which the release asks for nothing to be taken back."""
STORED = (0.3, 0.6)
"""Charges between which a pack is kept (common practice of cell makers)."""
STRONG = 512.0
"""Static thrust from which a rule of the United States asks for a cut-off link [N] (46 USC 4312: 115 lbf)."""
WET_VOLTAGE, DRY_VOLTAGE = 30.0, 60.0
"""Direct voltages that are held to be touchable wet and dry [V] (IEC 61140, IEC 60364-7)."""
COLD, VERY_COLD = 288.15, 283.15
"""Water in which cold shock counts, and in which nobody goes alone [K]."""


def words(facts: Facts) -> dict[str, str]:
    """Return every number that a text may name, as text."""
    return {**_craft(facts), **_electric(facts), **_afloat(facts), **_aloft(facts), **_box(facts), **_link(facts)}


def conditions(facts: Facts) -> dict[str, bool]:
    """Return what a text may depend on."""
    craft, state = facts.state.craft, facts.state
    materials = {str(facts.build.values.get(f"{part}.material", "")) for part in ("mast", "wing", "stabiliser")}
    return {
        "flies": facts.flies,
        "rises": bool(state.run.found[0]),
        "salt": bool(craft.water.salinity[0] > 1.0),
        "cold": bool(craft.water.temperature[0] < COLD),
        "very cold": bool(craft.water.temperature[0] < VERY_COLD),
        "printed": any("printed" in name for name in materials),
        "lid known": bool(np.isfinite(state.dryness.lid.stress[0])),
        "lid weak": vacuum(facts) < LEAST_VACUUM,
        "strong": bool(state.drive.bollard[0] >= STRONG),
        "above dry limit": bool(state.supply.full_voltage[0] > DRY_VOLTAGE),
        "above wet limit": bool(state.supply.full_voltage[0] > WET_VOLTAGE),
        "precharge": bool(craft.harness.precharge[0] > 0.0),
        "eases": bool(facts.number("release_throttle") < FULL),
        "grave": bool(facts.grave),
        "floats flooded": bool(state.floating.boxes_flooded[0] > 0.0),
        "stop known": bool(np.isfinite(state.link.stop.thrust_time[0])),
    }


def _craft(facts: Facts) -> dict[str, str]:
    craft, w = facts.state.craft, facts.state.weights
    base, preload = craft.structure.base, facts.state.footing.preload
    rpm = craft.drive.speed_constant[0] * 30.0 / np.pi
    return {
        "name": facts.build.name,
        "file": facts.build.file,
        "version": facts.build.hash,
        "posture": craft.rider.posture[0],
        "rider_mass": shown(craft.rider.mass, "kg"),
        "rider_with_kit": shown(w.rider, "kg"),
        "craft_mass": shown(w.masses.mass, "kg"),
        "total_mass": shown(w.total, "kg"),
        "balance_point": f"{w.masses.x[0] * 100:.0f} cm",
        "board_length": f"{craft.board.length[0] * 100:.0f} cm",
        "board_volume": shown(w.masses.hull_volume, "m^3"),
        "skin_mass": f"{craft.board.skin_mass[0]:.2f} kg/m²",
        "foam_density": f"{craft.board.foam_density[0]:.0f} kg/m³",
        "wing_angle": shown(craft.wing.incidence, "rad"),
        "stabiliser_angle": shown(craft.stabiliser.incidence, "rad"),
        "mast_length": shown(craft.mast.length, "m"),
        "base_bolts": f"{base.bolts[0]:.0f} x {base.size[0]} {base.grade[0].upper()}",
        "base_torque": turned(preload, joint.fastener(sizes=base.size, grades=base.grade)),
        "base_preload": f"{preload[0] / 1e3:.1f} kN",
        "hand": craft.drive.hand[0],
        "turns": "clockwise" if craft.drive.hand[0] == "right" else "anticlockwise",
        "speed_constant": shown(craft.drive.speed_constant, "rad/s/V"),
        "drill_volts": f"{1000.0 / rpm:.2f} V",
        "drill_meter": f"{1000.0 / rpm / math.sqrt(2.0):.2f} V",
        "motor_resistance": shown(craft.drive.resistance, "ohm"),
        "winding_limit": shown(craft.drive.winding_limit, "K"),
        "pole_pairs": f"{craft.drive.pole_pairs[0]:.0f}",
    }


def _electric(facts: Facts) -> dict[str, str]:
    state, craft = facts.state, facts.state.craft
    s, p = state.supply, craft.pack
    series, point = p.series[0], state.points.point
    low, high = (pack.open_voltage(cell=s.tables, charge=np.array([share]), series=p.series) for share in STORED)
    end = pack.open_voltage(cell=s.tables, charge=state.ride.end_charge, series=np.ones(1))
    alike = s.cell_resistance[0] * series / p.parallel[0] + s.leads[0]
    return {
        "series": f"{series:.0f}",
        "parallel": f"{p.parallel[0]:.0f}",
        "cells": f"{series * p.parallel[0]:.0f}",
        "charge_end": shown(s.limits.charge_end * series, "V"),
        "charge_end_cell": shown(s.limits.charge_end, "V"),
        "full_voltage": shown(s.full_voltage, "V"),
        "stop_voltage": shown(s.stop_voltage, "V"),
        "stop_voltage_cell": shown(s.stop_voltage / series, "V"),
        "warn_voltage": shown(s.limits.warn * series, "V"),
        "store_low": shown(low, "V"),
        "store_high": shown(high, "V"),
        "pack_resistance": shown(alike, "ohm"),
        "drop_at_20": f"{20.0 * alike:.2f} V",
        "links_at_20": f"{20.0 * s.leads[0] * 1e3:.0f} mV",
        "link_resistance": shown(s.leads, "ohm"),
        "charge_coldest": shown(s.limits.charge_low, "K"),
        "charge_hottest": shown(s.limits.charge_high, "K"),
        "pack_warm": shown(np.fmin(s.limits.warm, p.temperature_limit - 10.0), "K"),
        "pack_stop": shown(p.temperature_limit, "K"),
        "capacity": shown(p.capacity * p.parallel, "A*s"),
        "slow_charge": shown(p.capacity * p.parallel / 3600.0 * 0.5, "A"),
        "label_energy": f"{s.label_energy[0] / 3600.0:.0f} Wh",
        "end_charge": percent(state.ride.end_charge),
        "end_voltage_cell": shown(end, "V"),
        "reserve": percent(craft.ride.reserve),
        "ride_energy": f"{state.ride.energy[0] / 3600.0:.0f} Wh",
        "precharge_wait": shown(np.maximum(state.loads.precharge_wait, 1.0), "s", digits=2),
        "full_amps": shown(point.pack_current[0, 0], "A"),
        "standby": shown(craft.drive.standby, "W"),
        "idle_current": shown(craft.drive.idle_current, "A"),
    }


def _afloat(facts: Facts) -> dict[str, str]:
    state, craft = facts.state, facts.state.craft
    run, rest = state.run, state.floating.rest
    bollard = state.drive.bollard[0]
    return {
        "bollard": pull(bollard),
        "bollard_least": pull(max(LEAST_PULL * bollard, LEAST_HUMP * run.least_resistance[0])),
        "bollard_half": pull(LEAST_PULL * bollard),
        "hump_speed": shown(run.least_speed, "m/s"),
        "hump_resistance": pull(run.least_resistance),
        "hump_limit": pull((1.0 + NEAR) * run.least_resistance),
        "hump_thrust": pull(run.least_thrust),
        "freeboard": f"{rest.freeboard[0, 0] * 100:.0f} cm",
        "flooded": pull(state.floating.boxes_flooded),
        "limp_power": shown(state.ride.limp_power, "W"),
        "limp_most": shown(state.ride.limp_power * (1.0 + NEAR), "W"),
        "home": shown(craft.ride.home, "m"),
        "limp_distance": f"{state.ride.limp_distance[0] / 1000:.1f} km",
        "water_temperature": shown(craft.water.temperature, "K"),
        "least_depth": f"{craft.mast.length[0] + KEEP:.2f} m",
        "keel": f"{craft.mast.length[0] + 0.1 + CLEARANCE:.2f} m",
        "depth": shown(craft.water.depth, "m"),
        "chop": f"{craft.water.chop[0] * 100:.0f} cm",
        "chop_most": f"{math.floor(_most_chop(facts) * 100)} cm",
        "mast_needed": f"{state.motions.mast_needed[0] * 100:.0f} cm",
        "wind": f"{craft.water.wind[0]:.0f} m/s",
        "turns_free": f"{state.points.free_speed[0] * 30.0 / np.pi:.0f} rpm",
    }


def _most_chop(facts: Facts) -> float:
    """Return the chop at which the mast is just long enough, from what it needs in the chop of the build [m]."""
    state, craft = facts.state, facts.state.craft
    return float(np.maximum(craft.water.chop + (craft.mast.length - state.motions.mast_needed) / HIGHEST, 0.0)[0])


def _aloft(facts: Facts) -> dict[str, str]:
    state = facts.state
    take_off, glide = facts.number("take_off_speed"), facts.number("glide_ratio")
    cruise, power = facts.number("cruise_speed"), facts.number("cruise_electric_power")
    point = state.points.point
    slowing = (1.0 - SLOWED) * cruise * glide / GRAVITY
    range_, energy = facts.number("ride_range"), state.ride.energy[0] / 3600.0
    way = float(np.sum(state.craft.ride.speed[0] * state.craft.ride.time[0])) / 1000.0
    return {
        "take_off": shown(take_off, "m/s"),
        "take_off_late": shown(1.15 * take_off, "m/s"),
        "take_off_time": f"{facts.number('take_off_time'):.0f} s",
        "take_off_distance": f"{facts.number('take_off_distance'):.0f} m",
        "take_off_power": shown(facts.number("take_off_electric_power"), "W"),
        "release_throttle": percent(facts.number("release_throttle")),
        "release_pull": pull(state.release.held),
        "slow": shown(facts.number("slowest_flight"), "m/s"),
        "fast": shown(facts.number("fastest_flight"), "m/s"),
        "cruise": shown(cruise, "m/s"),
        "cruise_power": shown(power, "W"),
        "cruise_most": shown((1.0 + NEAR) * power, "W"),
        "cruise_amps": shown(point.pack_current[0, 3], "A"),
        "cruise_drag": pull(facts.number("cruise_drag")),
        "glide": shown(glide),
        "coast_from": shown(cruise, "m/s"),
        "coast_to": shown(SLOWED * cruise, "m/s"),
        "coast_time": f"{slowing:.1f} s",
        "run_time": shown(facts.number("run_time"), "s"),
        "range": f"{range_ / 1000.0:.1f} km",
        "per_km": f"{energy / way:.0f} Wh",
        "asked_time": shown(state.ride.asked, "s"),
        "half_time": shown(0.5 * state.ride.asked, "s"),
    }


def vacuum(facts: Facts) -> float:
    """Return the vacuum that a hold may use on this lid: by its strength, and by a bow of its thickness [Pa]."""
    lid, thickness = facts.state.dryness.lid, facts.state.craft.box.lid_thickness[0]
    bears = LID_SHARE * lid.strength[0] * lid.softened[0] / lid.stress[0]
    return float(min(VACUUM, bears, thickness / lid.bow[0])) if np.isfinite(bears) else CAUTIOUS_VACUUM


def _box(facts: Facts) -> dict[str, str]:
    state, box = facts.state, facts.state.craft.box
    held = vacuum(facts)
    return {
        "vacuum": f"{held / 1e3:.0f} kPa",
        "vacuum_mbar": f"{held / 100.0:.0f} mbar",
        "lid_bow": f"{state.dryness.lid.bow[0] * held * 1e3:.1f} mm",
        "closed_temperature": shown(box.closed_temperature, "K"),
        "suction": shown(-state.dryness.trapped.closed.swing, "Pa"),
    }


def _link(facts: Facts) -> dict[str, str]:
    link, radio = facts.state.link, facts.state.craft.radio
    return {
        "distance": shown(radio.distance, "m"),
        "far": shown(3.0 * radio.distance, "m"),
        "link_margin": f"{link.near[0, 0]:.0f} dB",
        "stop_thrust": f"{link.stop.thrust_time[0]:.2f} s",
        "stop_way": f"{link.stop.stop_distance[0]:.0f} m",
        "band": f"{radio.frequency[0] / 1e6:.0f} MHz",
        "antenna": radio.antenna_place[0],
        "rating": radio.transmitter_rating[0] or "not stated",
        "link_stop": "0.5 s",
    }
