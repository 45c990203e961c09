"""The plots: every file, the same bytes again, something to see, and no word outside the paper."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.image import imread
from matplotlib.text import Text

from foilwright.build import load
from foilwright.core.errors import PlaceError
from foilwright.questions.ask import Answers, ask
from foilwright.study import plots

CASES: dict[str, dict[str, str]] = {
    "lake": {},
    "no thrust": {"controller.battery_current_limit": "15 A"},
    "shallow": {"water.depth": "0.7 m"},
    "small pack": {"pack.parallel": "1"},
    "nose heavy": {"mast.x": "15 cm"},
}


@pytest.fixture(scope="module", params=CASES)
def answers(request: pytest.FixtureRequest) -> Answers:
    return ask(load.scenario("lake").with_texts(CASES[request.param]))


def drawn(answers: Answers, name: str) -> Any:
    with rc_context(plots.STYLE):
        figure = plots.PLOTS[name](answers)
        FigureCanvasAgg(figure).draw()
    return figure


def words(figure: Any) -> str:
    return "\n".join(text.get_text() for text in figure.findobj(Text))


def test_every_plot_is_written_as_png_and_svg(answers: Answers, tmp_path: Path) -> None:
    made = plots.write(answers, tmp_path / "plots")
    assert [path.name for path in made] == [f"{name}.{kind}" for name in plots.PLOTS for kind in ("png", "svg")]
    assert sorted(made) == sorted((tmp_path / "plots").iterdir())
    for path in made:
        if path.suffix == ".png":
            image = imread(path)
            ink = np.mean(image[..., :3].min(axis=2) < 0.8)
            assert 0.01 < ink < 0.6, path.name
        else:
            assert ET.parse(path).getroot().tag.endswith("svg")  # noqa: S314 - just written


def test_the_same_answers_give_the_same_bytes(tmp_path: Path) -> None:
    build = load.scenario("lake")
    for made in zip(plots.write(ask(build), tmp_path / "a"), plots.write(ask(build), tmp_path / "b"), strict=True):
        assert made[0].read_bytes() == made[1].read_bytes(), made[0].name
    told = (tmp_path / "a" / "rise.svg").read_text(encoding="utf-8")
    assert "<dc:date>" not in told


@pytest.mark.parametrize("name", plots.PLOTS)
def test_axes_have_names_with_units_and_no_word_leaves_the_paper(answers: Answers, name: str) -> None:
    figure = drawn(answers, name)
    wide, tall = figure.canvas.get_width_height()
    for axes in figure.axes:
        beside = axes.get_shared_y_axes().get_siblings(axes)
        named = [each.get_ylabel() for each in beside if each.get_ylabel()]
        assert not axes.axison or re.search(r"\[(N|%|°|°C|m|cm|kW|V|A)\]$", named[0])
    assert not figure.axes[-1].axison or re.search(r"\[(km/h|min|m|cm|N·m)\]$", figure.axes[-1].get_xlabel())
    ticks = {id(label) for axes in figure.axes for label in (*axes.get_xticklabels(), *axes.get_yticklabels())}
    for text in figure.findobj(Text):
        if text.get_text().strip() and text.get_visible() and id(text) not in ticks:
            box = Text.get_window_extent(text)  # of the words alone, without the line to what they name
            assert box.x0 > -1.0, text.get_text()
            assert box.x1 < wide + 1.0, text.get_text()
            assert box.y1 < tall + 1.0, text.get_text()
    headings = [text.get_text() for text in figure.texts]
    assert headings[0].startswith("lake: ")
    assert re.search(r"\((sound|slim|fails|unknown)\)$", headings[0]), "the verdict stands in words"


def test_the_run_tells_hump_and_take_off(answers: Answers) -> None:
    told = words(drawn(answers, "rise"))
    take_off = float(answers.numbers["take_off_speed"][0])
    assert "full thrust" in told
    assert "resistance" in told
    if np.isfinite(take_off):
        assert f"Takes off at {3.6 * take_off:.3g} km/h" in told
        assert "\ntake-off\n" in f"\n{told}\n"
        assert "hump: " in told
    else:
        assert "Never takes off: " in told


def test_flight_names_every_cause_of_drag(answers: Answers) -> None:
    told = words(drawn(answers, "fly"))
    for _, label, _ in plots.CAUSES:
        assert label in told
    assert "from the pack" in told
    assert "drag times speed" in told
    causes = {name for name in answers.curves["fly"] if name.startswith("drag_")}
    assert causes == {name for name, _, _ in plots.CAUSES} | {"drag_wave"}


def test_names_of_thin_bands_stand_apart() -> None:
    heights = plots._apart(np.array([1.0, 1.01, 1.02, 5.0, 9.9, 9.95]), 0.5, 10.0)
    assert np.all(np.diff(heights) >= 0.5 - 1e-12)
    assert heights[-1] <= 10.0


def test_some_questions_only_are_drawn_without_the_other_verdicts(tmp_path: Path) -> None:
    answers = ask(load.scenario("lake"), questions=["rise"])
    assert {path.stem for path in plots.write(answers, tmp_path)} == set(plots.PLOTS) - plots.ASKED
    assert drawn(answers, "endure").texts[0].get_text() == "lake: the pack over the ride"


def test_a_folder_that_cannot_be_written_is_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("", encoding="utf-8")
    with pytest.raises(PlaceError, match="taken cannot be written"):
        plots.write(ask(load.scenario("lake")), tmp_path / "taken")
