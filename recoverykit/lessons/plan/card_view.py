"""The pull card on the page: what the user confirms, its paper and units, and where it is kept."""

import os
from collections.abc import Mapping
from pathlib import Path

import ipywidgets

from recoverykit.course.forms import Asked, PaperChoice, at_work, button, dropdown, paragraph, row
from recoverykit.course.page import as_pdf, as_png
from recoverykit.course.progress import Progress, current, learner_changed
from recoverykit.course.questions import COMMITTED, UNREADABLE, Feedback
from recoverykit.course.saving import link_with
from recoverykit.lessons.plan.card_content import (
    MARK,
    OWN_VALUES,
    TITLE,
    NoCardError,
    own_values,
    pull_card,
)
from recoverykit.lessons.plan.card_page import card_page
from recoverykit.lessons.plan.panel import PlanPanel
from recoverykit.units.files import read_file, reason, write_new
from recoverykit.units.quantities import METRIC, US, InputError, Q, display
from recoverykit.units.text import listed

FOLDER = Path()  # the working directory, which is the learner's folder
NAME, EXAMPLE_NAME = "pull-card", "pull-card-example"
ONE, BOTH = "as on this page", "both, metric and US"


def make_card(panel: PlanPanel) -> "PullCardView":
    """Offer to print the plan of a panel on a card."""
    return PullCardView(panel, current())


class PullCardView(Asked):
    """Values to confirm, choices, a button that makes the card, then links and the page itself.

    A confirmation holds for the values that it was given to: when one of them changes, and for
    another learner, it is taken back. Without all of them the card is marked as an example.
    """

    text = (
        "The plan above, as a card on one page to print. Tick what's yours: what you weighed, "
        "measured, or read off the part or its sheet. Until all four are ticked, the card is "
        f"marked: {MARK.lower()}. Change a value and it loses its tick."
    )

    def __init__(self, panel: PlanPanel, progress: Progress, folder: Path = FOLDER):
        super().__init__(progress)
        self._panel = panel
        self._folder = folder
        self._prompt.value = paragraph(self.text)
        self._own = {name: _tick() for name in OWN_VALUES}
        self._confirmed: dict[str, object] = {}
        for name, tick in self._own.items():
            tick.observe(lambda change, name=name: self._ticked(name, change["new"]), "value")
        self.paper = PaperChoice()
        self.units = dropdown("Units", (ONE, BOTH))
        self._links = ipywidgets.HTML()
        self._page = ipywidgets.Image(
            format="png",
            layout={"width": "560px", "max_width": "100%", "border": "1px solid #999"},
        )
        self._make = button("Make the card", "Make the card, and keep it in your folder", self.make)
        self.view = ipywidgets.VBox(
            [
                self._prompt,
                *self._own.values(),
                self.paper,
                self.units,
                row(self._make),
                self._reply,
                self._links,
                self._page,
            ]
        )
        self._page.layout.display = "none"
        self._say(None)
        self._compare()
        panel.changed.connect(self._compare)
        learner_changed.connect(self.show_learner)

    def show_learner(self, progress: Progress) -> None:
        """Take all confirmations back: they were another learner's."""
        self._progress = progress
        for tick in self._own.values():
            tick.value = False

    def confirm(self, *names: str) -> None:
        """Confirm values as the user's own: all of OWN_VALUES unless some are named."""
        for name in names or OWN_VALUES:
            self._own[name].value = not self._own[name].disabled

    @property
    def unconfirmed(self) -> tuple[str, ...]:
        """What of OWN_VALUES is not confirmed."""
        return tuple(name for name, tick in self._own.items() if not tick.value)

    def _ticked(self, name: str, ticked: bool) -> None:
        if ticked:
            self._confirmed[name] = self._values[name]

    @property
    def _rope(self) -> tuple[Q, Q]:
        return self._panel.values["rope_length"], self._panel.values["stretch"]

    @property
    def _values(self) -> dict[str, object]:
        """The values in the plan that each of OWN_VALUES stands for."""
        planned = self._panel.result
        values = (planned.recovery_vehicle, planned.stuck_vehicle, self._rope, planned.line)
        return dict(zip(OWN_VALUES, values, strict=True))

    def _compare(self) -> None:
        """Show the values of the plan, and take the tick from those that were changed."""
        planned, values = self._panel.result, self._values
        said = own_values(
            planned.recovery_vehicle,
            planned.stuck_vehicle,
            *self._rope,
            planned.line,
            display.system,
        )
        for name, tick in self._own.items():
            if tick.value and values[name] != self._confirmed[name]:
                tick.value = False
            tick.description = f"{name.capitalize()}: {said[name]}"
        if planned.invented:
            self._own["line"].description = "Line: from Marram Point, invented"
        self._own["line"].disabled = planned.invented or planned.line is None

    def make(self) -> None:
        """Make the card and keep it as PDF and PNG, or say why there is none."""
        self._links.value, self._page.layout.display = "", "none"
        try:
            with at_work("Drawing the card …", self._reply, self._make):
                files = self._files()
        except InputError as fault:
            self._say(Feedback(UNREADABLE, str(fault)))
            return
        stem, sentence = keep(files, self._folder, EXAMPLE_NAME if self.unconfirmed else NAME)
        if self.unconfirmed:
            left = f"It is marked as an example: not ticked as yours: {listed(self.unconfirmed)}."
            sentence = f"{sentence} {left}"
        self._say(Feedback(COMMITTED, sentence))
        self._links.value = _links(stem, files)
        self._page.value, self._page.layout.display = files["png"], None

    def _files(self) -> dict[str, bytes]:
        planned = self._panel.result
        if not self._panel.revealed:
            raise NoCardError("Write down your guess first: then there is a plan to print.")
        if reason := self._panel.unread or planned.contradiction:
            raise NoCardError(f"There is no card. {reason}")
        both = (display.system, US if display.system is METRIC else METRIC)
        card = pull_card(
            planned.plan,
            planned.line,
            planned.rope,
            planned.recovery_vehicle,
            planned.stuck_vehicle,
            both if self.units.value == BOTH else (display.system,),
            self.unconfirmed,
            None if planned.invented else self._panel.pulls_so_far,
        )
        page = card_page(card, self.paper.value)
        return {"pdf": as_pdf(page, TITLE), "png": as_png(page)}


