"""Solids: right in volume, closed, readable by other programs, and the same bytes every time."""

from __future__ import annotations

import dataclasses
import functools
import importlib
import io
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from foilwright.assemble import assemble
from foilwright.build import load
from foilwright.build.build import Build
from foilwright.core.data import folder
from foilwright.parts import prints
from foilwright.parts.job import Job
from foilwright.parts.solids import coupons, export, fuselage, kernel, pod, read, wings
from foilwright.parts.solids import plan as plan_of
from foilwright.parts.solids.piece import Drawing, Piece, standing
from foilwright.questions.state import State
from foilwright.shape import foil

trimesh = pytest.importorskip("trimesh")
lib3mf = pytest.importorskip("lib3mf")
pytest.importorskip("OCP")

SCENARIOS = ("lake", "first-try", "sea", "trainer")
DRAWN = ("first-try", *(pytest.param(name, marks=pytest.mark.long) for name in ("lake", "sea", "trainer")))


@functools.cache
def build(name: str) -> Build:
    return load.load(folder() / "scenarios" / f"{name}.toml")


def job(name: str, place: Path = Path(), **changes: str) -> Job:
    made = build(name).with_texts({path.replace("__", "."): text for path, text in changes.items()})
    return Job(build=made, state=State(assemble(made)[0]), answers=None, folder=place)  # type: ignore[arg-type]


@functools.cache
def plan(name: str) -> dict[str, Piece]:
    return {piece.name: piece for piece in plan_of(job(name))}


@functools.cache
def one(name: str, piece: str) -> Drawing:
    return plan(name)[piece].draw(plan(name)[piece].inputs)


def drawn(name: str) -> dict[str, Drawing]:
    return {piece: one(name, piece) for piece in plan(name)}


@functools.cache
def meshes(name: str) -> dict[str, kernel.Mesh]:
    return {body.name: kernel.mesh(body.shape) for piece in drawn(name).values() for body in piece.bodies}


def volume(mesh: kernel.Mesh) -> float:
    tri = mesh.corners[mesh.facets]
    return float(np.einsum("ij,ij->i", tri[:, 0], np.cross(tri[:, 1], tri[:, 2])).sum() / 6.0)


# ---- closed forms -----------------------------------------------------------

