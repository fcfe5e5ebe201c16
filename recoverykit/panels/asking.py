"""Guesses and questions on the page: where learners write, and what is said to it."""

import html
from collections.abc import Callable

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
    Feedback,
    Guess,
    GuessSheet,
    NumberField,
    Question,
)
from recoverykit.units import KINDS, DisplaySystem, display

WIDTH = "760px"  # of a text, so that its lines stay short enough to read
ANSWER = "answer"  # the one field of a question, in the progress file


def ask(id: str) -> "QuestionView":
    """Ask a question of the bank, such as "03.peak"."""
    return QuestionView(find_question(id), current())


def guess(id: str) -> "GuessView":
    """Ask for a guess of the bank, such as "03.guess"."""
    return GuessView(find_guess(id), current())


# --- views ------------------------------------------------------------------------------


class _Asked:
    """What guesses and questions share on the page: a text, boxes to fill in, and a reply."""

    def __init__(self, progress: Progress):
        self._progress = progress
        self._prompt = ipywidgets.HTML(layout={"max_width": WIDTH})
        self._reply = ipywidgets.HTML(layout={"max_width": WIDTH})
        self.sentence = ""  # the last reply

    def _say(self, feedback: Feedback | None):
        notice = self._progress.take_notice()
        self.sentence = f"{feedback.sentence if feedback else ''} {notice}".strip()
        well = feedback is not None and feedback.verdict in (RIGHT, COMMITTED)
        edge = f"border-left: 4px solid {GREEN if well else RED}; padding-left: 8px"
        live_text = as_live_text(self.sentence)
        self._reply.value = f'<div style="{edge}">{live_text}</div>' if self.sentence else ""

    def _repr_mimebundle_(self, **kwargs):
        # The text is for readers without a kernel, and for static pages.
        return self.view._repr_mimebundle_(**kwargs) | {
            "text/plain": self.text,
            "text/html": _paragraph(self.text),
        }


class QuestionView(_Asked):
    """A question on the page. Every answer is kept; the last one is there again after a restart."""

    def __init__(self, question: Question, progress: Progress):
        super().__init__(progress)
        last = progress.latest(question.id)
        self.asking = Asking(question, last.seed if last else 0)
        self._box = _box(question.field)
        self._checked = ""  # what was last checked, so that Enter and then a click count once
        self._hints = ipywidgets.HTML(layout={"max_width": WIDTH})
        self._hints_given = 0
        self.view = ipywidgets.VBox(
            [
                self._prompt,
                self._box.widget,
                _row(
                    _button("Check", "Check this answer", self.check),
                    _button("Hint", "Show one more hint", self.hint),
                    _button("New numbers", "Ask the same with other numbers", self.ask_again),
                ),
                self._reply,
                self._hints,
            ]
        )
        if last:
            self._box.typed = self._checked = last.typed.get(ANSWER, "")
        self.show_in(display.system)
        display.watch(self)
        self._box.on_enter(self.check)

    @property
    def text(self) -> str:
        """What is asked, in the display system in force."""
        tolerance = getattr(self.asking.question, "tolerance", None)
        stated = f" (Within {tolerance * 100:g} % counts as right.)" if tolerance else ""
        return f"{self.asking.text}{stated}"

    def answer(self, typed: str) -> None:
        """Fill in an answer, or the name of an option, and check it."""
        self._box.typed = typed
        self.check()

    def check(self) -> None:
        """Reply to what is filled in, and keep it."""
        typed = self._box.typed
        if typed and typed == self._checked:
            return
        self._checked = typed
        feedback = self.asking.check(typed)
        if typed:
            self._progress.record(
                self.asking.question.id, {ANSWER: typed}, feedback.verdict, self.asking.seed
            )
        self._say(feedback)

    def hint(self) -> None:
        """Show one more hint."""
        self._hints_given = min(self._hints_given + 1, len(self.asking.question.hints))
        self._show_hints()

    def ask_again(self) -> None:
        """Ask the same question with the numbers of the next seed."""
        self.asking = Asking(self.asking.question, self.asking.seed + 1)
        self._box.typed = self._checked = ""
        self._hints_given = 0
        self.show_in(display.system)

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system."""
        self._prompt.value = _paragraph(self.text)
        self._box.relabel(self.asking.fill)
        self._show_hints()
        self._say(self.asking.check(self._checked) if self._checked else None)

    def _show_hints(self):
        hints = self.asking.question.hints[: self._hints_given]
        self._hints.value = "".join(as_live_text(f"Hint: {self.asking.fill(h)}") for h in hints)


class GuessView(_Asked):
    """A guess on the page: boxes to fill in, and two ways on, with a guess or without."""

    def __init__(self, sheet: GuessSheet, progress: Progress):
        super().__init__(progress)
        self.guess = Guess(sheet)
        self._boxes = {name: _box(field) for name, field in sheet.fields.items()}
        self._buttons = [
            _button("Keep my guess", "Fix this guess, and show the answer", self.commit),
            _button("Show without a guess", "Show the answer at once", self.skip),
        ]
        self.view = ipywidgets.VBox(
            [
                self._prompt,
                *(box.widget for box in self._boxes.values()),
                _row(*self._buttons),
                self._reply,
            ]
        )
        self.show_in(display.system)
        self._restore()
        display.watch(self)

    @property
    def text(self) -> str:
        """What is to be guessed, in the display system in force."""
        return self.guess.text

    def fill_in(self, **typed: str) -> None:
        """Fill in boxes by field name."""
        for name, text in typed.items():
            self._boxes[name].typed = text

    def commit(self) -> None:
        """Fix the guess if it can be read, and keep it."""
        typed = {name: box.typed for name, box in self._boxes.items()}
        self._keep(typed, self.guess.commit(typed))

    def skip(self) -> None:
        """Go on without a guess."""
        self._keep({}, self.guess.skip())

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system."""
        self._prompt.value = _paragraph(self.text)
        for box in self._boxes.values():
            box.relabel(self.guess.fill)

    def _restore(self):
        last = self._progress.latest(self.guess.sheet.id)
        if last is None:
            return self._say(None)
        for name, box in self._boxes.items():
            box.typed = last.typed.get(name, "")
        skipped = last.verdict == SKIPPED
        self._reply_to(self.guess.skip() if skipped else self.guess.commit(last.typed))

    def _keep(self, typed: dict[str, str], feedback: Feedback):
        self._progress.record(self.guess.sheet.id, typed, feedback.verdict)
        self._reply_to(feedback)

    def _reply_to(self, feedback: Feedback):
        self._say(feedback)
        for widget in (*self._buttons, *(box.widget for box in self._boxes.values())):
            widget.disabled = self.guess.committed


