"""The ride through its legs: power of each leg, then charge, voltage and temperature over time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core import solve
from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import cell as cells
from foilwright.physics import drive, pack, rundown
from foilwright.questions.state.drive import DriveState
from foilwright.questions.state.flight import Flight
from foilwright.questions.state.run import Run
from foilwright.questions.state.supply import SupplyState

Flag = npt.NDArray[np.bool_]

BARE_CELL = 0.0531
"""Heat that a bare cell of 69 g gives off in still air [W/K] (10 W/(m^2 K) on 53 cm^2)."""
CELL_MASS = 0.069
STEPS = 6
"""Steps a leg; against 48 they change the last charge by some 3e-5."""
LIMP_SPEED = 1.6
"""Speed of going home slowly on the hull [m/s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RideState:
    """The ride; (n, legs) by leg, (n,) marks."""

    power: Array  # W, mean from the pack, take-offs spread over the leg
    flies: Flag  # the leg's speed lies in the usable band
    feasible: Flag  # the drive holds the leg's speed
    asked: Array  # (n,) s, the whole ride
    ride: rundown.Ride
    mean_speed: Array  # (n,) m/s
    end_charge: Array  # (n,)
    limp_power: Array  # (n,) W
    limp_distance: Array  # (n,) m, on what is left
    cold: Array  # (n,) share of the capacity that the cold leaves
    energy: Array  # (n,) J, drawn in the ride


def ride_state(craft: Craft, supply: SupplyState, power: DriveState, run: Run, flight: Flight) -> RideState:
    """Work out the ride of every design."""
    speed = np.clip(craft.ride.speed, flight.speeds[0], flight.speeds[-1])
    flies = run.found[:, None] & (speed >= flight.slow[:, None]) & (speed <= flight.fast[:, None])
    drag = np.where(
        flies,
        solve.rows(speed, flight.speeds, flight.thrust),
        solve.rows(np.minimum(speed, run.speeds[-1]), run.speeds, run.resistance),
    )
    slow = np.full((craft.designs, 1), LIMP_SPEED)
    every = np.concatenate([drag, solve.rows(slow, run.speeds, run.resistance)], axis=1)
    drive_points = drive.at_thrust(map=power.map, speed=np.concatenate([speed, slow], axis=1), thrust=every)
    found, needed = drive_points.found[:, :-1], drive_points.pack_power[:, :-1]
    limp = np.where(drive_points.found[:, -1], drive_points.pack_power[:, -1], np.inf)
    held = drag <= solve.rows(speed, flight.speeds, power.thrust)
    full = solve.rows(speed, flight.speeds, power.power)
    take_off = np.where(run.found, np.nan_to_num(run.passage.energy), 0.0)[:, None] * craft.ride.take_offs
    drawn = np.where(held & found, needed, full) + np.where(flies, take_off, 0.0) / craft.ride.time
    ridden = _ride(craft, supply, drawn, craft.ride.time)
    asked = craft.ride.time.sum(axis=1)
    end = ridden.state_of_charge[:, -1]
    left = np.maximum(end - craft.pack.stop_charge, 0.0) * supply.label_energy * _cold(craft) * 0.9
    return RideState(
        power=drawn, flies=flies, feasible=held & found, asked=asked, ride=ridden,
        mean_speed=(craft.ride.speed * craft.ride.time).sum(axis=1) / asked, end_charge=end, limp_power=limp,
        limp_distance=left / limp * LIMP_SPEED, cold=_cold(craft), energy=np.asarray(ridden.energy_out),
    )  # fmt: skip


def _cold(craft: Craft) -> Array:
    return np.asarray(cells.cold_share(temperature=craft.pack.temperature).value)


def _ride(craft: Craft, supply: SupplyState, power: Array, time: Array) -> rundown.Ride:
    p = craft.pack
    given_off = p.cooling / craft.factors.pack_heat_resistance
    cooling = given_off * BARE_CELL * (p.cell_mass / CELL_MASS) ** (2.0 / 3.0) * p.series * p.parallel
    return pack.ride(
        cell=supply.tables, series=p.series, parallel=p.parallel, power=power, duration=time,
        temperature=p.temperature, capacity=p.capacity * _cold(craft), cell_resistance=supply.cell_resistance,
        leads=supply.leads, start_charge=p.start_charge, stop_charge=p.stop_charge,
        stop_voltage=supply.stop_voltage, temperature_limit=p.temperature_limit,
        heat_capacity=supply.heat_capacity, cooling=cooling, ambient=p.temperature, steps=STEPS,
    )  # fmt: skip
