"""Class review: what a whole class knew before and after, and which questions it missed most.

Nothing here names a learner.
"""

import csv
import io
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from recoverykit.classroom.guesses import as_rows, guess_ids, spread_of
from recoverykit.course.progress import Entry
from recoverykit.course.questions import (
    FAR_OFF,
    OTHER_KIND,
    RIGHT,
    TOO_HIGH,
    TOO_LOW,
    UNREADABLE,
    ChoiceQuestion,
    Question,
)
from recoverykit.course.survey import AFTER, BEFORE, Idea
from recoverykit.lessons.bank import LESSONS
from recoverykit.lessons.ideas import SURVEY
from recoverykit.units.quantities import InputError
from recoverykit.units.text import counted

# Verdicts that are no mistake of a known name, and no answer to choose from.
WITHOUT_A_NAME = {
    OTHER_KIND: "another kind of quantity",
    FAR_OFF: "far off",
    TOO_HIGH: "too high",
    TOO_LOW: "too low",
}
ANOTHER = "another mistake"  # of an older course, or of a file that was changed by hand
NO_NAMES = {*WITHOUT_A_NAME.values(), ANOTHER}


# --- what a class knows -----------------------------------------------------------------


def normalized_gain(before: float, after: float) -> float | None:
    """The part of what could still be gained that was gained; negative where less is known.

        g = (after − before) / (1 − before)

    `before` and `after` are shares from 0 to 1, of a class: not of one learner. None where
    `before` is 1: then there was nothing to gain. Source: R. R. Hake, Am. J. Phys. 66, 64 (1998)
    (memory).

    >>> round(normalized_gain(0.40, 0.70), 2)
    0.5
    """
    for name, share in (("before", before), ("after", after)):
        if not 0 <= share <= 1:
            raise InputError(f"{name} is {share}; write a share from 0 to 1")
    if before == 1:
        return None
    return (after - before) / (1 - before)


@dataclass(frozen=True)
class Count:
    """So many learners of so many."""

    part: int
    of: int

    @property
    def share(self) -> float | None:
        """The part of the whole, from 0 to 1; None of nobody."""
        return self.part / self.of if self.of else None

    def __str__(self):
        return f"{self.part} of {self.of}"


@dataclass(frozen=True)
class IdeaTally:
    """How a class answered one idea; `commonest` is the answer that most of the others gave."""

    idea: Idea
    before: Count
    after: Count
    commonest: str | None  # of those who were not right, at the last time of asking

    @property
    def gain(self) -> float | None:
        """The normalized gain; None where it is not defined, or was not asked twice."""
        return _gain(self.before, self.after)


@dataclass(frozen=True)
class QuestionTally:
    """How many learners missed a question at first, and the commonest way to do so."""

    question: Question
    lesson: str
    number: int
    missed: Count
    mistake: str | None
    mistaken: int

    @property
    def name(self) -> str:
        """Where the question stands, in words."""
        return f"Lesson {self.lesson}, question {self.number}"

    @property
    def topic(self) -> str:
        """What the question is about, in a word or two."""
        return self.question.id.partition(".")[2].replace("-", " ")


@dataclass(frozen=True)
class ClassReview:
    """What came of a class: idea by idea, and the questions, most missed first."""

    name: str
    learners: int
    both: int  # of them, those who answered the survey both times
    ideas: tuple[IdeaTally, ...]
    questions: tuple[QuestionTally, ...]

    @property
    def before(self) -> Count:
        """All right answers before the course, of all answers."""
        return _total(tally.before for tally in self.ideas)

    @property
    def after(self) -> Count:
        """All right answers after the course, of all answers."""
        return _total(tally.after for tally in self.ideas)

    @property
    def gain(self) -> float | None:
        """The normalized gain of the class, over all ideas."""
        return _gain(self.before, self.after)

    @property
    def summary(self) -> str:
        """Who was counted, and what they knew, in a few sentences."""
        return " ".join([_files_in_words(self), *_knowledge_in_words(self)])


def review(learners: Iterable[Sequence[Entry]], name: str = "class") -> ClassReview:
    """What came of a class, from the entries of each learner.

    As long as nobody has answered both surveys, all who answered one are counted. From then on
    only those who answered both are, so that the same people are compared.
    """
    learners = list(learners)
    both = [
        entries
        for entries in learners
        if all(SURVEY.answers(entries, occasion) is not None for occasion in (BEFORE, AFTER))
    ]
    shifts = [SURVEY.shifts(entries) for entries in both or learners]
    return ClassReview(
        name=name,
        learners=len(learners),
        both=len(both),
        ideas=tuple(
            _tally_idea(idea, [of_learner[place] for of_learner in shifts], paired=bool(both))
            for place, idea in enumerate(SURVEY.ideas)
        ),
        questions=_tally_questions(learners),
    )


def _tally_idea(idea, shifts, paired):
    if paired:
        shifts = [s for s in shifts if None not in (s.before, s.after)]
    before = [s.before for s in shifts if s.before is not None]
    after = [s.after for s in shifts if s.after is not None]
    others = Counter(name for name in after or before if name != idea.right)
    ((commonest, _),) = others.most_common(1) or [(None, 0)]
    return IdeaTally(
        idea,
        Count(before.count(idea.right), len(before)),
        Count(after.count(idea.right), len(after)),
        commonest and idea.field.options[commonest],
    )


