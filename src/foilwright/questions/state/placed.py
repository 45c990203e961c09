"""The same controller in every seat that it could have: how warm it gets, and when, in one batch."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array
from foilwright.craft import Craft
from foilwright.physics import heat
from foilwright.questions.state.heat import CONTROLLER, DRY, FULL, LONGEST, PLATES, RIDE, SEATS, heat_made, warm
from foilwright.questions.state.points import Points
from foilwright.questions.state.ride import RideState
from foilwright.questions.state.supply import SupplyState

T = TypeVar("T", bound=object)

LARGER = 2.0
"""How much larger the sink is in the row that asks whether a larger one helps."""
INSIDE = "closed box"


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One design in every seat (s,)."""

    seat: tuple[str, ...]
    sink: Array  # times the area and mass of the sink that is written
    own: npt.NDArray[np.bool_]  # whether it is the seat of the build
    controller: Array  # K, warmest in the ride
    full_throttle: Array  # s until the limit; ``LONGEST`` where it is not met
    dry_plate: Array  # s until the limit with the plate out of the water; NaN where there is no plate
    label_share: Array  # of the label's current that it holds for long
    limit: float  # K


def placed(craft: Craft, supply: SupplyState, points: Points, ride: RideState) -> Placed:
    """Return one design with its controller in every seat; areas and pads as they are written or assumed."""
    larger = bool(craft.cooling.sink_area[0] > 0.0)
    seats = (*SEATS, INSIDE) if larger else SEATS
    count = len(seats)
    sink = np.array([1.0] * len(SEATS) + [LARGER] * (len(seats) - len(SEATS)))
    cooling = _repeated(craft.cooling, count)
    wide = replace(
        craft, designs=count, water=_repeated(craft.water, count), drive=_repeated(craft.drive, count),
        pack=_repeated(craft.pack, count),
        cooling=replace(cooling, seat=seats, sink_area=sink * cooling.sink_area, sink_mass=sink * cooling.sink_mass),
    )  # fmt: skip
    made, time = (np.repeat(values, count, axis=0) for values in heat_made(craft, supply, points, ride))
    warmed = warm(wide, heat_made=made, time=time, flies=np.repeat(ride.flies, count, axis=0))
    plates = np.isin(seats, PLATES)
    return Placed(
        seat=seats, sink=sink, own=(np.array(seats) == craft.cooling.seat[0]) & (sink == 1.0),
        controller=warmed.temperature[:, RIDE, :, CONTROLLER].max(axis=1),
        full_throttle=np.where(warmed.met[:, FULL], warmed.to_limit[:, FULL], LONGEST),
        dry_plate=np.where(plates, np.where(warmed.met[:, DRY], warmed.to_limit[:, DRY], LONGEST), np.nan),
        label_share=np.array([float(heat.derated_current(label_current=1.0, seat=seat).value) for seat in seats]),
        limit=float(craft.cooling.limit[0]),
    )  # fmt: skip


def _repeated(block: T, count: int) -> T:
    """Return a block of one design as one of several that are alike."""
    values = {
        name: np.repeat(value, count, axis=0) if isinstance(value, np.ndarray) else value * count
        for name in block.__dataclass_fields__  # type: ignore[attr-defined]
        if isinstance(value := getattr(block, name), np.ndarray | tuple)
    }
    out: T = replace(block, **values)  # type: ignore[type-var]
    return out
