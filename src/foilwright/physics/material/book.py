"""Properties of materials by name: the book, a maker's own materials, and coupon tests."""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from foilwright.core.data import table
from foilwright.core.errors import DataError, ModelError
from foilwright.core.model import Array, model

FAMILIES = ("printed", "resins", "laminates", "foams", "wood", "metals")
"""Tables of materials, one a family of sources."""
TEXTS = ("family", "curve", "known")
ABSENT = np.inf
"""A temperature that a material does not have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stuff:
    """Properties of the material of each design; arrays (n,), at 23 C unless said otherwise."""

    names: tuple[str, ...]
    family: tuple[str, ...]
    curve: tuple[str, ...]
    known: tuple[str, ...]
    density: Array
    """density [kg/m^3]."""
    modulus: Array
    """modulus along the part [Pa]."""
    modulus_across: Array
    """modulus_across the layers or the grain [Pa]."""
    shear_modulus: Array
    """shear_modulus [Pa]."""
    poisson: Array
    """poisson, lateral contraction [-]."""
    tension: Array
    """tension strength along [Pa]."""
    tension_low: Array
    """tension_low end of the spread between sources [Pa]."""
    tension_high: Array
    """tension_high end of it [Pa]."""
    compression: Array
    """compression strength along [Pa]."""
    shear: Array
    """shear strength in the plane [Pa]."""
    across: Array
    """across, tension strength across layers, grain or plies [Pa]."""
    across_low: Array
    """across_low end of the spread between sources [Pa]."""
    across_high: Array
    """across_high end of it [Pa]."""
    shear_across: Array
    """shear_across, shear strength between layers or plies [Pa]."""
    proof: Array
    """proof, yield or proof strength; that in tension where it breaks first [Pa]."""
    glass_transition: Array
    """glass_transition, infinite where there is none [K]."""
    deflection_temperature: Array
    """deflection_temperature at 0.45 MPa, infinite where there is none [K]."""
    service: Array
    """service, warmest it should be under load [K]."""
    expansion: Array
    """expansion with heat [1/K]."""
    fatigue_thousand: Array
    """fatigue_thousand, share of strength left after 1e3 full reversals [-]."""
    fatigue_million: Array
    """fatigue_million, share of strength left after 1e6 full reversals [-]."""
    creep_hours: Array
    """creep_hours, share of strength borne for hours [-]."""
    creep_standing: Array
    """creep_standing, share of strength borne for ever [-]."""
    wet: Array
    """wet, share of strength left when soaked [-]."""
    node_temperature: Array
    """node_temperature (n, k) of the curves over temperature [K]."""
    node_strength: Array
    """node_strength (n, k), share of the strength there [-]."""
    node_stiffness: Array
    """node_stiffness (n, k), share of the stiffness there [-]."""


NUMBERS = tuple(f.name for f in fields(Stuff) if f.name not in {*TEXTS, "names"} and not f.name.startswith("node"))
TEMPERATURES = frozenset({"glass_transition", "deflection_temperature"})


@functools.cache
def _book() -> tuple[dict[str, int], Array, dict[str, tuple[str, ...]]]:
    """Return the row of each name, the numbers (rows, columns), and the texts."""
    rows: dict[str, int] = {}
    numbers: list[Array] = []
    texts: dict[str, list[str]] = {name: [] for name in TEXTS}
    for family in FAMILIES:
        one = table(f"materials/{family}")
        start = len(rows)
        rows |= {name: start + k for k, name in enumerate(one.texts["material"])}
        numbers.append(np.stack([one.columns[name] for name in NUMBERS], axis=1))
        for name in TEXTS:
            texts[name] += one.texts[name]
    values = np.concatenate(numbers)
    proof, tension = NUMBERS.index("proof"), NUMBERS.index("tension")
    values[:, proof] = np.where(np.isnan(values[:, proof]), values[:, tension], values[:, proof])
    for name in TEMPERATURES:
        column = values[:, NUMBERS.index(name)]
        column[np.isnan(column)] = ABSENT
    if np.isnan(values).any():
        bad = [name for name, k in rows.items() if np.isnan(values[k]).any()]
        raise DataError(f"the tables of materials leave a property of {', '.join(bad)} open")
    return rows, values, {name: tuple(listed) for name, listed in texts.items()}


@functools.cache
def _curves() -> tuple[dict[str, int], Array, Array, Array]:
    """Return the place of each curve and its nodes: offsets by anchor (c, 3, k), strength, stiffness (c, k)."""
    source = table("materials/temperature")
    names = tuple(dict.fromkeys(source.texts["curve"]))
    anchors = ("kelvin", "glass_transition", "deflection_temperature")
    most = max(source.texts["curve"].count(name) for name in names)
    offset = np.full((len(names), 3, most), np.nan)
    shares = np.zeros((2, len(names), most))
    count = [0] * len(names)
    for k, (curve, anchor) in enumerate(zip(source.texts["curve"], source.texts["anchor"], strict=True)):
        row = names.index(curve)
        offset[row, anchors.index(anchor), count[row]] = source.columns["offset"][k]
        shares[:, row, count[row]] = source.columns["strength"][k], source.columns["stiffness"][k]
        count[row] += 1
    return {name: k for k, name in enumerate(names)}, offset, shares[0], shares[1]


@model(source="tables data/materials; each names its publications")
def gather(
    *,
    names: Sequence[str],
    coupons: Mapping[str, Array] | None = None,
) -> Stuff:
    """Return the properties of the named materials, one a design.

    Parameters
    ----------
    names : sequence of str
        Names in the book or of a maker's own materials, or one name [-].
    coupons : mapping, optional
        What a maker measured, by the name of the property: (n,) arrays that take the place of the
        book where they are not NaN; low and high ends follow the measured value [SI].

    Returns
    -------
    Stuff
        Arrays (n,); fields with their units in the class [SI].
    """
    names = (names,) if isinstance(names, str) else names
    return _gathered(tuple(names), coupons) if coupons else _listed(tuple(names))


@functools.lru_cache(maxsize=256)
def _listed(names: tuple[str, ...]) -> Stuff:
    """Return what the book says of the named materials, made once for what is asked again and again."""
    return _gathered(names, {})


def _gathered(names: tuple[str, ...], coupons: Mapping[str, Array]) -> Stuff:
    places, values, texts = _book()
    missing = sorted(set(names) - places.keys())
    if missing:
        raise DataError(f"no material {', '.join(missing)} in the tables; known: {', '.join(sorted(places))}")
    at = [places[name] for name in names]
    numbers = dict(zip(NUMBERS, np.ascontiguousarray(values[at].T), strict=True))
    words = {key: tuple(listed[k] for k in at) for key, listed in texts.items()}
    for name, measured in coupons.items():
        if name not in numbers:
            raise ModelError(f"a coupon cannot measure {name}; known: {', '.join(NUMBERS)}")
        there = np.isfinite(measured)
        for each in (name, f"{name}_low", f"{name}_high"):
            if each in numbers:
                numbers[each] = np.where(there, measured, numbers[each])
    made: dict[str, Any] = {**words, **numbers, **_nodes(words["curve"], numbers)}
    return Stuff(names=names, **made)


def _nodes(curves: tuple[str, ...], numbers: Mapping[str, Array]) -> dict[str, Array]:
    """Return the nodes of each design's curves over temperature, rising."""
    places, offset, strength, stiffness = _curves()
    at = [places[name] for name in curves]
    anchors = np.stack([np.zeros(len(at)), numbers["glass_transition"], numbers["deflection_temperature"]], axis=1)
    by_anchor = offset[at]
    used = np.isfinite(by_anchor)
    nodes = np.where(used, by_anchor + np.where(used, anchors[..., None], 0.0), -np.inf).max(axis=1)
    rising = np.arange(nodes.shape[-1])
    nodes = np.where(np.isfinite(nodes), nodes, 0.0) - rising
    return {
        "node_temperature": np.maximum.accumulate(nodes, axis=-1) + rising,
        "node_strength": strength[at],
        "node_stiffness": stiffness[at],
    }


def properties(stuff: Stuff | str | Sequence[str]) -> Stuff:
    """Return properties as they are, or those of the names given in their place."""
    return stuff if isinstance(stuff, Stuff) else gather.function(names=stuff)
