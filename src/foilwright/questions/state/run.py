"""The take-off run: balances on a grid of speed and trim, the way through them, and what stops it.

At each speed and trim the wing carries what its angle gives and the board the rest; resistance,
load point and so the place of the rider's weight follow. A cell is open where no limit is broken;
least drag wins at each speed. What stops a run is the limit whose relief, all others kept, is least.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core import solve
from foilwright.core.model import Array, Mask
from foilwright.core.shapes import cell, column
from foilwright.craft import Craft
from foilwright.physics import balance, hydrostatics, passage, resistance, rider
from foilwright.physics.water import GRAVITY, Water
from foilwright.questions.state.drive import DriveState
from foilwright.questions.state.flex import Flex
from foilwright.questions.state.foils import Foils, Hung, hung_drag
from foilwright.questions.state.reasons import LIMITS, Grid, stop
from foilwright.questions.state.weights import POSTURES, Weights
from foilwright.shape import board as hull

Flag = npt.NDArray[np.bool_]

TRIMS: Array = np.radians(np.linspace(0.25, 12.0, 24))
"""The trims of the board at which the run is worked out [rad]."""
TRIM_SCALE = 0.1
"""Trim beyond the grid that counts as much as doubling a force [rad]."""
ALOFT = tuple(LIMITS.index(name) for name in ("thrust", "stall", "reach", "ventilation", "shallow water"))
"""Limits that count where the board carries nothing."""
NEARLY = 0.1
"""Share of the weight below which it does not matter where the board carries it."""
USUAL = 0.12
"""Thrust over what the board carries, where it is not yet known."""
HUMP_FROUDE = 0.45
"""Froude number of the board from which on it is so much, where it is not yet known."""
EASY, FALLS_BACK = np.radians(5.0), 3.0
"""Trim at which a craft runs whose foils cannot carry it yet, and how fast it falls back to it (estimates)."""
EASED_FROUDE, EASED = (0.40, 0.45, 0.50, 0.60), (5.0, 7.0, 10.0, 20.0)
"""Easing of the pressure patch's edges over Froude number; lower is softer. Below the main hump linear theory makes
humps that tests do not show, because such waves would break (Yun and Bliault, Air Cushion Craft)."""
COARSE_TRIMS: Array = np.radians(np.linspace(0.25, 12.0, 7))
LEVELS, EVEN = 14, 24
"""Trims, draughts and loads of the hydrostatic table, read linearly between; the load point errs by some 5 mm."""
PLACE_SCALE = 0.5
"""Shift of the rider's weight that counts as much as doubling a force [m]."""
HIGHEST_CHOP = 0.3
"""Chop to which the allowance is known; beyond it the answers that rest on it are unknown [m]."""
LEG_IN_WATER, LEG_WIDTH = 0.06, 0.10
"""Of a prone rider's shins that hang across the stream [m] (estimate)."""
CLEARANCE = 0.25
"""Water to be left below the wing [m]."""
LEAST_DEPTH = 0.12
"""Least depth of the wing below the surface, or one chord if that is more [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """The run; (n, V) along the way of least drag, (n,) its marks."""

    speeds: Array
    resistance: Array  # N, all drag
    thrust: Array  # N, full throttle
    lift_share: Array
    trim: Array  # rad
    place: Array  # m, of the rider's weight
    places: Array  # (n, 3, V) m, in each posture
    roomiest: Array  # m, place of the weight in the cell that leaves the rider the most room
    load: Array  # N, on the board
    open: Flag  # a cell keeps every limit but thrust
    found: Flag  # (n,) it takes off
    reason: npt.NDArray[np.intp]  # (n,) into REASONS
    relief: Array  # (n,) by how much the reason must be relieved
    alone: Flag  # (n,) relieving the reason alone is enough
    take_off: Array  # m/s
    take_off_trim: Array  # rad
    take_off_drag: Array  # N, without the board
    take_off_place: Array  # m, of the rider's weight
    take_off_thrust: Array  # N, full throttle
    hump_speed: Array
    hump_resistance: Array
    hump_thrust: Array
    least_speed: Array  # m/s, where thrust exceeds drag by the least share
    least_resistance: Array  # N there
    least_thrust: Array  # N there
    passage: passage.Passage
    peak_power: Array  # W, full throttle up to take-off
    turned: Array  # rad, of the end of the mast nose up under thrust and drag, as the run was asked with
    turned_change: Array  # rad, that it would be with the thrust and drag found
    outside: Mask

    def at_speed(self, speed: Array) -> Array:
        """Return the drag of the run at one speed for each design (n,) [N]."""
        return solve.at(self.speeds, self.resistance, speed)


def run(craft: Craft, water: Water, weights: Weights, foils: Foils, drive: DriveState, flex: Flex) -> Run:
    """Work out the take-off run of every design, at the speeds of the foils."""
    speeds = foils.wing.speeds
    hung = hung_drag(craft, water, speeds, wet_mast=craft.mast.length, spray=False)
    turned = _turned(craft, water, weights, foils, hung, flex)
    foils = foils.turned(turned)
    thrust, power = drive.thrust[:, : speeds.size], drive.power[:, : speeds.size]
    grid = _grid(craft, water, weights, foils, hung, thrust)
    holds = grid.relief <= 0.0
    but_thrust = np.all(holds[1:], axis=0)
    open_ = but_thrust.any(axis=2)
    drag = np.where(but_thrust, grid.drag, np.inf)
    barred = np.max(grid.relief[1:], axis=0)
    best = np.where(open_, drag.argmin(axis=2), barred.argmin(axis=2))

    def pick(values: Array) -> Array:
        return solve.picked(values, best)

    least = pick(grid.drag)
    take_off, trim, flight_drag, place = _take_off(grid, speeds, ALOFT)
    passable = open_ & (thrust >= least)
    blocked = np.where(passable.all(axis=1), np.inf, speeds[np.argmin(passable, axis=1)])
    found = np.isfinite(take_off) & (take_off <= blocked)
    stopped = stop(craft, weights, drive, grid, found, speeds, TRIMS)
    sought = take_off if found.all() else _take_off(grid, speeds, ALOFT[1:])[0]
    last = np.where(found, take_off, np.where(np.isfinite(sought), sought, speeds[-1]))
    marks = _marks(speeds, least, thrust, last, open_)
    end = np.where(found, np.maximum(take_off, speeds[0] * 1.01), speeds[1])
    way = passage.time_and_distance(
        speed=speeds, thrust=thrust, resistance=least, mass=weights.total, start=np.full_like(end, speeds[0]),
        end=end, electric_power=power,
    )  # fmt: skip
    before = speeds <= np.where(found, take_off, speeds[-1])[:, None]
    return Run(
        speeds=speeds,
        resistance=least,
        thrust=thrust,
        lift_share=np.clip(pick(grid.foil_lift) / (weights.total * GRAVITY)[:, None], 0.0, None),
        trim=TRIMS[best],
        place=pick(grid.place),
        places=_places(craft, weights, pick(grid.place), speeds),
        roomiest=_roomiest(grid, holds),
        load=np.maximum(pick(grid.board_load), 0.0),
        open=open_,
        found=found,
        reason=stopped.reason,
        relief=stopped.relief,
        alone=stopped.alone,
        take_off=np.where(found, take_off, np.nan),
        take_off_trim=trim,
        take_off_drag=flight_drag,
        take_off_place=place,
        take_off_thrust=solve.at(speeds, thrust, np.where(found, take_off, speeds[0])),
        passage=way,
        peak_power=np.max(np.where(before, power, 0.0), axis=1),
        turned=turned,
        turned_change=flex.turn(least, pick(grid.foil_drag)) - turned,
        outside=grid.outside,
        **marks,
    )


def _turned(craft: Craft, water: Water, weights: Weights, foils: Foils, hung: Hung, flex: Flex) -> Array:
    """Return how far thrust and drag turn the end of the mast nose up (n, V), from the foils lifting what they can."""
    speeds, weight = foils.wing.speeds, column(weights.total * GRAVITY)
    borne = weight - column(water.density * GRAVITY * weights.hung_volume)
    asked = np.maximum(foils.trim_for(borne, USUAL * weight), TRIMS[0])
    trim = np.where(asked > TRIMS[-1], np.maximum(TRIMS[-1] - FALLS_BACK * (asked - TRIMS[-1]), EASY), asked)
    wing, tail = foils.forces(trim[..., None])
    below = wing.drag[..., 0] + tail.drag[..., 0] + hung.drag
    slow = np.minimum(speeds / (HUMP_FROUDE * np.sqrt(GRAVITY * column(craft.board.length))), 1.0)
    board = USUAL * slow**4 * np.maximum(borne - wing.lift[..., 0] - tail.lift[..., 0], 0.0)
    return flex.turn(below + board, below)


def _grid(craft: Craft, water: Water, weights: Weights, foils: Foils, hung: Hung, thrust: Array) -> Grid:
    tau, speeds = TRIMS, foils.wing.speeds
    sine, cosine = np.sin(tau), np.cos(tau)
    wing, tail = foils.forces(tau)
    weight = weights.total * GRAVITY
    buoyancy = water.density * GRAVITY * weights.hung_volume
    lift = wing.lift + tail.lift
    guess = np.minimum(USUAL * weight, thrust.max(axis=1))[:, None, None] * sine
    load = weight[:, None, None] - buoyancy[:, None, None] - lift - guess
    made, scale = _board(craft, water, weights, np.maximum(load, 0.0), speeds)
    air, legs = _body_drag(craft, water, weights, speeds)
    below = wing.drag + tail.drag + hung.drag[..., None]
    on_board = made.resistance * cell(scale * craft.factors.board_drag)
    drag = on_board + below + air[..., None] + legs[..., None]
    held, own = weights.masses.mass * GRAVITY, cell(weights.rider * GRAVITY)
    moment = (
        wing.moment(tau) + tail.moment(tau) + load.clip(0.0) * made.load_point * cosine
        + (hung.moment[..., None] + cell(buoyancy * weights.hung_x - held * weights.craft_x)) * cosine
        + (hung.reach[..., None] - cell(buoyancy * weights.hung_z - held * weights.craft_z)) * sine
        - cell(craft.pod.z) * drag / cosine
    )  # fmt: skip
    wind = air[..., None]
    place = np.asarray(
        balance.rider_place(
            moment=moment, rider_weight=own * cosine - wind * sine, rider_drag=wind * cosine + own * sine,
            deck_height=cell(weights.deck),
        )
    )  # fmt: skip
    stalls = foils.wing.stalled(wing.coefficient), foils.stabiliser.stalled(tail.coefficient)
    relief = _relief(craft, water, weights, thrust, made, np.maximum(*stalls), load, drag / cosine, place)
    return Grid(
        board_load=load, foil_lift=lift, wing_lift=wing.lift, wing_drag=wing.drag, board_drag=on_board,
        tail_stall=stalls[1], drag=drag, foil_drag=below + air[..., None], place=place,
        load_point=made.load_point, relief=relief, outside=np.bitwise_or.reduce(made.outside, axis=(1, 2)),
    )  # fmt: skip


def _board(craft: Craft, water: Water, weights: Weights, load: Array, speeds: Array) -> tuple[resistance.Board, Array]:
    """Return the board's resistance and load point in every cell, and the factor for chop."""
    b, stations = craft.board, weights.masses.stations
    table = hydrostatics.load_table(stations=stations, trim=COARSE_TRIMS, density=water.density, levels=LEVELS)
    full = table.load[..., -1:]
    even = solve.rows_of(np.linspace(0.0, 1.0, EVEN), table.load / full, table.load_point, table.wetted_area)
    share = np.minimum(load / full[:, :1], 1.0)
    rest_point, rest_area = solve.even_rows(share.transpose(0, 2, 1), *(_finer(each) for each in even))
    rest_point, rest_area = rest_point.transpose(0, 2, 1), rest_area.transpose(0, 2, 1)
    bottom = hull.planing_length(stations=stations)
    beam = hull.mean_beam(stations=stations, length=0.5 * b.length)
    length = column(b.length * 0.95)
    eased = np.interp(speeds / np.sqrt(GRAVITY * length), EASED_FROUDE, EASED)
    wave = resistance.patch_wave_coefficient(speed=speeds, length=length, beam=column(beam), edge=eased)
    made = resistance.board(
        load=load, speed=speeds[:, None], trim=TRIMS, length=cell(b.length), bottom_length=cell(bottom),
        beam=cell(beam), rest_load_point=rest_point, rest_wetted_area=rest_area,
        wave_coefficient=wave.coefficient[..., None], rail_radius=cell(b.rail_radius),
        tail_edge_radius=cell(b.tail_edge_radius), form_factor=cell(b.form_factor),
        roughness_allowance=cell(b.roughness),
        density=cell(water.density), kinematic_viscosity=cell(water.kinematic_viscosity),
    )  # fmt: skip
    return made, resistance.chop_factor(chop=np.minimum(craft.water.chop, HIGHEST_CHOP)).factor


