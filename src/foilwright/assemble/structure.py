"""What the parts are made of and held by, from their fields; materials that the maker knows better than the book."""

from __future__ import annotations

import numpy as np

from foilwright import craft as c
from foilwright.assemble.reader import Array, Flag, Reader, numbers, same
from foilwright.build.schema.materials import PROPERTIES
from foilwright.craft import structure as s
from foilwright.physics import beam, material

ROD, PLATE = 0.006, 0.005
"""Diameter of a rod and thickness of a flat bar where only their presence is written [m]."""
PEG = 0.008
"""Diameter of a peg where only its presence is written [m]."""
ROD_STUFF = "stainless steel cold drawn"
JOINT = 0.5
"""Share of its strength that a joint with epoxy and pegs reaches (judgement, 0.3 to 0.8)."""
LEAST_WALL = 0.02
"""Least share of a section that is wall."""
INSERT = 0.015
"""Depth of an insert where none is written [m]."""


def stuff(read: Reader, names: tuple[str, ...]) -> s.Stuff:
    """Return named materials as names in the book and what the maker knows better."""
    better: dict[str, Array] = {}

    def put(where: Flag, name: str, values: Array) -> None:
        better[name] = np.where(where & np.isfinite(values), values, better.get(name, np.nan))

    book = list(names)
    for own in read.build.names.get("materials", ()):
        here = same(names, own)
        if not here.any():
            continue
        like = read.names(f"materials.{own}.like")
        book = [like[k] or name if here[k] else name for k, name in enumerate(book)]
        for name in PROPERTIES:
            if f"materials.{own}.{name}" in read.build.values or f"materials.{own}.{name}" in read.varied:
                put(here, name, read.number(f"materials.{own}.{name}"))
    return s.Stuff(names=tuple(book), better=better)


def properties(read: Reader, names: tuple[str, ...]) -> material.Stuff:
    """Return the properties of named materials as the maker knows them."""
    made = stuff(read, names)
    return material.gather(names=made.names, coupons=made.better)


def is_printed(names: tuple[str, ...]) -> Flag:
    """Return where a material of the book is a print."""
    return np.array([name.startswith("printed") for name in names])


def standing(read: Reader, table: str, left_out: str) -> Flag:
    """Return where a part, if it is a print, stood on the bed."""
    return same(tuple(name or left_out for name in read.names(f"{table}.print")), "standing")


def solid(read: Reader, table: str, sections: tuple[str, ...], chord: Array) -> Array:
    """Return the share of a section that is solid: that of wall and infill where a wall is written, else as written."""
    wall = read.number(f"{table}.wall")
    if np.isnan(wall).all():
        return read.number(f"{table}.fill")
    known = ~np.isnan(wall)
    share = beam.shell_share(sections=sections, chord=chord, wall=np.where(known, wall, chord))
    made = share + (1.0 - share) * _or_none(read, f"{table}.infill")
    return made if known.all() else np.where(known, made, read.number(f"{table}.fill"))


def _or_none(read: Reader, path: str, none: float = 0.0) -> Array:
    """Return a field that is nothing where it is left out."""
    values = read.number(path)
    return np.where(np.isnan(values), none, values)


def _shell(read: Reader, table: str, fill: Array, left_out: str) -> s.Shell:
    made = stuff(read, read.names(f"{table}.material"))
    infill = _or_none(read, f"{table}.infill")
    return s.Shell(
        stuff=made,
        wall=np.clip((fill - infill) / np.maximum(1.0 - infill, 1e-9), LEAST_WALL, 1.0),
        infill=infill,
        pattern=tuple(name or "gyroid" for name in read.names(f"{table}.infill_pattern")),
        standing=standing(read, table, left_out),
        wrap=_or_none(read, f"{table}.wrap"),
    )


def _spar(read: Reader) -> s.Spar:
    names = tuple(name or ROD_STUFF for name in read.names("mast.rod_material"))
    return s.Spar(
        stuff=stuff(read, names),
        rods=_or_none(read, "mast.rods"),
        rod_diameter=_or_none(read, "mast.rod_diameter", ROD),
        plate_width=_or_none(read, "mast.plate_width"),
        plate_thickness=_or_none(read, "mast.plate_thickness", PLATE),
        duct=_or_none(read, "mast.duct"),
    )


