"""Wing, stabiliser and what else hangs below, over the speeds at one depth: linear lift, drag by cause."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from foilwright.core.model import Array
from foilwright.core.shapes import column
from foilwright.craft import Craft, Surface
from foilwright.physics import lifting, section, strut
from foilwright.physics.water import Water
from foilwright.questions.state.flex import Bends, Flex
from foilwright.shape.mass import section_factor

ASPECTS = (1.5, 24.0)
"""Aspect ratios of the tables of wings; beyond them the nearest is taken and the answers are unknown."""
NEAREST_SURFACE, SPAN_NEAREST = 0.2, 1.0 / 60.0
"""Depth over chord, and over span, below which what the surface does to a foil is not known; held there."""
NEAREST_TAIL = 0.17
"""Arm over the wing's span below which the downwash is not known."""
GUST = np.radians(1.5)
"""Incidence that waves and the rider add at any time (estimate, with the design limit of lift)."""
SOFTEST = 0.75
"""Share of its divergence beyond which no part is taken to give further: `hold` says that it fails there."""
JUNCTIONS = 2.0
"""Crossings of foils: mast with fuselage and wing, fuselage with stabiliser, counted on the mast's thickness."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifting:
    """One lifting surface over (n, V) speeds."""

    area: Array  # (n, 1) m^2
    span: Array  # (n, 1) m, held within what the tables of wings know
    nearest: Array  # (n, 1) m, least depth that they know
    chord: Array  # (n, 1) m
    x: Array  # (n, 1) m, quarter chord of the mean chord: aft of the middle's where the wing is swept
    z: Array  # (n, 1) m
    speeds: Array  # (V,) m/s
    pressure: Array  # (n, V) Pa, dynamic
    reynolds: Array  # (n, V)
    slope: Array  # (n, V) 1/rad, with surface and flex
    zero: Array  # (n, V) rad, trim of the board without lift
    factor: Array  # (n, V) K of K CL^2
    wave_share: Array  # (n, V) part of K that the surface makes
    twist_slope: Array  # (n, V)
    twist_drag: Array  # (n, V)
    pitching: Array  # (n, V) moment coefficient about the quarter chord
    peak: Array  # (n, V) largest local over mean lift
    limit: Array  # (n, V) largest lift coefficient of the whole surface
    least: Array  # (n, V) its most negative one
    section_slope: Array  # (n, V)
    friction: Array  # (n, 1) profile drag over what the tables say
    tables: section.SectionTables

    def stalled(self, coefficient: Array) -> Array:
        """Return by how much a lift coefficient, with a gust either way, passes the limit; negative within."""
        limit, least = _fit(self.limit, coefficient), _fit(self.least, coefficient)
        gust = _fit(self.slope, coefficient) * GUST
        return np.asarray(np.maximum((coefficient + gust) / limit, (coefficient - gust) / least) - 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Force:
    """A surface at given trims (n, V, T)."""

    surface: Lifting
    coefficient: Array
    lift: Array  # N
    drag: Array  # N
    profile: Array  # N, of the drag

    def moment(self, trim: Array) -> Array:
        """Return the nose-up moment about the tail's bottom edge at a trim [N m]."""
        s = self.surface
        x, z = s.x[..., None], s.z[..., None]
        sine, cosine = np.sin(trim), np.cos(trim)
        own = (s.pressure * s.area * s.chord * s.pitching)[..., None]
        return (x * cosine - z * sine) * self.lift + (z * cosine + x * sine) * self.drag + own


@dataclass(frozen=True, slots=True, kw_only=True)
class Foils:
    """Wing and stabiliser at one depth."""

    wing: Lifting
    stabiliser: Lifting
    downwash: Array  # (n, V) angle at the stabiliser over the wing's lift coefficient
    arm_short: Array  # (n,) arm over span, for its validity
    depth: Array  # (n,) m, of the wing
    tail_depth: Array  # (n,) m, of the stabiliser; may be above the water

    def coefficients(self, trim: Array) -> tuple[Array, Array]:
        """Return the lift coefficients of wing and stabiliser at trims (T,) or (n, V, T)."""
        w, s = self.wing, self.stabiliser
        wing = w.slope[..., None] * (trim - w.zero[..., None])
        tail = s.slope[..., None] * (trim - s.zero[..., None] - self.downwash[..., None] * wing)
        return wing, tail

    def forces(self, trim: Array) -> tuple[Force, Force]:
        """Return the forces on wing and stabiliser at trims (T,) or (n, V, T)."""
        wing, tail = self.coefficients(trim)
        return _force(self.wing, wing), _force(self.stabiliser, tail)

    def trim_for(self, lift: Array, thrust: Array) -> Array:
        """Return the trim at which both surfaces and the thrust carry a load (n, V) [rad]."""
        w, s = self.wing, self.stabiliser
        wing = w.pressure * w.area * w.slope
        tail = s.pressure * s.area * s.slope
        follows = 1.0 - self.downwash * w.slope
        slope = wing + tail * follows + thrust
        constant = wing * w.zero + tail * (s.zero - self.downwash * w.slope * w.zero)
        return (lift + constant) / slope

    def turned(self, by: Array) -> Foils:
        """Return the same with both surfaces turned nose up against the board by (n, V) [rad]."""
        wing, tail = (replace(each, zero=each.zero - by) for each in (self.wing, self.stabiliser))
        return replace(self, wing=wing, stabiliser=tail)

    def lift_slope(self) -> Array:
        """Return the slope of the lift of both with trim (n, V) [N/rad]."""
        w, s = self.wing, self.stabiliser
        follows = 1.0 - self.downwash * w.slope
        return w.pressure * w.area * w.slope + s.pressure * s.area * s.slope * follows


