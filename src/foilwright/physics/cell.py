"""Lithium-ion cells: tables by kind, change with temperature, limits by chemistry."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.errors import DataError
from foilwright.core.model import Array, Mask, model

GAS_CONSTANT = 8.314462618  # J/(mol K), CODATA 2018
REFERENCE_TEMPERATURE = 298.15  # K, of every cell resistance here
Index = npt.NDArray[np.intp]
Kinds = str | Sequence[str] | npt.NDArray[np.str_]
LASTING = ("sustained", "burst", "instant")


@dataclass(frozen=True, slots=True, kw_only=True)
class CellTables:
    """Tables of a few kinds of cell, and which design has which.

    ``kind`` (n,) is the row of each design in the tables ``rows_*`` (k, m) over the uniform
    ``charge`` axis (m,) [-]: open voltage [V], and resistance over the sustained one at charge 0.5
    [-] in a whole discharge (``sustained``), 10 s after a step (``burst``) and at once
    (``instant``). By design (n,): ``activation_energy`` [J/mol], ``reference_capacity`` (between
    the voltages of charge 0 and 1) and ``nominal_capacity`` [A*s], ``reference_resistance``
    (sustained, 25 C, charge 0.5) [ohm], ``checked_rate`` of discharge [1/s].
    """

    kind: Index
    charge: Array
    rows_voltage: Array
    rows_sustained: Array
    rows_burst: Array
    rows_instant: Array
    activation_energy: Array
    reference_capacity: Array
    nominal_capacity: Array
    reference_resistance: Array
    checked_rate: Array

    @property
    def open_voltage(self) -> Array:
        """Open voltage of each design over ``charge`` (n, m) [V]."""
        return self.rows_voltage[self.kind]

    @property
    def resistance_shape(self) -> Array:
        """Sustained resistance of each design over its value at charge 0.5 (n, m) [-]."""
        return self.rows_sustained[self.kind]

    @property
    def burst_shape(self) -> Array:
        """Resistance after 10 s over the sustained one at charge 0.5 (n, m) [-]."""
        return self.rows_burst[self.kind]

    @property
    def instant_shape(self) -> Array:
        """Resistance at once over the sustained one at charge 0.5 (n, m) [-]."""
        return self.rows_instant[self.kind]

    def row(self, axes: int) -> Index:
        """Return where each design's row begins in the flat tables, with trailing axes up to ``axes``."""
        kind = self.kind.reshape(self.kind.shape + (1,) * max(0, axes - self.kind.ndim))
        return kind * self.charge.size

    def place(self, charge: Array) -> tuple[Index, Array]:
        """Return the node below ``charge`` within a row, and the share of the cell above it."""
        last = self.charge.size - 1
        along = np.minimum(np.maximum(charge, 0.0), 1.0) * last
        below = np.minimum(along.astype(np.intp), last - 1)
        return below, along - below

    @staticmethod
    def read(rows: Array, at: Index, share: Array) -> Array:
        """Interpolate linearly in ``rows`` (k, m) above the flat index ``at``."""
        low = rows.take(at)
        out: Array = low + share * (rows.take(at + 1) - low)
        return out


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdShare:
    """Share of the charge that a cold cell delivers: ``value`` between ``low`` and ``high`` (n,) [-]."""

    value: Array
    low: Array
    high: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class CellLimits:
    """Limits of one cell by kind (n,): voltages [V], temperatures [K]; the last three are alarms."""

    charge_end: Array
    sheet_end: Array
    stop: Array
    warn: Array
    discharge_low: Array
    discharge_high: Array
    charge_low: Array
    charge_high: Array
    warm: Array
    derate: Array
    hot: Array


def _places(names: tuple[str, ...], wanted: Kinds, what: str) -> Index:
    """Return the index of each wanted name in sorted ``names``."""
    asked = np.asarray(wanted, dtype=np.str_)
    known = np.array(names)
    place: Index = np.minimum(np.searchsorted(known, asked), known.size - 1)
    strange = known[place] != asked
    if np.any(strange):
        first = str(np.atleast_1d(asked)[np.atleast_1d(strange)][0])
        raise DataError(f"there is no {what} called {first!r}; known: {', '.join(names)}")
    return place


