"""What holds the parts below the board together: bolts of wing and stabiliser, pegs and tie rods of a printed mast."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.core.shapes import column
from foilwright.craft import Craft, Surface
from foilwright.craft.structure import Seat
from foilwright.physics import beam, fatigue, joint
from foilwright.questions.state.structure.cases import CARRIED, HALF_LIFT, Cases
from foilwright.questions.state.structure.compliance import Compliance
from foilwright.questions.state.structure.footing import FRICTION, MONTH, PRELOAD_SHARE
from foilwright.questions.state.structure.holding import INSERT_LENGTH, INSERT_WIDE, ONE_SIDED
from foilwright.questions.state.structure.stuff import IN_USE, YIELD_SHEAR, Bears, bearing
from foilwright.shape.mass import section_factor

GRADE, PROOF_STRESS = "a2-70", 450e6
"""Of screws and rods, and their proof stress [Pa]."""
HEAD = 2.0
"""Head of a countersunk screw over its thread."""
UNDER = 0.5
"""What of the wing's thickness is left under that head."""
BOLT_FACTOR, INSERT_FACTOR = 1.5, 4.0
"""Strength over load: of a bolt that must not stretch, of an insert whose hold is not known until it has been tried."""
GIVES = ("the bolts stretch", "their heads pull through the wing", "the inserts pull out")
STUFF_OF_PEGS = 210e6
"""Yield strength of pegs as poor as stainless steel comes [Pa]."""
APART = 0.24
"""Distance of the outermost pegs, share of the chord."""
PLATE = 20e-3
"""Plate or washers under the nuts of a tie rod: as wide as this [m], thrice its hole."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bolted:
    """The root of a wing (n,): what gives first, for the margin that each way must have."""

    pull: Array  # N, on a bolt
    bears: Array  # N
    factor: Array
    way: npt.NDArray[np.intp]  # into GIVES


@dataclass(frozen=True, slots=True, kw_only=True)
class Joining:
    """Joints below the board: (n,), or (n, cases) in the water."""

    wing: Bolted
    stabiliser: Bolted
    peg: Array  # (n, cases) N, across a peg of the first joint
    peg_bears: Array  # (n,) N, the print's hole or the peg itself
    opens: Array  # (n, cases) share of the moments that open that joint


def joining(craft: Craft, loads: Cases, stuffs: dict[str, Bears], held: Compliance) -> Joining:
    """Return what the cases ask of bolts, pegs and rods."""
    given, f = craft.structure.loads, craft.structure.fixings
    lift, push = given.touchdown * loads.weight, given.stabiliser * loads.weight
    roll = (2.0 * given.uneven - 1.0) * lift * HALF_LIFT * 0.5 * craft.wing.span
    return Joining(
        wing=_bolted(f.wing, craft.wing, stuffs["wing"], stuffs["fuselage"], lift, roll),
        stabiliser=_bolted(
            f.stabiliser, craft.stabiliser, stuffs["stabiliser"], stuffs["fuselage"], push,
            ONE_SIDED * push * craft.stabiliser.span,
        ),
        **_mast(craft, loads, stuffs["mast"], held),
    )  # fmt: skip


def _bolted(seat: Seat, surface: Surface, wing: Bears, host: Bears, lift: Array, roll: Array) -> Bolted:
    """Return the bolts of a wing: all of its lift pulls at them, and a roll turns it about the edge of its seat."""
    bolt = joint.fastener(sizes=seat.size, grades=(GRADE,) * seat.bolts.size)
    pull = (lift + 2.0 * roll / seat.width) / seat.bolts
    thick = section_factor(surface.section, "thickness") * surface.area / surface.span
    through = joint.pull_through(
        washer=HEAD * bolt.diameter, thickness=UNDER * thick, shear_strength=bearing(wing.names).through
    )
    inserts = joint.insert_pull_out(
        diameter=INSERT_WIDE * bolt.diameter, length=INSERT_LENGTH * bolt.diameter,
        shear_strength=0.5 * host.tension[:, IN_USE],
    )  # fmt: skip
    bears = np.stack([bolt.proof, through, np.where(seat.inserts, inserts, np.inf)], axis=1)
    factor = np.stack([np.full_like(pull, BOLT_FACTOR), wing.gamma, np.full_like(pull, INSERT_FACTOR)], axis=1)
    way = (bears / factor).argmin(axis=1)
    rows = np.arange(pull.size)
    return Bolted(pull=pull, bears=bears[rows, way], factor=factor[rows, way], way=way)


def _mast(craft: Craft, loads: Cases, made: Bears, held: Compliance) -> dict[str, Any]:
    """Return what pegs and tie rods bear at the joint nearest to the board."""
    f, pieces = craft.structure.fixings, np.maximum(craft.structure.joints.pieces, 2.0)
    down = column(1.0 / pieces)
    side, long = (np.abs(each[:, :CARRIED, 0]) for each in (loads.sideways(down), loads.lengthways(down)))
    across, along = (np.abs(each[:, :CARRIED, 0]) for each in loads.shear(down))
    pegs = column(np.maximum(f.pegs, 1.0))
    peg = np.hypot(across, along) / pegs + np.abs(loads.torque[:, :CARRIED]) / column(
        APART * craft.mast.chord * np.maximum(0.5 * f.pegs, 0.5)
    )
    hole = joint.bearing_limit(
        diameter=f.peg_diameter, thickness=f.peg_depth, bearing_strength=bearing(made.names).hole
    )
    sheared = 0.25 * np.pi * f.peg_diameter**2 * STUFF_OF_PEGS * YIELD_SHEAR
    return {"peg": peg, "peg_bears": np.minimum(hole, sheared), "opens": _opens(craft, loads, made, held, side, long)}


def _opens(craft: Craft, loads: Cases, made: Bears, held: Compliance, side: Array, long: Array) -> Array:
    """Return the share of what opens a joint that its rods press, a month after they were tightened."""
    f, section = craft.structure.fixings, held.mast
    rod = joint.fastener(sizes=f.tie_rod_size, grades=(GRADE,) * craft.designs)
    soft = bearing(made.names)
    most = joint.most_preload(
        diameter=rod.diameter, pitch=rod.pitch, friction=np.asarray(FRICTION), proof_stress=np.asarray(PROOF_STRESS),
        share=PRELOAD_SHARE,
    )  # fmt: skip
    pressed = joint.washer_limit(pressure=soft.washer, washer=np.maximum(PLATE, rod.washer), hole=rod.hole)
    left = fatigue.clamp_left(time=np.asarray(MONTH), kept=soft.kept, retightened=np.asarray(0.0))
    preload = f.tie_rods * np.minimum(most, pressed) * left
    stiff = section.modulus[:, 0, beam.WALL]
    area, flat, edge = (each[:, 0] / stiff for each in (section.axial, section.stiff_flat, section.stiff_edge))
    press = -loads.press[:, :CARRIED]
    used = [
        moment / np.maximum(
            joint.opening_moment(
                preload=column(preload), area=column(area), section_modulus=column(inertia / reach[:, 0, beam.WALL]),
                axial_force=press,
            ), 1e-9,
        )
        for moment, inertia, reach in ((side, flat, section.height), (long, edge, section.reach))
    ]  # fmt: skip
    return np.asarray(used[0] + used[1])
