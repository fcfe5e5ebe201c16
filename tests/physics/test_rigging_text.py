"""A line as people write it: what is read, what is refused, and with which sentence."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import InputError, Q
from recoverykit.physics.rigging import (
    BREAKING_STRENGTH,
    WORKING_LOAD_LIMIT,
    Link,
    Rating,
    RiggingLine,
    demo_line,
    factor,
)
from recoverykit.physics.rigging_text import (
    EXAMPLE,
    MOST_PARTS,
    missing_from,
    read_line,
    rope_link,
    rope_of,
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
        ("breaking-strength 80 kN", Q(80, "kN"), BREAKING_STRENGTH, None),
        ("breaking load 80 kN", Q(80, "kN"), BREAKING_STRENGTH, None),
        ("30 k lb MBS, FOS 5", Q(30_000, "lbf"), BREAKING_STRENGTH, 5),
        ("9.5 klbs, WLL, SF: 4", Q(9500, "lbf"), WORKING_LOAD_LIMIT, 4),
        ("20 kN, WLL, factor of safety 5:1", Q(20, "kN"), WORKING_LOAD_LIMIT, 5),
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
        ("2 legs, 60 deg", [("two legs at 60°", 1.0)]),
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


# --- what a name says -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "factors"),
    [
        ("wet strap: 20 kN, WLL", [("wet", 0.85)]),
        ("Wet strap: 20 kN, WLL, wet", [("wet", 0.85)]),  # once, though said twice
        ("strap (bowline, wet): 20 kN, WLL", [("bowline", 0.6), ("wet", 0.85)]),
        ("strap, eye-splice: 20 kN, WLL, choked", [("choked", 0.8), ("eye splice", 0.95)]),
        ("strap_weathered: 20 kN, WLL", [("weathered", 0.25)]),
        ("bridle, two legs at 60°: 20 kN, WLL", [("two legs at 60°", 1.0)]),
    ],
)
def test_state_and_rigging_in_a_name_count_and_that_is_said(row, factors):
    link = link_of(row)
    assert sorted((each.name, round(each.value, 6)) for each in link.factors) == sorted(factors)
    assert link.name == row.partition(":")[0]
    assert f"the name of {link.name} says" in read_line(f"{row}\n{ROPE}").note


def test_a_rope_with_its_state_in_its_name_is_as_weak_as_one_with_it_behind_the_colon():
    said = read_line("rope (bowline, wet): 120 kN, breaking strength, factor 4").quantity
    written = read_line(f"{ROPE}, bowline, wet").quantity
    assert said.working_load_limit == written.working_load_limit
    assert said.working_load_limit.m_as("kN") == pytest.approx(30 * 0.6 * 0.85)


def test_basis_and_factor_in_a_name_count():
    rating = link_of("eye (MBS, factor 2): 80 kN").rating
    assert (rating.basis, rating.design_factor) == (BREAKING_STRENGTH, 2)
    assert link_of("unrated hook: no stamp").rating is None


@pytest.mark.parametrize(
    "name",
    [
        *("worn strap", "Frayed strap", "knotted strap", "strap (old)", "used strap", "damp strap"),
        *(
            "two legs",
            "two-leg bridle",
            "long splice strap",
            "strap pulled sideways",
            "3 to 1 line",
        ),
    ],
)
def test_a_state_without_a_figure_is_refused(name):
    fault = fault_of(f"{name}: 20 kN, WLL\n{ROPE}")
    assert fault.startswith(f"Row 1, {name}: the name says")
    assert "the course has no number for that" in fault


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("100 kN hook: 90 kN, WLL", 'the name says "100 kN", but 90.0 kN comes after it'),
        ("9,500 lb hook: no stamp", 'the name says "9,500 lb", but no stamp comes after it'),
        ("5 t hook: 5 tonnes, WLL", "'t' can mean three things"),
        ("unrated hook: 90 kN, WLL", "can't have a stamp and none"),
        ("hook (factor 5): 90 kN, WLL, factor 4", "there is more than one stamp"),
        ("hook WLL: 90 kN, breaking strength", "there is more than one stamp"),
    ],
)
def test_a_name_that_contradicts_the_stamp_is_refused(row, says):
    assert says in fault_of(f"{row}\n{ROPE}")


@pytest.mark.parametrize(
    "name",
    [
        *(
            "3/4 inch shackle",
            "hook no. 2",
            "double braid strap",
            "tow eye of the van",
            "wetland eye",
        ),
        *("100 kN hook", "eye 22 mm"),
    ],
)
def test_other_words_and_sizes_in_a_name_are_only_a_name(name):
    link = link_of(f"{name}: 100 kN, WLL")
    assert link.factors == ()
    assert link.working_load_limit == Q(100, "kN")


# --- what the rope's row says of its length ---------------------------------------------


@pytest.mark.parametrize(
    ("row", "length", "stretch"),
    [
        ("rope: 120 kN, MBS, factor 4", None, None),
        ("rope: 120 kN, MBS, factor 4, 30 ft", Q(30, "ft"), None),
        ("30 ft rope: 120 kN, MBS, factor 4", Q(30, "ft"), None),
        ("30-foot rope: 120 kN, MBS, factor 4", Q(30, "ft"), None),
        ("rope 7/8 in x 30': 120 kN, MBS, factor 4", Q(30, "ft"), None),
        ("rope, 22 mm, 9.5m: 120 kN, MBS 4:1", Q(9.5, "m"), None),
        ("rope, 9 m: 120 kN, MBS 4:1, 9 m, stretch 25 %", Q(9, "m"), Q(25, "percent")),
        ("rope, 25 % stretch: 30 000 lbf MBS 4:1", None, Q(25, "percent")),
        ("rope: 120 kN, MBS 4:1, 25 % stretch at break, 9 m", Q(9, "m"), Q(25, "percent")),
    ],
)
def test_length_and_stretch_in_the_row_of_the_rope(row, length, stretch):
    reading = read_line(row)
    assert (reading.rope_length, reading.stretch) == (length, stretch)
    assert reading.quantity.links[0].rating.design_factor == 4


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("30 ft rope: 120 kN, MBS, 4:1, 36 ft", 'more than one length: "30 ft" and "36 ft"'),
        ("rope 30 %: 120 kN, MBS, 4:1, 20 %", 'more than one stretch: "30 %" and "20 %"'),
        ("10 yd rope: 120 kN, MBS, 4:1", "the unit 'yd' is not known"),
        ("100 kN rope: 120 kN, MBS, 4:1", 'the name says "100 kN", but 120 kN comes after it'),
    ],
)
def test_a_row_of_the_rope_that_contradicts_itself_is_refused(row, says):
    assert says in fault_of(row)


# --- a whole line -----------------------------------------------------------------------


def test_the_lines_of_the_yard_are_whole():
    assert missing_from(demo_line()) == ""
    assert missing_from(demo_line("line over a tow ball")) == ""


@pytest.mark.parametrize(
    ("names", "lacks"),
    [
        (["rope"], ["recovery vehicle", "stuck vehicle"]),
        (["eye", "rope"], ["stuck vehicle"]),
        (["rope", "eye"], ["recovery vehicle"]),
        (["bow shackle", "rope", "soft shackles"], ["recovery vehicle", "stuck vehicle"]),
        (["hook", "rope", "tow strap"], ["stuck vehicle"]),
        (["hook", "wire rope", "front eye"], ["polyamide"]),
        (["hook", "bow shackle", "yard rope", "bridle", "eyes"], []),
    ],
)
def test_a_line_needs_a_point_of_each_vehicle_and_what_stretches(names, lacks):
    said = missing_from(RiggingLine([Link(name) for name in names]))
    assert bool(said) == bool(lacks)
    for word in ("recovery vehicle", "stuck vehicle", "polyamide"):
        assert (word in said) == (word in lacks)


def test_empty_rows_do_not_count():
    assert len(read_line(f"\n\n{ROPE}\n  \nhook: no stamp\n").quantity.links) == 2


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("hook 4 kN WLL", "Row 1: write the name of a part, a colon and its stamp"),
        (": 4 kN WLL", "write the name of a part"),
        ("hook:", "Row 1, hook: the force is missing"),
        ("hook: 4 kN", 'nothing says what the force is; write "WLL" or "breaking strength"'),
        ("hook: WLL", "the force is missing"),
        (
            "hook: 4 tons, WLL",
            "'tons' can mean three things: ask the maker; if you must, take short tons",
        ),
        ("hook: 4, WLL", "the unit is missing"),
        ("hook: 4 bananas, WLL", "the unit 'bananas' is not known for a force"),
        ("hook: 4 m, WLL", "'m' is a unit of length, not of force"),
        ("hook: -4 kN, WLL", "is negative"),
        ("hook: 0 kN, WLL", "0 is no stamp"),
        ("hook: 4 kN, WLL, 16 kN, breaking strength", "there is more than one stamp"),
        ("hook: 4 kN, WLL, factor 5, factor 4", "there is more than one stamp"),
        ("hook: 4 kN, WLL, factor 0.5", "a design factor is above 1 and at most 20, not 0.5"),
        ("rope: 20 kN, breaking strength, factor 1", "is above 1 and at most 20, not 1"),
        ("hook: 4 kN, WLL, factor 5.5.5", "cannot be read"),
        ("hook: no stamp, WLL", "can't have a stamp and none"),
        ("hook: no stamp, factor 5", "can't have a stamp and none"),
        ("hook: no stamp, 4 kN", "can't have a stamp and none"),
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
    assert fault_of(text).startswith("There's nothing here yet; write each part in its own row")


def test_no_more_parts_than_a_card_has_room_for():
    hooks = "\n".join(f"hook {number}: no stamp" for number in range(MOST_PARTS))
    assert f"That's {MOST_PARTS + 1} parts" in fault_of(f"{hooks}\n{ROPE}")


@given(st.text(max_size=200))
def test_whatever_is_typed_is_read_or_answered_with_a_sentence(text):
    with contextlib.suppress(InputError):
        assert rope_link(read_line(text).quantity)


# --- the rope ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("names", "says"),
    [
        (["strap"], "there is none"),
        (["ropes"], "there is none"),
        (["yard rope", "Rope shackle"], "there is more than one: yard rope, Rope shackle"),
    ],
)
def test_one_part_is_the_rope(names, says):
    with pytest.raises(InputError, match=says):
        rope_link(RiggingLine([Link(name) for name in names]))


@pytest.mark.parametrize(
    "rigged",
    [
        "two legs at 30°",
        "two legs at 60°",
        "two legs at 0°, weathered",  # half of one leg, all in all
        "basket with legs 45 to 60° off the pull",  # as strong as one leg, but not as stiff
    ],
)
def test_a_rope_of_two_legs_is_refused(rigged):
    assert "shares its load over two legs" in fault_of(f"rope: 4 kN, WLL, {rigged}")


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
