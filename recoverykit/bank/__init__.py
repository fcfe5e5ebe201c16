"""The bank: every guess and question of the course, one module a lesson."""

from recoverykit.bank import lesson03
from recoverykit.questions import GuessSheet, Question
from recoverykit.units import InputError

LESSONS = {"03": lesson03}


def find_question(id: str) -> Question:
    """The question with an id.

    >>> find_question("03.peek")
    Traceback (most recent call last):
    ...
    recoverykit.units.InputError: there is no question '03.peek'; there are 03.peak, 03.faster,
    03.heavier, 03.first-limit, 03.standing-start
    """
    return _find(id, "question", (each for one in LESSONS.values() for each in one.QUESTIONS))


def find_guess(id: str) -> GuessSheet:
    """What is to be guessed under an id."""
    return _find(id, "guess", (each for one in LESSONS.values() for each in one.GUESSES))


def _find(id, what, sheets):
    known = {sheet.id: sheet for sheet in sheets}
    if id not in known:
        raise InputError(f"there is no {what} {id!r}; there are {', '.join(known)}")
    return known[id]
