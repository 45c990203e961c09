"""The workshop from its fields."""

from __future__ import annotations

from typing import Any

import numpy as np

from foilwright.assemble.reader import Reader, numbers, same
from foilwright.core.data import table
from foilwright.craft.workshop import Workshop

NUMBERS = (
    "printers bed_x bed_y bed_z bed_edge nozzle layer print_speed nozzle_temperature fit sheet_length sheet_width"
    " sheet_thickness sheets stringer cloth_width cloth_length cloth_at_hand overlap mix_ratio pot_life cure_time"
    " least_temperature room_temperature warmest_cure scale bench hours_a_week time reserve price_level budget"
)
CHOICES = "filament foam_cutter metalwork crimper paper"


def workshop(read: Reader) -> Workshop:
    """Return what the workshop has; a kerf left out is that of the cutter."""
    listed = table("workshop/cutters")
    usual = dict(zip(listed.texts["cutter"], listed.columns["kerf"].tolist(), strict=True))
    kerf = read.number("workshop.kerf")
    choices: dict[str, Any] = {name: read.names(f"workshop.{name}") for name in CHOICES.split()}
    given = numbers(read, "workshop", NUMBERS)
    return Workshop(
        kerf=np.where(np.isnan(kerf), [usual[name] for name in choices["foam_cutter"]], kerf),
        warm_chamber=same(read.names("workshop.chamber"), "warm"),
        **choices,
        **given,
    )