def _finer(values: Array) -> Array:
    """Read values over ``COARSE_TRIMS`` (n, t, levels) at ``TRIMS``."""
    place = np.clip(np.searchsorted(COARSE_TRIMS, TRIMS, side="right") - 1, 0, COARSE_TRIMS.size - 2)
    share = ((TRIMS - COARSE_TRIMS[place]) / (COARSE_TRIMS[place + 1] - COARSE_TRIMS[place]))[:, None]
    return values[:, place] + share * (values[:, place + 1] - values[:, place])


def _body_drag(craft: Craft, water: Water, weights: Weights, speeds: Array) -> tuple[Array, Array]:
    """Return air drag of the rider in the take-off posture and drag of their dangling legs (n, V)."""
    rows = np.arange(craft.designs)
    posture = weights.posture.astype(np.intp)
    area = weights.drag_area[rows, posture]
    air = rider.air_drag(
        drag_area=area[:, None], speed=speeds, wind_speed=craft.water.wind[:, None], air_density=np.asarray(1.225)
    )
    legs = resistance.legs(
        speed=speeds,
        density=water.density[:, None],
        submerged_length=np.asarray(LEG_IN_WATER),
        width=np.asarray(LEG_WIDTH),
    )
    return np.asarray(air), np.where((posture == POSTURES.index("prone"))[:, None], legs, 0.0)


