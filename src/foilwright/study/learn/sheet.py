"""The session sheet read back: one day of remembered and written numbers, as readings."""

from __future__ import annotations

import difflib
import functools
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from foilwright.build import load as files
from foilwright.build.build import Build
from foilwright.build.places import Places
from foilwright.core import units
from foilwright.core.data import table
from foilwright.core.errors import BuildFileError, Fault
from foilwright.study.learn.causes import value_of
from foilwright.study.learn.predict import LOST_AT, charge_at
from foilwright.study.learn.seen import POSTURES, Reading, Scene, Trial

FLAGS = ("lifted", "found", "lost", "held")
SHARES = ("throttle", "drop_outs")
PLAIN = {"format", "columns"}
PARTS = ("controller", "motor", "pack")
CHOICES = {
    "posture": tuple(POSTURES), "part": (*PARTS, "contacts"), "end": ("aft", "forward"),
    "direction": ("along", "across"),
}  # fmt: skip
TOLD = "run take_off tow bollard coast temperature link load reach leak seen look"
"""Tables whose entries are readings, in the order in which they are read."""
LEAST_USED = 0.1
"""Fall of the charge from which on its volts at rest tell it well enough."""
DROPS, WET, HOT = 0.05, 0.005, 10.0
"""Packets lost, water in the box [kg], and kelvin below its limit, from which on a thing counts as seen."""
BY_EYE = 0.2
"""Error of a speed that is written down, both ways averaged [m/s]."""
PARTLY = 0.05
"""Least throttle that is told apart."""


def read(path: Path, build: Build) -> Trial:
    """Return the readings of one session sheet; everything wrong with it is told at once."""
    text, file = files.text_of(path)
    tree = files.tree_of(text, file)
    made = Sheet(_checked(tree, text, file), file, build)
    _within(made.day, build, file)
    return made.trial()


def _within(day: Mapping[str, float | str], build: Build, file: str) -> None:
    """Say which readings of the day no craft or water of a build can have."""
    faults = []
    for path, value in day.items():
        if isinstance(value, str) or path == "charge":
            continue
        meta = build.meta(path)
        low, high = meta.bounds()
        if not low <= value <= high:
            got = f"{units.show(value, meta.unit)} for {path}"
            faults.append(Fault(file=file, line=None, field="", got=got, allowed=meta.allowed(), example=meta.example))
    if faults:
        raise BuildFileError(faults)


def _keys() -> dict[str, dict[str, str]]:
    book = table("cards/session").texts
    out: dict[str, dict[str, str]] = {}
    for name, key, unit in zip(book["table"], book["key"], book["unit"], strict=True):
        out.setdefault(name, {})[key] = unit
    return out


@functools.cache
def _many() -> frozenset[str]:
    book = table("cards/session").texts
    return frozenset(name for name, many in zip(book["table"], book["many"], strict=True) if many == "yes")


def things_seen() -> tuple[str, ...]:
    """Return the names of things seen that a sheet may hold."""
    return table("cards/seen").texts["seen"]


def _checked(tree: Mapping[str, Any], text: str, file: str) -> dict[str, list[dict[str, Any]]]:
    """Return the entries of each table in SI, or say everything that is wrong."""
    known, places, faults = _keys(), Places(text), list[Fault]()

    def wrong(loc: tuple[Any, ...], got: str, allowed: str, example: str = "", near: str | None = None) -> None:
        field = ".".join(str(key) for key in loc if not isinstance(key, int))
        line = places.line(loc)
        faults.append(Fault(file=file, line=line, field=field, got=got, allowed=allowed, example=example, nearest=near))

    if tree.get("format") != 1:
        wrong(("format",), units.quoted(tree.get("format", "no format")), "format = 1", "format = 1")
    out: dict[str, list[dict[str, Any]]] = {}
    for name, entries in tree.items():
        if name in PLAIN:
            continue
        if name not in known:
            near = difflib.get_close_matches(name, known, n=1, cutoff=0.5)
            wrong((name,), "an unknown table", "a table of the session sheet", "[[run]]", near[0] if near else None)
            continue
        listed = entries if isinstance(entries, list) else [entries]
        if any(not isinstance(each, Mapping) for each in listed):
            wrong((name,), units.quoted(entries), f"a table, [{name}]", f"[{name}]")
            continue
        out[name] = [
            _entry(name, each, (name, k) if isinstance(entries, list) else (name,), known[name], wrong)
            for k, each in enumerate(listed)
        ]
    if faults:
        raise BuildFileError(faults)
    return out


