"""The course, to be started and stopped by a test, and a browser to look at it with."""

import contextlib

import pytest
from browser.conftest import LAPTOP, browser, chromium
from browser.conftest import running as running_server
from helpers.lesson_page import LessonPage, opener_of_lessons
from helpers.needs import need_packages

__all__ = ["browser", "chromium"]


class Course:
    """The course in one folder, opened by its command as often as a test wants."""

    def __init__(self, folder):
        self.folder = folder
        self._opened = contextlib.ExitStack()

    def start(self):
        """Open the course."""
        started = self._opened.enter_context(running_server("open", self.folder))
        self.address, self.token = started.address, started.token

    def stop(self):
        """End the course as Ctrl-C does, unless it has ended."""
        self._opened.close()


@pytest.fixture(scope="module")
def running(chromium, tmp_path_factory):
    """The course, running; the test may stop it and start it again."""
    need_packages()
    course = Course(tmp_path_factory.mktemp("learner") / "my course")
    course.start()
    yield course
    course.stop()


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
    return opener_of_lessons(open_tab)