def _tally_questions(learners):
    firsts = [_first_answers(entries) for entries in learners]
    tallies = []
    for lesson, bank in LESSONS.items():
        for number, question in enumerate(bank.QUESTIONS, 1):
            verdicts = [first[question.id] for first in firsts if question.id in first]
            if verdicts:
                tallies.append(_tally_question(question, lesson, number, verdicts))
    return tuple(sorted(tallies, key=lambda tally: (-tally.missed.share, -tally.missed.of)))


def _tally_question(question, lesson, number, verdicts):
    missed = Counter(name_of(verdict, question) for verdict in verdicts if verdict != RIGHT)
    # "Too high" tells a trainer less than any mistake with a name of its own.
    named = Counter({name: count for name, count in missed.items() if name not in NO_NAMES})
    commonest = max((named or missed).items(), key=lambda item: item[1], default=(None, 0))
    count = Count(missed.total(), len(verdicts))
    return QuestionTally(question, lesson, number, count, *commonest)


def _first_answers(entries: Sequence[Entry]) -> dict[str, str]:
    """The verdict on the first answer to each question that could be read."""
    first: dict[str, str] = {}
    for entry in entries:
        if entry.verdict != UNREADABLE:
            first.setdefault(entry.id, entry.verdict)
    return first


def name_of(verdict: str, question: Question) -> str:
    """A verdict on an answer that was not right, in words for a trainer.

    >>> from recoverykit.lessons.bank import find_question
    >>> name_of("doubles", find_question("03.heavier"))
    '"It doubles, to …"'
    """
    if isinstance(question, ChoiceQuestion) and verdict in question.options:
        # The numbers differ from asking to asking.
        text = re.sub(r"\{\w+\}", "…", question.options[verdict].text).replace("….", "…")
        return f'"{text}"'
    known = getattr(question, "mistake_names", ())
    return WITHOUT_A_NAME.get(verdict, verdict if verdict in known else ANOTHER)


def _total(counts: Iterable[Count]) -> Count:
    counts = list(counts)
    return Count(sum(count.part for count in counts), sum(count.of for count in counts))


def _gain(before: Count, after: Count) -> float | None:
    if before.share is None or after.share is None:
        return None
    return normalized_gain(before.share, after.share)


def _files_in_words(result: ClassReview) -> str:
    files = f"{counted(result.learners, 'learner')}."
    if not result.both:
        return f"{files} Nobody has answered the survey both times yet."
    if result.both == result.learners:
        return f"{files} All of them answered the survey both times."
    return f"{files} {result.both} answered the survey both times: the ideas are counted for these."


def _knowledge_in_words(result: ClassReview):
    shares = {"before the course": result.before.share, "after it": result.after.share}
    known = [f"{share:.0%} {when}" for when, share in shares.items() if share is not None]
    if known:
        yield f"Right answers: {', '.join(known)}."
    if result.gain is not None:
        yield f"Normalized gain of the class: {signed(result.gain)}."
    if 0 < result.both < 10:
        yield "With so few learners a single answer moves every figure a lot."


def signed(gain: float | None) -> str:
    """A gain as it is printed.

    >>> signed(0.5), signed(-0.125), signed(None)
    ('0.50', '−0.12', 'not defined')
    """
    if gain is None:
        return "not defined"
    return f"{gain:z.2f}".replace("-", "\N{MINUS SIGN}")


# --- out, as tables ---------------------------------------------------------------------


def ideas_csv(result: ClassReview) -> bytes:
    """Idea by idea, as a CSV file for a spreadsheet."""
    head = ["lesson", "idea", "right before", "of", "right after", "of", "normalized gain"]
    rows = (
        [
            tally.idea.id,
            tally.idea.name,
            *(tally.before.part, tally.before.of, tally.after.part, tally.after.of),
            None if tally.gain is None else round(tally.gain, 3),
            tally.commonest,
        ]
        for tally in result.ideas
    )
    return _csv([*head, "commonest other answer"], rows)


def questions_csv(result: ClassReview) -> bytes:
    """The questions, most missed first, as a CSV file for a spreadsheet."""
    head = ["question", "topic", "missed at first", "of", "commonest mistake", "made by"]
    rows = (
        [each.name, each.topic, each.missed.part, each.missed.of, each.mistake, each.mistaken]
        for each in result.questions
    )
    return _csv(head, rows)


def guesses_csv(learners: Sequence[Sequence[Entry]]) -> bytes:
    """Every guess of the course as a CSV file for a spreadsheet, in the units in force."""
    rows = (row for id in guess_ids() for row in as_rows(spread_of(id, learners)))
    return _csv(["lesson", "asked", "what came out", "guess", "learners"], rows)


def _csv(head: list[str], rows: Iterable[list]) -> bytes:
    table = io.StringIO(newline="")
    cells = ([_text(cell) if isinstance(cell, str) else cell for cell in row] for row in rows)
    csv.writer(table).writerows([head, *cells])
    # With this mark at its start a spreadsheet takes the file for UTF-8.
    return table.getvalue().encode("utf-8-sig")


def _text(text: str) -> str:
    """A text that no spreadsheet takes for a formula.

    >>> _text("=1+1"), _text("twice as much.")
    ("'=1+1", 'twice as much.')
    """
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r", "\n")) else text
