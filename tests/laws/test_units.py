"""Text with a unit: any text gives a number or a sentence; what is written reads back."""

from __future__ import annotations

import math
import re
import subprocess
import sys
import warnings

import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from foilwright.core import units
from foilwright.core.units import UnitError

REGISTRY = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
ROWS = units.accepted()
SI = sorted({si for si, _, _ in ROWS.values()})
WRITABLE = sorted(set(SI) - {"1"})


def library(number: float, unit: str, si: str) -> float:
    """Return what the units library makes of a number and a unit of our table."""
    plain = {"%": "percent", "1": "dimensionless"}
    target = "dimensionless" if si == "1" else si
    return float(REGISTRY.Quantity(number, plain.get(unit, unit)).to(target).magnitude)


@pytest.mark.parametrize("unit", ROWS)
@pytest.mark.parametrize("number", [-40.0, 0.0, 1.0, 98.6])
def test_the_table_agrees_with_the_units_library(unit: str, number: float) -> None:
    si = ROWS[unit][0]
    text = f"{number!r} {unit}" if unit != "1" else repr(number)
    assert units.parse(text, si) == pytest.approx(library(number, unit, si), rel=2e-15, abs=1e-13)


def test_each_si_unit_of_the_table_stands_in_it_with_factor_one() -> None:
    assert [si for si in SI if ROWS[si][1:] != (1.0, 0.0)] == []
    assert [si for si in SI if si not in units.KINDS] == []


@pytest.mark.parametrize("unit", [unit for unit in ROWS if unit != "1"])
def test_a_unit_of_another_kind_is_refused(unit: str) -> None:
    for si in SI:
        if si != ROWS[unit][0]:
            with pytest.raises(UnitError, match="which is in"):
                units.parse(f"5 {unit}", si)


@pytest.mark.parametrize(
    ("text", "si", "value"),
    [
        ("1450 cm^2", "m^2", 0.145),
        ("1450 cm²", "m^2", 0.145),
        ("1450cm2", "m^2", 0.145),
        ("1450 cm**2", "m^2", 0.145),
        (" 82 kg ", "kg", 82.0),
        ("82\u00a0kg", "kg", 82.0),
        ("+.5 m", "m", 0.5),
        ("5. m", "m", 5.0),
        ("1e-3 m", "m", 1e-3),
        ("-3 °", "rad", math.radians(-3.0)),
        ("\u22123 deg", "rad", math.radians(-3.0)),
        ("14 °C", "K", 287.15),
        ("14 \u2103", "K", 287.15),
        ("80 degC", "K", 353.15),
        ("32 °F", "K", 273.15),
        ("22 m\u03a9", "ohm", 0.022),
        ("22 m\u2126", "ohm", 0.022),
        ("50 \u00b5m", "m", 5e-5),
        ("50 \u03bcm", "m", 5e-5),
        ("12 Nm", "N*m", 12.0),
        ("12 N·m", "N*m", 12.0),
        ("12 N.m", "N*m", 12.0),
        ("0.35 °C/W", "K/W", 0.35),
        ("0.004 1/K", "1/K", 0.004),
        ("55 %", "1", 0.55),
        ("55 percent", "1", 0.55),
        ("0.55", "1", 0.55),
        (0.55, "1", 0.55),
        (13, "1", 13.0),
    ],
)
def test_the_usual_spellings_are_read(text: object, si: str, value: float) -> None:
    assert units.parse(text, si) == pytest.approx(value, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "si", "value"),
    [
        ("2 furlong", "m", 402.3368),
        ("3 stone", "kg", 19.05087954),
        ("1 hp", "W", 745.699872),
        ("0.5 turn", "rad", math.pi),
        ("2 bar", "Pa", 2e5),
        ("0.003 A*s/deg", "A*s/rad", 0.003 * 180 / math.pi),
        ("5 kg*m/s^2", "N", 5.0),
        ("1 gallon", "m^3", 3.785411784e-3),
    ],
)
def test_rare_units_are_read_by_the_library(text: str, si: str, value: float) -> None:
    assert units.parse(text, si) == pytest.approx(value, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "si"),
    [
        ("2 1/2 in", "m"),
        ("nan m", "m"),
        ("inf m", "m"),
        ("1e999 m", "m"),
        (math.inf, "1"),
        (math.nan, "1"),
        (10**400, "1"),
        ("82", "kg"),
        (82, "kg"),
        ("82 kg kg", "kg"),
        ("1 m^9^9^9^9", "m"),
        ("1 m^99", "m"),
        ("0.0041/K", "1/K"),
        ("5 Hz", "rad/s"),
        ("5 m/m", "rad"),
        ("3 dB", "1"),
        ("5 rad", "1"),
        ("1 __import__('os')", "m"),
        ("1 m;2", "m"),
        ("0x10 m", "m"),
        ("1_000 m", "m"),
        ("1,5 m", "m"),
        ("٣ m", "m"),
        ("m", "m"),
        ("", "m"),
        (None, "m"),
        (True, "1"),
        ([1.0], "1"),
        ({}, "m"),
        (b"1 m", "m"),
    ],
)
def test_what_is_no_quantity_is_refused_in_one_short_line(text: object, si: str) -> None:
    with pytest.raises(UnitError) as caught:
        units.parse(text, si)
    assert len(str(caught.value)) < 120
    assert str(caught.value).isprintable()


