"""The rider as a body and as a controller: size, reach, and how fast a craft a person can hold."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array, Mask, model


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A standing rider of given size.

    ``foot_length``, ``shoulder_breadth``, ``centre_height`` above the soles [m]; ``pitch_inertia``
    and ``roll_inertia`` about the centre of mass, arms at the sides [kg*m^2].
    """

    foot_length: Array
    shoulder_breadth: Array
    centre_height: Array
    pitch_inertia: Array
    roll_inertia: Array
    outside: Mask


@functools.cache
def _line(measure: str) -> tuple[float, float]:
    """Return slope [-] and start [m] of the line through the two sexes' means over stature."""
    sizes = table("anthropometry")
    named, mean = sizes.texts["measure"], sizes.columns["mean"]
    tall = [float(mean[k]) for k, name in enumerate(named) if name == "stature"]
    size = [float(mean[k]) for k, name in enumerate(named) if name == measure]
    slope = (size[0] - size[1]) / (tall[0] - tall[1])
    return slope, 1e-3 * (size[0] - slope * tall[0])


@model(
    source="Gordon et al. 2014, ANSUR II, lines through the means of men and women; centre of mass 0.56 of "
    "stature; Santschi, DuBois & Omoto 1963, mean of 66 men, scaled by mass and stature squared",
    valid={
        "stature": (1.45, 2.0, "outside the statures that were surveyed"),
        "mass": (40.0, 130.0, "outside the body masses that were surveyed"),
    },
)
def rider_body(*, mass: Array, stature: Array) -> Body:
    r"""Return the size and inertia of a typical standing rider.

    Parameters
    ----------
    mass : (...) array
        Body mass [kg].
    stature : (...) array
        Body height [m].

    Returns
    -------
    Body
        (...) arrays: lengths [m], inertias [kg*m^2].

    Notes
    -----
    .. math:: I_{pitch} = 0.0496\, m H^2, \quad I_{roll} = 0.0553\, m H^2

    Single persons scatter by about 10 % in inertia, 5 % in foot length, 0.02 H in the centre of mass.
    """
    foot, shoulder = _line("foot_length"), _line("biacromial_breadth")
    square = mass * np.asarray(stature) * stature
    return Body(
        foot_length=np.asarray(foot[0] * stature + foot[1]),
        shoulder_breadth=np.asarray(shoulder[0] * stature + shoulder[1]),
        centre_height=np.asarray(0.56 * np.asarray(stature)),
        pitch_inertia=np.asarray(0.0496 * square),
        roll_inertia=np.asarray(0.0553 * square),
        outside=rider_body.mask(mass=mass, stature=stature),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far the support point can move from mid-stance without a step.

    ``foot_pressure``: at once, by pressing on one foot [m]; ``sustained``: for minutes [m].
    """

    foot_pressure: Array
    sustained: Array


@model(
    source="Common practice of board sports: support between the middles of the feet",
    valid={"stance": (0.2, 1.0, "no usual width of stance")},
)
def stance_reach(*, stance: Array, foot_length: Array) -> Reach:
    r"""Return the fore-and-aft authority of the feet.

    The same span bounds a lean of the body in steady riding, since the support point must stay
    between the feet; a lean takes about a second, foot pressure the rider's delay only.

    Parameters
    ----------
    stance : (...) array
        Between the middles of the feet, along the board [m].
    foot_length : (...) array
        Length of a foot [m].

    Returns
    -------
    Reach
        (...) arrays: foot_pressure [m], sustained [m].

    Notes
    -----
    .. math:: r = \max(s/2 - f/2, 0), \quad r_{sustained} = r/2
    """
    reach = np.maximum(0.5 * (np.asarray(stance) - foot_length), 0.0)
    return Reach(foot_pressure=reach, sustained=np.asarray(0.5 * reach))


@model(
    source="Jex, McDonnell & Phatak 1966, A critical tracking task for manual control research, IEEE Trans. "
    "Human Factors in Electronics 7, 138: stabilising 1/(s - g) after a pure delay",
    valid={"delay": (0.1, 0.6, "no delay that people show in balancing")},
)
def growth_limit(*, delay: Array) -> Array:
    r"""Return the fastest plain divergence that a person with this delay can hold at all.

    Parameters
    ----------
    delay : (...) array
        Effective delay from motion to counter-action [s].

    Returns
    -------
    (...) array
        Growth rate [1/s].

    Notes
    -----
    .. math:: g\,\tau < 1

    At the limit there is one right strength of correction only. At half of it, :math:`g \tau = 0.5`,
    the strongest stable correction is 2.5 times the weakest; at :math:`g \tau = 0.35`, a time to
    double of two delays, 3.9 times, so that a rider may be wrong by a factor of two either way.
    """
    return np.asarray(1.0 / np.asarray(delay))


@model(
    source="Stépán 1989, Retarded Dynamical Systems, and Insperger 2011, Commun. Nonlinear Sci. Numer. "
    "Simul. 16, 2160: delayed position-and-rate feedback of an inverted pendulum; extended to damping"
)
def critical_delay(*, toppling: Array, damping_rate: Array) -> Array:
    r"""Return the longest delay with which a fall can still be caught by angle and rate.

    Parameters
    ----------
    toppling : (...) array
        Toppling moment per angle over inertia [1/s^2].
    damping_rate : (...) array
        Damping moment per rate over inertia [1/s].

    Returns
    -------
    (...) array
        Delay [s]; infinite where nothing topples.

    Notes
    -----
    For :math:`\ddot\varphi + c\dot\varphi - a\varphi = -P\varphi(t - \tau) - D\dot\varphi(t - \tau)`
    the range of stable (P, D) shrinks to the triple root at zero:

    .. math:: 1 + c\tau - a\tau^2/2 = 0, \quad \tau_c = (c + \sqrt{c^2 + 2a})/a

    Standing upright on the ground (a about 8.6 1/s^2) has 0.48 s: a yardstick that everybody knows.
    """
    topples = np.asarray(toppling) > 0.0
    safe = np.where(topples, toppling, 1.0)
    return np.where(topples, (damping_rate + np.sqrt(damping_rate * damping_rate + 2.0 * safe)) / safe, np.inf)


@model(
    source="Common practice: time to double against the rider's delay; the factor from growth_limit",
    valid={"delay": (0.1, 0.6, "no delay that people show in balancing")},
)
def delay_margin(*, time_to_double: Array, delay: Array, factor: Array) -> Array:
    r"""Return by how much the time to double exceeds what the rider's delay asks.

    Parameters
    ----------
    time_to_double : (...) array
        Of the fastest growing motion [s].
    delay : (...) array
        Effective delay, 0.3 usual, 0.2 to 0.5 [s].
    factor : (...) array
        Delays that the time to double must last: ln 2 is the limit of possibility, 2 lets the
        correction be wrong by a factor of two, 3 suits a learner [-].

    Returns
    -------
    (...) array
        Time to spare [s]; infinite where nothing grows.

    Notes
    -----
    .. math:: T_2 - f \tau
    """
    return np.asarray(time_to_double - factor * np.asarray(delay))
