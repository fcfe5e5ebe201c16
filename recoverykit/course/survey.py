"""The survey of ideas: asked before the course and again after it, and what changed in between.

Both times the items are the same. Nothing is said to an answer before the second time, so that
the lessons can surprise. A whole survey is one entry of a learner's progress, under the id of the
occasion, with the names of the chosen options by idea:

    {"id": "00.survey", "typed": {"01": "doubles", "02": "unsure", …}, "verdict": "committed", …}
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from recoverykit.course.progress import Entry
from recoverykit.course.questions import COMMITTED, Feedback
from recoverykit.course.templates import ChoiceField

BEFORE, AFTER = "before", "after"
ENTRY_IDS = {BEFORE: "00.survey", AFTER: "10.survey"}  # in the progress file, by occasion

UNSURE = "unsure"
INCOMPLETE = "incomplete"
KEPT = "Your answers are kept."

RIGHT_BOTH_TIMES = "right both times"
RIGHT_NOW = "right now"
NO_LONGER_RIGHT = "no longer right"
NOT_YET_RIGHT = "not yet right"


@dataclass(frozen=True, kw_only=True)
class Idea:
    """One idea of the course: an item with a few answers, of which `right` names the right one.

    `id` is the number of the lesson that treats it. `explained` is said once both surveys are
    done. To the options comes one for whoever does not know.
    """

    id: str
    name: str
    text: str
    options: Mapping[str, str]
    right: str
    explained: str

    @property
    def field(self) -> ChoiceField:
        """Where the answer is chosen."""
        return ChoiceField(self.name, {**self.options, UNSURE: "I don't know."})


@dataclass(frozen=True)
class Shift:
    """What a learner answered to one idea before and after; None where it was not asked."""

    idea: Idea
    before: str | None
    after: str | None

    @property
    def word(self) -> str:
        """How the answer changed, in a few words."""
        was_right, is_right = self.before == self.idea.right, self.after == self.idea.right
        if was_right:
            return RIGHT_BOTH_TIMES if is_right else NO_LONGER_RIGHT
        return RIGHT_NOW if is_right else NOT_YET_RIGHT


@dataclass(frozen=True)
class Survey:
    """All ideas, in the order in which they are asked."""

    ideas: tuple[Idea, ...]

    def check(self, chosen: Mapping[str, str]) -> Feedback:
        """COMMITTED if every idea has one of its answers, INCOMPLETE otherwise; no verdicts.

        >>> from recoverykit.lessons.ideas import SURVEY
        >>> feedback = SURVEY.check({idea.id: UNSURE for idea in SURVEY.ideas[1:]})
        >>> print(feedback.sentence)
        Not yet answered: 1. "I don't know" is an answer, too.
        """
        missing = [
            str(number)
            for number, idea in enumerate(self.ideas, 1)
            if chosen.get(idea.id) not in idea.field.options
        ]
        if missing:
            return Feedback(
                INCOMPLETE,
                f'Not yet answered: {", ".join(missing)}. "I don\'t know" is an answer, too.',
            )
        return Feedback(COMMITTED, KEPT)

    def answers(self, entries: Iterable[Entry], occasion: str) -> dict[str, str] | None:
        """What was committed on an occasion, by idea; None if nothing was.

        The first commitment counts: whoever has seen the right answers does not answer again. An
        answer that is no longer among the options, as in a file of an older course, is left out.
        """
        for entry in entries:
            if entry.id == ENTRY_IDS[occasion] and entry.verdict == COMMITTED:
                return {
                    idea.id: entry.typed[idea.id]
                    for idea in self.ideas
                    if entry.typed.get(idea.id) in idea.field.options
                }
        return None

    def summary(self, entries: Iterable[Entry]) -> str:
        """How many answers were right on each occasion, in a sentence or two."""
        shifts = self.shifts(entries)
        now = sum(shift.after == shift.idea.right for shift in shifts)
        sentence = f"You now have {now} of {len(shifts)} ideas right."
        if all(shift.before is None for shift in shifts):
            return sentence
        before = sum(shift.before == shift.idea.right for shift in shifts)
        return f"{sentence} Before the course it was {before}."

    def shifts(self, entries: Iterable[Entry]) -> list[Shift]:
        """Idea by idea, what a learner's entries say on both occasions."""
        entries = list(entries)
        before, after = (self.answers(entries, occasion) or {} for occasion in (BEFORE, AFTER))
        return [Shift(idea, before.get(idea.id), after.get(idea.id)) for idea in self.ideas]
