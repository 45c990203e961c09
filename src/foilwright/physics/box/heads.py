"""Pressure of the water on a box: still, in a slam, up an open mast duct, in the tests of IEC 60529."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model
from foilwright.physics.water import GRAVITY

LEAST_INWARD = 10e3
"""Least pressure that a lid is designed for, about 1 m of water [Pa]; common practice."""
SLAM_SHARE = 0.3
"""Share of the dynamic pressure taken over a whole lid in a fall [-]; common practice."""
IMMERSION_DEPTH, IMMERSION_TIME = 1.0, 1800.0
"""Temporary immersion: bottom of the box 1 m deep [m] for 30 min [s] (IEC 60529, second numeral 7)."""

HARDER = 1.1
"""How much deeper or longer counts as numeral 8 [-]; estimate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DuctHead:
    """Water in an open mast duct: ``pressure`` on the gland [Pa], ``rise`` above the surface [m]."""

    pressure: Array
    rise: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class DesignPressure:
    """Pressures to design a lid for: ``inward`` [Pa] and ``outward`` [Pa], both positive."""

    inward: Array
    outward: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Likeness:
    """What a pressure held for a time is like: ``head`` [m] of water, ``numeral`` of IEC 60529 [-].

    ``numeral`` is 7 or 8 (a tenth deeper or longer than 7, or more), 0 where it is less than numeral 7.
    """

    head: Array
    numeral: Array


@model(source="hydrostatics")
def head(*, depth: Array, density: Array) -> Array:
    r"""Return the pressure of still water above that of the air.

    Parameters
    ----------
    depth : float or array
        Depth below the surface [m].
    density : float or array
        Density of the water [kg/m^3].

    Returns
    -------
    float or array
        Pressure [Pa].

    Notes
    -----
    .. math:: p = \rho g h
    """
    pressure: Array = GRAVITY * np.asarray(density) * np.asarray(depth)
    return pressure


@model(
    source="stagnation pressure; area and rise of a slam need a coefficient by experiment",
    valid={"speed": (0.0, 15.0, "faster than boards fall")},
)
def slam_pressure(*, speed: Array, density: Array, pressure_coefficient: Array | float = 1.0) -> Array:
    r"""Return the pressure of water that strikes a face of the box.

    Parameters
    ----------
    speed : float or array
        Speed of the water against the face [m/s].
    density : float or array
        Density of the water [kg/m^3].
    pressure_coefficient : float or array
        Pressure over dynamic pressure: 1 at one point, about 0.3 over a whole lid [-].

    Returns
    -------
    float or array
        Pressure [Pa].

    Notes
    -----
    .. math:: p = C_p\, \rho V^2 / 2

    The first milliseconds of a flat slam reach several times this on a small patch; a lid does not
    follow them.
    """
    pressure: Array = 0.5 * np.asarray(pressure_coefficient) * density * np.square(speed)
    return pressure


@model(source="Bernoulli along a duct without flow")
def duct_head(
    *, speed: Array, density: Array, gland_height: Array, pressure_coefficient: Array | float = 1.0
) -> DuctHead:
    r"""Return the pressure that ram water in an open mast duct puts on the gland above it.

    Parameters
    ----------
    speed : float or array
        Speed through the water [m/s].
    density : float or array
        Density of the water [kg/m^3].
    gland_height : float or array
        Height of the gland above the water outside, negative below it [m].
    pressure_coefficient : float or array
        Of the mouth: 1 where it faces forward, 0 in a flush side, negative behind [-].

    Returns
    -------
    DuctHead
        Pressure above that of the air [Pa], 0 where the water does not reach the gland; height to
        which the water stands above the surface [m].

    Notes
    -----
    .. math:: z = C_p V^2 / (2g), \quad p = \max(\rho g (z - h), 0)

    The depth of the mouth cancels: what it adds, the column above it takes away.
    """
    rise = 0.5 * np.asarray(pressure_coefficient) * np.square(speed) / GRAVITY
    pressure = GRAVITY * np.asarray(density) * np.maximum(rise - gland_height, 0.0)
    return DuctHead(pressure=pressure, rise=rise)


@model(source="sum of still water, trapped air and a share of the dynamic pressure; shares are common practice")
def design_pressure(
    *,
    depth: Array,
    speed: Array,
    density: Array,
    swing_cold: Array,
    swing_warm: Array,
    least: Array | float = LEAST_INWARD,
    slam_share: Array | float = SLAM_SHARE,
) -> DesignPressure:
    r"""Return the pressures that lid and seal must stand, inward and outward.

    Parameters
    ----------
    depth : float or array
        Depth of the lid when the board is pushed under [m].
    speed : float or array
        Speed at which it may fall [m/s].
    density : float or array
        Density of the water [kg/m^3].
    swing_cold : float or array
        Pressure of the air inside less that outside when coldest, negative where it sucks [Pa].
    swing_warm : float or array
        The same when warmest [Pa].
    least : float or array
        Least inward pressure to design for [Pa].
    slam_share : float or array
        Share of the dynamic pressure over a whole lid [-].

    Returns
    -------
    DesignPressure
        Inward and outward pressure [Pa].

    Notes
    -----
    .. math:: p_i = \max(p_0,\ \rho g h - \Delta p_c + s \rho V^2/2), \quad p_o = \max(\Delta p_w, 0)
    """
    strike = 0.5 * np.asarray(slam_share) * density * np.square(speed)
    inward = GRAVITY * np.asarray(density) * depth - np.minimum(swing_cold, 0.0) + strike
    return DesignPressure(
        inward=np.maximum(inward, least),
        outward=np.maximum(np.asarray(swing_warm), 0.0) + np.zeros_like(inward),
    )


@model(source="stagnation pressure of the jet that leaves a nozzle")
def jet_pressure(*, water_flow: Array, diameter: Array, density: Array) -> Array:
    r"""Return the pressure of a jet on the face that it strikes square.

    Parameters
    ----------
    water_flow : float or array
        Flow of water [m^3/s].
    diameter : float or array
        Diameter of the nozzle [m].
    density : float or array
        Density of the water [kg/m^3].

    Returns
    -------
    float or array
        Pressure [Pa].

    Notes
    -----
    .. math:: p = \rho\, (4 Q / \pi d^2)^2 / 2
    """
    speed = 4.0 * np.asarray(water_flow) / (np.pi * np.square(diameter))
    pressure: Array = 0.5 * np.asarray(density) * np.square(speed)
    return pressure


@model(source="IEC 60529:2013, tests for the second characteristic numerals 7 and 8")
def immersion_likeness(*, pressure: Array, time: Array, density: Array) -> Likeness:
    r"""Return which immersion test a pressure held for a time resembles.

    Parameters
    ----------
    pressure : float or array
        Difference of pressure over the seals, a vacuum inside or water outside [Pa].
    time : float or array
        How long it is held [s].
    density : float or array
        Density of the water [kg/m^3].

    Returns
    -------
    Likeness
        Head of water [m] and numeral [-].

    Notes
    -----
    The resemblance ends there: the test says nothing of jets (numerals 5 and 6), of heat that
    comes and goes, salt, knocks or ageing; and air through a leak is not yet water.
    """
    deep = np.asarray(pressure) / (GRAVITY * np.asarray(density))
    seven = (deep >= IMMERSION_DEPTH) & (np.asarray(time) >= IMMERSION_TIME)
    more = seven & ((deep >= HARDER * IMMERSION_DEPTH) | (np.asarray(time) >= HARDER * IMMERSION_TIME))
    return Likeness(head=deep, numeral=np.where(more, 8.0, np.where(seven, 7.0, 0.0)))
