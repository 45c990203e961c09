"""`rise`: does it get over the hump and lift off, at what speed, in what time, with the rider where?"""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array
from foilwright.physics import lifting, resistance, water
from foilwright.questions.afloat import HULL, MASS, outline, waves
from foilwright.questions.finding import Beyond, Finding, Maker
from foilwright.questions.state import RUN_SPEEDS, State
from foilwright.questions.state.foils import ASPECTS
from foilwright.questions.state.reasons import REASONS
from foilwright.questions.state.run import CLEARANCE, HIGHEST_CHOP
from foilwright.questions.state.weights import POSTURES

WING = (
    "wing.area wing.span wing.section wing.finish wing.incidence wing.taper wing.sweep wing.twist"
    " factors.wing_lift factors.wing_drag"
)
THRUST = (
    "propeller.diameter propeller.pitch propeller.blades propeller.area_ratio motor.speed_constant motor.resistance"
    " controller.battery_current_limit controller.phase_current_limit pack.series pack.parallel cell.resistance"
    " pack.link_resistance gear.ratio controller.duty_limit motor.idle_current motor.idle_slope"
    " motor.thermal_resistance cell.kind pack.temperature pack.start_charge water.temperature"
    " factors.propeller_efficiency factors.pack_resistance"
    " factors.motor_heat_resistance"
)
BELOW = "mast.chord mast.section pod.diameter fuselage.diameter stabiliser.area stabiliser.span water.wind"
"""What else makes drag in flight."""
RUN = f"{BELOW} factors.board_drag"
"""What else makes drag in the run."""
PLACES = (
    "rider.posture rider.stance rider.stance_width rider.step rider.foot_length rider.prone_from rider.prone_to"
    " rider.kneeling_from rider.kneeling_to mast.x mast.length wing.ahead pack.x"
    " factors.rider_reach"
)
HUMP = (
    "Havelock 1932 and Newman and Poole 1962 (pressure patch), Savitsky 1964 (planing), ITTC 1957 (friction),"
    " blended; open-water B-series (Oosterveld and van Oossanen 1975) with motor and pack"
)
MODEL_BAND, TRADE_MARGIN = 0.25, 0.20
"""How well the hump is known, and the surplus of thrust that the trade asks for."""
PATIENCE = 15.0
"""Time at full throttle in which a rider still keeps a posture [s] (common practice)."""
TOLD = {
    "thrust": "thrust lacks", "stall": "the stabiliser stalls", "reach": "the rider cannot place the weight there",
    "nose dives": "the nose dives", "tail drags": "the tail drags", "ventilation": "the wing draws air",
    "shallow water": "the water is too shallow", "sinks": "the board sinks under its load",
    "lift before stall": "the wing is too small for the speed that the thrust allows",
    "sag": "the pack's voltage sags too far", "current limit": "a set current limit holds the thrust back",
}  # fmt: skip


class Rise:
    """The take-off run."""

    name = "rise"
    asks = "Can it get over the hump and lift off? At what speed, in what time, with the rider where?"

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        make = Maker(question=self.name, designs=state.craft.designs)
        beyond = beyond_run(state)
        _take_off(make, state, beyond)
        _thrust(make, state, beyond)
        _reach(make, state, beyond)
        _time(make, state, beyond)
        _release(make, state, beyond)
        _depth(make, state)
        return make.made


def beyond_run(state: State) -> tuple[Beyond, ...]:
    """Return what the models of the run say about the values they were used at."""
    chop = Beyond(
        model=resistance.chop_factor.name, variable="chop", value=state.craft.water.chop, low=0.0, high=HIGHEST_CHOP,
        means="the allowance for chop is not known above 0.3 m", decides=True,
    )  # fmt: skip
    return (*outline(state), *waves(state), *_shapes(state), chop)


def _shapes(state: State) -> tuple[Beyond, ...]:
    """Return whether the foils are stubbier or slimmer than the tables of wings."""
    craft = state.craft
    return tuple(
        Beyond(
            model=lifting.slope_and_drag.name, variable=f"{name}, aspect ratio", value=s.span**2 / s.area,
            low=ASPECTS[0],
            high=ASPECTS[1], means=f"the {name} is stubbier or slimmer than the tables of wings", decides=True,
        )
        for name, s in (("wing", craft.wing), ("stabiliser", craft.stabiliser))
    )  # fmt: skip


