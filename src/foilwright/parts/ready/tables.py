"""Tables of the cards, each from one build's answers: a head and rows of text; an empty cell is written into."""

from __future__ import annotations

import functools
import itertools
import tomllib
from collections.abc import Callable, Iterable, Sequence
from fnmatch import fnmatchcase

import numpy as np

from foilwright.core.data import folder, table
from foilwright.parts.ready import running, workshop
from foilwright.parts.ready.card import GAP
from foilwright.parts.ready.facts import Facts, shown
from foilwright.physics import pack
from foilwright.questions import report
from foilwright.questions.ask import QUESTIONS
from foilwright.study.spread.measuring import how

Row = tuple[str, ...]
MOST = 14
"""Lines of what was left assumed, those behind the findings with the least to spare first."""
DECIDED = ("factors", "ride", "targets", "charger", "loads")
"""Tables that are decided, or found by trials, and not measured at the bench."""
CHARGES = (1.0, 0.8, 0.6, 0.5, 0.4, 0.3, 0.2, 0.1)
"""Charges at which the voltage at rest is printed."""


@functools.cache
def patterns() -> tuple[tuple[str, ...], ...]:
    """Return which fields each card of measurements settles."""
    tree = tomllib.loads((folder() / "cards" / "measuring.toml").read_text(encoding="utf-8"))
    return tuple(tuple(card["measures"]) for card in tree["card"])


def assumed_of(facts: Facts, measures: Sequence[str]) -> list[str]:
    """Return which of some fields this build left assumed or open; ``material.*`` stands for a pattern."""
    paths = facts.build.paths()
    named = dict.fromkeys(path for pattern in measures for path in paths if fnmatchcase(path, pattern))
    unread = {path for path in named if path.startswith("measured.") and path not in facts.build.values}
    return [path for path in named if path in facts.assumed or path in unread]


def why_measure(facts: Facts, measures: Sequence[str]) -> str:
    """Return what a way to measure would settle in this build."""
    left = assumed_of(facts, measures)
    if not left:
        return "This build states all that this measures; do it to check what was stated."
    told = [f"{path} {facts.assumed[path]}" for path in left if path in facts.assumed]
    unread = [path for path in left if path not in facts.assumed]
    first = f"This build assumes {'; '.join(told[:4])}{' and more' if len(told) > 4 else ''}." if told else ""
    second = f"Not measured yet: {', '.join(unread)}." if unread else ""
    return f"{first} {second}".strip()


def _verdicts(facts: Facts) -> Iterable[Row]:
    yield "Question", "Verdict", "Held back by"
    for question in QUESTIONS:
        worst = facts.answers.worst_first(question=question.name)
        verdict = facts.answers.verdict(question.name)
        yield question.name, verdict.upper() if verdict == "fails" else verdict, worst[0].name if worst else ""


def _grave(facts: Facts) -> Iterable[Row]:
    yield "Question", "What fails, or is not known and can hurt or burn", "Settled"
    for finding, verdict in facts.grave:
        open_ = f" (not known{f': write {finding.missing}' if finding.missing else ''})"
        yield finding.question, finding.name + (open_ if verdict == "unknown" else ""), GAP


def stages(facts: Facts) -> list[tuple[str, str, list[str]]]:
    """Return each stage of the trials, its name, and the questions that stand in its way."""
    book = table("cards/stages")
    found = []
    for stage, name, gates in zip(book.columns["stage"], book.texts["name"], book.texts["gates"], strict=True):
        found.append((f"{stage:.0f}", name, grave_of(facts, gates.split())))
    return found


def grave_of(facts: Facts, questions: Sequence[str]) -> list[str]:
    """Return which of some questions have a finding that fails, or an unknown one that can hurt or burn."""
    grave = {finding.question for finding, _ in facts.grave}
    return [question for question in questions if question in grave]


def listed(questions: Sequence[str]) -> str:
    """Return questions as the subject of a sentence: ``rise, fly and hold are``."""
    *first, last = questions
    return f"{', '.join(first)} and {last} are" if first else f"{last} is"


def _gates(facts: Facts) -> Iterable[Row]:
    yield "Stage", "What is done", "Ready by the answers?", "Done"
    for stage, name, barred in stages(facts):
        yield stage, name, f"not before {listed(barred)} cured" if barred else "yes", GAP


def _to_measure(facts: Facts) -> Iterable[Row]:
    yield "Assumed in this build", "Find it out by", "Takes"
    resting = [finding.inputs for finding, _ in report.ranked(facts.answers)]
    ranks = {path: k for k, inputs in reversed(list(enumerate(resting))) for path in inputs}
    measured = {pattern for card in patterns() for pattern in card}
    left = [
        path
        for path in facts.assumed
        if path in ranks and path.partition(".")[0] not in DECIDED and not any(fnmatchcase(path, p) for p in measured)
    ]
    for path in sorted(left, key=lambda path: ranks[path])[:MOST]:
        yield f"{path} {facts.assumed[path]}", *how(facts.build, path)


