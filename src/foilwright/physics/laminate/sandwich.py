"""Foam between two laminates: stiffness, face and core stress, wrinkling, a heel on the deck."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model

ALLEN = "Allen 1969, Analysis and Design of Structural Sandwich Panels; Zenkert 1995"
CASES = {
    "cantilever, end load": (1.0 / 3.0, 1.0, 1.0, 1.0),
    "cantilever, even load": (1.0 / 8.0, 0.5, 0.5, 1.0),
    "supported, middle load": (1.0 / 48.0, 0.25, 0.25, 0.5),
    "supported, even load": (5.0 / 384.0, 0.125, 0.125, 0.5),
}
"""Factors of bending and shear deflection, greatest moment over load times length, cross force over load."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sandwich:
    """Stiffness of a sandwich strip."""

    bending: Array
    """bending stiffness [N*m^2]."""
    shear: Array
    """shear stiffness [N]."""
    depth: Array
    """depth between the middles of the faces [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SandwichBeam:
    """A loaded sandwich strip."""

    bend: Array
    """bend, deflection by bending [m]."""
    slide: Array
    """slide, deflection by shear of the core [m]."""
    deflection: Array
    """deflection of both [m]."""
    face_stress: Array
    """face_stress, mean over the face [Pa]."""
    core_shear: Array
    """core_shear stress [Pa]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dent:
    """A face pressed into its core by a local load."""

    pressure: Array
    """pressure on the core, greatest [Pa]."""
    sink: Array
    """sink of the face under a point load [m]."""
    spread: Array
    """spread, length over which the face hands the load on [m]."""
    face_stress: Array
    """face_stress, greatest bending stress of the face under the patch [Pa]."""


@model(source=f"{ALLEN}: thin or thick faces, weak core")
def sandwich(
    *,
    width: Array,
    core_thickness: Array,
    face_thickness: Array,
    face_modulus: Array,
    core_modulus: Array,
    core_shear_modulus: Array,
) -> Sandwich:
    r"""Return bending and shear stiffness of a strip with two like faces.

    Parameters
    ----------
    width : float or array
        Width of the strip [m].
    core_thickness, face_thickness : float or array
        Of the core and of each face [m].
    face_modulus, core_modulus : float or array
        Young's moduli [Pa].
    core_shear_modulus : float or array
        Shear modulus of the core [Pa].

    Returns
    -------
    Sandwich
        Fields with their units in the class [SI].

    Notes
    -----
    .. math:: D = b \left(\frac{E_f t d^2}{2} + \frac{E_f t^3}{6} + \frac{E_c c^3}{12}\right), \quad
              S = \frac{G_c b d^2}{c}
    """
    c, t = np.asarray(core_thickness, dtype=np.float64), np.asarray(face_thickness, dtype=np.float64)
    depth = c + t
    faces = face_modulus * (0.5 * t * depth * depth + t * t * t / 6.0)
    return Sandwich(
        bending=width * (faces + core_modulus * c * c * c / 12.0),
        shear=core_shear_modulus * width * depth * depth / c,
        depth=depth,
    )


@model(source=f"{ALLEN}: partial deflections of bending and shear")
def sandwich_beam(
    *,
    bending_stiffness: Array,
    shear_stiffness: Array,
    depth: Array,
    face_thickness: Array,
    width: Array,
    length: Array,
    load: Array,
    case: str,
) -> SandwichBeam:
    """Return deflection and stresses of a sandwich strip under a simple load.

    Parameters
    ----------
    bending_stiffness : float or array
        From `sandwich` [N*m^2].
    shear_stiffness : float or array
        From `sandwich` [N].
    depth : float or array
        Between the middles of the faces [m].
    face_thickness : float or array
        Of each face [m].
    width : float or array
        Width of the strip [m].
    length : float or array
        Span, or length of the cantilever [m].
    load : float or array
        Whole load [N].
    case : str
        ``cantilever, end load``, ``cantilever, even load``, ``supported, middle load`` or
        ``supported, even load`` [-].

    Returns
    -------
    SandwichBeam
        Fields with their units in the class [SI].
    """
    by_bending, by_shear, moment, cross = CASES[case]
    length = np.asarray(length, dtype=np.float64)
    bend = by_bending * load * length * length * length / bending_stiffness
    slide = by_shear * load * length / shear_stiffness
    return SandwichBeam(
        bend=bend,
        slide=slide,
        deflection=bend + slide,
        face_stress=moment * load * length / (width * face_thickness * np.asarray(depth)),
        core_shear=cross * load / (width * np.asarray(depth)),
    )


