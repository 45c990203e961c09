"""Laws of a maker's own outline: the smooth line through its points, and what no outline is."""

from __future__ import annotations

import pickle
from pathlib import Path

import numpy as np
import pytest

from foilwright.build import coordinates
from foilwright.core.errors import BuildFileError
from foilwright.physics import section
from foilwright.shape import own
from foilwright.shape.foil import section_coordinates, section_outline
from foilwright.study.polars import pressure_curve

NAMES = ("naca0012", "naca2412", "naca4415", "naca1408")


def points_of(name: str, count: int = 61) -> np.ndarray:
    return np.round(np.asarray(section_coordinates(section=name, points=count)), 6)


def written(path: Path, points: np.ndarray, *heads: str) -> Path:
    path.write_text("\n".join([*heads, *(f"{x:.6f} {z:.6f}" for x, z in points)]) + "\n", encoding="utf-8")
    return path


@pytest.mark.parametrize("name", NAMES)
def test_the_line_through_few_points_is_the_section(name):
    exact = section_outline(coordinates=section_coordinates(section=name, points=401))
    smooth = own.resampled(points_of(name, 41), 401)
    found = section_outline(coordinates=smooth)
    for what in ("area", "perimeter", "thickness", "centroid_x", "second_moment_flat", "second_moment_edge"):
        np.testing.assert_allclose(getattr(found, what), getattr(exact, what), rtol=2e-3)
    np.testing.assert_allclose(found.centroid_z, exact.centroid_z, atol=2e-5)


@pytest.mark.parametrize("name", NAMES)
def test_the_line_through_few_points_has_the_suction_of_the_section(name):
    # twice the panels changes the shipped table by about as much
    lift = np.array([-0.8, -0.2, 0.0, 0.3, 0.9])
    found = pressure_curve(coordinates=own.resampled(points_of(name), 121, 0.0), lift_coefficient=lift)
    np.testing.assert_allclose(found, section.pressure_minimum(section=name, lift_coefficient=lift), rtol=0.015)


@pytest.mark.parametrize(("decimals", "within"), [(4, 0.1), (5, 0.015), (6, 0.01)])
def test_rounded_points_that_crowd_do_not_bend_the_line(decimals, within):
    crowded = np.round(section_coordinates(section="naca2412", points=201), decimals)
    smooth = own.resampled(own.made(name="a", file="a.dat", outline=crowded).outline, 121, 0.0)
    lift = np.array([-0.8, 0.0, 0.4, 0.9])
    found = pressure_curve(coordinates=smooth, lift_coefficient=lift)
    np.testing.assert_allclose(found, section.pressure_minimum(section="naca2412", lift_coefficient=lift), rtol=within)


def test_a_symmetrical_section_stays_so():
    outline = own.made(name="a", file="a.dat", outline=points_of("naca0012", 201)).outline
    np.testing.assert_allclose(outline[::-1] * [1.0, -1.0], outline, atol=1e-12)


def test_an_edge_is_as_thick_as_it_is_wished():
    points = points_of("naca2412")
    for edge in (0.0, 0.004, 0.02):
        smooth = own.resampled(points, 61, edge)
        np.testing.assert_allclose(smooth[0] - smooth[-1], [0.0, edge], atol=1e-12)
    np.testing.assert_allclose(own.resampled(points, 61)[[0, -1]], points[[0, -1]], atol=1e-12)


def test_the_key_is_the_content_and_travels():
    one, same, other = (
        own.made(name="mine", file="a.dat", outline=points_of(name)) for name in (*NAMES[:1] * 2, NAMES[1])
    )
    assert one.key == same.key != other.key
    again = pickle.loads(pickle.dumps(one))  # noqa: S301
    assert again.key == one.key
    np.testing.assert_array_equal(again.outline, one.outline)


def test_a_coordinate_file_is_read_in_either_order_and_direction(tmp_path):
    outline = points_of("naca2412", 101)
    upper, lower = outline[100::-1], outline[100:]
    side_by_side = ["my section", f"{len(upper)}. {len(lower)}.", ""]
    for side in (upper, lower):
        side_by_side += [*(f"{x:.6f}\t{z:.6f}" for x, z in side), ""]
    sided = tmp_path / "sides.dat"
    sided.write_text("\n".join(side_by_side), encoding="utf-8")
    around = written(tmp_path / "around.dat", outline, "# drawn today", "my section")
    below_first = written(tmp_path / "below.dat", outline[::-1])
    for path in (sided, around, below_first):
        np.testing.assert_allclose(coordinates.read(path), outline, atol=1e-12)


