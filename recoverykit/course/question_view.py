"""Guesses and questions on the page: where learners write, and what is said to it."""

from collections.abc import Callable

import ipywidgets

from recoverykit.course.forms import WIDTH, Asked, box_for, button, paragraph, row
from recoverykit.course.html import LiveText, as_live_text
from recoverykit.course.progress import Progress, watch
from recoverykit.course.questions import (
    SKIPPED,
    Feedback,
    Guess,
    GuessTemplate,
    Question,
    QuestionInstance,
)
from recoverykit.units.quantities import DisplaySystem, display

ANSWER = "answer"  # the one field of a question, in the progress file


class QuestionView(Asked):
    """A question on the page. Every answer is kept; the last one is there again after a restart."""

    def __init__(self, question: Question, progress: Progress):
        super().__init__(progress)
        self._question = question
        self._box = box_for(question.field)
        self._hints = LiveText(layout={"max_width": WIDTH})
        self.view = ipywidgets.VBox(
            [
                self._prompt,
                self._box.widget,
                row(
                    button("Check", "Check this answer", self.check),
                    button("Hint", "Show one more hint", self.hint),
                    button("New numbers", "Ask the same with other numbers", self.ask_again),
                ),
                self._reply,
                self._hints,
            ]
        )
        self.show_learner(progress)
        display.watch(self)
        watch(self)
        self._box.on_enter(self._entered)

    def show_learner(self, progress: Progress) -> None:
        """Show the question as a learner left it."""
        self._progress = progress
        last = progress.latest(self._question.id)
        self.instance = QuestionInstance(self._question, last.seed if last else 0)
        # What was last checked, so that Enter and then a click count once.
        self._checked = last.typed.get(ANSWER, "") if last else ""
        self._box.typed = self._checked
        self._hints_given = 0
        self.show_in(display.system)

    @property
    def text(self) -> str:
        """What is asked, in the display system in force."""
        tolerance = getattr(self._question, "tolerance", None)
        stated = f" (Within {tolerance * 100:g} % counts as right.)" if tolerance else ""
        return f"{self.instance.text}{stated}"

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
        feedback = self.instance.check(typed)
        if typed:
            self._progress.record(
                self._question.id, {ANSWER: typed}, feedback.verdict, self.instance.seed
            )
        self._say(feedback)

    def _entered(self):
        if self._box.typed != self._checked:
            self.check()

    def hint(self) -> None:
        """Show one more hint."""
        self._hints_given = min(self._hints_given + 1, len(self._question.hints))
        self._show_hints()

    def ask_again(self) -> None:
        """Ask the same question with the numbers of the next seed."""
        self.instance = QuestionInstance(self._question, self.instance.seed + 1)
        self._checked = self._box.typed = ""  # in this order, so that nothing counts as entered
        self._hints_given = 0
        self.show_in(display.system)

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system."""
        self._prompt.value = paragraph(self.text)
        self._box.relabel(self.instance.fill)
        self._show_hints()
        self._say(self.instance.check(self._checked) if self._checked else None)

    def _show_hints(self):
        hints = self._question.hints[: self._hints_given]
        self._hints.value = "".join(as_live_text(f"Hint: {self.instance.fill(h)}") for h in hints)


class GuessView(Asked):
    """A guess on the page: boxes to fill in, and two ways on, with a guess or without."""

    def __init__(self, template: GuessTemplate, progress: Progress):
        super().__init__(progress)
        self.guess = Guess(template)
        self._boxes = {name: box_for(field) for name, field in template.fields.items()}
        self._buttons = [
            button("Keep my guess", "Fix this guess, and show the answer", self.commit),
            button("Show without a guess", "Show the answer at once", self.skip),
        ]
        self.view = ipywidgets.VBox(
            [
                self._prompt,
                *(box.widget for box in self._boxes.values()),
                row(*self._buttons),
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
        self._keep(typed, lambda: self.guess.commit(typed))

    def skip(self) -> None:
        """Go on without a guess."""
        self._keep({}, self.guess.skip)

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system."""
        self._prompt.value = paragraph(self.text)
        for box in self._boxes.values():
            box.relabel(self.guess.fill)

    def _restore(self):
        last = self._progress.latest(self.guess.template.id)
        if last is None:
            return self._say(None)
        for name, box in self._boxes.items():
            box.typed = last.typed.get(name, "")
        skipped = last.verdict == SKIPPED
        self._reply_to(self.guess.skip() if skipped else self.guess.commit(last.typed))

    def _keep(self, typed: dict[str, str], close: Callable[[], Feedback]):
        was_open = not self.guess.committed
        feedback = close()
        if was_open:
            self._progress.record(self.guess.template.id, typed, feedback.verdict)
        self._reply_to(feedback)

    def _reply_to(self, feedback: Feedback):
        self._say(feedback)
        for widget in (*self._buttons, *(box.widget for box in self._boxes.values())):
            widget.disabled = self.guess.committed
