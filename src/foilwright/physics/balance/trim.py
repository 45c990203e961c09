"""Stability and trim in flight: neutral point, static margin, the balance of wing and stabiliser.

Heights and levers are from the wing's quarter chord: x forward, z up, moments nose-up positive.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model


@dataclass(frozen=True, slots=True, kw_only=True)
class NeutralPoint:
    """Where added lift acts.

    ``behind`` the wing's quarter chord [m]; ``slope`` of the whole craft on the wing's area [1/rad];
    ``stabiliser_slope`` after downwash, wake and the bending of the fuselage [1/rad].
    """

    behind: Array
    slope: Array
    stabiliser_slope: Array


def _soft_slope(slope: Array, area: Array, pressure: Array | float, flexibility: Array | float) -> Array:
    """Return the slope that is left when lift takes incidence away by bending what carries it."""
    return np.asarray(slope / (1.0 + pressure * area * slope * flexibility))


@model(source="Etkin & Reid 1996, Dynamics of Flight, section 2.3; flexible tail as in section 2.5, linear")
def neutral_point(
    *,
    wing_slope: Array,
    stabiliser_slope: Array,
    wing_area: Array,
    stabiliser_area: Array,
    arm: Array,
    downwash_slope: Array,
    efficiency: Array | float = 1.0,
    flexibility: Array | float = 0.0,
    dynamic_pressure: Array | float = 0.0,
) -> NeutralPoint:
    r"""Return the neutral point of wing and stabiliser.

    Parameters
    ----------
    wing_slope, stabiliser_slope : (...) arrays
        Lift curve slopes of the surfaces as they are mounted, near the surface of the water [1/rad].
    wing_area, stabiliser_area : (...) arrays
        Plan areas [m^2].
    arm : (...) array
        From the wing's quarter chord back to the stabiliser's [m].
    downwash_slope : (...) array
        Downwash angle at the stabiliser per incidence of the wing [-].
    efficiency : (...) array
        Dynamic pressure at the stabiliser over that of the free stream [-].
    flexibility : (...) array
        Incidence that the stabiliser loses for each newton of its own upward lift [rad/N].
    dynamic_pressure : (...) array
        Needed only with ``flexibility`` [Pa].

    Returns
    -------
    NeutralPoint
        (...) arrays: behind [m], slope [1/rad], stabiliser_slope [1/rad].

    Notes
    -----
    .. math:: h_n = \frac{a_s' S_s/S_w}{a_w + a_s' S_s/S_w} l_s, \quad
        a_s' = \frac{\eta a_s (1 - \epsilon_1)}{1 + \eta q S_s a_s \phi}
    """
    soft = _soft_slope(efficiency * stabiliser_slope, stabiliser_area, dynamic_pressure, flexibility)
    effective = soft * (1.0 - downwash_slope)
    tail = effective * stabiliser_area / wing_area
    slope = np.asarray(wing_slope + tail)
    return NeutralPoint(behind=np.asarray(tail * arm / slope), slope=slope, stabiliser_slope=effective)


@model(source="Etkin & Reid 1996, Dynamics of Flight, section 2.3")
def static_margin(*, neutral_point: Array, centre_ahead: Array, chord: Array) -> Array:
    """Return the static margin: how far the centre of mass lies ahead of the neutral point.

    Parameters
    ----------
    neutral_point : (...) array
        Distance behind the wing's quarter chord [m].
    centre_ahead : (...) array
        Centre of mass of craft and rider ahead of the wing's quarter chord [m].
    chord : (...) array
        Mean chord of the wing [m].

    Returns
    -------
    (...) array
        Share of the mean chord [-]; positive is stable.
    """
    return np.asarray((neutral_point + centre_ahead) / chord)


@model(source="Etkin & Reid 1996, Dynamics of Flight, section 2.3")
def moment_slope(
    *,
    slope: Array,
    wing_area: Array,
    dynamic_pressure: Array,
    neutral_point: Array,
    centre_ahead: Array,
) -> Array:
    """Return the nose-up moment about the centre of mass per rad of incidence.

    Parameters
    ----------
    slope : (...) array
        Lift curve slope of the whole craft on the wing's area [1/rad].
    wing_area : (...) array
        Plan area of the wing [m^2].
    dynamic_pressure : (...) array
        Of the free stream [Pa].
    neutral_point : (...) array
        Distance behind the wing's quarter chord [m].
    centre_ahead : (...) array
        Centre of mass ahead of the wing's quarter chord [m].

    Returns
    -------
    (...) array
        Moment slope [N*m/rad]; negative is stable.
    """
    return np.asarray(-dynamic_pressure * wing_area * slope * (neutral_point + centre_ahead))


@model(
    source="Etkin & Reid 1996, Dynamics of Flight, section 2.2; habitual values Raymer, Aircraft Design",
    valid={"arm": (1e-6, 10.0, "the stabiliser is not behind the wing")},
)
def volume_coefficient(*, stabiliser_area: Array, arm: Array, wing_area: Array, chord: Array) -> Array:
    """Return the volume coefficient of the stabiliser.

    Parameters
    ----------
    stabiliser_area, wing_area : (...) arrays
        Plan areas [m^2].
    arm : (...) array
        From the wing's quarter chord back to the stabiliser's [m].
    chord : (...) array
        Mean chord of the wing [m].

    Returns
    -------
    (...) array
        Volume coefficient [-].
    """
    return np.asarray(stabiliser_area * arm / (wing_area * chord))


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """Balance in flight at given speeds.

    ``incidence`` of the wing from its zero-lift line [rad]; ``wing_lift`` and ``stabiliser_lift`` [N];
    ``centre_ahead``: centre of mass of craft and rider ahead of the wing's quarter chord [m].
    """

    incidence: Array
    wing_lift: Array
    stabiliser_lift: Array
    centre_ahead: Array
    outside: Mask


@model(
    source="Etkin & Reid 1996, Dynamics of Flight, sections 2.2-2.4, with the levers of thrust and drag",
    valid={"incidence": (-0.21, 0.21, "beyond the straight part of the lift curve")},
)
def trim_in_flight(
    *,
    weight: Array,
    speed: Array,
    density: Array,
    wing_area: Array,
    wing_slope: Array,
    wing_chord: Array,
    wing_moment: Array,
    stabiliser_area: Array,
    stabiliser_slope: Array,
    arm: Array,
    decalage: Array,
    downwash_slope: Array,
    thrust: Array,
    thrust_height: Array,
    drag_moment: Array,
    downwash_offset: Array | float = 0.0,
    efficiency: Array | float = 1.0,
    flexibility: Array | float = 0.0,
    stabiliser_chord: Array | float = 0.0,
    stabiliser_moment: Array | float = 0.0,
) -> Trim:
    r"""Return incidence, lifts and the centre of mass that balance the craft in flight.

    Heights and levers are from the wing's quarter chord.

    Parameters
    ----------
    weight : (...) array
        What the foils carry: weight of craft and rider less the buoyancy of the wet parts [N].
    speed : (...) array
        Through the water [m/s].
    density : (...) array
        Of the water [kg/m^3].
    wing_area, stabiliser_area : (...) arrays
        Plan areas [m^2].
    wing_slope, stabiliser_slope : (...) arrays
        Lift curve slopes as mounted [1/rad].
    wing_chord, stabiliser_chord : (...) arrays
        Mean chords [m].
    wing_moment, stabiliser_moment : (...) arrays
        Moment coefficients at zero lift about the quarter chord, nose-up positive [-].
    arm : (...) array
        From the wing's quarter chord back to the stabiliser's [m].
    decalage : (...) array
        Zero-lift line of the stabiliser less that of the wing, negative as a rule [rad].
    downwash_slope, downwash_offset : (...) arrays
        Downwash at the stabiliser per incidence of the wing [-] and at zero incidence [rad].
    thrust : (...) array
        Thrust [N].
    thrust_height : (...) array
        Height of the thrust line [m].
    drag_moment : (...) array
        Sum of every drag times its height [N*m].
    efficiency : (...) array
        Dynamic pressure at the stabiliser over that of the free stream [-].
    flexibility : (...) array
        Incidence lost at the stabiliser per newton of its lift [rad/N].

    Returns
    -------
    Trim
        (...) arrays: incidence [rad], wing_lift [N], stabiliser_lift [N], centre_ahead [m].

    Notes
    -----
    .. math:: L_s = \eta q S_s a_s' [\alpha (1 - \epsilon_1) + d - \epsilon_0], \quad
        q S_w a_w \alpha + L_s = W

    .. math:: W x_g = q S_w c\, c_{m0} + \eta q S_s c_s c_{m0,s} - L_s l_s - T z_T + \sum D_i z_i
    """
    pressure = 0.5 * density * speed * speed
    wing = pressure * wing_area * wing_slope
    soft = _soft_slope(efficiency * stabiliser_slope, stabiliser_area, pressure, flexibility)
    tail = pressure * stabiliser_area * soft
    offset = decalage - downwash_offset
    incidence = np.asarray((weight - tail * offset) / (wing + tail * (1.0 - downwash_slope)))
    stabiliser_lift = np.asarray(tail * (incidence * (1.0 - downwash_slope) + offset))
    sections = wing_area * wing_chord * wing_moment
    sections = sections + efficiency * stabiliser_area * stabiliser_chord * stabiliser_moment
    moment = pressure * sections - stabiliser_lift * arm - thrust * thrust_height + drag_moment
    return Trim(
        incidence=incidence,
        wing_lift=np.asarray(wing * incidence),
        stabiliser_lift=stabiliser_lift,
        centre_ahead=np.asarray(moment / weight),
        outside=trim_in_flight.mask(incidence=incidence),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RiggingShift:
    """What a rigging error costs in flight.

    ``rider``: shift of the rider's support point forward per rad of decalage [m/rad]; ``attitude``:
    change of the wing's incidence, and so of the board's attitude, per rad of decalage [rad/rad].
    """

    rider: Array
    attitude: Array


@model(source="Derivative of trim_in_flight with respect to the decalage")
def rigging_shift(
    *,
    speed: Array,
    density: Array,
    wing_area: Array,
    wing_slope: Array,
    stabiliser_area: Array,
    stabiliser_slope: Array,
    arm: Array,
    downwash_slope: Array,
    rider_weight: Array,
) -> RiggingShift:
    r"""Return how far an error of the stabiliser's angle moves the rider, in flight.

    A packer under the stabiliser changes the decalage by its angle; one under the wing by the
    opposite; one between fuselage and mast turns the board only (rider 0, attitude -1).

    Parameters
    ----------
    speed : (...) array
        Through the water [m/s].
    density : (...) array
        Of the water [kg/m^3].
    wing_area, stabiliser_area : (...) arrays
        Plan areas [m^2].
    wing_slope, stabiliser_slope : (...) arrays
        Lift curve slopes as mounted, the stabiliser's with wake and bending [1/rad].
    arm : (...) array
        From the wing's quarter chord back to the stabiliser's [m].
    downwash_slope : (...) array
        Downwash at the stabiliser per incidence of the wing [-].
    rider_weight : (...) array
        Weight of the rider [N].

    Returns
    -------
    RiggingShift
        (...) arrays: rider [m/rad], attitude [rad/rad].

    Notes
    -----
    .. math:: \frac{dx_r}{dd} = -\frac{l_s}{W_r}
        \frac{q S_s a_s S_w a_w}{S_w a_w + S_s a_s (1 - \epsilon_1)}
    """
    pressure = 0.5 * density * speed * speed
    wing = wing_area * wing_slope
    tail = stabiliser_area * stabiliser_slope
    whole = wing + tail * (1.0 - downwash_slope)
    return RiggingShift(
        rider=np.asarray(-arm * pressure * tail * wing / (whole * rider_weight)),
        attitude=np.asarray(-tail / whole),
    )
