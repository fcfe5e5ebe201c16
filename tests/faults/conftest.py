"""The course, to be started and stopped by a test, and a browser to look at it with."""

import subprocess
import sys

import pytest
from browser.conftest import (
    LAPTOP,
    OWN_GROUP,
    STOP_SIGNAL,
    browser,
    chromium,
    is_installed,
    told_address,
)
from browser.lesson_page import LessonPage
from needs import skip_or_fail

import course

__all__ = ["browser", "chromium"]


class Course:
    """The course in one folder, opened by its command as often as a test wants."""

    def __init__(self, folder):
        self.folder = folder
        self._process = None

    def start(self):
        """Open the course."""
        self._process = subprocess.Popen(
            [sys.executable, "course.py", "open", "--no-browser", "--folder", str(self.folder)],
            cwd=course.ROOT,
            stdout=subprocess.PIPE,
            text=True,
            creationflags=OWN_GROUP,
        )
        self.address, self.token = told_address(self._process.stdout)

    def stop(self):
        """End the course as Ctrl-C does, unless it has ended."""
        if self._process.poll() is None:
            self._process.send_signal(STOP_SIGNAL)
            self._process.communicate(timeout=30)


@pytest.fixture(scope="module")
def running(chromium, tmp_path_factory):
    """The course, running; the test may stop it and start it again."""
    if not is_installed():
        skip_or_fail("The packages are not those of the course. Run: python3 course.py test")
    running = Course(tmp_path_factory.mktemp("learner") / "my course")
    running.start()
    yield running
    running.stop()


@pytest.fixture
def open_tab(browser, running):
    """A function that opens a notebook in a tab; all tabs are those of one browser."""
    context = browser.new_context(viewport=LAPTOP)

    def opened(name):
        page = LessonPage(context.new_page(), running.address)
        page.go(f"doc/tree/{name}?token={running.token}")
        return page

    yield opened
    context.close()


@pytest.fixture
def open_lesson(open_tab):
    """A function that opens a lesson in a tab and waits until it has run."""

    def opened(name):
        page = open_tab(name)
        cells = course.notebook_cells(course.LESSONS / name)
        page.wait_until_run(sum(kind == "code" for kind, _ in cells) - 1)
        return page

    return opened
