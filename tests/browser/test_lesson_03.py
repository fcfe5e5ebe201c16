"""Lesson 03 in a real browser: what a newcomer meets, from the first look to a restarted kernel."""

import pytest
from PIL import ImageColor
from playwright.sync_api import expect

from launcher import lesson_copies, paths
from recoverykit import peak_tension, show
from recoverykit.course.guesses import Guess
from recoverykit.course.picture import PURPLE
from recoverykit.course.questions import QuestionInstance
from recoverykit.lessons import PeakForcePanel
from recoverykit.lessons.bank import find_guess, find_question
from recoverykit.units.quantities import Q, display

LESSON = "03-peak-force.ipynb"
SHOWN_AS_SOURCE = ".jp-MarkdownCell:not(.jp-mod-rendered)"
METRIC, US = "km/h, kN, kg", "mph, lbf, lb"
NOTEBOOK = lesson_copies.notebook_cells(paths.LESSONS / LESSON)
GUESS = {"Peak at 4 km/h": "20 kN", "Peak at 8 km/h": "70 kN"}
GUESS_COLOR = ImageColor.getrgb(PURPLE)


@pytest.fixture(scope="module")
def opened(open_lesson):
    """The lesson, opened and left to run by itself."""
    return open_lesson(LESSON)


@pytest.fixture(scope="module")
def guessed(opened):
    """The lesson after a guess, with the picture before it."""
    before = opened.panel.pixels()
    for label, typed in GUESS.items():
        opened.page.get_by_label(label).fill(typed)
    opened.keep_guess_and_see()
    expect(opened.panel.sentence).to_contain_text("the line sees")
    return opened, before


@pytest.fixture
def lesson(guessed):
    """The lesson after a guess, as it starts: with starting values, in metric units."""
    lesson, _ = guessed
    yield lesson
    lesson.button("Starting values").click()
    lesson.switch_units(METRIC)
    display.use("metric")
    expect(lesson.panel.sentence).to_have_text(PeakForcePanel().summary)


@pytest.fixture(autouse=True)
def nothing_goes_wrong(opened):
    """In none of the tests."""
    yield
    opened.expect_no_faults()


def colors(image):
    return {color for _, color in image.getcolors(image.width * image.height)}


def summary_at(**values):
    """What the panel says without a browser."""
    panel = PeakForcePanel()
    panel.set(**values)
    return panel.summary


def test_opening_it_makes_the_server_look_for_no_builds_and_exporters(opened):
    """They take half a second of a processor, just when the kernel should start."""
    asked = opened.page.evaluate("performance.getEntriesByType('resource').map(each => each.name)")
    assert any("api/sessions" in url for url in asked)
    assert not [url for url in asked if "api/build" in url or "api/nbconvert" in url]


def test_it_runs_by_itself_and_keeps_the_answer_back(opened):
    source = "\n".join(text for kind, text in NOTEBOOK if kind == "markdown")
    headings = [line.strip("# ") for line in source.splitlines() if line.startswith("#")]
    shown = opened.page.locator(".jp-MarkdownOutput").locator("h1, h2, h3").all_text_contents()
    assert [heading.rstrip("¶") for heading in shown] == headings
    assert opened.page.title().startswith("03-peak")
    expect(opened.panel.handle("Speed")).to_be_visible()
    expect(opened.panel.sentence).to_have_text(
        PeakForcePanel(guess=Guess(find_guess("03.guess"))).summary
    )


def test_a_guess_is_kept_and_drawn(guessed):
    lesson, before = guessed
    expect(lesson.button("Keep my guess")).to_be_disabled()
    assert GUESS_COLOR not in colors(before)
    assert GUESS_COLOR in colors(lesson.panel.pixels())


def test_a_slider_moves_with_the_keyboard(lesson):
    before, panel = lesson.panel.pixels(), lesson.panel
    start = panel.number("Speed")
    panel.handle("Speed").focus()
    for _ in range(5):
        lesson.page.keyboard.press("ArrowRight")
    expect(panel.readout("Speed")).to_have_text(f"{start + 5 * 0.5:.1f}")
    expect(panel.sentence).to_have_text(summary_at(speed=Q(start + 5 * 0.5, "km/h")))
    assert panel.pixels() != before
    expect(panel.handle("Speed")).to_be_focused()
    for _ in range(5):
        lesson.page.keyboard.press("ArrowLeft")
    expect(panel.sentence).to_have_text(summary_at())
    assert panel.pixels() == before


def test_a_slider_moves_with_the_mouse(lesson):
    before, panel = lesson.panel.pixels(), lesson.panel
    start = panel.number("Recovery vehicle")
    panel.drag("Recovery vehicle", steps=60)
    reached = panel.number("Recovery vehicle")
    assert reached > start + 2000
    expect(panel.sentence).to_have_text(summary_at(mass=Q(reached, "kg")))
    assert panel.number("Recovery vehicle") == reached  # and the handle did not jump back
    assert panel.pixels() != before


def test_units_switch_everywhere_and_back(lesson):
    before, panel = lesson.panel.pixels(), lesson.panel
    questions = lesson.page.locator(".jp-OutputArea p")
    metric = " ".join(questions.all_inner_texts())
    assert "km/h" in metric
    assert "mph" not in metric
    lesson.switch_units(US, switch=1)
    display.use("US")
    expect(panel.sentence).to_have_text(summary_at())
    expect(lesson.button(US).last).to_be_focused()
    assert panel.pixels() != before
    expect(panel.slider("Speed [mph]")).to_be_visible()
    expect(panel.slider("Rope strength [lbf]")).to_be_visible()
    for question in ("03.peak", "03.heavier"):
        expect(
            lesson.page.get_by_text(QuestionInstance(find_question(question)).text)
        ).to_be_visible()
    display.use("metric")
    lesson.switch_units(METRIC)
    expect(panel.sentence).to_have_text(summary_at())
    assert " ".join(questions.all_inner_texts()) == metric
    assert panel.pixels() == before


