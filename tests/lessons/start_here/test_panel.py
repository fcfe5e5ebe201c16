"""The panel of the pegs at its start, at every corner, and in both systems."""

import pytest

from recoverykit.lessons import TimedDistancePanel
from recoverykit.units.quantities import Q, display


@pytest.fixture
def panel():
    return TimedDistancePanel()


def test_ten_meters_at_walking_pace(panel):
    assert panel.result.time.m_as("s") == pytest.approx(10 / (4 / 3.6))
    assert panel.summary.startswith("9.0 s from peg to peg.")


def test_only_the_units_on_show_are_in_the_sentence(panel):
    display.use("US")
    panel.set(speed=Q(5, "mph"), distance=Q(30, "ft"))
    assert panel.summary == (
        "4.1 s from peg to peg. The pegs are 30 ft apart, and the vehicle goes 5 mph."
    )


def test_at_every_corner_the_time_is_right(panel):
    for result in panel.corners():
        travelled = (result.speed * result.time).m_as("m")
        assert travelled == pytest.approx(result.distance.m_as("m"))
