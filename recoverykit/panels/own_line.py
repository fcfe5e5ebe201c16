"""A line of the learner's own: a box to write its parts in, one to a row, and what is read."""

import ipywidgets

from recoverykit.ownline import EXAMPLE, read_line
from recoverykit.panels.boxes import WIDTH, Asked, button, paragraph, row
from recoverykit.panels.plan import PlanPanel
from recoverykit.progress import Progress, current, watch
from recoverykit.questions import COMMITTED, UNREADABLE, Feedback
from recoverykit.rigging import UNKNOWN, RiggingLine
from recoverykit.units import DisplaySystem, InputError, display, show
from recoverykit.wording import in_brackets

ENTRY_ID = "10.own-line"  # in the progress file
FIELD = "line"


def ask_line(panel: PlanPanel) -> "OwnLineView":
    """Ask for the learner's own line, for a panel to plan with."""
    return OwnLineView(panel, current())


class OwnLineView(Asked):
    """A box for the parts of a line; what was last read is there again after a restart."""

    text = (
        "Your line, from the recovery vehicle to the casualty, each part in a row of its own: its "
        "name, a colon, and what is stamped on it. One part, and only one, has the word "
        "rope in its name. The rows below show how; write yours over them."
    )

    def __init__(self, panel: PlanPanel, progress: Progress):
        super().__init__(progress)
        self._panel = panel
        self._line: RiggingLine | None = None
        self._prompt.value = paragraph(self.text)
        self._box = ipywidgets.Textarea(
            description="Parts",
            rows=8,
            continuous_update=False,
            style={"description_width": "50px"},
            layout={"width": "auto", "max_width": WIDTH},
        )
        use = button("Plan with this line", "Read the line, and plan the pull with it", self.use)
        again = button("Example", "Write the example down again", self.write_example)
        self.view = ipywidgets.VBox([self._prompt, self._box, row(use, again), self._reply])
        self.show_learner(progress)
        display.watch(self)
        watch(self)

    def write(self, text: str) -> None:
        """Write a line into the box, and use it."""
        self._box.value = text
        self.use()

    def write_example(self) -> None:
        """Write the example into the box; the plan keeps to the line that it has."""
        self._box.value = EXAMPLE

    def use(self) -> None:
        """Plan with the line in the box, or say what is to be written instead."""
        feedback = self._read(self._box.value)
        self._progress.record(ENTRY_ID, {FIELD: self._box.value}, feedback.verdict)
        self._say(feedback)

    def show_learner(self, progress: Progress) -> None:
        """Show the line as a learner left it."""
        self._progress = progress
        last = progress.latest(ENTRY_ID)
        self._line = None
        self._box.value = last.typed.get(FIELD, "") if last else EXAMPLE
        if last:
            self._say(self._read(self._box.value))
        else:
            self._say(None)

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system."""
        if self._line is not None:
            self._say(_reply_to(self._line))

    def _read(self, text: str) -> Feedback:
        """Plan with a line if it can be read; what is said to it."""
        try:
            reading = read_line(text)
        except InputError as fault:
            kept = "The plan keeps to the line before. " * (self._line is not None)
            return Feedback(UNREADABLE, f"{kept}{fault}")
        self._line = reading.quantity
        self._panel.use_line(self._line)
        return _reply_to(self._line, reading.note)


def _reply_to(line: RiggingLine, note: str = "") -> Feedback:
    read, first = f"Parts read: {len(line.links)}.", line.first_past_working_limit
    if first is None or line.unrated:
        names = ", ".join(link.name for link in line.unrated)
        said = f"No working load limit is known for: {names}. So there will be no ladder."
        return Feedback(UNKNOWN, f"{read} {said}{in_brackets(note)}")
    limit = show(first.working_load_limit, "force")
    said = f"The lowest working load limit is {limit}, that of {first.name}."
    return Feedback(COMMITTED, f"{read} {said}{in_brackets(note)}")
