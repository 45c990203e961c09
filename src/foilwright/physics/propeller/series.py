"""Open-water thrust and torque of two published propeller series.

The polynomials have dozens of terms; for one propeller they collapse to a handful of coefficients in
the advance ratio, so that a grid of thousands of operating points costs a few multiplications each.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array, Mask, model

LARGEST_ADVANCE = 2.0
SERIES_LIMITS: dict[str, tuple[float, float, str]] = {
    "blades": (2.0, 7.0, "the series was tested with 2 to 7 blades"),
    "pitch_ratio": (0.5, 1.4, "the series was tested at pitch ratios of 0.5 to 1.4"),
    "area_beyond": (0.0, 1e-9, "the area ratio lies outside those tested with this number of blades"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Coefficients:
    """Polynomial coefficients in the advance ratio, rising powers along the last axis [-]."""

    thrust: Array
    torque: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenWater:
    """Open-water coefficients [-] and the mask of limits that the inputs violate."""

    thrust_coefficient: Array
    torque_coefficient: Array
    efficiency: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Ducted:
    """Open-water coefficients of screw and nozzle together, and the nozzle's own thrust [-]."""

    thrust_coefficient: Array
    nozzle_coefficient: Array
    torque_coefficient: Array
    efficiency: Array
    outside: Mask


def horner(advance: Array, coefficients: Array) -> Array:
    """Evaluate a polynomial whose coefficients stand along the last axis, rising powers."""
    out: Array = coefficients[..., -1]
    for power in range(coefficients.shape[-1] - 2, -1, -1):
        out = coefficients[..., power] + advance * out
    return out


def powers(base: Array, highest: int) -> Array:
    """Return base**0 ... base**highest along a new last axis, by multiplication."""
    out = np.ones((*base.shape, highest + 1))
    for k in range(1, highest + 1):
        out[..., k] = out[..., k - 1] * base
    return out


@functools.cache
def _terms(name: str) -> tuple[Array, tuple[Array, ...]]:
    """Return (powers of J, terms) values sorted into rows, and the exponents of P/D, AE/A0, Z."""
    columns = table(f"propeller/{name}").columns
    advance = columns["advance"].astype(int)
    sorted_in = np.zeros((advance.max() + 1, advance.size))
    sorted_in[advance, np.arange(advance.size)] = columns["value"]
    return sorted_in, tuple(columns[k].astype(int) for k in ("pitch", "area", "blades"))


def _collapsed(name: str, pitch: Array, area: Array, blades: Array) -> Array:
    sorted_in, (t, u, v) = _terms(name)
    return np.asarray(np.vecdot((pitch[..., t] * area[..., u] * blades[..., v])[..., None, :], sorted_in))


@model(
    source="Oosterveld and van Oossanen 1975, B-series polynomials at a chord Reynolds number of 2e6",
    valid=SERIES_LIMITS,
    decides=("blades", "pitch_ratio"),
)
def collapse(*, pitch_ratio: Array, area_ratio: Array, blades: Array) -> Coefficients:
    r"""Collapse the series polynomials of each propeller to cubics in the advance ratio.

    Parameters
    ----------
    pitch_ratio : (n,) array
        Pitch over diameter [-].
    area_ratio : (n,) array
        Expanded blade area over disc area [-].
    blades : (n,) array
        Number of blades [-].

    Returns
    -------
    Coefficients
        ``thrust`` and ``torque``, each (n, 4): factors of :math:`J^0 \dots J^3` [-].

    Notes
    -----
    .. math:: K = \sum C J^s (P/D)^t (A_E/A_0)^u Z^v
    """
    pitch, area, count = np.broadcast_arrays(
        *(np.asarray(x, dtype=np.float64) for x in (pitch_ratio, area_ratio, blades))
    )
    at = powers(pitch, 6), powers(area, 2), powers(count, 2)
    return Coefficients(thrust=_collapsed("series_thrust", *at), torque=_collapsed("series_torque", *at))


