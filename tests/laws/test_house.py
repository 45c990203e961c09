"""The rules of the house that a machine can hold."""

from __future__ import annotations

import dataclasses
import inspect
import re
import subprocess
import sys
import typing
from collections import defaultdict
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

import foilwright
from docstrings import UNIT, entries, section
from foilwright import physics
from foilwright.core.data import folder
from foilwright.core.errors import DataError
from foilwright.core.extras import EXTRAS
from foilwright.core.model import REGISTRY, Model
from foilwright.study import evidence, points

ROOT = Path(__file__).parents[2]
SOURCE = Path(foilwright.__file__).parent
LONGEST_FILE = 450
MOST_PUBLIC_NAMES = 8
UNITLESS = re.compile(r"str\b|bool\b|Literal\b|Flag\b|NDArray\[np\.(bool|str)")
BOOKKEEPING = {"outside", "found", "why"}
OF_TWO_TRADES = {"resistance"}  # the naval architect's force, the electrician's ohms

evidence.load_models()
MODELS = sorted(
    (made for made in REGISTRY.values() if made.__module__.startswith(physics.__name__)),
    key=lambda made: made.name,
)
MODULES = sorted(
    (module for name, module in sys.modules.items() if re.fullmatch(rf"{physics.__name__}\.[a-z]\w*", name)),
    key=lambda module: module.__name__,
)
each_model = pytest.mark.parametrize("made", MODELS, ids=lambda made: made.name)


def is_record(kind: object) -> bool:
    return dataclasses.is_dataclass(kind) and isinstance(kind, type)


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_every_public_function_of_physics_is_a_model(module: ModuleType) -> None:
    bare = [
        name
        for name, thing in vars(module).items()
        if inspect.isfunction(thing) and thing.__module__.startswith(module.__name__) and not name.startswith("_")
    ]
    assert bare == [], "register with @model, or begin the name with an underscore"


@each_model
def test_a_model_is_called_by_keyword_only(made: Model[..., Any]) -> None:
    given = inspect.signature(made.function).parameters.values()
    assert [one.name for one in given if one.kind not in {one.KEYWORD_ONLY, one.VAR_KEYWORD}] == []


@each_model
def test_a_model_names_its_source(made: Model[..., Any]) -> None:
    assert re.search(r"\w{3}", made.source)


@each_model
def test_a_model_names_the_unit_of_each_input(made: Model[..., Any]) -> None:
    described = {name: entry for entry in entries(made.__doc__, "Parameters") for name in entry.names}
    given = inspect.signature(made.function).parameters
    assert set(described) == set(given), "the section Parameters names exactly the inputs"
    kinds = typing.get_type_hints(made.function)
    quantities = [
        name for name, one in given.items() if not UNITLESS.match(str(one.annotation)) and not is_record(kinds[name])
    ]
    assert [name for name in quantities if not described[name].units] == [], "write the unit in [brackets]"


@each_model
def test_a_model_names_the_unit_of_what_it_returns(made: Model[..., Any]) -> None:
    returns = section(made.__doc__, "Returns")
    assert returns.strip(), "write a section Returns"
    kind = typing.get_type_hints(made.function)["return"]
    if not is_record(kind):
        assert UNIT.search(returns), "write the unit in [brackets]"
        return
    told = "\n".join([*(inspect.getsource(one) for one in kind.__mro__[:-1]), returns])
    fields = [
        field.name
        for field in dataclasses.fields(kind)
        if field.name not in BOOKKEEPING and not UNITLESS.match(str(field.type))
    ]
    untold = [name for name in fields if not re.search(rf"\b{name}\b[^\[]*\[[^\]]+\]", told)]
    assert untold == [], f"write the unit of each field of {kind.__name__} in [brackets]"


def test_a_name_has_one_unit_in_all_of_physics() -> None:
    units: defaultdict[str, defaultdict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for made in MODELS:
        for entry in entries(made.__doc__, "Parameters"):
            for name in entry.names if entry.units else ():
                units[name][entry.unit(name)].append(made.name)
    several = {name: dict(by) for name, by in units.items() if len(by) > 1 and name not in OF_TWO_TRADES}
    assert several == {}


def test_each_input_is_in_the_list_of_words() -> None:
    listed = set(re.findall(r"^\| `(\w+)` \|", (ROOT / "docs" / "words.md").read_text("utf-8"), re.MULTILINE))
    used = {name for made in MODELS for name in inspect.signature(made.function).parameters}
    assert sorted(used - listed) == [], "run scripts/words.py"


def test_each_model_has_a_check_from_outside() -> None:
    checked = set()
    for path in points.files():
        try:
            asked = [(point.model, evidence.find(point)) for point in points.read(path)]
        except DataError:
            continue  # told by the tests of the files themselves
        checked |= {made.name if isinstance(made, Model) else name for name, made in asked}
    assert [made.name for made in MODELS if made.name not in checked] == []


def test_importing_the_package_loads_the_standard_library_only() -> None:
    code = (
        "import sys; before = set(sys.modules); import foilwright\n"
        "new = {name.partition('.')[0] for name in set(sys.modules) - before}\n"
        "print(*sorted(new - set(sys.stdlib_module_names) - {'foilwright'}))"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.split() == []


def test_the_public_names_are_few_and_exist() -> None:
    names = foilwright.__all__
    assert len(names) <= MOST_PUBLIC_NAMES
    assert [name for name in names if not hasattr(foilwright, name)] == []


@pytest.mark.parametrize("path", sorted(SOURCE.rglob("*.py")), ids=lambda path: str(path.relative_to(SOURCE)))
def test_a_file_is_not_too_long(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_FILE


NO_TABLES = {"points", "trials"}  # rows of checks; logs as a logger writes them
TABLES = sorted(path for path in folder().rglob("*.csv") if NO_TABLES.isdisjoint(path.parts))


@pytest.mark.parametrize("path", TABLES, ids=lambda path: str(path.relative_to(folder())))
def test_a_table_begins_with_its_source(path: Path) -> None:
    assert re.match(r"# *\w.{10}", path.read_text(encoding="utf-8"))


def test_the_extras_are_those_of_the_package() -> None:
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert sorted(project.get("optional-dependencies", {})) == sorted(extra.name for extra in EXTRAS)


def tracked() -> list[Path]:
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if listed.returncode:
        pytest.skip("not a clone")
    return [ROOT / name for name in listed.stdout.split("\0") if name and (ROOT / name).is_file()]


def test_no_file_names_a_place_on_one_machine_or_an_index_of_packages() -> None:
    places = "|".join(("home", "root", "work", "Users", "private", "tmp", "opt"))
    hosts = "|".join(("py" + "pi.org", "python" + "hosted", "npm" + "js.(org|com)", "debian" + ".org/debian"))
    pattern = re.compile(rf"(?<![\w.)}}\]*/-])/({places})/[\w.]|[A-Z]:\\Users|{hosts}".encode())
    named = []
    for path in tracked():
        for number, line in enumerate(path.read_bytes().splitlines(), 1):
            if pattern.search(line):
                named.append(f"{path.relative_to(ROOT)}, line {number}: {line.decode(errors='replace').strip()}")
    assert named == []


def test_the_locks_carry_hashes_and_no_address() -> None:
    for path in sorted((ROOT / "requirements").glob("*.txt")):
        text = path.read_text(encoding="utf-8")
        assert "://" not in text
        pinned = re.findall(r"^[a-z0-9][\w.-]*==.*$", text, re.MULTILINE)
        assert all(line.endswith("\\") for line in pinned), path.name
        assert bool(pinned) == (path.name != "apt.txt")
