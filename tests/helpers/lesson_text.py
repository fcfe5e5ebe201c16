"""What a lesson says, for the tests that tie it to the library."""

import ast
import contextlib
import io
import re
from pathlib import Path

import recoverykit
from launcher.lesson_cells import in_one_system, read

FOLDER = Path(recoverykit.__file__).parent.parent / "lessons"


class LessonText:
    """The text, formulas and worked examples of a lesson, in one unit system or in both."""

    def __init__(self, number: str, system: str | None = None):
        (path,) = FOLDER.glob(f"{number}-*.ipynb")
        self.notebook = read(path)
        if system:
            self.notebook = in_one_system(self.notebook, system)
        cells = self.notebook.cells
        self.text = "\n\n".join(cell.source for cell in cells if cell.cell_type == "markdown")

    @property
    def formulas(self) -> list[str]:
        """The formulas that stand on a line of their own, in order."""
        return [f.strip() for f in re.findall(r"\$\$(.+?)\$\$", self.text, re.DOTALL)]

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
