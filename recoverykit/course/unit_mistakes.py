"""Mistakes with units: a number of a question, or of an answer, taken in another unit."""

from collections.abc import Mapping
from dataclasses import dataclass

from recoverykit.units.quantities import METRIC, US, DisplaySystem, Q, display, unit_of


@dataclass(frozen=True)
class UnitMistake:
    """A mistake with units that is made in one display system, and what to say to it.

    `units` are by kind: the unit in which a number stands, and the one for which it is taken. It
    is made only where the text has numbers of the kinds that it `needs`.
    """

    name: str
    system: DisplaySystem
    units: Mapping[str, tuple[str, str]]
    sentence: str
    needs: frozenset[str] = frozenset()

    def taken(self, quantity, kind: str):
        """The number of a quantity, with the unit for which its own is taken."""
        if kind not in self.units:
            return quantity
        stands, taken = map(unit_of, self.units[kind])
        return Q(quantity.m_as(stands), taken)

    def written(self, quantity, kind: str):
        """The number of a quantity in the mistaken unit, with the right one."""
        if kind not in self.units:
            return quantity
        stands, taken = map(unit_of, self.units[kind])
        return Q(quantity.m_as(taken), stands)


def _speeds(stands: str, taken: str) -> dict[str, tuple[str, str]]:
    return dict.fromkeys(("speed", "flight"), (stands, taken))


_KMH_AND_MPH = "Km/h and mph got mixed up. Check the unit of each speed."

UNIT_MISTAKES = (
    UnitMistake("other speed unit", METRIC, _speeds("km/h", "mph"), _KMH_AND_MPH),
    UnitMistake("other speed unit", US, _speeds("mph", "km/h"), _KMH_AND_MPH),
    UnitMistake(
        "speed not converted",
        METRIC,
        _speeds("km/h", "m/s"),
        "Km/h and m/s got mixed up: divide km/h by 3.6 to get m/s.",
    ),
    UnitMistake(
        "speed not converted",
        US,
        _speeds("mph", "ft/s"),
        "Mph and ft/s got mixed up: multiply mph by 1.467 to get ft/s.",
    ),
    UnitMistake(
        "pounds for mass",
        US,
        {"mass": ("lb", "slug")},
        "Pounds are a weight, not a mass. Where a formula asks for mass, divide pounds by 32.2, "
        "which is g in ft/s².",
    ),
    UnitMistake(
        "pounds and mph as they stand",
        US,
        {"mass": ("lb", "slug"), **_speeds("mph", "ft/s")},
        "Pounds and mph don't go into a formula as they stand. Divide pounds by 32.2 to get mass, "
        "and multiply mph by 1.467 to get ft/s.",
        frozenset({"mass", "speed"}),
    ),
    UnitMistake(
        "feet and inches",
        US,
        {"length": ("ft", "in")},
        "Feet and inches got mixed up: 12 inches make a foot.",
    ),
)


def same_number(quantity, kind: str, other_kind: str):
    """The number that is shown for a quantity, with the unit of another kind."""
    return Q(quantity.m_as(display.system.unit(kind)), display.system.unit(other_kind))


def other_system(quantity, kind: str):
    """The number that is shown for a quantity, with the unit of the other system."""
    other = US if display.system is METRIC else METRIC
    return Q(quantity.m_as(display.system.unit(kind)), other.unit(kind))
