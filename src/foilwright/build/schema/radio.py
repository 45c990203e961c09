"""The throttle's radio link: transmitter, receiver, antenna, and what happens when the link is lost."""

from __future__ import annotations

from foilwright.build.schema.base import Block
from foilwright.build.schema.box import CAUTIOUS
from foilwright.build.schema.field import assume, choice, quantity
from foilwright.build.schema.people import PRACTICE

BANDS = ("433 MHz", "868 MHz", "915 MHz", "2400 MHz")
PLACES = (
    "in the box below deck",
    "on deck",
    "above deck on a stub",
    "in a bag outside",
    "behind carbon",
    "behind wet foam",
)
RATINGS = ("IPX0", "IPX4", "IPX5", "IPX6", "IPX7", "IPX8")


class Radio(Block):
    """The link from the rider's hand to the controller."""

    band: str | None = choice(
        "radio band",
        BANDS,
        default=assume("2400 MHz", "433 MHz", "2400 MHz", PRACTICE),
        fixed="it comes with the radio",
    )
    transmit_power: float | None = quantity(
        "W",
        "power that the transmitter sends",
        ("0.1 mW", "2 W"),
        "25 mW",
        fixed="the rules of the place decide",
        default=assume("25 mW", "10 mW", "100 mW", "ERC/REC 70-03, short-range devices"),
    )
    modulation: str | None = choice(
        "plain shift keying, or spread over time for a weak signal",
        ("plain", "spread"),
        default=assume("plain", "plain", "spread", CAUTIOUS),
        fixed="it comes with the radio",
    )
    antenna_place: str | None = choice("where the receiver's antenna is", PLACES)
    antenna_height: float | None = quantity(
        "m", "height of the middle of that antenna above the bottom at the tail", ("0 cm", "1.5 m"), "20 cm"
    )
    antenna_x: float | None = quantity(
        "m", "place of that antenna, forward from the tail (left out: that of the pack)", ("-0.2 m", "3.2 m"), "1.4 m"
    )
    antenna_offset: float | None = quantity(
        "m",
        "distance of that antenna from the middle line",
        ("0 m", "0.6 m"),
        "0 m",
        default=assume("0 m", "0 m", "0.25 m", PRACTICE),
    )
    antenna_lies: str | None = choice(
        "how that antenna stands: upright or flat",
        ("upright", "flat"),
        default=assume("flat", "upright", "flat", CAUTIOUS),
    )
    film: float | None = quantity(
        "m",
        "film of water on the antenna's window",
        ("0 mm", "5 mm"),
        "0.5 mm",
        default=assume("0.5 mm", "0 mm", "2 mm", "engineering estimate"),
    )
    distance: float | None = quantity(
        "m",
        "furthest that the hand with the transmitter is from the board while it must obey",
        ("1 m", "200 m"),
        "10 m",
        beach=True,
        default=assume("10 m", "5 m", "20 m", PRACTICE),
    )
    packet_period: float | None = quantity(
        "s",
        "time between two packets",
        ("2 ms", "0.5 s"),
        "30 ms",
        default=assume("30 ms", "15 ms", "50 ms", PRACTICE),
    )
    hold_time: float | None = quantity(
        "s", "silence after which the receiver takes the throttle away", ("0 ms", "10 s"), "150 ms", beach=True
    )
    ramp_time: float | None = quantity(
        "s", "time from then to zero thrust, as set in the controller", ("0 ms", "10 s"), "200 ms", beach=True
    )
    loss_action: str | None = choice(
        "what the receiver puts out when the link is lost", ("zero", "last value"), beach=True
    )
    rearming: str | None = choice(
        "when thrust comes back after any loss of the link", ("after zero throttle", "at once"), beach=True
    )
    start: str | None = choice(
        "with which throttle the craft can be switched on", ("zero throttle only", "any throttle"), beach=True
    )
    trigger: str | None = choice("what the throttle does when the hand lets go", ("springs to zero", "stays"))
    pairing: str | None = choice(
        "to which transmitter the receiver listens", ("one that is paired", "any of its kind"), beach=True
    )
    kill_cord: str | None = choice(
        "what a cord or magnet at the rider cuts without the radio",
        ("the throttle signal", "the main supply", "nothing"),
    )
    receiver_supply: str | None = choice(
        "what feeds the receiver",
        ("the pack", "own cell"),
        default=assume("the pack", "the pack", "own cell", PRACTICE),
    )
    receiver_voltage: float | None = quantity(
        "V",
        "supply voltage of the receiver",
        ("1.8 V", "12 V"),
        "5 V",
        default=assume("5 V", "4.8 V", "6 V", PRACTICE),
    )
    receiver_least: float | None = quantity(
        "V",
        "voltage below which the receiver restarts",
        ("1.5 V", "8 V"),
        "3.6 V",
        default=assume("3.6 V", "3.0 V", "4.3 V", PRACTICE),
    )
    receiver_power: float | None = quantity(
        "W",
        "power that the receiver draws",
        ("1 mW", "10 W"),
        "0.3 W",
        default=assume("0.3 W", "0.1 W", "0.6 W", "engineering estimate"),
    )
    receiver_capacitance: float | None = quantity(
        "F",
        "capacitor that carries the receiver through a dip, behind a diode (0 uF: none)",
        ("0 uF", "5 F"),
        "2200 uF",
    )
    supply_dip: float | None = quantity(
        "s",
        "longest dip of the receiver's supply when the motor starts hard",
        ("0 ms", "2 s"),
        "10 ms",
        default=assume("10 ms", "2 ms", "50 ms", "engineering estimate"),
    )
    receiver_height: float | None = quantity(
        "m",
        "height of the receiver above the bottom at the tail",
        ("0 m", "0.5 m"),
        "10 cm",
        default=assume("8 cm", "3 cm", "14 cm", PRACTICE),
    )
    transmitter_rating: str | None = choice("water that the transmitter is made for (IEC 60529)", RATINGS)
    transmitter_capacity: float | None = quantity(
        "A*s", "capacity of the transmitter's cell when new", ("50 mAh", "10 Ah"), "900 mAh"
    )
    transmitter_age: float | None = quantity(
        "1",
        "share of that capacity that age has left",
        ("20 %", "100 %"),
        "80 %",
        default=assume("80 %", "60 %", "100 %", PRACTICE),
    )
    transmitter_current: float | None = quantity(
        "A",
        "mean current of the transmitter",
        ("1 mA", "2 A"),
        "60 mA",
        default=assume("60 mA", "30 mA", "150 mA", PRACTICE),
    )
