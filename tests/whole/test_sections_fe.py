"""Closed forms of sections beside finite elements: the committed table, the elements themselves, a build's own."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from foilwright.build import load
from foilwright.core.errors import MissingExtraError
from foilwright.study import meshes, points, stiffness
from foilwright.study.meshes import BENDING, TORSION, Cut, Stiffness, closed, elements
from foilwright.study.stiffness import SLACK
from write_section_checks import inputs, sections

ROWS = {point.id: point for point in points.read_all() if point.model == "sections.closed"}
PRINT = Cut(section="naca0015", chord=0.12, wall=0.12, wall_modulus=2.6e9, wall_shear_modulus=0.95e9)
KINDS = ("hollow", "solid", "filled", "wrapped", "foam-core", "ducted", "rods", "flat-bar")
ABSENT = "sectionproperties (extra fe) is not installed: the elements themselves cannot be asked here"


@pytest.fixture(autouse=True)
def own_cache(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    elements.cache_clear()


def committed() -> dict[str, tuple[Cut, Stiffness]]:
    """Return every section of the table with what the elements said of it."""
    count: dict[str, int] = {}
    out = {}
    for kind, cut in sections():
        count[kind] = count.get(kind, 0) + 1
        name = f"{kind}-{count[kind]}"
        given = {way: float(ROWS[f"{name}-{way}"].value) for way in Stiffness.__slots__}
        out[name] = cut, Stiffness(**given)
    return out


def test_forty_sections_of_every_kind_agree() -> None:
    """Bending within 5 %; torsion within 12 % below, and no more than 1.5 % above."""
    table = committed()
    assert len(table) >= 40
    assert {name.rsplit("-", 1)[0] for name in table} == set(KINDS)
    assert len(ROWS) == 3 * len(table)
    for name, (cut, found) in table.items():
        both = stiffness.Both(part=name, place="", closed=closed(cut), elements=found)
        assert all(both.agrees(way) for way in stiffness.WAYS), (name, [both.apart(way) for way in stiffness.WAYS])
    assert SLACK < TORSION
    assert BENDING < TORSION


def test_the_table_is_of_these_sections() -> None:
    for name, (cut, _) in committed().items():
        written = dict(part.split("=") for part in inputs(cut).split(";"))
        assert dict(ROWS[f"{name}-flat"].inputs) == written, name


def test_a_build_is_cut_where_its_strength_is_worked_out() -> None:
    build = load.scenario("lake").with_texts(
        {"mast.material": "printed petg", "mast.fill": "40 %", "mast.rods": "3", "mast.rod_diameter": "6 mm",
         "mast.wrap": "2", "mast.duct": "6 mm", "wing.wrap": "1"}
    )  # fmt: skip
    cuts = stiffness.cuts(build)
    assert [part for part, _, _ in cuts] == ["mast"] + ["wing"] * 5 + ["stabiliser"] * 5
    mast = cuts[0][2]
    assert len(mast.bars) == 3
    assert all(bar.is_round == 1.0 and bar.width == pytest.approx(0.006) for bar in mast.bars)
    assert mast.wrap > 0.0
    assert mast.duct == pytest.approx(0.006)
    from foilwright.assemble import assemble
    from foilwright.questions.state import State

    held = State(assemble(build)[0]).compliance
    assert closed(mast).twist == pytest.approx(float(held.mast.stiff_twist[0, 0]), rel=1e-9)
    assert closed(cuts[6][2]).flat == pytest.approx(float(held.wings.stiff_flat[1, 0]), rel=1e-9)


def test_without_the_extra_a_sentence_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "sectionproperties", None)
    with pytest.raises(MissingExtraError, match=r"foilwright\[fe\]"):
        elements(PRINT)


@pytest.mark.parametrize("name", ["wrapped-7", "flat-bar-1"])
def test_elements_say_what_stands_in_the_table(name: str) -> None:
    pytest.importorskip("sectionproperties", reason=ABSENT)
    cut, known = committed()[name]
    found = elements(cut)
    for way in Stiffness.__slots__:
        assert getattr(found, way) == pytest.approx(getattr(known, way), rel=2e-3), way


def test_what_was_solved_is_kept_by_content(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    pytest.importorskip("sectionproperties", reason=ABSENT)
    found = elements(PRINT)
    kept = list((tmp_path / "foilwright" / "sections").iterdir())
    assert len(kept) == 1
    assert json.loads(kept[0].read_text())["flat"] == found.flat
    elements.cache_clear()
    monkeypatch.setattr(meshes, "_solved", lambda _: pytest.fail("solved again"))
    assert elements(PRINT) == found


def test_the_answer_says_which_one_spoke(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("sectionproperties", reason=ABSENT)
    known = stiffness.cuts(load.scenario("lake"))
    monkeypatch.setattr(stiffness, "cuts", lambda *_, **__: known[:1])
    found = stiffness.of_build(load.scenario("lake"))
    told, plain = stiffness.text(found), stiffness.document(found)
    assert "rest on closed forms" in told
    assert "Within 5 %" in told
    assert max(len(line) for line in told.splitlines()) <= 80
    assert plain["spoke"] == "closed forms"
    assert json.loads(json.dumps(plain, allow_nan=False))["sections"][0]["flat"]["agrees"] is True
    far = [stiffness.Both(part="mast", place="anywhere", closed=Stiffness(flat=1.2, edge=1.0, twist=1.0),
        elements=Stiffness(flat=1.0, edge=1.0, twist=1.0))]  # fmt: skip
    assert "lean on the elements: mast, anywhere: bent thin way" in stiffness.text(far)
