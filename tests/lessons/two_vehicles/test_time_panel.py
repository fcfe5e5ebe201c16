"""The panel of a pull in time: its start, its corners, played and scrubbed, and with a guess."""

import numpy as np
import pytest
from helpers.guessed_panels import waiting

from recoverykit import pull_in_time
from recoverykit.lessons import PullInTimePanel
from recoverykit.lessons.two_vehicles import time_panel as module
from recoverykit.units.quantities import Q, display, show

MOMENTS = module.MOMENTS


@pytest.fixture
def panel():
    return PullInTimePanel()


# --- the pull ---------------------------------------------------------------------------


def test_the_numbers_of_the_crew_car(panel):
    # Until breakout v √(k m1) against 12 kN; the rest as reduced mass (closed form, derived).
    v, k, m1, m2, held, moving = 4 / 3.6, 50e3, 3100, 1850, 12e3, 6e3
    at_breakout = v**2 - held**2 / (k * m1)
    mu = m1 * m2 / (m1 + m2)
    middle = mu / k * moving / m2
    peak = k * (middle + np.hypot(held / k - middle, np.sqrt(mu / k * at_breakout)))
    assert panel.result.motion.peak.m_as("N") == pytest.approx(peak, rel=1e-5)
    assert panel.result.slack_from.m_as("s") == pytest.approx(0.66, abs=0.04)


def test_a_slow_pull_does_not_move_it(panel):
    panel.set(speed=Q(3, "km/h"))
    assert "The stuck vehicle stays put: it takes 12.0 kN" in panel.summary
    assert not np.any(panel.result.motion.history.stuck_travel.magnitude)


def test_a_rope_that_parts_is_said_with_its_time(panel):
    panel.set(
        strength=Q(20, "kN"), speed=Q(12, "km/h"), breakout=Q(40, "kN"), vehicle=Q(9000, "kg")
    )
    assert panel.result.motion.parts
    assert panel.summary.startswith("The rope parts: everything it held lets go at once. ")
    assert "It parts at 20.0 kN, 1.16 s after it comes taut." in panel.summary
    assert "slack" not in panel.summary


def test_a_peak_that_comes_later_is_said(panel):
    panel.set(
        kind="laid, new",
        strength=Q(60, "kN"),
        vehicle=Q(9000, "kg"),
        speed=Q(3, "km/h"),
        breakout=Q(40, "kN"),
    )
    first = panel.result.pull.first_peak.tension
    assert panel.result.motion.peak < 0.9 * first
    assert f"still rising. The first peak comes later: {show(first, 'force')}." in panel.summary
    assert "at most" not in panel.summary


def test_without_speed_and_drive_nothing_pulls(panel):
    panel.set(speed=Q(0, "km/h"))
    assert panel.summary == "Nothing pulls: no speed, no drive force."
    panel.set(drive=Q(5, "kN"))
    assert "sees 10.0 kN at most" in panel.summary


def test_with_the_drive_kept_on_it_still_moves_at_the_end(panel):
    panel.set(drive=Q(10, "kN"), speed=Q(6, "km/h"))
    assert "in 2 s and is still moving." in panel.summary


def test_every_two_extremes(panel):
    seen = set()
    for result in panel.paired_corners():
        assert np.isfinite(result.motion.peak.magnitude)
        seen.add((result.motion.parts, result.motion.stuck_travel.magnitude > 0))
    assert len(seen) >= 3


# --- played and scrubbed ----------------------------------------------------------------


@pytest.fixture
def counted(monkeypatch):
    """How often a pull was followed in time."""
    calls = []

    def following(*args, **kwargs):
        calls.append(args)
        return pull_in_time(*args, **kwargs)

    monkeypatch.setattr(module, "pull_in_time", following)
    return calls


def test_scrubbing_moves_the_picture_and_reckons_nothing(counted):
    panel = PullInTimePanel()
    _, image = panel.view.children[1].children[0].children
    pictures = set()
    for number in range(MOMENTS):
        panel.player.slider.index = number
        pictures.add(bytes(image.value))
    assert len(pictures) == MOMENTS
    assert len(counted) == 1


def test_playing_takes_the_slider_and_the_picture_along(counted):
    panel = PullInTimePanel()
    _, image = panel.view.children[1].children[0].children
    before = bytes(image.value)
    # What the page sends at each tick of the play button.
    panel.player.button.set_state({"value": 10})
    assert panel.player.slider.index == 10
    assert panel.player.slider.label == "0.40"
    assert bytes(image.value) != before
    assert len(counted) == 1


def test_scrubbing_takes_the_play_button_along(panel):
    panel.player.slider.index = 7
    assert panel.player.button.value == 7


def test_nothing_plays_by_itself_or_for_ever(panel):
    button = panel.player.button
    assert not button.playing
    assert not button.repeat
    assert not button.show_repeat
    assert (button.min, button.max) == (0, MOMENTS - 1)
    panel.set(speed=Q(6, "km/h"))
    assert not button.playing


def test_play_shows_half_the_speed():
    step = module.FOLLOWED.m_as("ms") / (MOMENTS - 1)
    assert 2 * step == module.HALF_SPEED


def test_a_moved_slider_keeps_the_moment(panel):
    panel.player.slider.index = 12
    panel.set(speed=Q(6, "km/h"))
    display.use("US")
    assert panel.player.slider.index == 12
    for narrow in (False, True):
        assert "0.48 s" in panel.picture(narrow)._words.get_text()


def test_the_drawing_goes_with_the_moment(panel):
    panel.set(speed=Q(8, "km/h"))
    history = panel.result.motion.history
    for number in (0, 5, 10):
        panel.show_moment(number)
        start, end = panel._picture._rope.get_xdata()[[0, -1]]
        longer = history.extension[number].m_as("m")
        assert end - start == pytest.approx(11 + longer)
        assert start - 4.6 == pytest.approx(history.stuck_travel[number].m_as("m"))
    assert "kN, stretched" in panel._picture._words.get_text()
    panel.show_moment(MOMENTS - 1)
    assert panel._picture._words.get_text() == "2.00 s: slack"


# --- before the guess -------------------------------------------------------------------


def test_scrubbing_shows_nothing_before_the_guess():
    panel, *_ = waiting(PullInTimePanel)
    hidden = panel.png()
    panel.player.slider.index = 9
    assert panel.png() == hidden
