"""The craft as frozen dataclasses of SI arrays; the leading axis is designs.

An array is (n,) unless its comment says otherwise; a choice is a tuple of n names; NaN stands for
a value that the maker left open and that is never assumed. Axes: x forward from the tail, y to
port, z up from the bottom at the tail.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.craft.structure import Structure
from foilwright.craft.wiring import Charger, Cooling, Harness
from foilwright.craft.workshop import Workshop

Array = npt.NDArray[np.float64]
Names = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Water:
    """Where the craft runs."""

    temperature: Array  # K
    salinity: Array  # g/kg
    depth: Array  # m
    chop: Array  # m
    wind: Array  # m/s


@dataclass(frozen=True, slots=True, kw_only=True)
class Rider:
    """The rider and where their weight can be."""

    mass: Array  # kg
    kit_mass: Array  # kg
    height: Array  # m
    skill: Names
    posture: Names
    stance: Array  # m, middle between the feet ahead of the mast's leading edge
    stance_width: Array  # m
    foot_length: Array  # m
    step: Array  # m
    prone_from: Array  # m from the tail
    prone_to: Array  # m
    kneeling_from: Array  # m
    kneeling_to: Array  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """Outline, thickness and stuff of the board."""

    length: Array  # m
    width: Array  # m
    thickness: Array  # m
    tail_width: Array  # m
    nose_width: Array  # m
    wide_point: Array  # share of the length
    nose_rocker: Array  # m
    rocker_start: Array  # share of the length
    nose_thickness: Array  # m
    rail_radius: Array  # m
    tail_edge_radius: Array  # m
    foam_density: Array  # kg/m^3
    foam_uptake: Array  # share of the volume
    skin_mass: Array  # kg/m^2
    roughness: Array  # allowance on the friction coefficient [-]
    form_factor: Array  # -
    not_thought_of: Array  # share of the planned mass
    mass_ratio: Array  # weighed over computed; 1 where not weighed


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """The listed parts; arrays are (n, p)."""

    names: Names  # p
    mass: Array  # kg
    x: Array  # m
    y: Array  # m
    z: Array  # m
    volume: Array  # m^3
    free_volume: Array  # m^3
    in_hull: npt.NDArray[np.bool_]
    below: npt.NDArray[np.bool_]
    sealed: npt.NDArray[np.bool_]
    floods: npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """A lifting surface."""

    area: Array  # m^2
    span: Array  # m
    taper: Array  # -
    sweep: Array  # rad
    dihedral: Array  # rad
    twist: Array  # rad
    incidence: Array  # rad, to the bottom of the board
    section: Names
    finish: Names
    density: Array  # kg/m^3, of its material
    modulus: Array  # Pa, of its material
    fill: Array  # share of the section that is solid
    mass_ratio: Array  # weighed over computed; 1 where not weighed
    x: Array  # m, quarter chord in the middle
    z: Array  # m
    twist_left_right: Array  # rad, left tip minus right tip


@dataclass(frozen=True, slots=True, kw_only=True)
class Mast:
    """The strut."""

    length: Array  # m
    chord: Array  # m
    x: Array  # m, leading edge at the board
    section: Names
    finish: Names
    density: Array  # kg/m^3
    modulus: Array  # Pa
    fill: Array  # -
    sealed: npt.NDArray[np.bool_]
    mass_ratio: Array  # weighed over computed; 1 where not weighed


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuselage:
    """The tube between wing and stabiliser."""

    diameter: Array  # m
    length: Array  # m
    arm: Array  # m, wing quarter chord to stabiliser quarter chord
    density: Array  # kg/m^3
    modulus: Array  # Pa
    fill: Array  # -
    mass_ratio: Array  # weighed over computed; 1 where not weighed


@dataclass(frozen=True, slots=True, kw_only=True)
class Pod:
    """The motor housing."""

    diameter: Array  # m
    length: Array  # m
    x: Array  # m, of its centre
    z: Array  # m, of the shaft
    behind: npt.NDArray[np.bool_]  # propeller behind it
    mass: Array  # kg
    seal_limit: Array  # Pa, NaN where not stated
    filling: Names


@dataclass(frozen=True, slots=True, kw_only=True)
class Drive:
    """Motor, gear, propeller and controller."""

    speed_constant: Array  # rad/s/V
    resistance: Array  # ohm
    idle_current: Array  # A
    idle_slope: Array  # A*s/rad
    pole_pairs: Array
    motor_mass: Array  # kg
    motor_current_limit: Array  # A, NaN where not stated
    winding_limit: Array  # K
    thermal_resistance: Array  # K/W
    gear_ratio: Array
    gear_efficiency: Array
    diameter: Array  # m
    pitch: Array  # m
    blades: Array
    area_ratio: Array
    finish: Names
    propeller_mass: Array  # kg
    blade_density: Array  # kg/m^3
    blade_strength: Array  # Pa
    root_chord: Array  # m, NaN: that of the series
    root_thickness: Array  # m
    hub_diameter: Array  # m
    hand: Names
    nut_thread: Names
    nut_lock: Names
    shaft_diameter: Array  # m
    pin_diameter: Array  # m, NaN where not stated
    thrust_bearing: Names
    bearing_load: Array  # N, NaN where not stated
    battery_current_limit: Array  # A, NaN where not stated
    phase_current_limit: Array  # A, NaN where not stated
    voltage_limit: Array  # V, NaN where not stated
    electrical_speed_limit: Array  # rad/s
    duty_limit: Array
    path_resistance: Array  # ohm
    standby: Array  # W
    controller_mass: Array  # kg
    controller_x: Array  # m
    controller_z: Array  # m
    phase_area: Array  # m^2
    phase_length: Array  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """Cells and pack."""

    kind: Names
    capacity: Array  # A*s, one cell
    cell_mass: Array  # kg
    cell_resistance: Array  # ohm, NaN: that of the kind
    cell_current_limit: Array  # A, NaN where not stated
    temperature_limit: Array  # K
    series: Array
    parallel: Array
    x: Array  # m
    z: Array  # m
    packaging: Array  # share of the cells' mass
    link_resistance: Array  # ohm
    temperature: Array  # K
    cooling: Array  # share of bare cells in still air
    start_charge: Array
    stop_charge: Array
    stop_voltage: Array  # V a cell, NaN: that of the kind
    mass_ratio: Array  # weighed over computed; 1 where not weighed


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """The watertight box; NaN and empty names where the maker left a field open."""

    lid_length: Array  # m
    lid_width: Array  # m
    lid_thickness: Array  # m
    lid_material: Names
    lid_place: Names
    seal: Names
    seal_width: Array  # m
    seal_thickness: Array  # m
    seal_squeeze: Array
    seal_set: Array
    cord_hardness: Array  # Shore A
    groove_depth: Array  # m
    groove_width: Array  # m
    flange_width: Array  # m
    fastening: Names
    fastenings: Array
    fastening_limit: Array  # N
    insert_diameter: Array  # m
    insert_length: Array  # m
    insert_host: Names
    hole_clearance: Array  # m
    air_volume: Array  # m^3
    closed_temperature: Array  # K
    dew_point: Array  # K
    hottest: Array  # K
    cooling_time: Array  # s
    vent: Names
    vent_area: Array  # m^2
    vent_height: Array  # m
    depth: Array  # m
    floor: Array  # m
    gland_limit: Array  # Pa
    gland_height: Array  # m
    duct: Names
    wire_block: Names
    strand_diameter: Array  # m
    relief_area: Array  # m^2
    relief_pressure: Array  # Pa
    desiccant: Array  # kg
    damp: Array  # kg
    vacuum: Array  # Pa below the pressure outside, measured
    vacuum_left: Array  # Pa
    vacuum_time: Array  # s
    vacuum_warming: Array  # K


@dataclass(frozen=True, slots=True, kw_only=True)
class Radio:
    """The throttle's link; NaN and empty names where the maker left a field open."""

    band: Names
    frequency: Array  # Hz
    transmit_power: Array  # W
    modulation: Names
    antenna_place: Names
    antenna_height: Array  # m
    antenna_x: Array  # m
    antenna_offset: Array  # m
    antenna_lies: Names
    film: Array  # m
    distance: Array  # m
    packet_period: Array  # s
    hold_time: Array  # s
    ramp_time: Array  # s
    loss_action: Names
    rearming: Names
    start: Names
    trigger: Names
    pairing: Names
    kill_cord: Names
    receiver_supply: Names
    receiver_voltage: Array  # V
    receiver_least: Array  # V
    receiver_power: Array  # W
    receiver_capacitance: Array  # F
    supply_dip: Array  # s
    receiver_height: Array  # m
    transmitter_rating: Names
    transmitter_capacity: Array  # A*s
    transmitter_age: Array
    transmitter_current: Array  # A
    drop_outs: Array  # share of packets lost in the wet test, measured
    drop_out_distance: Array  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class TestedLink:
    """The link as it was when its wet drop-out test was made: that of the file, whatever is varied."""

    water: Water
    radio: Radio


