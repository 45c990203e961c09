"""Water as radio meets it: permittivity, loss under water, through a film, through wet foam."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array, Mask, model

LIGHT = 299792458.0
"""Speed of light [m/s]."""
VACUUM_PERMITTIVITY = 8.8541878128e-12
"""Permittivity of vacuum [F/m]."""
NEPER = 20.0 / np.log(10.0)
"""Decibels in a neper [dB]."""
EVEN = 0.85
"""Share of a quarter wave up to which a film counts as even [-]: its loss still grows there."""
FIT = {
    "temperature": (269.15, 313.15, "permittivity of water is fitted from -4 to 40 C only"),
    "salinity": (0.0, 40.0, "saltier than the fit of permittivity"),
    "frequency": (1e8, 1e11, "frequency outside the radio bands looked at"),
}
Complex = npt.NDArray[np.complex128]


@dataclass(frozen=True, slots=True, kw_only=True)
class Permittivity:
    """Relative permittivity of water: ``real`` [-] and ``imaginary`` [-], the loss counted positive."""

    real: Array
    imaginary: Array
    outside: Mask


def _sea_conductivity(celsius: Array, salt: Array) -> Array:
    base = 2.903602 + celsius * (8.607e-2 + celsius * (4.738817e-4 + celsius * (-2.991e-6 + 4.3047e-9 * celsius)))
    ratio = salt * (37.5109 + salt * (5.45216 + 1.4409e-2 * salt)) / (1004.75 + salt * (182.283 + salt))
    a0 = (6.9431 + salt * (3.2841 - 9.9486e-2 * salt)) / (84.850 + salt * (69.024 + salt))
    a1 = 49.843 + salt * (-0.2276 + 1.98e-3 * salt)
    conductivity: Array = base * ratio * (1.0 + a0 * (celsius - 15.0) / (a1 + celsius))
    return conductivity


def _complex(frequency: Array, temperature: Array, salinity: Array, ionic: Array | float) -> Complex:
    """Return the relative permittivity, its imaginary part negative."""
    celsius, salt = np.asarray(temperature) - 273.15, np.asarray(salinity, dtype=np.float64)
    giga = np.asarray(frequency) * 1e-9
    theta = 300.0 / np.asarray(temperature) - 1.0
    static = 77.66 + 103.3 * theta
    middle, high = 0.0671 * static, 3.52 - 7.52 * theta
    first = 20.20 - 146.4 * theta + 316.0 * np.square(theta)
    second = 39.8 * first
    static = static * np.exp(salt * (-3.56417e-3 + 4.74868e-6 * salt + 1.15574e-5 * celsius))
    middle = middle * np.exp(salt * (-6.28908e-3 + 1.76032e-4 * salt - 9.22144e-5 * celsius))
    high = high * (1.0 + salt * (-2.04265e-3 + 1.57883e-4 * celsius))
    first = first * (1.0 + salt * (2.39357e-3 + celsius * (-3.13530e-5 + 2.52477e-7 * celsius)))
    second = second * (1.0 + salt * (-1.99723e-2 + 1.81176e-4 * celsius))
    flow = (_sea_conductivity(celsius, salt) + ionic) / (2.0 * np.pi * VACUUM_PERMITTIVITY * 1e9 * giga)
    relaxed: Complex = (static - middle) / (1.0 + 1j * giga / first) + (middle - high) / (1.0 + 1j * giga / second)
    return relaxed + high - 1j * flow


@model(source="ITU-R P.527-6, 2021, after Meissner & Wentz 2004 and Stogryn et al. 1995", valid=FIT)
def sea_conductivity(*, temperature: Array, salinity: Array) -> Array:
    """Return the conductivity of sea water.

    Parameters
    ----------
    temperature : float or array
        Temperature of the water [K].
    salinity : float or array
        Salinity [g/kg].

    Returns
    -------
    float or array
        Conductivity [S/m].
    """
    return _sea_conductivity(np.asarray(temperature) - 273.15, np.asarray(salinity, dtype=np.float64))


@model(source="ITU-R P.527-6, 2021, after Meissner & Wentz 2004; loss of a lake's ions added", valid=FIT)
def permittivity(
    *, frequency: Array, temperature: Array, salinity: Array, ionic_conductivity: Array | float = 0.0
) -> Permittivity:
    r"""Return the permittivity of fresh or salt water.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    temperature : float or array
        Temperature of the water [K].
    salinity : float or array
        Salinity, 0 for a lake [g/kg].
    ionic_conductivity : float or array
        Conductivity of fresh water, 0.005 to 0.1; 0 where the salinity tells it [S/m].

    Returns
    -------
    Permittivity
        Real part [-] and loss [-].

    Notes
    -----
    .. math::
        \varepsilon = \frac{\varepsilon_s-\varepsilon_1}{1+jf/f_1} + \frac{\varepsilon_1-\varepsilon_\infty}
        {1+jf/f_2} + \varepsilon_\infty - j \frac{\sigma}{2\pi\varepsilon_0 f}

    Fitted to pure water and to 20 to 40 g/kg; between 0 and 20 it is an interpolation.
    """
    value = _complex(frequency, temperature, salinity, ionic_conductivity)
    mask = permittivity.mask(frequency=frequency, temperature=temperature, salinity=salinity)
    return Permittivity(real=value.real, imaginary=-value.imag, outside=mask)


def _rate(frequency: Array, index: Complex) -> Array:
    """Return the loss by length in dB/m of a wave in a medium of complex refractive index."""
    rate: Array = -NEPER * 2.0 * np.pi * np.asarray(frequency) / LIGHT * index.imag
    return rate


@model(source="plane wave in a lossy medium, permittivity by ITU-R P.527-6, 2021", valid=FIT)
def attenuation(
    *, frequency: Array, temperature: Array, salinity: Array, ionic_conductivity: Array | float = 0.0
) -> Array:
    r"""Return what a radio wave loses along its way under water.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    temperature : float or array
        Temperature of the water [K].
    salinity : float or array
        Salinity, 0 for a lake [g/kg].
    ionic_conductivity : float or array
        Conductivity of fresh water [S/m].

    Returns
    -------
    float or array
        Loss by length [dB/m].

    Notes
    -----
    .. math:: a = \frac{20}{\ln 10} \frac{2 \pi f}{c} |\Im \sqrt{\varepsilon}|
    """
    return _rate(frequency, np.sqrt(_complex(frequency, temperature, salinity, ionic_conductivity)))


def _interface(index: Complex) -> Array:
    loss: Array = -10.0 * np.log10(1.0 - np.square(np.abs((index - 1.0) / (index + 1.0))))
    return loss


@model(source="Fresnel at normal incidence, permittivity by ITU-R P.527-6, 2021", valid=FIT)
def interface_loss(
    *, frequency: Array, temperature: Array, salinity: Array, ionic_conductivity: Array | float = 0.0
) -> Array:
    r"""Return what a radio wave loses as it passes the surface of the water.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    temperature : float or array
        Temperature of the water [K].
    salinity : float or array
        Salinity, 0 for a lake [g/kg].
    ionic_conductivity : float or array
        Conductivity of fresh water [S/m].

    Returns
    -------
    float or array
        Loss straight up, the least [dB].

    Notes
    -----
    .. math:: L = -10 \log_{10}\left(1 - \left|\frac{n-1}{n+1}\right|^2\right)

    More than 5 to 6 degrees from straight up nothing leaves fresh water.
    """
    return _interface(np.sqrt(_complex(frequency, temperature, salinity, ionic_conductivity)))


@model(source="loss along the way and at the surface, permittivity by ITU-R P.527-6, 2021", valid=FIT)
def submerged_loss(
    *,
    frequency: Array,
    water_depth: Array,
    temperature: Array,
    salinity: Array,
    ionic_conductivity: Array | float = 0.0,
) -> Array:
    r"""Return what water over an antenna costs.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    water_depth : float or array
        Water over the antenna, 0 or less where it is in the air [m].
    temperature : float or array
        Temperature of the water [K].
    salinity : float or array
        Salinity, 0 for a lake [g/kg].
    ionic_conductivity : float or array
        Conductivity of fresh water [S/m].

    Returns
    -------
    float or array
        Loss [dB]; that of the surface is counted from the first drop on.

    Notes
    -----
    .. math:: L = a z + L_i
    """
    index = np.sqrt(_complex(frequency, temperature, salinity, ionic_conductivity))
    depth = np.maximum(np.asarray(water_depth), 0.0)
    loss: Array = depth * _rate(frequency, index) + np.where(depth > 0.0, _interface(index), 0.0)
    return loss


@model(source="Born & Wolf, Principles of Optics: a plane layer in air, worst phase beyond a quarter wave", valid=FIT)
def film_loss(
    *,
    frequency: Array,
    film_thickness: Array,
    temperature: Array,
    salinity: Array,
    ionic_conductivity: Array | float = 0.0,
) -> Array:
    r"""Return what a film of water on the antenna's window costs.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    film_thickness : float or array
        Thickness of the film [m].
    temperature : float or array
        Temperature of the water [K].
    salinity : float or array
        Salinity, 0 for a lake [g/kg].
    ionic_conductivity : float or array
        Conductivity of fresh water [S/m].

    Returns
    -------
    float or array
        Loss [dB].

    Notes
    -----
    .. math:: t = \frac{(1 - r^2) e^{-j k n d}}{1 - r^2 e^{-2 j k n d}}, \quad r = \frac{n-1}{n+1}

    Up to nearly a quarter of the wavelength in water as it stands; beyond, with the phase that
    passes least, since a film is never even. A film that touches the antenna also detunes it.
    """
    index = np.sqrt(_complex(frequency, temperature, salinity, ionic_conductivity))
    wave = 2.0 * np.pi * np.asarray(frequency) / LIGHT
    mirror = np.square((index - 1.0) / (index + 1.0))
    thick = np.maximum(np.asarray(film_thickness, dtype=np.float64), 0.0)
    quarter = EVEN * 0.5 * np.pi / (wave * index.real)
    pass_once = np.exp(-1j * wave * index * np.minimum(thick, quarter))
    exact = np.abs((1.0 - mirror) * pass_once / (1.0 - mirror * np.square(pass_once)))
    faded = np.exp(wave * index.imag * thick)
    worst = np.abs(1.0 - mirror) * faded / (1.0 + np.abs(mirror) * np.square(faded))
    passed = np.where(thick >= quarter, np.minimum(exact, worst), exact)
    loss: Array = -20.0 * np.log10(np.maximum(passed, 1e-30))
    return loss


@model(
    source="refractive index by volume shares (Birchak et al. 1974), permittivity by ITU-R P.527-6, 2021",
    valid={"water_share": (0.0, 0.6, "more water than foam")},
)
def wet_foam_loss(
    *,
    frequency: Array,
    thickness: Array,
    water_share: Array,
    temperature: Array,
    salinity: Array,
    ionic_conductivity: Array | float = 0.0,
) -> Array:
    r"""Return what foam that has drunk water costs.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    thickness : float or array
        Of the foam between antenna and air [m].
    water_share : float or array
        Share of its volume that is water [-].
    temperature : float or array
        Temperature of the water [K].
    salinity : float or array
        Salinity, 0 for a lake [g/kg].
    ionic_conductivity : float or array
        Conductivity of fresh water [S/m].

    Returns
    -------
    float or array
        Loss on the way and at one face [dB].

    Notes
    -----
    .. math:: n = 1 + \phi\,(n_w - 1)
    """
    water = np.sqrt(_complex(frequency, temperature, salinity, ionic_conductivity))
    index: Complex = np.asarray(1.0 + np.asarray(water_share) * (water - 1.0), dtype=np.complex128)
    loss: Array = np.asarray(thickness) * _rate(frequency, index) + _interface(index)
    return loss


@model(
    source="Schelkunoff 1943, Electromagnetic Waves: skin depth of a good conductor",
    valid={"frequency": FIT["frequency"]},
)
def shield_loss(*, frequency: Array, thickness: Array, electric_conductivity: Array) -> Array:
    r"""Return what a wave loses inside a sheet of carbon or metal.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    thickness : float or array
        Of the sheet [m].
    electric_conductivity : float or array
        Of the sheet, about 1e4 for a carbon laminate [S/m].

    Returns
    -------
    float or array
        Loss by absorption [dB]; reflection adds more, what creeps round the edges takes away.

    Notes
    -----
    .. math:: L = 8.686\, d \sqrt{\pi f \mu_0 \sigma}
    """
    skin = np.sqrt(np.pi * np.asarray(frequency) * 4e-7 * np.pi * electric_conductivity)
    loss: Array = NEPER * np.asarray(thickness) * skin
    return loss
