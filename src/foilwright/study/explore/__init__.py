"""Explore: many designs of one build, searched for the best by several aims, kept as they come."""

from foilwright.study.explore.aims import WHERES, Aim, Where
from foilwright.study.explore.explore import Exploration, explore, picked, planned
from foilwright.study.explore.plan import Plan
from foilwright.study.explore.run import Progress
from foilwright.study.explore.space import Variable
from foilwright.study.explore.store import Store
from foilwright.study.explore.told import Found, document, figures, found, text

__all__ = [
    "WHERES",
    "Aim",
    "Exploration",
    "Found",
    "Plan",
    "Progress",
    "Store",
    "Variable",
    "Where",
    "document",
    "explore",
    "figures",
    "found",
    "picked",
    "planned",
    "text",
]
