"""Heat films of air and water on plates and cylinders."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.errors import DataError
from foilwright.core.model import Array, Mask, model

GRAVITY = 9.80665
"""Standard acceleration of gravity [m/s^2]."""
TURNS = 5e5
"""Reynolds number at which the flow along a plate turns turbulent [-]."""
SHAPES = ("vertical plate", "horizontal cylinder", "plate facing up", "plate facing down")
WIDE = (0.0, 1e12, "no natural film was measured at such a size")
Number = Array | float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fluid:
    """Properties of air or water (n,).

    ``density`` [kg/m^3], ``specific_heat`` [J/(kg*K)], ``conductivity`` [W/(m*K)],
    ``kinematic_viscosity`` [m^2/s], ``prandtl`` [-], ``expansion`` [1/K].
    """

    density: Array
    specific_heat: Array
    conductivity: Array
    kinematic_viscosity: Array
    prandtl: Array
    expansion: Array
    outside: Mask


@functools.cache
def _columns(medium: str) -> dict[str, Array]:
    """Return the rows of one fluid."""
    whole = table("heat/fluids")
    rows = np.array([name == medium for name in whole.texts["fluid"]])
    if not rows.any():
        raise DataError(f"a medium is air or water, not {medium!r}")
    return {name: column[rows] for name, column in whole.columns.items()}


@model(
    source="reference equations of state at 101.325 kPa: data/heat/fluids.csv; linear between the nodes",
    valid={"temperature": (273.15, 373.15, "the properties are known from 0 to 100 C (water: 5 to 40 C)")},
)
def fluid(*, medium: str, temperature: Number) -> Fluid:
    """Return the properties of air or fresh water.

    Parameters
    ----------
    medium : str
        ``air`` or ``water`` [-].
    temperature : float or (n,) array
        Mean of surface and surroundings; held at the ends of the table beyond it, and flagged [K].

    Returns
    -------
    Fluid
        Density [kg/m^3], specific heat [J/(kg*K)], conductivity [W/(m*K)], viscosity [m^2/s], Prandtl
        number [-], expansion [1/K].
    """
    columns = _columns(medium)
    nodes, where = columns["temperature"], np.asarray(temperature, dtype=np.float64)
    beyond = np.where((where >= nodes[0]) & (where <= nodes[-1]), where, 0.0)
    values = {
        name: np.asarray(np.interp(where, nodes, column)) for name, column in columns.items() if name != "temperature"
    }
    return Fluid(**values, outside=fluid.mask(temperature=beyond))


def _churchill(rayleigh: Number, prandtl: Number, base: float, constant: float) -> Array:
    share = (1.0 + (constant / np.asarray(prandtl)) ** 0.5625) ** (8.0 / 27.0)
    root = base + 0.387 * np.asarray(rayleigh, dtype=np.float64) ** (1.0 / 6.0) / share
    return np.asarray(root * root)


@model(source="Churchill and Chu 1975, Int. J. Heat Mass Transfer 18, 1323", valid={"rayleigh": WIDE})
def vertical_plate(*, rayleigh: Number, prandtl: Number) -> Array:
    r"""Return the Nusselt number of a vertical plate in still fluid.

    Parameters
    ----------
    rayleigh : float or (n,) array
        Rayleigh number on the height [-].
    prandtl : float or (n,) array
        Prandtl number [-].

    Returns
    -------
    float or (n,) array
        Nusselt number on the height [-].

    Notes
    -----
    .. math:: Nu = \left(0.825 + \frac{0.387 Ra^{1/6}}{(1 + (0.492/Pr)^{9/16})^{8/27}}\right)^2
    """
    return _churchill(rayleigh, prandtl, 0.825, 0.492)


@model(
    source="Churchill and Chu 1975, Int. J. Heat Mass Transfer 18, 1049",
    valid={"rayleigh": (1e-5, 1e12, "no natural film was measured at such a size")},
)
def horizontal_cylinder(*, rayleigh: Number, prandtl: Number) -> Array:
    r"""Return the Nusselt number of a horizontal cylinder in still fluid.

    Parameters
    ----------
    rayleigh : float or (n,) array
        Rayleigh number on the diameter [-].
    prandtl : float or (n,) array
        Prandtl number [-].

    Returns
    -------
    float or (n,) array
        Nusselt number on the diameter [-].

    Notes
    -----
    .. math:: Nu = \left(0.60 + \frac{0.387 Ra^{1/6}}{(1 + (0.559/Pr)^{9/16})^{8/27}}\right)^2
    """
    return _churchill(rayleigh, prandtl, 0.60, 0.559)


@model(
    source="McAdams 1954, Heat Transmission: heated plates facing up and down",
    valid={"rayleigh": (1e4, 1e11, "the film of flat plates was measured from 1e4 to 1e11 only")},
)
def horizontal_plate(*, rayleigh: Number, hot_side: str) -> Array:
    r"""Return the Nusselt number of a horizontal hot plate in still fluid.

    Parameters
    ----------
    rayleigh : float or (n,) array
        Rayleigh number on area over perimeter [-].
    hot_side : str
        Where the hot side faces: ``up`` or ``down``; a cold side the other way [-].

    Returns
    -------
    float or (n,) array
        Nusselt number on area over perimeter [-].

    Notes
    -----
    .. math:: 0.54 Ra^{1/4},\ 0.15 Ra^{1/3}\ (Ra > 10^7);\quad 0.27 Ra^{1/4}\ \mathrm{down}
    """
    number = np.asarray(rayleigh, dtype=np.float64)
    fourth = np.sqrt(np.sqrt(number))
    if hot_side == "down":
        return np.asarray(0.27 * fourth)
    return np.where(number <= 1e7, 0.54 * fourth, 0.15 * np.cbrt(number))


@model(
    source="Pohlhausen 1921 (laminar); 1/5-power law with laminar nose, as in Incropera and DeWitt",
    valid={
        "reynolds": (0.0, 1e8, "the flow along plates was measured up to 1e8"),
        "prandtl": (0.6, 60.0, "the film of plates holds for Prandtl numbers from 0.6 to 60"),
    },
)
def forced_plate(*, reynolds: Number, prandtl: Number) -> Array:
    r"""Return the mean Nusselt number of a plate along which a fluid flows.

    Parameters
    ----------
    reynolds : float or (n,) array
        Reynolds number on the length [-].
    prandtl : float or (n,) array
        Prandtl number [-].

    Returns
    -------
    float or (n,) array
        Nusselt number on the length [-].

    Notes
    -----
    .. math:: 0.664 Re^{1/2} Pr^{1/3};\quad (0.037 Re^{4/5} - 871) Pr^{1/3}\ (Re > 5\cdot10^5)
    """
    number = np.asarray(reynolds, dtype=np.float64)
    mixed = 0.037 * np.maximum(number, TURNS) ** 0.8 - 871.0
    return np.where(number <= TURNS, 0.664 * np.sqrt(number), mixed) * np.cbrt(prandtl)


@model(
    source="Churchill and Bernstein 1977, J. Heat Transfer 99, 300",
    valid={"reynolds": (0.2, 1e7, "the film of cylinders across a stream ends there")},
)
def cross_cylinder(*, reynolds: Number, prandtl: Number) -> Array:
    r"""Return the mean Nusselt number of a cylinder across a stream.

    Parameters
    ----------
    reynolds : float or (n,) array
        Reynolds number on the diameter [-].
    prandtl : float or (n,) array
        Prandtl number [-].

    Returns
    -------
    float or (n,) array
        Nusselt number on the diameter [-].

    Notes
    -----
    .. math:: 0.3 + \frac{0.62 Re^{1/2} Pr^{1/3}}{(1 + (0.4/Pr)^{2/3})^{1/4}}
        \left(1 + (Re/282000)^{5/8}\right)^{4/5}
    """
    number, pr = np.asarray(reynolds, dtype=np.float64), np.asarray(prandtl, dtype=np.float64)
    first = 0.62 * np.sqrt(number) * np.cbrt(pr) / (1.0 + (0.4 / pr) ** (2.0 / 3.0)) ** 0.25
    return np.asarray(0.3 + first * (1.0 + (number / 282000.0) ** 0.625) ** 0.8)


@model(
    source="Churchill and Chu 1975; McAdams 1954",
    valid={
        "length": (1e-3, 3.0, "natural films are for bodies of millimetres to metres"),
        "surface_temperature": (273.15, 433.15, "the properties of air are held beyond a mean of 100 C"),
    },
)
def natural_film(
    *, shape: str, length: Number, surface_temperature: Number, ambient: Number, medium: str = "air"
) -> Array:
    r"""Return the film of a hot or cold body in still air or water.

    Parameters
    ----------
    shape : str
        One of vertical plate, horizontal cylinder, plate facing up, plate facing down (the hot side) [-].
    length : float or (n,) array
        Height, diameter, or area over perimeter [m].
    surface_temperature : float or (n,) array
        Of the body [K].
    ambient : float or (n,) array
        Temperature of the fluid [K].
    medium : str
        ``air`` or ``water`` [-].

    Returns
    -------
    float or (n,) array
        Heat flow over area and difference of temperature [W/(m^2*K)].

    Notes
    -----
    .. math:: Ra = g \beta \Delta T L^3 Pr/\nu^2
    """
    if shape not in SHAPES:
        raise DataError(f"a shape is one of {', '.join(SHAPES)}, not {shape!r}")
    hot, around, size = (np.asarray(one, dtype=np.float64) for one in (surface_temperature, ambient, length))
    stuff = fluid(medium=medium, temperature=0.5 * (hot + around))
    rise = np.abs(hot - around)
    rayleigh = GRAVITY * stuff.expansion * rise * size**3 * stuff.prandtl / stuff.kinematic_viscosity**2
    if shape.startswith("plate"):
        number = horizontal_plate.function(rayleigh=rayleigh, hot_side=shape.rpartition(" ")[2])
    else:
        cylinder = shape == "horizontal cylinder"
        number = _churchill(rayleigh, stuff.prandtl, *((0.60, 0.559) if cylinder else (0.825, 0.492)))
    return np.asarray(number * stuff.conductivity / size)


@model(
    source="Pohlhausen 1921; 1/5-power law with laminar nose",
    valid={
        "speed": (0.0, 60.0, "the flow is taken as steady and slow against sound"),
        "temperature": (273.15, 373.15, "the properties are known from 0 to 100 C (water: 5 to 40 C)"),
    },
)
def forced_film(*, speed: Number, length: Number, temperature: Number, medium: str) -> Array:
    """Return the mean film of a plate along which air or water flows.

    Parameters
    ----------
    speed : float or (n,) array
        Of the stream [m/s].
    length : float or (n,) array
        Of the plate along the stream [m].
    temperature : float or (n,) array
        Mean of plate and stream [K].
    medium : str
        ``air`` or ``water`` [-].

    Returns
    -------
    float or (n,) array
        Heat flow over area and difference of temperature [W/(m^2*K)].
    """
    stuff, size = fluid(medium=medium, temperature=temperature), np.asarray(length, dtype=np.float64)
    reynolds = np.asarray(speed) * size / stuff.kinematic_viscosity
    return np.asarray(forced_plate.function(reynolds=reynolds, prandtl=stuff.prandtl) * stuff.conductivity / size)
