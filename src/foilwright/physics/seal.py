"""Seals and what presses them: sponge strip, round cord in a groove, screws, clamps and latches."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model
from foilwright.physics.listed import Listed, Names

SPONGE = {"squeeze": (0.1, 0.5, "sponge squeezed too little to seal, or so far that it takes a set")}
GRADED_AT = 0.25
"""Compression at which sponge is graded [-] (ASTM D1056)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove:
    """A round cord in its groove: ``squeeze`` [-] of its diameter, ``fill`` [-] of the groove."""

    squeeze: Array
    fill: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Closing:
    """Force that keeps a lid shut: ``total`` [N], and ``each`` [N] of its screws, clamps or latches."""

    total: Array
    each: Array


@model(
    source="grades of ASTM D1056; over compression as the gas in closed cells, Gibson & Ashby 1997",
    valid=SPONGE,
)
def sponge_pressure(*, grade: Names, squeeze: Array) -> Listed:
    r"""Return the pressure of a strip of closed-cell sponge.

    Parameters
    ----------
    grade : str or (n,) sequence of str
        ``2x0`` to ``2x5`` of any rubber, or ``silicone 2d3`` to ``silicone 2d5`` [-].
    squeeze : float or (n,) array
        Compression over thickness, aim at 0.35 [-].

    Returns
    -------
    Listed
        Pressure on the lid: low [Pa], typical [Pa], high [Pa].

    Notes
    -----
    .. math:: p = p_{25}\, \frac{\varepsilon}{1-\varepsilon} \Big/ \frac{0.25}{0.75}

    At 0.35 this gives 1.6 times the graded pressure; sheets tell 1.4 to 2.
    """
    strain = np.asarray(squeeze)
    graded = GRADED_AT / (1.0 - GRADED_AT)
    return Listed.of("box/sponge", "pressure", grade).scaled(strain / (1.0 - strain) / graded)


@model(
    source="Gent 1958, Rubber Chem. Technol. 31, 896: relation of indentation hardness and Young's modulus",
    valid={"hardness": (20.0, 80.0, "rubber softer or harder than the relation was tried on")},
)
def rubber_modulus(*, hardness: Array) -> Array:
    r"""Return Young's modulus of a solid rubber.

    Parameters
    ----------
    hardness : float or array
        Shore A hardness [-].

    Returns
    -------
    float or array
        Young's modulus [Pa].

    Notes
    -----
    .. math:: E = \frac{0.0981\,(56 + 7.62336\,S)}{0.137505\,(254 - 2.54\,S)} \text{ MPa}
    """
    shore = np.asarray(hardness, dtype=np.float64)
    modulus: Array = 1e6 * 0.0981 * (56.0 + 7.62336 * shore) / (0.137505 * (254.0 - 2.54 * shore))
    return modulus


@model(
    source="Lindley 1967, J. Inst. Rubber Ind. 1, 202: load and compression of round rubber cord",
    valid={"squeeze": (0.0, 0.4, "cord squeezed further than the relation was tried")},
)
def cord_line_load(*, diameter: Array, squeeze: Array, modulus: Array) -> Array:
    r"""Return the force by length that squeezes a round cord.

    Parameters
    ----------
    diameter : float or array
        Of the cord [m].
    squeeze : float or array
        Compression over diameter [-].
    modulus : float or array
        Young's modulus of the rubber [Pa].

    Returns
    -------
    float or array
        Force by length [N/m]; cords of one hardness differ by a third to either side.

    Notes
    -----
    .. math:: F/l = d E \left(1.25\, \varepsilon^{3/2} + 50\, \varepsilon^6\right)
    """
    strain = np.asarray(squeeze, dtype=np.float64)
    load: Array = np.asarray(diameter) * modulus * (1.25 * strain * np.sqrt(strain) + 50.0 * strain**6)
    return load


@model(source="definitions of squeeze and gland fill; a stretched cord keeps its volume")
def cord_groove(
    *, cord_diameter: Array, groove_depth: Array, groove_width: Array, stretch: Array | float = 0.0
) -> Groove:
    r"""Return squeeze and fill of a round cord in a groove under a flat lid.

    Parameters
    ----------
    cord_diameter : float or array
        Diameter of the cord as bought [m].
    groove_depth : float or array
        Depth of the groove, with the gap that the lid leaves over it [m].
    groove_width : float or array
        Width of the groove [m].
    stretch : float or array
        Growth in length when laid, over the length [-].

    Returns
    -------
    Groove
        Squeeze, 0.20 to 0.30 under a lid [-]; share of the groove filled, below 0.85 [-].

    Notes
    -----
    .. math:: d' = d/\sqrt{1+e}, \quad \varepsilon = 1 - h/d', \quad f = \pi d'^2/(4 w h)
    """
    laid = np.asarray(cord_diameter) / np.sqrt(1.0 + np.asarray(stretch))
    return Groove(
        squeeze=1.0 - groove_depth / laid,
        fill=0.25 * np.pi * np.square(laid) / (np.asarray(groove_width) * groove_depth),
    )


