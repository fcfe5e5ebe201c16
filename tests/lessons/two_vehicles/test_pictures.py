"""The pictures of lesson 07: nothing is cut off, and no word lies on another."""

import numpy as np
import pytest
from helpers.paper import cut_off, overlapping

from recoverykit.lessons import MoreSpeedPanel, PullInTimePanel
from recoverykit.units.quantities import Q, display

in_each_system = pytest.mark.parametrize("system", ["metric", "US"])


@in_each_system
def test_a_pull_in_time_is_whole_at_every_two_extremes(system):
    display.use(system)
    panel = PullInTimePanel()
    for _ in panel.paired_corners():
        for number in (0, 8, 50):
            panel.show_moment(number)
            panel.png()
            assert cut_off(panel.figure) == []


@in_each_system
def test_the_words_over_the_drawing_are_apart(system):
    display.use(system)
    panel = PullInTimePanel()
    panel.set(speed=Q(12, "km/h"))
    for number in (0, 8, 20, 50):
        panel.show_moment(number)
        panel.png()
        assert overlapping(panel._picture._drawing.texts) == []


def test_the_axes_stay_while_the_speed_is_dragged():
    panel = MoreSpeedPanel()
    limits = set()
    for speed in (1, 4, 8, 12):
        panel.set(speed=Q(speed, "km/h"))
        limits.add((panel._picture._way.get_ylim(), panel._picture._force.get_ylim()))
    assert len(limits) == 1


def test_a_rope_that_has_parted_is_drawn_parted():
    panel = PullInTimePanel()
    panel.set(
        strength=Q(20, "kN"), speed=Q(12, "km/h"), breakout=Q(40, "kN"), vehicle=Q(9000, "kg")
    )
    for number, parted in ((10, False), (40, True), (0, False)):
        panel.show_moment(number)
        rope, torn = panel._picture._rope, panel._picture._torn
        assert np.isnan(rope.get_xdata()).any() == parted
        assert len(torn.get_xdata()) == parted
