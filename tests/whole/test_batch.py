"""Many designs at once are the same designs one by one: every number, verdict and reason."""

from __future__ import annotations

import numpy as np
import pytest

from foilwright.build import load
from foilwright.questions.ask import Answers, ask
from foilwright.questions.finding import judged
from foilwright.questions.report import why

DESIGNS = 200
WITHIN = 1e-10

VARIED = {
    "wing.area": (0.07, 0.21), "wing.span": (0.6, 1.2), "rider.mass": (45.0, 110.0), "mast.length": (0.4, 0.95),
    "propeller.pitch": (0.09, 0.2), "propeller.diameter": (0.11, 0.2), "stabiliser.incidence": (-0.07, 0.02),
    "pack.temperature": (268.0, 305.0), "water.depth": (0.6, 4.0), "water.chop": (0.0, 0.4),
    "controller.battery_current_limit": (20.0, 120.0), "rider.stance": (-0.3, 0.4), "targets.wing_depth": (0.1, 0.6),
    "mast.x": (0.3, 1.0), "fuselage.diameter": (0.012, 0.04), "board.length": (1.2, 2.2),
    "factors.board_drag": (0.7, 1.4), "factors.wing_lift": (0.8, 1.2), "factors.wing_drag": (0.7, 1.5),
    "factors.propeller_efficiency": (0.8, 1.1), "factors.pack_resistance": (0.7, 2.0),
    "factors.controller_heat_resistance": (0.5, 2.0), "factors.motor_heat_resistance": (0.6, 1.6),
    "factors.pack_heat_resistance": (0.5, 2.0), "factors.link_power": (0.05, 4.0), "factors.rider_reach": (0.5, 1.4),
    "factors.print_stiffness": (0.6, 1.3), "factors.print_strength": (0.6, 1.4),
    "wires.lead_area": (4e-6, 2.5e-5), "wires.fuse_rating": (30.0, 200.0), "wires.voltage_apart": (0.0, 0.15),
    "controller.plate_area": (0.002, 0.03), "charger.current": (1.0, 30.0), "charger.temperature": (268.0, 320.0),
}  # fmt: skip


def designs(seed: int, count: int) -> dict[str, np.ndarray | tuple[str, ...]]:
    random = np.random.default_rng(seed)
    vary: dict[str, np.ndarray | tuple[str, ...]] = {
        path: random.uniform(low, high, count) for path, (low, high) in VARIED.items()
    }
    vary["pack.parallel"] = random.integers(2, 9, count).astype(float)
    vary["wires.modules_side_by_side"] = random.integers(1, 4, count).astype(float)
    vary["controller.seat"] = tuple(random.choice(["closed box", "wetted plate", "mast or pod"], count))
    vary["charger.source"] = tuple(random.choice(["mains socket", "vehicle socket", "small power station"], count))
    vary["propeller.blades"] = random.integers(2, 5, count).astype(float)
    vary["wing.section"] = tuple(random.choice(["naca2412", "naca4412", "naca0009"], count))
    vary["rider.posture"] = tuple(random.choice(["prone", "kneeling", "standing"], count))
    vary["cell.kind"] = tuple(random.choice(["nmc energy cylindrical", "lco pouch", "lfp cylindrical"], count))
    return vary | box_and_link(seed + 1, count) | structure(seed + 2, count)


BOX = {
    "box.lid_thickness": (0.002, 0.012), "box.closed_temperature": (280.0, 318.0), "box.hottest": (290.0, 330.0),
    "box.relief_area": (0.0, 1e-3), "measured.box_vacuum": (16e3, 20e3), "measured.box_vacuum_left": (12e3, 20e3),
    "measured.box_vacuum_time": (600.0, 2400.0), "radio.antenna_height": (0.0, 0.4), "radio.hold_time": (0.05, 0.6),
    "radio.distance": (2.0, 60.0), "radio.receiver_capacitance": (0.0, 3e-3), "measured.drop_outs": (1e-4, 0.2),
}  # fmt: skip


def box_and_link(seed: int, count: int) -> dict[str, np.ndarray | tuple[str, ...]]:
    random = np.random.default_rng(seed)
    vary: dict[str, np.ndarray | tuple[str, ...]] = {
        path: random.uniform(low, high, count) for path, (low, high) in BOX.items()
    }
    vary["box.vent"] = tuple(random.choice(["none", "tight", "open"], count))
    vary["box.seal"] = tuple(random.choice(["sponge 2x1", "silicone 2d4", "cord"], count))
    vary["box.lid_material"] = tuple(random.choice(["acrylic", "aluminium", "printed petg"], count))
    vary["radio.band"] = tuple(random.choice(["433 MHz", "868 MHz", "2400 MHz"], count))
    vary["radio.antenna_place"] = tuple(random.choice(["on deck", "in the box below deck"], count))
    vary["radio.loss_action"] = tuple(random.choice(["zero", "last value"], count))
    return vary


