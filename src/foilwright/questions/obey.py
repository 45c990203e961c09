"""`obey`: does the throttle link hold, and does the craft stop safely when it does not?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array
from foilwright.physics import radio
from foilwright.questions.afloat import HULL, MASS
from foilwright.questions.finding import Beyond, Finding, Maker, Meaning, used
from foilwright.questions.state import State
from foilwright.questions.state.level import is_named
from foilwright.questions.state.link import ATTITUDES, FADING
from foilwright.questions.stated import first_open

PLACED = ("radio.antenna_place", "radio.antenna_height")
RADIO = "radio.band radio.transmit_power radio.modulation"
ANTENNA = (
    "radio.antenna_place radio.antenna_height radio.antenna_x radio.antenna_offset radio.antenna_lies radio.film"
    f" {HULL} {MASS}"
)
WATER = "water.kind water.temperature"
TESTED = "measured.drop_outs measured.drop_out_distance factors.link_power"
BUDGET = "Link budget: path by Bullington 1947, water by ITU-R P.527-6, places and shadows by practice"
STOP_TIME = 0.5
"""Longest time from the last packet to zero thrust [s]."""
CLEAR = 50.0
"""Distance kept clear of swimmers [m] (common practice)."""
WET_SHARE = 0.05
"""Share of time with water over the antenna that is borne at rest [-]; estimate."""
FALLEN = (
    "a fall takes the link away: what then happens is decided here",
    "in a fall the link may hold: only hand and kill cord stop the craft",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Must:
    """A choice that must have one of some names, with why and how it is tried."""

    key: str
    name: str
    part: str
    path: str
    right: tuple[str, ...]
    meaning: Meaning
    why: str


MUSTS = (
    Must(
        key="last_value", name="No throttle that is held when the link is lost", part="receiver",
        path="radio.loss_action",
        right=("zero",), meaning="hurts",
        why="a craft that holds its throttle runs over its rider; test: propeller off, switch the transmitter off at"
        " half throttle",
    ),
    Must(
        key="rearm", name="Thrust comes back only after zero throttle, after every loss", part="receiver",
        path="radio.rearming", right=("after zero throttle",), meaning="hurts",
        why="a swimmer's hand squeezes the trigger; test: propeller off, lose the link, switch on again at half"
        " throttle",
    ),
    Must(
        key="start", name="It can be switched on at zero throttle only", part="controller", path="radio.start",
        right=("zero throttle only",), meaning="hurts",
        why="a blade that starts in the shallows cuts; test: propeller off, plug in with the trigger pulled",
    ),
    Must(
        key="trigger", name="The throttle springs to zero when the hand lets go", part="transmitter",
        path="radio.trigger",
        right=("springs to zero",), meaning="hurts",
        why="sand and salt hold a trigger; test: a hundred pulls wet and cold, each must come back by itself",
    ),
    Must(
        key="pairing", name="The receiver listens to one transmitter only", part="receiver", path="radio.pairing",
        right=("one that is paired",), meaning="hurts",
        why="a second craft on the water would drive this one; test: propeller off, work another transmitter of its"
        " kind",
    ),
    Must(
        key="kill_cord", name="A cord or magnet that stops the craft without the radio", part="rider",
        path="radio.kill_cord",
        right=("the throttle signal", "the main supply"), meaning="hurts",
        why="it works where the radio holds on; US law asks for one above 512 N of static pull; test: propeller off,"
        " pull it at half throttle",
    ),
)  # fmt: skip
"""What must be as it is, each with its bench test."""


class Obey:
    """The throttle's link and its loss."""

    name = "obey"
    asks = "Does the throttle link hold with the antenna where it is, and does the craft stop safely when it does not?"

    def answer(self, state: State) -> list[Finding]:
        """Return the findings of every design."""
        make = Maker(question=self.name, designs=state.craft.designs)
        _link(make, state)
        _over_water(make, state)
        _stop(make, state)
        for must in MUSTS:
            _must(make, state, must)
        _power(make, state)
        return make.made


def beyond_link(state: State) -> tuple[Beyond, ...]:
    """Return what the link budget says about the values it was used at."""
    water = state.craft.water
    return used(radio.link_margin, temperature=water.temperature, salinity=water.salinity)


