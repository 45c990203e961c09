"""The flat numbers and the curves of an answer, under their documented names."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array
from foilwright.physics.water import GRAVITY
from foilwright.questions.state import RUN_SPEEDS, SPEEDS, State
from foilwright.questions.state.heat import warmth
from foilwright.questions.state.link import margin_map
from foilwright.questions.state.structure import along_mast
from foilwright.questions.state.weights import POSTURES

Seats = tuple[dict[str, str | bool | float], ...]
"""A row for each seat of the controller: texts, flags, and numbers in SI."""


def seats(state: State) -> Seats:
    """Return the controller of one design in every seat; NaN where a number does not exist."""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore", under="ignore"):
        p = state.placed
    return tuple(
        {
            "seat": p.seat[k], "sink": float(p.sink[k]), "own": bool(p.own[k]), "controller": float(p.controller[k]),
            "limit": p.limit, "full_throttle": float(p.full_throttle[k]), "dry_plate": float(p.dry_plate[k]),
            "label_share": float(p.label_share[k]),
        }
        for k in range(len(p.seat))
    )  # fmt: skip


def numbers(state: State) -> dict[str, Array]:
    """Return the flat numbers (n,) in SI; NaN where one does not exist."""
    w, run, f, ride = state.weights, state.run, state.flight, state.ride
    cruise = np.where(f.found, f.cruise, np.nan)
    drag = f.at(f.drag, cruise)
    return {
        "total_mass": w.total,
        "board_volume": w.masses.hull_volume,
        "freeboard_prone": state.floating.rest.freeboard[:, POSTURES.index("prone")],
        "hump_speed": run.hump_speed,
        "hump_resistance": run.hump_resistance,
        "hump_thrust": run.hump_thrust,
        "take_off_speed": run.take_off,
        "take_off_time": np.where(run.found, run.passage.time, np.nan),
        "take_off_distance": np.where(run.found, run.passage.distance, np.nan),
        "take_off_electric_power": np.where(run.found, f.at(state.drive.power, run.take_off), np.nan),
        "release_throttle": state.release.throttle,
        "slowest_flight": f.slow,
        "fastest_flight": f.fast,
        "cruise_speed": cruise,
        "cruise_drag": drag,
        "cruise_electric_power": f.at(f.power, cruise),
        "glide_ratio": w.total * GRAVITY / drag,
        "static_margin": np.where(f.found, state.motions.static_margin[:, 1], np.nan),
        "run_time": np.where(ride.ride.found, ride.ride.run_time, np.nan),
        "ride_range": np.where(ride.ride.found, ride.ride.run_time * ride.mean_speed, np.nan),
    }


def curves(state: State) -> dict[str, dict[str, Array]]:
    """Return the curves of one design as equally long arrays; those of run, flight and ride always."""
    run, f, ride = state.run, state.flight, state.ride.ride
    shift = f.place[0] - np.interp(f.cruise[0], f.speeds, f.place[0])
    return {
        "rise": {
            "speed": RUN_SPEEDS, "resistance": run.resistance[0], "thrust": run.thrust[0],
            "lift_share": run.lift_share[0],
            "board_trim": run.trim[0], "rider_position": run.place[0],
            **{f"rider_position_{name}": run.places[0, k] for k, name in enumerate(POSTURES)},
            "electric_power": state.drive.power[0, : RUN_SPEEDS.size],
        },
        "fly": {
            "speed": SPEEDS, "drag": f.drag[0],
            **{f"drag_{name}": values[0] for name, values in f.causes.items()},
            "electric_power": np.where(f.flyable[0], f.power[0], np.nan), "rider_shift": shift,
        },
        "endure": {
            "time": ride.time[0], "state_of_charge": ride.state_of_charge[0], "voltage": ride.voltage[0],
            "current": ride.current[0],
        },
        **({"obey": margin_map(state.craft, state.link)} if state.computed["link"] else {}),
        **({"cool": warmth(state.craft, state.heat, state.ride)} if state.computed["heat"] else {}),
        **({"hold": along_mast(state.cases, state.mast)} if state.computed["mast"] else {}),
    }  # fmt: skip
