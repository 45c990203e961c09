"""Where the heat comes from: controller, step-down supply, fuses; and what a label is worth without cooling."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.errors import DataError
from foilwright.core.model import Array, model

FULL_SHARE, PART_SHARE = 0.03, 0.02
"""Loss at full duty over input, and growth towards no duty over rated power [-] (common practice: 2 to 5 %)."""
Number = Array | float


@dataclass(frozen=True, slots=True, kw_only=True)
class Derated:
    """Current that a controller holds for long (n,): ``value`` between ``low`` and ``high`` [A]."""

    low: Array
    value: Array
    high: Array


@model(
    source="common practice: 2 to 5 % of the input at full throttle, worse at part throttle",
    valid={"duty": (0.0, 1.0, "the duty is a share")},
)
def controller_heat(*, electric_power: Number, duty: Number, rated_power: Number) -> Array:
    r"""Return the heat of a controller of which nothing but its rating is known.

    Parameters
    ----------
    electric_power : float or (n,) array
        Power drawn from the pack [W].
    duty : float or (n,) array
        Motor voltage over pack voltage, above 0 up to 1 [-].
    rated_power : float or (n,) array
        Power at full throttle [W].

    Returns
    -------
    float or (n,) array
        Heat [W].

    Notes
    -----
    .. math:: 0.03 P + 0.02 (1 - d) P_{rated}
    """
    part = PART_SHARE * (1.0 - np.asarray(duty)) * np.asarray(rated_power)
    heat: Array = FULL_SHARE * np.asarray(electric_power) + part
    return heat


@model(source="energy balance: a linear supply burns what it does not pass on")
def supply_heat(*, voltage: Number, output_voltage: Number, current: Number, efficiency: Number, linear: bool) -> Array:
    """Return the heat of a step-down supply.

    Parameters
    ----------
    voltage, output_voltage : float or (n,) arrays
        At its input and output [V].
    current : float or (n,) array
        That it delivers [A].
    efficiency : float or (n,) array
        Of a switching supply; without meaning for a linear one [-].
    linear : bool
        Whether it is a linear regulator [-].

    Returns
    -------
    float or (n,) array
        Heat [W].
    """
    out, amps = np.asarray(output_voltage, dtype=np.float64), np.asarray(current, dtype=np.float64)
    if linear:
        return np.asarray((np.asarray(voltage) - out) * amps)
    return np.asarray(out * amps * (1.0 / np.asarray(efficiency) - 1.0) + 0.0 * np.asarray(voltage))


@model(source="Ohm's law; voltage lost in a fuse at its rating: 50 to 130 mV, common practice")
def fuse_heat(*, current: Number, rating: Number, drop: Number = 0.08) -> Array:
    """Return the heat of a fuse.

    Parameters
    ----------
    current : float or (n,) array
        Current [A].
    rating : float or (n,) array
        Of the fuse [A].
    drop : float or (n,) array
        Voltage lost at its rating [V].

    Returns
    -------
    float or (n,) array
        Heat [W].
    """
    amps = np.asarray(current, dtype=np.float64)
    heat: Array = amps * amps * np.asarray(drop) / np.asarray(rating)
    return heat


@model(source="judgement by place: data/heat/derating.csv; label currents are given for cooled units")
def derated_current(*, label_current: Number, seat: str) -> Derated:
    """Return what is left of the current on the label of a controller, until it is measured.

    Parameters
    ----------
    label_current : float or (n,) array
        Continuous current that its maker states [A].
    seat : str
        Where it sits: closed box, closed box with fan, wetted plate, mast or pod, open air stream [-].

    Returns
    -------
    Derated
        Currents [A].
    """
    listed = table("heat/derating")
    if seat not in listed.texts["place"]:
        raise DataError(f"a place is one of {', '.join(listed.texts['place'])}, not {seat!r}")
    row = listed.texts["place"].index(seat)
    label = np.asarray(label_current, dtype=np.float64)
    return Derated(**{name: label * listed.columns[name][row] for name in ("low", "value", "high")})
