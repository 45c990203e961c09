"""Parts: what is written is whole, at full size, the same for the same build, and only made anew where it changed."""

from __future__ import annotations

import csv
import io
import itertools
import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import foilwright as fw
from foilwright.assemble import assemble
from foilwright.build import load
from foilwright.build.build import Build
from foilwright.core.errors import BuildFileError, MissingExtraError, PlaceError
from foilwright.parts import KINDS, foam, make, run
from foilwright.parts.cloth import plies, wrong
from foilwright.parts.foam.layers import blank
from foilwright.parts.foam.sheets import cut_by, nested, on_sheet
from foilwright.parts.job import Made
from foilwright.parts.kept import Kept
from foilwright.parts.money.goods import goods, own_list
from foilwright.parts.paper import tiles
from foilwright.parts.paper.drawing import Drawing, svg
from foilwright.questions.state import State
from foilwright.shape import board as hull

for library in ("typst", "ezdxf", "shapely", "pypdfium2"):
    pytest.importorskip(library)

LAKE = load.scenario("lake")
WITHOUT_SOLIDS = tuple(kind for kind in KINDS if kind not in ("solids", "prints"))
each_scenario = pytest.mark.parametrize("scenario", load.scenarios())


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("lake")


@pytest.fixture(scope="module")
def made(place: Path) -> list[Made]:
    return make(LAKE, place, only=WITHOUT_SOLIDS)


def craft_of(build: Build) -> Any:
    return assemble(build)[0]


def test_every_kind_leaves_whole_files_and_the_index_shows_them(place: Path, made: list[Made]) -> None:
    assert {one.kind for one in made} == set(WITHOUT_SOLIDS)
    web, text = ((place / name).read_text(encoding="utf-8") for name in ("index.html", "index.md"))
    for one in made:
        assert one.purpose.endswith("."), "a purpose is a sentence"
        for file in one.files:
            assert (place / file).stat().st_size > 100
            assert file in web
            assert file in text
        assert one.picture in web
        assert not one.picture or (place / one.picture).is_file()
    assert LAKE.hash in web
    assert LAKE.hash in text
    assert list(place.rglob("*.new")) == []
    for page in place.rglob("*.html"):
        told = page.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
        assert not re.search(r"https?:|src=\"//|@import", told), "nothing is fetched from anywhere"


def test_no_file_is_forgotten(place: Path, made: list[Made]) -> None:
    named = {file for one in made for file in (*one.files, one.picture)}
    named |= {"index.html", "index.md", "made.json", "findings.json"}
    assert {str(path.relative_to(place)) for path in place.rglob("*") if path.is_file()} <= named


def test_drawings_pass_the_audit_of_another_library(place: Path, made: list[Made]) -> None:
    import ezdxf

    files = sorted(place.rglob("*.dxf"))
    assert len(files) > 8
    for path in files:
        document = ezdxf.readfile(path)
        audit = document.audit()
        assert not audit.errors, path.name
        assert len(list(document.modelspace())) > 0
    outline = ezdxf.readfile(place / "foam/half-outline.dxf")
    reach = max(x for line in outline.modelspace().query("LWPOLYLINE[layer=='cut']") for x, *_ in line.get_points())
    assert reach == pytest.approx(1750.0, abs=0.01), "millimetres at full size"


def dark_run(pdf: Path, number: int) -> float:
    """Return the longest dark run in the foot of a page [mm]."""
    import pypdfium2

    scale = 8.0
    document = pypdfium2.PdfDocument(pdf)
    image = np.asarray(document[number].render(scale=scale, grayscale=True).to_numpy()).squeeze()
    foot = image[int(0.928 * image.shape[0]) :] < 60
    edges = np.diff(np.pad(foot.astype(int), ((0, 0), (1, 1))), axis=1)
    best = 0
    for row in edges:
        starts, ends = np.flatnonzero(row == 1), np.flatnonzero(row == -1)
        best = max(best, int((ends - starts).max(initial=0)))
    document.close()
    return best / scale / 72.0 * 25.4


