"""A region of the page that is written as text and changed in place; what is done in it comes back as an act."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from nicegui.element import Element

Act = Callable[[Mapping[str, Any]], Any]


class Paper(Element, component="paper.js"):
    """One region; ``write`` gives it other text."""

    def __init__(self, act: Act, *, key: str, kind: str = "") -> None:
        super().__init__()
        self._props["html"] = ""
        self._props["id"] = key
        self.classes(f"paper {kind}")
        self.on("act", lambda event: act(event.args))

    def write(self, text: str) -> None:
        """Show other text; nothing travels where it is the same."""
        if self._props["html"] != text:
            self._props["html"] = text
            self.update()
