"""A controller and a pack in a closed box, on a plate, or in mast or pod: the network of their heat."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foilwright.core.model import Array, model
from foilwright.physics.heat.bodies import conduction

NODES = ("controller", "sink", "box air", "box skin", "plate", "pack", "air", "water")
"""Nodes of the network, by number; the last two are held."""
LINKS = (
    ("controller", "sink", 0.0),
    ("controller", "box air", 0.25),
    ("sink", "box air", 0.25),
    ("box air", "box skin", 0.0),
    ("box skin", "air", 0.0),
    ("controller", "plate", 0.0),
    ("plate", "water", 0.0),
    ("plate", "air", 0.0),
    ("pack", "box air", 0.0),
)
NATURAL = 10.0
"""Film of a small body in still air at a difference of 10 K, radiation with it [W/(m^2*K)]."""
DRY = 12.0
"""Film of a dry plate in air, radiation with it [W/(m^2*K)]."""
NO_WAY = 1e-9
"""Conductance of a way that is not there [W/K]."""
AIR_HEAT = 1.2 * 1006.0
"""Heat of air by volume [J/(m^3*K)]."""
Number = Array | float
Index = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingNetwork:
    """Ready for ``steady`` and ``transient``: links b, nodes N as in ``NODES``.

    ``node``, ``neighbour`` (b,) and ``fixed`` (2,) are numbers of nodes [-]; ``conductance`` (..., b)
    [W/K]; ``exponent`` (b,) [-]; ``heat_capacity`` (..., N) [J/K].
    """

    node: Index
    neighbour: Index
    conductance: Array
    exponent: Array
    heat_capacity: Array
    fixed: Index


@model(source="resistances in series and side by side between controller, sink, box, plate, air and water")
def cooling_network(
    *,
    box_area: Number,
    wall_thickness: Number,
    wall_conductivity: Number,
    box_volume: Number,
    wall_mass: Number,
    controller_area: Number,
    controller_mass: Number,
    pack_area: Number,
    pack_mass: Number,
    inner_film: Number = 8.0,
    outer_film: Number = 10.0,
    sink_area: Number = 0.0,
    sink_mass: Number = 0.0,
    sink_conductance: Number = 0.0,
    plate_area: Number = 0.0,
    plate_mass: Number = 0.0,
    plate_conductance: Number = 0.0,
    plate_film: Number = 3000.0,
    wet_share: Number = 1.0,
) -> CoolingNetwork:
    """Return the thermal network of a controller with its surroundings.

    Parameters
    ----------
    box_area : float or (n,) array
        Of the walls of the box that meet air [m^2].
    wall_thickness : float or (n,) array
        Of the walls [m].
    wall_conductivity : float or (n,) array
        Of the walls [W/(m*K)].
    box_volume : float or (n,) array
        Air in the box [m^3].
    wall_mass : float or (n,) array
        Of the walls [kg].
    controller_area : float or (n,) array
        Of the controller's own skin that meets the air of the box [m^2].
    controller_mass : float or (n,) array
        Of the controller [kg].
    pack_area : float or (n,) array
        Of the pack that meets the air of the box; 0 where it sits elsewhere [m^2].
    pack_mass : float or (n,) array
        Of the cells [kg].
    inner_film, outer_film : float or (n,) arrays
        Inside and outside the walls [W/(m^2*K)].
    sink_area : float or (n,) array
        Plain area that gives off as much as the fins of the sink in the box; 0 for none [m^2].
    sink_mass : float or (n,) array
        Of the sink [kg].
    sink_conductance : float or (n,) array
        From controller to sink [W/K].
    plate_area : float or (n,) array
        Of a plate that meets water: under the box, or the skin of mast or pod; 0 for none [m^2].
    plate_mass : float or (n,) array
        Of the plate [kg].
    plate_conductance : float or (n,) array
        From controller to plate, through pad or potting [W/K].
    plate_film : float or (n,) array
        Of the water on the plate [W/(m^2*K)].
    wet_share : float or (n,) array
        Share of the plate in water; the rest is in air: 0 on the beach [-].

    Returns
    -------
    CoolingNetwork
        Nodes and links [-], conductances [W/K], heat capacities [J/K].
    """
    wall = conduction(thickness=wall_thickness, conductivity=wall_conductivity, area=box_area)
    within = 1.0 / (1.0 / (np.asarray(inner_film) * np.asarray(box_area)) + np.asarray(wall))
    wet = np.asarray(wet_share, dtype=np.float64)
    plate = np.asarray(plate_area, dtype=np.float64)
    ways = (
        sink_conductance, NATURAL * np.asarray(controller_area), NATURAL * np.asarray(sink_area), within,
        np.asarray(outer_film) * np.asarray(box_area), plate_conductance,
        np.asarray(plate_film) * plate * wet, DRY * plate * (1.0 - wet),
        np.asarray(inner_film) * np.asarray(pack_area),
    )  # fmt: skip
    stores = (
        700.0 * np.asarray(controller_mass), 900.0 * np.asarray(sink_mass), AIR_HEAT * np.asarray(box_volume),
        1200.0 * np.asarray(wall_mass), 900.0 * np.asarray(plate_mass), 1000.0 * np.asarray(pack_mass), 0.0, 0.0,
    )  # fmt: skip
    number = {name: k for k, name in enumerate(NODES)}
    lines = np.broadcast_arrays(*(np.maximum(np.asarray(way, dtype=np.float64), NO_WAY) for way in ways))
    return CoolingNetwork(
        node=np.array([number[one] for one, _, _ in LINKS]),
        neighbour=np.array([number[other] for _, other, _ in LINKS]),
        conductance=np.stack(lines, axis=-1),
        exponent=np.array([growth for *_, growth in LINKS]),
        heat_capacity=np.stack(np.broadcast_arrays(*(np.asarray(one, dtype=np.float64) for one in stores)), axis=-1),
        fixed=np.array([number["air"], number["water"]]),
    )
