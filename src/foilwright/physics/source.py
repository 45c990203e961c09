"""Closed forms of a source with an open voltage and a resistance: load, share, join, short."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array, model

Flag = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """Current [A] and voltage [V] of a load (n,); ``found`` False and NaN where the voltage collapses."""

    current: Array
    voltage: Array
    found: Flag


@dataclass(frozen=True, slots=True, kw_only=True)
class Sharing:
    """Sources side by side: current of each (n, k) [A], common voltage (n,) [V], equivalent source.

    ``open_voltage`` (n,) [V] and ``resistance`` (n,) [ohm] are those of the source they make;
    ``share`` (n, k) [-] is the part of a change of load that each takes.
    """

    current: Array
    voltage: Array
    open_voltage: Array
    resistance: Array
    share: Array


@model(source="Ohm's and Kirchhoff's laws: P = (V0 - I R) I, smaller root")
def constant_power_current(*, open_voltage: Array, resistance: Array, power: Array) -> Draw:
    r"""Return the current at which a source delivers a power at its terminals.

    Parameters
    ----------
    open_voltage : float or (n,) array
        Open voltage [V].
    resistance : float or (n,) array
        Resistance, may be zero [ohm].
    power : float or (n,) array
        Power at the terminals, negative while charging [W].

    Returns
    -------
    Draw
        Current [A], voltage [V], and whether there is one.

    Notes
    -----
    .. math:: I = \frac{2 P}{V_0 + \sqrt{V_0^2 - 4 R P}}
    """
    v, p, r = np.asarray(open_voltage), np.asarray(power), np.asarray(resistance)
    room = v * v - 4.0 * r * p
    found = np.asarray(room >= 0.0)
    current = np.where(found, 2.0 * p / (v + np.sqrt(np.maximum(room, 0.0))), np.nan)
    return Draw(current=current, voltage=np.asarray(v - current * r), found=found)


@model(source="maximum power transfer, limited by least voltage and largest current")
def largest_power(*, open_voltage: Array, resistance: Array, least_voltage: Array, current_limit: Array) -> Array:
    r"""Return the largest power that a source delivers at its terminals within its limits.

    Parameters
    ----------
    open_voltage : float or (n,) array
        Open voltage [V].
    resistance : float or (n,) array
        Resistance, above zero [ohm].
    least_voltage : float or (n,) array
        Voltage below which the load stops; 0 for none [V].
    current_limit : float or (n,) array
        Largest current; infinite for none [A].

    Returns
    -------
    float or (n,) array
        Power [W]; 0 where the open voltage is below the least one.

    Notes
    -----
    .. math:: P = (V_0 - I R) I,\quad I = \min(V_0/2R,\ (V_0 - V_{least})/R,\ I_{limit})
    """
    v, r = np.asarray(open_voltage), np.asarray(resistance)
    sag = np.maximum(np.minimum(0.5 * v, v - least_voltage), 0.0)
    current = np.minimum(sag / r, current_limit)
    power: Array = (v - current * r) * current
    return power


@model(source="Kirchhoff's laws, two sources in a loop")
def equalising_current(
    *, open_voltage: Array, other_voltage: Array, resistance: Array, other_resistance: Array
) -> Array:
    r"""Return the current from one pack into another at the moment they are joined side by side.

    Parameters
    ----------
    open_voltage, other_voltage : float or (n,) arrays
        Open voltages of the two [V].
    resistance, other_resistance : float or (n,) arrays
        Their resistances at once, with leads [ohm].

    Returns
    -------
    float or (n,) array
        Current out of the first into the other, negative the other way [A].

    Notes
    -----
    .. math:: I_0 = (V_1 - V_2)/(R_1 + R_2)
    """
    gap = np.asarray(open_voltage) - np.asarray(other_voltage)
    current: Array = gap / (np.asarray(resistance) + np.asarray(other_resistance))
    return current


@model(source="Kirchhoff's laws (Millman's theorem)")
def sharing(*, open_voltage: Array, resistance: Array, current: Array) -> Sharing:
    r"""Return how sources side by side share a load.

    Parameters
    ----------
    open_voltage : (n, k) array
        Open voltage of each source [V].
    resistance : (n, k) array
        Resistance of each source with its own leads [ohm].
    current : float or (n,) array
        Current of the load [A].

    Returns
    -------
    Sharing
        Current of each [A], voltage [V], equivalent source [V, ohm], share of each [-].

    Notes
    -----
    .. math:: V = R\left(\sum V_i/R_i - I\right),\quad 1/R = \sum 1/R_i,\quad I_i = (V_i - V)/R_i
    """
    v, r = np.broadcast_arrays(open_voltage, resistance)
    along = 1.0 / r
    total = along.sum(axis=-1)
    rest = (v * along).sum(axis=-1) / total
    voltage = rest - np.asarray(current) / total
    return Sharing(
        current=(v - voltage[..., None]) * along,
        voltage=voltage,
        open_voltage=rest,
        resistance=1.0 / total,
        share=along / total[..., None],
    )


@model(source="Ohm's law, a dead short; the resistance at once, with leads")
def short_circuit_current(*, open_voltage: Array, resistance: Array) -> Array:
    """Return the current of a dead short around a loop.

    Parameters
    ----------
    open_voltage : float or (n,) array
        Sum of the open voltages around the loop [V].
    resistance : float or (n,) array
        Sum of the resistances around the loop, above zero [ohm].

    Returns
    -------
    float or (n,) array
        Current [A].
    """
    current: Array = np.asarray(open_voltage) / np.asarray(resistance)
    return current
