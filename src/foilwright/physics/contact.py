"""Bullet contacts: resistance, sharing between contacts side by side, heat at the spot that touches."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.model import Array, Mask, model

LORENZ = 2.45e-8
"""Lorenz number of metals [W*ohm/K^2] (2.45e-8 for copper at room temperature)."""
TOGETHER = 1.6
"""Current of two contacts side by side over that of one; never 2 (common practice)."""
DIAMETER = (3.5e-3, 8e-3, "no resistance is known for bullet contacts of this size")
Number = Array | float
Flags = npt.NDArray[np.bool_] | bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A mated pair (n,): ``resistance`` [ohm] and the ``current`` that a new one bears [A]."""

    resistance: Array
    current: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """Contacts side by side: ``current`` (..., k) [A], ``heat`` (..., k) [W], ``drop`` (...,) [V]."""

    current: Array
    heat: Array
    drop: Array


@model(
    source="bullet contacts, common practice by diameter: data/wiring/contacts.csv",
    valid={"diameter": DIAMETER},
    decides=("diameter",),
)
def pair(*, diameter: Number, worn: Flags) -> Pair:
    """Return resistance and continuous current of a pair of bullet contacts.

    Parameters
    ----------
    diameter : float or (n,) array
        Of the pin [m].
    worn : bool or (n,) bool array
        Whether it is worn, salted or loose [-].

    Returns
    -------
    Pair
        Resistance [ohm] and current [A]; NaN outside the sizes of the table.
    """
    columns = table("wiring/contacts").columns
    sizes, asked = columns["diameter"], np.asarray(diameter, dtype=np.float64)

    def along(name: str) -> Array:
        return np.asarray(np.interp(asked, sizes, columns[name], left=np.nan, right=np.nan))

    return Pair(
        resistance=np.where(worn, along("worn"), along("new")),
        current=along("current") + np.zeros(np.shape(worn)),
        outside=pair.mask(diameter=asked),
    )


@model(source="Ohm's law along a round pin: a floor below which no contact can be")
def pin_resistance(*, diameter: Number, length: Number, resistivity: Number = 6.2e-8) -> Array:
    """Return the resistance of the metal of a pin.

    Parameters
    ----------
    diameter : float or (n,) array
        Of the pin [m].
    length : float or (n,) array
        Of the pin [m].
    resistivity : float or (n,) array
        Of the metal; brass if not given [ohm*m].

    Returns
    -------
    float or (n,) array
        Resistance [ohm].
    """
    size = np.asarray(diameter, dtype=np.float64)
    along: Array = np.asarray(resistivity) * np.asarray(length) / (0.25 * np.pi * size * size)
    return along


@model(source="Kirchhoff's laws: currents side by side go as one over resistance")
def beside(*, resistance: Number, current: Number) -> Beside:
    r"""Return how contacts side by side share a current.

    Parameters
    ----------
    resistance : (..., k) array
        Of each contact with its own wire, above zero [ohm].
    current : float or (...,) array
        Of all together [A].

    Returns
    -------
    Beside
        Current [A] and heat [W] of each, voltage lost [V].

    Notes
    -----
    .. math:: I_k = I \frac{1/R_k}{\sum 1/R}
    """
    ohms = np.asarray(resistance, dtype=np.float64)
    along = 1.0 / ohms
    drop = np.asarray(current) / along.sum(axis=-1)
    each = drop[..., None] * along
    return Beside(current=each, heat=each * each * ohms, drop=np.asarray(drop))


@model(source="voltage-temperature relation of a contact spot: Kohlrausch, after Holm 1967, Electric Contacts")
def spot_temperature(*, drop: Number, temperature: Number) -> Array:
    r"""Return the temperature of the spots that touch, at the most.

    Parameters
    ----------
    drop : float or (n,) array
        Voltage lost in the contact [V].
    temperature : float or (n,) array
        Of the metal around it [K].

    Returns
    -------
    float or (n,) array
        Temperature of the spot [K].

    Notes
    -----
    .. math:: V^2 = 4 L (T_{max}^2 - T_0^2)
    """
    volts, base = np.asarray(drop, dtype=np.float64), np.asarray(temperature, dtype=np.float64)
    hot: Array = np.sqrt(base * base + volts * volts / (4.0 * LORENZ))
    return hot


@model(source="common practice: two contacts side by side are rated 1.6 times one")
def rated_together(*, current: Number, count: Number) -> Array:
    """Return the current that equal contacts side by side are good for.

    Parameters
    ----------
    current : float or (n,) array
        That one bears continuously [A].
    count : int or (n,) array
        Contacts side by side [-].

    Returns
    -------
    float or (n,) array
        Current of all together; each one more counts 0.6 [A].
    """
    many: Array = np.asarray(current) * (1.0 + (TOGETHER - 1.0) * (np.asarray(count) - 1.0))
    return many
