"""What every part is made of and bears, cold in use and hot in the sun: one look into the book for all of them."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.craft.structure import Structure, Stuff
from foilwright.physics import material
from foilwright.questions.state.structure.sun import SunState

Flag = npt.NDArray[np.bool_]

PARTS = ("mast", "wing", "stabiliser", "fuselage", "base", "mount", "spar", "laminate", "foam", "insert")
LIT_AS = ("mast", "wings", "wings", "wings", "mast", "mast", "mast", "board", "board", "board")
"""Colour that decides how hot each part lies."""
IN_USE, HOT = range(2)
CURED_ABOVE = 15.0
"""How far above its warmest cure a cold-curing resin softens [K] (makers' practice)."""
STIFF_BELOW = 5.0
"""Deflection temperature below softening of a laminate [K]."""
YIELD_SHEAR = 1.0 / np.sqrt(3.0)
"""Shear over tension at yield (von Mises)."""
GAMMAS = {"print": 2.0, "laminate": 3.0, "metal": 1.5, "wood": 2.5, "foam": 2.0}
"""Strength over what a part may be loaded to: scatter of certified metal 5 %, laid by hand 15 to 20 %, printed 20 to
40 % below which the low end of the book is taken already (judgement)."""
KINDS_WHY = (
    "materials scatter: metal 1.5 on yield, print 2 on the low end of the book, laminate 3, wood 2.5 (judgement)"
)


@functools.cache
def kind(name: str) -> str:
    """Return the kind of a material of the book."""
    if name.startswith("printed"):
        return "print"
    if "laminate" in name or name in ("glass mat", "carbon rods"):
        return "laminate"
    if name in ("timber", "birch plywood", "softwood c24"):
        return "wood"
    return "foam" if name in table("materials/foams").texts["material"] else "metal"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bears:
    """What one part bears; (n,) or (n, 2) in use and hot."""

    kinds: tuple[str, ...]
    names: tuple[str, ...]
    gamma: Array
    modulus: Array  # Pa, along the part, as warm as in use
    shear_modulus: Array
    poisson: Array
    tension: Array  # (n, 2) Pa, along the part, with heat and water in it
    compression: Array  # (n, 2)
    shear: Array  # (n, 2)
    in_layers: Array  # (n, 2) Pa, in the plane of the layers of a print
    thousand: Array  # share of strength after a thousand reversals
    million: Array
    hours: Array  # share of strength borne for hours
    standing: Array
    softens: Array  # K, infinite for metal and wood
    is_print: Flag
    is_metal: Flag


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """What a part bears under a bolt; (n,)."""

    washer: Array  # Pa
    hole: Array
    through: Array
    kept: Array  # share of the clamp force


def stuffs(craft: Craft, sun: SunState) -> dict[str, Bears]:
    """Return what each part is made of and bears."""
    s, n = craft.structure, craft.designs
    plywood = Stuff(names=("birch plywood",) * n, better={})
    made = (
        s.mast.stuff, s.wing.stuff, s.stabiliser.stuff, s.fuselage, s.base.stuff, s.joints.mount, s.spar.stuff,
        s.laminate.stuff, s.laminate.foam, plywood,
    )  # fmt: skip
    level = np.zeros(n, dtype=bool)
    standing = (
        s.mast.standing, s.wing.standing, s.stabiliser.standing, s.fuselage_standing, s.base.standing, *(level,) * 5,
    )  # fmt: skip
    names = tuple(name for each in made for name in each.names)
    kinds = tuple(kind(name) for name in names)
    book = material.gather(names=names, coupons=_better(made, kinds, s))
    lit = np.concatenate([sun.of(part) for part in LIT_AS])
    warm = material.at_temperature(stuff=book, temperature=np.stack([np.tile(sun.riding, len(PARTS)), lit], axis=1))
    is_ = {name: np.array([each == name for each in kinds]) for name in GAMMAS}
    up = np.concatenate(standing) & is_["print"]
    stiffer, stronger = (
        np.where(is_["print"], np.tile(each, len(PARTS)), 1.0)
        for each in (craft.factors.print_stiffness, craft.factors.print_strength)
    )
    left = (book.wet * stronger)[:, None] * warm.strength
    low = book.across_low / book.across
    tension = _by(
        is_, metal=book.proof, printed=np.where(up, book.across_low, book.tension_low), wood=book.tension_low,
        rest=book.tension,
    )  # fmt: skip
    shear = _by(
        is_, metal=book.proof * YIELD_SHEAR,
        printed=np.where(up, book.shear_across * low, book.shear * book.tension_low / book.tension),
        wood=book.shear, rest=book.shear,
    )  # fmt: skip
    fields = {
        "gamma": np.array([GAMMAS[each] for each in kinds]),
        "modulus": np.where(up, book.modulus_across, book.modulus) * stiffer * warm.stiffness[:, IN_USE],
        "shear_modulus": book.shear_modulus * stiffer * warm.stiffness[:, IN_USE], "poisson": book.poisson,
        "tension": tension[:, None] * left,
        "compression": np.where(is_["metal"], book.proof, book.compression)[:, None] * left,
        "shear": shear[:, None] * left,
        "in_layers": _by(
            is_, metal=book.proof, printed=np.where(up, book.tension_low, book.across_low), wood=book.tension_low,
            rest=book.tension,
        )[:, None] * left,
        "thousand": book.fatigue_thousand, "million": book.fatigue_million,
        "hours": book.creep_hours, "standing": book.creep_standing, "softens": book.deflection_temperature,
        "is_print": is_["print"], "is_metal": is_["metal"],
    }  # fmt: skip
    return {
        part: Bears(
            kinds=kinds[k * n : (k + 1) * n], names=names[k * n : (k + 1) * n],
            **{name: values[k * n : (k + 1) * n] for name, values in fields.items()},
        )
        for k, part in enumerate(PARTS)
    }  # fmt: skip


def _by(is_: dict[str, Flag], *, metal: Array, printed: Array, wood: Array, rest: Array) -> Array:
    return np.select([is_["metal"], is_["print"], is_["wood"]], [metal, printed, wood], rest)


def _better(made: tuple[Stuff, ...], kinds: tuple[str, ...], s: Structure) -> dict[str, Array]:
    """Return what is known better than the book, over all parts: the maker's materials, coupons, warm cures."""
    n, times, rows = s.coupons.along.size, len(made), len(kinds)
    out: dict[str, Array] = {}
    for k, each in enumerate(made):
        for name, values in each.better.items():
            out.setdefault(name, np.full(rows, np.nan))[k * n : (k + 1) * n] = values

    def put(name: str, kind: str, values: Array, *, over: bool) -> None:
        if np.isnan(values).all():
            return
        given = np.where([each == kind for each in kinds], np.tile(values, times), np.nan)
        known = out.get(name, np.full(rows, np.nan))
        first, then = (given, known) if over else (known, given)
        out[name] = np.where(np.isnan(first), then, first)

    put("tension", "print", s.coupons.along, over=True)
    put("across", "print", s.coupons.across, over=True)
    put("tension", "laminate", s.coupons.laminate, over=True)
    softens = s.laminate.post_cure + CURED_ABOVE
    put("glass_transition", "laminate", softens, over=False)
    put("deflection_temperature", "laminate", softens - STIFF_BELOW, over=False)
    return out


def bearing(names: tuple[str, ...]) -> Bearing:
    """Return what named materials bear under washers and bolts; those not in the table as their nearest kin."""
    book = table("bearing")
    known = book.texts["material"]
    kin = {"print": "printed pla", "laminate": "glass laminate by hand", "metal": "aluminium", "wood": "timber",
        "foam": "xps 300"}  # fmt: skip
    at = [known.index(name if name in known else kin[kind(name)]) for name in names]
    columns = {key: book.columns[f"{name}"][at] for key, name in BEARING.items()}
    return Bearing(**columns)


BEARING = {"washer": "washer_pressure", "hole": "hole_pressure", "through": "through_shear", "kept": "kept"}
