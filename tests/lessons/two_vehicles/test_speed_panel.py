"""The panel of what more speed buys: its start, its corners, both systems, and a guess."""

import re

import numpy as np
import pytest
from helpers.guessed_panels import guessed

from recoverykit import Pull, pull_in_time
from recoverykit.lessons import MoreSpeedPanel
from recoverykit.lessons.two_vehicles.inputs import FASTEST, KINDS, ROPE
from recoverykit.physics.rope import demo_rope
from recoverykit.units.quantities import Q, display


@pytest.fixture
def panel():
    return MoreSpeedPanel()


def test_the_curves_are_single_pulls(panel):
    for number in (10, 30, 60):
        single = pull_in_time(
            Pull(
                Q(3100, "kg"),
                demo_rope(),
                panel.result.speeds[number],
                stuck_mass=Q(1850, "kg"),
                breakout_resistance=Q(12, "kN"),
                moving_resistance=Q(6, "kN"),
            ),
            Q(4, "s"),
        )
        assert panel.result.peaks[number].m_as("N") == pytest.approx(single.peak.m_as("N"))
        assert panel.result.travels[number].m_as("m") == pytest.approx(
            single.stuck_travel.m_as("m")
        )


@pytest.mark.parametrize("kind", ["straight line", "double braid, worked", "laid, new"])
def test_the_slowest_pull_of_the_heaviest_vehicle_is_followed_past_its_peak(panel, kind):
    panel.set(vehicle=Q(9000, "kg"), breakout=Q(40, "kN"), kind=kind, speed=Q(0.1, "km/h"))
    pull = Pull(
        Q(9000, "kg"), KINDS[kind](ROPE.length, ROPE.breaking_strength), Q([0.1, 0.05], "km/h")
    )
    followed = [panel.result.here.peak.m_as("N"), panel.result.half.peak.m_as("N")]
    assert followed == pytest.approx(pull.first_peak.tension.m_as("N"), rel=1e-4)


def test_movement_begins_where_it_is_said_to(panel):
    moves = panel.result.travels.magnitude > 0
    first = panel.result.speeds[np.argmax(moves)]
    assert 0 <= (first - panel.result.breakout_speed).m_as("km/h") < 0.2
    panel.set(speed=1.01 * panel.result.breakout_speed)
    assert panel.result.here.travel.magnitude > 0
    assert panel.result.half.travel.magnitude == 0
    assert "2.0 times the force at half the speed, which doesn't move it." in panel.summary


def test_at_the_limit_speed_the_line_is_at_its_limit(panel):
    panel.set(speed=panel.result.limit_speed)
    limit = panel.result.first.working_load_limit
    assert panel.result.here.peak.m_as("N") == pytest.approx(limit.m_as("N"), rel=1e-5)
    panel.set(speed=1.02 * panel.result.limit_speed)
    assert panel.summary.startswith("Too fast: the soft shackle is above its working limit. ")


@pytest.mark.parametrize("system", ["metric", "US"])
def test_at_the_limit_speed_that_is_told_the_line_is_within_its_limit(panel, system):
    display.use(system)
    symbol = display.system.symbol("speed")
    for mass in range(2600, 6000, 200):
        panel.set(vehicle=Q(mass, "kg"))
        told = re.search(rf"The line's limit comes at ([\d.]+) {symbol}", panel.summary)[1]
        panel.set(speed=Q(float(told), display.system.unit("speed")))
        assert not panel.summary.startswith("Too fast")


def test_a_stuck_vehicle_that_never_moves(panel):
    panel.set(breakout=Q(40, "kN"), speed=Q(8, "km/h"), vehicle=Q(1000, "kg"))
    assert panel.result.breakout_speed > FASTEST
    assert panel.summary.startswith("It stays put at any speed up to 12 km/h. The line sees ")
    assert "starts to move" not in panel.summary


def test_a_pull_that_is_too_slow(panel):
    panel.set(speed=Q(2, "km/h"))
    assert panel.summary.startswith("Too slow: the line is loaded for nothing. ")
    assert "the stuck vehicle stays put." in panel.summary
    assert "half the speed" not in panel.summary


def test_a_stuck_vehicle_that_still_moves(panel):
    panel.set(breakout=Q(2, "kN"), held=Q(20, "percent"), speed=Q(12, "km/h"))
    assert "in 4 s and is still moving" in panel.summary


def test_without_speed_nothing_moves(panel):
    panel.set(speed=Q(0, "km/h"))
    assert panel.summary == "Nothing moves: no speed, no pull."


def test_every_two_extremes(panel):
    for result in panel.paired_corners():
        assert np.all(np.isfinite(result.travels.magnitude))
        assert np.all(np.diff(result.peaks.magnitude) >= -1e-3)
        # No rope of this panel parts, so its curves need no end.
        assert result.peaks.max() < demo_rope().breaking_strength


# --- the guess --------------------------------------------------------------------------


def test_the_guess_is_drawn_in_both_halves():
    panel = guessed(MoreSpeedPanel, peak="26 kN", travel="0.5 m")
    travel, force = panel._picture._guess
    assert (travel.get_xdata()[0], travel.get_ydata()[0]) == pytest.approx((8, 0.5))
    assert (force.get_xdata()[0], force.get_ydata()[0]) == pytest.approx((8, 26))
    display.use("US")
    assert panel._picture._guess[0].get_ydata()[0] == pytest.approx(0.5 / 0.3048)


def test_a_slip_of_the_keyboard_does_not_flatten_the_curves():
    panel = guessed(MoreSpeedPanel, peak="400 kN", travel="50 m")
    assert panel._picture._way.get_ylim()[1] < 10
    assert panel._picture._force.get_ylim()[1] < 100
    numbers = [words.get_text() for words in panel._picture._guess_words]
    assert numbers == ["50.0 m", "400 kN"]
