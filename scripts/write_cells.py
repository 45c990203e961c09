"""Write the cell tables in data/cells from open physical parameter sets.

Needs pybamm (BSD-3) in an environment of its own; the package does not. Each set is run as an
isothermal Doyle-Fuller-Newman model. Run: ``python scripts/write_cells.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pybamm

FOLDER = Path(__file__).resolve().parents[1] / "src" / "foilwright" / "data" / "cells"
ROOM = 298.15
CHARGE = np.linspace(0.0, 1.0, 101)
PULSES = np.array([0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95])
COLD = (263.15, 273.15, 283.15, 298.15)


@dataclass(frozen=True)
class Cell:
    """A parameter set: file, name in the library, capacity of the cell [A h], rate of the sustained run."""

    file: str
    name: str
    nominal: float
    paper: str
    rate: float = 1.0
    rates: tuple[float, ...] = (0.5, 2.0, 3.0)


CELLS = (
    Cell(
        "chen2020",
        "Chen2020",
        5.0,
        "Chen et al., J. Electrochem. Soc. 167 (2020) 080534: NMC811 / graphite 21700 energy cell, 5 A h",
    ),
    Cell(
        "mohtat2020",
        "Mohtat2020",
        5.0,
        "Mohtat et al., J. Electrochem. Soc. 167 (2020) 110561: NMC532 / graphite pouch cell, 5 A h",
    ),
    Cell(
        "ai2020",
        "Ai2020",
        2.28,
        "Ai et al., J. Electrochem. Soc. 167 (2020) 013512: LCO / graphite pouch cell, 2.28 A h",
    ),
    Cell(
        "ecker2015",
        "Ecker2015",
        7.5,
        "Ecker et al., J. Electrochem. Soc. 162 (2015) A1836: NMC / graphite pouch cell, 7.5 A h",
    ),
    Cell(
        "kim2011",
        "NCA_Kim2011",
        5.0,
        "Kim et al., J. Electrochem. Soc. 158 (2011) A955: NCA / graphite pouch cell, scaled to 5 A h",
    ),
    Cell(
        "prada2013",
        "Prada2013",
        2.3,
        "Prada et al., J. Electrochem. Soc. 160 (2013) A616: LFP / graphite 26650 cell, 2.3 A h",
        0.5,
        (1.0, 2.0),
    ),
)


def parameters(cell: Cell, temperature: float = ROOM) -> pybamm.ParameterValues:
    """Return the set at a uniform temperature [K]."""
    values = pybamm.ParameterValues(cell.name)
    values["Ambient temperature [K]"] = temperature
    values["Initial temperature [K]"] = temperature
    return values


def equilibrium(cell: Cell) -> tuple[np.ndarray, float]:
    """Return the open-circuit voltage over ``CHARGE`` and the capacity between the cut-offs [A h]."""
    values, names = parameters(cell), pybamm.LithiumIonParameters()
    solver = pybamm.lithium_ion.ElectrodeSOHSolver(values, names)
    x0, x1, y1, y0 = solver.get_min_max_stoichiometries()

    def potential(electrode: object, share: float) -> float:
        symbol = electrode.prim.U(pybamm.Scalar(share), pybamm.Scalar(ROOM))
        return float(np.asarray(values.evaluate(symbol)).item())

    voltage = [potential(names.p, y0 + (y1 - y0) * s) - potential(names.n, x0 + (x1 - x0) * s) for s in CHARGE]
    return np.array(voltage), (x1 - x0) * float(values.evaluate(names.n.Q_init))


def discharge(
    cell: Cell, *, rate: float, charge: float, seconds: float, temperature: float = ROOM, points: int = 400
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Return time [s], voltage and bulk open voltage [V], charge delivered [A h] at a constant rate [1/h]."""
    values = parameters(cell, temperature)
    values["Current function [A]"] = rate * values["Nominal cell capacity [A.h]"]
    model = pybamm.lithium_ion.DFN({"thermal": "isothermal"})
    run = pybamm.Simulation(model, parameter_values=values)
    found = run.solve(np.linspace(0.0, seconds, points), initial_soc=charge)
    names = ("Time [s]", "Voltage [V]", "Battery open-circuit voltage [V]", "Discharge capacity [A.h]")
    return tuple(found[name].entries for name in names)


def pulse(cell: Cell, charge: float, temperature: float = ROOM) -> tuple[float, float]:
    """Return the resistance 0 s and 10 s after a 1C step from rest, drift of the open voltage removed."""
    _, v, rest, _ = discharge(cell, rate=1.0, charge=charge, seconds=10.0, temperature=temperature, points=11)
    ohm = (rest - v) / parameters(cell)["Nominal cell capacity [A.h]"]
    return float(ohm[0]), float(ohm[-1])


def write(name: str, head: list[str], columns: str, rows: list[str]) -> None:
    """Write one table."""
    text = "".join(f"# {line}\n" for line in head) + columns + "\n" + "".join(f"{row}\n" for row in rows)
    (FOLDER / f"{name}.csv").write_text(text, encoding="utf-8", newline="\n")


def sustained_resistance(cell: Cell, voltage: np.ndarray, capacity: float, one: float) -> tuple[np.ndarray, float]:
    """Return the resistance over ``CHARGE`` during a whole discharge, and where it begins to be held."""
    _, v, _, q = discharge(cell, rate=cell.rate, charge=1.0, seconds=4800.0 / cell.rate)
    charge = 1.0 - q / capacity
    ohm = (np.interp(charge, CHARGE, voltage) - v) / (cell.rate * one)
    low = max(0.05, float(np.ceil(100.0 * charge[-1] + 2.0)) / 100.0)
    return np.interp(-np.clip(CHARGE, low, 0.95), -charge, ohm), low


