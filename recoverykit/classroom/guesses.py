"""The guesses of a class: how far they lie apart, and what came out.

Nothing here names a learner.
"""

import functools
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import SimpleNamespace

from recoverykit import lessons
from recoverykit.course.guesses import Guess
from recoverykit.course.progress import Entry
from recoverykit.course.questions import COMMITTED, KEPT, SKIPPED, UNREADABLE
from recoverykit.course.templates import ChoiceField, NumberField
from recoverykit.lessons.bank import LESSONS, find_guess
from recoverykit.measurements.extrapolation import line_extrapolation
from recoverykit.measurements.session import demo_session
from recoverykit.physics.formulas import kinetic_energy, peak_tension
from recoverykit.physics.rigging import Link, demo_line
from recoverykit.physics.rope import Rope, demo_rope
from recoverykit.units.quantities import (
    METRIC,
    SYSTEMS,
    DisplaySystem,
    InputError,
    Q,
    display,
    show,
)

CLOSE = 0.2  # a guess is close to what came out if it is off by no more than this share

Band = tuple[Q, Q]


def _panel(kind, **values):
    """What a panel works out for some values, and those that it starts with in its units."""
    panel = kind()
    panel.set(**values)
    return panel.result


def _stretched(n, times_as_strong):
    strength = times_as_strong * n.strength
    values = {"mass": n.mass, "speed": n.speed, "length": n.length, "strength": strength}
    return _panel(lessons.StretchPanel, **values)


def _yard_peak(n, speed) -> Q:
    rope = Rope(n.length, n.strength, demo_rope("yard rope").stretch_at_break)
    return peak_tension(n.mass, speed, rope.stiffness)


def _carried_to(speed) -> Band:
    session = demo_session().without(4, 12)  # those that were written down wrongly
    there = line_extrapolation(session.kept, speed)
    return there.straight, there.stiffest


def _freed(n) -> Band:
    let_go = _panel(lessons.LettingGoPanel, tension=n.tension).let_go
    return let_go.least_speed, let_go.most_speed


def _start_band() -> Band:
    band = _panel(lessons.HoldingPanel).found.band
    return band.low, band.high


def _name(link: Link | None) -> str:
    return link.name if link else ""


# What came out, for each field of each guess: a quantity, the ends of a band, or an option's name.
RIGHT: Mapping[str, Mapping[str, Callable[[SimpleNamespace], Q | Band | str]]] = {
    "01.guess": {
        "twice_energy": lambda n: kinetic_energy(n.mass, n.twice),
        "four_times_energy": lambda n: kinetic_energy(n.mass, n.four_times),
    },
    "02.guess": {
        "winch_line": lambda n: _stretched(n, 1).winch_line.peak.tension,
        "stronger_rope": lambda n: _stretched(n, 2).rope.peak.tension,
    },
    "03.guess": {
        "middle_peak": lambda n: _yard_peak(n, n.middle),
        "fast_peak": lambda n: _yard_peak(n, n.fast),
    },
    "04.guess": {"stronger": lambda n: "a"},
    "05.guess": {
        "limit": lambda n: _name(demo_line().first_past_working_limit),
        "break": lambda n: _name(demo_line().first_to_break),
    },
    "06.guess": {"pull": lambda n: _start_band(), "first": lambda n: "work"},
    "07.guess": {
        "peak": lambda n: _panel(lessons.MoreSpeedPanel, speed=n.fast).here.peak,
        "travel": lambda n: _panel(lessons.MoreSpeedPanel, speed=n.fast).here.travel,
    },
    "08.guess": {
        "fast_peak": lambda n: _carried_to(n.fast),
        "rows": lambda n: "right",
        "meter": lambda n: "higher",
    },
    "09.guess": {"speed": lambda n: _freed(n), "tether": lambda n: "may"},
    "10.guess": {
        "first": lambda n: "steady",
        "fastest": lambda n: _panel(lessons.PlanPanel).plan.steps[-1].speed,
    },
}


