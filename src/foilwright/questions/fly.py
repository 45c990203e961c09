"""`fly`: in which speeds does it fly in balance, controllable by a person, at what drag and power?"""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array
from foilwright.physics import lifting, section, strut
from foilwright.questions.afloat import MASS
from foilwright.questions.finding import Beyond, Finding, Maker, used
from foilwright.questions.rise import BELOW, THRUST, WING, beyond_run
from foilwright.questions.state import State
from foilwright.questions.state.flight import BOUNDS, STANDING, SUCTION_FACTOR
from foilwright.questions.state.foils import NEAREST_SURFACE, NEAREST_TAIL, SPAN_NEAREST
from foilwright.questions.state.motions import AT, RIDERS

TAIL = "stabiliser.area stabiliser.span stabiliser.arm stabiliser.incidence stabiliser.section fuselage.diameter"
PLACE = (
    "rider.mass rider.stance rider.stance_width rider.step rider.foot_length board.length"
    " board.thickness mast.x mast.length factors.rider_reach"
    " wing.ahead pack.x pack.series pack.parallel cell.mass part pod.above_wing"
)
WINGS = "Prandtl 1921 lifting line and lattice, free surface after Wu 1953; section polars; Hoerner 1965 for the strut"
DELAY = {"first-time": 0.35, "improving": 0.30, "practised": 0.25}
"""Delay of a rider's answer [s] (0.2 to 0.5; McRuer and Jex 1967 for trained hands, common practice else)."""
CAUTION = {"first-time": 3.0, "improving": 2.5, "practised": 2.0}
"""Delays that a motion must take to double: 2 lets the correction be wrong by a factor of two."""
LULL, GUSTY = 0.15, 0.05
"""Shares of the cruise speed to be left to the slow and to the fast end of the band (common practice)."""
GUST_LIMIT = 0.25
BOUND_WORDS = {
    "stall": "a foil stalls", "thrust": "thrust ends", "reach": "the rider's reach ends",
    "cavitation": "the wing cavitates", "ventilation": "the wing is too near the surface",
}  # fmt: skip
TWITCHY = 0.10
"""Static margin below which a foil is twitchy (common practice)."""
SIDE_REACH = 0.06
"""Lateral shift of the weight that a rider keeps up [m] (common practice)."""


class Fly:
    """Steady flight and its stability."""

    name = "fly"
    asks = "In which speeds does it fly in balance, controllable by a person, with the mast long enough?"

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        make = Maker(question=self.name, designs=state.craft.designs)
        beyond = beyond_flight(state)
        _band(make, state, beyond)
        _cruise(make, state, beyond)
        _place(make, state, beyond)
        _pitch(make, state, beyond)
        _roll(make, state, beyond)
        _surface(make, state, beyond)
        return make.made


def beyond_flight(state: State) -> tuple[Beyond, ...]:
    """Return what the models of flight say about the values they were used at."""
    flight = state.flight
    wing = flight.foils.wing
    cruise = np.clip(flight.cruise, flight.speeds[0], flight.speeds[-1])
    reynolds = flight.at(wing.reynolds, cruise)
    tail = Beyond(
        model=lifting.downwash_factor.name, variable="arm over span", value=flight.foils.arm_short, low=NEAREST_TAIL,
        high=1e3, means="the stabiliser stands so near the wing that the downwash is not known", decides=True,
    )  # fmt: skip
    speed = Beyond(
        model="flight", variable="cruise_speed", value=flight.cruise, low=flight.speeds[0], high=flight.speeds[-1],
        means="the cruise speed lies outside the speeds worked out", decides=True,
    )  # fmt: skip
    own = used(section.characteristics_at, reynolds=reynolds)
    return (*beyond_run(state)[:-1], tail, *_near_surface(state), speed, *own)


def _near_surface(state: State) -> tuple[Beyond, ...]:
    """Return whether the foils are deeper than the least depth at which the surface's effect is known."""
    craft, f = state.craft, state.flight.foils
    return tuple(
        Beyond(
            model=lifting.slope_and_drag.name, variable=f"{name}, depth over chord",
            value=np.minimum(depth * s.span / s.area, depth / s.span * (NEAREST_SURFACE / SPAN_NEAREST)),
            low=NEAREST_SURFACE, high=1e3, decides=True,
            means=f"the {name} is so near the surface that its lift is not known",
        )
        for name, s, depth in (("wing", craft.wing, f.depth), ("stabiliser", craft.stabiliser, f.tail_depth))
    )  # fmt: skip


