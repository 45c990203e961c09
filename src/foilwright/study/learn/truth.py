"""Trials made up with a known fault: a ride stepped through time, with models that differ from those that read it.

The craft that rides has a fault, its own corrections, another section and finish of the wing, another motor, a
resistance whose hump stands elsewhere and whose slope differs, and a rider who follows the balance late and pays
for it in drag. Its track has the noise of a receiver, a current carries it, and the log's clock is off.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from foilwright.assemble import assemble
from foilwright.build.build import Build
from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.physics import drive
from foilwright.physics.water import GRAVITY
from foilwright.questions.state import State
from foilwright.study.learn import days, segment, tracks
from foilwright.study.learn.causes import AS_DESIGNED, Cause, causes, columns, value_of
from foilwright.study.learn.model import CHARGE, corrections
from foilwright.study.learn.predict import EFFECTS, NEUTRAL, Columns, at_rest
from foilwright.study.learn.seen import Reading, Scene, Trial

STEP = 0.1
"""Step of the ride [s]."""
DUTIES: Array = np.array([0.1, 0.3, 0.45, 0.6, 0.75, 0.9, 1.0])
OTHERS = {
    "naca2412": ("naca2410", "naca2415"), "naca2410": ("naca2408", "naca2412"), "naca4412": ("naca4410", "naca4415"),
    "naca2408": ("naca2410", "naca1408"), "naca4410": ("naca4412", "naca2410"), "naca1410": ("naca1408", "naca1412"),
}  # fmt: skip
"""Sections that stand in for the one that is written."""
INSTRUMENTS = ("sheet", "track", "track and log")
FOLLOWS, PAYS = 0.6, 0.25
"""Time in which the rider follows the balance [s], and share of the drag that half a metre of error costs."""
BURST = 0.03
"""Push of the first seconds of load over the lasting one: the pack sags with time (burst against lasting)."""
CHARGES = (0.9, 0.4, 0.65)
"""Charge of a fresh, a used and a warm pack."""
PROGRAMME = ((0.45, 45.0), (0.6, 45.0), (0.8, 45.0), (1.0, 60.0), (1.0, 60.0))
"""Throttle and time of the runs, out and back by turns [s]."""
PAUSE = 12.0
KNOWN = frozenset({"masses", "depth", "pack_temperature"})
"""What every day's sheet holds: craft and rider were weighed, the depth and the cells' temperature read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """What was true: the fault and its size, and the corrections in standard deviations."""

    cause: str
    size: float
    corrections: Mapping[str, float]
    seed: int
    also: str = ""  # a second fault, of the same size


@dataclass(frozen=True, slots=True, kw_only=True)
class Ridden:
    """The ride over time (t,), as it truly was."""

    time: Array
    speed: Array
    throttle: Array
    volts: Array
    amps: Array
    flying: Array
    heading: Array
    pull: float  # N at rest, full throttle
    truth: Truth


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
    """What the true craft does, over speeds (V,); pack fresh, used, and warm with what shows only then."""

    speeds: Array
    thrust: Array  # (3, duty, V) N
    current: Array  # (3, duty, V) A
    rest_at: Array  # charges, rising
    rest_voltage: Array  # V, at those charges
    resistance: Array  # (3,) ohm
    capacity: float  # A s
    board: Array  # N, on the water
    flight: Array  # N, in the air
    take_off: float
    mass: float
    late: bool  # the fault shows only when warm


def draw(build: Build, seed: int, cause: str | None = None) -> Truth:
    """Return a fault drawn evenly over the explanations, with corrections drawn from what is known before."""
    chance = np.random.default_rng(seed)
    known = [each for each in causes(build, asked=KNOWN) if each.changes]
    names = [AS_DESIGNED, *(each.id for each in known)]
    name = cause or names[int(chance.integers(len(names)))]
    x = np.clip(chance.standard_normal(len(corrections().names)), -1.8, 1.8)
    return Truth(
        cause=name, size=float(chance.uniform(0.35, 1.0)), seed=seed,
        corrections=dict(zip(corrections().names, x.tolist(), strict=True)),
    )  # fmt: skip


def with_second(build: Build, truth: Truth) -> Truth:
    """Return a truth with a second fault drawn, one that changes other fields and shows from the start."""
    chance, known = np.random.default_rng(truth.seed + 15485863), causes(build, asked=KNOWN)
    first = {change.path for each in known if each.id == truth.cause for change in each.changes}
    others = [
        each for each in known if each.changes and not each.late and first.isdisjoint(c.path for c in each.changes)
    ]
    return replace(truth, also=others[int(chance.integers(len(others)))].id)


