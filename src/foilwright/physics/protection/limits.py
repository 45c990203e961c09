"""Rules on voltages, grounds, poles that can be touched, the receiver, the phases, braking."""

from __future__ import annotations

import numpy as np

from foilwright.network import Bond, Contact, Controller, Module, Motor, Receiver, Supply
from foilwright.physics.protection.survey import Fault, Survey, fault, rule

TOUCH_WET = 30.0
"""Direct voltage that wet or immersed people may touch [V] (IEC 60364-7-702, IEC 60598-1)."""
FULL = 0.95
"""Charge from which a pack takes up no braking [-] (common practice)."""
EVEN = 1e-6
TOUCH = "30 V direct for wet or immersed people: IEC 60364-7-702, IEC 60598-1"


@rule("Do controller and supplies bear the full voltage?", "rating of the part")
def over_voltage(survey: Survey) -> list[Fault]:
    """Name controllers and supplies rated below the full voltage."""
    out: list[Fault] = []
    rated: list[Controller | Supply] = [*survey.each(Controller), *survey.each(Supply)]
    for one in rated:
        volts, limit = survey.full_voltage(one), np.asarray(one.voltage_limit)
        if not any(survey.share(one).values()):
            continue
        out.append(
            fault(
                kind="over-voltage",
                joints=(one.name, one.start),
                wrong=f"{one.name} is rated below the voltage of the full pack",
                do="use fewer cells in series or a part rated above the full voltage",
                meaning="burns",
                source="rating of the part",
                demand=volts,
                capacity=limit,
                unit="V",
                applies=volts > limit,
                unknown=np.isnan(volts + limit),
            ),
        )
    return out


@rule("Does each load empty all modules of a string alike?", "Kirchhoff's laws")
def tap_between_modules(survey: Survey) -> list[Fault]:
    """Name loads that hang on part of a string."""
    out = []
    main = {one.name for one in survey.main}
    for one in (*survey.each(Supply), *survey.each(Receiver)):
        share = survey.share(one)
        for group in survey.strings:
            parts = [share.get(module.name, 0.0) for module in group if module.name in main]
            if parts and max(parts) - min(parts) > EVEN:
                out.append(
                    fault(
                        kind="tap between modules",
                        joints=(one.name, *(module.name for module in group)),
                        wrong=f"{one.name} empties some modules of a string and not the others",
                        do="feed it from the whole pack through a supply, or from a battery of its own",
                        meaning="breaks",
                        source="Kirchhoff's laws",
                    )
                )
                break
    return out


def _feeds(survey: Survey, receiver: Receiver) -> list[tuple[str, object, bool]]:
    """Return what feeds a receiver: name, voltage, whether the right way round."""
    net = survey.net
    here = (net[receiver.start], net[receiver.end])
    found: list[tuple[str, object, bool]] = []
    for supply in survey.each(Supply):
        out = (net[supply.out_start], net[supply.out_end])
        if any(survey.share(supply).values()) and set(out) == set(here):
            found.append((supply.name, np.asarray(supply.output_voltage), out == here))
    share = survey.share(receiver)
    modules = [one for one in survey.each(Module) if share.get(one.name, 0.0) != 0.0]
    if modules:
        right = all(share[one.name] > 0.0 for one in modules)
        found.append((modules[0].name, survey.full_voltage(receiver), right))
    return found


@rule("Is the receiver fed once, the right way round, within its voltage?", "rating of the part")
def receiver_supply(survey: Survey) -> list[Fault]:
    """Name receivers without a feed, with two, turned round, or fed with a wrong voltage."""
    out: list[Fault] = []
    for one in survey.each(Receiver):
        feeds = _feeds(survey, one)
        if not feeds and not survey.live:
            continue
        low, limit = np.asarray(one.voltage_low), np.asarray(one.voltage_limit)
        volts = np.asarray(feeds[0][1], dtype=np.float64) if feeds else np.asarray(np.nan)
        wrong, do = _radio(one, [name for name, _, _ in feeds], all(right for *_, right in feeds))
        always = len(feeds) != 1 or not feeds[0][2]
        out.append(
            fault(
                kind="receiver supply",
                joints=(one.name, one.start, *(name for name, _, _ in feeds)),
                wrong=wrong,
                do=do,
                meaning="hurts",
                source="rating of the part; a two-cell battery reaches 8.4 V",
                demand=volts,
                capacity=limit,
                unit="V",
                applies=always | (volts > limit) | (volts < low),
                unknown=~np.asarray(always) & np.isnan(volts + low + limit),
            ),
        )
    return out


def _radio(receiver: Receiver, feeds: list[str], right: bool) -> tuple[str, str]:
    if not feeds:
        return f"{receiver.name} is not fed: the throttle link is dead", "join it to a supply or battery"
    if len(feeds) > 1:
        return f"{receiver.name} is fed twice, by {' and '.join(feeds)}", "take one feed away"
    if not right:
        return f"{receiver.name} is fed with its poles swapped", "swap the two leads of the receiver"
    return (
        f"{receiver.name} gets a voltage outside its range from {feeds[0]}",
        "put a step-down supply of 5 V between, or use a receiver made for this voltage",
    )


@rule("Does the throttle signal have a way back?", "a signal is a voltage between two wires")
def no_common_ground(survey: Survey) -> list[Fault]:
    """Name receivers that are fed, but not tied to the controller's minus."""
    out = []
    for one in survey.each(Receiver):
        feeds = _feeds(survey, one)
        grounds = {survey.net[controller.end] for controller in survey.each(Controller)}
        if feeds and all(right for *_, right in feeds) and survey.net[one.end] not in grounds:
            out.append(
                fault(
                    kind="no common ground",
                    joints=(one.name, one.end),
                    wrong=f"the minus of {one.name} is not tied to the minus of the controller",
                    do="join the two minus sides by one thin lead, at one place only",
                    meaning="hurts",
                    source="Kirchhoff's laws",
                )
            )
    return out


