"""Lessons with a guess and a panel in a real browser: the way of a learner through each."""

from dataclasses import dataclass

import pytest
from PIL import ImageColor
from playwright.sync_api import expect

import course
from recoverykit.bank import LESSONS, find_guess
from recoverykit.figures.picture import PURPLE
from recoverykit.panels import EnergyPanel, StretchPanel
from recoverykit.panels.base import Panel
from recoverykit.questions import Asking, Guess, NumericQuestion
from recoverykit.units import display

GUESS_COLOUR = ImageColor.getrgb(PURPLE)
METRIC, US = "km/h, kN, kg", "mph, lbf, lb"


@dataclass(frozen=True)
class Taught:
    """A lesson's notebook and panel, a slider of it, and a guess by the labels of its boxes."""

    notebook: str
    panel: type[Panel]
    slider: str
    guess: dict[str, str]


TAUGHT = [
    Taught(
        "01-walking-pace.ipynb",
        EnergyPanel,
        "Speed",
        {"Energy at 8 km/h": "3.8 kJ", "Energy at 16 km/h": "7.6 kJ"},
    ),
    Taught(
        "02-rope-spring.ipynb",
        StretchPanel,
        "Strength",
        {"Winch line": "14 kN", "Rope twice as strong": "10 kN"},
    ),
]


@pytest.fixture(scope="module", params=TAUGHT, ids=lambda taught: taught.notebook[:2])
def taught(request):
    """A lesson's own data."""
    return request.param


@pytest.fixture(scope="module")
def opened(taught, open_page):
    """The lesson, opened and left to run by itself."""
    lesson = open_page(taught.notebook)
    cells = course.notebook_cells(course.LESSONS / taught.notebook)
    lesson.wait_until_run(sum(kind == "code" for kind, _ in cells) - 1)
    return lesson


@pytest.fixture(autouse=True)
def nothing_goes_wrong(opened):
    """No error in a cell or in the console, and no request to another host, in any test."""
    yield
    expect(opened.errors).to_have_count(0)
    assert opened.complaints == []
    assert opened.outside == []


@pytest.fixture(scope="module")
def guessed(opened, taught):
    """The lesson after a guess."""
    sheet = find_guess(f"{taught.notebook[:2]}.guess")
    panel = taught.panel(guess=Guess(sheet))
    expect(opened.panel.sentence).to_have_text(panel.summary)
    before = opened.panel.pixels()
    for label, typed in taught.guess.items():
        opened.page.get_by_label(label).fill(typed)
    opened.button("Keep my guess").click()
    expect(opened.panel.sentence).to_have_text(taught.panel().summary)
    assert GUESS_COLOUR not in colours(before)
    return opened


def colours(image):
    return {colour for _, colour in image.getcolors(image.width * image.height)}


def test_a_guess_is_drawn_with_the_answer(guessed):
    expect(guessed.button("Keep my guess")).to_be_disabled()
    assert GUESS_COLOUR in colours(guessed.panel.pixels())


def test_a_slider_moves_with_the_keyboard(guessed, taught):
    panel = guessed.panel
    before = panel.pixels()
    (slider,) = (each for each in taught.panel().inputs if each.label == taught.slider)
    panel.handle(taught.slider).focus()
    for key, value in (("End", slider.high), ("Home", slider.low)):
        guessed.page.keyboard.press(key)
        there = taught.panel()
        there.set(**{slider.name: value})
        expect(panel.sentence).to_have_text(there.summary)
        assert panel.pixels() != before
    guessed.button("Starting values").click()
    expect(panel.sentence).to_have_text(taught.panel().summary)


def test_every_question_takes_its_right_answer(guessed, taught):
    for question in LESSONS[taught.notebook[:2]].QUESTIONS:
        asking = Asking(question)
        asked = guessed.question(asking.text)
        if isinstance(question, NumericQuestion):
            asked.answer(asking.right_answer)
        else:
            asked.choose(asking.fill(question.options[asking.right_answer].text))
        expect(asked.reply).to_contain_text("Right")


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (820, 1180)])
@pytest.mark.parametrize("units", [METRIC, US])
def test_nothing_is_cut_off(guessed, taught, width, height, units):
    guessed.page.set_viewport_size({"width": width, "height": height})
    guessed.button(units).first.click()
    display.use("US" if units == US else "metric")
    expect(guessed.panel.sentence).to_have_text(taught.panel().summary)
    guessed.panel.image.scroll_into_view_if_needed()
    assert guessed.spills() == []
