"""Guesses and checked questions: their numbers, their words, and what is said to an answer.

A question is declared: the values it may be asked with, a text with the numbers' names in
braces, and functions of the numbers that give the right answer and what comes out of each
common mistake. `QuestionInstance` is a question with the numbers of one seed.
"""

import itertools
import random
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from types import SimpleNamespace

from recoverykit.course.unit_mistakes import UNIT_MISTAKES, UnitMistake
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
from recoverykit.units.text import as_sentence, in_brackets

RIGHT = "right"
UNREADABLE = "unreadable"
OTHER_KIND = "other kind"
FAR_OFF = "far off"
TOO_HIGH = "too high"
TOO_LOW = "too low"
KEPT = "kept"  # a guess that may still be changed, for its answer was not shown
COMMITTED = "committed"
SKIPPED = "skipped"

MAY_CHANGE = "Your guess is kept. Want to change it? Do that before you see the answer."
FIXED = "Your guess is locked in."
ANSWER_LABEL = "Your answer"
TOLERANCE = 0.05  # of the right answer: enough for a reading off a picture
ROUNDED_UP = 0.01  # of the right answer, where none above it is: what rounding may add
MISTAKE_TOLERANCE = 0.02  # of a mistake's value: mistakes are worked out, not read off
FAR = 100  # times too large or too small: then a unit or a point has slipped

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
        shown = {
            name: brief(getattr(numbers, name), one.kind)
            for name, one in self._all.items()
            if f"{{{name}}}" in text
        }
        for name, one in self._all.items():
            if f"{{{name} in formulas}}" in text:
                shown[f"{name} in formulas"] = _in_formulas(getattr(numbers, name), one.kind)
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


@dataclass(frozen=True)
class Feedback:
    """What is said to an answer: a verdict in a word for the records, and sentences to read."""

    verdict: str
    sentence: str


# --- fields to fill in ------------------------------------------------------------------


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


# --- questions --------------------------------------------------------------------------


@dataclass(frozen=True)
class Mistake:
    """A common mistake: what comes out of it, and what to say to it.

    It may be one that only those make who work in one `system` of units.
    """

    of: Formula
    sentence: str
    system: DisplaySystem | None = None


@dataclass(frozen=True)
class Option:
    """One of several answers to choose from, and what to say to it."""

    text: str
    sentence: str


@dataclass(frozen=True, kw_only=True)
class Question(Template):
    """A question; `hints` go from a nudge to the whole way, the last with the answer."""

    hints: tuple[str, ...]

    @property
    def field(self) -> NumberField | ChoiceField:
        """Where it is answered."""
        raise NotImplementedError

    def right_answer(self, numbers: SimpleNamespace) -> str:
        """The right answer as it may be typed; for a choice, the option's name."""
        raise NotImplementedError

    def check(self, typed: str, numbers: SimpleNamespace) -> Feedback:
        """What is said to an answer as it was typed; for a choice, to an option's name."""
        raise NotImplementedError


