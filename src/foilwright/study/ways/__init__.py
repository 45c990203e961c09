"""Ways out of what fails or is slim: the smallest changes that clear it, through the full models.

Every field that the schema does not hold back is varied, coarsely first and then between the last value
that does not clear a finding and the first that does; where no single field is enough, two are changed at
once. What is reported was asked anew, with all its effects.
"""

from __future__ import annotations

from collections.abc import Collection

from foilwright.questions.ask import QUESTIONS, Answers, ask
from foilwright.questions.finding import gravity
from foilwright.questions.way import WaysOut
from foilwright.study.ways import rank, tell
from foilwright.study.ways.fields import admissible
from foilwright.study.ways.search import Cure, Search
from foilwright.study.ways.together import Joining
from foilwright.study.ways.trials import FAILS, SLIM, Design, Trials

__all__ = ["find", "join"]

MOST = 3
"""Ways out of one finding."""


def find(
    before: Answers,
    *,
    as_built: bool = True,
    inventory: Collection[str] = (),
    held: Collection[str] = (),
) -> WaysOut:
    """Return the ways out of everything that fails or is slim.

    Parameters
    ----------
    before : Answers
        Of one design; what it asked is what is to be cleared.
    as_built : bool
        Whether measured values stand in for designed ones, as in those answers.
    inventory : collection of str
        Paths of fields of what is owned: ways out that leave them come first.
    held : collection of str
        Paths that must stay as they are.
    """
    build, questions = before.build, tuple(before.findings)
    whole = before if len(questions) == len(QUESTIONS) else ask(build, as_built=as_built)
    targets = _targets(whole, questions)
    if not targets:
        return WaysOut(ways=(), without=(), together=None, tried=(), as_built=as_built, designs=0)
    trials = Trials(whole, admissible(build, as_built=as_built, held=held), as_built=as_built)
    with trials.hands:
        search = Search(trials, targets)
        search.run()
        cures = _cures(search, inventory)
        joined = Joining(search, cures).run()
        tried = tuple(path for path, values in search.tried.items() if values)
        return tell.told(trials, cures, joined, tried=tried, inventory=inventory)


def join(before: Answers, *, as_built: bool = True, held: Collection[str] = ()) -> Design:
    """Return changes that, applied together, leave nothing failing, or as little as was found; empty if nothing fails.

    Parameters
    ----------
    before : Answers
        Of one design, all questions asked.
    as_built : bool
        Whether measured values stand in for designed ones, as in those answers.
    held : collection of str
        Paths that must stay as they are.
    """
    targets = [k for k in _targets(before, tuple(before.findings)) if before.all()[k].verdict[0] == FAILS]
    if not targets:
        return {}
    trials = Trials(before, admissible(before.build, as_built=as_built, held=held), as_built=as_built)
    with trials.hands:
        search = Search(trials, targets)
        search.run()
        return Joining(search, _cures(search, ())).run()


def _targets(before: Answers, questions: Collection[str]) -> list[int]:
    """Return the columns of what fails or is slim, worst first."""
    bad = [
        (gravity(finding, 0), k)
        for k, finding in enumerate(before.all())
        if finding.applies[0] and finding.verdict[0] in (FAILS, SLIM) and finding.question in questions
    ]
    return [k for _, k in sorted(bad)]


def _cures(search: Search, inventory: Collection[str]) -> dict[int, list[Cure]]:
    """Return the ranked ways out of each finding: single changes, and pairs where no single one is enough."""
    trials = search.trials
    search.refine({t: rank.ranked(trials, search.singles(t), inventory, MOST) for t in search.targets})
    cures = {t: rank.ranked(trials, search.singles(t), inventory, MOST) for t in search.targets}
    alone = [target for target, found in cures.items() if not found]
    pairs = search.pairs(alone)
    for target in alone:
        cures[target] = rank.ranked(trials, [cure for cure in pairs if cure.target == target], inventory, MOST)
    return cures