def _afloat(state: State) -> Array:
    """Return the time on the water that is asked for [s]."""
    target = state.craft.targets.run_time
    return np.where(np.isnan(target), state.craft.ride.time.sum(axis=1), target)


def _least(margins: Array) -> tuple[np.ndarray, Array]:
    """Return the worse attitude of the board and its margin."""
    at = margins.argmin(axis=1)
    return at, margins[np.arange(at.size), at]


def _link(make: Maker, state: State) -> None:
    """Add the margins at the working distance and beyond."""
    link = state.link
    inputs = f"{RADIO} {ANTENNA} {WATER} radio.distance {TESTED}"
    missing, open_ = first_open(state.craft, *PLACED)
    case, margin = _least(link.near)
    asked = np.zeros(make.designs)
    make.add(
        "link", name="Margin of the link at the working distance, body and hand between", part="antenna",
        meaning="hurts",
        kind="difference", scale=10.0, demand=asked, capacity=margin, unit="dB", required=link.band + FADING,
        required_why="15 dB of error until a wet drop-out test is entered (5 then), 10 dB for fading; test: wet towel"
        " over the antenna, count lost packets",
        source=BUDGET, model="radio.link_margin", inputs=inputs, cases=ATTITUDES, case=case, missing=missing,
        is_missing=open_, beyond=beyond_link(state),
    )  # fmt: skip
    case, margin = _least(link.far)
    make.add(
        "far", name="Margin of the link at three times that distance", part="antenna", meaning="stops",
        kind="difference",
        scale=10.0, demand=asked, capacity=margin, unit="dB", required=link.band,
        required_why="a link that ends where it is used ends in the first gust of spray; test: walk away along the"
        " shore",
        source=BUDGET, model="radio.link_margin", inputs=inputs, cases=ATTITUDES, case=case, missing=missing,
        is_missing=open_, beyond=beyond_link(state),
    )  # fmt: skip


def _over_water(make: Maker, state: State) -> None:
    """Add what water over the antenna takes, and for how much of the time."""
    link = state.link
    case = link.way.argmax(axis=1)
    rows = np.arange(make.designs)
    lost = link.way[rows, case]
    missing, open_ = first_open(state.craft, *PLACED)
    make.add(
        "sunk", name="Loss on the way through the water that stands over the antenna", part="antenna", meaning="hurts",
        kind="difference", scale=10.0, demand=lost, capacity=link.near[rows, case] + lost, unit="dB",
        required=link.band + FADING,
        required_why="no radio power makes up for a hand's width of sea water; lift the antenna out of the box,"
        " above the deck",
        source="Plane wave in water, permittivity by ITU-R P.527-6, 2021", model="radio.attenuation",
        inputs=f"{RADIO} {ANTENNA} {WATER} radio.distance {TESTED}", cases=ATTITUDES, case=case, missing=missing,
        is_missing=open_,
        beyond=beyond_link(state),
        applies=~(lost <= 0.0),
    )  # fmt: skip
    make.add(
        "wash", name="Share of time with chop over the antenna, at rest", part="antenna", meaning="stops",
        demand=link.wash,
        capacity=np.full(make.designs, WET_SHARE), unit="1", required=0.0,
        required_why="each wave over it may cut the start short; spray and the wash of a fall come on top",
        source="Gaussian surface of the chop (Longuet-Higgins 1952); limit an estimate", model="radio.wash_over_share",
        inputs=f"{ANTENNA} water.chop", missing=missing, is_missing=open_,
    )  # fmt: skip
    missing, open_ = first_open(state.craft, *PLACED, "radio.hold_time")
    make.add(
        "false_stop", name="Time between stops by chance while riding", part="receiver", meaning="stops",
        demand=_afloat(state), capacity=link.false_stop, unit="s", required=9.0,
        required_why="losses come in bursts, so chance tells the best case",
        source="Rayleigh fading at the low end of the margin; waiting for a run of losses (Feller 1968)",
        model="radio.false_stop_time",
        inputs=f"{RADIO} {ANTENNA} {WATER} {TESTED} radio.hold_time radio.packet_period ride.leg targets.run_time",
        missing=missing, is_missing=open_, applies=~is_named(state.craft.radio.loss_action, "last value"),
    )  # fmt: skip


