"""What a lesson says, for the tests that tie it to the library."""

import ast
import contextlib
import io
import re
from pathlib import Path

import nbformat

import recoverykit
from recoverykit.units.quantities import METRIC, US, brief, show

FOLDER = Path(recoverykit.__file__).parent.parent / "lessons"


class LessonText:
    """The text, formulas and worked examples of the lesson with a number."""

    def __init__(self, number: str):
        (path,) = FOLDER.glob(f"{number}-*.ipynb")
        self.notebook = nbformat.read(path, as_version=4)
        cells = self.notebook.cells
        self.text = "\n\n".join(cell.source for cell in cells if cell.cell_type == "markdown")

    @property
    def formulas(self) -> list[str]:
        """The formulas that stand on a line of their own, in order."""
        return [f.strip() for f in re.findall(r"\$\$(.+?)\$\$", self.text, re.DOTALL)]

    def says(self, sentence: str, quantity, kind: str) -> bool:
        """Whether a sentence is there, with the quantity in it for {metric} and {us}.

        Given numbers may stand without zeros at their end: 8 km/h for 8.0 km/h.
        """
        return any(
            sentence.format(metric=write(quantity, kind, METRIC), us=write(quantity, kind, US))
            in self.text
            for write in (show, brief)
        )

    def printed(self) -> list[str]:
        """The lines that the worked examples print, run one after another."""
        code = [cell for cell in self.notebook.cells if cell.cell_type == "code"]
        names = {}
        for node in ast.parse(code[0].source).body:
            if isinstance(node, ast.ImportFrom):
                exec(ast.unparse(node), names)
        with contextlib.redirect_stdout(io.StringIO()) as output:
            for cell in code:
                if cell.id.startswith("example-"):
                    exec(cell.source, names)
        return output.getvalue().splitlines()