def _relief(
    craft: Craft, water: Water, weights: Weights, full: Array, made: resistance.Board, stall: Array, load: Array,
    drag: Array, place: Array,
) -> Array:  # fmt: skip
    """Return by how much each limit is broken in each cell; not above 0 where it holds."""
    rows = np.arange(craft.designs)
    posture = weights.posture.astype(np.intp)
    aft, forward = (side[rows, posture][:, None, None] for side in (weights.aft, weights.forward))
    thrust = np.maximum(full, 1.0)[..., None]
    carried = load > NEARLY * (weights.total * GRAVITY)[:, None, None]
    bottom = hull.planing_length(stations=weights.masses.stations)[:, None, None]
    dives = np.where(carried, (made.load_point - bottom) / PLACE_SCALE, -1.0)
    drags = np.where(carried, (0.02 - made.load_point) / PLACE_SCALE, -1.0)
    chord = craft.wing.area / craft.wing.span
    air = np.maximum(LEAST_DEPTH, chord) / craft.mast.length - 1.0
    ground = (craft.mast.length + 0.1 + CLEARANCE) / craft.water.depth - 1.0
    most = water.density * GRAVITY * weights.masses.hull_volume
    sinks = load / np.maximum(most[:, None, None], 1.0) - 1.0
    cells = (
        drag / thrust - 1.0, stall, np.maximum(aft - place, place - forward) / PLACE_SCALE, dives, drags,
        air[:, None, None], ground[:, None, None], sinks,
    )  # fmt: skip
    return np.stack([np.broadcast_to(cell, load.shape) for cell in cells])


