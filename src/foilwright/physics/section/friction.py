"""Friction, roughness, blunt edges: profile drag without a polar, and what a finish does to it."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array, model


@model(
    source="Prandtl & Schlichting 1932; Schlichting, Boundary-Layer Theory, eq. 21.16",
    valid={"reynolds": (8e4, 1e9, "the flow along the plate is not turbulent from its edge on")},
)
def flat_plate_friction(*, reynolds: Array) -> Array:
    r"""Return the friction coefficient of one side of a smooth plate, turbulent all along.

    Parameters
    ----------
    reynolds : float or array
        Reynolds number on the length of the plate [-].

    Returns
    -------
    float or array
        Friction force over dynamic pressure and area of one side [-].

    Notes
    -----
    .. math:: C_f = 0.455 / (\log_{10} Re)^{2.58}
    """
    friction: Array = 0.455 / np.log10(reynolds) ** 2.58
    return friction


@model(
    source="Blasius 1908; Schlichting, Boundary-Layer Theory, eq. 7.34",
    valid={"reynolds": (1e3, 3e6, "a laminar layer does not last so long, or is too thick for the theory")},
)
def laminar_plate_friction(*, reynolds: Array) -> Array:
    r"""Return the friction coefficient of one side of a smooth plate, laminar all along.

    Parameters
    ----------
    reynolds : float or array
        Reynolds number on the length of the plate [-].

    Returns
    -------
    float or array
        Friction force over dynamic pressure and area of one side [-].

    Notes
    -----
    .. math:: C_f = 1.328 / \sqrt{Re}
    """
    friction: Array = 1.328 / np.sqrt(reynolds)
    return friction


@model(
    source="Schlichting, Boundary-Layer Theory, eq. 21.38 (fully rough plate)",
    valid={"length_ratio": (1e2, 1e6, "the formula was fitted to other ratios of length to roughness")},
)
def rough_plate_friction(*, length: Array, roughness: Array) -> Array:
    r"""Return the friction coefficient of one side of a fully rough plate.

    It holds where it exceeds the smooth one; ``roughness_ratio`` takes the greater of both.

    Parameters
    ----------
    length : float or array
        Length of the plate along the flow [m].
    roughness : float or array
        Height of equivalent sand grains [m].

    Returns
    -------
    float or array
        Friction force over dynamic pressure and area of one side [-].

    Notes
    -----
    .. math:: C_f = (1.89 + 1.62 \log_{10}(L / k_s))^{-2.5}
    """
    base = 1.89 + 1.62 * np.log10(np.asarray(length) / roughness)
    friction: Array = 1.0 / (base * base * np.sqrt(base))
    return friction


@model(
    source="greater of smooth (Prandtl & Schlichting 1932) and fully rough (Schlichting), over smooth",
    valid={"reynolds": (8e4, 1e9), "relative_roughness": (1e-6, 1e-2, "too coarse or too fine for the fit")},
)
def roughness_ratio(*, reynolds: Array, relative_roughness: Array) -> Array:
    """Return by what factor roughness raises turbulent friction, 1 where the surface is smooth.

    Parameters
    ----------
    reynolds : float or array
        Reynolds number on the chord [-].
    relative_roughness : float or array
        Height of equivalent sand grains over the chord [-].

    Returns
    -------
    float or array
        Rough friction over smooth friction [-].
    """
    rough = rough_plate_friction.function(length=np.asarray(1.0), roughness=relative_roughness)
    return np.maximum(1.0, rough / flat_plate_friction.function(reynolds=reynolds))


@model(
    source="Schlichting, Boundary-Layer Theory, ch. 21: admissible roughness, U k / nu = 100",
    valid={"speed": (0.5, 30.0)},
)
def roughness_allowed(*, speed: Array, kinematic_viscosity: Array) -> Array:
    """Return the sand-grain height up to which a turbulent surface counts as smooth.

    Parameters
    ----------
    speed : float or array
        Speed through the water [m/s].
    kinematic_viscosity : float or array
        Kinematic viscosity of the water [m^2/s].

    Returns
    -------
    float or array
        Height of equivalent sand grains [m].
    """
    height: Array = 100.0 * np.asarray(kinematic_viscosity) / speed
    return height


@model(
    source="Braslow & Knox 1958, NACA TN 4363: critical Reynolds number of single grains about 600",
    valid={"critical": (150.0, 900.0, "no test supports such a critical number")},
)
def tripping_height(*, speed: Array, kinematic_viscosity: Array, critical: Array | float = 600.0) -> Array:
    """Return the height near the nose that makes the boundary layer turbulent behind it.

    Parameters
    ----------
    speed : float or array
        Speed of the flow at the top of the roughness, about that of the craft [m/s].
    kinematic_viscosity : float or array
        Kinematic viscosity of the water [m^2/s].
    critical : float or array
        Critical Reynolds number on height: 600 for grains, 200 to 400 for a step along the span [-].

    Returns
    -------
    float or array
        Height [m].
    """
    height: Array = np.asarray(critical) * kinematic_viscosity / speed
    return height


@model(
    source="Hoerner 1965, Fluid-Dynamic Drag, ch. 6, eq. 6-6 (greatest thickness near 30 % of the chord)",
    valid={
        "reynolds": (8e4, 1e8, "no turbulent layer from the nose on"),
        "relative_thickness": (0.0, 0.25, "thicker than the sections behind the formula"),
        "lift_coefficient": (-0.8, 0.8, "too much lift for the quadratic term"),
    },
)
def profile_drag_without_polar(
    *, relative_thickness: Array, reynolds: Array, lift_coefficient: Array | float = 0.0
) -> Array:
    r"""Return the profile drag of a section with a turbulent layer from near its nose on.

    Parameters
    ----------
    relative_thickness : float or array
        Greatest thickness over chord [-].
    reynolds : float or array
        Reynolds number on the chord [-].
    lift_coefficient : float or array
        Lift coefficient of the section [-].

    Returns
    -------
    float or array
        Drag over dynamic pressure and chord times span [-].

    Notes
    -----
    .. math:: c_d = 2 C_f (1 + 2 t/c + 60 (t/c)^4) + 0.004 c_l^2

    The last term is an estimate from tripped polars of a 12 % section at a Reynolds number of 7e5.
    """
    squared = np.square(relative_thickness)
    form = 1.0 + 2.0 * np.asarray(relative_thickness) + 60.0 * squared * squared
    friction = flat_plate_friction.function(reynolds=reynolds)
    return 2.0 * friction * form + 0.004 * np.square(lift_coefficient)


@model(
    source="Hoerner 1965, Fluid-Dynamic Drag, ch. 3: base drag behind a section",
    valid={"edge_thickness": (0.0, 0.1, "thicker than the edges behind the formula")},
)
def blunt_edge_drag(*, edge_thickness: Array, friction_drag: Array) -> Array:
    r"""Return the drag that a blunt trailing edge adds to a section.

    Parameters
    ----------
    edge_thickness : float or array
        Thickness of the trailing edge over chord [-].
    friction_drag : float or array
        Drag coefficient of the section without the blunt edge, on the chord [-].

    Returns
    -------
    float or array
        Added drag coefficient, on the chord [-].

    Notes
    -----
    .. math:: \Delta c_d = 0.135 (c_{d,f} / h)^{-1/3} h, \quad h = t_{te}/c
    """
    height = np.asarray(edge_thickness)
    added: Array = 0.135 * height * np.cbrt(height / friction_drag)
    return added


@model(
    source="McCroskey 1987, NASA TM-100019: best fit to wind-tunnel tests of NACA 0012",
    valid={"reynolds": (1e6, 3e7, "no tests of the better kind"), "mach": (0.0, 0.5)},
)
def mccroskey_slope(*, reynolds: Array, mach: Array | float = 0.0) -> Array:
    """Return the lift slope of NACA 0012 as measured in many wind tunnels.

    Parameters
    ----------
    reynolds : float or array
        Reynolds number on the chord [-].
    mach : float or array
        Mach number, 0 in water [-].

    Returns
    -------
    float or array
        Lift coefficient per angle [1/rad].
    """
    degree: Array = (0.1025 + 0.00485 * np.log10(np.asarray(reynolds) * 1e-6)) / np.sqrt(1.0 - np.square(mach))
    return degree * (180.0 / np.pi)


@model(
    source="McCroskey 1987, NASA TM-100019: best fits to the least drag of NACA 0012, smooth and tripped",
    valid={"reynolds": (1e6, 3e7, "no tests of the better kind")},
)
def mccroskey_drag(*, reynolds: Array, tripped: bool = False) -> Array:
    """Return the drag of NACA 0012 at zero lift as measured in many wind tunnels.

    Parameters
    ----------
    reynolds : float or array
        Reynolds number on the chord [-].
    tripped : bool
        Transition fixed near the nose [-].

    Returns
    -------
    float or array
        Drag coefficient [-].
    """
    number = np.asarray(reynolds)
    return np.asarray(0.0017 + 0.91 / np.log10(number) ** 2.58 if tripped else 0.0044 + 0.018 * number**-0.15)
