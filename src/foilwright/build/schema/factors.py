"""What the craft has over what the models say: the models' error bands, and what days on the water teach."""

from __future__ import annotations

from foilwright.build.schema.base import Block
from foilwright.build.schema.field import assume, ratio, text

FOUND = "what a model errs by is found on the water"


class Factors(Block):
    """What the craft has over what the models say; 1 until the water tells otherwise."""

    board_drag: float | None = ratio(
        "resistance of the board on the water over what the models say",
        (0.4, 2.5),
        1.1,
        default=assume(
            1.0, 0.75, 1.25, "hump and planing formulas against towed models, common practice: a quarter", "normal"
        ),
        fixed=FOUND,
    )
    wing_lift: float | None = ratio(
        "lift of the wing at an angle, and its most, over what the models say",
        (0.5, 1.5),
        0.95,
        default=assume(1.0, 0.9, 1.08, "home-made against computed sections, estimate"),
        fixed=FOUND,
    )
    wing_drag: float | None = ratio(
        "drag of the wing at a lift over what the models say",
        (0.5, 2.5),
        1.1,
        default=assume(1.0, 0.9, 1.3, "home-made against computed sections, estimate"),
        fixed=FOUND,
    )
    propeller_efficiency: float | None = ratio(
        "thrust of the propeller for the power in its shaft over what the models say",
        (0.5, 1.3),
        0.96,
        default=assume(1.0, 0.9, 1.05, "home-made blades behind a pod against the open-water series, estimate"),
        fixed=FOUND,
    )
    pack_resistance: float | None = ratio(
        "resistance of cells and links over what the models say",
        (0.4, 4.0),
        1.2,
        default=assume(1.0, 0.85, 1.4, "cells new to some hundred cycles old, common practice"),
        fixed=FOUND,
    )
    controller_heat_resistance: float | None = ratio(
        "thermal resistance from the controller to air and water over what the models say (left out: theirs)",
        (0.2, 5.0),
        1.2,
        fixed=FOUND,
    )
    motor_heat_resistance: float | None = ratio(
        "thermal resistance from the winding to the water over motor.thermal_resistance (left out: the same)",
        (0.2, 5.0),
        1.2,
        fixed=FOUND,
    )
    pack_heat_resistance: float | None = ratio(
        "thermal resistance from the cells to the air around over what pack.cooling gives (left out: the same)",
        (0.2, 5.0),
        1.2,
        fixed=FOUND,
    )
    link_power: float | None = ratio(
        "power that arrives over the throttle's link over what the models say; 0.1 is a loss of 10 dB (left out:"
        " theirs)",
        (0.0001, 1000.0),
        0.25,
        fixed=FOUND,
    )
    print_stiffness: float | None = ratio(
        "stiffness of printed parts over what the book says (left out: the book's)",
        (0.2, 3.0),
        0.9,
        fixed=FOUND,
    )
    print_strength: float | None = ratio(
        "strength of printed parts over that of the book or of the coupons (left out: the same)",
        (0.2, 3.0),
        0.9,
        fixed=FOUND,
    )
    rider_reach: float | None = ratio(
        "how far the rider's weight goes from the middle of its reach, over what is written (left out: as written)",
        (0.1, 3.0),
        0.8,
        fixed=FOUND,
    )
    read_on: str | None = text("days on the water that these were read from, as learn writes them", "2026-05-17")
