"""Strength of what is only drawn here: motor clamp, hub adapter, seats of the wings, guard; as findings of `hold`."""

from __future__ import annotations

import numpy as np

from foilwright.parts import solids
from foilwright.parts.job import Job
from foilwright.parts.solids import pod, read
from foilwright.parts.solids.fuselage import SEAT_LENGTH, SEAT_WALL
from foilwright.parts.solids.pod import CLAMP_BOLT, PodJob
from foilwright.physics import fatigue, joint, material
from foilwright.questions.afloat import MASS
from foilwright.questions.finding import Finding, Maker
from foilwright.questions.rise import THRUST
from foilwright.questions.state.structure.cases import HALF_LIFT
from foilwright.questions.state.structure.footing import FRICTION, MONTH, PRELOAD_SHARE
from foilwright.questions.state.structure.holding import ONE_SIDED
from foilwright.questions.state.structure.stuff import GAMMAS, KINDS_WHY, YIELD_SHEAR, bearing, kind

GRADE = "a2-70"
PROOF_STRESS = 450e6
"""Of that grade [Pa] (ISO 3506-1)."""
FACES = 0.15
"""Friction of clamp and mast, wet (judgement 0.1 to 0.2)."""
HEAD = 1.7
"""Head of a cylinder bolt over its thread (ISO 4762)."""
KNOCK = 100.0
"""Push on the rim of the guard along the shaft, as of a hand or a line [N] (judgement)."""
SPOKES = 2.0
"""Spokes that share it."""
POD = "pod.diameter pod.material mast.chord"


def findings(job: Job) -> list[Finding]:
    """Return what clamp, hub, seats and guard bear."""
    make = Maker(question="hold", designs=1)
    one = solids.pod_job(job, solids.strut_job(job))
    _clamp(make, job, one)
    _hub(make, job, one)
    for name, wing in solids.surface_jobs(job).items():
        _seat(make, job, name, wing.wing)
    _guard(make, one)
    return make.made


def _bears(name: str) -> dict[str, float]:
    """Return what a material of the book bears cold and wet, low end [Pa]: pulled along, sheared, pressed by a hole."""
    book = material.gather(names=(name,))
    what, left = kind(name), float(book.wet[0])
    pulled = float((book.proof if what == "metal" else book.tension_low)[0])
    sheared = pulled * YIELD_SHEAR if what == "metal" else float((book.shear * book.tension_low / book.tension)[0])
    return {"pull": pulled * left, "shear": sheared * left, "hole": float(bearing((name,)).hole[0]) * left,
            "gamma": GAMMAS[what]}  # fmt: skip


def _preload(name: str) -> float:
    """Return what one bolt of the clamp presses a month after it was tightened [N]."""
    bolt, soft = joint.fastener(sizes=(CLAMP_BOLT,), grades=(GRADE,)), bearing((name,))
    most = joint.most_preload(
        diameter=bolt.diameter, pitch=bolt.pitch, friction=np.asarray(FRICTION), proof_stress=np.asarray(PROOF_STRESS),
        share=PRELOAD_SHARE,
    )  # fmt: skip
    pressed = joint.washer_limit(pressure=soft.washer, washer=HEAD * bolt.diameter, hole=bolt.hole)
    left = fatigue.clamp_left(time=np.asarray(MONTH), kept=soft.kept, retightened=np.asarray(0.0))
    return float(np.min([most, pressed])) * float(np.asarray(left).reshape(-1)[0])


def _clamp(make: Maker, job: Job, one: PodJob) -> None:
    thrust = job.state.cases.thrust.max(axis=1)[:1]
    torque = job.state.points.point.torque[0].max()
    each, bolts = _preload(one.make.material), pod.clamp_bolts(one)
    make.add(
        "clamp.slip", name="Motor clamp, held on the mast by the friction of its faces alone", part="pod",
        place="on the mast", meaning="breaks", demand=thrust,
        capacity=joint.friction_grip(preload=np.array([each]), bolts=np.array(bolts), friction=np.array(FACES)),
        unit="N", required=1.0,
        required_why="friction in water is known to a factor of two; the slot, which fits the mast's section, holds"
        " beyond it", source="Thrust with its shock; clamp force a month after tightening",
        model=joint.friction_grip.name, inputs=f"{POD} loads.thrust_shock {THRUST}",
    )  # fmt: skip
    high = one.diameter
    opens = joint.opening_moment(
        preload=np.array([each * bolts]), area=np.array(high), section_modulus=np.array(high**2 / 6.0)
    )
    make.add(
        "clamp.opening", name="Motor clamp, its halves pried apart on the mast by the motor's torque", part="pod",
        place="on the mast", meaning="breaks", demand=np.array([torque]), capacity=opens, unit="N*m", required=0.5,
        required_why="a joint that opens once works itself loose", model=joint.opening_moment.name,
        source="Pressure over the height of the clamp stays on its faces", inputs=f"{POD} {THRUST}",
    )  # fmt: skip


