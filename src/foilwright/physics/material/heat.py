"""Strength and stiffness of a material when it is warm, and of a print that is not dense."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.model import Array, model
from foilwright.physics.material.book import Stuff, properties


@dataclass(frozen=True, slots=True, kw_only=True)
class Shares:
    """What is left when warm; arrays of the broadcast shape."""

    strength: Array
    """strength left over that at 23 C [-]."""
    stiffness: Array
    """stiffness left over that at 23 C [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Infill:
    """A cellular core of a print."""

    modulus: Array
    """modulus over that of the dense print [-]."""
    strength: Array
    """strength over that of the dense print [-]."""


@model(
    source="nodes of data/materials/temperature.csv; monotone cubic: Fritsch & Carlson 1980",
    valid={"temperature": (233.15, 1473.15, "colder than -40 C: prints and resins turn brittle")},
)
def at_temperature(*, stuff: Stuff | str | Sequence[str], temperature: Array) -> Shares:
    """Return how much of its strength and stiffness a material keeps at a temperature.

    Parameters
    ----------
    stuff : Stuff or names
        From `gather`, n designs [SI].
    temperature : float, (n,) or (n, ...) array
        Temperature of the material [K].

    Returns
    -------
    Shares
        1 up to 23 C, falling smoothly to 0 above softening, never rising [-].
    """
    stuff = properties(stuff)
    nodes = stuff.node_temperature
    warm = np.asarray(temperature, dtype=np.float64)
    warm = np.broadcast_to(warm, (nodes.shape[0], *warm.shape[1:]))
    flat = warm.reshape(nodes.shape[0], -1)
    last = nodes.shape[-1] - 2
    cell = np.clip((flat[..., None] >= nodes[:, None, :]).sum(axis=-1) - 1, 0, last)
    start = np.take_along_axis(nodes, cell, axis=-1)
    step = np.take_along_axis(np.diff(nodes, axis=-1), cell, axis=-1)
    share = np.clip((flat - start) / step, 0.0, 1.0)
    out = [_falling(nodes, v, cell, share, step) for v in (stuff.node_strength, stuff.node_stiffness)]
    return Shares(strength=out[0].reshape(warm.shape), stiffness=out[1].reshape(warm.shape))


def _falling(nodes: Array, values: Array, cell: npt.NDArray[np.intp], share: Array, step: Array) -> Array:
    """Return the monotone cubic through the nodes of each row; flat at both ends."""
    slope = np.diff(values, axis=-1) / np.diff(nodes, axis=-1)
    both = slope[:, :-1] * slope[:, 1:]
    inner = np.where(both > 0.0, 2.0 * both / np.where(both > 0.0, slope[:, :-1] + slope[:, 1:], 1.0), 0.0)
    ends = np.zeros_like(inner[:, :1])
    tangent = np.concatenate([ends, inner, ends], axis=-1)
    v0, v1 = np.take_along_axis(values, cell, -1), np.take_along_axis(values, cell + 1, -1)
    t0, t1 = np.take_along_axis(tangent, cell, -1), np.take_along_axis(tangent, cell + 1, -1)
    a = step * t0 - (v1 - v0)
    b = (v1 - v0) - step * t1
    rest = 1.0 - share
    return np.asarray(rest * v0 + share * v1 + share * rest * (a * rest + b * share))


@model(
    source="Gibson & Ashby 1997, Cellular Solids, ch. 5; gyroid and cubic: judgement",
    valid={"share": (0.05, 0.5, "infill outside 5 to 50 %: the law of cells does not hold")},
)
def infill(*, share: Array, patterns: Sequence[str]) -> Infill:
    r"""Return modulus and strength of an infill over those of the dense print.

    Parameters
    ----------
    share : float or (n,) array
        Share of the volume that is filled [-].
    patterns : sequence of str
        ``gyroid``, ``cubic``, ``grid along`` (loaded along its cells), ``grid across`` or ``foam``,
        one a design or one for all [-].

    Returns
    -------
    Infill
        Arrays of the broadcast shape; from 0.5 of fill on straight to that of the dense print [-].

    Notes
    -----
    .. math:: E/E_s = C \rho^n, \quad \sigma/\sigma_s = C' \rho^m
    """
    patterns = (patterns,) if isinstance(patterns, str) else patterns
    book = table("materials/infill")
    at = [book.texts["pattern"].index(name) for name in patterns]
    fill = np.asarray(share, dtype=np.float64)
    low = np.minimum(fill, 0.5)
    dense = np.clip(2.0 * fill - 1.0, 0.0, 1.0)

    def law(name: str) -> Array:
        cell = book.columns[f"{name}_factor"][at] * low ** book.columns[f"{name}_power"][at]
        return np.asarray(cell + dense * (1.0 - cell))

    return Infill(modulus=law("modulus"), strength=law("strength"))
