"""How flight answers a disturbance: pitch and heave, roll, gusts, at the slow end, cruise and fast end."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core import solve
from foilwright.core.model import Array
from foilwright.core.shapes import cell, column
from foilwright.craft import Craft
from foilwright.physics import balance, lifting
from foilwright.physics.water import GRAVITY, Water
from foilwright.questions.state.flight import STANDING, Flight
from foilwright.questions.state.weights import Weights

AT = ("slow end", "cruise", "fast end")
RIDERS = ("stiff rider", "yielding rider")
"""The rider as one piece with the craft, and the craft turning under the ankles."""
WAVE_AGE = 2.75
"""Period of wind chop over the root of its height [s/m^0.5] (short fetch, Coastal Engineering Manual)."""
HIGHEST = 1.7
"""Highest wave over the usual one."""
BAND = 0.15
"""Height over which a rider wanders in flight [m] (common practice 0.15 to 0.20)."""
HELD = 0.9
"""Share of the depth at which the stiffness in height still reads the tables."""
CLEAR = 0.08
"""Air left between crest and board [m] (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Motions:
    """Answers to disturbances; (n, 3) at slow end, cruise and fast end, (n,) else."""

    speeds: Array
    static_margin: Array  # of the mean chord
    double: Array  # (n, 3, 2) s, pitch and heave, by RIDERS
    roll_delay: Array  # s, longest delay with which a fall in roll can still be caught
    roll_double: Array  # s
    gust: Array  # share of the weight that chop adds or takes
    mast_needed: Array  # (n,) m
    stance_per_angle: Array  # m/rad, rider's shift for a change of the stabiliser's angle
    twist_shift: Array  # m, sideways, for the measured or assumed twist of left against right
    neutral: Array  # m behind the wing's quarter chord


def motions(craft: Craft, water: Water, weights: Weights, flight: Flight) -> Motions:
    """Return the motions of every design in flight."""
    first = flight.speeds[0]
    ends = np.stack([flight.slow, flight.cruise, flight.fast], axis=1)
    speeds = np.clip(np.where(np.isfinite(ends), ends, first), first, flight.speeds[-1])

    def read(values: Array) -> Array:
        return solve.rows(speeds, flight.speeds, values)

    f = flight.foils
    wing_slope, tail_slope = read(f.wing.slope), read(f.stabiliser.slope)
    follows = 1.0 - read(f.downwash) * wing_slope
    ahead = _ahead(weights, flight, read(flight.place), read(flight.trim))
    point = balance.neutral_point(
        wing_slope=wing_slope, stabiliser_slope=tail_slope, wing_area=column(craft.wing.area),
        stabiliser_area=column(craft.stabiliser.area), arm=ahead[0] - ahead[1], downwash_slope=1.0 - follows,
    )  # fmt: skip
    margin = balance.static_margin(
        neutral_point=point.behind, centre_ahead=-ahead[0], chord=column(craft.wing.area / craft.wing.span)
    )
    rigging = balance.rigging_shift(
        speed=speeds, density=column(water.density), wing_area=column(craft.wing.area), wing_slope=wing_slope,
        stabiliser_area=column(craft.stabiliser.area), stabiliser_slope=tail_slope, arm=ahead[0] - ahead[1],
        downwash_slope=1.0 - follows, rider_weight=column(weights.rider * GRAVITY),
    )  # fmt: skip
    roll = _roll(craft, water, weights, flight, speeds)
    period = WAVE_AGE * np.sqrt(np.maximum(craft.water.chop, 1e-4))
    gust = balance.wave_gust(
        height=column(craft.water.chop), period=column(period), depth=column(flight.depth), speed=speeds,
        density=column(water.density), area=column(craft.wing.area), slope=wing_slope,
    )  # fmt: skip
    twisted = lifting.twist_error_roll(
        area=column(craft.wing.area), span=flight.foils.wing.span, taper=column(craft.wing.taper), speed=speeds,
        density=column(water.density), rider_weight=column(weights.rider * GRAVITY),
        twist_difference=column(craft.wing.twist_left_right), sweep=column(craft.wing.sweep),
        section_slope=read(f.wing.section_slope),
    )  # fmt: skip
    return Motions(
        speeds=speeds, static_margin=np.asarray(margin),
        double=_pitch(craft, water, weights, flight, speeds, ahead, follows * tail_slope, wing_slope),
        roll_delay=np.asarray(balance.critical_delay(toppling=roll.toppling, damping_rate=roll.damping_rate)),
        roll_double=roll.time_to_double, gust=np.abs(gust.lift_change) / column(weights.total * GRAVITY),
        mast_needed=np.asarray(
            balance.mast_length(
                chord=craft.wing.area / craft.wing.span, highest=HIGHEST * craft.water.chop,
                clearance=np.asarray(CLEAR), control_band=np.asarray(BAND),
            )
        ),
        stance_per_angle=np.asarray(rigging.rider), twist_shift=np.abs(twisted.rider_shift),
        neutral=np.asarray(point.behind),
    )  # fmt: skip


def _pitch(
    craft: Craft, water: Water, weights: Weights, flight: Flight, speeds: Array, ahead: tuple[Array, Array],
    tail_slope: Array, wing_slope: Array,
) -> Array:  # fmt: skip
    """Return the time to double in pitch and heave, with a stiff and with a yielding rider."""

    def read(values: Array) -> Array:
        return solve.rows(speeds, flight.speeds, values)[..., None]

    wing, tail = craft.wing, craft.stabiliser
    extra = [
        balance.added_mass(chord=s.area[:, 0] / s.span[:, 0], span=s.span[:, 0], density=water.density).mass
        for s in (flight.foils.wing, flight.foils.stabiliser)
    ]
    places = [each[..., None] for each in ahead]
    body = balance.rider_body(mass=craft.rider.mass, stature=craft.rider.height)
    craft_inertia = weights.masses.mass * weights.masses.radius**2
    apart = np.hypot(
        weights.deck + weights.centre_height[:, STANDING] - weights.craft_z, craft.mast.x - weights.craft_x
    )
    stiff = balance.pitch_inertia(
        rider_mass=weights.rider, rider_inertia=body.pitch_inertia, craft_mass=weights.masses.mass,
        craft_inertia=craft_inertia, separation=apart,
    )  # fmt: skip
    under = weights.deck - wing.z
    body_height = under + weights.centre_height[:, STANDING]
    mixed = (weights.masses.mass * (weights.craft_z - wing.z) + weights.rider * body_height) / weights.total
    stiffness = _stiffness(craft, flight, speeds)
    roots = balance.heave_pitch_roots(
        mass=cell(weights.total), inertia=np.stack([stiff, craft_inertia], axis=1)[:, None, :],
        speed=speeds[..., None], density=cell(water.density), wing_area=cell(wing.area),
        wing_slope=wing_slope[..., None], wing_place=places[0], wing_stiffness=stiffness[..., None],
        stabiliser_area=cell(tail.area), stabiliser_slope=tail_slope[..., None], stabiliser_place=places[1],
        stabiliser_stiffness=np.asarray(0.0), added_mass=cell(extra[0] + extra[1]),
        added_coupling=cell(extra[0]) * places[0] + cell(extra[1]) * places[1],
        added_inertia=cell(extra[0]) * places[0] ** 2 + cell(extra[1]) * places[1] ** 2,
        centre_height=np.stack([mixed, under], axis=1)[:, None, :], wing_lift=read(flight.wing_lift),
        stabiliser_lift=read(flight.tail_lift), wing_drag_slope=read(_drag_slope(flight)),
        drag=read(flight.drag - flight.causes["air"]),
    )  # fmt: skip
    return np.asarray(roots.time_to_double)


def _ahead(weights: Weights, flight: Flight, place: Array, trim: Array) -> tuple[Array, Array]:
    """Return how far wing and stabiliser are ahead of the whole weight, along the flow (n, 3) [m].

    A trim nose up turns the weight, which is far above the foils, back over them.
    """
    x = (column(weights.masses.mass * weights.craft_x) + column(weights.rider) * place) / column(weights.total)
    z = (weights.masses.mass * weights.craft_z + weights.rider * weights.deck) / weights.total
    sine, cosine = np.sin(trim), np.cos(trim)
    wing, tail = ((s.x - x) * cosine - (s.z - column(z)) * sine for s in (flight.foils.wing, flight.foils.stabiliser))
    return wing, tail


def _drag_slope(flight: Flight) -> Array:
    """Return the growth of the wing's drag with incidence [N/rad]."""
    w = flight.foils.wing
    return w.pressure * w.area * 2.0 * w.factor * flight.wing_coefficient * w.slope


def _stiffness(craft: Craft, flight: Flight, speeds: Array) -> Array:
    """Return the lift that the wing gains with depth (n, 3) [N/m]."""
    return np.asarray(
        lifting.height_stiffness(
            lift=solve.rows(speeds, flight.speeds, flight.wing_lift), area=column(craft.wing.area),
            span=flight.foils.wing.span, taper=column(craft.wing.taper), sweep=column(craft.wing.sweep),
            section_slope=solve.rows(speeds, flight.speeds, flight.foils.wing.section_slope),
            depth=np.maximum(column(flight.depth), flight.foils.wing.nearest / HELD), speed=speeds,
        )
    )  # fmt: skip


def _roll(craft: Craft, water: Water, weights: Weights, flight: Flight, speeds: Array) -> balance.RollRoots:
    """Return the fall in roll about the wing with a stiff rider."""
    wing = craft.wing
    slope = balance.rolling_slope(
        section_slope=solve.rows(speeds, flight.speeds, flight.foils.wing.section_slope),
        aspect_ratio=flight.foils.wing.span**2 / column(wing.area),
    )
    damping = balance.roll_damping(
        slope=slope, taper=column(wing.taper), area=column(wing.area), span=column(wing.span), speed=speeds,
        density=column(water.density),
    )  # fmt: skip
    body = balance.rider_body(mass=craft.rider.mass, stature=craft.rider.height)
    high = weights.deck + weights.centre_height[:, STANDING] - wing.z
    low = weights.craft_z - wing.z
    inertia = body.roll_inertia + weights.rider * high**2 + weights.masses.mass * low**2
    inertia = inertia + weights.masses.pieces["board"].mass * craft.board.width**2 / 12.0
    centre = (weights.rider * high + weights.masses.mass * low) / weights.total
    return balance.roll_roots(
        inertia=column(inertia),
        damping=damping.damping,
        weight=column(weights.total * GRAVITY),
        centre_height=column(centre),
    )
