"""Findings on the board: bending, core, heels, slams, heat, and what resin and cure do to foam and prints."""

from __future__ import annotations

import numpy as np

from foilwright.physics import laminate, material
from foilwright.questions.afloat import MASS
from foilwright.questions.finding import Maker
from foilwright.questions.hold.mast import HEATS, RIDER, sunlit
from foilwright.questions.state import State
from foilwright.questions.state.structure.stuff import KINDS_WHY

SKIN = "laminate.material laminate.cloth board.bottom_layers board.foam"
ALLEN = "Allen 1969, Analysis and Design of Structural Sandwich Panels"
CORE_FACTOR = 2.5


def findings(make: Maker, state: State) -> None:
    """Add the findings on the board."""
    h, n = state.holding, make.designs
    used = h.face / h.face_bears
    at = used.argmax(axis=1)
    rows = np.arange(n)
    make.add(
        "board.bending", name="Skin of the board on two crests, rider in the middle", part="board", meaning="breaks",
        demand=h.face[rows, at], capacity=h.face_bears[rows, at], unit="Pa",
        required=np.where(at == 0, h.face_gamma - 1.0, 0.5), required_why=KINDS_WHY + "; wrinkling 1.5", source=ALLEN,
        model=laminate.sandwich_beam.name,
        inputs=f"{SKIN} board.length board.width board.thickness loads.dynamic {MASS}",
        cases=("the skin breaks", "the skin wrinkles"), case=at,
    )  # fmt: skip
    make.add(
        "board.core", name="Shear of the foam on two crests", part="board", meaning="breaks", demand=h.core,
        capacity=h.core_bears, unit="Pa", required=CORE_FACTOR - 1.0,
        required_why="foam scatters and ages under repeated load: 2.5 (judgement)", source=ALLEN,
        model=laminate.sandwich_beam.name, inputs=f"board.foam board.thickness board.width loads.dynamic {MASS}",
    )  # fmt: skip
    make.add(
        "board.heel", name="Foam under a heel or knee in a fall", part="board", place="on the deck", meaning="breaks",
        demand=h.heel, capacity=h.foam, unit="Pa", required=0.5,
        required_why="foam scatters by a third; a dent lets water in once the skin cracks",
        source="Timoshenko and Woinowsky-Krieger, art. 57: plate on springs", model=laminate.heel.name,
        inputs=f"board.foam board.deck_layers board.pad laminate.material laminate.cloth loads.fall {RIDER}",
    )  # fmt: skip
    make.add(
        "board.slam", name="Foam of the bottom in a slam", part="board", place="on the bottom", meaning="breaks",
        demand=h.slam, capacity=h.foam, unit="Pa", required=1.0,
        required_why="the pressure of a slam is known to a factor of two", source="Slam pressure as judged",
        model=laminate.heel.name, inputs="board.foam loads.slam",
    )  # fmt: skip
    sunlit(
        make, "board.sun", name="Deck lying in the sun, below softening of skin and foam", part="board",
        lit=state.sun.of("board"),
        softens=np.minimum(state.stuffs["laminate"].softens, state.stuffs["foam"].softens),
        inputs=f"sun.board laminate.material laminate.post_cure board.foam {HEATS}",
    )  # fmt: skip
    _together(make, state)


def _together(make: Maker, state: State) -> None:
    """Add what goes with what: resin with foam and prints, cure with both."""
    s = state.craft.structure
    wrong = material.contact(agents=s.laminate.resin, stuff=s.laminate.foam.names).attacks
    wrapped = s.mast.wrap > 0.0
    if wrapped.any():
        wrong = wrong | (wrapped & material.contact(agents=s.laminate.resin, stuff=s.mast.stuff.names).attacks)
    make.add(
        "laminate.resin", name="Resin that foam and wrapped prints bear", part="board", meaning="breaks",
        kind="difference", demand=np.ones(make.designs), capacity=np.where(wrong, 0.0, 1.0), unit="1", required=0.0,
        required_why="styrene dissolves polystyrene and softens many prints: epoxy only",
        source="Common practice and tables of chemical resistance", model=material.contact.name,
        inputs="laminate.resin board.foam mast.material mast.wrap",
    )  # fmt: skip
    cure = s.laminate.post_cure
    given = np.isfinite(cure)
    warm = np.where(given, cure, 293.15)
    bears = (
        material.cure_margin(stuff=s.laminate.foam.names, cure_temperature=warm)
        if given.any()
        else np.zeros(make.designs)
    )
    printed = state.stuffs["mast"].is_print & wrapped
    less = np.minimum(bears, np.where(printed, state.stuffs["mast"].softens - 5.0 - warm, np.inf))
    make.add(
        "laminate.cure", name="Warmest cure against what foam and wrapped prints bear", part="board", meaning="breaks",
        kind="difference", scale=20.0, demand=warm, capacity=warm + less, unit="K", required=5.0,
        required_why="home-made ovens are uneven by some 5 K",
        source="Deflection temperatures less 5 K, service temperatures of foams", model=material.cure_margin.name,
        inputs="laminate.post_cure board.foam mast.material mast.wrap", applies=given,
    )  # fmt: skip
