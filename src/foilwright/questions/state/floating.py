"""The craft at rest: each posture at its best place, boxes flooded, turned over."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TypeVar

import numpy as np

from foilwright.core import solve
from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import hydrostatics, stability
from foilwright.physics.water import GRAVITY, Water
from foilwright.questions.state.weights import POSTURES, Weights
from foilwright.shape import board as hull

Of = TypeVar("Of", hull.Stations, hydrostatics.LoadTable)
RESTS = 2
"""A rider lying, and one upright (kneeling; standing floats the board alike)."""
STANDING = POSTURES.index("standing")
OFFSET = 0.05
"""Foot pressure off the middle that a standing rider always makes [m]."""
SOLID_DENSITY = 2200.0
"""Mean density of what fills boxes and skins, to tell its volume [kg/m^3]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Floating:
    """At rest; (n, 2) for a rider lying and upright, (n,) else."""

    rest: hydrostatics.Rest  # arrays (n, 2)
    place: Array  # (n, 2) m, of the rider's weight, nearest to level trim
    lying_gm: Array  # m, rigid rider
    standing_gm: Array  # m, rigid rider: negative is usual
    live_gm: Array  # m, with the rider's weight at the deck, standing
    heel: Array  # rad, standing, under OFFSET, live rider; NaN where it has no righting
    boxes_flooded: Array  # N, buoyancy less weight, rider in the water
    all_wet: Array  # N, also with water in the foam
    needed: Array  # N, that should be left
    righting: stability.Righting


def floating(craft: Craft, water: Water, weights: Weights) -> Floating:
    """Return how the craft floats."""
    n = craft.designs
    hung = water.density * weights.hung_volume
    mass = weights.total - hung
    fixed = weights.masses.mass * weights.craft_x - hung * weights.hung_x
    place = _best_place(weights, water, mass, fixed)
    middle = (fixed[:, None] + weights.rider[:, None] * place) / mass[:, None]
    low = weights.masses.mass * weights.craft_z - hung * weights.hung_z
    height = weights.deck[:, None] + weights.centre_height[:, :RESTS]
    boards = weights.masses.stations
    table = hydrostatics.load_table(
        stations=boards, trim=hydrostatics.START_TRIMS, density=hydrostatics.LIKE_VOLUME,
        levels=hydrostatics.START_LEVELS,
    )  # fmt: skip
    rest = hydrostatics.rest(
        stations=_repeated(boards), coarse=_repeated(table),
        mass=np.repeat(mass, RESTS), centre_x=middle.ravel(),
        density=np.repeat(water.density, RESTS),
        centre_z=((low[:, None] + weights.rider[:, None] * height) / mass[:, None]).ravel(),
    )  # fmt: skip
    rest = type(rest)(**{item.name: getattr(rest, item.name).reshape(n, -1) for item in fields(rest)})
    standing = stability.rider_balance(
        centre_of_buoyancy=rest.centre_z[:, 1], metacentric_radius=rest.transverse_radius[:, 1],
        craft_mass=mass - weights.rider, craft_z=low / (mass - weights.rider), rider_mass=weights.rider,
        rider_height=weights.centre_height[:, STANDING], deck_height=weights.deck, offset=np.asarray(OFFSET),
    )  # fmt: skip
    flooded, wet, needed = _flooded(craft, water, weights)
    return Floating(
        rest=rest, place=place, lying_gm=rest.transverse_gm[:, 0], standing_gm=standing.rigid_gm,
        live_gm=standing.live_gm, heel=standing.heel,
        boxes_flooded=flooded, all_wet=wet, needed=needed,
        righting=stability.righting(
            stations=weights.masses.stations, mass=weights.masses.mass, centre_z=weights.craft_z,
            density=water.density, rider_mass=weights.rider,
        ),
    )  # fmt: skip


def _repeated(boards: Of) -> Of:
    """Return the boards, or their table, once for each rest."""
    return type(boards)(**{item.name: np.repeat(getattr(boards, item.name), RESTS, axis=0) for item in fields(boards)})


def _best_place(weights: Weights, water: Water, mass: Array, fixed: Array) -> Array:
    """Return the place in each posture's reach that brings the board nearest to level."""
    table = hydrostatics.load_table(stations=weights.masses.stations, trim=np.zeros(1), density=water.density)
    load = np.clip(mass * GRAVITY, None, table.load[:, 0, -1])
    centre = solve.rows(load[:, None], table.load[:, 0], table.load_point[:, 0])[:, 0]
    wanted = (centre * mass - fixed) / weights.rider
    aft, forward = weights.aft[:, :RESTS], weights.forward[:, :RESTS]
    return np.clip(wanted[:, None], aft, np.maximum(forward, aft))


def _flooded(craft: Craft, water: Water, weights: Weights) -> tuple[Array, Array, Array]:
    """Return the buoyancy left with the boxes full, with the foam wet too, and what should be left."""
    pieces = weights.masses.pieces
    electric = pieces["pack"].mass + pieces["controller"].mass
    skin = weights.masses.pieces["board"].mass - craft.board.foam_density * weights.masses.foam_volume
    boxed = electric + np.sum(craft.parts.mass * craft.parts.in_hull, axis=1)
    solid = weights.hung_volume + (np.maximum(skin, 0.0) + boxed) / SOLID_DENSITY
    left = [
        stability.flotation(
            density=water.density, mass=weights.masses.mass, foam_volume=weights.masses.foam_volume,
            foam_uptake=uptake, solid_volume=solid, compartment_volume=np.zeros((craft.designs, 1)),
            flooded=np.ones((craft.designs, 1)),
        )
        for uptake in (np.zeros(craft.designs), craft.board.foam_uptake)
    ]  # fmt: skip
    needed = stability.flotation_needed(rider_mass=weights.rider, equipment_mass=electric)
    return np.asarray(left[0]), np.asarray(left[1]), np.asarray(needed)
