"""The board as stations: outline, rocker, thickness and rails, and the measures taken from them.

Axes: x forward from the tail, z up from the bottom at the tail. Stations lie at the nodes of the
Clenshaw-Curtis rule (Clenshaw and Curtis 1960, Numerische Mathematik 2, 197): with 33 of them the
volume of a board is found to 0.01 %, since the rounded nose is where they crowd.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from foilwright.core.errors import ModelError
from foilwright.core.solve import rows

Array = npt.NDArray[np.float64]
Flag = npt.NDArray[np.bool_]

NOSE_MEASURE = 0.3
"""Where the width of the nose is taken, behind the nose tip [m]."""
SPANDREL = 1.0 - np.pi / 4.0
"""Area between a square corner and the circle that rounds it, over the radius squared [-]."""
SPANDREL_CENTRE = (5.0 / 6.0 - np.pi / 4.0) / SPANDREL
"""Distance of its centroid from either side of the corner, over the radius [-]."""


@dataclass(frozen=True, kw_only=True)
class Stations:
    """Cross-sections of boards, from the tail to the nose; leading axes are designs."""

    x: Array  # (n, m) ahead of the tail [m]
    weight: Array  # (n, m) length that each station stands for [m]
    half_beam: Array  # (n, m) [m]
    bottom: Array  # (n, m) height of the bottom [m]
    deck: Array  # (n, m) height of the deck [m]
    rail_radius: Array  # (n,) of the lower edges [m]
    possible: Flag  # (n,) False where the measures contradict each other

    @cached_property
    def thickness(self) -> Array:
        """Height of the deck above the bottom (n, m) [m]."""
        return self.deck - self.bottom

    @cached_property
    def rails(self) -> Array:
        """Radius of the lower edges at each station (n, m) [m]: it fits the section."""
        room = np.minimum(self.half_beam, self.thickness)
        return np.minimum(self.rail_radius[..., None], np.maximum(room, 0.0))

    @cached_property
    def bottom_slope(self) -> Array:
        """Rise of the bottom over x at each station (n, m) [-]."""
        return _slope(self.bottom, self.x)

    @cached_property
    def deck_slope(self) -> Array:
        """Rise of the deck over x at each station (n, m) [-]."""
        return _slope(self.deck, self.x)


def _slope(values: Array, x: Array) -> Array:
    """Return the slope of a line through the stations, at each station."""
    slopes = np.diff(values, axis=-1) / np.diff(x, axis=-1)
    return np.concatenate([slopes[..., :1], 0.5 * (slopes[..., 1:] + slopes[..., :-1]), slopes[..., -1:]], axis=-1)


Boards = Stations | Array
"""Boards as stations, or as offsets with square edges (..., 4, k): x, half beam, bottom, deck [m]."""


@functools.cache
def rule(count: int) -> tuple[Array, Array]:
    """Return the nodes and weights of the Clenshaw-Curtis rule on 0 to 1 (``count`` odd)."""
    if count < 3 or count % 2 == 0:
        raise ModelError(f"stations are counted oddly, from 3 up; got {count}")
    last = count - 1
    angle = np.pi * np.arange(count) / last
    order = np.arange(1, last // 2 + 1)
    share = np.where(order == last // 2, 1.0, 2.0) / (4.0 * order**2 - 1.0)
    weight = (1.0 - np.cos(2.0 * np.outer(angle, order)) @ share) / last
    weight[[0, -1]] *= 0.5
    nodes = 0.5 * (1.0 - np.cos(angle))
    nodes.flags.writeable = weight.flags.writeable = False
    return nodes, weight


def stations(
    *,
    length: Array,
    width: Array,
    thickness: Array,
    tail_width: Array,
    nose_width: Array,
    wide_point: Array,
    nose_rocker: Array,
    rocker_start: Array,
    nose_thickness: Array,
    rail_radius: Array,
    count: int = 33,
) -> Stations:
    r"""Return the stations of a board given by its measures.

    Parameters
    ----------
    length, width, thickness : float or (n,) array
        Largest measures of the board [m].
    tail_width : float or (n,) array
        Width of the square tail [m].
    nose_width : float or (n,) array
        Width 0.3 m behind the nose tip [m].
    wide_point : float or (n,) array
        Where the board is widest, as a share of the length from the tail [-].
    nose_rocker : float or (n,) array
        Rise of the bottom at the nose tip [m].
    rocker_start : float or (n,) array
        Up to where bottom and deck are flat, as a share of the length from the tail [-].
    nose_thickness : float or (n,) array
        Thickness at the nose tip [m].
    rail_radius : float or (n,) array
        Radius of the lower edges [m].
    count : int
        Number of stations [-].

    Returns
    -------
    Stations
        Lengths [m], shapes (n, count); ``possible`` is False where the measures make no board.

    Notes
    -----
    With half width :math:`b`, behind the wide point a parabola to the tail; ahead of it, over the
    share :math:`u` of the way to the nose tip, :math:`b (1 - u^p)^e`: an ellipse
    (:math:`p = 2, e = 1/2`), made fuller by :math:`p` or finer by :math:`e` to meet the nose width.
    Rocker and thickness are parabolas that begin at ``rocker_start``.
    """
    measures = (length, width, thickness, tail_width, nose_width, wide_point, nose_rocker, rocker_start)
    L, W, D, tail, nose, wide, rocker, start, tip, radius = np.broadcast_arrays(
        *(np.asarray(value, dtype=np.float64) for value in (*measures, nose_thickness, rail_radius))
    )
    nodes, share = rule(count)
    before = (L > 0) & (wide > 0.0) & (wide * L < L - NOSE_MEASURE) & (start >= 0.0) & (start < 1.0)
    across = (tail > 0) & (tail <= W) & (nose > 0) & (nose <= W) & (tip > 0) & (rocker >= 0)
    possible = before & across & (tip <= D) & (radius >= 0.0) & (2.0 * radius <= W) & (radius <= D)
    past = np.maximum(nodes - start[..., None], 0.0) / np.where(start < 1.0, 1.0 - start, 1.0)[..., None]
    curve = past * past
    bottom = rocker[..., None] * curve
    x = L[..., None] * nodes
    return Stations(
        x=x,
        weight=L[..., None] * share,
        half_beam=_outline(nodes=nodes, length=L, width=W, tail=tail, nose=nose, wide=wide),
        bottom=bottom,
        deck=bottom + D[..., None] - (D - tip)[..., None] * curve,
        rail_radius=radius,
        possible=possible,
    )


def _outline(*, nodes: Array, length: Array, width: Array, tail: Array, nose: Array, wide: Array) -> Array:
    """Return the half width at the nodes; the measures carry the designs."""
    inside = np.clip(wide, 1e-6, 1.0 - 1e-6)
    at = np.clip((1.0 - NOSE_MEASURE / length - inside) / (1.0 - inside), 1e-6, 1.0 - 1e-6)
    ratio = np.clip(nose / width, 1e-6, 1.0)
    full = ratio * ratio >= 1.0 - at * at
    spare = np.where(ratio < 1.0, 1.0 - ratio * ratio, 0.5)
    power = np.where(full, np.log(spare) / np.log(at), 2.0)
    fineness = np.where(full, 0.5, np.log(ratio) / np.log(1.0 - at * at))
    ahead = np.clip((nodes - inside[..., None]) / (1.0 - inside[..., None]), 0.0, 1.0)
    front = np.power(1.0 - np.power(ahead, power[..., None]), fineness[..., None])
    behind = np.clip((inside[..., None] - nodes) / inside[..., None], 0.0, 1.0)
    share = np.where((ratio < 1.0)[..., None], front, 1.0) - (1.0 - tail / width)[..., None] * behind**2
    half: Array = 0.5 * width[..., None] * share
    return half


def from_offsets(
    *, x: Array, half_beam: Array, bottom: Array, deck: Array, rail_radius: Array, count: int = 33
) -> Stations:
    """Return the stations of a board given by a table of offsets, straight between its rows.

    Parameters
    ----------
    x : (..., k) array
        Ahead of the tail, increasing from 0 to the length [m].
    half_beam, bottom, deck : (..., k) array
        Half width, height of the bottom and of the deck there [m].
    rail_radius : float or (...) array
        Radius of the lower edges [m].
    count : int
        Number of stations [-].

    Returns
    -------
    Stations
        Lengths [m], shapes (..., count).
    """
    places, *values = np.broadcast_arrays(x, half_beam, bottom, deck)
    nodes, share = rule(count)
    length = places[..., -1:]
    where = np.minimum(length * nodes, length)
    beam, low, high = (rows(where, places, value) for value in values)
    radius = np.broadcast_to(np.asarray(rail_radius, dtype=np.float64), places.shape[:-1])
    return Stations(
        x=where,
        weight=length * share,
        half_beam=beam,
        bottom=low,
        deck=high,
        rail_radius=radius,
        possible=np.all(high >= low, axis=-1) & np.all(beam >= 0.0, axis=-1) & (length[..., 0] > 0.0),
    )


def as_stations(boards: Boards) -> Stations:
    """Return the stations of boards that may be given by their offsets."""
    if isinstance(boards, Stations):
        return boards
    x, half_beam, bottom, deck = (boards[..., row, :] for row in range(4))
    return from_offsets(x=x, half_beam=half_beam, bottom=bottom, deck=deck, rail_radius=np.zeros(x.shape[:-1]))


def capsized(stations: Stations) -> Stations:
    """Return the board deck down; z is measured up from the highest point of what was its deck.

    The rounded lower edges, now uppermost, are taken as square: they stay out of the water.
    """
    top = stations.deck.max(axis=-1, keepdims=True)
    return Stations(
        x=stations.x,
        weight=stations.weight,
        half_beam=stations.half_beam,
        bottom=top - stations.deck,
        deck=top - stations.bottom,
        rail_radius=np.zeros_like(stations.rail_radius),
        possible=stations.possible,
    )


def section_area(stations: Stations) -> Array:
    """Return the area of each cross-section (n, m) [m^2]."""
    area: Array = 2.0 * stations.half_beam * stations.thickness - 2.0 * SPANDREL * stations.rails**2
    return area


def volume(stations: Stations) -> Array:
    """Return the volume of the board (n,) [m^3]."""
    return _along(stations, section_area(stations))


def plan_area(stations: Stations) -> Array:
    """Return the area of the outline (n,) [m^2]."""
    return _along(stations, 2.0 * stations.half_beam)


def deck_area(stations: Stations) -> Array:
    """Return the area of the deck along its curve (n,) [m^2]."""
    return _girth(stations, 2.0 * stations.half_beam, stations.deck)


def bottom_area(stations: Stations) -> Array:
    """Return the area of the bottom with its rounded edges along its curve (n,) [m^2]."""
    around = 2.0 * stations.half_beam + (np.pi - 2.0) * stations.rails
    return _girth(stations, around, stations.bottom)


def surface_area(stations: Stations) -> Array:
    """Return the area of the whole skin (n,) [m^2]: deck, bottom, sides, tail and nose."""
    height = stations.deck - stations.bottom
    side = height - stations.rails
    run = np.hypot(np.diff(stations.x, axis=-1), np.diff(stations.half_beam, axis=-1))
    sides: Array = np.sum(run * (side[..., 1:] + side[..., :-1]), axis=-1)
    ends = section_area(stations)
    total: Array = deck_area(stations) + bottom_area(stations) + sides + ends[..., 0] + np.maximum(ends[..., -1], 0.0)
    return total


def centre(stations: Stations) -> tuple[Array, Array]:
    """Return the centroid of the volume: ahead of the tail and above the bottom there (n,) [m]."""
    area = section_area(stations)
    corner = 2.0 * SPANDREL * stations.rails**2
    square = area + corner
    low = stations.bottom + SPANDREL_CENTRE * stations.rails
    lift = square * 0.5 * (stations.bottom + stations.deck) - corner * low
    whole = _along(stations, area)
    return _along(stations, area * stations.x) / whole, _along(stations, lift) / whole


def mean_beam(*, stations: Stations, length: Array) -> Array:
    """Return the mean width of the board over a length from the tail.

    Parameters
    ----------
    stations : Stations
        Boards, stations of ``stations()`` or ``from_offsets()``.
    length : (n, ...) array
        Length from the tail [m]; beyond the nose there is no value.

    Returns
    -------
    (n, ...) array
        Mean width [m].
    """
    reach = np.asarray(length, dtype=np.float64)
    lead = stations.x.shape[:-1]
    area = np.zeros(stations.x.shape)
    step = np.diff(stations.x, axis=-1)
    np.cumsum(step * (stations.half_beam[..., 1:] + stations.half_beam[..., :-1]), axis=-1, out=area[..., 1:])
    last = stations.x.shape[-1] - 1
    wide = (...,) + (None,) * (reach.ndim - len(lead))
    share = reach / stations.x[..., -1][wide]
    angle = np.arccos(1.0 - 2.0 * np.clip(share, 0.0, 1.0)) * (last / np.pi)
    cell = np.minimum(angle.astype(np.intp), last - 1)
    index = tuple(np.arange(size).reshape((-1,) + (1,) * (reach.ndim - k - 1)) for k, size in enumerate(lead))
    start, end = stations.x[(*index, cell)], stations.x[(*index, cell + 1)]
    left, right = stations.half_beam[(*index, cell)], stations.half_beam[(*index, cell + 1)]
    part = reach - start
    here = left + 0.5 * (right - left) * part / (end - start)
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = np.where(reach > 0.0, (area[(*index, cell)] + 2.0 * part * here) / reach, 2.0 * left)
    return np.where(share <= 1.0 + 1e-12, mean, np.nan)


def planing_length(*, stations: Stations, slope: Array | float = 0.05) -> Array:
    """Return how much of the bottom can plane: from the tail to where the rocker is too steep.

    Parameters
    ----------
    stations : Stations
        Boards.
    slope : float or (n,) array
        Slope of the bottom that ends the planing part [-]; 0.05, about the trim at which a board
        planes, is an assumption.

    Returns
    -------
    (n,) array
        Length [m].
    """
    rise = np.diff(stations.bottom, axis=-1) / np.diff(stations.x, axis=-1)
    between = 0.5 * (stations.x[..., 1:] + stations.x[..., :-1])
    steep = rise - np.asarray(slope)[..., None]
    at = np.argmax(steep > 0.0, axis=-1)[..., None]
    before = np.maximum(at - 1, 0)
    y1, y0 = (np.take_along_axis(steep, k, -1)[..., 0] for k in (at, before))
    x1, x0 = (np.take_along_axis(between, k, -1)[..., 0] for k in (at, before))
    share = np.where(y1 > y0, -y0 / np.where(y1 > y0, y1 - y0, 1.0), 0.0)
    return np.where(np.any(steep > 0.0, axis=-1), x0 + share * (x1 - x0), stations.x[..., -1])


def _along(stations: Stations, value: Array) -> Array:
    """Return the integral of a value along the board (n,)."""
    total: Array = np.sum(stations.weight * value, axis=-1)
    return total


def _girth(stations: Stations, around: Array, height: Array) -> Array:
    """Return the area of a skin of girth ``around`` that follows ``height`` (n,) [m^2]."""
    run, climb = np.diff(stations.x, axis=-1), np.diff(height, axis=-1)
    stretch = np.sqrt(1.0 + (climb / run) ** 2) - 1.0
    extra: Array = np.sum(0.5 * (around[..., 1:] + around[..., :-1]) * stretch * run, axis=-1)
    return _along(stations, around) + extra
