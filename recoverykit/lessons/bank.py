"""The bank: every guess and question of the course, one module a lesson."""

from recoverykit.course.guesses import GuessTemplate
from recoverykit.course.progress import current
from recoverykit.course.question_view import GuessView, QuestionView
from recoverykit.course.questions import Question, QuestionInstance
from recoverykit.course.survey import ENTRY_IDS
from recoverykit.course.survey_view import SurveyView
from recoverykit.lessons.energy import questions as lesson01
from recoverykit.lessons.ideas import SURVEY
from recoverykit.lessons.measured_pulls import questions as lesson08
from recoverykit.lessons.peak_force import questions as lesson03
from recoverykit.lessons.plan import questions as lesson10
from recoverykit.lessons.recoil import questions as lesson09
from recoverykit.lessons.resistance import questions as lesson06
from recoverykit.lessons.rope_spring import questions as lesson02
from recoverykit.lessons.stamps import questions as lesson04
from recoverykit.lessons.start_here import questions as lesson00
from recoverykit.lessons.two_vehicles import questions as lesson07
from recoverykit.lessons.weakest_link import questions as lesson05
from recoverykit.units.quantities import InputError

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
    recoverykit.units.quantities.InputError: there is no question '03.peek'; lesson 03 has 03.peak,
    03.faster, 03.heavier, 03.first-limit, 03.standing-start
    """
    return _find(id, "question", "QUESTIONS")


def find_guess(id: str) -> GuessTemplate:
    """What is to be guessed under an id."""
    return _find(id, "guess", "GUESSES")


def verdicts_on_right_answers(lesson: str) -> set[str]:
    """What a lesson's questions say to their own right answers.

    >>> verdicts_on_right_answers("00")
    {'right'}
    """
    instances = map(QuestionInstance, LESSONS[lesson].QUESTIONS)
    return {each.check(each.right_answer).verdict for each in instances}


def ask(id: str) -> QuestionView:
    """Ask a question of the bank, such as "03.peak"."""
    return QuestionView(find_question(id), current())


def guess(id: str) -> GuessView:
    """Ask for a guess of the bank, such as "03.guess"."""
    return GuessView(find_guess(id), current())


def ask_survey(occasion: str) -> SurveyView:
    """Ask the survey of ideas, "before" the course or "after" it."""
    if occasion not in ENTRY_IDS:
        raise InputError(f'there is no survey {occasion!r:.60}; write "before" or "after"')
    return SurveyView(SURVEY, occasion, current())


def _find(id, what, templates):
    number = id[:2]
    if number not in LESSONS:
        raise InputError(f"there is no {what} {id!r}; the lessons are {', '.join(LESSONS)}")
    known = {template.id: template for template in getattr(LESSONS[number], templates)}
    if id not in known:
        raise InputError(f"there is no {what} {id!r}; lesson {number} has {', '.join(known)}")
    return known[id]
