"""A board cut by the still water: volumes, waterplane and wetted area of the immersed part.

Every section may be dry, partly immersed or flooded over its deck. In the frame of the board the
water is the plane ``z = height - slope x + lean y``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.shape.board import SPANDREL, SPANDREL_CENTRE, Stations

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Immersed:
    """The immersed part of a board: each array has the shape of the water's height."""

    volume: Array  # displaced [m^3]
    centre_x: Array  # of the displaced volume, ahead of the tail [m]
    centre_y: Array  # to port [m]
    centre_z: Array  # above the bottom at the tail [m]
    waterplane_area: Array  # [m^2]
    waterplane_x: Array  # centroid of the waterplane, ahead of the tail [m]
    transverse_moment: Array  # second moment of the waterplane about its own fore-and-aft axis [m^4]
    longitudinal_moment: Array  # about its own cross axis [m^4]
    wetted_area: Array  # bottom and sides below the water, without tail face and deck [m^2]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """The immersed part of upright boards: sums (...), and what the sections need (..., m)."""

    volume: Array  # [m^3]
    moment_x: Array  # first moment of the volume about the tail [m^4]
    moment_z: Array  # about the bottom at the tail [m^4]
    wetted_area: Array  # [m^2]
    deep: Array  # depth of the bottom below the water, negative above it [m]
    inward: Array  # from the rail to where a rounded corner meets the water [m]
    wet: Array  # share of the station's length that is wet [-]


def widen(values: Array, shape: Array, lead: int) -> Array:
    """Put the axes that ``shape`` has beyond the ``lead`` axes of designs before the station axis."""
    return values[(..., *(None,) * (shape.ndim - lead), slice(None))]


def cut(stations: Stations, height: Array, slope: Array) -> Cut:
    """Cut the boards by the water ``z = height - slope x``; ``slope`` broadcasts to ``height``."""
    lead = stations.x.ndim - 1
    x, beam, bottom, weight, thick, radius = (
        widen(values, height, lead)
        for values in (
            stations.x, stations.half_beam, stations.bottom, stations.weight,
            stations.thickness, np.maximum(stations.rails, 1e-9),
        )
    )  # fmt: skip
    deep = height[..., None] - (slope[..., None] * x + bottom)
    depth = np.minimum(np.maximum(deep, 0.0), thick)
    share = np.minimum(depth * (1.0 / radius), 1.0)
    rest = 1.0 - share
    arc = np.arccos(rest)
    root = np.sqrt(share * (1.0 + rest))
    loss = (share - 0.5 * (arc - rest * root)) * radius**2
    half = beam * depth
    area = half - loss
    tilt = slope[..., None] + widen(stations.bottom_slope, height, lead)
    wet = covered(deep, tilt, weight)
    girth = wet * (beam - radius + radius * (arc - share) + depth)
    low = np.vecdot(loss, SPANDREL_CENTRE * radius * weight)
    return Cut(
        volume=2.0 * np.vecdot(area, weight),
        moment_x=2.0 * np.vecdot(area, x * weight),
        moment_z=2.0 * (np.vecdot(area, bottom * weight) + 0.5 * np.vecdot(half * depth, weight) - low),
        wetted_area=2.0 * np.vecdot(girth, weight),
        deep=deep,
        inward=radius * (1.0 - root),
        wet=wet,
    )


def covered(deep: Array, tilt: Array, cell: Array) -> Array:
    """Return the share of a station's length that lies below the water [-]."""
    share = deep * (1.0 / np.maximum(np.abs(tilt) * cell, 1e-12))
    return np.minimum(np.maximum(share + 0.5, 0.0), 1.0)


def upright(stations: Stations, sink: Array, tau: Array) -> Immersed:
    """Return the immersed part of an upright board at a depth of the tail and a trim (shapes alike).

    A station counts for the part of its length that is wet, so that waterplane and wetted area are
    continuous.
    """
    rise, level = np.tan(tau), np.cos(tau)
    some = cut(stations, sink / level, rise)
    lead = stations.x.ndim - 1
    x, weight, beam, deck, thick = (
        widen(values, sink, lead)
        for values in (
            stations.x, stations.weight, stations.half_beam, stations.deck_slope, stations.thickness,
        )
    )  # fmt: skip
    flooded = covered(some.deep - thick, deck + rise[..., None], weight)
    breadth = 2.0 * (beam - some.inward)
    strip = np.maximum(some.wet - flooded, 0.0) * breadth * weight
    plane, first = strip.sum(axis=-1), np.vecdot(strip, x)
    place_x, place_z = first_touch(stations, rise)
    middle = np.where(plane > 0.0, first / np.where(plane > 0.0, plane, 1.0), place_x)
    return Immersed(
        volume=some.volume,
        centre_x=ratio(some.moment_x, some.volume, place_x),
        centre_y=np.zeros(sink.shape),
        centre_z=ratio(some.moment_z, some.volume, place_z),
        waterplane_area=plane / level,
        waterplane_x=middle,
        transverse_moment=np.vecdot(strip, breadth * breadth) / (12.0 * level),
        longitudinal_moment=np.vecdot(strip, (x - middle[..., None]) ** 2) / level**3,
        wetted_area=some.wetted_area,
    )


