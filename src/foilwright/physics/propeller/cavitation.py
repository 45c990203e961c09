"""When the water boils on the blades: cavitation number, loading, and the published limits."""

from __future__ import annotations

import numpy as np

from foilwright.core.data import table
from foilwright.core.errors import ModelError
from foilwright.core.model import Array, model

GRAVITY = 9.80665
AIR_PRESSURE = 101325.0


def _reference_pressure(density: Array, diameter: Array, advance_speed: Array, shaft_speed: Array) -> Array:
    tangential = 0.35 * shaft_speed * diameter
    return np.asarray(0.5 * density * (advance_speed * advance_speed + tangential * tangential))


@model(source="Carlton, Marine Propellers and Propulsion, ch. 9: cavitation number at 0.7 radius")
def cavitation_number(
    *,
    shaft_depth: Array,
    density: Array,
    vapour_pressure: Array,
    diameter: Array,
    advance_speed: Array,
    shaft_speed: Array,
) -> Array:
    r"""Return the cavitation number on the relative speed at 0.7 radius.

    Parameters
    ----------
    shaft_depth : (...,) array
        Depth of the shaft below the surface [m].
    density : (...,) array
        Density of the water [kg/m^3].
    vapour_pressure : (...,) array
        Vapour pressure of the water [Pa].
    diameter : (...,) array
        Diameter of the propeller [m].
    advance_speed : (...,) array
        Speed of the inflow [m/s].
    shaft_speed : (...,) array
        Angular speed of the propeller [rad/s].

    Returns
    -------
    (...,) array
        Cavitation number [-].

    Notes
    -----
    .. math::
        \sigma = (p_a + \rho g h - p_v) / (\tfrac12 \rho (V_A^2 + (0.7 \pi n D)^2))
    """
    pressure = AIR_PRESSURE + density * GRAVITY * shaft_depth - vapour_pressure
    return np.asarray(pressure / _reference_pressure(density, diameter, advance_speed, shaft_speed))


@model(
    source="Burrill and Emerson 1943: thrust loading on projected area, Taylor's projected area",
    valid={"pitch_ratio": (0.5, 1.4, "the ratio of projected to expanded area is for 0.5 to 1.4")},
)
def cavitation_loading(
    *,
    thrust: Array,
    density: Array,
    diameter: Array,
    area_ratio: Array,
    pitch_ratio: Array,
    advance_speed: Array,
    shaft_speed: Array,
) -> Array:
    r"""Return the thrust loading coefficient of the blades' projected area.

    Parameters
    ----------
    thrust : (...,) array
        Thrust of the propeller [N].
    density : (...,) array
        Density of the water [kg/m^3].
    diameter : (...,) array
        Diameter [m].
    area_ratio, pitch_ratio : (...,) arrays
        Expanded blade area over disc area, and pitch over diameter [-].
    advance_speed : (...,) array
        Speed of the inflow [m/s].
    shaft_speed : (...,) array
        Angular speed of the propeller [rad/s].

    Returns
    -------
    (...,) array
        Loading :math:`\tau_c` [-].

    Notes
    -----
    .. math:: \tau_c = T / (\tfrac12 \rho A_P V_R^2), \quad A_P = A_E (1.067 - 0.229 P/D)
    """
    expanded = area_ratio * (0.25 * np.pi) * diameter * diameter
    projected = expanded * (1.067 - 0.229 * pitch_ratio)
    reference = _reference_pressure(density, diameter, advance_speed, shaft_speed)
    return np.asarray(thrust / (projected * reference))


@model(
    source="Burrill's diagram, line of 5 % back cavitation: Carlton 2012, fig. 9.21, digitised",
    valid={"cavitation_number": (0.1, 3.0, "outside the diagram: held above, falling to zero below")},
)
def burrill_limit(*, cavitation_number: Array) -> Array:
    """Return the thrust loading at which 5 % of the blades' backs cavitate.

    Above the diagram the last value is held, below it the limit falls in proportion to zero: both
    are on the safe side, and the mask says so.

    Parameters
    ----------
    cavitation_number : (...,) array
        At 0.7 radius [-].

    Returns
    -------
    (...,) array
        Largest loading for continuous running [-].
    """
    columns = table("propeller/burrill").columns
    nodes = np.concatenate(([0.0], columns["cavitation_number"]))
    values = np.concatenate(([0.0], columns["loading"]))
    return np.asarray(np.interp(cavitation_number, nodes, values))


@model(
    source="Molland, Turnock and Hudson 2011, ch. 12: power laws of lines of Burrill's diagram",
    valid={"cavitation_number": (0.1, 0.8, "the fitted line is for 0.1 to 0.8")},
)
def burrill_line(*, cavitation_number: Array, line: str) -> Array:
    """Return the thrust loading on a fitted line of Burrill's diagram.

    Parameters
    ----------
    cavitation_number : (...,) array
        At 0.7 radius [-].
    line : str
        ``lower`` (about 2.5 % back cavitation: warn above it), ``upper`` (merchant ships) or
        ``accepted`` (about 10 %, for seconds during take-off) [text].

    Returns
    -------
    (...,) array
        Loading on the line [-].
    """
    lines = table("propeller/burrill_lines")
    if line not in lines.texts["line"]:
        raise ModelError(f"there is no line {line}; there are {', '.join(lines.texts['line'])}")
    row = lines.texts["line"].index(line)
    factor, offset, power = (lines.columns[name][row] for name in ("factor", "offset", "power"))
    return np.asarray(factor * np.maximum(np.asarray(cavitation_number) - offset, 0.0) ** power)


@model(
    source="Blount and Fox 1978: thrust breakdown of flat-faced sections",
    valid={"cavitation_number": (0.05, 2.0, "outside the tests of flat-faced sections")},
)
def breakdown_limit(*, cavitation_number: Array, area_ratio: Array) -> Array:
    r"""Return the thrust loading beyond which flat-faced blades give no more thrust.

    Parameters
    ----------
    cavitation_number : (...,) array
        At 0.7 radius [-].
    area_ratio : (...,) array
        Expanded blade area over disc area [-].

    Returns
    -------
    (...,) array
        Loading at breakdown [-].

    Notes
    -----
    .. math:: \tau_c = 1.2\, \sigma^{0.7 + 0.31 EAR^{0.9}}
    """
    power = 0.7 + 0.31 * np.asarray(area_ratio) ** 0.9
    return np.asarray(1.2 * np.asarray(cavitation_number) ** power)


@model(source="Keller 1966: least blade area against cavitation")
def keller_area_ratio(
    *,
    thrust: Array,
    diameter: Array,
    blades: Array,
    pressure: Array,
    vapour_pressure: Array,
    allowance: Array,
) -> Array:
    r"""Return the least expanded area ratio that keeps cavitation in bounds.

    Parameters
    ----------
    thrust : (...,) array
        Thrust of the propeller [N].
    diameter : (...,) array
        Diameter [m].
    blades : (...,) array
        Number of blades [-].
    pressure : (...,) array
        Absolute pressure at the shaft, air and water [Pa].
    vapour_pressure : (...,) array
        Vapour pressure of the water [Pa].
    allowance : (...,) array
        0.2 in the wake of a single-screw ship, 0.1 behind a pod, 0 for fast open craft [-].

    Returns
    -------
    (...,) array
        Least expanded blade area over disc area [-].

    Notes
    -----
    .. math:: A_E/A_0 = (1.3 + 0.3 Z)\, T / ((p_0 - p_v) D^2) + K
    """
    least = (1.3 + 0.3 * blades) * thrust / ((pressure - vapour_pressure) * diameter * diameter)
    return np.asarray(least + allowance)