@model(source="Carlton, Marine Propellers and Propulsion, table 6.4")
def area_beyond(*, area_ratio: Array, blades: Array) -> Array:
    """Return how far an area ratio lies outside those tested with this number of blades.

    Parameters
    ----------
    area_ratio : (n,) array
        Expanded blade area over disc area [-].
    blades : (n,) array
        Number of blades [-].

    Returns
    -------
    (n,) array
        Distance to the tested range, 0 inside it [-].
    """
    columns = table("propeller/series_extent").columns
    low, high = (np.interp(blades, columns["blades"], columns[end]) for end in ("low", "high"))
    return np.asarray(np.maximum(np.maximum(low - area_ratio, area_ratio - high), 0.0))


@model(source="first root of the thrust polynomial of the series")
def zero_thrust_advance(*, coefficients: Array) -> Array:
    """Return the first advance ratio at which the thrust falls to zero.

    Parameters
    ----------
    coefficients : (n, p) array
        Thrust coefficient by rising powers of the advance ratio [-].

    Returns
    -------
    (n,) array
        Advance ratio of no thrust [-]; 2 where the thrust does not vanish below it.
    """
    nodes = np.linspace(0.0, LARGEST_ADVANCE, 41)
    lead = coefficients[..., None, :]
    gone = horner(nodes, lead) <= 0.0
    some = gone.any(axis=-1)
    root = np.where(some, nodes[gone.argmax(axis=-1)], LARGEST_ADVANCE)
    slope = coefficients[..., 1:] * np.arange(1, coefficients.shape[-1])
    low, high = root - nodes[1], root
    for _ in range(4):
        step = horner(root, coefficients) / np.minimum(horner(root, slope), -1e-3)
        root = np.minimum(np.maximum(root - step, low), high)
    return np.where(some, root, LARGEST_ADVANCE)


@model(
    source="Oosterveld and van Oossanen 1975, B-series polynomials at a chord Reynolds number of 2e6",
    valid={
        **SERIES_LIMITS,
        "advance": (0.0, 1.5, "advance ratio outside the tested range"),
        "advance_share": (0.0, 1.0, "driven by the water beyond zero thrust: not modelled"),
        "ideal_share": (0.0, 0.88, "better than 88 % of the momentum limit: an artefact of the series"),
    },
    decides=("blades", "pitch_ratio"),
)
def open_water(*, advance: Array, pitch_ratio: Array, area_ratio: Array, blades: Array) -> OpenWater:
    r"""Return thrust, torque and efficiency of a B-series propeller in open water.

    Inputs broadcast. Beyond the advance ratio of zero thrust the thrust is zero, the torque is held,
    and the mask says so.

    Parameters
    ----------
    advance : (...,) array
        Advance ratio :math:`V_A/(nD)`, n in revolutions [-].
    pitch_ratio, area_ratio : (...,) arrays
        Pitch over diameter, and expanded blade area over disc area [-].
    blades : (...,) array
        Number of blades [-].

    Returns
    -------
    OpenWater
        :math:`K_T = T/(\rho n^2 D^4)`, :math:`K_Q = Q/(\rho n^2 D^5)`, efficiency [-].

    Notes
    -----
    .. math:: \eta_0 = J K_T / (2 \pi K_Q)
    """
    fitted = collapse(pitch_ratio=pitch_ratio, area_ratio=area_ratio, blades=blades)
    end = np.asarray(zero_thrust_advance(coefficients=fitted.thrust))
    used = np.minimum(advance, end)
    thrust = np.maximum(horner(used, fitted.thrust), 0.0) * (advance < end)
    torque = horner(used, fitted.torque)
    efficiency = advance * thrust / (2.0 * np.pi * torque)
    loading = 8.0 * thrust / (np.pi * np.maximum(advance, 1e-9) ** 2)
    ideal = 2.0 / (1.0 + np.sqrt(1.0 + loading))
    return OpenWater(
        thrust_coefficient=thrust,
        torque_coefficient=torque,
        efficiency=efficiency,
        outside=open_water.mask(
            blades=blades,
            pitch_ratio=pitch_ratio,
            area_beyond=area_beyond(area_ratio=area_ratio, blades=blades),
            advance=advance,
            advance_share=advance / end,
            ideal_share=efficiency / ideal,
        ),
    )


