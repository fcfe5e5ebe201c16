"""The peak-force panel at its start, at every corner, in both systems, and with a guess."""

import re

import numpy as np
import pytest
from helpers.guessed_panels import guessed

from recoverykit.lessons import PeakForcePanel
from recoverykit.lessons.peak_force.panel import FASTEST
from recoverykit.physics.rigging import ABOVE, WITHIN
from recoverykit.units.quantities import Q, display, show


@pytest.fixture
def panel():
    return PeakForcePanel()


def test_the_numbers_of_the_first_pull(panel):
    # Launch truck 3100 kg, yard rope 165 kN / (0.30 × 11 m) = 50 kN/m, foot off: v √(k m).
    panel.set(speed=Q(4, "km/h"))
    assert panel.result.peak.m_as("kN") == pytest.approx(4 / 3.6 * np.sqrt(50 * 3.1), rel=1e-12)
    assert panel.result.limit_speed.m_as("km/h") == pytest.approx(7.72, abs=0.005)
    assert panel.result.line.first_past_working_limit.name == "soft shackle"


def test_a_weak_rope_is_the_first_past_its_limit_and_to_break(panel):
    panel.set(strength=Q(40, "kN"))
    assert panel.result.first.name == panel.result.weakest.name == "yard rope"
    assert panel.result.first.working_load_limit.m_as("kN") == pytest.approx(40 / 4)
    panel.reset()
    assert panel.result.first.name == "soft shackle"


def test_at_its_limit_speed_the_first_link_is_at_its_limit(panel):
    panel.set(drive=Q(8, "kN"))
    panel.set(speed=panel.result.limit_speed)
    assert panel.result.peak.m_as("N") == pytest.approx(
        panel.result.line.first_past_working_limit.working_load_limit.m_as("N")
    )
    panel.set(speed=panel.result.limit_speed * 1.01)
    assert {load.verdict for load in panel.result.loads} == {WITHIN, ABOVE}


@pytest.mark.parametrize("system", ["metric", "US"])
def test_at_the_limit_speed_that_is_told_no_link_is_past_its_limit(panel, system):
    display.use(system)
    symbol = display.system.symbol("speed")
    for mass in range(1000, 8000, 100):
        panel.set(mass=Q(mass, "kg"), speed=Q(0, "km/h"))
        told = re.search(rf"at ([\d.]+) {symbol}\.$", panel.summary)[1]
        panel.set(speed=min(Q(float(told), display.system.unit("speed")), FASTEST))
        assert ABOVE not in {load.verdict for load in panel.result.loads}


def test_every_corner(panel):
    seen = set()
    for result in panel.corners():
        assert np.all(np.diff(result.peaks.m_as("kN")) >= 0)
        seen.add((result.parted is not None, result.limit_speed is not None))
    assert len(seen) == 4  # parted or not, limit passed by the drive force alone or not


def test_above_a_limit_the_sentence_names_the_links(panel):
    panel.set(speed=Q(9, "km/h"))
    assert panel.summary.startswith("Above working limit for 2 parts. At 9 km/h the line sees ")
    assert " kN, 117 % of the limit of the soft shackle. " in panel.summary
    panel.set(speed=Q(8, "km/h"))
    assert panel.summary.startswith("Above working limit for the soft shackle. At 8 km/h")
    assert " kN, 104 % of its limit. " in panel.summary
    assert "stuck_vehicle" not in panel.summary


def test_beyond_the_first_break_no_force_is_stated(panel):
    panel.set(speed=Q(25, "km/h"), mass=Q(9000, "kg"), stretch=Q(10, "percent"))
    peak = show(panel.result.peak, "force")
    assert panel.result.parted.name == "recovery eye of the stuck vehicle"
    assert panel.summary.startswith("The recovery eye of the stuck vehicle breaks, and the line is")
    assert peak not in panel.summary
    assert "first to reach" not in panel.summary, "no other part is judged any more"


def test_a_drive_force_alone_can_pass_the_limit(panel):
    panel.set(drive=Q(15, "kN"), speed=Q(0, "km/h"))
    assert panel.result.limit_speed is None
    assert "drive force alone" in panel.summary
    assert panel.result.peak.m_as("kN") == pytest.approx(30)


def test_the_guess_is_drawn_in_both_systems():
    panel = guessed(PeakForcePanel, middle_peak="20 kN", fast_peak="80 kN")
    assert panel._picture._guess.get_ydata()[1:] == pytest.approx([20, 80])
    assert panel._picture._guess_label.get_text() == "◆ your guess"
    panel.set(speed=Q(20, "km/h"), drive=Q(0, "kN"))
    assert panel._picture._moving[-1] is panel._picture._guess_label, "over all that moves"
    display.use("US")
    assert panel._picture._guess.get_xdata() == pytest.approx([1.5, 3, 6])


def test_a_guess_of_the_square_of_the_speed_is_in_the_picture():
    panel = guessed(PeakForcePanel, middle_peak="28 kN", fast_peak="111 kN")
    assert panel.figure.axes[0].get_ylim()[1] > 111
    slip = guessed(PeakForcePanel, middle_peak="28 kN", fast_peak="1000 kN")
    assert slip.figure.axes[0].get_ylim()[1] < 400, "it does not flatten the curve"
