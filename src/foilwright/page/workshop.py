"""Parts on the page: the folder of a build made, shown with pictures, taken away; what is not of it now is marked."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any
from urllib.parse import quote

from foilwright.build.build import Build
from foilwright.core.errors import PlaceError
from foilwright.page.desk import Desk
from foilwright.page.labour import Labour
from foilwright.page.look import many
from foilwright.page.marks import button, safe
from foilwright.parts import KINDS, index
from foilwright.parts.job import Made
from foilwright.parts.kept import LIST, Kept

SHARES = {
    "solids": 14.0, "prints": 0.3, "foam": 1.0, "cloth": 0.3, "order": 0.3, "wiring": 1.6, "money": 0.3, "report": 1.4,
}  # fmt: skip
"""What each kind takes of the whole time of a run, roughly, as measured on two cores [s]."""
OF = re.compile(r"(\w+): (?:(\d+) of (\d+))?")
ALIKE = (1980, 1, 1, 0, 0, 0)
"""Time that stands beside each file of an archive: the same parts give the same bytes."""


def place(path: Path) -> Path:
    """Return the folder of the parts of a build file."""
    return path.with_name(f"{path.stem}-parts")


def made(build: Build, folder: Path, tell: Callable[[Any], None]) -> None:
    """Make the parts, telling what share of the work is done and what is being done."""
    from foilwright.parts import make  # noqa: PLC0415

    make(build, folder, tell=lambda told: tell((share(told), told)))


def share(told: str) -> float:
    """Return what share of a run is done when it tells something, 0 to 1."""
    found = OF.match(told)
    if found is None or found[1] not in SHARES:
        return 0.0
    before = sum(SHARES[kind] for kind in KINDS[: KINDS.index(found[1])])
    own = int(found[2]) / max(int(found[3]), 1) if found[2] and not told.endswith(" to be made") else 0.0
    return (before + own * SHARES[found[1]]) / sum(SHARES.values())


class Workshop:
    """The folder of one build's parts as it stands on the disk, and the work on it."""

    def __init__(self, path: Path, stir: Callable[[], None]) -> None:
        self.folder = place(path)
        self.labour = Labour(stir)
        self._read: tuple[int, Kept] | None = None

    def kept(self) -> Kept:
        """Return what stands in the folder; read anew where it changed."""
        try:
            stamp = (self.folder / LIST).stat().st_mtime_ns
        except OSError:
            stamp = 0
        if self._read is None or self._read[0] != stamp:
            self._read = (stamp, Kept.read(self.folder, ""))
        return self._read[1]

    def files(self) -> list[str]:
        """Return the files that can be taken away, below the folder; the index first."""
        named = [file for one, _ in self.kept().things() for file in (*one.files, one.picture) if file]
        known = dict.fromkeys(["index.html", "index.md", *sorted(named)])
        return [file for file in known if self._plain(file) and (self.folder / file).is_file()]

    def _plain(self, file: str) -> bool:
        """Say whether a name leads to a file below the folder and nowhere else."""
        inside = self.folder.resolve()
        return (inside / file).resolve().is_relative_to(inside)

    def file(self, name: str) -> Path | None:
        """Return one of the files by its name below the folder; none where it is not one of the parts."""
        return self.folder / name if name in self.files() else None

    def archive(self, out: Path) -> None:
        """Write all files as one archive (zip)."""
        try:
            with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
                for file in self.files():
                    about = zipfile.ZipInfo(f"{self.folder.name}/{file}", ALIKE)
                    about.compress_type = zipfile.ZIP_DEFLATED
                    packed.writestr(about, (self.folder / file).read_bytes())
        except OSError as error:
            raise PlaceError(f"{self.folder.name} cannot be read: {error.strerror or error}") from error


def parts(desk: Desk, shop: Workshop) -> str:
    """Return the place where the parts are made, and what stands in their folder."""
    kept = shop.kept()
    things = kept.things()
    return (
        '<section aria-labelledby="made-parts"><h3 id="made-parts">Parts</h3><p class="asks">Solids, templates at full '
        "size, laminate schedule, order of work, wiring, what to buy, report: from the build file, into the folder "
        f"<code>{safe(shop.folder.name)}</code> beside it. What has not changed is left as it was.</p>"
        f"{_begin(desk, shop, things)}{_ended(shop)}{_missing(kept)}{_things(desk, shop, things)}</section>"
    )


