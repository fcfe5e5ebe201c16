"""Energy scale and parted lines against published figures, at their printed rounding."""

import math

import pytest
from helpers.source_tables import PublishedRope

from recoverykit import Q
from recoverykit.physics.recoil import EnergyRow, PartedLineRow, freed_speed
from recoverykit.tables.records import table


# DDESB TP-12 (quoted): 58 ft·lbf (79 J).
def test_hazardous_fragment():
    fragment = table(EnergyRow)[0]
    assert fragment.joules == 79
    assert Q(58, "ft*lbf").m_as("J") == pytest.approx(79, abs=0.5)


# TB 55-1900-232-10, page C-5 (seen): up to 500 mph. Marine safety alert SA 015 (seen): up to
# 800 km/h (500 mph), wire rope up to 500 km/h (300 mph). Simulation of a break test (seen):
# 230 m/s (515 mph); 230 m/s is 514.5 mph, so its 515 is rounded to the next five.
@pytest.mark.parametrize(
    ("row", "printed", "unit", "rounding"),
    [(0, 500, "mph", 0.5), (1, 500, "mph", 50), (2, 300, "mph", 50), (3, 515, "mph", 2.5)],
)
def test_parted_lines(row, printed, unit, rounding):
    assert table(PartedLineRow)[row].fastest.m_as(unit) == pytest.approx(printed, abs=rounding)


# UFC 4-159-03, Table 6-8 (seen), against the speeds above. The energy balance is an upper limit,
# so no observed speed may pass it. A rope weighs at most what a solid rod of its size would, at
# 1140 kg/m³ for polyamide (memory, sure), so it flies at least as fast as reckoned here.
@pytest.mark.parametrize("rope", table(PublishedRope), ids=lambda rope: f"{rope.diameter}")
def test_no_published_speed_passes_the_energy_balance(rope):
    force, axial_stiffness = rope.average_break.m_as("N"), rope.axial_stiffness.m_as("N")
    heaviest = 1140 * math.pi * rope.diameter.m_as("m") ** 2 / 4
    at_break = freed_speed(Q(force**2 / (2 * axial_stiffness), "J"), Q(heaviest, "kg"))
    fastest = max(row.fastest for row in table(PartedLineRow))
    assert fastest.m_as("m/s") < at_break.m_as("m/s") < 2 * fastest.m_as("m/s")
