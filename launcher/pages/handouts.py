"""The handouts of export: one sheet a lesson, to print, of what the lesson itself holds.

A sheet has the caution, the idea, the panel's picture as on a phone, the formulas, what to remember
in the field, where all that breaks down, and room for notes.
"""

import base64
import html
import itertools
import re
from collections.abc import Callable
from string import Template

from nbformat import NotebookNode

from launcher import lesson_copies
from launcher.lesson_cells import (
    in_one_system,
    is_panel,
    paragraphs,
    read,
    top,
)
from launcher.pages.live import FOLDER, panel_type
from launcher.print_cells import settings
from recoverykit.lessons.ideas import SURVEY
from recoverykit.units.quantities import display

PAGE = "handouts.html"
IN_FULL = 3  # as many things to remember as are told in full
LINES = 20  # for notes; what does not fit on the sheet is cut off
REMEMBERED = ("cautions", "ground", "margin")  # cells with what to do; of the first with a list
ITEM = re.compile(r"^(?:-|\d\.) (.+)$", re.MULTILINE)
LEAD = re.compile(r"^\*\*(.+?)\*\*")
ON_SCREEN = re.compile(r" The gray box works it out\.| To try other \w+, change them .+$")
HEADING = re.compile(r"^#+ ")

ToHtml = Callable[[str], str]  # of Markdown


def page(units: str, to_html: ToHtml) -> str:
    """Return the page with the sheets of all lessons."""
    display.use(units)
    sheets = [
        sheet(in_one_system(read(lesson), units), to_html) for lesson in lesson_copies.lessons()
    ]
    template = Template((FOLDER / PAGE).read_text(encoding="utf-8"))
    return template.substitute(sheets="\n".join(sheets))


def sheet(notebook: NotebookNode, to_html: ToHtml) -> str:
    """Return the sheet of a lesson, which is read in one system of units."""
    title, question, caution = top(notebook)
    texts = {cell.id: cell.source for cell in notebook.cells if cell.cell_type == "markdown"}
    number = title.partition(" ")[0]
    ideas = [f"**{idea.explained}**" for idea in SURVEY.ideas if idea.id == number]
    head = to_html("\n\n".join([f"# {title}", f"**{question}**", caution, *ideas]))
    told = "\n\n".join([formulas(notebook), remembered(texts), left_out(texts)])
    notes = f'<h2>Notes</h2><div class="notes">{"<p></p>" * LINES}</div>'
    return (
        f'<section id="{number}">{head}<div class="columns">{picture(notebook)}'
        f"<div>{to_html(told)}{notes}</div></div></section>"
    )


def picture(notebook: NotebookNode) -> str:
    """Return the first panel of a lesson as it starts: its picture, its words, its settings."""
    cell = next(filter(is_panel, notebook.cells))
    panel = panel_type(cell)()
    source = base64.b64encode(panel.png(narrow=True)).decode()
    words = f"An invented example. {panel.summary} Set to: {settings(panel)}."
    return (
        f'<figure><img alt="Picture. The words below it say what it shows." '
        f'src="data:image/png;base64,{source}"><figcaption>{html.escape(words)}</figcaption>'
        f"</figure>"
    )


def formulas(notebook: NotebookNode) -> str:
    """Return the formulas, each with its heading and its letters, and the first worked example."""
    told, heading, example = [], "", ""
    for cell in notebook.cells:
        if cell.cell_type != "markdown":
            continue
        texts = [*paragraphs(cell.source), ""]
        for each, after in itertools.pairwise(texts):
            if HEADING.match(each):
                heading = HEADING.sub("", each)
            elif each.startswith("$$"):
                letters = after if after.startswith("where") else ""
                told.append(f"- **{heading}** ${each.strip('$')}$ {letters}")
        if cell.source.startswith("**Worked example") and not example:
            example = ON_SCREEN.sub("", cell.source)
    return "\n".join(["## Formulas", "", *told, "", example]) if told else ""


def remembered(texts: dict[str, str]) -> str:
    """Return what to do in the field: a few things in full, of the rest how each begins."""
    items = next(filter(None, (first_list(texts.get(id, "")) for id in REMEMBERED)))
    full = "\n".join(f"- {each}" for each in items[:IN_FULL])
    return f"## Remember\n\n{full}\n- {leads(items[IN_FULL:])}"


def left_out(texts: dict[str, str]) -> str:
    """Return where a lesson breaks down, in a line."""
    items = first_list(texts.get("limits", ""))
    return f"## Where this breaks down\n\n{leads(items)}" if items else ""


def first_list(text: str) -> list[str]:
    """Return the items of the first list in a text."""
    return next(filter(None, map(ITEM.findall, paragraphs(text))), [])


def leads(items: list[str]) -> str:
    """Return how each item begins, as sentences."""
    return " ".join(f"{LEAD.match(each)[1].rstrip('.,:')}." for each in items)
