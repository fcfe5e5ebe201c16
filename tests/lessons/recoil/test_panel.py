"""The panel of what lets go: its start, its corners, both systems, and a guess."""

import re

import numpy as np
import pytest
from helpers.guessed_panels import guessed

from recoverykit.lessons import LettingGoPanel
from recoverykit.physics.recoil import CAUTION, MAY_PART, NOT_ALONE, PARTS
from recoverykit.units.quantities import Q
from recoverykit.units.text import as_sentence


@pytest.fixture
def panel():
    return LettingGoPanel()


def test_the_numbers_of_the_bow_shackle(panel):
    # 165 kN over 30 % of 11 m is 50 kN/m; 20²/(2 · 50) = 4 kJ.
    # The first wave: 20 kN / √(50 kN/m · 5.5 kg) = 38.14 m/s.
    result = panel.result
    assert result.let_go.energy.m_as("kJ") == pytest.approx(4)
    assert result.let_go.most_speed.m_as("m/s") == pytest.approx(100)
    assert result.let_go.least_speed.m_as("m/s") == pytest.approx(38.14, abs=0.005)
    assert result.catch.can_absorb.m_as("kJ") == pytest.approx(45 * 0.12 / 2)
    assert result.catch.verdict == MAY_PART
    # Of a light piece, m / M.
    let_go = result.let_go
    assert (let_go.least_energy / let_go.energy).m_as("") == pytest.approx(0.8 / 5.5, abs=1e-6)


def test_a_longer_and_a_stronger_rope_are_heavier(panel):
    panel.set(length=Q(22, "m"))
    assert panel.result.let_go.rope_mass.m_as("kg") == pytest.approx(11)
    panel.set(strength=Q(330, "kN"))
    assert panel.result.let_go.rope_mass.m_as("kg") == pytest.approx(22)


def test_the_verdict_follows_the_pull(panel):
    verdicts = []
    for pull in (10, 20, 60):
        panel.set(tension=Q(pull, "kN"))
        verdicts.append(panel.result.catch.verdict)
        assert panel.summary.startswith(as_sentence(verdicts[-1]))
    assert verdicts == [NOT_ALONE, MAY_PART, PARTS]


def test_every_two_extremes(panel):
    seen = set()
    for result in panel.paired_corners():
        assert np.isfinite(result.let_go.most_speed.m_as("m/s"))
        at_rest = panel.values["tension"].magnitude == 0
        assert result.let_go.least_energy <= result.let_go.energy
        assert panel.summary.endswith(CAUTION)
        seen.add((at_rest, result.rope_parts))
    assert seen == {(True, False), (False, False), (False, True)}


def test_a_slack_rope_lets_nothing_go(panel):
    panel.set(tension=Q(0, "kN"))
    assert panel.summary.startswith("With a slack rope, nothing lets go.")


def test_a_rope_that_parts_first_is_said(panel):
    panel.set(tension=Q(90, "kN"), strength=Q(80, "kN"))
    assert panel.result.let_go.tension.m_as("kN") == pytest.approx(80)
    assert panel.summary.startswith("The rope itself parts at 80.0 kN")
    panel.set(tension=Q(79, "kN"))
    assert "itself parts" not in panel.summary


def test_beyond_all_published_speeds_it_is_said(panel):
    panel.set(tension=Q(100, "kN"), length=Q(30, "m"))
    assert panel.result.let_go.most_speed > Q(230, "m/s")
    assert "No line in our sources was faster than 828 km/h" in panel.summary
    panel.set(tension=Q(40, "kN"), length=Q(11, "m"))
    assert "our sources" not in panel.summary


def test_a_winch_line_lets_far_less_go(panel):
    rope = panel.result.let_go.energy
    panel.set(kind="winch line, hardly stretches")
    assert panel.result.let_go.energy / rope == pytest.approx(3.5 / 30)


def test_the_heat_of_a_rope_counts_at_most(panel):
    panel.set(kind="laid, new")
    let_go = panel.result.let_go
    assert let_go.rope.loss.m_as("") == pytest.approx(0.40)
    assert (let_go.piece * let_go.most_speed**2 / 2 / let_go.energy).m_as("") == pytest.approx(1)


def test_without_slack_the_tether_is_not_said_to_part(panel):
    panel.set(tension=Q(60, "kN"))
    assert panel.result.catch.verdict == PARTS
    panel.set(tether_slack=Q(0, "percent"))
    assert panel.result.catch.verdict == MAY_PART
    assert panel.result.catch.least_to_absorb.m_as("J") == pytest.approx(0)


def test_the_guess_stands_at_its_energy():
    panel = guessed(LettingGoPanel, speed="60 km/h", tether="holds")
    assert "137 km/h at least, 360 km/h at most" in panel.summary
    # ½ · 0.8 kg · (60 km/h)² on a scale of powers of ten, in joules.
    energy = 0.4 * (60 / 3.6) ** 2
    assert panel._picture._guess.get_xdata() == pytest.approx([np.log10(energy)])


@pytest.mark.parametrize("speed", [0, 3600])
def test_a_guess_beyond_the_scale_stands_at_its_end(speed):
    panel = guessed(LettingGoPanel, speed=f"{speed} km/h", tether="holds")
    panel.set(piece=Q(10, "kg"))
    low, high = panel.figure.axes[0].get_xlim()
    (at,) = panel._picture._guess.get_xdata()
    assert low <= at <= high


@pytest.mark.parametrize("tension", [17.3, 23.1, 41.7, 66.6])
def test_what_is_read_out_is_rounded_to_the_careful_side(panel, tension):
    panel.set(tension=Q(tension, "kN"), tether_strength=Q(61.3, "kN"))
    let_go, catch = panel.result.let_go, panel.result.catch
    slow, fast, held, can = map(
        float,
        re.search(
            r"at ([\d.]+) km/h at least, ([\d.]+) km/h at most.*"
            r"holds ([\d.]+) kJ.*can absorb ([\d.]+)",
            panel.summary,
        ).groups(),
    )
    for shown, true in (
        (fast, let_go.most_speed.m_as("km/h")),
        (held, let_go.energy.m_as("kJ")),
    ):
        assert true <= shown < 1.01 * true
    for shown, true in (
        (slow, let_go.least_speed.m_as("km/h")),
        (can, catch.can_absorb.m_as("kJ")),
    ):
        assert 0.99 * true < shown <= true * (1 + 1e-9)
