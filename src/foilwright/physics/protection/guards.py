"""Rules on switch, pre-charge and fuses."""

from __future__ import annotations

import numpy as np

from foilwright.core.model import Array
from foilwright.network import Controller, Fuse, Lead, Module, Receiver, Supply, Switch, TwoPole
from foilwright.physics.circuit.branches import Branches
from foilwright.physics.protection.sizing import fuse_size
from foilwright.physics.protection.survey import Fault, Flags, Survey, fault, rule

SPARK = 0.5
"""Energy in a controller's capacitors from which they are to be filled slowly [J] (judgement)."""
NEAR = 0.178
"""Length of lead from a source to its fuse [m] (33 CFR 183.455: 7 in)."""
NEAR_SHEATHED = 1.016
"""The same where the lead is sheathed all the way [m] (40 in)."""
CFR = "US 33 CFR 183.455"


def _names(survey: Survey, kind: type[TwoPole]) -> tuple[str, ...]:
    return tuple(one.name for one in survey.each(kind))


@rule("Is there a main switch or loop key between every module and the controller?", "common practice")
def no_main_switch(survey: Survey) -> list[Fault]:
    """Name controllers that stay live with every switch open."""
    switches = _names(survey, Switch)
    return [
        fault(
            kind="no main switch",
            joints=(one.name, one.start),
            wrong=f"{one.name} stays live: no switch or loop key parts it from the pack",
            do="put a main switch or loop key into the plus lead, within reach without tools",
            meaning="hurts",
            source="common practice",
        )
        for one in survey.each(Controller)
        if one.name in survey.flow(*survey.idle, through=(one,)).carries
        and one.name in survey.flow(*survey.idle, *switches, through=(one,)).carries
    ]


@rule("Are the controller's capacitors filled before the switch is closed?", "half a joule; judgement")
def no_precharge(survey: Survey) -> list[Fault]:
    """Name switches that close on empty capacitors."""
    switches = _names(survey, Switch)
    out = []
    for one in survey.each(Controller):
        slow = survey.flow(*switches, through=(one,)).carries
        filled = one.name in slow and bool(set(survey.idle) & slow)
        if filled or one.name not in survey.flow(*survey.idle, through=(one,)).carries:
            continue
        volts = survey.full_voltage(one)
        energy = 0.5 * np.asarray(one.capacitance) * volts * volts
        out.append(
            fault(
                kind="no pre-charge",
                joints=(one.name, *(switches or (one.start,))),
                wrong=f"closing {', '.join(switches) or one.start} sparks: the capacitors of {one.name} are empty",
                do="put a pre-charge resistor with its own contact beside the switch",
                meaning="breaks",
                source="energy of the capacitors; half a joule is judgement",
                demand=energy,
                capacity=SPARK,
                unit="J",
                applies=~(energy <= SPARK),
            )
        )
    return out


@rule("Does every string have a fuse of its own?", f"one fuse to a string, in the pack; {CFR}")
def no_fuse(survey: Survey) -> list[Fault]:
    """Name strings that feed something without a fuse in the way."""
    out = []
    for group in survey.bare:
        names = [one.name for one in group]
        starts = [one.start for one in group]
        out.append(
            fault(
                kind="no fuse",
                joints=(*names, *starts),
                wrong=f"{', '.join(names)}: no fuse between the string and the rest",
                do="put a fuse at the plus pole of each string, inside the pack",
                meaning="burns",
                source=CFR,
            )
        )
    return out


def _carrying(survey: Survey) -> list[Fuse]:
    """Return the fuses through which something is fed."""
    return [one for one in survey.each(Fuse) if survey.served(one.name)]


