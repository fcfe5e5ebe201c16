"""The energy panel at its start, at every corner, in both systems, and with a guess."""

import numpy as np
import pytest
from helpers.guessed_panels import waiting

from recoverykit.lessons import EnergyPanel
from recoverykit.units.quantities import Q, display


@pytest.fixture
def panel():
    return EnergyPanel()


def test_the_numbers_of_the_first_pull(panel):
    # Launch truck 3100 kg at 4 km/h: m v²/2.
    assert panel.result.energy.m_as("J") == pytest.approx(3100 / 2 * (4 / 3.6) ** 2, rel=1e-12)
    assert panel.result.energy_at_half.m_as("J") == pytest.approx(3100 / 2 * (2 / 3.6) ** 2)
    assert panel.result.height.m_as("m") == pytest.approx((4 / 3.6) ** 2 / 2 / 9.80665)


def test_at_every_corner_the_curve_rises_and_the_sentence_is_another(panel):
    sentences = set()
    for result in panel.corners():
        assert np.all(np.diff(result.energies.m_as("kJ")) >= 0)
        sentences.add(panel.summary)
    assert len(sentences) == 4


def test_a_vehicle_that_stands_has_a_sentence_of_its_own(panel):
    panel.set(speed=Q(0, "km/h"))
    assert (
        panel.summary == "A vehicle weighing 3100 kg has no energy of motion while it stands still."
    )


def test_the_sentence_compares(panel):
    panel.set(speed=Q(8, "km/h"))
    assert panel.summary.startswith("At 8 km/h the vehicle carries 7.65 kJ. At half the speed")
    assert "a quarter of that, 1.91 kJ" in panel.summary
    assert "dropping the same vehicle, 3100 kg, from 0.25 m" in panel.summary
    # 75 kg from 3 m is 2.206 kJ.
    assert "a 75 kg person falling 10 m" in panel.summary
    display.use("US")
    # 6,800 lb at 5 mph, in slugs and ft/s: 6800 / 32.174 · 7.3333² / 2.
    assert "5,680 ft·lbf" in panel.summary
    assert "from 10 in" in panel.summary
    assert "a 165 lb person falling 34 ft" in panel.summary


def test_the_guess_is_drawn_and_nothing_moves_before_it():
    panel, guess, _ = waiting(EnergyPanel)
    hidden = panel.png()
    panel.set(speed=Q(9, "km/h"))
    assert panel.png() == hidden, "the picture gives nothing away"
    guess.commit({"twice_energy": "3.8 kJ", "four_times_energy": "7.6 kJ"})
    assert panel._picture._guess.get_xdata() == pytest.approx([4, 8, 16])
    assert panel._picture._guess.get_ydata() == pytest.approx([1.91, 3.8, 7.6])
    assert "your guess" in " ".join(text.get_text() for text in panel.figure.axes[0].texts)
    display.use("US")
    assert panel._picture._guess.get_xdata() == pytest.approx([2.5, 5, 10])