def _fault(build: Build, name: str) -> Cause:
    return next(each for each in causes(build) if each.id == name)


def _broken(build: Build, truth: Truth) -> Columns:
    """Return the fields that the faults change: fresh, used and warm."""
    fault = _fault(build, truth.cause)
    broken = columns(build, fault, np.full(3, truth.size))
    if fault.late:
        broken = {path: np.array([value_of(build, path)] * 2 + [values[2]]) for path, values in broken.items()}
    return broken | (columns(build, _fault(build, truth.also), np.full(3, truth.size)) if truth.also else {})


def tables(build: Build, truth: Truth, chance: np.random.Generator, scene: Mapping[str, float | str]) -> Tables:
    """Return what the true craft does: fresh, used and warm."""
    known = corrections()
    own: dict[str, Array | tuple[str, ...]] = {
        path: (value,) * 3 if isinstance(value, str) else np.full(3, value) for path, value in scene.items()
    }
    broken = _broken(build, truth)
    own |= {path: values for path, values in broken.items() if path not in EFFECTS}
    for name, path, spread in zip(known.names, known.paths, known.spread, strict=True):
        if name != CHARGE:
            own[path] = np.asarray(own.get(path, np.ones(3))) * np.exp(spread * truth.corrections[name])
    own |= _otherwise(build, chance)
    start = np.array(CHARGES)
    own["pack.start_charge"], own["pack.stop_charge"] = np.minimum(start + 0.1, 1.0), start - 0.1
    with np.errstate(all="ignore"):
        craft, _ = assemble(build, own, trusted=True)
        return _read_off(State(craft), broken, chance, rest=at_rest(build), late=_fault(build, truth.cause).late)


def _otherwise(build: Build, chance: np.random.Generator) -> dict[str, Array | tuple[str, ...]]:
    """Return what differs from the models that read the trial: section, motor, wires."""
    out: dict[str, Array | tuple[str, ...]] = {}
    section = str(build.values.get("wing.section", ""))
    if section in OTHERS:
        out["wing.section"] = (str(chance.choice(OTHERS[section])),) * 3
    for path, least, most in (
        ("motor.idle_current", 0.8, 1.3),
        ("motor.resistance", 0.9, 1.12),
        ("wires.phase_length", 0.9, 1.2),
    ):
        value = value_of(build, path)
        if np.isfinite(value):
            out[path] = np.full(3, value * chance.uniform(least, most))
    return out


def _read_off(
    state: State, broken: Mapping[str, object], chance: np.random.Generator, *, rest: tuple[Array, Array], late: bool
) -> Tables:
    run, flight, drive_state = state.run, state.flight, state.drive
    speeds = np.concatenate([[0.0], run.speeds])
    area, share, legs = (
        float(np.asarray(broken.get(name, np.full(1, none)))[0]) for name, none in zip(EFFECTS, NEUTRAL, strict=True)
    )
    made = drive.map(inputs=drive_state.inputs, speed=speeds)
    full = []
    for duty in DUTIES:
        limits = dict(drive_state.limits)
        limits["duty_limit"] = limits["duty_limit"] * duty
        full.append(drive.full_throttle(map=made, **limits))
    towed = 0.5 * state.water.density[0] * run.speeds**2
    board = _bent(run.resistance[0], run.speeds, state, chance) + towed * (area + legs)
    flying = flight.drag[0, : run.speeds.size] * chance.normal(1.0, 0.04) + towed * area
    p = state.craft.pack
    return Tables(
        speeds=speeds, thrust=share * np.stack([each.thrust for each in full], axis=1),
        current=share * np.stack([each.pack_current for each in full], axis=1),
        resistance=state.supply.supply.resistance, rest_at=rest[0],
        rest_voltage=rest[1] * chance.normal(1.0, 0.004),
        capacity=float(p.capacity[0] * p.parallel[0]), board=np.concatenate([[0.0], board]),
        flight=np.concatenate([[0.0], flying]),
        take_off=float(run.take_off[0]) if run.found[0] else np.inf, mass=float(state.weights.total[0]), late=late,
    )  # fmt: skip


