"""`push`: do propeller, gear, motor, controller and pack meet at a sound operating point?"""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array
from foilwright.physics import propeller as screw
from foilwright.questions.afloat import HULL, MASS
from foilwright.questions.finding import Beyond, Finding, Maker
from foilwright.questions.rise import BELOW, THRUST, WING
from foilwright.questions.state import State
from foilwright.questions.state.points import AT, STEADY

SCREW = "propeller.diameter propeller.pitch propeller.blades propeller.area_ratio propeller.finish"
SERIES = "Open-water B-series (Oosterveld and van Oossanen 1975), blade drag after ITTC 1978"
MOTOR = "Direct-current equivalent of the motor (Hanselman 2003), copper at its temperature"
CRUISE = f"{THRUST} {WING} {BELOW} {MASS} propeller.finish targets.cruise_speed targets.wing_depth"
"""What decides the operating point at cruise."""
FATIGUE = 3.0
"""Static strength over what a blade bears ten million times, with impact (common practice)."""
STEADY_AT = AT[3:]


class Push:
    """Operating points of the drive."""

    name = "push"
    asks = "Do propeller, gear, motor, controller and pack meet at a sound operating point?"

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        make = Maker(question=self.name, designs=state.craft.designs)
        beyond = beyond_screw(state)
        _meets(make, state, beyond)
        _currents(make, state, beyond)
        _voltage(make, state)
        _heat(make, state, beyond)
        _water(make, state, beyond)
        _strength(make, state, beyond)
        _retention(make, state)
        return make.made


def beyond_screw(state: State) -> tuple[Beyond, ...]:
    """Return what the propeller series says about the propeller it was used for."""
    d = state.craft.drive
    pitch = d.pitch / d.diameter
    means = "a pitch ratio outside the tested series (0.5 to 1.4)"
    beyond = np.asarray(screw.area_beyond(area_ratio=d.area_ratio, blades=d.blades))
    return (
        Beyond(model="propeller.open_water", variable="pitch_ratio", value=pitch, low=0.5, high=1.4, means=means,
        decides=True),
        Beyond(
            model="propeller.open_water", variable="area_ratio", value=beyond, low=-1e-9, high=0.05,
            means="blade area outside what the series tested for this number of blades", decides=False,
        ),
    )  # fmt: skip


def _worst(demand: Array) -> tuple[np.ndarray[tuple[int], np.dtype[np.intp]], Array]:
    at = demand.argmax(axis=1)
    return at, demand[np.arange(demand.shape[0]), at]


