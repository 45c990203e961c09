"""What one learns from: the build against its file, how sure the answers are, and what the models are held to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from foilwright.build.build import Value
from foilwright.core import units
from foilwright.page import past, reading
from foilwright.page.desk import Desk
from foilwright.page.exploring import Search, search
from foilwright.page.look import many, verdict
from foilwright.page.marks import button, given, safe
from foilwright.page.room import House, Room
from foilwright.questions import report
from foilwright.questions.ask import Answers
from foilwright.questions.report_text import NUMBERS
from foilwright.study.evidence import Check
from foilwright.study.spread import Spread

SHOWN = 20
"""Likeliest failures shown."""


def compared(desk: Desk, saved: Answers, answers: Answers) -> str:
    """Return what differs from the file: fields, verdicts, numbers."""
    if not desk.differs:
        return "<section><h2>Against the file</h2><p>Nothing differs from the file.</p></section>"
    rows = "".join(_change(desk, path) for path in desk.differs)
    was = {finding.id: word for finding, word in report.ranked(saved)}
    now = report.ranked(answers)
    turned = "".join(
        f'<tr><th scope="row">{safe(finding.name)}</th><td>{verdict(was[finding.id])}</td><td>{verdict(word)}</td></tr>'
        for finding, word in now if finding.id in was and was[finding.id] != word
    )  # fmt: skip
    numbers = "".join(
        f'<tr><th scope="row">{safe(label)}</th><td>{old}</td><td>{new}</td></tr>'
        for name, (label, unit) in NUMBERS.items()
        for old, new in [tuple(_number(float(each.numbers[name][0]), unit) for each in (saved, answers))] if old != new
    )  # fmt: skip
    return (
        f"<section><h2>Against the file</h2>{_table('Changed', ('field', 'in the file', 'here', ''), rows)}"
        f"{_table('Other verdicts', ('finding', 'in the file', 'here'), turned)}"
        f"{_table('Other numbers', ('number', 'in the file', 'here'), numbers)}</section>"
    )


def _change(desk: Desk, path: str) -> str:
    entries = [f"{kind}.{name}" for kind, names in desk.build.names.items() for name in names]
    filed = [f"{kind}.{name}" for kind, names in desk.file.names.items() for name in names]
    if (path in entries) != (path in filed):
        old, new = ("there" if path in each else "not there" for each in (filed, entries))
        return f'<tr><th scope="row">{safe(path)}</th><td>{old}</td><td>{new}</td><td></td></tr>'
    old, new = (_written(desk, path, build.values.get(path)) for build in (desk.file, desk.build))
    back = button("Take back", "back", kind="small plain", path=path)
    return f'<tr><th scope="row">{safe(path)}</th><td>{old}</td><td>{new}</td><td>{back}</td></tr>'


def _written(desk: Desk, path: str, value: Value | None) -> str:
    meta = desk.build.meta(path)
    if value is None:
        return "left out"
    return safe(
        units.write(float(value), meta.unit, like=meta.example.strip('"')) if meta.kind == "quantity" else value
    )


def _number(value: float, unit: str) -> str:
    if value != value:  # noqa: PLR0124 - none
        return "none"
    return report.percent(value) if unit == "%" else report.amount(value, unit)


def _table(title: str, heads: Sequence[str], rows: str) -> str:
    if not rows:
        return ""
    head = "".join(f'<th scope="col">{each}</th>' if each else "<td></td>" for each in heads)
    return (
        f'<h3>{title}</h3><div class="scroll" tabindex="0" role="group" aria-label="{title}"><table><thead><tr>'
        f"{head}</tr>"
        f"</thead><tbody>{rows}</tbody></table></div>"
    )


LESSONS = {
    "water": "A day on the water", "past": "Over time", "sure": "How sure", "search": "A better one",
    "checks": "What the models are held to",
}  # fmt: skip
"""Where one learns, in the order of the tabs."""


def learnt(house: House, room: Room, answers: Answers, here: Search, lesson: str) -> str:
    """Return one of the places where one learns."""
    chosen = lesson if lesson in LESSONS else "water"
    tabs = "".join(
        f'<li><button type="button" class="tab" aria-pressed="{"true" if name == chosen else "false"}" '
        f"{given(do='lesson', value=name)}>{told}</button></li>"
        for name, told in LESSONS.items()
    )
    desk = room.desk
    if chosen == "water":
        inner = reading.place(desk.build, house.folder, desk.path.name, room.water)
    elif chosen == "past":
        inner = past.shown(room.past, desk.path.name)
    elif chosen == "sure":
        inner = f"{_sure(room)}{_assumed(answers)}"
    elif chosen == "search":
        inner = search(desk.build, here, fails=answers.verdict() == "fails")
    else:
        inner = _evidence(house)
    return (
        '<section aria-labelledby="learning"><h2 id="learning">Learn</h2><nav aria-label="Learn">'
        f'<ul class="tabs lessons">{tabs}</ul></nav><section class="{chosen}" data-key="lesson-{chosen}">'
        f"{inner}</section></section>"
    )


def _sure(room: Room) -> str:
    head = "<h3>How sure is it?</h3>"
    found: Spread | None = room.found("spread")
    if found is None:
        busy = room.looking("spread")
        told = '<p class="quiet" aria-busy="true">Asking likely versions of the craft.</p>' if busy else ""
        wrong = room.wrong.get("spread", "")
        return (
            f"{head}<p>What is assumed may be otherwise, and models err. This asks 500 likely versions of the "
            f"craft.</p>{told}"
            f"{f'<p class=wrong>{safe(wrong)}</p>' if wrong else ''}"
            f'<p class="row">{button("Work it out", "spread", kind="main", off=busy)}</p>'
        )
    share, low, high = found.nothing_fails
    rows = "".join(
        f'<tr><th scope="row">{safe(each.name)}</th><td>{100.0 * each.fails:.0f}\u00a0%</td>'
        f"<td>{100.0 * each.low:.0f} to {100.0 * each.high:.0f}\u00a0%</td><td>"
        f"{verdict(each.nominal) if each.nominal else ''}</td></tr>"
        for each in [one for one in found.chances if one.fails > 0.0 and one.nominal != "fails"][:SHOWN]
    )  # fmt: skip
    first = "".join(
        f"<li>{button(safe(each.range.path), 'field', kind='chip', path=each.range.path)} decides"
        f" {100.0 * each.total:.0f} % of the doubt</li>"
        for each in found.deciding[:5]
    )
    failing = sum(each.nominal == "fails" for each in found.chances)
    as_stated = f"<p>{many(failing, 'finding')} fail as stated.</p>" if failing else ""
    heads = ("finding", "fails in", "between", "as stated")
    measure = f"<h4>Measure these first</h4><ul>{first}</ul>" if first else ""
    return (
        f"{head}<p>In {100.0 * share:.0f} % of {found.samples} likely versions nothing fails (between "
        f"{100.0 * low:.0f} and {100.0 * high:.0f} %).</p>{as_stated}{measure}{_table('May fail yet', heads, rows)}"
    )


def _assumed(answers: Answers) -> str:
    items = "".join(
        f"<li>{button(safe(each.path), 'field', kind='chip', path=each.path)}</li>" for each in answers.assumed
    )
    count = len(answers.assumed)
    return (
        f'<details><summary>{many(count, "field")} left out of the file and assumed</summary><ul class="chips">'
        f"{items}</ul>"
        "</details>"
    )


def _evidence(house: House) -> str:
    checks: tuple[Check, ...] | None = house.evidence
    head = "<h3>What the models are held to</h3>"
    if checks is None:
        return (
            f"{head}<p>Published, measured and hand-worked values, each computed here and compared.</p>"
            f'<p class="row">{button("Compute them all", "evidence", kind="main")}</p>'
        )
    words = Counter(check.word for check in checks)
    told = ", ".join(f"{count} {word}" for word, count in words.items())
    groups = []
    for topic in dict.fromkeys(check.topic for check in checks):
        rows = "".join(
            f'<tr><th scope="row">{safe(check.id)}</th><td>{safe(check.word)}</td><td>{_value(check.expected)}</td>'
            f"<td>{_value(check.computed)}</td><td>{safe(check.kind)}</td><td>{safe(check.source)}</td></tr>"
            for check in checks if check.topic == topic
        )  # fmt: skip
        count = sum(check.topic == topic for check in checks)
        table = _table(topic, ("check", "outcome", "expected", "computed", "kind", "source"), rows)
        groups.append(f"<details><summary>{safe(topic)}: {many(count, 'check')}</summary>{table}</details>")
    return f"{head}<p>{many(len(checks), 'check')}: {told}.</p>{''.join(groups)}"


def _value(value: float | str | bool) -> str:
    return safe(f"{value:.5g}" if isinstance(value, float) else value)
