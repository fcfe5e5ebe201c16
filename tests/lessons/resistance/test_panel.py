"""The panel of what holds a vehicle: its start, its corners, both systems, and a guess."""

import numpy as np
import pytest
from helpers.guessed_panels import guessed

from recoverykit.lessons import HoldingPanel
from recoverykit.physics.ground import LIKELY, NOT_ENOUGH, POSSIBLE, REDUCTIONS, UNLIKELY
from recoverykit.physics.rigging import demo_line
from recoverykit.units.quantities import Q, display

WORK = ("dig_out", "air_down", "lay_boards", "unload")


@pytest.fixture
def panel():
    return HoldingPanel()


def kilonewtons(band):
    return [edge.m_as("kN") for edge in band]


def test_the_numbers_of_the_boat_carrier(panel):
    # 4200 kg, 3° up; rolling in mud 0.08 to 0.20 and mire 0.20 to 1 of the weight, in the middle
    # 0.14 and 0.60: W sin α, 0.14 W cos α, 0.46 W cos α.
    weight, slope = 4200 * 9.80665 / 1000, np.radians(3)
    parts = panel.result.found.parts
    assert parts["slope"].m_as("kN") == pytest.approx(weight * np.sin(slope), rel=1e-9)
    assert parts["rolling"].m_as("kN") == pytest.approx(0.14 * weight * np.cos(slope), rel=2e-3)
    assert parts["mire"].m_as("kN") == pytest.approx(0.46 * weight * np.cos(slope), rel=2e-3)
    # Wet sand: grip 0.30 to 0.40, rolling 0.10 to 0.30 of 3100 kg.
    middle = panel.result.pull.available.band.median.m_as("kN")
    assert middle == pytest.approx(0.15 * 3100 * 9.80665 / 1000, rel=0.01)
    assert panel.result.limit == demo_line().working_load_limit


def test_without_work_nothing_has_changed(panel):
    assert kilonewtons(panel.result.worked.band) == kilonewtons(panel.result.found.band)
    assert panel.result.work == ()
    assert "Before the work" not in panel.summary


@pytest.mark.parametrize("tick", WORK)
def test_every_tick_takes_off_pull_and_leaves_what_was_found(panel, tick):
    found = kilonewtons(panel.result.found.band)
    panel.set(**{tick: True})
    assert kilonewtons(panel.result.found.band) == found
    assert all(np.less(kilonewtons(panel.result.worked.band), found))
    assert f"Before the work: {found[1]:.1f} kN" in panel.summary


def test_there_is_a_tick_for_every_reduction(panel):
    assert [name.replace(" ", "_") for name in REDUCTIONS] == list(WORK[:3])
    assert all(panel.values[tick] is False for tick in WORK)


def test_unloading_a_fifth_leaves_four_fifths(panel):
    before = np.array(kilonewtons(panel.result.found.band))
    panel.set(unload=True)
    assert kilonewtons(panel.result.worked.band) == pytest.approx(0.8 * before)


def test_every_two_extremes(panel):
    verdicts, helped = set(), set()
    for result in panel.paired_corners():
        verdicts.add(result.pull.verdict)
        helped.add(result.worked.parts["slope"].magnitude < 0)
        for needed in (result.found, result.worked):
            low, median, high = kilonewtons(needed.band)
            assert 0 <= low <= median <= high < 1000
            total = sum(part.m_as("kN") for part in needed.parts.values())
            assert max(total, 0) == pytest.approx(median, rel=1e-6, abs=1e-9)
            assert needed.parts["mire"].magnitude >= -1e-9
    assert verdicts == {LIKELY, POSSIBLE, UNLIKELY, NOT_ENOUGH}
    assert helped == {True, False}


def test_a_vehicle_that_the_slope_moves_has_to_be_held(panel):
    panel.set(mire="not mired", ground="dry road", slope=Q(-10, "degree"))
    assert panel.result.worked.band.high.magnitude == 0
    assert "Hold it back, don't pull" in panel.summary
    assert panel.result.found.parts["mire"].m_as("kN") == pytest.approx(0, abs=1e-9)


def test_the_verdict_comes_first_with_what_to_do_before_a_harder_pull(panel):
    assert panel.summary.startswith("Not enough: dig first. ")
    panel.set(dig_out=True)
    assert panel.summary.startswith("Not enough: do more of the work first. ")
    panel.set(**dict.fromkeys(WORK, True))
    assert panel.summary.startswith("Unlikely to be enough, with all the work done. ")
    panel.set(vehicle_ground="dry road")
    assert panel.summary.startswith("Likely enough for a steady pull. ")
    panel.reset()
    panel.set(mire="not mired")  # there is nothing to dig
    assert panel.summary.startswith("Unlikely to be enough: do more of the work first. ")


def test_a_slope_that_helps_is_said(panel):
    panel.set(slope=Q(-5, "degree"))
    helps = 4200 * 9.80665 / 1000 * np.sin(np.radians(5))
    assert f"The slope helps: {helps:.2f} kN" in panel.summary


def test_more_speed_is_ruled_out_where_the_line_comes_to_its_limit_first(panel):
    assert panel.result.found.band.median > panel.result.limit
    assert "no run-up helps" in panel.summary
    panel.set(dig_out=True)
    assert panel.result.worked.band.median < panel.result.limit
    assert "run-up" not in panel.summary


def test_the_guess_is_drawn_in_both_systems():
    panel = guessed(HoldingPanel, pull="8 kN", first="speed")
    assert "26.8 kN" in panel.summary
    assert panel._picture._guess.get_xdata() == pytest.approx([8])
    display.use("US")
    assert panel._picture._guess.get_xdata() == pytest.approx([1798.5], abs=0.1)


def test_a_guess_far_beyond_stands_at_the_edge_with_its_number():
    for pull, marker, words in ((80, "D", ""), (300, ">", "300 kN")):
        panel = guessed(HoldingPanel, pull=f"{pull} kN", first="speed")
        picture, end = panel._picture, panel.figure.axes[0].get_xlim()[1]
        assert end < 101
        assert picture._guess.get_xdata() == pytest.approx([min(pull, end)])
        assert picture._guess.get_marker() == marker
        assert picture._guess_words.get_text() == words
