"""Water, rider, ride and targets: where and how the craft is used."""

from __future__ import annotations

from foilwright.build.schema.base import Block
from foilwright.build.schema.field import assume, choice, count, quantity, text

PRACTICE = "common practice"


class Water(Block):
    """The water that the craft runs in."""

    kind: str = choice(
        "kind of water: fresh, brackish (10 g/kg of salt) or sea (35 g/kg)",
        ("fresh", "brackish", "sea"),
        required=True,
        fixed="the water is where you go",
    )
    temperature: float = quantity(
        "K",
        "temperature of the water",
        ("0 degC", "35 degC"),
        "14 degC",
        required=True,
        fixed="the season decides",
    )
    salinity: float | None = quantity(
        "g/kg",
        "salt in the water, where you know it better than its kind (left out: that of the kind)",
        ("0 g/kg", "40 g/kg"),
        "8 g/kg",
        fixed="the water is where you go",
    )
    depth: float | None = quantity(
        "m",
        "depth of the water where you take off",
        ("0.4 m", "500 m"),
        "2.5 m",
        beach=True,
        default=assume("3 m", "1.5 m", "10 m", PRACTICE),
    )
    chop: float | None = quantity(
        "m",
        "height of the waves, crest to trough",
        ("0 m", "1.0 m"),
        "10 cm",
        beach=True,
        default=assume("0.1 m", "0.0 m", "0.25 m", PRACTICE),
    )
    wind: float | None = quantity(
        "m/s",
        "head wind",
        ("0 m/s", "15 m/s"),
        "3 m/s",
        beach=True,
        default=assume("2 m/s", "0 m/s", "6 m/s", PRACTICE),
    )


class Rider(Block):
    """The rider, their kit, and where their weight can be."""

    mass: float = quantity(
        "kg",
        "body mass of the rider",
        ("30 kg", "150 kg"),
        "82 kg",
        required=True,
        fixed="the rider is the rider",
    )
    height: float = quantity(
        "m",
        "height of the rider",
        ("1.2 m", "2.2 m"),
        "1.80 m",
        required=True,
        fixed="the rider is the rider",
    )
    skill: str | None = choice(
        "how well the rider balances a foil: first-time, improving or practised",
        ("first-time", "improving", "practised"),
        default=assume("first-time", "first-time", "practised", "the cautious case"),
        fixed="skill is not built",
    )
    kit_mass: float | None = quantity(
        "kg",
        "wet suit, vest, helmet, shoes and the water in them",
        ("0 kg", "15 kg"),
        "5 kg",
        default=assume("5 kg", "4 kg", "7 kg", PRACTICE),
        fixed="kit keeps the rider warm and afloat",
    )
    posture: str | None = choice(
        "posture in which the rider takes off",
        ("prone", "kneeling", "standing"),
        beach=True,
        default=assume("kneeling", "prone", "standing", PRACTICE),
    )
    stance: float | None = quantity(
        "m",
        "middle between the feet, ahead of the mast's leading edge (negative: behind)",
        ("-0.6 m", "0.6 m"),
        "0.10 m",
        beach=True,
        default=assume("0.10 m", "0.0 m", "0.2 m", PRACTICE),
    )
    stance_width: float | None = quantity(
        "m",
        "distance from heel strap to heel strap, middle of foot to middle of foot",
        ("0.2 m", "1.0 m"),
        "0.55 m",
        beach=True,
        default=assume("0.55 m", "0.45 m", "0.70 m", "1.1 to 1.5 shoulder breadths, ANSUR II 2012; " + PRACTICE),
    )
    foot_length: float | None = quantity(
        "m",
        "length of the foot",
        ("0.2 m", "0.34 m"),
        "0.27 m",
        fixed="the rider is the rider",
        default=assume("0.27 m", "0.24 m", "0.29 m", "ANSUR II 2012, 5th to 95th percentile", "normal"),
    )
    step: float | None = quantity(
        "m",
        "how far the feet can be shifted forward or back while getting up and riding",
        ("0 m", "0.5 m"),
        "0.15 m",
        beach=True,
        default=assume("0.15 m", "0.05 m", "0.25 m", PRACTICE),
    )
    prone_from: float | None = quantity(
        "m",
        "lying: furthest back that the centre of the weight can be, from the tail",
        ("0.1 m", "2 m"),
        "0.40 m",
        beach=True,
        default=assume("0.40 m", "0.30 m", "0.55 m", PRACTICE),
    )
    prone_to: float | None = quantity(
        "m",
        "lying: furthest forward that the centre of the weight can be, from the tail",
        ("0.2 m", "2.5 m"),
        "1.1 m",
        beach=True,
        default=assume("1.1 m", "0.9 m", "1.3 m", PRACTICE),
    )
    kneeling_from: float | None = quantity(
        "m",
        "kneeling: furthest back that the centre of the weight can be, from the tail",
        ("0.1 m", "2 m"),
        "0.35 m",
        beach=True,
        default=assume("0.35 m", "0.25 m", "0.50 m", PRACTICE),
    )
    kneeling_to: float | None = quantity(
        "m",
        "kneeling: furthest forward that the centre of the weight can be, from the tail",
        ("0.2 m", "2.5 m"),
        "1.2 m",
        beach=True,
        default=assume("1.2 m", "1.0 m", "1.4 m", PRACTICE),
    )


class Leg(Block):
    """One leg of the ride."""

    name: str = text("name of the leg", "cruise out", required=True)
    speed: float = quantity("m/s", "speed over the water", ("0.5 m/s", "16 m/s"), "24 km/h", required=True, beach=True)
    time: float = quantity("s", "how long it is held", ("1 s", "5 h"), "10 min", required=True, beach=True)
    take_offs: int | None = count(
        "how often the rider takes off anew in this leg",
        (0, 100),
        2,
        beach=True,
        default=assume(1, 0, 5, PRACTICE),
    )


class Ride(Block):
    """The ride that the pack must last for."""

    leg: tuple[Leg, ...]
    reserve: float | None = quantity(
        "1",
        "share of the charge that must be left at the end",
        ("0 %", "60 %"),
        "20 %",
        beach=True,
        default=assume("20 %", "10 %", "30 %", PRACTICE),
    )
    home: float | None = quantity(
        "m",
        "furthest distance from the landing place",
        ("0 m", "20 km"),
        "500 m",
        beach=True,
        default=assume("500 m", "200 m", "1500 m", PRACTICE),
    )


class Targets(Block):
    """What the craft shall do."""

    cruise_speed: float | None = quantity(
        "m/s",
        "speed at which it shall mostly fly (left out: the speed of least energy a metre)",
        ("2.5 m/s", "14 m/s"),
        "24 km/h",
        beach=True,
    )
    wing_depth: float | None = quantity(
        "m",
        "depth of the wing below the surface in flight",
        ("0.05 m", "1.2 m"),
        "0.35 m",
        beach=True,
        default=assume("0.35 m", "0.20 m", "0.50 m", PRACTICE),
    )
    run_time: float | None = quantity(
        "s",
        "how long the pack shall last on the stated ride (left out: the ride itself)",
        ("1 min", "5 h"),
        "40 min",
        beach=True,
    )
