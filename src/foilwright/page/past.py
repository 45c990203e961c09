"""The craft over time: its builds with what changed and was predicted, its days with what was seen."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import quote

from foilwright.core import units
from foilwright.page.labour import Labour
from foilwright.page.look import many
from foilwright.page.marks import safe
from foilwright.study.history import MOST, NUMBERS, Day, History, Version


class Past:
    """What the files of a folder tell, read anew where one of them changed."""

    def __init__(self, folder: Path, stir: Callable[[], None]) -> None:
        self.folder = folder
        self.labour = Labour(stir)
        self.found: History | None = None
        self._of: object = None

    def stamp(self) -> object:
        """Return a mark of the files as they are now."""
        out = []
        for path in sorted(self.folder.glob("*.toml")):
            try:
                stat = path.stat()
            except OSError:
                continue
            out.append((path.name, stat.st_mtime_ns, stat.st_size))
        return tuple(out)

    def due(self) -> bool:
        """Say whether it must be read, and count it as begun."""
        now = self.stamp()
        if now == self._of or self.labour.running:
            return False
        self._of = now
        return True

    def take(self, found: History) -> None:
        """Keep what was read."""
        self.found = found


def told(folder: Path, tell: Callable[[Any], None]) -> History:
    """Read builds and days of a folder, as ``foilwright history`` does."""
    from foilwright.study import history  # noqa: PLC0415

    tell((0.1, "asking each build what it predicts"))
    return history.history(folder)


def shown(past: Past, opened: str) -> str:
    """Return builds and days; ``opened`` is the file of the build that is shown."""
    head = (
        '<section aria-labelledby="past"><h3 id="past">Over time</h3><p class="asks">Builds, days and corrections, '
        "from the plain files of the folder: a copy of the folder is a copy of this.</p>"
    )
    if past.labour.wrong:
        return f'{head}<p class="wrong" role="alert">{safe(past.labour.wrong)}</p></section>'
    if past.found is None:
        return f'{head}<p class="quiet" aria-busy="true">Reading the folder.</p></section>'
    found = past.found
    builds = "".join(_version(each, opened) for each in found.versions)
    days = "".join(_day(each) for each in found.days)
    none = '<p class="quiet">None yet: bring a session sheet under “A day on the water”.</p>'
    unread = "".join(f'<p class="wrong">Not read: {safe(each)}</p>' for each in found.unread)
    return (
        f'{head}<h4>Builds</h4><ol class="times">{builds}</ol><h4>Days</h4>'
        f"{f'<ol class=times>{days}</ol>' if days else none}{unread}</section>"
    )


def _version(each: Version, opened: str) -> str:
    name = each.build.file
    title = (
        f"<b>{safe(name)}</b> <span class=tag>shown here</span>"
        if name == opened
        else f'<a href="/build/{quote(name)}">{safe(name)}</a>'
    )
    changes = "".join(
        f'<tr><th scope="row">{safe(path)}</th><td>{safe(before)}</td><td>{safe(now)}</td></tr>'
        for path, before, now in each.changes[:MOST]
    )
    more = len(each.changes) - MOST
    table = (
        f"<details><summary>{many(len(each.changes), 'field')} other than in the one above</summary>"
        f'<div class="scroll" tabindex="0" role="group" aria-label="Changes of {safe(name)}"><table><thead><tr>'
        f'<th scope="col">field</th><th scope="col">before</th><th scope="col">now</th></tr></thead>'
        f"<tbody>{changes}</tbody></table></div>{f'<p>and {more} fields more</p>' if more > 0 else ''}"
        "</details>"
        if changes else ""
    )  # fmt: skip
    predicted = ", ".join(
        f"{key.replace('_', ' ')} {units.show(value, NUMBERS[key])}" for key, value in each.predicted.items()
    )
    own = ", ".join(f"{path.partition('.')[2].replace('_', ' ')} {v:.2f}" for path, v in each.corrections.items())
    day = f" read on {safe(each.read_on)}" if each.read_on else ""
    corrections = f"<p>Corrections{day}: {safe(own)}.</p>" if own else ""
    return (
        f'<li data-key="build-{safe(name)}"><h5>{title}<small> {safe(each.build.name)}, version {each.build.hash}'
        f"</small></h5><p>Predicted: {safe(predicted or 'no take-off')}.</p>"
        f"<p>Holds it back in rise and fly: {safe(each.holds_back)}.</p>"
        f"{corrections}{table}</li>"
    )


def _day(each: Day) -> str:
    seen = "".join(f"<li>{safe(one)}</li>" for one in each.seen)
    of = f", of {safe(each.build)}" if each.build else ""
    return (
        f'<li data-key="day-{safe(each.file)}"><h5>{safe(each.date or "no date")}<small> {safe(each.file)}{of}</small>'
        f'</h5><ul class="points">{seen}</ul></li>'
    )
