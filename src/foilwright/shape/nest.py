"""Pieces on sheets: rectangles nested with the width of the cut between them; joints that do not line up.

A piece is nested by the rectangle about it. The skyline rule (Burke, Kendall and Whitwell 2004,
Operations Research 52, 655) puts the piece that fits best into the lowest gap; several orders are tried.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array, model

TRIES = 24
"""Orders that are tried beyond the four of size, drawn with a fixed seed."""
SLACK = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A rectangle to cut: its name, and its measures along and across the sheet [m]."""

    name: str
    along: float
    across: float
    turns: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Where a piece lies: the sheet, its lower left corner [m], and whether it is turned by a right angle."""

    piece: Piece
    sheet: int
    x: float
    y: float
    turned: bool

    @property
    def along(self) -> float:
        """Its measure along the sheet as it lies [m]."""
        return self.piece.across if self.turned else self.piece.along

    @property
    def across(self) -> float:
        """Its measure across the sheet as it lies [m]."""
        return self.piece.along if self.turned else self.piece.across


@dataclass(frozen=True, slots=True, kw_only=True)
class Nest:
    """Pieces on sheets of one size."""

    placed: tuple[Placed, ...]
    too_large: tuple[Piece, ...]
    sheets: int
    used: float  # area of the pieces over that of the sheets, the last one only as far as it is used
    reach: float  # m, how far the last sheet is used along


def nest(pieces: Sequence[Piece], *, along: float, across: float, kerf: float = 0.0) -> Nest:
    """Return pieces nested on as many sheets as it takes; what fits no sheet is told apart.

    Parameters
    ----------
    pieces : sequence of Piece
        What is to be cut.
    along, across : float
        Measures of a sheet [m]; a roll is a sheet as long as it likes.
    kerf : float
        Width of the cut that stays between pieces [m].
    """
    fits = [each for each in pieces if _ways(each, along, across)]
    large = tuple(each for each in pieces if not _ways(each, along, across))
    random = np.random.default_rng(0)
    best: tuple[tuple[int, float], tuple[Placed, ...]] | None = None
    for number in range(TRIES + 4):
        placed = _filled(_ordered(fits, number, random), along + kerf, across + kerf, kerf)
        last = max((one.sheet for one in placed), default=-1)
        reach = max((one.x + one.along for one in placed if one.sheet == last), default=0.0)
        if best is None or (last, reach) < best[0]:
            best = ((last, reach), placed)
    (last, reach), placed = best or ((-1, 0.0), ())
    whole = max(last, 0) * along * across + reach * across
    area = sum(each.along * each.across for each in fits)
    return Nest(placed=placed, too_large=large, sheets=last + 1, used=area / whole if whole else 0.0, reach=reach)


def _ways(piece: Piece, along: float, across: float) -> list[bool]:
    """Return the ways in which a piece fits a sheet: as it is, turned."""
    as_is = piece.along <= along + SLACK and piece.across <= across + SLACK
    turned = piece.turns and piece.across <= along + SLACK and piece.along <= across + SLACK
    return [way for way, there in ((False, as_is), (True, turned)) if there]


def _ordered(pieces: Sequence[Piece], number: int, random: np.random.Generator) -> list[Piece]:
    keys = (
        lambda one: (one.along * one.across, one.along), lambda one: (max(one.along, one.across), one.across),
        lambda one: (one.across, one.along), lambda one: (one.along, one.across),
    )  # fmt: skip
    if number < len(keys):
        return sorted(pieces, key=keys[number], reverse=True)
    weight = random.uniform(0.6, 1.4, len(pieces))
    order = sorted(range(len(pieces)), key=lambda k: -weight[k] * max(pieces[k].along, pieces[k].across))
    return [pieces[k] for k in order]


def _filled(pieces: list[Piece], along: float, across: float, kerf: float) -> tuple[Placed, ...]:
    """Return the pieces, one sheet filled after the other, each up to its skyline."""
    left, placed, sheet = list(pieces), [], 0
    while left:
        here, left = _one_sheet(left, along, across, kerf, sheet)
        if not here:
            break
        placed += here
        sheet += 1
    return tuple(placed)


def _one_sheet(
    pieces: list[Piece], along: float, across: float, kerf: float, sheet: int
) -> tuple[list[Placed], list[Piece]]:
    """Return what goes on one sheet and what is left; the skyline is (from, to, height) across the sheet."""
    sky = [(0.0, across, 0.0)]
    placed: list[Placed] = []
    left = list(pieces)
    while left:
        k = min(range(len(sky)), key=lambda j: (sky[j][2], sky[j][0]))
        low, high, level = sky[k]
        choice = _best(left, high - low, along - level, kerf)
        if choice is None:
            if len(sky) == 1:
                break
            sky = _raised(sky, k)
            continue
        index, turned = choice
        piece = left.pop(index)
        long, wide = (piece.across, piece.along) if turned else (piece.along, piece.across)
        walls = [sky[j][2] if 0 <= j < len(sky) else along for j in (k - 1, k + 1)]
        y = low if walls[0] >= walls[1] else high - wide - kerf
        placed.append(Placed(piece=piece, sheet=sheet, x=level, y=y, turned=turned))
        sky = _covered(sky, y, y + wide + kerf, level + long + kerf)
    return placed, left


def _best(left: list[Piece], room: float, height: float, kerf: float) -> tuple[int, bool] | None:
    """Return the piece that fills most of a gap's width, the earlier of equals, and whether turned."""
    best: tuple[float, int, bool] | None = None
    for index, piece in enumerate(left):
        for turned in (False, True) if piece.turns else (False,):
            long, wide = (piece.across, piece.along) if turned else (piece.along, piece.across)
            if wide + kerf <= room + SLACK and long + kerf <= height + SLACK and (best is None or wide > best[0]):
                best = (wide, index, turned)
    return None if best is None else best[1:]


