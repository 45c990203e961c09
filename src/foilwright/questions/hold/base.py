"""Findings on the base of the mast: flange, bolts, clamp, insert, running aground, metals in salt water."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.physics import joint, material
from foilwright.questions.afloat import MASS
from foilwright.questions.finding import Maker
from foilwright.questions.hold.mast import RIDER
from foilwright.questions.rise import THRUST
from foilwright.questions.state import State
from foilwright.questions.state.structure.cases import CARRIED, CASES, STEADY, TURN
from foilwright.questions.state.structure.stuff import KINDS_WHY

BOLTS = "base.bolts base.bolt_size base.bolt_grade base.pitch_x base.pitch_y"
FLANGE = (
    "base.length base.width base.thickness base.material base.print mast.chord mast.section"
    " factors.print_stiffness factors.print_strength"
)
ACTING = f"{RIDER} loads.pitch_reach loads.roll_reach loads.bank loads.touchdown mast.length {THRUST} {MASS}"
IN_WATER = tuple(range(CARRIED))
OFTEN = (STEADY, TURN)
INSERT_FACTOR = 4.0
"""Strength over load of what is bedded in foam: the bond's surface is not known (judgement)."""
SOURCE = "Shigley, sec. 8-12 (bolt groups), EN 1993-1-8 table 6.2 (prying), load cases as judged"
METALS = {"aluminium": "aluminium", "stainless": "stainless steel", "steel": "steel", "carbon": "carbon"}


def _worst(values: Array, cases: tuple[int, ...]) -> tuple[Array, npt.NDArray[np.intp]]:
    some = values[:, list(cases)]
    at = some.argmax(axis=1)
    return some[np.arange(some.shape[0]), at], at


def findings(make: Maker, state: State) -> None:
    """Add the findings on the base."""
    _flange(make, state)
    _bolts(make, state)
    _board(make, state)
    _metals(make, state)


def _flange(make: Maker, state: State) -> None:
    f, gamma = state.footing, state.stuffs["base"].gamma
    use, at = _worst(f.flange, IN_WATER)
    make.add(
        "base.flange", name="Flange of the mast, bent between its bolts", part="base", place="at the foot of the mast",
        meaning="breaks", demand=use * f.flange_strength, capacity=f.flange_strength, unit="Pa", required=gamma - 1.0,
        required_why=KINDS_WHY, source=SOURCE, model=joint.flange.name, inputs=f"{FLANGE} {BOLTS} {ACTING}",
        cases=CASES[:CARRIED], case=at,
    )  # fmt: skip
    pull, at = _worst(f.bolt, IN_WATER)
    make.add(
        "base.through", name="Head of a bolt pulled through the flange", part="base", place="under the head",
        meaning="breaks", demand=pull, capacity=f.through, unit="N", required=gamma - 1.0,
        required_why="big washers spread the load on a print; " + KINDS_WHY, source=SOURCE,
        model=joint.pull_through.name, inputs=f"base.washers {FLANGE} {BOLTS} {ACTING}", cases=CASES[:CARRIED], case=at,
    )  # fmt: skip
    cross, at = _worst(f.bearing, IN_WATER)
    make.add(
        "base.hole", name="Wall of a bolt hole in the flange, crushed", part="base", place="at a bolt",
        meaning="breaks", demand=cross, capacity=f.hole, unit="N", required=gamma - 1.0, required_why=KINDS_WHY,
        source=SOURCE, model=joint.bearing_limit.name, inputs=f"{FLANGE} {BOLTS} loads.yaw {ACTING}",
        cases=CASES[:CARRIED], case=at,
    )  # fmt: skip


