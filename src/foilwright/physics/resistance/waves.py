"""Waves of the floating board as a moving patch of pressure, in deep and shallow water."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from foilwright.core import solve
from foilwright.core.data import table
from foilwright.core.errors import ModelError
from foilwright.core.model import Array, Mask, model
from foilwright.physics.resistance.prismatic import GRAVITY

_EDGES = (0.0, 1 / 40, 1 / 20, 3 / 40, 1 / 10, 3 / 20, 1 / 5)
_EDGE_NAMES = ("sharp", "aL40", "aL20", "aL13", "aL10", "aL7", "aL5")


@dataclass(frozen=True, slots=True, kw_only=True)
class WaveCoefficient:
    """``coefficient`` [s^2/m^4]: wave resistance is coefficient * load^2 / density; outside."""

    coefficient: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class PatchWave:
    """Wave ``resistance`` [N] of a pressure patch; outside."""

    resistance: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class ShallowWater:
    """critical_speed [m/s], depth_froude [-], factor on the wave part [-]; outside."""

    critical_speed: Array
    depth_froude: Array
    factor: Array
    outside: Mask


@functools.cache
def _coefficient_table() -> tuple[tuple[Array, Array, Array], Array]:
    """Return the nodes (beam ratio, Froude number, 1/aL) and the coefficient over them."""
    grids = [table("patch_wave").grid("beam_ratio", "froude", value=name) for name in _EDGE_NAMES]
    (beams, froudes), _ = grids[0]
    return (beams, froudes, np.array(_EDGES)), np.stack([values for _, values in grids], axis=-1)


def _inverse_edge(edge: str | Array | float, froude: Array) -> Array:
    """Return 1/aL of an edge given by name or as a L."""
    if not isinstance(edge, str):
        return 1.0 / np.asarray(edge, dtype=np.float64)
    if edge == "default":
        return np.asarray(1.0 / np.interp(froude, [0.5, 0.6], [10.0, 20.0]))
    if edge not in _EDGE_NAMES:
        raise ModelError(f"edge {edge} is none of default, {', '.join(_EDGE_NAMES)}")
    return np.asarray(_EDGES[_EDGE_NAMES.index(edge)])


@model(
    source="Havelock 1932; Newman & Poole 1962; Barratt 1965, J. Fluid Mech. 22, 39: moving pressure patch",
    valid={
        "froude": (0.15, 6.0, "Froude number outside the table; below 0.15 the wave part is neglected"),
        "beam_ratio": (0.15, 10.0, "beam over length outside the table"),
        "inverse_edge": (0.0, 0.2, "edges softer than aL = 5"),
    },
)
def patch_wave_coefficient(
    *, speed: Array, length: Array, beam: Array, edge: str | Array | float = "default"
) -> WaveCoefficient:
    r"""Return the wave resistance of a pressure patch per load squared; compute once a design and speed.

    Parameters
    ----------
    speed : float or array
        Speed through water [m/s].
    length : float or array
        Waterline length [m].
    beam : float or array
        Waterline beam [m].
    edge : str or float or array
        How sharply pressure ends at nose, tail and rails: "sharp", "aL20", "aL10", "default" (aL 10
        below Froude number 0.5, 20 above 0.6, linear between) or a L itself [-], 5 or more.

    Returns
    -------
    WaveCoefficient
        ``coefficient`` [s^2/m^4]: resistance = coefficient * load^2 / density; NaN outside the table
        upwards (flagged), 0 below Froude number 0.14.

    Notes
    -----
    .. math:: R/W = 4 C p_0/(\rho g L), \quad p_0 = W/(L B)
    """
    froude = np.asarray(speed, dtype=np.float64) / np.sqrt(GRAVITY * np.asarray(length))
    ratio = np.asarray(beam, dtype=np.float64) / length
    inverse = _inverse_edge(edge, froude)
    nodes, values = _coefficient_table()
    height = solve.lookup(nodes, values, ratio, np.maximum(froude, nodes[1][0]), inverse)
    outside = patch_wave_coefficient.mask(froude=froude, beam_ratio=ratio, inverse_edge=inverse)
    return WaveCoefficient(coefficient=4.0 * height / (GRAVITY * length * length * beam), outside=outside)


@model(
    source="Havelock 1932; Newman & Poole 1962; Barratt 1965, J. Fluid Mech. 22, 39: moving pressure patch",
    valid={
        "froude": (0.15, 6.0, "Froude number outside the table; below 0.15 the wave part is neglected"),
        "beam_ratio": (0.15, 10.0, "beam over length outside the table"),
        "draught_ratio": (0.0, 0.08, "draught above 8 % of the length: too deep for a pressure patch"),
    },
)
def patch_wave(
    *, load: Array, speed: Array, length: Array, beam: Array, density: Array,
    edge: str | Array | float = "default",
) -> PatchWave:  # fmt: skip
    """Return the wave resistance of a flat, shallow board as a moving patch of pressure.

    Parameters
    ----------
    load : float or array
        Weight carried by the board [N].
    speed : float or array
        Speed through water [m/s].
    length : float or array
        Waterline length [m].
    beam : float or array
        Waterline beam [m].
    density : float or array
        Water density [kg/m^3].
    edge : str or float or array
        As in `patch_wave_coefficient` [-].

    Returns
    -------
    PatchWave
        ``resistance`` [N], proportional to the square of the load.
    """
    load, speed, length, beam = (np.asarray(v, dtype=np.float64) for v in (load, speed, length, beam))
    per = patch_wave_coefficient(speed=speed, length=length, beam=beam, edge=edge)
    outside = patch_wave.mask(
        froude=speed / np.sqrt(GRAVITY * length),
        beam_ratio=beam / length,
        draught_ratio=load / (density * GRAVITY * length * length * beam),
    )
    return PatchWave(resistance=per.coefficient * np.maximum(load, 0.0) ** 2 / density, outside=outside)


@model(
    source="Newman & Poole 1962; Barratt 1965, J. Fluid Mech. 22, 39: last hump of the pressure patch",
    valid={"beam_ratio": (0.15, 10.0, "beam over length outside the table")},
)
def hump_froude(*, beam_ratio: Array) -> Array:
    """Return the Froude number on length at which a pressure patch of given load makes most waves.

    Parameters
    ----------
    beam_ratio : float or array
        Beam over waterline length [-].

    Returns
    -------
    float or array
        Froude number V/sqrt(g L) of the last hump, sharp edges [-].
    """
    (beams, froudes, _), values = _coefficient_table()
    x, y = froudes[froudes >= 0.5], values[:, froudes >= 0.5, 0]
    at = np.clip(y.argmax(axis=1), 1, x.size - 2)
    row = np.arange(beams.size)
    left, right = x[at] - x[at - 1], x[at + 1] - x[at]
    rise, fall = (y[row, at] - y[row, at - 1]) / left, (y[row, at + 1] - y[row, at]) / right
    top = x[at] + (rise * right + fall * left) / (2.0 * (rise - fall))
    found: Array = np.interp(beam_ratio, beams, top, left=np.nan, right=np.nan)
    return found


@model(
    source="long-wave speed (Lamb 1932, Hydrodynamics); finite depth, Barratt 1965, J. Fluid Mech. 22, 39",
    valid={
        "depth_ratio": (0.3, np.inf, "water shallower than 0.3 board lengths"),
        "depth_froude": (0.0, 12.0, "depth Froude number outside the table"),
    },
    decides=("depth_ratio",),
)
def shallow_water(*, speed: Array, depth: Array, length: Array) -> ShallowWater:
    r"""Return what the bottom of the lake does to the waves of the board.

    Parameters
    ----------
    speed : float or array
        Speed through water [m/s].
    depth : float or array
        Water depth [m].
    length : float or array
        Waterline length [m].

    Returns
    -------
    ShallowWater
        ``critical_speed`` sqrt(g d) [m/s], ``depth_froude`` [-], ``factor`` on the wave part [-]: 1 in deep
        water, above 1 just below the critical speed, below 1 above it; an upper bound near 1, where a real
        board has no time to build that wave. NaN below 0.3 lengths of depth, flagged.

    Notes
    -----
    Steady linear theory of the pressure patch, beam/length 0.4; deeper than 5 lengths counts as deep.
    """
    speed, depth, length = (np.asarray(v, dtype=np.float64) for v in (speed, depth, length))
    critical = np.sqrt(GRAVITY * depth)
    froude, ratio = speed / critical, depth / length
    (ratios, froudes), values = table("patch_wave_depth").grid("depth_ratio", "depth_froude", value="factor")
    read = solve.lookup((ratios, froudes), values, np.minimum(ratio, ratios[-1]), np.maximum(froude, froudes[0]))
    return ShallowWater(
        critical_speed=critical,
        depth_froude=froude,
        factor=np.where(ratio > ratios[-1], 1.0, read),
        outside=shallow_water.mask(depth_ratio=ratio, depth_froude=froude),
    )