def _take_off(grid: Grid, speeds: Array, limits: tuple[int, ...]) -> tuple[Array, Array, Array, Array]:
    """Return the first speed at which the wing carries all within the limits; its trim, foil drag and place.

    At each speed flight has one trim; it is read between the trims of the grid.
    """
    load = grid.board_load
    up = load <= 0.0
    at = np.where(up.any(axis=2), up.argmax(axis=2), load.shape[2] - 1)
    before = np.maximum(at - 1, 0)
    low, high = solve.picked(load, before), solve.picked(load, at)
    asked = np.where(at > 0, low / np.where(low > high, low - high, 1.0), 1.0)
    share = np.minimum(asked, 1.0)
    first = TRIMS[before]
    trim = first + asked * (TRIMS[at] - first)

    def read(values: Array) -> Array:
        return solve.picked(values, before) + share * (solve.picked(values, at) - solve.picked(values, before))

    worst = np.max([read(grid.relief[k]) for k in limits], axis=0)
    worst = np.maximum(worst, (trim - TRIMS[-1]) / TRIM_SCALE)
    found = solve.first_crossing(speeds, -worst)
    there = np.where(found.found, found.value, speeds[0])
    read_there = [np.minimum(trim, TRIMS[-1]), read(grid.foil_drag), read(grid.place)]
    trim, drag, place = (solve.at(speeds, each, there) for each in read_there)
    return np.where(found.found, found.value, np.inf), trim, drag, place


