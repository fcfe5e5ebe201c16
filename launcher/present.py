"""present: the panels of the lessons as pages without code, for a projector.

Voilà shows them. Its settings are in jupyter/voila.json, the looks in jupyter/voila/templates/.
"""

import re
import sys
import tempfile

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from nbformat import NotebookNode
from nbformat.v4 import new_code_cell, new_markdown_cell
from tornado.web import ErrorHandler, HTTPError
from traitlets import Integer
from traitlets.config import Config
from voila.app import Voila
from voila.voila_identity_provider import VoilaLoginHandler

from launcher import lesson_copies, paths
from launcher.common import end_with_starter
from launcher.lesson_cells import is_guess, is_illustration, is_panel, read, top


def main(options: list[str]) -> None:
    """Serve until the process is told to end."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as scratch:
        KernelsApart.scratch = scratch
        Presenter.launch_instance(options, config=settings())


class Presenter(Voila):
    """Voilà, for the lessons alone."""

    def init_handlers(self) -> list:
        """Answer 404 to paths that no page asks for: to some, Voilà would answer 500."""
        not_found = {"status_code": 404}
        ours = [(NO_PAGE, ErrorHandler, not_found), ("/login", Login)]
        return [*ours, *super().init_handlers()]


class Login(VoilaLoginHandler):
    """Voilà's login, which would answer 500 where it is to lead on to what is no address."""

    def _redirect_safe(self, url, default=None):
        try:
            super()._redirect_safe(url, default)
        except ValueError:  # a line break, a lone bracket
            raise HTTPError(404) from None


HEADING = re.compile(r"^## .+\n*")
LINK_TO_TEXT = re.compile(r"\[([^]]+)\]\([^)]+\.md\)")  # only lessons are presented
DEMONSTRATED = "03", "09", "10"
DEMONSTRATION = (
    "from recoverykit.lessons.demonstrations import demonstration\n\ndemonstration('{}')"
)
LESSON = "|".join(re.escape(lesson.name) for lesson in lesson_copies.lessons())
# As a browser sends them: encoded dots, slashes and control characters, folders, names longer than
# those of files, and what is neither a lesson nor a file of a template.
NO_PAGE = (
    r"(?:.*%[01]|.*%2[eEfF]|.*%7[fF]|.*/\.{1,2}(?:/|$)|.*[^/]{256}|.{1024}|/logout"
    r"|/voila/(?:tree|api/contents)/+[^/]"
    rf"|/voila/render/(?!(?:{LESSON})$)"
    r"|/voila/templates/(?![^/]+/static/[^/])).*"
)


class KernelsApart(AsyncMappingKernelManager):
    """Each page's kernel works in a new, empty folder: so what it keeps is gone with the server."""

    scratch = ""
    most_pages = Integer(20, help="Each takes about 120 MB.", config=True)
    starting = 0

    async def start_kernel(self, **options):
        """Start the kernel of a page, unless too many are open; 503.html says so."""
        if len(self) + self.starting >= self.most_pages:
            raise HTTPError(503)
        self.starting += 1
        try:
            return await super().start_kernel(**options)
        finally:
            self.starting -= 1

    def cwd_for_path(self, path, **kwargs):
        """Return the folder in which a new kernel works."""
        return tempfile.mkdtemp(dir=self.scratch)


def settings() -> Config:
    """Return those settings that are no plain values."""
    config = Config()
    config.Voila.root_dir = str(paths.LESSONS)
    config.VoilaConfiguration.multi_kernel_manager_class = KernelsApart
    config.VoilaConfiguration.prelaunch_hook = show_panels_only
    config.VoilaConfiguration.page_config_hook = list_lessons
    return config


def show_panels_only(handler, notebook: NotebookNode, cwd: str) -> NotebookNode:
    """Show of a lesson what `presented` leaves."""
    return presented(notebook)


def presented(notebook: NotebookNode) -> NotebookNode:
    """Return the top of a lesson, its cautions, its guess, its demonstration and its panels."""
    title, question, caution = top(notebook)
    caution = LINK_TO_TEXT.sub(r"\1", caution)
    cells = [new_markdown_cell(f"# {title}\n\n**{question}**\n\n{caution}")]
    is_guessed = False
    for cell in notebook.cells:
        about_guess = is_illustration(cell) and not is_guessed
        if cell.id in ("cautions", "guess", "guess-on", "us-log", "metric-log"):
            cells.append(new_markdown_cell(HEADING.sub("", cell.source)))
        elif cell.id == "tools" or is_guess(cell) or is_panel(cell) or about_guess:
            cells.append(cell)
        if is_guess(cell):
            is_guessed = True
            cells += demonstration(title.partition(" ")[0])
    notebook.cells = cells
    return notebook


def demonstration(lesson: str) -> list[NotebookNode]:
    """Return the cell that shows the demonstration of a lesson, if it has one."""
    if lesson not in DEMONSTRATED:
        return []
    return [new_code_cell(DEMONSTRATION.format(lesson), id="demonstration")]


def list_lessons(page_config: dict, notebook_path: str, **_) -> dict:
    """Give the page that lists the lessons their titles and questions."""
    page_config["lessons"] = [
        {"file": lesson.name, **top(read(lesson))._asdict()} for lesson in lesson_copies.lessons()
    ]
    return page_config


if __name__ == "__main__":
    end_with_starter()
    main(sys.argv[1:])
