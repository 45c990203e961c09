"""What a wire bears, and the fuse that guards it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.data import table
from foilwright.core.model import Array, Mask, model
from foilwright.physics.conductor import gauge_area

CLASSES = ("60", "75", "80", "90", "105", "125", "200")
ZERO = 273.15
TABLE_TEMPERATURE = 303.15
"""Surroundings of the table of allowable currents [K]."""
BUNDLES = ((25.0, 0.40), (7.0, 0.50), (4.0, 0.60), (3.0, 0.70))
"""Least number of wires, and the share of the current that each still bears [-]."""
COPPER_CONSTANT = 226.0
"""Of copper heated without loss [A*s^0.5/mm^2] (IEC 60949, IEC 60364-5-54)."""
COPPER_OFFSET = 234.5 - ZERO
LOWER = 50.0
"""Voltage from which the fuse may not exceed the wire by half [V] (33 CFR 183.455)."""
OVER = 1.5
LOADED = 0.75
"""Share of its rating that a fuse carries continuously [-]."""
Number = Array | float


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseSize:
    """Fuse for a circuit (n,): ``least`` and ``largest`` rating that the rules allow [A]."""

    least: Array
    largest: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Ampacity:
    """Current that a wire bears (n,): ``current`` [A]; NaN where the table has no such wire."""

    current: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Heating:
    """Time in which a current heats copper (n,): ``time`` [s]."""

    time: Array
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningTime:
    """Time in which a fuse opens (n,): ``least`` and ``longest`` [s]; infinite below 1.35 times its rating."""

    least: Array
    longest: Array


def _by_area(area: Array, insulation: Array) -> Array:
    """Return the table's current, interpolated in the logarithm of the area and between classes."""
    columns = table("wiring/ampacity").columns
    sizes = np.log(np.asarray(gauge_area(gauge=columns["gauge"])))
    where = np.log(np.asarray(area, dtype=np.float64))
    logs = [np.interp(where, sizes, np.log(columns[name]), left=np.nan, right=np.nan) for name in CLASSES]
    marks = np.array([float(name) + ZERO for name in CLASSES])
    out: Array = np.full(np.broadcast_shapes(where.shape, np.shape(insulation)), np.nan)
    for k in range(len(CLASSES) - 1):
        share = (insulation - marks[k]) / (marks[k + 1] - marks[k])
        out = np.where((share >= -1e-9) & (share <= 1.0 + 1e-9), logs[k] + share * (logs[k + 1] - logs[k]), out)
    return np.asarray(np.exp(out))


@model(
    source="US 33 CFR 183.425, Table 5 (30 C), with the square root of the rise left for other surroundings "
    "and the table's own factors for bundles",
    valid={
        "area": (8.1e-7, 1.08e-4, "the table of allowable currents runs from gauge 18 to 4/0"),
        "insulation": (333.15, 473.15, "insulation classes run from 60 to 200 C"),
    },
    decides=("area", "insulation"),
)
def ampacity(*, area: Number, insulation: Number, ambient: Number, bundled: Number = 1.0) -> Ampacity:
    r"""Return the current that an insulated copper wire bears continuously.

    Parameters
    ----------
    area : float or (n,) array
        Of the copper [m^2].
    insulation : float or (n,) array
        Temperature class of the insulation, or a lower one that the surroundings bear [K].
    ambient : float or (n,) array
        Temperature around the wire, below that of the insulation [K].
    bundled : int or (n,) array
        Wires that carry current and lie together, this one with them [-].

    Returns
    -------
    Ampacity
        Current [A].

    Notes
    -----
    .. math:: I = I_{30} \sqrt{(T_c - T_a)/(T_c - 30\,^\circ\mathrm{C})}
    """
    limit, around, many = (np.asarray(one, dtype=np.float64) for one in (insulation, ambient, bundled))
    left = np.maximum(limit - around, 0.0) / (limit - TABLE_TEMPERATURE)
    share = np.select([many >= least for least, _ in BUNDLES], [value for _, value in BUNDLES], default=1.0)
    current = _by_area(np.asarray(area), limit) * np.sqrt(left) * share
    return Ampacity(current=current, outside=ampacity.mask(area=area, insulation=insulation))