@rule("Does each fuse sit at its source?", CFR)
def fuse_place(survey: Survey) -> list[Fault]:
    """Name fuses that are too far along the lead from the pole, or the thick lead, that they guard."""
    fuses = _carrying(survey)
    if not fuses or not survey.each(Lead):
        return []
    poles = {joint for one in survey.each(Module) for joint in (one.start, one.end)}
    heavy = {name for one in survey.each(Controller) for name, part in survey.share(one).items() if part != 0.0}
    taps = poles | {end for one in survey.each(Lead) if one.name in heavy for end in (one.start, one.end)}
    sheathed = any(np.any(one.sheathed) for one in survey.each(Lead))
    out = []
    for one in fuses:
        from_where = poles if one.name in heavy else taps
        far, open_way = (
            np.minimum(found[one.start], found[one.end])
            for found in (survey.distance(frozenset(from_where), bare=bare) for bare in (False, sheathed))
        )
        allowed = np.where(open_way > 0.0, NEAR, NEAR_SHEATHED)
        out.append(
            fault(
                kind="fuse place",
                joints=(one.name, one.start),
                wrong=f"{one.name} sits too far along the lead: what lies before it is not guarded",
                do="move it to the pole of the pack, within 18 cm of lead (1 m in a sheath)",
                meaning="burns",
                source=CFR,
                demand=far,
                capacity=allowed,
                unit="m",
                applies=far > allowed,
            )
        )
    return out


@rule("Can each fuse break the full voltage?", "rating for direct current at or above the full voltage")
def fuse_voltage(survey: Survey) -> list[Fault]:
    """Name fuses rated below the full voltage of their circuit."""
    out: list[Fault] = []
    for one in _carrying(survey):
        volts, limit = survey.voltage_at(one.name), np.asarray(one.voltage_limit)
        out.append(
            fault(
                kind="fuse voltage",
                joints=(one.name,),
                wrong=f"{one.name} is not rated for the full voltage: an arc stays when it melts",
                do="use a fuse rated for direct current at or above the full voltage",
                meaning="burns",
                source="fuse ratings for direct current",
                demand=volts,
                capacity=limit,
                unit="V",
                applies=volts > limit,
                unknown=np.isnan(volts + limit),
            ),
        )
    return out


@rule("Can each fuse break a dead short?", "prospective current of all strings; Thevenin's theorem")
def fuse_interrupting(survey: Survey) -> list[Fault]:
    """Name fuses whose interrupting rating lies below the short-circuit current at their place."""
    out: list[Fault] = []
    branches = survey.branches(full=True)
    for one in _carrying(survey):
        most = np.asarray(0.0)
        for joint in sorted({end for load in survey.served(one.name) for end in (load.start, load.end)}):
            found = survey.shorted(joint)
            places = [branches.joints.index(end) for end in (one.start, one.end)]
            most = np.maximum(most, np.abs(found.current[..., places]).max(axis=-1))
        limit = np.asarray(one.interrupting)
        out.append(
            fault(
                kind="fuse interrupting",
                joints=(one.name,),
                wrong=f"{one.name} cannot break the short-circuit current of the pack at its place",
                do="use a fuse of higher interrupting rating (battery-post or class T kinds: 10 to 20 kA)",
                meaning="burns",
                source="Kirchhoff's laws; rating of the fuse",
                demand=np.where(branches.known, most, np.nan),
                capacity=limit,
                unit="A",
                applies=branches.known & (most > limit),
                unknown=np.isnan(most + limit) | ~branches.known,
            ),
        )
    return out


def _service(survey: Survey) -> tuple[Branches, Array]:
    """Return the branches and their currents with every load at its limit, without equalising [A]."""
    branches = survey.branches(full=False)
    draw = {one.name: np.asarray(one.current_limit) for one in survey.each(Controller)}
    receivers = survey.each(Receiver)
    for supply in survey.each(Supply):
        behind = [one for one in receivers if survey.net[one.start] == survey.net[supply.out_start]]
        amps = sum((np.asarray(one.current) for one in behind), np.asarray(0.0))
        volts = survey.full_voltage(supply)
        watts = np.asarray(supply.output_voltage) * amps / np.asarray(supply.efficiency)
        draw[supply.name] = np.where(supply.linear, amps, watts / volts)
    draw |= {one.name: np.asarray(one.current) for one in receivers if any(survey.share(one).values())}
    asked = branches.draws(**draw)
    rest = survey.rest(full=False)
    drawn = np.where(np.isnan(rest.open_voltage), 0.0, asked)
    return branches, np.abs((drawn[..., None, :] @ rest.share)[..., 0, :])


