"""How long reading a day on the water takes: an hour of track at 10 Hz with all explanations, and corrections alone."""

from __future__ import annotations

import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

import clock
from foilwright.build import load
from foilwright.core.model import Array
from foilwright.study import learn
from foilwright.study.learn import demo, truth
from foilwright.study.learn.causes import AS_DESIGNED, causes
from foilwright.study.learn.diagnose import plain
from foilwright.study.learn.infer import laplace
from foilwright.study.learn.model import slopes
from foilwright.study.learn.seen import covariance

FIRST = load.scenario("first-try")
HOURLY = 11
"""How often the shipped programme fits into an hour."""


def _hour(folder: Path) -> list[Path]:
    """Write a track and a log of one hour at 10 Hz."""
    made = truth.ride(FIRST, truth.draw(FIRST, 4, AS_DESIGNED), {"rider.posture": "kneeling"})
    chance = np.random.default_rng(4)
    found = truth.fixes(made, chance, every=0.1, begin=1.779e9)
    length = made.time[-1] + 0.1
    points = []
    for k in range(HOURLY):
        for at, latitude, longitude in zip(found.time + k * length, found.latitude, found.longitude, strict=True):
            stamp = datetime.fromtimestamp(at, UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
            points.append(f'<trkpt lat="{latitude:.7f}" lon="{longitude:.7f}"><time>{stamp}</time></trkpt>')
    head = '<gpx version="1.1" creator="made up" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>'
    (folder / "day-1.gpx").write_text(f"{head}{''.join(points)}</trkseg></trk></gpx>", encoding="utf-8")
    text = next(path for path in demo.files() if path.name == "day-1.toml").read_text(encoding="utf-8")
    (folder / "day-1.toml").write_text(text, encoding="utf-8")
    return [folder / "day-1.gpx", folder / "day-1.toml"]


def hour() -> clock.Timing:
    """Time reading an hour at 10 Hz and ranking every explanation, with the next reading."""
    with tempfile.TemporaryDirectory() as folder:
        paths = _hour(Path(folder))
        start = time.perf_counter()
        learn.diagnose(FIRST, learn.read(FIRST, paths).trial)
        return clock.Timing(name="learn, an hour at 10 Hz", seconds=time.perf_counter() - start, most_seconds=10.0)


def corrections() -> clock.Timing:
    """Time the corrections alone: the design as it stands, three passes through the models."""
    days = demo.files()[0].parent
    trial = learn.read(FIRST, [days / name for name in ("day-1.gpx", "day-1.csv", "day-1.toml")]).trial
    base = plain(FIRST)
    only = causes(base)[:1]
    some = tuple(each for each in trial.readings if each.kind not in ("lifted", "seen"))
    given = {"observed": np.array([each.value for each in some]), "covariance": covariance(some)}

    def solve() -> None:
        centre: Array | None = None
        for _ in range(3):
            made = slopes(base, only, trial.scenes, some, centre=centre)
            p = made.slope.shape[2]
            found = laplace(
                values=made.values[:, 0], slope=made.slope, centre=made.centre, limit=np.zeros((1, 0)),
                limit_slope=np.zeros((1, 0, p)), side=np.zeros(0), limit_error=np.zeros(0), **given,
            )  # fmt: skip
            centre = found.mode

    return clock.Timing(name="learn, corrections alone", seconds=clock.call(solve, repeats=3), most_seconds=2.0)


BENCHMARKS = (corrections, hour)
