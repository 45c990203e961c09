"""Curves in a window, drawn by the plotting library that comes with the page's own."""

from __future__ import annotations

from typing import Any

from nicegui.element import Element
from nicegui.elements.plotly import Plotly


class Curves(Element, component="curves.js"):
    """A figure with curves; ``show`` gives it another."""

    LIBRARY = Plotly
    """Brings the library itself, from this machine."""

    def __init__(self) -> None:
        super().__init__()
        self._props["figure"] = {}
        self.classes("chart")
        self.props('role=group aria-label="Curves"')

    def show(self, figure: dict[str, Any] | None) -> None:
        """Show a figure, or none."""
        self.set_visibility(figure is not None)
        if figure is not None and self._props["figure"] != figure:
            self._props["figure"] = figure
            self.update()
