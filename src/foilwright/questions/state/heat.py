"""How warm everything gets: controller, box and plate over the ride, at full throttle, and with its plate dry."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import heat
from foilwright.questions.state.loads import Loads
from foilwright.questions.state.network import hottest_lead, lead_temperature
from foilwright.questions.state.points import Points
from foilwright.questions.state.ride import BARE_CELL, CELL_MASS, RideState
from foilwright.questions.state.supply import SupplyState

Flag = npt.NDArray[np.bool_]
Index = npt.NDArray[np.intp]

CASES = ("over the ride", "at full throttle", "at cruise power with its plate dry")
RIDE, FULL, DRY = range(3)
STEPS = 9
"""Steps of time of each case; against 72 the warmest controller changes by less than 2 K, a time by 3 %."""
LONGEST = 3600.0
"""Time after which full throttle and a dry plate are followed no further [s]."""
PLATES = ("wetted plate", "mast or pod")
FAN = 4.0
"""Films in a box with a fan over those in still air."""
STREAM = 40.0
"""Film of a stream of air on a controller outside [W/(m^2*K)]."""
WATER_FILM, WIND_FILM, STILL_FILM = 3000.0, 25.0, 10.0
INNER_FILM = 8.0
FREE_AIR = 0.006
"""Air in the box where it is not stated [m^3]."""
CONTACT_RISE = 30.0
"""Rise of a new contact at its rating [K] (common practice)."""
MOTOR_HEAT = 450.0
"""Specific heat of a motor [J/(kg*K)]."""
NOTED = 1e-6
"""Difference by which one lead counts as hotter than another [K]."""
SPURT = 60.0
"""Full throttle that a motor must bear [s]."""
CONTROLLER, SINK, BOX_AIR, SKIN, PLATE, PACK, AIR, WATER = (
    heat.NODES.index(name) for name in ("controller", "sink", "box air", "box skin", "plate", "pack", "air", "water")
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Warmed:
    """Temperatures (n, cases, time, nodes) [K] at times (n, cases, time) [s]; time to the controller's limit [s]."""

    time: Array
    temperature: Array
    to_limit: Array  # (n, cases), LONGEST where it is not met
    met: Flag  # (n, cases)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatState:
    """Heat and temperatures (n,)."""

    warmed: Warmed
    heat: Array  # (n, cases) W, of the controller, the mean over the ride
    controller: Array  # K, warmest in the ride
    box_air: Array  # K, warmest in the ride
    lead: Array  # K, hottest at cruise
    lead_cases: tuple[str, ...]
    lead_case: Index
    contact: Array  # K, hottest at cruise
    winding: Array  # K, after a spurt of full throttle from cruise
    cells_uncooled: Array  # K, at the end of the ride if they gave nothing off
    label: Array  # A, what is left of the label's current in its seat; NaN where not stated
    label_low: Array
    label_high: Array
    phase: Array  # A, root of the mean square, at cruise
    cell_residual: Array  # K, cells at half charge in the ride over those that the drive was worked out with
    copper_residual: Array  # K, the same for the leads
    winding_residual: Array  # K, the same for the winding at cruise


def heat_state(craft: Craft, supply: SupplyState, points: Points, ride: RideState, loads: Loads) -> HeatState:
    """Return how warm everything gets."""
    made, time = heat_made(craft, supply, points, ride)
    warmed = warm(craft, heat_made=made, time=time, flies=ride.flies)
    air = warmed.temperature[:, RIDE, :, BOX_AIR].max(axis=1)
    contact = loads.contact_current / loads.contact_limit * loads.cruise / np.maximum(loads.most, 1e-9)
    phase = np.where(points.point.found, points.phase_current, 0.0)[:, 3] / np.sqrt(2.0)
    label, low, high = _label(craft)
    return HeatState(
        warmed=warmed, heat=made[..., CONTROLLER].mean(axis=2),
        controller=warmed.temperature[:, RIDE, :, CONTROLLER].max(axis=1), box_air=air,
        contact=air + CONTACT_RISE * contact * contact, winding=_winding(craft, points),
        winding_residual=np.where(points.point.found[:, 3], points.winding[:, 3] - points.winding_before, 0.0),
        cells_uncooled=_uncooled(craft, supply, ride), phase=phase,
        label=label, label_low=low, label_high=high,
        **_leads(craft, supply, loads, air, phase), **_residuals(craft, supply, ride, loads, air),
    )  # fmt: skip


