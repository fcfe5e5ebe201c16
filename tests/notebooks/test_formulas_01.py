"""Lesson 01: its formulas are what the library reckons, and its numbers come from the library.

Each formula stands here twice, as the lesson prints it and as Python; both are checked.
"""

import pytest
from helpers.lesson_text import LessonText
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import Q, kinetic_energy
from recoverykit.lessons import EnergyPanel
from recoverykit.lessons.bank import find_guess
from recoverykit.physics.formulas import drop_height

LESSON = LessonText("01")
TEXT = LESSON.text

masses = st.floats(500, 20_000)
speeds = st.floats(0.01, 10)

# As printed, as Python, and as the library has it.
FORMULAS = {
    r"E = \tfrac{1}{2}\,m\,v^2": (
        lambda m, v: 1 / 2 * m * v**2,
        kinetic_energy.si,
    ),
    r"h = \frac{v^2}{2\,g}": (
        lambda m, v: v**2 / (2 * 9.80665),
        lambda m, v: drop_height.si(v),
    ),
}


def test_these_are_the_formulas_of_the_lesson():
    assert LESSON.formulas == list(FORMULAS)


@pytest.mark.parametrize("printed", FORMULAS)
@given(m=masses, v=speeds)
def test_a_formula_is_what_the_library_computes(printed, m, v):
    formula, library = FORMULAS[printed]
    assert formula(m, v) == pytest.approx(library(m, v), rel=1e-9)


@given(m=masses, v=speeds)
def test_the_drop_brings_as_much_energy_whatever_the_mass(m, v):
    assert m * 9.80665 * drop_height.si(v) == pytest.approx(kinetic_energy.si(m, v))


@given(m=masses, v=speeds, times=st.integers(2, 4))
def test_the_table_of_squares(m, v, times):
    assert f"| {times} times | **{times**2} times** |" in TEXT
    assert kinetic_energy.si(m, times * v) / kinetic_energy.si(m, v) == pytest.approx(times**2)


@given(m=masses, v=speeds, force=st.floats(1e3, 1e5))
def test_brakes_that_hold_equally_hard_need_four_times_the_way(m, v, force):
    assert "it rolls four times as far" in TEXT

    def way(speed):
        time = m * speed / force
        return speed * time / 2

    assert way(2 * v) / way(v) == pytest.approx(4)
    assert force * way(v) == pytest.approx(kinetic_energy.si(m, v))


@given(m=masses)
def test_the_last_bit_of_speed_brings_the_most(m):
    assert "Going from 4 to 5 mph adds as much energy as going from zero to 3 mph" in TEXT
    assert "from 8 to 10 km/h adds as much as from zero to 6 km/h" in TEXT
    for slow, fast, from_rest in ((8, 10, 6), (4, 5, 3)):
        step = kinetic_energy.si(m, fast) - kinetic_energy.si(m, slow)
        assert step == pytest.approx(kinetic_energy.si(m, from_rest))


@given(m=masses, v=speeds)
def test_speed_does_more_than_mass(m, v):
    assert "Half the mass at twice the speed is still twice the energy" in TEXT
    assert kinetic_energy.si(m / 2, 2 * v) / kinetic_energy.si(m, v) == pytest.approx(2)
    assert "At half the speed, three quarters of the energy is gone" in TEXT
    assert 1 - kinetic_energy.si(m, v / 2) / kinetic_energy.si(m, v) == pytest.approx(3 / 4)


# --- numbers in the text ----------------------------------------------------------------

TRUCK = Q(3100, "kg")


def test_the_examples_are_about_the_vehicle_that_the_panel_starts_with():
    assert EnergyPanel().values == {"mass": TRUCK, "speed": Q(4, "km/h")}
    numbers = find_guess("01.guess").numbers(seed=0)
    assert (numbers.mass, numbers.slow) == (TRUCK, Q(4, "km/h"))


@pytest.mark.parametrize(
    ("sentence", "quantity", "kind"),
    [
        ("The launch truck, {us} ({metric})", TRUCK, "mass"),
        ("1910 J, or {us} ({metric})", kinetic_energy(TRUCK, Q(4, "km/h")), "energy"),
        ("= {metric}, about 10 inches", drop_height(Q(8, "km/h")), "length"),
        ("Set the speed to {us} ({metric})", Q(4, "km/h"), "speed"),
        ("Now set it to {us} ({metric})", Q(8, "km/h"), "speed"),
        ("is about {us} ({metric})", Q(8, "km/h"), "speed"),
    ],
)
def test_a_number_of_the_text_in_both_systems(sentence, quantity, kind):
    assert LESSON.says(sentence, quantity, kind)


def test_the_chains_of_numbers_in_the_examples():
    assert "½ × 3100 × 1.11² = 1910 J" in TEXT
    assert round(4 / 3.6, 2) == 1.11
    assert round(0.5 * 3100 * 1.11**2, -1) == 1910
    assert "2.222² / (2 × 9.81) = 0.252 m" in TEXT
    assert round(8 / 3.6, 3) == 2.222
    assert round(2.222**2 / (2 * 9.81), 3) == 0.252
    assert round(Q(0.252, "m").m_as("inch")) == 10


def test_the_units_are_made_clear():
    assert "it takes about 1 kJ to lift 100 kg by one meter" in TEXT
    assert (Q(100, "kg") * Q(9.80665, "m/s**2") * Q(1, "m")).m_as("kJ") == pytest.approx(
        1, abs=0.05
    )


def test_what_is_tried_comes_out():
    panel = EnergyPanel()
    panel.set(speed=Q(16, "km/h"))
    assert panel.result.height.m_as("m") == pytest.approx(1, abs=0.05)  # the fourth thing to try


def test_a_slip_of_a_quarter_in_speed_is_about_half_the_energy():
    assert "What you call 2 mph may well be 1½ or 2½" in TEXT
    assert [round((speed / 2) ** 2, 1) for speed in (1.5, 2.5)] == [0.6, 1.6]


def test_the_worked_examples_print_what_the_text_says():
    assert LESSON.printed() == ["1.91 kJ", "0.252 m"]
    assert all(number in TEXT for number in LESSON.printed())
