"""The way through the air over water: free space, two rays, low antennas, edges in the way."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from foilwright.core.errors import DataError
from foilwright.core.model import Array, model
from foilwright.physics.radio.water import LIGHT, NEPER

Polarisation = str | Sequence[str] | npt.NDArray[np.str_]
POLARISATIONS = ("vertical", "horizontal")
NEAR = {"distance": (0.5, 5e3, "so near that antennas couple, or so far that the earth's curve counts")}


def _vertical(polarisation: Polarisation) -> npt.NDArray[np.bool_]:
    asked = np.asarray(polarisation, dtype=np.str_)
    if not np.all(np.isin(asked, POLARISATIONS)):
        raise DataError(f"a polarisation is {' or '.join(POLARISATIONS)}, not {polarisation!r}")
    return np.asarray(asked == POLARISATIONS[0])


def _free_space(frequency: Array, distance: Array) -> Array:
    loss: Array = 20.0 * np.log10(4.0 * np.pi / LIGHT * np.asarray(distance) * frequency)
    return loss


def _plane_earth(distance: Array, first: Array, second: Array) -> Array:
    loss: Array = 40.0 * np.log10(np.asarray(distance)) - 20.0 * np.log10(np.asarray(first) * second)
    return loss


def _minimum_height(frequency: Array, real: Array, imaginary: Array, polarisation: Polarisation) -> Array:
    size = np.hypot(real, imaginary)
    less = np.hypot(np.asarray(real) - 1.0, imaginary)
    factor = np.where(_vertical(polarisation), size, 1.0) / np.sqrt(less)
    height: Array = LIGHT / (2.0 * np.pi * np.asarray(frequency)) * factor
    return height


@model(source="Friis 1946; ITU-R P.525-4, 2019", valid={"distance": NEAR["distance"]})
def free_space(*, frequency: Array, distance: Array) -> Array:
    r"""Return the loss between two antennas with nothing around them.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    distance : float or array
        Distance [m].

    Returns
    -------
    float or array
        Loss between isotropic antennas [dB].

    Notes
    -----
    .. math:: L = 20 \log_{10}(4 \pi d f / c)
    """
    return _free_space(frequency, distance)


@model(source="Norton 1936; Jordan & Balmain, Electromagnetic Waves, ch. 16: direct and reflected ray", valid=NEAR)
def two_ray(
    *,
    frequency: Array,
    distance: Array,
    transmit_height: Array,
    receive_height: Array,
    permittivity_real: Array,
    permittivity_loss: Array,
    polarisation: Polarisation,
) -> Array:
    r"""Return the loss over flat water with a direct and a reflected ray.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    distance : float or array
        Distance along the water [m].
    transmit_height, receive_height : float or array
        Heights of the antennas above the water, above 0 [m].
    permittivity_real, permittivity_loss : float or array
        Relative permittivity of the water, the loss positive [-].
    polarisation : str or array of str
        ``vertical`` or ``horizontal`` [-].

    Returns
    -------
    float or array
        Loss between isotropic antennas [dB].

    Notes
    -----
    .. math::
        L = -20 \log_{10} \left| \frac{\lambda}{4\pi} \left(\frac{e^{-jkr_1}}{r_1} +
        \Gamma \frac{e^{-jkr_2}}{r_2}\right)\right|, \quad
        \Gamma_v = \frac{\varepsilon \sin\psi - \sqrt{\varepsilon - \cos^2\psi}}
        {\varepsilon \sin\psi + \sqrt{\varepsilon - \cos^2\psi}}

    Without the wave that clings to the surface: low vertical antennas do better, see
    ``low_antenna_path``. It rises and falls with distance below the breakpoint.
    """
    away, up, down = np.asarray(distance), np.asarray(transmit_height), np.asarray(receive_height)
    permittivity = np.asarray(permittivity_real) - 1j * np.asarray(permittivity_loss)
    direct, reflected = np.hypot(away, up - down), np.hypot(away, up + down)
    sine = (up + down) / reflected
    root = np.sqrt(permittivity - np.square(away / reflected))
    steep = np.where(_vertical(polarisation), permittivity, 1.0) * sine
    mirror = (steep - root) / (steep + root)
    wave = 2.0 * np.pi * np.asarray(frequency) / LIGHT
    lag = 4.0 * up * down / (direct + reflected)
    field = 1.0 / direct + mirror * np.exp(-1j * wave * lag) / reflected
    loss: Array = -20.0 * np.log10(0.5 / wave * np.abs(field))
    return loss


@model(source="Bullington 1947, Proc. IRE 35, 1122: plane earth", valid=NEAR)
def plane_earth(*, distance: Array, transmit_height: Array, receive_height: Array) -> Array:
    r"""Return the loss far beyond the breakpoint, whatever the frequency.

    Parameters
    ----------
    distance : float or array
        Distance along the water [m].
    transmit_height, receive_height : float or array
        Heights of the antennas above the water, above 0 [m].

    Returns
    -------
    float or array
        Loss between isotropic antennas [dB].

    Notes
    -----
    .. math:: L = 40 \log_{10} d - 20 \log_{10}(h_1 h_2)
    """
    return _plane_earth(distance, transmit_height, receive_height)


@model(source="Bullington 1947, Proc. IRE 35, 1122: minimum effective antenna height")
def minimum_height(
    *, frequency: Array, permittivity_real: Array, permittivity_loss: Array, polarisation: Polarisation
) -> Array:
    r"""Return the height below which lowering an antenna over water costs no more.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    permittivity_real, permittivity_loss : float or array
        Relative permittivity of the water, the loss positive [-].
    polarisation : str or array of str
        ``vertical`` or ``horizontal`` [-].

    Returns
    -------
    float or array
        Height [m].

    Notes
    -----
    .. math:: h_v = \frac{\lambda}{2\pi} \frac{|\varepsilon|}{\sqrt{|\varepsilon - 1|}}, \quad
        h_h = \frac{\lambda}{2\pi} \frac{1}{\sqrt{|\varepsilon - 1|}}
    """
    return _minimum_height(frequency, permittivity_real, permittivity_loss, polarisation)


@model(
    source="Bullington 1947, Proc. IRE 35, 1122: the greater of free space and plane earth with effective heights",
    valid=NEAR,
)
def low_antenna_path(
    *,
    frequency: Array,
    distance: Array,
    transmit_height: Array,
    receive_height: Array,
    permittivity_real: Array,
    permittivity_loss: Array,
    polarisation: Polarisation,
) -> Array:
    r"""Return the loss between antennas a hand's width to a few metres above the water.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    distance : float or array
        Distance along the water [m].
    transmit_height, receive_height : float or array
        Heights of the antennas above the water, 0 or more [m].
    permittivity_real, permittivity_loss : float or array
        Relative permittivity of the water, the loss positive [-].
    polarisation : str or array of str
        ``vertical`` or ``horizontal`` [-].

    Returns
    -------
    float or array
        Loss between isotropic antennas [dB]; never falls with distance.

    Notes
    -----
    .. math:: L = \max\left(L_0,\ 40 \log_{10} d - 20 \log_{10} \sqrt{(h_1^2 + h_0^2)(h_2^2 + h_0^2)}\right)

    Takes in the wave that clings to the surface; leaves out the ripple of two rays near the
    breakpoint, up to 6 dB to either side.
    """
    least = np.square(_minimum_height(frequency, permittivity_real, permittivity_loss, polarisation))
    first = np.sqrt(np.square(transmit_height) + least)
    second = np.sqrt(np.square(receive_height) + least)
    loss: Array = np.maximum(_free_space(frequency, distance), _plane_earth(distance, first, second))
    return loss


@model(source="two rays half a wave apart, as in Goldsmith, Wireless Communications, 2005, section 2.4")
def breakpoint_distance(*, frequency: Array, transmit_height: Array, receive_height: Array) -> Array:
    r"""Return the distance beyond which the loss grows with the fourth power of distance.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    transmit_height, receive_height : float or array
        Heights of the antennas above the water [m].

    Returns
    -------
    float or array
        Distance [m].

    Notes
    -----
    .. math:: d = 4 h_1 h_2 / \lambda
    """
    distance: Array = 4.0 * np.asarray(transmit_height) * receive_height * frequency / LIGHT
    return distance


@model(source="ITU-R P.526-15, 2019, first Fresnel ellipsoid")
def fresnel_radius(*, frequency: Array, near_distance: Array, far_distance: Array) -> Array:
    r"""Return the radius of the room that a link wants free around its line of sight.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    near_distance, far_distance : float or array
        From the place looked at to either antenna [m].

    Returns
    -------
    float or array
        Radius of the first zone [m]; 60 % of it free is as good as all.

    Notes
    -----
    .. math:: r = \sqrt{\lambda d_1 d_2 / (d_1 + d_2)}
    """
    near, far = np.asarray(near_distance), np.asarray(far_distance)
    radius: Array = np.sqrt(LIGHT / np.asarray(frequency) * near * far / (near + far))
    return radius


@model(source="ITU-R P.526-15, 2019, equations 26 and 31: single knife edge")
def knife_edge(*, frequency: Array, edge_height: Array, near_distance: Array, far_distance: Array) -> Array:
    r"""Return what an edge in or near the line of sight costs: a hull on its side, a wave, a jetty.

    Parameters
    ----------
    frequency : float or array
        Frequency [Hz].
    edge_height : float or array
        Height of the edge above the line of sight, negative below it [m].
    near_distance, far_distance : float or array
        From the edge to either antenna [m].

    Returns
    -------
    float or array
        Loss on top of the free way [dB].

    Notes
    -----
    .. math::
        \nu = h \sqrt{\frac{2}{\lambda}\left(\frac{1}{d_1} + \frac{1}{d_2}\right)}, \quad
        J = 6.9 + 20 \log_{10}\left(\sqrt{(\nu-0.1)^2+1} + \nu - 0.1\right)

    Nothing below :math:`\nu = -0.78`.
    """
    reach = 1.0 / np.asarray(near_distance) + 1.0 / np.asarray(far_distance)
    shadow = np.asarray(edge_height) * np.sqrt(2.0 * np.asarray(frequency) / LIGHT * reach) - 0.1
    loss: Array = np.where(shadow > -0.88, np.maximum(6.9 + NEPER * np.arcsinh(shadow), 0.0), 0.0)
    return loss
