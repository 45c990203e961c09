"""One question's answer: its findings worst first, and of the opened one the reasons, sources and inputs."""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Literal

import numpy as np

from foilwright.core.model import REGISTRY
from foilwright.page.look import bar, many, verdict
from foilwright.page.marks import button, given, safe
from foilwright.questions import report
from foilwright.questions.ask import QUESTIONS, Answers
from foilwright.questions.equations import equation
from foilwright.questions.finding import Finding
from foilwright.questions.report import MEANS, Ranked
from foilwright.study.spread import Spread

Sure = Spread | Literal["working"] | None
"""How likely findings are to fail: known, being worked out, or not asked for."""
ASKS = {question.name: question.asks for question in QUESTIONS}
FEW = 12
"""Inputs named before the rest is folded away."""


def answer(answers: Answers, found: Ranked, question: str, opened: str, spread: Sure, cure: str) -> str:
    """Return the findings of one question; ``cure`` is what is told of changes that cure it alone."""
    part = report.of_question(found, question)
    if not part:
        return ""
    assumed = {each.path for each in answers.assumed}
    rows = "".join(_row(finding, word, assumed, spread, is_open=finding.id == opened) for finding, word in part)
    return (
        f'<section aria-labelledby="asked"><h2 id="asked">{question} {verdict(part[0][1])}</h2>'
        f'<p class="asks">{safe(ASKS[question])}</p>{cure if part[0][1] == "fails" else ""}<ul class="findings">'
        f"{rows}</ul></section>"
    )


def _row(finding: Finding, word: str, assumed: Collection[str], spread: Sure, *, is_open: bool) -> str:
    case = report.case(finding, 0)
    told = report.said(finding, 0)
    inner = _reasons(finding, word, assumed, spread) if is_open else ""
    return (
        f'<li class="finding {word}" data-key="{safe(finding.id)}"><h3>'
        f'<button type="button" class="head" aria-expanded="{"true" if is_open else "false"}" '
        f"{given(do='finding', finding='none' if is_open else finding.id)}>"
        f'{verdict(word)}<span class="name">{safe(finding.name)}'
        f"{f'<small>{safe(case)}</small>' if case and not report.never(finding, 0) else ''}</span>"
        f'{bar(finding, word)}<span class="said">{safe(told)}</span></button></h3>{inner}</li>'
    )


def _reasons(finding: Finding, word: str, assumed: Collection[str], spread: Sure) -> str:
    lines = [f"<p>Part: {safe(finding.part)}{f', {safe(finding.place)}' if finding.place else ''}. "
             f"If it fails: {MEANS[finding.meaning]}.</p>"]  # fmt: skip
    lines += [f'<p class="note">{safe(each.means[:1].upper() + each.means[1:])}.</p>'
              for each in finding.beyond if each.bad[0] and not each.decides]  # fmt: skip
    lines.append(f"<h4>The margin that it must have</h4><p>{safe(_upper(finding.required_why))}.</p>")
    lines.append(f"<h4>How it is computed</h4>{_computed(finding)}{_model(finding.model)}")
    lines.append(f"<p>Source: {safe(finding.source)}.</p>")
    lines.append(f"<h4>Rests on</h4>{_inputs(finding, assumed)}")
    lines.append(_chance(finding, spread))
    if word in ("fails", "slim"):
        lines.append(f'<p class="row">{button("Ways out of this", "view", view="change", part="ways")}</p>')
    return f'<div class="reasons">{"".join(lines)}</div>'


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:].rstrip(".")


