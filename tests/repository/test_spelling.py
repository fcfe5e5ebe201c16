"""Spelling, American throughout: pages, lessons, sources, tests, and what is sent to browsers."""

import re
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGES = [*ROOT.glob("*.md"), *ROOT.glob("lessons/**/*.md")]
NOTEBOOKS = [
    path for path in ROOT.glob("lessons/**/*.ipynb") if ".ipynb_checkpoints" not in path.parts
]
SOURCES = [
    ROOT / "course.py",
    *ROOT.glob("launcher/*.py"),
    *ROOT.glob("recoverykit/**/*.py"),
    *(path for path in ROOT.glob("tests/**/*.py") if path != Path(__file__).resolve()),
    *(
        path
        for ending in ("js", "css", "j2", "html")
        for path in ROOT.glob(f"launcher/**/*.{ending}")
    ),
    *ROOT.glob("lessons/instructor/**/*.py"),
    *ROOT.glob("data/*.csv"),
]


def misspelt(*files: Path) -> str:
    """What the spelling check says, one line a slip; nothing if there is none."""
    command = [sys.executable, "-m", "codespell_lib", "--toml", str(ROOT / "pyproject.toml")]
    process = subprocess.run([*command, *map(str, files)], capture_output=True, text=True)
    assert not process.stderr
    return process.stdout


@pytest.fixture
def written(tmp_path):
    """A function that writes a text into a file of its own."""

    def write(name: str, text: str) -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_pages_and_sources_have_no_common_slip():
    assert PAGES
    assert misspelt(*PAGES, *SOURCES) == ""


def test_notebooks_have_no_common_slip(written):
    """Cell by cell: in the file, a line's first word would stick to the mark of the new line."""
    texts = [
        written(
            f"{path.stem}.txt",
            "\n\n".join(cell.source for cell in nbformat.read(path, as_version=4).cells),
        )
        for path in NOTEBOOKS
    ]
    assert texts
    assert misspelt(*texts) == ""


# What sounds translated, or was said another way before; and letters that draw boxes.
NOT_SAID = r"casualty|let(s|ting)? air down|where this stops holding|[\u2500-\u257f]"


def test_learners_read_nothing_that_nobody_says():
    found = [
        (path.name, said[0])
        for path in [
            *(page for page in PAGES if page.name != "DEVELOPERS.md"),
            *NOTEBOOKS,
            *ROOT.glob("data/*.csv"),
            *ROOT.glob("recoverykit/**/*.py"),
        ]
        for said in re.finditer(NOT_SAID, path.read_text(encoding="utf-8"), re.IGNORECASE)
    ]
    assert found == []


@pytest.mark.parametrize("page", [*PAGES, *NOTEBOOKS], ids=lambda page: page.name)
def test_no_page_makes_a_promise_that_nobody_can_make(page):
    assert not re.search(r"\bsafe", page.read_text(encoding="utf-8"), re.IGNORECASE)


@pytest.mark.parametrize("slip", ["recieve", "seperate", "occured", "colour", "metre", "behaviour"])
def test_a_slip_is_found(written, slip):
    assert f"{slip} ==>" in misspelt(written("page.md", f"A part did not {slip} it.\n"))
