"""Passage in speed: time and way to take-off, coasting down, and the yardsticks of a day's trials."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array, model
from foilwright.physics.water import GRAVITY

Flag = npt.NDArray[np.bool_]
Code = npt.NDArray[np.int8]

REACHED, HELD_BACK, OFF_THE_GRID, NO_VALUE = 0, 1, 2, 3
"""Why a passage has no time: thrust does not exceed resistance; speeds not covered; no thrust known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Passage:
    """From one speed to another.

    ``time`` [s], ``distance`` [m] and electric ``energy`` [J], NaN where not ``found``; ``why`` is the
    code; ``held_at``: first speed at which thrust no longer exceeds resistance, else the end [m/s];
    ``least_excess`` of thrust over resistance on the way [N], NaN where there is no value.
    """

    time: Array
    distance: Array
    energy: Array
    found: Flag
    why: Code
    held_at: Array
    least_excess: Array


@model(source="Equation of motion m dV/dt = T - R in V; excess linear between nodes, integrated exactly")
def time_and_distance(
    *,
    speed: Array,
    thrust: Array,
    resistance: Array,
    mass: Array,
    start: Array,
    end: Array,
    electric_power: Array | float = 0.0,
) -> Passage:
    r"""Return the time, way and energy to pass from one speed to a higher one.

    Parameters
    ----------
    speed : (V,) or (n, V) array
        Increasing [m/s].
    thrust, resistance : (n, V) arrays
        At those speeds [N].
    mass : (n,) array
        Craft and rider with the water that moves with them [kg].
    start, end : (n,) arrays
        Speeds within the grid, ``end`` above ``start`` [m/s].
    electric_power : (n, V) array
        Power drawn from the pack [W].

    Returns
    -------
    Passage
        (n,) arrays: time [s], distance [m], energy [J], found [-], why [-], held_at [m/s], least_excess [N].

    Notes
    -----
    .. math:: t = \int \frac{m\, dV}{T - R}, \quad s = \int \frac{m V dV}{T - R}, \quad
        E = \int \frac{m P dV}{T - R}

    With the excess :math:`e_0 (1 + r u)` over a cell, :math:`0 \le u \le 1`, the two integrals are
    :math:`f_1 = \ln(1 + r)/r` and :math:`f_2 = (1 - f_1)/r`, by their series where r is small. The cells
    at start and end are cut; the error falls with the square of the step.
    """
    speed = np.asarray(speed, dtype=np.float64)
    excess = np.asarray(thrust - resistance)
    power = np.broadcast_to(electric_power, excess.shape)
    first, last = np.asarray(start)[..., None], np.asarray(end)[..., None]
    left, width = speed[..., :-1], speed[..., 1:] - speed[..., :-1]
    share0 = np.clip((first - left) / width, 0.0, 1.0)
    share1 = np.clip((last - left) / width, 0.0, 1.0)
    used = share1 > share0
    rise, climb = excess[..., 1:] - excess[..., :-1], power[..., 1:] - power[..., :-1]
    excess0, excess1 = excess[..., :-1] + share0 * rise, excess[..., :-1] + share1 * rise
    sound = used & (excess0 > 0.0) & (excess1 > 0.0)
    step = np.where(sound, share1 - share0, 0.0)
    base = np.where(sound, excess0, 1.0)
    f1, f2 = _log_integrals(np.where(sound, excess1, 1.0) / base - 1.0)
    weight = np.asarray(mass)[..., None] * width * step / base
    lower = np.minimum(excess0, excess1)
    covered = (first >= speed[..., :1]) & (last <= speed[..., -1:]) & (last > first)
    why = _reason(covered, used, lower)
    found = why == REACHED

    def integral(values: Array, gain: Array) -> Array:
        at_start = np.where(sound, values + share0 * gain, 0.0)
        cell = weight * (at_start * f1 + np.where(sound, gain, 0.0) * step * f2)
        return np.where(found, cell.sum(axis=-1), np.nan)

    low, span = left + share0 * width, (share1 - share0) * width
    held_at = _held_at(low, span, used & (lower <= 0.0), excess0, excess1)
    least = np.where(used, lower, np.inf).min(axis=-1)
    return Passage(
        time=np.where(found, (weight * f1).sum(axis=-1), np.nan),
        distance=integral(left, width),
        energy=integral(power[..., :-1], climb),
        found=found,
        why=why,
        held_at=np.minimum(held_at, end),
        least_excess=np.where(np.isfinite(least), least, np.nan),
    )


