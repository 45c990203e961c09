"""What the water carries: the immersed part of a board, and how it floats at rest.

The board is cut at its stations (``shape.board``); every section may be dry, partly immersed or
flooded over its deck. Lengths are in the frame of the board (x forward from the tail, y to port,
z up from the bottom at the tail). Trim is positive nose up, heel positive port side down; the
draught is the depth of the bottom at the tail below the still water.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from foilwright.core import solve
from foilwright.core.model import Array, Mask, model
from foilwright.core.solve import Flag
from foilwright.physics.water import GRAVITY
from foilwright.shape.board import Boards, Stations, as_stations, volume
from foilwright.shape.immersed import Immersed, cut, first_touch, heeled, pick, ratio, upright

STRIPS = "Archimedes; strip integration as in Biran and Lopez-Pulido 2014, Ship Hydrostatics and Stability"
TRIM = (-0.35, 0.35, "trimmed by more than 20 degrees")
HEEL = (-1.3, 1.3, "heeled by more than 75 degrees")
BLOCK = 15_000
"""Sections computed at once, so that the work stays in the processor's cache."""
NAMES = tuple(field.name for field in fields(Immersed))


@dataclass(frozen=True, slots=True, kw_only=True)
class Hull(Immersed):
    """The immersed part of a board held at a draught, trim and heel, with its validity."""

    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """A board at rest: arrays (n,), NaN where ``found`` is False."""

    found: Flag  # False: it sinks, or no trim within 14 degrees balances it
    sinks: Flag  # the mass is more than the whole volume carries
    reserve: Array  # buoyancy of the whole volume less the weight; negative is the deficit [N]
    draught: Array  # depth of the bottom at the tail [m]
    trim: Array  # nose up [rad]
    freeboard: Array  # of the lowest point of the deck edge; negative is awash [m]
    centre_x: Array  # centre of buoyancy, ahead of the tail [m]
    centre_z: Array  # centre of buoyancy above the bottom at the tail, KB [m]
    transverse_radius: Array  # BM_T [m]
    longitudinal_radius: Array  # BM_L [m]
    transverse_gm: Array  # GM_T with the given centre of gravity [m]
    longitudinal_gm: Array  # GM_L with the given centre of gravity [m]
    waterplane_area: Array  # [m^2]
    wetted_area: Array  # [m^2]
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadTable:
    """What the water carries at fixed trims: arrays (n, t, levels), increasing in load."""

    load: Array  # vertical force of the water [N]
    load_point: Array  # where its line of action meets the plane of the bottom, ahead of the tail [m]
    wetted_area: Array  # [m^2]
    draught: Array  # depth of the bottom at the tail [m]


@dataclass(frozen=True, slots=True, kw_only=True)
class Arm:
    """Righting arms: arrays (n, h)."""

    found: Flag  # False: it sinks
    arm: Array  # positive turns the board back, NaN where it sinks [m]
    draught: Array  # depth of the bottom at the tail on the centre line [m]
    outside: Mask


@model(source=STRIPS, valid={"trim": TRIM, "heel": HEEL})
def hull(*, stations: Boards, draught: Array, trim: Array | float, heel: Array | float | None = None) -> Hull:
    r"""Return the immersed part of a board held at a draught, a trim and a heel.

    Parameters
    ----------
    stations : Stations or (..., 4, k) array
        The boards, or their offsets: place ahead of the tail, half width, bottom, deck [m].
    draught : (n, ...) array
        Depth of the bottom at the tail [m]; ``trim`` and ``heel`` broadcast with it.
    trim : (n, ...) array
        Nose up [rad].
    heel : None or (n, ...) array
        Port side down [rad]; None is upright.

    Returns
    -------
    Hull
        Volume [m^3], centres [m], waterplane [m^2, m^4], wetted area [m^2]; shapes (n, ...).

    Notes
    -----
    The water in the frame of the board is
    :math:`z = (d - x \sin\tau + y \cos\tau \sin\varphi) / (\cos\tau \cos\varphi)`. A lower corner of
    radius r loses :math:`(1 - \pi/4) r^2` when fully immersed. Upright, a station counts for the part of its
    length that is wet, so that waterplane and wetted area are continuous; heeled, it is wet or dry.
    """
    boards = as_stations(stations)
    sink, tau, phi = np.broadcast_arrays(
        *(np.asarray(v, dtype=np.float64) for v in (draught, trim, 0.0 if heel is None else heel))
    )
    cuts = [
        upright(some, sink[part], tau[part]) if heel is None else heeled(some, sink[part], tau[part], phi[part])
        for part, some in ((part, pick(boards, part)) for part in _groups(sink, boards))
    ]
    joined = {name: [getattr(one, name) for one in cuts] for name in NAMES}
    whole = {name: parts[0] if len(parts) == 1 else np.concatenate(parts) for name, parts in joined.items()}
    return Hull(**whole, outside=hull.mask(trim=tau, heel=phi))