@functools.cache
def _library() -> tuple[tuple[str, ...], dict[str, Array]]:
    """Return the names of the kinds and their stacked columns."""
    index = table("cells/kinds")
    sets = [table(f"cells/{name}").columns for name in index.texts["set"]]
    half = sets[0]["charge"].size // 2
    stacks = {name: np.stack([columns[name] for columns in sets]) for name in ("open_voltage", *LASTING)}
    reference = stacks["sustained"][:, half].copy()
    for name in LASTING:
        stacks[name] = stacks[name] / reference[:, None]
    given = index.columns["resistance"]
    stacks |= index.columns | {
        "charge": sets[0]["charge"],
        "resistance": np.where(np.isnan(given), reference, given),
    }
    for column in stacks.values():
        column.flags.writeable = False
    return index.texts["kind"], stacks


@model(source="open parameter sets named in data/cells/kinds.csv; equilibrium curves and 1C discharges of each")
def gather(*, kinds: Kinds) -> CellTables:
    """Return the tables of the cells of each design.

    Parameters
    ----------
    kinds : str or (n,) sequence of str
        Kind of cell by chemistry and form, as in ``data/cells/kinds.csv`` [-].

    Returns
    -------
    CellTables
        Open voltage [V], shapes of the resistance [-], references by design.
    """
    names, stack = _library()
    kind = _places(names, kinds, "kind of cell")
    return CellTables(
        kind=kind,
        charge=stack["charge"],
        rows_voltage=stack["open_voltage"],
        rows_sustained=stack["sustained"],
        rows_burst=stack["burst"],
        rows_instant=stack["instant"],
        activation_energy=stack["activation_energy"][kind],
        reference_capacity=stack["capacity"][kind],
        nominal_capacity=stack["nominal_capacity"][kind],
        reference_resistance=stack["resistance"][kind],
        checked_rate=stack["checked_rate"][kind],
    )


@model(
    source="Arrhenius law with the activation energy of each set between 0 and 25 C",
    valid={
        "temperature": (
            263.15,
            333.15,
            "no resistance was computed below -10 C; cells are stopped above 60 C",
        )
    },
)
def temperature_factor(*, temperature: Array, activation_energy: Array) -> Array:
    r"""Return the resistance of a cell over its value at 25 C.

    Parameters
    ----------
    temperature : float or (n,) array
        Temperature of the cell [K].
    activation_energy : float or (n,) array
        Activation energy of the resistance [J/mol].

    Returns
    -------
    float or (n,) array
        Resistance ratio [-].

    Notes
    -----
    .. math:: R/R_{25} = \exp\left(\frac{E_a}{R_g}\left(\frac1T - \frac1{298.15}\right)\right)
    """
    slope = np.asarray(activation_energy) / GAS_CONSTANT
    factor: Array = np.exp(slope * (1.0 / np.asarray(temperature) - 1.0 / REFERENCE_TEMPERATURE))
    return factor


@model(
    source="isothermal 1C discharges of five open parameter sets, data/cells/cold.csv",
    valid={"temperature": (263.15, 333.15, "no discharge was computed below -10 C or above 60 C")},
    decides=("temperature",),
)
def cold_share(*, temperature: Array) -> ColdShare:
    """Return the share of its charge that a cell delivers when cold, at about 1C and without warming up.

    Parameters
    ----------
    temperature : float or (n,) array
        Temperature of the cell at the start [K].

    Returns
    -------
    ColdShare
        Share of the charge delivered at 25 C [-], mean and extremes of the sets; NaN outside.
    """
    nodes = table("cells/cold").columns

    def along(name: str) -> Array:
        return np.asarray(np.interp(temperature, nodes["temperature"], nodes[name], left=np.nan, right=np.nan))

    mask = cold_share.mask(temperature=temperature)
    return ColdShare(value=along("share"), low=along("low"), high=along("high"), outside=mask)


@model(source="common data-sheet limits by chemistry, data/cells/limits.csv")
def limits(*, kinds: Kinds) -> CellLimits:
    """Return the common limits of one cell of each design.

    Parameters
    ----------
    kinds : str or (n,) sequence of str
        Kind of cell by chemistry and form [-].

    Returns
    -------
    CellLimits
        Voltages [V] and temperatures [K].
    """
    index, listed = table("cells/kinds"), table("cells/limits")
    rows = _places(listed.texts["chemistry"], index.texts["chemistry"], "chemistry")
    place = rows[_places(index.texts["kind"], kinds, "kind of cell")]
    return CellLimits(**{name: column[place] for name, column in listed.columns.items()})
