"""The cell model against the open battery-modelling library, run live (long; skips where that is not installed)."""

from __future__ import annotations

import numpy as np
import pytest

from foilwright.physics import pack

RUNS = [
    ("Chen2020", "nmc energy cylindrical", 0.5, 0.024),
    ("Chen2020", "nmc energy cylindrical", 2.0, 0.064),
    ("Mohtat2020", "nmc power pouch", 3.0, 0.058),
    ("Ai2020", "lco pouch", 2.0, 0.048),
]
"""Set, kind of cell, rate [1/h], allowed root of the mean square error [V]: twice that of a resistance read at 1C."""
ROOM = 298.15
LEAST_CHARGE, SETTLED = 0.15, 30.0
"""Charge below which, and time before which, one resistance is not meant to hold [-], [s]."""


@pytest.mark.long
@pytest.mark.filterwarnings("default")  # the library's own warnings are not ours
@pytest.mark.parametrize(("name", "kind", "rate", "allowed"), RUNS)
def test_a_discharge_follows_the_full_cell_model(name: str, kind: str, rate: float, allowed: float) -> None:
    pybamm = pytest.importorskip(
        "pybamm",
        reason="the open battery-modelling library pybamm is not installed: pip install pybamm, then make long",
    )
    values = pybamm.ParameterValues(name)
    current = rate * float(values["Nominal cell capacity [A.h]"])
    values.update({"Ambient temperature [K]": ROOM, "Initial temperature [K]": ROOM, "Current function [A]": current})
    run = pybamm.Simulation(pybamm.lithium_ion.DFN({"thermal": "isothermal"}), parameter_values=values)
    found = run.solve(np.linspace(0.0, 3600.0 / rate, 60), initial_soc=1.0)
    time, voltage = (found[what].entries for what in ("Time [s]", "Voltage [V]"))
    asked = time > SETTLED
    ours = pack.discharge(
        cell=kind,
        series=1,
        parallel=1,
        current=current,
        temperature=ROOM,
        duration=time[asked],
        stop_charge=LEAST_CHARGE,
    )
    whole = np.abs(ours.time - time[asked]) < 1e-6 * time[asked]
    assert whole.sum() > 20
    gap = np.asarray(ours.end_voltage - voltage[asked])[whole]
    assert np.sqrt(np.mean(gap**2)) < allowed
