"""Water and air: density, viscosity and vapour pressure, shallow-water waves, wind chop."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array, Mask, model
from foilwright.core.solve import lookup

GRAVITY = 9.80665
"""Standard gravity [m/s^2]."""
DRY_AIR = 287.05287
"""Specific gas constant of dry air [J/(kg K)] (ICAO Doc 7488, 1993)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Water:
    """Properties of a water: each array has the broadcast shape of temperature and salinity."""

    density: Array  # [kg/m^3]
    kinematic_viscosity: Array  # [m^2/s]
    vapour_pressure: Array  # [Pa]
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Chop:
    """Wind chop by two growth laws: each array has the broadcast shape of wind speed and fetch."""

    height: Array  # significant height, Coastal Engineering Manual [m]
    period: Array  # peak period, Coastal Engineering Manual [s]
    jonswap_height: Array  # significant height, JONSWAP form [m]
    jonswap_period: Array  # peak period, JONSWAP form [s]
    highest: Array  # highest of some hundred waves, 1.7 significant heights [m]
    outside: Mask


@functools.cache
def _nodes() -> tuple[tuple[Array, ...], Array, Array, Array]:
    """Return the axes of the water table and its three values over them."""
    read = table("water")
    axes, density = read.grid("temperature", "salinity", value="density")
    viscosity = read.grid("temperature", "salinity", value="kinematic_viscosity")[1]
    return axes, density, viscosity, read.grid("temperature", "salinity", value="vapour_pressure")[1]


@model(
    source="TEOS-10 (IOC, SCOR, IAPSO 2010); IAPWS R12-08; Sharqawy, Lienhard and Zubair 2010; IAPWS-IF97",
    valid={
        "temperature": (273.15, 308.15, "water colder or warmer than the table of water (0 to 35 C)"),
        "salinity": (0.0, 40.0, "saltier than the table of water (40 g/kg)"),
    },
    decides=("temperature", "salinity"),
)
def properties(*, temperature: Array, salinity: Array) -> Water:
    """Return what the water is like: fresh, brackish or sea.

    Parameters
    ----------
    temperature : float or (n,) array
        Water temperature [K].
    salinity : float or (n,) array
        Absolute salinity [g/kg]: 0 fresh, 35.165 the standard sea.

    Returns
    -------
    Water
        Density [kg/m^3], kinematic viscosity [m^2/s], vapour pressure [Pa]; NaN outside the table.

    Notes
    -----
    Linear in both directions between nodes 1 K and 2 to 5 g/kg apart; the head of the table states
    the error of that. Water at 0.101325 MPa.
    """
    axes, density, viscosity, vapour = _nodes()
    return Water(
        density=lookup(axes, density, temperature, salinity),
        kinematic_viscosity=lookup(axes, viscosity, temperature, salinity),
        vapour_pressure=lookup(axes, vapour, temperature, salinity),
        outside=properties.mask(temperature=temperature, salinity=salinity),
    )


@model(source="Lamb 1932, Hydrodynamics, art. 170: long waves", valid={"depth": (0.0, 12000.0)})
def shallow_wave_speed(*, depth: Array) -> Array:
    r"""Return the speed of long waves, at which the hump of a board in shallow water is worst.

    Parameters
    ----------
    depth : float or (n,) array
        Depth of the water [m].

    Returns
    -------
    float or (n,) array
        Wave speed [m/s].

    Notes
    -----
    .. math:: c = \sqrt{g d}
    """
    speed: Array = np.sqrt(GRAVITY * np.asarray(depth))
    return speed


@model(
    source="ICAO Doc 7488, 1993: perfect gas with the constant of dry air",
    valid={"temperature": (250.0, 330.0), "pressure": (60e3, 110e3)},
)
def air_density(*, temperature: Array, pressure: Array) -> Array:
    r"""Return the density of dry air; saturated air is up to 1.5 % lighter at 30 C.

    Parameters
    ----------
    temperature : float or (n,) array
        Air temperature [K].
    pressure : float or (n,) array
        Air pressure [Pa].

    Returns
    -------
    float or (n,) array
        Density [kg/m^3].

    Notes
    -----
    .. math:: \rho = p / (R T)
    """
    density: Array = np.asarray(pressure) / (DRY_AIR * np.asarray(temperature))
    return density


@model(
    source="USACE Coastal Engineering Manual EM 1110-2-1100 part II ch. 2 (2003), equations II-2-36 and -37; "
    "JONSWAP form of the Shore Protection Manual 1984",
    valid={
        "wind_speed": (1.0, 30.0, "hardly any wind, or a storm"),
        "dimensionless_fetch": (1e2, 2.62e7, "fetch too short, or the sea is fully developed"),
    },
)
def wind_chop(*, wind_speed: Array, fetch: Array) -> Chop:
    r"""Return the chop that a steady wind raises over deep water by two growth laws.

    Parameters
    ----------
    wind_speed : float or (n,) array
        Wind speed 10 m above the water [m/s].
    fetch : float or (n,) array
        Open water upwind [m].

    Returns
    -------
    Chop
        Significant heights [m], peak periods [s], the highest wave [m].

    Notes
    -----
    .. math::
        C_D = 0.001 (1.1 + 0.035 U), \quad u_* = U \sqrt{C_D}

        g H_s / u_*^2 = 0.0413 (g F / u_*^2)^{1/2}, \quad g T_p / u_* = 0.651 (g F / u_*^2)^{1/3}

        g H_s / U^2 = 0.0016 (g F / U^2)^{1/2}, \quad g T_p / U = 0.2857 (g F / U^2)^{1/3}

    The dimensionless fetch is :math:`g F / u_*^2`; the fully developed sea of equation II-2-37 has
    :math:`g H_s / u_*^2 = 211.5`, reached at 2.62e7.
    """
    wind, reach = np.asarray(wind_speed), np.asarray(fetch)
    friction_speed = wind * np.sqrt(0.001 * (1.1 + 0.035 * wind))
    stretch = np.cbrt(GRAVITY * reach * friction_speed)
    height = 0.0413 * friction_speed * np.sqrt(reach / GRAVITY)
    with np.errstate(divide="ignore", invalid="ignore"):
        dimensionless = GRAVITY * reach / friction_speed**2
    return Chop(
        height=height,
        period=0.651 * stretch / GRAVITY,
        jonswap_height=0.0016 * wind * np.sqrt(reach / GRAVITY),
        jonswap_period=0.2857 * np.cbrt(GRAVITY * reach * wind) / GRAVITY,
        highest=1.7 * height,
        outside=wind_chop.mask(wind_speed=wind, dimensionless_fetch=dimensionless),
    )
