"""Lesson 05: its formulas are what the library reckons, and its numbers come from the library.

Each formula stands here twice, as the lesson prints it and as Python; both are checked.
"""

import re

import pytest
from helpers.lesson_text import LessonText
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import Link, Q, Rating, RiggingLine, read_quantity
from recoverykit.lessons import WeakestLinkPanel
from recoverykit.lessons.bank import find_guess
from recoverykit.physics.rigging import (
    ABOVE,
    BREAKING_STRENGTH,
    WITHIN,
    WORKING_LOAD_LIMIT,
    demo_line,
)
from recoverykit.units.quantities import METRIC, US, show

LESSON = LessonText("05")
TEXT = LESSON.text

forces = st.floats(1e2, 1e6)


def line_of(limits):
    ratings = (Rating(Q(limit, "N"), WORKING_LOAD_LIMIT) for limit in limits)
    return RiggingLine(Link("part", rating) for rating in ratings)


# As printed, as Python, and as the library has it.
FORMULAS = {
    r"F_{line} = \min(F_1,\, F_2,\, F_3,\, \dots)": (
        lambda t, limits: min(limits),
        lambda t, limits: line_of(limits).working_load_limit.m_as("N"),
    ),
    r"u = \frac{T}{F_w}": (
        lambda t, limits: t / limits[0],
        lambda t, limits: line_of(limits).under(Q(t, "N"))[0].over_working_limit,
    ),
}


def test_these_are_the_formulas_of_the_lesson():
    assert LESSON.formulas == list(FORMULAS)


@pytest.mark.parametrize("printed", FORMULAS)
@given(t=forces, limits=st.lists(forces, min_size=1, max_size=6))
def test_a_formula_is_what_the_library_computes(printed, t, limits):
    formula, library = FORMULAS[printed]
    assert formula(t, limits) == pytest.approx(library(t, limits), rel=1e-9)


# --- numbers in the text ----------------------------------------------------------------

LINE = demo_line("yard line")


def link(name, **values):
    """A part of the panel's line, as rigged with these values."""
    panel = WeakestLinkPanel()
    panel.set(**values)
    (found,) = (part.link for part in panel.result.parts if part.link.name == name)
    return found


ROPE, EYE = "yard rope", "recovery eye of the stuck vehicle"


def test_the_table_of_stamps_is_that_of_the_line():
    rows = re.findall(r"^\| (\d) \| (.+?) \| (.+?), design factor (\d) \|$", TEXT, re.MULTILINE)
    assert [int(number) for number, *_ in rows] == [1, 2, 3, 4, 5]
    for (_, name, stamp, design_factor), part in zip(rows, LINE.links, strict=True):
        basis = next(b for b in (WORKING_LOAD_LIMIT, BREAKING_STRENGTH) if stamp.startswith(b))
        assert name == part.name
        assert basis == part.rating.basis
        assert float(design_factor) == part.rating.design_factor
        value = read_quantity(stamp.removeprefix(basis), "force").quantity
        assert value.m_as("N") == pytest.approx(part.rating.value.m_as("N"))


def test_the_guess_names_the_parts_of_the_line():
    for field in find_guess("05.guess").fields.values():
        assert list(field.options) == [part.name for part in LINE.links]


@pytest.mark.parametrize("part", LINE.links, ids=lambda part: part.name)
def test_the_table_on_one_basis(part):
    first = {
        "working_load_limit": LINE.first_past_working_limit,
        "breaking_strength": LINE.first_to_break,
    }
    cells = []
    for limit in first:
        value = getattr(part, limit)
        shown = f"{show(value, 'force', METRIC)} ({show(value, 'force', US)})"
        cells.append(f"**{shown}**" if first[limit] is part else shown)
    assert f"| {part.name} | {' | '.join(cells)} |" in TEXT


@pytest.mark.parametrize(
    ("sentence", "quantity"),
    [
        ("$F_{{line}}$ = {metric} ({us})", LINE.working_load_limit),
        ("At $T$ = {metric} ({us})", Q(28, "kN")),
        ("first, at {metric} ({us}). Nothing is to be seen", LINE.working_load_limit),
        ("It breaks first, at {metric} ({us})", LINE.first_to_break.breaking_strength),
        ("the bow shackle, at {metric} ({us})", link("bow shackle").working_load_limit),
        ("its limit falls from {metric} ({us})", link(ROPE).working_load_limit),
        ("to {metric} ({us}), and now", link(ROPE, knot=True).working_load_limit),
        ("as well, it has {metric} ({us})", link(ROPE, knot=True, wet=True).working_load_limit),
        (
            "the eyes come to their limit at {metric} ({us}) in the line",
            link(EYE, stuck_vehicle="bridle, legs 30° off the pull").working_load_limit,
        ),
        ("instead of {metric} ({us})", link(EYE).working_load_limit),
        (
            "comes first, at {metric} ({us})",
            link("bridle", stuck_vehicle="bridle, legs 60° off the pull").working_load_limit,
        ),
    ],
)
def test_a_number_of_the_text_in_both_systems(sentence, quantity):
    assert LESSON.says(sentence, quantity, "force")


def test_the_shares_in_the_example():
    loads = {load.link.name: load for load in LINE.under(Q(28, "kN"))}
    soft, bow = loads["soft shackle"], loads["bow shackle"]
    assert f"28 / 26.7 = {show(soft.over_working_limit, 'ratio')}" in TEXT
    assert f"28 / 28.9 = {bow.over_working_limit * 100:.0f} %" in TEXT
    assert "Four of five parts are within their limits." in TEXT
    assert sorted(load.verdict for load in loads.values()) == [ABOVE, *[WITHIN] * 4]


# --- what is tried ----------------------------------------------------------------------


@pytest.fixture
def panel():
    return WeakestLinkPanel()


def first(panel):
    return panel.result.line.first_past_working_limit.name


def test_first_past_its_limit_and_first_to_break_are_two_parts(panel):
    assert (first(panel), panel.result.line.first_to_break.name) == ("soft shackle", EYE)


def test_a_knot_and_a_wide_bridle_each_put_another_part_first(panel):
    panel.set(knot=True)
    assert first(panel) == ROPE
    panel.reset()
    panel.set(stuck_vehicle="bridle, legs 15° off the pull")
    assert first(panel) == "soft shackle"
    panel.set(stuck_vehicle="bridle, legs 60° off the pull")
    assert first(panel) == "bridle"


def test_no_change_on_the_panel_raises_the_limit_of_the_line(panel):
    start = panel.result.line.working_load_limit
    limits = [result.line.working_load_limit for result in panel.corners()]
    assert None in limits
    assert max(limit for limit in limits if limit is not None) <= start


def test_a_bow_shackle_of_twice_the_strength_changes_nothing():
    assert "A bow shackle of twice the strength changes nothing in this line" in TEXT
    bow = next(part for part in LINE.links if part.name == "bow shackle")
    stronger = Link(bow.name, Rating(2 * bow.rating.value, bow.rating.basis, 5))
    others = [part for part in LINE.links if part is not bow]
    assert RiggingLine([*others, stronger]).working_load_limit == LINE.working_load_limit


def test_the_worked_examples_print_what_the_text_says():
    limit, *parts, line = LESSON.printed()
    assert limit == "26.7 kN at the soft shackle"
    assert parts == [
        "recovery point of the launch truck 69.9 % within working limit",
        "bow shackle 96.8 % within working limit",
        "yard rope 67.9 % within working limit",
        "soft shackle 105 % above working limit",
        "recovery eye of the stuck vehicle 71.8 % within working limit",
    ]
    assert line == "the line: above working limit"
