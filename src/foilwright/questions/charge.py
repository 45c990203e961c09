"""`charge`: can it be charged, kept and carried soundly?"""

from __future__ import annotations

import numpy as np

from foilwright.questions.finding import Finding, Maker
from foilwright.questions.state import State
from foilwright.questions.state.charging import FULL, rules

CELLS = "cell.kind cell.capacity pack.series pack.parallel"
CURVES = "Constant current, then constant voltage, on open cell models"
PRACTICE = "Common practice; the rules of the place go first"
CAUTION = (
    "Charge it dry and sound, out of the box, on stone, someone awake beside it. After a wet box or a knock: outdoors,"
    " away from what burns, for days, and not charged. A module that falls in voltage by itself, warms at rest, swells"
    " or smells is failing: out of use, to a collection point. The rules of the place go first."
)
"""What is said beside every answer."""


class Charge:
    """Charging, keeping and carrying."""

    name = "charge"
    asks = "Can it be charged, kept and carried soundly: charger, time, balance, cold, storage, a failing pack?"

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        make = Maker(question=self.name, designs=state.craft.designs)
        _charger(make, state)
        _cells(make, state)
        _times(make, state)
        _keeping(make, state)
        return make.made


def _charger(make: Maker, state: State) -> None:
    c, s = state.craft.charger, state.charging
    full = s.match.full_voltage
    make.add(
        "voltage", name="Voltage of the charger against that of the full pack", part="charger", meaning="burns",
        demand=np.nan_to_num(c.voltage), capacity=full * 1.005, unit="V", required=0.0,
        required_why="half a percent is how well a charger holds its voltage; above it cells are overcharged",
        source="Charge end of the cell kind times cells in series", model="charging.match",
        inputs="charger.voltage pack.series cell.kind", missing="charger.voltage", is_missing=np.isnan(c.voltage),
    )  # fmt: skip
    make.add(
        "fills", name="Voltage that a full charge needs against the charger's", part="charger", meaning="annoys",
        demand=full * 0.97, capacity=np.nan_to_num(c.voltage), unit="V", required=0.0,
        required_why="a charger for fewer cells leaves the pack part empty, and never balances it",
        source="Charge end of the cell kind times cells in series", model="charging.match",
        inputs="charger.voltage pack.series cell.kind", missing="charger.voltage", is_missing=np.isnan(c.voltage),
    )  # fmt: skip
    open_ = np.isnan(c.current) | np.isnan(s.limit)
    make.add(
        "current", name="Charging current against what the cells bear at their temperature", part="pack",
        meaning="burns", demand=np.nan_to_num(c.current), capacity=np.nan_to_num(s.limit), unit="A", required=0.05,
        required_why="below 10 degC half the current, below 0 degC none: lithium plates",
        model="charging.allowed_charge",
        source="Limit of the cell times cells in parallel; JEITA practice over temperature",
        inputs="charger.current cell.charge_limit pack.parallel charger.temperature",
        missing="charger.current" if np.isnan(c.current).any() else "cell.charge_limit", is_missing=open_,
    )  # fmt: skip


def _cells(make: Maker, state: State) -> None:
    c = state.craft.charger
    make.add(
        "cold", name="Cells above freezing while they are charged", part="pack", meaning="burns", kind="difference",
        scale=20.0, demand=np.zeros(make.designs), capacity=c.temperature - 273.15, unit="K", required=3.0,
        required_why="the inside of a pack from the cold water lags: let it stand in the room for hours first",
        source="Range of cell makers 0 to 45 degC", model="charging.allowed_charge", inputs="charger.temperature",
    )  # fmt: skip
    make.add(
        "hot", name="Cells cool enough to be charged", part="pack", meaning="burns", kind="difference", scale=20.0,
        demand=c.temperature, capacity=np.full(make.designs, 318.15), unit="K", required=3.0,
        required_why="a pack warm from the ride cools for an hour before it is charged",
        source="Range of cell makers 0 to 45 degC", model="charging.allowed_charge", inputs="charger.temperature",
        temperature=c.temperature,
    )  # fmt: skip
    watched = np.array([name not in ("", "nothing") for name in c.protection])
    make.add(
        "watched_cells", name="Every cell is watched while it is charged", part="pack", meaning="burns",
        kind="difference", demand=np.ones(make.designs), capacity=watched.astype(np.float64), unit="1", required=0.0,
        required_why="a charger sees the sum: one full cell is driven above 4.25 V while another is still empty."
        " Signs of a failing module: its voltage falls by itself, it warms, it swells: take it out of use",
        source=PRACTICE, inputs="charger.protection", missing="charger.protection",
        is_missing=np.array([name == "" for name in c.protection]),
    )  # fmt: skip
    dry = np.array([name == "dry" for name in c.state])
    make.add(
        "state", name="A dry, sound pack before it is charged", part="pack", meaning="burns", kind="difference",
        demand=np.ones(make.designs), capacity=dry.astype(np.float64), unit="1", required=0.0,
        required_why="a pack that was under water, knocked or swollen is set outdoors, away from what burns, for days:"
        " rinse salt off, do not open or charge it, and take it to a collection point if it warms, smells or falls in"
        " voltage",
        source=PRACTICE, inputs="charger.state",
    )  # fmt: skip
    guarded = np.array([name != "unwatched" for name in c.place])
    make.add(
        "place", name="Someone awake is with the pack while it is charged", part="pack", meaning="burns",
        kind="difference", demand=np.ones(make.designs), capacity=guarded.astype(np.float64), unit="1", required=0.0,
        required_why="out of the box, dry, on stone, not in the way out; on fire: away, call, water cools it",
        source=PRACTICE, inputs="charger.place",
    )  # fmt: skip


