"""Slips with units that answers show: the same number with another unit."""

from collections.abc import Callable
from types import SimpleNamespace

from recoverykit.course.questions import Mistake
from recoverykit.units.quantities import METRIC, US, Q, display


def same_number(quantity, kind: str, other_kind: str):
    """The number that is shown for a quantity, with the unit of another kind."""
    return Q(quantity.m_as(display.system.unit(kind)), display.system.unit(other_kind))


def other_system(quantity, kind: str):
    """The number that is shown for a quantity, with the unit of the other system."""
    other = US if display.system is METRIC else METRIC
    return Q(quantity.m_as(display.system.unit(kind)), other.unit(kind))


def unconverted(speed):
    """The number that is shown for a speed, taken for meters a second."""
    return Q(speed.m_as(display.system.unit("speed")), "m/s")


# --- as mistakes -------------------------------------------------------------------------


def slips_with_speed(of: Callable[[SimpleNamespace, Q], Q]) -> tuple[Mistake, Mistake]:
    """Two slips with the number `speed` of a question; `of` it the answer is worked out."""
    return (
        Mistake(
            "other speed unit",
            lambda n: of(n, other_system(n.speed, "speed")),
            "That comes out when km/h and mph are mixed up. The speed here is {speed}.",
        ),
        Mistake(
            "speed not converted",
            lambda n: of(n, unconverted(n.speed)),
            "That comes out when {speed} is put in as if it were meters a second. Write the speed "
            "with its unit, and the cell of the worked example converts it.",
        ),
    )


def in_other_unit(speed: str, kind: str = "speed") -> Mistake:
    """The speed of this name, which is the answer, with the unit of the other system."""
    return Mistake(
        "other speed unit",
        lambda n: other_system(getattr(n, speed), kind),
        "The number is right, but with the other unit: km/h and mph are mixed up.",
    )


def in_meters_per_second(speed: str, kind: str = "speed") -> Mistake:
    """The speed of this name, which is the answer, in meters a second."""
    return Mistake(
        "speed not converted",
        lambda n: Q(getattr(n, speed).m_as("m/s"), display.system.unit(kind)),
        "That number is the speed in meters a second.",
    )
