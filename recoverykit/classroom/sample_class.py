"""A class that is invented, to see what a class review looks like."""

import random

from recoverykit.classroom.guesses import ChoiceSpread, guess_ids, spread_of
from recoverykit.course.progress import Entry
from recoverykit.course.questions import COMMITTED, RIGHT, SKIPPED, ChoiceQuestion
from recoverykit.course.survey import AFTER, BEFORE, ENTRY_IDS
from recoverykit.lessons.bank import LESSONS, find_guess
from recoverykit.lessons.ideas import SURVEY
from recoverykit.units.quantities import METRIC, show

NAME = "invented class"
TIME = "2026-01-01T00:00:00+00:00"


def invented_class(size: int = 18, seed: int = 8) -> list[list[Entry]]:
    """The entries of each learner; the same seed always gives the same class.

    Some ideas are known before by most, some by hardly anybody. The last learner left early.

    >>> len(invented_class(size=5))
    5
    """
    draw = random.Random(seed).random  # the same in every version of Python
    known = {idea.id: 0.05 + 0.5 * draw() for idea in SURVEY.ideas}
    learned = {idea.id: 0.3 + 0.6 * draw() for idea in SURVEY.ideas}
    surveys = [_both_surveys(known, learned, draw) for _ in range(size)]
    questions = [question for bank in LESSONS.values() for question in bank.QUESTIONS]
    answers = zip(*(_answers(question, size, seed) for question in questions), strict=True)
    guesses = zip(*(_guesses(id, size, seed) for id in guess_ids()), strict=True)
    learners = [
        [before, *guessed, *answered, after]
        for (before, after), guessed, answered in zip(surveys, guesses, answers, strict=True)
    ]
    return [*learners[:-1], learners[-1][:-1]]


def _both_surveys(known, learned, draw):
    before = {id: draw() < share for id, share in known.items()}
    after = {id: draw() < (0.95 if before[id] else share) for id, share in learned.items()}
    return _survey(BEFORE, before, draw), _survey(AFTER, after, draw)


def _survey(occasion, knows, draw):
    chosen = {
        idea.id: idea.right if knows[idea.id] else _pick([*idea.field.options], idea.right, draw)
        for idea in SURVEY.ideas
    }
    return Entry(ENTRY_IDS[occasion], chosen, COMMITTED, 0, TIME)


def _answers(question, size, seed):
    """The first answers of all learners; a question more in the course changes no other one."""
    draw = random.Random(f"{seed} {question.id}").random
    if isinstance(question, ChoiceQuestion):
        right, names = question.right_answer(question.numbers(seed=0)), [*question.options]
    else:
        right, names = RIGHT, list(question.mistakes)
    missed = 0.1 + 0.6 * draw()
    for _ in range(size):
        verdict = _pick(names, right, draw) if draw() < missed else RIGHT
        yield Entry(question.id, {}, verdict, 0, TIME)


def _guesses(id, size, seed):
    """The guesses of all learners: most of them less than what comes out."""
    draw = random.Random(f"{seed} {id}").random
    right = spread_of(id, [])
    for _ in range(size):
        if draw() < 0.1:
            yield Entry(id, {}, SKIPPED, 0, TIME)
            continue
        typed = {}
        for name, field in zip(find_guess(id).fields, right.fields, strict=True):
            if isinstance(field, ChoiceSpread):
                options = [*field.options]
                typed[name] = _pick(options, field.right, draw) if draw() < 0.6 else field.right
            else:
                times = 2 ** (2 * (draw() + draw() + draw()) - 3.4)
                typed[name] = show(times * field.right[1], field.kind, METRIC, 2)
        yield Entry(id, typed, COMMITTED, 0, TIME)


def _pick(names, right, draw):
    """One of the names, but not the right one; the first ones more often."""
    others = [name for name in names if name != right]
    return others[int(len(others) * draw() ** 2)]
