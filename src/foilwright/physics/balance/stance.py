"""Balance in pitch: where the rider must stand, and what moves that place.

x forward from the tail, z up from the bottom at the tail, moments nose-up positive. In steady riding
the craft feels the rider as his weight at a point of support on the deck and his air drag at deck
height; how far he leans to bring his own centre of mass into line is `body_lean`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array, model
from foilwright.physics.water import GRAVITY

Flag = npt.NDArray[np.bool_]


@model(source="Statics: moment of a force in the plane of symmetry about the origin")
def pitching_moment(*, place: Array, height: Array, forward: Array, upward: Array) -> Array:
    r"""Return the nose-up moment of a force about the origin.

    Parameters
    ----------
    place, height : (...) arrays
        Where the force acts: x forward and z up from the origin [m].
    forward, upward : (...) arrays
        Components of the force [N].

    Returns
    -------
    (...) array
        Nose-up moment [N*m].

    Notes
    -----
    .. math:: M = x F_z - z F_x
    """
    return np.asarray(place * upward - height * forward)


@model(source="Statics: rider as a vertical reaction at the deck with his air drag at deck height")
def rider_place(*, moment: Array, rider_weight: Array, rider_drag: Array, deck_height: Array) -> Array:
    r"""Return where the rider's support point must be for balance in pitch.

    Parameters
    ----------
    moment : (...) array
        Nose-up moment about the origin of every force on the craft except those that the rider
        hands to it: weights, buoyancy, lifts, drags, thrust, board load [N*m].
    rider_weight : (...) array
        Weight of the rider with what he wears [N].
    rider_drag : (...) array
        Air drag of the rider's body [N].
    deck_height : (...) array
        Height of the deck where he stands above the origin [m].

    Returns
    -------
    (...) array
        x of the support point, forward of the origin [m].

    Notes
    -----
    .. math:: M + z_d D_r - W_r x_r = 0

    The upper lever of his air drag does not appear: it decides how he leans (`body_lean`).
    """
    return np.asarray((moment + deck_height * rider_drag) / rider_weight)


@model(source="Statics of the rider's body about his support point, with d'Alembert's inertia force")
def body_lean(
    *, rider_mass: Array, centre_height: Array, rider_drag: Array, drag_height: Array, acceleration: Array
) -> Array:
    r"""Return how far the rider's centre of mass must be ahead of his support point.

    Parameters
    ----------
    rider_mass : (...) array
        Rider with what he wears [kg].
    centre_height, drag_height : (...) arrays
        Height above the deck of his centre of mass and of his air drag [m].
    rider_drag : (...) array
        Air drag of his body [N].
    acceleration : (...) array
        Forward acceleration of the craft [m/s^2].

    Returns
    -------
    (...) array
        Forward distance of the centre of mass from the support point [m].

    Notes
    -----
    .. math:: x_g - x_r = \frac{D_r z_a + m_r a z_g}{m_r g}
    """
    overturning = rider_drag * drag_height + rider_mass * acceleration * centre_height
    return np.asarray(overturning / (rider_mass * GRAVITY))


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardLoad:
    """What the bottom carries: ``load`` [N], its ``place`` [m], and whether it carries anything."""

    load: Array
    place: Array
    carried: Flag


@model(source="Moments about the tail of a board with its thrust far below, small angles")
def load_point(
    *,
    weight: Array,
    weight_place: Array,
    foil_lift: Array,
    foil_place: Array,
    thrust_excess: Array,
    thrust_depth: Array,
    air_drag: Array,
    air_height: Array,
) -> BoardLoad:
    r"""Return the load on the bottom of the board and where the water must carry it.

    Parameters
    ----------
    weight, foil_lift : (...) arrays
        Whole weight less the buoyancy of the wet parts, and lift of all foils [N].
    weight_place, foil_place : (...) arrays
        x of the weight and of the lift, forward of the tail [m].
    thrust_excess : (...) array
        Thrust less the drag of foils, mast and pod, taken at one depth [N].
    thrust_depth : (...) array
        Depth of that force below the bottom [m].
    air_drag : (...) array
        Air drag of rider and board [N].
    air_height : (...) array
        Its height above the bottom [m].

    Returns
    -------
    BoardLoad
        (...) arrays: load [N], place [m] (NaN where nothing is carried), carried [-].

    Notes
    -----
    .. math:: x_b = \frac{W x_g - L_f x_f - (T - D_f) h - D_a z_a}{W - L_f}
    """
    load = np.asarray(weight - foil_lift)
    carried = load > 0.0
    nose_down = weight * weight_place - foil_lift * foil_place
    nose_up = thrust_excess * thrust_depth + air_drag * air_height
    place = np.where(carried, (nose_down - nose_up) / np.where(carried, load, 1.0), np.nan)
    return BoardLoad(load=load, place=place, carried=carried)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThrustShift:
    """What a surplus of thrust asks of the rider.

    ``acceleration`` [m/s^2]; ``support``: how far the support point moves forward [m]; ``body``: how
    far the centre of mass of his body moves forward [m].
    """

    acceleration: Array
    support: Array
    body: Array


def _levers(
    thrust_height: Array,
    craft_mass: Array,
    craft_height: Array,
    rider_mass: Array,
    rider_height: Array,
) -> Array:
    """Return the height at which the inertia acts, less the height of the thrust [m]."""
    mass = craft_mass + rider_mass
    return np.asarray((craft_mass * craft_height + rider_mass * rider_height) / mass - thrust_height)


@model(source="Dynamics: d'Alembert's forces of craft and rider against a surplus of thrust")
def thrust_excess_shift(
    *,
    excess: Array,
    thrust_height: Array,
    craft_mass: Array,
    craft_height: Array,
    rider_mass: Array,
    deck_height: Array,
    centre_height: Array,
) -> ThrustShift:
    r"""Return how far the rider moves forward when the thrust exceeds the drag.

    Heights are above any one level, such as the bottom of the board.

    Parameters
    ----------
    excess : (...) array
        Thrust less all drag [N].
    thrust_height : (...) array
        Height of the thrust line, negative below the bottom [m].
    craft_mass, rider_mass : (...) arrays
        Masses [kg].
    craft_height, deck_height, centre_height : (...) arrays
        Heights of the craft's centre of mass, of the deck, and of the rider's centre of mass [m].

    Returns
    -------
    ThrustShift
        (...) arrays: acceleration [m/s^2], support [m], body [m].

    Notes
    -----
    The craft accelerates by :math:`a = \Delta T/(m_c + m_r)`. About the origin the surplus gives
    :math:`-z_T \Delta T`; the inertia of the craft :math:`z_c m_c a`; that of the rider reaches the
    craft through his feet and gives :math:`z_d m_r a`. The rider's weight must balance the sum:

    .. math:: \Delta x_r = \frac{\Delta T}{m_r g}
        \left(\frac{m_c z_c + m_r z_d}{m_c + m_r} - z_T\right)

    His own body must lean :math:`a (z_g - z_d)/g` further, which puts :math:`z_g` in place of
    :math:`z_d`. The shift is counted from the steady balance without the surplus; where `rider_place`
    was already given the full thrust, only the inertia is missing: ``thrust_height = 0``.
    """
    support = _levers(thrust_height, craft_mass, craft_height, rider_mass, deck_height)
    body = _levers(thrust_height, craft_mass, craft_height, rider_mass, centre_height)
    share = excess / (rider_mass * GRAVITY)
    return ThrustShift(
        acceleration=np.asarray(excess / (craft_mass + rider_mass)),
        support=np.asarray(share * support),
        body=np.asarray(share * body),
    )


@model(source="Inverse of thrust_excess_shift")
def excess_held(
    *,
    reach: Array,
    thrust_height: Array,
    craft_mass: Array,
    craft_height: Array,
    rider_mass: Array,
    rider_height: Array,
) -> Array:
    """Return the largest surplus of thrust over drag that a forward reach can hold down.

    At the release the drag of the hull vanishes at once: the thrust then may exceed the drag of what
    stays in the water by this much. Heights are above any one level.

    Parameters
    ----------
    reach : (...) array
        How far forward the rider can still go from the steady balance [m].
    thrust_height : (...) array
        Height of the thrust line, negative below the bottom [m].
    craft_mass, rider_mass : (...) arrays
        Masses [kg].
    craft_height : (...) array
        Height of the craft's centre of mass [m].
    rider_height : (...) array
        Height of the deck where ``reach`` counts the support point, of the rider's centre of mass
        where it counts his body [m].

    Returns
    -------
    (...) array
        Surplus of thrust [N]; infinite where the thrust line is so high that none lifts the nose.
    """
    lever = _levers(thrust_height, craft_mass, craft_height, rider_mass, rider_height)
    lifts = lever > 0.0
    held = np.maximum(reach, 0.0) * rider_mass * GRAVITY / np.where(lifts, lever, 1.0)
    return np.where(lifts, held, np.inf)


@model(source="Statics: lift moved from the bottom of the board to a foil by its angle")
def rigging_shift_afloat(
    *,
    speed: Array,
    density: Array,
    area: Array,
    slope: Array,
    foil_place: Array,
    load_place: Array,
    rider_weight: Array,
) -> Array:
    r"""Return how far an error of a foil's angle moves the rider while the board still floats.

    Parameters
    ----------
    speed : (...) array
        Through the water [m/s].
    density : (...) array
        Of the water [kg/m^3].
    area : (...) array
        Plan area of the foil [m^2].
    slope : (...) array
        Its lift curve slope as mounted [1/rad].
    foil_place, load_place : (...) arrays
        x of the foil's quarter chord and of the load on the bottom, which keeps its place [m].
    rider_weight : (...) array
        Weight of the rider [N].

    Returns
    -------
    (...) array
        Shift of the rider's support point forward per rad of the foil's angle [m/rad].

    Notes
    -----
    .. math:: \frac{dx_r}{d\alpha} = \frac{q S a (x_f - x_b)}{W_r}
    """
    force = 0.5 * density * speed * speed * area * slope
    return np.asarray(force * (foil_place - load_place) / rider_weight)
