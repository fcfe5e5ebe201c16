"""Running text follows the switch for units, in a real browser."""

import pytest
from playwright.sync_api import expect

from launcher import lesson_cells, paths

LESSON = "01-walking-pace.ipynb"
METRIC, US = "km/h, kN, kg", "mph, lbf, lb"


@pytest.fixture(scope="module")
def lesson(open_lesson):
    """The lesson, opened and left to run by itself."""
    return open_lesson(LESSON)


@pytest.mark.parametrize(("button", "system"), [(US, "US"), (METRIC, "metric")])
def test_a_reader_sees_and_hears_one_unit_system(lesson, button, system):
    lesson.button(button).first.click()
    lesson.wait_until_idle()
    cells = lesson_cells.in_one_system(lesson_cells.read(paths.LESSONS / LESSON), system).cells
    (rule,) = (
        line.removeprefix("- ").replace("*", "")
        for cell in cells
        for line in cell.source.splitlines()
        if "A ceiling, not a target" in line
    )
    items = lesson.shown.locator(".jp-MarkdownOutput li")
    output = items.filter(has_text="A ceiling, not a target")
    output.scroll_into_view_if_needed()
    expect(output).to_have_text(rule, use_inner_text=True)
    assert rule.partition(". ")[2] in " ".join(output.aria_snapshot().split())
    other = "metric" if system == "US" else "US"
    expect(lesson.shown.locator(f".jp-Cell.recoverykit-{system}:visible")).to_have_count(
        sum(lesson_cells.system_of(cell) is not None for cell in cells)
    )
    expect(lesson.shown.locator(f".jp-Cell.recoverykit-{other}:visible")).to_have_count(0)
    lesson.expect_no_faults()