def _bolts(make: Maker, state: State) -> None:
    f = state.footing
    use, at = _worst(f.bolt_used, IN_WATER)
    make.add(
        "base.bolts", name="Bolts of the base, pull and shear with prying", part="base", place="corner bolt",
        meaning="breaks", demand=use * f.bolt_proof, capacity=f.bolt_proof, unit="N", required=0.5,
        required_why="1.5 on what stretches a bolt for good", source=SOURCE, model=joint.bolt_group.name,
        inputs=f"{BOLTS} {FLANGE} {ACTING}", cases=CASES[:CARRIED], case=at,
    )  # fmt: skip
    pull, at = _worst(f.bolt, OFTEN)
    make.add(
        "base.clamp", name="Clamp of the bolts a month after tightening, against opening", part="base",
        place="corner bolt", meaning="stops", demand=pull, capacity=f.opens, unit="N", required=0.5,
        required_why="a joint that opens in every turn works loose; prints and plywood creep: tighten again",
        source="Shigley, sec. 8-7; relaxation over a month as judged", model=joint.bolt_load.name,
        inputs=f"base.tightened base.washers base.insert {BOLTS} {FLANGE} {ACTING}",
        cases=tuple(CASES[k] for k in OFTEN), case=at,
    )  # fmt: skip


def _board(make: Maker, state: State) -> None:
    f, b = state.footing, state.craft.structure.base
    insert = "base.insert base.insert_length base.insert_width base.insert_thickness board.foam board.bottom_layers"
    use, at = _worst(f.insert, IN_WATER)
    make.add(
        "base.insert", name="Insert torn out of the board", part="board", place="around the base", meaning="breaks",
        demand=use, capacity=np.ones(make.designs), unit="1", required=INSERT_FACTOR - 1.0,
        required_why="the bond of an insert is not known until it has been tried: 4 (judgement)",
        source="Bond and shear of foam and skin around the insert, the weaker way each",
        model=joint.board_insert.name, inputs=f"{insert} laminate.cloth {ACTING}", cases=CASES[:CARRIED], case=at,
    )  # fmt: skip
    pull, at = _worst(f.bolt, IN_WATER)
    make.add(
        "base.nuts", name="Nut of a bolt pulled through the insert", part="board", place="in the insert",
        meaning="breaks", demand=pull, capacity=f.nuts, unit="N", required=0.5,
        required_why="plywood scatters by a third", source=SOURCE, model=joint.pull_through.name,
        inputs=f"base.insert base.insert_thickness {BOLTS} {ACTING}", cases=CASES[:CARRIED], case=at,
        applies=np.array([name != "skin only" for name in b.insert]),
    )  # fmt: skip
    make.add(
        "base.aground", name="Run aground: mast or bolts give before the board is torn open", part="board",
        place="around the base", meaning="breaks", demand=np.minimum(f.gives, f.aground), capacity=f.tears, unit="N*m",
        required=0.25, required_why="what gives must be cheap and dry: both sides are known to some 15 %",
        source="All speed into the spring of the mast; the weakest of mast, flange and bolts against the insert",
        model=joint.board_insert.name, inputs=f"{insert} loads.ground_speed {BOLTS} {FLANGE} mast.material mast.fill",
    )  # fmt: skip


def _metals(make: Maker, state: State) -> None:
    """Add whether salt water eats mast or base beside stainless bolts."""
    s = state.craft.structure
    pairs = [(_metal(each), "stainless steel") for each in s.base.stuff.names]
    mast = [(_metal(a), _metal(b)) for a, b in zip(s.mast.stuff.names, s.base.stuff.names, strict=True)]
    eaten = np.zeros(make.designs, dtype=bool)
    asked = np.zeros(make.designs, dtype=bool)
    for couples in (pairs, mast):
        known = np.array([bool(a and b) for a, b in couples])
        couple = material.galvanic(
            first=tuple(a or "aluminium" for a, _ in couples), second=tuple(b or "aluminium" for _, b in couples),
            salinity=state.craft.water.salinity,
        )  # fmt: skip
        eaten |= known & (couple.first_corrodes | couple.second_corrodes)
        asked |= known
    make.add(
        "base.corrosion", name="Metals that touch in the base: isolated, or alike", part="base", meaning="annoys",
        kind="difference", demand=eaten.astype(np.float64), capacity=s.base.isolated.astype(np.float64), unit="1",
        required=0.0, required_why="salt water eats the lesser metal: grease, a glass ply or sleeves between, an anode",
        source="Potentials in sea water; more than 0.20 V apart", model=material.galvanic.name,
        inputs="base.material mast.material base.isolated water.kind", applies=asked & eaten,
    )  # fmt: skip


def _metal(name: str) -> str:
    return next((metal for start, metal in METALS.items() if name.startswith(start)), "")
