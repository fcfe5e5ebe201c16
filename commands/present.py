"""present: the panels of the lessons as pages without code, for a projector.

Voilà shows them. Its settings are in jupyter/voila.json, the looks in jupyter/voila/templates/.
"""

import sys
import tempfile

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from nbformat import NotebookNode
from nbformat.v4 import new_markdown_cell
from tornado.web import HTTPError
from traitlets.config import Config
from voila.app import Voila

import course
from commands.lessons import is_guess, is_panel, paragraphs, read, top


def main(options: list[str]) -> None:
    """Serve until the process is told to end."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as scratch:
        KernelsApart.scratch = scratch
        Voila.launch_instance(options, config=settings())


class KernelsApart(AsyncMappingKernelManager):
    """Each page's kernel works in a new, empty folder: so what it keeps is gone with the server."""

    scratch = ""

    def cwd_for_path(self, path, **kwargs):
        """Return the folder in which a new kernel works."""
        return tempfile.mkdtemp(dir=self.scratch)


def settings() -> Config:
    """Return those settings that are no plain values."""
    config = Config()
    config.Voila.root_dir = str(course.LESSONS)
    config.VoilaConfiguration.multi_kernel_manager_class = KernelsApart
    config.VoilaConfiguration.prelaunch_hook = show_panels_only
    config.VoilaConfiguration.page_config_hook = list_lessons
    return config


def show_panels_only(handler, notebook: NotebookNode, cwd: str) -> NotebookNode:
    """Refuse all but the lessons; of those show what `presented` leaves."""
    if handler.path_args[0] not in [lesson.name for lesson in course.lessons()]:
        raise HTTPError(404)
    return presented(notebook)


def presented(notebook: NotebookNode) -> NotebookNode:
    """Return the top of a lesson, its cautions, its guess and its panels."""
    title, question, caution = top(notebook)
    cells = [new_markdown_cell(f"# {title}\n\n**{question}**\n\n{caution}")]
    for cell in notebook.cells:
        if cell.id in ("cautions", "guess"):
            _heading, _minutes, *rest = paragraphs(cell.source)
            cells.append(new_markdown_cell("\n\n".join(rest)))
        elif cell.id == "tools" or is_guess(cell) or is_panel(cell):
            cells.append(cell)
    notebook.cells = cells
    return notebook


def list_lessons(page_config: dict, notebook_path: str, **_) -> dict:
    """Give the page that lists the lessons their titles and questions."""
    page_config["lessons"] = [
        {"file": lesson.name, **top(read(lesson))._asdict()} for lesson in course.lessons()
    ]
    return page_config


if __name__ == "__main__":
    main(sys.argv[1:])
