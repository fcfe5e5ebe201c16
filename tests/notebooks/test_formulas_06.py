"""Lesson 06: its formulas are what the library reckons, and its numbers come from the library."""

import dataclasses

import numpy as np
import pytest
from helpers.lesson_text import LessonText
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import Q
from recoverykit.lessons import HoldingPanel
from recoverykit.lessons.bank import find_guess
from recoverykit.physics.ground import (
    LIKELY,
    NOT_ENOUGH,
    POSSIBLE,
    MireRow,
    StuckVehicle,
    drawbar_pull,
    ground,
    resistance,
)
from recoverykit.tables.records import table

LESSON = LessonText("06")
GRAVITY = 9.80665

masses = st.floats(500, 20_000)
coefficients = st.floats(0, 3)
slopes = st.floats(0, 0.7)  # radians
small = st.floats(0.01, 0.3)
parts = st.floats(0.1, 1)

# As printed, as Python, and as the library has it.
FORMULAS = {
    r"F = f\,m\,g": (
        lambda m, c, a, f, r: f * m * GRAVITY,
        lambda m, c, a, f, r: resistance.si(m, f),
    ),
    r"F = c\,m\,g": (
        lambda m, c, a, f, r: c * m * GRAVITY,
        lambda m, c, a, f, r: resistance.si(m, c),
    ),
    r"F = m\,g\,(\sin\alpha + c\,\cos\alpha)": (
        lambda m, c, a, f, r: m * GRAVITY * (np.sin(a) + c * np.cos(a)),
        lambda m, c, a, f, r: resistance.si(m, c, a),
    ),
    r"F = m\,g\,(\mu - f)": (
        lambda m, c, a, f, r: m * GRAVITY * (c - min(f, c)),
        lambda m, c, a, f, r: drawbar_pull.si(m, c, min(f, c)),
    ),
    r"F' = r_1\,r_2\,F": (
        lambda m, c, a, f, r: r * f * c * m * GRAVITY,
        lambda m, c, a, f, r: resistance.si(m, r * f * c),
    ),
}


def test_these_are_the_formulas_of_the_lesson():
    assert LESSON.formulas == list(FORMULAS)


@pytest.mark.parametrize("printed", FORMULAS)
@given(m=masses, c=coefficients, a=slopes, f=small, r=parts)
def test_a_formula_is_what_the_library_computes(printed, m, c, a, f, r):
    formula, library = FORMULAS[printed]
    assert formula(m, c, a, f, r) == pytest.approx(library(m, c, a, f, r), rel=1e-9, abs=1e-6)


def test_two_kinds_of_work_leave_the_product_of_their_parts():
    found = StuckVehicle(Q(4200, "kg"), "soft mud", mire="wheels")
    both = ("dig out", "lay boards")
    left = [
        dataclasses.replace(found, reductions=done).pull_to_start.samples
        for done in ((), both[:1], both[1:], both)
    ]
    none, dug, boards, worked = (samples.m_as("N") for samples in left)
    assert worked / none == pytest.approx(dug / none * (boards / none))


def test_the_table_of_the_mire():
    for row in table(MireRow):
        assert f"| {row.depth} | {row.factor:g} |" in LESSON.text


def test_the_table_of_what_holds():
    low, high = ground("dry road").rolling.ends.m_as("percent")
    assert (round(low), round(high)) == (1, 2)
    assert ground("dry sand").rolling.ends.m_as("percent") == pytest.approx([10, 30])
    assert "1 to 2 % on a hard road, 10 to 30 % in sand" in LESSON.text
    one_degree = resistance(Q(1, "kg"), 0.0, Q(1, "degree")) / resistance(Q(1, "kg"), 1.0)
    assert one_degree.m_as("percent") == pytest.approx(1.75, abs=0.005)
    assert "1.75 % of the weight for each degree" in LESSON.text


