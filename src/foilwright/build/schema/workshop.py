"""What the workshop has: printer, sheets, cloth, resin, tools, hours and money."""

from __future__ import annotations

from foilwright.build.schema.base import Block
from foilwright.build.schema.field import assume, choice, count, quantity, ratio, text
from foilwright.build.schema.people import PRACTICE
from foilwright.build.schema.structure import MATERIALS

HAS = "the workshop has what it has"
LABEL = "it stands on the label of the resin"
PRINTED = tuple(name for name in MATERIALS if name.startswith("printed"))
CUTTERS = ("hot wire", "fine saw", "jigsaw", "knife")
METALWORK = ("none", "saw and file", "mill or lathe", "made outside")
CRIMPERS = ("none", "hand crimper", "hydraulic crimper", "made outside")


class Workshop(Block):
    """Where it is made: printer, sheets, cloth, resin, tools, hours and money."""

    printers: int | None = count(
        "printers that can run side by side (0: none)", (0, 8), 1, default=assume(1, 0, 2, PRACTICE), fixed=HAS
    )
    bed_x: float | None = quantity(
        "m",
        "room of the printer from left to right",
        ("5 cm", "1.2 m"),
        "220 mm",
        default=assume("220 mm", "180 mm", "300 mm", PRACTICE),
        fixed=HAS,
    )
    bed_y: float | None = quantity(
        "m",
        "room of the printer from front to back",
        ("5 cm", "1.2 m"),
        "220 mm",
        default=assume("220 mm", "180 mm", "300 mm", PRACTICE),
        fixed=HAS,
    )
    bed_z: float | None = quantity(
        "m",
        "room of the printer from the bed up",
        ("5 cm", "2 m"),
        "250 mm",
        default=assume("250 mm", "180 mm", "300 mm", PRACTICE),
        fixed=HAS,
    )
    bed_edge: float | None = quantity(
        "m",
        "strip round the bed that stays free",
        ("0 mm", "30 mm"),
        "5 mm",
        default=assume("5 mm", "2 mm", "10 mm", PRACTICE),
        fixed=HAS,
    )
    nozzle: float | None = quantity(
        "m",
        "diameter of the printer's nozzle",
        ("0.2 mm", "1.2 mm"),
        "0.4 mm",
        default=assume("0.4 mm", "0.4 mm", "0.8 mm", PRACTICE),
    )
    layer: float | None = quantity(
        "m",
        "height of a printed layer",
        ("0.05 mm", "0.8 mm"),
        "0.2 mm",
        default=assume("0.2 mm", "0.12 mm", "0.3 mm", PRACTICE),
    )
    print_speed: float | None = quantity(
        "m/s",
        "mean speed of the nozzle while it prints",
        ("0.005 m/s", "0.5 m/s"),
        "0.06 m/s",
        default=assume("0.06 m/s", "0.04 m/s", "0.12 m/s", PRACTICE),
    )
    nozzle_temperature: float | None = quantity(
        "K",
        "hottest that the nozzle can be run",
        ("150 degC", "500 degC"),
        "260 degC",
        default=assume("260 degC", "240 degC", "300 degC", PRACTICE),
        fixed=HAS,
    )
    chamber: str | None = choice(
        "whether the printer is open or stands in a warm housing",
        ("open", "warm"),
        default=assume("open", "open", "warm", PRACTICE),
        fixed=HAS,
    )
    filament: str | None = choice(
        "what cores, jigs and covers are printed from, where no table names a print",
        PRINTED,
        default=assume("printed petg", "printed pla", "printed asa", PRACTICE),
    )
    fit: float | None = quantity(
        "m",
        "gap between printed parts that slide into one another, on each side",
        ("0 mm", "1 mm"),
        "0.2 mm",
        default=assume("0.2 mm", "0.1 mm", "0.35 mm", PRACTICE),
    )
    sheet_length: float | None = quantity(
        "m",
        "length of a sheet of foam",
        ("0.3 m", "4 m"),
        "1.25 m",
        default=assume("1.25 m", "1.0 m", "2.5 m", PRACTICE),
        fixed=HAS,
    )
    sheet_width: float | None = quantity(
        "m",
        "width of a sheet of foam",
        ("0.2 m", "2 m"),
        "0.60 m",
        default=assume("0.60 m", "0.50 m", "1.2 m", PRACTICE),
        fixed=HAS,
    )
    sheet_thickness: float | None = quantity(
        "m",
        "thickness of a sheet of foam",
        ("1 cm", "25 cm"),
        "50 mm",
        default=assume("50 mm", "30 mm", "80 mm", PRACTICE),
        fixed=HAS,
    )
    sheets: int | None = count(
        "sheets of foam at hand (left out: as many as it takes are bought)", (0, 60), 8, fixed=HAS
    )
    foam_cutter: str | None = choice(
        "what foam is cut with", CUTTERS, default=assume("fine saw", "fine saw", "hot wire", PRACTICE)
    )
    kerf: float | None = quantity(
        "m", "width of the cut in foam (left out: that of the cutter)", ("0 mm", "8 mm"), "1.5 mm"
    )
    stringer: float | None = quantity(
        "m",
        "thickness of a stringer set on edge along the middle, on which hold does not count (left out: none)",
        ("2 mm", "30 mm"),
        "6 mm",
        fixed="it belongs to the layout",
    )
    cloth_width: float | None = quantity(
        "m",
        "width of the roll of cloth",
        ("0.1 m", "2.5 m"),
        "1.0 m",
        default=assume("1.0 m", "0.8 m", "1.27 m", PRACTICE),
        fixed=HAS,
    )
    cloth_length: float | None = quantity(
        "m", "cloth at hand (left out: as much as it takes is bought)", ("0 m", "200 m"), "15 m", fixed=HAS
    )
    cloth_at_hand: float | None = quantity(
        "kg/m^2",
        "dry mass of the cloth that the shop has, where it is not the cloth of the laminate",
        ("0.02 kg/m^2", "1.2 kg/m^2"),
        "160 g/m^2",
        fixed=HAS,
    )
    overlap: float | None = quantity(
        "m",
        "how far two cuts of cloth lie over each other",
        ("10 mm", "20 cm"),
        "50 mm",
        default=assume("50 mm", "40 mm", "80 mm", "small-craft practice: 25 times the ply, at least 50 mm"),
    )
    mix_ratio: float | None = ratio(
        "mass of hardener over mass of resin",
        (0.005, 1.2),
        0.4,
        default=assume(0.4, 0.25, 0.5, "labels of laminating epoxies, common practice"),
        fixed=LABEL,
    )
    pot_life: float | None = quantity(
        "s",
        "working time of 100 g mixed at 25 degC",
        ("3 min", "5 h"),
        "30 min",
        default=assume("30 min", "15 min", "60 min", "labels of laminating epoxies, common practice"),
        fixed=LABEL,
    )
    cure_time: float | None = quantity(
        "s",
        "time at 25 degC until a layer can be sanded",
        ("30 min", "96 h"),
        "16 h",
        default=assume("16 h", "8 h", "24 h", "labels of laminating epoxies, common practice"),
        fixed=LABEL,
    )
    least_temperature: float | None = quantity(
        "K",
        "coldest at which the resin cures",
        ("0 degC", "30 degC"),
        "15 degC",
        default=assume("15 degC", "10 degC", "18 degC", "labels of laminating epoxies, common practice"),
        fixed=LABEL,
    )
    room_temperature: float | None = quantity(
        "K",
        "temperature of the room while resin cures",
        ("0 degC", "40 degC"),
        "20 degC",
        default=assume("20 degC", "15 degC", "25 degC", PRACTICE),
    )
    warmest_cure: float | None = quantity(
        "K",
        "warmest that a box or tent of the workshop can keep a part (left out: none)",
        ("15 degC", "120 degC"),
        "55 degC",
        fixed=HAS,
    )
    scale: float | None = quantity(
        "kg",
        "smallest step of the scale that resin is weighed on",
        ("0.01 g", "50 g"),
        "1 g",
        default=assume("1 g", "0.1 g", "5 g", PRACTICE),
    )
    bench: float | None = quantity(
        "m",
        "longest piece that the bench takes",
        ("0.5 m", "6 m"),
        "2.4 m",
        default=assume("2.4 m", "1.8 m", "3.0 m", PRACTICE),
    )
    metalwork: str | None = choice(
        "what can be done with metal",
        METALWORK,
        default=assume("saw and file", "none", "mill or lathe", PRACTICE),
    )
    crimper: str | None = choice(
        "what lugs and contacts are crimped with",
        CRIMPERS,
        default=assume("hydraulic crimper", "hand crimper", "hydraulic crimper", PRACTICE),
    )
    paper: str | None = choice(
        "paper that templates and cards are printed on",
        ("a4", "letter"),
        default=assume("a4", "a4", "letter", PRACTICE),
    )
    hours_a_week: float | None = quantity(
        "s",
        "hours of work in a week",
        ("0.5 h", "80 h"),
        "8 h",
        default=assume("8 h", "4 h", "15 h", PRACTICE),
        fixed="a week has the hours it has",
    )
    time: float | None = quantity(
        "s",
        "time until it shall be in the water (left out: as long as it takes)",
        ("1 day", "200 week"),
        "15 week",
        fixed="the season decides",
    )
    reserve: float | None = quantity(
        "1",
        "what is bought over what is needed",
        ("0 %", "100 %"),
        "15 %",
        default=assume("15 %", "10 %", "25 %", PRACTICE),
    )
    currency: str | None = text("currency that money is told in (left out: EUR)", "EUR")
    price_level: float | None = ratio(
        "what things cost here over the packaged prices, which are in euro",
        (0.01, 1000.0),
        1.0,
        default=assume(1.0, 0.7, 1.5, "hobby trade in Western Europe, common practice"),
        fixed="prices are what they are",
    )
    budget: float | None = ratio(
        "money for what is still to be bought (left out: no limit)", (0.0, 1e8), 2500.0, fixed="money is what it is"
    )
