"""`afloat`: does it carry the rider at rest, how does it sit, and what if it floods or turns over?"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foilwright.physics import hydrostatics, resistance, water
from foilwright.questions.finding import Beyond, Finding, Maker, used
from foilwright.questions.state import State
from foilwright.questions.state.weights import POSTURES
from foilwright.shape import board as hull

HULL = (
    "board.length board.width board.thickness board.tail_width board.nose_width board.wide_point board.nose_rocker"
    " board.rocker_start board.nose_thickness board.rail_radius"
)
MASS = (
    "rider.mass rider.kit_mass board.foam_density board.skin_mass board.not_thought_of pack.series pack.parallel"
    " cell.mass pack.packaging part"
)
HYDROSTATICS = "Archimedes; integration of the real stations (Biran and Lopez-Pulido 2014)"
OWN_RULE = "our own rule, shaped like 33 CFR 183.105; no small-craft standard covers such a board"
PADDLE_SPEED, PADDLE_POWER = 0.9, 35.0
"""A lying rider's paddling: speed [m/s] and lasting power on the water [W] (common practice)."""
TRIMMED = np.radians(6.0)
WOBBLY = np.radians(15.0)
AFLOAT = 0.95
"""Waterline over the length of the board."""
WAVE_SHARE = 0.25
"""Share of the chop that the lowest deck edge should stand clear."""


class Afloat:
    """The craft at rest."""

    name = "afloat"
    asks = "Does it carry the rider at rest, how does it sit, and what if it floods or turns over?"

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        make = Maker(question=self.name, designs=state.craft.designs)
        _volume(make, state)
        _sitting(make, state)
        _stability(make, state)
        _flooded(make, state)
        _recovery(make, state)
        return make.made


def outline(state: State) -> tuple[Beyond, ...]:
    """Return what says that the measures of the board contradict each other."""
    possible = state.weights.masses.stations.possible
    return (
        Beyond(
            model="board.stations", variable="outline", value=np.where(possible, 1.0, 0.0), low=0.5, high=1.5,
            means="the measures of the board contradict each other (a tail or nose wider than the board, or similar)",
            decides=True, voids=True,
        ),
        *used(water.properties, temperature=state.craft.water.temperature, salinity=state.craft.water.salinity),
    )  # fmt: skip


def waves(state: State) -> tuple[Beyond, ...]:
    """Return whether the board is so narrow that its waves are not known."""
    narrow = hull.mean_beam(stations=state.weights.masses.stations, length=0.5 * state.craft.board.length)
    return tuple(
        replace(each, decides=True, voids=True)
        for each in used(resistance.patch_wave_coefficient, beam_ratio=narrow / (AFLOAT * state.craft.board.length))
    )


def _volume(make: Maker, state: State) -> None:
    w = state.weights
    make.add(
        "volume", name="Volume against the mass it carries", part="board", meaning="stops",
        demand=w.total / state.water.density, capacity=w.masses.hull_volume + w.hung_volume, unit="m^3",
        required=0.06,
        required_why="below it a board is awash and only a practised rider starts; home boards gain mass",
        source=HYDROSTATICS, model="board.volume", inputs=f"{HULL} {MASS}", beyond=outline(state),
    )  # fmt: skip


def _sitting(make: Maker, state: State) -> None:
    rest = state.floating.rest
    chop = state.craft.water.chop
    for k, posture in enumerate(POSTURES[:2]):
        make.add(
            f"freeboard.{posture}", name=f"Lowest deck edge above the water, rider {posture}", part="board",
            meaning="annoys", kind="difference", scale=0.05, demand=np.zeros_like(chop),
            capacity=np.where(rest.found[:, k], rest.freeboard[:, k], -0.05), unit="m",
            required=WAVE_SHARE * chop,
            required_why="the deck edge stands clear of a quarter of the chop at rest",
            source=HYDROSTATICS, model=hydrostatics.rest.name,
            inputs=f"{HULL} {MASS} rider.{posture}_from rider.{posture}_to water.chop",
            beyond=outline(state),
        )  # fmt: skip
    trim = np.where(rest.found, np.abs(rest.trim), np.radians(20.0))[:, 0]
    make.add(
        "trim", name="Trim at rest, rider lying at the best place", part="board", place="nose or tail",
        meaning="annoys",
        kind="difference", scale=np.radians(3.0), demand=trim, capacity=np.full_like(trim, TRIMMED), unit="rad",
        required=np.radians(1.0), required_why="more than this and nose or tail goes under while paddling",
        source=HYDROSTATICS, model=hydrostatics.rest.name,
        inputs=f"{HULL} {MASS} rider.prone_from rider.prone_to pack.x",
        beyond=outline(state),
    )  # fmt: skip


