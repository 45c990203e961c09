"""What was measured on the finished craft; each entry stands in for a designed value."""

from __future__ import annotations

from foilwright.build.schema.base import Block
from foilwright.build.schema.field import assume, quantity

FACT = "a measurement is a fact"


class Measured(Block):
    """Readings of the craft as built."""

    craft_mass: float | None = quantity(
        "kg",
        "weighed mass of the whole craft without rider and kit (left out: computed)",
        ("4 kg", "90 kg"),
        "31.5 kg",
        fixed=FACT,
    )
    balance_point: float | None = quantity(
        "m",
        "balance point of the whole craft without rider, forward from the tail (left out: computed)",
        ("-0.2 m", "2.5 m"),
        "0.78 m",
        fixed=FACT,
    )
    wing_incidence: float | None = quantity(
        "rad",
        "rigged angle of the wing (left out: as designed)",
        ("-8 deg", "8 deg"),
        "0.6 deg",
        fixed=FACT,
        replaces="wing.incidence",
    )
    stabiliser_incidence: float | None = quantity(
        "rad",
        "rigged angle of the stabiliser (left out: as designed)",
        ("-8 deg", "8 deg"),
        "-1.8 deg",
        fixed=FACT,
        replaces="stabiliser.incidence",
    )
    wing_twist_left_right: float | None = quantity(
        "rad",
        "angle of the left tip minus angle of the right tip",
        ("-5 deg", "5 deg"),
        "0.4 deg",
        fixed=FACT,
        default=assume("0 deg", "-0.5 deg", "0.5 deg", "common practice", "normal"),
    )
    motor_speed_constant: float | None = quantity(
        "rad/s/V",
        "speed constant, by spinning the motor (left out: as designed)",
        ("20 rpm/V", "3000 rpm/V"),
        "108 rpm/V",
        fixed=FACT,
        replaces="motor.speed_constant",
    )
    motor_resistance: float | None = quantity(
        "ohm",
        "resistance between two phase leads, by four wires (left out: as designed)",
        ("0.3 mohm", "500 mohm"),
        "27 mohm",
        fixed=FACT,
        replaces="motor.resistance",
    )
    motor_idle_current: float | None = quantity(
        "A",
        "idle current in water (left out: as designed)",
        ("0 A", "30 A"),
        "2.1 A",
        fixed=FACT,
        replaces="motor.idle_current",
    )
    cell_capacity: float | None = quantity(
        "A*s",
        "capacity of one cell (left out: as designed)",
        ("0.5 Ah", "120 Ah"),
        "4.0 Ah",
        fixed=FACT,
        replaces="cell.capacity",
    )
    cell_resistance: float | None = quantity(
        "ohm",
        "lasting resistance of one cell at 25 degC and half charge (left out: as designed)",
        ("0.1 mohm", "300 mohm"),
        "24 mohm",
        fixed=FACT,
        replaces="cell.resistance",
    )
    propeller_pitch: float | None = quantity(
        "m",
        "pitch of the propeller (left out: as designed)",
        ("3 cm", "56 cm"),
        "14.5 cm",
        fixed=FACT,
        replaces="propeller.pitch",
    )
