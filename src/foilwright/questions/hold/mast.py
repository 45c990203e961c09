"""Findings on the mast: strength by case, fatigue, creep, joints, stiffness, heat, proof load."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array
from foilwright.physics import beam, fatigue, heat, material
from foilwright.questions.afloat import MASS
from foilwright.questions.finding import Beyond, Maker, used
from foilwright.questions.rise import THRUST
from foilwright.questions.state import State
from foilwright.questions.state.structure.cases import (
    CARRIED,
    CASES,
    DOWN,
    PITCH,
    SLIP,
    STANDSTILL,
    STEADY,
    TAKE_OFF,
    TOUCHDOWN,
    TURN,
    TWIST,
)
from foilwright.questions.state.structure.strength import PROOF, WEIGHT_PROOF, Flag, Uses
from foilwright.questions.state.structure.stuff import KINDS_WHY

STUFF = (
    "mast.section mast.chord mast.material mast.print mast.wall mast.fill mast.infill"
    " mast.infill_pattern mast.wrap mast.duct"
    " mast.rods mast.rod_diameter mast.plate_width mast.plate_thickness mast.rod_material laminate.material"
    " laminate.cloth factors.print_stiffness factors.print_strength"
)
RIDER = "rider.mass rider.kit_mass loads.dynamic"
AIR = "sun.air_temperature water.temperature"
HEATS = "sun.irradiance sun.air_temperature sun.wind"
BEAM = (
    "Composite section (Gere, Mechanics of Materials, ch. 6), load cases and factors as judged in data/load_cases.csv"
)
LENGTHWAYS, SIDEWAYS = (STEADY, STANDSTILL, TAKE_OFF, PITCH), (SLIP, TURN, TOUCHDOWN)
WORN = (STEADY, STANDSTILL, TAKE_OFF, PITCH, SLIP, TURN, TOUCHDOWN, TWIST)
PLACES = (
    "at the board", *(f"{100.0 * down:.0f} % down" for down in DOWN[1:-1]), "at the fuselage", "at the joint",
)  # fmt: skip
BOWS, SHOULD_BOW = 0.070, 0.040
"""Most deflection at the fuselage under ``WEIGHT_PROOF``, and what a good mast has [m] (judgement)."""
TURNS = np.radians(1.5)
"""Most twist of a mast while one half of the wing drags (judgement) [rad]."""
WEIGHTS = 3.0
"""Buckling load over the weight (judgement)."""
SOFT = 15.0
"""How far below softening a part must stay that lies in the sun [K]."""
FAULT = 1.25
"""Deflection over the expected one that shows a fault."""


def strength(make: Maker, state: State) -> None:
    """Add what the cases use of the mast."""
    m, s, known = state.mast, state.craft.structure, beyond(state)
    rider = f"{RIDER} loads.pitch_reach"

    def add(
        key: str, name: str, uses: Uses, cases: tuple[int, ...], inputs: str, *, model: str = beam.stresses.name,
        required: float | None = None, why: str = KINDS_WHY, applies: Flag | None = None,
        temperature: Array | None = None,
    ) -> None:  # fmt: skip
        worst = uses.worst(cases)
        make.add(
            f"mast.{key}", name=name, part="mast", meaning="breaks", demand=worst.stress, capacity=worst.strength,
            unit="Pa", required=worst.needed if required is None else required, required_why=why, source=BEAM,
            model=model, inputs=f"{STUFF} {MASS} {inputs}", case=worst.case,
            cases=tuple(f"{CASES[case]}, {place}" for case in cases for place in PLACES), applies=applies,
            temperature=temperature, beyond=known,
        )  # fmt: skip

    add(
        "fore_aft", "Mast, bent lengthways", m.uses, LENGTHWAYS,
        f"{rider} {THRUST} mast.length pod.above_wing loads.thrust_shock {AIR}",
    )  # fmt: skip
    add(
        "sideways", "Mast, bent sideways", m.uses, SIDEWAYS,
        f"{RIDER} loads.roll_reach mast.length loads.bank loads.touchdown loads.uneven wing.span targets.wing_depth"
        f" {AIR}",
    )  # fmt: skip
    add(
        "torsion", "Mast, twisted while one half of the wing drags", m.uses, (TWIST,), f"loads.yaw wing.span {AIR}",
    )  # fmt: skip
    add(
        "carried", "Mast, carried by its end as hot as the sun makes it", m.uses, (CARRIED,),
        f"mast.length loads.handling {HEATS} sun.mast", temperature=state.sun.of("mast"),
    )  # fmt: skip
    add(
        "fatigue", "Mast, after the stated rides", m.tired, WORN,
        f"{rider} loads.roll_reach loads.rides loads.bank loads.touchdown mast.length water.kind {THRUST} ride.leg",
        model=fatigue.life_share.name, required=0.5,
        why="the number of swings is known to a factor of three, and cases add up",
    )  # fmt: skip
    add(
        "creep", "Mast, under straight flight as long as a ride lasts", m.crept, (STEADY,), "ride.leg",
        model=fatigue.creep_strength.name, applies=~state.stuffs["mast"].is_metal,
    )  # fmt: skip
    add(
        "joint", "Joint of the mast nearest to the board", m.joint, WORN,
        f"{rider} loads.roll_reach mast.pieces mast.joint mast.length {THRUST}", applies=s.joints.pieces > 1.0,
    )  # fmt: skip


def beyond(state: State) -> tuple[Beyond, ...]:
    """Return what the models of sections and materials say about the values they were used at."""
    s, inside = state.craft.structure, state.compliance.inside
    return (
        Beyond(
            model=beam.foil_section.name,
            variable="what runs inside over the room there",
            value=inside.thick / inside.room,
            low=0.0,
            high=1.0,
            means="a rod, bar or duct thicker than the mast leaves no section whose strength could be computed",
            decides=True,
        ),
        *used(beam.foil_section, wrap_share=s.mast.wrap * state.compliance.ply / state.craft.mast.chord),
        *used(material.at_temperature, temperature=state.sun.riding),
    )


def sunlit(make: Maker, key: str, *, name: str, part: str, lit: Array, softens: Array, inputs: str) -> None:
    """Add a finding on a part that may lie in the sun."""
    soft = np.isfinite(softens)
    make.add(
        key, name=name, part=part, meaning="breaks", kind="difference", scale=20.0, demand=lit,
        capacity=np.where(soft, softens, 1e3), unit="K", required=SOFT,
        required_why="a part sags or creeps some way below its deflection temperature; colours fade and get dirty",
        source="Sun, film and sky: Churchill and Chu 1975, Swinbank 1963; deflection temperatures of the book",
        model=heat.sunlit_temperature.name, inputs=inputs, applies=soft, temperature=lit,
    )  # fmt: skip


def stiffness(make: Maker, state: State) -> None:
    """Add how far the mast gives, whether it buckles, and whether it may lie in the sun."""
    m, held, n = state.mast, state.compliance, state.craft.designs
    make.add(
        "mast.deflection", name=f"Deflection at the fuselage for {WEIGHT_PROOF:.0f} N from the side", part="mast",
        meaning="stops", demand=m.deflection, capacity=np.full(n, BOWS), unit="m", required=BOWS / SHOULD_BOW - 1.0,
        required_why="a mast that bows more than 40 mm feels vague, more than 70 mm sways with the rider (judgement)",
        source=BEAM, model=beam.cantilever.name, inputs=f"{STUFF} mast.length base.insert base.material",
        beyond=beyond(state),
    )  # fmt: skip
    make.add(
        "mast.twist", name="Twist while one half of the wing drags", part="mast", meaning="stops", demand=m.twist,
        capacity=np.full(n, TURNS), unit="rad", required=0.15,
        required_why="the torsion of thin sections is known to some 12 %", source=BEAM, model=beam.foil_section.name,
        inputs=f"{STUFF} mast.length loads.yaw wing.span {MASS}", beyond=beyond(state),
    )  # fmt: skip
    make.add(
        "mast.buckling", name="Buckling load of the mast against the weight on it", part="mast", meaning="breaks",
        demand=state.cases.weight, capacity=held.euler, unit="N", required=WEIGHTS - 1.0,
        required_why="side loads grow as the weight nears the buckling load, and a touchdown trebles the weight",
        source="Euler 1744, with the spring of the base in line", model=beam.euler_load.name,
        inputs=f"{STUFF} mast.length base.insert base.material {MASS}", beyond=beyond(state),
    )  # fmt: skip
    inside = held.inside
    make.add(
        "mast.room", name="Room inside the mast for what runs along it", part="mast", meaning="stops",
        demand=inside.thick, capacity=inside.room, unit="m", required=0.1, required_why="a fit needs a little play",
        source="Thickness of the section less its wall", model=beam.room.name,
        inputs="mast.section mast.chord mast.wall mast.fill mast.rods mast.rod_diameter mast.plate_thickness mast.duct",
        case=inside.is_duct.astype(np.intp), cases=("rods or flat bar", "duct for the leads"),
        applies=inside.thick > 0.0,
    )  # fmt: skip
    sunlit(
        make, "mast.sun", name="Mast and base lying in the sun, below softening", part="mast", lit=state.sun.of("mast"),
        softens=np.minimum(state.stuffs["mast"].softens, state.stuffs["base"].softens),
        inputs=f"sun.mast mast.material base.material laminate.post_cure {HEATS}",
    )  # fmt: skip


def proof(make: Maker, state: State) -> None:
    """Add the load to hang on mast and base before the first ride, and the deflection to expect."""
    m, c = state.mast, state.cases
    inputs = f"{STUFF} {RIDER} loads.roll_reach mast.length base.insert base.thickness base.material"
    tried = f"{PROOF:g} times the side slip; hang it slowly, board clamped on edge, nobody below; listen for cracks"
    gives = np.minimum(m.sideways, 1.0 / np.maximum(state.footing.side_use, 1e-12)) / c.length
    make.add(
        "proof.load", name="Proof load hung sideways on the end of the mast", part="mast", meaning="breaks",
        demand=m.proof, capacity=gives, unit="N", required=0.0, required_why=tried, source=BEAM,
        model=beam.stresses.name, inputs=inputs, beyond=beyond(state),
    )  # fmt: skip
    make.add(
        "proof.deflection", name="Deflection to expect under the proof load, and the one that shows a fault",
        part="mast", meaning="annoys", demand=m.proof_deflection, capacity=FAULT * m.proof_deflection, unit="m",
        required=0.0, required_why="a part that gives a quarter more than computed is not as it was drawn", source=BEAM,
        model=beam.cantilever.name, inputs=inputs, beyond=beyond(state),
    )  # fmt: skip
