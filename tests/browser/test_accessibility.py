"""A page with a keyboard only, with a screen reader, and enlarged.

Lessons are looked at where the learner of `test_whole_course` has left them, others here.
"""

import itertools
from importlib import resources

import pytest
from playwright.sync_api import expect

from browser.conftest import LAPTOP
from launcher import lesson_copies, paths
from recoverykit.lessons import TimedDistancePanel
from recoverykit.units.quantities import Q

FOR_TRAINERS = [
    path.relative_to(paths.LESSONS).as_posix()
    for path in lesson_copies.lesson_files()
    if path.suffix == ".ipynb" and not path.name[0].isdigit()
]
ENLARGED_TWICE = {"width": LAPTOP["width"] // 2, "height": LAPTOP["height"] // 2}

# axe-core alone, without its Python wrapper: that reads the file in the machine's own encoding.
AXE = resources.files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8")
LOOKED_AT = {
    "include": [".jp-NotebookPanel:not(.lm-mod-hidden) .jp-Notebook"],
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
    const kinds = ':is(a[href], summary, button, input, select, textarea, [role=slider])';
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


def faults(lesson):
    """All that keeps somebody from a page, in words: with its hints, and replies to no answer."""
    for name in ("Hint", "Check"):
        for button in lesson.button(name).all():
            button.click()
    lesson.wait_until_idle()
    return [
        *found_by_axe(lesson),
        *missed_by_tab(lesson),
        *skipped_headings(lesson),
        *cut_off_when_enlarged(lesson),
    ]


def found_by_axe(lesson):
    """What axe-core finds serious."""
    lesson.page.evaluate(AXE)
    found = lesson.page.evaluate(
        "([where, rules]) => axe.run(where, {rules, resultTypes: ['violations']})",
        [LOOKED_AT, NOT_OURS],
    )
    return serious(found)


def serious(found):
    """What is serious of what axe-core found, in words."""
    assert len(found["passes"]) > 10
    return [
        f"{rule['id']}: {node['target']} {node['failureSummary']}"
        for rule in found["violations"]
        if rule["impact"] in SERIOUS
        for node in rule["nodes"]
    ]


def missed_by_tab(lesson):
    """Where Tab does not go from control to control in order, or does not show where it is."""
    page = lesson.page
    count = page.evaluate(f"({CONTROLS})().length")
    page.evaluate("controls[0].focus({focusVisible: true})")
    visited = [page.evaluate(FOCUSED)]
    while visited[-1][0] < count - 1 and len(visited) < 2 * count:
        page.keyboard.press("Tab")
        visited.append(page.evaluate(FOCUSED))
    if visited == [[number, "3px"] for number in range(count)]:
        return []
    return [f"Tab came to these of {count} controls, with these frames: {visited}"]


def skipped_headings(lesson):
    """Headings more than a level below the one before; the first is the only one of level 1."""
    headings = lesson.shown.locator(".jp-Notebook").locator("h1, h2, h3, h4, h5, h6")
    levels = [int(tag[1]) for tag in headings.evaluate_all("all => all.map(h => h.tagName)")]
    assert levels[0] == 1
    return [
        f"A heading of level {after} comes after one of level {before}"
        for before, after in itertools.pairwise(levels)
        if after == 1 or after > before + 1
    ]


def cut_off_when_enlarged(lesson):
    """What is cut off or has to be scrolled sideways when all is twice as large."""
    lesson.resize(ENLARGED_TWICE)
    found = lesson.spills()
    lesson.resize(LAPTOP)
    return [f"Enlarged: {spill}" for spill in found]


@pytest.mark.parametrize("notebook", FOR_TRAINERS)
def test_a_page_for_trainers_is_there_for_everybody(notebook, open_lesson):
    assert faults(open_lesson(notebook)) == []


@pytest.fixture(scope="module")
def lesson(open_lesson):
    """The first lesson, as it begins."""
    return open_lesson("00-start-here.ipynb")


def test_a_slider_tells_its_value_with_its_unit(lesson):
    speed = lesson.page.get_by_role("slider", name="Speed", exact=True)
    for key, value in (("Home", "1.0 km/h"), ("ArrowRight", "1.5 km/h")):
        speed.press(key)
        expect(speed).to_have_attribute("aria-valuetext", value)


def test_the_place_of_a_sentence_stays_when_the_sentence_changes(lesson):
    sentence = lesson.panel.sentence
    place = sentence.element_handle()
    lesson.panel.handle("Speed").press("End")
    there = TimedDistancePanel()
    there.set(speed=Q(15, "km/h"))
    expect(sentence).to_have_text(there.summary)
    assert place.evaluate("place => place.isConnected && place.role") == "status"
    assert place.inner_text().strip() == sentence.inner_text().strip()


def test_the_number_beside_a_slider_is_no_box_to_write_in(lesson):
    expect(lesson.panel.readout("Speed")).to_have_attribute("contenteditable", "false")


def test_the_units_in_force_are_told(lesson):
    units = lesson.panel.output.get_by_role("group", name="Units")
    pressed = units.get_by_role("button", pressed=True)
    expect(pressed).to_have_text("km/h, kN, kg")


def test_arrow_keys_lead_through_answers_and_touch_no_cell(lesson):
    answers = lesson.page.get_by_role("radiogroup").first.get_by_role("radio")
    cells = lesson.page.locator(".jp-Cell").count()
    answers.first.press("Space")
    for chosen in (1, 2):
        lesson.page.keyboard.press("ArrowDown")
        expect(answers.nth(chosen)).to_be_checked()
    lesson.page.keyboard.press("b")
    assert lesson.page.locator(".jp-Cell").count() == cells
