"""A diagnosis as text of 80 columns, and as the documented tree for JSON."""

from __future__ import annotations

import math
import re
import textwrap
from typing import Any

import numpy as np

from foilwright.core import units
from foilwright.study.learn.causes import AS_DESIGNED, SOMETHING_ELSE, value_of
from foilwright.study.learn.diagnose import DOUBT, Correction, Diagnosis
from foilwright.study.learn.model import CHARGE, corrections, not_asked_for
from foilwright.study.learn.next_reading import Next
from foilwright.study.learn.predict import EFFECTS
from foilwright.study.learn.rank import TIMES, speaks

WIDE = 80
SHOWN = 6
"""Explanations that are listed at most, and readings that speak for or against each."""
SPEAKING = 3
LEAST = 0.02
WORTH = 0.1
"""Probability of two at once from which on it is told."""
STOPS = {
    "thrust": "too little thrust at the hump", "sag": "the pack sags, and thrust lacks at the hump",
    "current limit": "a current limit takes the thrust at the hump",
    "lift before stall": "too little wing: it stalls before it carries all", "stall": "the stabiliser stalls",
    "reach": "the rider's weight cannot go where the balance needs it: move it aft or kneel; more motor does not help",
    "nose dives": "the load lies ahead of the bottom: the nose dives",
    "tail drags": "the load lies behind the tail: it drags", "ventilation": "the wing is too near the surface",
    "shallow water": "the water is too shallow", "sinks": "the board carries too little",
}  # fmt: skip
"""What stops a design, in words, by the reason that the models give."""
CAUTION = (
    "This ranks explanations under the models and their errors; it does not say that a craft is safe. Pull the"
    " plug before touching propeller or pack, and go by the rules of the place."
)


def text(found: Diagnosis) -> str:
    """Return a diagnosis in plain words, 80 columns wide."""
    trial = found.trial
    days = ", ".join(trial.dates) or "no date"
    lines = _wrap(f"{found.build.name}: {len(found.readings)} readings ({days})")
    for note in trial.notes:
        lines += _wrap(f"Note: {note}.", "  ")
    for each in found.aside:
        lines += _wrap(f"Set aside, because no likely explanation tells it: {each.says} ({each.source}).", "  ")
    head, told = headline(found)
    lines += ["", head.upper(), *_wrap(told, "  "), "", "WHAT EXPLAINS IT"]
    for k in shown(found):
        lines += _explanation(found, k)
    lines += _wrap(others(found), "  ")
    lines += _wrap(two_at_once(found), "  ")
    lines += ["", "THE DESIGN ITSELF, if nothing is wrong with the craft"]
    for told in stops(found):
        lines += _wrap(told, "  ")
    lines += ["", *_next(found), "", *_corrections(found), "", *_wrap(CAUTION)]
    return "\n".join(lines) + "\n"


UNIT = re.compile(r"(?<=\d) (?=(?:%|°C|[A-Za-zΩ·²³/]{1,5})(?:[\s,.;:)]|$))")
KEPT = "\u00a0"


def _wrap(told: str, indent: str = "", hang: int = 0) -> list[str]:
    """Return lines of 80 columns in which no number is parted from its unit."""
    lines = textwrap.wrap(
        UNIT.sub(KEPT, told), WIDE, initial_indent=indent, subsequent_indent=indent + " " * hang, break_on_hyphens=False
    )
    return [line.replace(KEPT, " ") for line in lines]


NO_FIT = (
    "No single explanation tells these readings within the errors of models and instruments: a reading is wrong,"
    " something is true that is not listed, or two things are at once. Nothing should be changed on their word."
)


TWO = "No single explanation tells these readings as well as two at once do; which two stands below."


def headline(found: Diagnosis) -> tuple[str, str]:
    """Return whether something leads, and what, or what is not told apart, in a sentence."""
    order, chance = found.order, found.found.probability
    first = order[0]
    name = found.causes[first].name
    if found.fits and found.clear:
        told = name[0].upper() + name[1:] + "."
        if found.causes[first].id == AS_DESIGNED:
            told += f" What stops it: {STOPS.get(found.stops[0][0], 'nothing')}."
        return f"most likely  {percent(chance[first])}", told
    alike = [k for k in order if chance[k] * TIMES > chance[first]][:4]
    told = "; ".join(f"{found.causes[k].name} ({percent(chance[k])})" for k in alike)
    if not found.fits:
        told = NO_FIT
    elif found.two.probability >= DOUBT:
        told = TWO
    elif len(alike) == 1:
        told = f"The likeliest is: {told}; that is not enough to act on. What to read next stands below."
    else:
        told = f"These readings do not tell apart: {told}. What to read next stands below."
    return "cannot tell", told


