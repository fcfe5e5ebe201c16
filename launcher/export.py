"""export: pages of the lessons, live on a phone and to print, without a network.

nbclient runs a lesson, nbconvert makes the page; its looks are in jupyter/nbconvert/templates/.
What answers on the screen comes from `launcher.pages`; without its script a page is for reading.
"""

import base64
import io
import os
import re
import sys
import tempfile
import time
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from pathlib import Path

import latex2mathml.converter
import matplotlib
from matplotlib.font_manager import FontProperties
from matplotlib.mathtext import MathTextParser, math_to_image
from nbclient import NotebookClient
from nbconvert import HTMLExporter
from nbconvert.filters.markdown_mistune import IPythonRenderer, MarkdownWithMath
from nbformat import NotebookNode
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook

from launcher import common, lesson_copies, paths, print_cells
from launcher.lesson_cells import (
    in_both_systems,
    is_example,
    is_guess,
    is_illustration,
    is_panel,
    is_test,
    paragraphs,
    read,
    top,
)
from launcher.pages import handouts
from launcher.pages.live import (
    asked,
    lesson_data,
    lesson_overview,
    occasion,
    page_data,
    place,
    policy,
    script,
    style,
)
from recoverykit.units.quantities import SYSTEMS, display

INDEX = "index.html"
TEXTS = ["glossary.md", "instructor/guide.md"]
MADE_HERE = 'content="recoverykit pages"'  # stands in the head of every page


def main(folder: Path, units: str) -> int:
    """Make all pages, and put them where the former ones were."""
    check_replaceable(folder)
    lesson_copies.check_lessons()
    started = time.monotonic()
    render = MarkdownWithMath(renderer=PageRenderer("")).render
    replace_folder(folder, all_pages(units) | {handouts.PAGE: handouts.page(units, render)})
    common.say(
        f"{len(list(folder.rglob('*.html')))} pages made in {time.monotonic() - started:.0f} s. "
        "Open this one, or copy the whole folder:",
        f"    {folder / INDEX}",
    )
    return 0


# --- what is exported -------------------------------------------------------------------


def sources() -> list[str]:
    """Return the files that get a page, as paths below lessons/."""
    return [lesson.name for lesson in lesson_copies.lessons()] + TEXTS


def page_of(source: str) -> str:
    """Return the path of a source's page."""
    return re.sub(r"\.(ipynb|md)$", ".html", source)


def all_pages(units: str) -> dict[str, str]:
    """Return every page by its path. As much is made at once as there are processors."""
    lessons = [lesson.name for lesson in lesson_copies.lessons()]
    with ProcessPoolExecutor() as processes:
        states = {
            (name, system): processes.submit(lesson_data, name, system)
            for name in reversed(lessons)  # the last ones take longest
            for system in SYSTEMS
        }
        notebooks = {source: processes.submit(executed, source, units) for source in sources()}
        show_progress([*states.values(), *notebooks.values()])
    live = {name: {system: states[name, system].result() for system in SYSTEMS} for name in lessons}
    overview = [lesson_overview(name, live[name][units]) for name in lessons]
    pages = {INDEX: new_notebook(cells=[new_markdown_cell(index())])}
    pages |= {source: notebook.result() for source, notebook in notebooks.items()}
    return {
        page_of(source): as_page(
            notebook,
            source,
            units,
            page_data(live.get(source, {}), units, overview if source == INDEX else []),
        )
        for source, notebook in pages.items()
    }


