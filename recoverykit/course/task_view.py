"""The widgets of a panel's tasks, one at a time, beside the picture."""

import ipywidgets

from recoverykit.course.forms import button
from recoverykit.course.html import LiveText, as_html, as_live_text
from recoverykit.units.quantities import display

MOVED_TOO = "Something else was moved too. Press Starting values, then set this again."


class TaskView(ipywidgets.VBox):
    """The task that is shown, a tick when it is done, and `buttons` for others, where there are."""

    def __init__(self, panel):
        self._panel = panel
        self._words = ipywidgets.HTML()
        # As tall as most replies: so what is below stays where it is.
        self._reply = LiveText(layout={"min_height": "46px", "margin": "0"})
        self.buttons: tuple[ipywidgets.Button, ...] = ()
        if len(panel.tasks) > 1:
            self.buttons = (self._button("Previous task", -1), self._button("Next task", 1))
        super().__init__([self._words, self._reply], layout={"margin": "8px 0"})
        self.add_class("recoverykit-tasks")  # what style sheets know it by

    def _button(self, label: str, by: int) -> ipywidgets.Button:
        tooltip = f"{label}, from the starting values on"
        made = button(label, tooltip, lambda: self._panel.task_run.go(by))
        made.add_class("recoverykit-task-button")
        return made

    def show(self) -> None:
        """Show where the learner is; nothing before the guess is committed."""
        run, tasks = self._panel.task_run, self._panel.tasks
        for each in (self, *self.buttons):
            each.layout.display = None if self._panel.revealed else "none"
        count = f"Try this: {run.number + 1} of {len(tasks)}" if len(tasks) > 1 else "Try this"
        self._words.value = (
            f'<div style="font-size: 16px; line-height: 1.4"><b>{count}</b> · '
            f"{as_html(run.task.words(display.system))}</div>"
        )
        reply = (
            f"✓ {run.task.seen_in(display.system)}"
            if run.is_done
            else MOVED_TOO
            if run.moved_too
            else ""
        )
        self._reply.value = as_live_text(reply) if reply else ""
