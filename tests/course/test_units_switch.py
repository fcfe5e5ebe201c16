"""The buttons for units, and what a learner chose with them, over restarts and names."""

import json

import ipywidgets
import pytest

from recoverykit import display
from recoverykit.course import progress
from recoverykit.course.progress import Progress, use_learner
from recoverykit.lessons import TimedDistancePanel, units_switch


@pytest.fixture(autouse=True)
def restart_kernel(tmp_path, monkeypatch):
    """A kernel in a folder of its own; call it to restart the kernel."""

    def restart():
        ipywidgets.Widget.close_all()
        progress._current.clear()
        display.use("metric")

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(progress, "_current", [])
    yield restart
    ipywidgets.Widget.close_all()


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


def test_a_choice_is_there_after_a_restart(restart_kernel):
    switch().value = "US"
    restart_kernel()
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


def test_units_chosen_before_the_name_go_with_the_name(restart_kernel):
    buttons = switch()
    buttons.value = "US"
    use_learner("Ann")
    assert buttons.value == "US"
    restart_kernel()
    assert (switch().value, progress.current().learner) == ("US", "Ann")


def test_a_name_alone_keeps_nothing():
    switch()
    use_learner("Ann")
    assert not progress.current().path.exists()


@pytest.mark.parametrize("typed", [{}, {"system": ""}, {"system": "imperial"}, {"units": "US"}])
def test_units_that_there_are_not_leave_the_display_as_it_is(typed):
    progress.current().record("units", typed, "committed")
    assert switch().value == display.system.name == "metric"


def test_a_damaged_file_leaves_the_display_as_it_is(tmp_path, restart_kernel):
    switch().value = "US"
    path = progress.current().path
    path.write_text("damaged", encoding="utf-8")
    restart_kernel()
    buttons = switch()
    assert buttons.value == display.system.name == "metric"
    buttons.value = "US"
    assert json.loads(path.read_text(encoding="utf-8"))["entries"][0]["id"] == "units"
    assert path.with_suffix(".damaged-1.json").read_text(encoding="utf-8") == "damaged"


def test_other_entries_stay(tmp_path):
    progress.current().record("03.peak", {"answer": "38 kN"}, "right")
    switch().value = "US"
    again = Progress(folder=tmp_path / "progress")
    assert [entry.id for entry in again.entries()] == ["03.peak", "units"]
