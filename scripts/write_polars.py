"""Write the polars of the built-in sections to the shipped tables; needs the extra ``sections``."""

from __future__ import annotations

import sys

from foilwright.core.data import folder, table
from foilwright.shape.foil import section_coordinates
from foilwright.study.polars import polar_text


def main(names: list[str]) -> None:
    """Write the named sections, or all of them."""
    geometry = table("sections")
    for name, thickness in zip(geometry.texts["section"], geometry.columns["thickness"], strict=True):
        if not names or name in names:
            text = polar_text(section=name, coordinates=section_coordinates(section=name), thickness=float(thickness))
            (folder() / "polars" / f"{name}.csv").write_text(text, encoding="utf-8", newline="\n")
            print(name)


if __name__ == "__main__":
    main(sys.argv[1:])
