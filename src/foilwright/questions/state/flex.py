"""How far foils and mast give under what they carry, as springs that the balances of flight and run are asked with."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array
from foilwright.core.shapes import column


@dataclass(frozen=True, slots=True, kw_only=True)
class Bends:
    """How one lifting surface turns on what holds it (n,); nose up counts as positive."""

    force: Array  # rad/N, for its lift, through the fuselage
    lift: Array  # rad/Pa, mean twist for pressure times lift coefficient
    moment: Array  # rad/Pa, mean twist for pressure times moment coefficient


@dataclass(frozen=True, slots=True, kw_only=True)
class Flex:
    """Springs of wing, stabiliser and mast (n,).

    A mast that bends sideways rolls the foils and one that twists yaws them: neither changes an
    incidence, and what a mast needs of slip to hold a side force it needs at the water either way.
    """

    wing: Bends
    stabiliser: Bends
    couple: Array  # rad/(N m), that the end of the mast turns nose up under a nose-up couple, base and all
    thrust: Array  # rad/N, under a forward force at the shaft
    drag: Array  # rad/N, under a force at its end
    axis: Array  # m, x of the mast's axis

    def turn(self, thrust: Array, drag: Array) -> Array:
        """Return how far thrust and the drag below turn the end of the mast nose up (n, V) [rad]."""
        return column(self.thrust) * thrust - column(self.drag) * drag

    def scaled(self, share: float) -> Flex:
        """Return springs that give ``share`` as much; 0 is rigid."""
        wing, tail = (
            Bends(force=share * each.force, lift=share * each.lift, moment=share * each.moment)
            for each in (self.wing, self.stabiliser)
        )
        return Flex(
            wing=wing, stabiliser=tail, couple=share * self.couple, thrust=share * self.thrust,
            drag=share * self.drag, axis=self.axis,
        )  # fmt: skip


def rigid(designs: int) -> Flex:
    """Return springs that give nothing."""
    none = np.zeros(designs)
    bends = Bends(force=none, lift=none, moment=none)
    return Flex(wing=bends, stabiliser=bends, couple=none, thrust=none, drag=none, axis=none)
