"""The moment of release: the hull's drag vanishes and the surplus thrust acts far below the rider."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array
from foilwright.core.shapes import column
from foilwright.craft import Craft
from foilwright.physics import balance, drive
from foilwright.questions.state.drive import DriveState
from foilwright.questions.state.run import Run
from foilwright.questions.state.weights import Weights

JUST_BEFORE = 0.95
"""Share of the take-off speed at which the hull still drags and the throttle is set for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Release:
    """At take-off; arrays (n,)."""

    before: Array  # N, thrust that the craft needs just before, hull and all
    needed: Array  # N, drag without the hull
    held: Array  # N, thrust that the rider's reach can hold down
    full: Array  # N, full throttle
    throttle: Array  # share of the duty limit that gives ``held``; NaN where it does not take off


def release(craft: Craft, weights: Weights, power: DriveState, run: Run) -> Release:
    """Return what the rider can hold at the release."""
    rows = np.arange(craft.designs)
    posture = weights.posture.astype(np.intp)
    speed = np.where(run.found, run.take_off, run.speeds[0])
    needed = run.take_off_drag
    reach = np.maximum(weights.forward[rows, posture] - run.take_off_place, 0.0)
    quick = np.minimum(reach, weights.quick + 0.5 * craft.rider.step)
    excess = balance.excess_held(
        reach=quick, thrust_height=craft.pod.z, craft_mass=weights.masses.mass, craft_height=weights.craft_z,
        rider_mass=weights.rider, rider_height=weights.deck,
    )  # fmt: skip
    before = np.maximum(needed, run.at_speed(np.maximum(JUST_BEFORE * speed, run.speeds[0])))
    full = np.where(run.found, run.take_off_thrust, 0.0)
    held = np.minimum(needed + np.asarray(excess), 10.0 * np.maximum(full, needed))
    point = drive.at_thrust(map=power.map, speed=column(speed), thrust=column(np.minimum(held, full)))
    throttle = np.where(run.found, np.where(held >= full, 1.0, point.duty[:, 0] / craft.drive.duty_limit), np.nan)
    return Release(before=before, needed=needed, held=held, full=full, throttle=np.minimum(throttle, 1.0))
