"""Explorations: the same results wherever and however often interrupted they are worked on; fronts; words."""

from __future__ import annotations

import dataclasses
import errno
import functools
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import foilwright as fw
import write_studies
from foilwright import cli
from foilwright.build import load
from foilwright.core.data import folder
from foilwright.core.engine import Cores, Dask
from foilwright.core.errors import FoilwrightError, PlaceError
from foilwright.questions.ask import ask
from foilwright.study import plots
from foilwright.study.explore import Plan, Store, Variable, document, explore, figures, found, picked, planned, text
from foilwright.study.explore.aims import Aim
from foilwright.study.explore.plan import Block
from foilwright.study.explore.run import run
from foilwright.study.explore.search import undominated

pq = pytest.importorskip("pyarrow.parquet", reason="the extra study is not installed")
pytest.importorskip("pymoo", reason="the extra study is not installed")

LAKE = load.scenario("lake")
PLACE = folder() / "scenarios" / "lake.toml"
VARY = (
    "wing.area=1000:1800:cm^2",
    "pack.parallel=4:8",
    "wing.section=naca2412,naca4412",
    "mast.length=60 cm,75 cm,90 cm",
)
AIM = ("minimise cruise_electric_power", "maximise run_time", "within take_off_speed 0:16:km/h")
COUNT = 256
OPTIONS = [part for each in VARY for part in ("--vary", each)] + [part for each in AIM for part in ("--aim", each)]


def quiet(_: Any) -> None:
    """Tell nothing."""


@pytest.fixture(scope="module")
def plan() -> Plan:
    return planned(LAKE, vary=VARY, aim=AIM, where="any", count=COUNT)


@pytest.fixture(scope="module")
def serial(plan: Plan, tmp_path_factory: pytest.TempPathFactory) -> Store:
    store = Store(place=tmp_path_factory.mktemp("serial") / "lake.parquet")
    run(plan, store, Cores(workers=1), quiet)
    return store


def same(one: Store, other: Store) -> None:
    first, second = one.all(), other.all()
    assert list(first) == list(second)
    for name in first:
        np.testing.assert_array_equal(first[name], second[name], err_msg=name)


# engines, kills, interrupts


def test_every_row_is_there_once_and_half_of_them_are_searched(serial: Store, plan: Plan) -> None:
    rows = serial.all(["row", "round"])
    np.testing.assert_array_equal(rows["row"], np.arange(COUNT))
    assert (rows["round"] == 0).sum() == plan.sampled == COUNT // 2
    assert rows["round"].max() >= 2


def test_rows_are_those_of_a_fresh_ask(serial: Store) -> None:
    columns = serial.all()
    for row in (0, 100, 200, 255):
        vary: dict[str, Any] = {name.partition("=")[0]: columns[name.partition("=")[0]][[row]] for name in VARY}
        vary = {path: tuple(map(str, each)) if each.dtype == object else each for path, each in vary.items()}
        fresh = ask(LAKE, vary=vary)
        for name, values in fresh.numbers.items():
            np.testing.assert_allclose(columns[name][row], values[0], rtol=1e-10, err_msg=name)
        assert columns["verdict"][row] == fresh.verdict()
        assert columns["holds_back"][row] == fresh.holds_back().id
        assert columns["fails"][row] == sum(f.applies[0] and f.verdict[0] == 0 for f in fresh.all())


def test_two_processes_give_the_same(serial: Store, plan: Plan, tmp_path: Path) -> None:
    store = Store(place=tmp_path / "two.parquet")
    run(plan, store, Cores(workers=2), quiet)
    same(serial, store)


