"""Bad build files made from a lake whose text stays as it is, and what is told about them."""

from __future__ import annotations

from pathlib import Path

import pytest

from foilwright.build import load
from foilwright.core.errors import BuildFileError, Fault

BUILD = load.load(Path(__file__).parent / "old" / "lake.toml")
LAKE = BUILD.text
AREA = 'area = "1600 cm^2"'
MASS = 'mass = "82 kg"'
RIDE = '[[ride.leg]]\nname = "out"\nspeed = "20 km/h"\ntime = "10 min"\n'


def faults(text: str) -> tuple[Fault, ...]:
    with pytest.raises(BuildFileError) as caught:
        load.read(text, name="mine", file="mine.toml")
    for fault in caught.value.faults:
        assert fault.file == "mine.toml"
        assert fault.got
        assert fault.allowed
        assert fault.example
        assert len(fault.sentence().splitlines()) == 1
        assert fault.sentence().isprintable()
    return caught.value.faults


def only(text: str) -> Fault:
    told = faults(text)
    assert len(told) == 1, [fault.sentence() for fault in told]
    return told[0]


def changed(old: str, new: str) -> str:
    assert LAKE.count(old) >= 1
    return LAKE.replace(old, new, 1)


def line_with(text: str, part: str) -> int:
    return next(k for k, line in enumerate(text.splitlines(), start=1) if part in line)
