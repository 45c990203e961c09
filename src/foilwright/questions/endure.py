"""`endure`: how long and how far on a charge over the stated ride, and how far home?"""

from __future__ import annotations

import numpy as np

from foilwright.core import solve
from foilwright.core.model import Array
from foilwright.physics import cell as cells
from foilwright.physics.rundown import Stop
from foilwright.questions.afloat import HULL, MASS
from foilwright.questions.finding import Beyond, Finding, Maker, used
from foilwright.questions.fly import beyond_flight
from foilwright.questions.push import beyond_screw
from foilwright.questions.rise import BELOW, THRUST, WING
from foilwright.questions.state import State

PACK = (
    "cell.kind cell.capacity cell.resistance pack.series pack.parallel pack.link_resistance pack.temperature"
    " pack.start_charge pack.stop_charge pack.stop_voltage"
)
RIDE = f"ride.leg targets.wing_depth {THRUST} {WING} {BELOW} {MASS} propeller.finish"
CELLS = "Constant-power steps on open cell models (Chen 2020, Mohtat 2020, Ai 2020, Ecker 2015, Kim 2011, Prada 2013)"
FORCES = "Drag in flight or on the hull against full throttle on a half-empty pack"
ENDS = {
    Stop.NONE: "", Stop.COLLAPSE: "the power that the pack can give", Stop.CHARGE: "the charge",
    Stop.VOLTAGE: "the voltage under load", Stop.HEAT: "the cells' heat", Stop.CURRENT: "the current",
    Stop.TIME: "the time",
}  # fmt: skip
ENDED = tuple(f"ended by {ENDS[end]}" if ENDS[end] else "" for end in sorted(Stop))
"""What ended the ride, by the code of the limit."""


class Endure:
    """The ride on one charge."""

    name = "endure"
    asks = "How long and how far on a charge over the stated ride, and how far home?"

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        make = Maker(question=self.name, designs=state.craft.designs)
        beyond = beyond_ride(state)
        _charge(make, state, beyond)
        _run_time(make, state, beyond)
        _limits(make, state, beyond)
        _home(make, state, beyond)
        return make.made


def beyond_ride(state: State) -> tuple[Beyond, ...]:
    """Return what the models of the ride say about the values they were used at."""
    cold = used(cells.cold_share, temperature=state.craft.pack.temperature)
    speeds = Beyond(
        model="ride", variable="speed", value=state.craft.ride.speed.max(axis=1), low=state.flight.speeds[0],
        high=state.flight.speeds[-1], means="a leg's speed lies outside the speeds worked out", decides=True,
    )  # fmt: skip
    return (*cold, speeds, *beyond_screw(state), *beyond_flight(state))


def _charge(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    r, ride = state.ride, state.craft.ride
    make.add(
        "reserve", name="Charge left after the stated ride", part="pack", meaning="hurts", kind="difference", scale=0.1,
        demand=np.where(np.asarray(r.ride.finished), ride.reserve, 1.0), capacity=r.end_charge, unit="1", required=0.03,
        required_why="a head wind or more falls than planned", source=CELLS, model="pack.ride",
        inputs=f"{PACK} {RIDE} ride.reserve", cases=ENDED,
        case=np.asarray(r.ride.why).astype(np.intp), beyond=beyond,
    )  # fmt: skip
    need, have = _legs(state)
    at = (have / need).argmin(axis=1)
    rows = np.arange(state.craft.designs)
    make.add(
        "speeds", name="Thrust for the hardest leg of the ride", part="drive", meaning="stops", demand=need[rows, at],
        capacity=have[rows, at], unit="N", required=0.05,
        required_why="a leg that the drive just holds takes all its current",
        source=FORCES, model="drive.at", inputs=f"{PACK} {RIDE} {HULL} factors.board_drag",
        cases=tuple(f"leg {name}" for name in ride.names),
        case=at, beyond=beyond,
    )  # fmt: skip


def _legs(state: State) -> tuple[Array, Array]:
    """Return what each leg asks of the drive and what the drive has, flying or on the hull (n, legs) [N]."""
    f, run = state.flight, state.run
    speed = np.clip(state.craft.ride.speed, f.speeds[0], f.speeds[-1])
    slow = np.minimum(speed, run.speeds[-1])
    flies = state.ride.flies
    need = np.where(flies, solve.rows(speed, f.speeds, f.thrust), solve.rows(slow, run.speeds, run.resistance))
    have = np.where(flies, solve.rows(speed, f.speeds, f.available), solve.rows(speed, f.speeds, state.drive.thrust))
    return np.maximum(np.nan_to_num(need, nan=1e9), 1.0), np.nan_to_num(have)


def asked_time(state: State) -> Array:
    """Return the run time asked for [s]."""
    target = state.craft.targets.run_time
    return np.where(np.isnan(target), state.ride.asked, target)


def _run_time(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    ride = state.ride.ride
    make.add(
        "run_time", name="Time until the pack ends the ride", part="pack", meaning="stops", demand=asked_time(state),
        capacity=np.nan_to_num(ride.run_time), unit="s", required=0.25,
        required_why="drag and efficiency are known to a tenth each, and capacity falls by a fifth with age",
        source=CELLS,
        model="pack.ride", inputs=f"{PACK} {RIDE} targets.run_time", cases=ENDED,
        case=np.asarray(ride.run_why).astype(np.intp), no_solution=~np.asarray(ride.found), sought="an end of the ride",
        beyond=beyond,
    )  # fmt: skip


def _limits(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    ride, s = state.ride.ride, state.supply
    least = ride.voltage.min(axis=1)
    make.add(
        "voltage", name="Voltage under load at its lowest in the ride", part="pack", meaning="stops",
        demand=s.stop_voltage,
        capacity=least, unit="V", required=0.03, required_why="the controller stops, and the rider falls, at once",
        source=CELLS, model="pack.ride", inputs=f"{PACK} {RIDE}", beyond=beyond,
    )  # fmt: skip
    hottest = ride.temperature.max(axis=1)
    make.add(
        "cell_heat", name="Warmest cells in the ride", part="pack", meaning="burns", kind="difference", scale=20.0,
        demand=hottest,
        capacity=state.craft.pack.temperature_limit, unit="K", required=5.0,
        required_why="the inner cells are warmer than the mean", source=CELLS + "; heat (Bernardi 1985)",
        model="pack.ride",
        inputs=f"{PACK} {RIDE} pack.cooling factors.pack_heat_resistance cell.temperature_limit", temperature=hottest,
        beyond=beyond,
    )  # fmt: skip
    coldest = state.craft.pack.temperature
    make.add(
        "cold", name="Charge that the cold leaves", part="pack", meaning="annoys", demand=np.full_like(coldest, 0.75),
        capacity=np.nan_to_num(state.ride.cold), unit="1", required=0.0,
        required_why="below three quarters a cold pack misleads its gauge: start it warm",
        source="Open cell models at 0 degC; common practice",
        model="cell.cold_share", inputs="pack.temperature cell.kind", beyond=beyond,
    )  # fmt: skip


def _home(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    r = state.ride
    make.add(
        "home", name="Way home slowly on the hull with what is left", part="pack", meaning="hurts",
        demand=state.craft.ride.home,
        capacity=np.where(np.isfinite(r.limp_distance), r.limp_distance, 0.0), unit="m", required=0.5,
        required_why="wind and current come on top", source=CELLS + "; resistance of the hull at 6 km/h",
        model="resistance.board",
        inputs=f"{PACK} {RIDE} {HULL} ride.home water.chop factors.board_drag", beyond=beyond,
    )  # fmt: skip
