"""Which column of a log is which: its first rows, and a choice for each thing that is read."""

from collections.abc import Callable, Mapping

import ipywidgets

from recoverykit.course.forms import WIDTH, button, dropdown, paragraph, row
from recoverykit.course.html import as_html
from recoverykit.measurements.log_table import Chosen
from recoverykit.units.text import left_to_right

SPEED_UNITS = ("km/h", "mph", "m/s")
FORCE_UNITS = ("kN", "lbf", "kgf", "N", "kip")
ROWS_SHOWN = 6
NONE = "none"
READ = "Read it like this"


class ColumnChooser:
    """Shows the first rows of a file, and asks which column is which; hidden until it asks.

    Nothing is chosen beforehand: what it calls back with is what a person said.
    """

    def __init__(self, callback: Callable[[Mapping[str, Chosen]], None]):
        self._callback = callback
        self._rows = ipywidgets.HTML(layout={"max_width": WIDTH, "overflow": "auto"})
        self.columns = {
            role: dropdown(role.capitalize(), [("choose", -1)], "220px")
            for role in ("speed", "peak", "round")
        }
        self.units = {
            role: dropdown("in", [("choose", ""), *((unit, unit) for unit in units)], "220px")
            for role, units in (("speed", SPEED_UNITS), ("peak", FORCE_UNITS))
        }
        self._read = button(READ, "Read the file with these columns", self.read)
        for each in (*self.columns.values(), *self.units.values()):
            each.observe(lambda _: self._compare(), "value")
        self.view = ipywidgets.VBox(
            [
                self._rows,
                row(self.columns["speed"], self.units["speed"]),
                row(self.columns["peak"], self.units["peak"]),
                self.columns["round"],
                row(self._read),
            ]
        )
        self.close()

    def ask(self, preview: list[list[str]]) -> None:
        """Show the first rows of a file, and wait for a choice."""
        numbered = [f"column {number + 1}" for number in range(len(preview[0]))]
        body = "".join(_table_row(cells, "td") for cells in preview[:ROWS_SHOWN])
        self._rows.value = (
            f"{paragraph('The first rows of the file. Which column is which?')}"
            f'<table style="font-size: 14px; border-collapse: collapse">'
            f"{_table_row(numbered, 'th')}{body}</table>"
        )
        options = [(name, index) for index, name in enumerate(numbered)]
        for role, each in self.columns.items():
            each.options = [(NONE if role == "round" else "choose", -1), *options]
            each.value = -1
        for each in self.units.values():
            each.value = ""
        self._compare()
        self.view.layout.display = None

    def close(self) -> None:
        """Hide, as nothing is asked."""
        self.view.layout.display = "none"

    def read(self) -> None:
        """Hand over what was chosen."""
        chosen = {
            role: Chosen(each.value, self.units[role].value if role in self.units else "")
            for role, each in self.columns.items()
            if each.value >= 0
        }
        self._callback(chosen)

    def _compare(self) -> None:
        """Wait until speed and peak are chosen, each in a column of its own, with a unit."""
        chosen = [each.value for each in self.columns.values() if each.value not in (-1, None)]
        needed = [self.columns[role].value for role in self.units]
        whole = all(each.value for each in self.units.values()) and -1 not in needed
        self._read.disabled = not whole or len(set(chosen)) < len(chosen)


def _table_row(cells: list[str], tag: str) -> str:
    style = "border: 1px solid #999; padding: 2px 8px; text-align: left"
    shown = "".join(
        f'<{tag} style="{style}">{as_html(left_to_right(cell))}</{tag}>' for cell in cells
    )
    return f"<tr>{shown}</tr>"
