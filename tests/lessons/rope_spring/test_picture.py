"""The stretch picture: nothing is cut off, and both shaded areas are the energy."""

import numpy as np
import pytest
from helpers.guessed_panels import guessed
from helpers.paper import cut_off, overlapping

from recoverykit.lessons import StretchPanel
from recoverykit.units.quantities import Q


def area(artists):
    """Of the shaded patch of a line, in the units of the axes (meters times kN)."""
    x, y = artists[0].get_xy().T
    return abs(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) / 2


@pytest.mark.parametrize("kind", StretchPanel().inputs[0].options)
@pytest.mark.parametrize("speed", [4, 8])
def test_both_shaded_areas_are_the_energy(kind, speed):
    panel = StretchPanel()
    panel.set(kind=kind, speed=Q(speed, "km/h"))
    energy = panel.result.energy.m_as("kJ")
    picture = panel._picture
    assert area(picture._rope) == pytest.approx(energy, rel=0.01)
    assert area(picture._winch_line) == pytest.approx(energy, rel=0.01)


def test_the_axes_stay_when_the_speed_changes():
    panel = StretchPanel()
    axes = panel._picture._axes
    limits = []
    for speed in (1, 6, 12):
        panel.set(speed=Q(speed, "km/h"))
        limits.append((axes.get_xlim(), axes.get_ylim()))
        assert panel.result.rope.peak.extension.m_as("m") < axes.get_xlim()[1]
        assert panel.result.winch_line.peak.tension.m_as("kN") < axes.get_ylim()[1]
    assert len(set(limits)) == 1


@pytest.mark.parametrize(("winch_line", "stronger_rope"), [(14, 10), (14, 14), (900, 2)])
def test_guesses_are_drawn_where_they_are_and_their_names_are_apart(winch_line, stronger_rope):
    pulls = winch_line, stronger_rope
    panel = guessed(StretchPanel, winch_line=f"{pulls[0]} kN", stronger_rope=f"{pulls[1]} kN")
    panel.png()
    axes = panel._picture._axes
    names = [text for text in axes.texts if "guess" in text.get_text()]
    assert len(names) == 2
    assert cut_off(panel.figure) == []
    assert overlapping(names) == []
    top = axes.get_ylim()[1]
    for pull, line, name in zip(
        pulls,
        [x for x in axes.lines if x.get_linestyle() == ":"],
        names,
        strict=True,
    ):
        assert line.get_ydata()[0] == pytest.approx(pull)
        assert ("↑" in name.get_text()) == (pull > top)
