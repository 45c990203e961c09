"""A maker's own materials, and what a maker knows better than the book."""

from __future__ import annotations

from foilwright.build.schema.base import Block
from foilwright.build.schema.field import choice, quantity
from foilwright.build.schema.structure import FOAMS, LAMINATES, MATERIALS

OWN = "a material is what it is"
BOOK = tuple(dict.fromkeys((*MATERIALS, *LAMINATES, *FOAMS, "carbon rods", "steel", "stainless steel cold drawn")))


class Material(Block):
    """A maker's own material, or what is known better than the book."""

    like: str | None = choice(
        "material of the book from which everything not written is taken (left out: the one of this name)",
        BOOK,
        fixed=OWN,
    )
    density: float | None = quantity(
        "kg/m^3", "density (left out: as the book)", ("10 kg/m^3", "12000 kg/m^3"), "1240 kg/m^3", fixed=OWN
    )
    modulus: float | None = quantity(
        "Pa", "stiffness along the part (left out: as the book)", ("1 MPa", "500 GPa"), "3.1 GPa", fixed=OWN
    )
    modulus_across: float | None = quantity(
        "Pa", "stiffness across layers or grain (left out: as the book)", ("1 MPa", "500 GPa"), "2.4 GPa", fixed=OWN
    )
    shear_modulus: float | None = quantity(
        "Pa", "stiffness in shear (left out: as the book)", ("1 MPa", "200 GPa"), "1.1 GPa", fixed=OWN
    )
    tension: float | None = quantity(
        "Pa", "strength in tension along the part (left out: as the book)", ("10 kPa", "5 GPa"), "48 MPa", fixed=OWN
    )
    compression: float | None = quantity(
        "Pa", "strength in compression (left out: as the book)", ("10 kPa", "5 GPa"), "60 MPa", fixed=OWN
    )
    shear: float | None = quantity(
        "Pa", "strength in shear (left out: as the book)", ("10 kPa", "2 GPa"), "26 MPa", fixed=OWN
    )
    across: float | None = quantity(
        "Pa", "strength across layers or grain (left out: as the book)", ("10 kPa", "5 GPa"), "25 MPa", fixed=OWN
    )
    shear_across: float | None = quantity(
        "Pa", "shear strength between layers (left out: as the book)", ("10 kPa", "2 GPa"), "15 MPa", fixed=OWN
    )
    proof: float | None = quantity(
        "Pa", "yield or proof strength of a metal (left out: as the book)", ("10 kPa", "5 GPa"), "240 MPa", fixed=OWN
    )
    glass_transition: float | None = quantity(
        "K", "temperature at which it turns soft (left out: as the book)", ("20 degC", "300 degC"), "60 degC", fixed=OWN
    )
    deflection_temperature: float | None = quantity(
        "K", "deflection temperature at 0.45 MPa (left out: as the book)", ("20 degC", "300 degC"), "55 degC", fixed=OWN
    )


PROPERTIES = tuple(name for name, meta in Material.metas().items() if meta.kind == "quantity")
