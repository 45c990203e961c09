"""Weights, centres, buoyancy of what is always under water, and where the rider's weight can be."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import balance
from foilwright.physics import rider as people
from foilwright.shape.mass import Masses, masses, sum_of

POSTURES = ("prone", "kneeling", "standing")


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """What pulls down and what buoys up; arrays (n,), places (n, 3) by posture."""

    masses: Masses
    rider: Array  # kg, with kit
    total: Array  # kg
    craft_x: Array  # m
    craft_z: Array  # m
    deck: Array  # m, height of the deck above the bottom
    hung_volume: Array  # m^3, displaced by what hangs below the board
    hung_x: Array  # m, its centre
    hung_z: Array  # m
    aft: Array  # (n, 3) m, furthest back that the rider's weight can be
    forward: Array  # (n, 3) m, furthest forward
    posture: Array  # (n,) index of the posture of the take-off
    drag_area: Array  # (n, 3) m^2
    centre_height: Array  # (n, 3) m, of the rider above the deck
    quick: Array  # m, how far foot pressure moves the support point


def weights(craft: Craft) -> Weights:
    """Return weights and places of a craft with its rider."""
    book = masses(craft)
    rider = craft.rider.mass + craft.rider.kit_mass
    hung = book.pieces
    volume = sum_of(hung, "volume")
    safe = np.where(volume > 0.0, volume, 1.0)
    aft, forward, quick = _places(craft)
    body = [people.posture(name=name) for name in POSTURES]
    return Weights(
        masses=book,
        rider=rider,
        total=book.mass + rider,
        craft_x=book.x,
        craft_z=book.z,
        deck=craft.board.thickness,
        hung_volume=volume,
        hung_x=np.asarray(sum(piece.volume * piece.x for piece in hung.values())) / safe,
        hung_z=np.asarray(sum(piece.volume * piece.z for piece in hung.values())) / safe,
        aft=aft,
        forward=forward,
        posture=np.array([POSTURES.index(name) for name in craft.rider.posture], dtype=np.float64),
        drag_area=np.stack([np.broadcast_to(each.drag_area, rider.shape) for each in body], axis=1),
        centre_height=np.stack([each.centre_fraction * craft.rider.height for each in body], axis=1),
        quick=quick,
    )


def _places(craft: Craft) -> tuple[Array, Array, Array]:
    """Return the range of the support point for each posture, and the part of it that is quick."""
    r = craft.rider
    reach = balance.stance_reach(stance=r.stance_width, foot_length=r.foot_length)
    feet = craft.mast.x + r.stance
    standing_aft = np.maximum(feet - r.step - reach.foot_pressure, 0.0)
    standing_forward = np.minimum(feet + r.step + reach.foot_pressure, craft.board.length - 0.1)
    aft = np.stack([r.prone_from, r.kneeling_from, standing_aft], axis=1)
    forward = np.stack([r.prone_to, r.kneeling_to, standing_forward], axis=1)
    middle, half = 0.5 * (forward + aft), 0.5 * (forward - aft) * craft.factors.rider_reach[:, None]
    return middle - half, middle + half, np.asarray(reach.foot_pressure)
