"""The survey of ideas on the page: its items, and after the second time what has changed."""

import ipywidgets

from recoverykit.course.forms import WIDTH, Asked, ChoiceBox, button, paragraph, row
from recoverykit.course.html import as_table
from recoverykit.course.progress import Progress, learner_changed
from recoverykit.course.questions import COMMITTED, Feedback
from recoverykit.course.survey import AFTER, ENTRY_IDS, KEPT, Shift, Survey

NO_VERDICTS = "Lesson 10 asks the same again, and shows what has changed."


class SurveyView(Asked):
    """The survey on the page; kept answers are closed, and are there again after a restart."""

    def __init__(self, survey: Survey, occasion: str, progress: Progress):
        super().__init__(progress)
        self._survey = survey
        self._occasion = occasion
        self._boxes = {idea.id: ChoiceBox(idea.field) for idea in survey.ideas}
        self._keep = button("Keep my answers", "Fix these answers", self.commit)
        self._changes = ipywidgets.HTML()
        items = [
            ipywidgets.VBox(
                [ipywidgets.HTML(paragraph(text)), box.widget],
                layout={"max_width": WIDTH, "margin": "0 0 16px"},
            )
            for text, box in zip(self._texts, self._boxes.values(), strict=True)
        ]
        for box in self._boxes.values():
            box.relabel(str)
        self.view = ipywidgets.VBox([*items, row(self._keep), self._reply, self._changes])
        self.show_learner(progress)
        learner_changed.connect(self.show_learner)

    @property
    def text(self) -> str:
        """All that is asked."""
        return " ".join(self._texts)

    @property
    def _texts(self):
        return [f"{number}. {idea.text}" for number, idea in enumerate(self._survey.ideas, 1)]

    def choose(self, chosen: dict[str, str]) -> None:
        """Choose options by the ids of their ideas."""
        for id, name in chosen.items():
            self._boxes[id].typed = name

    def commit(self) -> None:
        """Fix the answers if none is missing; keep what is there in any case."""
        if self._has_new_learner():
            return
        chosen = {id: box.typed for id, box in self._boxes.items() if box.typed}
        feedback = self._survey.check(chosen)
        if chosen:
            self._progress.record(ENTRY_IDS[self._occasion], chosen, feedback.verdict)
        self._show(feedback)

    def show_learner(self, progress: Progress) -> None:
        """Show the survey as a learner left it."""
        self._progress = progress
        kept = self._survey.answers(progress.entries(), self._occasion)
        last = progress.latest(ENTRY_IDS[self._occasion])
        chosen = kept or (last.typed if last else {})
        self.choose({id: chosen.get(id, "") for id in self._boxes})
        self._show(Feedback(COMMITTED, KEPT) if kept else None)

    def _show(self, feedback: Feedback | None):
        closed = feedback is not None and feedback.verdict == COMMITTED
        for widget in (self._keep, *(box.widget for box in self._boxes.values())):
            widget.disabled = closed
        self._changes.value = ""
        if closed and self._occasion == AFTER:
            entries = self._progress.entries()
            summary = self._survey.summary(entries)
            self._changes.value = _table(self._survey.shifts(entries))
            feedback = Feedback(COMMITTED, f"{KEPT} {summary}")
        elif closed:
            feedback = Feedback(COMMITTED, f"{KEPT} {NO_VERDICTS}")
        self._say(feedback)


def _table(shifts: list[Shift]) -> str:
    """HTML of what changed, a row for each idea."""
    return as_table(
        ("Idea", "Before the course", "Now", "What the course says"), map(_cells, shifts)
    )


def _cells(shift: Shift) -> tuple[str, str, str, str]:
    sign = "✓" if shift.after == shift.idea.right else "✗"
    options = shift.idea.field.options
    before, now = (
        "(not asked)" if name is None else options[name] for name in (shift.before, shift.after)
    )
    says = f"{options[shift.idea.right]} {shift.idea.explained}"
    return shift.idea.name, before, f"{now}\n{sign} {shift.word}", says
