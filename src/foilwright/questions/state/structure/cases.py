"""Load cases of the mast, computed from the craft: what acts where, and the moments at its stations.

Moments that a rider makes are capped by what a rider can apply: they do not fall with a shorter mast,
those of forces do.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core import solve
from foilwright.core.data import table
from foilwright.core.model import Array
from foilwright.core.shapes import column
from foilwright.craft import Craft
from foilwright.physics import beam
from foilwright.physics.water import GRAVITY
from foilwright.questions.state.drive import DriveState
from foilwright.questions.state.flight import Flight
from foilwright.questions.state.run import Run
from foilwright.questions.state.structure.compliance import Compliance
from foilwright.questions.state.weights import Weights

CASES = table("load_cases").texts["case"]
STEADY, STANDSTILL, TAKE_OFF, PITCH, SLIP, TURN, TOUCHDOWN, TWIST, CARRIED = range(len(CASES))
CYCLES: Array = table("load_cases").columns["cycles_an_hour"]
"""Reversals in an hour of riding."""
STATIONS = 5
DOWN: Array = np.linspace(0.0, 1.0, STATIONS)
"""Stations of the mast, share of its length below the board."""
SIDE = 0.3
"""Side force on the mast in a hard turn of 45 degrees, and in a touchdown, share of the weight (judgement)."""
SWAY, TRIM = 0.06, 0.15
"""How far a riding person's weight wanders, sideways and lengthways [m] (common practice, judgement)."""
FOLLOWS = 0.5
"""Share of the lift that bends the mast further as it gives: lift turns with the end of the mast (judgement)."""
HALF_LIFT = 4.0 / (3.0 * np.pi)
"""Middle of an elliptic lift of half a wing, share of the half span."""
RESTING = 0.2
"""Share of the weight that the mast carries while the board lies on the water."""
HUNG = ("mast", "wing", "stabiliser", "fuselage", "pod")
USUAL_GLIDE = 10.0
"""Weight over drag where it does not fly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cases:
    """What acts on the mast by case (n, cases), and (n,)."""

    side_foot: Array  # N, at the wing
    side_middle: Array  # N, in the middle of the wet part
    middle: Array  # (n,) m, below the board
    roll: Array  # N m, couple from the wing
    thrust: Array  # N, at the shaft
    shaft: Array  # (n,) m, below the board
    drag: Array  # N, at the wing
    pitch: Array  # N m, couple from fuselage and wing
    torque: Array  # N m, about the mast
    press: Array  # N, along the mast
    length: Array  # (n,) m
    weight: Array  # (n,) N, all of it
    rider: Array  # (n,) N
    hung_mass: Array  # (n,) kg, of what hangs below the board
    roll_cap: Array  # (n,) N m, what a rider can apply
    pitch_cap: Array

    def sideways(self, down: Array) -> Array:
        """Return the sideways moment at shares of the length below the board (n, cases, stations) [N m]."""
        place = self._place(down)
        middle, length = self.middle[:, None, None], self.length[:, None, None]
        return (
            self.side_foot[..., None] * (length - place)
            + self.side_middle[..., None] * np.maximum(middle - place, 0.0)
            + self.roll[..., None]
        )

    def lengthways(self, down: Array) -> Array:
        """Return the lengthways moment at shares of the length below the board (n, cases, stations) [N m]."""
        place = self._place(down)
        length, shaft = self.length[:, None, None], self.shaft[:, None, None]
        return (
            self.thrust[..., None] * np.maximum(shaft - place, 0.0)
            - self.drag[..., None] * (length - place)
            + self.pitch[..., None]
        )

    def shear(self, down: Array) -> tuple[Array, Array]:
        """Return the cross forces sideways and lengthways (n, cases, stations) [N]."""
        place = self._place(down)
        side = self.side_foot[..., None] + self.side_middle[..., None] * (place < self.middle[:, None, None])
        return side, self.thrust[..., None] * (place < self.shaft[:, None, None]) - self.drag[..., None]

    def _place(self, down: Array) -> Array:
        return (self.length[:, None] * down)[:, None, :]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Steady:
    """Straight flight where it loads the base most (n,)."""

    moment: Array  # N m, at the base
    thrust: Array  # N
    drag: Array  # N, of what is below the board


WHICH = {
    "steady": STEADY, "standstill": STANDSTILL, "take_off": TAKE_OFF, "pitch": PITCH, "slip": SLIP, "turn": TURN,
    "touchdown": TOUCHDOWN, "twist": TWIST, "carried": CARRIED,
}  # fmt: skip


def _of(**cases: Array) -> Array:
    """Return (n, cases), nothing where no case is named."""
    out = np.zeros((next(iter(cases.values())).size, len(CASES)))
    for name, values in cases.items():
        out[:, WHICH[name]] = values
    return out


def cases(craft: Craft, weights: Weights, drive: DriveState, run: Run, flight: Flight, held: Compliance) -> Cases:
    """Return the load cases of every design."""
    f, length = craft.structure.loads, craft.mast.length
    weight, rider = weights.total * GRAVITY, weights.rider * GRAVITY
    roll_cap, pitch_cap = f.dynamic * rider * f.roll_reach, f.dynamic * rider * f.pitch_reach
    shaft = np.clip(-craft.pod.z, 0.0, length)
    steady = _steady(craft, weights, flight, rider)
    couple = steady.moment - steady.thrust * shaft + steady.drag * length
    middle = length - 0.5 * np.minimum(craft.targets.wing_depth, length)
    heavy = weight / np.cos(f.bank)
    aside = SIDE * np.tan(f.bank) * weight
    grown = np.where(aside > 0.0, _grown(FOLLOWS * heavy / held.euler), 1.0)
    turn = np.minimum(aside * grown, roll_cap / middle)
    uneven = (2.0 * f.uneven - 1.0) * f.touchdown * weight * HALF_LIFT * 0.5 * craft.wing.span
    pitched = f.touchdown * np.abs(steady.moment)
    landed = 1.0 / np.maximum(np.hypot((SIDE * weight * length + uneven) / roll_cap, pitched / pitch_cap), 1.0)
    hung = np.sum([weights.masses.pieces[name].mass for name in HUNG], axis=0)
    end = hung - 0.5 * weights.masses.pieces["mast"].mass
    below = np.where(run.found, run.take_off_drag, 0.0)
    lifting = f.thrust_shock * np.where(run.found, run.take_off_thrust, run.least_thrust)
    return Cases(
        side_foot=_of(slip=roll_cap / length, touchdown=landed * SIDE * weight, carried=f.handling * GRAVITY * end),
        side_middle=_of(turn=turn), middle=middle, roll=_of(steady=rider * SWAY, touchdown=landed * uneven),
        thrust=_of(
            steady=steady.thrust, standstill=f.thrust_shock * drive.bollard, take_off=lifting, turn=steady.thrust,
            twist=steady.thrust,
        ),
        shaft=shaft, drag=_of(steady=steady.drag, take_off=below, turn=steady.drag, twist=steady.drag),
        pitch=_of(
            steady=couple, pitch=pitch_cap, turn=couple, twist=couple,
            touchdown=landed * pitched,
        ),
        torque=_of(
            turn=turn * (held.mast.shear_centre_x[:, 0] - 0.25 * craft.mast.chord),
            twist=f.yaw * weight * 0.25 * craft.wing.span,
        ),
        press=_of(
            steady=weight, standstill=RESTING * weight, take_off=weight, pitch=weight, slip=weight, turn=heavy,
            touchdown=f.touchdown * weight, twist=weight,
        ),
        length=length, weight=weight, rider=rider, hung_mass=hung, roll_cap=roll_cap, pitch_cap=pitch_cap,
    )  # fmt: skip


def _grown(share: Array) -> Array:
    """Return how side moments grow under thrust along the mast; infinite where it buckles: the cap rules."""
    grown = beam.magnification(thrust_share=share)
    return np.where(np.isnan(grown), np.inf, grown)


def _steady(craft: Craft, weights: Weights, flight: Flight, rider: Array) -> _Steady:
    """Return straight flight at the speed of the usable band that turns the base most: the weights above it."""
    masses = weights.masses
    below = np.sum([masses.pieces[name].mass for name in HUNG], axis=0)
    turned = np.sum([masses.pieces[name].mass * masses.pieces[name].x for name in HUNG], axis=0)
    base = craft.mast.x - 0.5 * craft.mast.chord
    above = GRAVITY * (masses.mass * masses.x - turned - (masses.mass - below) * base)
    moment = column(above) + column(rider) * (flight.place - column(base))
    inside = (flight.speeds >= column(flight.slow)) & (flight.speeds <= column(flight.fast))
    at = np.where(inside, np.abs(moment), -1.0).argmax(axis=1)
    found = inside.any(axis=1)
    usual = weights.total * GRAVITY / USUAL_GLIDE
    return _Steady(
        moment=np.where(found, solve.picked(moment, at), rider * TRIM),
        thrust=np.where(found, solve.picked(flight.thrust, at), usual),
        drag=np.where(found, solve.picked(flight.drag - flight.causes["air"], at), usual),
    )
