"""The pod: clamp that holds the motor on the mast, its fairings, the propeller's adapter and its guard."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.parts.solids import kernel
from foilwright.parts.solids.kernel import Array, Shape
from foilwright.parts.solids.mast import section
from foilwright.parts.solids.piece import Body, Drawing, Printing, fit
from foilwright.parts.solids.read import Make, Mast, Printer
from foilwright.parts.solids.wings import PEG_DEPTH, peg_body

FULLNESS = 0.85
"""Volume of the housing over that of its cylinder: that of the answers."""
GRIP = 0.018
"""How far the clamp reaches ahead of and behind the mast [m]."""
CLAMP_BOLT = "M5"
SHELL = 0.003
"""Wall of a fairing round the motor [m]."""
LEAST_CAP = 0.012
GUARD_WALL, GUARD_LENGTH = 0.006, 0.30
"""Thickness of the guard [m], and its length over the radius of the propeller."""
SPOKES, SPOKE_WALL, SPOKE_DEEP = 4, 0.005, 0.016
HUB_SHARE = 0.6
"""Length of the adapter over the diameter of the hub."""
MOTOR_DENSITY = 3500.0
"""Mass of a motor over the cylinder about it [kg/m^3]: copper, iron and a third of air (judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PodJob:
    """Housing, shaft and propeller; x forward from the mast's leading edge, z up from the shaft."""

    mast: Mast
    printer: Printer
    make: Make  # what holds the motor
    diameter: float
    length: float
    x: float  # middle of the housing
    behind: bool  # propeller behind
    bolts: int
    size: str
    circle: float
    lead: float  # diameter of the bundle of phase leads
    propeller: float  # diameter
    blades: int
    hub: float
    shaft: float
    pin: float  # 0: none
    adapter: Make
    motor: float  # kg

    @property
    def left(self) -> float:
        """Return how long the housing is between clamp and propeller [m]."""
        return self.length - self.grip()[1]

    @property
    def motor_room(self) -> float:
        """Return the volume of the largest cylinder in the shell behind the clamp: the room of the motor [m^3]."""
        first = self.grip()[1]
        down = np.linspace(first, self.length, 201)
        inside = np.maximum(np.minimum.accumulate([self.radius(d) for d in down]) - SHELL, 0.0)
        return float(np.max(np.pi * inside**2 * (down - first)))

    @property
    def motor_volume(self) -> float:
        """Return the volume of the cylinder about a motor of this mass [m^3]."""
        return self.motor / MOTOR_DENSITY

    @property
    def front(self) -> float:
        """Return the end away from the propeller."""
        return self.x + (0.5 if self.behind else -0.5) * self.length

    @property
    def aft(self) -> float:
        """Return -1 where the propeller is behind, 1 where it is ahead: the way from the front to the propeller."""
        return -1.0 if self.behind else 1.0

    def profile(self) -> Array:
        """Return distance from the front and radius of the housing: rounded nose, cylinder, tapered tail."""
        r, long = 0.5 * self.diameter, self.length
        end = min(max(0.5 * self.hub, 0.35 * r), 0.95 * r)
        q = end / r
        lost = 1.0 - (1.0 + q + q * q) / 3.0
        tail = min(0.2 * long, 0.075 * long / lost)
        nose = min(3.0 * ((1.0 - FULLNESS) * long - lost * tail), 0.6 * long)
        t = np.linspace(0.0, 0.5 * np.pi, 17)
        rounded = np.column_stack([nose * (1.0 - np.cos(t)), r * np.sin(t)])
        return np.concatenate([rounded, [[long - tail, r], [long, end], [long, 0.0]]])

    def radius(self, down: float) -> float:
        """Return the radius at a distance from the front [m]."""
        p = self.profile()[:-1]
        return float(np.interp(down, p[:, 0], p[:, 1]))

    def grip(self) -> tuple[float, float]:
        """Return the distances from the front between which the clamp reaches."""
        lead, tail = (GRIP, self.mast.chord + GRIP)  # ahead of the edge, behind it
        ends = sorted([(x - self.front) * self.aft for x in (lead, -tail)])
        first = 0.0 if ends[0] < LEAST_CAP else ends[0]
        return first, min(ends[1], self.length)


def housing(job: PodJob) -> Shape:
    """Return the housing as the water meets it."""
    p = job.profile()
    x = job.front + job.aft * p[:, 0]
    return kernel.revolve(np.column_stack([x, p[:, 1]]))


def _between(job: PodJob, first: float, last: float) -> Shape:
    a, b = sorted([job.front + job.aft * first, job.front + job.aft * last])
    return kernel.box((a, -1.0, -1.0), (b, 1.0, 1.0))


def clamp(job: PodJob) -> Drawing:
    """Draw the two halves that grip the mast, and the caps ahead and behind."""
    whole = housing(job)
    first, last = job.grip()
    body = kernel.common(whole, _between(job, first, last))
    slot = kernel.prism(section(job.mast, -0.5, grown=fit("clamp")), (0.0, 0.0, 1.0), smooth=True)
    body = kernel.cut(body, slot, *_clamp_bolts(job), *_motor_holes(job, first, last))
    halves = [
        kernel.largest(kernel.common(body, kernel.box((-9.0, min(0.0, 9.0 * s), -9.0), (9.0, max(0.0, 9.0 * s), 9.0))))
        for s in (1.0, -1.0)
    ]
    how = None
    if job.make.printed:
        how = Printing(material=job.make.material, wall=0.003, infill=0.6,
                       stands="on the face between the halves: no support", support="")  # fmt: skip
    turns = [kernel.rotation((1.0, 0.0, 0.0), 0.5 * np.pi), kernel.rotation((1.0, 0.0, 0.0), -0.5 * np.pi)]
    bodies = [
        Body(name=f"clamp-{side}", shape=half, printing=how, turn=turn)
        for side, half, turn in zip(("left", "right"), halves, turns, strict=True)
    ]
    bodies += _caps(job, whole, first, last)
    made = kernel.measure(whole)
    craft = np.pi / 4.0 * job.diameter**2 * job.length * FULLNESS
    numbers = {
        "volume": made.volume, "craft_volume": craft, "area": made.area, "left": job.motor_room,
        "asked": job.motor_volume,
    }  # fmt: skip
    return Drawing(bodies=tuple(bodies), numbers=numbers, notes=_clamp_notes(job))


def _bolt_rows(job: PodJob) -> list[tuple[float, float, tuple[float, ...]]]:
    """Return place along, radius there and heights of the bolts ahead of the mast and behind it."""
    out: list[tuple[float, float, tuple[float, ...]]] = []
    for x in (0.5 * GRIP + 0.001, -job.mast.chord - 0.5 * GRIP - 0.001):
        r = job.radius((x - job.front) * job.aft)
        out.append((x, r, (0.45 * r, -0.45 * r) if r > 0.016 else (0.0,)))
    return out


def clamp_bolts(job: PodJob) -> int:
    """Return how many bolts draw the halves of the clamp together."""
    return sum(len(heights) for _, _, heights in _bolt_rows(job))


def _clamp_bolts(job: PodJob) -> list[Shape]:
    """Return the holes of the bolts that draw the halves together."""
    out, d = [], fit(f"bolt hole {CLAMP_BOLT}")
    for x, r, heights in _bolt_rows(job):
        for side in heights:
            y = 0.62 * float(np.sqrt(max(r * r - side * side, 0.0)))
            head = 0.0052
            out.append(kernel.cylinder((x, -0.5, side), (0.0, 1.0, 0.0), 0.5 * d))
            out += [
                kernel.cylinder((x, y, side), (0.0, 0.5, 0.0), head),
                kernel.cylinder((x, -y, side), (0.0, -0.5, 0.0), head),
            ]
    return out


def _motor_holes(job: PodJob, first: float, last: float) -> list[Shape]:
    """Return the screws of the motor in the face of the clamp, its centring, and the way of the leads to the mast."""
    del first
    face = job.front + job.aft * last
    deep = 0.022
    d = fit(f"bolt hole {job.size}")
    angles = 2.0 * np.pi * (np.arange(job.bolts) + 0.5) / job.bolts
    screws = [
        kernel.cylinder(
            (face, 0.5 * job.circle * np.sin(a), 0.5 * job.circle * np.cos(a)), (-job.aft * deep, 0.0, 0.0), 0.5 * d
        )
        for a in angles
    ]
    inner = min(0.5 * job.circle - 0.5 * d - 0.002, max(0.5 * job.lead, 0.5 * job.shaft))
    well = kernel.cylinder((face, 0.0, 0.0), (-job.aft * (GRIP + 0.03), 0.0, 0.0), max(inner, 0.003))
    return [*screws, well]


def _caps(job: PodJob, whole: Shape, first: float, last: float) -> list[Body]:
    """Return the nose ahead of the clamp and the shell round the motor behind it, where there is room."""
    how = Printing(material=job.printer.filament, wall=0.0016, infill=0.15, stands="on its flat face")
    out = []
    face = job.front + job.aft * first
    up = kernel.rotation((0.0, 1.0, 0.0), -job.aft * -0.5 * np.pi)
    if first > 0.0:
        nose = kernel.common(whole, _between(job, 0.0, first))
        plug = kernel.cylinder((face, 0.0, 0.0), (-job.aft * min(0.5 * first, 0.02), 0.0, 0.0), 0.3 * job.radius(first))
        out.append(Body(name="nose", shape=kernel.cut(nose, plug), printing=how, turn=up))
    if job.length - last > LEAST_CAP:
        whole_profile = job.profile()[:-1]
        down = np.array([last, *whole_profile[whole_profile[:, 0] > last + 1e-6, 0]])
        inner = np.array([max(job.radius(d) - SHELL, 0.004) for d in down])
        down[0], down[-1] = last - 0.01, job.length + 0.01
        ring = np.concatenate([[[down[0], 0.0]], np.column_stack([down, inner]), [[down[-1], 0.0]]])
        bore = kernel.revolve(np.column_stack([job.front + job.aft * ring[:, 0], ring[:, 1]]))
        tail = kernel.common(whole, _between(job, last, job.length))
        out.append(Body(name="tail", shape=kernel.cut(tail, bore), printing=how,
                        turn=kernel.rotation((0.0, 1.0, 0.0), job.aft * -0.5 * np.pi)))  # fmt: skip
    return out


def _clamp_notes(job: PodJob) -> tuple[str, ...]:
    where = "Behind" if job.behind else "Ahead of"
    out = [
        f"{where} the clamp {job.left * 1e3:.0f} mm of the housing are left; the largest motor that fits its shell "
        f"takes {job.motor_room * 1e3:.2f} L, one of this mass some {job.motor_volume * 1e3:.2f} L. "
        "pod.length and pod.ahead say where the housing is.",
        f"The motor sits on its {job.bolts} {job.size} screws in the face of the clamp, circle "
        f"{job.circle * 1e3:.0f} mm; its leads go through the middle into the mast: file the way in at the duct.",
    ]
    first, last = job.grip()
    for name, long in (("nose", first), ("tail", job.length - last)):
        if long > job.printer.z:
            out.append(
                f"The {name} stands {long * 1e3:.0f} mm high, longer than the {job.printer.z * 1e3:.0f} mm of the "
                "printer: cut it across in two, or have it printed on a taller one."
            )
    if job.make.printed:
        out.append("A print round a warm motor creeps: keep to the temperature that the answers name.")
    else:
        out.append(f"The clamp is {job.make.material}: mill it from the STEP file; nose and tail are printed.")
    return tuple(out)


# ---- propeller --------------------------------------------------------------


def boss(job: PodJob) -> float:
    """Return the radius of the adapter where the pin sits [m]."""
    return max(0.5 * job.shaft + 0.005, 0.275 * job.hub)


def adapter(job: PodJob) -> Drawing:
    """Draw the adapter between shaft and propeller."""
    r, long = 0.5 * job.hub, max(0.025, HUB_SHARE * job.hub)
    thick, plate = boss(job), 0.008
    shape = kernel.join(
        kernel.cylinder((0.0, 0.0, 0.0), (0.0, 0.0, plate), r),
        kernel.cylinder((0.0, 0.0, 0.0), (0.0, 0.0, long), thick),
    )
    bore = kernel.cylinder((0.0, 0.0, -0.1), (0.0, 0.0, 0.3), 0.5 * job.shaft + 0.00002)
    tools = [bore]
    if job.pin > 0.0:
        tools.append(kernel.cylinder((-0.2, 0.0, 0.5 * (plate + long)), (0.4, 0.0, 0.0), 0.5 * job.pin))
    circle = 0.5 * (r + thick)
    d = min(fit("bolt hole M5"), 1.2 * (r - thick))
    if r - thick > 0.005:
        angles = 2.0 * np.pi * np.arange(job.blades) / job.blades + 0.5
        tools += [
            kernel.cylinder((circle * np.cos(a), circle * np.sin(a), -0.1), (0.0, 0.0, 0.3), 0.5 * d) for a in angles
        ]
    shape = kernel.cut(shape, *tools)
    how = None
    if job.adapter.printed:
        how = Printing(material=job.adapter.material, wall=0.002, infill=1.0, stands="on its plate")
    mass = kernel.measure(shape).volume * job.adapter.density
    told = "a shear pin" if job.pin > 0.0 else "no pin: a key or a flat must carry the torque"
    notes = (
        f"Bore {job.shaft * 1e3:.0f} mm, {told}; drill pin and bolt holes to the propeller that you have.",
        "Turn it by hand in the guard before the first start. A propeller cuts; take the key out before you touch it."
        if job.adapter.printed else f"It is {job.adapter.material}: turned from the STEP file.",
    )  # fmt: skip
    return Drawing(bodies=(Body(name="adapter", shape=shape, printing=how, mass=mass),),
                   numbers={"mass": mass, "volume": mass / job.adapter.density}, notes=notes)  # fmt: skip


def collar(job: PodJob) -> float:
    """Return the inner radius of the guard's collar on the housing [m]."""
    return job.radius(job.length - 0.010) + 0.0003


def spoke(job: PodJob) -> float:
    """Return how long a spoke is between collar and rim [m]."""
    return 0.5 * job.propeller + fit("tip gap") - collar(job) - 0.006


def guard(job: PodJob) -> Drawing:
    """Draw the ring round the propeller on four spokes, in as many sectors as the bed asks for."""
    inner = 0.5 * job.propeller + fit("tip gap")
    outer, long = inner + GUARD_WALL, GUARD_LENGTH * 0.5 * job.propeller
    hub = collar(job)
    lip = np.array([[0.0, inner + 0.0015], [0.006, inner], [long, inner], [long, inner + 0.002], [long - 0.008, outer],
                    [0.008, outer], [0.0, inner + 0.0035]])  # fmt: skip
    seat = np.array([[0.0, hub], [0.018, hub], [0.018, hub + 0.006], [0.0, hub + 0.006]])
    shape = kernel.join(kernel.revolve(lip), kernel.revolve(seat))
    for k in range(SPOKES):
        reach = (hub + 0.003, inner + 0.002)
        bar = kernel.box((0.001, -0.5 * SPOKE_WALL, reach[0]), (0.001 + SPOKE_DEEP, 0.5 * SPOKE_WALL, reach[1]))
        shape = kernel.join(shape, kernel.placed(bar, turn=kernel.rotation((1.0, 0.0, 0.0), 0.5 * np.pi * k)))
    sectors = next((n for n in (1, 2, 4) if _sector_fits(job.printer, outer, n)), 4)
    places = [] if sectors == 1 else [np.pi / 4.0 + 2.0 * np.pi * k / sectors for k in range(sectors)]
    d, mid = 0.003, 0.5 * (inner + outer)
    for a in places:
        out = np.array([0.0, np.sin(a), np.cos(a)])
        along = np.array([0.0, np.cos(a), -np.sin(a)])
        for x in (0.3 * long, 0.7 * long):
            at = out * mid + np.array([x, 0.0, 0.0])
            shape = kernel.cut(
                shape, kernel.cylinder(at - along * PEG_DEPTH * d, along * 2.0 * PEG_DEPTH * d, 0.5 * d + fit("peg"))
            )
    up = kernel.rotation((0.0, 1.0, 0.0), -0.5 * np.pi)
    how = Printing(
        material=job.printer.filament, wall=0.002, infill=0.4, stands="on its forward rim: spokes on the bed"
    )
    bodies = [
        Body(
            name=f"guard-{k + 1}",
            shape=kernel.common(shape, _wedge(a, 2.0 * np.pi / sectors, outer)) if places else shape,
            printing=how,
            turn=up @ kernel.rotation((1.0, 0.0, 0.0), a + (np.pi / sectors if sectors > 1 else 0.0)),
        )
        for k, a in enumerate(places or [0.0])
    ]
    if places:
        bodies.append(peg_body("guard-peg", d, 2.0 * PEG_DEPTH * d - 0.001, job.printer.filament, 2 * sectors,
                               place=(0.5 * long, outer + 0.015, 0.0)))  # fmt: skip
    notes = (
        f"Gap at the tips {fit('tip gap') * 1e3:.0f} mm. Its drag is not in the answers; it keeps "
        "limbs and lines from the tips and is no cover for a running propeller.",
        *((f"In {sectors} sectors for the bed, two pegs at each joint, glued with epoxy.",) if places else ()),
    )
    volume = sum(kernel.measure(b.shape).volume * b.count for b in bodies)
    return Drawing(bodies=tuple(bodies), numbers={"volume": volume}, notes=notes)


def _sector_fits(printer: Printer, outer: float, sectors: int) -> bool:
    size = {1: (2.0 * outer, 2.0 * outer), 2: (2.0 * outer, outer), 4: (np.sqrt(2.0) * outer, outer)}[sectors]
    return printer.lies(*size)


def _wedge(start: float, angle: float, outer: float) -> Shape:
    """Return the sector about the x axis from one angle on."""
    far = 3.0 * outer
    t = start + np.linspace(0.0, angle, 9)
    points = np.column_stack([np.full(9, -far), far * np.sin(t), far * np.cos(t)])
    points = np.concatenate([[[-far, 0.0, 0.0]], points])
    return kernel.prism(points, (2.0 * far, 0.0, 0.0))