R, A, B, H = 0.03, 0.11, 0.07, 0.04
TURN = np.linspace(0.0, np.pi, 181)
FLAT = np.array([[0.0, 0.0, 0.0], [A, 0.0, 0.0], [0.0, B, 0.0]])
FORMS = {
    "block": (lambda: kernel.box((0, 0, 0), (A, B, H)), A * B * H, 2 * (A * B + B * H + A * H)),
    "rounded": (
        lambda: kernel.round_block((0, 0, 0), (A, B, H), R), (A * B - (4 - np.pi) * R * R) * H,
        2 * (A * B - (4 - np.pi) * R * R) + (2 * (A + B) - (8 - 2 * np.pi) * R) * H,
    ),
    "cylinder": (lambda: kernel.cylinder((0, 0, 0), (0, H, 0), R), np.pi * R * R * H, 2 * np.pi * R * (R + H)),
    "frustum": (
        lambda: kernel.cone((0, 0, 0), (H, 0, 0), R, 0.5 * R), np.pi * H * R * R * 1.75 / 3,
        np.pi * (1.5 * R * np.hypot(H, 0.5 * R) + 1.25 * R * R),
    ),
    "prism": (lambda: kernel.prism(FLAT, (0, 0, H)), 0.5 * A * B * H, A * B + (A + B + np.hypot(A, B)) * H),
    "ball": (
        lambda: kernel.revolve(np.column_stack([-R * np.cos(TURN), R * np.sin(TURN)])), 4 / 3 * np.pi * R**3,
        4 * np.pi * R * R,
    ),
    "ring": (
        lambda: kernel.cut(kernel.cylinder((0, 0, 0), (0, 0, H), R), kernel.cylinder((0, 0, -1), (0, 0, 2), 0.5 * R)),
        0.75 * np.pi * R * R * H, np.pi * (3 * R * H + 1.5 * R * R),
    ),
    "two blocks": (
        lambda: kernel.join(kernel.box((0, 0, 0), (A, B, H)), kernel.box((0.5 * A, 0, 0), (1.5 * A, B, H))),
        1.5 * A * B * H, 2 * (1.5 * A * B + B * H + 1.5 * A * H),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FORMS)
def test_the_kernel_meets_closed_forms(name: str) -> None:
    make, expected, skin = FORMS[name]
    shape = make()
    made = kernel.measure(shape)
    assert kernel.sound(shape)
    assert made.volume == pytest.approx(expected, rel=2e-4)
    assert made.area == pytest.approx(skin, rel=2e-4)
    assert volume(kernel.mesh(shape)) == pytest.approx(expected, rel=0.01)


def test_a_bar_to_pull_has_the_volume_of_its_outline() -> None:
    s = coupons.TENSION
    drop = 0.5 * (s["end_width"] - s["width"])
    angle = np.arccos(1.0 - drop / s["radius"])
    run = s["radius"] * np.sin(angle)
    under = run * (0.5 * s["width"] + s["radius"]) - 0.5 * s["radius"] ** 2 * (angle + np.sin(angle) * np.cos(angle))
    ends = (0.5 * s["length"] - 0.5 * s["gauge"] - run) * s["end_width"]
    area = s["gauge"] * s["width"] + 4.0 * under + 2.0 * ends
    assert kernel.measure(coupons.bar(s)).volume == pytest.approx(area * s["thickness"], rel=1e-3)


@pytest.mark.parametrize("section", ["naca2412", "naca4415", "naca0009"])
def test_a_wing_of_any_shape_has_the_volume_and_skin_of_the_models(section: str) -> None:
    wing = dataclasses.replace(
        plan("lake")["wing-shape"].inputs.wing, section=section, taper=0.42, sweep=0.3, dihedral=-0.12, twist=-0.07
    )
    made = kernel.measure(wings.solid(wing))
    outline = foil.section_outline(coordinates=foil.section_coordinates(section=section, points=401))
    stations = wing.stations()
    assert made.volume == pytest.approx(float(foil.volume(stations=stations, area_factor=outline.area)[0]), rel=5e-4)
    skin = foil.wetted_area(stations=stations, perimeter_factor=outline.perimeter, area_factor=outline.area)
    assert made.area == pytest.approx(float(skin[0]), rel=0.02)


# ---- the craft's numbers ----------------------------------------------------


@pytest.mark.parametrize("name", SCENARIOS)
@pytest.mark.parametrize("surface", ["wing", "stabiliser"])
def test_a_surface_has_the_volume_skin_and_span_of_the_craft(name: str, surface: str) -> None:
    wing = plan(name)[f"{surface}-shape"].inputs.wing
    made = kernel.measure(wings.solid(wing))
    assert made.volume == pytest.approx(wing.volume, rel=0.005)
    outline = foil.section_outline(coordinates=foil.section_coordinates(section=wing.section, points=401))
    skin = foil.wetted_area(stations=wing.stations(), perimeter_factor=outline.perimeter, area_factor=outline.area)
    assert made.area == pytest.approx(float(skin[0]), rel=0.02)
    assert made.size[1] == pytest.approx(wing.span, rel=1e-6)


@pytest.mark.parametrize("name", DRAWN)
def test_mast_fuselage_and_housing_have_the_volume_of_the_craft(name: str) -> None:
    for piece in drawn(name).values():
        numbers = piece.numbers
        if "craft_volume" in numbers:
            assert numbers["volume"] == pytest.approx(numbers["craft_volume"], rel=0.02)


@pytest.mark.parametrize("name", ["lake", "sea", "trainer"])
def test_the_laminate_over_a_core_has_the_mass_of_the_craft(name: str) -> None:
    cores = [piece for piece in plan(name) if piece.endswith("-core")]
    assert "wing-core" in cores
    for piece in cores:
        numbers = one(name, piece).numbers
        assert numbers["laminate_mass"] == pytest.approx(numbers["mass"], rel=0.02)


def test_what_is_printed_of_a_wing_has_the_mass_of_the_craft() -> None:
    for surface in ("wing", "stabiliser"):
        bodies = one("first-try", f"{surface}-print").bodies
        wing = plan("first-try")[f"{surface}-print"].inputs.wing
        kilos = sum(
            body.count * kernel.measure(body.shape).volume * (body.printing.fill or 1.0) * read.density("printed pla")
            for body in bodies
            if body.printing is not None
        )
        assert kilos == pytest.approx(wing.mass, rel=0.02)


# ---- sound ------------------------------------------------------------------


@pytest.mark.parametrize("name", DRAWN)
def test_every_solid_is_sound_closed_and_one(name: str) -> None:
    for piece in drawn(name).values():
        for body in piece.bodies:
            assert kernel.sound(body.shape), body.name
            mesh = meshes(name)[body.name]
            seen: Any = trimesh.Trimesh(mesh.corners, mesh.facets, process=False)
            assert seen.is_watertight, body.name
            assert seen.is_volume, body.name
            assert kernel.solids(body.shape) <= 1, body.name
            assert seen.volume == pytest.approx(kernel.measure(body.shape).volume, rel=0.012), body.name


@pytest.mark.parametrize("name", DRAWN)
def test_what_is_printed_fits_the_printer_or_says_so(name: str) -> None:
    room = read.printer(job(name).state.craft)
    for piece in drawn(name).values():
        for body in piece.bodies:
            if body.printing is None:
                continue
            size = np.ptp(standing(meshes(name)[body.name], body.turn).corners, axis=0)
            fits = room.lies(float(size[0]), float(size[1])) and size[2] <= room.z + 1e-6
            assert fits or any("larger than the bed" in note or "longer than" in note for note in piece.notes), (
                body.name
            )


@pytest.mark.parametrize("name", SCENARIOS)
def test_no_joint_lies_where_a_part_is_bent_most(name: str) -> None:
    for surface in ("wing", "stabiliser"):
        inputs = plan(name)[f"{surface}-shape"].inputs
        places = wings.cuts(inputs, tallest=None if inputs.wing.make.printed else 0.98 * inputs.printer.z)
        assert all(y > 0.1 * inputs.wing.span / 2.0 for y in places)


def test_the_mast_is_cut_as_far_from_the_board_as_the_printer_lets() -> None:
    piece = plan("first-try")["mast-print"]
    first = importlib.import_module("foilwright.parts.solids.mast").cuts(piece.inputs)[0]
    assert first == pytest.approx(0.98 * piece.inputs.printer.z, abs=0.004)
    assert any("mast.pieces = 5" in note for note in one("first-try", "mast-print").notes)


def test_a_cradle_is_level_at_the_rigged_angle() -> None:
    inputs = plan("lake")["wing-cradle"].inputs
    assert inputs.wing.incidence == pytest.approx(np.radians(1.0))
    shape = one("lake", "wing-cradle").bodies[0].shape
    tray = kernel.mesh(shape)
    tri = tray.corners[tray.facets]
    ways = np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    up = ways[:, 2] / np.linalg.norm(ways, axis=1)
    level = 0.5 * np.linalg.norm(ways[up > 1.0 - 1e-9], axis=1)
    assert level.sum() > 0.8 * 0.104 * 0.07
    long = inputs.wing.chord(0.0)
    rigged = fuselage.pocket(inputs.wing, 0.0, 0.0, 0.0, 0.01)
    low = kernel.measure(rigged).low[2]
    assert low < -0.02 * long


def test_the_housing_is_as_full_as_the_models_take_it() -> None:
    for name in SCENARIOS:
        told = plan(name)["clamp"].inputs
        made = kernel.measure(pod.housing(told))
        assert made.volume == pytest.approx(pod.FULLNESS * np.pi / 4.0 * told.diameter**2 * told.length, rel=0.005)


ODD = {
    "rods and duct": ("first-try", {"mast.rods": "2", "mast.duct": "8 mm", "mast.pieces": "5"}),
    "pegs and tie rods": ("first-try", {
        "fixings.pegs": "2", "fixings.peg_diameter": "5 mm", "fixings.tie_rods": "3", "mast.duct": "8 mm",
        "mast.section": "naca0015", "fixings.wing_bolts": "1",
    }),
    "flat bar": ("first-try", {"mast.plate_width": "40 mm", "mast.section": "naca0015"}),
    "printed the other way": ("first-try", {"mast.print": "lying", "wing.print": "standing"}),
    "fuselage upright": ("first-try", {"fuselage.print": "standing"}),
    "propeller ahead": ("first-try", {"pod.propeller": "ahead", "pod.ahead": "3 cm", "stabiliser.height": "3 cm"}),
    "swept and twisted": ("lake", {"wing.twist": "-4 deg", "wing.dihedral": "6 deg", "wing.sweep": "20 deg"}),
    "all printed": ("trainer", {
        "wing.material": "printed asa", "stabiliser.material": "printed asa", "mast.material": "printed pa12-cf",
        "mast.rods": "3", "base.material": "printed pla", "fuselage.material": "printed petg",
    }),
}  # fmt: skip


@pytest.mark.long
@pytest.mark.parametrize("name", ODD)
def test_odd_builds_are_drawn_too(name: str) -> None:
    scenario, changes = ODD[name]
    for piece in plan_of(job(scenario, **{path.replace(".", "__"): text for path, text in changes.items()})):
        for body in piece.draw(piece.inputs).bodies:
            mesh = kernel.mesh(body.shape)
            seen: Any = trimesh.Trimesh(mesh.corners, mesh.facets, process=False)
            assert seen.is_volume, body.name
            assert kernel.sound(body.shape), body.name
            assert kernel.solids(body.shape) == 1, body.name


# ---- files ------------------------------------------------------------------

WRITTEN = ("stabiliser-core", "adapter", "wing-gauges")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Any]]:
    place = tmp_path_factory.mktemp("solids")
    pieces = [piece for piece in plan_of(job("lake", place)) if piece.name in WRITTEN]
    return place, {piece.name: piece.make() for piece in pieces}