def two_at_once(found: Diagnosis) -> str:
    """Return which two explanations would tell the readings together, where that is worth a word."""
    if found.two.probability < WORTH or not found.two.pairs:
        return ""
    told = "; ".join(
        f"{found.causes[each.one].name}, and {found.causes[each.other].name} ({percent(each.share)})"
        for each in found.two.pairs
    )
    head = f"Two at once, against any single explanation: {percent(found.two.probability)}"
    return f"{head}. The likeliest pairs, as far as traces add: {told}. Look at both."


def percent(share: float) -> str:
    """Return a probability in words of whole per cents."""
    if share < 0.01:
        return "less than 1 %"
    return f"{min(round(100.0 * share), 99)} %"


def _bar(share: float) -> str:
    return "█" * round(20 * share) + "·" * (20 - round(20 * share))


def _explanation(found: Diagnosis, k: int) -> list[str]:
    cause, chance = found.causes[k], float(found.found.probability[k])
    lines = [f"  {_bar(chance)} {percent(chance):>6}", *_wrap(cause.name, "    ")]
    for what, said in zip(("for", "against"), spoken(found, k), strict=True):
        for each in said:
            lines += _wrap(f"{what}: {each}", "      ", hang=len(what) + 2)
    for each in would_be(found, k):
        lines += _wrap(each, "      ", hang=2)
    if out := ways_out(found, k):
        lines += _wrap(f"way out: {'; or '.join(out)}", "      ", hang=9)
    return lines


def shown(found: Diagnosis) -> list[int]:
    """Return the explanations that are worth a word, likeliest first."""
    return [k for k in found.order[:SHOWN] if found.found.probability[k] >= LEAST]


def spoken(found: Diagnosis, k: int) -> tuple[list[str], list[str]]:
    """Return the readings that speak for an explanation and against it, the loudest first."""
    pro, con = speaks(found.found, found.causes, found.readings, k)
    return [found.readings[j].says for j in pro[:SPEAKING]], [found.readings[j].says for j in con[:SPEAKING]]


def would_be(found: Diagnosis, k: int) -> list[str]:
    """Return what fields would be, where the likeliest explanation is true."""
    if k != found.order[0]:
        return []
    return [_value(found, *each) for each in found.values if each[0] not in EFFECTS]


def ways_out(found: Diagnosis, k: int) -> tuple[str, ...]:
    """Return the ways out of an explanation, where it has its own or is likely."""
    cause = found.causes[k]
    own = cause.id not in (AS_DESIGNED, SOMETHING_ELSE) or float(found.found.probability[k]) > 0.2
    return cause.ways_out if own else ()


def _value(found: Diagnosis, path: str, value: float, low: float, high: float) -> str:
    unit = found.build.meta(path).unit
    written, ends = value_of(found.build, path), sorted((low, high))
    shown = [units.show(each, unit) for each in (value, *ends, written)]
    return f"then {path} would be {shown[0]} ({shown[1]} to {shown[2]}) instead of {shown[3]}"


def others(found: Diagnosis) -> str:
    """Return what the explanations have together that are not worth a word."""
    rest = [k for k in found.order if k not in shown(found)]
    return f"{len(rest)} others share {percent(float(found.found.probability[rest].sum()))}."


def stops(found: Diagnosis) -> list[str]:
    """Return what stops the design as it stands, which is a design's matter and no fault."""
    reasons = [(STOPS.get(reason, reason), chance) for reason, chance in found.stops]
    if not reasons or reasons[0][0].startswith("nothing"):
        return ["leaves the water, as the models have it."]
    told = "; ".join(f"{name} ({percent(chance)})" for name, chance in reasons[:3] if chance >= 0.08)
    lines = [f"does not leave the water: {told}."]
    speed, share = found.carried
    if np.isfinite(share) and share >= 0.1:
        part = (
            f"At {units.show(speed, 'm/s')} its wing carries {percent(share)} of the weight: it rides higher and stays"
        )
        lines.append(f"{part} on the water.")
    if found.stops[0][0] == "reach" and _lying(found):
        lines.append("Lying, the legs drag as well: shins up.")
    return lines


def _lying(found: Diagnosis) -> bool:
    return any(scene.values.get("rider.posture") == "prone" for scene in found.trial.scenes)