DUCTED_LIMITS = {"pitch_ratio": (0.6, 1.4, "the nozzle series was tested at pitch ratios of 0.6 to 1.4")}


@functools.cache
def _ducted_terms(quantity: str) -> Array:
    """Return the (powers of J, powers of P/D) values of the nozzle series."""
    columns, texts = table("propeller/nozzle").columns, table("propeller/nozzle").texts
    chosen = np.array([name == quantity for name in texts["quantity"]])
    advance = columns["advance"][chosen].astype(int)
    out = np.zeros((advance.max() + 1, 7))
    out[advance, columns["pitch"][chosen].astype(int)] = columns["value"][chosen]
    return out


def _nozzle(pitch: Array, quantity: str) -> Array:
    return np.asarray(np.vecdot(powers(pitch, 6)[..., None, :], _ducted_terms(quantity)))


@model(source="Oosterveld 1970, Ka 4-70 screw in nozzle 19A", valid=DUCTED_LIMITS, decides=("pitch_ratio",))
def collapse_ducted(*, pitch_ratio: Array) -> Coefficients:
    """Collapse the nozzle series of each propeller to polynomials in the advance ratio.

    Parameters
    ----------
    pitch_ratio : (n,) array
        Pitch over diameter [-].

    Returns
    -------
    Coefficients
        ``thrust`` (n, 4), screw and nozzle together, and ``torque`` (n, 5) [-].
    """
    pitch = np.asarray(pitch_ratio, dtype=np.float64)
    return Coefficients(thrust=_nozzle(pitch, "thrust"), torque=_nozzle(pitch, "torque"))


@model(
    source="Oosterveld 1970, Ka 4-70 screw in nozzle 19A",
    valid={
        **DUCTED_LIMITS,
        "advance_share": (0.0, 1.0, "driven by the water beyond zero thrust: not modelled"),
        "advance": (0.0, 0.6, "above an advance ratio of 0.6 the nozzle drags: for take-off only"),
    },
    decides=("pitch_ratio",),
)
def ducted(*, advance: Array, pitch_ratio: Array) -> Ducted:
    """Return thrust, torque and efficiency of a Ka 4-70 screw in nozzle 19A in open water.

    Four blades, area ratio 0.70, tip gap of the tests about 0.4 % of the diameter.

    Parameters
    ----------
    advance : (...,) array
        Advance ratio, speed of the inflow over revolutions and diameter [-].
    pitch_ratio : (...,) array
        Pitch over diameter [-].

    Returns
    -------
    Ducted
        Coefficients of thrust in all and of the nozzle, torque coefficient, efficiency [-].
    """
    fitted = collapse_ducted(pitch_ratio=pitch_ratio)
    nozzle = _nozzle(np.asarray(pitch_ratio, dtype=np.float64), "nozzle")
    end = np.asarray(zero_thrust_advance(coefficients=fitted.thrust))
    used = np.minimum(advance, end)
    thrust = np.maximum(horner(used, fitted.thrust), 0.0) * (advance < end)
    torque = horner(used, fitted.torque)
    return Ducted(
        thrust_coefficient=thrust,
        nozzle_coefficient=horner(used, nozzle),
        torque_coefficient=torque,
        efficiency=advance * thrust / (2.0 * np.pi * torque),
        outside=ducted.mask(pitch_ratio=pitch_ratio, advance_share=advance / end, advance=advance),
    )
