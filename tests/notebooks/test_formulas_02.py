"""Lesson 02: its formulas are what the library reckons, and its numbers come from the library.

Each formula stands here twice, as the lesson prints it and as Python; both are checked.
"""

import numpy as np
import pytest
from helpers.lesson_text import LessonText
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import Q, Rope, kinetic_energy
from recoverykit.lessons import StretchPanel
from recoverykit.lessons.bank import find_guess
from recoverykit.physics.pull import Pull
from recoverykit.physics.rope import demo_rope

LESSON = LessonText("02")
TEXT = LESSON.text

lengths = st.floats(3, 30)
strengths = st.floats(1e4, 1e6)
stretches_at_break = st.floats(0.02, 0.5)
shares = st.floats(0.01, 0.99)


def a_rope(length, strength, stretch_at_break):
    return Rope(Q(length, "m"), Q(strength, "N"), Q(stretch_at_break, ""))


def pull_for_energy(rope, energy):
    """Tension (N) of a rope that has taken up an energy (J), brought by some vehicle."""
    mass = 2500.0
    speed = np.sqrt(2 * energy / mass)
    return Pull(Q(mass, "kg"), rope, Q(speed, "m/s")).first_peak.tension.m_as("N")


# As printed, as Python (f is F_b, e the stretch at break, s the share of that stretch which the
# rope is stretched by), and as the library has it.
FORMULAS = {
    r"k = \frac{F_b}{e\,L}": (
        lambda f, e, length, s: f / (e * length),
        lambda f, e, length, s: a_rope(length, f, e).stiffness.m_as("N/m"),
    ),
    r"E = \tfrac{1}{2}\,F\,x = \tfrac{1}{2}\,k\,x^2": (
        lambda f, e, length, s: 1 / 2 * (s * f) * (s * e * length),
        lambda f, e, length, s: energy_in(a_rope(length, f, e), s),
    ),
    r"F = \sqrt{2\,E\,k}": (
        lambda f, e, length, s: np.sqrt(2 * energy_in(a_rope(length, f, e), s) * f / (e * length)),
        lambda f, e, length, s: pull_for_energy(
            a_rope(length, f, e), energy_in(a_rope(length, f, e), s)
        ),
    ),
}


def energy_in(rope, share):
    """Energy (J) of a rope that is stretched by a share of its stretch at break."""
    return rope.stored_energy(share * rope.extension_at_break).m_as("J")


def test_these_are_the_formulas_of_the_lesson():
    assert LESSON.formulas == list(FORMULAS)


@pytest.mark.parametrize("printed", FORMULAS)
@given(f=strengths, e=stretches_at_break, length=lengths, s=shares)
def test_a_formula_is_what_the_library_computes(printed, f, e, length, s):
    formula, library = FORMULAS[printed]
    assert formula(f, e, length, s) == pytest.approx(library(f, e, length, s), rel=1e-6)


@given(f=strengths, e=stretches_at_break, length=lengths, s=shares)
def test_the_second_form_of_the_energy(f, e, length, s):
    stiffness, stretch = f / (e * length), s * e * length
    assert stiffness * stretch**2 / 2 == pytest.approx(energy_in(a_rope(length, f, e), s))


@given(f=strengths, e=stretches_at_break, length=lengths, s=st.floats(0.01, 0.6))
def test_a_stronger_rope_is_harsher_and_a_longer_one_gentler(f, e, length, s):
    rope = a_rope(length, f, e)
    energy = energy_in(rope, s)
    pull = pull_for_energy(rope, energy)
    stronger = pull_for_energy(a_rope(length, 2 * f, e), energy)
    longer = pull_for_energy(a_rope(2 * length, f, e), energy)
    assert "Twice the strength is twice the stiffness, and so about 1.4 times the pull" in TEXT
    assert stronger / pull == pytest.approx(1.4, abs=0.05)
    assert "It's farther from its own breaking point" in TEXT
    assert stronger / (2 * f) < pull / f
    assert "Twice the length is half the stiffness, and about 0.71 times the pull" in TEXT
    assert longer / pull == pytest.approx(0.71, abs=0.005)


# --- numbers in the text ----------------------------------------------------------------

