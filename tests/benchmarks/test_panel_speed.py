"""A move of a slider, from the value to what is sent, beside two other ways to draw the same."""

import io
import itertools

import pytest
from helpers.side_by_side import milliseconds

from recoverykit import Q, display
from recoverykit.lessons import PeakForcePanel
from recoverykit.lessons.peak_force.picture import PeakForcePicture

LARGEST_MESSAGE = 40_000  # bytes


@pytest.fixture
def panel():
    panel = PeakForcePanel()
    assert panel.view  # from now on every move makes a message
    return panel


def test_redraw_of_the_peak_force_panel(panel, record_property):
    speeds = itertools.cycle(Q(speed / 2, "km/h") for speed in range(2, 30))
    background, moving = panel.view.children[1].children[0].children
    before, sizes = bytes(background.value), []

    def redraw():
        panel.set(speed=next(speeds))
        sizes.append(len(moving.value))

    def redraw_whole():
        redraw()
        panel.png()

    def plot_anew():
        panel.set(speed=next(speeds))
        picture = PeakForcePicture()
        picture.update(panel.result, display.system)
        picture.figure.savefig(io.BytesIO(), format="png")

    layered, layered_and_whole, anew = milliseconds(redraw, redraw_whole, plot_anew, rounds=25)
    whole = layered_and_whole - layered
    record_property(
        "speed",
        f"redraw after a slider's move: {layered:.1f} ms and {max(sizes) / 1000:.0f} kB; the whole "
        f"picture {whole:.1f} ms more and {len(panel.png()) / 1000:.0f} kB; plotted anew "
        f"{anew:.0f} ms, {anew / layered:.1f} times as long",
    )
    assert max(sizes) < LARGEST_MESSAGE
    assert bytes(background.value) == before
    assert anew > 4 * layered
