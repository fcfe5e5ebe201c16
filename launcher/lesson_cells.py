"""What the commands use of a lesson: the top of its first cell, and which of its cells are what."""

import re
from pathlib import Path
from typing import NamedTuple

import nbformat
from nbformat import NotebookNode


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
