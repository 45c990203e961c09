"""Findings on wing, stabiliser, fuselage and the motor's mount."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array
from foilwright.physics import beam, fatigue, joint
from foilwright.questions.afloat import MASS
from foilwright.questions.finding import Maker
from foilwright.questions.hold.mast import BEAM, HEATS, sunlit
from foilwright.questions.rise import THRUST
from foilwright.questions.state import State
from foilwright.questions.state.structure.holding import FUSELAGE_CASES, WING_CASES, Bent
from foilwright.questions.state.structure.stuff import KINDS_WHY

TIPS = 0.10
"""Most deflection of a tip in straight flight, share of the half span (judgement)."""
MADE = ("area", "span", "taper", "section", "material", "print", "wall", "fill", "infill", "infill_pattern", "wrap")
FUSELAGE = "fuselage.diameter fuselage.material fuselage.fill fuselage.print factors.print_strength"


def findings(make: Maker, state: State) -> None:
    """Add the findings on what hangs below the mast."""
    speed = _fastest(state)
    for name in ("wing", "stabiliser"):
        _wing(make, state, name, speed)
    sunlit(
        make, "wings.sun", name="Wing, stabiliser and fuselage lying in the sun, below softening", part="wing",
        lit=state.sun.of("wings"),
        softens=np.minimum.reduce([state.stuffs[part].softens for part in ("wing", "stabiliser", "fuselage")]),
        inputs=f"sun.wings wing.material stabiliser.material fuselage.material laminate.post_cure {HEATS}",
    )  # fmt: skip
    _fuselage(make, state, speed)
    h = state.holding
    make.add(
        "motor.mount", name="Screws or inserts that hold the motor", part="pod", meaning="breaks", demand=h.mount,
        capacity=h.mount_bears, unit="N", required=np.where(state.craft.structure.joints.inserts, 3.0, 0.5),
        required_why="1.5 on screws, 4 on inserts in a print, whose hold is not known until it has been tried",
        source="Thrust and torque at full throttle over the screws; shear on the rim of inserts",
        model=joint.insert_pull_out.name,
        inputs=f"pod.mount pod.mount_size pod.mount_bolts pod.mount_circle pod.material loads.thrust_shock {THRUST}",
    )  # fmt: skip


def _fastest(state: State) -> Array:
    """Return the fastest speed that it flies or is meant to fly [m/s]."""
    f = state.flight
    return np.where(f.found, f.fast, f.cruise)


def _case(make: Maker, key: str, bent: Bent, cases: tuple[str, ...], name: str, part: str, inputs: str) -> None:
    used = bent.stress / bent.strength
    at = used.argmax(axis=1)
    rows = np.arange(make.designs)
    gamma = bent.gamma[rows, at] if bent.gamma.ndim == 2 else bent.gamma
    make.add(
        key, name=name, part=part, meaning="breaks", demand=bent.stress[rows, at], capacity=bent.strength[rows, at],
        unit="Pa", required=gamma - 1.0, required_why=KINDS_WHY, source=BEAM, model=beam.foil_section.name,
        inputs=inputs, cases=cases, case=at,
    )  # fmt: skip


def _wing(make: Maker, state: State, name: str, speed: Array) -> None:
    w = getattr(state.holding, name)
    made = " ".join([*(f"{name}.{field}" for field in MADE), "factors.print_strength"])
    asked = "loads.touchdown loads.uneven loads.bank" if name == "wing" else "loads.stabiliser"
    cases = WING_CASES if name == "wing" else ("greatest push",) * 2
    called = name.capitalize()
    _case(make, f"{name}.root", w.bent, cases, f"{called}, bent up at its root", name, f"{made} {asked} {MASS}")
    tired = w.tired
    make.add(
        f"{name}.fatigue", name=f"{called}, after the stated rides", part=name, meaning="breaks",
        demand=tired.stress[:, 0], capacity=tired.strength[:, 0], unit="Pa", required=0.5,
        required_why="the number of swings is known to a factor of three", source=BEAM, model=fatigue.goodman.name,
        inputs=f"{made} loads.rides {MASS} ride.leg",
    )  # fmt: skip
    make.add(
        f"{name}.tip", name=f"{called}, deflection of its tips in straight flight", part=name,
        meaning="stops", demand=w.deflection, capacity=TIPS * w.half, unit="m", required=0.25,
        required_why="tips that rise further lose lift and flutter their angle (judgement)", source=BEAM,
        model=beam.cantilever.name, inputs=f"{made} {MASS}",
    )  # fmt: skip
    make.add(
        f"{name}.divergence", name=f"{called}, speed at which lift twists it away", part=name,
        meaning="breaks", demand=speed, capacity=w.divergence, unit="m/s", required=0.3,
        required_why="15 % for a gust of speed, 12 % for the torsion of thin sections",
        source="Bisplinghoff, Ashley and Halfman 1955, sec. 8-2", model=beam.divergence.name,
        inputs=f"{made} targets.cruise_speed {THRUST}",
    )  # fmt: skip


def _fuselage(make: Maker, state: State, speed: Array) -> None:
    h = state.holding
    levers = "wing.ahead stabiliser.arm mast.chord loads.touchdown loads.stabiliser loads.uneven"
    _case(
        make, "fuselage.bending", h.fuselage, FUSELAGE_CASES, "Fuselage, bent where it leaves the mast", "fuselage",
        f"{FUSELAGE} {levers} {MASS}",
    )  # fmt: skip
    at = h.socket.argmax(axis=1)
    make.add(
        "fuselage.socket", name="Fuselage, pressed against its socket", part="fuselage", meaning="breaks",
        demand=h.socket[np.arange(make.designs), at], capacity=h.socket_bears, unit="Pa", required=1.0,
        required_why="2 on what a hole bears; never one bolt alone", source="Couple over 0.7 of the engagement",
        model=joint.socket.name, inputs=f"fuselage.socket {FUSELAGE} {levers} {MASS}", cases=FUSELAGE_CASES, case=at,
    )  # fmt: skip
    make.add(
        "fuselage.flex",
        name="Speed at which the bending of the fuselage takes half of the stabiliser's effect: a stiffer fuselage"
        " cures it, a larger stabiliser does not",
        part="fuselage", meaning="stops", demand=speed, capacity=h.half_speed, unit="m/s", required=0.5,
        required_why="two thirds of the stabiliser's effect must be left at the fast end, or stability is lost with"
        " speed", source="Cantilever from the mast to the stabiliser, linear lift", model=beam.round_bar.name,
        inputs=f"{FUSELAGE} stabiliser.arm mast.chord stabiliser.area targets.cruise_speed {THRUST}",
    )  # fmt: skip
