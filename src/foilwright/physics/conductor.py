"""Copper conductors: size by gauge or nominal area, resistance over temperature, drop along a pair."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.errors import DataError
from foilwright.core.model import Array, model

RESISTIVITY = 1e-6 / 58.0  # ohm m at 20 C: 1/58 ohm mm2/m, IEC 60028 (annealed copper standard)
SLOPE = 0.00393  # 1/K at 20 C, IEC 60028
REFERENCE_TEMPERATURE = 293.15  # K
BUILDS = ("stiff", "flexible", "flexible tinned")
COPPER = {"temperature": (233.15, 523.15, "the resistance of copper is linear from -40 to 250 C only")}


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """Along a pair of leads (n,): voltage lost [V] and heat [W], both conductors together."""

    voltage: Array
    heat: Array


@model(
    source="ASTM B258: 36 gauge is 0.127 mm, ratio the 39th root of 92",
    valid={"gauge": (-3.0, 40.0, "the table runs from 4/0 to 40")},
)
def gauge_diameter(*, gauge: Array) -> Array:
    r"""Return the diameter of a solid wire of the American gauge.

    Parameters
    ----------
    gauge : float or (n,) array
        Gauge number; 0, -1, -2, -3 for 1/0 to 4/0 [-].

    Returns
    -------
    float or (n,) array
        Diameter [m].

    Notes
    -----
    .. math:: d = 0.127\,\mathrm{mm} \cdot 92^{(36-n)/39}
    """
    diameter: Array = 0.127e-3 * 92.0 ** ((36.0 - np.asarray(gauge)) / 39.0)
    return diameter


@model(
    source="ASTM B258, area of the solid wire",
    valid={"gauge": (-3.0, 40.0, "the table runs from 4/0 to 40")},
)
def gauge_area(*, gauge: Array) -> Array:
    """Return the copper area of the American gauge.

    Parameters
    ----------
    gauge : float or (n,) array
        Gauge number; 0, -1, -2, -3 for 1/0 to 4/0 [-].

    Returns
    -------
    float or (n,) array
        Area [m^2].
    """
    diameter = np.asarray(gauge_diameter(gauge=gauge))
    area: Array = 0.25 * np.pi * diameter * diameter
    return area


@model(source="IEC 60028: annealed copper, 0.00393 per kelvin at 20 C", valid=COPPER)
def temperature_factor(*, temperature: Array) -> Array:
    """Return the resistance of copper over its value at 20 C.

    Parameters
    ----------
    temperature : float or (n,) array
        Temperature of the conductor [K].

    Returns
    -------
    float or (n,) array
        Resistance ratio [-].
    """
    factor: Array = 1.0 + SLOPE * (np.asarray(temperature) - REFERENCE_TEMPERATURE)
    return factor


@model(source="IEC 60028: 1/58 ohm mm2/m at 20 C; lay of the strands as a factor", valid=COPPER)
def resistance_by_area(*, area: Array, temperature: Array, stranding: Array) -> Array:
    """Return the resistance of a copper conductor of known area.

    Parameters
    ----------
    area : float or (n,) array
        Area of the copper [m^2].
    temperature : float or (n,) array
        Temperature of the conductor [K].
    stranding : float or (n,) array
        Resistance of the stranded over that of the solid conductor; 1 solid, 1.02 to 1.06 stranded [-].

    Returns
    -------
    float or (n,) array
        Resistance of one conductor by length [ohm/m].
    """
    ratio = np.asarray(temperature_factor(temperature=temperature))
    along: Array = RESISTIVITY / np.asarray(area) * np.asarray(stranding) * ratio
    return along


@model(source="IEC 60228, largest resistance at 20 C by nominal area; IEC 60028 over temperature", valid=COPPER)
def resistance_by_name(*, nominal_area: Array, temperature: Array, build: str | Sequence[str]) -> Array:
    """Return the largest resistance of a conductor sold by its metric size.

    Parameters
    ----------
    nominal_area : float or (n,) array
        Nominal area, one of the sizes of the standard [m^2].
    temperature : float or (n,) array
        Temperature of the conductor [K].
    build : str or (n,) sequence of str
        ``stiff`` (class 1 and 2), ``flexible`` (class 5 and 6) or ``flexible tinned`` [-].

    Returns
    -------
    float or (n,) array
        Resistance of one conductor by length [ohm/m]; NaN where there is no such size.
    """
    columns = table("conductors").columns
    sizes, wanted = columns["nominal_area"], np.asarray(nominal_area)
    asked = np.asarray(build, dtype=np.str_)
    row = sum((k + 1) * (asked == name) for k, name in enumerate(BUILDS)) - 1
    if np.any(row < 0):
        raise DataError(f"a conductor is {', '.join(BUILDS)}, not {build!r}")
    place = np.minimum(np.searchsorted(sizes, wanted * (1.0 - 1e-6)), sizes.size - 1)
    known = np.abs(sizes[place] - wanted) <= 1e-6 * sizes[place]
    along = np.stack([columns[name] for name in BUILDS])[row, place]
    ratio = np.asarray(temperature_factor(temperature=temperature))
    return np.where(known, along, np.nan) * ratio


@model(source="Ohm's law, both conductors of a pair")
def pair_drop(*, resistance: Array, length: Array, current: Array) -> Drop:
    """Return what a pair of leads loses.

    Parameters
    ----------
    resistance : float or (n,) array
        Resistance of one conductor by length [ohm/m].
    length : float or (n,) array
        Length one way [m].
    current : float or (n,) array
        Current [A].

    Returns
    -------
    Drop
        Voltage [V] and heat [W].
    """
    current = np.asarray(current)
    voltage = 2.0 * np.asarray(length) * np.asarray(resistance) * current
    return Drop(voltage=voltage, heat=voltage * current)