@pytest.mark.parametrize("number", [0, 9, 16])
def test_the_bar_is_a_hundred_millimetres_on_paper(place: Path, made: list[Made], number: int) -> None:
    assert dark_run(place / "foam/templates.pdf", number) == pytest.approx(100.0, abs=0.3)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_tiles_show_every_line_whole(paper: str, tmp_path: Path) -> None:
    drawing = Drawing(name="a long line")
    drawing.line([(0.0, 0.0), (0.9, 0.31), (0.2, 0.4)], "cut")
    parts = [
        part for tile in tiles.tiles(drawing, paper) for part in tiles.clipped(drawing.lines[0].points, tile, False)
    ]
    shown = sum(float(np.hypot(*np.diff(np.array(part), axis=0).T).sum()) for part in parts)
    whole = float(np.hypot(*np.diff(np.array(drawing.lines[0].points), axis=0).T).sum())
    assert shown == pytest.approx(whole, rel=1e-9)
    path = tmp_path / "line.pdf"
    path.write_bytes(tiles.pdf([drawing], paper=paper, head="a test"))
    assert dark_run(path, 0) == pytest.approx(100.0, abs=0.3)


@each_scenario
def test_foam_is_nested_without_overlap_and_staggered(scenario: str) -> None:
    import shapely

    craft = craft_of(load.scenario(scenario))
    board = blank(craft)
    nest = nested(board, craft)
    pieces = {one.name: one for layer in board.layers for one in layer.pieces}
    assert sorted(one.piece.name for one in nest.placed) == sorted(pieces)
    kerf = float(craft.workshop.kerf[0])
    sheet = shapely.box(0, 0, float(craft.workshop.sheet_length[0]), float(craft.workshop.sheet_width[0])).buffer(1e-6)
    laid = {one.piece.name: (one.sheet, shapely.Polygon(on_sheet(pieces[one.piece.name], one))) for one in nest.placed}
    for _, shape in laid.values():
        assert shape.is_valid
        assert sheet.covers(shape)
    for (first, one), (second, other) in itertools.combinations(laid.values(), 2):
        if first == second:
            assert one.distance(other) >= kerf - 1e-6
    zones = [shapely.box(*zone.low, *zone.high) for zone in board.zones]
    for layer in board.layers:
        for place in layer.across:
            assert not any(zone.low[0] < place < zone.high[0] for zone in board.zones)
        for along in layer.along:
            line = shapely.LineString([(layer.x[0], along), (layer.x[-1], along)])
            assert not any(line.crosses(zone) for zone in zones), "no joint in the mast zone or under the feet"
    assert board.stagger >= min(board.wanted, 0.29)


@each_scenario
def test_layers_hold_the_board(scenario: str) -> None:
    """The pieces of each layer add up to its outline, and all layers hold the volume of the board."""
    import shapely

    craft = craft_of(load.scenario(scenario))
    board = blank(craft)
    for layer in board.layers:
        area = sum(shapely.Polygon(one.outline).area for one in layer.pieces)
        assert area == pytest.approx(float(np.sum(np.diff(layer.x) * (layer.half[1:] + layer.half[:-1]))), rel=2e-3)
    volume = sum(sum(shapely.Polygon(one.outline).area for one in layer.pieces) * 1.0 for layer in board.layers)
    volume *= float(craft.workshop.sheet_thickness[0])
    state = State(craft)
    wanted = float(hull.volume(state.weights.masses.stations)[0])
    assert wanted < volume < 1.6 * wanted
    bound = float(state.making.foam_area[0]) * float(craft.workshop.sheet_thickness[0])
    assert volume == pytest.approx(bound, rel=0.06), "the bound of makeable and the real layers agree"


@each_scenario
def test_cloth_of_the_schedule_is_that_of_the_bound(scenario: str) -> None:
    craft = craft_of(load.scenario(scenario))
    state = State(craft)
    cuts = plies.plies(craft)
    area = sum(one.count * one.area for one in cuts)
    assert area == pytest.approx(float(state.making.ply_area[0]), rel=0.12)
    nest, _ = plies.on_roll(cuts, craft)
    assert not nest.too_large
    goes = plies.lay_ups(cuts, craft, state.making)
    for one in goes:
        assert one.resin + one.hardener == pytest.approx(one.mixed, rel=1e-9)
        assert one.hardener / one.resin == pytest.approx(float(craft.workshop.mix_ratio[0]), rel=1e-9)


