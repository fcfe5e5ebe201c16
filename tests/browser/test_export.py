"""The exported pages: on a phone, on a desk, on paper, and with a screen reader."""

import re
import shutil
import subprocess
import sys
from urllib.parse import unquote, urlparse

import pytest
from helpers.lesson_page import resize
from helpers.needs import skip_or_fail
from playwright.sync_api import expect

from browser.test_accessibility import AXE, serious
from launcher import export, paths
from recoverykit.lessons import PeakForcePanel

PAGES = [export.INDEX, *map(export.page_of, export.sources())]
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1366, "height": 768}

# What is wider than its place; formulas for the ear are meant to be.
WIDER = """() => [document.documentElement, ...document.querySelectorAll('body :not(math, math *)')]
    .filter(part => part.clientWidth && part.scrollWidth > part.clientWidth + 1)
    .map(part => `${part.tagName} ${part.textContent.slice(0, 40)}`)"""

SMALLEST = """() => Math.min(...[...document.querySelectorAll('main :not(math, math *)')]
    .map(part => parseFloat(getComputedStyle(part).fontSize)))"""


def read_on(page):
    """Tick that the guess is written down, where there is one."""
    for box in page.get_by_role("checkbox").all():
        box.check()


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The pages as a trainer makes them."""
    folder = tmp_path_factory.mktemp("trainer") / "my pages"
    subprocess.run(
        [sys.executable, "-m", "launcher.export", str(folder), "metric"],
        cwd=paths.ROOT,
        check=True,
    )
    return folder


@pytest.fixture(scope="module")
def open_exported(browser, folder):
    """A function that opens a page from the disk; `requests` collects all that it asks for."""
    context = browser.new_context(viewport=PHONE, offline=True)

    def opened(name):
        page = context.new_page()
        page.requests = []
        page.on("request", lambda request: page.requests.append(request.url))
        page.goto((folder / name).as_uri())
        return page

    yield opened
    context.close()


@pytest.mark.parametrize("name", PAGES)
def test_a_page_can_be_read_by_all_and_asks_for_nothing(open_exported, name):
    page = open_exported(name)
    read_on(page)
    assert page.evaluate(WIDER) == []
    assert page.evaluate(SMALLEST) >= 7  # a drawing of 74 letters on a line
    resize(page, DESK)
    assert page.evaluate(WIDER) == []
    assert [url for url in page.requests[1:] if not url.startswith("data:")] == []
    page.evaluate(AXE)
    found = page.evaluate("axe.run()")
    assert serious(found) == []
    page.close()


@pytest.mark.parametrize("name", PAGES)
def test_links_lead_to_pages_that_are_there(open_exported, folder, name):
    page = open_exported(name)
    read_on(page)
    links = page.get_by_role("link").evaluate_all("all => all.map(link => link.href)")
    assert links
    paths = [unquote(urlparse(link).path) for link in links if link.startswith("file:")]
    assert {path for path in paths if not export.Path(path).is_file()} == set()
    page.close()


def test_on_a_screen_the_answer_waits_for_the_guess(open_exported):
    page = open_exported("03-peak-force.html")
    expect(page.get_by_role("img")).to_be_hidden()
    expect(page.get_by_role("heading", name="Explain")).to_be_hidden()
    page.get_by_role("checkbox", name="My guess is written down").press("Space")
    expect(page.get_by_role("img")).to_be_visible()
    page.close()


def test_all_pages_are_there_and_no_other(folder):
    assert sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.*")) == sorted(
        PAGES
    )


def test_on_paper_the_guess_is_not_beside_its_answer(open_exported, tmp_path):
    if not shutil.which("pdftotext"):
        skip_or_fail("This test needs pdftotext. On Debian: sudo apt install poppler-utils")
    page = open_exported("03-peak-force.html")
    page.pdf(path=tmp_path / "lesson.pdf", format="A4")
    text = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "lesson.pdf", "-"], capture_output=True, text=True
    ).stdout
    sheets = [re.sub(r"\s+", " ", sheet).strip() for sheet in text.split("\f")]
    (guess,) = [number for number, sheet in enumerate(sheets) if "Peak at 4 km/h:" in sheet]
    first_words = PeakForcePanel().summary.partition(":")[0]
    (answer,) = [number for number, sheet in enumerate(sheets) if first_words in sheet]
    assert answer == guess + 1
    assert "All lessons" not in text
    assert len([sheet for sheet in sheets if sheet]) <= 8
    page.close()