def _log_integrals(r: Array) -> tuple[Array, Array]:
    """Return the integrals of 1/(1 + r u) and u/(1 + r u) over u from 0 to 1, r above -1."""
    small = np.abs(r) < 0.01
    safe = np.where(small, 1.0, r)
    first = np.log1p(safe) / safe
    series1, series2 = np.zeros_like(r), np.zeros_like(r)
    for k in range(7, -1, -1):
        series1 = 1.0 / (k + 1) - r * series1
        series2 = 1.0 / (k + 2) - r * series2
    return np.where(small, series1, first), np.where(small, series2, (1.0 - first) / safe)


def _reason(covered: Flag, used: Flag, lower: Array) -> Code:
    """Return the code of the gravest reason why a passage has no time."""
    unknown = (used & np.isnan(lower)).any(axis=-1)
    blocked = (used & (lower <= 0.0)).any(axis=-1)
    why = np.where(blocked, HELD_BACK, np.where(unknown, NO_VALUE, REACHED))
    return np.where(covered[..., 0], why, OFF_THE_GRID).astype(np.int8)


def _held_at(low: Array, span: Array, blocked: Flag, excess0: Array, excess1: Array) -> Array:
    """Return the first speed at which no thrust is to spare, infinite where there is none."""
    falls = blocked & (excess0 > 0.0)
    drop = np.where(falls, excess0 - excess1, 1.0)
    return np.asarray(np.where(blocked, low + np.where(falls, excess0 / drop, 0.0) * span, np.inf).min(axis=-1))


