"""Guesses and questions on the page: where learners write, and what is said to it."""

import itertools
from collections.abc import Iterable

import ipywidgets

from recoverykit.course.forms import (
    WIDTH,
    Asked,
    ChoiceBox,
    NumberBox,
    box_for,
    button,
    paragraph,
    row,
)
from recoverykit.course.guesses import Guess, GuessTemplate
from recoverykit.course.html import LiveText, as_live_text
from recoverykit.course.progress import Progress, learner_changed
from recoverykit.course.questions import (
    COMMITTED,
    KEPT,
    SKIPPED,
    UNREADABLE,
    ChoiceQuestion,
    Feedback,
    Question,
    QuestionInstance,
)
from recoverykit.units.quantities import DisplaySystem, display

ANSWER = "answer"  # the one field of a question, in the progress file


class QuestionView(Asked):
    """A question on the page. Every answer is kept; the last one is there again after a restart."""

    _checked = ""  # what was last checked, so that Enter and then a click count once

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
        display.switched.connect(self.show_in)
        learner_changed.connect(self.show_learner)
        self._box.on_enter(self._entered)

    def show_learner(self, progress: Progress) -> None:
        """Show the question as a learner left it."""
        self._progress = progress
        last = progress.latest(self._question.id)
        self._begin(last.seed if last else 0)

    def _begin(self, seed: int):
        self.instance = QuestionInstance(self._question, seed)
        self._hints_given = 0
        self.show_in(display.system)

    @property
    def text(self) -> str:
        """What is asked, in the display system in force."""
        return self.instance.asked

    def answer(self, typed: str) -> None:
        """Fill in an answer, or the name of an option, and check it."""
        self._box.typed = typed
        self.check()

    def check(self) -> None:
        """Reply to what is filled in, and keep it."""
        typed = self._box.typed
        if self._has_new_learner() or (typed and typed == self._checked):
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
        self._begin(self.instance.seed + 1)

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system: to other numbers, and what was answered to them.

        A choice holds in both systems.
        """
        units = {} if isinstance(self._question, ChoiceQuestion) else {"units": system.name}
        last = self._progress.latest(self._question.id, seed=self.instance.seed, **units)
        # Before what stands in the box, so that nothing counts as entered.
        self._checked = last.typed.get(ANSWER, "") if last else ""
        self._box.typed = self._checked
        self._prompt.value = paragraph(self.text)
        self._box.relabel(self.instance.fill)
        self._show_hints()
        self._say(self.instance.check(self._checked) if self._checked else None)

    def _show_hints(self):
        hints = self._question.hints[: self._hints_given]
        self._hints.value = "".join(as_live_text(f"Hint: {self.instance.fill(h)}") for h in hints)


def _in_rows(boxes: Iterable[NumberBox | ChoiceBox]) -> list[ipywidgets.Widget]:
    """Boxes one below the other; lists of answers side by side, to fit the first screen."""
    rows = []
    for kind, alike in itertools.groupby(boxes, type):
        widgets = [box.widget for box in alike]
        if kind is ChoiceBox:
            side_by_side = {"flex_flow": "row wrap", "grid_gap": "0 32px"}
            rows.append(ipywidgets.HBox(widgets, layout=side_by_side))
        else:
            rows += widgets
    return rows


class GuessView(Asked):
    """A guess on the page: boxes to fill in, and two ways on, with a guess or without.

    A guess that is kept can be changed until the answer is shown; each one kept stays in the
    progress file, and the last one counts.
    """

    def __init__(self, template: GuessTemplate, progress: Progress):
        super().__init__(progress)
        self.guess = Guess(template)
        self._kept: dict[str, str] | None = None  # what was typed, until the answer is shown
        self._boxes = {name: box_for(field) for name, field in template.fields.items()}
        self._keep = button("", "", self._keep_or_change)
        self._show = button("", "", self.show)
        self.view = ipywidgets.VBox(
            [
                self._prompt,
                *_in_rows(self._boxes.values()),
                row(self._keep, self._show),
                self._reply,
            ]
        )
        self.show_in(display.system)
        self.show_learner(progress)
        display.switched.connect(self.show_in)
        learner_changed.connect(self.show_learner)

    @property
    def text(self) -> str:
        """What is to be guessed, in the display system in force."""
        return self.guess.text

    def fill_in(self, **typed: str) -> None:
        """Fill in boxes by field name."""
        for name, text in typed.items():
            self._boxes[name].typed = text

    def keep(self) -> None:
        """Keep the guess if it can be read."""
        if self._has_new_learner():
            return
        typed = {name: box.typed for name, box in self._boxes.items()}
        feedback = self.guess.check(typed)
        self._kept = typed if feedback.verdict == KEPT else None
        if not self.guess.committed:
            self._progress.record(self.guess.template.id, typed, feedback.verdict)
        self._reply_to(feedback)

    def change(self) -> None:
        """Take the guess back, to change it."""
        self._kept = None
        self._reply_to(Feedback(KEPT, "Change your guess, and keep it again."))

    def show(self) -> None:
        """Show the answer: with the guess that was kept, or without one."""
        if self._has_new_learner():
            return
        was_open, typed = not self.guess.committed, self._kept
        feedback = self.guess.skip() if typed is None else self.guess.commit(typed)
        if was_open:
            self._progress.record(self.guess.template.id, typed or {}, feedback.verdict)
        self._reply_to(feedback)

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system."""
        self._prompt.value = paragraph(self.text)
        for box in self._boxes.values():
            box.relabel(self.guess.fill)

    def show_learner(self, progress: Progress) -> None:
        """Show the guess as a learner left it."""
        self._progress = progress
        self.guess.reopen()
        last = progress.latest(self.guess.template.id)
        typed = last.typed if last else {}
        self.fill_in(**{name: typed.get(name, "") for name in self._boxes})
        self._kept, feedback = None, None
        if last and last.verdict == SKIPPED:
            feedback = self.guess.skip()
        elif last:
            was_shown = last.verdict == COMMITTED
            feedback = self.guess.commit(typed) if was_shown else self.guess.check(typed)
            self._kept = None if feedback.verdict == UNREADABLE else typed
        self._reply_to(feedback)

    def _keep_or_change(self):
        if self._kept is None:
            self.keep()
        else:
            self.change()

    def _reply_to(self, feedback: Feedback | None):
        self._say(feedback)
        closed, kept = self.guess.committed, self._kept is not None
        self._keep.description = "Change my guess" if kept and not closed else "Keep my guess"
        self._keep.tooltip = "You can change it until the answer is shown"
        self._show.description = "Show the answer" if kept else "Show without a guess"
        self._show.tooltip = "Show the answer; after that your guess stays as it is"
        for each in (self._keep, self._show):
            each.disabled = closed
        for box in self._boxes.values():
            box.widget.disabled = closed or kept
