"""The buttons for units, and what a learner chose with them, over restarts and names."""

import pytest

from recoverykit import display
from recoverykit.course import progress
from recoverykit.course.progress import use_learner
from recoverykit.lessons import TimedDistancePanel, units_switch

pytestmark = pytest.mark.usefixtures("in_new_kernel")


def switch():
    """The buttons at the top of a lesson."""
    return units_switch().children[0]


def kept():
    return [entry.typed for entry in progress.current().entries() if entry.id == "units"]


def test_switches_and_display_follow_each_other():
    one, other = switch(), switch()
    one.value = "US"
    assert (display.system.name, other.value) == ("US", "US")
    display.use("metric")
    assert (one.value, other.value) == ("metric", "metric")


def test_the_top_of_a_lesson_tells_the_page_which_units_are_in_use():
    top = units_switch()
    for name, other in (("US", "metric"), ("metric", "US")):
        display.use(name)
        assert f"recoverykit-in-{name}" in top._dom_classes
        assert f"recoverykit-in-{other}" not in top._dom_classes


def test_a_choice_is_there_after_a_restart(in_new_kernel):
    switch().value = "US"
    in_new_kernel()
    display.use("metric")
    assert switch().value == display.system.name == "US"


def test_only_a_press_is_kept_and_only_once():
    one, _, panel = switch(), switch(), TimedDistancePanel()
    display.use("US")
    display.use("metric")
    assert panel.view
    assert not progress.current().path.exists()
    one.value = "US"
    assert kept() == [{"system": "US"}]


def test_each_learner_has_units_of_their_own():
    buttons = switch()
    for name, units in (("Ann", "US"), ("Ben", "metric")):
        use_learner(name)
        buttons.value = units
    for name, units in (("Ann", "US"), ("Ben", "metric")):
        use_learner(name)
        assert (buttons.value, display.system.name) == (units, units)


def test_units_chosen_before_the_name_go_with_the_name(in_new_kernel):
    buttons = switch()
    buttons.value = "US"
    use_learner("Ann")
    assert buttons.value == "US"
    in_new_kernel()
    display.use("metric")
    assert (switch().value, progress.current().learner) == ("US", "Ann")


def test_a_name_alone_keeps_nothing():
    switch()
    use_learner("Ann")
    assert not progress.current().path.exists()


@pytest.mark.parametrize("typed", [{}, {"system": ""}, {"system": "imperial"}, {"units": "US"}])
def test_units_that_there_are_not_leave_the_display_as_it_is(typed):
    progress.current().record("units", typed, "committed")
    assert switch().value == display.system.name == "metric"