def spoilt(name: str) -> bytes:  # noqa: PLR0911, PLR0912 - one branch a fault
    """Return a file that is no outline, by what is wrong with it."""
    good = points_of("naca2412")
    lines = [f"{x:.6f} {z:.6f}" for x, z in good]
    nose = 60
    if name == "empty":
        return b""
    if name == "words only":
        return b"my section\nand nothing else\n"
    if name == "few points":
        return "\n".join(lines[::8]).encode()
    if name == "from the nose":
        lines = lines[nose:] + lines[:nose]
    elif name == "shuffled":
        lines[20], lines[30] = lines[30], lines[20]
    elif name == "one side":
        lines = lines[: nose + 1]
    elif name == "crossing":
        lines[90] = f"{good[90, 0]:.6f} 0.200000"
    elif name == "open edge":
        lines = [f"{x:.6f} {z + (0.04 if k < nose else -0.04) * x**4:.6f}" for k, (x, z) in enumerate(good)]
    elif name == "edge raised":
        lines = [f"{x:.6f} {z + 0.1 * x:.6f}" for x, z in good]
    elif name == "in millimetres":
        lines = [f"{120 * x:.4f} {120 * z:.4f}" for x, z in good]
    elif name == "three columns":
        lines = [f"{line} 0.0" for line in lines]
    elif name == "decimal comma":
        lines = [line.replace(".", ",") for line in lines]
    elif name == "word within":
        lines[40] = "here is the nose"
    elif name == "not a number":
        lines[40] = "nan 0.01"
    elif name == "endless":
        lines[40] = "0.2 1e999"
    elif name == "binary":
        return b"\x7fELF\x00\x01\x02" + bytes(range(256))
    elif name == "huge":
        return b"0.5 0.1\n" * 100_000
    elif name == "many points":
        return "\n".join(f"{x:.9f} {z:.9f}" for x, z in section_coordinates(section="naca0012", points=700)).encode()
    elif name == "counts that lie":
        lines = ["70 70", *lines]
    elif name == "a thread":
        lines = [f"{x:.6f} {z * 0.1:.6f}" for x, z in good]
    elif name == "a barrel":
        lines = [f"{x:.6f} {z * 4:.6f}" for x, z in good]
    elif name == "a half pipe":
        lines = [f"{x:.6f} {z + 0.8 * x * (1 - x):.6f}" for x, z in good]
    return "\n".join(lines).encode()


BAD = {
    "empty": "got no point; allowed: 20 to 1000 points",
    "words only": "got no point; allowed: 20 to 1000 points",
    "few points": "got 16 points; allowed: 20 to 1000",
    "from the nose": "line 63, .*got x 0.999405 next to 1.00008; allowed: points from the trailing edge",
    "shuffled": "line 22, .*got x 0.728228 next to 0.500588",
    "one side": "line 61, .*got a side that ends at x 0; allowed: both sides to x 1",
    "crossing": "got sides that meet or cross at x 0.5",
    "open edge": "line 121, .*got a trailing edge 0.0825 of the chord thick; allowed: at most 0.03",
    "edge raised": "line 121, .*got the trailing edge at z 0.1; allowed: at z 0",
    "in millimetres": "line 1, .*got x from .* to 120.*; allowed: x from 0 at the nose to 1",
    "three columns": "line 1, .*got 3 numbers; allowed: two numbers a line",
    "decimal comma": "line 1, .*got 4 numbers; allowed: two numbers a line, x and z, with a decimal point",
    "word within": 'line 41, .*got "here is the nose"; allowed: two numbers a line',
    "not a number": 'line 41, .*got "nan 0.01"; allowed: two numbers',
    "endless": "line 41, .*allowed: two numbers",
    "binary": "line 1, .*got bytes that are not text",
    "huge": "got more than 200000 bytes",
    "many points": "line 1002, .*got more than 1000 points",
    "counts that lie": "line 1, .*got 70 and 70 points announced and 121 given",
    "a thread": "got a thickness of 0.0",
    "a barrel": "got a thickness of 0.4",
    "a half pipe": "got a camber of 0.2",
}


@pytest.mark.parametrize("name", BAD)
def test_a_file_that_is_no_outline_is_told_in_one_sentence(tmp_path, name):
    path = tmp_path / "mine.dat"
    path.write_bytes(spoilt(name))
    with pytest.raises(BuildFileError, match=BAD[name]) as caught:
        coordinates.read(path, field="sections.mine")
    told = str(caught.value)
    assert told.startswith("mine.dat")
    assert "sections.mine: got" in told
    assert "(example: " in told
    assert len(caught.value.faults) == 1
    assert "\n" not in told
    assert len(told) < 400


def test_a_file_that_is_not_there_or_no_file_is_told(tmp_path):
    for path in (tmp_path / "none.dat", tmp_path):
        with pytest.raises(BuildFileError, match="got no such file"):
            coordinates.read(path)
