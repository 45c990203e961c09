"""The drive: motor, gear, controller and supply with a propeller, solved together."""

from foilwright.physics.drive.controller import (
    BridgeLoss,
    controller_loss,
    switching_share,
    transistor_loss,
)
from foilwright.physics.drive.grid import (
    BINDING,
    NODES,
    DriveMap,
    FullThrottle,
    at_thrust,
    full_throttle,
    map,
)
from foilwright.physics.drive.inputs import DriveInputs
from foilwright.physics.drive.motor import (
    FieldVoltage,
    MotorPoint,
    Planetary,
    TorqueConstant,
    coercivity,
    continuous_current,
    electrical_speed,
    field_voltage,
    hot_resistance,
    magnet_factor,
    motor_point,
    peak_efficiency,
    planetary,
    torque_constant,
)
from foilwright.physics.drive.point import DrivePoint, at, at_duty, operating_point

__all__ = [
    "BINDING",
    "NODES",
    "BridgeLoss",
    "DriveInputs",
    "DriveMap",
    "DrivePoint",
    "FieldVoltage",
    "FullThrottle",
    "MotorPoint",
    "Planetary",
    "TorqueConstant",
    "at",
    "at_duty",
    "at_thrust",
    "coercivity",
    "continuous_current",
    "controller_loss",
    "electrical_speed",
    "field_voltage",
    "full_throttle",
    "hot_resistance",
    "magnet_factor",
    "map",
    "motor_point",
    "operating_point",
    "peak_efficiency",
    "planetary",
    "switching_share",
    "torque_constant",
    "transistor_loss",
]
