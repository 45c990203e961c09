"""Drag of the mast and of what hangs on it, piece by piece."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model
from foilwright.core.solve import smoothstep

SPRAY_LOW, SPRAY, SPRAY_HIGH = 0.24, 0.30, 0.38
"""Spray coefficient on thickness squared [-]: Hoerner 1965, the middle, Beaver & Zseleczky 2009."""
FILLET_ENOUGH, FILLET_SAVES = 0.06, 0.8
"""Fillet radius over chord that does its work, and the share of drag that it removes [-]; estimates."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spray:
    """Spray and wave drag of a piercing strut: ``low`` [N], ``central`` [N] and ``high`` [N]."""

    low: Array
    central: Array
    high: Array


def _pressure(density: Array, speed: Array) -> Array:
    """Return the dynamic pressure."""
    pressure: Array = 0.5 * density * np.square(speed)
    return pressure


@model(source="definition of the drag coefficient on wetted length and chord")
def profile_drag(*, draft: Array, chord: Array, drag_coefficient: Array, speed: Array, density: Array) -> Array:
    r"""Return the profile drag of the wetted part of a mast.

    Parameters
    ----------
    draft : float or array
        Wetted length of the mast [m].
    chord : float or array
        Chord of the mast [m].
    drag_coefficient : float or array
        Profile drag coefficient of its section, with its finish [-].
    speed : float or array
        Speed through the water [m/s].
    density : float or array
        Density of the water [kg/m^3].

    Returns
    -------
    array
        Drag [N].

    Notes
    -----
    .. math:: D = c_d\, q\, d\, c
    """
    return _pressure(density, speed) * draft * chord * drag_coefficient


@model(
    source="Hoerner 1965, Fluid-Dynamic Drag, eq. 10-31; Beaver & Zseleczky 2009, 19th CSYS",
    valid={"speed": (3.0, 15.0, "chord Froude number of a mast below 3: a wave hump is not modelled")},
)
def spray_drag(*, thickness: Array, speed: Array, density: Array, spray_coefficient: Array | float = SPRAY) -> Array:
    r"""Return the spray and wave drag of a strut where it pierces the surface.

    Parameters
    ----------
    thickness : float or array
        Thickness of the strut at the surface [m].
    speed : float or array
        Speed through the water [m/s].
    density : float or array
        Density of the water [kg/m^3].
    spray_coefficient : float or array
        Drag on dynamic pressure and thickness squared, 0.24 to 0.38 [-].

    Returns
    -------
    array
        Drag [N].

    Notes
    -----
    .. math:: D = C q t^2
    """
    return spray_coefficient * _pressure(density, speed) * np.square(thickness)


@model(
    source="Hoerner 1965, Fluid-Dynamic Drag, eq. 10-31; Beaver & Zseleczky 2009, 19th CSYS",
    valid={"speed": (3.0, 15.0, "chord Froude number of a mast below 3: a wave hump is not modelled")},
)
def spray_drag_band(*, thickness: Array, speed: Array, density: Array) -> Spray:
    """Return the spray drag with the least and the largest coefficient that were measured.

    Parameters
    ----------
    thickness : float or array
        Thickness of the strut at the surface [m].
    speed : float or array
        Speed through the water [m/s].
    density : float or array
        Density of the water [kg/m^3].

    Returns
    -------
    Spray
        Drag [N] with coefficients 0.24, 0.30 and 0.38.
    """
    unit = _pressure(density, speed) * np.square(thickness)
    return Spray(low=SPRAY_LOW * unit, central=SPRAY * unit, high=SPRAY_HIGH * unit)


def _fillet_leaves(fillet_ratio: Array | float) -> Array:
    """Return the share of junction drag that a fillet leaves."""
    return 1.0 - FILLET_SAVES * smoothstep(np.asarray(fillet_ratio), 0.0, FILLET_ENOUGH)