def _take_off(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    run = state.run
    told = [TOLD[reason] for reason in REASONS[1:]]
    cases = ("", *(f"{each}; least relief" for each in told), *(f"{each}, and more than that" for each in told))
    holds = np.where(run.thrust >= run.resistance, RUN_SPEEDS, 0.0).max(axis=1)
    make.add(
        "take_off", name="Take-off", part="craft", meaning="stops", demand=np.where(run.found, run.take_off,
        1.0 + run.relief),
        capacity=np.where(run.found, np.maximum(holds, run.take_off), 1.0), unit="m/s", required=0.10,
        required_why="speed to spare beyond the first at which the wing carries all", source=HUMP,
        model=resistance.board.name, inputs=f"{HULL} {MASS} {WING} {THRUST} {PLACES} {RUN} water.depth", cases=cases,
        case=np.where(run.alone, run.reason, run.reason + len(told)), no_solution=~run.found,
        sought="a speed at which the wing carries all", relief=np.where(run.found | ~run.alone, np.nan, run.relief),
        beyond=beyond,
    )  # fmt: skip


def _thrust(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    run = state.run
    make.add(
        "thrust", name="Thrust over resistance where it is least, up to take-off", part="drive", meaning="stops",
        demand=run.least_resistance, capacity=run.least_thrust, unit="N", required=TRADE_MARGIN + MODEL_BAND,
        required_why="20 % to accelerate, and 25 % because the hump is not known better", source=HUMP,
        model=resistance.board.name, place="at the hump",
        inputs=f"{HULL} {MASS} {WING} {THRUST} {RUN} mast.length water.chop",
        no_solution=np.asarray(~run.open.any(axis=1)), sought="a speed that the rider can hold at all", beyond=beyond,
    )  # fmt: skip


def _reach(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    run, w = state.run, state.weights
    rows = np.arange(state.craft.designs)
    posture = w.posture.astype(np.intp)
    aft, forward = (side[rows, posture] for side in (w.aft, w.forward))
    before = np.where(run.found, run.take_off, RUN_SPEEDS[-1])[:, None] >= RUN_SPEEDS
    before &= RUN_SPEEDS >= 1.0
    spare = np.minimum(run.roomiest - aft[:, None], forward[:, None] - run.roomiest)
    least = np.where(before, spare, np.inf).min(axis=1)
    worst = np.where(before, spare, np.inf).argmin(axis=1)
    place = run.roomiest[rows, worst]
    ahead = place > 0.5 * (aft + forward)
    make.add(
        "reach", name="Room for the rider's weight on the way to take-off", part="rider", meaning="stops",
        kind="difference",
        scale=0.1, demand=np.where(ahead, place, -place), capacity=np.where(ahead, forward, -aft), unit="m",
        required=0.03,
        required_why="a hand's breadth to correct with",
        source="Moments about the tail of every force; support point in reach",
        model="balance.rider_place",
        inputs=f"{PLACES} {HULL} {MASS} {WING} stabiliser.area stabiliser.incidence stabiliser.arm",
        cases=tuple(f"{name}, {end}" for name in POSTURES for end in ("backward", "forward")),
        case=posture * 2 + ahead, no_solution=~run.open.any(axis=1) & np.isinf(least),
        sought="a place for the rider's weight", beyond=beyond,
    )  # fmt: skip


def _time(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    run = state.run
    time = np.where(run.passage.found, run.passage.time, PATIENCE)
    make.add(
        "time", name="Time to take-off at full throttle", part="drive", meaning="annoys", demand=time,
        capacity=np.full_like(time, PATIENCE), unit="s", required=0.25,
        required_why="the rider holds a posture, and the drive its peak current, for so long only (common practice)",
        source="Integral of m dV over thrust less resistance", model="passage.time_and_distance",
        inputs=f"{HULL} {MASS} {WING} {THRUST} {RUN} rider.posture mast.length water.chop",
        applies=run.found & run.passage.found,
        beyond=beyond,
    )  # fmt: skip


def _release(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    r = state.release
    make.add(
        "release", name="Thrust set just before the board leaves the water against what the rider can hold then",
        part="rider", meaning="hurts", demand=r.before, capacity=r.held, unit="N", required=0.10,
        required_why="the hull's drag vanishes at once; what exceeds it acts far below the rider and throws the"
        " nose up",
        source="Moments of surplus thrust and inertia against the reach of the feet", model="balance.excess_held",
        inputs=f"{PLACES} {MASS} {WING} {HULL} pod.above_wing", applies=state.run.found, beyond=beyond,
    )  # fmt: skip


def _depth(make: Maker, state: State) -> None:
    craft = state.craft
    make.add(
        "depth", name="Water under the wing", part="mast", meaning="breaks", demand=craft.mast.length + 0.1 + CLEARANCE,
        capacity=craft.water.depth, unit="m", required=0.0,
        required_why="a grounded wing stops the craft at once and throws the rider",
        source="Geometry; common practice for the clearance", inputs="water.depth mast.length",
    )  # fmt: skip
    slow = np.minimum(np.asarray(water.shallow_wave_speed(depth=craft.water.depth)), 1e3)
    make.add(
        "shallow", name="Speed of waves in this depth against the hump", part="board", meaning="stops",
        demand=state.run.hump_speed, capacity=slow, unit="m/s", required=0.2,
        required_why="near the speed of shallow-water waves the hump grows beyond what is computed here",
        source="Speed of long waves, square root of g times depth", model=water.shallow_wave_speed.name,
        inputs=f"water.depth {HULL} {MASS} {WING}", beyond=outline(state),
    )  # fmt: skip


def place_table(state: State) -> dict[str, Array]:
    """Return the rider's place over the run in each posture."""
    return {f"rider_position_{name}": state.run.places[:, k] for k, name in enumerate(POSTURES)}