@rule("Are both poles of the pack free of water and metal?", TOUCH)
def bonded_pole(survey: Survey) -> list[Fault]:
    """Name joints of the pack that are tied to the water or to metal in it."""
    poles = {survey.net[joint] for one in survey.each(Module) for joint in (one.start, one.end)}
    return [
        fault(
            kind="bonded pole",
            joints=(one.name, one.start),
            wrong=f"{one.name} ties {one.start} to the water: a fault at the other pole is a shock and eats metal",
            do="keep both poles insulated and floating; do not use mast or hull as a conductor",
            meaning="hurts",
            source=TOUCH,
        )
        for one in survey.each(Bond)
        if {survey.net[one.start], survey.net[one.end]} & poles
    ]


@rule("Is every live part above 30 V covered?", TOUCH)
def touchable_pole(survey: Survey) -> list[Fault]:
    """Name bare contacts on a voltage that wet people may not touch."""
    poles = {survey.net[joint] for one in survey.each(Module) for joint in (one.start, one.end)}
    highest = [survey.full_voltage(one) for one in survey.each(Controller)]
    volts = np.max(np.broadcast_arrays(*highest), axis=0) if highest else np.asarray(np.nan)
    out: list[Fault] = []
    for one in survey.each(Contact):
        if np.all(one.insulated) or not {survey.net[one.start], survey.net[one.end]} & poles:
            continue
        bare = ~np.asarray(one.insulated, dtype=bool)
        out.append(
            fault(
                kind="touchable pole",
                joints=(one.name,),
                wrong=f"{one.name} is bare and carries more than wet people may touch",
                do="use covered contacts, the covered half on the side of the pack",
                meaning="hurts",
                source=TOUCH,
                demand=volts,
                capacity=TOUCH_WET,
                unit="V",
                applies=bare & (volts > TOUCH_WET),
                unknown=bare & np.isnan(volts),
            ),
        )
    return out


def _windings(survey: Survey, controller: Controller, motor: Motor) -> list[list[int]]:
    """Return for each phase of the controller the leads of the motor that it is tied to."""
    net = survey.net
    leads = [net[joint] for joint in motor.phases]
    return [[k for k, lead in enumerate(leads) if lead == net[joint]] for joint in controller.phases]


@rule("Does each phase reach one motor lead?", "three-phase motor")
def phase_order(survey: Survey) -> list[Fault]:
    """Name phases that reach none, or more than one."""
    out = []
    for controller in survey.each(Controller):
        for motor in survey.each(Motor):
            tied = _windings(survey, controller, motor)
            for joint, found in zip(controller.phases, tied, strict=True):
                if len(found) != 1:
                    out.append(
                        fault(
                            kind="phase order",
                            joints=(joint, motor.name, *(motor.phases[k] for k in found)),
                            wrong=f"{joint} reaches " + ("no motor lead" if not found else "several motor leads"),
                            do="join each phase of the controller to one lead of the motor",
                            meaning="breaks",
                            source="three-phase motor",
                        )
                    )
    return out


@rule("Does the propeller turn the way its hand asks?", "swapping two phases turns the sense")
def rotation_sense(survey: Survey) -> list[Fault]:
    """Say where the order of the phases turns the propeller the wrong way."""
    out: list[Fault] = []
    for controller in survey.each(Controller):
        for motor in survey.each(Motor):
            tied = _windings(survey, controller, motor)
            order = [found[0] for found in tied if len(found) == 1]
            if sorted(order) != [0, 1, 2]:
                continue
            turn = 1.0 if order in ([0, 1, 2], [1, 2, 0], [2, 0, 1]) else -1.0
            sense = turn * np.asarray(motor.sense) * np.where(controller.reversed, -1.0, 1.0)
            out.append(
                fault(
                    kind="rotation sense",
                    joints=(motor.name, *motor.phases),
                    wrong="the propeller turns against its hand: the craft is pushed astern and its nut loosens",
                    do="swap any two phase leads, or the controller's setting; with hall sensors detect them again",
                    meaning="breaks",
                    source="three-phase motor: swapping two phases turns the sense",
                    applies=sense * np.asarray(motor.wanted) < 0.0,
                    unknown=np.isnan(sense * np.asarray(motor.wanted)),
                ),
            )
    return out


@rule("Can the pack take what braking gives back?", "a full pack takes up nothing")
def braking_at_full_charge(survey: Survey) -> list[Fault]:
    """Name controllers that brake into a full pack."""
    charges = [np.asarray(one.charge, dtype=np.float64) for one in survey.main]
    if not charges:
        return []
    charge = np.max(np.broadcast_arrays(*charges), axis=0)
    out: list[Fault] = []
    for one in survey.each(Controller):
        brakes = np.asarray(one.braking, dtype=bool)
        out.append(
            fault(
                kind="braking at full charge",
                joints=(one.name,),
                wrong=f"{one.name} brakes into a full pack: the voltage rises until a protection opens",
                do="switch braking by the motor off, or start with less than 95 % charge",
                meaning="breaks",
                source="common practice",
                demand=charge,
                capacity=FULL,
                unit="1",
                applies=brakes & (charge > FULL),
                unknown=brakes & np.isnan(charge),
            ),
        )
    return out
