"""Write docs/equations.md from the table of equations that the page shows.

Run it after a line of src/foilwright/data/equations.csv was changed.
"""

from __future__ import annotations

from pathlib import Path

from foilwright.core.data import table
from foilwright.questions.ask import QUESTIONS

PAGE = Path(__file__).parents[1] / "docs" / "equations.md"
HEAD = """# Every finding as an equation

Written by `scripts/write_equations.py` from `src/foilwright/data/equations.csv`, which the page shows beside each
opened finding with the numbers of the build. A finding compares what is demanded (`asks`) with what there is (`has`);
its margin is has / asks - 1, or has - asks where a ratio means nothing. Quantities stand in words, so no symbol needs
looking up. What is not listed here, under `wire`, is a rule on the drawn network that is answered by yes or no. How the
models hang together, in the symbols of their sources: [questions.md](questions.md).
"""


def page() -> str:
    """Return the page."""
    rows = table("equations").texts
    lines = [HEAD]
    for question in QUESTIONS:
        lines += [f"## `{question.name}`", question.asks, "", "| finding | asks | has | where |", "|---|---|---|---|"]
        for name, *told in zip(rows["finding"], rows["asks"], rows["has"], rows["by"], strict=True):
            if name.partition(".")[0] == question.name:
                cells = [f"`{name}`", *(each.replace("|", "/") for each in told)]
                lines.append(f"| {' | '.join(cells)} |".replace("|  |", "| |").replace("|  |", "| |"))
        lines.append("")
    return "\n".join(lines)


def main() -> None:
    """Write it."""
    PAGE.write_text(page(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