def test_a_killed_run_goes_on_to_the_same(serial: Store, plan: Plan, tmp_path: Path) -> None:
    store = Store(place=tmp_path / "killed.parquet")
    code = "import sys; from foilwright.cli import main; sys.exit(main())"
    call = [sys.executable, "-c", code, "explore", str(PLACE), *OPTIONS, "--where", "any", "-n", str(COUNT)]
    started = subprocess.Popen([*call, "-o", str(store.place)], start_new_session=True, stdout=subprocess.DEVNULL)
    until = time.monotonic() + 60.0
    while not store.numbers() and time.monotonic() < until:
        time.sleep(0.02)
    os.killpg(started.pid, signal.SIGKILL)
    started.wait()
    there = store.numbers()
    assert there
    run(plan, store, Cores(workers=2), quiet)
    same(serial, store)


def test_a_killed_process_is_replaced(serial: Store, plan: Plan, tmp_path: Path) -> None:
    store = Store(place=tmp_path / "lost.parquet")
    once = tmp_path / "once"
    assert Cores().forks, "a thread of another test is left: a worker would be this process"
    run(plan, store, Cores(workers=2), quiet, functools.partial(_dies_once, str(once)))
    assert once.exists()
    same(serial, store)


def _dies_once(flag: str, plan: Plan, block: Block) -> Any:
    from foilwright.study.explore.plan import answer

    if block.number == 1 and not Path(flag).exists():
        Path(flag).touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return answer(plan, block)


class Stopping:
    """An engine that is interrupted after so many blocks in all."""

    def __init__(self, after: int) -> None:
        self.left = after

    def as_ready(self, work: Callable[[Any], Any], blocks: Any) -> Iterator[tuple[int, Any]]:
        for place, block in enumerate(blocks):
            if not self.left:
                raise KeyboardInterrupt
            self.left -= 1
            yield place, work(block)


def test_an_interrupt_keeps_what_is_done(serial: Store, plan: Plan, tmp_path: Path) -> None:
    store = Store(place=tmp_path / "stopped.parquet")
    for after in (1, 3):
        with pytest.raises(KeyboardInterrupt):
            run(plan, store, Stopping(after), quiet)
    assert len(store.numbers()) == 4
    seen = []
    run(plan, store, Cores(workers=1), seen.append)
    assert seen[-1].done == seen[-1].of == COUNT
    same(serial, store)


