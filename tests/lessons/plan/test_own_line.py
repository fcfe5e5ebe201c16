"""The box for a line of one's own, as a browser fills it: read, refused, kept over a restart."""

import ipywidgets
import pytest
from helpers.widget_tree import click, send

from recoverykit import Q, display
from recoverykit.course import progress
from recoverykit.lessons import PlanPanel, ask_line
from recoverykit.lessons.plan.panel import OWN
from recoverykit.physics.rigging_text import EXAMPLE

pytestmark = pytest.mark.usefixtures("in_new_kernel")

GOOD = (
    "eye: 9500 lb, WLL, factor 3\nrope: 120 kN, breaking strength, factor 4\n"
    "front hook: 9000 lb, WLL, factor 3"
)


@pytest.fixture
def panel():
    return PlanPanel()


def box_of(view):
    (box,) = (w for w in view.view.children if isinstance(w, ipywidgets.Textarea))
    return box


def type_and_use(view, text):
    """What the browser sends when a learner writes in the box and presses the button."""
    send(box_of(view), value=text)
    click(view, "Plan with this line")


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
    assert "Parts read: 3. The lowest working load limit is 30.0 kN, that of rope." in view.sentence
    assert "pounds-force" in view.sentence
    display.use("US")
    assert "6,740 lbf" in view.sentence


def test_an_unrated_part_is_said_at_once(panel):
    view = ask_line(panel)
    type_and_use(view, f"{GOOD}\nbumper: no stamp")
    assert "No working load limit is known for: bumper. That rules out a ladder." in view.sentence


def test_what_cannot_be_read_loses_nothing(panel):
    view = ask_line(panel)
    type_and_use(view, GOOD)
    planned = panel.result
    type_and_use(view, f"{GOOD}\nbumper: 4 tons, WLL")
    assert view.sentence.startswith("The plan still uses the line before. Row 4, bumper: ")
    assert panel.result is planned
    assert box_of(view).value.endswith("bumper: 4 tons, WLL")


def test_a_box_that_is_changed_is_no_line_of_the_plan(panel):
    view = ask_line(panel)
    assert panel.unread == ""
    type_and_use(view, GOOD)
    assert panel.unread == ""
    box_of(view).value = f"{GOOD}\nbumper: no stamp"
    assert panel.unread.startswith("The line in the box is not the one in the plan")
    box_of(view).value = GOOD
    assert panel.unread == ""
    type_and_use(view, "bumper")
    assert panel.unread.startswith("The line in the box cannot be read. Row 1")


def test_a_line_that_is_not_complete_is_said_at_once(panel):
    view = ask_line(panel)
    type_and_use(view, GOOD.rpartition("\n")[0])
    assert "its last row, rope, isn't a point on the stuck vehicle" in view.sentence


def test_length_and_stretch_of_the_rope_go_to_the_sliders(panel):
    view = ask_line(panel)
    type_and_use(
        view, GOOD.replace("rope:", "30 ft rope:").replace("factor 4", "4:1, stretch 25 %")
    )
    assert (panel.values["rope_length"], panel.values["stretch"]) == (Q(30, "ft"), Q(25, "percent"))
    display.use("US")
    assert (
        "The plan takes a length of 30 ft and a stretch at break of 25 % from the rope's row."
        in view.sentence
    )


def test_a_rope_longer_than_the_slider_is_refused_and_changes_nothing(panel):
    view = ask_line(panel)
    type_and_use(view, GOOD)
    planned = panel.result
    type_and_use(view, GOOD.replace("rope:", "45 m rope:"))
    assert "Rope length" in view.sentence
    assert panel.result is planned
    assert panel.unread.startswith("The line in the box cannot be read.")
    panel.set(rope_length=Q(12, "m"))
    assert panel.result.contradiction == ""  # the line in the plan is still the one before


def test_a_first_line_that_cannot_be_read(panel):
    view = ask_line(panel)
    type_and_use(view, "bumper")
    assert view.sentence.startswith("Row 1: write the name of a part")
    assert panel.values["line"] != OWN


def test_the_example_can_be_had_again(panel):
    view = ask_line(panel)
    type_and_use(view, GOOD)
    click(view, "Example")
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
    assert panel.result.line is None
    assert box_of(view).value == EXAMPLE
    assert view.sentence == ""