@dataclass(frozen=True)
class NumberSpread:
    """The guesses of one number, smallest first, and the band of what came out."""

    label: str
    kind: str
    guesses: tuple[Q, ...]
    right: Band

    @property
    def close(self) -> int:
        """How many came close to it."""
        low, high = self.right
        return sum((1 - CLOSE) * low <= each <= (1 + CLOSE) * high for each in self.guesses)

    @property
    def right_in_words(self) -> str:
        """What came out."""
        low, high = (show(end, self.kind, digits=2) for end in self.right)
        return low if low == high else f"between {low} and {high}"

    @property
    def sentence(self) -> str:
        """How the guesses lie, in words."""
        if not self.guesses:
            return f"{self.label}: it is {self.right_in_words}."
        count, median = len(self.guesses), self.guesses[len(self.guesses) // 2]
        first, middle, last = (
            show(each, self.kind, digits=2) for each in (self.guesses[0], median, self.guesses[-1])
        )
        return (
            f"{self.label}: it is {self.right_in_words}, and {self.close} of {count} came close. "
            f"The guesses run from {first} to {last}; the middle one is {middle}."
        )


@dataclass(frozen=True)
class ChoiceSpread:
    """How many chose each option, and the one that is right."""

    label: str
    options: Mapping[str, str]
    counts: Mapping[str, int]
    right: str

    @property
    def sentence(self) -> str:
        """How the choices lie, in words."""
        total = sum(self.counts.values())
        chosen = "; ".join(
            f"{self.counts[name]} said “{text}”"
            for name, text in self.options.items()
            if self.counts[name] and name != self.right
        )
        right = f"{self.counts[self.right]} of {total} said “{self.options[self.right]}”"
        return f"{self.label}: {right}, which is right{'; ' if chosen else ''}{chosen}."


@dataclass(frozen=True)
class GuessSpread:
    """How a class guessed in one lesson; some had the answer shown `without` a guess."""

    lesson: str
    guessed: int
    without: int
    fields: tuple[NumberSpread | ChoiceSpread, ...]

    @property
    def summary(self) -> str:
        """All of it, in words."""
        others = f", {self.without} looked without a guess" * bool(self.without)
        said = f"Lesson {self.lesson}: {self.guessed} guessed{others}."
        return " ".join([said, *(each.sentence for each in self.fields)])


def spread_of(id: str, learners: Iterable[Sequence[Entry]]) -> GuessSpread:
    """How the guesses of a class lie, from the entries of each learner.

    Of each learner the last guess that was kept counts. In the display system in force: whoever
    guessed in the other one was asked with other round numbers, so their guess is shown as far off
    as it was with those.
    """
    lasts = [_last(id, entries) for entries in learners]
    kept = [last for last in lasts if last and last.verdict in (KEPT, COMMITTED)]
    return GuessSpread(
        id[:2],
        len(kept),
        sum(last is not None and last.verdict == SKIPPED for last in lasts),
        tuple(_spread(id, name, kept) for name in find_guess(id).fields),
    )


def _last(id: str, entries: Sequence[Entry]) -> Entry | None:
    of_guess = (entry for entry in reversed(entries) if entry.id == id)
    return next((entry for entry in of_guess if entry.verdict != UNREADABLE), None)


def _spread(id: str, name: str, kept: Iterable[Entry]) -> NumberSpread | ChoiceSpread:
    guess, right = Guess(find_guess(id)), _right(id, name, display.system)
    field = guess.template.fields[name]
    label = guess.fill(field.label)
    read = [(_read(field, entry.typed.get(name, "")), entry.units) for entry in kept]
    if isinstance(field, ChoiceField):
        options = {option: guess.fill(text) for option, text in field.options.items()}
        return ChoiceSpread(label, options, Counter(each for each, _ in read if each), str(right))
    low, high = _band(right)
    guesses = (
        each * (high / _band(_right(id, name, SYSTEMS.get(units, METRIC)))[1]).m_as("")
        for each, units in read
        if each is not None
    )
    return NumberSpread(label, field.kind, tuple(sorted(guesses)), (low, high))


def _read(field: NumberField | ChoiceField, typed: str):
    """What was typed into a field; None where it can be read no more."""
    try:
        return field.read(typed).quantity
    except InputError:
        return None


@functools.cache  # some are simulated
def _right(id: str, name: str, system: DisplaySystem) -> Q | Band | str:
    """What came out with the numbers of a display system."""
    with display.numbers_of(system):
        return RIGHT[id][name](find_guess(id).numbers())


def _band(right) -> Band:
    return right if isinstance(right, tuple) else (right, right)


def as_rows(spread: GuessSpread) -> Iterable[list[str | int]]:
    """A spread as rows of a table: lesson, what was asked, each guess or option, how many."""
    for field in spread.fields:
        if isinstance(field, ChoiceSpread):
            counts = {text: field.counts[name] for name, text in field.options.items()}
            right = field.options[field.right]
        else:
            counts = Counter(show(each, field.kind, digits=2) for each in field.guesses)
            right = field.right_in_words
        for said, count in counts.items():
            yield [spread.lesson, field.label, right, said, count]


def guess_ids() -> list[str]:
    """Every guess of the course."""
    return [guess.id for bank in LESSONS.values() for guess in getattr(bank, "GUESSES", ())]
