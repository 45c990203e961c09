"""Wiring, cooling and charging of the craft; (n,) arrays unless said."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Names = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Harness:
    """The short form of the wiring, and the joints that are not as in it; NaN and empty names where left open."""

    modules_in_series: Array
    modules_side_by_side: Array
    contacts: Array  # pairs side by side at a joint
    inputs: Array  # pairs of leads to the controller
    contact_diameter: Array  # m
    contact_wear: Names
    contact_cover: Names
    contact_resistance: Array  # ohm, NaN: by diameter and wear
    lead_area: Array  # m^2
    lead_length: Array  # m
    stub_length: Array  # m
    jumper_length: Array  # m
    main_area: Array  # m^2
    main_length: Array  # m
    insulation: Array  # K
    fuse_rating: Array  # A, 0 where there is none
    fuse_kind: Names
    fuse_voltage: Array  # V, of its kind where not stated
    fuse_interrupting: Array  # A, of its kind where not stated
    main_switch: Names
    precharge: Array  # ohm, 0 where there is none
    precharge_energy: Array  # J
    receiver_feed: Names
    receiver_cells: Array
    receiver_limit: Array  # V
    receiver_area: Array  # m^2
    receiver_fuse: Array  # A, 0 where there is none
    step_down_limit: Array  # V
    signal_ground: Names
    poles: Names
    rotation: Names
    braking: Names
    capacitance: Array  # F, of the controller
    pulse_frequency: Array  # Hz, of the controller
    cell_charge_limit: Array  # A, of one cell
    voltage_apart: Array  # V, a cell
    resistance_spread: Array
    joints: dict[str, dict[str, Any]]  # values (n,), texts and flags by name of element and of field


@dataclass(frozen=True, slots=True, kw_only=True)
class Cooling:
    """Where the heat of the controller goes."""

    seat: Names
    limit: Array  # K
    label_current: Array  # A, NaN where not stated
    skin_area: Array  # m^2
    sink_area: Array  # m^2
    sink_mass: Array  # kg
    plate_area: Array  # m^2
    plate_mass: Array  # kg
    pad_resistance: Array  # K/W
    plate_wet: Array  # share in flight
    wall_conductivity: Array  # W/(m K)
    wall_density: Array  # kg/m^3
    wall_thickness: Array  # m
    air_area: Array  # m^2
    air_volume: Array  # m^3, NaN where not stated
    absorptance: Array  # of the lid, by the colour of the deck
    irradiance: Array  # W/m^2
    air_temperature: Array  # K


@dataclass(frozen=True, slots=True, kw_only=True)
class Charger:
    """Charging, keeping and carrying; empty names and NaN where left open."""

    voltage: Array  # V
    current: Array  # A
    efficiency: Array
    temperature: Array  # K
    time: Array  # s
    protection: Names
    balance_current: Array  # A
    cell_spread: Array
    cell_limit: Array  # A, of one cell
    source: Names
    place: Names
    state: Names
    stored_charge: Array
    carriage: Names
