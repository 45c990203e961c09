"""The optional parts: what each adds, and loading one of its libraries when an answer needs it."""

from __future__ import annotations

import importlib
from dataclasses import dataclass
from types import ModuleType

from foilwright.core.errors import MissingExtraError, ModelError


@dataclass(frozen=True, slots=True, kw_only=True)
class Extra:
    """An optional part of the installation.

    ``adds`` says in plain words what a maker gets; ``modules`` are the import names of the
    libraries that make it; ``megabytes`` is what they take on the disk, roughly.
    """

    name: str
    adds: str
    modules: tuple[str, ...]
    megabytes: int

    @property
    def command(self) -> str:
        """Return how to get it, quoted so that a shell leaves the brackets alone."""
        return f"pip install 'foilwright[{self.name}]'"


EXTRAS: tuple[Extra, ...] = (
    Extra(
        name="sections",
        adds="polars of your own section shape, for wing, stabiliser and mast",
        modules=("neuralfoil",),
        megabytes=750,
    ),
    Extra(
        name="study",
        adds="explorations: many designs searched for the best by several aims, kept as Parquet",
        modules=("pyarrow", "pymoo"),
        megabytes=210,
    ),
    Extra(
        name="cluster",
        adds="explorations on the workers of a Dask cluster",
        modules=("distributed", "pyarrow"),
        megabytes=215,
    ),
    Extra(
        name="parts",
        adds="the cards of foilwright ready as a PDF that prints on A4 and reads on a phone",
        modules=("typst",),
        megabytes=85,
    ),
    Extra(
        name="cad",
        adds="solids of wing, mast, box and jigs as STEP, STL and 3MF, in printing orientation",
        modules=("build123d", "trimesh", "lib3mf"),
        megabytes=480,
    ),
    Extra(
        name="page",
        adds="the craft live in a browser: change a number and see every answer follow",
        modules=("nicegui", "plotly"),
        megabytes=130,
    ),
    Extra(
        name="fe",
        adds="sections of your mast and wings by finite elements, beside the closed forms",
        modules=("sectionproperties", "shapely"),
        megabytes=30,
    ),
    Extra(
        name="learn",
        adds="days on the water read back: GPS tracks, and corrections sampled by an ensemble",
        modules=("gpxpy", "emcee"),
        megabytes=5,
    ),
)
"""Every optional part; the same names as in ``[project.optional-dependencies]``."""


def named(name: str) -> Extra:
    """Return the extra of that name."""
    for extra in EXTRAS:
        if extra.name == name:
            return extra
    raise ModelError(f"there is no extra {name}; known: {', '.join(e.name for e in EXTRAS)}")


def need(module: str, *, extra: str) -> ModuleType:
    """Import and return an optional library, or say how to get it.

    Parameters
    ----------
    module : str
        Import name of the library, dots allowed.
    extra : str
        Name of the extra that brings it.
    """
    part = named(extra)
    try:
        return importlib.import_module(module)
    except ModuleNotFoundError as error:
        raise MissingExtraError(
            f"this needs {error.name}, which is not installed; "
            f"the extra {part.name} brings it (about {part.megabytes} MB): {part.command}"
        ) from error
    except ImportError as error:
        raise MissingExtraError(
            f"{module} is installed but does not load ({error}); installing it afresh may help: "
            f"{part.command} --force-reinstall"
        ) from error
