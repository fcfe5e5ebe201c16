"""Lesson 09: its formulas are what the library reckons, and its numbers come from the library."""

import numpy as np
import pytest
from helpers.lesson_text import LessonText
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import Q, Rope, show
from recoverykit.lessons import LettingGoPanel
from recoverykit.lessons.bank import find_guess
from recoverykit.physics.recoil import (
    CAUTION,
    MAY_PART,
    NOT_ALONE,
    PARTS,
    EnergyRow,
    LetGo,
    PartedLineRow,
    keep_clear,
)
from recoverykit.physics.rigging import demo_line
from recoverykit.physics.rope import demo_rope
from recoverykit.tables.records import table
from recoverykit.units.quantities import METRIC, US

LESSON = LessonText("09")

pulls = st.floats(1e3, 1e5)
stiffnesses = st.floats(1e4, 1e6)
pieces = st.floats(0.1, 20)
ropes = st.floats(0.1, 30)
lengths = st.floats(0.3, 10)
stretches = st.floats(0.01, 0.5)


def straight(stiffness):
    return Rope(Q(1000, "m"), Q(stiffness * 1000, "N"), stretch_at_break=1.0)


def tether(strength, stretch, length):
    return Rope(Q(length, "m"), Q(strength, "N"), stretch)


def let_go(pull, stiffness, piece, rope):
    return LetGo(straight(stiffness), Q(pull, "N"), Q(piece, "kg"), Q(rope, "kg"))


# As printed, as Python, and as the library has it.
FORMULAS = {
    r"E = \frac{F^2}{2\,k}": (
        lambda f, k, m, rope, e, length: f**2 / (2 * k),
        lambda f, k, m, rope, e, length: let_go(f, k, m, rope).energy.m_as("J"),
    ),
    r"v = \sqrt{\frac{2\,E}{m}}": (
        lambda f, k, m, rope, e, length: np.sqrt(2 * (f**2 / (2 * k)) / m),
        lambda f, k, m, rope, e, length: let_go(f, k, m, rope).most_speed.m_as("m/s"),
    ),
    r"v = \frac{F}{\sqrt{k\,M}}\,\left(1 - e^{-2\,M/m}\right)": (
        lambda f, k, m, rope, e, length: (
            f / np.sqrt(k * rope) * (1 - np.exp(-2 * rope / up_to(1.59 * rope, m)))
        ),
        lambda f, k, m, rope, e, length: let_go(f, k, up_to(1.59 * rope, m), rope).least_speed.m_as(
            "m/s"
        ),
    ),
    r"E = \tfrac{1}{2}\,F_b\,e\,L": (
        lambda f, k, m, rope, e, length: f * e * length / 2,
        lambda f, k, m, rope, e, length: energy_at_break(tether(f, e, length)).m_as("J"),
    ),
}


def up_to(most, mass):
    """The lesson gives the formula for pieces up to 1.6 times as heavy as the rope."""
    return min(mass, most)


def energy_at_break(rope):
    return rope.stored_energy(rope.extension_at_break)


def test_these_are_the_formulas_of_the_lesson():
    assert LESSON.formulas == list(FORMULAS)


@pytest.mark.parametrize("printed", FORMULAS)
@given(f=pulls, k=stiffnesses, m=pieces, rope=ropes, e=stretches, length=lengths)
def test_a_formula_is_what_the_library_computes(printed, f, k, m, rope, e, length):
    formula, library = FORMULAS[printed]
    numbers = (f, k, m, rope, e, length)
    assert formula(*numbers) == pytest.approx(library(*numbers), rel=1e-6)


def test_twice_the_pull_is_four_times_the_energy():
    assert "Twice the pull is four times the energy" in LESSON.text
    assert "Half the pull holds a quarter" in LESSON.text
    ratio = let_go(2e4, 5e4, 1, 5).energy / let_go(1e4, 5e4, 1, 5).energy
    assert ratio.m_as("") == pytest.approx(4)


# --- numbers in the text ----------------------------------------------------------------

PANEL = LettingGoPanel()
START = PANEL.result
ROPE = demo_rope()
PULL = Q(20, "kN")
WINCH_LINE = Rope(ROPE.length, ROPE.breaking_strength, demo_rope("winch line").stretch_at_break)


@pytest.mark.parametrize(
    ("sentence", "quantity", "kind"),
    [
        ("20² / (2 × 50) = {metric} ({us})", START.let_go.energy, "energy"),
        (
            "holds {metric} ({us}) at 20 kN, the yard rope 4.00 kJ",
            WINCH_LINE.stored_energy(WINCH_LINE.extension(PULL)),
            "energy",
        ),
        ("= 100 m/s, or {metric} ({us})", START.let_go.most_speed, "speed"),
        ("= 38.1 m/s, or {metric} ({us})", START.let_go.least_speed, "speed"),
        ("½ × 45 × 0.12 = {metric} ({us})", START.catch.can_absorb, "energy"),
        ("must absorb at least {metric} ({us}), if", START.catch.least_to_absorb, "energy"),
    ],
)
def test_a_number_of_the_text_in_both_systems(sentence, quantity, kind):
    assert LESSON.says(sentence, quantity, kind)


