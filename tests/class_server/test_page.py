"""A class in a real browser: from the form to a lesson that runs by itself, and out again."""

import time

import pytest
from helpers.needs import skip_or_fail
from playwright.sync_api import expect, sync_playwright

from class_server.classroom import NAMES, processes_of
from launcher import testing

PATIENCE = 60_000  # milliseconds


@pytest.fixture
def page():
    """An empty page."""
    chromium = testing.find_chromium() or skip_or_fail(testing.CHROMIUM_MISSING)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium)
        yield browser.new_page()
        browser.close()


def test_logging_in_runs_the_first_lesson_and_logging_out_ends_it(classroom, page):
    name = NAMES.dan
    page.goto(classroom.address)
    page.get_by_label("Username").fill(name)
    page.get_by_label("Password:").fill(classroom.passwords[name])
    page.get_by_role("button", name="Sign in").click()
    units = page.get_by_role("button", name="mph, lbf, lb").first
    expect(units).to_be_visible(timeout=PATIENCE)

    page.get_by_role("menuitem", name="File").click()
    page.get_by_role("menuitem", name="Log Out").click()
    expect(page.get_by_label("Username")).to_be_visible(timeout=PATIENCE)
    give_up = time.monotonic() + PATIENCE / 1000
    while processes_of(name) and time.monotonic() < give_up:
        time.sleep(0.2)
    assert not processes_of(name)
