"""Strength coupons: bars to pull and to bend, lying and standing, from every print that carries load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.parts.solids import kernel
from foilwright.parts.solids.kernel import Shape
from foilwright.parts.solids.piece import Body, Drawing, Printing
from foilwright.parts.solids.read import Printer

TENSION = {"length": 0.170, "gauge": 0.080, "end_width": 0.020, "width": 0.010, "radius": 0.024, "thickness": 0.004}
"""Bar of ISO 527-2 type 1A [m] (from memory)."""
SHORT = {"length": 0.075, "gauge": 0.030, "end_width": 0.010, "width": 0.005, "radius": 0.030, "thickness": 0.004}
"""Bar of ISO 527-2 type 1BA, twice as thick, for a low printer [m] (from memory)."""
BEND = (0.080, 0.010, 0.004)
"""Bar of ISO 178 [m] (from memory)."""
EACH = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class CouponJob:
    """What coupons are made of, and on which printer."""

    materials: tuple[str, ...]
    printer: Printer


def bar(sizes: dict[str, float]) -> Shape:
    """Return a bar to pull: wide ends, narrow middle, arcs between; it lies along x."""
    half, wide, narrow, r = 0.5 * sizes["gauge"], 0.5 * sizes["end_width"], 0.5 * sizes["width"], sizes["radius"]
    run = float(np.sqrt(r * r - (r - (wide - narrow)) ** 2))
    x = np.linspace(0.0, run, 13)
    arc = np.column_stack([half + x, narrow + r - np.sqrt(r * r - x * x)])
    quarter = np.concatenate([arc, [[0.5 * sizes["length"], wide]]])
    up = np.concatenate([quarter[::-1], quarter * [-1.0, 1.0]])
    ring = np.concatenate([up, (up * [1.0, -1.0])[::-1]])
    return kernel.prism(np.column_stack([ring, np.zeros(len(ring))]), (0.0, 0.0, sizes["thickness"]))


def coupons(job: CouponJob) -> Drawing:
    """Draw coupons of each material, lying and standing."""
    p = job.printer
    tall = TENSION if p.z > TENSION["length"] + 0.002 else SHORT
    flat = TENSION if p.lies(TENSION["length"], TENSION["end_width"]) else SHORT
    bodies = []
    up = kernel.rotation((0.0, 1.0, 0.0), -0.5 * np.pi)
    for k, material in enumerate(job.materials):
        name = material.removeprefix("printed ").replace(" ", "-")
        lying = Printing(material=material, infill=1.0, stands="lying: pulled along its layers")
        standing = Printing(
            material=material, infill=1.0, stands="standing: pulled across its layers", support="a wide brim"
        )
        y = -0.12 * k
        bend = kernel.box((-0.5 * BEND[0], 0.0, 0.0), (0.5 * BEND[0], BEND[1], BEND[2]))
        bodies += [
            Body(
                name=f"coupon-{name}-along",
                shape=kernel.placed(bar(flat), move=(0.0, y, 0.0)),
                printing=lying,
                count=EACH,
            ),
            Body(
                name=f"coupon-{name}-across",
                shape=kernel.placed(bar(tall), move=(0.0, y - 0.03, 0.0)),
                printing=standing,
                turn=up,
                count=EACH,
            ),
            Body(
                name=f"coupon-{name}-bend",
                shape=kernel.placed(bend, move=(0.0, y - 0.06, 0.0)),
                printing=lying,
                count=EACH,
            ),
        ]
    area = tall["width"] * tall["thickness"], flat["width"] * flat["thickness"]
    notes = (
        f"Pull five of each, dry and at room temperature; strength is force over {area[1] * 1e6:.0f} mm^2 along and "
        f"{area[0] * 1e6:.0f} mm^2 across. The lowest of five, not the mean, goes into measured.print_along and "
        "measured.print_across.",
        "Print them with the nozzle, layer and spool of the part, from the same reel on the same day.",
    )
    return Drawing(bodies=tuple(bodies), notes=notes, numbers={"section": area[1]})