def _next(found: Diagnosis) -> list[str]:
    if not found.next:
        return ["READ NEXT", *_wrap("nothing on the sheet would tell the explanations apart any further", "  ")]
    first, *rest = found.next
    takes = f"about {first.minutes:.0f} min, {first.gain:.2f} bit of what is open"
    lines = ["READ NEXT", *_wrap(f"{first.says}: {takes}", "  ", hang=2)]
    lines += _wrap(first.line, "    ", hang=4)
    expects = expected(found, first)
    lines += _wrap(f"expected: {expects}", "    ", hang=4) if expects else []
    for each in rest[:3]:
        lines += _wrap(f"or {each.says}: {each.minutes:.0f} min, {each.gain:.2f} bit", "  ", hang=2)
    return lines


UNITS = {"bollard": "N", "tow": "N", "amps": "A", "volts": "V", "capacity": "A*s"}


def expected(found: Diagnosis, each: Next) -> str:
    """Return what the leading explanations expect of a reading, where it has a unit."""
    if each.kind not in UNITS:
        return ""
    shown = [(found.causes[k].name, units.show(math.exp(value), UNITS[each.kind])) for k, value in each.expects]
    return "; ".join(f"{amount} if {name}" for name, amount in shown[:3])


def _corrections(found: Diagnosis) -> list[str]:
    lines = ["CORRECTIONS under the likeliest explanation: factor on what the models say,"]
    lines += ["with the ends of its 90 % interval"]
    for one in found.corrections:
        if one.name != CHARGE:
            said = "" if one.told else "  not told by these"
            lines.append(f"  {one.says:<36}{one.factor:5.2f}  {one.low:.2f} to {one.high:.2f}{said}".rstrip())
    for each in (*not_apart(found), not_asked(found)):
        lines += _wrap(each, "  ")
    return lines


def not_asked(found: Diagnosis) -> str:
    """Return what would tell corrections of which these readings say nothing at all."""
    told = "; ".join(not_asked_for(found.trial.readings).reading)
    return f"Other corrections would be told by: {told}." if told else ""


def not_apart(found: Diagnosis) -> list[str]:
    """Return which corrections these readings do not tell apart, and what would."""
    known = corrections(found.trial.readings)
    what = dict(zip(known.names, known.reading, strict=True))
    out = []
    for one, two, _alike in found.together:
        by = " or ".join(what[name] for name in (one, two))
        told = f"{_plain(one)} and {_plain(two)} cannot be told apart by these readings, only their combination"
        out.append(f"{told}; {by} would.")
    return out


def _plain(name: str) -> str:
    return name.replace("_", " ")


def number(value: float) -> float | None:
    """Return a number that JSON can hold; none where there is none."""
    return float(value) if np.isfinite(value) else None


def document(found: Diagnosis) -> dict[str, Any]:
    """Return a diagnosis as plain data for JSON; numbers in SI."""
    return {
        "format": 1,
        "build": {"name": found.build.name, "file": found.build.file, "hash": found.build.hash},
        "dates": list(found.trial.dates),
        "notes": list(found.trial.notes),
        "clear": found.clear,
        "fits": found.fits,
        "leader": found.leader.id,
        "explanations": [_explained(found, k) for k in found.order],
        "stops": [{"reason": reason, "probability": chance} for reason, chance in found.stops],
        "next": [
            {"name": each.name, "says": each.says, "line": each.line, "minutes": each.minutes, "gain": each.gain}
            for each in found.next
        ],
        "corrections": [_corrected(each) for each in found.corrections],
        "not_told_apart": [{"names": [one, two], "correlation": alike} for one, two, alike in found.together],
        "two_at_once": {
            "probability": found.two.probability,
            "pairs": [
                {"ids": [found.causes[each.one].id, found.causes[each.other].id], "share": each.share}
                for each in found.two.pairs
            ],
        },
        "set_aside": [each.says for each in found.aside],
        "readings": [
            {"kind": each.kind, "says": each.says, "source": each.source, "value": number(each.value)}
            for each in found.readings
        ],
    }


def _explained(found: Diagnosis, k: int) -> dict[str, Any]:
    cause = found.causes[k]
    pro, con = speaks(found.found, found.causes, found.readings, k)
    return {
        "id": cause.id, "name": cause.name, "probability": float(found.found.probability[k]), "prior": cause.prior,
        "log_evidence": number(found.found.log_evidence[k]),
        "for": [found.readings[j].says for j in pro], "against": [found.readings[j].says for j in con],
        "changes": [each.path for each in cause.changes], "ways_out": list(cause.ways_out),
    }  # fmt: skip


def _corrected(each: Correction) -> dict[str, Any]:
    return {
        "name": each.name, "path": each.path or None, "factor": each.factor, "low": each.low, "high": each.high,
        "told": each.told,
    }  # fmt: skip
