"""The panel of the pegs at its start, at every corner, and in both systems."""

import pytest

from recoverykit.lessons import TimedDistancePanel
from recoverykit.units.quantities import InputError, Q, display


@pytest.fixture
def panel():
    return TimedDistancePanel()


def test_ten_meters_at_walking_pace(panel):
    assert panel.result.time.m_as("s") == pytest.approx(10 / (4 / 3.6))
    assert panel.summary.startswith("At 4 km/h (2.5 mph) the vehicle takes 9.0 s")


def test_the_other_unit_is_always_there(panel):
    display.use("US")
    panel.set(speed=Q(5, "mph"), distance=Q(30, "ft"))
    assert panel.summary == (
        "At 5 mph (8 km/h) the vehicle takes 4.1 s from the first peg to the second, 30 ft "
        "farther on."
    )


def test_at_every_corner_both_units_are_there_and_the_time_is_right(panel):
    for result in panel.corners():
        travelled = (result.speed * result.time).m_as("m")
        assert travelled == pytest.approx(result.distance.m_as("m"))
        assert "km/h" in panel.summary
        assert "mph" in panel.summary


def test_standing_still_cannot_be_set(panel):
    with pytest.raises(InputError, match="speed"):
        panel.set(speed=Q(0, "km/h"))
