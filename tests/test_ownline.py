"""A line as people write it: what is read, what is refused, and with which sentence."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import InputError, Q
from recoverykit.ownline import EXAMPLE, MOST_PARTS, read_line, rope_link, rope_of
from recoverykit.rigging import (
    BREAKING_STRENGTH,
    WORKING_LOAD_LIMIT,
    Link,
    Rating,
    RiggingLine,
    demo_line,
    factor,
)

ROPE = "rope: 120 kN, breaking strength, factor 4"


def link_of(row):
    """The part that a row is read as, beside a rope."""
    (link,) = (link for link in read_line(f"{row}\n{ROPE}").quantity.links if link.name != "rope")
    return link


def fault_of(text):
    with pytest.raises(InputError) as error:
        read_line(text)
    return str(error.value)


def test_the_example_is_the_yard_line():
    assert read_line(EXAMPLE).quantity == demo_line()


@pytest.mark.parametrize(
    ("said", "force", "basis", "design_factor"),
    [
        ("4 3/4 short tons, WLL, factor 5", Q(9500, "lbf"), WORKING_LOAD_LIMIT, 5),
        ("WLL 9,500 lbf 5:1", Q(9500, "lbf"), WORKING_LOAD_LIMIT, 5),
        ("9500 lb; working load limit; design factor of 5", Q(9500, "lbf"), WORKING_LOAD_LIMIT, 5),
        ("swl 2 tonnes", Q(2, "force_metric_ton"), WORKING_LOAD_LIMIT, None),
        ("2,5 kN, MBS, 5 to 1", Q(2.5, "kN"), BREAKING_STRENGTH, 5),
        ("30 000 lbf MBL factor 3.5", Q(30_000, "lbf"), BREAKING_STRENGTH, 3.5),
        ("Minimum Breaking Strength 80 kN, Factor 4:1", Q(80, "kN"), BREAKING_STRENGTH, 4),
        ("breaking load 80 kN", Q(80, "kN"), BREAKING_STRENGTH, None),
    ],
)
def test_stamps_as_people_write_them(said, force, basis, design_factor):
    rating = link_of(f"bow shackle: {said}").rating
    assert rating.value.m_as("N") == pytest.approx(force.m_as("N"))
    assert (rating.basis, rating.design_factor) == (basis, design_factor)


@pytest.mark.parametrize("said", ["no stamp", "unrated", "Not stamped.", "unknown"])
def test_a_part_without_a_stamp_is_unrated(said):
    assert link_of(f"found hook: {said.rstrip('.')}").rating is None


@pytest.mark.parametrize(
    ("said", "factors"),
    [
        ("choked", [("choked", 0.8)]),
        ("bowline, wet", [("bowline", 0.6), ("wet", 0.85)]),
        ("Eye splice", [("eye splice", 0.95)]),
        ("shackle pulled 45° sideways", [("shackle pulled 45° sideways", 0.7)]),
        ("two legs at 60°", [("two legs at 60°", 1.0)]),
        ("two legs 0 degrees, choked", [("two legs at 0°", 2.0), ("choked", 0.8)]),
    ],
)
def test_how_a_part_is_rigged(said, factors):
    link = link_of(f"strap: 20 kN, WLL, factor 7, {said}")
    assert [(each.name, round(each.value, 6)) for each in link.factors] == factors
    assert link.rating.design_factor == 7


def test_a_note_says_in_which_sense_a_stamp_was_taken():
    assert "pounds-force" in read_line(f"{ROPE}\nhook: 9500 lb, WLL").note
    assert read_line(ROPE).note == ""


def test_empty_rows_do_not_count():
    assert len(read_line(f"\n\n{ROPE}\n  \nhook: no stamp\n").quantity.links) == 2


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("hook 4 kN WLL", "Row 1: write the name of a part, a colon and its stamp"),
        (": 4 kN WLL", "write the name of a part"),
        ("hook:", "Row 1, hook: the force is missing"),
        ("hook: 4 kN", 'what the force means is missing; write "WLL" or "breaking strength"'),
        ("hook: WLL", "the force is missing"),
        ("hook: 4 tons, WLL", "a bare 'tons' can mean short tons (35.6 kN) or tonnes (39.2 kN)"),
        ("hook: 4, WLL", "the unit is missing"),
        ("hook: 4 bananas, WLL", "the unit 'bananas' is not known for a force"),
        ("hook: 4 m, WLL", "'m' is a unit of length, not of force"),
        ("hook: -4 kN, WLL", "is negative"),
        ("hook: 0 kN, WLL", "a stamp of 0 is none"),
        ("hook: 4 kN, WLL, 16 kN, breaking strength", "more than one stamp came"),
        ("hook: 4 kN, WLL, factor 5, factor 4", "more than one stamp came"),
        ("hook: 4 kN, WLL, factor 0.5", "a design factor is from 1 to 20, and 0.5 came"),
        ("hook: 4 kN, WLL, factor 5.5.5", "cannot be read"),
        ("hook: no stamp, WLL", "has a stamp or has none"),
        ("hook: no stamp, 4 kN", "has a stamp or has none"),
        ("hook: 4 kN, WLL, two legs at 75°", "legs at 75° are spread too far"),
        (f"{'h' * 41}: 4 kN, WLL", "the name has 41 letters; write at most 40"),
        (f"hook: {'4' * 200}", "206 letters"),
        ("hook: 4 kN, WLL, shiny", "is not known for a force"),
    ],
)
def test_a_row_that_cannot_be_read_is_named(row, says):
    fault = fault_of(f"{row}\n{ROPE}")
    assert says in fault
    assert fault.startswith("Row 1")
    assert fault.endswith(".")


def test_all_faults_are_named_at_once():
    fault = fault_of("a: 4 kN\nb: no stamp\nc: 4 tons, WLL")
    assert [row.partition(":")[0] for row in fault.splitlines()] == ["Row 1, a", "Row 3, c"]


@pytest.mark.parametrize("text", ["", "\n \n"])
def test_nothing_is_no_line(text):
    assert fault_of(text).startswith("Nothing is written; write each part in a row")


def test_no_more_parts_than_a_card_has_room_for():
    hooks = "\n".join(f"hook {number}: no stamp" for number in range(MOST_PARTS))
    assert f"These are {MOST_PARTS + 1} parts" in fault_of(f"{hooks}\n{ROPE}")


@given(st.text(max_size=200))
def test_whatever_is_typed_is_read_or_answered_with_a_sentence(text):
    with contextlib.suppress(InputError):
        assert rope_link(read_line(text).quantity)


# --- the rope ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("names", "says"),
    [
        (["strap"], "none is called so"),
        (["ropes"], "none is called so"),
        (["yard rope", "Rope shackle"], "these are called so: yard rope, Rope shackle"),
    ],
)
def test_one_part_is_the_rope(names, says):
    with pytest.raises(InputError, match=says):
        rope_link(RiggingLine([Link(name) for name in names]))


def test_a_rope_of_two_legs_is_refused():
    assert "shares its load over two legs" in fault_of("rope: 4 kN, WLL, two legs at 30°")


def test_the_rope_is_as_strong_as_the_line_says():
    knotted = read_line("rope: 30 kN, WLL, factor 4, bowline, wet").quantity
    rope = rope_of(knotted, Q(9, "m"), Q(30, "percent"))
    assert rope.breaking_strength.m_as("kN") == pytest.approx(120)
    assert rope.parting_tension.m_as("kN") == pytest.approx(120 * 0.6 * 0.85)
    assert rope.stiffness.m_as("kN/m") == pytest.approx(120 / 2.7)  # the knot does not soften it
    assert rope.parting_tension >= knotted.working_load_limit


@pytest.mark.parametrize("rating", [None, Rating(Q(30, "kN"), WORKING_LOAD_LIMIT)])
def test_a_rope_of_no_known_strength_is_none(rating):
    line = RiggingLine([Link("rope", rating, [factor("wet")])])
    assert rope_of(line, Q(9, "m"), Q(30, "percent")) is None