def test_resin_that_eats_the_foam_is_an_error_and_no_schedule(tmp_path: Path) -> None:
    bad = LAKE.with_texts({"laminate.resin": "polyester"})
    assert any("polyester" in told for told in wrong(craft_of(bad)))
    things = make(bad, tmp_path, only=["cloth"])
    assert "not like this" in things[0].title
    assert not (tmp_path / "cloth/schedule.csv").exists()


def test_the_same_build_gives_the_same_bytes(tmp_path: Path, place: Path, made: list[Made]) -> None:
    make(LAKE, tmp_path, only=WITHOUT_SOLIDS)
    for one in made:
        for file in one.files:
            assert (tmp_path / file).read_bytes() == (place / file).read_bytes(), file


def test_only_what_changed_is_made_anew(tmp_path: Path) -> None:
    told: list[str] = []
    kinds = ["foam", "cloth", "money"]
    make(LAKE, tmp_path, only=kinds)
    make(LAKE, tmp_path, only=kinds, tell=told.append)
    assert not [line for line in told if "being made" in line]
    told.clear()
    wing = LAKE.with_texts({"wing.area": "1650 cm^2"})
    make(wing, tmp_path, only=kinds, tell=told.append)
    assert "foam: as it was" in told
    assert "cloth: being made" in told
    (tmp_path / "foam/rocker.svg").write_text("half of it", encoding="utf-8")
    told.clear()
    make(wing, tmp_path, only=kinds, tell=told.append)
    assert "foam: being made" in told, "a file that is not as it was is made anew"
    assert (tmp_path / "foam/rocker.svg").read_text(encoding="utf-8").endswith("</svg>\n")


def test_what_was_made_for_an_earlier_build_says_so(tmp_path: Path) -> None:
    make(LAKE, tmp_path, only=["money"])
    other = LAKE.with_texts({"wing.area": "1650 cm^2"})
    make(other, tmp_path, only=["order"])
    text = (tmp_path / "index.md").read_text(encoding="utf-8")
    assert f"OF AN EARLIER BUILD, {LAKE.hash}" in text
    assert f"Build {other.hash}." in text


def test_an_interrupted_run_leaves_no_half_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_given: object) -> Made:
        raise KeyboardInterrupt

    monkeypatch.setattr(foam, "_templates", stopped)
    with pytest.raises(KeyboardInterrupt):
        make(LAKE, tmp_path, only=["money", "foam"])
    assert list(tmp_path.rglob("*.new")) == []
    assert Kept.read(tmp_path, LAKE.hash).same("foam", "any") is None
    monkeypatch.undo()
    things = make(LAKE, tmp_path, only=["money", "foam"])
    assert {one.kind for one in things} == {"money", "foam"}


def test_a_missing_extra_is_told_and_the_rest_is_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_given: object) -> dict[str, list[Made]]:
        raise MissingExtraError("this needs a kernel")

    monkeypatch.setitem(run.MAKERS, "solids", none)
    monkeypatch.setitem(run.MAKERS, "prints", none)
    things = make(LAKE, tmp_path, only=["solids", "prints", "money"])
    assert [one.kind for one in things] == ["money"]
    assert "this needs a kernel" in (tmp_path / "index.md").read_text(encoding="utf-8")


def test_a_list_that_cannot_be_read_counts_as_none(tmp_path: Path) -> None:
    for told in ("", "[]", '{"format": 1, "made": 3}', '{"format": 1, "made": {"foam": 3}}'):
        (tmp_path / "made.json").write_text(told, encoding="utf-8")
        assert Kept.read(tmp_path, "x").same("foam", "any") is None


def test_wrong_kinds_and_places_are_sentences(tmp_path: Path) -> None:
    with pytest.raises(BuildFileError, match="foam"):
        make(LAKE, tmp_path, only=["foan"])
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(PlaceError):
        make(LAKE, tmp_path / "file", only=["money"])


