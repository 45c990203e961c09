"""A maker's own section: its tables computed once and kept beside its coordinate file."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import numpy as np

from foilwright.build import coordinates
from foilwright.build.build import Build
from foilwright.build.sections import POLAR, PRESSURE, mark_line
from foilwright.core.errors import DataError, MissingExtraError, PlaceError
from foilwright.core.extras import named, need
from foilwright.physics import section as flow
from foilwright.physics.section import FINISHES, SectionTables
from foilwright.shape import own
from foilwright.shape.own import OwnSection
from foilwright.study.polars import polar_text, pressure_curve

POINTS = 101
"""Points a side for the solver, as for the built-in sections."""
PANEL_POINTS = 121
"""Points a side for the panel method."""
LOWEST = -300.0
"""Pressure coefficient below which no smooth section comes within the table [-]."""
PRESSURE_STEP = 0.025
"""Step of lift of the table of least pressure, as of the shipped one [-]."""


def ready(build: Build) -> Build:
    """Return a build whose own sections all have their tables.

    Tables that lie beside the build file and are of the same outline are taken; others are computed,
    which needs the extra ``sections`` and some seconds, and kept there.

    Parameters
    ----------
    build : Build
        From ``build.load.load``.
    """
    if not build.sections:
        return build
    made = {name: _complete(each, build) for name, each in build.sections.items()}
    return replace(build, sections=made)


def _complete(section: OwnSection, build: Build) -> OwnSection:
    if section.ready and _sound(section):
        return section
    try:
        need("neuralfoil", extra="sections")
    except MissingExtraError:
        extra = named("sections")
        raise MissingExtraError(
            f"{section.file}: the polars of the section {section.name} are not computed yet, and that takes the extra "
            f"{extra.name} (about {extra.megabytes} MB), once: {extra.command}; afterwards {section.file}{POLAR} and "
            f"{section.file}{PRESSURE} beside it are enough"
        ) from None
    made = computed(section)
    if not _sound(made):
        raise DataError(
            f"{section.file}: no attached flow is found about this outline at every Reynolds number of the tables, "
            "or its points are too rough for a pressure; allowed: a wing section of usual form, 6 to 18 % thick, "
            "with five decimals or more (example: 0.95000 0.01140)"
        )
    if build.beside is not None:
        _write(build.beside / (section.file + PRESSURE), made.pressure)
        _write(build.beside / (section.file + POLAR), made.polar)
    return made


def computed(section: OwnSection) -> OwnSection:
    """Return an own section with its tables computed; needs the extra ``sections``."""
    thickness, _ = own.measured(section.outline)
    polar = polar_text(
        section=section.name,
        coordinates=own.resampled(section.outline, POINTS),
        thickness=thickness,
        writer=f"Written by foilwright ask from the points in {section.file}.",
    )
    mark = mark_line(section.mark)
    return replace(section, polar=f"{mark}\n{polar}", pressure=f"{mark}\n{_pressure_text(section)}")


def _pressure_text(section: OwnSection) -> str:
    lift = np.linspace(flow.LIFT_AXIS[0], flow.LIFT_AXIS[-1], round(2.8 / PRESSURE_STEP) + 1)
    least = pressure_curve(
        coordinates=own.resampled(section.outline, PANEL_POINTS, trailing_edge=0.0), lift_coefficient=lift
    )
    head = [
        f"Least pressure coefficient of {section.name} over lift coefficient [-] in potential flow: linear",
        "vortex panels (Katz & Plotkin 2001, Low-Speed Aerodynamics, ch. 11), 240 panels on a smooth line",
        f"through the points, closed trailing edge. Written by foilwright ask from the points in {section.file}.",
    ]
    rows = [f"{section.name},{cl:.3f},{cp:.4f}" for cl, cp in zip(lift, least, strict=True)]
    return "\n".join([*(f"# {line}" for line in head), "section,lift_coefficient,pressure_minimum", *rows]) + "\n"


def _sound(section: OwnSection) -> bool:
    """Whether the tables can be read and hold numbers."""
    key = own.keep(section)
    try:
        with np.errstate(all="ignore"):
            made = [flow.gather(sections=key, finishes=finish) for finish in FINISHES]
    except (DataError, ValueError, KeyError, IndexError):
        return False
    known = all(bool(np.isfinite(getattr(each, name)).all()) for each in made for name in ("drag", "slope", "pressure"))
    return known and all(each.pressure.min() > LOWEST and each.pressure.max() < 0.0 for each in made)


def _write(place: Path, text: str) -> None:
    """Write a kept table in one step, whoever else does the same."""
    fresh = place.with_name(f"{place.name}.{os.getpid()}.new")
    try:
        fresh.write_text(text, encoding="utf-8", newline="\n")
        fresh.replace(place)
    except OSError as error:
        raise PlaceError(f"{place} cannot be written: {error.strerror or error}") from error


def tables_from_coordinates(path: Path, *, finish: str) -> SectionTables:
    """Return the tables of a maker's own section; needs the extra ``sections``.

    Parameters
    ----------
    path : Path
        Coordinate file, as ``build.coordinates.read`` takes it.
    finish : str
        ``polished``, ``sanded`` or ``printed`` [-].

    Returns
    -------
    SectionTables
        n = 1.
    """
    section = own.made(name=path.stem, file=path.name, outline=coordinates.read(path))
    return flow.gather(sections=own.keep(computed(section)), finishes=finish)
