"""Write the two days of first-try on the water: made up, with the fault that half of its pack is not connected.

.venv/bin/python scripts/learn_demo.py
"""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np

from foilwright.build import load
from foilwright.build.build import Build
from foilwright.core.data import folder
from foilwright.study.learn import truth as made_up
from foilwright.study.learn.causes import causes, columns
from foilwright.study.learn.predict import at_rest

BEGIN = datetime(2026, 5, 17, 9, 12, tzinfo=UTC).timestamp()
LATE_CLOCK = 37.0
"""By how much the logger's clock was off [s]."""
PLACE = folder() / "trials" / "first-try"
HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<gpx version="1.1" creator="made up" xmlns="http://www.topografix.com/GPX/1/1">\n'
)
SHEET = """# The first day of first-try on the water. Made up: half of the pack was not connected, and nobody knew.
format = 1

[session]
date = "2026-05-17"
place = "reservoir, west bay"
rider_mass = "91 kg"  # with kit, wet
craft_mass = "{craft:.1f} kg"

[water]
temperature = "12 degC"
depth = "4 m"
chop = "5 cm"
wind = "2 m/s"

[pack]
temperature_before = "12 degC"

[[run]]
posture = "kneeling"
throttle = "100 %"
speed = "{speed:.0f} km/h"
voltage = "{volts:.1f} V"
current = "{amps:.0f} A"
lifted = false

[[note]]
text = "pushes hard at first, then nothing more comes; hums"
"""
SECOND = """# The second day: the same craft; what the first day's answer asked for was read.
format = 1

[session]
date = "2026-05-24"
place = "reservoir, west bay"

{reading}
"""
COLUMNS = """# What the columns of the logger are; written once, and good for every log of it.
format = 1

[columns]
time = { column = "clock", unit = "time of day" }
volts = { column = "Ubatt", unit = "V" }
amps = { column = "Ibatt", unit = "A" }
throttle = { column = "trigger", unit = "%" }
"""


def gpx(fixes: made_up.tracks.Fixes) -> str:
    """Return a track with a fix that jumps, one that is there twice, and a gap."""
    lines = [HEAD, "<trk><name>day 1</name><trkseg>\n"]
    for k, (time, latitude, longitude) in enumerate(zip(fixes.time, fixes.latitude, fixes.longitude, strict=True)):
        if 128 <= k <= 135:
            continue
        shift = 0.004 if k == 60 else 0.0
        stamp = datetime.fromtimestamp(time, UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        point = f'<trkpt lat="{latitude + shift:.7f}" lon="{longitude:.7f}"><time>{stamp}</time></trkpt>\n'
        lines += [point, point] if k == 90 else [point]
    return "".join([*lines, "</trkseg></trk></gpx>\n"])


def log(columns: dict[str, np.ndarray]) -> str:
    """Return a log with a row that does not read."""
    rows = ["clock;Ubatt;Ibatt;trigger"]
    for k, time in enumerate(columns["time"]):
        at = datetime.fromtimestamp(BEGIN + time + LATE_CLOCK, UTC)
        stamp = at.isoformat(timespec="milliseconds").replace("+00:00", "Z")
        volts, amps, throttle = (columns[name][k] for name in ("volts", "amps", "throttle"))
        read = f"{stamp};{volts:.2f};{max(amps, 0.0):.1f};{100.0 * throttle:.0f}"
        rows.append(f"{stamp};--;--;--" if k == 400 else read)
    return "\n".join(rows) + "\n"


def _returned(build: Build, truth: made_up.Truth) -> str:
    """Return what the charger put back into the part of the pack that was connected."""
    charge, volts = at_rest(build)
    before, after = (float(np.interp(each, charge, volts)) for each in (BEFORE, AFTER))
    fault = next(each for each in causes(build) if each.id == truth.cause)
    parallel = float(columns(build, fault, np.full(1, truth.size))["pack.parallel"][0])
    capacity = parallel * float(build.values["cell.capacity"]) / 3600.0
    return READING.format(before=before, after=after, returned=1.01 * (BEFORE - AFTER) * capacity)


def main() -> None:
    """Write every file of the demo."""
    build = load.scenario("first-try")
    truth = made_up.Truth(
        cause="pack_part", size=0.72, seed=11,
        corrections={"board_drag": 0.3, "wing_lift": -0.3, "wing_drag": 0.2, "propeller_efficiency": -0.2,
                     "pack_resistance": 0.2, "charge": 0.0},
    )  # fmt: skip
    scene: dict[str, float | str] = {"rider.posture": "kneeling"}
    ridden = made_up.ride(build, truth, scene)
    chance = np.random.default_rng(11)
    PLACE.mkdir(parents=True, exist_ok=True)
    (PLACE / "day-1.gpx").write_text(gpx(made_up.fixes(ridden, chance, begin=BEGIN)), encoding="utf-8")
    columns = made_up.log_columns(ridden, chance)
    (PLACE / "day-1.csv").write_text(log(columns), encoding="utf-8")
    (PLACE / "day-1.columns.toml").write_text(COLUMNS, encoding="utf-8")
    full = (ridden.throttle > 0.98) & (ridden.time > ridden.time[-1] - 45.0)
    speed, volts, amps = (float(np.median(each[full])) for each in (ridden.speed, ridden.volts, ridden.amps))
    sheet = SHEET.format(craft=CRAFT, speed=3.6 * speed, volts=volts, amps=amps)
    (PLACE / "day-1.toml").write_text(sheet, encoding="utf-8")
    (PLACE / "day-2.toml").write_text(SECOND.format(reading=_returned(build, truth)), encoding="utf-8")
    print(f"{PLACE.name}: {3.6 * speed:.1f} km/h, {volts:.1f} V, {amps:.0f} A; pull at rest {ridden.pull:.0f} N")


CRAFT = 26.4
BEFORE, AFTER = 0.9, 0.42
"""Charge at the rests of the second day."""
READING = """[pack]
temperature_before = "13 degC"
rest_before = "{before:.1f} V"
rest_after = "{after:.1f} V"
charge_returned = "{returned:.2f} Ah\""""

if __name__ == "__main__":
    main()