def at_other_rates(cell: Cell, voltage: np.ndarray, sustained: np.ndarray, capacity: float, curves: list[str]) -> str:
    """Score the resistance at other rates; add those discharges to ``curves``."""
    scores = []
    one = parameters(cell)["Nominal cell capacity [A.h]"]
    for rate in cell.rates:
        t, v, _, q = discharge(cell, rate=rate, charge=1.0, seconds=4800.0 / rate)
        s = 1.0 - q / capacity
        miss = np.interp(s, CHARGE, voltage) - rate * one * np.interp(s, CHARGE, sustained) - v
        kept = 1e3 * miss[(s > 0.15) & (t > 30.0)]
        scores.append(f"{rate:g}C {np.sqrt(np.mean(kept**2)):.0f}/{np.abs(kept).max():.0f}")
        places = np.interp(np.linspace(0.0, q[-1], 16), q, np.arange(q.size))
        for k in np.unique(np.round(places).astype(int)):
            row = (rate, rate * cell.nominal, t[k], s[k], v[k])
            curves.append(f"{cell.file}," + ",".join(f"{x:.6g}" for x in row))
    return ", ".join(scores)


def cell_table(cell: Cell, curves: list[str]) -> None:
    """Write the table of one set, and add its discharges at other rates to ``curves``."""
    voltage, capacity = equilibrium(cell)
    one = parameters(cell)["Nominal cell capacity [A.h]"]
    scale = one / cell.nominal
    if not np.all(np.diff(voltage) > 0.0):
        raise SystemExit(f"{cell.name}: the open-circuit voltage is not monotone")
    sustained, lowest = sustained_resistance(cell, voltage, capacity, one)
    instant, burst = (np.interp(CHARGE, PULSES, x) for x in zip(*(pulse(cell, s) for s in PULSES), strict=True))
    scores = at_other_rates(cell, voltage, sustained, capacity, curves)
    ratio = pulse(cell, 0.5, 273.15)[1] / pulse(cell, 0.5)[1]
    energy = 8.314462618e-3 * np.log(ratio) / (1.0 / 273.15 - 1.0 / ROOM)
    head = [
        f"{cell.paper}.",
        "Equilibrium and isothermal 25 C discharges of that open set, Doyle-Fuller-Newman model,",
        f"pybamm {pybamm.__version__} (BSD-3); written by scripts/write_cells.py. No tabs, welds, leads.",
        f"Capacity between the cut-offs that define charge 0 and 1: {capacity / scale:.4f} A h.",
        f"sustained = (open voltage - voltage)/current of a whole {cell.rate:g}C discharge, held outside",
        f"charge {lowest:.2f}..0.95; burst and instant = 10 s and 0 s after a 1C step from rest, drift of",
        "the open voltage removed, held outside 0.05..0.95.",
        "Error of open voltage - current*sustained at other rates, charge > 0.15, time > 30 s,",
        f"RMS/largest [mV]: {scores}.",
        f"Activation energy of the 10 s resistance, 0 to 25 C, charge 0.5: {energy:.1f} kJ/mol.",
        "Units: charge [1], open_voltage [V], resistances [ohm]. Linear interpolation.",
    ]
    parts = (voltage, sustained * scale, burst * scale, instant * scale)
    rows = [",".join(f"{x:.6g}" for x in row) for row in zip(CHARGE, *parts, strict=True)]
    write(cell.file, head, "charge,open_voltage,sustained,burst,instant", rows)


def cold_table() -> None:
    """Write the share of the 25 C charge that cold cells deliver at 1C."""
    rows = {}
    sets = [cell for cell in CELLS if cell.file not in ("chen2020", "prada2013")]
    sets.append(Cell("oregan2022", "ORegan2022", 5.0, ""))
    for cell in sets:
        got = [discharge(cell, rate=1.0, charge=1.0, seconds=4800.0, temperature=t)[3][-1] for t in COLD]
        rows[cell.file] = np.array(got) / got[-1]
    table = np.array(list(rows.values()))
    head = [
        "Charge delivered to the cut-off at 1C by a cell held at a temperature, over the same at 25 C.",
        f"Isothermal Doyle-Fuller-Newman runs, pybamm {pybamm.__version__} (BSD-3), of the sets",
        f"{', '.join(rows)} (the last: O'Regan et al., Electrochim. Acta 425",
        "(2022) 140700; the others as in their files); written by scripts/write_cells.py.",
        "share = mean of the sets, low and high their extremes. Self-heating in use recovers part of it,",
        "lower rates lose less (0.96 at C/5 and 0 C for the worst set). Above 25 C taken as 1.",
        "Units: temperature [K], shares [1]. Linear interpolation.",
    ]
    lines = [
        f"{t:.2f},{table[:, k].mean():.3f},{table[:, k].min():.3f},{table[:, k].max():.3f}" for k, t in enumerate(COLD)
    ]
    write("cold", head, "temperature,share,low,high", [*lines, "333.15,1.000,1.000,1.000"])


def main() -> None:
    """Write every table."""
    pybamm.set_logging_level("ERROR")
    FOLDER.mkdir(parents=True, exist_ok=True)
    curves: list[str] = []
    for cell in CELLS:
        cell_table(cell, curves)
    head = [
        "Constant-current discharges from full at 25 C (isothermal) of the parameter sets in this folder, at",
        "rates other than the one their resistance was read from: what the resistance model is scored on.",
        f"Doyle-Fuller-Newman model, pybamm {pybamm.__version__} (BSD-3); written by scripts/write_cells.py.",
        "Units: rate [1/h], current [A], time [s], charge [1], voltage [V].",
    ]
    write("discharges", head, "set,rate,current,time,charge,voltage", curves)
    cold_table()


if __name__ == "__main__":
    main()
