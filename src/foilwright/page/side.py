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
        mast=(float(mast.x[0]), float(mast.chord[0]), float(mast.length[0]), _thickness(mast.section[0], mast.chord[0])),
        fuselage=(
            float(craft.wing.x[0] - 0.5 * fuselage.arm[0] - 0.5 * fuselage.length[0]), float(fuselage.length[0]),
            float(fuselage.diameter[0]), float(craft.wing.z[0]),
        ),
        pod=(float(pod.x[0]), float(pod.length[0]), float(pod.diameter[0]), float(pod.z[0])),
        propeller=(float(pod.x[0] + front * (0.5 * pod.length[0] + 0.015)), float(craft.drive.diameter[0])),
        boxes=_boxes(craft, state),
        rider=(float(craft.rider.height[0]), float(mast.x[0] + craft.rider.stance[0]), float(craft.rider.stance_width[0])),
        rest=_rest(craft, state), steps=tuple(_steps(craft, state, take_off)), take_off=take_off,
        band=(float(state.flight.slow[0]), float(state.flight.fast[0])),
    )  # fmt: skip


def _thickness(section: str, chord: float) -> float:
    return float(foil.four_digit(section=section).thickness * chord)


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


def _boxes(craft: Craft, state: State) -> tuple[tuple[str, str, float, float, float, float], ...]:
    pieces = state.weights.masses.pieces
    out = []
    for name, piece in pieces.items():
        if name in ("pack", "controller") or name.startswith("part."):
            part = name if "." not in name else "part"
            told = name.partition(".")[2] or name
            out.append((part, told, *(float(each[0]) for each in (piece.x, piece.y, piece.z, piece.mass))))
    return tuple(out)


def _rest(craft: Craft, state: State) -> Moment:
    """Return the craft at rest, the rider in the posture of the take-off."""
    floating, posture = state.floating, craft.rider.posture[0]
    which = 0 if posture == "prone" else 1
    weights = state.weights
    loads = (
        Load(name="weight of the craft", x=float(weights.craft_x[0]), z=float(weights.craft_z[0]), ahead=0.0,
             up=-float(weights.masses.mass[0]) * GRAVITY),
        Load(name="weight of the rider", x=float(floating.place[0, which]), z=float(weights.deck[0]), ahead=0.0,
             up=-float(weights.rider[0]) * GRAVITY),
    )  # fmt: skip
    rest = floating.rest
    floats = bool(rest.found[0, which])
    return Moment(
        speed=0.0, told=f"at rest, {posture}" if floats else f"at rest, {posture}: it sinks, or lies at no even trim",
        trim=float(rest.trim[0, which]) if floats else 0.0,
        waterline=float(rest.draught[0, which]) if floats else float(weights.deck[0]) + 0.1,
        posture=posture, place=float(floating.place[0, which]), loads=loads,
    )  # fmt: skip


def _steps(craft: Craft, state: State, take_off: float) -> list[Moment]:
    """Return the run up to take-off, or as far as it is worked out, and flight from there on."""
    run, flight = state.run, state.flight
    rest = _rest(craft, state)
    out = []
    last = take_off if np.isfinite(take_off) else float(run.speeds[-1])
    for k, speed in enumerate(run.speeds):
        if speed < last and np.isfinite(run.place[0, k] + run.resistance[0, k] + run.thrust[0, k]):
            out.append(_running(craft, state, k, rest))
    for k, speed in enumerate(flight.speeds):
        if np.isfinite(take_off) and speed >= take_off and np.isfinite(flight.trim[0, k] + flight.place[0, k] + flight.drag[0, k]):
            out.append(_flying(craft, state, k))
    return out or [rest]


def _running(craft: Craft, state: State, k: int, rest: Moment) -> Moment:
    run, weights = state.run, state.weights
    total = float(weights.total[0]) * GRAVITY
    trim, place = float(run.trim[0, k]), float(run.place[0, k])
    share = min(max(float(run.load[0, k]) / total, 0.0), 1.0)
    loads = (
        *_weights(state, place),
        Load(name="full thrust", x=float(craft.pod.x[0]), z=float(craft.pod.z[0]), **_along(float(run.thrust[0, k]), trim)),
        Load(name="lift of wing and stabiliser", x=float(craft.wing.x[0]), z=float(craft.wing.z[0]), ahead=0.0,
             up=float(run.lift_share[0, k]) * total),
        Load(name="carried by the board", x=float(weights.craft_x[0]), z=0.0, ahead=0.0, up=float(run.load[0, k])),
        Load(name="drag", x=float(craft.mast.x[0]), z=0.0, ahead=-float(run.resistance[0, k]), up=0.0),
    )  # fmt: skip
    return Moment(
        speed=float(run.speeds[k]), told="on the run", trim=trim, waterline=rest.waterline * share,
        posture=craft.rider.posture[0], place=place, loads=loads,
    )  # fmt: skip


def _flying(craft: Craft, state: State, k: int) -> Moment:
    flight = state.flight
    trim, place = float(flight.trim[0, k]), float(flight.place[0, k])
    within = float(flight.slow[0]) <= float(flight.speeds[k]) <= float(flight.fast[0])
    loads = (
        *_weights(state, place),
        Load(name="thrust", x=float(craft.pod.x[0]), z=float(craft.pod.z[0]), **_along(float(flight.thrust[0, k]), trim)),
        Load(name="lift of the wing", x=float(craft.wing.x[0]), z=float(craft.wing.z[0]), ahead=0.0,
             up=float(flight.wing_lift[0, k])),
        Load(name="lift of the stabiliser", x=float(craft.stabiliser.x[0]), z=float(craft.stabiliser.z[0]), ahead=0.0,
             up=float(flight.tail_lift[0, k])),
        Load(name="drag", x=float(craft.mast.x[0] - craft.mast.chord[0]),
             z=float(craft.wing.z[0] + 0.5 * flight.depth[0]), ahead=-float(flight.drag[0, k]), up=0.0),
    )  # fmt: skip
    return Moment(
        speed=float(flight.speeds[k]), told="in flight" if within else "in flight, outside its usable speeds", trim=trim,
        waterline=float(craft.wing.x[0] * np.sin(trim) + craft.wing.z[0] * np.cos(trim) + flight.depth[0]), posture=POSTURES[2], place=place, loads=loads,
    )  # fmt: skip


def _weights(state: State, place: float) -> tuple[Load, Load]:
    weights = state.weights
    return (
        Load(name="weight of the craft", x=float(weights.craft_x[0]), z=float(weights.craft_z[0]), ahead=0.0,
             up=-float(weights.masses.mass[0]) * GRAVITY),
        Load(name="weight of the rider", x=place, z=float(weights.deck[0]), ahead=0.0,
             up=-float(weights.rider[0]) * GRAVITY),
    )  # fmt: skip


def _along(thrust: float, trim: float) -> dict[str, float]:
    return {"ahead": float(thrust * np.cos(trim)), "up": float(thrust * np.sin(trim))}
