"""Blades, shear pin, nut, thrust bearing, and which way the thrust points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model


@dataclass(frozen=True, slots=True, kw_only=True)
class BladeStress:
    """Stresses at the root of a blade [Pa] and the bending moment about its chord [N m].

    ``face`` is tension on the pressure side with the centrifugal part, ``back`` compression.
    """

    moment: Array
    bending_face: Array
    bending_back: Array
    centrifugal: Array
    face: Array
    back: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingLoad:
    """Axial loads that the thrust bearing must take going ahead and astern [N]."""

    ahead: Array
    astern: Array


@model(
    source="beam model with load centroids at 0.70 R and 0.66 R (Carlton); flat-faced parabolic section",
    valid={"root_ratio": (0.15, 0.5, "the root lies outside 0.15 to 0.5 of the radius")},
)
def blade_stress(
    *,
    thrust: Array,
    torque: Array,
    blades: Array,
    diameter: Array,
    pitch_ratio: Array,
    root_radius: Array,
    chord: Array,
    thickness: Array,
    blade_mass: Array,
    mass_radius: Array,
    shaft_speed: Array,
) -> BladeStress:
    r"""Return the stresses at the root of one blade.

    Parameters
    ----------
    thrust : (...,) array
        Thrust of the propeller [N].
    torque : (...,) array
        Torque of the propeller [N m].
    blades : (...,) array
        Number of blades [-].
    diameter : (...,) array
        Diameter [m].
    pitch_ratio : (...,) array
        Pitch over diameter [-].
    root_radius : (...,) array
        Radius of the section looked at [m].
    chord, thickness : (...,) arrays
        Of that section [m].
    blade_mass : (...,) array
        Mass of one blade outside the section [kg].
    mass_radius : (...,) array
        Radius of its centre of mass [m].
    shaft_speed : (...,) array
        Angular speed [rad/s].

    Returns
    -------
    BladeStress
        Moment [N m] and stresses [Pa].

    Notes
    -----
    .. math:: M = \frac{T}{Z}(0.70 R - r_0) \cos\varphi
        + \frac{Q}{Z} \frac{0.66 R - r_0}{0.66 R} \sin\varphi, \quad \tan\varphi = \frac{P/D}{\pi r_0/R}

    Section moduli 4/35 and 8/105 of chord times thickness squared (face, back).
    """
    radius = 0.5 * np.asarray(diameter)
    from_thrust = thrust / blades * (0.70 * radius - root_radius)
    from_torque = torque / blades * (0.66 * radius - root_radius) / (0.66 * radius)
    run = np.pi * root_radius / radius
    slant = np.sqrt(pitch_ratio * pitch_ratio + run * run)
    moment = (from_thrust * run + from_torque * pitch_ratio) / slant
    modulus = chord * thickness * thickness
    face, back = moment * (35.0 / 4.0) / modulus, moment * (105.0 / 8.0) / modulus
    pull = blade_mass * mass_radius * shaft_speed * shaft_speed / (2.0 / 3.0 * chord * thickness)
    return BladeStress(
        moment=np.asarray(moment),
        bending_face=np.asarray(face),
        bending_back=np.asarray(back),
        centrifugal=np.asarray(pull),
        face=np.asarray(face + pull),
        back=np.asarray(np.maximum(back - pull, 0.0)),
        outside=blade_stress.mask(root_ratio=root_radius / radius),
    )


@model(source="uniform cantilever under a uniform load: end deflection M L^2/(4 E I)")
def tip_deflection(*, moment: Array, length: Array, chord: Array, thickness: Array, modulus: Array) -> Array:
    r"""Return the static deflection of a blade tip, for a blade as stout as its root all along.

    A real blade thins towards the tip and bends more: treat the number as a lower bound.

    Parameters
    ----------
    moment : (...,) array
        Bending moment at the root [N m].
    length : (...,) array
        Length of the blade from root to tip [m].
    chord, thickness : (...,) arrays
        Of the root section [m].
    modulus : (...,) array
        Young's modulus of the blade [Pa].

    Returns
    -------
    (...,) array
        Deflection of the tip [m].

    Notes
    -----
    .. math:: I = \tfrac{8}{175} c t^3
    """
    inertia = 8.0 / 175.0 * chord * thickness * thickness * thickness
    return np.asarray(moment * length * length / (4.0 * modulus * inertia))


@model(source="pin in double shear through a shaft")
def shear_pin(*, shear_strength: Array, pin_diameter: Array, shaft_diameter: Array) -> Array:
    r"""Return the torque at which a shear pin breaks.

    Parameters
    ----------
    shear_strength : (...,) array
        Shear strength of the pin [Pa].
    pin_diameter, shaft_diameter : (...,) arrays
        Of the pin and of the shaft it crosses [m].

    Returns
    -------
    (...,) array
        Torque [N m].

    Notes
    -----
    .. math:: Q = \tau \frac{\pi d_p^2}{4} d_s
    """
    area = 0.25 * np.pi * np.asarray(pin_diameter) ** 2
    return np.asarray(shear_strength * area * shaft_diameter)


@model(source="friction of hub on nut: the paired spindles of a bench grinder follow the same rule")
def nut_hand(*, turns: Array) -> Array:
    """Return the hand of thread that the running torque tightens.

    A shaft that turns clockwise seen from the nut's end takes a left-hand thread. Braking and
    reverse loosen it: a positive lock is needed as well.

    Parameters
    ----------
    turns : (n,) array
        +1 where the shaft going ahead turns clockwise seen from the nut's end, -1 otherwise [-].

    Returns
    -------
    (n,) array
        +1 right-hand thread, -1 left-hand thread [-].
    """
    return np.asarray(-np.sign(np.asarray(turns, dtype=np.float64)))


@model(source="definition: a right-hand propeller turns clockwise seen from astern when it drives ahead")
def thrust_sense(*, turns: Array, hand: Array, swaps: Array) -> Array:
    """Return which way the thrust points; each swap of two phase wires reverses the motor.

    Parameters
    ----------
    turns : (n,) array
        +1 where the shaft as first wired turns clockwise seen from astern, -1 otherwise [-].
    hand : (n,) array
        +1 right-hand propeller, -1 left-hand [-].
    swaps : (n,) array
        Number of swaps of two phase wires [-].

    Returns
    -------
    (n,) array
        +1 ahead, -1 astern [-].
    """
    reversed_once = 1.0 - 2.0 * np.mod(np.asarray(swaps, dtype=np.float64), 2.0)
    return np.asarray(np.sign(turns) * np.sign(hand) * reversed_once)


@model(source="thrust ahead; astern at least half of it (common practice)")
def thrust_bearing_load(*, thrust: Array, astern_share: Array) -> BearingLoad:
    """Return the axial loads of the thrust bearing.

    Parameters
    ----------
    thrust : (...,) array
        Largest thrust going ahead [N].
    astern_share : (...,) array
        Thrust astern over thrust ahead, 0.5 or more [-].

    Returns
    -------
    BearingLoad
        ``ahead`` and ``astern`` [N].
    """
    ahead = np.asarray(thrust, dtype=np.float64)
    return BearingLoad(ahead=ahead, astern=np.asarray(ahead * astern_share))
