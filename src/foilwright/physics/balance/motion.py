"""Motion in flight without a rider's help: heave and pitch, roll, and how fast each runs away."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.data import table
from foilwright.core.model import Array, Mask, model

Complex = npt.NDArray[np.complex128]


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedMass:
    """Water that moves with a plate: its ``mass`` [kg] and the ``coefficient`` [-]."""

    mass: Array
    coefficient: Array
    outside: Mask


@functools.cache
def _plates() -> tuple[Array, Array]:
    """Return chord over span, increasing, and the coefficient of the plate table."""
    columns = table("added_mass").columns
    return 1.0 / columns["span_over_chord"][::-1], columns["coefficient"][::-1]


@model(
    source="DNV-RP-C205, added mass of rectangular plates; interpolated over chord/span",
    valid={"chord_over_span": (0.0, 1.0, "the plate is longer in the flow than across it")},
    decides=("chord_over_span",),
)
def added_mass(*, chord: Array, span: Array, density: Array) -> AddedMass:
    r"""Return the added mass of a thin surface that moves at right angles to itself.

    Wing and stabiliser in heave, the wet mast sideways (its wet length as span).

    Parameters
    ----------
    chord, span : (...) arrays
        Sides of the plate [m].
    density : (...) array
        Of the water [kg/m^3].

    Returns
    -------
    AddedMass
        (...) arrays: mass [kg], coefficient [-]; NaN outside the table.

    Notes
    -----
    .. math:: m_a = \rho\, C_A \tfrac{\pi}{4} c^2 b
    """
    ratio = np.asarray(chord / span)
    nodes, values = _plates()
    coefficient = np.interp(ratio, nodes, values, left=np.nan, right=np.nan)
    return AddedMass(
        mass=np.asarray(density * coefficient * (0.25 * np.pi) * chord * chord * span),
        coefficient=coefficient,
        outside=added_mass.mask(chord_over_span=ratio),
    )


@model(source="Statics: two bodies about their common centre of mass")
def pitch_inertia(
    *,
    rider_mass: Array,
    rider_inertia: Array,
    craft_mass: Array,
    craft_inertia: Array,
    separation: Array,
) -> Array:
    r"""Return the pitch inertia of craft and stiff rider about their common centre of mass.

    The motion with this inertia is one bound, that with the craft's own inertia the other: ankles
    and knees let the craft pitch under the rider.

    Parameters
    ----------
    rider_mass, craft_mass : (...) arrays
        Masses [kg].
    rider_inertia, craft_inertia : (...) arrays
        Each about its own centre of mass [kg*m^2].
    separation : (...) array
        Distance between the two centres of mass [m].

    Returns
    -------
    (...) array
        Inertia [kg*m^2].

    Notes
    -----
    .. math:: I = I_r + I_c + \frac{m_r m_c}{m_r + m_c} d^2
    """
    shared = rider_mass * craft_mass / (rider_mass + craft_mass)
    return np.asarray(rider_inertia + craft_inertia + shared * separation * separation)


@model(source="Definition: ln 2 over the growth rate")
def time_to_double(*, growth: Array) -> Array:
    """Return the time in which a growing motion doubles.

    Parameters
    ----------
    growth : (...) array
        Growth rate, the real part of the root [1/s].

    Returns
    -------
    (...) array
        Time [s]; infinite where nothing grows.
    """
    grows = np.asarray(growth) > 0.0
    return np.where(grows, np.log(2.0) / np.where(grows, growth, 1.0), np.inf)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeavePitch:
    """Natural motions in heave and pitch.

    ``roots`` (..., 4), the fastest growing first [1/s]; ``growth``: its real part [1/s];
    ``time_to_double`` [s]; ``period`` of that motion [s]. Infinite where nothing grows or swings.
    """

    roots: Complex
    growth: Array
    time_to_double: Array
    period: Array


@model(
    source="Linear heave and pitch of two foils at constant speed (Etkin & Reid 1996, Dynamics of Flight, "
    "chapter 4, reduced) with height stiffness and with lift and drag below the centre of mass"
)
def heave_pitch_roots(
    *,
    mass: Array,
    inertia: Array,
    speed: Array,
    density: Array,
    wing_area: Array,
    wing_slope: Array,
    wing_place: Array,
    wing_stiffness: Array,
    stabiliser_area: Array,
    stabiliser_slope: Array,
    stabiliser_place: Array,
    stabiliser_stiffness: Array,
    added_mass: Array | float = 0.0,
    added_coupling: Array | float = 0.0,
    added_inertia: Array | float = 0.0,
    centre_height: Array | float = 0.0,
    wing_lift: Array | float = 0.0,
    stabiliser_lift: Array | float = 0.0,
    wing_drag_slope: Array | float = 0.0,
    drag: Array | float = 0.0,
) -> HeavePitch:
    r"""Return the roots of heave and pitch about steady flight, hands off.

    Parameters
    ----------
    mass : (...) array
        Craft and rider [kg].
    inertia : (...) array
        Pitch inertia about the centre of mass: with the stiff rider or of the craft alone [kg*m^2].
    speed : (...) array
        Through the water [m/s].
    density : (...) array
        Of the water [kg/m^3].
    wing_area, stabiliser_area : (...) arrays
        Plan areas [m^2].
    wing_slope, stabiliser_slope : (...) arrays
        Lift curve slopes as mounted; the stabiliser's after downwash [1/rad].
    wing_place, stabiliser_place : (...) arrays
        Quarter chords ahead of the centre of mass, negative behind it [m].
    wing_stiffness, stabiliser_stiffness : (...) arrays
        Lift lost for each metre of rise towards the surface [N/m].
    added_mass, added_coupling, added_inertia : (...) arrays
        Sums over the foils of the water's mass [kg], mass times place [kg*m], times place squared [kg*m^2].
    centre_height : (...) array
        Height above the foils at which weight and inertia act; 0 leaves the next four out [m].
    wing_lift, stabiliser_lift : (...) arrays
        Lifts in steady flight [N].
    wing_drag_slope : (...) array
        Growth of the wing's drag with incidence, mostly induced [N/rad].
    drag : (...) array
        Drag of all that is wet, in steady flight [N].

    Returns
    -------
    HeavePitch
        roots (..., 4) [1/s]; (...) arrays: growth [1/s], time_to_double [s], period [s].

    Notes
    -----
    Foil i, z up and th nose-up at the centre of mass, with incidence
    :math:`\alpha_i = \theta - (\dot z + x_i \dot\theta)/V`:

    .. math:: \Delta L_i = q S_i a_i \alpha_i + 2 L_i h \dot\theta/V - K_i (z + x_i \theta)

    .. math:: \Delta M_i = x_i \Delta L_i + h (L_i - \partial D_i/\partial\alpha) \alpha_i
        - 2 D_i h^2 \dot\theta/V

    The terms in h: the lift stays square to the flow while the craft turns about a point far above
    it, the drag grows with incidence, and pitching moves the foils fore and aft.
    """
    force1 = 0.5 * density * speed * wing_area * wing_slope
    force2 = 0.5 * density * speed * stabiliser_area * stabiliser_slope
    h = centre_height / np.asarray(speed)
    moment1 = force1 * wing_place + h * (wing_lift - wing_drag_slope)
    moment2 = force2 * stabiliser_place + h * stabiliser_lift
    surge = 2.0 * h * (wing_lift + stabiliser_lift)
    surge_moment = 2.0 * h * (wing_lift * wing_place + stabiliser_lift * stabiliser_place - drag * centre_height)
    coupling = wing_stiffness * wing_place + stabiliser_stiffness * stabiliser_place
    turning = wing_stiffness * wing_place * wing_place
    turning = turning + stabiliser_stiffness * stabiliser_place * stabiliser_place
    damping = (
        force1 + force2,
        force1 * wing_place + force2 * stabiliser_place - surge,
        moment1 + moment2,
        moment1 * wing_place + moment2 * stabiliser_place - surge_moment,
    )
    stiffness = (
        wing_stiffness + stabiliser_stiffness,
        coupling - (force1 + force2) * speed,
        coupling,
        turning - (moment1 + moment2) * speed,
    )
    return _modes(_state_matrix(mass + added_mass, added_coupling, inertia + added_inertia, damping, stiffness))


Pairs = tuple[Array, Array, Array, Array]


def _state_matrix(heavy: Array, coupled: Array | float, turned: Array, damping: Pairs, stiffness: Pairs) -> Array:
    """Return the (..., 4, 4) matrix of z, th and their rates for a symmetric 2 x 2 mass matrix."""
    b11, b12, b21, b22 = damping
    c11, c12, c21, c22 = stiffness
    shape = np.broadcast_shapes(*(np.shape(entry) for entry in (heavy, coupled, turned, *damping, *stiffness)))
    share = 1.0 / (heavy * turned - coupled * coupled)
    out = np.zeros((*shape, 4, 4))
    out[..., 0, 2] = out[..., 1, 3] = 1.0
    columns = ((c11, c21), (c12, c22), (b11, b21), (b12, b22))
    for column, (force, moment) in enumerate(columns):
        out[..., 2, column] = -share * (turned * force - coupled * moment)
        out[..., 3, column] = -share * (heavy * moment - coupled * force)
    return out


def _modes(matrix: Array) -> HeavePitch:
    """Return the roots of the motion, the fastest growing first."""
    roots = np.asarray(np.linalg.eigvals(matrix), dtype=np.complex128)
    order = np.argsort(-roots.real, axis=-1, kind="stable")
    roots = np.take_along_axis(roots, order, axis=-1)
    growth, frequency = roots[..., 0].real, np.abs(roots[..., 0].imag)
    swings = frequency > 0.0
    return HeavePitch(
        roots=roots,
        growth=growth,
        time_to_double=np.asarray(time_to_double(growth=growth)),
        period=np.where(swings, 2.0 * np.pi / np.where(swings, frequency, 1.0), np.inf),
    )


@model(
    source="Prandtl 1918 lifting line, elliptic planform, second (antisymmetric) term of the circulation",
    valid={"aspect_ratio": (3.0, 30.0, "a lifting line does not describe so short a wing")},
)
def rolling_slope(*, section_slope: Array, aspect_ratio: Array) -> Array:
    r"""Return the lift curve slope that works in roll, where the two halves lift opposite ways.

    Parameters
    ----------
    section_slope : (...) array
        Lift curve slope of the section near the surface of the water [1/rad].
    aspect_ratio : (...) array
        Span squared over area [-].

    Returns
    -------
    (...) array
        Slope [1/rad].

    Notes
    -----
    .. math:: a_r = a_0/(1 + 2 a_0/(\pi A))

    The wing's own slope, :math:`a_0/(1 + a_0/(\pi A))`, gives about a quarter too much roll damping.
    """
    return np.asarray(section_slope / (1.0 + 2.0 * section_slope / (np.pi * aspect_ratio)))


@dataclass(frozen=True, slots=True, kw_only=True)
class RollDamping:
    """Damping in roll: ``coefficient`` [-] and rolling moment per roll rate ``damping`` [N*m*s]."""

    coefficient: Array
    damping: Array


@model(source="Strip integral of a straight-tapered wing (Etkin & Reid 1996, Dynamics of Flight, Appendix B)")
def roll_damping(*, slope: Array, taper: Array, area: Array, span: Array, speed: Array, density: Array) -> RollDamping:
    r"""Return the damping in roll of a tapered wing.

    Parameters
    ----------
    slope : (...) array
        Lift curve slope in roll, see `rolling_slope` [1/rad].
    taper : (...) array
        Tip chord over root chord [-].
    area : (...) array
        Plan area [m^2].
    span : (...) array
        Span [m].
    speed : (...) array
        Through the water [m/s].
    density : (...) array
        Of the water [kg/m^3].

    Returns
    -------
    RollDamping
        (...) arrays: coefficient on half span times roll rate over speed [-], damping [N*m*s];
        negative damps.

    Notes
    -----
    .. math:: C_{lp} = -\frac{a}{12} \frac{1 + 3 t}{1 + t}, \quad L_p = \frac{q S b^2}{2 V} C_{lp}
    """
    coefficient = np.asarray(-slope / 12.0 * (1.0 + 3.0 * taper) / (1.0 + taper))
    return RollDamping(
        coefficient=coefficient,
        damping=np.asarray(0.25 * density * speed * area * span * span * coefficient),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RollRoots:
    """Falling over in roll.

    ``growth`` and ``decay``, the two roots [1/s]; ``time_to_double`` [s]; ``toppling`` moment per angle
    over inertia [1/s^2] and damping over inertia, ``damping_rate`` [1/s], as `critical_delay` takes them.
    """

    growth: Array
    decay: Array
    time_to_double: Array
    toppling: Array
    damping_rate: Array


@model(source="Inverted pendulum about the wing, which the mast holds against side-slip, with roll damping")
def roll_roots(*, inertia: Array, damping: Array, weight: Array, centre_height: Array) -> RollRoots:
    r"""Return the roots of the fall in roll with a stiff rider.

    Parameters
    ----------
    inertia : (...) array
        Roll inertia of craft and rider about the wing [kg*m^2].
    damping : (...) array
        Rolling moment per roll rate, negative [N*m*s].
    weight : (...) array
        Of craft and rider [N].
    centre_height : (...) array
        Height of their centre of mass above the wing [m].

    Returns
    -------
    RollRoots
        (...) arrays: growth, decay [1/s], time_to_double [s], toppling [1/s^2], damping_rate [1/s].

    Notes
    -----
    .. math:: I \ddot\varphi - L_p \dot\varphi - W z_g \varphi = 0
    """
    toppling = np.asarray(weight * centre_height / inertia)
    rate = np.asarray(-damping / inertia)
    root = np.sqrt(0.25 * rate * rate + toppling)
    decay = -0.5 * rate - root
    growth = toppling / -decay
    return RollRoots(
        growth=growth,
        decay=decay,
        time_to_double=np.asarray(time_to_double(growth=growth)),
        toppling=toppling,
        damping_rate=rate,
    )