def test_other_libraries_find_the_files_whole(made: tuple[Path, dict[str, Any]]) -> None:
    place, things = made
    reader = lib3mf.get_wrapper() if hasattr(lib3mf, "get_wrapper") else lib3mf.Wrapper()
    for thing in things.values():
        for name in thing.files:
            if name.endswith(".stl"):
                mesh = trimesh.load(place / name)
                assert mesh.is_watertight
                assert mesh.is_volume
            if name.endswith(".3mf"):
                model = reader.CreateModel()
                read_in = model.QueryReader("3mf")
                read_in.SetStrictModeActive(True)
                read_in.ReadFromFile(str(place / name))
                objects, count = model.GetMeshObjects(), 0
                while objects.MoveNext():
                    count += 1
                    assert objects.GetCurrentMeshObject().IsManifoldAndOriented()
                assert count
                assert read_in.GetWarningCount() == 0
        assert (place / thing.picture).read_bytes()[:4] == b"\x89PNG"
    assert not list(place.rglob("*.new"))


def test_a_wing_with_a_sharp_edge_is_still_closed_in_the_coarse_numbers_of_a_file() -> None:
    body = one("lake", "wing-shape").bodies[0]
    written = export.stl(standing(kernel.mesh(body.shape), body.turn))
    read_in: Any = trimesh.load(io.BytesIO(written), file_type="stl")
    assert read_in.is_watertight
    assert read_in.is_volume


