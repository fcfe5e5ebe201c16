"""Every lesson with a keyboard only, with a screen reader, enlarged, and with less motion."""

import itertools
import re
from importlib import resources

import pytest
from playwright.sync_api import expect

import course
from browser.conftest import LAPTOP
from recoverykit.panels import PegsPanel
from recoverykit.units import Q

LESSONS = [
    path.relative_to(course.LESSONS).as_posix()
    for path in course.lesson_files()
    if path.suffix == ".ipynb"
]
ENLARGED_TWICE = {"width": LAPTOP["width"] // 2, "height": LAPTOP["height"] // 2}

# axe-core alone, without its Python wrapper: that reads the file in the machine's own encoding.
AXE = resources.files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8")
LOOKED_AT = {
    "include": [".jp-Notebook"],
    "exclude": [[".jp-InputArea-editor"]],
}  # code: JupyterLab's
NOT_OURS = {
    "aria-required-children": {
        "enabled": False
    },  # JupyterLab's list of cells: a feed of no articles
}
SERIOUS = ("serious", "critical")

CONTROLS = """() => {
    const places = ':is(.jp-OutputArea-output, .jp-MarkdownOutput)';
    const kinds = ':is(a[href], button, input, select, textarea, [role=slider])';
    const used = ':not(:disabled, [tabindex="-1"])';
    const shown = [...document.querySelectorAll(`${places} ${kinds}${used}`)].filter(
        control => control.checkVisibility({visibilityProperty: true}));
    // Tab leads to a group of radio buttons, and arrow keys through it.
    return window.controls = shown.filter((control, index) =>
        control.type !== 'radio' || control.name !== shown[index - 1]?.name);
}"""

# Which control has the focus, by its number, or -1; and how wide the frame around it is.
FOCUSED = """() => {
    const control = document.activeElement, style = getComputedStyle(control);
    return [controls.indexOf(control), style.outlineStyle === 'solid' && style.outlineWidth];
}"""


@pytest.fixture(scope="module", params=LESSONS)
def lesson(request, open_page):
    """A lesson that has run by itself, with hints, and with replies to empty answers."""
    lesson = open_page(request.param)
    cells = course.notebook_cells(course.LESSONS / request.param)
    lesson.wait_until_run(sum(kind == "code" for kind, _ in cells) - 1)
    for name in ("Hint", "Check"):
        for button in lesson.button(name).all():
            button.click()
    lesson.wait_until_idle()
    yield lesson
    lesson.page.context.close()


def test_axe_finds_nothing_serious(lesson):
    lesson.page.evaluate(AXE)
    found = lesson.page.evaluate(
        "([where, rules]) => axe.run(where, {rules, resultTypes: ['violations']})",
        [LOOKED_AT, NOT_OURS],
    )
    assert len(found["passes"]) > 10
    assert [
        f"{rule['id']}: {node['target']} {node['failureSummary']}"
        for rule in found["violations"]
        if rule["impact"] in SERIOUS
        for node in rule["nodes"]
    ] == []


def test_the_keyboard_reaches_every_control_in_order_and_shows_where_it_is(lesson):
    page = lesson.page
    count = page.evaluate(f"({CONTROLS})().length")
    page.evaluate("controls[0].focus({focusVisible: true})")
    visited = [page.evaluate(FOCUSED)]
    while visited[-1][0] < count - 1 and len(visited) < 2 * count:
        page.keyboard.press("Tab")
        visited.append(page.evaluate(FOCUSED))
    assert visited == [[number, "3px"] for number in range(count)]


def test_nothing_needs_scrolling_sideways_when_enlarged_twice(lesson):
    lesson.page.set_viewport_size(ENLARGED_TWICE)
    assert lesson.spills() == []


def test_headings_leave_out_no_level(lesson):
    headings = lesson.page.locator(".jp-Notebook").locator("h1, h2, h3, h4, h5, h6")
    levels = [int(tag[1]) for tag in headings.evaluate_all("all => all.map(h => h.tagName)")]
    assert levels[0] == 1
    assert 1 not in levels[1:]
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))


@pytest.mark.parametrize("lesson", ["00-start-here.ipynb"], indirect=True)
class TestWithAScreenReader:
    def test_a_slider_tells_its_value_with_its_unit(self, lesson):
        speed = lesson.page.get_by_role("slider", name="Speed", exact=True)
        for key, value in (("Home", "1.0 km/h"), ("ArrowRight", "1.5 km/h")):
            speed.press(key)
            expect(speed).to_have_attribute("aria-valuetext", value)

    def test_the_place_of_a_sentence_stays_when_the_sentence_changes(self, lesson):
        sentence = lesson.panel.sentence
        place = sentence.element_handle()
        lesson.panel.handle("Speed").press("End")
        there = PegsPanel()
        there.set(speed=Q(15, "km/h"))
        expect(sentence).to_have_text(there.summary)
        assert place.evaluate("place => place.isConnected && place.role") == "status"
        assert place.inner_text().strip() == sentence.inner_text().strip()

    def test_the_number_beside_a_slider_is_no_box_to_write_in(self, lesson):
        expect(lesson.panel.readout("Speed")).to_have_attribute("contenteditable", "false")

    def test_the_units_in_force_are_told(self, lesson):
        units = lesson.panel.output.get_by_role("group", name="Units")
        pressed = units.get_by_role("button", pressed=True)
        expect(pressed).to_have_text("km/h, kN, kg")

    def test_arrow_keys_lead_through_answers_and_touch_no_cell(self, lesson):
        answers = lesson.page.get_by_role("radiogroup").first.get_by_role("radio")
        cells = lesson.page.locator(".jp-Cell").count()
        answers.first.press("Space")
        for chosen in (1, 2):
            lesson.page.keyboard.press("ArrowDown")
            expect(answers.nth(chosen)).to_be_checked()
        lesson.page.keyboard.press("b")
        assert lesson.page.locator(".jp-Cell").count() == cells


@pytest.mark.parametrize("lesson", ["07-two-vehicles.ipynb"], indirect=True)
def test_nothing_plays_where_less_motion_is_asked_for(lesson):
    play = lesson.page.get_by_role("button", name=re.compile("Play|Back to the start"))
    expect(play).to_have_count(2)
    lesson.page.emulate_media(reduced_motion="reduce")
    expect(play).to_have_count(0)
    lesson.page.get_by_role("slider", name="Time").press("ArrowRight")
    expect(lesson.panel.readout("Time")).to_have_text("0.04")
