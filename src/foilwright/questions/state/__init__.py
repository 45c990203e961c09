"""State: each shared result of a craft, computed once; the questions read it and solve nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from functools import cached_property
from typing import Any, TypeVar

import numpy as np

from foilwright.assemble.drawn import Drawn, drawn
from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import water as water_physics
from foilwright.questions.state.charging import ChargeState, charge_state
from foilwright.questions.state.checks import Check, checks
from foilwright.questions.state.drive import DriveState, drive_state
from foilwright.questions.state.dryness import Dryness, dryness
from foilwright.questions.state.flight import Flight, flight
from foilwright.questions.state.floating import Floating, floating
from foilwright.questions.state.foils import Foils, foils
from foilwright.questions.state.heat import HeatState, heat_state
from foilwright.questions.state.link import Link, link
from foilwright.questions.state.loads import Loads, loads_state
from foilwright.questions.state.making import Making, making
from foilwright.questions.state.motions import Motions, motions
from foilwright.questions.state.network import LookState, look_state
from foilwright.questions.state.placed import Placed, placed
from foilwright.questions.state.points import Points, points
from foilwright.questions.state.release import Release, release
from foilwright.questions.state.ride import RideState, ride_state
from foilwright.questions.state.run import Run, run
from foilwright.questions.state.sealing import Sealing, sealing
from foilwright.questions.state.structure import (
    Bears,
    Cases,
    Compliance,
    Footing,
    Holding,
    Joining,
    MastStrength,
    SunState,
    cases,
    compliance,
    footing,
    holding,
    joining,
    mast_strength,
    stuffs,
    sun_state,
)
from foilwright.questions.state.supply import CellState, SupplyState, cell_state, supply_state
from foilwright.questions.state.weights import Weights, weights

__all__ = ["SPEEDS", "State"]

T = TypeVar("T")

SPEEDS: Array = np.concatenate([np.linspace(0.4, 6.4, 31), np.linspace(6.4, 15.0, 24)[1:]])
"""The speeds at which flight and drive are worked out [m/s]."""
RUN_SPEEDS: Array = SPEEDS[:40]
"""The speeds of the run: the first part, up to some 10 m/s."""


def _once(make: Callable[[Any], T]) -> cached_property[T]:
    """Return a member that is computed at first use, kept, and counted."""

    def member(self: State) -> T:
        self.computed[make.__name__] += 1
        return make(self)

    member.__doc__ = make.__doc__
    return cached_property(member)


class State:
    """The shared results of a craft, in the order in which one needs the other."""

    def __init__(self, craft: Craft) -> None:
        self.craft = craft
        self.computed: Counter[str] = Counter()

    @_once
    def water(self: State) -> water_physics.Water:
        """The water."""
        return water_physics.properties(temperature=self.craft.water.temperature, salinity=self.craft.water.salinity)

    @_once
    def weights(self: State) -> Weights:
        """Masses, centres, and where the rider's weight can be."""
        return weights(self.craft)

    @_once
    def floating(self: State) -> Floating:
        """The craft at rest."""
        return floating(self.craft, self.water, self.weights)

    @_once
    def drawn(self: State) -> tuple[Drawn, ...]:
        """The wiring as networks."""
        return drawn(self.craft)

    @_once
    def cells(self: State) -> CellState:
        """The cells of the pack."""
        return cell_state(self.craft)

    @_once
    def supply(self: State) -> SupplyState:
        """The pack as a source."""
        return supply_state(self.craft, self.weights, self.drawn, self.cells)

    @_once
    def sun(self: State) -> SunState:
        """The parts in the sun."""
        return sun_state(self.craft)

    @_once
    def stuffs(self: State) -> dict[str, Bears]:
        """What each part is made of and bears."""
        return stuffs(self.craft, self.sun)

    @_once
    def compliance(self: State) -> Compliance:
        """Sections and springs."""
        return compliance(self.craft, self.stuffs)

    @_once
    def drive(self: State) -> DriveState:
        """The drive over all speeds."""
        return drive_state(self.craft, self.water, self.weights, self.supply, SPEEDS)

    @_once
    def deep_foils(self: State) -> Foils:
        """Wing and stabiliser with the board on the water."""
        return foils(self.craft, self.water, self.craft.mast.length, RUN_SPEEDS, self.compliance.flex)

    @_once
    def run(self: State) -> Run:
        """The take-off run."""
        return run(self.craft, self.water, self.weights, self.deep_foils, self.drive, self.compliance.flex)

    @_once
    def foils(self: State) -> Foils:
        """Wing and stabiliser at the target depth of flight."""
        depth = np.minimum(self.craft.targets.wing_depth, self.craft.mast.length)
        return foils(self.craft, self.water, depth, SPEEDS, self.compliance.flex)

    @_once
    def flight(self: State) -> Flight:
        """Steady flight."""
        return flight(self.craft, self.water, self.weights, self.foils, self.drive, SPEEDS, self.compliance.flex)

    @_once
    def release(self: State) -> Release:
        """The moment at which the board leaves the water."""
        return release(self.craft, self.weights, self.drive, self.run)

    @_once
    def motions(self: State) -> Motions:
        """Flight under disturbance."""
        return motions(self.craft, self.water, self.weights, self.flight)

    @_once
    def points(self: State) -> Points:
        """Operating points of the drive."""
        return points(self.craft, self.water, self.supply, self.drive, self.run, self.flight)

    @_once
    def ride(self: State) -> RideState:
        """The ride through its legs."""
        return ride_state(self.craft, self.supply, self.drive, self.run, self.flight)

    @_once
    def dryness(self: State) -> Dryness:
        """The box under pressure."""
        return dryness(self.craft, self.water, self.weights, self.floating)

    @_once
    def sealing(self: State) -> Sealing:
        """What keeps the box shut."""
        return sealing(self.craft, self.dryness)

    @_once
    def link(self: State) -> Link:
        """The throttle's link."""
        return link(self.craft, self.floating)

    @_once
    def looks(self: State) -> LookState:
        """The drawn wiring looked at with every rule."""
        one = self.cells
        return look_state(self.craft, self.drawn, one.tables, np.asarray(one.limits.charge_end), one.resistance)

    @_once
    def checks(self: State) -> dict[str, Check]:
        """What the rules on the wiring come to."""
        return checks(self.craft.designs, self.looks)

    @_once
    def loads(self: State) -> Loads:
        """Currents of strings, contacts and leads."""
        return loads_state(self.craft, self.supply, self.points)

    @_once
    def cases(self: State) -> Cases:
        """Load cases of the mast."""
        return cases(self.craft, self.weights, self.drive, self.run, self.flight, self.compliance)

    @_once
    def mast(self: State) -> MastStrength:
        """Strength and stiffness of the mast."""
        ride = self.craft.ride.time.sum(axis=1)
        return mast_strength(self.craft, self.cases, self.stuffs, self.compliance, ride)

    @_once
    def footing(self: State) -> Footing:
        """Base of the mast and its insert."""
        return footing(self.craft, self.cases, self.stuffs, self.compliance, self.mast, self.weights.masses.mass)

    @_once
    def holding(self: State) -> Holding:
        """Wings, fuselage, motor mount and board."""
        ride, torque = self.craft.ride.time.sum(axis=1), self.points.point.torque[:, 0]
        return holding(self.craft, self.water, self.cases, self.stuffs, self.compliance, self.flight, torque, ride)

    @_once
    def joining(self: State) -> Joining:
        """Bolts, pegs and rods below the board."""
        return joining(self.craft, self.cases, self.stuffs, self.compliance)

    @_once
    def heat(self: State) -> HeatState:
        """Temperatures over the ride and at full throttle."""
        return heat_state(self.craft, self.supply, self.points, self.ride, self.loads)

    @_once
    def placed(self: State) -> Placed:
        """The controller of one design in every seat."""
        return placed(self.craft, self.supply, self.points, self.ride)

    @_once
    def charging(self: State) -> ChargeState:
        """Charging after the ride."""
        return charge_state(self.craft, self.supply, self.ride)

    @_once
    def making(self: State) -> Making:
        """What it takes to make it."""
        return making(self.craft, self.weights)
