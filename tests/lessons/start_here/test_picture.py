"""The picture of the pegs: pegs, vehicle, seconds and clock move with the sliders."""

import pytest

from recoverykit.course.drawing import VEHICLE_LENGTH
from recoverykit.lessons import TimedDistancePanel
from recoverykit.units.quantities import Q, display


def test_the_mark_stands_at_the_speed_on_the_scale_of_the_units_on_show():
    display.use("US")
    panel = TimedDistancePanel()
    panel.set(speed=Q(5, "mph"))
    assert panel._picture._here.get_xdata() == pytest.approx([5])
    assert panel._picture._scale.get_xlim()[1] == pytest.approx(9.32, abs=0.01)


def test_vehicle_and_second_peg_are_as_far_as_the_slider_says():
    panel = TimedDistancePanel()
    panel.set(distance=Q(20, "m"))
    picture = panel._picture
    assert picture._peg.get_xdata() == pytest.approx([20, 20])
    (left, _) = picture._vehicle.artists[0].get_transform().transform((0, 0))
    (wanted, _) = picture._track.transData.transform((20 - VEHICLE_LENGTH, 0))
    assert left == pytest.approx(wanted)


def test_there_is_a_mark_for_each_second_on_the_way_and_the_hand_shows_them():
    panel = TimedDistancePanel()
    panel.set(speed=Q(3.6, "km/h"), distance=Q(15, "m"))  # 1 m/s
    assert panel._picture._seconds.get_xdata() == pytest.approx(range(15))
    (x, tip), _ = panel._picture._hand.get_data()
    assert tip > x  # a quarter past
    (middle, end) = panel._picture._hand.get_ydata()
    assert end == pytest.approx(middle)
    panel.set(distance=Q(30, "m"))
    assert panel._picture._seconds.get_xdata() == pytest.approx([0, 10, 20])
