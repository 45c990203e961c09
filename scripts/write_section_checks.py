"""Write data/points/sections.csv: sections of every kind by finite elements, for the closed forms to be held to.

Needs the extra ``fe``. Run it after the outline of a section or the kinds below have changed; it
prints how far the closed forms lie from the elements.
"""

from __future__ import annotations

import csv
import importlib.metadata
from pathlib import Path

from foilwright.study.meshes import BENDING, TORSION, Bar, Cut, Stiffness, closed, elements
from foilwright.study.points import COLUMNS

PAGE = Path(__file__).parents[1] / "src" / "foilwright" / "data" / "points" / "sections.csv"
PLA, PETG, ALUMINIUM = (2.6e9, 0.95e9), (1.9e9, 0.7e9), (70e9, 26.3e9)
GLASS, CARBON, FOAM, STEEL = (15e9, 3.5e9), (55e9, 12e9), (15e6, 6e6), (195e9, 75e9)
Section = tuple[str, Cut]


def _of(name: str, chord: float, wall: float, stuff: tuple[float, float], **more: float) -> Cut:
    return Cut(section=name, chord=chord, wall=wall, wall_modulus=stuff[0], wall_shear_modulus=stuff[1], **more)


def _core(stuff: tuple[float, float], share: float = 1.0) -> dict[str, float]:
    return {"core_modulus": share * stuff[0], "core_shear_modulus": share * stuff[1]}


def _wrap(thick: float, stuff: tuple[float, float]) -> dict[str, float]:
    return {"wrap": thick, "wrap_modulus": stuff[0], "wrap_shear_modulus": stuff[1]}


def _with(cut: Cut, *bars: Bar) -> Cut:
    given = {name: getattr(cut, name) for name in Cut.__slots__} | {"bars": bars}
    return Cut(**given)


def _rod(place: float, diameter: float, stuff: tuple[float, float]) -> Bar:
    return Bar(x=place, z=0.0, width=diameter, height=diameter, is_round=1.0, modulus=stuff[0], shear_modulus=stuff[1])


def _flat(place: float, width: float, thick: float, stuff: tuple[float, float]) -> Bar:
    return Bar(x=place, z=0.0, width=width, height=thick, is_round=0.0, modulus=stuff[0], shear_modulus=stuff[1])