TRUCK, SLOW = Q(3100, "kg"), Q(4, "km/h")
YARD_ROPE = demo_rope("yard rope")
WINCH_LINE = Rope(
    YARD_ROPE.length, YARD_ROPE.breaking_strength, demo_rope("winch line").stretch_at_break
)


def test_the_examples_are_the_pull_that_the_panel_starts_with():
    result = StretchPanel().result
    assert result.rope.rope == YARD_ROPE
    assert result.winch_line.rope == WINCH_LINE
    assert result.energy == kinetic_energy(TRUCK, SLOW)
    numbers = find_guess("02.guess").numbers(seed=0)
    assert (numbers.mass, numbers.speed) == (TRUCK, SLOW)
    assert numbers.pull == result.rope.peak.tension


@pytest.mark.parametrize(
    ("sentence", "quantity", "kind"),
    [
        ("165 / (0.30 × 11) = {metric}, or {us}", YARD_ROPE.stiffness, "stiffness"),
        ("165 / (0.035 × 11) = {metric}", WINCH_LINE.stiffness, "stiffness"),
        ("Stretch the yard rope by {us} ({metric})", Q(0.5, "m"), "length"),
        ("= {metric}, or {us}", YARD_ROPE.stored_energy(Q(0.5, "m")), "energy"),
        ("brings {us} ({metric}) at 2.5 mph (4 km/h)", kinetic_energy(TRUCK, SLOW), "energy"),
        ("13 800 N, or {us} ({metric})", Pull(TRUCK, YARD_ROPE, SLOW).first_peak.tension, "force"),
        ("40 500 N, or {us} ({metric})", Pull(TRUCK, WINCH_LINE, SLOW).first_peak.tension, "force"),
        ("breaks at {us} ({metric}), stretches 30 %", YARD_ROPE.breaking_strength, "force"),
        ("to {us} ({metric})", Q(8, "km/h"), "speed"),
    ],
)
def test_a_number_of_the_text_in_both_systems(sentence, quantity, kind):
    assert LESSON.says(sentence, quantity, kind)


def test_the_length_of_the_yard_rope():
    assert "is 36 ft (11 m) long" in TEXT
    assert YARD_ROPE.length == Q(11, "m")
    assert round(YARD_ROPE.length.m_as("ft")) == 36


def test_the_chains_of_numbers_in_the_examples():
    assert "50 × 0.5 = 25 kN, and holds $E$ = ½ × 25 × 0.5 = 6.25 kJ" in TEXT
    assert 0.5 * (50 * 0.5) * 0.5 == 6.25
    assert "√(2 × 1910 × 50 000) = 13 800 N" in TEXT
    assert round(np.sqrt(2 * 1910 * 50_000), -2) == 13_800
    assert "√(2 × 1910 × 429 000) = 40 500 N" in TEXT
    assert round(np.sqrt(2 * 1910 * 429_000), -2) == 40_500


def test_what_is_tried_comes_out():
    panel = StretchPanel()
    start = panel.result.rope.peak.tension
    for doubled, low, high in (("strength", 1.4, 1.45), ("length", 0.7, 0.72), ("speed", 2, 2)):
        panel.reset()
        panel.set(**{doubled: 2 * panel.values[doubled]})
        assert low <= (panel.result.rope.peak.tension / start).m_as("") + 1e-9 <= high + 1e-6
    panel.reset()
    panel.set(strength=Q(35, "kN"), speed=Q(8, "km/h"))
    assert panel.result.winch_line.peak.parts
    assert not panel.result.rope.peak.parts
    assert "almost three times as hard" in TEXT
    assert 2.8 < (WINCH_LINE.stiffness / YARD_ROPE.stiffness).m_as("") ** 0.5 < 3


def test_three_kinds_of_rope_stiffen():
    panel = StretchPanel()
    _, *bent = panel.inputs[0].options
    assert "The picture has three kinds like that" in TEXT
    assert len(bent) == 3
    for kind in bent:
        panel.set(kind=kind)
        slopes = np.diff(panel.result.rope.loads.m_as("kN"))
        assert slopes[-1] > 2 * slopes[0]


def test_the_worked_examples_print_what_the_text_says():
    assert LESSON.printed() == ["50.0 kN/m", "6.25 kJ", "13.8 kN", "40.5 kN"]
