"""Write the packaged table of fresh, brackish and sea water: ``src/foilwright/data/water.csv``.

Needs ``gsw`` (sea water, TEOS-10) and ``iapws`` (ordinary water); neither is needed to use the table.
"""

from __future__ import annotations

from pathlib import Path

import gsw
import numpy as np
from iapws import IAPWS95
from iapws.iapws97 import _PSat_T

TEMPERATURES = np.arange(0.0, 35.5, 1.0)
SALINITIES = np.array([0.0, 2.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0])
OUT = Path(__file__).parents[1] / "src" / "foilwright" / "data" / "water.csv"
HEAD = """\
# Water at 0.101325 MPa
# temperature [K], salinity [g/kg], density [kg/m^3], kinematic viscosity [m^2/s], vapour pressure [Pa]
# Density: TEOS-10 (IOC, SCOR and IAPSO 2010), exact Gibbs function at sea pressure 0, computed by gsw;
#   at salinity 0 it is that of IAPWS-95
# Viscosity: IAPWS R12-08 for fresh water, times the salinity ratio of Sharqawy, Lienhard and Zubair 2010
#   (Desalination and Water Treatment 16, 354-380, equation 22, stated accuracy 1.5 %)
# Vapour pressure: IAPWS-IF97 equation 30 for fresh water; salt by Raoult's law as in Sharqawy, Lienhard and
#   Zubair 2010 (the factor 0.57358 from memory)
# Read linearly in both directions between the nodes; largest relative error found half-way between nodes:
#   density {density:.1e}, viscosity {viscosity:.1e}, vapour pressure {vapour:.1e}
# Written by scripts/water_table.py
temperature,salinity,density,kinematic_viscosity,vapour_pressure
"""


def water(celsius: float, salinity: float) -> tuple[float, float, float]:
    """Return density [kg/m^3], kinematic viscosity [m^2/s] and vapour pressure [Pa]."""
    share = salinity / 1000.0
    first = 1.541 + 1.998e-2 * celsius - 9.52e-5 * celsius**2
    second = 7.974 - 7.561e-2 * celsius + 4.724e-4 * celsius**2
    viscosity = IAPWS95(T=celsius + 273.15, P=0.101325).mu * (1.0 + first * share + second * share**2)
    density = float(gsw.rho_t_exact(salinity, celsius, 0.0))
    vapour = 1e6 * _PSat_T(celsius + 273.15) / (1.0 + 0.57358 * salinity / (1000.0 - salinity))
    return density, viscosity / density, vapour


def main() -> None:
    """Compute the nodes, measure the interpolation error half-way, write the file."""
    nodes = np.array([[water(t, s) for s in SALINITIES] for t in TEMPERATURES])
    worst = np.zeros(3)
    for i in range(0, TEMPERATURES.size - 1, 3):
        for j in range(SALINITIES.size - 1):
            read = nodes[i : i + 2, j : j + 2].mean(axis=(0, 1))
            true = np.array(water(TEMPERATURES[i : i + 2].mean(), SALINITIES[j : j + 2].mean()))
            worst = np.maximum(worst, np.abs(read / true - 1.0))
    lines = [
        f"{t + 273.15:.2f},{s:g},{rho:.4f},{nu:.5e},{vapour:.2f}"
        for t, row in zip(TEMPERATURES, nodes, strict=True)
        for s, (rho, nu, vapour) in zip(SALINITIES, row, strict=True)
    ]
    head = HEAD.format(density=worst[0], viscosity=worst[1], vapour=worst[2])
    OUT.write_text(head + "\n".join(lines) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
