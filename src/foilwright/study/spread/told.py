"""A spread as plain text of 80 columns and as the documented tree for JSON."""

from __future__ import annotations

from typing import Any

from foilwright.core.units import SHOWN
from foilwright.questions import report
from foilwright.questions.report_text import wrapped
from foilwright.study.spread.chances import Chance, Deciding, Spread
from foilwright.study.spread.measuring import how
from foilwright.study.spread.ranges import Range

LISTED = 12
"""Findings shown one by one."""
FEWER = 5
"""Findings named in a sentence."""
NAMED = 44
"""Columns for the name of a finding."""
ROUGH = 0.6
"""Share explained below which the sensitivities are called rough."""


def text(spread: Spread) -> str:
    """Return a spread in plain words."""
    over = sum(each.path.startswith("factors.") for each in spread.ranges)
    lines = wrapped(
        f"SPREAD  {spread.samples} likely versions of this build: {len(spread.ranges) - over} inputs over the range in"
        f" which they may lie, {over} model bands; what is written or measured is taken as exact."
    )
    lines += wrapped(f"Nothing fails in {_share(*spread.nothing_fails)} of them.", "  ")
    lines += ["", *_findings(spread), "", *_measure(spread)]
    return "\n".join(lines) + "\n"


def _share(share: float, low: float, high: float) -> str:
    """Return a share with its confidence in percent."""
    return f"{_percent(share)} ({_percent(low)} to {_percent(high)} with 95 % confidence)"


def _percent(share: float) -> str:
    return report.percent(share)


def _findings(spread: Spread) -> list[str]:
    """Return the findings that fail in some, one a line, the likeliest first; the others in a sentence each."""
    every = [each for each in spread.chances if each.counts["fails"] == spread.samples]
    some = [each for each in spread.chances if 0 < each.counts["fails"] < spread.samples]
    unknown = [each for each in spread.chances if each.counts["unknown"] and each not in some]
    never = [each for each in spread.chances if each not in every and each not in some and each not in unknown]
    lines = [f"  {'finding':<{NAMED}} {'now':<8}{'fails in':>9}  95 % within"] if some else []
    for each in some[:LISTED]:
        name = each.name if len(each.name) <= NAMED else f"{each.name[: NAMED - 3]}..."
        between = f"{100.0 * each.low:.1f} to {100.0 * each.high:.1f} %"
        lines.append(f"  {name:<{NAMED}} {each.nominal or '-':<8}{_percent(each.fails):>9}  {between}")
    if len(some) > LISTED:
        lines += wrapped(f"{len(some) - LISTED} others fail less often; --json lists them.", "  ")
    if every:
        lines += wrapped(f"Fails in each of them: {_listed(every)}.", "  ", hang=2)
    if unknown:
        lines += wrapped(f"Not known in some or all of them: {_listed(unknown)}.", "  ", hang=2)
    if never:
        most = max(each.high for each in never)
        told = f"{len(never)} findings fail in none of them: each is less likely than {_percent(most)}."
        lines += wrapped(told, "  ")
    return lines


def _listed(chances: list[Chance]) -> str:
    """Return the names of findings, the first few of many."""
    told = "; ".join(each.name for each in chances[:FEWER])
    more = len(chances) - FEWER
    return f"{told}; and {more} more" if more > 0 else told


def _measure(spread: Spread) -> list[str]:
    """Return the inputs to measure first and how."""
    if not spread.deciding:
        return ["  Nothing is uncertain that moves a verdict."]
    if spread.in_doubt:
        lines = wrapped("MEASURE FIRST, because these decide most of what is in doubt:")
    else:
        lines = wrapped("No verdict hangs on what is uncertain. What moves the margins nearest to failing most:")
    for place, each in enumerate(spread.deciding, start=1):
        lines += wrapped(f"{place}. {_range(each.range)}: {_part(each)}.", "  ", hang=3)
        told, takes = how(spread.build, each.range.path)
        lines += wrapped(f"How: {told} ({takes}).", "     ", hang=2)
        lines += wrapped(f"It decides: {', '.join(_names(spread, each))}.", "     ", hang=2)
    rough = [each for each in spread.chances if each.doubt > 0.01 and each.explained < ROUGH]
    if rough:
        lines += wrapped(
            f"Roughly only: the inputs' parts explain {_percent(min(each.explained for each in rough))} of the least"
            " well explained finding; more samples tell more.",
            "  ",
        )
    return lines


def _names(spread: Spread, deciding: Deciding) -> list[str]:
    names = {each.id: each.name for each in spread.chances}
    return [names[each].lower() for each in deciding.findings]


def _part(each: Deciding) -> str:
    """Return which part of what is in doubt an input decides."""
    alone, whole = _percent(each.first), _percent(each.total)
    return f"{whole} of what is in doubt" + (f", {alone} of it alone" if alone != whole else "")


def _range(each: Range) -> str:
    """Return an input with its value and range."""
    if each.names:
        return f"{each.path} ({each.value}, or {' or '.join(name for name in each.names if name != each.value)})"
    values = [float(each.value), float(each.low), float(each.high)]
    (value, low, high), unit = report.amounts(values, each.unit if each.unit in SHOWN else each.unit or "1")
    return f"{each.path} ({value}, {low} to {high}{unit})"


def document(spread: Spread) -> dict[str, Any]:
    """Return a spread as plain data."""
    share, low, high = spread.nothing_fails
    return {
        "samples": spread.samples,
        "nothing_fails": {"share": share, "low": low, "high": high},
        "inputs": [
            {
                "path": each.path, "value": each.value, "unit": each.unit, "low": each.low, "high": each.high,
                "spread": each.spread, "source": each.source,
            }
            for each in spread.ranges
        ],
        "findings": [_chance(each, spread.samples) for each in spread.chances],
        "measure_first": [
            {
                "path": each.range.path, "total": each.total, "first": each.first, "findings": list(each.findings),
                **dict(zip(("how", "takes"), how(spread.build, each.range.path), strict=True)),
            }
            for each in spread.deciding
        ],
        "in_doubt": spread.in_doubt,
    }  # fmt: skip


def _chance(each: Chance, samples: int) -> dict[str, Any]:
    return {
        "id": each.id, "now": each.nominal or None, "fails": each.fails, "low": each.low, "high": each.high,
        **{name: each.counts[name] / samples for name in ("unknown", "slim", "sound")}, "explained": each.explained,
    }  # fmt: skip
