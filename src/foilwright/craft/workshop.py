"""What the workshop has; arrays (n,) unless said, NaN where the maker set no limit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Flag = npt.NDArray[np.bool_]
Names = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Workshop:
    """Printer, sheets, cloth, resin, tools, hours and money."""

    printers: Array  # number
    bed_x: Array  # m, room of the printer, free strip not taken off
    bed_y: Array  # m
    bed_z: Array  # m
    bed_edge: Array  # m, free strip round the bed
    nozzle: Array  # m
    layer: Array  # m
    print_speed: Array  # m/s
    nozzle_temperature: Array  # K, hottest
    warm_chamber: Flag
    filament: Names
    fit: Array  # m, gap on each side
    sheet_length: Array  # m
    sheet_width: Array  # m
    sheet_thickness: Array  # m
    sheets: Array  # number at hand, NaN: as many as it takes
    foam_cutter: Names
    kerf: Array  # m
    stringer: Array  # m, NaN: none
    cloth_width: Array  # m
    cloth_length: Array  # m at hand, NaN: as much as it takes
    cloth_at_hand: Array  # kg/m^2, NaN: that of the laminate
    overlap: Array  # m
    mix_ratio: Array  # mass of hardener over mass of resin
    pot_life: Array  # s, 100 g at 298.15 K
    cure_time: Array  # s at 298.15 K until it can be sanded
    least_temperature: Array  # K
    room_temperature: Array  # K
    warmest_cure: Array  # K, NaN: none but the room's
    scale: Array  # kg, smallest step
    bench: Array  # m
    metalwork: Names
    crimper: Names
    paper: Names
    hours_a_week: Array  # s
    time: Array  # s, NaN: as long as it takes
    reserve: Array  # share
    price_level: Array
    budget: Array  # in the workshop's currency, NaN: no limit
