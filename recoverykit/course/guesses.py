"""Guesses: what is to be guessed before a panel shows its answer, and one learner's guess."""

from collections.abc import Mapping
from dataclasses import dataclass

from recoverykit.course.questions import COMMITTED, KEPT, SKIPPED, UNREADABLE, Feedback
from recoverykit.course.templates import ChoiceField, Instance, NumberField, Template
from recoverykit.units.parsing import Reading
from recoverykit.units.quantities import InputError, Q
from recoverykit.units.signals import Signal

MAY_CHANGE = "Your guess is kept. Want to change it? Do that before you see the answer."
FIXED = "Your guess is locked in."


@dataclass(frozen=True, kw_only=True)
class GuessTemplate(Template):
    """What is to be guessed; `known` are the points, by number names, that everybody is shown."""

    fields: Mapping[str, NumberField | ChoiceField]
    known: tuple[tuple[str, str], ...] = ()


class Guess(Instance):
    """One learner's guess: open until it is committed or skipped, and then fixed.

    `committed` is True as soon as the answer may be shown. `values` are the guessed quantities
    (or option names) by field, none before that and after a skip. `changed` is sent when the guess
    is committed, skipped or opened again.
    """

    def __init__(self, template: GuessTemplate):
        super().__init__(template)
        self.template: GuessTemplate = template
        self.committed = False
        self.values: dict[str, Q | str] = {}
        self.changed = Signal()

    def check(self, typed: Mapping[str, str]) -> Feedback:
        """Whether every field can be read; otherwise which cannot, and why. Nothing is fixed."""
        if self.committed:
            return Feedback(COMMITTED, FIXED)
        try:
            readings = self._read(typed)
        except InputError as fault:
            return Feedback(UNREADABLE, f"{fault}.")
        notes = dict.fromkeys(reading.note for reading in readings.values() if reading.note)
        return Feedback(KEPT, MAY_CHANGE, "; ".join(notes))

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
        self.changed.send()