@model(source="compression set as ASTM D395 defines it")
def squeeze_left(*, squeeze: Array, thickness: Array, compression_set: Array, stand_off: Array) -> Array:
    r"""Return the squeeze of an aged seal under a lid that bows off it.

    Parameters
    ----------
    squeeze : float or array
        Compression over thickness when closed [-].
    thickness : float or array
        Thickness or diameter of the seal when new [m].
    compression_set : float or array
        Share of the compression that no longer springs back [-].
    stand_off : float or array
        How far the lid stands off between its fastenings [m].

    Returns
    -------
    float or array
        Squeeze over the thickness when new [-]; negative where a gap opens.

    Notes
    -----
    .. math:: \varepsilon' = \varepsilon (1 - C) - \delta/t
    """
    left: Array = np.asarray(squeeze) * (1.0 - np.asarray(compression_set)) - np.asarray(stand_off) / thickness
    return left


@model(source="balance of forces on a lid")
def closing_force(
    *, line_load: Array, perimeter: Array, pressure: Array, lid_area: Array, fastenings: Array
) -> Closing:
    r"""Return the force that screws, clamps or latches must hold.

    Parameters
    ----------
    line_load : float or array
        Force of the seal by length: sponge pressure times width, or that of a cord [N/m].
    perimeter : float or array
        Length of the seal [m].
    pressure : float or array
        Pressure inside less that outside, positive where it lifts the lid [Pa].
    lid_area : float or array
        Area within the seal [m^2].
    fastenings : float or array
        Number of screws, clamps or latches [-].

    Returns
    -------
    Closing
        Total [N] and by fastening [N]; pressure from outside helps and is left out.

    Notes
    -----
    .. math:: F = q\,l + \max(p, 0)\,A
    """
    total = np.asarray(line_load) * perimeter + np.maximum(pressure, 0.0) * lid_area
    return Closing(total=total, each=total / fastenings)


STRIP = "beam fixed at both ends under the seal's pressure, as in seal makers' design guides: 480, 13 and 2"


@model(source=STRIP)
def fastening_pitch(
    *,
    flange_width: Array,
    seal_width: Array,
    modulus: Array,
    thickness: Array,
    allowed_bow: Array,
    least_pressure: Array,
    most_pressure: Array,
) -> Array:
    r"""Return how far apart the fastenings of a lid may stand.

    Parameters
    ----------
    flange_width : float or array
        Width of the strip of lid that bends along the seal [m].
    seal_width : float or array
        Width of the seal [m].
    modulus : float or array
        Young's modulus of the lid [Pa].
    thickness : float or array
        Thickness of the lid [m].
    allowed_bow : float or array
        Compression that the seal may lose between two fastenings [m].
    least_pressure, most_pressure : float or array
        Pressure of the seal midway and at the fastenings [Pa].

    Returns
    -------
    float or array
        Pitch [m].

    Notes
    -----
    .. math:: C = \left(\frac{480\,(a/w)\,E t^3 \Delta H}{13 p_{min} + 2 p_{max}}\right)^{1/4}

    With equal pressures this is the bow :math:`q l^4/(384 E I)` of a beam fixed at both ends. Practice
    stops at 80 mm for acrylic and 100 mm for a metal frame.
    """
    stiff = 480.0 * np.asarray(flange_width) / seal_width * modulus * np.asarray(thickness) ** 3
    soft = 13.0 * np.asarray(least_pressure) + 2.0 * np.asarray(most_pressure)
    pitch: Array = np.sqrt(np.sqrt(stiff * allowed_bow / soft))
    return pitch


@model(source=STRIP)
def bow_between(
    *,
    flange_width: Array,
    seal_width: Array,
    modulus: Array,
    thickness: Array,
    pitch: Array,
    least_pressure: Array,
    most_pressure: Array,
) -> Array:
    r"""Return how far a lid stands off its seal between two fastenings.

    Parameters
    ----------
    flange_width : float or array
        Width of the strip of lid that bends along the seal [m].
    seal_width : float or array
        Width of the seal [m].
    modulus : float or array
        Young's modulus of the lid [Pa].
    thickness : float or array
        Thickness of the lid [m].
    pitch : float or array
        Distance of the fastenings [m].
    least_pressure, most_pressure : float or array
        Pressure of the seal midway and at the fastenings [Pa].

    Returns
    -------
    float or array
        Compression that the seal loses midway [m].

    Notes
    -----
    .. math:: \Delta H = \frac{C^4 (13 p_{min} + 2 p_{max})}{480\,(a/w)\,E t^3}
    """
    stiff = 480.0 * np.asarray(flange_width) / seal_width * modulus * np.asarray(thickness) ** 3
    soft = 13.0 * np.asarray(least_pressure) + 2.0 * np.asarray(most_pressure)
    bow: Array = np.square(np.square(pitch)) * soft / stiff
    return bow
