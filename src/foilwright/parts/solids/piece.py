"""What is drawn and made: bodies of a piece, how each is printed, and the piece as a job of its own."""

from __future__ import annotations

import functools
import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from foilwright.core.data import table, write_whole
from foilwright.parts.job import Made
from foilwright.parts.solids import export, kernel, pictures
from foilwright.parts.solids.kernel import Array, Mesh, Shape

Numbers = Mapping[str, float]
SHOWN = ("mass", "volume", "area")
"""Numbers that the index tells; the others are told in a sentence."""
REACHED = ("lengths", "stated", "bridged", "left", "asked", "around", "craft_around")
"""Numbers that the findings are made of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Printing:
    """How a body is printed."""

    material: str
    wall: float = 0.0012  # m
    infill: float = 0.15  # share
    fill: float = 0.0  # share that is plastic, walls and all, where the answers took one; 0: from walls and infill
    pattern: str = "gyroid"
    stands: str = ""  # why it stands on the bed as it does
    support: str = ""  # where it needs support; empty: none


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """One solid, as it sits in the craft or on the bench."""

    name: str
    shape: Shape
    printing: Printing | None = None  # None: milled, cut, laid up or a reference
    turn: Array = field(default_factory=lambda: np.eye(3))  # to printing orientation
    count: int = 1
    mass: float = 0.0  # kg of one, where it is not printed


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """What a maker of solids draws."""

    bodies: tuple[Body, ...]
    numbers: Numbers = field(default_factory=dict)  # SI: mass, volume, area of the whole against the craft's
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One thing to make: the same key makes the same files."""

    name: str
    title: str
    purpose: str
    draw: Callable[[Any], Drawing]
    inputs: Any  # a frozen dataclass of plain values
    folder: Path

    @property
    def key(self) -> str:
        """Return a short hash of all that decides the files: inputs, words and the rules that draw."""
        told = f"{self.name};{self.title};{self.purpose};{self.draw.__qualname__};{self.inputs!r};{_rules()}"
        return hashlib.sha256(told.encode()).hexdigest()[:16]

    def make(self) -> Made:
        """Draw it and write its files."""
        drawing = self.draw(self.inputs)
        return _written(self, drawing)


@functools.cache
def _rules() -> str:
    """Return a hash of the code and tables that draw."""
    here = Path(__file__).parent
    told = hashlib.sha256()
    for path in sorted(here.glob("*.py")):
        told.update(path.read_bytes())
    told.update(repr(sorted(table("parts/fits").columns["value"].tolist())).encode())
    return told.hexdigest()[:16]


@functools.cache
def fit(name: str) -> float:
    """Return a gap, hole or least thickness of the table of fits [m]."""
    fits = table("parts/fits")
    return float(fits.columns["value"][fits.texts["fit"].index(name)])


def _written(piece: Piece, drawing: Drawing) -> Made:
    """Write STEP, STL, 3MF, picture and the sheet that the print plan reads."""
    place, files = piece.folder / "solids", [f"solids/{piece.name}.step"]
    write_whole(place / f"{piece.name}.step", export.step(_all(drawing), piece.name))
    meshes, rows, on_bed, at = [], [], [], 0.0
    for body in drawing.bodies:
        mesh = kernel.mesh(body.shape)
        meshes.append(mesh)
        stood = standing(mesh, body.turn)
        write_whole(place / f"{body.name}.stl", export.stl(stood))
        files.append(f"solids/{body.name}.stl")
        rows.append(_row(body, stood))
        if body.printing is not None:
            on_bed.append((body.name, stood, (at, 0.0, 0.0)))
            at += float(np.ptp(stood.corners[:, 0])) + 0.005
    if on_bed:
        files.insert(1, f"solids/{piece.name}.3mf")
        write_whole(place / f"{piece.name}.3mf", export.three_mf(on_bed))
    write_whole(place / f"{piece.name}.png", pictures.picture(meshes, title=piece.title))
    sheet = {"name": piece.name, "title": piece.title, "key": piece.key, "bodies": rows}
    write_whole(place / f"{piece.name}.json", json.dumps(sheet, indent=1, sort_keys=True) + "\n")
    files.append(f"solids/{piece.name}.json")
    return Made(
        files=tuple(files), kind="solids", title=piece.title, purpose=piece.purpose,
        picture=f"solids/{piece.name}.png",
        numbers={name: value for name, value in drawing.numbers.items() if name in SHOWN},
        notes=(*_compared(drawing.numbers), *drawing.notes),
        reached={f"{piece.name}.{name}": value for name, value in drawing.numbers.items() if name in REACHED},
    )  # fmt: skip


def _compared(numbers: Numbers) -> list[str]:
    """Return words on how near the solid comes to what the answers take."""
    out = []
    if "craft_volume" in numbers:
        off = numbers["volume"] / numbers["craft_volume"] - 1.0
        out.append(
            f"Its volume is {numbers['volume'] * 1e6:.1f} cm^3 without holes, {off:+.2%} from that of the answers."
        )
    if "laminate_mass" in numbers:
        off = numbers["laminate_mass"] / numbers["mass"] - 1.0
        out.append(
            f"The laminate over it comes to {numbers['laminate_mass']:.3f} kg, {off:+.2%} from that of the answers."
        )
    return out


def _all(drawing: Drawing) -> Shape:
    shapes = [body.shape for body in drawing.bodies]
    return shapes[0] if len(shapes) == 1 else kernel.together(shapes)


def standing(mesh: Mesh, turn: Array) -> Mesh:
    """Return a mesh turned as it is printed, its lowest corner at the origin."""
    corners = mesh.corners @ np.asarray(turn).T
    return Mesh(corners=np.round(corners - corners.min(axis=0), 7), facets=mesh.facets)


def _row(body: Body, stood: Mesh) -> dict[str, Any]:
    """Return what the print plan reads of a body."""
    tri = stood.corners[stood.facets]
    volume = float(np.einsum("ij,ij->i", tri[:, 0], np.cross(tri[:, 1], tri[:, 2])).sum() / 6.0)
    area = float(np.linalg.norm(np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0]), axis=1).sum() / 2.0)
    p = body.printing
    return {
        "name": body.name, "count": body.count, "volume": float(f"{volume:.6g}"), "area": float(f"{area:.6g}"),
        "size": [round(float(v), 5) for v in np.ptp(stood.corners, axis=0)],
        "print": None if p is None else {
            "material": p.material, "wall": round(p.wall, 6), "infill": round(p.infill, 4), "fill": round(p.fill, 4),
            "pattern": p.pattern, "stands": p.stands, "support": p.support,
        },
    }  # fmt: skip
