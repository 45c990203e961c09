"""What days on the water say, as the page tells it: files, stretches, explanations, what to read next, corrections."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from pathlib import Path
from urllib.parse import quote

import numpy as np

from foilwright.build.build import Build
from foilwright.build.save import as_written
from foilwright.page import water
from foilwright.page.look import many
from foilwright.page.marks import button, given, safe, unbroken
from foilwright.page.water import FACTORS, Day, Stretch, Told, Water
from foilwright.study.learn import told
from foilwright.study.learn.diagnose import Diagnosis
from foilwright.study.learn.model import CHARGE

KMH = 3.6
WIDE, HIGH = 560.0, 8.0
"""Size of the bar of a probability."""


def place(build: Build, folder: Path, file: str, here: Water) -> str:
    """Return the place where days on the water are read back."""
    every = water.days(folder)
    names = water.counted(every, build, here.ticked)
    return (
        '<section aria-labelledby="water"><h3 id="water">A day on the water</h3><p class="asks">What explains what was '
        "seen, how strongly, what one reading would tell, and what of it is kept. Nothing is written into the build "
        f"until you say so.</p>{_drop(file)}{_list(every, names)}{_read(names, here)}{_kept(build)}"
        f"{_found(build, here, water.state(build, every, names, folder, here.told))}</section>"
    )


def _drop(file: str) -> str:
    return (
        '<div class="drop" data-drop="days"><p><label for="days">Drop the files of a day here, or choose them: a track '
        "(.gpx), a log (.csv) with its header file (.columns.toml), a session sheet (.toml)</label></p>"
        f'<p class="row"><input id="days" type="file" multiple accept=".gpx,.csv,.toml" {given(to="/day", build=file)}>'
        '<span class="row"><label for="day-name">Name of the day</label>'
        '<input id="day-name" type="text" autocomplete="off" data-keep placeholder="as the files"></span></p>'
        '<p class="quiet">They are copied into the folder of the build; nothing is overwritten. '
        f"{sheet(file)}</p></div>"
    )


def sheet(file: str) -> str:
    """Return the way to a blank session sheet of a build."""
    return f'<a href="/sheet/{quote(file)}" download="day.toml">A blank session sheet to fill in</a>'


def _list(every: Sequence[Day], names: Collection[str]) -> str:
    if not every:
        return (
            '<p class="quiet">No day yet. A session sheet with a few remembered numbers is enough to begin with: full '
            "throttle, kneeling, 15 km/h, did not lift.</p>"
        )
    items = "".join(_entry(day, day.name in names) for day in every)
    return f'<fieldset><legend>Days to read together</legend><ul class="checks">{items}</ul></fieldset>'


def _entry(day: Day, ticked: bool) -> str:
    about = ", ".join(day.files) + (f"; {day.date}" if day.date else "") + (f"; of {day.build}" if day.build else "")
    about += "; its log needs a header file (.columns.toml) beside it" if day.headless else ""
    box = f'<input type="checkbox" {given(do="day", name=day.name)}{" checked" if ticked else ""}'
    return (
        f'<li data-key="day-{safe(day.name)}"><label class="check whole">{box}{" disabled" if day.bare else ""}>'
        f"<span>{safe(day.name)}<small> {safe(about)}</small></span></label></li>"
    )


def _read(names: Collection[str], here: Water) -> str:
    if here.labour.running:
        return here.labour.shown("Day read", stop="days_stop")
    go = button("Read them back", "days", kind="main", off=not names)
    stopped = '<p class="note" role="status">Stopped.</p>' if here.labour.stopped else ""
    wrong = "".join(f"<p>{safe(line)}</p>" for line in here.labour.wrong.splitlines()[:8])
    wrong = f'<div class="wrong" role="alert">{wrong}</div>' if wrong else ""
    return f'<p class="row">{go}</p>{stopped}{wrong}'


def _found(build: Build, here: Water, of: str) -> str:
    if here.told is None:
        return ""
    found = here.told.found
    old = (
        '<p class="caution" role="status">The build or the days changed since this was read; read them back again.</p>'
        if of != here.of
        else ""
    )
    return (
        f'<article class="reading" aria-label="What the days say">{old}{_head(found)}<div class="beside"><div>'
        f"{_causes(found, here.told)}</div><div>{_next(found)}{_design(found)}{_corrections(found, build)}"
        f'<p class="caution"><strong>Caution.</strong> {safe(told.CAUTION)}</p></div></div>'
        f"{_rides(here.told)}</article>"
    )


def _head(found: Diagnosis) -> str:
    head, sentence = told.headline(found)
    dates = ", ".join(found.trial.dates) or "no date"
    notes = [*(f"{note}." for note in found.trial.notes), *_aside(found)]
    items = "".join(f"<li>{safe(note)}</li>" for note in notes)
    folded = (
        f"<details><summary>{many(len(notes), 'note')} on the files</summary><ul class=points>{items}</ul></details>"
    )
    return (
        f'<h4 class="leads">{safe(head[:1].upper() + head[1:])}</h4><p class="lead">{unbroken(sentence)}</p>'
        f'<p class="quiet">{many(len(found.readings), "reading")} ({safe(dates)})</p>{folded if notes else ""}'
    )


def _aside(found: Diagnosis) -> list[str]:
    return [f"Set aside, because no likely explanation tells it: {each.says} ({each.source})." for each in found.aside]


def _rides(read: Told) -> str:
    return "".join(_ride(name, parts, read.drawings.get(name, "")) for name, parts in read.rides.items())


def _ride(name: str, parts: Sequence[Stretch], svg: str) -> str:
    rows = "".join(
        f'<tr><th scope="row">{_clock(each.begin)}</th><td>{_clock(each.seconds)}</td><td>{each.phase}</td>'
        f"<td>{_shown(KMH * each.speed, 'km/h')}</td><td>{_shown(each.volts, 'V')}</td>"
        f"<td>{_shown(each.amps, 'A')}</td></tr>"
        for each in parts
    )
    heads = ("from", "for", "phase", "mean speed", "volts", "amps")
    head = "".join(f'<th scope="col">{each}</th>' for each in heads)
    table = (
        f'<div class="scroll" tabindex="0" role="group" aria-label="Stretches of {safe(name)}"><table><thead><tr>{head}'
        f"</tr></thead><tbody>{rows}</tbody></table></div>"
    )
    return (
        f"<h4>{safe(name)}, cut into {many(len(parts), 'stretch', 'stretches')}</h4>"
        f"{plate(svg, f'Speed and phases of {name}')}"
        f"<details><summary>The stretches in a table</summary>{table}</details>"
    )


def _clock(seconds: float) -> str:
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d} min"


def _shown(value: float, unit: str) -> str:
    return f"{value:.1f} {unit}" if np.isfinite(value) else ""


def plate(svg: str, title: str) -> str:
    """Return a drawing with its name, on a plate of its own."""
    named = f'<svg role="img" aria-label="{safe(title)}" '
    drawn = re.sub(r"^.*?<svg ", named, svg, count=1, flags=re.DOTALL)
    return f'<div class="plate low" tabindex="0" role="group" aria-label="{safe(title)}">{drawn}</div>' if svg else ""


def _causes(found: Diagnosis, read: Told) -> str:
    items = "".join(_cause(found, k, rank) for rank, k in enumerate(told.shown(found)))
    pair = f"<p>{safe(two)}</p>" if (two := told.two_at_once(found)) else ""
    picture = plate(read.drawings.get("diagnosis", ""), "How likely each explanation is, and the corrections")
    return (
        f'<h4>What explains it</h4><ol class="causes">{items}</ol><p class="quiet">{safe(told.others(found))}</p>{pair}'
        f"<details><summary>Before and after the readings, drawn</summary>{picture}</details>"
    )


def _cause(found: Diagnosis, k: int, rank: int) -> str:
    cause, share = found.causes[k], float(found.found.probability[k])
    pro, con = told.spoken(found, k)
    lines = [f'<li class="pro"><b>for</b> {safe(each)}</li>' for each in pro]
    lines += [f'<li class="con"><b>against</b> {safe(each)}</li>' for each in con]
    lines += [f"<li>{safe(each)}</li>" for each in told.would_be(found, k)]
    out = told.ways_out(found, k)
    ways = [safe(each) for each in out if "foilwright ask" not in each]
    if len(ways) < len(out):
        ways.append(button("change the design", "view", kind="small plain", view="change", part="ways"))
    lines += [f"<li><b>{'way out' if len(ways) == 1 else 'ways out'}</b> {'; or '.join(ways)}</li>"] if ways else []
    bar = (
        f'<svg class="share" viewBox="0 0 {WIDE:g} {HIGH:g}" preserveAspectRatio="none" aria-hidden="true">'
        f'<rect class="rail" width="{WIDE:g}" height="{HIGH:g}"/><rect class="fill" width="{WIDE * share:.1f}" '
        f'height="{HIGH:g}"/></svg>'
    )
    return (
        f'<li class="cause{" first" if rank == 0 else ""}" data-key="cause-{safe(cause.id)}"><h5>'
        f"<span>{safe(cause.name[:1].upper() + cause.name[1:])}</span><span>{told.percent(share)}</span></h5>{bar}"
        f"<ul>{''.join(lines)}</ul></li>"
    )


def _design(found: Diagnosis) -> str:
    lines = [each[:1].upper() + each[1:] for each in told.stops(found)]
    return f"<h4>The design itself, if nothing is wrong with the craft</h4><p>{safe(' '.join(lines))}</p>"


def _next(found: Diagnosis) -> str:
    if not found.next:
        return "<h4>Read next</h4><p>Nothing on the sheet would tell the explanations apart any further.</p>"
    first, *rest = found.next
    expects = told.expected(found, first)
    others = "".join(f"<li>{safe(each.says)}: {each.minutes:.0f} min, {each.gain:.2f} bit</li>" for each in rest[:3])
    also = f"<p>Or:</p><ul class=points>{others}</ul>" if others else ""
    return (
        f'<h4>Read next</h4><p class="lead">{safe(first.says[:1].upper() + first.says[1:])}</p><p class="quiet">About '
        f"{first.minutes:.0f} min; it tells {first.gain:.2f} bit of what is open.</p>"
        f"<p>On the session sheet: <code>{safe(first.line)}</code></p>"
        f"{f'<p>Expected: {safe(expects)}.</p>' if expects else ''}{also}"
    )


def _corrections(found: Diagnosis, build: Build) -> str:
    rows = "".join(
        f'<tr><th scope="row">{safe(each.says)}</th><td>{each.factor:.2f}</td>'
        f"<td>{each.low:.2f} to {each.high:.2f}</td>"
        f"<td>{'' if each.told else 'not told by these'}</td></tr>"
        for each in found.corrections if each.name != CHARGE
    )  # fmt: skip
    table = (
        '<div class="scroll" tabindex="0" role="group" aria-label="Corrections"><table><thead><tr>'
        '<th scope="col">of</th>'
        '<th scope="col">factor</th><th scope="col">90 % interval</th><td></td></tr></thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )
    open_ = [each for each in (*told.not_apart(found), told.not_asked(found)) if each]
    apart = "".join(f"<p>{safe(each[:1].upper() + each[1:])}</p>" for each in open_)
    wanted = water.to_keep(found, build)
    names = [path for path in wanted if path != f"{FACTORS}read_on"]
    if not names:
        keep = '<p class="quiet">These readings teach no correction.</p>'
    elif all(build.values.get(path) is not None and _same(build, path, wanted[path]) for path in wanted):
        keep = '<p class="quiet">They are in the build as it stands here.</p>'
    else:
        keep = (
            f'<p class="row">{button("Keep these corrections in the build", "keep", kind="main")}<span class="quiet">'
            f"{safe(', '.join(f'{path} {wanted[path]}' for path in names))}. One step: Undo takes it back, Save "
            "writes it into the file.</span></p>"
        )
    return (
        '<h4>Corrections under the likeliest explanation</h4><p class="quiet">Factor on what the models say, with the '
        f"ends of its 90 % interval. While a fault leads, they are those of the craft with that fault explained.</p>"
        f"{table}{apart}{keep}"
    )


def _same(build: Build, path: str, text: str) -> bool:
    return str(as_written(build.meta(path), build.values[path])) == text


def _kept(build: Build) -> str:
    own = water.in_build(build)
    if not own:
        return ""
    day = own.get(f"{FACTORS}read_on", "")
    told_ = ", ".join(
        f"{path.partition('.')[2].replace('_', ' ')} {value}"
        for path, value in own.items()
        if path != f"{FACTORS}read_on"
    )
    return (
        f'<h4>In the build now</h4><p class="row"><span>Corrections{f", read on {safe(day)}" if day else ""}: '
        f"{safe(told_)}.</span>{button('Take them out', 'without', kind='plain')}</p>"
    )