def test_a_slider_in_us_units(lesson):
    lesson.switch_units(US)
    display.use("US")
    expect(lesson.panel.slider("Speed [mph]")).to_be_visible()
    lesson.panel.handle("Speed").focus()
    lesson.page.keyboard.press("End")
    expect(lesson.panel.sentence).to_have_text(summary_at(speed=Q(15.5, "mph")))


def test_a_mistake_gets_its_sentence_and_a_right_answer_is_right(lesson):
    instance = QuestionInstance(find_question("03.faster"))
    squared = instance.numbers.slow_peak * instance.numbers.times**2
    question = lesson.question(instance.text)
    whole = lesson.output(has_text=instance.text)
    before = whole.bounding_box()["height"]
    question.answer(f"{squared.m_as('kN'):.3g} kN")
    expect(question.reply).to_contain_text("You squared the speed.")
    assert whole.bounding_box()["height"] == before, "what is below stays where it is"
    question.answer("soon")
    expect(question.reply).to_contain_text("soon")
    question.answer(instance.right_answer)
    expect(question.reply).to_contain_text("Right: ")


def test_a_choice_is_answered(lesson):
    instance = QuestionInstance(find_question("03.heavier"))
    question = lesson.question(instance.text)
    question.choose("It stays the same: the speed sets it.")
    expect(question.reply).to_contain_text("twice the mass, twice the energy")


def test_a_double_click_and_stray_keys_leave_the_text_as_it_is(lesson):
    lesson.page.get_by_role("heading", name="Explain").dblclick()
    lesson.page.keyboard.press("Enter")
    press_each_alone(lesson.page)
    expect(lesson.page.locator(SHOWN_AS_SOURCE)).to_have_count(0)
    expect(lesson.page.locator(".jp-Cell")).to_have_count(len(NOTEBOOK))


def press_each_alone(page):
    """Press the keys that make, cut, turn and delete cells, and restart a kernel, in a notebook."""
    for key in ("Escape", *"abcvxymrzddL00"):
        page.keyboard.press(key)


def test_beside_a_worked_example_stray_keys_make_and_turn_no_cell(lesson):
    lesson.worked_example("peak_tension(mass, speed, stiffness), ").click()
    press_each_alone(lesson.page)
    kinds = [kind for kind, _ in NOTEBOOK]
    expect(lesson.page.locator(".jp-CodeCell")).to_have_count(kinds.count("code"))
    expect(lesson.page.locator(".jp-Cell")).to_have_count(len(kinds))
    expect(lesson.page.get_by_role("dialog")).to_have_count(0)


def test_nothing_of_the_notebook_is_shown_that_a_learner_has_no_use_for(lesson):
    tools = lesson.page.get_by_role("toolbar", name="main area toolbar").get_by_role("button")
    expect(tools).to_have_count(2)
    expect(tools.first).to_have_accessible_name("Run the lesson")
    expect(tools.last).to_have_accessible_name("Run this cell and advance (Shift+Enter)")
    expect(lesson.page.locator("#jp-main-statusbar")).to_be_hidden()


def test_a_worked_example_can_be_tried_with_other_numbers(lesson):
    example = lesson.worked_example("peak_tension(mass, speed, stiffness), ")
    lesson.write_over(example, "3100", "12400")
    lesson.page.keyboard.press("Shift+Enter")
    peak = peak_tension(Q(12400, "kg"), Q(4, "km/h"), Q(50, "kN/m"))
    expect(example.locator(".jp-OutputArea")).to_have_text(show(peak, "force"))


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (820, 1180)])
@pytest.mark.parametrize("units", [METRIC, US])
def test_nothing_is_cut_off(lesson, width, height, units, tmp_path):
    lesson.resize({"width": width, "height": height})
    lesson.switch_units(units)
    lesson.panel.image.scroll_into_view_if_needed()
    lesson.page.screenshot(path=tmp_path / f"{width}x{height}.png")
    assert lesson.spills() == []


def test_on_a_laptop_the_sliders_are_beside_the_picture(lesson):
    lesson.resize({"width": 1366, "height": 768})
    slider, image = lesson.panel.slider("Speed").bounding_box(), lesson.panel.image.bounding_box()
    assert slider["x"] + slider["width"] <= image["x"]
    assert image["y"] < slider["y"] < image["y"] + image["height"]


def test_a_restarted_kernel_finds_guess_and_answer_again(lesson):
    instance = QuestionInstance(find_question("03.peak"))
    question = lesson.question(instance.text)
    question.answer(instance.right_answer)
    expect(question.reply).to_contain_text("Right: ")
    lesson.restart_kernel()
    lesson.run()
    lesson.wait_until_lesson_has_run(LESSON)
    for label, typed in GUESS.items():
        expect(lesson.page.get_by_label(label)).to_have_value(typed)
    expect(lesson.button("Keep my guess")).to_be_disabled()
    assert GUESS_COLOR in colors(lesson.panel.pixels())
    expect(question.box).to_have_value(instance.right_answer)
    expect(question.reply).to_contain_text("Right: ")
    lesson.panel.handle("Speed").press("ArrowRight")
    expect(lesson.panel.sentence).to_contain_text("At 4.5 km/h")
