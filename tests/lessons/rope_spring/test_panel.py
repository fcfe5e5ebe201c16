"""The stretch panel at its start, at every corner, in both systems, and with a guess."""

import numpy as np
import pytest
from helpers.guessed_panels import guessed

from recoverykit.lessons import StretchPanel
from recoverykit.units.quantities import Q, display, show


@pytest.fixture
def panel():
    return StretchPanel()


def test_the_numbers_of_the_first_pull(panel):
    # Launch truck 3100 kg at 4 km/h; yard rope 165 kN / (0.30 × 11 m); a winch line of 3.5 %.
    energy = 3100 / 2 * (4 / 3.6) ** 2
    for line, stretch in ((panel.result.rope, 0.30), (panel.result.winch_line, 0.035)):
        stiffness = 165e3 / (stretch * 11)
        assert line.peak.tension.m_as("N") == pytest.approx(np.sqrt(2 * energy * stiffness))
        assert line.peak.extension.m_as("m") == pytest.approx(np.sqrt(2 * energy / stiffness))
        assert line.taken.m_as("J") == pytest.approx(energy)


def test_every_corner(panel):
    seen = set()
    for result in panel.corners():
        rope, winch_line = result.rope, result.winch_line
        for line in (rope, winch_line):
            assert np.all(np.diff(line.loads.m_as("kN")) > 0)
            taken, brought = line.taken.m_as("J"), result.energy.m_as("J")
            assert taken < brought if line.peak.parts else taken == pytest.approx(brought)
        assert winch_line.peak.tension >= rope.peak.tension
        seen.add((rope.peak.parts, winch_line.peak.parts, result.speed.magnitude > 0))
    assert len(seen) == 4  # at rest; and moving: neither parts, or the winch line, or both


def test_without_speed_there_is_a_sentence_of_its_own(panel):
    panel.set(speed=Q(0, "km/h"))
    assert (
        panel.summary == "Without speed the vehicle brings no energy, and neither line stretches."
    )


def test_a_stretch_is_in_inches_in_the_sentence_and_in_the_picture(panel):
    display.use("US")
    panel.set(speed=Q(5, "mph"))
    assert "it stretches 22 in and pulls with" in panel.summary
    axes, words = panel.figure.axes
    assert axes.get_xlabel() == "stretch of the line [in]"
    assert any(text.get_text().endswith(" at 22 in") for text in words.texts)


def test_a_winch_line_that_parts_is_told(panel):
    panel.set(strength=Q(35, "kN"), speed=Q(8, "km/h"))
    # ½ × 35 kN × 3.5 % of 11 m = 6.74 kJ, of 7.65 kJ.
    assert panel.summary.endswith(
        "The winch line takes up only 6.74 kJ of it before it parts, at 35.0 kN."
    )
    assert "times as hard" not in panel.summary


def test_a_rope_that_parts_is_told(panel):
    panel.set(kind="double braid, new", strength=Q(20, "kN"), length=Q(3, "m"), speed=Q(12, "km/h"))
    assert panel.result.rope.peak.parts
    assert "The rope takes up only" in panel.summary
    assert "before it parts, at 20.0 kN" in panel.summary


def test_the_list_of_kinds_is_on_the_page(panel):
    (kinds,) = (
        widget
        for widget in panel.view.children[0].children[1].children
        if hasattr(widget, "options") and widget.description == "Kind of rope"
    )
    kinds.value = "laid, new"
    assert panel.result.kind == "laid, new"
    panel.reset()
    assert kinds.value == panel.inputs[0].start


def test_the_guess_is_in_the_result():
    panel = guessed(StretchPanel, winch_line="14 kN", stronger_rope="2250 lbf")
    assert show(panel.result.winch_line.peak.tension, "force") in panel.summary
    assert panel.result.guess == {
        "winch line": Q(14, "kN"),
        "rope twice as strong": Q(2250, "lbf"),
    }