def _hub(make: Maker, job: Job, one: PodJob) -> None:
    torque = np.array([job.state.points.point.torque[0].max()])
    book, pinned = _bears(one.adapter.material), one.pin > 0.0
    asks = joint.pinned_hub(
        torque=torque, pin=np.array(one.pin or 1.0), shaft=np.array(one.shaft), hub=np.array(2.0 * pod.boss(one))
    )
    pairs = [("twisted", float(asks.hub_shear[0]), book["shear"])]
    if pinned:
        pairs.append(("pressed by its pin", float(asks.hub_pressure[0]), book["hole"]))
    at = max(range(len(pairs)), key=lambda k: pairs[k][1] / pairs[k][2])
    make.add(
        "adapter", name="Adapter of the propeller's hub under the greatest torque", part="propeller",
        meaning="breaks", demand=np.array([pairs[at][1]]), capacity=np.array([pairs[at][2]]), unit="Pa",
        required=book["gamma"] * 1.5 - 1.0, required_why=f"{KINDS_WHY}; 1.5 for starts and weed",
        source="Cross pin under torque; without a pin a key or flat carries it, which is not reckoned",
        model=joint.pinned_hub.name, cases=tuple(name for name, _, _ in pairs), case=np.array([at]),
        inputs=f"propeller.material propeller.hub_diameter propeller.shaft_diameter propeller.pin_diameter {THRUST}",
    )  # fmt: skip


def _seat(make: Maker, job: Job, name: str, wing: read.Wing) -> None:
    """Add the pressure on the seat of a wing, or in its pocket, under its greatest load, uneven as hold takes it."""
    state, given = job.state, job.state.craft.structure.loads
    own = state.craft.structure.fuselage.names[0]
    tube = not own.startswith("printed")
    stuff = read.printer(state.craft).filament if tube else own
    wide = float(state.craft.fuselage.diameter[0])
    wide = max(wide + 2.0 * SEAT_WALL, wing.seat) if tube else wide
    weight = float(state.cases.weight[0])
    if name == "wing":
        push, lift = 0.0, float(given.touchdown[0]) * weight
        roll = (2.0 * float(given.uneven[0]) - 1.0) * lift * HALF_LIFT * 0.5 * wing.span
    else:
        push = float(given.stabiliser[0]) * weight
        roll = ONE_SIDED * push * wing.span
    pressed = joint.seat_pressure(
        force=np.array([push + 3.0 * roll / wide]), moment=np.array([roll]),
        length=np.array(SEAT_LENGTH * wing.chord(0.0)), width=np.array(wide),
    )  # fmt: skip
    book = _bears(stuff)
    make.add(
        f"seat.{name}", name=f"Seat of the {name}, pressed" if tube else f"Pocket of the {name}, pressed",
        part="fuselage", place="under the root", meaning="breaks", demand=np.atleast_1d(pressed),
        capacity=np.array([book["pull"]]), unit="Pa", required=book["gamma"] - 1.0, required_why=KINDS_WHY,
        source="One-sided load presses half of the seat, the bolts pull against it; a push of the stabiliser too",
        model=joint.seat_pressure.name,
        inputs=f"fuselage.diameter fuselage.material fixings.{name}_bolts loads.touchdown loads.uneven {name}.area"
        f" {name}.span {MASS}",
    )  # fmt: skip


def _guard(make: Maker, one: PodJob) -> None:
    long = pod.spoke(one)
    book = _bears(one.printer.filament)
    stress = KNOCK / SPOKES * long / (pod.SPOKE_WALL * pod.SPOKE_DEEP**2 / 6.0)
    make.add(
        "guard", name=f"Spokes of the guard, its rim pushed along the shaft with {KNOCK:.0f} N", part="propeller",
        place="where a spoke leaves the collar", meaning="breaks", demand=np.array([stress]),
        capacity=np.array([book["pull"]]), unit="Pa", required=book["gamma"] - 1.0,
        required_why=f"{KINDS_WHY}; it keeps limbs from the tips by being there, not by its strength",
        source="Cantilever, two spokes share the push (judgement); its drag is not in any answer",
        inputs="propeller.diameter pod.diameter workshop.filament",
    )  # fmt: skip