def _stop(make: Maker, state: State) -> None:
    """Add how soon thrust is gone and how far the craft runs on."""
    link = state.link
    missing, open_ = first_open(state.craft, "radio.loss_action", "radio.hold_time", "radio.ramp_time")
    held = is_named(state.craft.radio.loss_action, "last value")
    is_open = open_ & ~held if missing != "radio.loss_action" else open_
    timed = "radio.loss_action radio.hold_time radio.ramp_time radio.packet_period"
    make.add(
        "fail_safe", name="Time from the last packet to zero thrust", part="receiver", meaning="hurts",
        demand=link.stop.thrust_time, capacity=np.full(make.designs, STOP_TIME), unit="s", required=0.0,
        required_why="half a second is the most; test: propeller off, switch the transmitter off at half throttle,"
        " film the motor",
        source="Sum of the times of a fail-safe; limit by common practice", model="radio.fail_safe",
        inputs=f"{timed} {RADIO} {ANTENNA} {WATER} radio.distance ride.leg", cases=FALLEN,
        case=(link.fall > -link.band).astype(np.intp), missing=missing, is_missing=is_open, no_solution=held,
        sought="zero thrust, since the last value is held",
    )  # fmt: skip
    make.add(
        "run_on", name="Way that the craft runs on after the link is lost", part="craft", meaning="hurts",
        demand=link.stop.stop_distance, capacity=np.full(make.designs, CLEAR), unit="m", required=0.25,
        required_why="the slowing of a riderless board is an estimate; keep 50 m clear of swimmers, local rules may"
        " ask more",
        source="Full thrust until the fail-safe has ended, then 1 m/s^2 (estimate)", model="radio.fail_safe",
        inputs=f"{timed} ride.leg", missing=missing, is_missing=is_open, no_solution=held,
        sought="an end of the run, since the last value is held",
    )  # fmt: skip


def _must(make: Maker, state: State, must: Must) -> None:
    missing, open_ = first_open(state.craft, must.path)
    names = getattr(state.craft.radio, must.path.partition(".")[2])
    make.add(
        must.key, name=must.name, part=must.part, meaning=must.meaning, kind="difference",
        demand=np.ones(make.designs), capacity=is_named(names, *must.right).astype(float), unit="1", required=0.0,
        required_why=must.why, source="Common practice of remote-controlled craft", model="radio.fail_safe",
        inputs=must.path, missing=missing, is_missing=open_,
    )  # fmt: skip


def _power(make: Maker, state: State) -> None:
    """Add the supplies of receiver and transmitter."""
    r, link = state.craft.radio, state.link
    missing, open_ = first_open(state.craft, "radio.receiver_capacitance")
    make.add(
        "supply", name="Time that the receiver runs on in a dip of its supply", part="receiver", meaning="stops",
        demand=r.supply_dip, capacity=link.carried, unit="s", required=0.5,
        required_why="a receiver that restarts drops its rider; test: full throttle from standstill on a nearly"
        " empty pack",
        source="Energy of a capacitor behind a diode", model="radio.hold_up_time",
        inputs="radio.receiver_supply radio.receiver_capacitance radio.receiver_voltage radio.receiver_least"
        " radio.receiver_power radio.supply_dip",
        missing=missing, is_missing=open_, applies=~is_named(r.receiver_supply, "own cell"),
    )  # fmt: skip
    missing, open_ = first_open(state.craft, "radio.transmitter_capacity")
    make.add(
        "transmitter_time", name="Time that the transmitter runs on its own cell", part="transmitter", meaning="stops",
        demand=_afloat(state), capacity=np.nan_to_num(link.running.low), unit="s", required=1.0,
        required_why="waiting ashore counts too, and a small cell ages unseen; test: run it down in a refrigerator,"
        " once a season",
        source="Charge over current; cold by isothermal discharges, data/cells/cold.csv",
        model="radio.transmitter_time",
        inputs="radio.transmitter_capacity radio.transmitter_age radio.transmitter_current water.temperature ride.leg"
        " targets.run_time",
        missing=missing, is_missing=open_,
        beyond=used(radio.transmitter_time, temperature=state.craft.water.temperature),
    )  # fmt: skip