def _fit(values: Array, like: Array) -> Array:
    return values[..., None] if like.ndim == 3 else values


def _force(s: Lifting, coefficient: Array) -> Force:
    pressed = (s.pressure * s.area)[..., None]
    factor, slope, extra = (each[..., None] for each in (s.factor, s.twist_slope, s.twist_drag))
    profile = section.drag_at(tables=s.tables, lift_coefficient=coefficient, reynolds=s.reynolds[..., None])
    profile = profile * s.friction[..., None]
    induced = factor * coefficient * coefficient + slope * coefficient + extra
    return Force(
        surface=s,
        coefficient=coefficient,
        lift=pressed * coefficient,
        drag=pressed * (profile + induced),
        profile=pressed * profile,
    )


def foils(craft: Craft, water: Water, depth: Array, speeds: Array, flex: Flex) -> Foils:
    """Return wing and stabiliser of every design at a depth of the wing (n,), as they turn under their lift."""
    lower = depth - (craft.stabiliser.z - craft.wing.z)
    wing, tail = _surfaces(craft, water, np.concatenate([depth, lower]), speeds, flex)
    arm, span = craft.fuselage.arm, wing.span[:, 0]
    downwash = lifting.downwash_factor(
        aspect_ratio=span**2 / craft.wing.area, span=span, arm=np.maximum(arm, NEAREST_TAIL * span), depth=depth,
        height_offset=craft.stabiliser.z - craft.wing.z,
    )  # fmt: skip
    wing, tail, angle = _on_mast(wing, tail, np.asarray(downwash)[:, None], flex)
    return Foils(
        stabiliser=tail, wing=wing, downwash=angle, arm_short=arm / craft.wing.span, depth=depth, tail_depth=lower
    )


def _on_mast(wing: Lifting, tail: Lifting, downwash: Array, flex: Flex) -> tuple[Lifting, Lifting, Array]:
    """Return both surfaces, and the downwash, over the trim of the board: their couple bends the mast.

    The end of the mast turns by b + m times the angle of the foils, which is that of the board and this turn.
    """
    axis, give = column(flex.axis), column(flex.couple)
    front, back = (s.pressure * s.area * (s.x - axis) for s in (wing, tail))
    own = (s.pressure * s.area * s.chord * s.pitching for s in (wing, tail))
    follows = downwash * wing.slope
    steep = front * wing.slope + back * tail.slope * (1.0 - follows)
    level = back * tail.slope * (follows * wing.zero - tail.zero) - front * wing.slope * wing.zero + sum(own)
    left = 1.0 - np.minimum(give * steep, SOFTEST)
    wing, tail = (replace(each, slope=each.slope / left, zero=each.zero * left - give * level) for each in (wing, tail))
    return wing, tail, downwash * left


