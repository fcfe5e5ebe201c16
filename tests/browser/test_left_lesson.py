"""A lesson that was left by a link stays on the page, hidden, and after a while its kernel ends.

The page's clock is moved on by half an hour; the server's patience is cut to some seconds. One page
goes through all of it, since each opening takes half the time of a test.
"""

import re
import time

import pytest
from helpers.lesson_page import LessonPage
from helpers.processes import processes_with
from playwright.sync_api import expect

from browser.conftest import LAPTOP, running_course
from launcher import common
from recoverykit import Q, peak_tension, show
from recoverykit.course.questions import QuestionInstance
from recoverykit.lessons.bank import find_question

FORCE = "03-peak-force.ipynb"
# In seconds; settings of the class itself, since those of the one that it is made from are ours.
SOONER = {"AsyncMappingKernelManager": {"cull_idle_timeout": 12, "cull_interval": 1}}


@pytest.fixture(scope="module")
def started(chromium, installed, tmp_path_factory):
    """The course, on a server that soon ends a kernel which no page has open."""
    folder = tmp_path_factory.mktemp("learner") / "my course"
    common.write_json(common.state_folder(folder) / "config" / "jupyter_server_config.json", SOONER)
    with running_course(folder) as started:
        yield started


@pytest.fixture(scope="module")
def lesson(browser, started):
    """Lesson 03, after it has run, on a page whose clock can be moved on."""
    context = browser.new_context(viewport=LAPTOP)
    lesson = LessonPage(context.new_page(), started.address)
    lesson.go(f"doc/tree/{FORCE}?token={started.token}")
    expect(question_of(lesson).box).to_be_visible()
    lesson.wait_until_idle()
    lesson.page.clock.install()
    yield lesson
    assert lesson.outside == []
    context.close()


def question_of(lesson):
    return lesson.question(QuestionInstance(find_question("03.peak")).text)


def answer(lesson, force):
    """Answer, and wait for the reply of a kernel."""
    question_of(lesson).answer(f"{force} kN")
    expect(question_of(lesson).reply).to_contain_text(re.compile(rf"\b{force}\skN is"))


def leave(lesson, link="glossary", heading="Words and units", name="glossary.md"):
    """Follow a link, and wait until JupyterLab has taken notice."""
    lesson.follow(link, heading)
    expect(lesson.page).to_have_url(re.compile(name))


def come_back(lesson):
    lesson.page.go_back()
    lesson.wait_for("03")
    expect(lesson.page).to_have_url(re.compile(FORCE))


def kernels(started):
    """The kernels that run, by their command lines."""
    commands = processes_with(started.folder)
    return {command for command in commands if "ipykernel_launcher" in command}


def wait_until_ended(started, kernel):
    """Wait until the server has ended a kernel."""
    deadline = time.monotonic() + 60
    while kernel in kernels(started):
        assert time.monotonic() < deadline, "the kernel of a page that was left goes on"
        time.sleep(0.5)


def told(lesson, words):
    """What is said over the lower edge of the lesson on show."""
    return lesson.shown.get_by_role("alert").filter(has_text=words)


def test_one_that_is_looked_at_again_in_time_goes_on(lesson, started):
    (before,) = kernels(started)
    for _ in range(2):
        leave(lesson)
        lesson.page.clock.fast_forward("20:00")
        come_back(lesson)
    lesson.page.clock.fast_forward("40:00")
    answer(lesson, 3)
    assert kernels(started) == {before}
    assert lesson.complaints == []


def test_its_kernel_ends_and_it_starts_again_while_the_one_on_show_goes_on(lesson, started):
    answer(lesson, 1)
    (kernel,) = kernels(started)
    leave(lesson, "04 · What the stamp means", heading="04", name="04-two-stamps")
    lesson.wait_until_idle()
    lesson.page.clock.fast_forward("29:00")
    time.sleep(15)  # longer than the server waits where no page has it open
    assert kernel in kernels(started)
    lesson.page.clock.fast_forward("01:30")
    wait_until_ended(started, kernel)
    (on_show,) = kernels(started)

    come_back(lesson)
    expect(told(lesson, "It starts again")).to_be_visible()
    expect(told(lesson, "It starts again")).to_have_count(0)
    expect(question_of(lesson).box).to_have_value("1 kN")
    answer(lesson, 2)
    assert len(kernels(started) - {on_show}) == 1
    assert lesson.complaints == []


def test_what_was_written_in_a_worked_example_stays_and_is_not_run_unasked(lesson):
    example = lesson.worked_example("peak_tension(mass, speed, stiffness), ")
    lesson.write_over(example, "3100", "12400")
    lesson.page.keyboard.press("Escape")
    leave(lesson)
    lesson.page.clock.fast_forward("30:30")
    come_back(lesson)
    expect(told(lesson, 'Press "Run the lesson" to go on.')).to_be_visible()
    lesson.run()
    peak = peak_tension(Q(12400, "kg"), Q(4, "km/h"), Q(50, "kN/m"))
    expect(example.locator(".jp-OutputArea")).to_have_text(show(peak, "force"))
    expect(told(lesson, "has stopped")).to_have_count(0)
    answer(lesson, 4)
    assert lesson.complaints == []


def test_if_the_course_has_ended_meanwhile_that_is_told(lesson):
    leave(lesson)
    lesson.page.clock.fast_forward("30:30")
    lesson.page.route("**/api/sessions*", lambda request: request.abort())
    come_back(lesson)
    expect(told(lesson, "This page has lost the course")).to_be_visible()
