"""Bonds, pegs, pins, sockets, inserts, and rods that hold printed lengths together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model


@dataclass(frozen=True, slots=True, kw_only=True)
class Lap:
    """A bonded lap."""

    mean: Array
    """mean shear stress [Pa]."""
    peak: Array
    """peak shear stress at the ends [Pa]."""
    transfer: Array
    """transfer, length over which the load passes; laps beyond five of it gain nothing [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Socket:
    """A tube or tongue held in a socket by its two ends."""

    couple_force: Array
    """couple_force, each of the two that hold the moment, the cross force added to one [N]."""
    pressure: Array
    """pressure, greatest bearing on the width of the part [Pa]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """A cross pin."""

    shear: Array
    """shear stress of the pin [Pa]."""
    bearing: Array
    """bearing pressure on the inner part [Pa]."""
    bending: Array
    """bending stress of the pin [Pa]."""


@model(source="Volkersen 1938: like adherends, shear only")
def lap_bond(
    *,
    load: Array,
    width: Array,
    length: Array,
    thickness: Array,
    modulus: Array,
    glue_thickness: Array,
    glue_shear_modulus: Array,
) -> Lap:
    r"""Return mean and peak shear stress in the glue of a lap.

    Parameters
    ----------
    load : float or array
        Force along the lap [N].
    width, length : float or array
        Of the glued area, the length along the force [m].
    thickness : float or array
        Of each part [m].
    modulus : float or array
        Young's modulus of the parts [Pa].
    glue_thickness : float or array
        Thickness of the glue [m].
    glue_shear_modulus : float or array
        Shear modulus of the glue: epoxy about 1e9 [Pa].

    Returns
    -------
    Lap
        Fields with their units in the class [SI]. Peel is not in it: a lap that can bend peels first.

    Notes
    -----
    .. math:: \omega^2 = \frac{2 G l^2}{E t t_a}, \quad \tau_{max}/\tau_m = \frac{\omega}{2} \coth\frac{\omega}{2}
    """
    length = np.asarray(length, dtype=np.float64)
    transfer = np.sqrt(modulus * np.asarray(thickness) * glue_thickness / (2.0 * np.asarray(glue_shear_modulus)))
    half = 0.5 * length / transfer
    mean = load / (width * length)
    return Lap(mean=mean, peak=mean * half / np.tanh(half), transfer=transfer)


@model(source="shear on the circumference times a share for uneven load; hobby and laboratory pull-out tests")
def insert_pull_out(*, diameter: Array, length: Array, shear_strength: Array, share: Array | float = 0.5) -> Array:
    r"""Return the mean force that pulls a threaded insert, or a thread, out of its host.

    Parameters
    ----------
    diameter : float or array
        Outer diameter of the insert [m].
    length : float or array
        Its length in the host [m].
    shear_strength : float or array
        Of the host, in its weakest direction: prints about half their tension across the layers [Pa].
    share : float or array
        What of the circumference works [-].

    Returns
    -------
    array
        Mean pull-out force; a quarter of it for design [N].

    Notes
    -----
    .. math:: F = k \pi D L \tau
    """
    out: Array = share * np.pi * np.asarray(diameter) * length * shear_strength
    return out


@model(source="bond of both faces and shear of the core around an insert, the weaker way each")
def board_insert(
    *,
    width: Array,
    length: Array,
    core_thickness: Array,
    bond_strength: Array,
    core_shear_strength: Array,
    skin_overlap: Array,
    skin_strength: Array,
) -> Array:
    """Return the force that pulls a plywood plate or block out of a foam board.

    Parameters
    ----------
    width, length : float or array
        Of the insert [m].
    core_thickness : float or array
        Depth of the insert in the foam [m].
    bond_strength : float or array
        Of its glued face, in tension: the weaker of glue and foam [Pa].
    core_shear_strength : float or array
        Shear strength of the foam around it [Pa].
    skin_overlap : float or array
        How far the skin laps over it on all sides, 0 for none [m].
    skin_strength : float or array
        Shear strength of the bond of that lap [Pa].

    Returns
    -------
    array
        Pull-out force: foam face and rim, and the skin's lap where there is one [N].
    """
    rim = 2.0 * (np.asarray(width, dtype=np.float64) + length)
    face = np.asarray(width) * length * bond_strength
    out: Array = face + rim * core_thickness * core_shear_strength + rim * skin_overlap * skin_strength
    return out


@model(source="couple over 0.7 of the engagement, straight-line bearing over each half")
def socket(*, moment: Array, cross_force: Array, engagement: Array, width: Array) -> Socket:
    r"""Return what a tube or tongue presses against its socket.

    Parameters
    ----------
    moment : float or array
        Bending moment at the mouth of the socket [N*m].
    cross_force : float or array
        Cross force there [N].
    engagement : float or array
        Length in the socket [m].
    width : float or array
        Width of the part square to the force [m].

    Returns
    -------
    Socket
        Fields with their units in the class [SI].

    Notes
    -----
    .. math:: F = \frac{|M|}{0.7 L} + |V|, \quad p = \frac{4 F}{w L}

    A triangle over half the length carries each force: its peak is four times the mean over the whole.
    """
    depth = np.asarray(engagement, dtype=np.float64)
    force = np.abs(moment) / (0.7 * depth) + np.abs(cross_force)
    return Socket(couple_force=force, pressure=4.0 * force / (width * depth))


@model(source="Shigley, Mechanical Engineering Design, 9th ed., sec. 8-12; bending: evenly loaded half lengths")
def pin(*, force: Array, diameter: Array, inner_width: Array, outer_width: Array) -> Pin:
    """Return shear, bearing and bending of a pin through a part and the two cheeks around it.

    Parameters
    ----------
    force : float or array
        Force across the pin [N].
    diameter : float or array
        Diameter of the pin [m].
    inner_width : float or array
        Width of the part in the middle [m].
    outer_width : float or array
        Width of each cheek [m].

    Returns
    -------
    Pin
        Stress in two cuts, bearing in the middle, bending as a loose fit has it [Pa].
    """
    d = np.asarray(diameter, dtype=np.float64)
    arm = 0.25 * np.asarray(inner_width, dtype=np.float64) + 0.5 * np.asarray(outer_width)
    return Pin(
        shear=2.0 * force / (np.pi * d * d),
        bearing=force / (d * inner_width),
        bending=16.0 * force * arm / (np.pi * d * d * d),
    )


@model(source="a pressed joint opens where bending lifts the pressure of its rods; plane joint, no glue")
def opening_moment(*, preload: Array, area: Array, section_modulus: Array, axial_force: Array | float = 0.0) -> Array:
    r"""Return the moment at which a joint between printed lengths opens.

    Parameters
    ----------
    preload : float or array
        Sum of the preload of the rods or bolts that is left [N].
    area : float or array
        Area of the joint's face that touches [m^2].
    section_modulus : float or array
        Second moment of that face over its outer fibre [m^3].
    axial_force : float or array
        Pull along the part, negative for a thrust [N].

    Returns
    -------
    array
        Moment, 0 where nothing is left [N*m].

    Notes
    -----
    .. math:: M_0 = (F - N) W / A
    """
    left = np.maximum(np.asarray(preload, dtype=np.float64) - axial_force, 0.0)
    out: Array = left * section_modulus / area
    return out


@model(source="plane bond in bending, shear and torsion: stress of the joint's own section, weakest link")
def bonded_joint(
    *, moment: Array, section_modulus: Array, shear_stress: Array, bond_tension: Array, bond_shear: Array
) -> Array:
    r"""Return how much of its strength a butt joint between printed lengths uses.

    Parameters
    ----------
    moment : float or array
        Bending moment that the glue and not rods carry [N*m].
    section_modulus : float or array
        Of the glued face [m^3].
    shear_stress : float or array
        Shear stress of the glued face [Pa].
    bond_tension, bond_shear : float or array
        Strength of the bond, or of the print beside it if that is less [Pa].

    Returns
    -------
    array
        Utilisation, 1 is failure [-].
    """
    pull = np.abs(moment) / (np.asarray(section_modulus) * bond_tension)
    slide = np.asarray(shear_stress) / bond_shear
    out: Array = np.sqrt(pull * pull + slide * slide)
    return out
