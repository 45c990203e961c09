"""The link as a whole: what is sent, what is lost on the way, what the receiver needs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model
from foilwright.physics.listed import Listed, Names
from foilwright.physics.radio.path import NEAR, Polarisation, low_antenna_path
from foilwright.physics.radio.water import FIT, film_loss, permittivity, submerged_loss

BAND = 15.0
"""Error of a margin to either side while no drop-out test is entered [dB]; estimate."""
BANDS = ("433", "868", "2400")
"""Bands of the list of obstacles [MHz]."""
THERMAL = 10.0 * np.log10(1.380649e-23 * 290.0 * 1e3)
"""Thermal noise by hertz of bandwidth at 290 K [dBm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkMargin:
    """Margin of a link: ``low`` [dB], ``central`` [dB], ``high`` [dB], and what it is made of.

    ``path_loss`` [dB] through the air, ``water_loss`` [dB] under water, ``film_loss`` [dB] on the
    window, ``received`` [dBm] the power that arrives.
    """

    low: Array
    central: Array
    high: Array
    path_loss: Array
    water_loss: Array
    film_loss: Array
    received: Array
    outside: Mask


@model(source="definition of the decibel over a milliwatt")
def power_level(*, power: Array) -> Array:
    r"""Return a power as its level.

    Parameters
    ----------
    power : float or array
        Power [W].

    Returns
    -------
    float or array
        Level [dBm].

    Notes
    -----
    .. math:: L = 10 \log_{10}(P / 1\,\mathrm{mW})
    """
    level: Array = 10.0 * np.log10(np.asarray(power) * 1e3)
    return level


@model(source="Johnson 1928, Nyquist 1928: thermal noise at 290 K; Friis 1944: noise figure")
def sensitivity(*, bandwidth: Array, noise_figure: Array, signal_to_noise: Array) -> Array:
    r"""Return the weakest signal that a receiver understands.

    Parameters
    ----------
    bandwidth : float or array
        Of the receiver [Hz].
    noise_figure : float or array
        Of the receiver, 5 to 10 [dB].
    signal_to_noise : float or array
        That its modulation needs: about 12 for plain shift keying, -7 to -20 spread [dB].

    Returns
    -------
    float or array
        Level [dBm].

    Notes
    -----
    .. math:: S = -174 + 10 \log_{10} B + NF + SNR
    """
    level: Array = THERMAL + 10.0 * np.log10(np.asarray(bandwidth)) + noise_figure + signal_to_noise
    return level


@model(
    source="ranges of practice and of papers on body shadowing named in data/radio/obstacles.csv",
    valid={"frequency": (4e8, 2.6e9, "losses are listed for 433 to 2450 MHz")},
    decides=("frequency",),
)
def obstacle_loss(*, obstacle: Names, frequency: Array) -> Listed:
    """Return what the place of an antenna costs, or a body, a hand, a wrong posture of it.

    Parameters
    ----------
    obstacle : str or (n,) sequence of str
        Places: ``in the box below deck``, ``on deck``, ``above deck on a stub``, ``in a bag outside``,
        ``behind carbon``, ``behind wet foam``. Shadows: ``torso``, ``hand``, ``crossed antennas``,
        ``detuned by water`` [-].
    frequency : float or (n,) array
        Frequency [Hz].

    Returns
    -------
    Listed
        Loss: low [dB], typical [dB], high [dB]; water over the antenna is not in it.

    Notes
    -----
    Linear in the logarithm of frequency between 433, 868 and 2400 MHz, level beyond.
    """
    octave = np.log(np.asarray(frequency, dtype=np.float64))
    nodes = np.log(np.array([float(name) * 1e6 for name in BANDS]))
    bands = [Listed.of("radio/obstacles", name, obstacle) for name in BANDS]
    share = [np.interp(octave, nodes, one) for one in np.eye(nodes.size)]
    return Listed(
        low=np.asarray(sum(part * band.low for part, band in zip(share, bands, strict=True))),
        typical=np.asarray(sum(part * band.typical for part, band in zip(share, bands, strict=True))),
        high=np.asarray(sum(part * band.high for part, band in zip(share, bands, strict=True))),
    )


@model(
    source="link budget; path by Bullington 1947, water by ITU-R P.527-6, 2021; band an estimate",
    valid={**NEAR, **FIT},
)
def link_margin(
    *,
    frequency: Array,
    distance: Array,
    transmit_height: Array,
    receive_height: Array,
    transmit_power: Array,
    antenna_gain: Array,
    receiver_level: Array,
    temperature: Array,
    salinity: Array,
    polarisation: Polarisation,
    ionic_conductivity: Array | float = 0.0,
    water_depth: Array | float = 0.0,
    film_thickness: Array | float = 0.0,
    extra_loss: Array | float = 0.0,
    extra_band: Array | float = 0.0,
    band: Array | float = BAND,
) -> LinkMargin:
    r"""Return by how much the throttle's signal exceeds what the receiver needs.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    distance : float or array
        Distance along the water [m].
    transmit_height, receive_height : float or array
        Heights of the antennas above the water, 0 or more [m].
    transmit_power : float or array
        Level sent [dBm].
    antenna_gain : float or array
        Of both antennas together [dB].
    receiver_level : float or array
        Weakest level that the receiver understands, from ``sensitivity`` or its sheet [dBm].
    temperature : float or array
        Temperature of the water [K].
    salinity : float or array
        Salinity, 0 for a lake [g/kg].
    polarisation : str or array of str
        ``vertical`` or ``horizontal`` [-].
    ionic_conductivity : float or array
        Conductivity of fresh water [S/m].
    water_depth : float or array
        Water over one of the antennas, 0 in the air [m].
    film_thickness : float or array
        Film of water on the antenna's window [m].
    extra_loss : float or array
        Typical loss of place, torso, hand and so on, added up [dB].
    extra_band : float or array
        Uncertainty of that loss to either side [dB].
    band : float or array
        Uncertainty of the rest: 15 until a drop-out test is entered [dB].

    Returns
    -------
    LinkMargin
        Margins [dB], parts [dB], level that arrives [dBm]. A map over distance and height is a call
        with the two on axes of their own.

    Notes
    -----
    .. math:: M = P + G - L_{path} - L_{water} - L_{film} - L_{extra} - S, \quad
        M_\pm = M \pm \sqrt{b^2 + b_{extra}^2}
    """
    warm, salt, ionic = np.asarray(temperature), np.asarray(salinity), np.asarray(ionic_conductivity)
    water = permittivity.function(frequency=frequency, temperature=warm, salinity=salt, ionic_conductivity=ionic)
    path = low_antenna_path.function(
        frequency=frequency,
        distance=distance,
        transmit_height=transmit_height,
        receive_height=receive_height,
        permittivity_real=water.real,
        permittivity_loss=water.imaginary,
        polarisation=polarisation,
    )
    under = submerged_loss.function(
        frequency=frequency,
        water_depth=np.asarray(water_depth),
        temperature=warm,
        salinity=salt,
        ionic_conductivity=ionic,
    )
    window = film_loss.function(
        frequency=frequency,
        film_thickness=np.asarray(film_thickness),
        temperature=warm,
        salinity=salt,
        ionic_conductivity=ionic,
    )
    received = transmit_power + np.asarray(antenna_gain) - path - under - window - extra_loss
    central = received - receiver_level
    width = np.hypot(band, extra_band)
    return LinkMargin(
        low=central - width,
        central=central,
        high=central + width,
        path_loss=path,
        water_loss=under,
        film_loss=window,
        received=received,
        outside=link_margin.mask(distance=distance, frequency=frequency, temperature=temperature, salinity=salinity),
    )
