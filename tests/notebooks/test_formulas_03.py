"""Lesson 03: its formulas are what the library reckons, and its numbers come from the library.

Each formula stands here twice, as the lesson prints it and as Python; both are checked.
"""

import numpy as np
import pytest
from helpers.lesson_text import LessonText
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import Q, kinetic_energy, peak_tension, speed_for_tension
from recoverykit.lessons import PeakForcePanel
from recoverykit.lessons.bank import find_guess

LESSON = LessonText("03")
TEXT = LESSON.text

masses = st.floats(500, 20_000)
speeds = st.floats(0.01, 10)
stiffnesses = st.floats(1e3, 1e6)
drives = st.floats(0, 1e5)

# As printed, as Python (d is D), and as the library has it.
FORMULAS = {
    r"F = v\,\sqrt{k\,m}": (
        lambda m, v, k, d: v * np.sqrt(k * m),
        lambda m, v, k, d: peak_tension.si(m, v, k),
    ),
    r"F = D + \sqrt{D^2 + k\,m\,v^2}": (
        lambda m, v, k, d: d + np.sqrt(d**2 + k * m * v**2),
        lambda m, v, k, d: peak_tension.si(m, v, k, d),
    ),
    r"v = \sqrt{\frac{F\,(F - 2D)}{k\,m}}": (
        lambda m, v, k, d: np.sqrt(force(m, v, k, d) * (force(m, v, k, d) - 2 * d) / (k * m)),
        lambda m, v, k, d: speed_for_tension.si(m, force(m, v, k, d), k, d),
    ),
}


def force(m, v, k, d):
    """Some force that only a moving vehicle can reach."""
    return 2 * d + v * np.sqrt(k * m)


def test_these_are_the_formulas_of_the_lesson():
    assert LESSON.formulas == list(FORMULAS)


@pytest.mark.parametrize("printed", FORMULAS)
@given(m=masses, v=speeds, k=stiffnesses, d=drives)
def test_a_formula_is_what_the_library_computes(printed, m, v, k, d):
    formula, library = FORMULAS[printed]
    assert formula(m, v, k, d) == pytest.approx(library(m, v, k, d), rel=1e-6)


@given(m=masses, k=stiffnesses, d=drives)
def test_with_no_speed_it_is_twice_the_drive(m, k, d):
    assert r"With $v = 0$ it is $2D$" in TEXT
    assert peak_tension.si(m, 0.0, k, d) == pytest.approx(2 * d)


@given(m=masses, v=speeds, k=stiffnesses, times=st.integers(1, 3))
def test_the_table_of_squares(m, v, k, times):
    assert f"| {times} times | {times**2} times | **{times} times** | {times**2} times |" in TEXT
    slow, fast = peak_tension.si(m, v, k), peak_tension.si(m, times * v, k)
    assert fast / slow == pytest.approx(times)
    assert kinetic_energy.si(m, times * v) / kinetic_energy.si(m, v) == pytest.approx(times**2)
    in_the_rope = [peak**2 / (2 * k) for peak in (slow, fast)]
    assert in_the_rope[1] / in_the_rope[0] == pytest.approx(times**2)


@given(m=masses, v=speeds, k=stiffnesses)
def test_twice_the_mass_gives_about_1_4_times_the_peak(m, v, k):
    assert "twice the mass gives about 1.4 times the peak" in TEXT
    assert peak_tension.si(2 * m, v, k) / peak_tension.si(m, v, k) == pytest.approx(1.4, abs=0.05)


# --- numbers in the text ----------------------------------------------------------------

PANEL = PeakForcePanel()
TRUCK, YARD_STIFFNESS = Q(3100, "kg"), Q(50, "kN/m")
SLOW, DRIVE = Q(4, "km/h"), Q(5, "kN")
PEAK = peak_tension(TRUCK, SLOW, YARD_STIFFNESS)
LIMIT = PANEL.result.line.working_load_limit


def test_the_examples_are_the_pull_that_the_panel_starts_with():
    start = PANEL.values
    assert start["mass"] == TRUCK
    stiffness = start["strength"] / (start["stretch"] * start["length"])
    assert stiffness.m_as("kN/m") == pytest.approx(50)
    assert start["drive"].magnitude == 0
    assert "3100 kg" in TEXT
    assert "50 kN/m, which is 50 000 N/m" in TEXT


def test_the_guess_is_about_the_pull_that_the_panel_starts_with():
    numbers = find_guess("03.guess").numbers(seed=0)
    assert numbers.mass == PANEL.values["mass"]
    PANEL.set(speed=numbers.slow)
    assert PANEL.result.peak.m_as("N") == pytest.approx(numbers.slow_peak.m_as("N"))
    PANEL.reset()


@pytest.mark.parametrize(
    ("sentence", "quantity", "kind"),
    [
        ("13 800 N, or {us} ({metric})", PEAK, "force"),
        ("= {metric}, or {us}", peak_tension(TRUCK, SLOW, YARD_STIFFNESS, DRIVE), "force"),
        ("limit of the yard line is {us} ({metric})", LIMIT, "force"),
        (
            "takes the line there at {us} ({metric})",
            speed_for_tension(TRUCK, LIMIT, YARD_STIFFNESS),
            "speed",
        ),
        (
            "With 1,120 lbf (5 kN) of drive force, it's {us} ({metric})",
            speed_for_tension(TRUCK, LIMIT, YARD_STIFFNESS, DRIVE),
            "speed",
        ),
        (
            "the yard line does, at {us} ({metric})",
            speed_for_tension(TRUCK, LIMIT, YARD_STIFFNESS),
            "speed",
        ),
        ("keep {us} (5 kN) of drive force on", DRIVE, "force"),
        ("stiffness is {us} (50 kN/m,", YARD_STIFFNESS, "stiffness"),
        ("about {us} (8 km/h)", Q(8, "km/h"), "speed"),
        ("speed to {us} (4 km/h)", Q(4, "km/h"), "speed"),
    ],
)
def test_a_number_of_the_text_in_both_systems(sentence, quantity, kind):
    assert LESSON.says(sentence, quantity, kind)


def test_the_chain_of_numbers_in_the_first_example():
    assert "1.11 × √(50 000 × 3100) = 13 800 N" in TEXT
    assert round(4 / 3.6, 2) == 1.11
    assert round(1.11 * np.sqrt(50_000 * 3100), -2) == 13_800


def test_the_chain_of_numbers_in_the_second_example():
    assert "5 + √(5² + 13.8²) = 19.7 kN" in TEXT
    assert round(5 + np.sqrt(5**2 + 13.8**2), 1) == 19.7


def test_the_worked_examples_print_what_the_text_says():
    assert LESSON.printed() == ["13.8 kN", "19.7 kN", "6.1 km/h"]
    assert all(number in TEXT for number in LESSON.printed())