@pytest.mark.parametrize(
    ("name", "mass"), [("soft shackle", 0.2), ("bow shackle", 0.8), ("recovery point", 3)]
)
def test_the_table_of_pieces(name, mass):
    piece = LetGo(ROPE, PULL, Q(mass, "kg"), Q(5.5, "kg"))
    slow, fast, energy = (
        f"{show(quantity, kind, METRIC)} ({show(quantity, kind, US)})"
        for quantity, kind in (
            (piece.least_speed, "speed"),
            (piece.most_speed, "speed"),
            (piece.least_energy, "energy"),
        )
    )
    pounds = f"{Q(mass, 'kg').m_as('lb'):.1f}"
    assert f"| {name}, {mass:g} kg ({pounds} lb) | {slow} | {fast} | {energy} |" in LESSON.text
    assert piece.least_energy > Q(79, "J")
    assert piece.energy.m_as("kJ") == pytest.approx(4)


def test_the_table_of_the_yard_line():
    links = sorted(demo_line().links, key=lambda link: link.breaking_strength)
    rows = [line for line in LESSON.text.splitlines() if "(steel) |" in line or "(fiber) |" in line]
    assert len(rows) == len(links)
    for row, link in zip(rows, links, strict=True):
        metric, us = (show(link.breaking_strength, "force", system) for system in (METRIC, US))
        assert row.startswith(f"| {link.name} (")
        assert row.endswith(f"| {metric.replace('.0 kN', ' kN')} ({us}) |")
    assert "(steel)" in rows[0]
    assert "(fiber)" in rows[-1]


def test_what_the_text_says_of_the_tether():
    assert "It can absorb 2.70 kJ: **it may part" in LESSON.text
    assert START.catch.verdict == MAY_PART
    assert PANEL.values["tether_strength"] > 2 * PULL
    assert PANEL.values["tether_slack"] == Q(50, "percent")
    assert "slack for half of its length" in LESSON.text
    assert "At 60 kN (13,500 lbf) it parts" in LESSON.text
    assert "At 15 kN (3,370 lbf) this energy alone" in LESSON.text
    panel = LettingGoPanel()
    for metric, us, verdict in ((60, 13500, PARTS), (15, 3370, NOT_ALONE)):
        for pull in (Q(metric, "kN"), Q(us, "lbf")):
            panel.set(tension=pull)
            assert panel.result.catch.verdict == verdict


def test_what_the_learner_finds_in_the_panel():
    panel = LettingGoPanel()
    panel.set(tether_length=2 * panel.values["tether_length"])
    assert panel.result.catch.verdict == NOT_ALONE
    panel.reset()
    panel.set(tether_strength=Q(90, "kN"), tether_stretch=Q(2, "percent"))
    assert panel.result.catch.verdict == MAY_PART
    assert panel.result.catch.can_absorb < PANEL.result.catch.can_absorb


def test_published_figures():
    assert "79 J (58 ft·lbf)" in LESSON.text
    assert table(EnergyRow)[0].joules == 79
    assert round(Q(79, "J").m_as("ft*lbf")) == 58
    assert "up to 800 km/h (500 mph)" in LESSON.text
    assert Q(800, "km/h") in [row.fastest for row in table(PartedLineRow)]


def test_the_guess_is_about_the_case_that_the_panel_starts_with():
    numbers, start = find_guess("09.guess").numbers(seed=0), PANEL.values
    for name in ("tension", "piece", "tether_length", "tether_strength", "tether_slack"):
        assert getattr(numbers, name) == start[name]


def test_the_chain_of_numbers():
    assert "√(2 × 4000 / 0.8) = 100 m/s" in LESSON.text
    assert np.sqrt(2 * 4000 / 0.8) == 100
    assert "20,000 / √(50,000 × 5.5) = 38.1 m/s" in LESSON.text
    assert round(20_000 / np.sqrt(50_000 * 5.5), 1) == 38.1
    assert 1 - np.exp(-2 * 5.5 / 0.8) == pytest.approx(1, abs=1e-5)


def test_the_worked_examples_print_what_the_text_says():
    held, words, most, least, can, rule = LESSON.printed()
    assert (held, most, least, can) == ("4.00 kJ", "360 km/h", "137 km/h", "2.70 kJ")
    assert all(f"{number} (" in LESSON.text for number in (held, most, least, can))
    assert "hazardous" in words
    assert rule == keep_clear(ROPE.length)


# --- cautions ---------------------------------------------------------------------------


def test_the_caution_stands_at_the_top_in_full():
    top = LESSON.text.partition("**After this lesson**")[0]
    for part in ("line of pull", "no distance is enough", "A tether", "not touched", "local rules"):
        assert part in top


def test_no_distance_is_given_as_enough():
    assert "take the rule as the least, and never as enough" in LESSON.text
    assert "No distance" in CAUTION
