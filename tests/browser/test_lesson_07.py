"""Lesson 07 in a real browser: a pull is played, scrubbed with the keyboard and with the mouse."""

import re

import pytest
from playwright.sync_api import expect

from recoverykit.lessons.two_vehicles.time_panel import FOLLOWED, MOMENTS

LESSON = "07-two-vehicles.ipynb"
STEP = FOLLOWED.m_as("s") / (MOMENTS - 1)


@pytest.fixture(scope="module")
def lesson(open_lesson):
    """The lesson, opened, left to run by itself, and shown without a guess."""
    lesson = open_lesson(LESSON)
    lesson.button("Show without a guess").click()
    moves = lesson.page.locator("[role=status]").filter(has_text="The stuck vehicle moves")
    expect(moves.first).to_be_visible()
    lesson.wait_until_idle()
    return lesson


@pytest.fixture
def time(lesson):
    """The slider of the time."""
    return lesson.page.locator(".widget-slider").filter(has_text="Time [s]")


@pytest.fixture
def readout(time):
    """The time that is shown."""
    return time.locator(".widget-readout")


@pytest.fixture(autouse=True)
def nothing_goes_wrong(lesson):
    """In none of the tests."""
    yield
    lesson.expect_no_faults()


def picture(lesson):
    return lesson.page.locator("img.widget-image").nth(1).get_attribute("src")


def test_nothing_plays_until_play_is_pressed_and_then_to_the_end(lesson, readout):
    lesson.page.wait_for_timeout(500)
    expect(readout).to_have_text("0.00")
    before = picture(lesson)
    play = lesson.page.locator(".widget-play button").first
    play.focus()
    lesson.page.keyboard.press("Enter")
    expect(readout).to_have_text("2.00")
    lesson.wait_until_idle()
    assert picture(lesson) != before
    expect(play.locator("i")).to_have_class(re.compile("fa-play"))


def test_scrubbing_with_the_arrow_keys(lesson, time, readout):
    start = float(readout.inner_text())
    time.locator(".noUi-handle").focus()
    for _ in range(5):
        lesson.page.keyboard.press("ArrowLeft")
    expect(readout).to_have_text(f"{start - 5 * STEP:.2f}")
    expect(time.locator(".noUi-handle")).to_be_focused()


def test_scrubbing_with_the_mouse(lesson, time, readout):
    before, start = picture(lesson), float(readout.inner_text())
    time.scroll_into_view_if_needed()
    grip = time.locator(".noUi-handle").bounding_box()
    x, y = grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2
    mouse = lesson.page.mouse
    mouse.move(x, y)
    mouse.down()
    mouse.move(x - 120, y, steps=10)
    mouse.up()
    lesson.wait_until_idle()
    assert float(readout.inner_text()) < start - 5 * STEP
    expect(lesson.page.locator("img.widget-image").nth(1)).not_to_have_attribute("src", before)


def test_nothing_is_cut_off(lesson):
    assert lesson.spills() == []


def test_nothing_plays_where_less_motion_is_asked_for(lesson, time, readout):
    play = lesson.page.get_by_role("button", name=re.compile("Play|Back to the start"))
    expect(play).to_have_count(2)
    lesson.page.emulate_media(reduced_motion="reduce")
    expect(play).to_have_count(0)
    for key, shown in (("Home", "0.00"), ("ArrowRight", "0.04")):
        time.locator(".noUi-handle").press(key)
        expect(readout).to_have_text(shown)
