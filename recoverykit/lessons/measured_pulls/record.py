"""Buttons that keep a day of pulls: its picture, and the record on one page."""

from pathlib import Path

import ipywidgets

from recoverykit.course.forms import WIDTH, PaperChoice, at_work, button, row
from recoverykit.course.html import LiveText
from recoverykit.course.page import as_pdf
from recoverykit.course.saving import save_new
from recoverykit.lessons.measured_pulls.extrapolation_panel import ExtrapolationPanel
from recoverykit.lessons.measured_pulls.keep_day import DayKeeper
from recoverykit.lessons.measured_pulls.record_content import TITLE
from recoverykit.lessons.measured_pulls.record_page import record_page

PICTURE, RECORD = "pulls.png", "pulls-record.pdf"


class RecordSaver:
    """Writes the picture of a reach panel and the record of its pulls into the learner's folder.

    It can be driven in plain Python: `save_picture`, `save_record`; `sentence` is the last reply.
    """

    def __init__(self, panel: ExtrapolationPanel, folder: Path | str = "."):
        self._panel = panel
        self._folder = Path(folder)
        self._paper = PaperChoice()
        self._reply = LiveText(layout={"max_width": WIDTH})
        self._buttons = (
            button("Save the record (PDF)", "One page to print", self.save_record),
            button("Save the picture (PNG)", "As it stands above", self.save_picture),
        )
        self.day = DayKeeper(panel.book, self._folder)
        self.view = ipywidgets.VBox([self._paper, row(*self._buttons), self._reply, self.day.view])

    def save_picture(self) -> Path | None:
        """Write the picture of the panel as it is now; give its path."""
        return self._save(PICTURE, self._panel.png)

    def save_record(self, paper: str | None = None) -> Path | None:
        """Write the record as a PDF of one page; give its path."""
        result = self._panel.result
        return self._save(
            RECORD,
            lambda: as_pdf(
                record_page(result.session, result.line, paper or self._paper.value), TITLE
            ),
        )

    def _save(self, name: str, make) -> Path | None:
        with at_work(f"Drawing {name} …", self._reply, *self._buttons):
            path, self._reply.value = save_new(self._folder, name, make)
        return path

    def _repr_mimebundle_(self, **kwargs):
        return self.view._repr_mimebundle_(**kwargs) | {"text/plain": "Save the record"}
