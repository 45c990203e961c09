"""Plain shapes (rectangle, round bar, tube) and what several of them make together."""

from __future__ import annotations

import inspect
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from foilwright.core.model import Array, Mask, model

ROARK = "Roark's Formulas for Stress and Strain, 7th ed."


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """One shape, or several along the last axis."""

    area: Array
    """area [m^2]."""
    flat: Array
    """flat, second moment about the axis along the width [m^4]."""
    edge: Array
    """edge, second moment about the axis along the height [m^4]."""
    torsion: Array
    """torsion constant [m^4]."""
    half_height: Array
    """half_height, outer fibre in flat bending [m]."""
    half_width: Array
    """half_width, outer fibre in edge bending [m]."""
    twist_arm: Array
    """twist_arm, greatest shear stress over shear modulus and twist a length [m]."""
    shear_share: Array
    """shear_share, mean over greatest shear stress under a cross force [-]."""
    corner: Array
    """corner, 1 where a fibre is outermost in both bendings, 0 where the outline is round [-]."""

    def bonded(
        self, *, x: Array | float, z: Array | float, modulus: Array | float, shear_modulus: Array | float
    ) -> Section:
        """Return the section that the shapes along the last axis make, bonded; see `layered`."""
        e, g, x, z, area = np.broadcast_arrays(
            *(np.asarray(v, dtype=np.float64) for v in (modulus, shear_modulus, x, z, self.area))
        )
        axial = (e * area).sum(axis=-1)
        centroid_x = (e * area * x).sum(axis=-1) / axial
        centroid_z = (e * area * z).sum(axis=-1) / axial
        off_x, off_z = x - centroid_x[..., None], z - centroid_z[..., None]
        shear = (g * area * self.shear_share).sum(axis=-1)
        return Section(
            axial=axial,
            stiff_flat=(e * (self.flat + area * off_z * off_z)).sum(axis=-1),
            stiff_edge=(e * (self.edge + area * off_x * off_x)).sum(axis=-1),
            stiff_twist=(g * self.torsion).sum(axis=-1),
            shear_flat=shear,
            shear_edge=shear,
            centroid_x=centroid_x,
            centroid_z=centroid_z,
            shear_centre_x=centroid_x,
            modulus=e,
            shear_modulus=g,
            area=area,
            height=np.abs(off_z) + self.half_height,
            reach=np.abs(off_x) + self.half_width,
            twist_arm=np.broadcast_to(self.twist_arm, e.shape),
            corner=np.broadcast_to(self.corner, e.shape),
            outside=np.zeros(axial.shape, dtype=np.uint64),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Stiffness of a composite section, and where the outer fibres of its layers lie.

    Leading axes as the inputs; arrays with a last axis have one entry a layer. Flat bending turns
    the thin way (up and down for a wing, sideways for a mast), edge bending the chordwise way.
    """

    axial: Array
    """axial stiffness EA [N]."""
    stiff_flat: Array
    """stiff_flat, bending stiffness about the neutral axis [N*m^2]."""
    stiff_edge: Array
    """stiff_edge, bending stiffness about the neutral axis [N*m^2]."""
    stiff_twist: Array
    """stiff_twist, stiffness GJ [N*m^2]."""
    shear_flat: Array
    """shear_flat, shear stiffness at the greatest stress, thin way [N]."""
    shear_edge: Array
    """shear_edge, shear stiffness at the greatest stress, chordwise [N]."""
    centroid_x: Array
    """centroid_x, neutral axis aft of the nose (or of the origin) [m]."""
    centroid_z: Array
    """centroid_z, neutral axis above the chord line (or the origin) [m]."""
    shear_centre_x: Array
    """shear_centre_x aft of the nose [m]."""
    modulus: Array
    """modulus of each layer, 0 where it is not there [Pa]."""
    shear_modulus: Array
    """shear_modulus of each layer, 0 where it is not there [Pa]."""
    area: Array
    """area of each layer [m^2]."""
    height: Array
    """height, farthest fibre of each layer from the neutral axis, thin way [m]."""
    reach: Array
    """reach, farthest fibre of each layer from the neutral axis, chordwise [m]."""
    twist_arm: Array
    """twist_arm of each layer: shear stress over shear modulus and twist a length [m]."""
    corner: Array
    """corner of each layer: 1 where a fibre is outermost in both bendings, 0 round outline [-]."""
    outside: Mask

    def stresses(self, **loads: Any) -> Stress:
        """Return the stresses under forces and moments; see `stresses`."""
        return stresses(**{name: getattr(self, name) for name in STRESSED}, **loads)

    def spread(self, axis: int = 1) -> Section:
        """Return the same with a new axis of length 1, for example of load cases."""
        return replace(self, **{f.name: np.expand_dims(getattr(self, f.name), axis) for f in fields(self)})


@model(source="Timoshenko & Goodier, Theory of Elasticity, art. 109, series for the rectangle")
def rectangle(*, width: Array, height: Array) -> Shape:
    r"""Return the section properties of a rectangle.

    Parameters
    ----------
    width : float or array
        Width, along the chord [m].
    height : float or array
        Height, the thin way [m].

    Returns
    -------
    Shape
        Of the broadcast shape of the inputs; fields with their units in the class [SI].

    Notes
    -----
    .. math:: J = \frac{b t^3}{3}\left(1 - \frac{192}{\pi^5} \frac{t}{b}
              \sum_{n=1,3,..} \frac{\tanh(n \pi b / 2 t)}{n^5}\right)
    """
    width, height = np.broadcast_arrays(*(np.asarray(v, dtype=np.float64) for v in (width, height)))
    long, short = np.maximum(width, height), np.minimum(width, height)
    ratio = 0.5 * np.pi * long / short
    odd = (1.0, 3.0, 5.0, 7.0)
    series = sum(np.tanh(n * ratio) / n**5 for n in odd)
    edge_series = sum(1.0 / (n * n * np.cosh(np.minimum(n * ratio, 300.0))) for n in odd)
    return Shape(
        area=width * height,
        flat=width * height**3 / 12.0,
        edge=height * width**3 / 12.0,
        torsion=long * short**3 / 3.0 * (1.0 - 192.0 / np.pi**5 * short / long * series),
        half_height=0.5 * height,
        half_width=0.5 * width,
        twist_arm=short * (1.0 - 8.0 / np.pi**2 * edge_series),
        shear_share=np.full(width.shape, 2.0 / 3.0),
        corner=np.ones(width.shape),
    )


@model(source=f"{ROARK}, tables of sections and of torsion")
def round_bar(*, diameter: Array, bore: Array | float = 0.0) -> Shape:
    """Return the section properties of a round bar or tube.

    Parameters
    ----------
    diameter : float or array
        Outer diameter [m].
    bore : float or array
        Inner diameter, 0 for a bar [m].

    Returns
    -------
    Shape
        Of the broadcast shape of the inputs; fields with their units in the class [SI].
    """
    outer, inner = np.broadcast_arrays(*(0.5 * np.asarray(v, dtype=np.float64) for v in (diameter, bore)))
    flat = 0.25 * np.pi * (outer**4 - inner**4)
    whole = np.maximum(outer * outer + outer * inner + inner * inner, 1e-300)
    share = 0.75 * (outer * outer + inner * inner) / whole
    return Shape(
        area=np.pi * (outer * outer - inner * inner),
        flat=flat,
        edge=flat,
        torsion=2.0 * flat,
        half_height=outer,
        half_width=outer,
        twist_arm=outer,
        shear_share=share,
        corner=np.zeros(outer.shape),
    )


@model(source="Gere, Mechanics of Materials, 7th ed., ch. 6: transformed section; stiffnesses add up")
def layered(
    *,
    width: Array,
    height: Array,
    x: Array | float,
    z: Array | float,
    modulus: Array,
    shear_modulus: Array,
) -> Section:
    """Return the stiffness of rectangles bonded together, plane sections staying plane.

    Parameters
    ----------
    width, height : (..., k) array
        Of each rectangle, along x and along z [m].
    x, z : float or (..., k) array
        Place of the middle of each [m].
    modulus, shear_modulus : (..., k) array
        Young's and shear modulus of each [Pa].

    Returns
    -------
    Section
        Leading axes of the inputs, one layer a rectangle; fields with their units in the class [SI].
        Torsion is the sum of the rectangles' own: a closed cell that they form is not counted.
    """
    shapes = rectangle.function(width=width, height=height)
    return shapes.bonded(x=x, z=z, modulus=modulus, shear_modulus=shear_modulus)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stress:
    """Greatest stresses of each layer; arrays (..., l)."""

    tension: Array
    """tension [Pa]."""
    compression: Array
    """compression, positive [Pa]."""
    shear: Array
    """shear [Pa]."""


@model(source="Gere, Mechanics of Materials, 7th ed., ch. 6; round outlines: root of squares, corners: sum")
def stresses(
    *,
    modulus: Array,
    shear_modulus: Array,
    height: Array,
    reach: Array,
    twist_arm: Array,
    corner: Array,
    axial: Array,
    stiff_flat: Array,
    stiff_edge: Array,
    stiff_twist: Array,
    shear_flat: Array,
    shear_edge: Array,
    axial_force: Array | float = 0.0,
    moment_flat: Array | float = 0.0,
    moment_edge: Array | float = 0.0,
    shear_force_flat: Array | float = 0.0,
    shear_force_edge: Array | float = 0.0,
    torque: Array | float = 0.0,
) -> Stress:
    """Return the greatest stress of each layer of a section under forces and moments.

    `Section.stresses` fills the section in; `Section.spread` makes room for load cases.

    Parameters
    ----------
    modulus, shear_modulus : (..., l) array
        Of each layer [Pa].
    height, reach : (..., l) array
        Farthest fibre of each layer from the neutral axis, thin way and chordwise [m].
    twist_arm : (..., l) array
        Shear stress of each layer over its shear modulus and the twist a length [m].
    corner : (..., l) array
        1 where a fibre is outermost in both bendings, 0 where the outline is round [-].
    axial : (...) array
        EA [N].
    stiff_flat, stiff_edge, stiff_twist : (...) array
        EI thin way and chordwise, GJ [N*m^2].
    shear_flat, shear_edge : (...) array
        GA at the greatest shear stress, thin way and chordwise [N].
    axial_force : float or array
        Along the part, tension positive [N].
    moment_flat, moment_edge : float or array
        Bending moments, thin way and chordwise [N*m].
    shear_force_flat, shear_force_edge : float or array
        Cross forces, thin way and chordwise [N].
    torque : float or array
        About the length of the part [N*m].

    Returns
    -------
    Stress
        Arrays (..., l), one entry a layer, none negative [Pa].

    Notes
    -----
    The fibre farthest from one axis is taken as the farthest from the other too where the outline
    has corners; a foil is treated as an ellipse, where the greatest of both is the root of squares.
    """
    loads = [
        np.asarray(v, dtype=np.float64)[..., None]
        for v in (axial_force, moment_flat, moment_edge, shear_force_flat, shear_force_edge, torque)
    ]
    pull, bend_flat, bend_edge, cross_flat, cross_edge, turn = loads
    ea, ei_flat, ei_edge, gj, ga_flat, ga_edge = (
        np.maximum(v, 1e-300)[..., None] for v in (axial, stiff_flat, stiff_edge, stiff_twist, shear_flat, shear_edge)
    )
    mean = modulus * pull / ea
    a = modulus * height * np.abs(bend_flat) / ei_flat
    b = modulus * reach * np.abs(bend_edge) / ei_edge
    bending = np.sqrt(a * a + b * b + 2.0 * corner * a * b)
    by_flat = shear_modulus * np.abs(cross_flat) / ga_flat
    by_edge = shear_modulus * np.abs(cross_edge) / ga_edge
    by_torque = shear_modulus * twist_arm * np.abs(turn) / gj
    return Stress(
        tension=np.maximum(bending + mean, 0.0),
        compression=np.maximum(bending - mean, 0.0),
        shear=np.sqrt(by_flat * by_flat + by_edge * by_edge) + by_torque,
    )


STRESSED = tuple(name for name in Section.__slots__ if name in inspect.signature(stresses.function).parameters)
"""Fields of a section that its stresses need."""