def _stability(make: Maker, state: State) -> None:
    f = state.floating
    heel = f.heel
    none = np.isnan(heel)
    make.add(
        "heel", name="Heel for 5 cm of foot pressure off the middle, standing still", part="board", meaning="annoys",
        kind="difference", scale=np.radians(5.0), demand=np.where(none, WOBBLY, heel),
        capacity=np.full_like(heel, WOBBLY), unit="rad", required=np.radians(3.0), no_solution=none,
        sought="a heel at which the board rights itself under a standing rider",
        required_why="up to 6 degrees is steady, above 15 hard to stand on without way (estimate)",
        source="Metacentric theory with the rider's weight at the deck, since the rider balances over the feet",
        model="stability.rider_balance", inputs=f"{HULL} {MASS} pack.z mast.length wing.fill", beyond=outline(state),
    )  # fmt: skip
    gm = f.lying_gm
    lost = np.isnan(gm)
    make.add(
        "lying", name="Metacentric height with the rider lying", part="board", meaning="annoys", kind="difference",
        scale=0.05, demand=np.zeros_like(gm), capacity=np.where(lost, -0.05, gm), unit="m", required=0.05,
        required_why="a lying rider must not have to balance", source="Metacentric theory, rigid rider",
        model="stability.rider_balance", inputs=f"{HULL} {MASS} rider.height pack.z mast.length wing.fill",
        beyond=outline(state),
    )  # fmt: skip


def _flooded(make: Maker, state: State) -> None:
    f = state.floating
    cases = ("every box in the hull full of water", "every box full and water in the foam")
    left = np.stack([f.boxes_flooded, f.all_wet])
    make.add(
        "flooded", name="Buoyancy left when flooded, rider in the water", part="board", meaning="hurts",
        demand=f.needed, capacity=left.min(axis=0), unit="N", required=0.25,
        required_why="a quarter for what is not known of foam and leaks", source=OWN_RULE,
        model="stability.flotation", inputs=f"{HULL} {MASS} board.foam_uptake pack.packaging", cases=cases,
        case=left.argmin(axis=0), beyond=outline(state),
    )  # fmt: skip


def _recovery(make: Maker, state: State) -> None:
    r = state.floating.righting
    make.add(
        "righting", name="Turning the capsized board over alone", part="board", meaning="hurts", demand=r.needed,
        capacity=r.available, unit="N*m", required=0.25,
        required_why="a tired rider in cold water has less than a fresh one",
        source="Righting arm of the inverted hull; what a swimmer applies is an estimate", model="stability.righting",
        inputs=f"{HULL} {MASS} mast.length pack.z wing.area wing.span wing.fill", no_solution=~np.asarray(r.found),
        sought="a capsized board that floats", beyond=outline(state),
    )  # fmt: skip
    drag = state.run.at_speed(np.full(state.craft.designs, PADDLE_SPEED))
    make.add(
        "paddle", name="Power to paddle home lying, at walking pace", part="board", meaning="annoys",
        demand=drag * PADDLE_SPEED, capacity=np.full_like(drag, PADDLE_POWER), unit="W", required=0.0,
        required_why="what a rider keeps up with the arms (common practice)",
        source="Resistance of the run at 3.2 km/h; common practice for the arms", model="resistance.board",
        inputs=f"{HULL} {MASS} mast.length mast.chord wing.area stabiliser.area fuselage.diameter water.chop",
        beyond=(*outline(state), *waves(state)),
    )  # fmt: skip
