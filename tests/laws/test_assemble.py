"""From a Build to a Craft: varying is writing, a batch is its members, masses add up."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from foilwright import craft as c
from foilwright.assemble import WEIGHED, Assumption, assemble, assumption
from foilwright.build import load, save
from foilwright.build.build import Build
from foilwright.build.schema import Meta, Surface
from foilwright.core.errors import BuildFileError
from foilwright.shape.mass import Masses, masses, sum_of

LAKE = load.scenario("lake")
VARIABLE = [
    path
    for path in LAKE.paths()
    if LAKE.meta(path).kind in ("quantity", "count", "choice")
    and (path.rpartition(".")[2] not in Surface.SIZES or path in LAKE.values)
]
each_path = pytest.mark.parametrize("path", VARIABLE)


def other_than(build: Build, path: str, meta: Meta) -> tuple[Any, Any]:
    """Return two values of a field other than what it has: in SI, or names."""
    if meta.kind == "choice":
        used = build.values.get(path, meta.default.value if meta.default else None)
        names = [name for name in meta.choices if name != used]
        return names[0], names[-1]
    low, high = (float(meta.low), float(meta.high)) if meta.kind == "count" else meta.bounds()
    default = meta.read(meta.default.value) if meta.default else None
    now = float(build.values.get(path, default if default is not None else 0.5 * (low + high)))
    up, down = now + 0.03 * (high - now), now - 0.03 * (now - low)
    if meta.kind == "count":
        up, down = np.ceil(up), np.floor(down)
    first = up if up != now else down
    if down in (now, first):
        down = first + 1.0 if meta.kind == "count" else 0.5 * (first + now)
    return first, down


def differences(one: Any, two: Any, name: str = "") -> Iterator[str]:
    """Yield the fields in which two records differ."""
    if dataclasses.is_dataclass(one):
        for field in dataclasses.fields(one):
            yield from differences(getattr(one, field.name), getattr(two, field.name), f"{name}.{field.name}")
    elif isinstance(one, dict):
        for key in one:
            yield from differences(one[key], two[key], f"{name}.{key}")
    elif isinstance(one, np.ndarray) and one.dtype.kind == "f":
        if one.shape != two.shape or not np.allclose(one, two, rtol=1e-8, atol=1e-12, equal_nan=True):
            yield name
    elif not np.array_equal(one, two):
        yield name


def row_of(record: Any, k: int) -> Any:
    """Return one design of a record of many."""
    if dataclasses.is_dataclass(record):
        return {field.name: row_of(getattr(record, field.name), k) for field in dataclasses.fields(record)}
    if isinstance(record, dict):
        return {key: row_of(value, k) for key, value in record.items()}
    if isinstance(record, np.ndarray):
        return record[k : k + 1]
    return record[k] if isinstance(record, tuple) else record


def as_rows(record: Any) -> Any:
    return row_of(record, 0)


def arrays(record: Any) -> Iterator[tuple[str, Any]]:
    for key, value in record.items():
        if isinstance(value, dict):
            yield from ((f"{key}.{name}", each) for name, each in arrays(value))
        else:
            yield key, value


def written(path: str, value: Any) -> Build:
    return load.read(save.with_changes(LAKE, {path: value}), name="lake", file="lake.toml")


@each_path
def test_varying_a_field_is_writing_it(path: str) -> None:
    value, _ = other_than(LAKE, path, LAKE.meta(path))
    varied, _ = assemble(LAKE, {path: [value]})
    in_file, _ = assemble(written(path, value))
    assert list(differences(varied, in_file)) == []
    text = save.as_written(LAKE.meta(path), value)
    on_line, _ = assemble(LAKE.with_texts({path: str(text)}))
    assert list(differences(on_line, in_file)) == []


@each_path
def test_every_field_changes_the_craft(path: str) -> None:
    one, two = other_than(LAKE, path, LAKE.meta(path))
    changed = {
        name for value in (one, two) for name in differences(assemble(LAKE)[0], assemble(LAKE, {path: [value]})[0])
    }
    loses_nothing = path == "gear.efficiency"  # the lake drives directly
    assert loses_nothing or changed, f"{path} is read by nobody"


@each_path
def test_a_batch_is_its_members(path: str) -> None:
    values = other_than(LAKE, path, LAKE.meta(path))
    batch, _ = assemble(LAKE, {path: list(values)})
    assert batch.designs == 2
    for k, value in enumerate(values):
        single, _ = assemble(LAKE, {path: [value]})
        for (name, one), (_, many) in zip(arrays(as_rows(single)), arrays(row_of(batch, k)), strict=True):
            if name in ("designs", "parts.names", "ride.names"):
                continue
            if isinstance(one, np.ndarray) and one.dtype.kind == "f":
                np.testing.assert_allclose(many, one, rtol=1e-14, err_msg=name)
            else:
                assert np.array_equal(one, many), name


def test_a_batch_of_everything_at_once_is_its_members() -> None:
    varied = {path: list(other_than(LAKE, path, LAKE.meta(path))) for path in VARIABLE}
    batch = masses(assemble(LAKE, varied)[0])
    for k in range(2):
        single = masses(assemble(LAKE, {path: [values[k]] for path, values in varied.items()})[0])
        for name in ("mass", "planned", "x", "y", "z", "radius", "hull_volume", "foam_volume", "free_volume"):
            np.testing.assert_allclose(getattr(batch, name)[k], getattr(single, name)[0], rtol=1e-14, err_msg=name)


def test_every_written_field_but_the_varied_one_holds() -> None:
    base, _ = assemble(LAKE)
    varied, _ = assemble(LAKE, {"wing.area": [0.2]})
    assert set(differences(base, varied)) == {".wing.area"}
    assert varied.wing.span == pytest.approx(0.96)
    varied, _ = assemble(LAKE, {"mast.x": [0.7]})
    assert set(differences(base, varied)) == {".mast.x", ".wing.x", ".stabiliser.x", ".pod.x"}
    varied, _ = assemble(LAKE, {"ride.leg.play.speed": [9.0]})
    assert set(differences(base, varied)) == {".ride.speed"}
    varied, _ = assemble(LAKE, {"part.mast plate.mass": [2.0]})
    assert set(differences(base, varied)) == {".parts.mass"}


PAIRS = [(one, two) for k, one in enumerate(Surface.SIZES) for two in Surface.SIZES[k + 1 :]]
SHAPE = {"area": 0.15, "span": 0.9, "aspect_ratio": 5.4, "mean_chord": 0.15 / 0.9}


def with_sizes(*sizes: str) -> Build:
    text = LAKE.text.replace('area = "1600 cm^2"\nspan = "96 cm"', "@")
    lines = [
        f'{size} = "{SHAPE[size]!r} {unit}"' if unit else f"{size} = {SHAPE[size]!r}"
        for size, unit in zip(
            sizes, ({"area": "m^2", "aspect_ratio": ""}.get(size, "m") for size in sizes), strict=True
        )
    ]
    return load.read(text.replace("@", "\n".join(lines)), name="lake", file="lake.toml")


@pytest.mark.parametrize("pair", PAIRS)
def test_any_two_sizes_make_the_same_surface(pair: tuple[str, str]) -> None:
    build = with_sizes(*pair)
    made, _ = assemble(build)
    assert made.wing.area == pytest.approx(0.15, rel=1e-12)
    assert made.wing.span == pytest.approx(0.9, rel=1e-12)
    for size in Surface.SIZES:
        if size in pair:
            other = next(name for name in pair if name != size)
            bigger, _ = assemble(build, {f"wing.{size}": [1.1 * SHAPE[size]]})
            wing = bigger.wing
            sizes = {
                "area": wing.area,
                "span": wing.span,
                "aspect_ratio": wing.span**2 / wing.area,
                "mean_chord": wing.area / wing.span,
            }
            assert sizes[size] == pytest.approx(1.1 * SHAPE[size], rel=1e-12)
            assert sizes[other] == pytest.approx(SHAPE[other], rel=1e-12), "the other written size holds"
            continue
        with pytest.raises(BuildFileError, match=f"wing.{pair[0]} or wing.{pair[1]}, the sizes written"):
            assemble(build, {f"wing.{size}": [SHAPE[size]]})


@pytest.mark.parametrize("pair", PAIRS)
def test_three_sizes_or_one_are_refused(pair: tuple[str, str]) -> None:
    with pytest.raises(BuildFileError, match="exactly two of area, span, aspect_ratio, mean_chord"):
        with_sizes(pair[0])
    third = next(size for size in Surface.SIZES if size not in pair)
    with pytest.raises(BuildFileError, match="exactly two of area, span, aspect_ratio, mean_chord"):
        with_sizes(*pair, third)


@pytest.mark.parametrize(
    ("varied", "told"),
    [
        ({"wing.area": [0.1, 0.2], "wing.span": [1.0]}, "one number of values for all"),
        ({"wing.area": []}, "one number of values for all"),
        ({"wing.area": [[0.1, 0.2]]}, "not one row of numbers"),
        ({"wing.area": [[0.1], [0.1, 0.2]]}, "not one row of numbers"),
        ({"wing.area": ["1450 cm^2"]}, "not one row of numbers"),
        ({"wing.area": ["0.145"]}, "not one row of numbers"),
        ({"wing.area": [True]}, "not one row of numbers"),
        ({"wing.area": [None]}, "not one row of numbers"),
        ({"wing.area": [1 + 1j]}, "not one row of numbers"),
        ({"wing.area": [np.nan]}, "got nan"),
        ({"wing.area": [np.inf]}, "got inf"),
        ({"wing.area": [0.1, 3.0]}, "got 3 "),
        ({"pack.series": [12.5]}, "got 12.5"),
        ({"wing.section": ["naca9999"]}, 'got "naca9999"'),
        ({"wing.section": "naca9999"}, 'got "naca9999"'),
        ({"wing.section": 3}, "not names"),
        ({"wing.aera": [1.0]}, "did you mean wing.area"),
        ({"part.mast plate.name": ["a"]}, "unknown field"),
    ],
)
def test_what_cannot_vary_is_told(varied: dict[str, Any], told: str) -> None:
    with pytest.raises(BuildFileError, match=told):
        assemble(LAKE, varied)


def test_all_that_cannot_vary_is_told_at_once() -> None:
    with pytest.raises(BuildFileError) as caught:
        assemble(LAKE, {"wing.aera": [1.0], "wing.area": [9.0], "pack.series": [1.5]})
    assert [fault.field for fault in caught.value.faults] == ["wing.aera", "wing.area", "pack.series"]


def test_one_name_or_number_is_a_batch_of_one() -> None:
    assert assemble(LAKE, {"wing.section": "naca2410"})[0].wing.section == ("naca2410",)
    assert assemble(LAKE, {"wing.area": 0.15})[0].wing.area == pytest.approx([0.15])


def test_the_ends_of_a_range_may_be_reached() -> None:
    low, high = LAKE.meta("wing.sweep").bounds()
    assert assemble(LAKE, {"wing.sweep": np.linspace(low, high, 7)})[0].designs == 7


def weighed(name: str, mass: float) -> Build:
    text = save.with_changes(LAKE, {f"{name}.mass": mass})
    return load.read(text, name="lake", file="lake.toml")


@pytest.mark.parametrize("name", WEIGHED)
def test_a_weighed_mass_is_what_the_part_weighs(name: str) -> None:
    planned = masses(assemble(LAKE)[0]).pieces[name].mass[0]
    build = weighed(name, 1.2 * planned)
    book = masses(assemble(build)[0])
    assert book.pieces[name].mass[0] == pytest.approx(1.2 * planned, rel=1e-8)
    assert book.planned[0] - masses(assemble(LAKE)[0]).planned[0] == pytest.approx(0.2 * planned, rel=1e-7)


@pytest.mark.parametrize(
    ("name", "path"), [("wing", "wing.area"), ("board", "board.length"), ("pack", "pack.parallel")]
)
def test_a_weighed_mass_is_kept_as_a_ratio(name: str, path: str) -> None:
    planned = masses(assemble(LAKE)[0]).pieces[name].mass[0]
    build = weighed(name, 1.2 * planned)
    value, _ = other_than(LAKE, path, LAKE.meta(path))
    bigger = masses(assemble(LAKE, {path: [value]})[0]).pieces[name].mass[0]
    for made in (
        assemble(build, {path: [value]})[0],
        assemble(build.with_texts({path: str(save.as_written(build.meta(path), value))}))[0],
    ):
        assert masses(made).pieces[name].mass[0] == pytest.approx(1.2 * bigger, rel=1e-8)


def measured(**fields: float) -> Build:
    text = save.with_changes(LAKE, {f"measured.{name}": value for name, value in fields.items()})
    return load.read(text, name="lake", file="lake.toml")


@pytest.mark.parametrize("varied_mass", [False, True])
def test_the_weighed_craft_and_its_balance_point_hold(varied_mass: bool) -> None:
    build = measured(craft_mass=33.0, balance_point=0.75)
    made, _ = assemble(build)
    book = masses(made)
    assert book.mass[0] == pytest.approx(33.0, rel=1e-8)
    assert book.x[0] == pytest.approx(0.75, rel=1e-8)
    plain = masses(assemble(build, as_built=False)[0])
    assert plain.mass[0] == pytest.approx(masses(assemble(LAKE)[0]).mass[0])
    path = "pack.mass" if varied_mass else "part.mast plate.mass"
    values = np.array([8.0, 10.0] if varied_mass else [0.9, 2.9])
    batch = masses(assemble(build, {path: values})[0])
    assert batch.mass[1] - batch.mass[0] == pytest.approx(2.0 * 33.0 / masses(assemble(LAKE)[0]).planned[0])
    for k, value in enumerate(values):
        assert masses(assemble(build, {path: [value]})[0]).mass[0] == pytest.approx(batch.mass[k], rel=1e-14)


STAND_INS = {
    meta.replaces: f"measured.{name}"
    for name, meta in (
        (path.rpartition(".")[2], LAKE.meta(path)) for path in LAKE.paths() if path.startswith("measured.")
    )
    if meta.replaces
}


@pytest.mark.parametrize(("path", "stand_in"), STAND_INS.items())
def test_what_was_measured_stands_in_for_what_was_designed(path: str, stand_in: str) -> None:
    value, other = other_than(LAKE, path, LAKE.meta(path))
    build = measured(**{stand_in.rpartition(".")[2]: value})
    designed, _ = assemble(LAKE, {path: [value]})
    assert list(differences(assemble(build)[0], designed)) == []
    assert list(differences(assemble(build, as_built=False)[0], assemble(LAKE)[0])) == []
    assert list(differences(assemble(LAKE, {stand_in: [value]})[0], designed)) == []
    assert list(differences(assemble(LAKE, {stand_in: [value]}, as_built=False)[0], assemble(LAKE)[0])) == []
    anew, _ = assemble(build, {path: [other]})
    assert list(differences(anew, assemble(LAKE, {path: [other]})[0])) == [], "what is given anew holds"
    on_line = build.with_texts({path: str(save.as_written(build.meta(path), other))})
    assert list(differences(assemble(on_line)[0], anew)) == []
    in_file = load.read(save.with_changes(build, {path: other}), name="lake", file="lake.toml")
    assert list(differences(assemble(in_file)[0], anew)) == []


def test_a_twisted_wing_is_left_straight_as_designed() -> None:
    build = measured(wing_twist_left_right=0.01)
    assert assemble(build)[0].wing.twist_left_right[0] == pytest.approx(0.01)
    assert assemble(build, as_built=False)[0].wing.twist_left_right[0] == 0.0


@pytest.mark.parametrize("as_built", [True, False])
def test_what_is_assumed_is_exactly_the_defaults_left_out(as_built: bool) -> None:
    told = {each.path: each for each in assemble(LAKE, as_built=as_built)[1]}
    left_out = {path for path in LAKE.paths() if path not in LAKE.values and LAKE.meta(path).default is not None}
    if not as_built:
        left_out = {path for path in left_out if not path.startswith("measured.")}
    assert set(told) == left_out
    for path, each in told.items():
        meta = LAKE.meta(path)
        assert meta.default is not None
        assert each.value == meta.read(meta.default.value)
        assert each.source == meta.default.source
        if meta.kind == "quantity":
            assert each.low <= each.value <= each.high
            assert each.unit == meta.unit


def test_what_is_written_or_varied_is_not_assumed() -> None:
    path = "board.foam_uptake"
    assert path in {each.path for each in assemble(LAKE)[1]}
    assert path not in {each.path for each in assemble(LAKE, {path: [0.01]})[1]}
    assert path not in {each.path for each in assemble(written(path, 0.01))[1]}


def test_a_default_is_assumed_in_si() -> None:
    meta = LAKE.meta("wing.fill")
    assert meta.default is not None
    told = assumption("wing.fill", meta, meta.default)
    assert isinstance(told, Assumption)
    assert (told.value, told.low, told.high) == pytest.approx((0.6, 0.35, 1.0))


def book_of(varied: dict[str, Any] | None = None) -> Masses:
    return masses(assemble(LAKE, varied)[0])


def test_the_whole_is_the_sum_of_its_parts() -> None:
    book = book_of()
    assert book.planned == pytest.approx(sum_of(book.pieces, "mass"), rel=1e-14)
    assert book.mass == pytest.approx(book.planned * 1.18, rel=1e-14)
    assert set(book.pieces) == {
        "board", "mast", "wing", "stabiliser", "fuselage", "pod", "pack", "controller", "phase leads",
        "part.battery box", "part.mast plate", "part.deck pad and handles",
    }  # fmt: skip
    assert all((piece.mass >= 0.0).all() for piece in book.pieces.values())
    for axis in ("x", "y", "z"):
        moment = sum(float(piece.mass[0]) * float(getattr(piece, axis)[0]) for piece in book.pieces.values())
        assert float(getattr(book, axis)[0]) == pytest.approx(moment / float(book.planned[0]), rel=1e-12, abs=1e-12)


def test_heavier_foam_adds_its_own_mass() -> None:
    density = float(LAKE.values["board.foam_density"])
    book = book_of({"board.foam_density": [density, 2.0 * density]})
    assert np.diff(book.planned) == pytest.approx(density * book.foam_volume[0], rel=1e-12)


def test_more_cells_add_their_mass_and_packaging() -> None:
    book = book_of({"pack.parallel": [7, 8]})
    assert np.diff(book.planned) == pytest.approx(13 * 0.070 * 1.3, rel=1e-12)


@pytest.mark.parametrize("axis", ["x", "y", "z"])
@pytest.mark.parametrize("name", LAKE.names["part"])
def test_a_part_that_moves_takes_the_balance_point_along(name: str, axis: str) -> None:
    path = f"part.{name}.{axis}"
    now = float(LAKE.values.get(path, 0.0))
    book = book_of({path: [now, now + 0.1]})
    share = book.pieces[f"part.{name}"].mass[0] / book.planned[0]
    assert np.diff(getattr(book, axis)) == pytest.approx(0.1 * share, rel=1e-10)


def test_a_part_in_the_hull_takes_the_place_of_foam() -> None:
    book = book_of({"part.battery box.volume": [0.010, 0.014]})
    assert np.diff(book.foam_volume) == pytest.approx(-0.004, rel=1e-10)
    assert np.diff(book.planned) == pytest.approx(-0.004 * 32.0, rel=1e-10)
    assert np.diff(book.hull_volume) == pytest.approx(0.0, abs=1e-15)


def test_twice_the_size_is_eight_times_the_mass_of_a_solid() -> None:
    book = book_of({"mast.length": [0.4, 0.8], "mast.chord": [0.08, 0.16]})
    assert book.pieces["mast"].mass[1] == pytest.approx(8.0 * book.pieces["mast"].mass[0], rel=1e-12)
    book = book_of({"wing.area": [0.05, 0.20], "wing.span": [0.5, 1.0]})
    assert book.pieces["wing"].mass[1] == pytest.approx(8.0 * book.pieces["wing"].mass[0], rel=1e-10)


def test_no_entry_of_a_craft_is_forgotten() -> None:
    made, _ = assemble(LAKE)
    for name, value in arrays(as_rows(made)):
        if isinstance(value, np.ndarray) and value.dtype.kind == "f" and name not in OPEN:
            assert np.isfinite(value).all(), name
    assert isinstance(made, c.Craft)


OPEN = {
    "mass_ratio", "balance_shift", "pack.stop_voltage", "targets.run_time", "box.fastening_limit", "box.vacuum",
    "harness.contact_resistance",
    "box.vacuum_left", "box.vacuum_time", "radio.drop_outs", "radio.drop_out_distance",
    "structure.coupons.along", "structure.coupons.across", "structure.coupons.laminate",
    "workshop.sheets", "workshop.stringer", "workshop.cloth_length", "workshop.cloth_at_hand",
}  # fmt: skip
