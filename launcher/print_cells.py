"""What stands on paper in place of what is filled in or set on the screen, as HTML."""

from collections.abc import Callable, Iterable

from launcher.pages.states import values_in_words
from recoverykit.course.guesses import Guess
from recoverykit.course.html import as_html
from recoverykit.course.panel import Panel
from recoverykit.course.questions import QuestionInstance
from recoverykit.course.templates import ChoiceField, NumberField
from recoverykit.lessons.bank import find_guess, find_question
from recoverykit.lessons.ideas import SURVEY

ON_SCREEN = '<p class="on-screen">On a computer there is something to fill in or to press here.</p>'
IN_THE_COURSE = (
    '<p class="on-screen paper">This part is for the course on a computer: what is moved, pressed '
    "or ticked is not on this page.</p>"
)
GUESSED = (
    '<p class="guessed paper"><label><input type="checkbox"> '
    "My guess is written down: read on.</label></p>"
)


def question(id: str) -> str:
    """A question of the bank, with room for an answer.

    >>> print(question("03.standing-start")[-53:])
    <p class="blank">Your answer: <span></span></p></div>
    """
    instance = QuestionInstance(find_question(id))
    return _asked(instance.text, [instance.question.field], instance.fill)


def guess(id: str) -> str:
    """A guess of the bank, with room to write it down; on a screen the page ends there at first."""
    asked = Guess(find_guess(id))
    return _asked(asked.text, asked.template.fields.values(), asked.fill) + GUESSED


def survey() -> str:
    """The survey of ideas, with boxes to tick."""
    texts = [f"{number}. {idea.text}" for number, idea in enumerate(SURVEY.ideas, 1)]
    return "".join(
        _asked(text, [idea.field], str) for text, idea in zip(texts, SURVEY.ideas, strict=True)
    )


def _asked(
    text: str, fields: Iterable[NumberField | ChoiceField], fill: Callable[[str], str]
) -> str:
    places = "".join(_place(field, fill) for field in fields)
    return f'<div class="asked paper"><p>{as_html(text)}</p>{places}</div>'


def _place(field: NumberField | ChoiceField, fill: Callable[[str], str]) -> str:
    label = as_html(fill(field.label))
    if isinstance(field, NumberField):
        return f'<p class="blank">{label}: <span></span></p>'
    options = "".join(f"<li>{as_html(fill(text))}</li>" for text in field.options.values())
    return f'<p>{label}:</p><ul class="options">{options}</ul>'


def settings(panel: Panel) -> str:
    """What a panel is set to, in one line.

    >>> from recoverykit.lessons import TimedDistancePanel
    >>> print(settings(TimedDistancePanel()))
    Speed: 4 km/h; Between the pegs: 10 m
    """
    return values_in_words(panel, panel.values)