def _groups(values: Array, stations: Stations) -> list[tuple[slice, ...]]:
    """Return slices of designs that hold about ``BLOCK`` sections each."""
    if stations.x.ndim == 1:
        return [()]
    designs, count = values.shape[0], stations.x.shape[-1]
    group = max(1, BLOCK * designs // max(1, values.size * count))
    return [(slice(start, start + group),) for start in range(0, designs, group)]


@model(source=STRIPS, valid={"trim": TRIM})
def load_table(*, stations: Boards, trim: Array, density: Array, levels: int = 14) -> LoadTable:
    r"""Return what the water carries at given trims, from the first touch to the whole volume.

    Parameters
    ----------
    stations : Stations or (..., 4, k) array
        The boards, or their offsets: place ahead of the tail, half width, bottom, deck [m].
    trim : (t,) or (n, t) array
        Nose up [rad].
    density : float or (n,) array
        Of the water [kg/m^3].
    levels : int
        Number of draughts [-].

    Returns
    -------
    LoadTable
        Load [N], load point [m], wetted area [m^2], draught [m]; shapes (n, t, levels).

    Notes
    -----
    The vertical line through the centre of buoyancy meets the plane of the bottom at
    :math:`x_b - z_b \tan\tau`. A weight at (x, z) balances it when :math:`x - z \tan\tau` is the same.
    """
    boards = as_stations(stations)
    lead = boards.x.shape[:-1]
    tau = np.broadcast_to(np.asarray(trim, dtype=np.float64), (*lead, np.shape(trim)[-1]))
    slope = np.tan(tau)[..., None]
    lines = slope * boards.x[..., None, :]
    first = (boards.bottom[..., None, :] + lines).min(axis=-1, keepdims=True)
    last = (boards.deck[..., None, :] + lines).max(axis=-1, keepdims=True)
    height = first + (last - first) * np.linspace(0.0, 1.0, levels) ** 1.5
    place_x, place_z = (place[..., None] for place in first_touch(boards, slope[..., 0]))
    volumes, points, wetted = (np.empty(height.shape) for _ in range(3))
    for part in _blocks(height.shape, len(lead), boards.x.shape[-1]):
        some = pick(boards, part[: len(lead)])
        rise = slope[part[:-1]]
        under = cut(some, height[part], rise)
        lever = under.moment_x - rise * under.moment_z
        touch = (place_x - slope * place_z)[part[:-1]]
        volumes[part], wetted[part] = under.volume, under.wetted_area
        points[part] = ratio(lever, under.volume, touch)
    return LoadTable(
        load=np.asarray(density, dtype=np.float64)[..., None, None] * GRAVITY * volumes,
        load_point=points,
        wetted_area=wetted,
        draught=height * np.cos(tau)[..., None],
    )


def _blocks(shape: tuple[int, ...], lead: int, count: int) -> list[tuple[slice, ...]]:
    """Return slices of (designs, trims, levels) that hold about ``BLOCK`` sections each."""
    across = count * shape[-2]
    levels = max(1, min(shape[-1], BLOCK // across))
    parts = [slice(k, k + levels) for k in range(0, shape[-1], levels)]
    if lead == 0:
        return [(slice(None), part) for part in parts]
    designs = max(1, BLOCK // (across * levels))
    groups = [slice(k, k + designs) for k in range(0, shape[0], designs)]
    return [(group, slice(None), part) for group in groups for part in parts]


@model(source=STRIPS, valid={"trim": TRIM})
def rest(
    *,
    stations: Boards,
    mass: Array,
    centre_x: Array,
    density: Array,
    centre_z: Array | float = 0.0,
    coarse: LoadTable | None = None,
) -> Rest:
    r"""Return how a board floats at rest with a mass on it, upright.

    Parameters
    ----------
    stations : Stations or (..., 4, k) array
        The boards, or their offsets: place ahead of the tail, half width, bottom, deck [m].
    mass : float or (n,) array
        All that floats, less what its parts below the board displace [kg].
    centre_x : float or (n,) array
        Centre of gravity ahead of the tail [m].
    density : float or (n,) array
        Of the water [kg/m^3].
    centre_z : float or (n,) array
        Centre of gravity above the bottom at the tail, KG [m].
    coarse : LoadTable, optional
        Of the boards at ``START_TRIMS`` and ``START_LEVELS`` for a density of 1 / gravity, made once where the
        same boards float under several masses [SI].

    Returns
    -------
    Rest
        Draught [m], trim [rad], freeboard [m], KB, BM and GM [m]; shapes (n,).

    Notes
    -----
    Balance: :math:`\rho \nabla = m` and :math:`x_b - x_g = (z_b - z_g) \tan\tau`. The first stable
    trim from nose down to nose up in a coarse table starts a Newton iteration on both, whose step
    is halved where it does not improve. :math:`GM = BM - (z_g - z_b) / \cos\tau`.
    """
    boards = as_stations(stations)
    lead = boards.x.shape[:-1]
    m, xg, rho, zg = (
        np.broadcast_to(np.asarray(v, dtype=np.float64), lead) for v in (mass, centre_x, density, centre_z)
    )
    whole = volume(boards)
    sought = m / rho
    sinks = sought >= whole
    table = coarse or load_table(stations=boards, trim=START_TRIMS, density=LIKE_VOLUME, levels=START_LEVELS)
    start, slope, found = _start(table, np.where(sinks, 0.5 * whole, sought), xg, zg)
    height, slope, miss, under = _balance(
        stations=boards, height=start, slope=slope, sought=sought, xg=xg, zg=zg, active=found & ~sinks
    )
    found = miss < 1e-9
    tau = np.arctan(slope)
    level = np.cos(tau)
    above = boards.deck - (height[..., None] - slope[..., None] * boards.x)
    transverse, longitudinal = (
        under.transverse_moment / under.volume,
        under.longitudinal_moment / under.volume,
    )
    lever = (zg - under.centre_z) / level

    def known(value: Array) -> Array:
        return np.where(found, value, np.nan)

    return Rest(
        found=found,
        sinks=sinks,
        reserve=(rho * whole - m) * GRAVITY,
        draught=known(height * level),
        trim=known(tau),
        freeboard=known(above.min(axis=-1) * level),
        centre_x=known(under.centre_x),
        centre_z=known(under.centre_z),
        transverse_radius=known(transverse),
        longitudinal_radius=known(longitudinal),
        transverse_gm=known(transverse - lever),
        longitudinal_gm=known(longitudinal - lever),
        waterplane_area=known(under.waterplane_area),
        wetted_area=known(under.wetted_area),
        outside=np.where(found, rest.mask(trim=tau), np.uint64(0)),
    )


EVEN = 1e-8
"""Volume [m^3] by which a heeled board may float too deep or too high: ten cubic millimetres."""
START_TRIMS = np.linspace(-0.25, 0.25, 11)
"""Trims at which a balance is looked for [rad]."""
LIKE_VOLUME = np.asarray(1.0 / GRAVITY)
"""Density at which a load in newtons is the volume in cubic metres [kg/m^3]."""
START_LEVELS = 10
"""Draughts at each of them [-]."""


def _start(coarse: LoadTable, sought: Array, xg: Array, zg: Array) -> tuple[Array, Array, Flag]:
    """Return a water height and slope near the balance, read in a coarse table, and where there is one."""
    trims = START_TRIMS
    want = sought[..., None, None]
    points = solve.rows(want, coarse.load, coarse.load_point)[..., 0]
    draughts = solve.rows(want, coarse.load, coarse.draught)[..., 0]
    lever = points - xg[..., None] + zg[..., None] * np.tan(trims)
    stable = (lever[..., :-1] > 0.0) & (lever[..., 1:] <= 0.0)
    found = np.asarray(stable.any(axis=-1))
    far = np.where(stable, np.abs(0.5 * (trims[1:] + trims[:-1])), np.inf)
    at = np.argmin(far, axis=-1)[..., None]
    ahead, behind = (np.take_along_axis(lever, at + k, axis=-1)[..., 0] for k in (0, 1))
    part = np.where(found, ahead / np.where(found, ahead - behind, 1.0), 0.0)
    tau = trims[at[..., 0]] + part * (trims[1] - trims[0])
    return solve.at(trims, draughts, tau) / np.cos(tau), np.tan(tau), found


def _balance(
    *,
    stations: Stations,
    height: Array,
    slope: Array,
    sought: Array,
    xg: Array,
    zg: Array,
    active: Flag,
) -> tuple[Array, Array, Array, Hull]:
    """Return the water height and slope at which volume and lever balance, what they miss by, and the hull there."""
    length = stations.x[..., -1]
    best = (height, slope)
    step = (np.zeros(height.shape), np.zeros(height.shape))
    reach = np.ones(height.shape)
    least = np.full(height.shape, np.inf)
    for _ in range(30):
        under = _held(stations, height, slope)
        excess = under.volume - sought
        lever = (under.centre_x - xg) - slope * (under.centre_z - zg)
        miss = np.where(active, np.maximum(np.abs(excess) / sought, np.abs(lever) / length), np.inf)
        better = miss < least
        least = np.where(better, miss, least)
        best = (np.where(better, height, best[0]), np.where(better, slope, best[1]))
        done = (least < 1e-12) | ~active
        if np.all(done):
            break
        new = _step(under=under, height=height, slope=slope, excess=excess, lever=lever, zg=zg)
        step = (
            np.where(better, np.clip(new[0], -0.05 * length, 0.05 * length), step[0]),
            np.where(better, np.clip(new[1], -0.1, 0.1), step[1]),
        )
        reach = np.where(done, 0.0, np.where(better, 1.0, 0.5 * reach))
        height = best[0] + reach * step[0]
        slope = np.clip(best[1] + reach * step[1], -0.36, 0.36)
    return *best, least, under if np.all(better) else _held(stations, *best)


def _held(stations: Stations, height: Array, slope: Array) -> Hull:
    tau = np.arctan(slope)
    return hull(stations=stations, draught=height * np.cos(tau), trim=tau)


def _step(*, under: Hull, height: Array, slope: Array, excess: Array, lever: Array, zg: Array) -> tuple[Array, Array]:
    """Return the Newton step of water height and slope."""
    level = 1.0 / np.sqrt(1.0 + slope * slope)
    area = np.maximum(under.waterplane_area * level, 1e-9)
    first = area * under.waterplane_x
    second = under.longitudinal_moment * level**3 + first * under.waterplane_x
    upright, leaning = height * area - slope * first, height * first - slope * second
    held = np.maximum(under.volume, 1e-9)
    by_height = ((first - under.centre_x * area) - slope * (upright - under.centre_z * area)) / held
    by_slope = (under.centre_x * first - second + slope * (leaning - under.centre_z * first)) / held
    by_slope = by_slope - (under.centre_z - zg)
    whole = area * by_slope + first * by_height
    whole = np.where(np.abs(whole) > 1e-15, whole, 1e-15)
    return -(excess * by_slope + first * lever) / whole, -(area * lever - by_height * excess) / whole


@model(source=STRIPS, valid={"heel": HEEL})
def righting_arm(*, stations: Boards, mass: Array, centre_z: Array, heel: Array, density: Array) -> Arm:
    r"""Return the righting arm of boards held at a heel, free to sink, without trim.

    Parameters
    ----------
    stations : Stations or (..., 4, k) array
        The boards, or their offsets: place ahead of the tail, half width, bottom, deck [m].
    mass : float or (n,) array
        All that floats [kg].
    centre_z : float or (n,) array
        Centre of gravity above the bottom at the tail [m], on the centre line.
    heel : (h,) or (n, h) array
        Port side down [rad].
    density : float or (n,) array
        Of the water [kg/m^3].

    Returns
    -------
    Arm
        Arm [m] and draught [m]; shapes (n, h).

    Notes
    -----
    :math:`GZ = y_b \cos\varphi + (z_b - z_g) \sin\varphi`.
    """
    boards = as_stations(stations)
    lead = boards.x.shape[:-1]
    phi = np.broadcast_to(np.asarray(heel, dtype=np.float64), (*lead, np.shape(heel)[-1]))
    m, zg, rho = (np.broadcast_to(np.asarray(v, dtype=np.float64), lead)[..., None] for v in (mass, centre_z, density))
    found = np.broadcast_to(m / rho < volume(boards)[..., None], phi.shape)
    sought = np.where(found, m / rho, 0.5 * volume(boards)[..., None])
    across = boards.half_beam[..., None, :] * np.abs(np.tan(phi))[..., None]
    low = (boards.bottom[..., None, :] - across).min(axis=-1)
    high = (boards.deck[..., None, :] + across).max(axis=-1)
    level = np.cos(phi)
    height = 0.5 * (low + high)
    for _ in range(50):
        under = hull(stations=boards, draught=height * level, trim=0.0, heel=phi)
        excess = under.volume - sought
        done = np.abs(excess) < EVEN
        if np.all(done):
            break
        low, high = np.where(excess < 0.0, height, low), np.where(excess > 0.0, height, high)
        new = height - excess / np.maximum(under.waterplane_area * level, 1e-9)
        height = np.where(done, height, np.where((new >= low) & (new <= high), new, 0.5 * (low + high)))
    arm = under.centre_y * level + (under.centre_z - zg) * np.sin(phi)
    return Arm(
        found=found,
        arm=np.where(found, arm, np.nan),
        draught=np.where(found, height * level, np.nan),
        outside=righting_arm.mask(heel=phi),
    )
