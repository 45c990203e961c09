"""What was given on the command line: builds, settings, and the sentences where they are wrong."""

from __future__ import annotations

import json
import os
import re
from typing import TYPE_CHECKING

from foilwright.core.errors import BuildFileError, Fault

if TYPE_CHECKING:
    from foilwright.build.build import Build

NAME = re.compile(r"\w[\w .+-]{0,79}")
"""The name of a build, and so of its file."""


def build_of(file: str, settings: dict[str, str], faults: list[Fault]) -> Build:
    """Return the build of a file with fields given anew; everything wrong is told together."""
    from foilwright.build import load  # noqa: PLC0415

    if not os.path.exists(file):  # noqa: PTH110 - takes any text
        raise BuildFileError([*faults, _no_file(file, load.scenarios())])
    try:
        build = load.load(file).with_texts(settings)
    except BuildFileError as error:
        raise BuildFileError([*faults, *error.faults]) from None
    if faults:
        raise BuildFileError(faults)
    if not build.sections:
        return build
    from foilwright.study import sections  # noqa: PLC0415

    return sections.ready(build)


def builds_of(files: tuple[str, ...]) -> list[Build]:
    """Return the builds of several files; everything wrong in any of them is told together."""
    made: list[Build] = []
    faults: list[Fault] = []
    for file in files:
        try:
            made.append(build_of(file, {}, []))
        except BuildFileError as error:
            faults += error.faults
    if faults:
        raise BuildFileError(faults)
    return made


def _no_file(file: str, scenarios: tuple[str, ...]) -> Fault:
    """Return what helps where there is no such file: one of nearly that name, or a scenario that becomes one."""
    name = file.removesuffix(".toml")
    there = "a build file, and there is none of this name"
    if os.path.exists(f"{name}.toml"):  # noqa: PTH110
        return fault("BUILD", file, there, f"foilwright ask {name}.toml", nearest=f"{name}.toml")
    if name in scenarios:
        there += f"; the scenario {name} becomes one with: foilwright new {name} --from {name}"
        return fault("BUILD", file, there, f"foilwright ask {name}.toml")
    return fault("BUILD", file, f"{there}; write one with: foilwright new mine", "foilwright ask mine.toml")


def settings_of(pairs: tuple[str, ...]) -> tuple[dict[str, str], list[Fault]]:
    """Return fields and their new values as text, and what is wrong with how they are given."""
    out: dict[str, str] = {}
    faults = []
    for pair in pairs:
        path, sign, value = pair.partition("=")
        if not sign or not path.strip():
            faults.append(fault("--set", pair, "PATH=VALUE", '--set wing.area="1600 cm^2"'))
        elif path.strip() in out:
            faults.append(fault("--set", pair, f"one value for {path.strip()}", '--set wing.area="1600 cm^2"'))
        out[path.strip()] = value.strip()
    return {path: value for path, value in out.items() if path}, faults


def fault(field: str, got: str, allowed: str, example: str, nearest: str | None = None) -> Fault:
    """Return what is wrong with an argument."""
    from foilwright.core import units  # noqa: PLC0415

    return Fault(
        file="command line",
        line=None,
        field=field,
        got=units.quoted(got),
        allowed=allowed,
        example=example,
        nearest=nearest,
    )


def print_json(tree: object) -> None:
    """Print a tree as JSON that every reader takes."""
    print(json.dumps(tree, allow_nan=False, ensure_ascii=False))