def test_two_tables_on_gravel():
    assert ground("gravel").traction.ends.m_as("") == pytest.approx([0.35, 0.60])
    assert "one says 0.35 for gravel, another says 0.60" in LESSON.text


# --- numbers in the text ----------------------------------------------------------------

CARRIER, TRUCK = Q(4200, "kg"), Q(3100, "kg")
FIRM, MIRED = resistance(CARRIER, 0.08), resistance(CARRIER, 1)


def worked_panel(**values):
    panel = HoldingPanel()
    panel.set(dig_out=True, let_air_down=True, lay_boards=True, unload=True, **values)
    return panel.result


FOUND = HoldingPanel().result


@pytest.mark.parametrize(
    ("sentence", "quantity"),
    [
        ("= 3300 N, or {metric} ({us})", FIRM),
        ("= 41 200 N, or {metric} ({us})", MIRED),
        ("5450 N, or {metric} ({us})", resistance(CARRIER, 0.08, Q(3, "degree"))),
        ("13 400 N, or {metric} ({us})", drawbar_pull(TRUCK, 0.475, 0.035)),
        ("= {metric} ({us})", 0.60 * 0.65 * MIRED),
        ("hold with {metric} ({us}) in the middle", FOUND.found.band.median),
        ("It may be {metric} ({us})", FOUND.found.band.high),
        ("limit of the yard line is {metric} ({us})", FOUND.limit),
        ("bring the pull down to {metric} ({us})", worked_panel().worked.band.median),
    ],
)
def test_a_number_of_the_text_in_both_systems(sentence, quantity):
    assert LESSON.says(sentence, quantity, "force")


def test_what_the_text_compares():
    assert 12 < MIRED / FIRM < 13
    panel = HoldingPanel()
    on_sand = panel.result.pull.available.band.median
    panel.set(vehicle_ground="gravel")
    on_gravel = panel.result.pull.available.band.median
    assert on_gravel / on_sand == pytest.approx(3, abs=0.1)
    panel.reset()
    panel.set(vehicle=2 * TRUCK)
    assert panel.result.pull.available.band.median < on_gravel


def test_what_the_learner_finds_in_the_panel():
    assert FOUND.pull.verdict == NOT_ENOUGH
    assert max(FOUND.found.parts, key=FOUND.found.parts.get) == "mire"
    assert worked_panel(vehicle_ground="gravel").pull.verdict == POSSIBLE
    assert worked_panel(vehicle_ground="dry earth").pull.verdict == LIKELY


def test_the_guess_is_about_the_case_that_the_panel_starts_with():
    numbers, start = find_guess("06.guess").numbers(seed=0), HoldingPanel().values
    assert (numbers.mass, numbers.vehicle) == (start["mass"], start["vehicle"])
    assert numbers.slope == start["slope"]
    text = find_guess("06.guess").text
    assert start["ground"] in text
    assert start["vehicle_ground"] in text
    assert start["mire"] in text


def test_the_chains_of_numbers():
    assert "0.08 × 4200 × 9.81 = 3300 N" in LESSON.text
    assert round(0.08 * 4200 * 9.81, -1) == 3300
    assert "4200 × 9.81 × (0.0523 + 0.08 × 0.9986) = 5450 N" in LESSON.text
    assert round(4200 * 9.81 * (0.0523 + 0.08 * 0.9986), -1) == 5450
    assert "3100 × 9.81 × (0.475 − 0.035) = 13 400 N" in LESSON.text
    assert round(3100 * 9.81 * (0.475 - 0.035), -2) == 13_400
    assert "0.60 × 0.65 × 41.2 = 16.1 kN" in LESSON.text
    assert round(0.60 * 0.65 * 41.2, 1) == 16.1


def test_the_worked_examples_print_what_the_text_says():
    printed = LESSON.printed()
    assert printed == ["3.30 kN", "41.2 kN", "5.45 kN", "13.4 kN", "16.1 kN"]
    assert all(f"{number} (" in LESSON.text for number in printed)