def _entry(
    name: str, entry: Mapping[str, Any], loc: tuple[Any, ...], known: Mapping[str, str], wrong: Any
) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for key, written in entry.items():
        if key not in known:
            near = difflib.get_close_matches(key, known, n=1, cutoff=0.5)
            wrong((*loc, key), "an unknown key", "one of " + ", ".join(known), "", near[0] if near else None)
        elif known[key]:
            try:
                value = units.parse(written, known[key])
            except units.UnitError as error:
                wrong((*loc, key), str(error), units.kind_of(known[key]), _example(name, key))
                continue
            if (value < 0.0 and known[key] != "rad") or (key in SHARES and value > 1.0):
                room = "from 0 to 1" if key in SHARES else "not below 0"
                told = f"{units.kind_of(known[key])}, {room}"
                wrong((*loc, key), units.quoted(written), told, _example(name, key))
            out[key] = value
        elif key in FLAGS:
            if isinstance(written, bool):
                out[key] = written
            else:
                wrong((*loc, key), units.quoted(written), "true or false", f"{key} = true")
        else:
            allowed = things_seen() if name == "seen" and key == "what" else CHOICES.get(key, ())
            if allowed and written not in allowed:
                near = difflib.get_close_matches(str(written), allowed, n=1, cutoff=0.5)
                wrong((*loc, key), units.quoted(written), "one of " + ", ".join(allowed), "", near[0] if near else None)
            out[key] = written
    return out


def _example(name: str, key: str) -> str:
    book = table("cards/session").texts
    row = next(k for k, each in enumerate(zip(book["table"], book["key"], strict=True)) if each == (name, key))
    return f'{key} = "{book["example"][row]}"'