def _masses(facts: Facts) -> Iterable[Row]:
    yield "Part", "Computed", "Weighed"
    book = facts.state.weights.masses
    for name, piece in book.pieces.items():
        yield name.removeprefix("part."), _mass(piece.mass[0]), GAP
    yield "sum of these", _mass(book.planned[0]), GAP
    spare = book.mass[0] - book.planned[0]
    if spare > 1e-3:
        yield "not thought of (glue, paint, screws)", _mass(spare), GAP
    yield "whole craft, without rider", _mass(book.mass[0]), GAP
    yield "balance point, from the tail", f"{book.x[0] * 100:.0f} cm", GAP
    yield "rider with kit, wet", f"{facts.state.weights.rider[0]:.1f} kg", GAP


def _mass(kilograms: float) -> str:
    return f"{kilograms:.2f} kg" if kilograms >= 1.0 else f"{kilograms * 1000.0:.0f} g"


def _rest_voltage(facts: Facts) -> Iterable[Row]:
    yield "Charge", "One cell at rest", "Pack at rest"
    supply, series = facts.state.supply, facts.state.craft.pack.series
    for charge in CHARGES:
        volts = pack.open_voltage(cell=supply.tables, charge=np.array([charge]), series=series)
        yield f"{charge * 100:.0f} %", f"{volts[0] / series[0]:.2f} V", f"{volts[0]:.1f} V"


def _charge_log(_: Facts) -> Iterable[Row]:
    yield "Date", "Before: V, °C", "Put in: Ah", "After: V", "Cells apart: mV", "Stored at: V"
    yield from itertools.repeat((GAP,) * 6, 8)


def _session(facts: Facts) -> Iterable[Row]:
    yield "Key", "What to write", "Reading"
    book = table("cards/session").texts
    for heading, key, example, says in zip(book["table"], book["key"], book["example"], book["says"], strict=True):
        if heading in ("session", "water", "pack", "leak"):
            yield f"{heading}.{key}", f"{says}, like {example}", _known(facts, key)


def _known(facts: Facts, key: str) -> str:
    return {"build": f"{facts.build.name} {facts.build.hash}"}.get(key, GAP)


def _runs(_: Facts) -> Iterable[Row]:
    book = table("cards/session").texts
    keys = [key for heading, key in zip(book["table"], book["key"], strict=True) if heading == "run"]
    yield tuple(keys)
    yield from itertools.repeat((GAP,) * len(keys), 9)


def _seen(_: Facts) -> Iterable[Row]:
    yield "Tick", "seen", "What it looks like"
    book = table("cards/seen").texts
    for name, looks in zip(book["seen"], book["looks"], strict=True):
        yield GAP, name, looks


def _wind(_: Facts) -> Iterable[Row]:
    yield "Beaufort", "Wind", "The water looks", "This craft"
    book = table("cards/beaufort")
    for k, force in enumerate(book.columns["force"]):
        low, high = (book.columns[name][k] for name in ("low", "high"))
        if force <= 5:
            yield f"{force:.0f}", f"{low:.1f} to {high:.1f} m/s", book.texts["sea"][k], book.texts["use"][k]


def _faults(_: Facts) -> Iterable[Row]:
    yield "What happens", "Look first at", "Then"
    book = table("cards/faults").texts
    yield from zip(book["happens"], book["first"], book["then"], strict=True)


def _floats(_: Facts) -> Iterable[Row]:
    yield "Float of", "For", "Turns a fainted wearer face up"
    book = table("cards/flotation")
    for newton, use, turns in zip(book.columns["newton"], book.texts["use"], book.texts["turns"], strict=True):
        yield f"{newton:.0f} N", use, turns


def _temperatures(facts: Facts) -> Iterable[Row]:
    limits, craft = facts.state.supply.limits, facts.state.craft
    yield "Where", "Watch from", "Stop at", "Reading"
    warm = np.fmin(limits.warm, craft.pack.temperature_limit - 10.0)
    yield "pack, between two cells", shown(warm, "K"), shown(craft.pack.temperature_limit, "K"), GAP
    yield "motor housing, outside", "50 °C", "60 °C", GAP
    yield "controller", "60 °C", "80 °C", GAP
    yield "contacts and plugs", "40 °C", "60 °C", GAP


TABLES: dict[str, Callable[[Facts], Iterable[Row]]] = {
    "verdicts": _verdicts, "grave": _grave, "gates": _gates, "to_measure": _to_measure, "masses": _masses,
    "rest_voltage": _rest_voltage, "charge_log": _charge_log, "session": _session, "runs": _runs, "seen": _seen,
    "wind": _wind, "faults": _faults, "floats": _floats, "temperatures": _temperatures,
    "as_built": workshop.as_built, "goods": workshop.goods, "torque": workshop.torque,
    "retorque": workshop.retorque, "proof": workshop.proof, "shim": workshop.shim,
    "plug_in": workshop.plug_in, "throttle": running.throttle, "tow": running.tow, "run_marks": running.run_marks,
    "flight_marks": running.flight_marks, "legs": running.legs,
}  # fmt: skip
"""Every table that a card may name."""
