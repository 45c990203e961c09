"""The craft as outlines in metres for drawing, and what pulls and pushes on it at each speed; nothing is drawn here."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.assemble import assemble
from foilwright.build.build import Build
from foilwright.core.model import Array
from foilwright.craft import Craft, Surface
from foilwright.physics.water import GRAVITY
from foilwright.questions.state import State
from foilwright.questions.state.weights import POSTURES
from foilwright.shape import foil

Points = list[tuple[float, float]]
POINTS = 41
"""Points around a section."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wing:
    """A lifting surface in space: outlines of its sections from the middle to the port tip, (m, k, 3) in metres."""

    loft: Array
    x: float
    z: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A force: where it acts in the axes of the board, its parts ahead and up in those of the water [N]."""

    name: str
    x: float
    z: float
    ahead: float
    up: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """The craft at one speed: how it lies, what acts on it, and in which words.

    The craft is turned by ``trim`` about the bottom of its tail; the water then stands ``waterline`` above that point.
    """

    speed: float
    told: str
    trim: float
    waterline: float
    posture: str
    place: float
    loads: tuple[Load, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Views:
    """Everything that a drawing of one craft needs, in metres."""

    x: Array
    half_beam: Array
    bottom: Array
    deck: Array
    wing: Wing
    stabiliser: Wing
    mast: tuple[float, float, float, float]  # leading edge, chord, length, thickness
    fuselage: tuple[float, float, float, float]  # rear end, length, diameter, height
    pod: tuple[float, float, float, float]  # centre, length, diameter, height
    propeller: tuple[float, float]  # place, diameter
    boxes: tuple[tuple[str, str, float, float, float, float], ...]  # part, name, x, y, z, mass
    rider: tuple[float, float, float]  # height, middle of the stance, width of the stance
    rest: Moment
    steps: tuple[Moment, ...]
    take_off: float
    band: tuple[float, float]

    def at(self, speed: float) -> Moment:
        """Return the craft at the nearest of the speeds that are worked out."""
        if speed < 0.5 * self.steps[0].speed:
            return self.rest
        return min(self.steps, key=lambda each: abs(each.speed - speed))


def sight(build: Build) -> Views:
    """Return one build as it is drawn."""
    craft = assemble(build)[0]
    state = State(craft)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore", under="ignore"):
        return _views(craft, state)


def _views(craft: Craft, state: State) -> Views:
    hull, mast, pod, fuselage = state.weights.masses.stations, craft.mast, craft.pod, craft.fuselage
    front = 1.0 if not pod.behind[0] else -1.0
    take_off = float(state.run.take_off[0]) if state.run.found[0] else float("nan")
    return Views(
        x=hull.x[0], half_beam=hull.half_beam[0], bottom=hull.bottom[0], deck=hull.deck[0],
        wing=_wing(craft.wing), stabiliser=_wing(craft.stabiliser),
        mast=(_one(mast.x), _one(mast.chord), _one(mast.length), _thickness(mast.section[0], _one(mast.chord))),
        fuselage=(
            float(craft.wing.x[0] - 0.5 * fuselage.arm[0] - 0.5 * fuselage.length[0]), float(fuselage.length[0]),
            float(fuselage.diameter[0]), float(craft.wing.z[0]),
        ),
        pod=(float(pod.x[0]), float(pod.length[0]), float(pod.diameter[0]), float(pod.z[0])),
        propeller=(float(pod.x[0] + front * (0.5 * pod.length[0] + 0.015)), float(craft.drive.diameter[0])),
        boxes=_boxes(state),
        rider=(_one(craft.rider.height), _one(mast.x + craft.rider.stance), _one(craft.rider.stance_width)),
        rest=_rest(craft, state), steps=tuple(_steps(craft, state, take_off)), take_off=take_off,
        band=(float(state.flight.slow[0]), float(state.flight.fast[0])),
    )  # fmt: skip


def _load(
    name: str, x: Array | float, z: Array | float, *, ahead: Array | float = 0.0, up: Array | float = 0.0
) -> Load:
    """Return a force of the first design."""
    return Load(name=name, x=_one(x), z=_one(z), ahead=_one(ahead), up=_one(up))


def _one(value: Array | float) -> float:
    return float(np.atleast_1d(value)[0])


def _thickness(section: str, chord: float) -> float:
    return float(foil.section_thickness(section=section) * chord)


def _wing(surface: Surface) -> Wing:
    shape = foil.stations(
        area=surface.area, span=surface.span, taper=surface.taper, sweep=surface.sweep, dihedral=surface.dihedral,
        twist=surface.twist + 0.0,
    )  # fmt: skip
    coordinates = foil.section_coordinates(section=surface.section[0], points=POINTS)
    loft = np.asarray(foil.loft(stations=shape, coordinates=np.asarray(coordinates)))[0].copy()
    angle = float(surface.incidence[0])
    x, z = loft[..., 0].copy(), loft[..., 2].copy()
    loft[..., 0] = float(surface.x[0]) + x * np.cos(angle) - z * np.sin(angle)
    loft[..., 2] = float(surface.z[0]) + x * np.sin(angle) + z * np.cos(angle)
    return Wing(loft=loft, x=float(surface.x[0]), z=float(surface.z[0]))


def _boxes(state: State) -> tuple[tuple[str, str, float, float, float, float], ...]:
    pieces = state.weights.masses.pieces
    out = []
    for name, piece in pieces.items():
        if name in ("pack", "controller") or name.startswith("part."):
            part = name if "." not in name else "part"
            told = name.partition(".")[2] or name
            out.append((part, told, _one(piece.x), _one(piece.y), _one(piece.z), _one(piece.mass)))
    return tuple(out)


def _rest(craft: Craft, state: State) -> Moment:
    """Return the craft at rest, the rider in the posture of the take-off."""
    floating, posture = state.floating, craft.rider.posture[0]
    which = 0 if posture == "prone" else 1
    rest, place = floating.rest, float(floating.place[0, which])
    floats = bool(rest.found[0, which])
    told = f"at rest, {posture}" if floats else f"at rest, {posture}: it sinks, or lies at no even trim"
    loads = _weights(state, place)
    whole = -sum(each.up for each in loads)
    middle = sum(-each.up * each.x for each in loads) / whole
    carried = (_load("carried by the board", middle, 0.0, up=whole),) if floats else ()
    return Moment(
        speed=0.0, told=told, trim=float(rest.trim[0, which]) if floats else 0.0,
        waterline=float(rest.draught[0, which]) if floats else _one(state.weights.deck) + 0.1,
        posture=posture, place=place, loads=(*loads, *carried),
    )  # fmt: skip


def _steps(craft: Craft, state: State, take_off: float) -> list[Moment]:
    """Return the run up to take-off, or as far as it is worked out, and flight from there on."""
    run, flight = state.run, state.flight
    rest = _rest(craft, state)
    last = take_off if np.isfinite(take_off) else np.inf
    runs = np.isfinite(run.place[0] + run.resistance[0] + run.thrust[0]) & (run.speeds < last)
    flies = np.isfinite(flight.trim[0] + flight.place[0] + flight.drag[0]) & (flight.speeds >= take_off)
    out = [_running(craft, state, int(k), rest) for k in np.flatnonzero(runs)]
    out += [_flying(craft, state, int(k)) for k in np.flatnonzero(flies)]
    return out or [rest]


def _running(craft: Craft, state: State, k: int, rest: Moment) -> Moment:
    run, weights, pod, wing = state.run, state.weights, craft.pod, craft.wing
    total = _one(weights.total) * GRAVITY
    trim, place, thrust, carried = (float(each[0, k]) for each in (run.trim, run.place, run.thrust, run.load))
    loads = (
        *_weights(state, place),
        _load("full thrust", pod.x, pod.z, ahead=thrust * np.cos(trim), up=thrust * np.sin(trim)),
        _load("lift of wing and stabiliser", wing.x, wing.z, up=float(run.lift_share[0, k]) * total),
        _load("carried by the board", weights.craft_x, 0.0, up=carried),
        _load("drag", craft.mast.x, 0.0, ahead=-float(run.resistance[0, k])),
    )
    return Moment(
        speed=float(run.speeds[k]), told="on the run", trim=trim,
        waterline=rest.waterline * min(max(carried / total, 0.0), 1.0),
        posture=craft.rider.posture[0], place=place, loads=loads,
    )  # fmt: skip


def _flying(craft: Craft, state: State, k: int) -> Moment:
    flight, pod, wing, tail, mast = state.flight, craft.pod, craft.wing, craft.stabiliser, craft.mast
    trim, place, thrust = (float(each[0, k]) for each in (flight.trim, flight.place, flight.thrust))
    within = _one(flight.slow) <= float(flight.speeds[k]) <= _one(flight.fast)
    loads = (
        *_weights(state, place),
        _load("thrust", pod.x, pod.z, ahead=thrust * np.cos(trim), up=thrust * np.sin(trim)),
        _load("lift of the wing", wing.x, wing.z, up=float(flight.wing_lift[0, k])),
        _load("lift of the stabiliser", tail.x, tail.z, up=float(flight.tail_lift[0, k])),
        _load("drag", mast.x - mast.chord, wing.z + 0.5 * flight.depth, ahead=-float(flight.drag[0, k])),
    )
    level = _one(wing.x) * np.sin(trim) + _one(wing.z) * np.cos(trim) + _one(flight.depth)
    return Moment(
        speed=float(flight.speeds[k]), told="in flight" if within else "in flight, outside its usable speeds",
        trim=trim, waterline=float(level), posture=POSTURES[2], place=place, loads=loads,
    )  # fmt: skip


def _weights(state: State, place: float) -> tuple[Load, Load]:
    weights = state.weights
    return (
        _load("weight of the craft", weights.craft_x, weights.craft_z, up=-weights.masses.mass * GRAVITY),
        _load("weight of the rider", place, weights.deck, up=-weights.rider * GRAVITY),
    )
