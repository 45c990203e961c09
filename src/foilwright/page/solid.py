"""A picture in space that one turns with the pointer or the arrow keys."""

from __future__ import annotations

from typing import Any

from nicegui.element import Element


class Solid(Element, component="solid.js"):
    """Faces drawn from the furthest to the nearest."""

    def __init__(self) -> None:
        super().__init__()
        self._props["parts"] = []
        self.classes("solid")

    def show(self, parts: list[dict[str, Any]]) -> None:
        """Show other parts."""
        if self._props["parts"] != parts:
            self._props["parts"] = parts
            self.update()