@dataclass(frozen=True, kw_only=True)
class NumericQuestion(Question):
    """A question for a quantity, answered with a number and a unit.

    `asked` is the name of the number that is asked for. Where less is on the careful side, answers
    down to the part `careful_from` of the right one are right, too; above it only rounding is.
    """

    asked: str
    explained: str
    mistakes: Mapping[str, Mistake]
    tolerance: float = TOLERANCE
    careful_from: float = 1.0

    def _as_shown(self, name: str, quantity: Q) -> Q:
        return quantity if name == self.asked else super()._as_shown(name, quantity)

    @property
    def kind(self) -> str:
        """The kind of quantity that is asked for."""
        return self._all[self.asked].kind

    def right(self, numbers: SimpleNamespace) -> Q:
        """The right answer."""
        return getattr(numbers, self.asked)

    @property
    def mistake_names(self) -> list[str]:
        """All mistakes that may be recognized, those with units too."""
        return [*self.mistakes, *dict.fromkeys(mistake.name for mistake in UNIT_MISTAKES)]

    def mistakes_of(self, numbers: SimpleNamespace) -> list[tuple[str, Q, str]]:
        """Each mistake in the system in force: its name, what comes out, and what to say to it.

        A mistake with units is left out where its value is that of the right answer, or of a
        mistake before it.
        """
        made = [
            (name, mistake.of(numbers), mistake.sentence)
            for name, mistake in self.mistakes.items()
            if mistake.system in (None, display.system)
        ]
        taken = [(self.right(numbers), self.tolerance + ROUNDED_UP)]
        taken += [(value, MISTAKE_TOLERANCE) for _, value, _ in made]
        for mistake in UNIT_MISTAKES:
            for value in self._in_other_units(mistake, numbers):
                if value.m > 0 and not any(_is_near(value, *other) for other in taken):
                    made.append((mistake.name, value, mistake.sentence))
                    taken.append((value, MISTAKE_TOLERANCE))
        return made

    def _in_other_units(self, mistake: UnitMistake, numbers: SimpleNamespace) -> Iterator[Q]:
        """What comes out if a mistake is made with the answer, and with the numbers of the text."""
        shown = {name for name in self._all if f"{{{name}}}" in self.text}
        kinds = {self._all[name].kind for name in shown}
        if mistake.system is not display.system or not mistake.needs <= kinds:
            return
        right = self.right(numbers)
        yield mistake.written(right, self.kind)
        yield mistake.taken(right, self.kind)
        known = {name: getattr(numbers, name) for name in {*self.given, *shown}}
        for name in shown:
            if (kind := self._all[name].kind) != "length":  # which has its unit beside it
                known[name] = mistake.taken(known[name], kind)
        yield getattr(self._derive(known), self.asked)

    @property
    def field(self) -> NumberField:
        """Where the answer is written."""
        return NumberField(ANSWER_LABEL, self.kind)

    def right_answer(self, numbers: SimpleNamespace) -> str:
        """The right answer as it may be typed."""
        return show(self.right(numbers), self.kind)

    def check(self, typed: str, numbers: SimpleNamespace) -> Feedback:
        """Can it be read? Is it the right kind? A known mistake? Its size? Then its value."""
        try:
            reading = self.field.read(typed)
        except InputError as fault:
            return self._not_read(typed, fault)
        feedback = self._judge(reading.quantity, numbers)
        return Feedback(feedback.verdict, feedback.sentence + in_brackets(reading.note))

    def _not_read(self, typed: str, fault: InputError) -> Feedback:
        read = " or ".join(KINDS[kind].article for kind in _kinds_that_read(typed, self.kind))
        if not read:
            return Feedback(UNREADABLE, as_sentence(fault))
        asked = KINDS[self.kind].article
        units = dict.fromkeys(system.symbol(self.kind) for system in (METRIC, US))
        return Feedback(
            OTHER_KIND, f"That is {read}. Here {asked} is asked for, in {' or '.join(units)}."
        )

    def _judge(self, answer: Q, numbers: SimpleNamespace) -> Feedback:
        right = self.right(numbers)
        only_rounded = self.careful_from < 1 and answer > right
        if _is_near(answer, right, ROUNDED_UP if only_rounded else self.tolerance):
            explained = self.fill(self.explained, numbers)
            return Feedback(RIGHT, f"Right: {brief(right, self.kind)}. {explained}")
        for name, value, sentence in self.mistakes_of(numbers):
            if _is_near(answer, value, MISTAKE_TOLERANCE):
                return Feedback(name, self.fill(sentence, numbers))
        if self.careful_from * right <= answer < right:
            careful = f"Right, and on the careful side of {brief(right, self.kind)}."
            return Feedback(RIGHT, f"{careful} {self.fill(self.explained, numbers)}")
        return self._size(answer, right)

    def _size(self, answer: Q, right: Q) -> Feedback:
        ratio = (answer / right).m_as("")
        if not 1 / FAR < ratio < FAR:
            size = "large" if ratio > 1 else "small"
            return Feedback(
                FAR_OFF,
                f"{brief(answer, self.kind)} is more than {FAR} times too {size}. Look at the "
                f"unit and at the decimal point.",
            )
        verdict, size = (TOO_HIGH, "high") if ratio > 1 else (TOO_LOW, "low")
        near = "close, but still " if 0.8 < ratio < 1.25 else ""
        return Feedback(
            verdict,
            f"{brief(answer, self.kind)} is {near}too {size}. Work it out again, or take a hint.",
        )


@dataclass(frozen=True, kw_only=True)
class ChoiceQuestion(Question):
    """A question with a few answers to choose from; `right` gives the name of one option."""

    options: Mapping[str, Option]
    right: Callable[[SimpleNamespace], str]

    @property
    def field(self) -> ChoiceField:
        """Where the answer is chosen."""
        options = {name: option.text for name, option in self.options.items()}
        return ChoiceField(ANSWER_LABEL, options)

    def right_answer(self, numbers: SimpleNamespace) -> str:
        """The name of the right option."""
        return self.right(numbers)

    def check(self, typed: str, numbers: SimpleNamespace) -> Feedback:
        """What is said to an option, given by its name."""
        try:
            self.field.read(typed)
        except InputError as fault:
            return Feedback(UNREADABLE, as_sentence(fault))
        sentence = self.fill(self.options[typed].sentence, numbers)
        if typed == self.right(numbers):
            return Feedback(RIGHT, f"Right. {sentence}")
        return Feedback(typed, sentence)


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


