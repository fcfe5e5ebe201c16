"""The pull card on the page: its paper and units, the file that is kept, and links to it."""

from collections.abc import Mapping
from pathlib import Path

import ipywidgets

from recoverykit.card import TITLE, NoCardError, pull_card
from recoverykit.figures.page import PAPER_OF, PAPERS, as_pdf, as_png
from recoverykit.figures.pull_card import card_page
from recoverykit.panels.boxes import Asked, at_work, button, paragraph, row
from recoverykit.panels.plan import PlanPanel
from recoverykit.panels.saving import link_with, write_new
from recoverykit.progress import Progress, current
from recoverykit.questions import COMMITTED, UNREADABLE, Feedback
from recoverykit.units import METRIC, US, DisplaySystem, InputError, display

FOLDER = Path()  # the working directory, which is the learner's folder
NAME = "pull-card"
ONE, BOTH = "as on this page", "both, metric and US"


def make_card(panel: PlanPanel) -> "PullCardView":
    """Offer to print the plan of a panel on a card."""
    return PullCardView(panel, current())


class PullCardView(Asked):
    """Choices for the card, a button that makes it, and then links and the page itself."""

    text = "The card of the plan above, on one page to print:"

    def __init__(self, panel: PlanPanel, progress: Progress, folder: Path = FOLDER):
        super().__init__(progress)
        self._panel = panel
        self._folder = folder
        self._prompt.value = paragraph(self.text)
        self.paper = _choice("Paper", tuple(PAPERS))
        self.units = _choice("Units", (ONE, BOTH))
        self._links = ipywidgets.HTML()
        self._page = ipywidgets.Image(
            format="png",
            layout={"width": "560px", "max_width": "100%", "border": "1px solid #999"},
        )
        self._make = button("Make the card", "Make the card, and keep it in your folder", self.make)
        self.view = ipywidgets.VBox(
            [
                self._prompt,
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
        self.show_in(display.system)
        display.watch(self)

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system: the usual paper goes with the units."""
        self.paper.value = PAPER_OF[system.name]

    def make(self) -> None:
        """Make the card and keep it as PDF and PNG, or say why there is none."""
        self._links.value, self._page.layout.display = "", "none"
        try:
            with at_work("Drawing the card …", self._reply, self._make):
                files = self._files()
        except InputError as fault:
            self._say(Feedback(UNREADABLE, str(fault)))
            return
        stem, sentence = keep(files, self._folder)
        self._say(Feedback(COMMITTED, sentence))
        self._links.value = _links(stem, files)
        self._page.value, self._page.layout.display = files["png"], None

    def _files(self) -> dict[str, bytes]:
        planned = self._panel.result
        if not planned.revealed:
            raise NoCardError("Write down your guess first: then there is a plan to print.")
        both = (display.system, US if display.system is METRIC else METRIC)
        card = pull_card(
            planned.plan,
            planned.line,
            planned.rope,
            planned.recovery_vehicle,
            planned.casualty,
            both if self.units.value == BOTH else (display.system,),
            planned.invented,
        )
        page = card_page(card, self.paper.value)
        return {"pdf": as_pdf(page, TITLE), "png": as_png(page)}


def keep(files: Mapping[str, bytes], folder: Path) -> tuple[str, str]:
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
    pull-card: This very card is in your folder already, as pull-card.pdf.
    >>> folder.cleanup()
    """
    number = 0
    while True:
        number += 1
        stem = NAME if number == 1 else f"{NAME}-{number}"
        paths = {folder / f"{stem}.{ending}": content for ending, content in files.items()}
        names = " and ".join(path.name for path in paths)
        try:
            if all(_holds(path, content) for path, content in paths.items()):
                return stem, f"This very card is in your folder already, as {names}."
            if not any(path.exists() for path in paths):
                for path, content in paths.items():
                    write_new(path, content)
                earlier = " Earlier ones are still there." * (number > 1)
                return stem, f"The card is kept in your folder, as {names}.{earlier}"
        except OSError as fault:
            reason = fault.strerror or fault
            return NAME, f"The card could not be kept in your folder ({reason}): download it here."


def _holds(path: Path, content: bytes) -> bool:
    return path.is_file() and path.read_bytes() == content


def _links(stem: str, files: Mapping[str, bytes]) -> str:
    links = (link_with(f"{stem}.{ending}", content) for ending, content in files.items())
    return f'<p style="font-size: 16px">Download: {", ".join(links)}</p>'


def _choice(label: str, options: tuple[str, ...]) -> ipywidgets.Dropdown:
    return ipywidgets.Dropdown(
        description=label,
        options=options,
        style={"description_width": "60px"},
        layout={"width": "300px", "max_width": "100%"},
    )