def keep(files: Mapping[str, bytes], folder: Path, name: str = NAME) -> tuple[str, str]:
    """Write a card's files, by their endings, into a folder.

    Returns their name without ending, and a sentence on what was done. Nothing is overwritten:
    another card gets the next free number, and one that is there already is not written again.
    Where the disk refuses, the sentence says so.

    >>> import tempfile
    >>> folder = tempfile.TemporaryDirectory()
    >>> for content in (b"one", b"another", b"one"):
    ...     print(*keep({"pdf": content}, Path(folder.name)), sep=": ")
    pull-card: The card is kept in your folder, as pull-card.pdf.
    pull-card-2: The card is kept in your folder, as pull-card-2.pdf. Earlier ones are still there.
    pull-card: This same card is already in your folder, as pull-card.pdf.
    >>> folder.cleanup()
    """
    number = 0
    while True:
        number += 1
        stem = name if number == 1 else f"{name}-{number}"
        paths = {folder / f"{stem}.{ending}": content for ending, content in files.items()}
        names = " and ".join(path.name for path in paths)
        try:
            if all(_holds(path, content) for path, content in paths.items()):
                return stem, f"This same card is already in your folder, as {names}."
            if not any(os.path.lexists(path) for path in paths):
                for path, content in paths.items():
                    write_new(path, content)
                earlier = " Earlier ones are still there." * (number > 1)
                return stem, f"The card is kept in your folder, as {names}.{earlier}"
        except OSError as fault:
            why = reason(fault)
            return name, f"The card could not be kept in your folder ({why}): download it here."


def _holds(path: Path, content: bytes) -> bool:
    try:
        return read_file(path, len(content)) == content
    except OSError:
        return False


def _links(stem: str, files: Mapping[str, bytes]) -> str:
    links = (link_with(f"{stem}.{ending}", content) for ending, content in files.items())
    return f'<p style="font-size: 16px">Download: {", ".join(links)}</p>'


def _tick() -> ipywidgets.Checkbox:
    return ipywidgets.Checkbox(
        indent=False, tooltip="Tick it if all of this is yours", layout={"width": "auto"}
    )
