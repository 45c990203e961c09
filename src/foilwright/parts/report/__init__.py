"""The report: the craft in three views, answers with margins, assumptions, curves, evidence, what to buy, cautions."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np

from foilwright.core.data import write_whole
from foilwright.parts.job import Job, Made
from foilwright.parts.money import parts as money_parts
from foilwright.parts.money.goods import goods
from foilwright.parts.paper import pages
from foilwright.parts.paper.drawing import svg
from foilwright.parts.ready.card import Caution, Rows, Say
from foilwright.parts.report import charts, views
from foilwright.questions import report, report_text
from foilwright.questions.ask import QUESTIONS
from foilwright.study import evidence

LESS = ("fails", "unknown", "slim")
HURTS = (
    "Propeller, lithium cells, high current, resin, cold water and falls hurt people. Each step of the order of work"
    " says what can hurt where it is done; local rules and licensed practice come first.",
    "Never alone: a partner on land, float vest, helmet, a stop that works without the radio.",
)


def make(job: Job, found: Sequence[tuple[str, str, str, str]] = ()) -> list[Made]:
    """Write the report as PDF and HTML; ``found``: what nest, split and plan came to."""
    document = told(job, found)
    write_whole(job.folder / "report/report.html", pages.web(document))
    write_whole(job.folder / "report/report.pdf", pages.pdf(document, paper=job.state.craft.workshop.paper[0]))
    write_whole(job.folder / "report/side.svg", svg(views.side(job.state.craft), wide=240.0))
    verdict = job.answers.verdict()
    return [
        Made(
            files=("report/report.pdf", "report/report.html", "report/side.svg"), kind="report", title="Report",
            purpose="The whole craft on paper: three views, every answer with its margin, what was assumed, curves,"
            " how the models were checked, what to buy.",
            picture="report/side.svg", numbers={"mass_with_rider": float(job.answers.numbers["total_mass"][0])},
            notes=(f"Worst verdict: {verdict}. These are margins under stated assumptions, never a promise.",),
        )
    ]  # fmt: skip


def told(job: Job, found: Sequence[tuple[str, str, str, str]] = ()) -> pages.Document:
    """Return the report as blocks."""
    build = job.build
    job.tell("report: written")
    return pages.Document(
        title=f"{build.name}: an electric hydrofoil board",
        about=f"Build {build.name}, {build.hash}, computed by foilwright",
        parts=(
            *_first(job), *_views(job), *_answers(job), *_made(found), *_curves(job),
            pages.Head(text="What to buy", apart=True), *money_parts(job, goods(job.state, {})),
            *_assumed(job), *_checked(),
            pages.Head(text="Cautions"), *(Caution(text=each) for each in HURTS),
            Caution(text=report_text.CAUTION),
        ),
    )  # fmt: skip


def _first(job: Job) -> list[pages.Part]:
    held = job.answers.holds_back()
    verdict = job.answers.verdict()
    if verdict == "sound":
        begin = "Nothing fails under the assumptions of this report. The least to spare has:"
    else:
        begin = f"The build is held back ({verdict}: {report.VERDICTS_MEAN[verdict]}):"
    rows = []
    for question in QUESTIONS:
        found = job.answers.worst_first(0, question.name)
        words = Counter(verdict for one, verdict in report.ranked(job.answers) if one.question == question.name)
        rows.append((question.name, question.asks, job.answers.verdict(question.name), str(len(found)),
            ", ".join(f"{words[word]} {word}" for word in LESS if words[word]) or "-"))  # fmt: skip
    return [
        Say(text=f"{begin} {held.name}; {report.said(held, 0)}. What it needs, because: {held.required_why}."),
        Rows(title="The twelve questions", head=("question", "asks", "verdict", "findings", "not sound"),
            rows=tuple(rows)),
        Rows(title="Numbers", head=("what", "value", "what", "value"), rows=_numbers(job)),
    ]  # fmt: skip


def _numbers(job: Job) -> tuple[tuple[str, ...], ...]:
    shown = [
        (label, _number(float(job.answers.numbers[name][0]), unit))
        for name, (label, unit) in report_text.NUMBERS.items()
        if name in job.answers.numbers
    ]
    half = (len(shown) + 1) // 2
    right = [*shown[half:], ("", "")][:half]
    return tuple((*a, *b) for a, b in zip(shown[:half], right, strict=True))


def _number(value: float, unit: str) -> str:
    if not np.isfinite(value):
        return "none"
    return report.percent(value) if unit == "%" else report.amount(value, unit)


def _views(job: Job) -> list[pages.Part]:
    craft = job.state.craft
    return [
        pages.Head(text="The craft in three views", apart=True),
        Say(text="Millimetres. Places are from the tail of the board; the broken line is the bottom at the tail."),
        pages.Figure(drawing=views.side(craft), caption="From the side, nose to the right.", tall=70.0),
        pages.Figure(drawing=views.top(craft), caption="From above; dashes: where the feet stand.", tall=70.0),
        pages.Figure(drawing=views.front(craft), caption="From ahead; dashes: the disc of the propeller.", tall=52.0),
    ]


def _answers(job: Job) -> list[pages.Part]:
    out: list[pages.Part] = [
        pages.Head(text="Answers", apart=True),
        pages.Figure(drawing=charts.margins(job.answers), tall=110.0,
            caption="The findings with the least to spare, in units of what is asked (or of a usual spare). Upright"
            " mark: what it must have."),
    ]  # fmt: skip
    found = report.ranked(job.answers)
    for question in QUESTIONS:
        rows = [
            (verdict, f"{one.name}" + (f" ({report.case(one, 0)})" if report.case(one, 0) else ""), report.said(one, 0))
            for one, verdict in found
            if one.question == question.name
        ]
        out.append(Rows(title=f"{question.name}: {question.asks}", head=("verdict", "finding", "asked and there"),
            rows=tuple(rows)))  # fmt: skip
    return out


def _made(found: Sequence[tuple[str, str, str, str]]) -> list[pages.Part]:
    """Return what the parts came to, beside the bounds."""
    if not found:
        return []
    rows = tuple((verdict, name, said, bound or "-") for verdict, name, said, bound in found)
    return [
        Rows(title="What the parts came to: nested, split, planned and priced, and the strength of what is only drawn",
            head=("verdict", "finding", "asked and there", "by bounds, in an ask"), rows=rows),
    ]  # fmt: skip


def _curves(job: Job) -> list[pages.Part]:
    drawn = charts.curves(job.answers)
    return [
        pages.Head(text="Curves", apart=True),
        *(pages.Figure(drawing=one, caption=says, tall=50.0) for one, says in drawn),
    ]


def _assumed(job: Job) -> list[pages.Part]:
    rows = []
    for one in job.answers.assumed:
        value, low, high = (_shown(each, one.unit) for each in (one.value, one.low, one.high))
        rows.append((f"`{one.path}`", value, "" if low == high else f"{low} to {high}", one.source))
    return [
        pages.Head(text="What was assumed", apart=True),
        Say(text="What the build file leaves out, with the range in which it may lie. Each one that is measured or"
            " stated makes the answers firmer."),
        Rows(title="", head=("field", "value", "range", "from"), rows=tuple(rows)),
    ]  # fmt: skip


def _shown(value: str | float, unit: str) -> str:
    if isinstance(value, str):
        return value
    return report.amount(float(value), unit) if unit else f"{float(value):g}"


def _checked() -> list[pages.Part]:
    checks = evidence.run()
    by_topic: dict[str, Counter[str]] = {}
    for one in checks:
        words = by_topic.setdefault(one.topic, Counter())
        words["all"] += 1
        words[one.kind] += 1
        words["missed"] += not one.passes
    rows = [
        (topic, str(words["all"]), str(words["published"] + words["measured"]), str(words["missed"] or "-"))
        for topic, words in sorted(by_topic.items())
    ]
    outside = sum(one.kind in ("published", "measured") for one in checks)
    return [
        pages.Head(text="How the models were checked", apart=True),
        Say(text=f"{len(checks)} values computed by the models of this version are held against values that others"
            f" published, measured or that follow by hand; {outside} are published or measured."
            " `foilwright evidence` shows each with its source and error."),
        Rows(title="", head=("topic", "checks", "published or measured", "missed and said so"), rows=tuple(rows)),
    ]  # fmt: skip