STRUCTURE = {
    "mast.fill": (0.3, 1.0), "mast.infill": (0.05, 0.4), "mast.chord": (0.09, 0.16),
    "mast.rod_diameter": (0.004, 0.009),
    "base.thickness": (0.004, 0.012), "base.pitch_y": (0.05, 0.1), "loads.touchdown": (2.0, 4.0),
    "workshop.bed_z": (0.12, 0.4), "workshop.sheet_thickness": (0.02, 0.1), "workshop.scale": (1e-4, 8e-3),
    "workshop.room_temperature": (282.0, 303.0), "workshop.hours_a_week": (7200.0, 90000.0),
    "workshop.budget": (1000.0, 6000.0), "workshop.warmest_cure": (300.0, 350.0), "laminate.cloth": (0.1, 0.4),
    "sun.irradiance": (0.0, 1100.0), "measured.print_across": (8e6, 3e7), "fuselage.fill": (0.2, 1.0),
}  # fmt: skip


def structure(seed: int, count: int) -> dict[str, np.ndarray | tuple[str, ...]]:
    random = np.random.default_rng(seed)
    vary: dict[str, np.ndarray | tuple[str, ...]] = {
        path: random.uniform(low, high, count) for path, (low, high) in STRUCTURE.items()
    }
    stuffs = ["aluminium", "printed pla", "printed petg", "carbon laminate", "timber"]
    for path in ("mast.material", "base.material", "fuselage.material"):
        vary[path] = tuple(random.choice(stuffs, count))
    vary["mast.print"] = tuple(random.choice(["standing", "lying"], count))
    vary["mast.wrap"] = random.integers(0, 4, count).astype(float)
    vary["mast.rods"] = random.integers(0, 4, count).astype(float)
    vary["mast.pieces"] = random.integers(1, 5, count).astype(float)
    vary["base.insert"] = tuple(random.choice(["plywood plate", "full-height block", "skin only"], count))
    vary["sun.mast"] = tuple(random.choice(["white", "black"], count))
    vary["workshop.printers"] = random.integers(0, 3, count).astype(float)
    vary["workshop.crimper"] = tuple(random.choice(["hand crimper", "hydraulic crimper"], count))
    vary["fixings.wing_hold"] = tuple(random.choice(["through bolts", "heat-set inserts"], count))
    vary["fixings.pegs"] = random.integers(0, 4, count).astype(float)
    vary["fixings.tie_rods"] = random.integers(0, 4, count).astype(float)
    return vary


def same(one: Answers, many: Answers, row: int) -> None:
    for name, values in one.numbers.items():
        np.testing.assert_allclose(many.numbers[name][row], values[0], rtol=WITHIN, atol=WITHIN, err_msg=name)
    for question, findings in one.findings.items():
        assert [f.id for f in findings] == [f.id for f in many.findings[question]]
        for single, batch in zip(findings, many.findings[question], strict=True):
            label = f"{single.id}, design {row}"
            for what in ("demand", "capacity", "margin", "required"):
                np.testing.assert_allclose(
                    getattr(batch, what)[row], getattr(single, what)[0], rtol=WITHIN, atol=WITHIN, err_msg=label
                )
            assert batch.verdict[row] == single.verdict[0], label
            assert batch.applies[row] == single.applies[0], label
            assert batch.cases[batch.case[row]] == single.cases[single.case[0]], label
            assert why(batch, row) == why(single, 0), label


@pytest.mark.parametrize("name", ["lake", "first-try"])
def test_findings_judged_together_are_each_by_itself(name: str) -> None:
    found = ask(load.scenario(name), vary={"wing.area": np.linspace(0.05, 0.25, 40)}).all()
    together = judged(found)
    for k, each in enumerate(found):
        alone = each.judged()
        for what in ("margin", "shortfall", "reason", "verdict"):
            np.testing.assert_array_equal(getattr(together, what)[:, k], getattr(alone, what), err_msg=each.id)


@pytest.mark.parametrize("question", ["afloat", "rise", "fly", "push", "endure", "hold", "dry", "obey", "makeable"])
def test_every_question_takes_part(question: str) -> None:
    assert question in ask(load.scenario("lake")).findings


def test_two_hundred_designs_equal_their_members() -> None:
    build = load.scenario("lake")
    vary = designs(seed=7, count=DESIGNS)
    many = ask(build, vary=vary)
    assert many.designs == DESIGNS
    verdicts = {int(v) for finding in many.all() for v in np.unique(finding.verdict)}
    assert verdicts == {0, 1, 2, 3}, "the designs must reach every verdict, or the test shows little"
    for row in range(DESIGNS):
        one = ask(build, vary={path: values[row : row + 1] for path, values in vary.items()})
        same(one, many, row)
