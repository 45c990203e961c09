"""Write the table of quantities in docs/words.md from the pages of the physics functions.

The part of the page between its two marks is written afresh; everything else is left as it is.
Run it after a model with a new input was added.
"""

from __future__ import annotations

import re
from pathlib import Path

from docstrings import UNIT, entries
from foilwright.core.model import REGISTRY
from foilwright.study import evidence

PAGE = Path(__file__).parents[1] / "docs" / "words.md"
BEGIN = "<!-- quantities: written by scripts/words.py -->\n"
END = "<!-- end of quantities -->\n"


def quantities() -> dict[str, tuple[str, str]]:
    """Return the unit and the shortest description of each input of a physics function."""
    evidence.load_models()
    units: dict[str, set[str]] = {}
    means: dict[str, str] = {}
    for _, made in sorted(REGISTRY.items()):
        for entry in entries(made.__doc__, "Parameters"):
            plain = " ".join(UNIT.sub("", entry.text).split()).replace("|", "/")
            told = re.sub(r" (?=[.,;:])", "", plain)
            for name in entry.names:
                units.setdefault(name, set()).add(entry.unit(name))
                means[name] = min(means.get(name, told), told, key=len)
    return {name: (" or ".join(sorted(units[name])), means[name]) for name in units}


def main() -> None:
    """Write the table."""
    before, _, rest = PAGE.read_text(encoding="utf-8").partition(BEGIN)
    after = rest.partition(END)[2]
    rows = [f"| `{name}` | {unit} | {means} |" for name, (unit, means) in sorted(quantities().items())]
    table = "\n".join(["| word | unit | means |", "|---|---|---|", *rows])
    PAGE.write_text(f"{before}{BEGIN}{table}\n{END}{after}", encoding="utf-8", newline="\n")
    print(f"{len(rows)} quantities")


if __name__ == "__main__":
    main()
