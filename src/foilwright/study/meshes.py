"""Sections of mast and wings by finite elements, beside the closed forms that every answer rests on.

A section is cut into wrap, wall, core, duct and bars, meshed, and solved for bending and torsion by
``sectionproperties`` (extra ``fe``). What was solved once is kept, under a name made of its content.
"""

from __future__ import annotations

import functools
import hashlib
import json
import os
import tempfile
import warnings
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np

from foilwright.core.extras import need
from foilwright.core.model import Array
from foilwright.physics import beam
from foilwright.shape.foil import section_coordinates

POINTS = 101
"""Points a side of the outline."""
FINEST = 9000.0
"""Triangles over the whole section at most, as if all were as small as those of its thinnest layer."""
HOLDS = 1e-4
"""Modulus of what holds bars in a hollow section, over that of its wall."""
ROUGHLY = 2e-5
"""How far a corner of an outline may be moved to leave out needless points [chord]."""
NEARLY = 1.02
"""A wall is all there is where one so much thicker leaves nothing inside."""
BENDING, TORSION = 0.05, 0.12
"""How far closed forms and elements may lie apart; in torsion the closed forms below."""
FORMAT = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A rod, or a flat bar, along the part; its middle aft of the nose and above the chord line."""

    x: float  # m
    z: float  # m
    width: float  # m, along the chord
    height: float  # m
    is_round: float  # 1 a rod, 0 a flat bar
    modulus: float  # Pa
    shear_modulus: float  # Pa


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A section cut across; lengths in m, moduli in Pa. A core of no modulus is a hollow."""

    section: str
    chord: float
    wall: float
    wall_modulus: float
    wall_shear_modulus: float
    core_modulus: float = 0.0
    core_shear_modulus: float = 0.0
    wrap: float = 0.0
    wrap_modulus: float = 0.0
    wrap_shear_modulus: float = 0.0
    duct: float = 0.0
    duct_place: float = 0.3
    bars: tuple[Bar, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stiffness:
    """Of a section [N m^2]."""

    flat: float  # bent the thin way
    edge: float  # bent chordwise
    twist: float


def closed_section(cut: Cut) -> beam.Section:
    """Return the section by the closed forms (1, 1)."""
    given: dict[str, Any] = {
        name: np.array([[getattr(cut, name)]]) for name in Cut.__slots__ if name not in ("section", "bars")
    }
    return beam.foil_section(sections=(cut.section,), bars=_bars(cut), **given)


def closed(cut: Cut) -> Stiffness:
    """Return what the closed forms say of a section."""
    made = closed_section(cut)
    return Stiffness(
        flat=float(made.stiff_flat[0, 0]), edge=float(made.stiff_edge[0, 0]), twist=float(made.stiff_twist[0, 0])
    )


def closed_row(*, section: str, **given: Any) -> Stiffness:
    """Return what the closed forms say of a section in a row: fields of a cut, and those of bars after ``bar_``."""
    bars = {name.removeprefix("bar_"): np.atleast_1d(each) for name, each in given.items() if name.startswith("bar_")}
    plain = {name: float(each) for name, each in given.items() if not name.startswith("bar_")}
    count = len(next(iter(bars.values()), ()))
    made = [Bar(**{name: float(each[k]) for name, each in bars.items()}) for k in range(count)]
    return closed(Cut(section=section, bars=tuple(made), **plain))


def _bars(cut: Cut) -> beam.Bars | None:
    if not cut.bars:
        return None

    def of(name: str) -> Array:
        return np.array([[[getattr(bar, name) for bar in cut.bars]]], dtype=np.float64)

    rods = beam.round_bar(diameter=of("width"))
    flats = beam.rectangle(width=of("width"), height=of("height"))
    is_round = of("is_round") > 0.0
    shape = beam.Shape(
        **{name: np.where(is_round, getattr(rods, name), getattr(flats, name)) for name in beam.Shape.__slots__}
    )
    return beam.Bars(shape=shape, x=of("x"), z=of("z"), modulus=of("modulus"), shear_modulus=of("shear_modulus"))


@functools.lru_cache(maxsize=512)
def elements(cut: Cut) -> Stiffness:
    """Return what finite elements say of a section; needs the extra ``fe``, unless it was solved before."""
    place = _kept(cut)
    try:
        return Stiffness(**json.loads(place.read_text(encoding="utf-8")))
    except (OSError, ValueError, TypeError):
        found = _solved(cut)
    _keep(place, found)
    return found


def _kept(cut: Cut) -> Path:
    """Return where the answer about a section is kept, by its content."""
    library = need("sectionproperties", extra="fe")
    told = json.dumps([FORMAT, getattr(library, "__version__", ""), asdict(cut)], sort_keys=True)
    name = hashlib.sha256(told.encode("utf-8")).hexdigest()[:32]
    base = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(base) / "foilwright" / "sections" / f"{name}.json"


def _keep(place: Path, found: Stiffness) -> None:
    """Keep an answer where a folder can be written; it is only worked out again where none can."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile("w", dir=place.parent, delete=False, encoding="utf-8") as fresh:
            fresh.write(json.dumps(asdict(found)))
        Path(fresh.name).replace(place)
    except OSError:
        return


def _pieces(cut: Cut) -> list[tuple[Any, float, float]]:
    """Return the outlines of a section and their moduli, none over another."""
    shapely = need("shapely", extra="fe")
    rough = ROUGHLY * cut.chord
    outline = shapely.Polygon(np.asarray(section_coordinates(section=cut.section, points=POINTS)) * cut.chord)
    outside = outline.buffer(cut.wrap).simplify(rough) if cut.wrap > 0.0 else outline
    inside = outline.buffer(-cut.wall, join_style="mitre").simplify(rough)
    if outline.buffer(-NEARLY * cut.wall, join_style="mitre").is_empty:
        inside = shapely.Polygon()
    core = cut.core_modulus, cut.core_shear_modulus
    if cut.bars and not cut.core_modulus:
        core = HOLDS * cut.wall_modulus, HOLDS * cut.wall_shear_modulus
    pieces = [
        (outside.difference(outline), cut.wrap_modulus, cut.wrap_shear_modulus),
        (outline.difference(inside), cut.wall_modulus, cut.wall_shear_modulus),
        (inside, *core),
    ]
    for bar in cut.bars:
        middle = shapely.Point(bar.x, bar.z)
        there = (
            middle.buffer(0.5 * bar.width, quad_segs=12)
            if bar.is_round > 0.0
            else shapely.box(
                bar.x - 0.5 * bar.width, bar.z - 0.5 * bar.height, bar.x + 0.5 * bar.width, bar.z + 0.5 * bar.height
            )
        )
        pieces = [(piece.difference(there), *moduli) for piece, *moduli in pieces]
        pieces.append((there, bar.modulus, bar.shear_modulus))
    if cut.duct > 0.0:
        hole = shapely.Point(cut.duct_place * cut.chord, 0.0).buffer(0.5 * cut.duct, quad_segs=12)
        pieces = [(piece.difference(hole), *moduli) for piece, *moduli in pieces]
    return [
        (part, modulus, shear)
        for piece, modulus, shear in pieces
        for part in getattr(piece, "geoms", (piece,))
        if modulus > 0.0 and part.area > rough * rough
    ]


def _solved(cut: Cut) -> Stiffness:
    """Mesh a section and solve it: bending with the moduli, torsion with the shear moduli."""
    pre = need("sectionproperties.pre", extra="fe")
    analysis = need("sectionproperties.analysis", extra="fe")
    pieces = _pieces(cut)
    whole = sum(part.area for part, _, _ in pieces)
    thin = min(cut.wall, cut.wrap or cut.wall, 0.03 * cut.chord)
    size = max(0.6 * thin * thin, whole / FINEST)

    def section(moduli: list[float]) -> Any:
        made = pre.CompoundGeometry(
            [
                pre.Geometry(part, pre.Material(
                    name=f"{k}", elastic_modulus=modulus, poissons_ratio=0.0, yield_strength=1.0, density=1.0, color="w"
                ))
                for k, ((part, _, _), modulus) in enumerate(zip(pieces, moduli, strict=True))
            ]
        )  # fmt: skip
        made.create_mesh([size])
        return analysis.Section(made)

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        bent = section([modulus for _, modulus, _ in pieces])
        bent.calculate_geometric_properties()
        turned = section([2.0 * shear for _, _, shear in pieces])
        turned.calculate_geometric_properties()
        turned.calculate_warping_properties()
    flat, edge, _ = bent.get_eic()
    return Stiffness(flat=float(flat), edge=float(edge), twist=0.5 * float(turned.get_ej()))
