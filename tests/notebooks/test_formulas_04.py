"""Lesson 04: its formulas are what the library reckons, and its numbers come from the library.

Each formula stands here twice, as the lesson prints it and as Python; both are checked.
"""

import re

import numpy as np
import pytest
from helpers.lesson_text import LessonText
from helpers.source_tables import DesignFactor
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import Q, Rating, read_quantity
from recoverykit.lessons import StampsPanel
from recoverykit.lessons.stamps.panel import RIGGED
from recoverykit.physics.rigging import BREAKING_STRENGTH, WORKING_LOAD_LIMIT, factor, leg_tension
from recoverykit.tables.records import find

LESSON = LessonText("04")
TEXT = LESSON.text

forces = st.floats(1e2, 1e6)
factors = st.floats(1, 20, exclude_min=True)
angles = st.floats(0, 60)

# As printed, as Python (w is F_w or T, a the angle), and as the library has it.
FORMULAS = {
    r"F_b = n\,F_w": (
        lambda w, n, a: n * w,
        lambda w, n, a: Rating(Q(w, "N"), WORKING_LOAD_LIMIT, n).breaking_strength.m_as("N"),
    ),
    r"F_{leg} = \frac{T}{2\cos\theta}": (
        lambda w, n, a: w / (2 * np.cos(np.radians(a))),
        lambda w, n, a: leg_tension(Q(w, "N"), Q(a, "degree")).m_as("N"),
    ),
}


def test_these_are_the_formulas_of_the_lesson():
    assert LESSON.formulas == list(FORMULAS)


@pytest.mark.parametrize("printed", FORMULAS)
@given(w=forces, n=factors, a=angles)
def test_a_formula_is_what_the_library_computes(printed, w, n, a):
    formula, library = FORMULAS[printed]
    assert formula(w, n, a) == pytest.approx(library(w, n, a), rel=1e-9)


# --- numbers in the text ----------------------------------------------------------------

START = StampsPanel().result
BOW, SOFT = START.a.link, START.b.link
LEG = leg_tension(Q(30, "kN"), Q(45, "degree"))


@pytest.mark.parametrize(
    ("sentence", "quantity"),
    [
        ("30,000 lbf, which is {metric}.", SOFT.breaking_strength),
        ("= 133 / 5 = {metric} ({us})", SOFT.working_load_limit),
        ("which is {metric} ({us}). It breaks at", BOW.working_load_limit),
        ("= 5 × 28.9 = {metric} ({us})", BOW.breaking_strength),
        ("2000 lb | {metric} ({us})", read_quantity("1 short ton", "force").quantity),
        ("1000 kg | {metric} ({us})", read_quantity("1 tonne", "force").quantity),
        ("2240 lb | {metric} ({us})", read_quantity("1 long ton", "force").quantity),
        ("= 30 / (2 × 0.707) = {metric} ({us})", LEG),
    ],
)
def test_a_number_of_the_text_in_both_systems(sentence, quantity):
    assert LESSON.says(sentence, quantity, "force")


def test_the_chains_of_numbers_in_the_examples():
    assert round(133 / 5, 1) == pytest.approx(26.7, abs=0.11)  # 133 is rounded
    assert round(30 / (2 * 0.707), 1) == 21.2
    assert "keeps 0.60 × 0.85 = 51 %" in TEXT
    assert factor("bowline").value * factor("wet").value == pytest.approx(0.51)


@pytest.mark.parametrize(
    ("row", "part"),
    [
        ("shackle, American standard | 5 or more", "shackle up to 150 tons"),
        (
            "web sling or roundsling, American standard | 5",
            "web sling or roundsling, American standard",
        ),
        (
            "web sling or roundsling, European standard | 7",
            "web sling or roundsling, European standard",
        ),
        ("synthetic mooring line | 3", "synthetic mooring line"),
    ],
)
def test_the_table_of_design_factors(row, part):
    assert f"| {row} |" in TEXT
    assert find(DesignFactor, part=part).design_factor == int(re.search(r"\| (\d)", row)[1])


@pytest.mark.parametrize(
    ("row", "name"),
    [
        ("choked (webbing, roundsling)", "choked"),
        ("rope with an eye splice", "eye splice"),
        ("rope tied with a bowline", "bowline"),
        ("wet polyamide (nylon) rope", "wet"),
        ("shackle pulled 45° sideways", "shackle pulled 45° sideways"),
        ("shackle pulled 90° sideways", "shackle pulled 90° sideways"),
    ],
)
def test_the_table_of_what_is_left(row, name):
    assert f"| {row} | {100 * factor(name).value:.0f} % |" in TEXT


def test_the_table_of_legs():
    head, row = re.search(
        r"\| angle off the pull(.+)\n.+\n\| pull in each leg(.+)\n", TEXT
    ).groups()
    angles = [int(angle) for angle in re.findall(r"(\d+)°", head)]
    shares = re.findall(r"([\d.]+) T", row)
    assert len(angles) == len(shares) == 4
    for angle, share in zip(angles, shares, strict=True):
        assert leg_tension(Q(1, "kN"), Q(angle, "degree")).m_as("kN") == pytest.approx(
            float(share), abs=0.005
        )


def test_a_short_ton_and_a_tonne_differ_by_a_tenth():
    assert "A short ton and a tonne differ by a tenth" in TEXT
    assert (Q(1, "force_metric_ton") / Q(1, "force_ton")).m_as("") == pytest.approx(1.1, abs=0.005)


def test_old_lines_held_a_quarter_to_a_half():
    # Practical Sailor, December 2007, as tabled (seen): 25 to 51 %.
    assert "broke at a quarter to a half" in TEXT
    assert factor("weathered").value == 0.25


# --- what is tried ----------------------------------------------------------------------


def test_what_is_tried_comes_out():
    panel = StampsPanel()
    assert panel.result.stronger("working_load_limit") == "A"
    assert panel.result.b.number > panel.result.a.number
    panel.set(b_factor="not stated")
    assert panel.result.stronger("working_load_limit") is None
    assert panel.result.stronger("breaking_strength") == "A"
    panel.reset()
    strengths = {}
    for rigged in RIGGED:
        panel.set(b_rigged=rigged)
        strengths[rigged] = panel.result.b.link.breaking_strength.m_as("kN")
    straight = strengths["straight, as stamped"]
    assert min(strengths, key=strengths.get) == "a shackle pulled 90° sideways"
    assert [rigged for rigged in RIGGED if strengths[rigged] > 1.001 * straight] == [
        "a pair, as a bridle 30° off the pull"
    ]


def test_the_worked_examples_print_what_the_text_says():
    assert LESSON.printed() == ["26.7 kN 28.9 kN", "133 kN 145 kN", "21.2 kN"]


def test_the_word_of_the_panel_for_a_breaking_strength_is_explained():
    assert f"**{BREAKING_STRENGTH}**" in TEXT
    assert f"**{WORKING_LOAD_LIMIT}**" in TEXT
