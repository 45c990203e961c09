"""Whole-craft yardsticks: adapters that let a row of the outside checks ask more than one model.

An adapter takes keyword arguments as they stand in the row's inputs (SI numbers, arrays, text) and
returns what a physics function would: a number, an array, or a dataclass with the field asked for.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from foilwright.study import lattice

ADAPTERS: dict[str, Callable[..., Any]] = {"lattice.wing": lattice.wing}
"""Name in the ``model`` column to the function that answers it."""
