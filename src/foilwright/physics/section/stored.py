"""The shipped polars read one section at a time, as a section is tested in a tunnel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model
from foilwright.core.solve import lookup
from foilwright.physics.section.tables import (
    HIGHEST,
    LOWEST,
    REYNOLDS_AXIS,
    REYNOLDS_LIMIT,
    SOLVER,
    built_in,
    drag_at,
    pressures,
    stored,
)

LOG_REYNOLDS: Array = np.log(REYNOLDS_AXIS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Polar:
    """Coefficients of a section; NaN where the stored polar has no attached flow."""

    lift: Array
    """Lift coefficient [-]."""
    drag: Array
    """Drag coefficient [-]."""
    moment: Array
    """Moment coefficient about the quarter chord, nose up [-]."""
    outside: Mask
    """Limits that the inputs violate."""


@model(
    source=f"{SOLVER}; linear in incidence and logarithm of the Reynolds number",
    valid={
        "reynolds": (LOWEST, HIGHEST, "the section polars end there"),
        "incidence": (np.radians(-18.0), np.radians(18.0), "the section polars end there"),
        "lift_share": (
            -np.inf,
            1.0,
            "lift beyond its design limit: the section is about to stall or has stalled",
        ),
    },
    decides=("reynolds", "incidence"),
)
def polar(*, section: str, finish: str, incidence: Array, reynolds: Array) -> Polar:
    """Return lift, drag and moment of a shipped section.

    Parameters
    ----------
    section : str
        Designation, for example ``naca2412`` [-].
    finish : str
        ``polished`` (free transition in disturbed water), ``sanded`` (transition at 5 % of the
        chord) or ``printed`` (that, with layer lines and a blunt edge) [-].
    incidence : float or array
        Angle of the stream to the chord line [rad].
    reynolds : float or array
        Reynolds number on the chord [-].

    Returns
    -------
    Polar
        Coefficients on the chord [-], of the broadcast shape; NaN and flagged outside the polar.
    """
    angles, values = stored(section, finish)
    angle, number = np.broadcast_arrays(np.asarray(incidence, dtype=np.float64), reynolds)
    log = np.log(np.maximum(number, 1.0))
    ends = (log >= LOG_REYNOLDS[0] - 1e-9) & (log <= LOG_REYNOLDS[-1] + 1e-9)
    log = np.where(ends, np.clip(log, LOG_REYNOLDS[0], LOG_REYNOLDS[-1]), log)
    lift, drag, moment = (
        lookup((LOG_REYNOLDS, angles), values[name], log, angle) for name in ("lift", "drag", "moment")
    )
    limits = built_in(section, finish)
    high, low = (np.interp(log, LOG_REYNOLDS, side[0]) for side in (limits.lift_limit, limits.lift_limit_negative))
    share = np.maximum(lift / high, lift / low)
    return Polar(
        lift=lift,
        drag=drag,
        moment=moment,
        outside=polar.mask(reynolds=number, incidence=angle, lift_share=share),
    )


@model(
    source=f"{SOLVER}; linear in lift coefficient and logarithm of the Reynolds number",
    valid={
        "reynolds": REYNOLDS_LIMIT,
        "lift_coefficient": (-1.2, 1.2, "beyond the greatest design lift of any section"),
    },
    decides=("lift_coefficient",),
)
def profile_drag(*, section: str, finish: str, lift_coefficient: Array, reynolds: Array) -> Array:
    """Return the profile drag of one shipped section at stated lift.

    Parameters
    ----------
    section : str
        Designation, for example ``naca2412`` [-].
    finish : str
        ``polished``, ``sanded`` or ``printed`` [-].
    lift_coefficient : float or array
        Lift coefficient of the section [-].
    reynolds : float or array
        Reynolds number on the chord [-].

    Returns
    -------
    float or array
        Drag coefficient on the chord [-].
    """
    lift, number = np.broadcast_arrays(np.asarray(lift_coefficient, dtype=np.float64), reynolds)
    tables = built_in(section, finish)
    out: Array = drag_at.function(tables=tables, lift_coefficient=lift[None], reynolds=number[None])[0]
    return out


@model(
    source="linear vortex panels (Katz & Plotkin 2001) at equal lift; Gregory & O'Reilly 1970 measured "
    "1 % more suction at a lift coefficient of 1.08, 8 % more at 1.51",
    valid={"lift_coefficient": (-1.4, 1.4, "beyond the lift that a section holds")},
    decides=("lift_coefficient",),
)
def pressure_minimum(*, section: str, lift_coefficient: Array) -> Array:
    """Return the least pressure coefficient on a shipped section in potential flow.

    Parameters
    ----------
    section : str
        Designation, for example ``naca2412`` [-].
    lift_coefficient : float or array
        Lift coefficient of the section [-].

    Returns
    -------
    float or array
        Least pressure coefficient, negative; NaN outside the table [-].
    """
    places, pressure = pressures(section)
    out: Array = np.interp(lift_coefficient, places, pressure, left=np.nan, right=np.nan)
    return out