def _marks(speeds: Array, drag: Array, thrust: Array, take_off: Array, open_: Flag) -> dict[str, Array]:
    """Return the hump and the point of least excess thrust below a take-off, found or sought."""
    end = take_off[:, None]
    before = (speeds <= end) & open_ & (speeds >= 1.0)
    rows = np.arange(drag.shape[0])
    excess = np.where(before, thrust / np.maximum(drag, 1.0), np.inf)
    least = excess.argmin(axis=1)
    inner = np.zeros_like(before)
    inner[:, 1:-1] = (drag[:, 1:-1] >= drag[:, :-2]) & (drag[:, 1:-1] > drag[:, 2:]) & before[:, 1:-1]
    inner &= speeds < end
    peak = np.where(inner, drag, -np.inf).argmax(axis=1)
    hump = np.where(inner.any(axis=1), peak, least)
    return {
        "hump_speed": speeds[hump], "hump_resistance": drag[rows, hump], "hump_thrust": thrust[rows, hump],
        "least_speed": speeds[least], "least_resistance": drag[rows, least], "least_thrust": thrust[rows, least],
    }  # fmt: skip


def _roomiest(grid: Grid, holds: Flag) -> Array:
    """Return the place of the rider's weight at the trim that leaves the most room, all but thrust kept."""
    reach = LIMITS.index("reach")
    others = np.all(np.delete(holds, [LIMITS.index("thrust"), reach], axis=0), axis=0)
    at = np.where(others, grid.relief[reach], np.inf).argmin(axis=2)
    return solve.picked(grid.place, at)


def _places(craft: Craft, weights: Weights, place: Array, speeds: Array) -> Array:
    """Return where the weight must be in each posture: they differ by the air drag at deck height."""
    rows = np.arange(craft.designs)
    own = weights.drag_area[rows, weights.posture.astype(np.intp)]
    pressure = 0.5 * 1.225 * (speeds + craft.water.wind[:, None]) ** 2
    shift = (weights.deck / (weights.rider * GRAVITY))[:, None] * pressure
    return place[:, None, :] + shift[:, None, :] * (weights.drag_area - own[:, None])[..., None]
