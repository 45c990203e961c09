"""Compare: builds side by side, what changed between them, and what that did to every finding."""

from foilwright.study.compare.differences import Change, Comparison, Effect, compare
from foilwright.study.compare.drawn import figures
from foilwright.study.compare.told import document, text

__all__ = ["Change", "Comparison", "Effect", "compare", "document", "figures", "text"]
