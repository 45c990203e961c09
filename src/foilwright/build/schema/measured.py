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
    box_vacuum: float | None = quantity(
        "Pa",
        "vacuum pumped into the closed box, below the pressure outside (left out: no hold was made)",
        ("2 kPa", "60 kPa"),
        "20 kPa",
        fixed=FACT,
    )
    box_vacuum_left: float | None = quantity(
        "Pa", "vacuum that was left of it at the end of the hold", ("0 kPa", "60 kPa"), "19.6 kPa", fixed=FACT
    )
    box_vacuum_time: float | None = quantity(
        "s", "time that the vacuum was held", ("1 min", "24 h"), "30 min", fixed=FACT
    )
    box_vacuum_warming: float | None = quantity(
        "K",
        "warming of the air in the box during the hold (left out: none)",
        ("-20 K", "20 K"),
        "0.5 K",
        fixed=FACT,
    )
    drop_outs: float | None = quantity(
        "1",
        "share of packets lost, board on the wet beach, wet towel over the antenna, body between (left out: no test)",
        ("0.0001 %", "99 %"),
        "0.5 %",
        fixed=FACT,
    )
    drop_out_distance: float | None = quantity(
        "m",
        "distance of that test (left out: the distance at which it must obey)",
        ("1 m", "200 m"),
        "10 m",
        fixed=FACT,
    )
    print_along: float | None = quantity(
        "Pa",
        "strength of a printed coupon pulled along its layers (left out: that of the book)",
        ("1 MPa", "400 MPa"),
        "38 MPa",
        fixed=FACT,
    )
    print_across: float | None = quantity(
        "Pa",
        "strength of a printed coupon pulled across its layers (left out: that of the book)",
        ("0.5 MPa", "200 MPa"),
        "21 MPa",
        fixed=FACT,
    )
    laminate_strength: float | None = quantity(
        "Pa",
        "strength of a coupon of the laminate in tension (left out: that of the book)",
        ("10 MPa", "2000 MPa"),
        "170 MPa",
        fixed=FACT,
    )
