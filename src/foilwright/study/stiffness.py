"""The sections of a build, mast and wings, by closed forms and by finite elements side by side."""

from __future__ import annotations

import importlib.metadata
from dataclasses import dataclass
from typing import Any

import numpy as np

from foilwright.assemble import assemble
from foilwright.build.build import Build
from foilwright.core.model import Array
from foilwright.questions.state import State
from foilwright.questions.state.structure.compliance import ALONG, mast_given, wall_thickness, wings_given
from foilwright.study.meshes import BENDING, TORSION, Bar, Cut, Stiffness, closed, elements

WAYS = {"flat": "bent thin way", "edge": "bent chordwise", "twist": "twisted"}
SLACK = 0.015
"""How far closed forms may lie above the elements in torsion: a carbon wrap ends in another corner there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Both:
    """One section of the build."""

    part: str
    place: str
    closed: Stiffness
    elements: Stiffness

    def apart(self, way: str) -> float:
        """Return how far the closed form lies above the elements, as a share of these."""
        return float(getattr(self.closed, way) / getattr(self.elements, way) - 1.0)

    def agrees(self, way: str) -> bool:
        """Say whether both agree as closely as they must."""
        apart = self.apart(way)
        return -TORSION <= apart <= SLACK if way == "twist" else abs(apart) <= BENDING


def of_build(build: Build, *, as_built: bool = True) -> list[Both]:
    """Return every section of mast, wing and stabiliser; needs the extra ``fe``."""
    return [
        Both(part=part, place=place, closed=closed(cut), elements=elements(cut))
        for part, place, cut in cuts(build, as_built=as_built)
    ]


def cuts(build: Build, *, as_built: bool = True) -> list[tuple[str, str, Cut]]:
    """Return part, place and section of every cut through mast, wing and stabiliser."""
    craft, _ = assemble(build, as_built=as_built)
    state, s = State(craft), craft.structure
    walls, ply = wall_thickness(craft), state.compliance.ply
    mast = mast_given(craft, state.stuffs, walls, ply * s.mast.wrap)
    wings = wings_given(craft, state.stuffs, walls, np.concatenate([ply * s.wing.wrap, ply * s.stabiliser.wrap]))
    found = [("mast", "anywhere", _cut(mast, 0, 0))]
    for row, part in enumerate(("wing", "stabiliser")):
        for k, along in enumerate(ALONG):
            place = "in the middle" if k == 0 else "at the tip" if along == 1.0 else f"{100.0 * along:.0f} % out"
            found.append((part, place, _cut(wings, row, k)))
    return found


def _cut(given: dict[str, Any], row: int, station: int) -> Cut:
    shape = np.broadcast_shapes(*(np.shape(each) for name, each in given.items() if name not in ("sections", "bars")))
    plain = {
        name: float(np.broadcast_to(each, shape)[row, station])
        for name, each in given.items()
        if name not in ("sections", "bars")
    }
    return Cut(section=given["sections"][row], bars=_bars(given.get("bars"), row), **plain)


def _bars(bars: Any, row: int) -> tuple[Bar, ...]:
    """Return the bars that are there; one with no modulus is not."""
    if bars is None:
        return ()

    def of(values: Array) -> Array:
        shape = np.shape(bars.modulus)
        return np.asarray(np.broadcast_to(values, shape)[row, 0])

    wide, high, corner = (of(getattr(bars.shape, name)) for name in ("half_width", "half_height", "corner"))
    x, z, modulus, shear = (of(each) for each in (bars.x, bars.z, bars.modulus, bars.shear_modulus))
    return tuple(
        Bar(
            x=float(x[k]), z=float(z[k]), width=2.0 * float(wide[k]), height=2.0 * float(high[k]),
            is_round=1.0 - float(corner[k]), modulus=float(modulus[k]), shear_modulus=float(shear[k]),
        )
        for k in range(modulus.size)
        if modulus[k] > 0.0
    )  # fmt: skip


def document(found: list[Both]) -> dict[str, Any]:
    """Return the sections as plain data for JSON [N*m^2]."""
    return {
        "spoke": "closed forms",
        "beside": f"sectionproperties {importlib.metadata.version('sectionproperties')}, finite elements",
        "sections": [
            {
                "part": each.part, "place": each.place,
                **{
                    way: {
                        "closed": getattr(each.closed, way), "elements": getattr(each.elements, way),
                        "agrees": each.agrees(way),
                    }
                    for way in WAYS
                },
            }
            for each in found
        ],
    }  # fmt: skip


def text(found: list[Both]) -> str:
    """Return the sections as lines for a screen."""
    version = importlib.metadata.version("sectionproperties")
    lines = [
        f"SECTIONS by finite elements (sectionproperties {version})",
        "  The answers above rest on closed forms. Stiffness by elements in N·m², and",
        "  beside it how far the closed forms lie from that.",
        f"  {'':<26}" + "".join(f"{name:>17}" for name in WAYS.values()),
    ]
    for each in found:
        cells = [f"{_plain(getattr(each.elements, way))} ({100.0 * each.apart(way):+.1f} %)" for way in WAYS]
        lines.append(f"  {f'{each.part}, {each.place}':<26}" + "".join(f"{cell:>17}" for cell in cells))
    far = [f"{each.part}, {each.place}: {name}" for each in found for way, name in WAYS.items() if not each.agrees(way)]
    if far:
        lines.append("  The closed forms lie too far off here; lean on the elements: " + "; ".join(far) + ".")
    else:
        lines.append("  Within 5 % in bending and no more than 12 % below in torsion, as it must be.")
    return "\n".join(lines) + "\n"


def _plain(value: float) -> str:
    return f"{value:.0f}" if value >= 100.0 else f"{value:.3g}"