def test_a_step_file_read_back_has_the_same_volume(made: tuple[Path, dict[str, Any]]) -> None:
    place, things = made
    for name, thing in things.items():
        reader = kernel.ocp("STEPControl").STEPControl_Reader()
        reader.ReadFile(str(place / thing.files[0]))
        reader.TransferRoots()
        expected = sum(kernel.measure(body.shape).volume for body in one("lake", name).bodies)
        assert kernel.measure(reader.OneShape()).volume == pytest.approx(expected, rel=1e-6)


def test_the_same_build_gives_the_same_bytes(made: tuple[Path, dict[str, Any]], tmp_path: Path) -> None:
    place, things = made
    for piece in reversed(plan_of(job("lake", tmp_path))):
        if piece.name in WRITTEN:
            piece.make()
    for thing in things.values():
        for name in (*thing.files, thing.picture):
            assert (tmp_path / name).read_bytes() == (place / name).read_bytes(), name


def test_a_key_tells_what_a_piece_rests_on() -> None:
    before = {piece.name: piece.key for piece in plan_of(job("lake"))}
    again = {piece.name: piece.key for piece in plan_of(job("lake"))}
    other = {piece.name: piece.key for piece in plan_of(job("lake", stabiliser__incidence="-2 deg"))}
    assert before == again
    changed = {name for name in before if before[name] != other[name]}
    assert {"stabiliser-cradle", "seats"} <= changed
    assert not changed & {"wing-shape", "wing-core", "box", "lid", "clamp", "guard", "coupons", "wing-gauges"}


