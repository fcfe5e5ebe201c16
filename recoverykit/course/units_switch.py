"""Buttons for metric or US units. What a learner chooses is kept, and there in the next lesson."""

import ipywidgets

from recoverykit.course.inputs import LABEL_WIDTH
from recoverykit.course.learner import WhoseAnswers
from recoverykit.course.narrow_page import NarrowPage
from recoverykit.course.plain_errors import tell_errors_plainly
from recoverykit.course.progress import (
    UNITS,
    Progress,
    current,
    follow_name,
    keep_following_names,
    learner_changed,
)
from recoverykit.course.questions import COMMITTED
from recoverykit.units.quantities import METRIC, SYSTEMS, US, DisplaySystem, display

FIELD = "system"


def units_switch() -> "LessonTop":
    """Buttons that switch a lesson's units, and whose answers these are.

    With them a lesson begins: in the units that the learner chose last. From here on it follows the
    name that is given in another lesson, tells mistakes in its cells in plain words, and
    draws its pictures as the page's width asks for.
    """
    tell_errors_plainly()
    keep_following_names()
    switch = UnitsSwitch()
    switch.show_learner(current())
    return LessonTop([switch, WhoseAnswers(current()), NarrowPage()])


class LessonTop(ipywidgets.HBox):
    """What stands at the top of a lesson; its class tells the page which units are in use."""

    def __init__(self, widgets):
        super().__init__(widgets, layout={"flex_flow": "row wrap"})
        self.show_in(display.system)
        display.switched.connect(self.show_in)

    def show_in(self, system: DisplaySystem) -> None:
        """Mark itself with a display system: the text of the lesson follows (units.js)."""
        with self.hold_sync():  # else both would be shown for a moment
            for each in SYSTEMS:
                self.remove_class(f"recoverykit-in-{each}")
            self.add_class(f"recoverykit-in-{system.name}")


class UnitsSwitch(ipywidgets.ToggleButtons):
    """Buttons that switch all that is shown in a lesson between metric and US units."""

    def __init__(self):
        super().__init__(
            options=[("km/h, kN, kg", METRIC.name), ("mph, lbf, lb", US.name)],
            value=display.system.name,
            description="Units",
            tooltip="Metric or US units, everywhere in the lesson",
            style={"button_width": "120px", "description_width": LABEL_WIDTH},
            layout={"width": "auto"},
        )
        self.add_class("widget-inline-hbox")  # as sliders have it: the label beside, not above
        self.observe(lambda change: self._pressed(change["new"]), "value")
        display.switched.connect(self.show_in)
        learner_changed.connect(self.show_learner)

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch that was made elsewhere."""
        self.value = system.name

    def show_learner(self, progress: Progress) -> None:
        """Switch to the units of a learner; a name that has none yet takes over those in force."""
        last = progress.latest(UNITS)
        chosen = last.typed.get(FIELD) if last else None
        if chosen in SYSTEMS:
            display.use(chosen)
        elif display.system is not METRIC:
            _keep(progress, display.system.name)

    def _pressed(self, name: str):
        if name != display.system.name:  # else it only follows another switch
            follow_name()
            display.use(name)
            _keep(current(), name)


def _keep(progress: Progress, name: str):
    progress.record(UNITS, {FIELD: name}, COMMITTED)
