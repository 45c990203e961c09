"""Air shut in a box: moisture, pressure when it cools or warms, desiccant, a vent that lets it breathe."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model

VAPOUR_CONSTANT = 461.5
"""Specific gas constant of water vapour [J/(kg K)]."""
ATMOSPHERE = 101325.0
"""Standard atmosphere [Pa]."""
ZERO = 273.15
"""Zero of the Celsius scale [K]."""
MAGNUS = {
    "temperature": (228.15, 333.15, "the vapour pressure of water is fitted from -45 to 60 C only"),
    "closed_temperature": (228.15, 333.15, "the vapour pressure of water is fitted from -45 to 60 C only"),
    "humidity": (0.0, 1.0, "relative humidity lies between 0 and 1"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TrappedAir:
    """Air in a closed box: ``pressure`` [Pa], ``swing`` inside less outside [Pa], ``dew`` [kg/m^3].

    ``swing`` is positive where the air pushes outward; ``dew`` is the water that falls out of each
    volume of air.
    """

    pressure: Array
    swing: Array
    dew: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Breathing:
    """A vent at work: ``air_flow`` [m^3/s] wanted, ``difference`` [Pa] left over it, ``settling`` [s]."""

    air_flow: Array
    difference: Array
    settling: Array


def _saturation(temperature: Array) -> Array:
    celsius = np.asarray(temperature) - ZERO
    pressure: Array = 611.2 * np.exp(17.62 * celsius / (243.12 + celsius))
    return pressure


@model(
    source="Magnus formula, WMO No. 8, 2018, annex 4.B",
    valid={"temperature": MAGNUS["temperature"]},
)
def saturation_pressure(*, temperature: Array) -> Array:
    r"""Return the vapour pressure of water in saturated air.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].

    Returns
    -------
    float or array
        Pressure [Pa].

    Notes
    -----
    .. math:: e_s = 611.2 \exp \frac{17.62\,t}{243.12 + t}, \quad t \text{ in °C}
    """
    return _saturation(temperature)


@model(
    source="perfect gas with the vapour pressure of Magnus, WMO No. 8, 2018",
    valid={"temperature": MAGNUS["temperature"], "humidity": MAGNUS["humidity"]},
)
def vapour_density(*, temperature: Array, humidity: Array) -> Array:
    r"""Return the mass of water in a volume of air.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].
    humidity : float or array
        Relative humidity, 0 to 1 [-].

    Returns
    -------
    float or array
        Density of the vapour [kg/m^3].

    Notes
    -----
    .. math:: \rho_v = \varphi e_s / (R_v T)
    """
    density: Array = np.asarray(humidity) * _saturation(temperature) / (VAPOUR_CONSTANT * np.asarray(temperature))
    return density


@model(
    source="Magnus formula inverted, WMO No. 8, 2018, annex 4.B",
    valid={
        "temperature": MAGNUS["temperature"],
        "humidity": (0.01, 1.0, "no dew point of air as dry as this"),
    },
)
def dew_point(*, temperature: Array, humidity: Array) -> Array:
    r"""Return the temperature at which water falls out of the air.

    Parameters
    ----------
    temperature : float or array
        Temperature [K].
    humidity : float or array
        Relative humidity, above 0 to 1 [-].

    Returns
    -------
    float or array
        Dew point [K].

    Notes
    -----
    .. math:: t_d = 243.12\, x / (17.62 - x), \quad x = \ln \varphi + 17.62\,t/(243.12 + t)
    """
    celsius = np.asarray(temperature) - ZERO
    with np.errstate(divide="ignore"):
        x = np.log(np.asarray(humidity, dtype=np.float64)) + 17.62 * celsius / (243.12 + celsius)
        point: Array = ZERO + 243.12 / (17.62 / x - 1.0)
    return point


@model(source="perfect gas at constant volume, vapour by Magnus (WMO No. 8, 2018)", valid=MAGNUS)
def trapped_air(
    *,
    closed_temperature: Array,
    temperature: Array,
    humidity: Array,
    closed_pressure: Array | float = ATMOSPHERE,
    ambient_pressure: Array | float = ATMOSPHERE,
) -> TrappedAir:
    r"""Return the pressure in a sealed box whose air has cooled or warmed since it was closed.

    Parameters
    ----------
    closed_temperature : float or array
        Temperature of the air when the lid was closed [K].
    temperature : float or array
        Temperature of the air now [K].
    humidity : float or array
        Relative humidity when the lid was closed, 0 for dry air [-].
    closed_pressure : float or array
        Pressure of the air when the lid was closed [Pa].
    ambient_pressure : float or array
        Pressure of the air outside now [Pa].

    Returns
    -------
    TrappedAir
        Pressure [Pa], swing [Pa], dew [kg/m^3].

    Notes
    -----
    .. math:: p_2 = (p_1 - \varphi e_1) T_2/T_1 + \min(\varphi e_1 T_2/T_1,\ e_s(T_2))

    The walls are taken as rigid; a lid that bows gives a little of the swing back.
    """
    first, second = np.asarray(closed_temperature), np.asarray(temperature)
    vapour = np.asarray(humidity) * _saturation(first)
    ratio = second / first
    left = np.minimum(vapour * ratio, _saturation(second))
    pressure = (closed_pressure - vapour) * ratio + left
    return TrappedAir(
        pressure=pressure,
        swing=pressure - ambient_pressure,
        dew=(vapour * ratio - left) / (VAPOUR_CONSTANT * second),
        outside=trapped_air.mask(closed_temperature=first, temperature=second, humidity=humidity),
    )


@model(
    source="water in the air by Magnus (WMO No. 8, 2018); silica gel takes up 12 % at 24 % humidity",
    valid={"temperature": MAGNUS["temperature"], "humidity": MAGNUS["humidity"]},
)
def desiccant_mass(
    *,
    volume: Array,
    temperature: Array,
    humidity: Array,
    openings: Array,
    damp: Array | float = 0.0,
    uptake: Array | float = 0.12,
    reserve: Array | float = 3.0,
) -> Array:
    r"""Return the mass of drying gel for a box.

    Parameters
    ----------
    volume : float or array
        Volume of the air [m^3].
    temperature : float or array
        Temperature of the air when the lid is closed [K].
    humidity : float or array
        Relative humidity when the lid is closed [-].
    openings : float or array
        How often the lid is opened before the gel is dried again [-].
    damp : float or array
        Water that wet parts bring in [kg].
    uptake : float or array
        Water that the gel takes up over its dry mass: 0.12 at 24 % humidity, 0.27 at 50 % [-].
    reserve : float or array
        Mass over the least mass [-].

    Returns
    -------
    float or array
        Dry mass of the gel [kg].

    Notes
    -----
    .. math:: m = n (V \rho_v N + m_w) / u
    """
    water = np.asarray(volume) * np.asarray(vapour_density(temperature=temperature, humidity=humidity))
    mass: Array = reserve * (water * openings + damp) / uptake
    return mass


@model(source="perfect gas at constant pressure; flow through a membrane proportional to pressure")
def breathing(
    *,
    volume: Array,
    temperature: Array,
    temperature_rate: Array,
    permeance: Array,
    vent_area: Array,
    ambient_pressure: Array | float = ATMOSPHERE,
) -> Breathing:
    r"""Return the pressure that stays across a vent membrane while the air in the box cools.

    Parameters
    ----------
    volume : float or array
        Volume of the air [m^3].
    temperature : float or array
        Temperature of the air [K].
    temperature_rate : float or array
        Its change with time, of either sign [K/s].
    permeance : float or array
        Flow of air through the membrane by area and pressure [m/(s Pa)].
    vent_area : float or array
        Free area of the membrane [m^2].
    ambient_pressure : float or array
        Pressure of the air outside [Pa].

    Returns
    -------
    Breathing
        Flow [m^3/s] and pressure [Pa], both as sizes; time in which a difference fades to a
        third [s].

    Notes
    -----
    .. math:: \dot V = V |\dot T| / T, \quad \Delta p = \dot V / (k A), \quad \tau = V / (k A p)

    A vent under water passes no air: it must sit above the wash.
    """
    flow = np.asarray(volume) * np.abs(temperature_rate) / np.asarray(temperature)
    opening = np.asarray(permeance) * vent_area
    return Breathing(
        air_flow=flow,
        difference=flow / opening,
        settling=np.asarray(volume) / (opening * ambient_pressure),
    )
