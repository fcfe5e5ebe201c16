"""A move of a slider, from the value to the PNG file, beside plotting the same picture anew."""

import io
import itertools

import pytest
from helpers.side_by_side import milliseconds

from recoverykit import Q, display
from recoverykit.lessons import PeakForcePanel
from recoverykit.lessons.peak_force.picture import PeakForcePicture


@pytest.fixture
def panel():
    return PeakForcePanel()


def test_redraw_of_the_peak_force_panel(panel, record_property):
    speeds = itertools.cycle(Q(speed / 2, "km/h") for speed in range(2, 30))

    def redraw():
        panel.set(speed=next(speeds))
        panel.png()

    def plot_anew():
        panel.set(speed=next(speeds))
        picture = PeakForcePicture()
        picture.update(panel.result, display.system)
        picture.figure.savefig(io.BytesIO(), format="png")

    kept, anew = milliseconds(redraw, plot_anew, rounds=25)
    record_property(
        "speed",
        f"redraw after a slider's move: {kept:.0f} ms; plotted anew {anew:.0f} ms, "
        f"{anew / kept:.1f} times as long",
    )
    assert anew > 2 * kept