def _times(make: Maker, state: State) -> None:
    c, s = state.craft.charger, state.charging
    known = ~(np.isnan(c.voltage) | np.isnan(c.current))
    sources = tuple(dict.fromkeys(c.source))
    case = np.array([sources.index(name) for name in c.source], dtype=np.intp)
    make.add(
        "time", name="Time to fill the pack after the ride", part="charger", meaning="annoys",
        demand=np.nan_to_num(s.time), capacity=c.time, unit="s", required=0.1,
        required_why="chargers fade when they are warm", source=CURVES, model="charging.charge_time",
        inputs=f"charger.current charger.voltage charger.time charger.source ride.leg {CELLS}",
        missing="charger.current", is_missing=~known, no_solution=known & ~s.reaches,
        sought=f"a charge to {100.0 * FULL:.0f} %: the charger's voltage is too low", cases=sources, case=case,
    )  # fmt: skip
    make.add(
        "balance", name="Time that balancing takes", part="pack", meaning="annoys", demand=s.balance,
        capacity=np.full(make.designs, 48.0 * 3600.0), unit="s", required=0.0,
        required_why="cells further apart than a board balances in two days: charge the low ones by hand, or replace",
        source="Charge over bypass current", model="charging.balance_time",
        inputs=f"charger.cell_spread charger.balance_current {CELLS}",
        applies=np.array([name != "nothing" for name in c.protection]),
    )  # fmt: skip
    make.add(
        "source", name="Energy that a full charge takes against what its source holds", part="charger",
        meaning="stops", demand=s.energy, capacity=s.energy * np.maximum(s.source_share, 0.0), unit="J", required=0.0,
        required_why="vehicle, power station and panels give less power and energy than a socket: see the time",
        source="Sources by kind (common practice); the label of your own goes first", model="charging.from_source",
        inputs=f"charger.source charger.efficiency ride.leg {CELLS}", cases=sources, case=case,
    )  # fmt: skip


def _keeping(make: Maker, state: State) -> None:
    c, s = state.craft.charger, state.charging
    far = np.abs(c.stored_charge - s.storage.target)
    make.add(
        "storage", name="Charge at which it is kept, distance from where it keeps best", part="pack",
        meaning="annoys", kind="difference", scale=0.1, demand=far, capacity=np.full(make.designs, 0.1), unit="1",
        required=0.0, required_why="between rides 30 to 60 %, cool; a pack kept full and warm ages fastest",
        source=PRACTICE, model="charging.storage", inputs="charger.stored_charge",
    )  # fmt: skip
    told = rules()
    cases = tuple(f"{name} battery: {rule}" for name, rule in told.items())
    classes = list(told)
    case = np.array([classes.index(name) for name in s.size.tolist()], dtype=np.intp)
    make.add(
        "carriage", name="Energy of one module against what may travel so", part="pack", meaning="burns",
        demand=s.module_energy, capacity=np.minimum(s.carried, 1e12), unit="J", required=0.0,
        required_why="a home-built pack has no UN 38.3 test: it travels in the own vehicle, poles covered, tied down",
        source="ICAO Technical Instructions and IATA rules by energy; UN 38.3", model="charging.transport_class",
        inputs=f"charger.carriage {CELLS} wires.modules_in_series wires.modules_side_by_side", cases=cases, case=case,
        applies=np.isfinite(s.carried),
    )  # fmt: skip
