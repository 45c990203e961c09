"""Plies and laminates: fibre share, thickness, stiffness, strength."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model

RULES = "Germanischer Lloyd small-craft rules, of the family of ISO 12215-5, annex of laminate properties"
IN_GLASS = (0.25, 0.70, "glass share outside the 25 to 70 % of the mass that the rules cover")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ply:
    """A wetted-out layer of cloth."""

    thickness: Array
    """thickness [m]."""
    volume_share: Array
    """volume_share of the fibre [-]."""
    resin: Array
    """resin in it, without waste [kg/m^2]."""
    mass: Array
    """mass of cloth and resin [kg/m^2]."""
    density: Array
    """density [kg/m^3]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassLaminate:
    """Ultimate properties of glass laminates by the rules."""

    tension: Array
    """tension strength [Pa]."""
    compression: Array
    """compression strength [Pa]."""
    bending: Array
    """bending strength [Pa]."""
    shear: Array
    """shear strength in the plane [Pa]."""
    between_plies: Array
    """between_plies, shear strength [Pa]."""
    modulus: Array
    """modulus [Pa]."""
    shear_modulus: Array
    """shear_modulus [Pa]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Plies on each other; arrays (...)."""

    thickness: Array
    """thickness [m]."""
    modulus: Array
    """modulus in tension [Pa]."""
    bending_modulus: Array
    """bending_modulus: of an even plate of the same thickness [Pa]."""
    bending: Array
    """bending stiffness of a strip of unit width [N*m]."""
    tension: Array
    """tension, mean stress at which the first ply breaks [Pa]."""
    moment: Array
    """moment a width at which the first ply breaks in bending [N]."""


@model(
    source="identity of masses and volumes; form of ISO 12215-5",
    valid={"fibre_mass_share": (0.1, 0.85, "fibre share that no hand reaches")},
)
def ply(*, cloth_mass: Array, fibre_mass_share: Array, fibre_density: Array, resin_density: Array) -> Ply:
    r"""Return thickness and masses of a layer of cloth wetted out with resin, without voids.

    Parameters
    ----------
    cloth_mass : float or array
        Dry mass of the cloth [kg/m^2].
    fibre_mass_share : float or array
        Mass of fibre over that of the laminate: hand-laid woven glass 0.40 to 0.50, mat 0.30, bag
        0.55 to 0.62, infusion 0.65 to 0.70 [-].
    fibre_density : float or array
        Density of the fibre: glass 2560, carbon 1800 [kg/m^3].
    resin_density : float or array
        Density of the cured resin: 1150 to 1200 [kg/m^3].

    Returns
    -------
    Ply
        Of the broadcast shape; fields with their units in the class [SI].

    Notes
    -----
    .. math:: t = w \left(\frac{1}{\rho_f} + \frac{1 - \psi}{\psi \rho_m}\right)
    """
    share = np.asarray(fibre_mass_share, dtype=np.float64)
    resin = cloth_mass * (1.0 - share) / share
    fibre = np.asarray(cloth_mass, dtype=np.float64) / fibre_density
    thickness = fibre + resin / resin_density
    mass = cloth_mass + resin
    return Ply(thickness=thickness, volume_share=fibre / thickness, resin=resin, mass=mass, density=mass / thickness)


@model(source="weighed cloth and resin: identity of masses")
def mass_share(*, cloth_mass: Array, resin_mass: Array) -> Array:
    """Return the fibre share of a laminate from what was weighed.

    Parameters
    ----------
    cloth_mass : float or array
        Dry cloth, in mass or in mass an area [kg/m^2].
    resin_mass : float or array
        Resin that stayed in the laminate, in the same measure [kg/m^2].

    Returns
    -------
    array
        Mass of fibre over that of the laminate [-].
    """
    out: Array = np.asarray(cloth_mass, dtype=np.float64) / (cloth_mass + np.asarray(resin_mass))
    return out


