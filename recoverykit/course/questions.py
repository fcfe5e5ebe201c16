"""Checked questions: their numbers, their words, and what is said to an answer.

A question is declared: the values it may be asked with, a text with the numbers' names in
braces, and functions of the numbers that give the right answer and what comes out of each
common mistake. `QuestionInstance` is a question with the numbers of one seed.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import TypeAlias

from recoverykit.course.templates import ChoiceField, Formula, Instance, NumberField, Template
from recoverykit.course.unit_mistakes import UNIT_MISTAKES, UnitMistake
from recoverykit.units.parsing import reads_as
from recoverykit.units.quantities import (
    KINDS,
    METRIC,
    US,
    DisplaySystem,
    InputError,
    Q,
    brief,
    display,
    show,
)
from recoverykit.units.text import as_sentence

RIGHT = "right"
UNREADABLE = "unreadable"
OTHER_KIND = "other kind"
FAR_OFF = "far off"
TOO_HIGH = "too high"
TOO_LOW = "too low"
KEPT = "kept"  # a guess that may still be changed, for its answer was not shown
COMMITTED = "committed"
SKIPPED = "skipped"

ANSWER_LABEL = "Your answer"
TOLERANCE = 0.05  # of the right answer: enough for a reading off a picture
ROUNDED_UP = 0.01  # of the right answer, where none above it is: what rounding may add
MISTAKE_TOLERANCE = 0.02  # of a mistake's value: mistakes are worked out, not read off
FAR = 100  # times too large or too small: then a unit or a point has slipped


@dataclass(frozen=True)
class Feedback:
    """What is said to an answer: a verdict in a word for the records, and sentences to read.

    A note says how the answer was read; what the learner was told before is left out of it.
    """

    verdict: str
    sentence: str
    note: str = ""


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
    """One of several answers to choose from, and what to say to it.

    It may claim that something becomes so many times what it was.
    """

    text: str
    sentence: str
    claims: float | None = None


@dataclass(frozen=True, kw_only=True)
class NumericQuestion(Template):
    """A question for a quantity, answered with a number and a unit.

    `hints` go from a nudge to the whole way, the last with the answer. `asked` is the name of the
    number that is asked for. Where less is on the careful side, answers down to the part
    `careful_from` of the right one are right, too; above it only rounding is.
    """

    hints: tuple[str, ...]
    asked: str
    explained: str
    mistakes: Mapping[str, Mistake]
    tolerance: float = TOLERANCE
    careful_from: float = 1.0

    @property
    def counted(self) -> str:
        """How near an answer must come, as it is said after the text."""
        if self.careful_from < 1:
            less = f"{100 * (1 - self.careful_from):.0f} %"
            return f" (Up to {less} less counts as right; more doesn't.)"
        return f" (Within {100 * self.tolerance:g} % counts as right.)"

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

    def check(self, typed: str, instance: "QuestionInstance") -> Feedback:
        """Can it be read? Is it the right kind? A known mistake? Its size? Then its value."""
        try:
            reading = self.field.read(typed)
        except InputError as fault:
            return self._not_read(typed, fault)
        feedback = self._judge(reading.quantity, instance)
        return replace(feedback, note=reading.note)

    def _not_read(self, typed: str, fault: InputError) -> Feedback:
        read = " or ".join(KINDS[kind].article for kind in _kinds_that_read(typed, self.kind))
        if not read:
            return Feedback(UNREADABLE, as_sentence(fault))
        asked = KINDS[self.kind].article
        units = dict.fromkeys(system.symbol(self.kind) for system in (METRIC, US))
        return Feedback(
            OTHER_KIND, f"That is {read}. Here {asked} is asked for, in {' or '.join(units)}."
        )

    def _judge(self, answer: Q, instance: "QuestionInstance") -> Feedback:
        right, fill = self.right(instance.numbers), instance.fill
        only_rounded = self.careful_from < 1 and answer > right
        if _is_near(answer, right, ROUNDED_UP if only_rounded else self.tolerance):
            return Feedback(RIGHT, f"Right: {brief(right, self.kind)}. {fill(self.explained)}")
        for name, value, sentence in instance.mistakes:
            if _is_near(answer, value, MISTAKE_TOLERANCE):
                return Feedback(name, fill(sentence))
        if self.careful_from * right <= answer < right:
            careful = f"Right, and on the careful side of {brief(right, self.kind)}."
            return Feedback(RIGHT, f"{careful} {fill(self.explained)}")
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
class ChoiceQuestion(Template):
    """A question with a few answers to choose from.

    `right` gives the name of one option, or how many times what it was something really becomes:
    then the option is right whose claim comes nearest to that.
    """

    counted = ""  # of a number: how near an answer must come

    hints: tuple[str, ...]
    options: Mapping[str, Option]
    right: Callable[[SimpleNamespace], str | Q]

    @property
    def field(self) -> ChoiceField:
        """Where the answer is chosen."""
        options = {name: option.text for name, option in self.options.items()}
        return ChoiceField(ANSWER_LABEL, options)

    def right_answer(self, numbers: SimpleNamespace) -> str:
        """The name of the right option."""
        right = self.right(numbers)
        if isinstance(right, str):
            return right
        claims = {n: option.claims for n, option in self.options.items() if option.claims}
        return min(claims, key=lambda name: abs(claims[name] - right.m_as("")))

    def mistakes_of(self, numbers: SimpleNamespace) -> list[tuple[str, Q, str]]:
        """None that is known by the number that comes out."""
        return []

    def check(self, typed: str, instance: "QuestionInstance") -> Feedback:
        """What is said to an option, given by its name."""
        try:
            self.field.read(typed)
        except InputError as fault:
            return Feedback(UNREADABLE, as_sentence(fault))
        sentence = instance.fill(self.options[typed].sentence)
        if typed == instance.right_answer:
            return Feedback(RIGHT, f"Right. {sentence}")
        return Feedback(typed, sentence)


Question: TypeAlias = NumericQuestion | ChoiceQuestion


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
        self._mistakes: dict[str, list[tuple[str, Q, str]]] = {}

    @property
    def asked(self) -> str:
        """What is asked, and how near an answer must come."""
        return self.text + self.question.counted

    @property
    def right_answer(self) -> str:
        """The right answer as it may be typed; for a choice, the option's name."""
        return self.question.right_answer(self.numbers)

    @property
    def mistakes(self) -> list[tuple[str, Q, str]]:
        """The mistakes with these numbers, worked out once in each system."""
        system = display.system.name
        if system not in self._mistakes:
            self._mistakes[system] = self.question.mistakes_of(self.numbers)
        return self._mistakes[system]

    def check(self, typed: str) -> Feedback:
        """What is said to an answer as it was typed; for a choice, to an option's name."""
        return self.question.check(typed, self)


# --- comparing and wording --------------------------------------------------------------


def _is_near(answer: Q, value: Q, tolerance: float) -> bool:
    """Whether an answer is a value, within a share of it."""
    return bool(abs(answer.m_as(value.units) - value.m) <= tolerance * value.m)


# Kinds whose units mean another one as well: the other ones speak for them.
_NAMELESS_KINDS = {"number", "ratio", "flight", "stretch", "diameter"}


def _kinds_that_read(typed: str, asked: str) -> list[str]:
    """The kinds, other than the one asked for, of which what was typed is a quantity.

    Units of mass are those of a force stamp, too; what is wrong with them there, such as a bare
    "t", is said by whoever reads the force.
    """
    left_out = _NAMELESS_KINDS | ({"mass"} if asked == "force" else set())
    return [kind for kind in KINDS if kind not in left_out and reads_as(typed, kind)]
