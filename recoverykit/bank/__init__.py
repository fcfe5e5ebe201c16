"""The bank: every guess and question of the course, one module a lesson."""

from recoverykit.bank import (
    lesson00,
    lesson01,
    lesson02,
    lesson03,
    lesson04,
    lesson05,
    lesson06,
    lesson07,
    lesson08,
    lesson09,
    lesson10,
)
from recoverykit.questions import GuessSheet, Question
from recoverykit.units import InputError

LESSONS = {
    "00": lesson00,
    "01": lesson01,
    "02": lesson02,
    "03": lesson03,
    "04": lesson04,
    "05": lesson05,
    "06": lesson06,
    "07": lesson07,
    "08": lesson08,
    "09": lesson09,
    "10": lesson10,
}


def find_question(id: str) -> Question:
    """The question with an id.

    >>> find_question("03.peek")
    Traceback (most recent call last):
    ...
    recoverykit.units.InputError: there is no question '03.peek'; lesson 03 has 03.peak,
    03.faster, 03.heavier, 03.first-limit, 03.standing-start
    """
    return _find(id, "question", "QUESTIONS")


def find_guess(id: str) -> GuessSheet:
    """What is to be guessed under an id."""
    return _find(id, "guess", "GUESSES")


def _find(id, what, sheets):
    number = id[:2]
    if number not in LESSONS:
        raise InputError(f"there is no {what} {id!r}; the lessons are {', '.join(LESSONS)}")
    known = {sheet.id: sheet for sheet in getattr(LESSONS[number], sheets)}
    if id not in known:
        raise InputError(f"there is no {what} {id!r}; lesson {number} has {', '.join(known)}")
    return known[id]
