"""Solids: what there is to print, mill and measure by for one build, each piece with the key of its inputs."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable
from typing import Any

import numpy as np

from foilwright.parts.job import Job, Made
from foilwright.parts.solids import box, coupons, fuselage, jigs, mast, plates, pod, read, wings
from foilwright.parts.solids.piece import Drawing, Piece, fit

__all__ = ["Piece", "make", "plan"]

DENSITIES = {
    "acrylic": 1190.0,
    "polycarbonate": 1200.0,
    "plywood": 680.0,
    "extruded foam": 35.0,
    "aluminium 5052": 2680.0,
}
"""Of what the book of strengths leaves out [kg/m^3] (data sheets, from memory)."""
INSULATION = 1.45
"""Diameter of a lead over that of its copper."""
THREE = 2.155
"""Diameter of a bundle of three over that of one."""
PADDING = 0.03
"""Least depth of a box [m]."""


def make(job: Job) -> list[Made]:
    """Make every solid of a build."""
    pieces, made = plan(job), []
    for number, piece in enumerate(pieces, 1):
        job.tell(f"solid {number} of {len(pieces)}: {piece.title}")
        made.append(piece.make())
    return made


def plan(job: Job) -> list[Piece]:
    """Return the pieces of a build, none of them drawn yet."""
    piece = functools.partial(_piece, job)
    out: list[Piece] = []
    printer = read.printer(job.state.craft)
    surfaces = surface_jobs(job)
    for name, one in surfaces.items():
        out += _surface(piece, name, one)
    strut = strut_job(job)
    out += _strut(piece, strut)
    out += _bar(piece, job, surfaces)
    out += _drive(piece, pod_job(job, strut))
    out += _dry(piece, job, printer)
    for name, one in surfaces.items():
        out += _measuring(piece, name, one)
    out.append(piece("mast-gauge", "Section gauge of the mast",
        "Shows where to sand or fill the mast; the same plate serves both sides.", jigs.gauges, jigs.GaugeJob(
            name="mast", section=strut.mast.section, chords=(("mast", strut.mast.chord),), both=False, printer=printer,
        )))  # fmt: skip
    out.append(piece("coupons", "Strength coupons of the prints",
        "Pulled and bent at home they tell what your printer's prints bear.", coupons.coupons,
        coupons.CouponJob(materials=_materials(job, surfaces, strut), printer=printer)))  # fmt: skip
    return out


def _piece(job: Job, name: str, title: str, purpose: str, draw: Callable[[Any], Drawing], inputs: Any) -> Piece:
    return Piece(name=name, title=title, purpose=purpose, draw=draw, inputs=inputs, folder=job.folder)


def _surface(piece: Callable[..., Piece], name: str, one: wings.WingJob) -> Iterable[Piece]:
    called, make = name.capitalize(), one.wing.make
    yield piece(f"{name}-shape", f"{called}, finished shape",
                "The skin that the answers are for: to mill, mould or measure by.", wings.finished, one)  # fmt: skip
    if make.printed:
        yield piece(f"{name}-print", f"{called}, printed lengths",
                    "The wing itself, glued up from lengths that fit the printer.", wings.printed, one)  # fmt: skip
    elif wings.core_height(one.wing) >= fit("core"):
        yield piece(f"{name}-core", f"{called}, printed core",
                    f"The core that {make.material} is laid over.", wings.core, one)  # fmt: skip


def _strut(piece: Callable[..., Piece], strut: mast.MastJob) -> Iterable[Piece]:
    make, base = strut.mast.make, strut.base
    plain = mast.MastJob(mast=strut.mast.unloaded(), base=base, printer=strut.printer)
    if make.printed:
        yield piece("mast-print", "Mast, printed lengths",
                    "The mast with flange, channels and the socket of the fuselage, in lengths that fit the printer.",
                    mast.printed, strut)  # fmt: skip
    elif make.kind == "laminate":
        yield piece("mast-shape", "Mast, finished shape", "For a plug, a mould or a milled core.", mast.finished, plain)
        flat, _ = wings.inside(strut.mast.section, 1.0 - make.fill)
        if make.fill < 1.0 and len(flat):
            yield piece(
                "mast-core", "Mast, printed core", f"The core that {make.material} is laid over.", mast.core, strut
            )
    with_mast = make.printed and base.make.printed and strut.printer.lies(base.length, base.width)
    if not with_mast:
        yield piece("flange", "Flange of the mast", f"Base plate of {base.make.material} between mast and board.",
                    plates.flange, plain)  # fmt: skip
    if base.washers == "plate":
        yield piece("spreaders", "Load-spreading plates", "Lie under the heads of the base's bolts, one for each row.",
                    plates.spreaders, plain)  # fmt: skip
    yield piece("base-jig", "Drilling jig of the base", "Guides the drill through insert and board where the bolts go.",
                jigs.base_jig, plain)  # fmt: skip


def _bar(piece: Callable[..., Piece], job: Job, surfaces: dict[str, wings.WingJob]) -> Iterable[Piece]:
    craft = job.state.craft
    f, wing = craft.fuselage, surfaces["wing"]
    own = read.plain(craft.structure.fuselage.names[0], standing=bool(craft.structure.fuselage_standing[0]))
    one = fuselage.FuselageJob(
        make=read.filled(own, float(f.fill[0])), diameter=float(f.diameter[0]), length=float(f.length[0]),
        arm=float(f.arm[0]), mast=float(craft.mast.x[0] - 0.5 * craft.mast.chord[0] - craft.wing.x[0]),
        socket=float(craft.structure.joints.socket[0]),
        mass=float(job.state.weights.masses.pieces["fuselage"].mass[0]), printer=wing.printer, wing=wing.wing,
        stabiliser=surfaces["stabiliser"].wing,
    )  # fmt: skip
    if own.printed:
        yield piece(
            "fuselage-print",
            "Fuselage, printed lengths",
            "The bar between the wings with a pocket for each, at the rigged angles.",
            fuselage.printed,
            one,
        )
    else:
        yield piece(
            "seats",
            "Seats of wing and stabiliser",
            f"Carry the wings on the fuselage of {own.material} at their rigged angles.",
            fuselage.seats,
            one,
        )


def pod_job(job: Job, strut: mast.MastJob) -> pod.PodJob:
    """Return housing, clamp, shaft and propeller of a build."""
    craft = job.state.craft
    d, p, joints = craft.drive, craft.pod, craft.structure.joints
    lead = 2.0 * float(np.sqrt(d.phase_area[0] / np.pi)) * INSULATION
    material = _text(job, "propeller.material")
    pin = float(d.pin_diameter[0])
    return pod.PodJob(
        mast=strut.mast.unloaded(), printer=strut.printer, make=read.plain(joints.mount.names[0]),
        diameter=float(p.diameter[0]),
        length=float(p.length[0]), x=float(p.x[0] - craft.mast.x[0]), behind=bool(p.behind[0]),
        bolts=int(joints.mount_bolts[0]), size=joints.mount_size[0], circle=float(joints.mount_circle[0]),
        lead=THREE * lead, propeller=float(d.diameter[0]), blades=int(d.blades[0]), hub=float(d.hub_diameter[0]),
        shaft=float(d.shaft_diameter[0]), pin=0.0 if np.isnan(pin) else pin,
        adapter=read.plain(material if material.startswith("printed") else "aluminium"),
        motor=float(d.motor_mass[0]),
    )  # fmt: skip


def strut_job(job: Job) -> mast.MastJob:
    """Return mast and flange of a build."""
    return mast.MastJob(mast=read.mast(job.state), base=read.base(job.state), printer=read.printer(job.state.craft))


def surface_jobs(job: Job) -> dict[str, wings.WingJob]:
    """Return wing and stabiliser of a build."""
    printer = read.printer(job.state.craft)
    return {name: wings.WingJob(wing=read.wing(job.state, name), printer=printer) for name in ("wing", "stabiliser")}


def _drive(piece: Callable[..., Piece], one: pod.PodJob) -> Iterable[Piece]:
    yield piece(
        "clamp",
        "Motor clamp and fairing",
        "Grips the mast at the height of the shaft and carries the motor; caps make it smooth.",
        pod.clamp,
        one,
    )
    yield piece(
        "adapter", "Adapter of the propeller's hub", "Sits on the shaft and carries the propeller.", pod.adapter, one
    )
    yield piece(
        "guard", "Guard of the propeller", "Keeps limbs, lines and weed from the tips of the blades.", pod.guard, one
    )


def box_job(job: Job, printer: read.Printer) -> box.BoxJob | None:
    """Return the box of a build; none where its lid is not stated."""
    b, board = job.state.craft.box, job.state.craft.board
    if np.isnan([b.lid_length[0], b.lid_width[0], b.lid_thickness[0]]).any():
        return None
    cord = b.seal[0] == "cord"
    thick = float(b.seal_thickness[0])
    deep = float(board.thickness[0] - b.floor[0] - b.lid_thickness[0] - job.state.craft.structure.laminate.pad[0])
    screws = b.fastening[0].startswith("screws")
    insert, long = (0.0 if np.isnan(v[0]) else float(v[0]) for v in (b.insert_diameter, b.insert_length))
    name, volume, mass = read.sealed(job.state.craft)
    return box.BoxJob(
        printer=printer, wall=_stuff(_text(job, "box.wall_material")), lid=_stuff(b.lid_material[0] or "acrylic"),
        lid_length=float(b.lid_length[0]), lid_width=float(b.lid_width[0]), lid_thickness=float(b.lid_thickness[0]),
        wall_thickness=float(job.state.craft.cooling.wall_thickness[0]), depth=max(deep, PADDING),
        channel=float(b.groove_width[0]) if cord else 1.1 * float(b.seal_width[0]),
        channel_depth=float(b.groove_depth[0]) if cord else thick * (1.0 - float(b.seal_squeeze[0])), cord=cord,
        screws=int(b.fastenings[0]) if screws and not np.isnan(b.fastenings[0]) else 0,
        through=b.fastening[0] == "screws through", insert=insert, insert_length=long,
        clearance=float(b.hole_clearance[0]), part=name, volume=volume, mass=mass,
    )  # fmt: skip


def _dry(piece: Callable[..., Piece], job: Job, printer: read.Printer) -> Iterable[Piece]:
    one = box_job(job, printer)
    if one is None:
        return
    yield piece("box", "Box", "Keeps pack, controller and receiver dry: tub with rim, channel of the seal and bosses.",
                box.tub, one)  # fmt: skip
    yield piece("lid", "Lid of the box", "Shuts the box; its holes meet those of the rim.", box.lid, one)
    if one.screws:
        yield piece("lid-jig", "Drilling jig of the lid", "Guides the drill through lid and rim where the screws go.",
                    jigs.lid_jig, one)  # fmt: skip


def _measuring(piece: Callable[..., Piece], name: str, one: wings.WingJob) -> Iterable[Piece]:
    wing = one.wing
    chords = tuple((label, round(wing.chord(share * 0.5 * wing.span), 5))
                   for label, share in zip(("root", "middle", "tip"), jigs.GAUGE_STATIONS, strict=True))  # fmt: skip
    inputs = jigs.GaugeJob(name=name, section=wing.section, chords=chords, both=not wing.section.startswith("naca00"),
                           printer=one.printer)  # fmt: skip
    yield piece(f"{name}-gauges", f"Section gauges of the {name}",
                "Show where to sand or fill at 10, 50 and 90 % of the half span.", jigs.gauges, inputs)  # fmt: skip
    yield piece(f"{name}-jig", f"Drilling jig of the {name}", "Guides the drill for the bolts through the root.",
                jigs.wing_jig, one)  # fmt: skip
    yield piece(f"{name}-cradle", f"Phone cradle of the {name}",
                "Holds a phone level when the wing stands at its rigged angle.", jigs.cradle, one)  # fmt: skip


def _materials(job: Job, surfaces: dict[str, wings.WingJob], strut: mast.MastJob) -> tuple[str, ...]:
    """Return the prints that carry load; where none does, what jigs and cores are printed from."""
    s = job.state.craft.structure
    names = [one.wing.make.material for one in surfaces.values()]
    names += [strut.mast.make.material, strut.base.make.material, s.fuselage.names[0], s.joints.mount.names[0]]
    found = tuple(dict.fromkeys(name for name in names if name.startswith("printed")))
    return found or (strut.printer.filament,)


def _text(job: Job, path: str) -> str:
    """Return a choice as written, or as assumed."""
    written = job.build.values.get(path)
    assumed = job.build.meta(path).default
    return str(written if written is not None else assumed.value if assumed is not None else "")


def _stuff(material: str) -> read.Make:
    """Return a part of a material of the book, or of a sheet that it leaves out."""
    if material in DENSITIES:
        kind = "wood" if material == "plywood" else "sheet"
        return read.Make(material=material, kind=kind, density=DENSITIES[material], fill=1.0, wall=0.0, infill=1.0,
                         pattern="rectilinear", standing=False)  # fmt: skip
    return read.plain(material)
