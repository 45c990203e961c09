"""Findings on what holds the parts below the board together: bolts, inserts, pegs, tie rods."""

from __future__ import annotations

import numpy as np

from foilwright.physics import joint
from foilwright.questions.afloat import MASS
from foilwright.questions.finding import Maker
from foilwright.questions.hold.base import ACTING
from foilwright.questions.state import State
from foilwright.questions.state.structure.cases import CARRIED, CASES, STEADY, TURN
from foilwright.questions.state.structure.joining import GIVES
from foilwright.questions.state.structure.stuff import KINDS_WHY

OFTEN = (STEADY, TURN)


def findings(make: Maker, state: State) -> None:
    """Add the findings on fixings."""
    for name, loads in (("wing", "loads.touchdown loads.uneven"), ("stabiliser", "loads.stabiliser")):
        made = getattr(state.joining, name)
        given = " ".join(f"fixings.{name}_{field}" for field in ("bolts", "bolt_size", "seat", "hold"))
        make.add(
            f"{name}.bolts", name=f"Bolts of the {name}, all its load and its roll on them", part=name,
            place="at its root", meaning="breaks", demand=made.pull, capacity=made.bears, unit="N",
            required=made.factor - 1.0,
            required_why="1.5 on what stretches a bolt for good, 4 on inserts in a print, which must be tried; "
            + KINDS_WHY,
            source="Load over the bolts, roll over half of the seat; shear on the rim of heads and inserts",
            model=joint.insert_pull_out.name, cases=GIVES, case=made.way,
            inputs=f"{given} {name}.material {name}.section {name}.area {name}.span fuselage.material {loads} {MASS}",
        )  # fmt: skip
    _joints(make, state)


def _joints(make: Maker, state: State) -> None:
    """Add pegs and tie rods of the joint of a printed mast nearest to the board."""
    j, s = state.joining, state.craft.structure
    joined = s.joints.pieces > 1.0
    rows = np.arange(make.designs)
    at = j.peg.argmax(axis=1)
    make.add(
        "mast.pegs", name="Pegs across the joint of the mast nearest to the board", part="mast", place="at the joint",
        meaning="breaks", demand=j.peg[rows, at], capacity=j.peg_bears, unit="N",
        required=state.stuffs["mast"].gamma - 1.0, required_why=KINDS_WHY,
        source="Cross force and twist over the pegs; pressure on the hole, shear of a steel peg",
        model=joint.bearing_limit.name, cases=CASES[:CARRIED], case=at, applies=joined & (s.fixings.pegs > 0.0),
        inputs=f"fixings.pegs fixings.peg_diameter fixings.peg_depth mast.pieces mast.material mast.chord loads.yaw"
        f" {ACTING}",
    )  # fmt: skip
    often = j.opens[:, list(OFTEN)]
    worst = often.argmax(axis=1)
    make.add(
        "mast.opening", name="Joint of the mast pressed by its rods, a month after tightening, against opening",
        part="mast", place="at the joint", meaning="stops", demand=often[rows, worst], capacity=np.ones(make.designs),
        unit="1", required=0.5,
        required_why="a joint that opens in every turn works loose; prints creep under the nuts: tighten again",
        source="A pressed joint opens where bending lifts the pressure of its rods", model=joint.opening_moment.name,
        cases=tuple(CASES[k] for k in OFTEN), case=worst, applies=joined & (s.fixings.tie_rods > 0.0),
        inputs=f"fixings.tie_rods fixings.tie_rod_size mast.pieces mast.material mast.section mast.chord mast.fill"
        f" {ACTING}",
    )  # fmt: skip