def _surfaces(craft: Craft, water: Water, depth: Array, speeds: Array, flex: Flex) -> tuple[Lifting, Lifting]:
    """Return wing and stabiliser at their depths (2 n,), worked out at once as twice as many surfaces."""
    n, pair, bends = craft.designs, (craft.wing, craft.stabiliser), (flex.wing, flex.stabiliser)

    def two(name: str, of: tuple[Surface, Surface] | tuple[Bends, Bends] = pair) -> Array:
        return np.concatenate([getattr(each, name) for each in of])

    area, wide, taper, sweep = two("area"), two("span"), two("taper"), two("sweep")
    density, viscosity = (np.concatenate([v, v])[:, None] for v in (water.density, water.kinematic_viscosity))
    found, none = craft.factors, np.ones(n)
    more, worse = (column(np.concatenate([factor, none])) for factor in (found.wing_lift, found.wing_drag))
    chord = (area / wide)[:, None]
    span = np.sqrt(np.clip(wide**2 / area, *ASPECTS) * area)
    nearest = np.maximum(NEAREST_SURFACE * area / span, span * SPAN_NEAREST)
    reynolds = speeds * chord / viscosity
    sections, finishes = ((*getattr(pair[0], name), *getattr(pair[1], name)) for name in ("section", "finish"))
    tables = section.gather(sections=sections, finishes=finishes)
    known = section.characteristics_at(tables=tables, reynolds=reynolds)
    made = lifting.slope_and_drag(
        area=column(area), span=column(span), taper=column(taper), sweep=column(sweep), section_slope=known.slope,
        depth=column(np.maximum(depth, nearest)), speed=speeds, dihedral=column(two("dihedral")),
        twist=column(two("twist")),
    )  # fmt: skip
    pressure = 0.5 * density * speeds**2
    slope = made.lift_slope * more
    gives = pressure * slope * column(area * two("force", bends) + two("lift", bends))
    aft = wide / 6.0 * (1.0 + 2.0 * taper) / (1.0 + taper) * np.tan(sweep)
    both = Lifting(
        area=column(area), span=column(span), nearest=column(nearest), chord=chord, x=column(two("x") - aft),
        z=column(two("z")), speeds=speeds, pressure=pressure, reynolds=reynolds,
        slope=slope / (1.0 - np.minimum(gives, SOFTEST)),
        zero=known.zero_lift_angle + made.zero_lift_shift - column(two("incidence"))
        - pressure * known.moment * column(two("moment", bends)),
        factor=made.induced_drag_factor * worse, wave_share=made.wave_share,
        twist_slope=made.twist_drag_slope * worse, twist_drag=made.twist_drag * worse, friction=worse,
        pitching=known.moment, peak=made.peak_ratio,
        limit=known.lift_limit * more / made.peak_ratio, least=known.lift_limit_negative * more / made.peak_ratio,
        section_slope=known.slope, tables=tables,
    )  # fmt: skip
    rows = slice(0, n), slice(n, None)
    wing, tail = (
        replace(
            both,
            **{name: getattr(both, name)[part] for name in SPLIT},
            tables=section.gather(sections=one.section, finishes=one.finish),
        )
        for part, one in zip(rows, pair, strict=True)
    )
    return wing, tail


SPLIT = tuple(item.name for item in fields(Lifting) if item.name not in ("speeds", "tables"))
"""What a lifting surface has by design."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hung:
    """Drag of mast, pod and fuselage; (n, V) [N]."""

    drag: Array
    mast: Array
    spray: Array
    junction: Array
    pod: Array
    moment: Array  # N m, nose-up about the tail's bottom edge with the board level
    reach: Array  # N m, drag times place: what a trim of one radian adds


def hung_drag(craft: Craft, water: Water, speeds: Array, *, wet_mast: Array, spray: bool) -> Hung:
    """Return the drag of what hangs below besides the foils, with ``wet_mast`` metres of mast in the water."""
    mast, pod, body = craft.mast, craft.pod, craft.fuselage
    pressure = 0.5 * column(water.density) * speeds**2
    tables = section.gather(sections=mast.section, finishes=mast.finish)
    reynolds = speeds * column(mast.chord / water.kinematic_viscosity)
    coefficient = section.drag_at(tables=tables, lift_coefficient=np.zeros_like(reynolds), reynolds=reynolds)
    thickness = section_factor(mast.section, "thickness") * mast.chord
    profile = pressure * column(mast.chord * wet_mast) * coefficient
    wing_thick = section_factor(craft.wing.section, "thickness") * craft.wing.area / craft.wing.span
    crossing = 0.5 * (thickness + wing_thick)
    ratio = 0.5 * (section_factor(mast.section, "thickness") + section_factor(craft.wing.section, "thickness"))
    junction = JUNCTIONS * strut.junction_drag(
        thickness=column(crossing), thickness_ratio=column(ratio), speed=speeds, density=column(water.density)
    )
    wave = strut.spray_drag(thickness=column(thickness), speed=speeds, density=column(water.density))
    bodies = [
        strut.pod_drag(
            length=column(each.length), diameter=column(each.diameter), speed=speeds, density=column(water.density),
            kinematic_viscosity=column(water.kinematic_viscosity),
        )
        for each in (pod, body)
    ]  # fmt: skip
    made = np.asarray(wave) if spray else np.zeros_like(profile)
    surface = -(mast.length - wet_mast)
    moment = (
        profile * column(0.5 * (surface + craft.wing.z)) + made * column(surface) + junction * column(craft.wing.z)
        + bodies[0] * column(pod.z) + bodies[1] * column(craft.wing.z)
    )  # fmt: skip
    reach = (
        (profile + made + junction) * column(mast.x - 0.25 * mast.chord) + bodies[0] * column(pod.x)
        + bodies[1] * column(craft.wing.x - 0.5 * body.arm)
    )  # fmt: skip
    return Hung(
        drag=np.asarray(profile + made + junction + bodies[0] + bodies[1]), mast=np.asarray(profile), spray=made,
        junction=np.asarray(junction), pod=np.asarray(bodies[0] + bodies[1]), moment=np.asarray(moment),
        reach=np.asarray(reach),
    )  # fmt: skip