class QuestionInstance(Instance):
    """A question with the numbers of one seed.

    >>> from recoverykit.lessons.bank import find_question
    >>> instance = QuestionInstance(find_question("03.standing-start"), seed=1)
    >>> instance.fill("{drive}"), instance.right_answer
    ('9 kN', '18.0 kN')
    >>> print(instance.check("18 kJ").sentence)
    That is an energy. Here a force is asked for, in kN or lbf.
    """

    def __init__(self, question: Question, seed: int = 0):
        super().__init__(question, seed)
        self.question = question

    @property
    def right_answer(self) -> str:
        """The right answer as it may be typed; for a choice, the option's name."""
        return self.question.right_answer(self.numbers)

    def check(self, typed: str) -> Feedback:
        """What is said to an answer as it was typed; for a choice, to an option's name."""
        return self.question.check(typed, self.numbers)


# --- guesses ----------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class GuessTemplate(Template):
    """What is to be guessed; `known` are the points, by number names, that everybody is shown."""

    fields: Mapping[str, NumberField | ChoiceField]
    known: tuple[tuple[str, str], ...] = ()


class Guess(Instance):
    """One learner's guess: open until it is committed or skipped, and then fixed.

    `committed` is True as soon as the answer may be shown. `values` are the guessed quantities
    (or option names) by field, none before that and after a skip.
    """

    def __init__(self, template: GuessTemplate):
        super().__init__(template)
        self.template: GuessTemplate = template
        self.committed = False
        self.values: dict[str, Q | str] = {}
        self._watchers: list[Callable[[], None]] = []

    def watch(self, callback: Callable[[], None]) -> None:
        """Call `callback()` when the guess is committed, skipped or opened again."""
        self._watchers.append(callback)

    def check(self, typed: Mapping[str, str]) -> Feedback:
        """Whether every field can be read; otherwise which cannot, and why. Nothing is fixed."""
        if self.committed:
            return Feedback(COMMITTED, FIXED)
        try:
            readings = self._read(typed)
        except InputError as fault:
            return Feedback(UNREADABLE, f"{fault}.")
        notes = dict.fromkeys(reading.note for reading in readings.values() if reading.note)
        return Feedback(KEPT, f"{MAY_CHANGE}{in_brackets('; '.join(notes))}")

    def commit(self, typed: Mapping[str, str]) -> Feedback:
        """Fix a guess that can be read, and let the answer be shown."""
        feedback = self.check(typed)
        if feedback.verdict != KEPT:
            return feedback
        readings = self._read(typed)
        self._turn(True, {name: reading.quantity for name, reading in readings.items()})
        return Feedback(COMMITTED, FIXED)

    def skip(self) -> Feedback:
        """Let the answer be shown without a guess."""
        if self.committed:
            return Feedback(COMMITTED, FIXED)
        self._turn(True, {})
        return Feedback(SKIPPED, "The answer is shown without a guess.")

    def reopen(self) -> None:
        """Let another learner guess: nothing of the answer is shown any more."""
        if self.committed:
            self._turn(False, {})

    @property
    def points(self) -> list[tuple[Q, Q]]:
        """The known points and then the guessed ones, to draw; none where there is no guess."""
        if not self.values:
            return []
        numbers = vars(self.numbers)
        known = [(numbers[x], numbers[y]) for x, y in self.template.known]
        guessed = [
            (numbers[one.at], self.values[name])
            for name, one in self.template.fields.items()
            if isinstance(one, NumberField) and one.at
        ]
        return known + guessed

    def _read(self, typed: Mapping[str, str]) -> dict[str, Reading]:
        readings = {}
        for name, one in self.template.fields.items():
            try:
                readings[name] = one.read(typed.get(name, ""))
            except InputError as fault:
                raise InputError(f"{self.fill(one.label)}: {fault}") from None
        return readings

    def _turn(self, committed: bool, values: dict):
        self.committed, self.values = committed, values
        for callback in self._watchers:
            callback()


# --- comparing and wording --------------------------------------------------------------


def _is_near(answer: Q, value: Q, tolerance: float) -> bool:
    """Whether an answer is a value, within a share of it."""
    return bool(abs(answer.m_as(value.units) - value.m) <= tolerance * value.m)


# Kinds whose units mean another one as well: the other ones speak for them.
_NAMELESS_KINDS = {"number", "ratio", "flight", "diameter"}


def _kinds_that_read(typed: str, asked: str) -> list[str]:
    """The kinds, other than the one asked for, of which what was typed is a quantity.

    Units of mass are those of a force stamp, too; what is wrong with them there, such as a bare
    "t", is said by whoever reads the force.
    """
    left_out = _NAMELESS_KINDS | ({"mass"} if asked == "force" else set())
    return [kind for kind in KINDS if kind not in left_out and _reads_as(typed, kind)]


def _reads_as(typed: str, kind: str) -> bool:
    try:
        read_quantity(typed, kind)
    except InputError:
        return False
    return True
