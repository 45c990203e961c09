"""How hot a surface gets in the sun."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array, model
from foilwright.physics.heat.films import GRAVITY, _churchill, fluid, forced_plate

BOLTZMANN = 5.670374419e-8
"""Stefan-Boltzmann constant [W/(m^2*K^4)] (CODATA 2018)."""
PASSES = 8
STEEPER = 1.2
"""Slope of what a film carries over temperature, over film: 1 blown, 4/3 still; the balance then closes to 2 mK."""
Number = Array | float


def _film(hot: Array, around: Array, wind: Array, size: Array) -> Array:
    """Return the film of an upright or lying surface: natural and forced, blended by their cubes."""
    air = fluid.function(medium="air", temperature=0.5 * (hot + around))
    rayleigh = GRAVITY * air.expansion * np.abs(hot - around) * size**3 * air.prandtl / air.kinematic_viscosity**2
    still = _churchill(rayleigh, air.prandtl, 0.825, 0.492)
    blown = forced_plate.function(reynolds=wind * size / air.kinematic_viscosity, prandtl=air.prandtl)
    blend: Array = np.cbrt(still**3 + blown**3) * air.conductivity / size
    return blend


@model(
    source="balance of sun, film and long-wave radiation; sky of Swinbank 1963; film of Churchill and Chu 1975 "
    "and of Pohlhausen 1921, blended by their cubes",
    valid={
        "irradiance": (0.0, 1200.0, "the sun gives at most about 1200 W/m2 on a surface"),
        "air_temperature": (263.15, 323.15, "the sky was measured in common weather only"),
        "wind": (0.0, 20.0, "the film is for light to fresh wind"),
    },
)
def sunlit_temperature(
    *,
    absorptance: Number,
    emittance: Number,
    irradiance: Number,
    air_temperature: Number,
    wind: Number = 0.0,
    length: Number = 0.12,
    sky_view: Number = 0.5,
    shaded_back: Number = 0.0,
) -> Array:
    r"""Return the steady temperature of a lit surface.

    Parameters
    ----------
    absorptance : float or (n,) array
        Share of the sunlight that the surface takes up [-].
    emittance : float or (n,) array
        Of long-wave radiation, over that of a black body [-].
    irradiance : float or (n,) array
        Sunlight on the surface [W/m^2].
    air_temperature : float or (n,) array
        Of the air [K].
    wind : float or (n,) array
        Speed of the air along the surface [m/s].
    length : float or (n,) array
        Of the surface along the stream [m].
    sky_view : float or (n,) array
        Share of its view that is sky: 0.5 upright, 1 lying; the rest is as warm as the air [-].
    shaded_back : float or (n,) array
        0 where foam or infill backs it, 1 where a thin wall is cooled on its back too [-].

    Returns
    -------
    float or (n,) array
        Temperature [K].

    Notes
    -----
    .. math:: \alpha G = (1 + b)\left(h (T - T_a) + \epsilon\sigma (T^4 - T_a^4)\right) +
        \epsilon\sigma F (T_a^4 - T_s^4),\quad T_s = 0.0552\,T_a^{1.5}
    """
    around, blow, size = (np.asarray(one, dtype=np.float64) for one in (air_temperature, wind, length))
    grey = np.asarray(emittance, dtype=np.float64) * BOLTZMANN
    sky = 0.0552 * around * np.sqrt(around)
    gain = np.asarray(absorptance) * np.asarray(irradiance) - grey * np.asarray(sky_view) * (around**4 - sky**4)
    sides = 1.0 + np.asarray(shaded_back, dtype=np.float64)
    hot = around + 0.05 * gain / sides
    for _ in range(PASSES):
        film = _film(hot, around, blow, size)
        short = gain / sides - film * (hot - around) - grey * (hot**4 - around**4)
        hot = hot + short / (STEEPER * film + 4.0 * grey * hot**3)
    return np.asarray(hot)
