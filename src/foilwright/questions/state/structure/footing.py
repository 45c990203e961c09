"""Base of the mast: flange, bolts, clamp, and what holds them in the board, by case."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.core.shapes import column
from foilwright.craft import Craft
from foilwright.craft.structure import Base
from foilwright.physics import fatigue, joint
from foilwright.questions.state.structure.cases import Cases
from foilwright.questions.state.structure.compliance import Compliance
from foilwright.questions.state.structure.strength import MastStrength
from foilwright.questions.state.structure.stuff import IN_USE, Bearing, Bears, bearing
from foilwright.shape.mass import section_factor

FRICTION = 0.15
"""Of threads and heads as delivered."""
PRELOAD_SHARE = 0.75
"""Of proof, pull and torque together."""
SOFT_JOINT = np.asarray(0.75)
"""Stiffness of the bolt over that of bolt and parts where plywood or print is clamped."""
HEAD = 1.6
"""Head of a bolt over its thread, without a washer."""
PLATE = 2.0
"""A metal plate under the heads presses on as much as washers so much wider (judgement)."""
LEAST_ARM = 0.005
"""Least distance of the bolt line from the foot of the mast that counts [m]."""
LEAST_EDGE = 0.002
"""Least distance of the bolts from the edge of the flange that counts [m]."""
LEAST_DEPTH = 0.001
"""Depth of what holds where only the skin does [m]."""
BENDING = 2.0 / 3.0
"""Strength of a brittle print as yield strength, over that in bending."""
SHEAR = 0.6
"""Shear over tension of a bolt."""
LAP = 27e6
"""Shear through a hand-laid skin [Pa] (data/bearing.csv)."""
MONTH = 30.0 * 24.0 * 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Footing:
    """Base and insert: (n, cases), or (n,)."""

    flange: Array  # share of its strength that is used
    side_use: Array  # (n,) share that a sideways moment of one uses [1/(N m)], of flange or insert
    flange_strength: Array  # (n,) Pa
    bolt: Array  # N, pull on the worst bolt, prying in it
    bolt_used: Array  # share of its proof load, shear in it
    bolt_proof: Array  # (n,) N
    through: Array  # (n,) N, that pulls the head through the flange
    nuts: Array  # (n,) N, that pulls the nut through the insert
    bearing: Array  # N, cross force on a bolt
    hole: Array  # (n,) N, that crushes the wall of its hole
    preload: Array  # (n,) N, that a bolt may get
    opens: Array  # (n,) N, pull on a bolt at which the joint opens
    insert: Array  # share of what the insert bears
    aground: Array  # (n,) N m, at the base when it runs aground
    gives: Array  # (n,) N m, at which mast, flange or bolts give first, lengthways
    tears: Array  # (n,) N m, at which the insert tears out, lengthways


def footing(
    craft: Craft, loads: Cases, stuffs: dict[str, Bears], held: Compliance, mast: MastStrength, board_mass: Array
) -> Footing:
    """Return what every case uses of the base; ``board_mass`` is that of craft without rider (n,) [kg]."""
    b = craft.structure.base
    start = np.zeros(1)
    side, long = np.abs(loads.sideways(start)[..., 0]), np.abs(loads.lengthways(start)[..., 0])
    bolt = joint.fastener(sizes=b.size, grades=b.grade)
    strength = stuffs["base"].in_layers[:, IN_USE] * np.where(stuffs["base"].is_print, BENDING, 1.0)
    bends = _flange(craft, side, long, bolt, strength)
    group = _bolts(loads, b, side, long, bends.prying)
    soft, wood = bearing(stuffs["base"].names), bearing(stuffs["insert"].names)
    head = np.select(
        [np.array([name == each for name in b.washers]) for each in ("none", "large")],
        [HEAD * bolt.diameter, bolt.washer],
        PLATE * bolt.washer,
    )
    preload, clamp = _preload(b, bolt, soft, wood, head)
    insert = _insert(craft, stuffs, held)
    bends_at = 1.0 / np.maximum(bends.per_long, 1e-12)
    return Footing(
        flange=side * column(bends.per_side) + long * column(bends.per_long), flange_strength=strength,
        side_use=np.maximum(bends.per_side, 1.0 / insert.side), bolt=group.most_tension,
        bolt_used=np.hypot(group.most_tension / column(bolt.proof), group.most_shear / column(SHEAR * bolt.proof)),
        bolt_proof=bolt.proof,
        through=joint.pull_through(washer=head, thickness=b.thickness, shear_strength=soft.through),
        nuts=joint.pull_through(washer=bolt.washer, thickness=insert.depth, shear_strength=wood.through),
        bearing=group.most_shear,
        hole=joint.bearing_limit(diameter=bolt.diameter, thickness=b.thickness, bearing_strength=soft.hole),

        preload=preload,
        opens=joint.bolt_load(preload=clamp, load=np.zeros_like(clamp), stiffness_share=SOFT_JOINT).opens_at,
        insert=side / column(insert.side) + long / column(insert.long),
        aground=_aground(craft, held, board_mass),
        gives=np.minimum.reduce([mast.lengthways, bends_at, 2.0 * _pitches(b)[0] * bolt.proof]), tears=insert.long,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Flange:
    per_side: Array  # (n,) use of the flange for a sideways moment of one [1/(N m)]
    per_long: Array
    prying: Array  # (n, cases)


def _pitches(b: Base) -> tuple[Array, Array]:
    """Return the pitches at which four bolts would hold as the two rows do, lengthways and across [m]."""
    rows = 0.5 * b.bolts
    return b.pitch_x * rows * (rows + 1.0) / (6.0 * (rows - 1.0)), b.pitch_y * 0.5 * rows


def _flange(craft: Craft, side: Array, long: Array, bolt: joint.Fastener, strength: Array) -> _Flange:
    """Return how the flange bends between bolts and mast: half of a T-stub whose other half is its mirror image."""
    b, mast = craft.structure.base, craft.mast
    thick = section_factor(mast.section, "thickness") * mast.chord
    used, pries = [], [np.ones_like(side)]
    for moment, pitch, foot, width, over, count in (
        (side, b.pitch_y, thick, b.length, b.width - b.pitch_y, 0.5 * b.bolts),
        (long, b.pitch_x, mast.chord, b.width, b.length - b.pitch_x, np.full(craft.designs, 2.0)),
    ):
        pull = 2.0 * moment / column(pitch)
        made = joint.flange(
            pull=pull, bolt_strength=column(2.0 * count * bolt.tension),
            bolt_arm=column(np.maximum(0.5 * (pitch - foot), LEAST_ARM)),
            edge_distance=column(np.maximum(0.5 * over, LEAST_EDGE)), width=column(width),
            thickness=column(b.thickness), yield_strength=column(strength),
        )  # fmt: skip
        used.append(2.0 / (pitch * np.broadcast_to(made.capacity, side.shape)[:, 0]))
        pries.append(np.where(pull > 0.0, made.bolt_force / np.where(pull > 0.0, pull, 1.0), 1.0))
    return _Flange(per_side=used[0], per_long=used[1], prying=np.maximum.reduce(pries))


def _bolts(loads: Cases, b: Base, side: Array, long: Array, prying: Array) -> joint.BoltGroup:
    """Return the forces on four bolts that stand for the two rows."""
    pitch_x, pitch_y = (column(each)[..., None] for each in _pitches(b))
    across, along = (np.abs(each[..., 0]) for each in loads.shear(np.zeros(1)))
    each = column(4.0 / b.bolts)
    return joint.bolt_group(
        bolt_x=0.5 * pitch_x * np.array([1.0, 1.0, -1.0, -1.0]),
        bolt_y=0.5 * pitch_y * np.array([1.0, -1.0, 1.0, -1.0]),
        moment_about_x=side, moment_about_y=long, shear_x=along * each, shear_y=across * each,
        torque=np.abs(loads.torque) * each, prying=prying,
    )  # fmt: skip


def _preload(b: Base, bolt: joint.Fastener, soft: Bearing, wood: Bearing, head: Array) -> tuple[Array, Array]:
    """Return the clamp force that a bolt may get, and what a month leaves of it."""
    most = joint.most_preload(
        diameter=bolt.diameter, pitch=bolt.pitch, friction=np.asarray(FRICTION),
        proof_stress=bolt.proof / bolt.stress_area, share=PRELOAD_SHARE,
    )  # fmt: skip
    pressed = [
        joint.washer_limit(pressure=each.washer, washer=wide, hole=bolt.hole)
        for each, wide in ((soft, head), (wood, bolt.washer))
    ]
    preload = np.minimum(most, np.minimum(*pressed))
    left = fatigue.clamp_left(
        time=np.asarray(MONTH), kept=np.minimum(soft.kept, wood.kept), retightened=b.retightened.astype(np.float64)
    )
    return preload, preload * left


@dataclass(frozen=True, slots=True, kw_only=True)
class _Insert:
    side: Array  # (n,) N m, that tears it out
    long: Array
    depth: Array  # m


def _insert(craft: Craft, stuffs: dict[str, Bears], held: Compliance) -> _Insert:
    """Return what tears the insert out of the board: a bonded face bends off, rim and skin shear."""
    b, foam, laid = craft.structure.base, stuffs["foam"], craft.structure.laminate
    book = table("board_inserts")
    at = [book.texts["insert"].index(name) for name in b.insert]
    through, skins = book.columns["through"][at], book.columns["skins"][at]
    bare = np.array([name == "skin only" for name in b.insert])
    length, width = np.where(bare, b.length, b.insert_length), np.where(bare, b.width, b.insert_width)
    depth = np.where(bare, LEAST_DEPTH, np.where(through > 0.0, craft.board.thickness, b.insert_thickness))
    bears = np.minimum(foam.tension, foam.compression)[:, IN_USE]
    common = {"width": width, "length": length, "skin_overlap": skins * held.ply * laid.bottom}
    faces = joint.board_insert(
        core_thickness=np.zeros_like(depth), bond_strength=bears * (1.0 - through), core_shear_strength=bears,
        skin_strength=np.zeros_like(depth), **common,
    )  # fmt: skip
    rim = joint.board_insert(
        core_thickness=depth, bond_strength=np.zeros_like(depth), core_shear_strength=foam.shear[:, IN_USE],
        skin_strength=np.full_like(depth, LAP), **common,
    )  # fmt: skip
    turn = {
        name: faces * across / 6.0 + 0.5 * rim * across * (along + across / 3.0) / (along + across)
        for name, across, along in (("side", width, length), ("long", length, width))
    }
    return _Insert(**turn, depth=depth)


def _aground(craft: Craft, held: Compliance, mass: Array) -> Array:
    """Return the moment at the base when wing or nose strike the ground: all speed into the spring of the mast."""
    length = craft.mast.length
    give = length**3 / (3.0 * held.mast.stiff_edge[:, 0]) + length**2 / held.base
    return craft.structure.loads.ground_speed * np.sqrt(mass / give) * length