def _computed(finding: Finding) -> str:
    """Return the equations of a finding in words, with the numbers of this build."""
    found = equation(finding.id)
    if found is None:
        return ""
    if not found.asks:
        return f'<p class="worked">{safe(_upper(found.has))}{"" if found.has.endswith("?") else "."}</p>'
    known = not finding.reason[0]
    both = [float(each[0]) for each in (finding.demand, finding.capacity)]
    numbers, unit = report.amounts(both, finding.unit) if known and np.isfinite(both).all() else (("", ""), "")
    rows = [
        (word, f"{safe(told)}{f' <b>= {number}{unit}</b>' if number else ''}")
        for word, told, number in zip(("asks", "has"), (found.asks, found.has), numbers, strict=True)
    ]
    relation = "has \u2212 asks" if finding.kind == "difference" else "has / asks \u2212 1"
    rows.append(("margin", f"{relation}{f' <b>= {safe(report.margin(finding, 0))}</b>' if known else ''}"))
    rows += [("where", "<br>".join(safe(each) for each in found.by.split("; ")))] if found.by else []
    told = "".join(f"<div><dt>{word}</dt><dd>{text}</dd></div>" for word, text in rows)
    return f'<dl class="worked">{told}</dl>'


def _model(name: str) -> str:
    """Return what a model works out and of what, in the words of its own page, and where it ends."""
    found = next((model for key, model in REGISTRY.items() if key == name or key.endswith(f".{name}")), None)
    if found is None:
        return f"<p><code>{safe(name)}</code></p>" if name else "<p>By comparison of what is stated.</p>"
    text = found.__doc__ or ""
    first = " ".join(text.strip().split("\n\n")[0].split())
    first = re.sub(r"^Return ", "Works out ", first)
    limits = "".join(f"<li>{safe(limit.means)}</li>" for limit in found.limits)
    told = f"<details><summary>Where the model ends</summary><ul>{limits}</ul></details>" if limits else ""
    rows = "".join(f"<li><b>{safe(each)}</b>: {safe(says)}</li>" for each, says in _takes(text))
    takes = f"<details><summary>What the model takes</summary><ul>{rows}</ul></details>" if rows else ""
    return f"<p>{safe(first)} <code>{safe(name)}</code></p>{takes}{told}"


def _takes(text: str) -> list[tuple[str, str]]:
    """Return the inputs of a model and what they mean, with their units, as its page tells them."""
    part = text.partition("Parameters\n")[2].partition("Returns\n")[0]
    found = re.findall(r"^    (\w[\w, ]*) : .*\n((?:        .*\n)+)", part, flags=re.MULTILINE)
    return [(names.replace("_", " "), " ".join(says.replace("`", "").split()).rstrip(".")) for names, says in found]


def _inputs(finding: Finding, assumed: Collection[str]) -> str:
    """Return the inputs of a finding, each a way to its place among the inputs; the assumed ones first."""
    ordered = sorted(finding.inputs, key=lambda path: path not in assumed)
    chips = [_chip(path, path in assumed) for path in ordered]
    rest = f'<details><summary>{len(chips) - FEW} more</summary><p class="chips">{"".join(chips[FEW:])}</p></details>'
    return f'<p class="chips">{"".join(chips[:FEW])}</p>{rest if len(chips) > FEW else ""}'


def _chip(path: str, is_assumed: bool) -> str:
    told = safe(path.replace("_", " ").replace(".", " \u203a "))
    if "." not in path:
        return f'<span class="chip">{told}</span>'
    mark = " <em>assumed</em>" if is_assumed else ""
    return button(told + mark, "field", kind="chip", path=path)


def _chance(finding: Finding, spread: Sure) -> str:
    """Return how likely it is to fail, where the spread was worked out."""
    if spread is None:
        return f'<h4>How sure</h4><p class="row">{button("Work out how likely it is to fail", "spread")}</p>'
    if isinstance(spread, str):
        return '<h4>How sure</h4><p class="quiet" aria-busy="true">Asking likely versions of the craft.</p>'
    chance = next((each for each in spread.chances if each.id == finding.id), None)
    if chance is None:
        return ""
    return (
        f"<h4>How sure</h4><p>Fails in {100.0 * chance.fails:.0f} % of {spread.samples} likely versions of this "
        "craft, with"
        f" {many(len(spread.ranges), 'assumed input')} and the models' own doubt varied (between "
        f"{100.0 * chance.low:.0f}"
        f" and {100.0 * chance.high:.0f} %).</p>"
    )