def test_the_makers_own_prices_count(tmp_path: Path) -> None:
    path = tmp_path / "mine.csv"
    path.write_text("item,price,owned\nmotor,100,yes\ncells,0.5,\n", encoding="utf-8")
    state = State(craft_of(LAKE))
    plain = {one.item: one for one in goods(state, {})}
    mine = {one.item: one for one in goods(state, own_list(path))}
    assert mine["motor"].cost == 0.0 < plain["motor"].cost
    assert mine["cells"].price == 0.5
    assert mine["cells"].mine
    assert not plain["cells"].mine
    path.write_text("item,price,owned\nmoter,abc,yes\n", encoding="utf-8")
    with pytest.raises(BuildFileError) as caught:
        own_list(path)
    assert [fault.field for fault in caught.value.faults] == ["item", "price"]
    with pytest.raises(PlaceError):
        own_list(tmp_path / "none.csv")


def test_the_list_of_materials_reads_back(place: Path, made: list[Made]) -> None:
    rows = list(csv.DictReader(io.StringIO((place / "money/materials.csv").read_text(encoding="utf-8"))))
    assert sum(float(row["cost"]) for row in rows[:-1]) == pytest.approx(float(rows[-1]["cost"]), abs=0.2)
    assert own_list(place / "money/materials.csv")["motor"].price is not None
    fuse = next(row for row in rows if row["item"].startswith("main fuse"))
    assert re.search(r"\d+ V direct current, breaks \d+ A", fuse["what matters"])


def test_the_public_function_and_the_package_are_one(tmp_path: Path) -> None:
    things = fw.parts(LAKE, tmp_path, only=["money"])
    assert [one.kind for one in things] == ["money"]
    assert json.loads((tmp_path / "made.json").read_text(encoding="utf-8"))["format"] == 1


@pytest.mark.parametrize("scenario", ["first-try", "sea", "trainer"])
def test_the_other_scenarios_give_every_paper(scenario: str, tmp_path: Path) -> None:
    things = make(load.scenario(scenario), tmp_path, only=["foam", "cloth", "order", "wiring", "money"])
    assert {one.kind for one in things} == {"foam", "cloth", "order", "wiring", "money"}
    assert all((tmp_path / file).stat().st_size for one in things for file in one.files)


def test_words_in_a_drawing_cannot_break_out_of_it() -> None:
    drawing = Drawing(name="<b>&")
    drawing.line([(0.0, 0.0), (0.1, 0.1)])
    drawing.say((0.0, 0.0), "<script>&")
    told = svg(drawing)
    assert "<script>" not in told
    assert "&lt;script&gt;" in told


@pytest.mark.long
@pytest.mark.parametrize("scenario", load.scenarios())
def test_a_whole_run_shows_solids_and_prints_too(scenario: str, tmp_path: Path) -> None:
    pytest.importorskip("build123d")
    build = load.scenario(scenario)
    told: list[str] = []
    things = make(build, tmp_path, tell=told.append)
    assert {one.kind for one in things} == set(KINDS)
    assert all((tmp_path / file).is_file() for one in things for file in (*one.files, one.picture) if file)
    told.clear()
    again = make(build, tmp_path, tell=told.append)
    assert [one.title for one in again] == [one.title for one in things]
    assert not [line for line in told if "made" in line and "as it was" not in line]


def test_the_real_nest_tells_what_is_not_at_hand(tmp_path: Path) -> None:
    short = LAKE.with_texts({"workshop.sheets": "3", "workshop.cloth_length": "9 m"})
    told = " ".join(note for one in make(short, tmp_path, only=["foam", "cloth"]) for note in one.notes)
    assert "sheets, 3 are at hand" in told
    assert "9.0 m are at hand" in told


def test_a_stringer_has_its_slot_in_every_layer_below_the_deck() -> None:
    plain, with_one = (blank(craft_of(build)) for build in (LAKE, LAKE.with_texts({"workshop.stringer": "6 mm"})))
    names = [one.name for one in with_one.pockets]
    assert set(names) - {one.name for one in plain.pockets} == {"stringer"}
    slot = with_one.pockets[names.index("stringer")]
    assert slot.high[1] - slot.low[1] == pytest.approx(0.006)
    assert all(slot in cut_by(with_one.pockets, layer) for layer in with_one.layers[:3])
