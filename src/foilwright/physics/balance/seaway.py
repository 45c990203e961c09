"""Chop and turns: the gusts that waves give a foil, length of mast, bank and side-slip."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model
from foilwright.physics.water import GRAVITY


@dataclass(frozen=True, slots=True, kw_only=True)
class Gust:
    """Disturbance by a wave: ``orbital_speed`` [m/s], ``incidence`` [rad], ``lift_change`` [N]."""

    orbital_speed: Array
    incidence: Array
    lift_change: Array


@model(source="Airy 1845, deep-water wave; quasi-steady lift")
def wave_gust(
    *, height: Array, period: Array, depth: Array, speed: Array, density: Array, area: Array, slope: Array
) -> Gust:
    r"""Return the largest change of incidence and lift as a foil passes under a wave.

    Parameters
    ----------
    height : (...) array
        Height of the wave, trough to crest [m].
    period : (...) array
        Its period for one who stands still [s].
    depth : (...) array
        Of the foil below the still surface [m].
    speed : (...) array
        Through the water [m/s].
    density : (...) array
        Of the water [kg/m^3].
    area : (...) array
        Plan area of the foil [m^2].
    slope : (...) array
        Its lift curve slope [1/rad].

    Returns
    -------
    Gust
        (...) arrays: orbital_speed [m/s], incidence [rad], lift_change [N].

    Notes
    -----
    .. math:: w = \tfrac{H}{2} \omega e^{-k h}, \quad k = \omega^2/g, \quad
        \Delta\alpha = w/V, \quad \Delta L = q S a \Delta\alpha
    """
    rate = 2.0 * np.pi / np.asarray(period)
    orbital = np.asarray(0.5 * height * rate * np.exp(-rate * rate * depth / GRAVITY))
    return Gust(
        orbital_speed=orbital,
        incidence=np.asarray(orbital / speed),
        lift_change=np.asarray(0.5 * density * speed * area * slope * orbital),
    )


@model(source="Common practice: least depth of the wing, highest wave, clearance of the board, control band")
def mast_length(*, chord: Array, highest: Array, clearance: Array, control_band: Array) -> Array:
    r"""Return the length of mast that a chop asks for.

    Parameters
    ----------
    chord : (...) array
        Mean chord of the wing [m].
    highest : (...) array
        Highest wave, trough to crest [m].
    clearance : (...) array
        Air between crest and board, 0.08 to 0.10 usual [m].
    control_band : (...) array
        Height over which the rider wanders, 0.15 to 0.20 usual [m].

    Returns
    -------
    (...) array
        From the bottom of the board to the wing [m].

    Notes
    -----
    .. math:: L = \max(c, 0.12) + H_{max} + e + b
    """
    return np.asarray(np.maximum(chord, 0.12) + highest + clearance + control_band)


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """A level turn without side-slip: ``bank`` [rad], ``load_factor`` lift over weight [-]."""

    bank: Array
    load_factor: Array
    outside: Mask


@model(
    source="Mechanics: level coordinated turn",
    valid={"bank": (0.0, 0.9, "banked so far that the wing tip leaves the water")},
)
def turn(*, speed: Array, radius: Array) -> Turn:
    r"""Return the bank and the load of a level turn.

    Parameters
    ----------
    speed : (...) array
        Along the path [m/s].
    radius : (...) array
        Of the path [m].

    Returns
    -------
    Turn
        (...) arrays: bank [rad], load_factor [-].

    Notes
    -----
    .. math:: \tan\varphi = V^2/(g R), \quad n = 1/\cos\varphi
    """
    tangent = np.asarray(speed * speed / (GRAVITY * radius))
    bank = np.arctan(tangent)
    return Turn(bank=bank, load_factor=np.sqrt(1.0 + tangent * tangent), outside=turn.mask(bank=bank))


@model(
    source="Mechanics: side force of an uncoordinated turn on the mast as a lifting strut",
    valid={"slope": (0.1, 6.3, "no side-force slope of a strut")},
)
def sideslip(
    *,
    speed: Array,
    radius: Array,
    bank: Array,
    mass: Array,
    density: Array,
    mast_area: Array,
    slope: Array,
) -> Array:
    r"""Return the side-slip that the mast needs in a turn at a given bank.

    Parameters
    ----------
    speed : (...) array
        Along the path [m/s].
    radius : (...) array
        Of the path [m].
    bank : (...) array
        Bank into the turn, 0 upright [rad].
    mass : (...) array
        Craft and rider [kg].
    density : (...) array
        Of the water [kg/m^3].
    mast_area : (...) array
        Wet side area of mast and pod [m^2].
    slope : (...) array
        Side-force slope of the mast [1/rad].

    Returns
    -------
    (...) array
        Side-slip [rad], positive where the bank is too small.

    Notes
    -----
    .. math:: \beta = \frac{m (V^2 \cos\varphi/R - g \sin\varphi)}{q S_m a_m}
    """
    force = mass * (speed * speed / radius * np.cos(bank) - GRAVITY * np.sin(bank))
    return np.asarray(force / (0.5 * density * speed * speed * mast_area * slope))
