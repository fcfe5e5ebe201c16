"""The picture of what lets go: nothing is cut off, bars end where their numbers say."""

import numpy as np
import pytest
from helpers.paper import overlapping, written

from recoverykit.lessons import LettingGoPanel
from recoverykit.lessons.recoil.picture import _shares_in_words
from recoverykit.units.quantities import Q, display


@pytest.mark.parametrize("system", ["metric", "US"])
def test_the_names_of_things_are_apart(system):
    display.use(system)
    panel = LettingGoPanel()
    panel.png()
    axes = panel._picture._axes
    names = [text for text in axes.texts if not text.get_animated()]
    assert len(names) == 5
    assert overlapping(names) == []


def end(bar):
    """The energy in joules at which a bar ends."""
    return 10 ** (bar.get_x() + bar.get_width())


def test_bars_end_at_their_energies():
    panel = LettingGoPanel()
    panel.set(tension=Q(35, "kN"))
    picture, result = panel._picture, panel.result
    for bar, energy in (
        (picture._let_go[0], result.let_go.energy),
        (picture._piece[0], result.let_go.energy),
        (picture._piece_least, result.let_go.least_energy),
        (picture._must_least, result.catch.least_to_absorb),
        (picture._must[0], result.catch.most_to_absorb),
        (picture._can[0], result.catch.can_absorb),
    ):
        assert end(bar) == pytest.approx(energy.m_as("J"))


def test_the_things_on_the_scale_stand_at_their_energies():
    panel = LettingGoPanel()
    dotted = [line for line in panel._picture._axes.lines if line.get_linestyle() == ":"]
    energies = [10 ** line.get_xdata()[0] for line in dotted]
    # A fragment of 79 J; 75 kg falling 3 m; 2500 kg at 10, 20 and 50 km/h.
    speeds = np.array([10, 20, 50]) / 3.6
    assert energies == pytest.approx([79, 75 * 9.80665 * 3, *1250 * speeds**2])


def test_the_shares_fill_the_bar():
    panel = LettingGoPanel()
    panel.set(kind="laid, new")
    parts = panel._picture._parts
    assert sum(part.get_width() for part in parts) == pytest.approx(1)
    assert [part.get_x() for part in parts[1:]] == pytest.approx(
        [part.get_x() + part.get_width() for part in parts[:-1]]
    )


@pytest.mark.parametrize(
    ("shares", "words"),
    [
        # Of a rope without loss nothing is said to become heat; 14.55 and 59.6 are least values.
        ((0.1455, 0.8545, 0.0), "14 % at least with the piece, 86 % with piece or rope"),
        (
            (0.596, 0.003, 0.401),
            "59 % at least with the piece, 0 % with piece or rope, 41 % at most as heat",
        ),
        ((0.0, 0.0, 0.0), ""),
    ],
)
def test_least_shares_are_rounded_down_and_most_shares_up(shares, words):
    assert _shares_in_words(*shares) == words


def test_bounds_are_rounded_to_the_careful_side():
    panel = LettingGoPanel()
    # 20.17²/(2 · 50) = 4.0683 kJ, of which 0.8/5.5 or 0.59175 kJ; 20.17 kN / √(50 kN/m · 5.5 kg)
    # is 138.47 km/h, and √(2 · 4.0683 kJ / 0.8 kg) is 363.06 km/h.
    panel.set(tension=Q(20.17, "kN"))
    for bound in ("at 138 km/h at least", "at 364 km/h at most", "at most 4.07 kJ"):
        assert bound in panel.summary
    texts = [text.get_text() for text in written(panel.figure)]
    assert "0.591 kJ to 4.07 kJ, 138 km/h to 364 km/h" in texts


def test_the_caution_is_in_the_picture():
    panel = LettingGoPanel()
    panel.png()
    words = [text.get_text() for text in written(panel.figure)]
    assert any("No distance from a loaded line is enough" in each for each in words)
