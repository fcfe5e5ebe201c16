"""What makes a page live: its places, its data, its script and style, and what it may load."""

import base64
import hashlib
import json
import re

from nbformat import NotebookNode

from launcher import paths
from launcher.lesson_cells import is_guess, is_panel, read
from launcher.pages import sheets, states
from recoverykit import lessons
from recoverykit.course.guesses import Guess, GuessTemplate
from recoverykit.course.panel import Panel
from recoverykit.units.quantities import SYSTEMS, display

VERSION = 1  # of the data that the script is given
FOLDER = paths.JUPYTER / "nbconvert" / "templates" / "pages"
# Parts of one script.
SCRIPTS = ("basics", "progress", "questions", "survey", "pictures", "panels", "start")
TOP = ("speed", "force", "mass")  # kinds whose units stand for a display system


def place(part: str, name: str = "") -> str:
    """Where the script puts a part of the page."""
    return f'<div class="live" data-part="{part}" data-name="{name}"></div>'


def asked(cell: NotebookNode) -> str | None:
    """The id of the guess or question that a cell asks."""
    found = re.search(r'\b(?:ask|guess)\("(.+?)"\)', cell.source)
    return found and found[1]


def occasion(cell: NotebookNode) -> str | None:
    """The occasion on which a cell asks the survey."""
    found = re.search(r'\bask_survey\("(.+?)"\)', cell.source)
    return found and found[1]


# --- data -------------------------------------------------------------------------------


def lesson_data(source: str, system: str) -> dict:
    """All that the page of a lesson shows and says, in one display system."""
    display.use(system)
    parts: dict[str, dict] = {"guess": {}, "question": {}, "survey": {}, "panel": {}}
    for cell in read(paths.LESSONS / source).cells:
        if cell.cell_type != "code":
            continue
        if is_guess(cell):
            parts["guess"][asked(cell)] = sheets.guess(asked(cell))
        elif asked(cell):
            parts["question"][asked(cell)] = sheets.question(asked(cell))
        elif occasion(cell):
            parts["survey"][occasion(cell)] = sheets.survey(occasion(cell))
        elif is_panel(cell):
            parts["panel"][cell.id] = states.states_of(panel_of(cell))
    return {"units": sheets.all_units(), **parts}


def panel_of(cell: NotebookNode) -> Panel:
    """The panel that a cell shows, as nobody has touched it yet; its guess is the page's matter."""
    if "guess=" not in cell.source:
        return panel_type(cell)()
    skipped = Guess(GuessTemplate(id="", text="", given={}, fields={}))
    skipped.skip()
    return panel_type(cell)(guess=skipped)


def panel_type(cell: NotebookNode) -> type[Panel]:
    """The panel that a cell shows, by its name."""
    return getattr(lessons, re.search(r"\w+Panel", cell.source)[0])


def page_data(systems: dict[str, dict], start: str, overview: list[dict]) -> str:
    """The data of a page as JSON that can stand in HTML."""
    labels = {name: ", ".join(map(system.symbol, TOP)) for name, system in SYSTEMS.items()}
    data = {
        "version": VERSION,
        "start": start,
        "labels": labels,
        "systems": systems,
        "overview": overview,
    }
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", r"\u003c")


def lesson_overview(source: str, data: dict) -> dict:
    """What the start page has to know of a lesson, to tell what was done in it."""
    surveys = [survey["id"] for survey in data["survey"].values()]
    return {
        "page": source.replace(".ipynb", ".html"),
        "guess": next(iter(data["guess"]), ""),
        "questions": list(data["question"]),
        "survey": next(iter(surveys), ""),
    }


# --- script, style and policy -----------------------------------------------------------


def script() -> str:
    """The script of all pages."""
    return "\n".join((FOLDER / f"{name}.js").read_text(encoding="utf-8") for name in SCRIPTS)


def style() -> str:
    """The style of all pages."""
    return (FOLDER / "page.css").read_text(encoding="utf-8")


def policy() -> str:
    """What a page may load and run: this script, this style, and the pictures within it."""
    return "; ".join(
        [
            "default-src 'none'",
            "img-src data:",
            f"script-src '{_hash(script())}'",
            f"style-src-elem '{_hash(style())}'",
            "style-src-attr 'unsafe-inline'",  # sizes of formulas and drawings
            "base-uri 'none'",
            "form-action 'none'",
        ]
    )


def _hash(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
