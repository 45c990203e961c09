"""A Build, with any of its fields varied, into a Craft of arrays; what was assumed is told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foilwright import craft as c
from foilwright.assemble import box as dry
from foilwright.assemble import parts, wiring
from foilwright.assemble.reader import Assumption, Reader, assumption, numbers
from foilwright.assemble.structure import structure
from foilwright.assemble.workshop import workshop
from foilwright.build.build import Build
from foilwright.build.vary import Varied, checked
from foilwright.shape.mass import masses

__all__ = ["WEIGHED", "Assumption", "Reader", "Varied", "assemble", "assumption", "checked"]


def assemble(
    build: Build, varied: Varied | None = None, *, as_built: bool = True, trusted: bool = False
) -> tuple[c.Craft, tuple[Assumption, ...]]:
    """Return the craft of a build, or of many variants of it, and what was assumed.

    Parameters
    ----------
    build : Build
        A checked build.
    varied : mapping
        Path to (n,) array in SI, or to n names for a choice; every other written field holds.
    as_built : bool
        Let measured values stand in for designed ones.
    trusted : bool
        Take varied values as they are; NaN, or an empty name, then leaves open what the build leaves open.
    """
    varied = varied or {} if trusted else checked(build, varied or {})
    designs = next((len(values) for values in varied.values()), 1)
    reader = Reader(build=build, designs=designs, varied=varied, as_built=as_built)
    made = _craft(reader)
    return _as_weighed(made, reader), tuple(reader.assumed.values())


WEIGHED = ("board", "mast", "wing", "stabiliser", "fuselage", "pack")
"""Tables with a field ``mass`` that holds what the scale said."""


def _as_weighed(made: c.Craft, read: Reader) -> c.Craft:
    """Keep each weighed mass as its ratio to what the unvaried build computes to."""
    written = read.build.values.keys() | read.varied.keys()
    weighed = [name for name in WEIGHED if f"{name}.mass" in written]
    whole = read.as_built and not written.isdisjoint(("measured.craft_mass", "measured.balance_point"))
    if not weighed and not whole:
        return made
    filed = Reader(build=replace(read.build, values=read.build.filed), designs=1, varied={}, as_built=read.as_built)
    plain = _craft(filed)
    pieces = masses(plain).pieces
    made, plain = (
        replace(
            each,
            **{
                name: replace(getattr(each, name), mass_ratio=reader.number(f"{name}.mass") / pieces[name].mass)
                for name in weighed
                if not np.isnan(reader.number(f"{name}.mass")).all()
            },
        )
        for each, reader in ((made, read), (plain, filed))
    )
    if not whole:
        return made
    book = masses(plain)
    return replace(
        made,
        mass_ratio=read.number("measured.craft_mass") / book.planned,
        balance_shift=read.number("measured.balance_point") - book.x,
    )


def _craft(read: Reader) -> c.Craft:
    mast = parts.mast(read)
    wing = parts.surface(read, "wing", x=mast.x + read.number("wing.ahead"), z=-mast.length)
    arm = read.number("stabiliser.arm")
    stabiliser = parts.surface(read, "stabiliser", x=wing.x - arm, z=wing.z + read.number("stabiliser.height"))
    return c.Craft(
        designs=read.designs,
        water=parts.water(read),
        rider=c.Rider(
            skill=read.names("rider.skill"),
            posture=read.names("rider.posture"),
            **numbers(
                read,
                "rider",
                "mass kit_mass height stance stance_width foot_length step prone_from prone_to"
                " kneeling_from kneeling_to",
            ),
        ),
        board=parts.board(read),
        parts=parts.listed(read),
        mast=mast,
        wing=wing,
        stabiliser=stabiliser,
        fuselage=parts.fuselage(read, arm),
        pod=parts.pod(read, mast),
        drive=parts.drive(read),
        pack=parts.pack(read),
        harness=wiring.harness(read),
        cooling=wiring.cooling(read),
        charger=wiring.charger(read),
        box=dry.box(read),
        radio=dry.radio(read),
        tested_link=dry.tested_link(read),
        ride=parts.ride(read),
        targets=c.Targets(**numbers(read, "targets", "cruise_speed wing_depth run_time")),
        structure=structure(read, mast=mast, wing=wing, stabiliser=stabiliser),
        factors=c.Factors(
            **numbers(read, "factors", "board_drag wing_lift wing_drag propeller_efficiency pack_resistance"),
            **parts.left_alone(
                read,
                "factors",
                "controller_heat_resistance motor_heat_resistance pack_heat_resistance link_power print_stiffness"
                " print_strength rider_reach",
            ),
        ),
        workshop=workshop(read),
        mass_ratio=np.full(read.designs, np.nan),
        balance_shift=np.full(read.designs, np.nan),
    )
