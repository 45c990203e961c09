"""Flange of the mast and the plates that spread its bolts' load."""

from __future__ import annotations

from foilwright.parts.solids import kernel
from foilwright.parts.solids.mast import MastJob, channels, flange_plate, section
from foilwright.parts.solids.piece import Body, Drawing, Printing, fit

PLATE_THICKNESS = 0.003
PLATE_WIDTH = 2.0
"""Width of a spreading plate over the diameter of a large washer: as the answers take it."""
TENON = 0.001
"""Gap round the mast in its slot for the weld or the glue [m]."""


def flange(job: MastJob) -> Drawing:
    """Draw the flange as a part of its own, with the slot that the mast stands in."""
    base, mast = job.base, job.mast
    plate = flange_plate(mast, base)
    if not mast.make.printed:
        slot = kernel.prism(section(mast, -1.0, grown=0.5 * TENON), (0.0, 0.0, 2.0), smooth=True)
        plate = kernel.cut(plate, slot)
    else:
        plate = kernel.cut(plate, *channels(mast))
    made = kernel.measure(plate)
    mass = made.volume * base.make.density
    printed = base.make.printed
    how = Printing(material=base.make.material, wall=0.003, infill=1.0, stands="flat") if printed else None
    size, n = base.size, base.bolts
    notes = [
        f"{n} {size} bolts, {base.pitch_x * 1e3:.0f} mm fore and aft, {base.pitch_y * 1e3:.0f} mm across.",
        "The mast stands in the slot: weld or glue it square, leading edge forward." if not mast.make.printed
        else "Rods or bar of the mast end in it.",
    ]  # fmt: skip
    if base.washers == "large":
        notes.append(f"Under the heads go bought washers of {base.washer * 1e3:.0f} mm; no part is made for them.")
    if base.washers == "none":
        notes.append(
            "The build has no washers: large ones are the cheapest way to keep the heads from pulling through."
        )
    return Drawing(bodies=(Body(name="flange", shape=plate, printing=how, mass=mass),),
                   numbers={"mass": mass, "volume": made.volume, "area": made.area}, notes=tuple(notes))  # fmt: skip


def spreaders(job: MastJob) -> Drawing:
    """Draw the two plates under the heads of the bolts."""
    base, x = job.base, -0.5 * job.mast.chord
    half = 0.5 * PLATE_WIDTH * base.washer
    half = min(half, 0.5 * base.pitch_y - 0.002)
    d, bodies, mass = fit(f"bolt hole {base.size}"), [], 0.0
    for name, side in (("left", 1.0), ("right", -1.0)):
        y = side * 0.5 * base.pitch_y
        end = 0.5 * base.pitch_x + half
        plate = kernel.round_block((x - end, y - half, 0.0), (x + end, y + half, PLATE_THICKNESS), 0.4 * half)
        holes = [kernel.cylinder((x + a, b, -0.1), (0.0, 0.0, 0.2), 0.5 * d) for a, b in base.holes() if b * side > 0.0]
        shape = kernel.cut(plate, *holes)
        mass += kernel.measure(shape).volume * STEEL
        bodies.append(Body(name=f"spreader-{name}", shape=shape))
    notes = ("Stainless steel, 3 mm: cut and drill from the STEP file, break the edges, bed them in sealant.",)
    return Drawing(bodies=tuple(bodies), numbers={"mass": mass, "volume": mass / STEEL}, notes=notes)


STEEL = 8000.0