def heat_made(craft: Craft, supply: SupplyState, points: Points, ride: RideState) -> tuple[Array, Array]:
    """Return the heat made (n, cases, steps, nodes) [W] and the times (n, cases, steps + 1) [s]."""
    n, p = craft.designs, points.point
    drawn = np.where(p.found, p.pack_power, 0.0)
    own = np.where(p.found, p.loss_controller / np.maximum(p.pack_power, 1.0), 0.0)
    most, cruise = drawn.max(axis=1), drawn[:, 3]
    duty = np.clip(np.where(p.found, p.duty, 1.0)[:, 3], 0.0, 1.0)
    ends = np.cumsum(craft.ride.time, axis=1)
    clock = np.linspace(0.0, 1.0, STEPS + 1)
    times = np.empty((n, len(CASES), STEPS + 1))
    times[:, RIDE] = clock * np.maximum(ends[:, -1:], 1.0)
    times[:, FULL:] = LONGEST * clock**3
    middle = 0.5 * (times[:, RIDE, 1:] + times[:, RIDE, :-1])
    leg = (middle[..., None] >= ends[:, None, :-1]).sum(axis=-1)
    power = np.empty((n, len(CASES), STEPS))
    power[:, RIDE] = np.take_along_axis(ride.power, leg, axis=1)
    power[:, FULL], power[:, DRY] = most[:, None], cruise[:, None]
    part = np.repeat(duty[:, None], len(CASES), axis=1)
    part[:, FULL] = 1.0
    share = np.stack([own[:, 3], own.max(axis=1, where=p.found, initial=0.0), own[:, 3]], axis=1)
    made = controller_heat(power, part[..., None], most[:, None, None], share[..., None])
    out = np.zeros((n, len(CASES), STEPS, len(heat.NODES)))
    out[..., CONTROLLER] = made
    volts = supply.supply.open_voltage[:, None, None]
    current = power / volts
    outside = supply.network.harness
    within = np.maximum(supply.network.resistance - outside, 0.0)
    out[..., PACK] = current * current * within[:, None, None]
    out[..., BOX_AIR] = current * current * outside[:, None, None]
    lit = craft.cooling.absorptance * craft.cooling.irradiance * craft.cooling.air_area
    out[..., SKIN] = lit[:, None, None]
    return out, times


def controller_heat(power: Array, duty: Array, rated: Array, share: Array) -> Array:
    """Return the heat of the controller [W]: common practice, or the drive's own loss where that is more."""
    usual = np.asarray(heat.controller_heat(electric_power=power, duty=duty, rated_power=rated))
    return np.maximum(usual, share * power)


def warm(craft: Craft, *, heat_made: Array, time: Array, flies: Flag) -> Warmed:
    """Return the temperatures of every case; the seat of the controller decides the way of its heat."""
    c, n = craft.cooling, craft.designs
    seat = np.array([list(SEATS).index(name) for name in c.seat])
    plate, mast, fan, stream = (np.asarray(seat == k) for k in (2, 3, 1, 4))
    flying = np.where(flies.any(axis=1), c.plate_wet, 1.0)
    wet = np.stack([np.where(mast, 1.0, flying), np.ones(n), np.zeros(n)], axis=1)
    by_plate = (plate | mast).astype(np.float64)
    inside = INNER_FILM * np.where(fan, FAN, 1.0)
    cooling = craft.pack.cooling / craft.factors.pack_heat_resistance
    cell_area = cooling * BARE_CELL / CELL_MASS * craft.pack.cell_mass * craft.pack.series
    film = np.array([WIND_FILM, WIND_FILM, STILL_FILM])
    net = heat.cooling_network(
        box_area=_wide(c.air_area), wall_thickness=_wide(c.wall_thickness),
        wall_conductivity=_wide(c.wall_conductivity),
        box_volume=_wide(np.where(np.isnan(c.air_volume), FREE_AIR, c.air_volume)),
        wall_mass=_wide(c.air_area * c.wall_thickness * c.wall_density),
        controller_area=_wide(c.skin_area * np.where(fan, FAN, 1.0) * np.where(mast | stream, 0.0, 1.0)),
        controller_mass=_wide(craft.drive.controller_mass),
        pack_area=_wide(cell_area * craft.pack.parallel / INNER_FILM),
        pack_mass=_wide(craft.pack.series * craft.pack.parallel * craft.pack.cell_mass),
        inner_film=_wide(inside), outer_film=film, sink_area=_wide(c.sink_area * np.where(fan, FAN, 1.0)),
        sink_mass=_wide(np.where(c.sink_area > 0.0, c.sink_mass, 1e-3)),
        sink_conductance=_wide(np.where(c.sink_area > 0.0, 20.0, 0.0)),
        plate_area=_wide(np.where(stream, c.skin_area, c.plate_area * by_plate)),
        plate_mass=_wide(np.where(by_plate > 0.0, c.plate_mass, 1e-3)),
        plate_conductance=_wide(np.where(stream, 100.0, by_plate / c.pad_resistance)),
        plate_film=_wide(np.where(stream, STREAM, WATER_FILM)), wet_share=np.where(stream[:, None], 1.0, wet),
    )  # fmt: skip
    warmer = craft.factors.controller_heat_resistance[:, None, None]
    held = np.stack([c.air_temperature, np.where(stream, c.air_temperature, craft.water.temperature)], axis=1)
    start = np.maximum(craft.water.temperature, c.air_temperature)
    found = heat.transient(
        node=net.node, neighbour=net.neighbour, conductance=net.conductance / warmer, heat=heat_made, fixed=net.fixed,
        fixed_temperature=held[:, None, :], heat_capacity=np.maximum(net.heat_capacity, 1.0),
        start_temperature=start[:, None, None], time=time, exponent=net.exponent,
    )  # fmt: skip
    limit = np.broadcast_to(c.limit[:, None], (n, len(CASES)))
    reached = heat.time_to_limit(time=time, temperature=found.temperature[..., CONTROLLER], temperature_limit=limit)
    return Warmed(
        time=time, temperature=found.temperature,
        to_limit=np.where(reached.found, reached.time, np.maximum(LONGEST, time[..., -1])), met=reached.found,
    )  # fmt: skip