# --- parts ------------------------------------------------------------------------------


class _NumberBox:
    """A line to write a number with its unit on; Enter, or leaving it, sends it."""

    def __init__(self, field: NumberField):
        self._label = field.label
        examples = " or ".join(dict.fromkeys(KINDS[field.kind].examples))
        self.widget = ipywidgets.Text(
            placeholder=f"number and unit, like {examples}",
            continuous_update=False,
            style={"description_width": "150px"},
            layout={"width": "520px", "max_width": "100%"},
        )

    @property
    def typed(self) -> str:
        return self.widget.value

    @typed.setter
    def typed(self, text: str):
        self.widget.value = text

    def relabel(self, fill: Callable[[str], str]):
        self.widget.description = fill(self._label)

    def on_enter(self, callback: Callable[[], None]):
        self.widget.observe(lambda change: change["new"] and callback(), "value")


class _ChoiceBox:
    """Answers to choose one from."""

    def __init__(self, field: ChoiceField):
        self._field = field
        self.widget = ipywidgets.RadioButtons(
            options=list(field.options),
            value=None,
            layout={"width": "auto", "max_width": WIDTH},
            style={"description_width": "150px"},
        )

    @property
    def typed(self) -> str:
        return self.widget.value or ""

    @typed.setter
    def typed(self, name: str):
        self.widget.value = name if name in self._field.options else None

    def relabel(self, fill: Callable[[str], str]):
        chosen = self.typed
        self.widget.description = fill(self._field.label)
        self.widget.options = [(fill(text), name) for name, text in self._field.options.items()]
        self.typed = chosen

    def on_enter(self, callback: Callable[[], None]):
        """Choosing sends nothing: arrow keys pass over every option on the way to one."""


def _box(field: NumberField | ChoiceField) -> _NumberBox | _ChoiceBox:
    return _NumberBox(field) if isinstance(field, NumberField) else _ChoiceBox(field)


def _button(label: str, tooltip: str, callback: Callable[[], None]) -> ipywidgets.Button:
    button = ipywidgets.Button(description=label, tooltip=tooltip, layout={"width": "auto"})
    button.on_click(lambda _: callback())
    return button


def _row(*widgets: ipywidgets.Widget) -> ipywidgets.HBox:
    return ipywidgets.HBox(widgets, layout={"flex_flow": "row wrap"})


def _paragraph(text: str) -> str:
    return f'<p style="font-size: 16px; line-height: 1.45; margin: 0">{html.escape(text)}</p>'
