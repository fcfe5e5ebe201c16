"""A log of the learner's own: a file to choose, or its path, and what is wrong in it."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import ipywidgets

from recoverykit.course.forms import WIDTH, button, row, text_line
from recoverykit.course.html import LiveText, as_html, as_live_text
from recoverykit.course.saving import save_new
from recoverykit.lessons.measured_pulls.column_chooser import ColumnChooser
from recoverykit.measurements.log_table import Chosen, UnknownColumnsError
from recoverykit.measurements.outliers import Finding, by_cause
from recoverykit.measurements.reading import empty_log
from recoverykit.measurements.session import CurrentSession
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import DisplaySystem, InputError, display
from recoverykit.units.text import as_sentence, left_to_right

MOST_LISTED = 100  # problems; a file with more has something wrong with it as a whole

TEMPLATE = "my-pulls.csv"


class OwnLog:
    r"""Where a log is opened: by choosing a file, by its path, or the one of Marram Point again.

    `folder` is where a template is written. All of it can be driven in plain Python: `open_path`,
    `open_bytes`, `write_template`, `open_demo`, `set_full_scale`; `sentence` is the last reply.

    >>> own = OwnLog(CurrentSession())
    >>> own.open_bytes(b"speed [mph];peak [lbf]\n1;900\n2;18x0\n", "today.csv")
    >>> print(own.sentence)
    today.csv: 1 pull at 1 speed, from 1.6 km/h to 1.6 km/h. 1 place could not be read. Read as
    UTF-8, cells separated by semicolons, heading in row 1.
    >>> print(*own.problems)
    Row 3, column "peak [lbf]": "18x0" cannot be read: the unit 'x0' is not known for a force;
    write a plain number such as 4500.
    """

    def __init__(self, book: CurrentSession, folder: Path | str = "."):
        self._book = book
        self._folder = Path(folder)
        self.sentence = ""
        self.problems: list[str] = []
        self._upload = ipywidgets.FileUpload(
            description="Choose a file", tooltip="A CSV file on this computer, up to 20 MB"
        )
        self._upload.observe(self._uploaded, "value")
        self._path = text_line(
            "or its path", placeholder="for example C:\\pulls\\today.csv, then Enter"
        )
        self._path.observe(lambda change: self._entered(change["new"]), "value")
        self._meter = text_line(
            "The meter can show at most",
            placeholder="with its unit, like 40 kN; empty if you don't know",
        )
        self._meter.observe(lambda change: self.set_full_scale(change["new"]), "value")
        self._meter_reply = LiveText(layout={"max_width": WIDTH})
        self._reply = LiveText(layout={"max_width": WIDTH})
        self.chooser = ColumnChooser(self._read)
        self._source: tuple[Any, str] = (b"", "")
        self._template = LiveText(layout={"max_width": WIDTH})
        self.view = ipywidgets.VBox(
            [
                row(self._upload, self._path),
                row(
                    button("Marram Point again", "Open the invented log", self.open_demo),
                    button(
                        "Template, decimal point",
                        "Write an empty log: decimal point, cells separated by commas",
                        self.write_template,
                    ),
                    button(
                        "Template, decimal comma",
                        "Write an empty log: decimal comma, cells separated by semicolons",
                        lambda: self.write_template(decimal_comma=True),
                    ),
                ),
                self._template,
                self._meter,
                self._meter_reply,
                self._reply,
                self.chooser.view,
            ]
        )
        self.show_in(display.system)
        display.switched.connect(self.show_in)

    def open_path(self, path: str) -> None:
        """Open the file at a path, as it may be pasted: with quotes, or a ~ for the home folder."""
        path = path.strip().strip("\"'")
        try:
            place = Path(path).expanduser()
        except RuntimeError:
            place = Path(path)
        self._open(place, place.name)

    def open_bytes(self, data: bytes, name: str) -> None:
        """Open what was uploaded."""
        self._open(data, name)

    def open_demo(self) -> None:
        """Open the log of Marram Point again."""
        self.chooser.close()
        self._book.open_demo()
        self.show_in(display.system)

    def write_template(self, decimal_comma: bool = False) -> None:
        """Write an empty log into the learner's folder, and say where it is."""
        _, self._template.value = save_new(self._folder, TEMPLATE, lambda: empty_log(decimal_comma))

    def set_full_scale(self, text: str) -> None:
        """Say what the meter can show at most, as people write it; nothing if it is not known."""
        try:
            self._book.set_full_scale(read_quantity(text, "force").quantity if text else None)
        except InputError as fault:
            self._meter_reply.value = as_live_text(as_sentence(fault))
            return
        self._meter_reply.value = ""
        self.show_in(display.system)

    def show_in(self, system: DisplaySystem) -> None:
        """Say what is open, in the display system in force."""
        log = self._book.session.log
        remarks = "".join(f" {as_sentence(remark)}" for remark in log.remarks)
        self._say(f"{self._book.session.name}: {log.summary}{remarks}", log.problems)

    def _entered(self, path: str):
        if path:
            self.open_path(path)

    def _uploaded(self, change):
        if change["new"]:
            file = change["new"][0]
            # Emptied first, so that the same file, corrected, can be chosen again.
            self._upload.value = ()
            self.open_bytes(bytes(file["content"]), file["name"])

    def _open(self, source, name: str):
        self._source = source, left_to_right(name)
        self._read()

    def _read(self, chosen: Mapping[str, Chosen] | None = None):
        source, name = self._source
        try:
            self._book.read(source, name, chosen)
        except InputError as fault:
            faults = [as_sentence(line) for line in str(fault).splitlines()]
            kept = f"Until then {self._book.session.name} stays open."
            if isinstance(fault, UnknownColumnsError) and fault.preview:
                self.chooser.ask(fault.preview)
                kept = f"Or say below which column is which. {kept}"
            elif chosen is None:
                self.chooser.close()
            self.sentence, self.problems = " ".join([*faults, kept]), []
            self._reply.value = as_live_text(f"{name}: {self.sentence}")
        else:
            self.chooser.close()
            self.show_in(display.system)

    def _say(self, sentence: str, problems: Sequence[Finding]):
        self.sentence = sentence
        self.problems = [left_to_right(as_sentence(cause)) for cause in by_cause(problems)]
        items = "".join(f"<li>{as_html(each)}</li>" for each in self.problems[:MOST_LISTED])
        more = len(self.problems) - MOST_LISTED
        rest = f"<p>And {more:,} more.</p>" if more > 0 else ""
        listed = (
            f"<p>These places could not be read; all other rows are kept, and the file is not "
            f'changed.</p><ol style="line-height: 1.4">{items}</ol>{rest}'
        )
        self._reply.value = as_live_text(sentence) + listed * bool(problems)

    def _repr_mimebundle_(self, **kwargs):
        # The sentence is for readers without a kernel, and for static pages.
        return self.view._repr_mimebundle_(**kwargs) | {"text/plain": self.sentence}
