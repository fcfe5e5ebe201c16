"""The box for a line of one's own, as a browser fills it: read, refused, kept over a restart."""

import ipywidgets
import pytest

from recoverykit import display, progress
from recoverykit.ownline import EXAMPLE
from recoverykit.panels import PlanPanel, ask_line
from recoverykit.panels.plan import OWN

pytestmark = pytest.mark.usefixtures("in_new_kernel")

GOOD = "eye: 9500 lb, WLL, factor 3\nrope: 120 kN, breaking strength, factor 4"


@pytest.fixture
def panel():
    return PlanPanel()


def box_of(view):
    (box,) = (w for w in view.view.children if isinstance(w, ipywidgets.Textarea))
    return box


def type_and_use(view, text):
    """What the browser sends when a learner writes in the box and presses the button."""
    state = {"method": "update", "state": {"value": text}, "buffer_paths": []}
    box_of(view)._handle_msg({"content": {"data": state}, "buffers": []})
    press(view, "Plan with this line")


def press(view, label):
    (row,) = (w for w in view.view.children if isinstance(w, ipywidgets.HBox))
    (button,) = (b for b in row.children if b.description == label)
    button.click()


def test_it_starts_with_the_example_and_leaves_the_panel_alone(panel):
    view = ask_line(panel)
    assert box_of(view).value == EXAMPLE
    assert panel.values["line"] != OWN
    assert view.sentence == ""


def test_a_line_goes_into_the_plan(panel):
    view = ask_line(panel)
    type_and_use(view, GOOD)
    assert panel.values["line"] == OWN
    assert panel.result.plan.limit.m_as("kN") == pytest.approx(30)
    assert "Parts read: 2. The lowest working load limit is 30.0 kN, that of rope." in view.sentence
    assert "pounds-force" in view.sentence
    display.use("US")
    assert "6,740 lbf" in view.sentence


def test_an_unrated_part_is_said_at_once(panel):
    view = ask_line(panel)
    type_and_use(view, f"{GOOD}\nbumper: no stamp")
    assert (
        "No working load limit is known for: bumper. So there will be no ladder." in view.sentence
    )


def test_what_cannot_be_read_loses_nothing(panel):
    view = ask_line(panel)
    type_and_use(view, GOOD)
    planned = panel.result
    type_and_use(view, f"{GOOD}\nbumper: 4 tons, WLL")
    assert view.sentence.startswith("The plan keeps to the line before. Row 3, bumper: ")
    assert panel.result is planned
    assert box_of(view).value.endswith("bumper: 4 tons, WLL")


def test_a_first_line_that_cannot_be_read(panel):
    view = ask_line(panel)
    type_and_use(view, "bumper")
    assert view.sentence.startswith("Row 1: write the name of a part")
    assert panel.values["line"] != OWN


def test_the_example_can_be_had_again(panel):
    view = ask_line(panel)
    type_and_use(view, GOOD)
    press(view, "Example")
    assert box_of(view).value == EXAMPLE
    assert panel.result.plan.limit.m_as("kN") == pytest.approx(30)


@pytest.mark.parametrize("text", [GOOD, "bumper"])
def test_it_is_there_again_after_a_restart(panel, in_new_kernel, text):
    type_and_use(ask_line(panel), text)
    in_new_kernel()
    again = PlanPanel()
    view = ask_line(again)
    assert box_of(view).value == text
    assert again.result.plan.outcome == panel.result.plan.outcome
    assert (again.values["line"] == OWN) == (text == GOOD)
    assert view.sentence


def test_each_learner_has_a_line_of_their_own(panel):
    view = ask_line(panel)
    type_and_use(view, GOOD)
    progress.use_learner("Ann")
    assert box_of(view).value == EXAMPLE
    assert view.sentence == ""
