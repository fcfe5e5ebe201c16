"""A quantity that learners write on a panel: what is taken, what is refused, what stays."""

import logging
from dataclasses import dataclass

import pytest
from helpers.widget_tree import send

from recoverykit.course.inputs import Text, Tick
from recoverykit.course.panel import Panel
from recoverykit.course.picture import Picture
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import InputError, Q, display, show

pytestmark = pytest.mark.usefixtures("in_new_kernel")


class NoPicture(Picture):
    def build(self):
        pass

    def update(self, result, system):
        pass


@dataclass(frozen=True)
class Force:
    force: Q


class ForcePanel(Panel):
    inputs = (
        Text("stamp", "Stamp", "3 1/4 short tons", "force", Q(1, "kN"), Q(500, "kN")).with_help(
            "What is stamped."
        ),
        Tick("half", "Half").with_help("Half of it."),
    )
    picture_type = NoPicture

    def compute(self, stamp, half):
        return Force(read_quantity(stamp, "force").quantity / (2 if half else 1))

    def describe(self, result, system):
        return f"It is {show(result.force, 'force', system)}."


@pytest.fixture
def panel():
    return ForcePanel()


class OnPage:
    """The panel's widgets of the display system in force."""

    def __init__(self, panel):
        controls = panel.view.children[0].children
        (seen,) = [box for box in controls[1:3] if box.layout.display != "none"]
        (self.line, self._reply), self.tick = seen.children[0].children, seen.children[1]
        (self.again,) = controls[3].children

    def write(self, text):
        """Write as the page sends it."""
        send(self.line, value=text)

    @property
    def reply(self):
        return self._reply.value.replace("\N{NO-BREAK SPACE}", " ")


def test_what_is_written_is_taken(panel):
    page = OnPage(panel)
    assert (page.line.value, page.reply) == ("3 1/4 short tons", "")
    page.write("12 kN")
    assert panel.values["stamp"] == "12 kN"
    assert panel.summary == "It is 12.0 kN."
    assert page.reply == ""


def test_how_a_unit_was_read_is_said(panel):
    page = OnPage(panel)
    page.write("9500 lb")
    assert panel.result.force.m_as("lbf") == pytest.approx(9500)
    assert "Pounds are read as pounds-force (lbf)." in page.reply
    for known in ("10 kN", "9600 lb"):
        page.write(known)
        assert page.reply == ""


def test_how_a_text_was_read_is_not_said_of_what_nobody_wrote(panel):
    page = OnPage(panel)
    page.write("4.75 T")
    panel.set(stamp="9,500 lb")
    assert (page.line.value, page.reply) == ("9,500 lb", "")


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("4.75 T", "&#x27;T&#x27; can mean three things: ask the maker"),
        ("", "Nothing was written"),
        ("12", "The unit is missing"),
        ("0 kN", "&#x27;0 kN&#x27; is not between 1 kN and 500 kN"),
        ("501 kN", "is not between 1 kN and 500 kN"),
        ("<b>5</b>", "does not start with a number"),
    ],
)
def test_what_cannot_be_read_stays_and_is_answered(panel, text, fault, caplog):
    page = OnPage(panel)
    with caplog.at_level(logging.WARNING):
        page.write(text)
    assert fault in page.reply
    assert "keeps to 3 1/4 short tons." in page.reply
    assert page.line.value == text
    assert panel.values["stamp"] == "3 1/4 short tons"
    assert not caplog.records


def test_a_refused_text_outlives_what_is_done_elsewhere_on_the_panel(panel):
    page = OnPage(panel)
    page.write("4.75 T")
    page.tick.value = True
    assert panel.summary == "It is 14.5 kN."
    assert page.line.value == "4.75 T"
    assert "short tons" in page.reply


def test_starting_values_drop_a_refused_text(panel):
    page = OnPage(panel)
    for text in ("4.75 T", "12 kN", "4.75 T"):
        page.write(text)
    page.again.click()
    assert (page.line.value, page.reply) == ("3 1/4 short tons", "")
    page.write("4.75 T")
    page.again.click()
    assert (page.line.value, page.reply) == ("3 1/4 short tons", "")


def test_a_stamp_stays_as_it_is_written_when_units_are_switched(panel):
    OnPage(panel).write("12 kN")
    display.use("US")
    assert OnPage(panel).line.value == "12 kN"
    assert panel.summary == "It is 2,700 lbf."


def test_a_bad_text_is_refused_in_python_and_changes_nothing(panel):
    with pytest.raises(InputError, match="Stamp:\n  stamp: 'T' can mean three things"):
        panel.set(stamp="4.75 T", half=True)
    assert panel.values == {"stamp": "3 1/4 short tons", "half": False}


def test_the_extremes_can_be_read(panel):
    assert [result.force.m_as("kN") for result in panel.corners()] == [1, 0.5, 500, 250]
