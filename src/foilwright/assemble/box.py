"""The watertight box and the radio link from their fields."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foilwright import craft as c
from foilwright.assemble.parts import choices, water
from foilwright.assemble.reader import Array, Reader, numbers

MEGA = 1e6
DEEP, WIDE = 0.75, 1.4
"""Depth and width of a usual groove over the diameter of its cord [-]."""


def box(read: Reader) -> c.Box:
    """Return the watertight box."""
    cord = read.number("box.seal_thickness")
    return c.Box(
        groove_depth=_or(read.number("box.groove_depth"), DEEP * cord),
        groove_width=_or(read.number("box.groove_width"), WIDE * cord),
        vacuum=_measured(read, "box_vacuum"),
        vacuum_left=_measured(read, "box_vacuum_left"),
        vacuum_time=_measured(read, "box_vacuum_time"),
        vacuum_warming=np.nan_to_num(_measured(read, "box_vacuum_warming")),
        **choices(read, "box", "lid_material lid_place seal fastening insert_host vent duct wire_block"),
        **numbers(
            read,
            "box",
            "lid_length lid_width lid_thickness seal_width seal_thickness seal_squeeze seal_set cord_hardness"
            " flange_width fastenings fastening_limit insert_diameter insert_length"
            " hole_clearance air_volume closed_temperature dew_point hottest cooling_time vent_area vent_height"
            " depth floor gland_limit gland_height strand_diameter relief_area relief_pressure desiccant damp",
        ),
    )


def radio(read: Reader) -> c.Radio:
    """Return the radio link."""
    return c.Radio(
        frequency=np.array([MEGA * float(band.partition(" ")[0]) for band in read.names("radio.band")]),
        drop_outs=_measured(read, "drop_outs"),
        drop_out_distance=_measured(read, "drop_out_distance"),
        **choices(
            read,
            "radio",
            "band modulation antenna_place antenna_lies loss_action rearming start trigger pairing kill_cord"
            " receiver_supply transmitter_rating",
        ),
        **numbers(
            read,
            "radio",
            "transmit_power antenna_height antenna_x antenna_offset film distance packet_period hold_time ramp_time"
            " receiver_voltage receiver_least receiver_power receiver_capacitance supply_dip receiver_height"
            " transmitter_capacity transmitter_age transmitter_current",
        ),
    )


def tested_link(read: Reader) -> c.TestedLink | None:
    """Return the link that the wet drop-out test was made with; None where none was."""
    written = read.build.values.keys() | read.varied.keys()
    if not read.as_built or "measured.drop_outs" not in written:
        return None
    filed = Reader(build=replace(read.build, values=read.build.filed), designs=read.designs, varied={}, as_built=True)
    untold = np.full(read.designs, np.nan)
    return c.TestedLink(water=water(filed), radio=replace(radio(filed), drop_outs=untold, drop_out_distance=untold))


def _or(value: Array, other: Array) -> Array:
    return np.where(np.isnan(value), other, value)


def _measured(read: Reader, name: str) -> Array:
    """Return a reading of the finished craft; NaN where it is asked as designed."""
    return read.number(f"measured.{name}") if read.as_built else np.full(read.designs, np.nan)
