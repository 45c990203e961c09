"""Write docs/studies.md and its pictures: two explorations, each reproducible by the commands it shows.

Run it after a model changed: `python scripts/write_studies.py` (some minutes; extra `study`).
"""

from __future__ import annotations

import io
import shlex
import tempfile
import textwrap
from contextlib import chdir, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

from foilwright import cli
from foilwright.build import load
from foilwright.study import plots
from foilwright.study.explore import Found, Store, Where, figures, found, planned

DOCS = Path(__file__).parents[1] / "docs"
PAGE, PICTURES = DOCS / "studies.md", DOCS / "pictures"


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """One exploration: its name, title, what is asked, and the arguments of its command."""

    name: str
    title: str
    asks: str
    vary: tuple[str, ...]
    aim: tuple[str, ...]
    every: tuple[str, ...] = ()
    where: Where = "not-failing"
    count: int = 4000


STUDIES = (
    Study(
        name="club",
        title="The smallest wing and pack for riders of 60 to 100 kg",
        asks=(
            "Which wing and pack are the smallest that let riders of 60, 80 and 100 kg fly 30 minutes on a lake, with"
            " nothing failing for any of them? Each design is asked for all three and counts for the worst."
        ),
        vary=("wing.area=500:1600:cm^2", "wing.span=60:110:cm", "pack.parallel=2:8", "rider.stance=-10:25:cm"),
        aim=("minimise wing.area", "minimise pack.parallel", "within run_time 30:600:min"),
        every=("rider.mass=60 kg,80 kg,100 kg",),
    ),
    Study(
        name="mast",
        title="What a longer mast costs",
        asks=(
            "A longer mast clears higher chop and forgives more, but it bends, twists and weighs more. What does it"
            " cost in power at cruise and in stiffness sideways, with nothing failing and chord and section free?"
        ),
        vary=("mast.length=50:110:cm", "mast.chord=10:15:cm", "mast.section=naca0012,naca0015"),
        aim=("maximise mast.length", "minimise cruise_electric_power", "maximise hold.mast.deflection"),
        count=2000,
    ),
)


def command(study: Study) -> list[str]:
    """Return the arguments of the command."""
    out = ["explore", "lake.toml"]
    for option, values in (("--vary", study.vary), ("--for", study.every), ("--aim", study.aim)):
        out += [part for value in values for part in (option, value)]
    out += ["--where", study.where] if study.where != "not-failing" else []
    return [*out, "-n", str(study.count), "-o", f"{study.name}.parquet", "--plot", "pictures"]


def shown(arguments: list[str]) -> str:
    """Return a command on lines that fit a page."""
    lines, line = [], "    foilwright"
    for word in map(shlex.quote, arguments):
        if word.startswith("-") and len(line) + len(word) > 60:
            lines.append(f"{line} \\")
            line = "       "
        line += f" {word}"
    return "\n".join([*lines, line])


def _filled(told: str) -> str:
    return textwrap.fill(told, 116, break_on_hyphens=False)


def worked(study: Study) -> tuple[str, Found]:
    """Work an exploration through by its command; return what it prints, and what it found."""
    told = io.StringIO()
    with redirect_stdout(told):
        cli.main(command(study)[:-2])
    plan = planned(
        load.load("lake.toml"), vary=study.vary, aim=study.aim, where=study.where, count=study.count, every=study.every
    )
    return told.getvalue(), found(plan, Store(place=Path(f"{study.name}.parquet")))


def page() -> str:
    """Return the page; draws the pictures."""
    parts = [
        "# Two studies\n\nWritten by `scripts/write_studies.py`. Each is one command on a build that"
        " `foilwright new lake` writes.\n"
    ]
    with tempfile.TemporaryDirectory() as place, chdir(place):
        with redirect_stdout(io.StringIO()):
            cli.main(["new", "lake"])
        for study in STUDIES:
            told, got = worked(study)
            names = dict.fromkeys(path.stem for path in plots.draw(PICTURES, figures(got)))
            text = "\n".join(f"    {line}".rstrip() for line in told.splitlines())
            pictures = "\n\n".join(f"![{study.title}](pictures/{name}.svg)" for name in names)
            parts.append(
                f"## {study.title}\n\n{_filled(study.asks)}\n\n{shown(command(study))}\n\n{text}\n\n{pictures}\n"
            )
    for drawn in PICTURES.glob("*.png"):
        drawn.unlink()
    return "\n".join(parts)


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    print(f"{PAGE.name}: {len(STUDIES)} studies")


if __name__ == "__main__":
    main()
