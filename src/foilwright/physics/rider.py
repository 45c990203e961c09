"""The rider as a load and as a body in the wind."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.errors import DataError
from foilwright.core.model import Array, model


@dataclass(frozen=True, slots=True, kw_only=True)
class Posture:
    """Centre of gravity and drag area of a rider: each array has the shape of the names."""

    centre_fraction: Array  # centre of gravity above the deck over stature [-]
    centre_low: Array  # low end of its usual range [-]
    centre_high: Array  # high end [-]
    drag_area: Array  # drag coefficient times frontal area [m^2]
    drag_area_low: Array  # low end of its usual range [m^2]
    drag_area_high: Array  # high end, loose clothing [m^2]


@model(source="Spring and others 1988, Int. J. Sport Biomechanics 4; Winter 2005; estimates between")
def posture(*, name: str | npt.NDArray[np.str_]) -> Posture:
    """Return where a rider's centre of gravity is and how much wind the rider catches.

    Parameters
    ----------
    name : str or (n,) array of str
        ``prone``, ``kneeling`` (on the heels), ``kneeling-upright``, ``standing`` (riding stance),
        ``squatting`` or ``upright``.

    Returns
    -------
    Posture
        Fractions of stature [-] and drag areas [m^2], each with its usual range.
    """
    read = table("postures")
    known = np.array(read.texts["posture"])
    same = np.asarray(name)[..., None] == known
    if not np.all(same.any(axis=-1)):
        raise DataError(f"no posture {name!r}; known are {', '.join(known)}")
    at = same.argmax(axis=-1)
    return Posture(**{field: read.columns[field][at] for field in Posture.__dataclass_fields__})


@model(
    source="Hoerner 1965, Fluid-Dynamic Drag, ch. 3: drag area of a person",
    valid={"relative_speed": (-40.0, 40.0, "a storm")},
)
def air_drag(*, drag_area: Array, speed: Array, wind_speed: Array, air_density: Array) -> Array:
    r"""Return the air drag of a rider or a board; it pushes when the wind from behind is faster.

    Parameters
    ----------
    drag_area : float or (n,) array
        Drag coefficient times frontal area [m^2].
    speed : float or (n, ...) array
        Speed over the water [m/s].
    wind_speed : float or (n, ...) array
        Head wind positive [m/s].
    air_density : float or (n,) array
        Density of the air [kg/m^3].

    Returns
    -------
    float or (n, ...) array
        Force against the motion [N].

    Notes
    -----
    .. math:: D = \tfrac12 \rho C_D A\, (V + V_w) |V + V_w|
    """
    relative = np.asarray(speed) + wind_speed
    drag: Array = 0.5 * air_density * drag_area * relative * np.abs(relative)
    return drag