def test_a_full_disk_keeps_what_is_done(
    serial: Store, plan: Plan, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = Store(place=tmp_path / "full.parquet")
    write = pq.write_table
    with monkeypatch.context() as patch:

        def full(table: Any, place: Any, **extra: Any) -> None:
            if len(store.numbers()) == 2:
                Path(place).write_bytes(b"half")
                raise OSError(errno.ENOSPC, "No space left on device")
            write(table, place, **extra)

        patch.setattr(pq, "write_table", full)
        with pytest.raises(PlaceError, match=r"No space left on device; the 2 parts before it are kept"):
            run(plan, store, Cores(workers=1), quiet)
    assert not list(store.place.glob("*.new"))
    run(plan, store, Cores(workers=1), quiet)
    same(serial, store)


@pytest.fixture(scope="module")
def cluster() -> Iterator[Any]:
    distributed = pytest.importorskip("distributed", reason="the extra cluster is not installed")
    import dask

    with (
        dask.config.set({"distributed.scheduler.worker-ttl": None}),
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as made,
    ):
        yield made


def test_a_cluster_gives_the_same(cluster: Any, serial: Store, plan: Plan, tmp_path: Path) -> None:
    store = Store(place=tmp_path / "cluster.parquet")
    run(plan, store, Dask(address=cluster.scheduler_address), quiet)
    same(serial, store)


def test_a_cluster_whose_workers_are_killed_gives_the_same(
    cluster: Any, serial: Store, plan: Plan, tmp_path: Path
) -> None:
    store = Store(place=tmp_path / "killed workers.parquet")
    killed = []

    def kill(so_far: Any) -> None:
        if so_far.done >= 64 * (1 + len(killed)) and len(killed) < 2:
            alive = [pid for name in sorted(cluster.workers) if (pid := cluster.workers[name].pid) is not None]
            if alive:  # a worker that was killed has no process until it is started anew
                os.kill(alive[0], signal.SIGKILL)
                killed.append(alive[0])

    run(plan, store, Dask(address=cluster.scheduler_address), kill)
    assert len(killed) == 2
    same(serial, store)


def test_no_cluster_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("foilwright.core.engine.PATIENCE", 0.5)
    pytest.importorskip("distributed", reason="the extra cluster is not installed")
    with pytest.raises(PlaceError, match=r"no cluster answers at tcp://127\.0\.0\.1:9"):
        next(Dask(address="tcp://127.0.0.1:9").as_ready(len, ["a", "b"]))


# the search


def zdt1(plan: Plan, block: Block) -> Any:
    """Zitzler, Deb and Thiele 2000: front f2 = 1 - sqrt(f1)."""
    x = _shares(plan, block)
    g = 1.0 + 9.0 * x[:, 1:].mean(axis=1)
    return _problem(plan, block, x, [x[:, 0], g * (1.0 - np.sqrt(x[:, 0] / g))])


def dtlz2(plan: Plan, block: Block) -> Any:
    """Deb, Thiele, Laumanns and Zitzler 2005: front f1^2 + f2^2 + f3^2 = 1."""
    x = _shares(plan, block)
    far = 1.0 + ((x[:, 2:] - 0.5) ** 2).sum(axis=1)
    a, b = 0.5 * np.pi * x[:, 0], 0.5 * np.pi * x[:, 1]
    return _problem(plan, block, x, [far * np.cos(a) * np.cos(b), far * np.cos(a) * np.sin(b), far * np.sin(a)])


def _shares(plan: Plan, block: Block) -> np.ndarray:
    from foilwright.study.even import even_points

    return even_points(block.count, len(plan.variables), start=block.start) if block.shares is None else block.shares


def _problem(plan: Plan, block: Block, x: np.ndarray, values: list[np.ndarray]) -> dict[str, np.ndarray]:
    columns = {each.path: x[:, k] for k, each in enumerate(plan.variables)}
    columns |= {f"f{k + 1}": each for k, each in enumerate(values)}
    return {"row": block.start + np.arange(block.count), "lacks": np.zeros(block.count), **columns}


def problem(inputs: int, goals: int, count: int) -> Plan:
    return Plan(
        build=LAKE, variables=tuple(Variable(path=f"x{k}", unit="1") for k in range(inputs)),
        aims=tuple(Aim(kind="minimise", column=f"f{k + 1}", unit="1") for k in range(goals)), where="any", count=count,
    )  # fmt: skip


def test_the_front_of_zdt1_is_found(tmp_path: Path) -> None:
    plan, store = problem(8, 2, 8000), Store(place=tmp_path / "zdt1.parquet")
    run(plan, store, Cores(workers=1), quiet, zdt1)
    best = found(plan, store).best
    off = best["f2"] - (1.0 - np.sqrt(best["f1"]))
    assert len(off) > 100
    assert off.min() >= -1e-12
    assert np.median(off) < 0.02
    assert np.ptp(best["f1"]) > 0.95
    assert np.diff(np.sort(best["f1"])).max() < 0.05


def test_the_front_of_dtlz2_is_found(tmp_path: Path) -> None:
    plan, store = problem(7, 3, 8000), Store(place=tmp_path / "dtlz2.parquet")
    run(plan, store, Cores(workers=1), quiet, dtlz2)
    best = found(plan, store).best
    off = np.sqrt(best["f1"] ** 2 + best["f2"] ** 2 + best["f3"] ** 2) - 1.0
    assert off.min() >= -1e-12
    assert np.median(off) < 0.06
    assert all(np.ptp(best[f"f{k}"]) > 0.9 for k in (1, 2, 3))


def test_search_is_better_than_as_many_samples(tmp_path: Path) -> None:
    plan = problem(8, 2, 2000)
    searched, sampled = (Store(place=tmp_path / f"{name}.parquet") for name in ("searched", "sampled"))
    run(plan, searched, Cores(workers=1), quiet, zdt1)
    even = dataclasses.replace(plan, count=2000, aims=())
    run(even, sampled, Cores(workers=1), quiet, zdt1)
    least = [
        np.median(found(plan, each).best["f2"] + np.sqrt(found(plan, each).best["f1"])) for each in (searched, sampled)
    ]
    assert least[0] < 0.5 * (least[1] - 1.0) + 1.0


def test_undominated() -> None:
    goals = np.array([[1.0, 2.0], [2.0, 1.0], [2.0, 2.0], [1.0, 2.0], [3.0, 0.0]])
    assert undominated(goals).tolist() == [True, True, False, True, True]
    assert undominated(np.zeros((0, 2))).tolist() == []


def test_what_is_wanted_is_found(serial: Store, plan: Plan) -> None:
    best = found(plan, serial).best
    assert (best["lacks"] == 0.0).all()
    assert (best["take_off_speed"] <= 16.0 / 3.6).all()
    every = serial.all()
    good = every["lacks"] == 0.0
    for power, time_ in zip(best["cruise_electric_power"], best["run_time"], strict=True):
        better = (every["cruise_electric_power"] < power) & (every["run_time"] > time_) & good
        assert not better.any()


@pytest.mark.parametrize("where", ["sound", "not-failing"])
def test_only_designs_of_the_wanted_verdict_count(where: str, tmp_path: Path) -> None:
    plan = planned(LAKE, vary=["wing.area=500:1800:cm^2", "rider.mass=60:140:kg"], aim=[], where=where, count=128)
    store = Store(place=tmp_path / "a.parquet")
    run(plan, store, Cores(workers=1), quiet)
    columns = store.all()
    if where == "sound":
        np.testing.assert_array_equal(columns["lacks"] == 0.0, columns["verdict"] == "sound")
    assert (columns["fails"][columns["lacks"] == 0.0] == 0).all()
    assert (columns["lacks"][columns["fails"] > 0] > 0.0).all()


# variables, plans, rows


@pytest.mark.parametrize("written", VARY)
def test_a_variable_comes_back_from_its_values(written: str) -> None:
    (variable,) = planned(LAKE, vary=[written], aim=[], where="any", count=8).variables
    share = np.linspace(0.0, 1.0, 101)[:-1]
    values = variable.at(share)
    again = variable.at(variable.share(list(values)))
    assert list(again) == pytest.approx(list(values)) if not variable.names else list(again) == list(values)


def test_units_counts_and_choices() -> None:
    area, count, section, mast = planned(LAKE, vary=VARY, aim=[], where="any", count=8).variables
    share = np.array([0.0, 0.5, 0.999999])
    np.testing.assert_allclose(area.at(share), [0.1, 0.14, 0.18], rtol=1e-5)
    assert list(count.at(np.linspace(0.0, 0.9999, 500)).astype(int)) == sorted([4, 5, 6, 7, 8] * 100)
    assert section.at(share) == ("naca2412", "naca4412", "naca4412")
    assert list(mast.at(share)) == [0.6, 0.75, 0.9]


@pytest.mark.parametrize(
    ("vary", "aim", "where", "count", "told"),
    [
        (["wing.aera=1:2:m^2"], [], "any", 10, r"did you mean wing\.area"),
        (["wing.area=1800:1000:cm^2"], [], "any", 10, "a low end that is less"),
        (["wing.area=1000:1800"], [], "any", 10, "without a unit"),
        (["wing.area=1:1800:kg"], [], "any", 10, "kg"),
        (["wing.area"], [], "any", 10, "PATH=LO:HI:UNIT"),
        (["wing.section=naca9999"], [], "any", 10, "naca9999"),
        (["pack.parallel=4.5:8"], [], "any", 10, "a whole number"),
        (["wing.area=1000:1800:cm^2", "wing.area=1:2:m^2"], [], "any", 10, "once"),
        (["wing.mean_chord=10:20:cm"], [], "any", 10, "follows from"),
        ([], [], "any", 10, "a field at least"),
        (VARY, ["minimise cruise_electrical_power"], "any", 10, "did you mean cruise_electric_power"),
        (VARY, ["improve run_time"], "any", 10, "minimise NAME"),
        (VARY, ["within run_time 3"], "any", 10, "LO:HI:UNIT"),
        (VARY, ["within run_time 3:2:min"], "any", 10, "a low end"),
        (VARY, [], "good", 10, "one of sound, not-failing, any"),
        (VARY, [], "any", 0, "a whole number from 1"),
    ],
)  # fmt: skip
def test_what_cannot_be_explored_is_told(vary: Any, aim: Any, where: str, count: int, told: str) -> None:
    with pytest.raises(FoilwrightError, match=told):
        planned(LAKE, vary=vary, aim=aim, where=where, count=count)


def test_several_faults_are_told_together() -> None:
    with pytest.raises(FoilwrightError) as caught:
        planned(LAKE, vary=["a=1", "b=2"], aim=["c d"], where="e", count=0)
    assert len(str(caught.value).splitlines()) == 5


def test_aims_of_fields_and_findings(tmp_path: Path) -> None:
    plan = planned(LAKE, vary=["wing.area=1000:1800:cm^2"], aim=["minimise wing.area", "maximise rise.thrust"],
                   where="any", count=64)  # fmt: skip
    best = explore(plan, tmp_path / "a.parquet", engine=Cores(workers=1)).best
    assert np.all(np.diff(best["wing.area"]) > 0.0)
    assert np.all(np.diff(best["margin.rise.thrust"]) > 0.0)


def test_each_design_counts_for_its_worst_case(tmp_path: Path) -> None:
    masses = ("60 kg", "110 kg")
    wanted: dict[str, Any] = {
        "vary": ["wing.area=600:1800:cm^2"],
        "aim": ["minimise cruise_electric_power"],
        "count": 64,
    }
    plan = planned(LAKE, where="not-failing", every=[f"rider.mass={','.join(masses)}"], **wanted)
    assert plan.cases == ((("rider.mass", 60.0),), (("rider.mass", 110.0),))
    together = explore(plan, tmp_path / "a.parquet", engine=Cores(workers=1)).columns()
    alone = []
    for mass in masses:
        one = planned(LAKE.with_texts({"rider.mass": mass}), where="not-failing", **wanted)
        alone.append(explore(one, tmp_path / f"{mass}.parquet", engine=Cores(workers=1)).columns())
    for name in ("lacks", "cruise_electric_power"):
        np.testing.assert_allclose(together[name], np.maximum(alone[0][name], alone[1][name]), rtol=1e-12)
    for every, told in (("rider.mass=60:100:kg", "not a range"), ("wing.area=9 dm^2", "not varied")):
        with pytest.raises(FoilwrightError, match=told):
            planned(LAKE, where="any", every=[every], **wanted)


def test_a_row_becomes_a_build(serial: Store, plan: Plan) -> None:
    columns = serial.all()
    row = int(found(plan, serial).best["row"][0])
    made = picked(LAKE, serial, row, name="better")
    assert "# " in made.text
    fresh = ask(made)
    for name, values in fresh.numbers.items():
        np.testing.assert_allclose(values[0], columns[name][row], rtol=1e-6, err_msg=name)
    with pytest.raises(FoilwrightError, match="the number of a row that is there"):
        picked(LAKE, serial, 10**6, name="none")


def test_one_place_holds_one_exploration(serial: Store, plan: Plan, tmp_path: Path) -> None:
    with pytest.raises(FoilwrightError, match="the results of another exploration"):
        run(dataclasses.replace(plan, count=COUNT + 1), serial, Cores(workers=1), quiet)
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(FoilwrightError, match="a folder with other files"):
        run(plan, Store(place=tmp_path), Cores(workers=1), quiet)


def test_any_reader_of_parquet_takes_it_for_one_table(serial: Store) -> None:
    table = pq.read_table(serial.place)
    assert table.num_rows == COUNT
    assert {"row", "wing.area", "wing.section", "take_off_speed", "verdict", "holds_back", "lacks"} <= set(
        table.column_names
    )


# words, pictures, commands


def test_the_words(serial: Store, plan: Plan) -> None:
    told = text(found(plan, serial))
    assert max(map(len, told.splitlines())) <= 80
    assert f"{COUNT} of {COUNT} designs" in " ".join(told.split())
    assert "--pick" in told


def test_the_words_where_nothing_is_as_wanted(tmp_path: Path) -> None:
    plan = planned(LAKE, vary=["wing.area=1000:1800:cm^2"], aim=["within take_off_speed 1:2:km/h", "minimise run_time"],
                   where="any", count=64)  # fmt: skip
    got = explore(plan, tmp_path / "a.parquet", engine=Cores(workers=1)).found
    assert got.good == 0
    assert "No design is as wanted" in text(got)
    assert document(got)["best"] == []


def test_the_tree(serial: Store, plan: Plan) -> None:
    tree = json.loads(json.dumps(document(found(plan, serial)), allow_nan=False), parse_constant=pytest.fail)
    assert set(tree) == {"format", "program", "build", "place", "designs", "vary", "aims", "where", "cases", "best"}
    assert tree["designs"]["done"] == COUNT
    assert all(isinstance(each["row"], int) for each in tree["best"])


def test_the_pictures(serial: Store, plan: Plan, tmp_path: Path) -> None:
    made = plots.draw(tmp_path, figures(found(plan, serial)))
    assert [path.name for path in made] == [
        f"lake-{name}.{kind}" for name in ("aims", "fields") for kind in ("png", "svg")
    ]


def test_the_command(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    call = ["explore", str(PLACE), *OPTIONS[2:4], *OPTIONS[8:10], "--where", "any", "-n", "64", "-o", "a.parquet"]
    assert cli.main(call) == 0
    assert "64 of 64 designs" in capsys.readouterr().out
    assert cli.main([*call, "--json"]) == 0
    tree = json.loads(capsys.readouterr().out)
    row = tree["best"][0]["row"]
    assert cli.main(["explore", str(PLACE), "--in", "a.parquet", "--pick", str(row), "-o", "better.toml"]) == 0
    assert load.load(tmp_path / "better.toml").values["pack.parallel"] == tree["best"][0]["pack.parallel"]
    assert cli.main(["explore", str(PLACE), "--in", "a.parquet", "--pick", str(row), "-o", "better.toml"]) == 3
    assert cli.main(["explore", str(PLACE), "--pick", "1", "-o", "other.toml"]) == 2
    assert cli.main(["explore", str(PLACE), *OPTIONS[2:4]]) == 2
    assert "a place for the results" in capsys.readouterr().err


def test_an_interrupted_command_says_what_is_kept(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("foilwright.core.engine.Cores", lambda: Stopping(1))
    call = ["explore", str(PLACE), *OPTIONS, "--where", "any", "-n", "256", "-o", str(tmp_path / "a.parquet")]
    assert cli.main(call) == 130
    assert "the same command goes on from there" in capsys.readouterr().err
    assert len(Store(place=tmp_path / "a.parquet").numbers()) == 1


def test_from_python(tmp_path: Path) -> None:
    done = fw.explore(fw.load(PLACE), vary=VARY[:2], aim=AIM[:1], out=tmp_path / "a.parquet", count=64, where="any")
    row = int(done.best["row"][0])
    assert done.pick(row).values["pack.parallel"] == done.best["pack.parallel"][0]
    assert set(done.columns("row", "verdict")) == {"row", "verdict"}


@pytest.mark.parametrize("study", write_studies.STUDIES, ids=lambda study: study.name)
def test_the_studies_of_the_documentation_are_commands(study: write_studies.Study) -> None:
    plan = planned(LAKE, vary=study.vary, aim=study.aim, where=study.where, count=study.count, every=study.every)
    assert len(plan.variables) == len(study.vary)
    assert write_studies.shown(write_studies.command(study)) in write_studies.PAGE.read_text(encoding="utf-8")
