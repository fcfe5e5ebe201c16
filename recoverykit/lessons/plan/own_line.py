"""A line of the learner's own: a box to write its parts in, one to a row, and what is read."""

import ipywidgets

from recoverykit.course.forms import WIDTH, Asked, button, paragraph, row
from recoverykit.course.gear import ALL_DRIVEN, OwnLine
from recoverykit.course.gear_form import GearForm
from recoverykit.course.progress import Progress, current, learner_changed
from recoverykit.course.questions import COMMITTED, UNREADABLE, Feedback
from recoverykit.lessons.plan.panel import PlanPanel, rope_in_words
from recoverykit.measurements.for_plan import MeasuredRope
from recoverykit.physics.rigging import UNKNOWN
from recoverykit.physics.rigging_text import EXAMPLE, LineReading, missing_from, read_line
from recoverykit.units.quantities import DisplaySystem, InputError, Q, display, show
from recoverykit.units.text import listed

ENTRY_ID = "10.own-line"  # in the progress file
FIELD = "line"
USE = "Plan with this line"
GEAR_TITLE = "My gear: written once, kept in your folder"


def ask_line(panel: PlanPanel) -> "OwnLineView":
    """Ask for the learner's own line, for a panel to plan with."""
    return OwnLineView(panel, current())


class OwnLineView(Asked):
    """A box for the parts of a line; what was last read is there again after a restart.

    Below it stands the learner's own gear: a line of it is written into the box, and plans at
    once, with the vehicles' masses and the rope.
    """

    text = (
        "Write your line, one part to a row: its name, a colon, and what's stamped on it. "
        "The first row is the point on the recovery vehicle, the last one the point on the stuck "
        "vehicle. One part, and only one, has the word rope in its name; its row may also say how "
        "long it is. The rows below show how: write over them."
    )

    def __init__(self, panel: PlanPanel, progress: Progress):
        super().__init__(progress)
        self._panel = panel
        self._reading: LineReading | None = None
        self._read_text = EXAMPLE  # what is in the plan, or is left alone
        self._prompt.value = paragraph(self.text)
        self._box = ipywidgets.Textarea(
            description="Parts",
            rows=8,
            continuous_update=False,
            style={"description_width": "50px"},
            layout={"width": "auto", "max_width": WIDTH},
        )
        self._box.observe(lambda _: self._compare(), "value")
        use = button(USE, "Read the line, and plan the pull with it", self.use)
        again = button("Example", "Write the example down again", self.write_example)
        self.gear = GearForm(self.use_gear)
        gear = ipywidgets.Accordion(children=[self.gear.view], titles=(GEAR_TITLE,))
        self.view = ipywidgets.VBox([self._prompt, self._box, row(use, again), self._reply, gear])
        self.show_learner(progress)
        display.switched.connect(self.show_in)
        learner_changed.connect(self.show_learner)

    def write(self, text: str) -> None:
        """Write a line into the box, and use it."""
        self._box.value = text
        self.use()

    def write_example(self) -> None:
        """Write the example into the box; the plan keeps to the line that it has."""
        self._box.value = EXAMPLE

    def use(self) -> None:
        """Plan with the line in the box, or say what is to be written instead."""
        self._use()

    def _use(self, measured: MeasuredRope | None = None, pulls: int | None = None) -> None:
        if self._has_new_learner():
            return
        feedback = self._read(self._box.value, measured, pulls)
        self._progress.record(ENTRY_ID, {FIELD: self._box.value}, feedback.verdict)
        self._say(feedback)

    def use_gear(self, line: OwnLine) -> str:
        """Plan with a line of own gear; what is said to it."""
        low, high = next(each.extremes for each in self._panel.inputs if each.name == "mass")
        if not all(low <= mass <= high for mass in (line.recovery_mass, line.stuck_mass)):
            raise InputError(
                f"the plan takes vehicles from {show(low, 'mass')} to {show(high, 'mass')}, and "
                f"one of these has another mass"
            )
        self._panel.set(vehicle=line.recovery_mass, mass=line.stuck_mass)
        self._box.value = line.text
        self._use(line.measured, line.pulls)
        measured = f" {self._panel.result.measured}".rstrip()
        left_out = f" Counts as unrated: {listed(line.unrated)}." if line.unrated else ""
        driven = (
            f" The plan counts on all wheels driven; with only the {line.driven} ones, the tires "
            f"give less."
        ) * (line.driven not in ("", ALL_DRIVEN))
        said = f"{left_out}{driven}{measured}"
        return f"The line is in the box, and in the plan.{said} {self.sentence}"

    def show_learner(self, progress: Progress) -> None:
        """Show the line as a learner left it."""
        self._progress = progress
        last = progress.latest(ENTRY_ID)
        if self._reading is not None:
            self._panel.use_line(None)  # it was another learner's
        self._reading, self._read_text = None, EXAMPLE
        self._box.value = last.typed.get(FIELD, "") if last else EXAMPLE
        if last:
            self._say(self._read(self._box.value))
        else:
            self._say(None)

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system."""
        if self._reading is not None and not self._panel.unread:
            self._say(_reply_to(self._reading))

    def _read(
        self, text: str, measured: MeasuredRope | None = None, pulls: int | None = None
    ) -> Feedback:
        """Plan with a line if it can be read; what is said to it."""
        try:
            reading = read_line(text)
            self._panel.use_line(reading.quantity, measured, pulls, **_said_of_rope(reading))
        except InputError as fault:
            kept = "The plan still uses the line before. " * (self._reading is not None)
            self._panel.unread = f"The line in the box cannot be read. {fault}"
            return Feedback(UNREADABLE, f"{kept}{fault}")
        self._reading, self._read_text = reading, text
        self._compare()
        return _reply_to(reading)

    def _compare(self) -> None:
        """Tell the panel whether the line in the box is the one that it plans with."""
        changed = self._box.value != self._read_text
        self._panel.unread = (
            f'The line in the box is not the one in the plan: press "{USE}" first.' * changed
        )


def _said_of_rope(reading: LineReading) -> dict[str, Q]:
    said = {"rope_length": reading.rope_length, "stretch": reading.stretch}
    return {name: value for name, value in said.items() if value is not None}


def _reply_to(reading: LineReading) -> Feedback:
    line, first = reading.quantity, reading.quantity.first_past_working_limit
    read, more = f"Parts read: {len(line.links)}.", _set_in_words(reading)
    if first is None or line.unrated:
        names = ", ".join(link.name for link in line.unrated)
        said = f"No working load limit is known for: {names}. That rules out a ladder."
        return Feedback(UNKNOWN, f"{read} {said}{more}", reading.note)
    limit = show(first.working_load_limit, "force")
    said = f"The lowest working load limit is {limit}, that of {first.name}."
    if lacks := missing_from(line):
        return Feedback(
            UNKNOWN, f"{read} {said} {lacks} Until then there is no card.{more}", reading.note
        )
    return Feedback(COMMITTED, f"{read} {said}{more}", reading.note)


def _set_in_words(reading: LineReading) -> str:
    said = _said_of_rope(reading)
    if not said:
        return ""
    return f" The plan takes {rope_in_words(said, display.system)} from the rope's row."
