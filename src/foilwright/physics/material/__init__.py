"""Properties of materials: by name, when warm, as infill, and what does not go together."""

from foilwright.physics.material.book import Stuff, gather
from foilwright.physics.material.heat import Infill, Shares, at_temperature, infill
from foilwright.physics.material.pairs import Contact, Couple, contact, cure_margin, galvanic

__all__ = [
    "Contact",
    "Couple",
    "Infill",
    "Shares",
    "Stuff",
    "at_temperature",
    "contact",
    "cure_margin",
    "galvanic",
    "gather",
    "infill",
]
