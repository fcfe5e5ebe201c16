"""The energy picture: nothing is cut off, and the drop is drawn to scale."""

import pytest

from recoverykit.course.drawing import VEHICLE_HEIGHT
from recoverykit.lessons import EnergyPanel
from recoverykit.units.quantities import Q


def test_the_vehicle_hangs_as_high_as_it_would_be_dropped_from():
    panel = EnergyPanel()
    panel.set(speed=Q(20, "km/h"))
    panel.png()
    picture = panel._picture
    body = picture._vehicle.artists[0]
    lowest, highest = (
        picture._drop.transData.inverted().transform((0, y))[1]
        for y in body.get_window_extent().intervaly
    )
    height = panel.result.height.m_as("m")
    assert lowest - 0.45 == pytest.approx(height, abs=0.05)  # the body's clearance
    assert highest == pytest.approx(height + VEHICLE_HEIGHT, abs=0.05)
    assert list(picture._height.get_ydata()) == [0, pytest.approx(height)]


def test_the_drawing_has_equal_scales_both_ways():
    axes = EnergyPanel()._picture._drop
    box = axes.get_window_extent()
    (left, right), (bottom, top) = axes.get_xlim(), axes.get_ylim()
    assert box.width / (right - left) == pytest.approx(box.height / (top - bottom), rel=0.02)


def test_half_the_speed_is_marked_at_a_quarter():
    panel = EnergyPanel()
    panel.set(speed=Q(12, "km/h"))
    (x, y), (half_x, half_y) = (
        (line.get_xdata()[0], line.get_ydata()[0])
        for line in (panel._picture._here, panel._picture._half)
    )
    assert (half_x / x, half_y / y) == (pytest.approx(1 / 2), pytest.approx(1 / 4))