@model(
    source="rule of mixtures; Callister, Materials Science and Engineering, ch. 16, eqs. 16.10, 16.16",
    valid={"volume_share": (0.0, 0.75, "more fibre than fits")},
)
def mixed_modulus(
    *,
    volume_share: Array,
    fibre_modulus: Array,
    resin_modulus: Array,
    orientation: Array | float = 1.0,
    weave: Array | float = 1.0,
) -> Array:
    r"""Return Young's modulus of a laminate from its fibre and resin.

    Parameters
    ----------
    volume_share : float or array
        Share of fibre in the volume [-].
    fibre_modulus, resin_modulus : float or array
        Of fibre (glass 72e9, carbon 230e9) and resin (3.2e9) [Pa].
    orientation : float or array
        1 along one direction, 0.5 cloth at 0 and 90, 0.25 at 45, 0.375 mat [-].
    weave : float or array
        0.95 woven, 1 stitched or one direction [-].

    Returns
    -------
    array
        Modulus along the first direction [Pa].

    Notes
    -----
    .. math:: E = \eta_o \eta_w E_f V_f + E_m (1 - V_f)
    """
    share = np.asarray(volume_share, dtype=np.float64)
    out: Array = orientation * np.asarray(weave) * fibre_modulus * share + resin_modulus * (1.0 - share)
    return out


@model(
    source="Callister, Materials Science and Engineering, ch. 16, eq. 16.16: layers in series",
    valid={"volume_share": (0.0, 0.75, "more fibre than fits")},
)
def across_modulus(*, volume_share: Array, fibre_modulus: Array, resin_modulus: Array) -> Array:
    """Return the modulus across the fibres of a layer with all fibres in one direction.

    Parameters
    ----------
    volume_share : float or array
        Share of fibre in the volume [-].
    fibre_modulus, resin_modulus : float or array
        Of fibre and resin; with shear moduli it gives the shear modulus [Pa].

    Returns
    -------
    array
        Modulus across, a lower bound [Pa].
    """
    share = np.asarray(volume_share, dtype=np.float64)
    out: Array = resin_modulus * fibre_modulus / ((1.0 - share) * fibre_modulus + share * resin_modulus)
    return out


@model(source=f"{RULES} (from memory)", valid={"fibre_mass_share": IN_GLASS}, decides=("fibre_mass_share",))
def glass_rules(*, fibre_mass_share: Array) -> GlassLaminate:
    r"""Return the ultimate properties that small-craft rules allow a glass laminate.

    Parameters
    ----------
    fibre_mass_share : float or array
        Mass of glass over that of the laminate [-].

    Returns
    -------
    GlassLaminate
        Of the shape of the input; a lower bound to pressed woven glass and epoxy; the default
        compression strength was found optimistic in tests [Pa].

    Notes
    -----
    .. math:: R_t = 1278 \psi^2 - 510 \psi + 123, \quad E = 37000 \psi - 4750

    and so on, in MPa.
    """
    share = np.asarray(fibre_mass_share, dtype=np.float64)
    square = share * share
    return GlassLaminate(
        tension=1e6 * (1278.0 * square - 510.0 * share + 123.0),
        compression=1e6 * (150.0 * share + 72.0),
        bending=1e6 * (502.0 * square + 106.8),
        shear=1e6 * (80.0 * share + 38.0),
        between_plies=1e6 * (22.5 - 17.5 * share),
        modulus=1e9 * (37.0 * share - 4.75),
        shear_modulus=1e9 * (1.7 * share + 2.24),
    )


@model(source="classical laminate theory of a strip, lateral contraction left out; Gere, ch. 6")
def stack(*, thickness: Array, modulus: Array, strength: Array) -> Stack:
    """Return stiffness and first-ply strength of plies laid on each other.

    Parameters
    ----------
    thickness : (..., k) array
        Of each ply, from one face to the other; 0 for a ply that is not there [m].
    modulus : (..., k) array
        Young's modulus of each along the strip [Pa].
    strength : (..., k) array
        The smaller of tension and compression strength of each [Pa].

    Returns
    -------
    Stack
        Arrays (...); fields with their units in the class [SI].
    """
    thick, e, limit = np.broadcast_arrays(*(np.asarray(v, dtype=np.float64) for v in (thickness, modulus, strength)))
    whole = thick.sum(axis=-1)
    top = np.cumsum(thick, axis=-1)
    middle = top - 0.5 * thick
    pull = (e * thick).sum(axis=-1)
    neutral = ((e * thick * middle).sum(axis=-1) / pull)[..., None]
    bending = (e * (thick**3 / 12.0 + thick * (middle - neutral) ** 2)).sum(axis=-1)
    there = (thick > 0.0) & (e > 0.0)
    strain = np.where(there, limit / np.where(there, e, 1.0), np.inf)
    far = np.maximum(np.abs(top - neutral), np.abs(top - thick - neutral))
    return Stack(
        thickness=whole,
        modulus=pull / whole,
        bending_modulus=12.0 * bending / (whole * whole * whole),
        bending=bending,
        tension=strain.min(axis=-1) * pull / whole,
        moment=(strain / np.where(there, far, 1.0)).min(axis=-1) * bending,
    )
