"""When the link is lost: drop-outs, wash over the antenna, fail-safe, supplies that dip or run down."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model
from foilwright.physics.cell import cold_share
from foilwright.physics.radio.water import LIGHT


@dataclass(frozen=True, slots=True, kw_only=True)
class FailSafe:
    """After the last packet: ``thrust_time`` [s] and ``thrust_distance`` [m] until thrust is zero.

    ``stop_time`` [s] and ``stop_distance`` [m] until the craft stands; ``packets`` [-] that may be
    missed in a row before the thrust is taken away.
    """

    thrust_time: Array
    thrust_distance: Array
    stop_time: Array
    stop_distance: Array
    packets: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningTime:
    """How long a transmitter runs: ``time`` [s]; ``low`` [s] and ``high`` [s] by what cold takes."""

    low: Array
    time: Array
    high: Array
    outside: Mask


@model(source="Rayleigh fading: power of the signal falls as an exponential distribution")
def drop_out_share(*, margin: Array) -> Array:
    r"""Return the share of packets lost to fading at a given margin.

    Parameters
    ----------
    margin : float or array
        Mean margin of the link [dB].

    Returns
    -------
    float or array
        Share lost [-].

    Notes
    -----
    .. math:: P = 1 - \exp(-10^{-M/10})

    Without a steady direct ray: near the water, behind a body. With one in sight fewer are lost.
    """
    share: Array = -np.expm1(-np.exp(-np.log(10.0) / 10.0 * np.asarray(margin)))
    return share


@model(
    source="Rayleigh fading solved for the margin",
    valid={"lost_share": (1e-6, 0.99, "too few or too many packets lost to tell a margin")},
)
def margin_from_drop_outs(*, lost_share: Array) -> Array:
    r"""Return the margin that a drop-out test tells.

    Parameters
    ----------
    lost_share : float or array
        Share of packets lost in the test, above 0 and below 1 [-].

    Returns
    -------
    float or array
        Margin in that place [dB].

    Notes
    -----
    .. math:: M = -10 \log_{10}(-\ln(1 - P))

    Add what the wet towel took away, if it was lifted since.
    """
    with np.errstate(divide="ignore"):
        margin: Array = -10.0 * np.log10(-np.log1p(-np.asarray(lost_share)))
    return margin


@model(source="Gaussian surface of significant height four standard deviations, Longuet-Higgins 1952")
def wash_over_share(*, height: Array, chop: Array) -> Array:
    r"""Return the share of time in which chop stands over an antenna.

    Parameters
    ----------
    height : float or array
        Of the antenna above still water, negative below it [m].
    chop : float or array
        Significant height of the chop, trough to crest [m].

    Returns
    -------
    float or array
        Share of time [-].

    Notes
    -----
    .. math:: P = \frac{1}{2} \mathrm{erfc}\left(\frac{4 h}{\sqrt 2 H_s}\right)

    For a craft that does not ride the chop; spray and the wash of a fall come on top.
    """
    above, rough = np.asarray(height, dtype=np.float64), np.asarray(chop, dtype=np.float64)
    calm = rough <= 0.0
    x = np.clip(np.sqrt(8.0) * above / np.where(calm, 1.0, rough), -9.0, 9.0)
    return np.where(calm, np.where(above > 0.0, 0.0, 1.0), 0.5 * _erfc(x))


def _erfc(x: Array) -> Array:
    """Return the complementary error function within 1.2e-7 of its value (Press et al. 1992, 6.2)."""
    t = 1.0 / (1.0 + 0.5 * np.abs(x))
    series = -1.26551223 + t * (
        1.00002368
        + t
        * (
            0.37409196
            + t
            * (
                0.09678418
                + t
                * (
                    -0.18628806
                    + t * (0.27886807 + t * (-1.13520398 + t * (1.48851587 + t * (-0.82215223 + t * 0.17087277))))
                )
            )
        )
    )
    tail = t * np.exp(-np.square(x) + series)
    out: Array = np.where(x >= 0.0, tail, 2.0 - tail)
    return out


@model(source="geometry of a heeled deck")
def heeled_height(*, height: Array, offset: Array, heel: Array) -> Array:
    r"""Return the height of an antenna on a board that heels towards it.

    Parameters
    ----------
    height : float or array
        Above the water when upright [m].
    offset : float or array
        From the middle of the board, to the side that goes down [m].
    heel : float or array
        Angle of heel [rad].

    Returns
    -------
    float or array
        Height, negative under water [m].

    Notes
    -----
    .. math:: h' = h \cos\phi - y \sin\phi
    """
    lower: Array = np.asarray(height) * np.cos(heel) - np.asarray(offset) * np.sin(heel)
    return lower


@model(source="sum of the times of a fail-safe; constant deceleration without thrust")
def fail_safe(*, packet_period: Array, hold: Array, ramp: Array, speed: Array, deceleration: Array) -> FailSafe:
    r"""Return how far a craft runs on after its throttle has lost the link.

    Parameters
    ----------
    packet_period : float or array
        Time between packets [s].
    hold : float or array
        Silence that the receiver allows before it acts, infinite where it holds the last value [s].
    ramp : float or array
        Time from then to zero thrust [s].
    speed : float or array
        Speed when the link is lost [m/s].
    deceleration : float or array
        Without thrust [m/s^2].

    Returns
    -------
    FailSafe
        Times [s], distances [m], packets [-].

    Notes
    -----
    .. math:: t = T + h + r, \quad d = V t, \quad d_s = d + V^2/(2a)

    Thrust is counted in full until the ramp has ended: the worst case.
    """
    period, pace = np.asarray(packet_period), np.asarray(speed)
    time = period + hold + ramp
    away = pace * np.where(pace > 0.0, time, 0.0)
    return FailSafe(
        thrust_time=time,
        thrust_distance=away,
        stop_time=time + pace / deceleration,
        stop_distance=away + 0.5 * np.square(pace) / deceleration,
        packets=np.floor(np.asarray(hold) / period * (1.0 + 1e-12)),
    )


@model(source="Feller 1968, An Introduction to Probability Theory, vol. 1, ch. XIII.7: waiting for a run")
def false_stop_time(*, lost_share: Array, packets: Array, packet_period: Array) -> Array:
    r"""Return how long a rider rides, in the mean, until chance alone cuts the thrust.

    Parameters
    ----------
    lost_share : float or array
        Share of packets lost, one by one at random [-].
    packets : float or array
        Lost in a row that make the fail-safe act, 1 or more [-].
    packet_period : float or array
        Time between packets [s].

    Returns
    -------
    float or array
        Time [s]; infinite where no packet is lost.

    Notes
    -----
    .. math:: t = T\, \frac{1 - p^n}{(1-p)\,p^n}

    Real losses come in bursts, so this is the most that one may hope for.
    """
    share, run = np.asarray(lost_share, dtype=np.float64), np.asarray(packets)
    with np.errstate(divide="ignore", over="ignore"):
        rare = 1.0 / share**run
    certain = share >= 1.0
    count = np.where(certain, run, (rare - 1.0) / np.where(certain, 1.0, 1.0 - share))
    waiting: Array = count * packet_period
    return waiting


@model(source="energy of a capacitor feeding a constant power")
def hold_up_time(*, capacitance: Array, voltage: Array, least_voltage: Array, power: Array) -> Array:
    r"""Return how long a capacitor carries the receiver through a dip of its supply.

    Parameters
    ----------
    capacitance : float or array
        Behind a diode, so that the dip cannot drain it [F].
    voltage : float or array
        At the start [V].
    least_voltage : float or array
        At which the receiver resets [V].
    power : float or array
        Of the receiver [W].

    Returns
    -------
    float or array
        Time [s]; 0 where the voltage is too low from the start.

    Notes
    -----
    .. math:: t = C (V_1^2 - V_2^2)/(2P)
    """
    energy = np.maximum(np.square(voltage) - np.square(least_voltage), 0.0)
    time: Array = 0.5 * np.asarray(capacitance) * energy / power
    return time


@model(
    source="charge over current; cold by isothermal discharges, data/cells/cold.csv",
    valid={"temperature": (263.15, 333.15, "no discharge was computed below -10 C or above 60 C")},
    decides=("temperature",),
)
def transmitter_time(*, capacity: Array, current: Array, capacity_left: Array, temperature: Array) -> RunningTime:
    r"""Return how long a full transmitter runs.

    Parameters
    ----------
    capacity : float or array
        Of its lithium cell when new [A*s].
    current : float or array
        Mean current, pauses between packets counted [A].
    capacity_left : float or array
        Share of the capacity that age has left [-].
    temperature : float or array
        Of the cell, in a wet hand near that of the water [K].

    Returns
    -------
    RunningTime
        Time and its range [s]; NaN outside the table of cold.

    Notes
    -----
    .. math:: t = Q\, a\, s(T)/I

    The share was found at a current of one capacity an hour; a transmitter draws less and loses less.
    """
    cold = cold_share.function(temperature=temperature)
    charge = np.asarray(capacity) * capacity_left / np.asarray(current)
    return RunningTime(
        low=charge * cold.low,
        time=charge * cold.value,
        high=charge * cold.high,
        outside=transmitter_time.mask(temperature=temperature),
    )


@model(source="quarter of a wavelength; speed of light exact since 1983")
def quarter_wave(*, frequency: Array, refractive_index: Array | float = 1.0) -> Array:
    r"""Return the length of a wire antenna.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    refractive_index : float or array
        Of what surrounds it: 1 in air, about 9 in water [-].

    Returns
    -------
    float or array
        Length; a bare wire is cut some 4 % shorter [m].

    Notes
    -----
    .. math:: l = c/(4 f n)
    """
    length: Array = LIGHT / (4.0 * np.asarray(frequency) * refractive_index)
    return length
