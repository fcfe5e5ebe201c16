"""Published tables of rope and hardware, against each other and against the library's units."""

import pytest
from helpers.source_tables import DesignFactor, PublishedRope, Shackle, Turnbuckle

from recoverykit import Q, Rating, Rope, read_quantity
from recoverykit.physics.rigging import BREAKING_STRENGTH, WORKING_LOAD_LIMIT
from recoverykit.tables.records import find, table

# --- rope: UFC 4-159-03 (3 Oct 2005), Table 6-8. Mark: seen -----------------------------

MISPRINTED = Q(1.8, "in")
SOUND = [row for row in table(PublishedRope) if row.diameter != MISPRINTED]


@pytest.mark.parametrize("row", SOUND, ids=lambda row: str(row.diameter))
def test_stiffness_over_break_is_the_same_in_every_row(row):
    # Derived from the table: AE / break = 3.54, so the strain at break is 28.2 %.
    ratio = (row.axial_stiffness / row.average_break).m_as("")
    assert ratio == pytest.approx(3.54, abs=0.005)
    assert row.stretch_at_break.m_as("percent") == pytest.approx(28.2, abs=0.1)


def test_one_row_is_misprinted_and_kept_as_printed():
    # 417.0 kip is printed for AE; beside it stand 17.32E5 N, which are 389.4 kip and fit the other
    # rows. So the column in kip is misprinted.
    row = find(PublishedRope, diameter=MISPRINTED)
    assert row.axial_stiffness == Q(417.0, "kip")
    assert (row.axial_stiffness / row.average_break).m_as("") == pytest.approx(3.79, abs=0.005)
    assert (Q(389.4, "kip") / row.average_break).m_as("") == pytest.approx(3.54, abs=0.005)
    in_newtons = Q(17.32e5, "N")
    assert in_newtons.m_as("kip") == pytest.approx(389.4, abs=0.1)
    assert "misprint" in row.note
    assert "17.32E5 N" in row.note


@pytest.mark.parametrize("row", table(PublishedRope), ids=lambda row: str(row.diameter))
def test_a_rope_of_the_table_has_the_tabled_stiffness(row):
    # k = AE / L. Mark: seen.
    rope = Rope(Q(40, "ft"), row.average_break, row.stretch_at_break)
    expected = (row.axial_stiffness / Q(40, "ft")).m_as("lbf/ft")
    assert rope.stiffness.m_as("lbf/ft") == pytest.approx(expected)


def test_break_grows_as_the_square_of_the_diameter():
    # Derived: strength follows the cross-section. Diameters are printed to a tenth of an inch, so
    # the 1.0 in row alone may be off by 10 %.
    ratios = [(row.average_break / row.diameter**2).m_as("kip/in^2") for row in SOUND]
    assert 1.1 < max(ratios) / min(ratios) < 1.13


# --- shackles ---------------------------------------------------------------------------


def test_shackle_design_factors():
    # ASME B30.26-2010, 26-1.2. Mark: seen.
    assert find(DesignFactor, part="shackle up to 150 tons").design_factor == 5
    assert find(DesignFactor, part="shackle above 150 tons").design_factor == 4


@pytest.mark.parametrize(
    "row",
    [row for row in table(Shackle) if row.breaking_strength is not None],
    ids=lambda row: str(row.size),
)
def test_the_tons_on_shackles_are_short_tons_where_pounds_are_printed_too(row):
    # Working limits "in tons", after RR-C-271. Mark: quoted. Strengths in pounds: Seattle City
    # Light, material standard 6966.15. Mark: seen. At B30.26's factor of 5 they settle which tons.
    short, metric = row.working_load_limit_readings
    rating = Rating(short, WORKING_LOAD_LIMIT, 5)
    assert rating.breaking_strength.m_as("lbf") == pytest.approx(row.breaking_strength.m_as("lbf"))
    as_tonnes = Rating(metric, WORKING_LOAD_LIMIT, 5).breaking_strength
    assert (as_tonnes / row.breaking_strength).m_as("") == pytest.approx(1.102, abs=0.0005)


# --- turnbuckles: AASHTO M 269-77, Table 2. Mark: seen ----------------------------------

# The printed kilonewtons of two working loads are cut off where rounding would go up.
CUT_OFF = [Q(14_400, "lbf"), Q(39_400, "lbf")]

PRINTED_TWICE = [
    pair
    for row in table(Turnbuckle)
    for pair in (
        (row.breaking_strength, row.metric_breaking_strength),
        (row.working_load_limit, row.metric_working_load_limit),
    )
]


@pytest.mark.parametrize(("pounds", "kilonewtons"), PRINTED_TWICE, ids=lambda q: str(q))
def test_turnbuckles_say_the_same_in_both_units(pounds, kilonewtons):
    off = pounds.m_as("kN") - kilonewtons.m_as("kN")
    if pounds in CUT_OFF:
        assert 0.05 < off < 0.1
    else:
        assert abs(off) <= 0.05


@pytest.mark.parametrize("row", table(Turnbuckle), ids=lambda row: str(row.size))
def test_turnbuckles_have_a_design_factor_of_five(row):
    rating = Rating(row.breaking_strength, BREAKING_STRENGTH, 5)
    assert rating.working_load_limit.m_as("lbf") == pytest.approx(
        row.working_load_limit.m_as("lbf")
    )


# --- what a bare ton may mean -----------------------------------------------------------


def test_short_tons_and_tonnes_differ_by_a_tenth():
    # BIPM and NIST, exact units. Mark: seen.
    short = read_quantity("1 short ton", "force").quantity
    tonne = read_quantity("1 tonne", "force").quantity
    assert (tonne / short).m_as("") == pytest.approx(1.10231131, abs=5e-9)