@model(
    source="IEC 60949, adiabatic heating of copper",
    valid={"time": (0.0, 10.0, "beyond some seconds the wire gives heat away: the time is on the safe side")},
)
def heating_time(*, area: Number, current: Number, temperature: Number, limit: Number) -> Heating:
    r"""Return the time in which a current heats copper to a temperature, without loss.

    Parameters
    ----------
    area : float or (n,) array
        Of the copper [m^2].
    current : float or (n,) array
        Current, above zero [A].
    temperature : float or (n,) array
        At the start [K].
    limit : float or (n,) array
        At the end [K].

    Returns
    -------
    Heating
        Time [s]; flagged where it is so long that the wire gives heat away meanwhile.

    Notes
    -----
    .. math:: I^2 t = K^2 S^2 \ln\frac{\theta_2 + 234.5}{\theta_1 + 234.5}
    """
    rise = np.log((np.asarray(limit) + COPPER_OFFSET) / (np.asarray(temperature) + COPPER_OFFSET))
    load = COPPER_CONSTANT * 1e6 * np.asarray(area) / np.asarray(current)
    time = np.asarray(load * load * rise)
    return Heating(time=time, outside=heating_time.mask(time=time))


@model(source="IEC 60949, the same solved for the current")
def heating_current(*, area: Number, time: Number, temperature: Number, limit: Number) -> Array:
    """Return the current that heats copper to a temperature in a time, without loss.

    Parameters
    ----------
    area : float or (n,) array
        Of the copper [m^2].
    time : float or (n,) array
        Time, above zero [s].
    temperature : float or (n,) array
        At the start [K].
    limit : float or (n,) array
        At the end; 1356 K is where copper melts [K].

    Returns
    -------
    float or (n,) array
        Current [A].
    """
    rise = np.log((np.asarray(limit) + COPPER_OFFSET) / (np.asarray(temperature) + COPPER_OFFSET))
    current: Array = COPPER_CONSTANT * 1e6 * np.asarray(area) * np.sqrt(rise / np.asarray(time))
    return current


@model(source="US 33 CFR 183.455; a fuse carries three quarters of its rating continuously")
def fuse_size(*, current: Number, allowed: Number, voltage: Number) -> FuseSize:
    """Return the smallest and the largest fuse for a wire.

    Parameters
    ----------
    current : float or (n,) array
        That flows continuously [A].
    allowed : float or (n,) array
        That the wire bears continuously [A].
    voltage : float or (n,) array
        Full voltage of the circuit [V].

    Returns
    -------
    FuseSize
        Ratings [A]: below 50 V up to 1.5 times the wire; from there on the next size sold above it, but
        not above 1.5 times.
    """
    bears = np.asarray(allowed, dtype=np.float64)
    sold = np.append(table("wiring/fuse_ratings").columns["rating"], np.inf)
    beyond = sold[np.minimum(np.searchsorted(sold, np.where(np.isnan(bears), np.inf, bears)), sold.size - 1)]
    nearest = np.where(beyond <= OVER * bears, beyond, bears)
    largest = np.where(np.asarray(voltage) < LOWER, OVER * bears, nearest)
    return FuseSize(least=np.asarray(current) / LOADED, largest=np.where(np.isnan(bears), np.nan, largest))


@model(
    source="ISO 8820-3 (blade) and ISO 8820-5 (bolt-down): opening times by multiple of the rating",
    valid={"multiple": (0.0, 6.0, "the table of opening times ends at six times the rating")},
)
def opening_time(*, multiple: Number, kind: str) -> OpeningTime:
    """Return the band of time in which a fuse opens.

    Parameters
    ----------
    multiple : float or (n,) array
        Current over rating [-].
    kind : str
        ``blade`` or ``bolt_down`` [-].

    Returns
    -------
    OpeningTime
        Times [s]; beyond the last point its own time is held, which is on the long side.
    """
    columns = table("wiring/fuse_times").columns
    where = np.asarray(multiple, dtype=np.float64)
    nodes = np.log(columns["multiple"])

    def along(name: str) -> Array:
        log = np.interp(np.log(np.maximum(where, 1e-9)), nodes, np.log(columns[f"{kind}_{name}"]))
        return np.where(where >= columns["multiple"][0], np.exp(log), np.inf)

    return OpeningTime(least=along("least"), longest=along("longest"))


@model(
    source="share of the melting I2t that a repeated pulse may have: data/wiring/fuse_pulses.csv",
    valid={"pulses": (100.0, 1e5, "the table of pulses runs from a hundred to a hundred thousand")},
    decides=("pulses",),
)
def pulse_share(*, pulses: Number) -> Array:
    """Return the share of its melting I2t that a fuse bears as a repeated pulse.

    Parameters
    ----------
    pulses : float or (n,) array
        Times that the pulse comes in the life of the fuse [-].

    Returns
    -------
    float or (n,) array
        Share [-]; NaN outside the table.
    """
    columns = table("wiring/fuse_pulses").columns
    share: Array = np.interp(
        np.log(np.asarray(pulses)), np.log(columns["pulses"]), columns["share"], left=np.nan, right=np.nan
    )
    return share