def _joints(read: Reader) -> s.Joints:
    return s.Joints(
        pieces=_or_none(read, "mast.pieces", 1.0),
        share=_or_none(read, "mast.joint", JOINT),
        socket=read.number("fuselage.socket"),
        mount_size=read.names("pod.mount_size"),
        mount_bolts=read.number("pod.mount_bolts"),
        mount_circle=read.number("pod.mount_circle"),
        inserts=same(read.names("pod.mount"), "heat-set inserts"),
        mount=stuff(read, read.names("pod.material")),
    )


def _fixings(read: Reader) -> s.Fixings:
    seats = [
        s.Seat(
            bolts=read.number(f"fixings.{part}_bolts"),
            size=read.names(f"fixings.{part}_bolt_size"),
            inserts=same(read.names(f"fixings.{part}_hold"), "heat-set inserts"),
            width=read.number(f"fixings.{part}_seat"),
        )
        for part in ("wing", "stabiliser")
    ]
    diameter = _or_none(read, "fixings.peg_diameter", PEG)
    depth = read.number("fixings.peg_depth")
    return s.Fixings(
        wing=seats[0],
        stabiliser=seats[1],
        pegs=_or_none(read, "fixings.pegs"),
        peg_diameter=diameter,
        peg_depth=np.where(np.isnan(depth), 2.0 * diameter, depth),
        tie_rods=_or_none(read, "fixings.tie_rods"),
        tie_rod_size=tuple(name or "M6" for name in read.names("fixings.tie_rod_size")),
    )


def _base(read: Reader) -> s.Base:
    made = stuff(read, read.names("base.material"))
    return s.Base(
        stuff=made,
        standing=standing(read, "base", "standing"),
        size=read.names("base.bolt_size"),
        grade=read.names("base.bolt_grade"),
        washers=read.names("base.washers"),
        isolated=same(read.names("base.isolated"), "isolated"),
        retightened=same(read.names("base.tightened"), "again"),
        insert=read.names("base.insert"),
        insert_thickness=_or_none(read, "base.insert_thickness", INSERT),
        **numbers(read, "base", "length width thickness bolts pitch_x pitch_y insert_length insert_width"),
    )


def _laminate(read: Reader) -> s.Laminate:
    names = read.names("laminate.material")
    return s.Laminate(
        stuff=stuff(read, names),
        resin=read.names("laminate.resin"),
        cloth=read.number("laminate.cloth"),
        fibre_share=np.array([FIBRE[name] for name in _plain(names)]),
        post_cure=read.number("laminate.post_cure"),
        foam=stuff(read, read.names("board.foam")),
        deck=read.number("board.deck_layers"),
        bottom=read.number("board.bottom_layers"),
        pad=_or_none(read, "board.pad"),
    )


FIBRE = {"glass laminate": 0.59, "glass laminate by hand": 0.45, "glass mat": 0.30, "carbon laminate": 0.59,
    "carbon laminate by hand": 0.50}  # fmt: skip
"""Mass of fibre over that of the laminate in the table of laminates."""


def _plain(names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(name if name in FIBRE else "glass laminate by hand" for name in names)


def structure(read: Reader, *, mast: c.Mast, wing: c.Surface, stabiliser: c.Surface) -> s.Structure:
    """Return what decides whether the parts hold."""
    fuselage = stuff(read, read.names("fuselage.material"))
    return s.Structure(
        coupons=s.Coupons(
            along=_measured(read, "print_along"),
            across=_measured(read, "print_across"),
            laminate=_measured(read, "laminate_strength"),
        ),
        mast=_shell(read, "mast", mast.fill, "standing"),
        wing=_shell(read, "wing", wing.fill, "lying"),
        stabiliser=_shell(read, "stabiliser", stabiliser.fill, "lying"),
        fuselage=fuselage,
        fuselage_standing=standing(read, "fuselage", "lying"),
        spar=_spar(read),
        joints=_joints(read),
        fixings=_fixings(read),
        base=_base(read),
        laminate=_laminate(read),
        sun=s.Sun(
            board=read.names("sun.board"),
            mast=read.names("sun.mast"),
            wings=read.names("sun.wings"),
            **numbers(read, "sun", "irradiance air_temperature wind"),
        ),
        loads=s.Loads(
            **numbers(
                read,
                "loads",
                "rides thrust_shock pitch_reach roll_reach dynamic bank touchdown uneven stabiliser yaw fall slam"
                " ground_speed handling",
            )
        ),
    )


def _measured(read: Reader, name: str) -> Array:
    """Return what a coupon told; NaN where it is asked as designed."""
    return read.number(f"measured.{name}") if read.as_built else np.full(read.designs, np.nan)
