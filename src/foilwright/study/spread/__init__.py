"""Spread: how likely each finding is to fail, and which inputs to measure because they decide it."""

from foilwright.study.spread.chances import Chance, Deciding, Spread, spread, wilson
from foilwright.study.spread.indices import Indices, indices
from foilwright.study.spread.ranges import Range, uncertain
from foilwright.study.spread.told import document, text

__all__ = [
    "Chance",
    "Deciding",
    "Indices",
    "Range",
    "Spread",
    "document",
    "indices",
    "spread",
    "text",
    "uncertain",
    "wilson",
]