def _begin(desk: Desk, shop: Workshop, things: Sequence[tuple[Made, str]]) -> str:
    if shop.labour.running:
        return shop.labour.shown("Parts made", stop="parts_stop")
    if desk.gone or desk.conflict:
        return '<p class="quiet">First settle what is said of the file above.</p>'
    if desk.dirty:
        count = many(len(desk.edits) + len(desk.wrong), "change")
        save = button("Save and make them", "parts_save", kind="main", off=bool(desk.wrong))
        return (
            f'<p class="row">{save}<span class="quiet">Parts are made from the file, and {count} here '
            f"{'is' if count.startswith('1 ') else 'are'} not saved.</span></p>"
        )
    told = "Make what changed" if things else "Make the parts"
    about = "It takes half a minute to a few minutes."
    if things:
        current = all(of == desk.build.hash for _, of in things)
        about = "All of it is of the build as it is shown here." if current else ""
    return f'<p class="row">{button(told, "parts", kind="main")}<span class="quiet">{about}</span></p>'


def _ended(shop: Workshop) -> str:
    if shop.labour.running:
        return ""
    if shop.labour.stopped:
        return (
            '<p class="note" role="status">Stopped. What was whole by then is kept; making them goes on from there.</p>'
        )
    return f'<p class="wrong" role="alert">{safe(shop.labour.wrong)}</p>' if shop.labour.wrong else ""


def _missing(kept: Kept) -> str:
    """Return what was not made for want of an extra; one sentence where several kinds lack the same."""
    whys = dict.fromkeys(kept.missing.values())
    return "".join(
        f'<p class="caution"><strong>Not made: '
        f"{safe(', '.join(kind for kind, each in kept.missing.items() if each == why))}.</strong> "
        f"{safe(_upper(why))}.</p>"
        for why in whys
    )


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:].rstrip(".")


def _things(desk: Desk, shop: Workshop, things: Sequence[tuple[Made, str]]) -> str:
    if not things:
        return ""
    at = f"/made/{quote(desk.path.name)}"
    stale = sum(of != desk.build.hash for _, of in things)
    told = (
        f'<p class="caution"><strong>{many(stale, "thing")} of {len(things)} '
        f"{'is' if stale == 1 else 'are'} of another state of the build</strong> than the one shown here. "
        "Make what changed before you use them.</p>"
        if stale and not shop.labour.running else ""
    )  # fmt: skip
    whole = (
        f'<a class="button" href="{at}.zip" download>All as one archive (zip)</a>'
        f'<a class="button plain" href="{at}/index.html" target="_blank" rel="noopener">'
        "The index as a page of its own</a>"
    )
    jump = "".join(
        f'<li><a class="chip" href="#kind-{kind}">{safe(heading)}</a></li>'
        for kind, heading in index.KINDS.items()
        if any(one.kind == kind for one, _ in things)
    )
    groups = "".join(
        _group(heading, kind, [_thing(one, of == desk.build.hash, at) for one, of in things if one.kind == kind])
        for kind, heading in index.KINDS.items()
    )
    nav = f'<nav aria-label="Kinds of parts"><ul class="chips">{jump}</ul></nav>'
    return f'{told}<p class="row">{whole}</p>{nav}<div class="kinds">{groups}</div>'


def _group(heading: str, kind: str, here: Sequence[str]) -> str:
    if not here:
        return ""
    return (
        f'<section class="{"one" if len(here) == 1 else "more"}" aria-label="{safe(heading)}" id="kind-{kind}">'
        f'<h4>{safe(heading)}</h4><ul class="things">{"".join(here)}</ul></section>'
    )


def _thing(one: Made, current: bool, at: str) -> str:
    mark = "" if current else ' <span class="tag open">of another state of the build</span>'
    picture = (
        f'<a class="view" href="{at}/{quote(one.files[0])}" target="_blank" rel="noopener" tabindex="-1" '
        f'aria-hidden="true"><img src="{at}/{quote(one.picture)}" alt="" loading="lazy"></a>'
        if one.picture
        else ""
    )
    plain = one.kind in index.PLAIN
    notes = "".join(f'<p class="{"quiet" if plain else "caution"}">{safe(each)}</p>' for each in one.notes)
    folded = f", {many(len(one.notes), 'note')}" if plain and notes else ""
    numbers = index.amounts(one)
    links = "".join(
        f'<li><a href="{at}/{quote(file)}" download>{safe(file.rpartition("/")[2])}</a></li>' for file in one.files
    )
    return (
        f'<li class="thing" data-key="{safe(one.kind)}-{safe(one.title)}">{picture}<div>'
        f"<h5>{safe(one.title)}{mark}</h5>"
        f"<p>{safe(one.purpose)}</p>{f'<p class=quiet>{safe(numbers)}</p>' if numbers else ''}{'' if plain else notes}"
        f"<details><summary>{many(len(one.files), 'file')}{folded}</summary>"
        f'{notes if plain else ""}<ul class="files">{links}</ul></details></div></li>'
    )
