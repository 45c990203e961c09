"""What guards wires and people: sizes of wires and fuses, and the rules on a drawn network."""

from foilwright.core.model import Array
from foilwright.network import Network
from foilwright.physics.protection.guards import (
    fuse_interrupting,
    fuse_place,
    fuse_too_large,
    fuse_too_small,
    fuse_voltage,
    no_fuse,
    no_main_switch,
    no_precharge,
)
from foilwright.physics.protection.limits import (
    bonded_pole,
    braking_at_full_charge,
    no_common_ground,
    over_voltage,
    phase_order,
    receiver_supply,
    rotation_sense,
    tap_between_modules,
    touchable_pole,
)
from foilwright.physics.protection.modules import (
    dead_short,
    mixed_cells,
    module_left_out,
    reversed_module,
    unequal_strings,
)
from foilwright.physics.protection.sizing import (
    Ampacity,
    FuseSize,
    Heating,
    OpeningTime,
    ampacity,
    fuse_size,
    heating_current,
    heating_time,
    opening_time,
    pulse_share,
)
from foilwright.physics.protection.survey import Fault, Rule, Survey, _held

RULES: tuple[Rule, ...] = (
    dead_short, reversed_module, unequal_strings, module_left_out, mixed_cells,
    no_main_switch, no_precharge, no_fuse, fuse_place, fuse_voltage, fuse_interrupting, fuse_too_small,
    fuse_too_large, over_voltage, tap_between_modules, no_common_ground, bonded_pole, touchable_pole,
    receiver_supply, phase_order, rotation_sense, braking_at_full_charge,
)  # fmt: skip
"""All rules, those that burn at once first."""


class Inspection(tuple[Fault, ...]):
    """The faults of a network, by rule and then by name: the order of its listing means nothing."""

    __slots__ = ()

    @classmethod
    def of(cls, network: Network, *, ambient: Array | float = 313.15) -> "Inspection":
        """Look at a network with every rule; ``ambient`` [K] is the temperature around the leads."""
        return cls(_held(one for found in cls.compared(network, ambient=ambient).values() for one in found))

    @staticmethod
    def compared(network: Network, *, ambient: Array | float = 313.15) -> dict[str, list[Fault]]:
        """Return by name of rule what each rule compared, whether it is a fault or not."""
        survey = Survey.of(network, ambient=ambient)
        return {rule.name: sorted(rule.look(survey), key=lambda one: (one.kind, one.joints)) for rule in RULES}


__all__ = [
    "RULES",
    "Ampacity",
    "Fault",
    "FuseSize",
    "Heating",
    "Inspection",
    "OpeningTime",
    "Rule",
    "Survey",
    "ampacity",
    "fuse_size",
    "heating_current",
    "heating_time",
    "opening_time",
    "pulse_share",
]
