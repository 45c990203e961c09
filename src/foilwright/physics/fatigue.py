"""What load, repeated or standing, leaves of strength, stiffness and clamp force."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array, model

HOUR = 3600.0
LONG = 1000.0 * HOUR
"""From here on a load is standing [s]."""


@model(
    source="Shigley, Mechanical Engineering Design, 9th ed., sec. 6-8: straight lines of S-N on logarithms, "
    "through 1, 1e3 and 1e6 cycles",
    valid={"cycles": (1.0, 1e9, "more than 1e9 cycles")},
)
def life_share(*, cycles: Array, at_thousand: Array, at_million: Array) -> Array:
    r"""Return the share of its strength that a material keeps for a number of load cycles.

    Parameters
    ----------
    cycles : float or array
        Number of full reversals, 1 or more [-].
    at_thousand, at_million : float or array
        Shares left after 1e3 and after 1e6 of them [-].

    Returns
    -------
    array
        Share of the static strength; beyond 1e6 the line goes on: no endurance limit [-].

    Notes
    -----
    .. math:: S = a N^b
    """
    decades = np.log10(np.maximum(cycles, 1.0)) / 3.0
    first, second = (np.log(np.asarray(v, dtype=np.float64)) for v in (at_thousand, at_million))
    out: Array = np.exp(np.where(decades < 1.0, decades * first, first + (decades - 1.0) * (second - first)))
    return out


@model(source="Shigley, Mechanical Engineering Design, 9th ed., eq. 6-16: the same line read backwards")
def life(*, stress_share: Array, at_thousand: Array, at_million: Array) -> Array:
    """Return the number of load cycles that a material stands.

    Parameters
    ----------
    stress_share : float or array
        Amplitude of fully reversed stress over the static strength [-].
    at_thousand, at_million : float or array
        Shares of strength left after 1e3 and after 1e6 cycles [-].

    Returns
    -------
    array
        Cycles to failure; below 1 it breaks at once [-].
    """
    first, second = (np.log(np.asarray(v, dtype=np.float64)) for v in (at_thousand, at_million))
    level = np.log(np.maximum(stress_share, 1e-12))
    decades = np.where(level > first, level / first, 1.0 + (level - first) / (second - first))
    out: Array = 10.0 ** np.minimum(3.0 * decades, 300.0)
    return out


@model(source="Goodman; Shigley, Mechanical Engineering Design, 9th ed., eq. 6-46")
def goodman(*, amplitude: Array, mean_stress: Array, fatigue_strength: Array, tension_strength: Array) -> Array:
    """Return how much of its fatigue strength a part uses under stress that swings about a mean.

    Parameters
    ----------
    amplitude : float or array
        Half the swing, notch factor in it [Pa].
    mean_stress : float or array
        Mean; compression counts as none [Pa].
    fatigue_strength : float or array
        Strength against full reversals for the cycles meant [Pa].
    tension_strength : float or array
        Static strength [Pa].

    Returns
    -------
    array
        Utilisation, 1 is failure [-].
    """
    out: Array = np.asarray(amplitude) / fatigue_strength + np.maximum(mean_stress, 0.0) / tension_strength
    return out


@model(source="Palmgren 1924, Miner 1945")
def damage(*, cycles: Array, life_cycles: Array) -> Array:
    """Return the share of its life that a part has used up.

    Parameters
    ----------
    cycles : (..., k) array
        Cycles at each level [-].
    life_cycles : (..., k) array
        Cycles to failure at each level [-].

    Returns
    -------
    (...) array
        Sum of the shares, 1 is failure [-].
    """
    out: Array = (np.asarray(cycles) / life_cycles).sum(axis=-1)
    return out


@model(
    source="power law of Findley 1944; printed PLA loses about 30 % in 1000 h (judgement), four times faster "
    "each 10 K from 35 K below softening",
    valid={"time": (0.0, 3.2e8, "longer than ten years")},
)
def creep_stiffness(
    *, time: Array, temperature: Array, glass_transition: Array, growth_share: Array | float = 0.10
) -> Array:
    r"""Return the share of its stiffness that a plastic shows under a standing load.

    Parameters
    ----------
    time : float or array
        Time under load, no more than a quarter of the strength [s].
    temperature : float or array
        Its temperature [K].
    glass_transition : float or array
        Its glass-transition temperature, infinite for metals and wood [K].
    growth_share : float or array
        Growth of the strain in the first hour when cool [-].

    Returns
    -------
    array
        Share of the stiffness; 1 at once [-].

    Notes
    -----
    .. math:: E/E_0 = \frac{1}{1 + A (t / 1 h)^{0.2}}, \quad A = A_0 4^{(T - T_g + 35)/10}
    """
    warm = np.maximum(np.asarray(temperature) - np.asarray(glass_transition) + 35.0, 0.0)
    grown = growth_share * 4.0 ** (np.minimum(warm, 60.0) / 10.0)
    out: Array = 1.0 / (1.0 + grown * np.power(np.maximum(time, 0.0) / HOUR, 0.2))
    return out


@model(source="straight line on the logarithm of time between an hour and 1000 h (judgement)")
def creep_strength(*, time: Array, at_hours: Array, standing: Array) -> Array:
    """Return the share of its strength that a material bears for a time.

    Parameters
    ----------
    time : float or array
        Time under load [s].
    at_hours, standing : float or array
        Shares borne for the hours of a ride, and for ever [-].

    Returns
    -------
    array
        1 up to a second, that of hours from one hour, the standing one from 1000 h on [-].
    """
    log = np.log10(np.maximum(time, 1.0))
    hour, long = np.log10(HOUR), np.log10(LONG)
    early = np.clip(log / hour, 0.0, 1.0)
    late = np.clip((log - hour) / (long - hour), 0.0, 1.0)
    out: Array = 1.0 + early * (np.asarray(at_hours) - 1.0) + late * (np.asarray(standing) - at_hours)
    return out


@model(source="relaxation of clamped prints, plywood and laminates over a month: judgement")
def clamp_left(*, time: Array, kept: Array, retightened: Array | float = 0.0) -> Array:
    """Return the share of its preload that a bolt keeps in a part that creeps.

    Parameters
    ----------
    time : float or array
        Time since it was tightened [s].
    kept : float or array
        Share kept after a month: metal 0.95, hand-laid glass 0.8, plywood 0.6, print 0.4 [-].
    retightened : float or array
        1 where it was tightened again after a day, which halves what is lost [-].

    Returns
    -------
    array
        Share of the preload [-].
    """
    month = 30.0 * 24.0 * HOUR
    share = np.clip(np.log10(np.maximum(time, 1.0)) / np.log10(month), 0.0, 1.0)
    out: Array = 1.0 - share * (1.0 - np.asarray(kept)) * (1.0 - 0.5 * np.asarray(retightened))
    return out
