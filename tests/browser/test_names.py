"""Two lessons open in one browser: a name given in one of them holds in the other at once."""

import pytest
from helpers.lesson_page import LessonPage
from playwright.sync_api import expect

from browser.conftest import LAPTOP, running_course
from recoverykit.course.panel import WAITING

PEAK = {"Peak at 4 km/h": "20 kN", "Peak at 8 km/h": "70 kN"}


@pytest.fixture(scope="module")
def lessons(browser, chromium, installed, tmp_path_factory):
    """Lesson 00 and lesson 03, each in a tab of its own, of a course that nobody else uses."""
    with running_course(tmp_path_factory.mktemp("two lessons") / "my course") as course:
        context = browser.new_context(viewport=LAPTOP)
        opened = []
        for name in ("00-start-here", "03-peak-force"):
            lesson = LessonPage(context.new_page(), course.address)
            lesson.go(f"doc/tree/{name}.ipynb?token={course.token}")
            expect(lesson.page.get_by_text("No name on these answers yet")).to_be_visible()
            lesson.wait_until_idle()
            opened.append(lesson)
        yield opened
        for lesson in opened:
            lesson.expect_no_faults()
        context.close()


def give_name(lesson, name):
    lesson.shown.get_by_label("Name", exact=True).fill(name)
    lesson.button("Use this name").click()


def boxes(lesson):
    return [lesson.page.get_by_label(label) for label in PEAK]


def test_a_name_holds_in_the_other_lesson_and_the_next_learner_sees_nothing(lessons):
    first, third = lessons
    give_name(first, "Ann")
    for lesson in lessons:
        expect(lesson.page.get_by_text("Answers of Ann.")).to_be_visible()
    for box, typed in zip(boxes(third), PEAK.values(), strict=True):
        box.fill(typed)
    third.keep_guess_and_see()
    expect(third.panel.sentence).not_to_have_text(WAITING)

    give_name(first, "Ben")
    expect(third.page.get_by_text("Answers of Ben.")).to_be_visible()
    expect(third.panel.sentence).to_have_text(WAITING)
    for box in boxes(third):
        expect(box).to_have_value("")
    boxes(third)[0].fill("1 kN")

    give_name(first, "Ann")
    expect(third.panel.sentence).not_to_have_text(WAITING)
    for box, typed in zip(boxes(third), PEAK.values(), strict=True):
        expect(box).to_have_value(typed)


def test_a_guess_is_changed_before_the_answer_is_shown(lessons):
    first, third = lessons
    give_name(first, "Cem")
    expect(third.panel.sentence).to_have_text(WAITING)
    for box, typed in zip(boxes(third), PEAK.values(), strict=True):
        box.fill(typed)
    third.button("Keep my guess").click()
    third.button("Change my guess").click()
    boxes(third)[1].fill("90 kN")
    expect(third.button("Keep my guess")).to_be_enabled()
    expect(third.panel.sentence).to_have_text(WAITING)
    third.keep_guess_and_see()
    expect(third.panel.sentence).not_to_have_text(WAITING)
    expect(boxes(third)[1]).to_have_value("90 kN")