def _band(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    f = state.flight
    ends = [(a, b) for a in BOUNDS for b in BOUNDS]
    make.add(
        "band", name="Usable band of speeds, fast end over slow end", part="craft", meaning="stops", demand=f.slow,
        capacity=f.fast, unit="m/s", required=0.5,
        required_why="a rider needs room between the speed that stalls and the one that ends it (common practice)",
        source=WINGS, model=lifting.slope_and_drag.name,
        inputs=f"{WING} {TAIL} {THRUST} {PLACE} {BELOW} {MASS} targets.wing_depth",
        cases=tuple(f"slow end: {BOUND_WORDS[a]}; fast end: {BOUND_WORDS[b]}" for a, b in ends),
        case=f.slow_bound * len(BOUNDS) + f.fast_bound, no_solution=~f.found, sought="a speed at which it flies",
        beyond=beyond,
    )  # fmt: skip


def _cruise(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    f = state.flight
    above, below = f.cruise / f.slow - 1.0 - LULL, f.fast / f.cruise - 1.0 - GUSTY
    fast = below < above
    make.add(
        "cruise", name="Cruise speed within the usable band", part="wing", meaning="stops",
        demand=np.where(fast, f.cruise, f.slow), capacity=np.where(fast, f.fast, f.cruise), unit="m/s",
        required=np.where(fast, GUSTY, LULL),
        required_why="lulls of the throttle and turns take speed, gusts and waves add some",
        source=WINGS, model=lifting.slope_and_drag.name, cases=("above the slow end", "below the fast end"),
        case=fast.astype(np.intp),
        inputs=f"{WING} {TAIL} {THRUST} {PLACE} {MASS} targets.cruise_speed targets.wing_depth",
        applies=f.found, beyond=beyond,
    )  # fmt: skip
    drag, have = f.at(f.thrust, f.cruise), f.at(f.available, f.cruise)
    make.add(
        "thrust", name="Thrust over drag at cruise", part="drive", meaning="stops", demand=np.nan_to_num(drag, nan=1e9),
        capacity=np.nan_to_num(have), unit="N", required=0.25,
        required_why="15 % to climb and recover, 10 % for the model's error", source=WINGS,
        model=lifting.slope_and_drag.name,
        inputs=f"{WING} {THRUST} {MASS} {BELOW} targets.cruise_speed targets.wing_depth",
        beyond=beyond,
    )  # fmt: skip


def _place(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    f, w = state.flight, state.weights
    inside = (f.speeds >= f.slow[:, None]) & (f.speeds <= f.fast[:, None])
    ends = np.stack([f.at(f.place, f.slow), f.at(f.place, f.fast)], axis=1)
    low = np.minimum(np.where(inside, f.place, np.inf).min(axis=1), ends.min(axis=1))
    high = np.maximum(np.where(inside, f.place, -np.inf).max(axis=1), ends.max(axis=1))
    none = ~f.found
    at_cruise = f.at(f.place, np.clip(f.cruise, f.speeds[0], f.speeds[-1]))
    aft, forward = w.aft[:, STANDING], w.forward[:, STANDING]
    ahead = at_cruise > 0.5 * (aft + forward)
    make.add(
        "stance", name="Room for a standing rider's weight at cruise", part="rider", meaning="stops", kind="difference",
        scale=0.1, demand=np.where(ahead, at_cruise, -at_cruise), capacity=np.where(ahead, forward, -aft), unit="m",
        required=0.05, required_why="foot pressure must be left to steer with",
        source="Moments about the tail of every force", model="balance.rider_place",
        inputs=f"{PLACE} {TAIL} {WING} targets.cruise_speed", cases=("backward", "forward"),
        case=ahead.astype(np.intp), beyond=beyond,
    )  # fmt: skip
    span = np.where(none, 0.0, high - low)
    make.add(
        "shift", name="Shift of the rider's weight over the usable band", part="rider", meaning="annoys", demand=span,
        capacity=2.0 * w.quick + state.craft.rider.step, unit="m", required=0.1,
        required_why="more than this asks for steps in flight", source="Moments about the tail of every force",
        model="balance.rider_place", inputs=f"{PLACE} {TAIL} {WING} {THRUST} targets.wing_depth", applies=~none,
        beyond=beyond,
    )  # fmt: skip


def _pitch(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    m, flies = state.motions, state.flight.found
    at = m.static_margin.argmin(axis=1)
    rows = np.arange(state.craft.designs)
    make.add(
        "static_margin", name="Static margin in pitch, of the wing's chord", part="stabiliser", meaning="hurts",
        kind="difference", scale=0.2, demand=np.zeros(state.craft.designs), capacity=m.static_margin[rows, at],
        unit="1", required=TWITCHY + 0.05,
        required_why="below 0.1 the craft is twitchy (common practice); 0.05 for the model's error",
        source="Neutral point of wing and stabiliser in its downwash; fuselage, mast and wings give",
        model="balance.static_margin",
        inputs=f"{TAIL} {WING} {PLACE} fuselage.material mast.material wing.material", cases=AT, case=at,
        applies=flies, beyond=beyond,
    )  # fmt: skip
    delay, caution = by_skill(state, DELAY), by_skill(state, CAUTION)
    double = m.double.reshape(state.craft.designs, -1)
    worst = double.argmin(axis=1)
    make.add(
        "pitch", name="Time in which a swing in pitch and height doubles", part="rider", meaning="hurts",
        demand=delay, capacity=np.minimum(double[rows, worst], 1e3), unit="s", required=caution - 1.0,
        required_why="a person answers late; a swing must take two to three delays to double",
        source="Linear motion in pitch and heave (Etkin and Reid 1996); delay limit, crossover model",
        model="balance.heave_pitch_roots", inputs=f"{TAIL} {WING} {PLACE} rider.height rider.skill targets.wing_depth",
        cases=tuple(f"{speed}, {rider}" for speed in AT for rider in RIDERS), case=worst, applies=flies, beyond=beyond,
    )  # fmt: skip


def by_skill(state: State, values: dict[str, float]) -> Array:
    """Return a value for each rider's skill."""
    return np.array([values[name] for name in state.craft.rider.skill])


def _roll(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    m, flies = state.motions, state.flight.found
    at = m.roll_delay.argmin(axis=1)
    rows = np.arange(state.craft.designs)
    make.add(
        "roll", name="Delay with which a fall sideways can still be caught", part="rider", meaning="hurts",
        demand=by_skill(state, DELAY), capacity=np.minimum(m.roll_delay[rows, at], 1e3), unit="s", required=0.25,
        required_why="room for a correction that is not perfect; standing on the ground has 0.48 s",
        source="Inverted pendulum on a damping wing; delay limit (Insperger 2011)", model="balance.critical_delay",
        inputs=f"wing.span wing.area mast.length rider.height rider.skill {MASS}", cases=AT, case=at, applies=flies,
        beyond=beyond,
    )  # fmt: skip
    shift = m.twist_shift[:, :2].max(axis=1)
    make.add(
        "twist", name="Sideways lean against left and right wing halves that differ", part="wing", meaning="annoys",
        demand=shift, capacity=np.full_like(shift, SIDE_REACH), unit="m", required=0.2,
        required_why="a rider who must lean all the time tires (common practice)",
        source="Rolling moment of an antisymmetric twist, lattice", model="lifting.twist_error_roll",
        inputs="measured.wing_twist_left_right wing.span wing.area rider.mass targets.cruise_speed", cases=AT[:2],
        case=m.twist_shift[:, :2].argmax(axis=1), applies=flies, beyond=beyond,
    )  # fmt: skip


def _surface(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    craft, f, m = state.craft, state.flight, state.motions
    make.add(
        "mast_length", name="Mast for the chop", part="mast", meaning="annoys", demand=m.mast_needed,
        capacity=craft.mast.length, unit="m", required=0.05, required_why="the waves are not known better",
        source="Depth of the wing, highest wave, clearance and a rider's wandering (common practice)",
        model="balance.mast_length", inputs="mast.length water.chop wing.area wing.span",
    )  # fmt: skip
    depth_left = craft.mast.length - craft.targets.wing_depth
    make.add(
        "ride_height", name="Height of the board over the water in flight", part="mast", meaning="annoys",
        demand=0.5 * craft.water.chop + 0.05,
        capacity=depth_left, unit="m", required=0.2, required_why="crests must pass below the board",
        source="Geometry; common practice for the clearance", inputs="mast.length targets.wing_depth water.chop",
    )  # fmt: skip
    gust = m.gust[:, :2].max(axis=1)
    make.add(
        "gust", name="Lift that chop adds or takes, share of the weight", part="wing", meaning="annoys", demand=gust,
        capacity=np.full_like(gust, GUST_LIMIT), unit="1", required=0.2,
        required_why="beyond a quarter of the weight the ride breaks up (common practice)",
        source="Deep-water waves (Airy 1845), quasi-steady lift", model="balance.wave_gust",
        inputs=f"water.chop targets.wing_depth targets.cruise_speed wing.area wing.span {MASS}", cases=AT[:2],
        case=m.gust[:, :2].argmax(axis=1), applies=f.found, beyond=beyond,
    )  # fmt: skip
    _cavitation(make, state, beyond)
    slip = strut.side_slip_limit(draft=f.depth, speed=np.clip(f.cruise, 2.0, None))
    ratio = f.depth / craft.mast.chord
    tested = used(strut.side_force_slope, draft_over_chord=ratio)
    make.add(
        "side_slip", name="Side-slip of the mast in a usual turn before it draws air", part="mast", meaning="hurts",
        demand=_slip(state), capacity=np.asarray(slip.caution), unit="rad", required=0.2,
        required_why="a mast that draws air loses its hold at once, and stays so",
        source="Harwood, Young and Ceccio 2016; limits of use are estimates", model="strut.side_slip_limit",
        inputs=f"mast.chord targets.wing_depth {MASS}",
        beyond=(*beyond, *tested, *used(strut.side_slip_limit, draft_froude=np.asarray(slip.draft_froude))),
    )  # fmt: skip


SHORTEST = 0.465
"""Wet length over chord of the shortest mast whose side force is known [-]."""
TURN = 12.0
"""Radius of a usual turn [m] (common practice)."""
UNBANKED = 0.35
"""Share of the turning force that the mast gives because the rider banks too little (common practice)."""


def _slip(state: State) -> Array:
    """Return the side-slip of the mast in a usual turn at cruise [rad]."""
    f, craft = state.flight, state.craft
    speed = np.clip(f.cruise, 2.0, f.speeds[-1])
    draft = np.maximum(f.depth, SHORTEST * craft.mast.chord)
    slope = strut.side_force_slope(draft=draft, chord=craft.mast.chord)
    force = UNBANKED * state.weights.total * speed**2 / TURN
    pressure = 0.5 * state.water.density * speed**2
    return np.asarray(force / (pressure * draft * craft.mast.chord * slope))


def _cavitation(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    f = state.flight
    asked = np.clip(np.maximum(f.cruise, state.craft.ride.speed.max(axis=1)), f.speeds[0], f.speeds[-1])
    wing = f.foils.wing
    suction = -section.pressure_at(tables=wing.tables, lift_coefficient=f.at(f.wing_coefficient * wing.peak, asked))
    number = strut.cavitation_number(
        depth=f.depth, speed=asked, density=state.water.density, vapour_pressure=state.water.vapour_pressure
    )
    make.add(
        "cavitation", name="Suction on the wing at the fastest speed asked for against boiling", part="wing",
        meaning="stops",
        demand=SUCTION_FACTOR * np.maximum(suction, 0.0), capacity=np.asarray(number), unit="1", required=0.1,
        required_why="ridges and gusts raise the suction",
        source="Panel method against Gregory and O'Reilly 1970; cavitation number",
        model="section.pressure_at", inputs=f"{WING} {MASS} targets.wing_depth targets.cruise_speed ride.leg",
        applies=f.found, beyond=beyond,
    )  # fmt: skip