SEATS = ("closed box", "closed box with fan", "wetted plate", "mast or pod", "open air stream")


def _wide(values: Array) -> Array:
    return np.asarray(values)[:, None]


def _winding(craft: Craft, points: Points) -> Array:
    """Return the winding after a spurt of full throttle, from cruise [K]."""
    lag = craft.drive.thermal_resistance * craft.drive.motor_mass * MOTOR_HEAT
    found = points.point.found
    hot = np.where(found, points.winding, -np.inf)[:, 1:3].max(axis=1)
    begin = np.where(found[:, 3], points.winding[:, 3], craft.water.temperature)
    hot = np.where(np.isfinite(hot), hot, begin)
    return np.asarray(np.maximum(begin, begin + (hot - begin) * -np.expm1(-SPURT / lag)))


def _uncooled(craft: Craft, supply: SupplyState, ride: RideState) -> Array:
    """Return the cells at the end of the ride if all their heat stayed in them [K]."""
    share = 1.0 - supply.leads / np.maximum(supply.network.resistance, 1e-9)
    return craft.pack.temperature + share * np.asarray(ride.ride.energy_lost) / supply.heat_capacity


def _label(craft: Craft) -> tuple[Array, Array, Array]:
    """Return the label's current as its seat leaves it: value, low, high [A]."""
    c = craft.cooling
    shares = {seat: heat.derated_current(label_current=1.0, seat=seat) for seat in dict.fromkeys(c.seat)}
    value, low, high = (
        np.array([float(getattr(shares[seat], name)) for seat in c.seat]) * c.label_current
        for name in ("value", "low", "high")
    )
    return value, low, high


def _leads(craft: Craft, supply: SupplyState, loads: Loads, air: Array, phase: Array) -> dict[str, Any]:
    """Return the hottest lead at cruise; phase leads run three in a bundle through the mast."""
    hottest = np.asarray(lead_temperature(craft.drive.phase_area, phase / 0.7, craft.water.temperature))
    names: dict[str, int] = {"phase leads": 0}
    case = np.zeros(craft.designs, dtype=np.intp)
    for each in supply.network.circuits:
        warm_, _, leads = hottest_lead(each, loads.cruise[each.rows], air[each.rows])
        at = np.round(warm_, 6).argmax(axis=1)
        here = warm_[np.arange(each.rows.size), at]
        places = np.array([names.setdefault(name, len(names)) for name in leads])
        hotter = here > hottest[each.rows] + NOTED
        case[each.rows] = np.where(hotter, places[at], case[each.rows])
        hottest[each.rows] = np.where(hotter, here, hottest[each.rows])
    return {"lead": hottest, "lead_cases": tuple(names), "lead_case": case}


def _residuals(craft: Craft, supply: SupplyState, ride: RideState, loads: Loads, air: Array) -> dict[str, Any]:
    """Return how far the temperatures of the ride are from those that the drive was worked out with [K]."""
    r = ride.ride
    at = (r.state_of_charge > supply.charge[:, None]).sum(axis=1)
    at = np.minimum(at, r.temperature.shape[1] - 1)
    cells = r.temperature[np.arange(craft.designs), at]
    copper = lead_temperature(craft.harness.main_area, loads.cruise / craft.harness.inputs, air)
    return {
        "cell_residual": cells - supply.supply.temperature,
        "copper_residual": copper - supply.network.copper_temperature,
    }


def warmth(craft: Craft, found: HeatState, ride: RideState) -> dict[str, Array]:
    """Return the temperatures of one design over its ride, as equally long arrays."""
    time, nodes = found.warmed.time[0, RIDE], found.warmed.temperature[0, RIDE]
    return {
        "time": time,
        "controller": nodes[:, CONTROLLER],
        "plate": nodes[:, PLATE] if craft.cooling.seat[0] in PLATES else nodes[:, SKIN],
        "box_air": nodes[:, BOX_AIR],
        "cells": np.interp(time, ride.ride.time[0], ride.ride.temperature[0]),
        "limit": np.full(time.size, float(craft.cooling.limit[0])),
    }
