"""The README says what is there: its links, its commands and its picture."""

import io
import re
from pathlib import Path

import matplotlib.image
import numpy as np
import pytest

from launcher import cli
from recoverykit.lessons import PeakForcePanel
from recoverykit.units.quantities import Q

ROOT = Path(__file__).resolve().parents[2]
PICTURE = ROOT / "lessons/pictures/peak-force.png"
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md"]


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


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_lead_somewhere(page):
    targets = re.findall(r"\]\(([^)#]+)\)", page.read_text(encoding="utf-8"))
    missing = [t for t in targets if "://" not in t and not (page.parent / t).exists()]
    assert not missing


def test_the_commands_exist():
    commands = re.findall(r"course\.py (\w+) {2,}", PAGES[0].read_text(encoding="utf-8"))
    assert "test" in commands
    assert set(commands) <= set(re.findall(r"^    (\w+)", cli.parser().format_help(), re.MULTILINE))


if __name__ == "__main__":
    PICTURE.write_bytes(picture())
