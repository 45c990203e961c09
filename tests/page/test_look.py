"""Colours that can be told from what they stand on, by WCAG 2.2; arrows whose words do not hide each other."""

from __future__ import annotations

import re
from itertools import product
from pathlib import Path

import pytest

from foilwright.build import load
from foilwright.page import charts, forces
from foilwright.page.drawing import drawn, told
from foilwright.page.side import Views, sight
from foilwright.questions import report
from foilwright.questions.ask import ask

STYLE = (Path(charts.__file__).parent / "page.css").read_text(encoding="utf-8")
TEXT, SHAPE = 4.5, 3.0
"""Least contrast of text, and of what is no text but must be told from its ground."""
TEXTS = ("ink", "soft", "mark", "sound", "slim", "fails", "unknown", "lift")
SHAPES = ("sound", "slim", "fails", "unknown", "solid", "thrust", "lift", "drag", "weight")


def _colours(head: str) -> dict[str, str]:
    block = STYLE.partition(head)[2].partition("}")[0]
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", block))


SHADES = {"light": _colours(':root[data-shade="light"] {'), "dark": _colours('\n:root[data-shade="dark"] {')}


def _light(colour: str) -> float:
    parts = [int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5)]
    red, green, blue = (each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _contrast(one: str, other: str) -> float:
    low, high = sorted((_light(one), _light(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_as_the_standard_has_it() -> None:
    assert _contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert _contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


def test_dark_is_the_same_by_choice_and_by_the_system() -> None:
    assert _colours(':root:not([data-shade="light"]) {') == SHADES["dark"]
    assert SHADES["light"].keys() == SHADES["dark"].keys()


@pytest.mark.parametrize("shade", list(SHADES))
def test_text_and_shapes_stand_out(shade: str) -> None:
    colours = SHADES[shade]
    pairs = [(name, ground, TEXT) for name, ground in product(TEXTS, ("paper", "ground"))]
    pairs += [(name, ground, TEXT) for name in ("ink", "soft") for ground in ("water", "chosen")]
    pairs += [(word, f"tint-{word}", TEXT) for word in ("sound", "slim", "fails", "unknown")]
    pairs += [("ink", f"tint-{word}", TEXT) for word in ("sound", "slim", "fails", "unknown")]
    pairs += [(name, ground, SHAPE) for name, ground in product(SHAPES, ("paper", "water"))]
    pairs += [("on-mark", "mark", TEXT), ("paper", "ink", TEXT)]
    weak = [f"{name} on {ground}: {_contrast(colours[name], colours[ground]):.2f}" for name, ground, least in pairs
            if _contrast(colours[name], colours[ground]) < least]  # fmt: skip
    weak += [f"curve {each}" for each in charts.COLOURS if _contrast(each, colours["paper"]) < SHAPE]
    weak += [f"edge of a field {each}" for each in re.findall(r"border: 1px solid (#\w{6})", STYLE)
             if _contrast(each, colours["paper"]) < SHAPE]  # fmt: skip
    assert not weak


@pytest.fixture(scope="module")
def views() -> Views:
    """The craft that is drawn."""
    return sight(load.scenario("lake"))


def test_forces_are_drawn_with_name_and_value_and_balance(views: Views) -> None:
    for speed in (0.0, 2.5, 6.0, 9.0):
        moment = views.at(speed)
        weight = -sum(load.up for load in moment.loads if load.name.startswith("weight"))
        assert sum(load.up for load in moment.loads) == pytest.approx(0.0, abs=0.04 * weight)
        text = drawn(views, report.ranked(ask(load.scenario("lake"))), "side", speed)
        for load_ in moment.loads:
            size = (load_.ahead**2 + load_.up**2) ** 0.5
            if size > forces.LEAST * weight:
                assert f"{forces.SHORT.get(load_.name, load_.name)} {report.amount(size, 'N')}</text>" in text
        assert text.count('class="waterline') == 2


def test_words_of_arrows_do_not_hide_each_other(views: Views) -> None:
    for moment in (views.rest, *views.steps):
        arrows = list(forces._arrows(moment))
        taken: list[forces.Box] = []
        sheet = (-45.0, -200.0, 250.0, 120.0)
        for arrow in sorted(arrows, key=lambda each: -each.size):
            box, _ = min(
                forces._places(arrow, 10.0), key=lambda each: forces._hides(each[0], arrow, arrows, taken, sheet)
            )
            assert sum(forces._common(box, other) for other in taken) < 0.35 * (box[2] - box[0]) * (box[3] - box[1])
            taken.append(box)


def test_parts_can_be_reached_in_every_sight() -> None:
    build = load.scenario("first-try")
    views, found = sight(build), report.ranked(ask(build))
    for name in ("side", "top", "front"):
        text = drawn(views, found, name, 0.0)
        assert text.count('tabindex="0"') == text.count('<g class="piece')
        assert 'class="piece fails" tabindex="0" role="img" aria-label="board: fails" data-about="board"' in text
        assert 'id="speed"' in text
    assert 'data-about="wing"' not in told(found, "side")
    assert '<button type="button" class="chip" data-about="wing">' in told(found, "turn")