def sections() -> list[Section]:
    """Return a name and a section of every kind."""
    made: list[Section] = []
    for name, chord, wall in (
        ("naca0008", 0.10, 0.0010), ("naca0009", 0.11, 0.0015), ("naca0010", 0.12, 0.0020), ("naca0012", 0.10, 0.0020),
        ("naca0012", 0.14, 0.0030), ("naca0015", 0.12, 0.0030), ("naca2410", 0.15, 0.0015), ("naca4412", 0.13, 0.0020),
    ):  # fmt: skip
        made.append(("hollow", _of(name, chord, wall, ALUMINIUM)))
    for name, chord in (("naca0010", 0.11), ("naca0015", 0.12), ("naca2412", 0.14), ("naca4410", 0.09)):
        made.append(("solid", _of(name, chord, chord, PLA)))
    for name, chord, wall, share in (
        ("naca0012", 0.12, 0.0012, 0.05), ("naca0012", 0.12, 0.0020, 0.20), ("naca0015", 0.12, 0.0016, 0.10),
        ("naca0015", 0.14, 0.0024, 0.30), ("naca2412", 0.15, 0.0012, 0.15), ("naca4415", 0.13, 0.0016, 0.25),
    ):  # fmt: skip
        made.append(("filled", _of(name, chord, wall, PETG, **_core(PETG, share))))
    for name, chord, stuff, thick, laid in (
        ("naca0012", 0.12, PLA, 0.0006, GLASS), ("naca0012", 0.12, PLA, 0.0020, GLASS),
        ("naca0015", 0.12, PETG, 0.0011, GLASS), ("naca0015", 0.14, PETG, 0.0010, CARBON),
        ("naca2412", 0.15, PLA, 0.0008, CARBON),
    ):  # fmt: skip
        made.append(("wrapped", _of(name, chord, chord, stuff, **_wrap(thick, laid))))
    for name, chord, wall, share, thick, laid in (
        ("naca0012", 0.12, 0.0012, 0.1, 0.0008, GLASS), ("naca0015", 0.12, 0.0016, 0.2, 0.0011, GLASS),
        ("naca0015", 0.14, 0.0012, 0.1, 0.0010, CARBON), ("naca4412", 0.15, 0.0012, 0.15, 0.0005, GLASS),
    ):  # fmt: skip
        made.append(("wrapped", _of(name, chord, wall, PETG, **_core(PETG, share), **_wrap(thick, laid))))
    for name, chord, wall, laid in (
        ("naca0010", 0.14, 0.0010, CARBON), ("naca2412", 0.16, 0.0010, GLASS), ("naca4412", 0.18, 0.0015, GLASS),
        ("naca2415", 0.15, 0.0008, CARBON),
    ):  # fmt: skip
        made.append(("foam-core", _of(name, chord, wall, laid, **_core(FOAM))))
    for name, chord, wall, stuff, share, duct in (
        ("naca0015", 0.12, 0.12, PLA, 1.0, 0.008), ("naca0015", 0.14, 0.14, PETG, 1.0, 0.012),
        ("naca0012", 0.14, 0.0020, PETG, 0.2, 0.008), ("naca0015", 0.12, 0.0030, ALUMINIUM, 0.0, 0.010),
        ("naca0015", 0.14, 0.0016, PLA, 0.1, 0.010),
    ):  # fmt: skip
        core = _core(stuff, share) if wall < 0.1 and share else {}
        made.append(("ducted", _of(name, chord, wall, stuff, **core, duct=duct, duct_place=0.3)))
    for name, chord, wall, stuff, share, count, diameter, bar in (
        ("naca0015", 0.12, 0.12, PLA, 1.0, 3, 0.008, STEEL), ("naca0012", 0.12, 0.12, PETG, 1.0, 2, 0.006, STEEL),
        ("naca0015", 0.14, 0.14, PETG, 1.0, 3, 0.010, CARBON), ("naca0015", 0.12, 0.0020, PETG, 0.2, 3, 0.008, STEEL),
        ("naca0012", 0.14, 0.0016, PLA, 0.15, 1, 0.008, ALUMINIUM),
    ):  # fmt: skip
        core = _core(stuff, share) if wall < 0.1 else {}
        rods = [_rod(share_of * chord, diameter, bar) for share_of in (0.2, 0.32, 0.44)[:count]]
        made.append(("rods", _with(_of(name, chord, wall, stuff, **core), *rods)))
    for name, chord, stuff, width, thick, bar in (
        ("naca0015", 0.12, PLA, 0.040, 0.005, ALUMINIUM), ("naca0012", 0.14, PETG, 0.050, 0.004, STEEL),
        ("naca0015", 0.14, PETG, 0.030, 0.006, ALUMINIUM),
    ):  # fmt: skip
        made.append(("flat-bar", _with(_of(name, chord, chord, stuff), _flat(0.32 * chord, width, thick, bar))))
    return made


def inputs(cut: Cut) -> str:
    """Return a section as a row of the outside checks writes it."""
    given = [f"{name}={getattr(cut, name):g}" for name in Cut.__slots__ if name not in ("section", "bars")]
    for name in Bar.__slots__:
        if cut.bars:
            given.append(f"bar_{name}=[{' '.join(f'{float(getattr(bar, name)):g}' for bar in cut.bars)}]")
    return ";".join([f"section={cut.section}", *given])


def rows() -> tuple[list[list[str]], list[tuple[str, Stiffness, Stiffness]]]:
    """Return the rows of the table, and each section by closed forms and by elements."""
    version = importlib.metadata.version("sectionproperties")
    out, both = [], []
    count: dict[str, int] = {}
    for kind, cut in sections():
        count[kind] = count.get(kind, 0) + 1
        name = f"{kind}-{count[kind]}"
        found = elements(cut)
        both.append((name, closed(cut), found))
        for field, share, why in (
            ("flat", BENDING, "5 % between closed forms and elements"),
            ("edge", BENDING, "5 % between closed forms and elements"),
            ("twist", TORSION, "12 % between closed forms and elements, the closed forms below"),
        ):
            out.append(
                [
                    name + "-" + field, "sections.closed", field, inputs(cut), f"{getattr(found, field):.6g}",
                    f"{share:g}", "rel", "library", "read", "",
                    f"sectionproperties {version}, finite elements of this outline; {why}",
                ]
            )  # fmt: skip
    return out, both


if __name__ == "__main__":
    table, both = rows()
    with PAGE.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        writer.writerows(table)
    for name, one, other in both:
        print(name, *(f"{100.0 * (getattr(one, f) / getattr(other, f) - 1.0):+.2f} %" for f in Stiffness.__slots__))
    print(f"{len(both)} sections, {len(table)} rows in {PAGE.name}")
