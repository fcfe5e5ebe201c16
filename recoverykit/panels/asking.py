"""Guesses and questions on the page: where learners write, and what is said to it."""

import html

import ipywidgets

from recoverykit.bank import find_guess, find_question
from recoverykit.figures.picture import GREEN, RED
from recoverykit.panels.base import as_live_text
from recoverykit.progress import Progress, current
from recoverykit.questions import (
    COMMITTED,
    RIGHT,
    SKIPPED,
    Asking,
    ChoiceField,
    ChoiceQuestion,
    Feedback,
    Guess,
    GuessSheet,
    Option,
    Question,
)
from recoverykit.units import KINDS, DisplaySystem, display

LABEL_WIDTH = "150px"  # as on the panels' sliders


def ask(id: str) -> "QuestionView":
    """Ask a question of the bank, such as "03.peak"."""
    return QuestionView(find_question(id), current())


def guess(id: str) -> "GuessView":
    """Ask for a guess of the bank, such as "03.guess"."""
    return GuessView(find_guess(id), current())


class _Asked:
    """What guesses and questions share on the page: a text, answer boxes, and a reply."""

    def __init__(self, progress: Progress):
        self._progress = progress
        self._prompt = ipywidgets.HTML()
        self._reply = ipywidgets.HTML()
        self.sentence = ""

    @property
    def text(self) -> str:
        """What is asked, in the display system in force."""
        raise NotImplementedError

    def _say(self, feedback: Feedback):
        notice = self._progress.take_notice()
        self.sentence = f"{feedback.sentence} {notice}".strip()
        colour = GREEN if feedback.verdict in (RIGHT, COMMITTED) else RED
        self._reply.value = (
            f'<div style="border-left: 4px solid {colour}; padding-left: 8px">'
            f"{as_live_text(self.sentence)}</div>"
        )

    def _repr_mimebundle_(self, **kwargs):
        # The text is for readers without a kernel, and for static pages.
        return self.view._repr_mimebundle_(**kwargs) | {
            "text/plain": self.text,
            "text/html": _paragraph(self.text),
        }


class QuestionView(_Asked):
    """A question with its answer box. `answer` and `view` are for a program and for a page.

    Every answer is kept in `progress`; the last one is there again when the view is made anew.
    """

    def __init__(self, question: Question, progress: Progress):
        super().__init__(progress)
        self._question = question
        self._hints_given = 0
        self._hints = ipywidgets.HTML()
        self._box = _choice_box() if isinstance(question, ChoiceQuestion) else _number_box()
        self._last = progress.latest(question.id)
        self.asking = Asking(question, self._last.seed if self._last else 0)
        self._checked = ""
        self.view = ipywidgets.VBox(
            [
                self._prompt,
                self._box,
                _button_row(
                    ("Check", "Check this answer", self._check),
                    ("Hint", "Show one more hint", self._hint),
                    ("New numbers", "Ask the same with other numbers", self._ask_again),
                ),
                self._reply,
                self._hints,
            ]
        )
        self.show_in(display.system)
        self._restore()
        self._box.observe(self._typed, "value")
        display.watch(self)
