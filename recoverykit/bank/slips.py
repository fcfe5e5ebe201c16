"""Slips with units that answers show: the same number with another unit."""

from recoverykit.units import METRIC, US, Q, display


def same_number(quantity, kind: str, other_kind: str):
    """The number that is shown for a quantity, with the unit of another kind."""
    return Q(quantity.m_as(display.system.unit(kind)), display.system.unit(other_kind))


def other_system(quantity, kind: str):
    """The number that is shown for a quantity, with the unit of the other system."""
    other = US if display.system is METRIC else METRIC
    return Q(quantity.m_as(display.system.unit(kind)), other.unit(kind))


def unconverted(speed):
    """The number that is shown for a speed, taken for metres a second."""
    return Q(speed.m_as(display.system.unit("speed")), "m/s")