@dataclass(frozen=True, slots=True, kw_only=True)
class Ride:
    """The ride; leg arrays are (n, legs)."""

    names: Names
    speed: Array  # m/s
    time: Array  # s
    take_offs: Array
    reserve: Array
    home: Array  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class Targets:
    """What it shall do."""

    cruise_speed: Array  # m/s, NaN: the speed of least energy a metre
    wing_depth: Array  # m
    run_time: Array  # s, NaN: the ride itself


@dataclass(frozen=True, slots=True, kw_only=True)
class Factors:
    """What the craft has over what the models say; 1 where nothing is known."""

    board_drag: Array
    wing_lift: Array
    wing_drag: Array
    propeller_efficiency: Array
    pack_resistance: Array
    controller_heat_resistance: Array
    motor_heat_resistance: Array
    pack_heat_resistance: Array
    link_power: Array
    print_stiffness: Array
    print_strength: Array
    rider_reach: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Craft:
    """One craft or thousands."""

    designs: int
    water: Water
    rider: Rider
    board: Board
    parts: Parts
    mast: Mast
    wing: Surface
    stabiliser: Surface
    fuselage: Fuselage
    pod: Pod
    drive: Drive
    pack: Pack
    harness: Harness
    cooling: Cooling
    charger: Charger
    box: Box
    radio: Radio
    tested_link: TestedLink | None
    ride: Ride
    targets: Targets
    structure: Structure
    factors: Factors
    workshop: Workshop
    mass_ratio: Array  # weighed whole craft over computed, NaN where not weighed
    balance_shift: Array  # m, measured minus computed balance point, NaN where not measured
