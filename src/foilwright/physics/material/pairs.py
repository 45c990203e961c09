"""What does not go together: resins and solvents on plastics, heat of curing, metals in salt water."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.errors import DataError
from foilwright.core.model import Array, model
from foilwright.physics.material.book import Stuff, properties

APART = 0.20
"""Potential between metals above which salt water eats the lesser one [V]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """What a resin, glue or solvent does to a material."""

    attacks: npt.NDArray[np.bool_]
    bonds: npt.NDArray[np.bool_]
    verdict: tuple[str, ...]
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Couple:
    """Two metals in sea water."""

    apart: Array
    """apart, mean potential of the first less that of the second [V]."""
    least: Array
    """least distance of the two ranges, 0 where they overlap [V]."""
    first_corrodes: npt.NDArray[np.bool_]
    second_corrodes: npt.NDArray[np.bool_]


@functools.cache
def _attacks() -> dict[tuple[str, str], tuple[str, str]]:
    texts = table("materials/attack").texts
    rows = zip(*(texts[name] for name in ("agent", "family", "verdict", "why")), strict=True)
    return {(agent, family): (verdict, why) for agent, family, verdict, why in rows}


@model(source="common practice of board makers and chemical-resistance tables: data/materials/attack.csv")
def contact(*, agents: Sequence[str], stuff: Stuff | str | Sequence[str]) -> Contact:
    """Return whether resins, glues or solvents go with the material they touch.

    Parameters
    ----------
    agents : sequence of str
        ``epoxy``, ``polyester``, ``vinylester``, ``acetone``, ``spray paint``, ``contact cement``,
        ``cyanoacrylate``, one a design [-].
    stuff : Stuff or names
        What they are put on, n designs [SI].

    Returns
    -------
    Contact
        Verdicts ``dissolves``, ``crazes``, ``poor bond`` or ``sound`` with their reasons [-].
    """
    stuff = properties(stuff)
    agents = (agents,) if isinstance(agents, str) else agents
    known = {agent for agent, _ in _attacks()}
    strange = sorted(set(agents) - known)
    if strange:
        raise DataError(f"nothing is known of {', '.join(strange)}; known: {', '.join(sorted(known))}")
    found = [_attacks().get(pair, ("sound", "")) for pair in zip(agents, stuff.family, strict=True)]
    verdict = tuple(each[0] for each in found)
    return Contact(
        attacks=np.array([word in {"dissolves", "crazes"} for word in verdict]),
        bonds=np.array([word == "sound" for word in verdict]),
        verdict=verdict,
        because=tuple(each[1] for each in found),
    )


@model(source="service temperatures of data/materials; unloaded parts bear their deflection temperature less 5 K")
def cure_margin(*, stuff: Stuff | str | Sequence[str], cure_temperature: Array) -> Array:
    """Return by how much a material bears the heat of a cure, unloaded.

    Parameters
    ----------
    stuff : Stuff or names
        What lies in the warm box, n designs [SI].
    cure_temperature : float or (n,) array
        Temperature of the cure or post-cure [K].

    Returns
    -------
    (n,) array
        What it bears less the cure; negative where it warps or blisters [K].
    """
    stuff = properties(stuff)
    bears = np.where(np.isfinite(stuff.deflection_temperature), stuff.deflection_temperature - 5.0, stuff.service)
    out: Array = bears - cure_temperature
    return out


@model(source="table of corrosion potentials in flowing sea water; 0.20 V rule: data/materials/galvanic.csv")
def galvanic(*, first: Sequence[str], second: Sequence[str], salinity: Array) -> Couple:
    """Return which of two touching metals the water eats.

    Parameters
    ----------
    first, second : sequence of str
        Metals by name, one a design; ``carbon`` for carbon laminates [-].
    salinity : float or (n,) array
        Salt of the water; below 2 the couple hardly works [g/kg].

    Returns
    -------
    Couple
        The less noble metal corrodes where the means are more than 0.20 V apart in salt water [SI].
    """
    first, second = ((side,) if isinstance(side, str) else side for side in (first, second))
    book = table("materials/galvanic")
    rows = {name: k for k, name in enumerate(book.texts["metal"])}
    strange = sorted({*first, *second} - rows.keys())
    if strange:
        raise DataError(f"no potential of {', '.join(strange)}; known: {', '.join(rows)}")
    low, high = ([book.columns[end][[rows[m] for m in side]] for side in (first, second)] for end in ("low", "high"))
    apart = 0.5 * (low[0] + high[0] - low[1] - high[1])
    least = np.maximum(np.maximum(low[0] - high[1], low[1] - high[0]), 0.0)
    salt = np.asarray(salinity) >= 2.0
    return Couple(
        apart=apart, least=least, first_corrodes=salt & (apart < -APART), second_corrodes=salt & (apart > APART)
    )
