"""Lesson 00 in a real browser: a name, a first slider, and the survey, over a restarted kernel."""

import json

import pytest
from playwright.sync_api import expect

import course
from recoverykit.bank import find_question
from recoverykit.bank.survey import SURVEY
from recoverykit.panels import PegsPanel
from recoverykit.questions import Asking
from recoverykit.survey import UNSURE
from recoverykit.units import Q

LESSON = "00-start-here.ipynb"
OUTPUTS = sum(kind == "code" for kind, _ in course.notebook_cells(course.LESSONS / LESSON)) - 1
CHOSEN = {idea.id: idea.right for idea in SURVEY.ideas} | {"01": "twice", "06": UNSURE}


@pytest.fixture(scope="module")
def opened(open_page):
    """The lesson, opened and left to run by itself."""
    lesson = open_page(LESSON)
    lesson.wait_until_run(OUTPUTS)
    return lesson


@pytest.fixture(scope="module")
def named(opened, started_course):
    """The lesson after a learner has written a name of their own."""
    opened.page.get_by_label("Name").fill("Newcomer")
    opened.button("Use this name").click()
    expect(opened.output(has_text="under the name Newcomer")).to_be_visible()
    yield opened
    # The other lessons' tests go on under the name that they began with.
    (started_course.folder / "progress" / "name.txt").unlink()


@pytest.fixture(autouse=True)
def nothing_goes_wrong(opened):
    """No error in a cell or in the console, and no request to another host, in any test."""
    yield
    expect(opened.errors).to_have_count(0)
    assert opened.complaints == []
    assert opened.outside == []


def group(lesson, idea):
    """The answers to one idea."""
    return lesson.page.locator(".widget-radio").filter(has_text=idea.name)


def test_a_slider_moves_with_the_keys_that_the_lesson_names(named):
    panel = named.panel
    expect(panel.sentence).to_have_text(PegsPanel().summary)
    panel.handle("Speed").focus()
    for key, speed in (("ArrowRight", 4.5), ("End", 15), ("Home", 1)):
        named.page.keyboard.press(key)
        there = PegsPanel()
        there.set(speed=Q(speed, "km/h"))
        expect(panel.sentence).to_have_text(there.summary)
    named.button("Starting values").click()
    expect(panel.sentence).to_have_text(PegsPanel().summary)


def test_a_number_with_its_unit_is_right(named):
    asking = Asking(find_question("00.reading"))
    question = named.question(asking.text)
    question.answer("38")
    expect(question.reply).to_contain_text("the unit is missing", ignore_case=True)
    question.answer(asking.right_answer)
    expect(question.reply).to_contain_text("Right: ")


def test_the_survey_is_kept_without_a_verdict(named, started_course):
    survey = named.output(has=named.button("Keep my answers"))
    reply = survey.locator("[role=status]")
    named.button("Keep my answers").click()
    expect(reply).to_contain_text("Not yet answered: 1, 2, 3")
    for idea in SURVEY.ideas:
        text = idea.field.options[CHOSEN[idea.id]]
        group(named, idea).get_by_label(text, exact=True).check()
    named.button("Keep my answers").click()
    expect(reply).to_contain_text("Your answers are kept.")
    expect(survey.locator("table")).to_have_count(0)
    expect(survey.locator("input:enabled")).to_have_count(0)
    kept = json.loads((started_course.folder / "progress" / "newcomer.json").read_text("utf-8"))
    assert [e["typed"] for e in kept["entries"] if e["id"] == "00.survey"] == [CHOSEN]


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (820, 1180)])
def test_nothing_is_cut_off(named, width, height):
    named.page.set_viewport_size({"width": width, "height": height})
    named.panel.image.scroll_into_view_if_needed()
    assert named.spills() == []


def test_a_restarted_kernel_finds_name_and_survey_again(named):
    named.restart_kernel()
    named.run()
    named.wait_until_run(OUTPUTS)
    expect(named.page.get_by_label("Name")).to_have_value("Newcomer")
    for idea in SURVEY.ideas:
        text = idea.field.options[CHOSEN[idea.id]]
        expect(group(named, idea).get_by_label(text, exact=True)).to_be_checked()
    expect(named.button("Keep my answers")).to_be_disabled()
