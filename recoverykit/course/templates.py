"""Templates of guesses and questions: their numbers, their text, and fields to answer in."""

import itertools
import random
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import SimpleNamespace

from recoverykit.units.parsing import Reading, read_quantity
from recoverykit.units.quantities import (
    KINDS,
    METRIC,
    US,
    DisplaySystem,
    InputError,
    Q,
    as_number,
    brief,
    display,
    show,
)

Formula = Callable[[SimpleNamespace], Q]  # a quantity, of the numbers of one instance


@dataclass(frozen=True)
class Given:
    """A number of a question: its kind, and the values that it may be asked with.

    Each display system has round values of its own, near in size; a seed stands for the same
    place in both lists.
    """

    kind: str
    metric: tuple[float, ...]
    us: tuple[float, ...]

    def __post_init__(self):
        if len(self.metric) != len(self.us):
            raise ValueError(f"{self.metric} and {self.us} are not equally many")

    @classmethod
    def only(cls, kind: str, quantity: Q | float) -> "Given":
        """A number that is the same in every instance, of a kind with one unit for all."""
        value = Q(quantity).m_as(KINDS[kind].metric)
        return cls(kind, (value,), (value,))

    def quantity(self, place: int, system: DisplaySystem) -> Q:
        """The value at a place in the list of a display system."""
        return Q(getattr(self, system.column)[place], system.unit(self.kind))


_KIND_OF_UNIT = {METRIC.symbol(name): name for name in reversed(KINDS)}


def choices(**values: str) -> dict[str, Given]:
    """Numbers of a question by name: the metric values with their unit, then the US ones.

    One list will do for a unit that both systems have.

    >>> choices(speed="2.5, 5 km/h | 1.5, 3 mph", share="20 %")
    {'speed': Given(kind='speed', metric=(2.5, 5.0), us=(1.5, 3.0)),
     'share': Given(kind='ratio', metric=(20.0,), us=(20.0,))}
    """
    given = {}
    for name, text in values.items():
        metric, _, us = text.partition(" | ")
        numbers, unit = _split(metric)
        kind = _KIND_OF_UNIT[unit]
        us_numbers, us_unit = _split(us or metric)
        if us_unit != US.symbol(kind):
            raise ValueError(f"{name}: {us_unit!r} is not the US unit of {KINDS[kind].article}")
        given[name] = Given(kind, numbers, us_numbers)
    return given


def _split(text: str) -> tuple[tuple[float, ...], str]:
    *numbers, last = text.split(", ")
    number, _, unit = last.partition(" ")
    return tuple(map(float, [*numbers, number])), unit


@dataclass(frozen=True)
class Derived:
    """A number that is worked out from the given ones, for a text to show."""

    kind: str
    of: Formula


@dataclass(frozen=True)
class NumberField:
    """A place for one number; `at` names the template's number that it is drawn over."""

    label: str
    kind: str
    at: str | None = None

    def read(self, typed: str) -> Reading:
        """The quantity that was typed. Raises InputError where it cannot be read."""
        return read_quantity(typed, self.kind)


@dataclass(frozen=True)
class ChoiceField:
    """A place to choose one of several answers; `options` are their texts by name."""

    label: str
    options: Mapping[str, str]

    def read(self, typed: str) -> Reading:
        """The name of the chosen option. Raises InputError where none was chosen."""
        if typed not in self.options:
            raise InputError("choose one of the answers first")
        return Reading(typed)


@dataclass(frozen=True, kw_only=True)
class Template:
    """What guesses and questions share: an id, numbers, and a text with their names in braces."""

    id: str
    text: str
    given: Mapping[str, Given]
    derived: Mapping[str, Derived] = field(default_factory=dict)

    @property
    def variants(self) -> int:
        """In how many ways the given numbers can be combined."""
        return len(self._combinations())

    def numbers(self, seed: int = 0) -> SimpleNamespace:
        """The numbers for a seed, as quantities, in the display system in force."""
        combinations = self._combinations()
        # Only random() is the same in every version of Python, and answers on disk rely on it.
        draw = random.Random(self.id).random
        order = sorted(range(len(combinations)), key=lambda _: draw())
        places = combinations[order[seed % len(combinations)]]
        given = zip(self.given.items(), places, strict=True)
        return self._derive(
            {name: one.quantity(place, display.system) for (name, one), place in given}
        )

    def _derive(self, known: Mapping[str, Q]) -> SimpleNamespace:
        """All numbers, from those that are known.

        Who works a question out starts from the numbers that are shown. So each is rounded as it
        is shown before the next is worked out.
        """
        numbers = SimpleNamespace(**known)
        for name, one in self.derived.items():
            if name not in known:
                setattr(numbers, name, self._as_shown(name, one.of(numbers)))
        return numbers

    def _as_shown(self, name: str, quantity: Q) -> Q:
        kind = self._all[name].kind
        return read_quantity(show(quantity, kind), kind).quantity

    def fill(self, text: str, numbers: SimpleNamespace) -> str:
        """Put numbers into a text, in the display system in force.

        Of "[1 m/s is 3.6 km/h|1 mph is 1.47 ft/s]" the metric or the US part stays. "{speed in
        formulas}" has the unit with which people compute by hand.
        """
        text = _ONE_OF_TWO.sub(r"\1" if display.system is METRIC else r"\2", text)
        shown = {}
        for name, one in self._all.items():
            for words, written in ((name, brief), (f"{name} in formulas", _in_formulas)):
                if f"{{{words}}}" in text:
                    shown[words] = written(getattr(numbers, name), one.kind)
        return text.format(**shown)

    @property
    def _all(self) -> dict[str, Given | Derived]:
        return {**self.given, **self.derived}

    def _combinations(self):
        return list(itertools.product(*(range(len(one.metric)) for one in self.given.values())))


# In metric and in US units, by kind.
_UNITS_IN_FORMULAS = {
    "mass": ("kg", "slug"),
    "speed": ("m/s", "ft/s"),
    "flight": ("m/s", "ft/s"),
    "stiffness": ("N/m", "lbf/ft"),
    "energy": ("J", "ft*lbf"),
    "force": ("N", "lbf"),
    "length": ("m", "ft"),
}


def _in_formulas(quantity: Q, kind: str) -> str:
    unit = _UNITS_IN_FORMULAS[kind][display.system is US]
    return f"{as_number(quantity.m_as(unit))} {unit.replace('slug', 'slugs').replace('*', '·')}"


_ONE_OF_TWO = re.compile(r"\[([^|\]]*)\|([^|\]]*)\]")


class Instance:
    """A guess or a question with the numbers of one seed, in the display system in force."""

    def __init__(self, template: Template, seed: int = 0):
        self.template = template
        self.seed = seed
        self._numbers: dict[str, SimpleNamespace] = {}

    @property
    def numbers(self) -> SimpleNamespace:
        """The numbers, as quantities."""
        system = display.system.name
        if system not in self._numbers:  # some are simulated
            self._numbers[system] = self.template.numbers(self.seed)
        return self._numbers[system]

    def fill(self, text: str) -> str:
        """A text with the numbers put in."""
        return self.template.fill(text, self.numbers)

    @property
    def text(self) -> str:
        """What is asked, or to be guessed."""
        return self.fill(self.template.text)