@model(source="Lift equals weight", valid={"lift_coefficient": (0.1, 1.6, "no lift coefficient of a plain wing")})
def take_off_speed(*, weight: Array, density: Array, area: Array, lift_coefficient: Array) -> Array:
    r"""Return the speed at which the wing alone carries the craft.

    Parameters
    ----------
    weight : (...) array
        Craft and rider less the buoyancy of the wet parts [N].
    density : (...) array
        Of the water [kg/m^3].
    area : (...) array
        Plan area of the wing [m^2].
    lift_coefficient : (...) array
        Usable lift coefficient on that area [-].

    Returns
    -------
    (...) array
        Speed [m/s].

    Notes
    -----
    .. math:: V = \sqrt{2 W/(\rho S C_L)}
    """
    return np.asarray(np.sqrt(2.0 * weight / (density * area * lift_coefficient)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Coast:
    """After some seconds without thrust: ``speed`` [m/s], ``distance`` [m]."""

    speed: Array
    distance: Array


@model(source="Equation of motion with drag on the square of the speed alone")
def coast_down(*, speed: Array, drag_area: Array, density: Array, mass: Array, time: Array) -> Coast:
    r"""Return speed and way after coasting for a time.

    Parameters
    ----------
    speed : (...) array
        At the start [m/s].
    drag_area : (...) array
        Drag over dynamic pressure [m^2].
    density : (...) array
        Of the water [kg/m^3].
    mass : (...) array
        Craft and rider with the water that moves with them [kg].
    time : (...) array
        Time of coasting [s].

    Returns
    -------
    Coast
        (...) arrays: speed [m/s], distance [m].

    Notes
    -----
    .. math:: 1/V = 1/V_0 + \rho C_D A\, t/(2 m), \quad s = \frac{2 m}{\rho C_D A} \ln(V_0/V)
    """
    fade = 0.5 * density * drag_area / np.asarray(mass)
    grown = fade * speed * time
    return Coast(speed=np.asarray(speed / (1.0 + grown)), distance=np.asarray(np.log1p(grown) / fade))


@model(source="Equation of motion in level flight without thrust")
def coasting_glide_ratio(*, deceleration: Array) -> Array:
    r"""Return lift over drag from the loss of speed in level flight without thrust.

    Parameters
    ----------
    deceleration : (...) array
        Loss of speed, positive; the drag of the idle propeller is in it [m/s^2].

    Returns
    -------
    (...) array
        Lift over drag [-].

    Notes
    -----
    .. math:: L/D = g/|dV/dt|
    """
    return np.asarray(GRAVITY / np.asarray(deceleration))


@dataclass(frozen=True, slots=True, kw_only=True)
class DragLaw:
    """Drag in flight [N] with its ``least`` value [N] and the speed of that ``least_speed`` [m/s]."""

    drag: Array
    least: Array
    least_speed: Array


@model(source="Parabolic drag law of level flight: parasite drag on V^2, induced drag on 1/V^2")
def drag_law(*, speed: Array, parasite: Array, induced: Array) -> DragLaw:
    r"""Return the drag in flight by its two terms.

    Parameters
    ----------
    speed : (...) array
        Through the water [m/s].
    parasite : (...) array
        Drag over the square of speed [N*s^2/m^2].
    induced : (...) array
        Drag times the square of speed [N*m^2/s^2].

    Returns
    -------
    DragLaw
        (...) arrays: drag [N], least [N], least_speed [m/s].

    Notes
    -----
    .. math:: D = A V^2 + B/V^2, \quad D_{min} = 2 \sqrt{A B}, \quad V = (B/A)^{1/4}
    """
    square = np.asarray(speed * speed)
    return DragLaw(
        drag=np.asarray(parasite * square + induced / square),
        least=np.asarray(2.0 * np.sqrt(parasite * induced)),
        least_speed=np.asarray(np.sqrt(np.sqrt(induced / parasite))),
    )


@model(source="Rankine & Froude momentum theory of the actuator disc, standing still; free propeller")
def bollard_pull(*, diameter: Array, shaft_power: Array, merit: Array, density: Array) -> Array:
    r"""Return the thrust of a propeller that stands still.

    Parameters
    ----------
    diameter : (...) array
        Of the propeller [m].
    shaft_power : (...) array
        Power at the shaft [W].
    merit : (...) array
        Figure of merit: ideal over true power for the same thrust, 1 ideal, 0.45 to 0.70 usual [-].
    density : (...) array
        Of the water [kg/m^3].

    Returns
    -------
    (...) array
        Thrust [N].

    Notes
    -----
    .. math:: T = (2 \rho A)^{1/3} (M P)^{2/3}
    """
    useful = merit * np.asarray(shaft_power)
    return np.asarray(np.cbrt(0.5 * np.pi * density * diameter * diameter * useful * useful))


@model(source="Rankine & Froude momentum theory of the actuator disc")
def ideal_efficiency(*, thrust: Array, speed: Array, diameter: Array, density: Array) -> Array:
    r"""Return the efficiency that no propeller of this size exceeds.

    Parameters
    ----------
    thrust : (...) array
        Thrust [N].
    speed : (...) array
        Through the water [m/s].
    diameter : (...) array
        Of the propeller [m].
    density : (...) array
        Of the water [kg/m^3].

    Returns
    -------
    (...) array
        Useful over shaft power [-].

    Notes
    -----
    .. math:: \eta_i = 2/(1 + \sqrt{1 + C_T}), \quad C_T = T/(q A)
    """
    loading = thrust / (0.125 * np.pi * density * speed * speed * diameter * diameter)
    return np.asarray(2.0 / (1.0 + np.sqrt(1.0 + loading)))
