"""Whose answers a lesson shows, when somebody else gives a name in another lesson."""

import ipywidgets
import pytest
from helpers.widget_tree import widgets

from recoverykit.course import progress
from recoverykit.course.progress import Progress, file_stem, follow_name
from recoverykit.lessons import ask, ask_line, ask_survey, guess, units_switch
from recoverykit.lessons.ideas import SURVEY
from recoverykit.lessons.plan.panel import PlanPanel
from recoverykit.units.files import replace_file

pytestmark = pytest.mark.usefixtures("in_new_kernel")

RIGHT = {idea.id: idea.right for idea in SURVEY.ideas}
GUESSED = {"middle_peak": "27 kN", "fast_peak": "110 kN"}


def name_in_another_lesson(name):
    progress.FOLDER.mkdir(exist_ok=True)
    replace_file(progress.FOLDER / "name.txt", name.encode())


def make_guess(view):
    view.fill_in(**GUESSED)
    view.keep()
    view.show()


def choose_all(view):
    view.choose(RIGHT)
    view.commit()


# What is asked, and what a learner does to it.
VIEWS = {
    "question": (lambda: ask("03.peak"), lambda view: view.answer("38 kN")),
    "guess": (lambda: guess("03.guess"), make_guess),
    "survey": (lambda: ask_survey("before"), choose_all),
    "line": (lambda: ask_line(PlanPanel()), lambda view: view.write("hook: 3 t")),
}
each_view = pytest.mark.parametrize(("make", "act"), VIEWS.values(), ids=VIEWS)


def on_page(view):
    """All that a view shows, and what can be pressed."""
    kinds = ipywidgets.HTML, ipywidgets.Text, ipywidgets.Textarea, ipywidgets.RadioButtons
    values = [widget.value for widget in widgets(view, kinds)]
    return values, [(b.description, b.disabled) for b in widgets(view, ipywidgets.Button)]


def entries(name):
    return Progress(name).entries()


@each_view
def test_another_learner_finds_it_open_and_the_first_one_finds_it_as_it_was(make, act):
    name_in_another_lesson("Ann")
    view = make()
    fresh = on_page(view)
    act(view)
    answered, kept = on_page(view), entries("Ann")
    assert answered != fresh
    name_in_another_lesson("Ben")
    follow_name()
    assert on_page(view) == fresh
    act(view)
    assert on_page(view) == answered
    name_in_another_lesson("Ann")
    follow_name()
    assert on_page(view) == answered
    assert entries("Ann") == kept
    assert [entry.typed for entry in entries("Ben")] == [entry.typed for entry in kept]


@each_view
def test_a_press_that_is_quicker_than_the_name_keeps_nothing_and_shows_the_change(make, act):
    name_in_another_lesson("Ann")
    view = make()
    act(view)
    kept, top = entries("Ann"), units_switch()
    name_in_another_lesson("Ben")
    act(view)
    assert entries("Ann") == kept
    assert progress.current().learner == "Ben"
    assert "Answers of Ben." in top.children[1].value


def test_it_stands_at_the_top_whose_answers_these_are():
    whose = units_switch().children[1]
    assert "No name on these answers yet: set one in lesson 00." in whose.value
    name_in_another_lesson("<b>Ann</b>")
    follow_name()
    said = "Answers of &lt;b&gt;Ann&lt;/b&gt;. Not you? Change the name in lesson 00."
    assert said in whose.value
    assert file_stem("<b>Ann</b>") != file_stem("Ann")