def _bent(resistance: Array, speeds: Array, state: State, chance: np.random.Generator) -> Array:
    """Return a resistance with its hump elsewhere, of another height, and another slope."""
    froude = speeds / np.sqrt(GRAVITY * state.craft.board.length[0])
    moved = np.interp(speeds * (1.0 + chance.normal(0.0, 0.03)), speeds, resistance)
    hump = chance.normal(0.0, 0.05) * np.exp(-(((froude - 0.55) / 0.15) ** 2))
    return np.asarray(moved * (1.0 + hump + chance.normal(0.0, 0.04) * (froude - 0.7)))


def ride(build: Build, truth: Truth, scene: Mapping[str, float | str]) -> Ridden:
    """Return a day on the water, stepped through time with the rider in the loop."""
    chance = np.random.default_rng(truth.seed + 7919)
    made = tables(build, truth, chance, scene)
    throttle, heading = _programme(chance)
    steps = throttle.size
    speed, out = 0.0, np.zeros((4, steps))
    lean, burst, up, warm = 0.0, 0.0, False, 0.0
    charge = min(CHARGES[0] + 0.08 * truth.corrections[CHARGE], 1.0)
    for k in range(steps):
        worn = float(np.clip((CHARGES[0] - charge) / (CHARGES[0] - CHARGES[1]), -0.2, 1.6))
        push, drawn, sags = _driven(made, speed, float(throttle[k]), worn, warm=warm > segment.WARM)
        burst += STEP / 8.0 * ((throttle[k] > 0.1) - burst)
        push *= 1.0 + BURST * (1.0 - burst)
        up = speed > (0.92 if up else 1.02) * made.take_off
        drag = float(np.interp(speed, made.speeds, made.flight if up else made.board))
        lean += STEP / FOLLOWS * (0.12 * np.tanh(speed - 3.0) + chance.normal(0.0, 0.04) - lean)
        drag *= 1.0 + PAYS * (lean - 0.12 * np.tanh(speed - 3.0)) ** 2 / 0.25
        speed = max(speed + STEP * (push - drag) / (1.06 * made.mass), 0.0)
        charge = max(charge - STEP * drawn / made.capacity, 0.05)
        warm += STEP * (throttle[k] > 0.1)
        rest = float(np.interp(charge, made.rest_at, made.rest_voltage))
        out[:, k] = speed, rest - sags, drawn, up
    return Ridden(
        time=STEP * np.arange(steps, dtype=np.float64), speed=out[0], throttle=throttle, volts=out[1], amps=out[2],
        flying=out[3] > 0.5, heading=heading, pull=float(made.thrust[0, -1, 0]), truth=truth,
    )  # fmt: skip


def _driven(made: Tables, speed: float, throttle: float, worn: float, *, warm: bool) -> tuple[float, float, float]:
    """Return push, current and sag at a speed and throttle, between a fresh and a used pack."""
    if throttle < 0.05:
        return 0.0, 0.0, 0.0
    at = float(np.interp(throttle, DUTIES, np.arange(DUTIES.size)))
    low = min(int(at), DUTIES.size - 2)
    place = min(int(np.searchsorted(made.speeds, speed, side="right")) - 1, made.speeds.size - 2)
    along = (speed - made.speeds[place]) / (made.speeds[place + 1] - made.speeds[place])
    shares = np.outer([low + 1 - at, at - low], [1.0 - along, along])
    rows = (2, 2) if made.late and warm else (0, 1)
    near = slice(low, low + 2), slice(place, place + 2)
    push, drawn = (
        (1.0 - worn) * float(np.sum(each[(rows[0], *near)] * shares))
        + worn * float(np.sum(each[(rows[1], *near)] * shares))
        for each in (made.thrust, made.current)
    )
    fresh, used = made.resistance[list(rows)]
    return push, drawn, drawn * float((1.0 - worn) * fresh + worn * used)


def _programme(chance: np.random.Generator) -> tuple[Array, Array]:
    """Return throttle and heading over time: runs out and back, with rests between."""
    throttle, heading, way = [np.zeros(int(20.0 / STEP))], [np.zeros(int(20.0 / STEP))], float(chance.uniform(0.0, 6.0))
    for k, (share, seconds) in enumerate(PROGRAMME):
        ramp = np.clip(np.arange(int(seconds / STEP)) * STEP / 2.0, 0.0, 1.0)
        rest = np.zeros(int(PAUSE / STEP))
        throttle += [share * ramp, rest]
        heading += [np.full(ramp.size + rest.size, way + np.pi * (k % 2))]
    return np.concatenate(throttle), np.concatenate(heading)


