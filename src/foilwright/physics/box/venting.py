"""A cell that fails in the box: its gas, the pressure that it makes, the opening that relieves it."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array, model
from foilwright.core.solve import bracketed
from foilwright.physics.air import ATMOSPHERE
from foilwright.physics.cell import GAS_CONSTANT
from foilwright.physics.listed import Listed, Names

NORMAL_TEMPERATURE = 298.15
"""Temperature at which volumes of gas are told [K]."""
MOLAR_MASS, HEAT_RATIO = 0.030, 1.3
"""Of the gas, a mixture of carbon dioxide, carbon monoxide, hydrogen and solvents [kg/mol, -]."""
LITRE_PER_AMP_HOUR = 1e-3 / 3600.0
"""In [m^3/(A*s)]."""


@model(source="Koch, Fill and Birke 2018; Golubkov et al. 2014; Sturk et al. 2019; data/box/vented_gas.csv")
def cell_gas(*, chemistry: Names, capacity: Array) -> Listed:
    """Return the gas that one failing full cell gives off, as a range.

    Parameters
    ----------
    chemistry : str or (n,) sequence of str
        ``nmc``, ``nca``, ``lco`` or ``lfp`` [-].
    capacity : float or (n,) array
        Of the cell [A*s].

    Returns
    -------
    Listed
        Volume at 25 C and one atmosphere: low [m^3], typical [m^3], high [m^3].
    """
    return Listed.of("box/vented_gas", "gas", chemistry).scaled(np.asarray(capacity) * LITRE_PER_AMP_HOUR)


@model(source="Koch, Fill and Birke 2018; Golubkov et al. 2014; Sturk et al. 2019; data/box/vented_gas.csv")
def venting_time(*, chemistry: Names) -> Listed:
    """Return how long the gas of one failing cell takes to come out, as a range.

    Parameters
    ----------
    chemistry : str or (n,) sequence of str
        ``nmc``, ``nca``, ``lco`` or ``lfp`` [-].

    Returns
    -------
    Listed
        Time: low [s], typical [s], high [s].
    """
    return Listed.of("box/vented_gas", "time", chemistry)


@model(source="perfect gas at constant volume")
def closed_vent_pressure(
    *,
    gas_volume: Array,
    volume: Array,
    gas_temperature: Array,
    temperature: Array | float = NORMAL_TEMPERATURE,
    ambient_pressure: Array | float = ATMOSPHERE,
) -> Array:
    r"""Return the pressure that the gas of a failing cell would reach in a box without an opening.

    Parameters
    ----------
    gas_volume : float or array
        Gas given off, at 25 C and one atmosphere [m^3].
    volume : float or array
        Free volume of air in the box [m^3].
    gas_temperature : float or array
        Of air and gas once mixed, 350 to 600 K [K].
    temperature : float or array
        Of the air before [K].
    ambient_pressure : float or array
        Pressure outside, and inside before [Pa].

    Returns
    -------
    float or array
        Pressure inside less that outside [Pa]; any lid bursts long before.

    Notes
    -----
    .. math:: \Delta p = p_0 \left(\frac{T_g}{T_1} - 1\right) + p_n \frac{V_g}{V} \frac{T_g}{298.15}
    """
    warm = np.asarray(gas_temperature)
    added = ATMOSPHERE * np.asarray(gas_volume) / volume * warm / NORMAL_TEMPERATURE
    excess: Array = ambient_pressure * (warm / np.asarray(temperature) - 1.0) + added
    return excess


def _mass_flow(gas_rate: Array, molar_mass: Array | float) -> Array:
    flow: Array = np.asarray(gas_rate) * ATMOSPHERE * molar_mass / (GAS_CONSTANT * NORMAL_TEMPERATURE)
    return flow


def _flux(
    inside: Array, outside: Array, temperature: Array, molar_mass: Array | float, heat_ratio: Array | float
) -> Array:
    """Return the mass flow through each area of an ideal nozzle; choked where it must be."""
    k = np.asarray(heat_ratio)
    choked = (2.0 / (k + 1.0)) ** (k / (k - 1.0))
    ratio = np.clip(outside / inside, choked, 1.0)
    shape = np.sqrt(2.0 * k / (k - 1.0) * (ratio ** (2.0 / k) - ratio ** ((k + 1.0) / k)))
    flux: Array = inside * shape * np.sqrt(molar_mass / (GAS_CONSTANT * temperature))
    return flux


@model(source="Saint-Venant and Wantzel 1839: isentropic flow of a perfect gas through an orifice")
def relief_area(
    *,
    gas_rate: Array,
    gas_temperature: Array,
    pressure: Array,
    discharge_coefficient: Array | float = 0.6,
    ambient_pressure: Array | float = ATMOSPHERE,
    molar_mass: Array | float = MOLAR_MASS,
    heat_ratio: Array | float = HEAT_RATIO,
) -> Array:
    r"""Return the opening that keeps the pressure of a venting cell at a limit.

    Parameters
    ----------
    gas_rate : float or array
        Gas given off by time, at 25 C and one atmosphere [m^3/s].
    gas_temperature : float or array
        Of the gas in the box [K].
    pressure : float or array
        Pressure inside less that outside that lid and seal bear [Pa].
    discharge_coefficient : float or array
        Of the opening: 0.6 for a sharp hole, less for a crooked path [-].
    ambient_pressure : float or array
        Pressure outside [Pa].
    molar_mass : float or array
        Of the gas [kg/mol].
    heat_ratio : float or array
        Ratio of its specific heats [-].

    Returns
    -------
    float or array
        Area [m^2].

    Notes
    -----
    .. math::
        \dot m = C_d A p \sqrt{\frac{2 k}{k-1} \frac{M}{R T} \left(r^{2/k} - r^{(k+1)/k}\right)}, \quad
        r = p_a/p

    Steady, so a bound where the free volume is small.
    """
    around = np.asarray(ambient_pressure)
    flux = _flux(np.asarray(pressure) + around, around, np.asarray(gas_temperature), molar_mass, heat_ratio)
    area: Array = _mass_flow(gas_rate, molar_mass) / (discharge_coefficient * flux)
    return area


@model(source="Saint-Venant and Wantzel 1839: isentropic flow of a perfect gas through an orifice")
def relief_pressure(
    *,
    gas_rate: Array,
    gas_temperature: Array,
    relief: Array,
    discharge_coefficient: Array | float = 0.6,
    ambient_pressure: Array | float = ATMOSPHERE,
    molar_mass: Array | float = MOLAR_MASS,
    heat_ratio: Array | float = HEAT_RATIO,
) -> Array:
    r"""Return the pressure of a venting cell in a box with an opening.

    Parameters
    ----------
    gas_rate : float or array
        Gas given off by time, at 25 C and one atmosphere [m^3/s].
    gas_temperature : float or array
        Of the gas in the box [K].
    relief : float or array
        Free area of the opening [m^2].
    discharge_coefficient : float or array
        Of the opening [-].
    ambient_pressure : float or array
        Pressure outside [Pa].
    molar_mass : float or array
        Of the gas [kg/mol].
    heat_ratio : float or array
        Ratio of its specific heats [-].

    Returns
    -------
    float or array
        Pressure inside less that outside [Pa]; infinite where there is no opening.

    Notes
    -----
    The flow of ``relief_area`` solved for the pressure. It is what a steady release would reach;
    ``closed_vent_pressure`` bounds it where the opening is small.
    """
    opening = np.asarray(relief, dtype=np.float64) * discharge_coefficient
    flow = _mass_flow(gas_rate, molar_mass)
    shut = (opening <= 0.0) & (flow > 0.0)
    wanted = np.where(shut, 0.0, flow / np.where(opening > 0.0, opening, 1.0))
    warm, around = np.asarray(gas_temperature), np.asarray(ambient_pressure)
    unit = _flux(2.5 * around, around, warm, molar_mass, heat_ratio) / (2.5 * around)
    top = np.log(2.0 + wanted / unit / around)

    def missing(x: Array) -> Array:
        return _flux(around * np.exp(x), around, warm, molar_mass, heat_ratio) - wanted

    root = bracketed(missing, np.zeros_like(top), top, within=1e-10)
    excess: Array = np.where(shut, np.inf, around * np.expm1(root.value))
    return excess
