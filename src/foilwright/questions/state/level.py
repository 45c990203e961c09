"""Where the water stands against the board at rest, and names that the maker left open."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.questions.state.floating import Floating

UPRIGHT = 1
"""Column of a rider on knees or feet among the rests."""
AWASH = 0.03
"""Water over the deck of a board that does not carry its rider [m]."""


def level(craft: Craft, floating: Floating, x: Array) -> Array:
    """Return the height of the water at a place above the bottom at the tail, rider upright [m]."""
    rest = floating.rest
    there = rest.draught[:, UPRIGHT] - x * np.tan(rest.trim[:, UPRIGHT])
    return np.where(rest.found[:, UPRIGHT], there, craft.board.thickness + AWASH)


def is_named(names: tuple[str, ...], *wanted: str) -> npt.NDArray[np.bool_]:
    """Return where a choice has one of the wanted names."""
    return np.array([name in wanted for name in names])


def or_else(names: tuple[str, ...], stand_in: str) -> tuple[str, ...]:
    """Return names with a stand-in where none is stated; the finding is then unknown."""
    return tuple(name or stand_in for name in names)