@model(source="Hoff & Mautner 1945, The Buckling of Sandwich-Type Panels: 0.91 in theory, 0.5 with its dents")
def wrinkling(
    *, face_modulus: Array, core_modulus: Array, core_shear_modulus: Array, factor: Array | float = 0.5
) -> Array:
    r"""Return the compression at which a thin face wrinkles on its core.

    Parameters
    ----------
    face_modulus, core_modulus : float or array
        Young's moduli [Pa].
    core_shear_modulus : float or array
        Shear modulus of the core [Pa].
    factor : float or array
        0.5 for faces as made, 0.91 for perfect ones [-].

    Returns
    -------
    array
        Wrinkling stress of the face; its thickness does not matter [Pa].

    Notes
    -----
    .. math:: \sigma = k (E_f E_c G_c)^{1/3}
    """
    out: Array = factor * np.cbrt(np.asarray(face_modulus, dtype=np.float64) * core_modulus * core_shear_modulus)
    return out


@model(
    source="Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, art. 57 and 61: plate on a bed of "
    "springs, on a deep elastic body; patches: load spread over the patch and one length around it (judgement)"
)
def heel(
    *,
    load: Array,
    patch_radius: Array,
    face_thickness: Array,
    face_modulus: Array,
    face_poisson: Array,
    core_thickness: Array,
    core_modulus: Array,
    core_poisson: Array | float = 0.3,
) -> Dent:
    r"""Return how a heel, a knee or a stone presses a face into its core.

    Parameters
    ----------
    load : float or array
        Load [N].
    patch_radius : float or array
        Radius of the patch it stands on, 0 for a point [m].
    face_thickness : float or array
        Of the pressed face [m].
    face_modulus : float or array
        Bending modulus of the face [Pa].
    face_poisson, core_poisson : float or array
        Lateral contraction of face and core [-].
    core_thickness : float or array
        Depth of the core [m].
    core_modulus : float or array
        Young's modulus of the core [Pa].

    Returns
    -------
    Dent
        The stiffer bed decides: springs where the core is shallow, a deep body else; fields with
        their units in the class [SI].

    Notes
    -----
    .. math:: l_1 = (D h / E_c)^{1/4}, p_1 = P / 8 l_1^2; \quad
              l_2 = (2 D (1 - \nu_c^2) / E_c)^{1/3}, p_2 = 0.192 P / l_2^2
    """
    t = np.asarray(face_thickness, dtype=np.float64)
    plate = face_modulus * t * t * t / (12.0 * (1.0 - np.square(face_poisson)))
    springs = np.sqrt(plate * core_thickness / core_modulus)
    deep = np.square(np.cbrt(2.0 * plate * (1.0 - np.square(core_poisson)) / core_modulus))
    spread = np.sqrt(np.minimum(springs, deep))
    reach = np.asarray(patch_radius, dtype=np.float64) + spread
    at_point = load * np.maximum(0.125 / springs, 0.192 / deep)
    ratio = np.maximum(patch_radius / spread, t / (2.0 * spread))
    under = np.maximum(np.log(2.0 / ratio) + 0.5 - 0.5772, 0.0)
    moment = load * (1.0 + np.asarray(face_poisson)) / (4.0 * np.pi) * under
    return Dent(
        pressure=np.minimum(at_point, load / (np.pi * reach * reach)),
        sink=load * np.minimum(0.125 * springs, 0.192 * deep) / plate,
        spread=spread,
        face_stress=6.0 * moment / (t * t),
    )
