"""Lesson 10: its formulas are what the library reckons, and its numbers come from the library."""

import re

import numpy as np
import pytest
from helpers.lesson_text import LessonText
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import Q, kinetic_energy, peak_tension, speed_for_tension
from recoverykit.lessons import PlanPanel
from recoverykit.lessons.bank import find_guess
from recoverykit.lessons.plan.panel import OWN
from recoverykit.physics.ground import resistance
from recoverykit.physics.plan import CEILING, LADDER, REDUCE, TOO_WEAK, highest_peak
from recoverykit.physics.rigging import BREAKING, UNKNOWN
from recoverykit.physics.rigging_text import read_line

LESSON = LessonText("10")

masses = st.floats(500, 20_000)
stiffnesses = st.floats(1e3, 1e6)
forces = st.floats(1e3, 2e5)
parts = st.floats(0.1, 1)
slopes = st.floats(0, 0.7)  # radians

# As printed, as Python, and as the library has it.
FORMULAS = {
    r"v = \frac{F}{\sqrt{k\,m}}": (
        lambda m, k, f, r, a: f / np.sqrt(k * m),
        lambda m, k, f, r, a: speed_for_tension.si(m, f, k),
    ),
    r"F_2 = F_1\,\frac{m_2}{m_1}": (
        lambda m, k, f, r, a: resistance.si(m, r, a) * (r * m) / m,
        lambda m, k, f, r, a: resistance.si(r * m, r, a),
    ),
}


def test_these_are_the_formulas_of_the_lesson():
    assert LESSON.formulas == list(FORMULAS)


@pytest.mark.parametrize("printed", FORMULAS)
@given(m=masses, k=stiffnesses, f=forces, r=parts, a=slopes)
def test_a_formula_is_what_the_library_computes(printed, m, k, f, r, a):
    formula, library = FORMULAS[printed]
    assert formula(m, k, f, r, a) == pytest.approx(library(m, k, f, r, a), rel=1e-9)


@given(m=masses, v=st.floats(0.1, 5), k=stiffnesses)
def test_four_times_the_speed(m, v, k):
    told = "four times the speed as the rope comes taut is four times the peak force, and sixteen"
    assert told in LESSON.text
    assert peak_tension.si(m, 4 * v, k) / peak_tension.si(m, v, k) == pytest.approx(4)
    assert kinetic_energy.si(m, 4 * v) / kinetic_energy.si(m, v) == pytest.approx(16)


# --- numbers in the text ----------------------------------------------------------------

START = PlanPanel().result
BIG_PULL = highest_peak(
    START.recovery_vehicle, START.stuck_vehicle, START.rope, START.line, Q(20, "km/h")
)
LIMIT_SPEED = START.plan.limit_speed.band


@pytest.mark.parametrize(
    ("sentence", "quantity", "kind"),
    [
        ("the yard line with {metric} ({us}) in the middle", BIG_PULL.band.median, "force"),
        (
            "The first part of that line breaks at {metric} ({us})",
            START.line.first_to_break.breaking_strength,
            "force",
        ),
        (
            "2.14 m/s, or {metric} ({us})",
            speed_for_tension(Q(3100, "kg"), START.plan.limit, Q(50, "kN/m")),
            "speed",
        ),
        ("to its limit at {metric} ({us}) in the middle", LIMIT_SPEED.median, "speed"),
        ("at {metric} ({us}) at the low end", LIMIT_SPEED.low, "speed"),
        ("26.8 × 3360 / 4200 = {metric} ({us})", Q(26.8, "kN") * 3360 / 4200, "force"),
    ],
)
def test_a_number_of_the_text_in_both_systems(sentence, quantity, kind):
    assert LESSON.says(sentence, quantity, kind)


def test_the_chains_of_numbers():
    assert "26 700 / √(50 000 × 3100) = 2.14 m/s" in LESSON.text
    assert round(26_700 / np.sqrt(50_000 * 3100), 2) == 2.14
    assert START.rope.stiffness.m_as("kN/m") == pytest.approx(50)
    assert START.needed.median.m_as("kN") == pytest.approx(26.8, abs=0.05)
    unloaded = PlanPanel()
    unloaded.set(unload=True)
    stuck_vehicle = unloaded.result.stuck_vehicle
    assert (stuck_vehicle.mass - stuck_vehicle.unloaded).m_as("kg") == pytest.approx(3360)
    assert unloaded.result.needed.median.m_as("kN") == pytest.approx(21.4, abs=0.1)


def test_the_range_is_taken_from_ten_thousand_cases():
    assert "for ten thousand cases" in LESSON.text
    assert START.plan.limit_speed.samples.size == 10_000


def test_one_big_pull_may_part_the_line():
    assert "At 20 km/h (12 mph) the launch truck" in LESSON.text
    assert round(Q(20, "km/h").m_as("mph")) == 12
    parting = np.mean(np.isinf(BIG_PULL.samples.m))
    assert f"In {100 * parting:.0f} of 100 cases the line parts" in LESSON.text
    assert START.line.verdict(BIG_PULL.band.median) != BREAKING


def test_the_usual_ceiling_in_both_systems():
    assert "about 8 km/h (5 mph)" in LESSON.text
    assert CEILING.m_as("mph") == 5
    assert CEILING.m_as("km/h") == pytest.approx(8, abs=0.5)


def test_the_worked_examples_print_what_the_text_says():
    printed = LESSON.printed()
    assert printed == ["7.7 km/h", "21.4 kN"]
    assert all(f"{number} (" in LESSON.text for number in printed)


def test_the_guess_is_about_the_case_that_the_panel_starts_with():
    numbers, start = find_guess("10.guess").numbers(seed=0), PlanPanel().values
    assert (numbers.mass, numbers.vehicle) == (start["mass"], start["vehicle"])
    assert numbers.limit == START.plan.limit
    text = find_guess("10.guess").text
    assert start["ground"] in text
    assert start["vehicle_ground"] in text
    assert start["mire"] in text


@pytest.mark.parametrize(
    ("tried", "outcome", "steps"),
    [
        ({}, LADDER, 4),
        ({"dig_out": True, "lay_boards": True}, LADDER, 4),
        ({"line": "line over a tow ball"}, UNKNOWN, 0),
        ({"line": OWN}, UNKNOWN, 0),
        ({"mire": "cab"}, REDUCE, 0),
        ({"vehicle": Q(9000, "kg"), "vehicle_ground": "dry road"}, TOO_WEAK, 0),
    ],
)
def test_what_the_learner_finds_in_the_panel(tried, outcome, steps):
    panel = PlanPanel()
    panel.set(**tried)
    assert (panel.result.plan.outcome, len(panel.result.plan.steps)) == (outcome, steps)


def test_the_rows_that_are_shown_can_be_read():
    shown = re.findall(r"^\| `(.+?)` \|", LESSON.text, re.MULTILINE)
    assert len(shown) == 5
    reading = read_line("\n".join(shown))
    line = reading.quantity
    assert reading.rope_length == Q(30, "ft")
    assert [link.name for link in line.unrated] == ["hitch"]
    shackle, rope, strap, bridle, _ = line.links
    assert shackle.breaking_strength == 5 * shackle.working_load_limit
    assert rope.breaking_strength == 4 * rope.working_load_limit
    assert [each.name for each in strap.factors] == ["choked", "wet"]
    assert bridle.working_load_limit > bridle.rating.working_load_limit
