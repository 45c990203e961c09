"""Thermal resistance of walls, boxes, plates, fins and pods; temperature of leads and windings."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array, model
from foilwright.physics.conductor import REFERENCE_TEMPERATURE, RESISTIVITY, SLOPE
from foilwright.physics.heat.films import forced_film, natural_film
from foilwright.physics.heat.sun import BOLTZMANN

COPPER_START = 254.5
"""Temperature above that where the resistance of copper would vanish, at 20 C [K] (IEC 60034-1: 234.5 + 20)."""
Number = Array | float


@model(source="Stefan-Boltzmann law, grey surface in wide surroundings")
def radiation_film(*, emittance: Number, surface_temperature: Number, ambient: Number) -> Array:
    r"""Return radiation as a film.

    Parameters
    ----------
    emittance : float or (n,) array
        Of the surface, over that of a black body [-].
    surface_temperature : float or (n,) array
        Of the surface [K].
    ambient : float or (n,) array
        Temperature of the surroundings [K].

    Returns
    -------
    float or (n,) array
        Heat flow over area and difference of temperature [W/(m^2*K)].

    Notes
    -----
    .. math:: \epsilon\sigma (T_s^2 + T_a^2)(T_s + T_a)
    """
    hot, around = np.asarray(surface_temperature, dtype=np.float64), np.asarray(ambient, dtype=np.float64)
    film: Array = np.asarray(emittance) * BOLTZMANN * (hot * hot + around * around) * (hot + around)
    return film


@model(source="Fourier's law through a flat layer")
def conduction(*, thickness: Number, conductivity: Number, area: Number) -> Array:
    """Return the thermal resistance of a layer: wall, pad or potting.

    Parameters
    ----------
    thickness : float or (n,) array
        Of the layer [m].
    conductivity : float or (n,) array
        Of its stuff [W/(m*K)].
    area : float or (n,) array
        Across the flow [m^2].

    Returns
    -------
    float or (n,) array
        Thermal resistance [K/W].
    """
    layer: Array = np.asarray(thickness) / (np.asarray(conductivity) * np.asarray(area))
    return layer


@model(source="films and wall of a closed box in series")
def box_resistance(
    *, area: Number, thickness: Number, conductivity: Number, inner_film: Number = 8.0, outer_film: Number = 10.0
) -> Array:
    """Return the thermal resistance from the air in a closed box to the air around it.

    Parameters
    ----------
    area : float or (n,) array
        Of the walls that meet air [m^2].
    thickness : float or (n,) array
        Of the wall [m].
    conductivity : float or (n,) array
        Of the wall [W/(m*K)].
    inner_film, outer_film : float or (n,) arrays
        Inside, and outside: 10 in still air, 25 in wind [W/(m^2*K)].

    Returns
    -------
    float or (n,) array
        Thermal resistance [K/W].
    """
    wall = np.asarray(thickness) / np.asarray(conductivity)
    out: Array = (1.0 / np.asarray(inner_film) + wall + 1.0 / np.asarray(outer_film)) / np.asarray(area)
    return out


@model(source="sol-air temperature (ASHRAE), spread over all walls of a box")
def sun_rise(
    *, absorptance: Number, irradiance: Number, lit_area: Number, area: Number, outer_film: Number = 10.0
) -> Array:
    """Return by how much the sun on its lid warms a closed box.

    Parameters
    ----------
    absorptance : float or (n,) array
        Share of the sunlight that the lid takes up [-].
    irradiance : float or (n,) array
        Sunlight on the lid [W/m^2].
    lit_area : float or (n,) array
        Of the lid [m^2].
    area : float or (n,) array
        Of all walls that meet air [m^2].
    outer_film : float or (n,) array
        Outside: 10 in still air, 25 in wind [W/(m^2*K)].

    Returns
    -------
    float or (n,) array
        Rise of temperature [K].
    """
    share = np.asarray(lit_area) / np.asarray(area)
    rise: Array = np.asarray(absorptance) * np.asarray(irradiance) * share / np.asarray(outer_film)
    return rise


@model(source="pad, plate and film in series")
def plate_to_water(
    *,
    pad_thickness: Number,
    pad_conductivity: Number,
    pad_area: Number,
    plate_thickness: Number,
    plate_conductivity: Number,
    plate_area: Number,
    film: Number,
) -> Array:
    """Return the thermal resistance from a controller through pad and plate to water, or to air when dry.

    Parameters
    ----------
    pad_thickness, plate_thickness : float or (n,) arrays
        Of pad and plate [m].
    pad_conductivity, plate_conductivity : float or (n,) arrays
        Of pad and plate [W/(m*K)].
    pad_area, plate_area : float or (n,) arrays
        Of the pad, and of the plate where it meets water or air [m^2].
    film : float or (n,) array
        At the wet or dry side: thousands in moving water, about 12 in air [W/(m^2*K)].

    Returns
    -------
    float or (n,) array
        Thermal resistance [K/W].
    """
    pad = np.asarray(pad_thickness) / (np.asarray(pad_conductivity) * np.asarray(pad_area))
    plate = np.asarray(plate_thickness) / (np.asarray(plate_conductivity) * np.asarray(plate_area))
    out: Array = pad + plate + 1.0 / (np.asarray(film) * np.asarray(plate_area))
    return out


@model(
    source="flat-plate film along the pod, natural film of a cylinder at rest: the larger",
    valid={
        "speed": (0.0, 20.0, "the film of pods is for craft, not for ships"),
        "coolant_temperature": (273.15, 308.15, "the properties of water are known from 5 to 40 C"),
    },
)
def pod_resistance(
    *, diameter: Number, length: Number, speed: Number, surface_temperature: Number, coolant_temperature: Number
) -> Array:
    """Return the thermal resistance from the skin of a pod to the water.

    Parameters
    ----------
    diameter, length : float or (n,) arrays
        Of the pod [m].
    speed : float or (n,) array
        Through the water [m/s].
    surface_temperature : float or (n,) array
        Of its skin [K].
    coolant_temperature : float or (n,) array
        Of the water [K].

    Returns
    -------
    float or (n,) array
        Thermal resistance [K/W].
    """
    mean = 0.5 * (np.asarray(surface_temperature) + np.asarray(coolant_temperature))
    moving = forced_film(speed=speed, length=length, temperature=mean, medium="water")
    still = natural_film(
        shape="horizontal cylinder", length=diameter, surface_temperature=surface_temperature,
        ambient=coolant_temperature, medium="water",
    )  # fmt: skip
    area = np.pi * np.asarray(diameter) * np.asarray(length)
    out: Array = 1.0 / (np.maximum(np.asarray(moving), np.asarray(still)) * area)
    return out


@model(source="straight fin of constant thickness with a dry tip: Gardner 1945, Trans. ASME 67, 621")
def fin_efficiency(*, height: Number, thickness: Number, conductivity: Number, film: Number) -> Array:
    r"""Return the heat that a fin gives off over what it would if it were as hot as its root all over.

    Parameters
    ----------
    height : float or (n,) array
        Of the fin [m].
    thickness : float or (n,) array
        Of the fin [m].
    conductivity : float or (n,) array
        Of the fin [W/(m*K)].
    film : float or (n,) array
        On both sides [W/(m^2*K)].

    Returns
    -------
    float or (n,) array
        Efficiency [-].

    Notes
    -----
    .. math:: \eta = \frac{\tanh mL}{mL},\quad m^2 = \frac{2h}{kt}
    """
    slope = np.sqrt(2.0 * np.asarray(film) / (np.asarray(conductivity) * np.asarray(thickness)))
    along = np.maximum(slope * np.asarray(height), 1e-9)
    return np.asarray(np.tanh(along) / along)


@model(source="base and fins side by side, each fin with its efficiency (Gardner 1945)")
def finned_area(
    *, base_area: Number, fin_area: Number, height: Number, thickness: Number, conductivity: Number, film: Number
) -> Array:
    """Return the area of a plain surface that gives off as much heat as a finned one.

    Parameters
    ----------
    base_area, fin_area : float or (n,) arrays
        Of the base between the fins, and of both sides of all fins [m^2].
    height : float or (n,) array
        Of the fins [m].
    thickness : float or (n,) array
        Of the fins [m].
    conductivity : float or (n,) array
        Of the fins [W/(m*K)].
    film : float or (n,) array
        On base and fins [W/(m^2*K)].

    Returns
    -------
    float or (n,) array
        Area [m^2].
    """
    share = fin_efficiency.function(height=height, thickness=thickness, conductivity=conductivity, film=film)
    out: Array = np.asarray(base_area) + np.asarray(share) * np.asarray(fin_area)
    return out


@model(
    source="heat balance of a round lead; copper of IEC 60028",
    valid={"current": (0.0, 1000.0, "a lead of this craft carries less")},
)
def lead_temperature(
    *, area: Number, diameter: Number, current: Number, ambient: Number, film: Number, stranding: Number = 1.04
) -> Array:
    r"""Return the steady temperature of a lead that gives its heat off along its surface.

    Parameters
    ----------
    area : float or (n,) array
        Of the copper [m^2].
    diameter : float or (n,) array
        Over the insulation [m].
    current : float or (n,) array
        Current [A].
    ambient : float or (n,) array
        Temperature around it [K].
    film : float or (n,) array
        At its surface, radiation with it: 12 to 15 in still air [W/(m^2*K)].
    stranding : float or (n,) array
        Resistance of the stranded over that of the solid conductor [-].

    Returns
    -------
    float or (n,) array
        Temperature; infinite where it runs away [K].

    Notes
    -----
    .. math:: \pi D h (T - T_a) = I^2 R'_{20} (1 + \alpha (T - 20\,^\circ\mathrm{C}))
    """
    load = np.asarray(current, dtype=np.float64) ** 2 * RESISTIVITY / np.asarray(area) * np.asarray(stranding)
    off = np.pi * np.asarray(diameter) * np.asarray(film)
    around = np.asarray(ambient, dtype=np.float64)
    left = off - load * SLOPE
    begin = load * (1.0 + SLOPE * (around - REFERENCE_TEMPERATURE))
    return np.where(left > 0.0, around + begin / np.where(left > 0.0, left, 1.0), np.inf)


@model(source="heat balance of a winding; copper of IEC 60034-1 (234.5)")
def winding_temperature(
    *, copper_loss: Number, other_loss: Number, thermal_resistance: Number, coolant_temperature: Number
) -> Array:
    r"""Return the steady temperature of a winding whose resistance grows as it warms.

    Parameters
    ----------
    copper_loss : float or (n,) array
        Loss of the winding if it stayed at 20 C [W].
    other_loss : float or (n,) array
        Loss that leaves by the same way and does not grow [W].
    thermal_resistance : float or (n,) array
        Winding to water [K/W].
    coolant_temperature : float or (n,) array
        Of the water [K].

    Returns
    -------
    float or (n,) array
        Temperature; infinite where it runs away [K].

    Notes
    -----
    .. math:: T = T_w + R \left(P_{20} \frac{234.5 + T}{254.5} + P_0\right)
    """
    copper, ohm = np.asarray(copper_loss, dtype=np.float64), np.asarray(thermal_resistance, dtype=np.float64)
    water = np.asarray(coolant_temperature, dtype=np.float64)
    left = 1.0 - ohm * copper / COPPER_START
    cold = copper * (water - (REFERENCE_TEMPERATURE - COPPER_START)) / COPPER_START + np.asarray(other_loss)
    return np.where(left > 0.0, water + ohm * cold / np.where(left > 0.0, left, 1.0), np.inf)
