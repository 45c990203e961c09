"""Tables of the drive and of the way over the water: throttle, tow, run, flight, legs."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from foilwright.parts.ready.card import GAP
from foilwright.parts.ready.facts import GRAVITY, NO_NUMBER, Facts, shown
from foilwright.physics.drive.grid import BINDING

Row = tuple[str, ...]
SETTINGS = (0.25, 0.5, 0.75, 1.0)
"""Shares of the throttle that are tried on the tether."""
LONGEST, HARD = 20, 10
"""Seconds that a setting is held on the tether, and near the highest pull if the winding would get too hot in time."""
NEARLY = 0.8
"""Share of the highest pull from which it counts as near."""
TOW_STEPS = 8
SLOWEST_TOW, UNKNOWN_TOW = 1.0, 5.0
"""Speeds between which a tow is tabled; the last where no take-off is found [m/s]."""
TOO_MUCH = 1.25
"""Pull over the computed one from which a tow tells that the board drags more than planned."""


def throttle(facts: Facts) -> Iterable[Row]:
    """Return what each setting gives, tied to a jetty."""
    yield "Setting", "Amps", "Volts", "Pull", "Hold", "Read: A, V, pull"
    drive, point = facts.state.drive, facts.state.points.point
    chart = drive.map
    hot = bool(facts.state.points.winding[0, 0] > facts.state.craft.drive.winding_limit[0])
    for setting in SETTINGS:
        duty = setting * facts.state.craft.drive.duty_limit[0]
        amps, volts, thrust = (
            float(np.interp(duty, chart.duty[0, 0], values[0, 0]))
            for values in (chart.pack_current, chart.pack_voltage, chart.thrust)
        )
        if thrust >= drive.bollard[0]:
            amps, volts, thrust = point.pack_current[0, 0], point.pack_voltage[0, 0], drive.bollard[0]
        seconds = HARD if hot and thrust > NEARLY * drive.bollard[0] else LONGEST
        yield (
            f"{setting * 100:.0f} %", f"{amps:.0f} A", f"{volts:.1f} V", f"{thrust:.0f} N = {thrust / GRAVITY:.1f} kg",
            f"{seconds} s", GAP,
        )  # fmt: skip


def binds(facts: Facts) -> str:
    """Return what holds full throttle back at the slowest speed."""
    return BINDING[int(facts.state.drive.binding[0, 0])]


def tow(facts: Facts) -> Iterable[Row]:
    """Return the pull of a tow over speed, and what the drive of the build would give."""
    yield "Speed", "Pull on the line", "Too much", "Drive gives", "Read"
    run = facts.state.run
    last = run.take_off[0] if run.found[0] else UNKNOWN_TOW
    for speed in np.linspace(SLOWEST_TOW, last, TOW_STEPS):
        drag, thrust = (float(np.interp(speed, run.speeds, values[0])) for values in (run.resistance, run.thrust))
        yield (
            f"{speed * 3.6:.1f} km/h", f"{drag:.0f} N = {drag / GRAVITY:.1f} kg", f"{TOO_MUCH * drag / GRAVITY:.1f} kg",
            f"{thrust / GRAVITY:.1f} kg", GAP,
        )  # fmt: skip


def run_marks(facts: Facts) -> Iterable[Row]:
    """Return the marks of a run up to take-off."""
    run, rise = facts.state.run, facts.number
    yield "Mark", "Computed", "Read"
    yield "hardest place of the run", f"{shown(run.least_speed, 'm/s')}, {run.least_resistance[0]:.0f} N", GAP
    yield "full thrust there", f"{run.least_thrust[0]:.0f} N", GAP
    if run.found[0]:
        yield "take-off, first possible", shown(rise("take_off_speed"), "m/s"), GAP
        yield "time at full throttle", f"{rise('take_off_time'):.0f} s", GAP
        yield "way at full throttle", f"{rise('take_off_distance'):.0f} m", GAP
        yield "power from the pack", shown(rise("take_off_electric_power"), "W"), GAP
        yield "throttle as it lifts, most", f"{100 * rise('release_throttle'):.0f} %", GAP


def flight_marks(facts: Facts) -> Iterable[Row]:
    """Return power, drag and the place of the feet at three speeds of flight."""
    yield "Speed", "Power", "Drag", "Weight over drag", "Read"
    if not facts.flies:
        return
    flight = facts.state.flight
    weight = facts.state.weights.total[0] * GRAVITY
    for name, speed in (("slow", flight.slow), ("cruise", flight.cruise), ("fast", flight.fast)):
        power, drag = flight.at(flight.power, speed), flight.at(flight.drag, speed)[0]
        told = shown(power, "W") if flight.flyable[0, np.argmin(np.abs(flight.speeds - speed[0]))] else NO_NUMBER
        yield f"{name}: {shown(speed, 'm/s')}", told, f"{drag:.0f} N", f"{weight / drag:.1f}", GAP


def legs(facts: Facts) -> Iterable[Row]:
    """Return the legs of the ride and the charge after each."""
    yield "Leg", "Speed", "Time", "Power", "Read: V at rest"
    ride, state = facts.state.craft.ride, facts.state.ride
    for k, name in enumerate(ride.names):
        yield (
            name, shown(ride.speed[0, k], "m/s"), shown(ride.time[0, k], "s"), shown(state.power[0, k], "W"), GAP,
        )  # fmt: skip
