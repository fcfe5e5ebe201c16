"""Rigging: ratings on one basis, the link that passes its limit first, and unrated links."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recoverykit import InputError, Link, Q, Rating, RiggingLine
from recoverykit.physics.rigging import (
    ABOVE,
    BREAKING,
    BREAKING_STRENGTH,
    UNKNOWN,
    WITHIN,
    WORKING_LOAD_LIMIT,
    Factor,
    RiggingFactor,
    bridle,
    demo_line,
    factor,
    leg_tension,
)
from recoverykit.physics.rope import StrengthFactor, demo_rope
from recoverykit.tables.marram_point import DemoLink
from recoverykit.tables.records import table

quick = settings(max_examples=80, deadline=None)

values = st.floats(0.5, 500).map(lambda x: Q(x, "kN"))
bases = st.sampled_from([WORKING_LOAD_LIMIT, BREAKING_STRENGTH])
factors = st.floats(1, 20, exclude_min=True)
ratings = st.builds(Rating, values, bases, factors | st.none())
rated = st.builds(Link, st.text(max_size=5), st.builds(Rating, values, bases, factors))
links = rated | st.builds(Link, st.text(max_size=5), ratings | st.none())
lines = st.lists(links, min_size=1, max_size=6).map(RiggingLine)


def kilonewtons(quantity):
    return None if quantity is None else quantity.m_as("kN")


# --- ratings ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rating", "limit", "strength"),
    [
        (Rating(Q(2, "force_ton"), WORKING_LOAD_LIMIT, 5), Q(4000, "lbf"), Q(20_000, "lbf")),
        (Rating(Q(120, "kN"), BREAKING_STRENGTH, 4), Q(30, "kN"), Q(120, "kN")),
        (Rating(Q(20, "kN"), WORKING_LOAD_LIMIT), Q(20, "kN"), None),
        (Rating(Q(20, "kN"), BREAKING_STRENGTH), None, Q(20, "kN")),
    ],
)
def test_ratings_by_hand(rating, limit, strength):
    found = kilonewtons(rating.working_load_limit), kilonewtons(rating.breaking_strength)
    assert found == pytest.approx((kilonewtons(limit), kilonewtons(strength)))


@given(values, bases, factors)
@quick
def test_strength_is_the_design_factor_times_the_limit(value, basis, factor):
    rating = Rating(value, basis, factor)
    assert kilonewtons(rating.breaking_strength) == pytest.approx(
        factor * kilonewtons(rating.working_load_limit)
    )
    assert rating.working_load_limit <= rating.breaking_strength * (1 + 1e-12)


@pytest.mark.parametrize(
    ("value", "basis", "factor", "fault"),
    [
        (Q(2, "tonne"), WORKING_LOAD_LIMIT, 5, "value: 2 t is not a force"),
        (Q(0, "kN"), WORKING_LOAD_LIMIT, 5, "value: 0 kN is not above 0"),
        (Q([1, 2], "kN"), WORKING_LOAD_LIMIT, 5, "value: [1 2] kN is a list"),
        (Q(20, "kN"), "WLL", 5, "basis: 'WLL' is neither"),
        (Q(20, "kN"), None, 5, "basis: None is neither"),
        (Q(20, "kN"), ["working load limit"], 5, "is neither"),
        (Q(20, "kN"), WORKING_LOAD_LIMIT, 0.5, "design_factor: 0.5 is not a number above 1"),
        (Q(20, "kN"), BREAKING_STRENGTH, 1, "design_factor: 1 is not a number above 1, at most 20"),
        (Q(20, "kN"), WORKING_LOAD_LIMIT, 21, "design_factor: 21 is not"),
        (Q(20, "kN"), WORKING_LOAD_LIMIT, math.nan, "design_factor: nan is not"),
        (Q(20, "kN"), WORKING_LOAD_LIMIT, "5:1", "design_factor: '5:1' is not"),
        (Q(20, "kN"), WORKING_LOAD_LIMIT, True, "design_factor: True is not"),
        (Q(20, "kN"), WORKING_LOAD_LIMIT, 0, "design_factor: 0 is not"),
    ],
)
def test_bad_ratings_are_refused(value, basis, factor, fault):
    with pytest.raises(InputError) as error:
        Rating(value, basis, factor)
    assert str(error.value).startswith("Rating:\n  ")
    assert fault in str(error.value)
    assert "write" in str(error.value)


def test_all_faults_of_a_rating_are_named_at_once():
    with pytest.raises(InputError) as error:
        Rating(Q(2, "tonne"), "strength", 50)
    names = [line.split(":")[0] for line in str(error.value).splitlines()[1:]]
    assert names == ["  value", "  basis", "  design_factor"]


@pytest.mark.parametrize("factor", [2, 20, 4.5, np.int64(5), np.float64(5)])
def test_design_factors_of_any_number_type_will_do(factor):
    assert Rating(Q(1, "kN"), WORKING_LOAD_LIMIT, factor).breaking_strength == factor * Q(1, "kN")


# --- links and lines --------------------------------------------------------------------


def a_line(*extra):
    return RiggingLine(
        [
            Link("shackle", Rating(Q(30, "kN"), WORKING_LOAD_LIMIT, 5)),
            Link("rope", Rating(Q(160, "kN"), BREAKING_STRENGTH, 4)),
            Link("eye", Rating(Q(100, "kN"), BREAKING_STRENGTH, 2)),
            *extra,
        ]
    )


def test_the_first_past_its_limit_need_not_be_the_first_to_break():
    line = a_line()
    assert line.first_past_working_limit.name == "shackle"
    assert line.first_to_break.name == "eye"
    assert line.working_load_limit == Q(30, "kN")


@pytest.mark.parametrize(
    ("tension", "verdicts", "worst"),
    [
        (0, [WITHIN, WITHIN, WITHIN], WITHIN),
        (30, [WITHIN, WITHIN, WITHIN], WITHIN),
        (30.1, [ABOVE, WITHIN, WITHIN], ABOVE),
        (45, [ABOVE, ABOVE, WITHIN], ABOVE),
        (99.9, [ABOVE, ABOVE, ABOVE], ABOVE),
        (100, [ABOVE, ABOVE, BREAKING], BREAKING),
        (1000, [BREAKING, BREAKING, BREAKING], BREAKING),
    ],
)
def test_verdicts_by_hand(tension, verdicts, worst):
    line = a_line()
    assert [load.verdict for load in line.under(Q(tension, "kN"))] == verdicts
    assert line.verdict(Q(tension, "kN")) == worst


@pytest.mark.parametrize(
    "extra", [Link("tow ball"), Link("old strap", Rating(Q(500, "kN"), BREAKING_STRENGTH))]
)
def test_an_unrated_link_makes_the_line_unknown_never_within(extra):
    line = a_line(extra)
    assert line.unrated == (extra,)
    assert line.working_load_limit is None
    assert line.first_past_working_limit.name == "shackle"
    assert line.verdict(Q(1, "kN")) == UNKNOWN
    assert line.verdict(Q(0, "kN")) == UNKNOWN
    assert line.verdict(Q(31, "kN")) == ABOVE
    assert line.verdict(Q(101, "kN")) == BREAKING


def test_a_link_with_strength_alone_still_breaks():
    line = RiggingLine([Link("old strap", Rating(Q(50, "kN"), BREAKING_STRENGTH))])
    assert line.under(Q(49, "kN"))[0].verdict == UNKNOWN
    assert line.under(Q(50, "kN"))[0].verdict == BREAKING
    assert line.under(Q(49, "kN"))[0].over_working_limit is None
    assert line.first_to_break.name == "old strap"


def test_a_line_of_unrated_links_knows_nothing():
    line = RiggingLine([Link("ball"), Link("chain")])
    assert line.first_past_working_limit is None
    assert line.first_to_break is None
    assert line.verdict(Q(1e6, "kN")) == UNKNOWN


@given(lines, values)
@quick
def test_the_line_is_as_bad_as_its_worst_link(line, tension):
    verdicts = [load.verdict for load in line.under(tension)]
    order = [WITHIN, UNKNOWN, ABOVE, BREAKING]
    assert line.verdict(tension) == max(verdicts, key=order.index)


@given(lines, values)
@quick
def test_within_is_never_said_of_a_line_with_an_unrated_link(line, tension):
    if line.unrated:
        assert line.verdict(tension) != WITHIN


@given(lines, values)
@quick
def test_more_tension_is_never_a_better_verdict(line, tension):
    order = [WITHIN, UNKNOWN, ABOVE, BREAKING]
    for less, more in zip(line.under(tension), line.under(1.5 * tension), strict=True):
        assert order.index(more.verdict) >= order.index(less.verdict)


@pytest.mark.parametrize("unit", ["N", "kN", "lbf", "kip", "kgf", "force_ton"])
@pytest.mark.parametrize("shown", ["kN", "lbf", "force_metric_ton"])
def test_at_a_limit_the_verdict_is_the_same_in_every_unit(unit, shown):
    for value in (0.3, 3.25, 7.7, 4000):
        rating = Rating(Q(5 * value, unit), BREAKING_STRENGTH, 5)
        line = RiggingLine([Link("part", rating)])
        assert line.verdict(rating.working_load_limit.to(shown)) == WITHIN
        assert line.verdict(rating.breaking_strength.to(shown)) == BREAKING


@pytest.mark.parametrize(
    ("tension", "fault"),
    [
        (Q(20, "kg"), "20 kg is not a force"),
        (Q(-1, "kN"), "is below 0"),
        (Q([1, 2], "kN"), "is a list"),
    ],
)
@pytest.mark.parametrize("ask", ["under", "verdict"])
def test_bad_tensions_are_refused(ask, tension, fault):
    with pytest.raises(InputError, match=r"RiggingLine\.under:\n  tension: ") as error:
        getattr(a_line(), ask)(tension)
    assert fault in str(error.value)


@pytest.mark.parametrize(
    "bad", [[], (), None, 5, "hitch", ["hitch"], [Link("a"), None], [[Link("a")]]]
)
def test_bad_lines_are_refused(bad):
    with pytest.raises(InputError, match=r"RiggingLine: links: .* is not a list of links"):
        RiggingLine(bad)


def test_links_may_come_from_anything_that_gives_them():
    assert len(RiggingLine(Link(name) for name in "abc").links) == 3


@pytest.mark.parametrize(
    ("name", "rating"), [("hitch", 5), ("hitch", Q(5, "kN")), (None, None), (Q(5, "kN"), None)]
)
def test_bad_links_are_refused(name, rating):
    with pytest.raises(InputError, match="is not a name with a rating; write for example Link"):
        Link(name, rating)


# --- how a part is rigged ---------------------------------------------------------------

leg_angles = st.floats(0, 60).map(lambda angle: Q(angle, "degree"))
some_factors = st.lists(st.builds(Factor, st.text(max_size=5), st.floats(0.05, 2)), max_size=4)


@given(ratings | st.none(), some_factors)
@quick
def test_factors_act_on_both_limits_and_make_nothing_known(rating, factors):
    plain, rigged = Link("part", rating), Link("part", rating, factors)
    for limit in ("working_load_limit", "breaking_strength"):
        before, after = (kilonewtons(getattr(link, limit)) for link in (plain, rigged))
        if before is None:
            assert after is None
        else:
            assert after == pytest.approx(before * math.prod(each.value for each in factors))


@given(values, leg_angles)
@quick
def test_each_leg_of_a_bridle_is_at_its_limit_when_the_line_is(limit, angle):
    legs = Link("bridle", Rating(limit, WORKING_LOAD_LIMIT), [bridle(angle)])
    tension = legs.working_load_limit
    assert kilonewtons(leg_tension(tension, angle)) == pytest.approx(kilonewtons(limit))
    assert RiggingLine([legs]).verdict(tension) == WITHIN


@pytest.mark.parametrize(
    "row", [*table(RiggingFactor), *table(StrengthFactor)], ids=lambda r: r.name
)
def test_every_tabled_factor_is_found_at_its_low_end(row):
    low = row.factor if isinstance(row, RiggingFactor) else min(row.low, row.high)
    assert factor(row.name) == Factor(row.name, low)


def test_tabled_names_are_told_apart():
    names = [row.name for row in [*table(RiggingFactor), *table(StrengthFactor)]]
    assert len(set(names)) == len(names)


def test_an_unknown_factor_is_named():
    with pytest.raises(InputError, match="no factor 'knot'; there are 'choked', "):
        factor("knot")


@pytest.mark.parametrize("value", [0, -1, 2.1, math.nan, True, "half", None])
def test_bad_factors_are_refused(value):
    with pytest.raises(InputError, match=r'above 0, at most 2; write for example Factor\("worn"'):
        Factor("worn", value)


@pytest.mark.parametrize("factors", [0.5, [0.5], "wet", ["wet"], None, [None]])
def test_what_is_no_list_of_factors_is_refused(factors):
    with pytest.raises(InputError, match=r"Link: factors: .* is not a list of factors; write"):
        Link("rope", None, factors)


def test_no_verdict_calls_anything_safe():
    assert not any("safe" in verdict for verdict in (WITHIN, ABOVE, BREAKING, UNKNOWN))


# --- demo -------------------------------------------------------------------------------


def test_demo_line_mixes_bases_and_units_so_that_the_stamps_mislead():
    line = demo_line()
    stamps = [link.rating.value for link in line.links]
    assert {link.rating.basis for link in line.links} == {WORKING_LOAD_LIMIT, BREAKING_STRENGTH}
    assert len({str(stamp.units) for stamp in stamps}) >= 3
    biggest_number = max(line.links, key=lambda link: link.rating.value.m)
    biggest_force = max(line.links, key=lambda link: link.rating.value)
    first = line.first_past_working_limit
    assert first is biggest_number  # the largest number printed, the lowest working limit
    assert first is not biggest_force
    assert line.first_to_break is not first
    assert not line.unrated


def test_demo_line_carries_the_demo_rope():
    rope = next(link for link in demo_line().links if link.name == "yard rope")
    assert rope.breaking_strength == demo_rope().breaking_strength


def test_the_demo_line_with_a_tow_ball_is_unrated():
    line = demo_line("line over a tow ball")
    assert [link.name for link in line.unrated] == ["tow ball of the launch truck"]
    assert line.verdict(Q(1, "kN")) == UNKNOWN


@pytest.mark.parametrize("name", dict.fromkeys(row.line for row in table(DemoLink)))
def test_every_demo_line_can_be_built(name):
    assert demo_line(name).links


def test_an_unknown_demo_line_is_named():
    with pytest.raises(InputError, match="no line 'x'; there are 'yard line', 'line over a tow"):
        demo_line("x")
