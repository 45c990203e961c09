"""Air and vapour at the mast and the wings: ventilation and cavitation."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model
from foilwright.core.solve import smoothstep

GRAVITY = 9.80665
ATMOSPHERE = 101325.0
CAUTION, RISK = 0.0873, 0.1396
"""Side-slip from which to take care (5 deg), and from which fast running vents (8 deg); estimates [rad]."""
ONSET_LOW, ONSET_HIGH = 0.2531, 0.4363
"""Side-slip at which clean struts vented in calm tanks, 14.5 to 25 deg [rad]."""
FAST = (1.5, 2.5)
"""Froude numbers on draft between which the risk falls to that of fast running [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SideSlip:
    """Side-slip of a mast at which air may come down.

    ``caution`` [rad] and ``risk`` [rad], limits of use in chop (estimates); ``onset_low`` [rad] and
    ``onset_high`` [rad], where clean struts vented in calm water; ``draft_froude`` [-].
    """

    caution: Array
    risk: Array
    onset_low: Array
    onset_high: Array
    draft_froude: Array
    outside: Mask


@model(
    source=(
        "Harwood, Young & Ceccio 2016, J. Fluid Mech. 800, 5; Aguiar Ferreira et al. 2026, J. Fluid Mech.; "
        "limits of use are estimates"
    ),
    valid={"draft_froude": (0.5, 4.5, "speed and wetted length outside the ventilation tests")},
)
def side_slip_limit(*, draft: Array, speed: Array) -> SideSlip:
    r"""Return at what side-slip a mast may draw air.

    Parameters
    ----------
    draft : float or array
        Wetted length of the mast [m].
    speed : float or array
        Speed through the water [m/s].

    Returns
    -------
    SideSlip
        Of the broadcast shape; slow, the risk is the least onset that was measured.

    Notes
    -----
    .. math:: F = U/\sqrt{g d}

    Wetted and vented flow overlap: once vented, a mast stays so until the angle is far smaller.
    Clean struts at low and moderate Froude numbers; no test covers a mast with a wing in chop.
    """
    froude = np.asarray(speed) / np.sqrt(GRAVITY * np.asarray(draft))
    whole = np.ones_like(froude)
    return SideSlip(
        caution=CAUTION * whole,
        risk=ONSET_LOW + (RISK - ONSET_LOW) * smoothstep(froude, *FAST),
        onset_low=ONSET_LOW * whole,
        onset_high=ONSET_HIGH * whole,
        draft_froude=froude,
        outside=side_slip_limit.mask(draft_froude=froude),
    )


@model(source="Bernoulli: pressure on a foil against that of the air above", valid={"depth": (0.0, 3.0)})
def ventilation_indicator(*, depth: Array, speed: Array, minimum_pressure: Array) -> Array:
    r"""Return how the static head compares with the suction of a foil near the surface.

    Parameters
    ----------
    depth : float or array
        Depth of the place of least pressure [m].
    speed : float or array
        Speed through the water [m/s].
    minimum_pressure : float or array
        Least pressure coefficient there, negative [-].

    Returns
    -------
    array
        Indicator [-]: below 1 the pressure is less than that of the air, so that air would come in
        if it found a way. Most foils in flight lie below 1; it ranks, it does not decide.

    Notes
    -----
    .. math:: m_v = \frac{h}{-C_{p,min} U^2/(2 g)}
    """
    suction = np.maximum(-np.asarray(minimum_pressure) * np.square(speed), 1e-12)
    indicator: Array = 2.0 * GRAVITY * depth / suction
    return indicator


@model(source="definition of the cavitation number; Brennen 1995, Cavitation and Bubble Dynamics, ch. 1")
def cavitation_number(
    *,
    depth: Array,
    speed: Array,
    density: Array,
    vapour_pressure: Array,
    pressure: Array | float = ATMOSPHERE,
) -> Array:
    r"""Return the cavitation number at a depth.

    Parameters
    ----------
    depth : float or array
        Depth below the surface [m].
    speed : float or array
        Speed through the water [m/s].
    density : float or array
        Density of the water [kg/m^3].
    vapour_pressure : float or array
        Vapour pressure of the water [Pa].
    pressure : float or array
        Pressure of the air above [Pa].

    Returns
    -------
    array
        Cavitation number [-]; there is no cavitation while it exceeds the suction of the section.

    Notes
    -----
    .. math:: \sigma = \frac{p_a + \rho g h - p_v}{\rho U^2/2}
    """
    head = pressure + density * GRAVITY * np.asarray(depth) - vapour_pressure
    number: Array = 2.0 * head / (density * np.square(speed))
    return number


@model(source="definition of the cavitation number; Brennen 1995, Cavitation and Bubble Dynamics, ch. 1")
def inception_speed(
    *,
    minimum_pressure: Array,
    depth: Array,
    density: Array,
    vapour_pressure: Array,
    pressure: Array | float = ATMOSPHERE,
) -> Array:
    r"""Return the speed at which cavitation begins.

    Parameters
    ----------
    minimum_pressure : float or array
        Least pressure coefficient of the section, negative [-].
    depth : float or array
        Depth below the surface [m].
    density : float or array
        Density of the water [kg/m^3].
    vapour_pressure : float or array
        Vapour pressure of the water [Pa].
    pressure : float or array
        Pressure of the air above [Pa].

    Returns
    -------
    array
        Speed [m/s].

    Notes
    -----
    .. math:: U = \sqrt{\frac{2 (p_a + \rho g h - p_v)}{-\rho\, C_{p,min}}}
    """
    head = pressure + density * GRAVITY * np.asarray(depth) - vapour_pressure
    speed: Array = np.sqrt(2.0 * head / (density * np.maximum(-np.asarray(minimum_pressure), 1e-12)))
    return speed