def show_progress(made: list[Future]) -> None:
    """Draw a bar while pages are made, where somebody watches."""
    for number, each in enumerate(as_completed(made), 1):
        each.result()  # the first one that failed ends it
        if sys.stdout.isatty():
            bar = "#" * (40 * number // len(made))
            end = "\n" if number == len(made) else "\r"
            print(f"[{bar:40}] {number} of {len(made)}", end=end, flush=True)


def index() -> str:
    """Return the page that leads to all others, as Markdown."""
    tops = {lesson.name: top(read(lesson)) for lesson in lesson_copies.lessons()}
    lessons = [f"- [{each.title}]({name}). {each.question}" for name, each in tops.items()]
    return "\n\n".join(
        [
            "# What a stretch rope does",
            "Guess, move, answer: these pages work on any phone or computer, offline. Do the "
            "lessons in order, and save your progress at the end.",
            next(iter(tops.values())).caution,
            "## Lessons",
            "\n".join(lessons),
            "## Besides",
            "- [Words and units](glossary.md)\n- [Instructor's guide](instructor/guide.md)\n"
            f'- <a href="{handouts.PAGE}">Handouts, one sheet a lesson, to print</a>',
        ]
    )


def executed(source: str, units: str) -> NotebookNode:
    """Return a lesson as it stands on paper, run, or a text."""
    display.use(units)
    path = paths.LESSONS / source
    if path.suffix == ".md":
        text = in_both_systems(path.read_text(encoding="utf-8"))
        notebook = new_notebook(cells=[new_markdown_cell(text)])
    else:
        notebook = for_paper(read(path), units)
        with tempfile.TemporaryDirectory() as scratch:  # nobody's answers are read or written
            NotebookClient(
                notebook,
                resources={"metadata": {"path": scratch}},
                extra_arguments=["--log-level=ERROR"],
            ).execute()
    return notebook


# --- a lesson on paper ------------------------------------------------------------------


def for_paper(notebook: NotebookNode, units: str) -> NotebookNode:
    """Return a lesson whose panels show their answer, and whose questions leave room to write."""
    cells = [unseen(f'from recoverykit import display\ndisplay.use("{units}")')]
    for cell in notebook.cells:
        if not is_test(cell):
            cells += cells_for_paper(cell)
    notebook.cells = cells
    return notebook


def cells_for_paper(cell: NotebookNode) -> list[NotebookNode]:
    """Return what stands on paper in place of a cell."""
    if cell.cell_type == "markdown":
        return [new_markdown_cell(for_reading(cell), id=cell.id, metadata=cell.metadata)]
    if is_example(cell):
        return [cell]
    if is_illustration(cell):
        return [unseen(cell.source, illustration=True)]
    if cell.id == "tools":
        return [unseen(cell.source)]
    if is_panel(cell):
        panel = cell.source.splitlines()[-1]
        settings = f"from launcher.print_cells import settings\nprint(settings({panel}))"
        live = new_markdown_cell(place("panel", cell.id))
        return [live, unseen(cell.source), unseen(settings)]
    if is_guess(cell):
        room = print_cells.guess(asked(cell)) + place("guess", asked(cell))
        return [new_markdown_cell(room), unseen(f"{cell.source}.show()")]
    if asked(cell):
        room = print_cells.question(asked(cell)) + place("question", asked(cell))
        return [new_markdown_cell(room)]
    if occasion(cell):
        return [new_markdown_cell(print_cells.survey() + place("survey", occasion(cell)))]
    return [new_markdown_cell(print_cells.ON_SCREEN)]


def unseen(code: str, **marks: bool) -> NotebookNode:
    """Return a cell whose code is run but not shown."""
    return new_code_cell(code, metadata={"transient": {"remove_source": True, **marks}})


ON_SCREEN_ONLY = ("**The page runs by itself**", "**Gray boxes**", "Your copy of the lessons")
NOT_HERE = re.compile(  # pages show all tasks
    r", and press Enter(?! or)|Enter or (?=\*Check)|, one at a time(?=\.)"
)
OTHER_NUMBERS = re.compile(r" To try other \w+, change them and press Shift\+Enter\.")
TRIED = re.compile(r"Starting values|Shift\+Enter|\b(?:Press|Tick|Move the)\b|\btasks are under\b")


def for_reading(cell: NotebookNode) -> str:
    """Return a Markdown text unfolded, and without how to use sliders and boxes.

    Where there is still something to press, it says under its heading where that is.
    """
    text = NOT_HERE.sub("", OTHER_NUMBERS.sub("", in_both_systems(cell.source)))
    text = text.replace("<details>", "<details open>")
    kept = [each for each in paragraphs(text) if not each.startswith(ON_SCREEN_ONLY)]
    if TRIED.search(text):
        kept.insert(1, print_cells.IN_THE_COURSE)
    return "\n\n".join(kept)


# --- a page -----------------------------------------------------------------------------


def as_page(notebook: NotebookNode, source: str, units: str, data: str) -> str:
    """Return a notebook as a page; `source` is its path below lessons/, `data` makes it live."""
    first = next(cell for cell in notebook.cells if cell.cell_type == "markdown")
    title = re.search(r"^# (.+)$", first.source, re.MULTILINE)[1]
    home = "" if source == INDEX else "../" * source.count("/") + INDEX
    page = {"title": title, "home": home, "data": data, "units": units}
    resources = {"page": page | {"policy": policy(), "style": style(), "script": script()}}
    return PageExporter(source=source).from_notebook_node(notebook, resources)[0]


class PageExporter(HTMLExporter):
    """nbconvert's exporter, with our template, formulas as MathML, and links between pages."""

    def __init__(self, source: str):
        super().__init__(
            template_name="pages",
            extra_template_basedirs=[str(paths.JUPYTER / "nbconvert" / "templates")],
        )
        self._folder = os.path.dirname(source)

    def markdown2html(self, context, source):
        """Turn Markdown into HTML."""
        return MarkdownWithMath(renderer=PageRenderer(self._folder)).render(source)

    markdown2html.jinja_pass_arg = HTMLExporter.markdown2html.jinja_pass_arg


class PageRenderer(IPythonRenderer):
    """nbconvert's writer of HTML, for a page in a folder below lessons/."""

    def __init__(self, folder: str):
        super().__init__(escape=False, exclude_anchor_links=True)
        self._folder = folder

    def inline_math(self, body):
        """Write a formula within a line."""
        return as_formula(body, "inline")

    def block_math(self, body):
        """Write a formula on a line of its own."""
        return as_formula(body, "block")

    def block_code(self, code, info=None):
        """Write a drawing made of letters, and tell the style sheet how wide it is."""
        columns = max(map(len, code.splitlines()))
        return f'<pre style="--columns: {columns}">{self.escape_html(code)}</pre>'

    def link(self, text, url, title=None):
        """Lead to the page of a source; what has no page is named only."""
        if "://" in url:
            return super().link(text, url, title)
        source = os.path.normpath(os.path.join(self._folder, url)).replace(os.sep, "/")
        return super().link(text, page_of(url), title) if source in sources() else text


def as_formula(latex: str, display: str) -> str:
    """Return a formula as MathML, and with roots and small letters as a picture as well.

    Where a device has no font for mathematics, the sign of a root does not grow with what is under
    it, small letters stand too high, and the formula reads as another one. So the picture is for
    the eye, the MathML for the ear.
    """
    formula = latex2mathml.converter.convert(latex, display=display)
    if not re.search(r"\\sqrt|[_^]", latex):
        return formula
    return f'<span class="formula {display}">{as_picture(latex, display)}{formula}</span>'


def as_picture(latex: str, display: str) -> str:
    """Return a formula as a picture that is as large as the text around it."""
    if display == "block":
        latex = latex.replace(r"\frac", r"\dfrac")
    font = FontProperties(size=12, math_fontfamily="stix")
    known = latex.replace(r"\tfrac", r"\frac").replace(r"\le ", r"\leq ")  # to matplotlib
    text = f"${known}$"
    width, _height, depth, *_ = MathTextParser("path").parse(text, dpi=72, prop=font)
    file = io.BytesIO()
    with matplotlib.rc_context({"savefig.transparent": True}):
        math_to_image(text, file, prop=font, format="svg")
    ems = f"width: {width / 12:.2f}em; vertical-align: {-depth / 12:.2f}em"
    source = base64.b64encode(file.getvalue()).decode()
    return f'<img alt="" style="{ems}" src="data:image/svg+xml;base64,{source}">'


# --- the folder -------------------------------------------------------------------------


def check_replaceable(folder: Path) -> None:
    """Refuse a folder that holds anything but pages made here."""
    for path in sorted(folder.rglob("*")) if folder.is_dir() else [folder] * folder.exists():
        if not path.is_dir() and not is_made_here(path):
            raise common.CourseError(
                f"{path} was not made by this command, and would be lost. Choose a new folder: "
                "python3 course.py export --folder NAME"
            )


def is_made_here(path: Path) -> bool:
    """Tell whether a file is a page made by this command."""
    if path.suffix != ".html" or not path.is_file():  # a pipe would be waited for
        return False
    return MADE_HERE in path.read_text("utf-8", errors="replace")


def replace_folder(folder: Path, pages: dict[str, str]) -> None:
    """Write pages into a folder, in place of what is there: all of them, or none."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".pages-") as beside:
        made, former = Path(beside, "made"), Path(beside, "former")
        for name, page in pages.items():
            path = made / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(page, encoding="utf-8")
        if folder.exists():
            folder.rename(former)
        try:
            made.rename(folder)
        except OSError:
            if former.exists():
                former.rename(folder)
            raise


if __name__ == "__main__":
    sys.exit(common.explained(main, Path(sys.argv[1]), sys.argv[2]))
