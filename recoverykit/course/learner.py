"""Whose answers are kept: a box for a name, and where the file is."""

import ipywidgets

from recoverykit.course.forms import Asked, button, paragraph, row, text_line
from recoverykit.course.html import LiveText, as_live_text
from recoverykit.course.progress import (
    DEFAULT_LEARNER,
    UNITS,
    Progress,
    current,
    learner_changed,
    use_learner,
)
from recoverykit.course.questions import COMMITTED, UNREADABLE, Feedback
from recoverykit.units.quantities import InputError

TAKEN = "There are answers under this name already. If they aren't yours, pick another name."


def ask_name() -> "LearnerView":
    """Ask for the name under which answers are kept."""
    return LearnerView(current())


class WhoseAnswers(LiveText):
    """A line at the top of a lesson: under which name its answers are kept."""

    def __init__(self, progress: Progress):
        super().__init__(layout={"margin": "2px 8px"})
        self.add_class("recoverykit-whose-answers")
        self.show_learner(progress)
        learner_changed.connect(self.show_learner)

    def show_learner(self, progress: Progress) -> None:
        """Name a learner."""
        if progress.learner == DEFAULT_LEARNER:
            whose = "No name on these answers yet: set one in lesson 00."
        else:
            whose = f"Answers of {progress.learner}. Not you? Change the name in lesson 00."
        self.value = as_live_text(whose)


class LearnerView(Asked):
    """A box for the learner's name; answers are kept under it from then on."""

    text = "Your name, or any word you'll recognize:"

    def __init__(self, progress: Progress):
        super().__init__(progress)
        self._prompt.value = paragraph(self.text)
        self._box = text_line("Name", "150px")
        use = button("Use this name", "Keep answers under this name", self.use)
        self.view = ipywidgets.VBox([self._prompt, self._box, row(use), self._reply])
        self.show_learner(progress)
        learner_changed.connect(self.show_learner)

    def name(self, name: str) -> None:
        """Fill in a name and use it."""
        self._box.value = name
        self.use()

    def use(self) -> None:
        """Keep answers under the name that is filled in, or say why not."""
        try:
            use_learner(self._box.value)
        except InputError as fault:
            self._say(Feedback(UNREADABLE, f"Your answers are kept as before: {fault}."))
        else:
            # Ann and ann are one learner: who shares a computer has to know.
            taken = any(entry.id != UNITS for entry in current().entries())
            self._show(current(), TAKEN if taken else "")

    def show_learner(self, progress: Progress) -> None:
        """Say where the answers of a learner are kept."""
        self._show(progress)

    def _show(self, progress: Progress, more: str = "") -> None:
        self._progress = progress
        named = progress.learner != DEFAULT_LEARNER
        self._box.value = progress.learner if named else ""
        whose = f"under the name {progress.learner}" if named else "without a name"
        file = f"{progress.path.parent.name}/{progress.path.name}"
        kept = f"Answers are kept {whose}, in the file {file}."
        self._say(Feedback(COMMITTED, f"{kept} {more}".strip()))
