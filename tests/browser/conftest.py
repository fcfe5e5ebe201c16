"""The course as a newcomer starts it, and one browser to look at it with."""

import contextlib
import os
import re
import signal
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from helpers.lesson_page import LessonPage, opener_of_lessons
from helpers.needs import need_packages, skip_or_fail
from helpers.processes import gone, processes_with
from playwright.sync_api import sync_playwright

from launcher import paths, testing

LAPTOP = {"width": 1366, "height": 768}
STOP_SIGNAL = signal.CTRL_BREAK_EVENT if os.name == "nt" else signal.SIGINT
# What servers and kernels log as of an error, and go on, in the words of both servers:
EXPECTED = re.compile(
    # a page is closed to which the server was just writing;
    r"^Task exception was never retrieved\nfuture: .*\bWebSocketClosedError\(\)>\n"
    r"(?:.*\n)*?tornado\.websocket\.WebSocketClosedError\n"
    # the server lists the kernels, waits for one of them to end, and finds that a page has ended
    # the next meanwhile;
    r"|^\[.* The following exception was encountered while checking the idle duration of "
    r"kernel (\S+): '\1'\n(?: *Traceback.*\n(?:.*\n)*?) *KeyError: '\1'\n"
    # a kernel that is at work as the server ends is interrupted, or nobody hears its answer.
    r"|ERROR \| KeyboardInterrupt caught in kernel"
    r"|ERROR \| Exception in message handler:\nTraceback.*\n(?: .*\n)*"
    r"zmq\.error\.ZMQError: Socket operation on non-socket\n",
    re.MULTILINE,
)
ENDED_IN = 10  # seconds; a kernel looks once a second whether its server is still there
OWN_GROUP = subprocess.CREATE_NEW_PROCESS_GROUP if os.name == "nt" else 0


@pytest.fixture(scope="package")
def chromium():
    """The path of a Chromium."""
    return testing.find_chromium() or skip_or_fail(testing.CHROMIUM_MISSING)


@pytest.fixture(scope="package")
def browser(chromium):
    """One browser for all tests."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium)
        yield browser
        browser.close()


@pytest.fixture(scope="package")
def installed():
    """The packages of the course, so that it starts at once."""
    need_packages()


@pytest.fixture(scope="package")
def started_course(chromium, installed, tmp_path_factory):
    """The course, started in a folder of its own."""
    with running_course(tmp_path_factory.mktemp("learner") / "my course") as course:
        yield course


@contextlib.contextmanager
def running_course(folder: Path):
    """The course, opened for a learner."""
    with running("open", folder) as started:
        yield started
    assert faults_in(log_of("server", folder)) == ""


@contextlib.contextmanager
def running(command: str, folder: Path, *options: str):
    """A server of the course, until Ctrl-C ends all of it: `address`, `token`, `folder`."""
    process = subprocess.Popen(
        [sys.executable, "course.py", command, "--no-browser", "--folder", str(folder), *options],
        cwd=paths.ROOT,
        stdout=subprocess.PIPE,
        text=True,
        creationflags=OWN_GROUP,
    )
    try:
        address, token = told_address(process.stdout)
        yield SimpleNamespace(address=address, token=token, folder=folder)
    finally:
        process.send_signal(STOP_SIGNAL)
        try:
            process.communicate(timeout=30)
        finally:
            process.terminate()
    assert process.returncode == 0, log_of("*", folder)
    assert gone(folder, ENDED_IN), f"Ctrl-C left this running: {processes_with(folder)}"


def log_of(server: str, folder: Path) -> str:
    """What a server of the course has logged."""
    logs = sorted((folder / ".jupyter").glob(f"{server}.log"))
    return "".join(log.read_text(encoding="utf-8") for log in logs)


def faults_in(log: str) -> str:
    """What a server has logged from its first fault on; nothing where there was none."""
    rest = EXPECTED.sub("", log)
    fault = re.search(r"^\[E |ERROR|Traceback", rest, re.MULTILINE)
    return rest[fault.start() :] if fault else ""


def told_address(stdout):
    """The address and the token that the course prints when it is there."""
    said = ""
    for line in stdout:
        said += line
        if found := re.search(r"(http://127\.0\.0\.1:\d+/)\S+token=(\w+)", line):
            return found.groups()
    pytest.fail(f"The course did not start:\n{said}")


@pytest.fixture(scope="package")
def open_page(browser, started_course):
    """A function that opens a notebook of the learner's folder on a page of its own."""
    contexts = []

    def opened(name):
        context = browser.new_context(viewport=LAPTOP)
        contexts.append(context)
        page = LessonPage(context.new_page(), started_course.address)
        page.go(f"doc/tree/{name}?token={started_course.token}")
        return page

    yield opened
    for context in contexts:
        context.close()


@pytest.fixture(scope="package")
def open_lesson(open_page):
    """A function that opens a lesson on a page of its own and waits until it has run."""
    return opener_of_lessons(open_page)