def _meets(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    p, holds = state.points.point, state.points.holds
    make.add(
        "duty", name="Throttle needed at cruise against full throttle", part="drive", meaning="stops",
        demand=p.duty[:, 3], capacity=state.craft.drive.duty_limit, unit="1", required=0.10,
        required_why="a sagging pack and a gust need something to spare", source=f"{SERIES}; {MOTOR}", model="drive.at",
        inputs=CRUISE, no_solution=~holds, sought="an operating point at cruise", beyond=beyond,
    )  # fmt: skip
    eta = p.propeller_efficiency[:, 3]
    make.add(
        "efficiency", name="Propeller efficiency at cruise against a useful one", part="propeller", meaning="annoys",
        demand=np.full_like(eta, 0.50), capacity=eta, unit="1", required=0.10,
        required_why="below some 55 % pitch, diameter or finish do not suit the speed (common practice)",
        source=SERIES, model="propeller.open_water", inputs=f"{SCREW} {CRUISE}", no_solution=~p.found[:, 3],
        sought="an operating point at cruise", beyond=beyond,
    )  # fmt: skip
    static, hump = state.drive.bollard, state.run.least_thrust
    make.add(
        "static_pull", name="Thrust at the hump against the pull at standstill", part="propeller", meaning="annoys",
        demand=0.55 * static, capacity=hump, unit="N", required=0.0,
        required_why="a pull on a rope says little of the hump where the thrust has fallen to half", source=SERIES,
        model="drive.full_throttle", inputs=f"{SCREW} {THRUST} {HULL} {MASS}", beyond=beyond,
    )  # fmt: skip


def _currents(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    d, p, points = state.craft.drive, state.craft.pack, state.points
    steady = points.point.motor_current[:, STEADY][:, :1]
    make.add(
        "motor_current", name="Motor current at cruise", part="motor", meaning="burns", demand=steady[:, 0],
        capacity=np.nan_to_num(d.motor_current_limit), unit="A", required=0.15,
        required_why="cooling is not known better",
        source=MOTOR, model="drive.at", inputs=f"{CRUISE} motor.current_limit", missing="motor.current_limit",
        is_missing=np.isnan(d.motor_current_limit), beyond=beyond,
    )  # fmt: skip
    at, worst = _worst(points.point.pack_current)
    limit = p.cell_current_limit * p.parallel
    make.add(
        "cell_current", name="Pack current against what its cells bear", part="pack", meaning="burns", demand=worst,
        capacity=np.nan_to_num(limit), unit="A", required=0.05, required_why="cells in parallel do not share evenly",
        source="Cell limit times cells in parallel", model="drive.at",
        inputs=f"{THRUST} cell.current_limit", missing="cell.current_limit", is_missing=np.isnan(limit), cases=AT,
        case=at,
        beyond=beyond,
    )  # fmt: skip
    for key, name, demand, limits in (
        ("battery_limit", "Current from the pack against the controller's set limit", points.point.pack_current,
        d.battery_current_limit),
        ("phase_limit", "Motor phase current against the controller's set limit", points.phase_current,
        d.phase_current_limit),
    ):  # fmt: skip
        make.add(
            key, name=name, part="controller", meaning="burns", demand=demand[:, 3], capacity=np.nan_to_num(limits),
            unit="A",
            required=0.2, required_why="cruising at the limit leaves nothing to climb with", source=MOTOR,
            model="drive.at",
            inputs=CRUISE, missing=f"controller.{key.split('_')[0]}_current_limit", is_missing=np.isnan(limits),
            beyond=beyond,
        )  # fmt: skip


def _voltage(make: Maker, state: State) -> None:
    d, s = state.craft.drive, state.supply
    full = s.limits.charge_end * state.craft.pack.series
    make.add(
        "voltage", name="Full pack against the controller's highest voltage", part="controller", meaning="burns",
        demand=np.asarray(full), capacity=np.nan_to_num(d.voltage_limit), unit="V", required=0.05,
        required_why="braking and long leads add spikes", source="Charge end of the cell kind times cells in series",
        model="pack.open_voltage", inputs="pack.series cell.kind controller.voltage_limit",
        missing="controller.voltage_limit", is_missing=np.isnan(d.voltage_limit),
    )  # fmt: skip
    shaft = np.concatenate([state.points.point.shaft_speed, state.points.free_speed[:, None]], axis=1)
    at, worst = _worst(shaft * (d.gear_ratio * d.pole_pairs)[:, None])
    make.add(
        "electrical_speed", name="Electrical speed against the controller's limit", part="controller", meaning="stops",
        demand=worst, capacity=np.nan_to_num(d.electrical_speed_limit), unit="rad/s", required=0.1,
        required_why="above it the controller loses the motor", source="Pole pairs times motor speed",
        model="drive.electrical_speed", missing="controller.electrical_speed_limit",
        is_missing=np.isnan(d.electrical_speed_limit),
        inputs="motor.pole_pairs motor.speed_constant pack.series cell.kind controller.duty_limit"
        " controller.electrical_speed_limit",
        cases=(*AT, "propeller out of the water, full throttle"), case=at,
    )  # fmt: skip


def _heat(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    winding = state.points.winding[:, 3]
    make.add(
        "winding", name="Winding temperature if cruise lasts", part="motor", meaning="burns", kind="difference",
        scale=20.0,
        demand=winding, capacity=state.craft.drive.winding_limit, unit="K", required=10.0,
        required_why="the path from winding to water is not known better",
        source=f"{MOTOR}; one thermal resistance to the water",
        model="drive.at", inputs=f"{CRUISE} motor.winding_limit", beyond=beyond,
        temperature=winding,
    )  # fmt: skip


def _water(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    p = state.points
    steady = p.loading[:, STEADY] / np.maximum(p.limit[:, STEADY], 1e-6)
    at, _ = _worst(steady[:, :1])
    rows = np.arange(state.craft.designs)
    make.add(
        "cavitation", name="Blade loading at cruise against 5 % back cavitation", part="propeller", meaning="stops",
        demand=p.loading[rows, 3 + at], capacity=p.limit[rows, 3 + at], unit="1", required=0.1,
        required_why="the line was read from a diagram", source="Burrill and Emerson 1963, 5 % line as in Carlton 2012",
        model="propeller.burrill_limit", inputs=f"{SCREW} {CRUISE} pod.above_wing", cases=STEADY_AT, case=at,
        beyond=beyond,
    )  # fmt: skip
    most = np.asarray(
        screw.breakdown_limit(
            cavitation_number=p.cavitation_number[:, :3], area_ratio=state.craft.drive.area_ratio[:, None]
        )
    )
    share = p.loading[:, 1:3] / np.maximum(most[:, 1:], 1e-6)
    at, _ = _worst(share)
    make.add(
        "breakdown", name="Blade loading at full throttle against thrust breakdown", part="propeller", meaning="stops",
        demand=p.loading[rows, 1 + at], capacity=most[rows, 1 + at], unit="1", required=0.1,
        required_why="beyond it more power gives no more thrust", source="Blount and Fox 1978",
        model="propeller.breakdown_limit",
        inputs=f"{SCREW} {THRUST} {HULL} {MASS} mast.length", cases=AT[1:3], case=at, beyond=beyond,
    )  # fmt: skip
    shaft = state.flight.depth - (state.craft.pod.z - state.craft.wing.z)
    make.add(
        "immersion", name="Depth of the shaft in flight against the propeller's need", part="propeller",
        meaning="stops",
        demand=state.craft.drive.diameter, capacity=shaft, unit="m", required=0.0,
        required_why="a tip nearer than half a diameter to the surface draws air and the thrust is gone",
        source="Common practice: half a diameter of water over the tip", model="propeller.immersion_loss",
        inputs="pod.above_wing targets.wing_depth propeller.diameter",
    )  # fmt: skip


def _strength(make: Maker, state: State, beyond: tuple[Beyond, ...]) -> None:
    d, p = state.craft.drive, state.points
    at, worst = _worst(np.maximum(np.abs(p.blade.face), np.abs(p.blade.back)))
    make.add(
        "blade", name="Stress at the blade root", part="propeller", meaning="breaks", demand=worst,
        capacity=d.blade_strength / FATIGUE,
        unit="Pa", required=0.2,
        required_why="the strength is divided by three for ten million turns past the mast and for knocks",
        source="Blade as a beam, loads at 0.70 and 0.66 of the radius (Carlton 2012)", model="propeller.blade_stress",
        inputs=f"{SCREW} {THRUST} propeller.root_chord propeller.root_thickness propeller.material"
        f" propeller.hub_diameter",
        cases=AT, case=at, beyond=beyond,
    )  # fmt: skip
    at, torque = _worst(p.point.torque)
    make.add(
        "pin", name="Drive pin against the largest torque", part="propeller", meaning="stops", demand=torque,
        capacity=np.nan_to_num(p.pin_torque), unit="N*m", required=0.5,
        required_why="1.5 to 2.5 times the steady torque: below it shears in use, above it spares nothing",
        source="Double shear of the pin", model="propeller.shear_pin",
        inputs=f"propeller.pin_diameter propeller.shaft_diameter {THRUST}",
        missing="propeller.pin_diameter", is_missing=np.isnan(p.pin_torque), cases=AT, case=at,
    )  # fmt: skip
    at, thrust = _worst(p.shaft_thrust)
    make.add(
        "bearing", name="Thrust against what the shaft's bearing carries", part="pod", meaning="breaks", demand=thrust,
        capacity=np.nan_to_num(d.bearing_load), unit="N", required=0.5,
        required_why="shocks when the propeller comes back into the water",
        source="Thrust of the operating points", model="propeller.thrust_bearing_load",
        inputs=f"propeller.bearing_load propeller.thrust_bearing {THRUST}", missing="propeller.bearing_load",
        is_missing=np.isnan(d.bearing_load), cases=AT, case=at,
    )  # fmt: skip


def _retention(make: Maker, state: State) -> None:
    """Compare hands and locks: 1 where right, 0 where wrong."""
    d = state.craft.drive
    n = state.craft.designs
    one = np.ones(n)
    behind = np.where(state.craft.pod.behind, 1.0, -1.0)
    # Seen from the nut (aft of a propeller behind the pod) a right-hand propeller driving ahead turns clockwise.
    turns = np.array([1.0 if hand == "right" else -1.0 for hand in d.hand]) * behind
    wanted = np.asarray(screw.nut_hand(turns=turns))
    stated = np.array([{"right": 1.0, "left": -1.0}.get(name, 0.0) for name in d.nut_thread])
    make.add(
        "nut_hand", name="Hand of the nut's thread against the turning of the shaft", part="propeller", meaning="stops",
        kind="difference", demand=one, capacity=np.where(wanted == stated, 1.0, 0.0), unit="1", required=0.0,
        required_why="running must tighten the nut, not undo it", source="Mechanics; as on paired grinder spindles",
        model="propeller.nut_hand", inputs="propeller.hand propeller.nut_thread pod.propeller",
        missing="propeller.nut_thread",
        is_missing=stated == 0.0,
    )  # fmt: skip
    locked = np.array([name not in ("", "none") for name in d.nut_lock])
    make.add(
        "nut_lock", name="A lock on the propeller nut besides friction", part="propeller", meaning="stops",
        kind="difference",
        demand=one, capacity=np.where(locked, 1.0, 0.0), unit="1", required=0.0,
        required_why="braking and reversing undo a nut that running tightens",
        source="Common practice: a positive lock",
        inputs="propeller.nut_lock", missing="propeller.nut_lock",
        is_missing=np.array([name == "" for name in d.nut_lock]),
    )  # fmt: skip
    both = np.array([name == "both ways" for name in d.thrust_bearing])
    make.add(
        "thrust_bearing", name="A bearing that takes thrust both ways", part="pod", meaning="breaks", kind="difference",
        demand=one, capacity=np.where(both, 1.0, 0.0), unit="1", required=0.0,
        required_why="braking, falls and a stopped motor pull the shaft the other way",
        source="Common practice: half the thrust astern", model="propeller.thrust_bearing_load",
        inputs="propeller.thrust_bearing", missing="propeller.thrust_bearing",
        is_missing=np.array([name == "" for name in d.thrust_bearing]),
    )  # fmt: skip