def _raised(sky: list[tuple[float, float, float]], k: int) -> list[tuple[float, float, float]]:
    """Return the skyline with a gap that nothing fits raised to its lower neighbour."""
    levels = [sky[j][2] for j in (k - 1, k + 1) if 0 <= j < len(sky)]
    return _joined([*sky[:k], (sky[k][0], sky[k][1], min(levels)), *sky[k + 1 :]])


def _covered(
    sky: list[tuple[float, float, float]], low: float, high: float, level: float
) -> list[tuple[float, float, float]]:
    out: list[tuple[float, float, float]] = []
    for start, end, was in sky:
        if end <= low + SLACK or start >= high - SLACK:
            out.append((start, end, was))
            continue
        if start < low - SLACK:
            out.append((start, low, was))
        if end > high + SLACK:
            out.append((high, end, was))
    out.append((low, high, level))
    return _joined(sorted(out))


def _joined(sky: list[tuple[float, float, float]]) -> list[tuple[float, float, float]]:
    out = [sky[0]]
    for start, end, level in sky[1:]:
        if abs(level - out[-1][2]) <= SLACK:
            out[-1] = (out[-1][0], end, level)
        else:
            out.append((start, end, level))
    return out


@model(source="Burke, Kendall and Whitwell 2004, Operations Research 52, 655: lowest gap, best fit; 28 orders tried")
def strip_height(*, strip_width: Array, first_side: Array, second_side: Array) -> Array:
    """Return the length of a strip into which rectangles are nested without a kerf, turned where it helps.

    Parameters
    ----------
    strip_width : float
        Width of the strip [m].
    first_side, second_side : (k,) array
        Sides of the rectangles [m].

    Returns
    -------
    float
        Length of the strip that is used [m].
    """
    sides = zip(np.atleast_1d(first_side).tolist(), np.atleast_1d(second_side).tolist(), strict=True)
    pieces = [Piece(name=str(k), along=a, across=b) for k, (a, b) in enumerate(sides)]
    made = nest(pieces, along=float(np.sum(first_side) + np.sum(second_side)), across=float(strip_width))
    return np.asarray(made.reach)


@dataclass(frozen=True, slots=True, kw_only=True)
class Joints:
    """Where the layers of a laminated blank are jointed across: [m] from the tail, by layer."""

    places: tuple[tuple[float, ...], ...]
    stagger: float  # m, least distance of joints in layers that lie on each other; inf where there are none
    wanted: float  # m


GRID = 0.01
KEPT = 60
"""Grid of joints [m], and how many ways are followed at once."""


def joints(
    spans: Sequence[tuple[float, float]],
    *,
    longest: float,
    free_of: Sequence[tuple[float, float]],
    stagger: float,
) -> Joints:
    """Return joints across each layer: as few as it takes, none in the zones, staggered as far as it goes.

    Parameters
    ----------
    spans : sequence of (from, to)
        Where each layer begins and ends along the board [m], from the bottom layer up.
    longest : float
        Longest piece that a sheet gives [m].
    free_of : sequence of (from, to)
        Zones without joints [m].
    stagger : float
        Distance wanted between joints of layers that lie on each other [m].
    """
    ways = [ways_to_cut(span, longest, free_of) for span in spans]
    beam: list[tuple[float, tuple[tuple[float, ...], ...]]] = [(0.0, ())]
    for options in ways:
        grown = [
            (score + _worth(chosen, option, stagger), (*chosen, option)) for score, chosen in beam for option in options
        ]
        beam = sorted(grown, key=lambda one: (-one[0], one[1]))[:KEPT]
    places = beam[0][1] if beam else ()
    return Joints(places=places, stagger=_least(places), wanted=stagger)


def _least(places: Sequence[Sequence[float]]) -> float:
    apart = [abs(a - b) for low, high in itertools.pairwise(places) for a in low for b in high]
    return min(apart, default=float("inf"))


def _worth(chosen: Sequence[Sequence[float]], option: Sequence[float], stagger: float) -> float:
    """Return what a layer's joints are worth: distance to those of the layer below, up to the stagger; then to all."""
    below = min((abs(a - b) for a in (chosen[-1] if chosen else ()) for b in option), default=stagger)
    others = min((abs(a - b) for each in chosen[:-1] for a in each for b in option), default=stagger)
    return 10.0 * min(below / stagger, 1.0) + min(others / stagger, 0.3)


def ways_to_cut(
    span: tuple[float, float], longest: float, free_of: Sequence[tuple[float, float]]
) -> list[tuple[float, ...]]:
    """Return sets of joints that leave no piece too long: as few joints as it takes."""
    start, end = span
    grid: npt.NDArray[np.float64] = np.arange(np.ceil(start / GRID), np.floor(end / GRID) + 1.0) * GRID
    open_ = np.array([not any(low - SLACK < x < high + SLACK for low, high in free_of) for x in grid], dtype=bool)
    grid = grid[open_ & (grid > start + 0.1) & (grid < end - 0.1)]
    if end - start <= longest + SLACK:
        return [()]
    one: list[tuple[float, ...]] = [
        (float(x),) for x in grid if x - start <= longest + SLACK and end - x <= longest + SLACK
    ]
    if one:
        return one
    coarse = grid[:: max(len(grid) // 40, 1)]
    two: list[tuple[float, ...]] = [
        (float(a), float(b))
        for a in coarse for b in coarse
        if a - start <= longest and 0.2 < b - a <= longest and end - b <= longest
    ]  # fmt: skip
    if two:
        return two
    count = int(np.ceil((end - start) / longest - SLACK))
    return [tuple(start + (end - start) * k / count for k in range(1, count))]