def test_a_mesh_welds_and_stands_on_the_bed() -> None:
    mesh = kernel.mesh(kernel.box((0.01, -0.02, 0.03), (0.02, 0.03, 0.05)))
    assert len(mesh.corners) == 8
    assert len(mesh.facets) == 12
    stood = standing(mesh, kernel.rotation((1.0, 0.0, 0.0), 0.5 * np.pi))
    np.testing.assert_allclose(stood.corners.min(axis=0), 0.0, atol=1e-12)
    np.testing.assert_allclose(np.ptp(stood.corners, axis=0), [0.01, 0.02, 0.05], atol=1e-7)
    assert len(export.stl(stood)) == 84 + 50 * 12


# ---- print plan -------------------------------------------------------------


def test_the_print_plan_counts_every_body_once(made: tuple[Path, dict[str, Any]]) -> None:
    place, things = made
    (told,) = prints.make(job("lake", place), list(things.values()))
    sheets = [json.loads((place / f"solids/{name}.json").read_text()) for name in WRITTEN]
    wanted = {row["name"]: row["count"] for sheet in sheets for row in sheet["bodies"] if row["print"]}
    counted: dict[str, int] = {}
    for line in (place / "prints/plan.csv").read_text().splitlines()[1:]:
        cells = line.split(",")
        name = cells[1].removeprefix("solids/").removesuffix(".stl")
        counted[name] = counted.get(name, 0) + int(cells[2])
    assert counted == wanted
    assert 0.05 < told.numbers["mass"] < 0.3
    assert told.files[0] == "prints/plan.md"


def test_hours_lie_within_their_range_and_grow_with_plastic() -> None:
    hours = [
        prints.print_hours(plastic=p, high=0.1, layer=2e-4, bead=4.5e-4, speed=0.06, material="printed petg")
        for p in (1e-5, 1e-4)
    ]
    assert all(least < nominal < most for nominal, least, most in hours)
    assert hours[1][0] > 5.0 * hours[0][0] - 2.0 * 0.35
    full = prints.printed_volume(volume=1e-4, area=2e-2, wall=1e-3, infill=1.0)
    part = prints.printed_volume(volume=1e-4, area=2e-2, wall=1e-3, infill=0.2)
    assert full == pytest.approx(1e-4)
    assert 2e-5 < part < full