@given(st.text(max_size=200), st.sampled_from(SI))
@example("1 m\n", "m")
@example("1\x00m", "m")
@example("9" * 200 + " m", "m")
@example("1 " + "m*" * 99 + "m", "m")
def test_any_text_gives_a_number_or_a_sentence(text: str, si: str) -> None:
    try:
        assert math.isfinite(units.parse(text, si))
    except UnitError as error:
        told = str(error)
    else:
        told = "a number"
    assert told.isprintable()


@given(
    st.from_regex(re.compile(r"[-+]?\d{1,3}(\.\d)?(e\d)? ?[A-Za-z%°/*^.0-9²]{0,8}", re.ASCII), fullmatch=True),
    st.sampled_from(SI),
)
def test_any_likely_text_gives_a_number_or_a_sentence(text: str, si: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        test_any_text_gives_a_number_or_a_sentence.hypothesis.inner_test(text, si)


@given(st.floats(1e-9, 1e9), st.booleans(), st.sampled_from(WRITABLE))
def test_what_is_written_reads_back(size: float, negative: bool, si: str) -> None:
    value = -size if negative else size
    offset = 273.15 if si == "K" else 0.0
    assert units.parse(units.write(value, si), si) == pytest.approx(value, rel=1e-8, abs=1e-8 * offset)
    assert units.parse(float(units.write(value, "1")), "1") == pytest.approx(value, rel=1e-8)


@given(st.floats(1e-6, 1e6), st.sampled_from(sorted(ROWS)))
def test_what_is_written_keeps_the_unit_that_stood_there(value: float, unit: str) -> None:
    si = ROWS[unit][0]
    written = units.write(value, si, like=f"7 {unit}" if unit != "1" else "7")
    assert written.removeprefix(written.split(" ")[0]).strip() == unit.replace("1", "", unit == "1")
    offset = ROWS[unit][2]
    assert units.parse(written, si) == pytest.approx(value, rel=1e-8, abs=1e-8 * offset)


def test_a_unit_of_another_kind_or_none_is_not_kept() -> None:
    assert units.write(0.16, "m^2", like="7 kg") == "1600 cm^2"
    assert units.write(0.16, "m^2", like=7) == "1600 cm^2"
    assert units.write(0.16, "m^2", like="7 barn") == "1600 cm^2"
    assert units.write(0.55, "1", like="60 %") == "55 %"


@given(
    st.floats(allow_nan=True, allow_infinity=True),
    st.sampled_from([*SI, "N*m", "W/m^2/K", "no unit at all", ""]),
    st.booleans(),
    st.integers(1, 6),
)
@example(1e308, "ohm", False, 3)
@example(5e-324, "m^3", False, 3)
def test_a_value_is_always_shown_in_few_letters(value: float, si: str, difference: bool, digits: int) -> None:
    text = units.show(value, si, difference=difference, digits=digits)
    assert text
    assert len(text) < 40


@pytest.mark.parametrize(
    ("value", "si", "text"),
    [
        (0.16, "m^2", "1600 cm²"),
        (0.145, "m", "14.5 cm"),
        (0.012, "m", "12 mm"),
        (1.72, "m", "1.72 m"),
        (6.9444, "m/s", "25 km/h"),
        (287.15, "K", "14 °C"),
        (60.0, "s", "60 s"),
        (1380.0, "s", "23 min"),
        (1234.0, "W", "1.23 kW"),
        (0.022, "ohm", "22 mΩ"),
        (math.radians(-1.5), "rad", "-1.5°"),
        (0.0, "kg", "0 kg"),
        (0.2, "1", "0.2"),
        (12.3, "N*m", "12.3 N·m"),
    ],
)
def test_values_are_shown_as_makers_say_them(value: float, si: str, text: str) -> None:
    assert units.show(value, si) == text


def test_a_difference_of_temperature_is_shown_in_kelvin() -> None:
    assert units.show(20.0, "K", difference=True) == "20 K"


def test_the_library_is_loaded_for_a_rare_unit_only() -> None:
    code = (
        "import sys; from foilwright.core import units\n"
        "units.parse('1450 cm^2', 'm^2'); units.show(1.0, 'm'); units.write(1.0, 'm')\n"
        "assert 'pint' not in sys.modules\n"
        "units.parse('2 furlong', 'm'); assert 'pint' in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
