"""What the commands use of a lesson: the top of its first cell, and which of its cells are what.

A lesson is written for both unit systems. Of "5 mph (8 km/h)" a reader sees one, and of two cells
tagged "US" and "metric" one: in the course that is units.js and lesson.css, on an exported page
`in_both_systems` and page.css.
"""

import re
from pathlib import Path
from typing import NamedTuple

import nbformat
from nbformat import NotebookNode

NUMBER = r"[\d.,½]*[\d½]"
NUMBERS = rf"(?:{NUMBER} (?:to|and|or) )?{NUMBER}"
US = r"(?:mph|lbf per mph|lbf\/ft|lbf|lb|ft·lbf|ft|in)"
METRIC = r"(?:km\/h|kN per km\/h|kN\/m|kN|N|kg|kJ|J|cm|m)"
# The same stands in units.js.
PAIR = re.compile(rf"(?<![\d.,])({NUMBERS} {US}) \(({NUMBERS} {METRIC})\)")
SYSTEMS = ("US", "metric")  # in the order of a pair


class Top(NamedTuple):
    """What a lesson begins with, as Markdown."""

    title: str
    question: str
    caution: str


def read(lesson: Path) -> NotebookNode:
    """Read a notebook."""
    return nbformat.read(lesson, as_version=4)


def top(notebook: NotebookNode) -> Top:
    """Return the title, the question and the caution of a lesson."""
    title, question, caution, *_ = paragraphs(notebook.cells[0].source)
    return Top(title.removeprefix("# "), question.strip("*"), caution)


def paragraphs(text: str) -> list[str]:
    """Take a text apart at its empty lines."""
    return re.split(r"\n\n+", text)


def is_panel(cell: NotebookNode) -> bool:
    """Tell whether a cell shows a panel of the course (not one for a learner's own numbers)."""
    return cell.id == "panel" or cell.id.startswith("panel-")


def is_guess(cell: NotebookNode) -> bool:
    """Tell whether a cell asks for the guess that a lesson's panels wait for."""
    return cell.id == "my-guess"


def is_example(cell: NotebookNode) -> bool:
    """Tell whether a cell is a worked example, the only code that readers see."""
    return cell.id.startswith("example-")


def is_illustration(cell: NotebookNode) -> bool:
    """Tell whether a cell shows a still drawing."""
    return cell.id.startswith("illustration-")


def is_test(cell: NotebookNode) -> bool:
    """Tell whether a cell is for tests only."""
    return "drive-panels" in cell.metadata.get("tags", [])


def system_of(cell: NotebookNode) -> str | None:
    """Return the unit system for which alone a cell stands; None if it is for both."""
    tags = cell.metadata.get("tags", [])
    return next((system for system in SYSTEMS if system in tags), None)


def in_one_system(notebook: NotebookNode, system: str) -> NotebookNode:
    """Return a lesson as its readers see it in "US" or in "metric" units."""
    notebook.cells = [cell for cell in notebook.cells if system_of(cell) in (None, system)]
    for cell in notebook.cells:
        if cell.cell_type == "markdown":
            cell.source = one_of_each_pair(cell.source, system)
    return notebook


def in_both_systems(text: str) -> str:
    """Return a Markdown text in which each number of a pair is marked for its system.

    >>> in_both_systems("At 2.5 mph (4 km/h).")
    'At <span class="US">2.5 mph</span><span class="metric">4 km/h</span>.'
    """
    marked = (rf'<span class="{name}">\{place}</span>' for place, name in enumerate(SYSTEMS, 1))
    return PAIR.sub("".join(marked), text)


def one_of_each_pair(text: str, system: str) -> str:
    """Return a Markdown text with one of the two numbers of each pair.

    >>> one_of_each_pair("At 2.5 mph (4 km/h) it sees 2,500 to 3,000 lbf (11 to 13 kN).", "US")
    'At 2.5 mph it sees 2,500 to 3,000 lbf.'
    """
    return PAIR.sub(rf"\{SYSTEMS.index(system) + 1}", text)
