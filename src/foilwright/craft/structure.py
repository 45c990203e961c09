"""What the parts are made of and held by: shells, laminate, base, bolts, sun, loads; arrays (n,) unless said."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Flag = npt.NDArray[np.bool_]
Names = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stuff:
    """What a part is made of: names in the book, and what the maker knows better."""

    names: Names
    better: Mapping[str, Array]  # property to values in SI, NaN where the book stands


@dataclass(frozen=True, slots=True, kw_only=True)
class Shell:
    """A wall round a core, printed or not, and what is laid over it."""

    stuff: Stuff
    wall: Array  # share of the section that the wall takes up, of a wing at its mean chord
    infill: Array  # share of the inside
    pattern: Names
    standing: Flag  # if printed, then standing: loaded across its layers
    wrap: Array  # layers of cloth


@dataclass(frozen=True, slots=True, kw_only=True)
class Coupons:
    """Strength of coupons, NaN where none was pulled."""

    along: Array  # Pa, printed, along the layers
    across: Array
    laminate: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Spar:
    """What runs along the mast inside it."""

    stuff: Stuff
    rods: Array  # number
    rod_diameter: Array  # m
    plate_width: Array  # m
    plate_thickness: Array  # m
    duct: Array  # m, diameter of the hole for the leads


@dataclass(frozen=True, slots=True, kw_only=True)
class Joints:
    """Where parts are put together below the board."""

    pieces: Array  # lengths that the mast is printed in
    share: Array  # of its strength that a joint between them reaches
    socket: Array  # m, of the fuselage in its sockets
    mount_size: Names
    mount_bolts: Array
    mount_circle: Array  # m
    inserts: Flag  # heat-set inserts hold the motor
    mount: Stuff  # what they sit in


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """A wing bolted to the fuselage."""

    bolts: Array
    size: Names
    inserts: Flag  # heat-set inserts, not bolts through metal
    width: Array  # m, of the seat across


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixings:
    """What holds the parts below the board together."""

    wing: Seat
    stabiliser: Seat
    pegs: Array  # in each joint of a printed mast
    peg_diameter: Array  # m
    peg_depth: Array  # m, in each length
    tie_rods: Array
    tie_rod_size: Names


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """Flange of the mast, its bolts, and the insert in the board."""

    stuff: Stuff
    standing: Flag
    length: Array  # m
    width: Array  # m
    thickness: Array  # m
    bolts: Array
    size: Names
    grade: Names
    pitch_x: Array  # m
    pitch_y: Array  # m
    washers: Names
    retightened: Flag
    isolated: Flag  # unlike metals are kept apart
    insert: Names
    insert_length: Array  # m
    insert_width: Array  # m
    insert_thickness: Array  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class Laminate:
    """Cloth and resin of board and wraps."""

    stuff: Stuff
    resin: Names
    cloth: Array  # kg/m^2, of a layer
    fibre_share: Array  # of the mass
    post_cure: Array  # K, NaN: none
    foam: Stuff
    deck: Array  # layers
    bottom: Array  # layers
    pad: Array  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class Sun:
    """The day on which the craft lies on the beach."""

    irradiance: Array  # W/m^2
    air_temperature: Array  # K
    wind: Array  # m/s
    board: Names  # colours
    mast: Names
    wings: Names


@dataclass(frozen=True, slots=True, kw_only=True)
class Loads:
    """Factors of the load cases."""

    rides: Array
    thrust_shock: Array
    pitch_reach: Array  # m
    roll_reach: Array  # m
    dynamic: Array
    bank: Array  # rad
    touchdown: Array
    uneven: Array  # share on the heavier half
    stabiliser: Array  # share of the weight
    yaw: Array  # share of the weight at half of a half span
    fall: Array  # times the rider's weight
    slam: Array  # Pa
    ground_speed: Array  # m/s
    handling: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Structure:
    """All of it."""

    coupons: Coupons
    mast: Shell
    wing: Shell
    stabiliser: Shell
    fuselage: Stuff
    fuselage_standing: Flag
    spar: Spar
    joints: Joints
    fixings: Fixings
    base: Base
    laminate: Laminate
    sun: Sun
    loads: Loads
