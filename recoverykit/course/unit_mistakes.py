"""Mistakes with units that answers show: the same number with another unit."""

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
    """The number that is shown for a speed, taken for meters per second."""
    return Q(speed.m_as(display.system.unit("speed")), "m/s")


# --- as mistakes -------------------------------------------------------------------------


def speed_unit_mistakes(of: Callable[[SimpleNamespace, Q], Q]) -> dict[str, Mistake]:
    """Two mistakes with the number `speed` of a question; `of` it the answer is worked out."""
    return {
        "other speed unit": Mistake(
            lambda n: of(n, other_system(n.speed, "speed")),
            "That comes out when km/h and mph are mixed up. The speed here is {speed}.",
        ),
        "speed not converted": Mistake(
            lambda n: of(n, unconverted(n.speed)),
            "That comes out when {speed} is put in as if it were meters per second. Write the "
            "speed with its unit, and the cell of the worked example converts it.",
        ),
    }


def in_other_unit(speed: str, kind: str = "speed") -> dict[str, Mistake]:
    """The speed of this name, which is the answer, with the unit of the other system."""
    return {
        "other speed unit": Mistake(
            lambda n: other_system(getattr(n, speed), kind),
            "The number is right, but with the other unit: km/h and mph are mixed up.",
        )
    }


def in_meters_per_second(speed: str, kind: str = "speed") -> dict[str, Mistake]:
    """The speed of this name, which is the answer, in meters per second."""
    return {
        "speed not converted": Mistake(
            lambda n: Q(getattr(n, speed).m_as("m/s"), display.system.unit(kind)),
            "That number is the speed in meters per second.",
        )
    }
