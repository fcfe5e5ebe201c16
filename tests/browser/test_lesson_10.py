"""Lesson 10 in a real browser: a line of one's own, the card of its plan, and the survey again."""

import pytest
from playwright.sync_api import expect

import course
from recoverykit.bank.survey import SURVEY

LESSON = "10-plan-a-pull.ipynb"
OUTPUTS = sum(kind == "code" for kind, _ in course.notebook_cells(course.LESSONS / LESSON)) - 1
LINE = """\
tow eye of the van: 9,500 lb, WLL, factor 3
rope: 120 kN, breaking strength, factor 4
shackle: 4 3/4 short tons, WLL
front eye: {}"""


@pytest.fixture(scope="module")
def lesson(open_page):
    """The lesson, opened and left to run by itself."""
    lesson = open_page(LESSON)
    lesson.wait_until_run(OUTPUTS)
    return lesson


@pytest.fixture(autouse=True)
def nothing_goes_wrong(lesson):
    """No error in a cell or in the console, and no request to another host, in any test."""
    yield
    expect(lesson.errors).to_have_count(0)
    assert lesson.complaints == []
    assert lesson.outside == []


def plan_for(lesson, line):
    lesson.page.get_by_role("textbox", name="Parts").fill(line)
    lesson.button("Plan with this line").click()
    expect(lesson.output(has_text="Parts read: 4.")).to_be_visible()
    lesson.wait_until_idle()


def test_an_unrated_part_leaves_no_card(lesson, started_course):
    plan_for(lesson, LINE.format("no stamp"))
    expect(lesson.output(has_text="known for: front eye. So there will be no")).to_be_visible()
    lesson.button("Make the card").click()
    expect(lesson.output(has_text="There is no card, as there is no ladder")).to_be_visible()
    assert list(started_course.folder.glob("pull-card*")) == []


def test_a_card_is_kept_and_can_be_downloaded(lesson, started_course):
    plan_for(lesson, LINE.format("40 kN, WLL"))
    lesson.button("Make the card").click()
    expect(lesson.output(has_text="kept in your folder, as pull-card.pdf")).to_be_visible()
    for name in ("pull-card.pdf", "pull-card.png"):
        with lesson.page.expect_download() as download:
            lesson.page.get_by_role("link", name=name).click()
        assert download.value.suggested_filename == name
        kept = (started_course.folder / name).read_bytes()
        assert download.value.path().read_bytes() == kept


def test_the_survey_is_asked_again_and_says_what_has_changed(lesson):
    for idea in SURVEY.ideas:
        answers = lesson.page.locator(".widget-radio").filter(has_text=idea.name)
        answers.get_by_label(idea.field.options[idea.right], exact=True).check()
    lesson.button("Keep my answers").click()
    expect(lesson.output(has_text="You have 10 of 10 ideas right now.")).to_be_visible()
    expect(lesson.page.get_by_role("columnheader", name="What the course says")).to_be_visible()


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (820, 1180)])
def test_nothing_is_cut_off(lesson, width, height):
    lesson.page.set_viewport_size({"width": width, "height": height})
    lesson.button("Make the card").scroll_into_view_if_needed()
    assert lesson.spills() == []
