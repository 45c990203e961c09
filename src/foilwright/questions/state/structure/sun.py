"""How hot the parts get that lie in the sun, and how warm they are in use."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import heat

LIT = ("board", "mast", "wings")
"""Parts whose colour is asked, in the order of the columns."""
SIZES: Array = np.array([0.5, 0.12, 0.12])
"""Of the lit faces along the wind [m]."""
SKY: Array = np.array([1.0, 0.5, 0.5])
"""Share of their view that is sky: the deck lies, the others stand or lie on edge."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SunState:
    """Temperatures [K]."""

    lit: Array  # (n, 3) in the order of LIT, steady, backed by foam or infill
    riding: Array  # (n,) in use: the warmer of water and air

    def of(self, part: str) -> Array:
        """Return the temperature of a lit part (n,) [K]."""
        return self.lit[:, LIT.index(part)]


def sun_state(craft: Craft) -> SunState:
    """Return the temperatures of the parts on the beach and in use."""
    s = craft.structure.sun
    book = table("heat/surfaces")
    rows = {name: k for k, name in enumerate(book.texts["surface"])}
    at = np.stack([[rows[name] for name in getattr(s, part)] for part in LIT], axis=1)
    lit = heat.sunlit_temperature(
        absorptance=book.columns["absorptance"][at], emittance=book.columns["emittance"][at],
        irradiance=s.irradiance[:, None], air_temperature=s.air_temperature[:, None], wind=s.wind[:, None],
        length=SIZES, sky_view=SKY,
    )  # fmt: skip
    return SunState(lit=lit, riding=np.maximum(craft.water.temperature, s.air_temperature))
