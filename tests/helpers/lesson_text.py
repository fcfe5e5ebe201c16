"""What a lesson says, for the tests that tie it to the library."""

import ast
import contextlib
import io
import re
from collections.abc import Iterator
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

    def printed(self) -> Iterator[tuple[str, str, str, str]]:
        """Each worked example: its code, its text, all text so far, and what the code prints."""
        names, texts = {}, []
        for cell in self.notebook.cells:
            if cell.cell_type == "markdown":
                texts.append(cell.source)
            elif cell.id == "tools":
                for node in ast.parse(cell.source).body:
                    if isinstance(node, ast.ImportFrom):
                        exec(ast.unparse(node), names)
            elif cell.id.startswith("example-"):
                with contextlib.redirect_stdout(io.StringIO()) as output:
                    exec(cell.source, names)
                yield cell.source, texts[-1], "\n\n".join(texts), output.getvalue()