@model(
    source="Hoerner 1965, Fluid-Dynamic Drag, ch. 8; the effect of a fillet is an estimate",
    valid={"thickness_ratio": (0.05, 0.25, "thickness ratio outside the junctions measured")},
)
def junction_drag(
    *,
    thickness_ratio: Array,
    thickness: Array,
    speed: Array,
    density: Array,
    fillet_ratio: Array | float = 0.0,
) -> Array:
    r"""Return the added drag where two foils cross, for example mast and wing.

    Parameters
    ----------
    thickness_ratio : float or array
        Thickness over chord, mean of the two [-].
    thickness : float or array
        Thickness, mean of the two [m].
    speed : float or array
        Speed through the water [m/s].
    density : float or array
        Density of the water [kg/m^3].
    fillet_ratio : float or array
        Radius of a tangent fillet over chord [-].

    Returns
    -------
    array
        Drag [N]; zero below a thickness ratio of 0.054.

    Notes
    -----
    .. math:: D = \max(17 (t/c)^2 - 0.05, 0)\, q\, t^2
    """
    share = np.maximum(17.0 * np.square(thickness_ratio) - 0.05, 0.0)
    return share * _pressure(density, speed) * np.square(thickness) * _fillet_leaves(fillet_ratio)


@model(
    source="Hoerner 1965, Fluid-Dynamic Drag, ch. 8; the effect of a fillet is an estimate",
    valid={"thickness_ratio": (0.08, 0.4, "thickness ratio outside the junctions measured")},
)
def wall_junction_drag(
    *,
    thickness_ratio: Array,
    thickness: Array,
    speed: Array,
    density: Array,
    fillet_ratio: Array | float = 0.0,
) -> Array:
    r"""Return the added drag where a strut meets a flat wall, for example a wing on a fuselage.

    Parameters
    ----------
    thickness_ratio : float or array
        Thickness over chord of the strut [-].
    thickness : float or array
        Thickness of the strut [m].
    speed : float or array
        Speed through the water [m/s].
    density : float or array
        Density of the water [kg/m^3].
    fillet_ratio : float or array
        Radius of a tangent fillet over chord [-].

    Returns
    -------
    array
        Drag [N]; zero below a thickness ratio of 0.074.

    Notes
    -----
    .. math:: D = \max(0.75\, t/c - 0.0003 (t/c)^{-2}, 0)\, q\, t^2
    """
    share = np.maximum(0.75 * np.asarray(thickness_ratio) - 0.0003 / np.square(thickness_ratio), 0.0)
    return share * _pressure(density, speed) * np.square(thickness) * _fillet_leaves(fillet_ratio)


@model(
    source="Hoerner 1965, Fluid-Dynamic Drag, ch. 6 (body of revolution) and ch. 3 (base)",
    valid={
        "slenderness": (2.5, 15.0, "pod shorter or longer than the bodies of revolution measured"),
        "reynolds": (2e5, 1e9, "too slow for a turbulent boundary layer on the pod"),
    },
)
def pod_drag(
    *,
    length: Array,
    diameter: Array,
    speed: Array,
    density: Array,
    kinematic_viscosity: Array,
    fullness: Array | float = 0.85,
    base_diameter: Array | float = 0.0,
) -> Array:
    r"""Return the drag of a streamlined pod; with a blunt rear where the hub of a propeller stands.

    Parameters
    ----------
    length : float or array
        Length of the body [m].
    diameter : float or array
        Largest diameter [m].
    speed : float or array
        Speed through the water [m/s].
    density : float or array
        Density of the water [kg/m^3].
    kinematic_viscosity : float or array
        Kinematic viscosity of the water [m^2/s].
    fullness : float or array
        Wetted area over that of a cylinder of the same length and diameter; 0.75 for a streamlined
        body, 0.85 to 0.9 with a parallel middle [-].
    base_diameter : float or array
        Diameter at which the body is cut off behind; 0 for a pointed tail [m].

    Returns
    -------
    array
        Drag [N]; turbulent from the nose.

    Notes
    -----
    .. math::

        D_f = C_f \left(1 + 1.5 (d/l)^{1.5} + 7 (d/l)^3\right) q S_w, \quad
        D_b = \frac{0.029}{\sqrt{D_f/(q S_b)}} q S_b, \quad C_f = \frac{0.455}{(\log_{10} Re)^{2.58}}

    A turning propeller draws the flow along and takes most of the base drag away: the blunt value
    is that of a pod towed without it.
    """
    pressure = _pressure(density, speed)
    slender = np.asarray(diameter) / length
    reynolds = np.maximum(np.asarray(speed), 1e-6) * length / kinematic_viscosity
    friction = 0.455 / np.log10(np.maximum(reynolds, 10.0)) ** 2.58
    form = 1.0 + 1.5 * slender * np.sqrt(slender) + 7.0 * slender**3
    area = friction * form * fullness * np.pi * diameter * length
    base = 0.25 * np.pi * np.square(base_diameter)
    drag: Array = pressure * (area + 0.029 * base * np.sqrt(base / area))
    return drag
