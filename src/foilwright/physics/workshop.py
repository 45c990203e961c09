"""Arithmetic of the workshop: resin, cloth, working time, the heat of a batch, cure, printing time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, model

REFERENCE = 298.15
"""Temperature at which pot life and cure are stated [K]."""
STATED_MASS = 0.1
"""Batch for which pot life is stated [kg]."""
TEN_KELVIN = "rule of ten kelvin: common on labels of room-cured epoxies, twice as fast for every 10 K"
GAS = 8.314
SEMENOV = float(np.exp(-1.0))
"""Self-heating number above which a batch runs away (Semenov 1928) [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix:
    """Resin and hardener of a batch."""

    resin: Array
    """resin [kg]."""
    hardener: Array
    """hardener [kg]."""


@model(
    source="identity of masses; Gerr, The Elements of Boat Strength (2000), ch. on laminates",
    valid={"fibre_mass_share": (0.1, 0.85, "fibre share that no hand reaches")},
)
def resin_mass(*, dry_cloth: Array, fibre_mass_share: Array, lost: Array) -> Array:
    r"""Return the mixed resin that a lay-up takes: what stays in it, and what is lost in pots, brushes and rags.

    Parameters
    ----------
    dry_cloth : float or array
        Dry mass of the cloth that is laid [kg].
    fibre_mass_share : float or array
        Mass of fibre over that of the laminate [-].
    lost : float or array
        Resin lost over resin that stays in the laminate [-].

    Returns
    -------
    array
        Mass of resin and hardener together [kg].

    Notes
    -----
    .. math:: m = w \frac{1 - \psi}{\psi} (1 + l)
    """
    share = np.asarray(fibre_mass_share, dtype=np.float64)
    out: Array = dry_cloth * (1.0 - share) / share * (1.0 + lost)
    return out


@model(source="identity of masses")
def mix(*, batch: Array, mix_ratio: Array) -> Mix:
    """Return resin and hardener of a batch by the ratio of their masses.

    Parameters
    ----------
    batch : float or array
        Mass of resin and hardener together [kg].
    mix_ratio : float or array
        Mass of hardener over mass of resin [-].

    Returns
    -------
    Mix
        Masses of both [kg].
    """
    resin = np.asarray(batch, dtype=np.float64) / (1.0 + mix_ratio)
    return Mix(resin=resin, hardener=batch - resin)


@model(source="a scale reads to half a step")
def mix_error(*, batch: Array, mix_ratio: Array, scale_step: Array) -> Array:
    r"""Return by how much the ratio of a batch may be wrong because of the scale.

    Parameters
    ----------
    batch : float or array
        Mass of resin and hardener together [kg].
    mix_ratio : float or array
        Mass of hardener over mass of resin [-].
    scale_step : float or array
        Smallest step of the scale [kg].

    Returns
    -------
    array
        Error of the hardener's share over what it must be [-].

    Notes
    -----
    .. math:: \epsilon = \frac{s/2}{m r / (1 + r)}
    """
    hardener = np.asarray(batch, dtype=np.float64) * mix_ratio / (1.0 + mix_ratio)
    out: Array = 0.5 * scale_step / hardener
    return out


@model(
    source=f"{TEN_KELVIN}; pot life is that of a cup, less the larger it is",
    valid={
        "temperature": (278.15, 313.15, "the rule of ten kelvin is for 5 to 40 °C"),
        "batch": (0.02, 2.0, "pot life is not told for less than 20 g or more than 2 kg"),
    },
)
def working_time(*, pot_life: Array, batch: Array, temperature: Array) -> Array:
    r"""Return how long a batch in its cup can be worked with.

    Parameters
    ----------
    pot_life : float or array
        Working time of 100 g at 298.15 K [s].
    batch : float or array
        Mass of resin and hardener together [kg].
    temperature : float or array
        Temperature of resin and room [K].

    Returns
    -------
    array
        Time until it gels in the cup [s].

    Notes
    -----
    .. math:: t = t_{100} \, 2^{(298.15 - T)/10} (0.1 / m)^{1/3}

    The cube root, surface over volume, is a judgement.
    """
    size = np.cbrt(STATED_MASS / np.asarray(batch, dtype=np.float64))
    out: Array = pot_life * np.exp2((REFERENCE - temperature) / 10.0) * size
    return out


@model(
    source=TEN_KELVIN,
    valid={"temperature": (278.15, 353.15, "the rule of ten kelvin is for 5 to 80 °C")},
)
def cure(*, cure_time: Array, temperature: Array) -> Array:
    r"""Return how long a layer cures until it can be sanded.

    Parameters
    ----------
    cure_time : float or array
        The same at 298.15 K [s].
    temperature : float or array
        Temperature of the room [K].

    Returns
    -------
    array
        Time [s].

    Notes
    -----
    .. math:: t = t_{25} \, 2^{(298.15 - T)/10}
    """
    out: Array = cure_time * np.exp2((REFERENCE - np.asarray(temperature, dtype=np.float64)) / 10.0)
    return out


@model(source="Semenov 1928, Zeitschrift fuer Physik 48, 571: heat made against heat lost at the start")
def self_heating(
    *,
    batch: Array,
    surface: Array,
    film: Array,
    reaction_rate: Array,
    reaction_heat: Array,
    activation_energy: Array,
    temperature: Array,
) -> Array:
    r"""Return the self-heating number of a batch; above 1/e it heats itself ever faster.

    Parameters
    ----------
    batch : float or array
        Mass of resin and hardener together [kg].
    surface : float or array
        Surface through which it loses heat [m^2].
    film : float or array
        Heat lost through it by area and temperature [W/(m^2*K)].
    reaction_rate : float or array
        Share of the reaction in a second at the temperature of the room [1/s].
    reaction_heat : float or array
        Heat of the whole reaction, epoxies some 4e5 [J/kg].
    activation_energy : float or array
        Activation energy, room-cured epoxies some 5.5e4 [J/mol].
    temperature : float or array
        Temperature of the room [K].

    Returns
    -------
    array
        Self-heating number [-].

    Notes
    -----
    .. math:: \psi = \frac{E}{R T^2} \frac{q m k}{h A}
    """
    made = np.asarray(batch, dtype=np.float64) * reaction_heat * reaction_rate
    out: Array = activation_energy / (GAS * np.square(temperature)) * made / (film * surface)
    return out


@model(source="geometry of strips that lie over each other")
def strips(*, width: Array, roll_width: Array, lap: Array) -> Array:
    r"""Return how many strips of cloth cover a width.

    Parameters
    ----------
    width : float or array
        What is to be covered [m].
    roll_width : float or array
        Width of the roll [m].
    lap : float or array
        How far one strip lies over the next [m].

    Returns
    -------
    array
        Number of strips, at least one [-].

    Notes
    -----
    .. math:: n = \lceil (b - l) / (b_r - l) \rceil
    """
    part = (np.asarray(width, dtype=np.float64) - lap) / np.maximum(np.asarray(roll_width) - lap, 1e-3)
    out: Array = np.maximum(np.ceil(part - 1e-9), 1.0)
    return out


@model(source="volume of a bead: width, height and speed of the nozzle")
def print_time(*, printed_volume: Array, bead_width: Array, bead_height: Array, nozzle_speed: Array) -> Array:
    """Return how long a printer lays down a volume, without travel.

    Parameters
    ----------
    printed_volume : float or array
        Volume of plastic [m^3].
    bead_width : float or array
        Width of the bead [m].
    bead_height : float or array
        Height of a layer [m].
    nozzle_speed : float or array
        Mean speed of the nozzle while it prints [m/s].

    Returns
    -------
    array
        Time [s].
    """
    out: Array = np.asarray(printed_volume, dtype=np.float64) / (bead_width * bead_height * nozzle_speed)
    return out
