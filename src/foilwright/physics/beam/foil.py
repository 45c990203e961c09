"""Section of a mast or wing: wrap of glass, wall, core, duct, and rods or plates inside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array, model
from foilwright.physics.beam.inset import (
    AREA,
    BOTTOM,
    EDGE,
    FIRST_X,
    FIRST_Z,
    FLAT,
    NOSE,
    OUTWARD,
    PERIMETER,
    TAIL,
    TOP,
    TORSION,
    at_depth,
    insets,
)
from foilwright.physics.beam.shapes import Section, Shape, round_bar

WRAP, WALL, CORE = range(3)
"""Layers of a foil section; those of its bars follow."""
TWIST_SOLID = 0.985
"""Greatest shear stress of a thin solid section over shear modulus, twist a length and its thickness [-]."""
SHEAR_DEPTH = 0.55
"""Second moment over first moment of half a foil section, over its depth [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """Rods, tubes or plates along a part; arrays broadcast to (..., k), the last axis the bars."""

    shape: Shape
    """shape of each [SI]."""
    x: Array
    """x aft of the nose [m]."""
    z: Array
    """z above the chord line [m]."""
    modulus: Array
    """modulus of each [Pa]."""
    shear_modulus: Array
    """shear_modulus of each [Pa]."""


def _outer(value: Array, which: npt.NDArray[np.intp]) -> npt.NDArray[np.intp]:
    """Return the choice of each design with as many axes as the sizes have."""
    return which[0] if which.size == 1 else which.reshape(which.shape + (1,) * (value.ndim - 1))


@model(
    source="polygon moments of parallel outlines; torsion: Roark's thin solid airfoil, outer less inner, "
    "times a share of closed shells fitted from below to finite elements",
    valid={
        "wrap_share": (0.0, OUTWARD, "a wrap thicker than 8 % of the chord"),
    },
    decides=("wrap_share",),
)
def foil_section(
    *,
    sections: Sequence[str],
    chord: Array,
    wall: Array,
    wall_modulus: Array,
    wall_shear_modulus: Array,
    core_modulus: Array | float = 0.0,
    core_shear_modulus: Array | float = 0.0,
    wrap: Array | float = 0.0,
    wrap_modulus: Array | float = 0.0,
    wrap_shear_modulus: Array | float = 0.0,
    duct: Array | float = 0.0,
    duct_place: Array | float = 0.3,
    bars: Bars | None = None,
) -> Section:
    r"""Return the stiffness of a foil-shaped section of several materials.

    Parameters
    ----------
    sections : sequence of str
        Designations, for example ``naca0012``, one a design or one for all [-].
    chord : (n,) or (n, ...) array
        Chord of the outline that the wall ends at [m].
    wall : (n,) or (n, ...) array
        Thickness of the wall, inward from the outline; from half the thickness on it is solid [m].
    wall_modulus, wall_shear_modulus : (n,) or (n, ...) array
        Young's and shear modulus of the wall along the part [Pa].
    core_modulus, core_shear_modulus : float or array
        Moduli of what fills the inside, 0 for a hollow one [Pa].
    wrap : float or array
        Thickness of the laminate laid over the outline, 0 for none [m].
    wrap_modulus, wrap_shear_modulus : float or array
        Moduli of that laminate [Pa].
    duct : float or array
        Diameter of a hole along the part, 0 for none [m].
    duct_place : float or array
        Its middle aft of the nose over the chord [-].
    bars : Bars, optional
        Rods or plates that take the place of what would be there [SI].

    Returns
    -------
    Section
        Layers: wrap, wall, core, then each bar; fields with their units in the class [SI].

    Notes
    -----
    .. math:: GJ = f \sum G_j (J_{outer} - J_{inner}), \quad J = \frac{4 I}{1 + 16 I / A c^2}, \quad
              f = 0.972 - 0.145 \sqrt[4]{r}

    with r the J of what is hollow over that of the whole. The shear centre of a thin shell lies at
    0.26 chord, that of a solid section at 0.365; a core of 1/50 of its wall makes it solid, and
    lateral contraction brings it about 0.02 forward.
    """
    tables, which = insets(sections)
    sizes = np.broadcast_arrays(
        *(
            np.atleast_1d(np.asarray(v, dtype=np.float64))
            for v in (chord, wall, wall_modulus, wall_shear_modulus, core_modulus, core_shear_modulus)
        ),
        *(np.asarray(v, dtype=np.float64) for v in (wrap, wrap_modulus, wrap_shear_modulus, duct, duct_place)),
    )
    chord, wall, wall_e, wall_g, core_e, core_g, wrap, wrap_e, wrap_g, duct, duct_place = sizes
    kind = _outer(chord, which)
    deepest = tables.deepest[kind]
    depths = np.stack([-wrap / chord, np.zeros_like(chord), np.minimum(wall / chord, deepest)], axis=-1)
    middle = 0.5 * (depths[..., 0] + depths[..., 2])
    rows = at_depth(tables, np.asarray(kind)[..., None], np.concatenate([depths, middle[..., None]], axis=-1))
    solid = depths[..., 2] >= deepest
    rows[..., 2, :] = np.where(solid[..., None], 0.0, rows[..., 2, :])
    modulus = np.stack([wrap_e, wall_e, core_e], axis=-1)
    shear_modulus = np.stack([wrap_g, wall_g, core_g], axis=-1)
    layers = rows[..., :3, :].copy()
    layers[..., :2, :PERIMETER] -= rows[..., 1:3, :PERIMETER]
    layers *= (modulus > 0.0)[..., None]
    there = layers[..., AREA] > 0.0
    modulus, shear_modulus = np.where(there, modulus, 0.0), np.where(there, shear_modulus, 0.0)
    cut = _Cut(
        chord=chord,
        shell=wall + wrap,
        wrap=wrap,
        contours=rows,
        layers=layers,
        modulus=modulus,
        shear_modulus=shear_modulus,
        host=np.where(solid, WALL, CORE)[..., None],
        bars=_with_duct(bars, duct, duct_place * chord),
    )
    return _section(cut)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cut:
    """A foil section taken apart; the last axes are contours or layers, and columns at chord 1."""

    chord: Array
    shell: Array
    wrap: Array
    contours: Array
    layers: Array
    modulus: Array
    shear_modulus: Array
    host: npt.NDArray[np.intp]
    bars: Bars

    def at_host(self, value: Array) -> Array:
        """Return what the bars take the place of."""
        return np.asarray(np.take_along_axis(value, self.host, axis=-1))


def _with_duct(bars: Bars | None, duct: Array, place: Array) -> Bars:
    """Return the hole and then the bars."""
    hole = round_bar.function(diameter=duct[..., None])
    none = np.zeros(1)
    if bars is None:
        return Bars(shape=hole, x=place[..., None], z=none, modulus=none, shear_modulus=none)
    given = {name: getattr(bars.shape, name) for name in Shape.__slots__}
    arrays = (*given.values(), bars.x, bars.z, bars.modulus, bars.shear_modulus)
    shape = np.broadcast_shapes(*(np.shape(v) for v in arrays), (*duct.shape, 1))

    def joined(first: Array, rest: Array) -> Array:
        start = np.broadcast_to(first, (*shape[:-1], 1))
        return np.concatenate([start, np.broadcast_to(rest, shape)], axis=-1)

    return Bars(
        shape=Shape(**{name: joined(getattr(hole, name), value) for name, value in given.items()}),
        x=joined(place[..., None], bars.x),
        z=joined(none, bars.z),
        modulus=joined(none, bars.modulus),
        shear_modulus=joined(none, bars.shear_modulus),
    )


def _section(cut: _Cut) -> Section:
    """Add layers and bars up about the common neutral axis."""
    shape, x, z = cut.bars.shape, cut.bars.x, cut.bars.z
    more = cut.bars.modulus - cut.at_host(cut.modulus)
    pull = more * shape.area

    def total(column: int, power: int, added: Array) -> Array:
        sums = (cut.modulus * cut.layers[..., column]).sum(axis=-1)
        return np.asarray(sums * cut.chord**power + added.sum(axis=-1))

    axial = total(AREA, 2, pull)
    centroid_x, centroid_z = total(FIRST_X, 3, pull * x) / axial, total(FIRST_Z, 3, pull * z) / axial
    flat = total(FLAT, 4, more * shape.flat + pull * z * z) - axial * centroid_z * centroid_z
    edge = total(EDGE, 4, more * shape.edge + pull * x * x) - axial * centroid_x * centroid_x
    area = cut.layers[..., AREA] * (cut.chord * cut.chord)[..., None]
    taken = np.arange(3) == cut.host
    area = np.maximum(area - taken * shape.area.sum(axis=-1)[..., None], 0.0)
    whole = cut.contours[..., 0, AREA] * cut.chord * cut.chord
    filled = (area * _stiffened(cut.shear_modulus)).sum(axis=-1) / whole
    lead = axial.shape
    off_x, off_z = x - centroid_x[..., None], z - centroid_z[..., None]
    reach, height, twist_arm, shear_flat, shear_edge = _fibres(cut, centroid_x, centroid_z)

    def all_layers(own: Array, bars: Array) -> Array:
        after_hole = np.broadcast_to(bars, (*lead, shape.area.shape[-1]))[..., 1:]
        return np.concatenate([own, after_hole], axis=-1)

    zero = np.zeros((*lead, 3))
    return Section(
        axial=axial,
        stiff_flat=flat,
        stiff_edge=edge,
        stiff_twist=_torsion(cut),
        shear_flat=shear_flat,
        shear_edge=shear_edge,
        centroid_x=centroid_x,
        centroid_z=centroid_z,
        shear_centre_x=cut.chord * (0.26 + 0.105 * np.minimum(filled, 1.0)),
        modulus=all_layers(cut.modulus, cut.bars.modulus),
        shear_modulus=all_layers(cut.shear_modulus, cut.bars.shear_modulus),
        area=all_layers(area, shape.area),
        height=all_layers(height, np.abs(off_z) + shape.half_height),
        reach=all_layers(reach, np.abs(off_x) + shape.half_width),
        twist_arm=all_layers(twist_arm, shape.twist_arm),
        corner=all_layers(zero, shape.corner),
        outside=foil_section.mask(wrap_share=cut.wrap / cut.chord),
    )


def _stiffened(shear_modulus: Array) -> Array:
    """Return how far each layer makes the section a solid one: a core at 1/50 of its wall does."""
    wall = np.maximum(shear_modulus[..., :CORE].max(axis=-1, keepdims=True), 1e-300)
    share = shear_modulus / wall * np.where(np.arange(3) == CORE, 50.0, 1e9)
    return np.asarray(np.minimum(share, 1.0))


def _torsion(cut: _Cut) -> Array:
    """Return the torsion stiffness; bars take away no more than half of it."""
    each = cut.shear_modulus * cut.layers[..., TORSION]
    wall = np.maximum(cut.shear_modulus[..., :CORE].max(axis=-1), 1e-300)
    empty = np.clip(1.0 - cut.shear_modulus[..., CORE] / wall, 0.0, 1.0)
    hollow = empty * cut.contours[..., 2, TORSION] / cut.contours[..., 0, TORSION]
    closed = 0.972 - 0.145 * np.sqrt(np.sqrt(hollow))
    own = (closed * (each[..., WRAP] + each[..., WALL]) + each[..., CORE]) * cut.chord**4
    more = cut.bars.shear_modulus - cut.at_host(cut.shear_modulus)
    return np.asarray(own + np.maximum((more * cut.bars.shape.torsion).sum(axis=-1), -0.5 * own))


def _fibres(cut: _Cut, centroid_x: Array, centroid_z: Array) -> tuple[Array, Array, Array, Array, Array]:
    """Return outer fibres, twist arms and the two shear stiffnesses of wrap, wall and core."""
    chord = cut.chord[..., None]
    column = cut.contours[..., :3, :]
    nose, tail = column[..., NOSE] * chord, column[..., TAIL] * chord
    top, bottom = column[..., TOP] * chord, column[..., BOTTOM] * chord
    there = (cut.layers[..., AREA] > 0.0).astype(np.float64)
    reach = there * np.maximum(np.abs(nose - centroid_x[..., None]), np.abs(tail - centroid_x[..., None]))
    height = there * np.maximum(np.abs(top - centroid_z[..., None]), np.abs(bottom - centroid_z[..., None]))
    deep = top - bottom
    middle = cut.contours[..., 3, :]
    cell = 2.0 * middle[..., AREA] * cut.chord / np.maximum(middle[..., PERIMETER], 1e-12) + cut.shell
    thin = TWIST_SOLID * deep
    twist_arm = np.minimum(thin, np.where(np.arange(3) < CORE, cell[..., None], thin))
    long = tail - nose
    inner = np.concatenate([long[..., 1:], np.zeros_like(long[..., :1])], axis=-1)
    below = np.concatenate([deep[..., 1:], np.zeros_like(deep[..., :1])], axis=-1)
    stiff = cut.shear_modulus * SHEAR_DEPTH
    shear_flat = (stiff * deep * (long - inner)).sum(axis=-1)
    shear_edge = (stiff * long * (deep - below)).sum(axis=-1)
    return reach, height, twist_arm, shear_flat, shear_edge


@model(source="thickness of the section less its walls; the slope of the skin left out of the wall's share")
def room(
    *,
    sections: Sequence[str],
    chord: Array,
    place: Array,
    wall: Array | float = 0.0,
) -> Array:
    """Return how thick a rod, plate or duct may be inside a foil section.

    Parameters
    ----------
    sections : sequence of str
        Designations, one a design or one for all [-].
    chord : (n,) or (n, ...) array
        Chord [m].
    place : (n,) or (n, ...) array
        Its middle aft of the nose [m].
    wall : float or array
        Thickness of the wall [m].

    Returns
    -------
    array
        Height between the walls there, 0 where there is none [m].
    """
    tables, which = insets(sections)
    chord, place, wall = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, dtype=np.float64)) for v in (chord, place, wall))
    )
    kind = _outer(chord, which)
    share = np.clip(place / chord, 0.0, 1.0)
    after = np.clip(np.searchsorted(tables.grid, share), 1, tables.grid.size - 1)
    start, end = tables.grid[after - 1], tables.grid[after]
    low, high = tables.thickness[kind, after - 1], tables.thickness[kind, after]
    thick: Array = chord * (low + (share - start) / (end - start) * (high - low)) - 2.0 * wall
    return np.where((place >= 0.0) & (place <= chord), np.maximum(thick, 0.0), 0.0)