@rule("Does each fuse carry its load without ageing?", "three quarters of the rating, continuously")
def fuse_too_small(survey: Survey) -> list[Fault]:
    """Name fuses that carry more than three quarters of their rating."""
    out: list[Fault] = []
    if not survey.complete:
        return out
    branches, flows = _service(survey)
    for one in _carrying(survey):
        if one.name not in branches.names:
            continue
        current = np.where(branches.known, flows[..., branches.names.index(one.name)], np.nan)
        least = fuse_size(current=current, allowed=np.nan, voltage=0.0).least
        rating = np.asarray(one.rating, dtype=np.float64)
        out.append(
            fault(
                kind="fuse too small",
                joints=(one.name,),
                wrong=f"{one.name} carries more than three quarters of its rating and will age and open",
                do="take the next larger fuse that the lead allows, or lower the current limit",
                meaning="stops",
                source="continuous load of fuses: 75 %",
                demand=least,
                capacity=rating,
                unit="A",
                applies=least > rating,
                unknown=np.isnan(least),
            ),
        )
    return out


@rule("Does a fuse open before each lead is overloaded?", f"{CFR}; ampacity: 33 CFR 183.425")
def fuse_too_large(survey: Survey) -> list[Fault]:
    """Name leads that no fuse guards: the sum of fuses side by side counts."""
    out: list[Fault] = []
    fuses = _carrying(survey)
    sourceless = tuple(one.name for group in survey.bare for one in group)
    fed = survey.flow(*survey.idle, *sourceless).carries
    for lead in survey.each(Lead):
        served = survey.served(lead.name)
        if lead.name not in fed or not served or not fuses:
            continue
        port = max(served, key=lambda one: (abs(survey.share(one)[lead.name]), one.name))
        opens = _opening(survey, lead, port, fuses)
        bears = survey.bears(lead)
        largest = fuse_size(current=0.0, allowed=bears, voltage=survey.voltage_at(lead.name)).largest
        guards = np.stack(np.broadcast_arrays(*opens))
        smallest = guards.min(axis=0)
        out.append(
            fault(
                kind="fuse too large",
                joints=(lead.name, *(on.name for on, at in zip(fuses, opens, strict=True) if np.isfinite(at).any())),
                wrong=f"{lead.name} is overloaded before a fuse opens",
                do="use a thicker lead, or a smaller fuse at its beginning",
                meaning="burns",
                source=f"{CFR}, 183.425",
                demand=smallest,
                capacity=largest,
                unit="A",
                applies=_passes(survey, lead.name, port, fuses, guards <= largest),
                unknown=np.isnan(largest) | ~survey.branches(full=False).known,
            ),
        )
    return out


def _opening(survey: Survey, lead: Lead, port: TwoPole, fuses: list[Fuse]) -> list[Array]:
    """Return the current of a lead at which each fuse carries its rating, infinite for one off its way [A]."""
    branches = survey.branches(full=False)
    share = survey.rest(full=False).share[..., branches.load_names.index(port.name), :]
    through = share[..., branches.names.index(lead.name)]
    return [
        np.asarray(one.rating) * np.abs(through / share[..., branches.names.index(one.name)])
        if survey.share(port).get(one.name)
        else np.asarray(np.inf)
        for one in fuses
    ]


def _passes(survey: Survey, name: str, port: TwoPole, fuses: list[Fuse], guards: Flags) -> Flags:
    """Say for which designs a lead still carries current with all fuses open that guard it."""
    bare = tuple(one.name for group in survey.bare for one in group)
    still: dict[tuple[bool, ...], bool] = {}
    columns = [tuple(column) for column in guards.reshape(len(fuses), -1).T.tolist()]
    for column in set(columns):
        opened = (one.name for one, is_open in zip(fuses, column, strict=True) if is_open)
        still[column] = name in survey.flow(*survey.idle, *bare, *opened, through=(port,)).carries
    return np.array([still[column] for column in columns]).reshape(guards.shape[1:])
