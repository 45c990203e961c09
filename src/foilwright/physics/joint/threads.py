"""One bolt: sizes and strength, torque and preload, what a washer may press, what stays clamped."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.errors import DataError
from foilwright.core.model import Array, model

ISO_68 = 0.649519
"""Nominal less pitch diameter of a metric thread, over its pitch [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fastener:
    """Bolts or rods by size and grade; arrays (n,)."""

    diameter: Array
    """diameter, nominal [m]."""
    pitch: Array
    """pitch of the thread [m]."""
    stress_area: Array
    """stress_area of the thread [m^2]."""
    proof: Array
    """proof load, or that at 0.2 % of lasting stretch [N]."""
    tension: Array
    """tension, breaking load [N]."""
    shear: Array
    """shear, breaking load through the thread, one cut [N]."""
    hole: Array
    """hole of its large washer [m]."""
    washer: Array
    """washer, outer diameter of its large washer [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltLoad:
    """A preloaded bolt under load."""

    force: Array
    """force in the bolt [N]."""
    clamp: Array
    """clamp force left between the parts [N]."""
    opens_at: Array
    """opens_at, load at which the parts come apart [N]."""


@model(source="ISO 724 and ISO 898-1: area at the mean of pitch and minor diameter")
def stress_area(*, diameter: Array, pitch: Array) -> Array:
    r"""Return the area of a metric thread that carries the pull.

    Parameters
    ----------
    diameter : float or array
        Nominal diameter [m].
    pitch : float or array
        Pitch of the thread [m].

    Returns
    -------
    array
        Stress area [m^2].

    Notes
    -----
    .. math:: A_s = \frac{\pi}{4} (d - 0.9382 P)^2
    """
    out: Array = 0.25 * np.pi * np.square(np.asarray(diameter) - 0.9382 * np.asarray(pitch))
    return out


@model(source="ISO 898-1, ISO 3506-1, ISO 7093-1: data/fasteners.csv")
def fastener(*, sizes: Sequence[str], grades: Sequence[str]) -> Fastener:
    """Return sizes and strength of bolts or threaded rods.

    Parameters
    ----------
    sizes : sequence of str
        ``M4`` to ``M12``, one a design [-].
    grades : sequence of str
        ``class 8.8``, ``a2-70``, ``a4-70``, ``a4-80``, ``nylon``, one a design [-].

    Returns
    -------
    Fastener
        Arrays (n,); fields with their units in the class [SI].
    """
    sizes, grades = ((given,) if isinstance(given, str) else given for given in (sizes, grades))
    book, strength = table("fasteners"), table("fastener_grades")
    names = strength.texts["grade"]
    wrong = [s for s in sizes if s not in book.texts["size"]] + [g for g in grades if g not in names]
    if wrong:
        raise DataError(f"no fastener {', '.join(wrong)}; known: {', '.join((*book.texts['size'], *names))}")
    row = [book.texts["size"].index(size) for size in sizes]
    kind = [names.index(grade) for grade in grades]
    size = {name: column[row] for name, column in book.columns.items()}
    area = stress_area.function(diameter=size["diameter"], pitch=size["pitch"])
    breaks = area * strength.columns["tension"][kind]
    return Fastener(
        diameter=size["diameter"],
        pitch=size["pitch"],
        stress_area=area,
        proof=area * strength.columns["proof"][kind],
        tension=breaks,
        shear=breaks * strength.columns["shear_share"][kind],
        hole=size["washer_hole"],
        washer=size["washer_diameter"],
    )


@model(source="VDI 2230, tightening torque; head 1.3 diameters across its bearing")
def tightening_torque(*, preload: Array, diameter: Array, pitch: Array, friction: Array) -> Array:
    r"""Return the torque that makes a preload.

    Parameters
    ----------
    preload : float or array
        Preload [N].
    diameter : float or array
        Nominal diameter [m].
    pitch : float or array
        Pitch of the thread [m].
    friction : float or array
        Of thread and head: greased 0.10 to 0.12, as delivered 0.15, dry stainless 0.2 to 0.3 [-].

    Returns
    -------
    array
        Torque [N*m].

    Notes
    -----
    .. math:: T = F (0.159 P + 0.577 \mu d_2 + 0.5 \mu D_k), \quad D_k = 1.3 d
    """
    d, p = np.asarray(diameter, dtype=np.float64), np.asarray(pitch, dtype=np.float64)
    arm = 0.159 * p + friction * (0.577 * (d - ISO_68 * p) + 0.65 * d)
    out: Array = np.asarray(preload) * arm
    return out


@model(source="VDI 2230: von Mises stress of pull and thread torque at a share of the proof stress")
def most_preload(
    *, diameter: Array, pitch: Array, friction: Array, proof_stress: Array, share: Array | float = 0.9
) -> Array:
    r"""Return the preload that a bolt may get from a wrench.

    Parameters
    ----------
    diameter : float or array
        Nominal diameter [m].
    pitch : float or array
        Pitch of the thread [m].
    friction : float or array
        Of the thread [-].
    proof_stress : float or array
        Yield or 0.2 % proof stress [Pa].
    share : float or array
        Share of it that pull and torque together may use [-].

    Returns
    -------
    array
        Preload [N].

    Notes
    -----
    .. math:: F = \frac{\nu R_p A_s}{\sqrt{1 + 3 \left(\frac{3 d_2}{2 d_0}
              \left(\frac{P}{\pi d_2} + 1.155 \mu\right)\right)^2}}
    """
    d, p = np.asarray(diameter, dtype=np.float64), np.asarray(pitch, dtype=np.float64)
    across = d - ISO_68 * p
    turn = 1.5 * across / (d - 0.9382 * p) * (p / (np.pi * across) + 1.155 * np.asarray(friction))
    area = stress_area.function(diameter=d, pitch=p)
    out: Array = share * np.asarray(proof_stress) * area / np.sqrt(1.0 + 3.0 * turn * turn)
    return out


@model(source="Shigley, Mechanical Engineering Design, 9th ed., sec. 8-7: springs side by side")
def bolt_load(*, preload: Array, load: Array, stiffness_share: Array) -> BoltLoad:
    r"""Return the force in a preloaded bolt when its joint is pulled.

    Parameters
    ----------
    preload : float or array
        Preload that is left [N].
    load : float or array
        Pull on the joint at this bolt [N].
    stiffness_share : float or array
        Stiffness of the bolt over that of bolt and parts: steel in aluminium 0.2 to 0.3, in plywood
        or print 0.6 to 0.9 [-].

    Returns
    -------
    BoltLoad
        Fields with their units in the class [N].

    Notes
    -----
    .. math:: F_b = F_i + C P, \quad P_0 = F_i / (1 - C)
    """
    preload, load = np.asarray(preload, dtype=np.float64), np.asarray(load, dtype=np.float64)
    rest = 1.0 - np.asarray(stiffness_share, dtype=np.float64)
    opens = preload / np.maximum(rest, 1e-12)
    closed = load <= opens
    return BoltLoad(
        force=np.where(closed, preload + stiffness_share * load, load),
        clamp=np.where(closed, preload - rest * load, 0.0),
        opens_at=opens,
    )


@model(source="ring of the washer: EN 1995-1-1 10.4.3 for wood; allowed pressures: data/bearing.csv")
def washer_limit(*, pressure: Array, washer: Array, hole: Array) -> Array:
    """Return the clamp force that a washer may press into a soft part.

    Parameters
    ----------
    pressure : float or array
        Pressure that the part bears under it [Pa].
    washer : float or array
        Outer diameter of the washer [m].
    hole : float or array
        Diameter of the hole [m].

    Returns
    -------
    array
        Clamp force [N].
    """
    out: Array = 0.25 * np.pi * pressure * (np.square(washer) - np.square(hole))
    return out


@model(source="shear on the rim of the washer through the thickness")
def pull_through(*, washer: Array, thickness: Array, shear_strength: Array) -> Array:
    """Return the force that pulls a bolt with its washer through a part.

    Parameters
    ----------
    washer : float or array
        Outer diameter of the washer or head [m].
    thickness : float or array
        Thickness of the part, or of its skin [m].
    shear_strength : float or array
        Its strength in shear through the thickness [Pa].

    Returns
    -------
    array
        Force [N].
    """
    out: Array = np.pi * np.asarray(washer) * thickness * shear_strength
    return out


@model(source="pressure on the projected area of the shank")
def bearing_limit(*, diameter: Array, thickness: Array, bearing_strength: Array) -> Array:
    """Return the cross force at which a bolt or peg crushes the wall of its hole.

    Parameters
    ----------
    diameter : float or array
        Diameter of the shank [m].
    thickness : float or array
        Depth over which it bears [m].
    bearing_strength : float or array
        Pressure that the part bears [Pa].

    Returns
    -------
    array
        Cross force [N].
    """
    out: Array = np.asarray(diameter) * thickness * bearing_strength
    return out


@model(source="EN 1995-1-1 eqs. 8.20 (plywood) and 8.32 (timber along the grain)", valid={"diameter": (0.003, 0.03)})
def wood_embedding(*, diameter: Array, density: Array, kinds: Sequence[str]) -> Array:
    r"""Return the pressure that wood bears from a bolt.

    Parameters
    ----------
    diameter : float or array
        Diameter of the bolt [m].
    density : float or array
        Characteristic density of the wood [kg/m^3].
    kinds : sequence of str
        ``plywood`` or ``timber``, one a design or one for all [-].

    Returns
    -------
    array
        Embedding strength [Pa].

    Notes
    -----
    .. math:: f_h = 0.11 (1 - 0.01 d) \rho_k \; (\text{plywood}), \quad 0.082 (1 - 0.01 d) \rho_k
    """
    kinds = (kinds,) if isinstance(kinds, str) else kinds
    factor = np.array([{"plywood": 0.11, "timber": 0.082}[kind] for kind in kinds])
    out: Array = 1e6 * factor * (1.0 - 10.0 * np.asarray(diameter)) * density
    return out
