"""Leaks: what a vacuum hold says of water at the lake; water that creeps between strands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model
from foilwright.physics.air import ATMOSPHERE
from foilwright.physics.water import DRY_AIR, GRAVITY

AIR_VISCOSITY = 1.82e-5
"""Dynamic viscosity of air at 20 C [Pa s]."""
CUSP_FRICTION = 6.503
"""Friction factor times Reynolds number between three touching round strands [-] (Shah & London 1978)."""
CUSP_WIDTH = 4.0 * (np.sqrt(3.0) - 0.5 * np.pi) / np.pi
"""Hydraulic diameter of that gap over the radius of a strand [-]."""
GAPS = 2.0
"""Gaps by strand in a close bundle [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VacuumHold:
    """A vacuum that faded: ``leak_rate`` [Pa*m^3/s], ``mean_pressure`` inside [Pa], ``loss`` [Pa].

    ``loss`` is the rise of pressure with the change of temperature taken out.
    """

    leak_rate: Array
    mean_pressure: Array
    loss: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterEntry:
    """Water through the leak that air told of: ``narrow`` path [m^3/s] and short ``hole`` [m^3/s]."""

    narrow: Array
    hole: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Wick:
    """A conductor as a wick: ``rise`` [m] of water in it, ``water_flow`` [m^3/s], ``arrival`` [s].

    ``water_flow`` is driven by the pressure alone once the strands are wet through; ``arrival`` is
    the time until water shows at the far end without any pressure.
    """

    rise: Array
    water_flow: Array
    arrival: Array


@model(
    source="perfect gas in a rigid box: pressure over temperature against time",
    valid={
        "vacuum": (2e3, 60e3, "too weak a vacuum to tell a leak, or more than a box should bear"),
        "time": (60.0, 86400.0, "too short a hold to tell a leak from a drift of temperature"),
    },
    decides=("vacuum",),
)
def vacuum_hold(
    *,
    volume: Array,
    first_pressure: Array,
    second_pressure: Array,
    time: Array,
    first_temperature: Array,
    second_temperature: Array,
    ambient_pressure: Array | float = ATMOSPHERE,
) -> VacuumHold:
    r"""Return the leak that two readings of the pressure in a pumped-down box tell.

    Parameters
    ----------
    volume : float or array
        Free volume of air in the box [m^3].
    first_pressure, second_pressure : float or array
        Absolute pressure inside, first and last reading [Pa].
    time : float or array
        Time between the readings [s].
    first_temperature, second_temperature : float or array
        Temperature of the air inside at the readings [K].
    ambient_pressure : float or array
        Pressure of the air outside [Pa].

    Returns
    -------
    VacuumHold
        Leak rate [Pa*m^3/s], mean pressure [Pa], loss of vacuum [Pa]; negative where the vacuum
        grew: read again when the temperature has settled.

    Notes
    -----
    .. math:: Q = V\,T_2\, (p_2/T_2 - p_1/T_1)/t

    One kelvin moves the pressure by 0.34 %, as much as a fair leak in a quarter of an hour.
    """
    last = np.asarray(second_temperature)
    loss = second_pressure - first_pressure * last / first_temperature
    mean = 0.5 * (np.asarray(first_pressure) + second_pressure)
    return VacuumHold(
        leak_rate=np.asarray(volume) * loss / time,
        mean_pressure=mean,
        loss=loss,
        outside=vacuum_hold.mask(vacuum=ambient_pressure - mean, time=time),
    )


@model(source="Poiseuille flow of gas and liquid through one path (narrow); orifice flow of both (hole)")
def water_entry(
    *,
    leak_rate: Array,
    mean_pressure: Array,
    pressure: Array,
    ambient_pressure: Array | float = ATMOSPHERE,
    dynamic_viscosity: Array | float = 1.0e-3,
    density: Array | float = 1000.0,
) -> WaterEntry:
    r"""Return the water that comes through a leak which air has measured.

    Parameters
    ----------
    leak_rate : float or array
        Leak of air into the pumped-down box [Pa*m^3/s].
    mean_pressure : float or array
        Absolute pressure inside while it was measured [Pa].
    pressure : float or array
        Pressure of the water outside less that of the air inside, at the lake [Pa].
    ambient_pressure : float or array
        Pressure of the air outside while it was measured [Pa].
    dynamic_viscosity : float or array
        Of the water [Pa*s].
    density : float or array
        Of the water [kg/m^3].

    Returns
    -------
    WaterEntry
        Flow of water [m^3/s] if the leak is a long narrow path, and if it is a short hole.

    Notes
    -----
    .. math::
        q_n = \frac{2 \mu_a Q}{p_a^2 - p_v^2} \frac{\Delta p}{\mu_w}, \quad
        q_h = \frac{Q}{p_a} \sqrt{\frac{\rho_a}{\rho_w} \frac{\Delta p}{p_a - p_v}}

    Real leaks lie between, nearer to the first when small; the smallest let air through and no
    water, held by its surface.
    """
    rate, driving = np.maximum(leak_rate, 0.0), np.maximum(pressure, 0.0)
    vacuum = np.asarray(ambient_pressure) - mean_pressure
    squares = vacuum * (np.asarray(ambient_pressure) + mean_pressure)
    air_density = np.asarray(ambient_pressure) / (DRY_AIR * 293.15)
    return WaterEntry(
        narrow=2.0 * AIR_VISCOSITY * rate / squares * driving / dynamic_viscosity,
        hole=rate / ambient_pressure * np.sqrt(air_density / np.asarray(density) * driving / vacuum),
    )


@model(source="Jurin 1718; law of capillary rise in a round tube")
def capillary_rise(
    *,
    radius: Array,
    density: Array,
    surface_tension: Array | float = 0.0728,
    contact_angle: Array | float = 0.0,
) -> Array:
    r"""Return how high water climbs in a fine tube or gap.

    Parameters
    ----------
    radius : float or array
        Radius of the tube, or half the hydraulic diameter of the gap [m].
    density : float or array
        Density of the water [kg/m^3].
    surface_tension : float or array
        Of the water, 0.0728 clean at 20 C [N/m].
    contact_angle : float or array
        Between water and wall, 0 where it wets, above a right angle where it is repelled [rad].

    Returns
    -------
    float or array
        Rise [m].

    Notes
    -----
    .. math:: h = 2 \gamma \cos\theta / (\rho g r)
    """
    rise: Array = 2.0 * surface_tension * np.cos(contact_angle) / (GRAVITY * np.asarray(density) * radius)
    return rise


@model(source="Washburn 1921 and Poiseuille between round strands in a close bundle, Shah & London 1978")
def strand_wick(
    *,
    strand_diameter: Array,
    strands: Array,
    length: Array,
    pressure: Array,
    density: Array | float = 1000.0,
    surface_tension: Array | float = 0.0728,
    contact_angle: Array | float = 1.05,
    dynamic_viscosity: Array | float = 1.0e-3,
) -> Wick:
    r"""Return what a stranded conductor carries into the box when its other end is wet.

    Parameters
    ----------
    strand_diameter : float or array
        Diameter of one strand [m].
    strands : float or array
        Number of strands [-].
    length : float or array
        Length from the wet end into the box [m].
    pressure : float or array
        Pressure at the wet end less that in the box [Pa].
    density : float or array
        Of the water [kg/m^3].
    surface_tension : float or array
        Of the water [N/m].
    contact_angle : float or array
        Of water on the strands, about 60 degrees on drawn copper [rad].
    dynamic_viscosity : float or array
        Of the water [Pa*s].

    Returns
    -------
    Wick
        Rise [m], flow [m^3/s], time of arrival [s] (infinite where the strands repel water).

    Notes
    -----
    .. math::
        D_h = \frac{4(\sqrt 3 - \pi/2)}{\pi} r, \quad u = \frac{D_h^2 \Delta p}{2 f\!Re\, \mu L}, \quad
        t = \frac{f\!Re\, \mu L^2}{4 \gamma \cos\theta\, D_h}

    Tinned, oiled or solder-filled strands carry less; a solid stud or a potted joint carries none.
    """
    radius = 0.5 * np.asarray(strand_diameter)
    width = CUSP_WIDTH * radius
    gap = 0.25 * np.pi * width * radius
    pull = 4.0 * np.asarray(surface_tension) * np.cos(contact_angle)
    speed = np.square(width) * np.maximum(pressure, 0.0) / (2.0 * CUSP_FRICTION * dynamic_viscosity * length)
    with np.errstate(divide="ignore"):
        arrival = CUSP_FRICTION * dynamic_viscosity * np.square(length) / (np.maximum(pull, 0.0) * width)
    return Wick(
        rise=pull / (GRAVITY * np.asarray(density) * width),
        water_flow=GAPS * np.asarray(strands) * gap * speed,
        arrival=arrival,
    )
