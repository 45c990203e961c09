"""How steadily a board carries its rider at rest, and what is left when it capsizes or floods."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foilwright.core.model import Array, Mask, model
from foilwright.core.solve import Flag
from foilwright.physics.hydrostatics import HEEL, righting_arm
from foilwright.physics.water import GRAVITY
from foilwright.shape.board import Boards, as_stations, capsized

WALL_SIDED = "wall-sided formula, Barrass and Derrett 2012, Ship Stability for Masters and Mates"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tilt:
    """Heel or trim under a weight off the middle: arrays of the broadcast shape of the inputs."""

    found: Flag  # the small-angle answer exists: the metacentric height is positive
    angle: Array  # small-angle answer, NaN where there is none [rad]
    wall_sided: Array  # answer of the wall-sided formula, also about an angle of loll [rad]
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class RiderBalance:
    """Two ways to see a rider on a floating board: arrays (n,)."""

    rigid_gm: Array  # metacentric height with the rider as dead weight; negative is usual when standing [m]
    live_gm: Array  # with the rider's weight at the deck, since the rider balances over the feet [m]
    found: Flag  # the live metacentric height is positive
    heel: Array  # under a foot pressure off the middle, live rider; NaN where not found [rad]
    outside: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Righting:
    """Turning a capsized board back: arrays (n,)."""

    found: Flag  # False: it would sink
    needed: Array  # largest moment against the turn, zero where it turns by itself [N m]
    available: Array  # moment that one person in the water applies [N m]
    heel: Array  # where the moment against the turn is largest [rad]
    outside: Mask


@model(
    source="Biran and Lopez-Pulido 2014, Ship Hydrostatics and Stability, ch. 6; " + WALL_SIDED,
    valid={"angle": (-0.3, 0.3, "tilts so far that the formula for small angles no longer holds")},
)
def tilt(
    *, mass: Array, moved_mass: Array, offset: Array, metacentric_height: Array, metacentric_radius: Array
) -> Tilt:
    r"""Return the heel (or trim) that a mass moved off the middle causes.

    Parameters
    ----------
    mass : float or (n,) array
        All that floats [kg].
    moved_mass : float or (n,) array
        The mass that moved [kg].
    offset : float or (n,) array
        How far it moved [m].
    metacentric_height : float or (n,) array
        GM, across for heel, along for trim [m].
    metacentric_radius : float or (n,) array
        BM in the same direction [m].

    Returns
    -------
    Tilt
        Angles [rad].

    Notes
    -----
    With :math:`e = m_r y / m`: small angles :math:`\tan\varphi = e / GM`; wall-sided
    :math:`\tan\varphi (GM + \tfrac12 BM \tan^2\varphi) = e`, of whose roots the one of largest size on
    the side of the offset, by Newton's method from outside. The wall-sided answer holds until the
    deck edge goes under.
    """
    e, gm, bm = np.broadcast_arrays(
        *(np.asarray(v, dtype=np.float64) for v in (moved_mass * np.asarray(offset) / mass,
                                                   metacentric_height, metacentric_radius))
    )  # fmt: skip
    found = gm > 0.0
    angle = np.where(found, np.arctan(e / np.where(found, gm, 1.0)), np.nan)
    size = np.abs(e)
    lean = np.sqrt(2.0 * np.maximum(-gm, 0.0) / bm) + np.cbrt(2.0 * size / bm)
    for _ in range(60):
        slope = gm + 1.5 * bm * lean * lean
        step = (lean * (gm + 0.5 * bm * lean * lean) - size) / np.where(slope > 0.0, slope, 1.0)
        lean = np.maximum(lean - step, 0.0)
        if np.all(np.abs(step) <= 1e-14):
            break
    return Tilt(
        found=found,
        angle=angle,
        wall_sided=np.arctan(np.where(e < 0.0, -lean, lean)),
        outside=np.where(found, tilt.mask(angle=angle), np.uint64(0)),
    )


@model(source=WALL_SIDED, valid={"heel": (-0.7, 0.7, "heels so far that the sides are not walls")})
def wall_sided_arm(*, heel: Array, metacentric_height: Array, metacentric_radius: Array) -> Array:
    r"""Return the righting arm of a hull with upright sides, until its deck edge goes under.

    Parameters
    ----------
    heel : float or (n, ...) array
        Port side down [rad].
    metacentric_height : float or (n, ...) array
        GM [m].
    metacentric_radius : float or (n, ...) array
        BM [m].

    Returns
    -------
    float or (n, ...) array
        Arm GZ [m].

    Notes
    -----
    .. math:: GZ = \sin\varphi (GM + \tfrac12 BM \tan^2\varphi)
    """
    lean = np.tan(heel)
    arm: Array = np.sin(heel) * (metacentric_height + 0.5 * metacentric_radius * lean * lean)
    return arm


@model(source="Geometry of a wall-sided section")
def deck_edge_heel(*, freeboard: Array, beam: Array) -> Array:
    r"""Return the heel at which the deck edge goes under.

    Parameters
    ----------
    freeboard : float or (n,) array
        Height of the deck edge above the water, upright [m].
    beam : float or (n,) array
        Width at the water [m].

    Returns
    -------
    float or (n,) array
        Heel; negative where the deck is under from the start [rad].

    Notes
    -----
    .. math:: \tan\varphi_d = 2 f / B
    """
    heel: Array = np.arctan(2.0 * np.asarray(freeboard) / beam)
    return heel


@model(
    source="Biran and Lopez-Pulido 2014, Ship Hydrostatics and Stability, ch. 2: GM = KB + BM - KG; "
    "a balancing rider as a weight at the deck, like a hung load at its point of suspension",
    valid={"heel": (-0.3, 0.3, "tilts so far that the formula for small angles no longer holds")},
)
def rider_balance(
    *,
    centre_of_buoyancy: Array,
    metacentric_radius: Array,
    craft_mass: Array,
    craft_z: Array,
    rider_mass: Array,
    rider_height: Array,
    deck_height: Array,
    offset: Array | float = 0.05,
) -> RiderBalance:
    """Return the metacentric heights with a rigid and with a balancing rider.

    Parameters
    ----------
    centre_of_buoyancy : float or (n,) array
        KB above the bottom at the tail [m].
    metacentric_radius : float or (n,) array
        BM across [m].
    craft_mass : float or (n,) array
        All without the rider [kg].
    craft_z : float or (n,) array
        Its centre of gravity above the bottom at the tail [m].
    rider_mass : float or (n,) array
        Rider with kit [kg].
    rider_height : float or (n,) array
        Centre of gravity of the rider above the deck [m].
    deck_height : float or (n,) array
        Deck above the bottom at the tail [m].
    offset : float or (n,) array
        Foot pressure off the middle [m].

    Returns
    -------
    RiderBalance
        Metacentric heights [m], heel [rad].

    Notes
    -----
    A negative rigid height is no fault: a standing person balances. The heel a foot pressure of
    5 cm off the middle causes tells how nervous the board is (up to 6 degrees steady, above 15
    hard to stand on; assumption).
    """
    mass = np.asarray(craft_mass) + rider_mass
    metacentre = np.asarray(centre_of_buoyancy) + metacentric_radius
    live = metacentre - (craft_mass * np.asarray(craft_z) + rider_mass * np.asarray(deck_height)) / mass
    rigid = live - rider_mass * np.asarray(rider_height) / mass
    found = live > 0.0
    heel = np.where(found, np.arctan(rider_mass * np.asarray(offset) / (mass * np.where(found, live, 1.0))), np.nan)
    return RiderBalance(
        rigid_gm=rigid,
        live_gm=live,
        found=found,
        heel=heel,
        outside=np.where(found, rider_balance.mask(heel=heel), np.uint64(0)),
    )


@model(
    source="strip integration of the capsized board; what a swimmer applies is an assumption",
    valid={"heel": HEEL},
)
def righting(
    *,
    stations: Boards,
    mass: Array,
    centre_z: Array,
    density: Array,
    rider_mass: Array,
    press_share: Array | float = 0.3,
    pull: Array | float = 150.0,
    pull_lever: Array | float = 0.5,
) -> Righting:
    r"""Return the moment that holds a capsized board down, and what one swimmer can apply.

    Parameters
    ----------
    stations : Stations or (..., 4, k) array
        The boards, or their offsets: place ahead of the tail, half width, bottom, deck [m].
    mass : float or (n,) array
        Craft without rider [kg].
    centre_z : float or (n,) array
        Its centre of gravity above the bottom at the tail when upright (foil below: low) [m].
    density : float or (n,) array
        Of the water [kg/m^3].
    rider_mass : float or (n,) array
        The swimmer [kg].
    press_share : float or (n,) array
        Share of the swimmer's weight that rests on the near rail [-].
    pull : float or (n,) array
        Pull on the mast or the far rail [N].
    pull_lever : float or (n,) array
        Lever of the pull about the middle of the board [m].

    Returns
    -------
    Righting
        Moments [N m], heel [rad]; shapes (n,).

    Notes
    -----
    The board floats deck down with its foil in the air and is turned about its length, free to sink
    and without trim, in steps of 12 degrees up to 75; its righting arm now works against the turn.
    The swimmer kneels on the near rail with part of the weight and leans back on the mast:
    :math:`M = s\, m_r g\, b/2 + F\, l`. A share of 0.3, 150 N (what lifting 15 kg of body out of
    the water takes) and 0.5 m are assumptions; waves and a leash are left out.
    """
    boards = capsized(as_stations(stations))
    lead = boards.x.shape[:-1]
    heel = np.radians(np.linspace(3.0, 75.0, 7))
    top = boards.deck.max(axis=-1)
    turn = righting_arm(stations=boards, mass=mass, centre_z=top - centre_z, heel=heel, density=density)
    worst = np.where(turn.found, turn.arm, 0.0)
    at = worst.argmax(axis=-1)
    largest = np.take_along_axis(worst, at[..., None], axis=-1)[..., 0]
    found = np.asarray(turn.found[..., 0])
    half = boards.half_beam.max(axis=-1)
    applied = press_share * np.asarray(rider_mass) * GRAVITY * half + np.asarray(pull) * pull_lever
    return Righting(
        found=found,
        needed=np.where(found, np.maximum(largest, 0.0) * mass * GRAVITY, np.nan),
        available=np.broadcast_to(applied, lead) + np.zeros(lead),
        heel=np.where(found, heel[at], np.nan),
        outside=righting.mask(heel=heel[at]),
    )


@model(source="Archimedes; flotation as in 33 CFR 183.105 to 183.114 (US Coast Guard)")
def flotation(
    *,
    density: Array,
    mass: Array,
    foam_volume: Array,
    foam_uptake: Array,
    solid_volume: Array,
    compartment_volume: Array,
    flooded: Array,
) -> Array:
    r"""Return the buoyancy that is left over the weight with compartments flooded and foam wet.

    Parameters
    ----------
    density : float or (n,) array
        Of the water [kg/m^3].
    mass : float or (n,) array
        All that has to float, dry [kg].
    foam_volume : float or (n,) array
        Volume of the foam [m^3].
    foam_uptake : float or (n,) array
        Water in the foam over its volume [-].
    solid_volume : float or (n,) array
        Volume of solid parts: skins, motor, foil, contents of flooded boxes [m^3].
    compartment_volume : (..., c) array
        Air that each sealed compartment holds [m^3].
    flooded : (..., c) array
        How much of each is full of water, 0 to 1 [-].

    Returns
    -------
    float or (n,) array
        Buoyancy less weight; negative sinks [N].

    Notes
    -----
    .. math:: F = g [\rho (V_f (1 - u) + V_s + \sum V_c (1 - w_c)) - m]
    """
    air = np.sum(np.asarray(compartment_volume) * (1.0 - np.asarray(flooded)), axis=-1)
    held = np.asarray(foam_volume) * (1.0 - np.asarray(foam_uptake)) + solid_volume + air
    left: Array = GRAVITY * (np.asarray(density) * held - mass)
    return left


@model(source="own rule modelled on 33 CFR 183.105 (US Coast Guard), which is not made for such craft")
def flotation_needed(*, rider_mass: Array, equipment_mass: Array) -> Array:
    r"""Return the buoyancy that should be left when every box is flooded.

    Parameters
    ----------
    rider_mass : float or (n,) array
        Rider with kit, in the water [kg].
    equipment_mass : float or (n,) array
        Battery and electronics [kg].

    Returns
    -------
    float or (n,) array
        Buoyancy over the weight of the craft [N].

    Notes
    -----
    .. math:: F = \max(\tfrac{2}{15} m_r g + \tfrac14 m_e g,\; 100)
    """
    held = GRAVITY * (np.asarray(rider_mass) * (2.0 / 15.0) + 0.25 * np.asarray(equipment_mass))
    return np.maximum(held, 100.0)