def ratio(moment: Array, whole: Array, otherwise: Array) -> Array:
    """Return a centroid, or where there is nothing the point that would touch the water first."""
    some = whole > 1e-12
    return np.where(some, moment / np.where(some, whole, 1.0), otherwise)


def first_touch(stations: Stations, slope: Array) -> tuple[Array, Array]:
    """Return x and z of the lowest station of a trimmed board."""
    lead = stations.x.ndim - 1
    x, bottom = widen(stations.x, slope, lead), widen(stations.bottom, slope, lead)
    at = (bottom + slope[..., None] * x).argmin(axis=-1)
    if lead:
        boards = stations.x.shape[:-1]
        at = at + (np.arange(math.prod(boards)) * x.shape[-1]).reshape(boards + (1,) * (at.ndim - lead))
    return stations.x.reshape(-1).take(at), stations.bottom.reshape(-1).take(at)


def heeled(stations: Stations, sink: Array, tau: Array, phi: Array) -> Immersed:
    """Return the immersed part of a heeled board: exact for sections with square corners.

    The depth of the bottom runs linearly across a section; its powers, cut off at the bottom and
    at the deck, are integrated in closed form. A rounded corner is taken off whole with its rail.
    """
    lead = stations.x.ndim - 1
    x, beam, bottom = (widen(v, sink, lead) for v in (stations.x, stations.half_beam, stations.bottom))
    weight, radius = widen(stations.weight, sink, lead), widen(stations.rails, sink, lead)
    thick = widen(stations.thickness, sink, lead)
    level = np.cos(tau) * np.cos(phi)
    lean = np.tan(phi)
    lean = np.where(np.abs(lean) < 1e-6, 1e-6, lean)[..., None]
    middle = (sink / level)[..., None] - (np.tan(tau) / np.cos(phi))[..., None] * x - bottom
    high, low = middle + beam * lean, middle - beam * lean
    top, foot = (np.minimum(np.maximum(u, 0.0), thick) for u in (high, low))
    over, under = np.maximum(high - thick, 0.0), np.maximum(low - thick, 0.0)
    plain = 0.5 * (top * top - foot * foot) + thick * (over - under)
    cubed = (top * top * top - foot * foot * foot) / 3.0
    squared = cubed + thick * thick * (over - under)
    crossed = cubed + thick * (over * (thick + 0.5 * over) - under * (thick + 0.5 * under))
    corner = [SPANDREL * radius**2 * np.minimum(end / np.maximum(radius, 1e-9), 1.0)
              for end in (top, foot)]  # fmt: skip
    area = plain / lean - corner[0] - corner[1]
    side = (crossed - middle * plain) / (lean * lean) - beam * (corner[0] - corner[1])
    lift = bottom * area + 0.5 * squared / lean - SPANDREL_CENTRE * radius * (corner[0] + corner[1])
    left, right = (top - middle) / lean, (foot - middle) / lean
    whole = np.vecdot(area, weight)
    strip = (left - right) * weight
    plane = strip.sum(axis=-1)
    some = np.where(plane > 0.0, plane, 1.0)
    place_x, place_z = first_touch(stations, np.tan(tau))
    along = np.where(plane > 0.0, np.vecdot(strip, x) / some, place_x)
    across = np.vecdot(strip, 0.5 * (left + right)) / some
    spread = np.vecdot(left * left * left - right * right * right, weight) / 3.0 - plane * across**2
    bare = (np.maximum(high, 0.0) - np.maximum(low, 0.0)) / lean
    return Immersed(
        volume=whole,
        centre_x=ratio(np.vecdot(area * x, weight), whole, place_x),
        centre_y=ratio(np.vecdot(side, weight), whole, np.zeros(sink.shape)),
        centre_z=ratio(np.vecdot(lift, weight), whole, place_z),
        waterplane_area=plane / level,
        waterplane_x=along,
        transverse_moment=spread / (level * np.cos(phi) ** 2),
        longitudinal_moment=np.vecdot(strip, (x - along[..., None]) ** 2) / (level * np.cos(tau) ** 2),
        wetted_area=np.vecdot(bare + top + foot, weight),
    )


def pick(stations: Stations, part: tuple[slice, ...]) -> Stations:
    """Return some of the designs; the same object where that is all of them."""
    if not part or (part[0].start == 0 and part[0].stop >= stations.x.shape[0]):
        return stations
    return Stations(**{name: np.asarray(getattr(stations, name))[part] for name in Stations.__dataclass_fields__})
