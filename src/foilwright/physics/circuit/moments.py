"""The first moments of a circuit: inductance of leads, inrush, pre-charge, ripple on capacitors."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model

MAGNETIC = 4e-7 * np.pi
"""Magnetic constant [H/m]."""
NEAR = 1e-6
"""Damping over critical minus 1, below which both square roots are the same to the last digit [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Inrush:
    """Switching on to an empty capacitor (n,).

    ``peak_current`` [A] at ``peak_time`` [s]; ``highest_voltage`` on the capacitor as it rings [V];
    ``charge_energy`` that ends in the capacitor, and as much again in the resistance [J].
    """

    peak_current: Array
    peak_time: Array
    highest_voltage: Array
    charge_energy: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Precharging:
    """Filling a capacitor through a resistor (n,).

    ``time_constant`` [s]; ``first_current`` [A] and ``first_power`` [W] of the resistor; ``energy`` that
    it takes up [J]; ``final_voltage`` where it stops [V]; ``voltage`` after the time given [V]; ``wait``
    until the gap to the pack is as small as asked [s], infinite where it never is.
    """

    time_constant: Array
    first_current: Array
    first_power: Array
    energy: Array
    final_voltage: Array
    voltage: Array
    wait: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class CapacitorLoad:
    """Ripple of a controller's input (n,).

    ``ripple_current`` of the capacitors, root of the mean square [A]; ``ripple_voltage`` peak to peak [V];
    ``resonance`` of leads and capacitors [Hz]; ``lead_ripple`` amplitude of the pulses' current that
    still runs in the leads [A]; ``cut_off_rise`` of the voltage when the current is cut at once [V].
    """

    ripple_current: Array
    ripple_voltage: Array
    resonance: Array
    lead_ripple: Array
    cut_off_rise: Array
    outside: Mask


@model(source="two round parallel wires with internal inductance: Grover 1946, Inductance Calculations")
def pair_inductance(*, length: Array, separation: Array, diameter: Array) -> Array:
    r"""Return the inductance of a pair of leads, there and back.

    Parameters
    ----------
    length : float or (n,) array
        Length one way [m].
    separation : float or (n,) array
        Distance between the middles of the two wires [m].
    diameter : float or (n,) array
        Diameter of the copper [m].

    Returns
    -------
    float or (n,) array
        Inductance of the loop [H]; NaN where the wires would run into each other.

    Notes
    -----
    .. math:: L = \frac{\mu_0 l}{\pi}\left(\mathrm{arcosh}\frac{s}{d} + \frac14\right)
    """
    closeness = np.asarray(separation) / np.asarray(diameter)
    apart = np.arccosh(np.where(closeness >= 1.0, closeness, np.nan))
    inductance: Array = MAGNETIC / np.pi * np.asarray(length) * (apart + 0.25)
    return inductance


@model(source="common practice for loose pairs of leads: 1 microhenry by metre of pair")
def lead_loop(*, length: Array) -> Array:
    """Return the inductance of a pair of leads whose distance is not known.

    Parameters
    ----------
    length : float or (n,) array
        Length one way [m].

    Returns
    -------
    float or (n,) array
        Inductance of the loop [H].
    """
    inductance: Array = 1e-6 * np.asarray(length, dtype=np.float64)
    return inductance


@model(source="step response of resistance, inductance and capacitance in series")
def inrush(*, open_voltage: Array, resistance: Array, inductance: Array, capacitance: Array) -> Inrush:
    r"""Return what happens when an empty capacitor is joined to a pack without pre-charge.

    Parameters
    ----------
    open_voltage : float or (n,) array
        Voltage of the pack [V].
    resistance : float or (n,) array
        Of pack, leads, contacts and capacitor, above zero [ohm].
    inductance : float or (n,) array
        Of the loop of leads, above zero [H].
    capacitance : float or (n,) array
        Of the controller's input [F].

    Returns
    -------
    Inrush
        Peak current [A] and its time [s], highest voltage [V], energy [J].

    Notes
    -----
    .. math:: \alpha = R/2L,\quad \omega_0^2 = 1/LC,\quad
        I = \frac{V}{\omega L} e^{-\alpha t}\sin\omega t,\quad \omega^2 = \omega_0^2 - \alpha^2
    """
    v, r, ind, cap = (np.asarray(one, dtype=np.float64) for one in (open_voltage, resistance, inductance, capacitance))
    damping, natural = 0.5 * r / ind, 1.0 / np.sqrt(ind * cap)
    off = natural * natural - damping * damping
    rate = np.sqrt(np.maximum(np.abs(off), NEAR * natural * natural))
    rings = off > 0.0
    turn = np.arctan2(rate, damping)
    slow = np.where(rings, 0.5, np.minimum(rate / damping, 1.0 - 1e-15))
    time = np.where(rings, turn, np.arctanh(slow)) / rate
    swing = np.where(rings, np.sin(rate * time), np.sinh(np.where(rings, 0.0, rate * time)))
    peak = v / (rate * ind) * np.exp(-damping * time) * swing
    over = np.where(rings, np.exp(-np.pi * damping / rate), 0.0)
    return Inrush(peak_current=peak, peak_time=time, highest_voltage=v * (1.0 + over), charge_energy=0.5 * cap * v * v)


@model(source="charge of a capacitor through a resistor; a load left on divides the voltage")
def precharge(
    *,
    open_voltage: Array,
    resistance: Array,
    capacitance: Array,
    time: Array,
    load_resistance: Array | float = np.inf,
    gap: Array | float = 1.0,
) -> Precharging:
    r"""Return the filling of a controller's capacitors through a resistor.

    Parameters
    ----------
    open_voltage : float or (n,) array
        Voltage of the pack [V].
    resistance : float or (n,) array
        Of the resistor, above zero [ohm].
    capacitance : float or (n,) array
        Of the controller's input [F].
    time : float or (n,) array
        At which the voltage is asked [s].
    load_resistance : float or (n,) array
        Of a load that stays on behind the resistor; infinite for none [ohm].
    gap : float or (n,) array
        Voltage below the pack's at which the switch may be closed [V].

    Returns
    -------
    Precharging
        Time constant [s], current [A], power [W], energy [J], voltages [V], wait [s].

    Notes
    -----
    .. math:: v = v_\infty (1 - e^{-t/\tau}),\quad v_\infty = V \frac{R_L}{R + R_L},\quad
        \tau = C \frac{R R_L}{R + R_L}
    """
    v, r, cap = (np.asarray(one, dtype=np.float64) for one in (open_voltage, resistance, capacitance))
    part = 1.0 / (1.0 + r / np.asarray(load_resistance))
    final, constant = v * part, r * cap * part
    reach = v - np.asarray(gap)
    able = final > reach
    left = np.where(able, (final - reach) / final, 1.0)
    return Precharging(
        time_constant=constant,
        first_current=v / r,
        first_power=v * v / r,
        energy=0.5 * cap * v * v,
        final_voltage=final,
        voltage=final * (1.0 - np.exp(-np.asarray(time) / constant)),
        wait=np.where(able, -constant * np.log(np.minimum(left, 1.0)), np.inf),
    )


@model(
    source="Kolar and Round 2006, IEE Proc. Electr. Power Appl. 153, 535: capacitor current of a three-phase "
    "bridge; second-order filter of leads and capacitors",
    valid={
        "modulation": (0.0, 1.1548, "the bridge cannot give more than its supply"),
        "spread": (3.0, 1e6, "the leads and capacitors ring with the pulses"),
    },
)
def capacitor_load(
    *,
    phase_current: Array,
    modulation: Array,
    power_factor: Array,
    frequency: Array,
    capacitance: Array,
    inductance: Array,
    pack_current: Array,
) -> CapacitorLoad:
    r"""Return the ripple that a controller leaves to its capacitors and to the leads.

    Parameters
    ----------
    phase_current : float or (n,) array
        Peak [A].
    modulation : float or (n,) array
        Depth of modulation: peak phase voltage over half the pack voltage [-].
    power_factor : float or (n,) array
        Cosine of the phase angle [-].
    frequency : float or (n,) array
        Of the pulses [Hz].
    capacitance : float or (n,) array
        Of the controller's input [F].
    inductance : float or (n,) array
        Of the loop of leads [H].
    pack_current : float or (n,) array
        Current from the pack [A].

    Returns
    -------
    CapacitorLoad
        Currents [A], voltages [V], resonance [Hz].

    Notes
    -----
    .. math:: I_C = \hat I/\sqrt2 \sqrt{2M\left(\frac{\sqrt3}{4\pi} +
        \cos^2\varphi\left(\frac{\sqrt3}{\pi} - \frac{9}{16}M\right)\right)}

    The pulses are taken as one sine at twice their frequency, as the two pulses of a period make it.
    """
    m, cos2 = np.asarray(modulation), np.asarray(power_factor) ** 2
    inside = 2.0 * m * (np.sqrt(3.0) / (4.0 * np.pi) + cos2 * (np.sqrt(3.0) / np.pi - 0.5625 * m))
    current = np.asarray(phase_current) / np.sqrt(2.0) * np.sqrt(np.maximum(inside, 0.0))
    pulse = 2.0 * np.pi * 2.0 * np.asarray(frequency)
    cap, ind = np.asarray(capacitance), np.asarray(inductance)
    voltage = np.sqrt(2.0) * current / (pulse * cap)
    natural = 1.0 / np.sqrt(ind * cap)
    return CapacitorLoad(
        ripple_current=current,
        ripple_voltage=2.0 * voltage,
        resonance=natural / (2.0 * np.pi),
        lead_ripple=voltage / (pulse * ind),
        cut_off_rise=np.asarray(pack_current) * np.sqrt(ind / cap),
        outside=capacitor_load.mask(modulation=m, spread=pulse / natural),
    )