def fixes(ridden: Ridden, chance: np.random.Generator, *, every: float = 1.0, begin: float = 1.779e9) -> tracks.Fixes:
    """Return the track as a receiver gives it: a current carries the craft, the receiver wanders and rattles."""
    drift = chance.normal(0.0, 0.12, 2)
    east = np.cumsum((ridden.speed * np.cos(ridden.heading) + drift[0]) * STEP)
    north = np.cumsum((ridden.speed * np.sin(ridden.heading) + drift[1]) * STEP)
    stride = round(every / STEP)
    at = np.arange(0, ridden.time.size, stride)
    wander = np.cumsum(chance.normal(0.0, 0.06 * np.sqrt(every), (2, at.size)), axis=1)
    rattle = chance.normal(0.0, 0.08, (2, at.size))
    east, north = east[at] + wander[0] + rattle[0], north[at] + wander[1] + rattle[1]
    return tracks.Fixes(
        time=begin + ridden.time[at], latitude=47.5 + north / 111_180.0, longitude=8.6 + east / 75_200.0
    )


def log_columns(ridden: Ridden, chance: np.random.Generator) -> dict[str, Array]:
    """Return volts, amps and throttle as a logger gives them, five times a second."""
    at = np.arange(0, ridden.time.size, 2)
    return {
        "time": ridden.time[at],
        "volts": ridden.volts[at] * chance.normal(1.0, 0.004) + chance.normal(0.0, 0.05, at.size),
        "amps": ridden.amps[at] * chance.normal(1.0, 0.02) + chance.normal(0.0, 0.3, at.size),
        "throttle": ridden.throttle[at],
    }


def trial(build: Build, truth: Truth, instruments: str = INSTRUMENTS[-1], posture: str = "") -> tuple[Trial, Ridden]:
    """Return a made-up trial as it would be read, by the instruments carried."""
    chance = np.random.default_rng(truth.seed + 104729)
    scene: dict[str, float | str] = {"rider.posture": posture or str(build.values.get("rider.posture", "standing"))}
    ridden = ride(build, truth, scene)
    day = Trial(
        scenes=(Scene(values=scene),), readings=tuple(_remembered(ridden, truth, chance, instruments)), weighed=KNOWN
    )
    if instruments == INSTRUMENTS[0]:
        return day, ridden
    series = tracks.series(fixes(ridden, chance))
    if instruments == INSTRUMENTS[2]:
        kept = log_columns(ridden, chance)
        time = kept.pop("time") + series.time[0]
        series = replace(series, columns={name: np.interp(series.time, time, each) for name, each in kept.items()})
    marks = days.marks_of(build)
    flew = [each.value > 0.5 for each in day.readings if each.kind == "lifted"]
    return days.with_ride(build, day, segment.ride(series, marks, may_fly=any(flew)), "track", []), ridden


def _remembered(ridden: Ridden, truth: Truth, chance: np.random.Generator, instruments: str) -> list[Reading]:
    """Return what the rider would write down: the speed at full throttle, whether it flew, what was seen."""
    late = ridden.time > ridden.time[-1] - PAUSE - 25.0
    under = late & (ridden.throttle > 0.98)
    speed = round(3.6 * float(np.median(ridden.speed[under]))) / 3.6
    flew = bool(ridden.flying.sum() * STEP > 3.0)
    out = [Reading(kind="lifted", says="it flew" if flew else "it did not lift", source="sheet", value=float(flew))]
    if instruments == INSTRUMENTS[0]:
        says = f"{3.6 * speed:.0f} km/h at full throttle"
        flying = bool(ridden.flying[under].mean() > 0.5)
        out.append(
            Reading(
                kind="balance",
                says=says,
                source="sheet",
                value=0.0,
                speed_error=0.2,
                speed=max(speed, 0.5),
                flying=flying,
                late=True,
            )
        )
    book = table("learn/seen")
    for k, what in enumerate(book.texts["what"]):
        named = truth.cause in book.texts["at"][k].split()
        often, usual = float(book.columns["often"][k]), float(book.columns["usual"][k])
        if chance.random() < (often if named else usual) and book.texts["at"][k]:
            out.append(Reading(kind="seen", says=what, source="sheet", value=1.0, what=what))
    return out


def candidates(build: Build) -> Sequence[str]:
    """Return the faults that can be seeded in a build."""
    return [AS_DESIGNED, *(each.id for each in causes(build, asked=KNOWN) if each.changes)]
