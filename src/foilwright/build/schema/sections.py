"""A maker's own section shapes."""

from __future__ import annotations

from foilwright.build.schema.base import Block
from foilwright.build.schema.field import text


class Section(Block):
    """A section shape of your own, by the coordinates of its outline."""

    file: str = text(
        "file of coordinates beside the build file: x and z a line, from the trailing edge over the top and back",
        "my-foil.dat",
        required=True,
        fixed="another shape is another section",
    )
