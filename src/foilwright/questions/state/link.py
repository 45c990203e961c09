"""The throttle's link: heights over the water, losses, margins at rest, heeled, far off and in a fall."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Self

import numpy as np

from foilwright.core.model import Array
from foilwright.craft import Craft, Radio, Water
from foilwright.physics import radio
from foilwright.physics.radio.link import BAND
from foilwright.questions.state.floating import Floating
from foilwright.questions.state.level import is_named, level, or_else

HAND = 0.7
"""Height of the hand with the transmitter above the water: a kneeling rider, a helper who stands in it [m]."""
HANDS = np.array([HAND, HAND, HAND, HAND, HAND, 0.0])
"""The same for each margin that is worked out; a swimmer's hand is at the surface."""
HEEL = np.radians(20.0)
"""Heel of a board that a rider climbs on, or that leans on a knee [rad]."""
ATTITUDES = ("board upright", "board heeled by 20 degrees")
FAR = 3.0
"""How much farther than the working distance the link should still do [-] (common practice)."""
RIDING = 2.0
"""From the hand of a standing rider to the antenna [m]."""
FALL_WATER = 0.15
"""Water over the antenna of a board on its side and over a swimmer's hand together [m]."""
FADING = 10.0
"""Margin that leaves nine of ten packets through (Rayleigh) [dB]."""
YEAR = 365.0 * 86400.0
"""Time between stops that counts as none at all [s]."""
LEAST_LOST = 1e-12
"""Share of packets lost that counts as none [-]."""
TESTED_BAND = 5.0
"""Error of a margin to either side once a wet drop-out test is entered [dB]; estimate."""
LAKE = 0.05
"""Conductivity of a lake's water [S/m]."""
RECEIVERS = {"plain": (1e6, 7.0, 12.0), "spread": (125e3, 6.0, -10.0)}
"""Bandwidth [Hz], noise figure [dB] and signal over noise [dB] that a kind of modulation takes."""
SHADOWS = ("torso", "hand", "crossed antennas")
SLOWING = 1.0
"""Deceleration without thrust, 0.7 to 1.5 [m/s^2]; estimate."""
MAP_DISTANCES, MAP_HEIGHTS = np.geomspace(2.0, 100.0, 18), np.linspace(-0.06, 0.44, 26)
"""Distances and heights of the antenna over the water for the map of the margin [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """The link; arrays (n,), (n, 2) by ``ATTITUDES``; margins in dB."""

    height: Array  # (n, 2) m, of the antenna over the water, negative below it
    near: Array  # (n, 2) at the working distance
    far: Array  # (n, 2) at ``FAR`` times that
    way: Array  # (n, 2) dB, lost on the way through the water over the antenna
    riding: Array  # upright, at the rider's hand
    fall: Array  # in a fall
    band: Array  # error of a margin to either side
    shift: Array  # what a wet test adds to every margin
    budget: Budget
    wash: Array  # share of time with water over the antenna at rest
    lost: Array  # share of packets lost while riding
    stop: radio.FailSafe
    false_stop: Array  # s, between stops by chance
    carried: Array  # s, that the receiver runs on without supply
    running: radio.RunningTime  # of the transmitter


def link(craft: Craft, floating: Floating) -> Link:
    """Work out the link of every design."""
    r = craft.radio
    budget = Budget.of(craft.water, craft.radio)
    height = _heights(craft, floating)
    shift = _shift(craft)
    up, heeled = height.T
    away, ride, under = r.distance, np.full_like(shift, RIDING), np.full_like(shift, -FALL_WATER)
    distance = np.stack([away, away, FAR * away, FAR * away, ride, away], axis=1)
    over = np.stack([up, heeled, up, heeled, up, under], axis=1)
    margin = budget.margin(distance, over, HANDS) + shift[:, None]
    band = np.where(np.isnan(r.drop_outs), BAND, TESTED_BAND)
    stop = _stop(craft)
    lost = np.asarray(radio.drop_out_share(margin=margin[:, 4] - band))
    return Link(
        height=height, near=margin[:, :2], far=margin[:, 2:4], way=_way(craft, height), riding=margin[:, 4],
        fall=margin[:, 5], band=band,
        shift=shift, budget=budget, lost=lost, stop=stop,
        wash=np.asarray(radio.wash_over_share(height=height[:, 0], chop=craft.water.chop)),
        false_stop=np.minimum(
            radio.false_stop_time(
                lost_share=np.maximum(lost, LEAST_LOST), packets=np.maximum(stop.packets, 1.0),
                packet_period=r.packet_period,
            ),
            YEAR,
        ),
        carried=np.asarray(
            radio.hold_up_time(
                capacitance=r.receiver_capacitance, voltage=r.receiver_voltage, least_voltage=r.receiver_least,
                power=r.receiver_power,
            )
        ),
        running=radio.transmitter_time(
            capacity=r.transmitter_capacity, current=r.transmitter_current, capacity_left=r.transmitter_age,
            temperature=craft.water.temperature,
        ),
    )  # fmt: skip


def margin_map(craft: Craft, link: Link) -> dict[str, Array]:
    """Return the margin of the first design over distance and height of its antenna, as equally long columns."""
    away, up = (values.ravel() for values in np.meshgrid(MAP_DISTANCES, MAP_HEIGHTS, indexing="ij"))
    margin = link.budget.margin(away[None], up[None])[0] + link.shift[0]
    placed = bool(craft.radio.antenna_place[0])
    return {"distance": away, "antenna_height": up, "margin": margin if placed else np.full_like(margin, np.nan)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """What a link budget needs besides place and distance; arrays (n,)."""

    terms: dict[str, Array]

    @classmethod
    def of(cls, water: Water, r: Radio) -> Self:
        """Return the budget of each radio in its water."""
        return cls(
            terms={
                "frequency": r.frequency, "transmit_power": np.asarray(radio.power_level(power=r.transmit_power)),
                "receiver_level": _level(r), "temperature": water.temperature, "salinity": water.salinity,
                "ionic_conductivity": _ions(water), "film_thickness": r.film, "extra_loss": _losses(r),
                "polarisation": np.where(is_named(r.antenna_lies, "upright"), "vertical", "horizontal"),
            }
        )  # fmt: skip

    def margin(self, distance: Array, height: Array, hand: Array | float = HAND) -> Array:
        """Return margins for distances and heights (n, ...) [dB]."""
        wide = (-1, *(1,) * (max(distance.ndim, height.ndim) - 1))
        terms: dict[str, Any] = {name: values.reshape(wide) for name, values in self.terms.items()}
        return radio.link_margin(
            distance=distance, transmit_height=np.asarray(hand), receive_height=np.maximum(height, 0.0),
            antenna_gain=np.asarray(0.0), water_depth=np.maximum(-height, 0.0), **terms,
        ).central  # fmt: skip


def _shift(craft: Craft) -> Array:
    """Return by how much a wet drop-out test, and what was read on the water, say that every margin is better [dB].

    The test is made with the board on the wet beach, at the link as it is in the file.
    """
    found = 10.0 * np.log10(craft.factors.link_power)
    if craft.tested_link is None:
        return np.asarray(found)
    then = craft.tested_link.radio
    distance = np.where(np.isnan(craft.radio.drop_out_distance), then.distance, craft.radio.drop_out_distance)
    expected = Budget.of(craft.tested_link.water, then).margin(distance[:, None], then.antenna_height[:, None])[:, 0]
    return np.asarray(radio.margin_from_drop_outs(lost_share=craft.radio.drop_outs)) - expected + found


def _heights(craft: Craft, floating: Floating) -> Array:
    """Return the height of the antenna over the water, upright and heeled (n, 2)."""
    r = craft.radio
    x = np.where(np.isnan(r.antenna_x), craft.pack.x, r.antenna_x)
    upright = r.antenna_height - level(craft, floating, x)
    heeled = np.asarray(radio.heeled_height(height=upright, offset=r.antenna_offset, heel=np.asarray(HEEL)))
    return np.stack([upright, heeled], axis=1)


def _level(r: Radio) -> Array:
    """Return the weakest signal that the receiver understands [dBm]."""
    width, noise, signal = np.array([RECEIVERS[kind] for kind in r.modulation]).T
    return np.asarray(radio.sensitivity(bandwidth=width, noise_figure=noise, signal_to_noise=signal))


def _losses(r: Radio) -> Array:
    """Return what the place of the antenna, a body, a hand and crossed antennas cost [dB]."""
    places = or_else(r.antenna_place, "on deck")
    every = np.array([places, *((one,) * len(places) for one in SHADOWS)])
    return np.asarray(radio.obstacle_loss(obstacle=every, frequency=r.frequency).typical.sum(axis=0))


def _ions(water: Water) -> Array:
    return np.where(water.salinity > 0.0, 0.0, LAKE)


def _way(craft: Craft, height: Array) -> Array:
    """Return what is lost on the way through the water over the antenna [dB]."""
    rate = radio.attenuation(
        frequency=craft.radio.frequency, temperature=craft.water.temperature, salinity=craft.water.salinity,
        ionic_conductivity=_ions(craft.water),
    )  # fmt: skip
    return np.asarray(rate)[:, None] * np.maximum(-height, 0.0)


def _stop(craft: Craft) -> radio.FailSafe:
    """Return how the craft runs on when the link is lost; without end where a last value is held."""
    r = craft.radio
    speed = craft.ride.speed.max(axis=1)
    held = is_named(r.loss_action, "last value")
    return radio.fail_safe(
        packet_period=r.packet_period, hold=np.where(held, np.inf, r.hold_time),
        ramp=r.ramp_time, speed=speed, deceleration=np.asarray(SLOWING),
    )  # fmt: skip
