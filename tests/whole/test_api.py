"""The names for Python: few, thin, lazy, and the samples of the documentation run."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import foilwright as fw
from foilwright.core.data import folder
from foilwright.questions import ask as asking
from foilwright.questions.ask import Answers

LAKE = folder() / "scenarios" / "lake.toml"


def test_the_public_names() -> None:
    assert {"FoilwrightError", "ask", "load"} <= set(fw.__all__)
    assert all(getattr(fw, name).__doc__ for name in fw.__all__)
    assert fw.__version__.count(".") == 2


def test_load_and_ask() -> None:
    build = fw.load(LAKE)
    assert build.values["rider.mass"] == 82.0
    assert fw.load(str(LAKE)).values == build.values
    answers = fw.ask(build)
    assert isinstance(answers, Answers)
    assert answers.designs == 1
    assert answers.verdict() in ("sound", "slim")


def test_many_at_once() -> None:
    areas = np.linspace(0.10, 0.20, 5)
    many = fw.ask(fw.load(LAKE), vary={"wing.area": areas}, questions=["rise"])
    assert many.designs == 5
    assert list(many.findings) == ["rise"]
    assert many.numbers["take_off_speed"].shape == (5,)
    assert np.all(np.diff(many.numbers["take_off_speed"]) < 0.0), "a larger wing lifts off earlier"


def test_faults_are_sentences(tmp_path: Path) -> None:
    with pytest.raises(fw.FoilwrightError, match="no such file"):
        fw.load(tmp_path / "none.toml")
    build = fw.load(LAKE)
    with pytest.raises(fw.FoilwrightError, match=r"did you mean wing\.area"):
        fw.ask(build, vary={"wing.aera": [0.1]})
    for ask in (fw.ask, asking.ask):
        with pytest.raises(fw.FoilwrightError, match="did you mean rise"):
            ask(build, questions=["rize"])
    with pytest.raises(fw.FoilwrightError):
        fw.ask(build, vary={"wing.area": [0.1, 0.2], "rider.mass": [80.0]})


def test_as_designed_and_as_built(tmp_path: Path) -> None:
    weighed = tmp_path / "built.toml"
    weighed.write_text(LAKE.read_text("utf-8") + '\n[measured]\ncraft_mass = "60 kg"\n', encoding="utf-8")
    build = fw.load(weighed)
    built, designed = fw.ask(build), fw.ask(build, as_built=False)
    assert built.numbers["total_mass"][0] > designed.numbers["total_mass"][0]


def test_importing_and_naming_loads_no_library() -> None:
    code = "import sys, foilwright as fw; fw.load, fw.ask; print('numpy' in sys.modules or 'pydantic' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