class Sheet:
    """One checked sheet, entry by entry turned into readings."""

    def __init__(self, entries: dict[str, list[dict[str, Any]]], file: str, build: Build) -> None:
        self.entries, self.file, self.build = entries, file, build
        self.scenes: list[Scene] = []
        self.readings: list[Reading] = []
        self.notes: list[str] = []
        self.day = self._day()

    def trial(self) -> Trial:
        """Return everything that the sheet says."""
        self._scene(None)
        for name in TOLD.split():
            for entry in self.entries.get(name, []):
                getattr(self, f"_{name}")(entry)
        self._charge()
        session = self._one("session")
        pack, water = self._one("pack"), self._one("water")
        weighed = {"masses"} if {"rider_mass", "craft_mass"} <= session.keys() else set()
        weighed |= {"pack_temperature"} if "temperature_before" in pack else set()
        weighed |= {"depth"} if "depth" in water else set()
        return Trial(
            scenes=tuple(self.scenes), readings=tuple(self.readings), notes=tuple(self.notes),
            dates=(str(session["date"]),) if "date" in session else (), measured=self._measured(),
            weighed=frozenset(weighed),
        )  # fmt: skip

    def _one(self, name: str) -> dict[str, Any]:
        return (self.entries.get(name) or [{}])[0]

    def _day(self) -> dict[str, float | str]:
        """Return the fields of the build as they were that day."""
        out: dict[str, float | str] = {}
        session, pack = self._one("session"), self._one("pack")
        if "rider_mass" in session:
            kit = value_of(self.build, "rider.kit_mass")
            out["rider.mass"] = session["rider_mass"] - (kit if np.isfinite(kit) else 0.0)
        out |= self._measured()
        if "stabiliser_packer" in session:
            out["stabiliser.incidence"] = value_of(self.build, "stabiliser.incidence") + session["stabiliser_packer"]
        out |= {f"water.{key}": value for key, value in self._one("water").items()}
        if "temperature_before" in pack:
            out["pack.temperature"] = pack["temperature_before"]
        if "rest_before" in pack:
            before = charge_at(self.build, pack["rest_before"])
            after = charge_at(self.build, pack["rest_after"]) if "rest_after" in pack else before - 0.3
            out["charge"] = float(np.clip(0.5 * (before + after), 0.1, 0.95))
        return out

    def _scene(self, posture: str | None) -> int:
        values = dict(self.day)
        if posture:
            values["rider.posture"] = POSTURES[posture]
        scene = Scene(values=values)
        if scene not in self.scenes:
            self.scenes.append(scene)
        return self.scenes.index(scene)

    def _add(self, kind: str, says: str, value: float, **more: Any) -> None:
        self.readings.append(Reading(kind=kind, says=says, source=self.file, value=value, **more))

    def _run(self, entry: dict[str, Any]) -> None:
        scene, lifted = self._scene(entry.get("posture")), entry.get("lifted")
        speed, throttle = entry.get("speed"), entry.get("throttle")
        at = {"scene": scene, "flying": lifted is True, "throttle": throttle or 1.0, "speed": speed or 0.0}
        told = f"{units.show(speed, 'm/s')} " if speed else ""
        how = f"{told}at {_throttle(throttle)}" + (f", {entry['posture']}" if "posture" in entry else "")
        if throttle is None and speed is not None and not lifted:
            self.notes.append(
                f"{self.file}: a run at {told.strip()} without its throttle says nothing of thrust and drag"
            )
        if throttle is not None and throttle >= PARTLY and speed:
            self._add("balance", f"speed held: {how}", 0.0, speed_error=BY_EYE, **at)
        if throttle is not None and speed is not None:
            if entry.get("current"):
                self._add(
                    "amps", f"{units.show(entry['current'], 'A')} at {how}", float(np.log(entry["current"])), **at
                )
            if entry.get("voltage"):
                self._add(
                    "volts", f"{units.show(entry['voltage'], 'V')} at {how}", float(np.log(entry["voltage"])), **at
                )
        if "feet" in entry and speed:
            self._add("place", f"feet {units.show(entry['feet'], 'm')} ahead of the mast at {how}", entry["feet"], **at)
        if lifted is not None:
            what = "it flew" if lifted else "it did not lift"
            self._add("lifted", f"{what}: {how}", float(lifted), scene=scene, throttle=throttle or 1.0)

    def _take_off(self, entry: dict[str, Any]) -> None:
        scene = self._scene(None)
        if entry.get("speed"):
            self._add(
                "take_off_speed",
                f"left the water at {units.show(entry['speed'], 'm/s')}",
                float(np.log(entry["speed"])),
                scene=scene,
            )
        if entry.get("time") and entry.get("throttle", 1.0) > 0.95:
            self._add(
                "take_off_time",
                f"left the water after {units.show(entry['time'], 's')}",
                float(np.log(entry["time"])),
                scene=scene,
            )
        self._add("lifted", "it left the water", 1.0, scene=scene, throttle=1.0)

    def _tow(self, entry: dict[str, Any]) -> None:
        if entry.get("pull") and entry.get("speed"):
            pull = entry["pull"] * np.cos(entry.get("line_angle", 0.0))
            says = f"tow pull {units.show(pull, 'N')} at {units.show(entry['speed'], 'm/s')}"
            self._add(
                "tow",
                says,
                float(np.log(pull)),
                speed=entry["speed"],
                speed_error=0.5 * BY_EYE,
                scene=self._scene(None),
            )

    def _bollard(self, entry: dict[str, Any]) -> None:
        throttle = entry.get("throttle", 1.0)
        at = {"speed": 0.0, "throttle": throttle, "scene": self._scene(None)}
        for key, kind, unit in (("pull", "bollard", "N"), ("voltage", "volts", "V"), ("current", "amps", "A")):
            if entry.get(key):
                says = f"{units.show(entry[key], unit)} at rest at {_throttle(throttle)}"
                self._add(kind, says, float(np.log(entry[key])), **at)

    def _coast(self, entry: dict[str, Any]) -> None:
        if (
            {"from_speed", "to_speed", "time"} <= entry.keys()
            and entry["from_speed"] > entry["to_speed"]
            and entry["time"] > 0.0
        ):
            slows = (entry["from_speed"] - entry["to_speed"]) / entry["time"]
            middle = 0.5 * (entry["from_speed"] + entry["to_speed"])
            self._add(
                "coast",
                f"slows by {slows:.2g} m/s² coasting at {units.show(middle, 'm/s')}",
                float(np.log(slows)),
                speed=middle,
                flying=True,
                throttle=0.05,
                scene=self._scene(None),
            )

    def _temperature(self, entry: dict[str, Any]) -> None:
        part, value = entry.get("part"), entry.get("value")
        if part is None or value is None:
            return
        says = f"{part} at {units.show(value, 'K')}"
        if part in PARTS and "after" in entry:
            self._add("temperature", says, value, part=part, after=entry["after"], scene=self._scene(None))
        limit = value_of(self.build, "controller.temperature_limit")
        if part == "controller" and value > limit - HOT:
            self._add("seen", f"{says}: close to its limit", 1.0, what="hot_part", scene=self._scene(None))

    def _link(self, entry: dict[str, Any]) -> None:
        if entry.get("drop_outs", 0.0) > DROPS:
            self._add("seen", f"{100.0 * entry['drop_outs']:.0f} % of the packets lost", 1.0, what="link_dropped")

        if "distance" in entry and "lost" in entry and not entry.get("dip"):
            far = units.show(entry["distance"], "m")
            at = {"at": entry["distance"], "scene": self._scene(None)}
            if entry["lost"]:
                self._add("link", f"link lost at {far}", LOST_AT, **at)
            else:
                self._add("link_held", f"link held at {far}", 1.0, **at)

    def _load(self, entry: dict[str, Any]) -> None:
        force = entry.get("force")
        if not force:
            return
        at = {"at": force, "scene": self._scene(None)}
        hung = f"with {units.show(force, 'N')} hung from the end of the mast"
        if entry.get("moved"):
            self._add("deflection", f"{units.show(entry['moved'], 'm')} {hung}", float(np.log(entry["moved"])), **at)
        if "held" in entry:
            says = f"it {'held' if entry['held'] else 'did not hold'} {hung}"
            self._add("proof", says, float(entry["held"]), **at)

    def _reach(self, entry: dict[str, Any]) -> None:
        if "end" in entry and "place" in entry:
            place, end = entry["place"], entry["end"]
            says = f"weight as far {end} as it goes: {units.show(place, 'm')} from the tail"
            says += f", {entry['posture']}" if "posture" in entry else ""
            self._add("reach", says, place, part=end, scene=self._scene(entry.get("posture")))

    def _leak(self, entry: dict[str, Any]) -> None:
        if entry.get("box", 0.0) > WET:
            self._add("seen", f"{units.show(entry['box'], 'kg')} of water in the box", 1.0, what="water_in_box")

    def _seen(self, entry: dict[str, Any]) -> None:
        what = entry.get("what", "")
        book = table("cards/seen").texts
        if what not in book["seen"]:
            return
        says = book["looks"][book["seen"].index(what)]
        kind = {"extreme_stance": "stance", "rides_higher": "higher"}.get(what, "seen")
        runs = [each for each in self.readings if each.kind == "balance"]
        at = runs[-1] if runs else Reading(kind="balance", says="", source="")
        self._add(kind, says, 1.0, what=what, scene=at.scene, speed=at.speed)

    def _look(self, entry: dict[str, Any]) -> None:
        at, found = entry.get("at"), entry.get("found", True)
        names = dict(zip(table("learn/told").texts["cause"], table("learn/told").texts["name"], strict=True))
        if at not in names:
            self.notes.append(f"{self.file}: a look at {units.quoted(at)} is not used; known: {', '.join(names)}")
            return
        says = f"looked: {'it is so' if found else 'not so'}: {names[at]}"
        self._add("seen", says, 1.0, what=f"{'' if found else 'not '}found {at}")

    def _charge(self) -> None:
        """Turn volts at rest and the charge put back into the capacity that is connected."""
        pack = self._one("pack")
        if not {"rest_before", "rest_after", "charge_returned"} <= pack.keys():
            return
        used = charge_at(self.build, pack["rest_before"]) - charge_at(self.build, pack["rest_after"])
        if used < LEAST_USED:
            self.notes.append(f"{self.file}: too little was used for the charge put back to tell the capacity")
            return
        back = pack["charge_returned"] / 3600.0
        says = f"{back:.3g} Ah put back for {100.0 * used:.0f} % of the charge by the volts at rest"
        self._add(
            "capacity", says, float(np.log(pack["charge_returned"] / used)), scene=0, error=float(0.03 + 0.02 / used)
        )

    def _measured(self) -> dict[str, float]:
        """Return what a reading gives outright for the table [measured]."""
        out: dict[str, float] = {}
        if "craft_mass" in self._one("session"):
            out["measured.craft_mass"] = self._one("session")["craft_mass"]
        for entry in self.entries.get("link", []):
            if entry.get("drop_outs") and "distance" in entry:
                out["measured.drop_outs"], out["measured.drop_out_distance"] = entry["drop_outs"], entry["distance"]
        for entry in self.entries.get("coupon", []):
            if {"direction", "strength"} <= entry.keys():
                path = f"measured.print_{entry['direction']}"
                out[path] = min(out.get(path, np.inf), entry["strength"])
        return out


def _throttle(share: float | None) -> str:
    if share is None:
        return "a throttle not written down"
    return "full throttle" if share > 0.98 else f"{100.0 * share:.0f} % throttle"


def moved(trial: Trial, scene: int, readings: list[Reading]) -> Trial:
    """Return a sheet's trial with readings of logs added in one of its scenes."""
    return replace(trial, readings=(*trial.readings, *(replace(each, scene=scene) for each in readings)))
