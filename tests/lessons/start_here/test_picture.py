"""The picture of the pegs: nothing is cut off, and both scales tell the same speed."""

import pytest

from recoverykit.lessons import TimedDistancePanel
from recoverykit.units.quantities import Q


def test_the_mark_stands_at_the_speed_on_both_scales():
    panel = TimedDistancePanel()
    panel.set(speed=Q(5, "mph"))
    panel.png()
    (mark,) = panel._picture._here.get_xdata()
    assert mark == pytest.approx(8.04672)
    scale = panel._picture._here.axes
    (in_mph,) = scale.child_axes
    assert scale.transData.transform((mark, 0))[0] == pytest.approx(
        in_mph.transData.transform((5, 0))[0]
    )
