"""Pages say what is there: links, files, commands and the picture."""

import io
import re
from pathlib import Path

import matplotlib.image
import numpy as np
import pytest

from launcher import cli, lesson_copies
from recoverykit.lessons import PeakForcePanel
from recoverykit.units.quantities import Q

ROOT = Path(__file__).resolve().parents[2]
PICTURE = ROOT / "lessons/pictures/peak-force.png"
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted(ROOT.glob("tests/*/README.md"))]


def named(page: Path) -> str:
    """A page by its path in the project."""
    return page.relative_to(ROOT).as_posix()


each_page = pytest.mark.parametrize("page", PAGES, ids=named)


def picture() -> bytes:
    """The README's picture: run this file to renew it."""
    panel = PeakForcePanel()
    panel.set(speed=Q(8, "km/h"))
    return panel.png()


def test_the_picture_is_what_the_panel_draws():
    stored, drawn = (
        matplotlib.image.imread(io.BytesIO(b)) for b in (PICTURE.read_bytes(), picture())
    )
    assert stored.shape == drawn.shape
    assert np.mean(np.abs(stored - drawn)) < 0.01, f"renew it: python {__file__}"


FOR_LEARNERS = [path for path in lesson_copies.lesson_files() if path.suffix in (".md", ".ipynb")]


@pytest.mark.parametrize("page", [*PAGES, *FOR_LEARNERS], ids=named)
def test_links_lead_somewhere(page):
    """Not to a heading: what that is called in an address differs between viewers of such pages."""
    links = re.findall(r"\]\(([^)]+)\)", page.read_text(encoding="utf-8"))
    assert not [link for link in links if "://" not in link and not (page.parent / link).exists()]


@each_page
def test_files_that_are_named_exist(page):
    named = re.findall(r"`([\w./-]+\.(?:py|js))`", page.read_text(encoding="utf-8"))
    folders = ("data", "launcher", "lessons", "recoverykit", "tests")
    files = [path.as_posix() for name in folders for path in (ROOT / name).rglob("*.*")]
    files += [path.as_posix() for path in ROOT.glob("*.py")]
    missing = [name for name in named if not any(path.endswith(f"/{name}") for path in files)]
    assert not missing


def test_developers_is_short_enough_to_be_read():
    assert len(PAGES[1].read_text(encoding="utf-8").splitlines()) <= 200


def test_the_commands_exist():
    commands = re.findall(r"course\.py (\w+) {2,}", PAGES[0].read_text(encoding="utf-8"))
    assert "test" in commands
    assert set(commands) <= set(re.findall(r"^    (\w+)", cli.parser().format_help(), re.MULTILINE))


if __name__ == "__main__":
    PICTURE.write_bytes(picture())
