"""Ground and parted lines against published tables, at their printed rounding.

Each row is copied here as its source prints it; `data/` is what the library works with.
"""

import math

import pytest

from recoverykit import Q
from recoverykit.physics.ground import (
    MireRow,
    RollingRow,
    StuckVehicle,
    TractionRow,
    drawbar_pull,
    ground,
    resistance,
)
from recoverykit.tables.records import find, table


def rows(record, source):
    return {
        (row.printed_as, getattr(row, "vehicle", None) or row.wheels): (row.low, row.high)
        for row in table(record)
        if source in row.source
    }


# Gillespie, Fundamentals of Vehicle Dynamics, rolling resistance coefficients (quoted).
def test_gillespie_rolling():
    assert rows(RollingRow, "Gillespie") == {
        ("concrete", "car"): (0.015, 0.015),
        ("medium hard soil", "car"): (0.08, 0.08),
        ("sand", "car"): (0.30, 0.30),
        ("concrete", "truck"): (0.012, 0.012),
        ("medium hard soil", "truck"): (0.06, 0.06),
        ("sand", "truck"): (0.25, 0.25),
    }


# Carvill, Mechanical Engineer's Data Handbook (quoted).
def test_carvill_rolling():
    assert rows(RollingRow, "Carvill") == {
        ("new asphalt or concrete", "any"): (0.01, 0.01),
        ("worn asphalt or concrete", "any"): (0.02, 0.02),
        ("rolled new gravel", "any"): (0.01, 0.01),
        ("loose worn gravel", "any"): (0.04, 0.04),
        ("medium hard soil", "any"): (0.08, 0.08),
        ("sand", "any"): (0.1, 0.2),
    }


# Moyer, in Marks' Standard Handbook for Mechanical Engineers (quoted).
def test_moyer_rolling():
    assert rows(RollingRow, "Moyer") == {
        ("hard road", "any"): (0.008, 0.008),
        ("dry, firm, well packed gravel", "any"): (0.012, 0.012),
        ("wet loose gravel", "any"): (0.06, 0.06),
    }


# CRREL TR-01-16, Table 11, every depth from its lowest to its highest measurement (seen). The text
# above the table says that it holds only the resistance due to the deformation of the snow.
def test_crrel_snow():
    snow = rows(RollingRow, "CRREL")
    assert snow == {
        ("snow 0.13 m deep", "any"): (0.03, 0.05),
        ("snow 0.14 m deep", "any"): (0.02, 0.02),
        ("snow 0.15 m deep", "any"): (0.05, 0.05),
        ("snow 0.16 m deep", "any"): (0.06, 0.07),
        ("snow 0.17 m deep", "any"): (0.06, 0.06),
        ("snow 0.18 m deep", "any"): (0.05, 0.07),
        ("snow 0.19 m deep", "any"): (0.07, 0.10),
        ("snow 0.20 m deep", "any"): (0.07, 0.07),
        ("snow 0.21 m deep", "any"): (0.06, 0.12),
        ("snow 0.22 m deep", "any"): (0.05, 0.08),
    }
    hard_road = ground("dry road").rolling.ends.m_as("")
    deformation = [min(low for low, _ in snow.values()), max(high for _, high in snow.values())]
    assert ground("snow").rolling.ends.m_as("") == pytest.approx(hard_road + deformation)


# Wong, Theory of Ground Vehicles, Table 1.3 (memory, sure).
def test_wong_adhesion():
    assert rows(TractionRow, "Wong") == {
        ("dry asphalt or concrete", "peak"): (0.8, 0.9),
        ("dry asphalt or concrete", "sliding"): (0.75, 0.75),
        ("wet asphalt", "peak"): (0.5, 0.7),
        ("wet asphalt", "sliding"): (0.45, 0.6),
        ("gravel", "peak"): (0.6, 0.6),
        ("gravel", "sliding"): (0.55, 0.55),
        ("dry earth road", "peak"): (0.68, 0.68),
        ("dry earth road", "sliding"): (0.65, 0.65),
        ("wet earth road", "peak"): (0.55, 0.55),
        ("wet earth road", "sliding"): (0.4, 0.5),
        ("hard-packed snow", "peak"): (0.2, 0.2),
        ("hard-packed snow", "sliding"): (0.15, 0.15),
        ("ice", "peak"): (0.1, 0.1),
        ("ice", "sliding"): (0.07, 0.07),
    }


# Noon, Engineering Analysis of Vehicular Accidents, 1994 (quoted). Its loose moist dirt, where
# the tire sinks 5 cm, at 0.60 to 0.65, is left out: that is what slows a sliding wheel that
# ploughs, not what drives a rolling one, and no other source has loose earth above firm.
def test_noon_adhesion():
    assert rows(TractionRow, "Noon") == {
        ("gravel and dirt road", "not stated"): (0.35, 0.35),
        ("wet grassy field", "not stated"): (0.20, 0.20),
        ("dry asphaltic concrete", "not stated"): (0.65, 0.65),
        ("wet asphaltic concrete", "not stated"): (0.50, 0.50),
        ("dry concrete", "not stated"): (0.75, 0.75),
        ("wet concrete", "not stated"): (0.60, 0.60),
        ("snow", "not stated"): (0.20, 0.25),
        ("ice", "not stated"): (0.10, 0.15),
    }


# Peurifoy, Construction Planning, Equipment, and Methods (memory, fairly sure).
def test_peurifoy():
    assert rows(TractionRow, "Peurifoy") == {
        ("loose dry sand", "not stated"): (0.20, 0.30),
        ("wet sand and gravel", "not stated"): (0.30, 0.40),
    }
    (mud,) = rows(RollingRow, "Peurifoy").values()
    assert mud == pytest.approx((300 / 2000, 400 / 2000))  # printed in lb for a ton of 2000 lb


# Where two sources disagree on one surface, the range holds both.
@pytest.mark.parametrize(
    ("name", "which", "both"),
    [
        ("gravel", "traction", (0.35, 0.6)),  # Noon; Wong
        ("dry sand", "rolling", (0.1, 0.30)),  # Carvill; Gillespie
        ("hard road", "rolling", (0.008, 0.02)),  # Moyer; Carvill
        ("ice", "traction", (0.07, 0.15)),  # Wong sliding; Noon
    ],
)
def test_a_range_holds_sources_that_disagree(name, which, both):
    here = getattr(ground("dry road" if name == "hard road" else name), which)
    assert here.ends.m_as("") == pytest.approx(both)


# Earthmoving estimates (quoted): rolling resistance 40 lb for each ton on a firm road, 30 lb more
# for each inch that the tire sinks, 20 lb for each percent of grade. Its metric figures (173 N,
# 3288 N for each mm and 86.3 N a tonne) do not follow from these: 20 lb in a short ton is 98.1 N
# in a tonne, so they are not tested.
TON = Q(1, "short_ton")


def test_forty_pounds_a_ton_is_two_per_cent():
    assert resistance(TON, 0.02).m_as("lbf") == pytest.approx(40, abs=0.5)


def test_thirty_pounds_a_ton_for_each_inch_is_one_and_a_half_per_cent():
    assert resistance(TON, 0.015).m_as("lbf") == pytest.approx(30, abs=0.5)


def test_twenty_pounds_a_ton_for_each_per_cent_of_grade():
    # The rule takes sin α for tan α, so it holds for the gentle grades of roads only.
    for percent in (1, 2, 5, 10):
        slope = Q(math.atan(percent / 100), "rad")
        assert resistance(TON, 0.0, slope).m_as("lbf") == pytest.approx(20 * percent, rel=0.006)


def test_the_sinking_tire_gives_our_mud():
    row = next(row for row in table(RollingRow) if row.printed_as.startswith("tire penetration"))
    assert (row.low, row.high) == pytest.approx((0.02 + 0.015 * 4, 0.02 + 0.015 * 10))


# US Army recovery manuals, FM 9-43-2 and ATP 4-31 (memory, sure; text not seen): mired to the
# wheels, the fenders, the cab, a vehicle needs one, two, three times its weight. The manual's
# figure is the upper end of our range.
@pytest.mark.parametrize(("depth", "times"), [("wheels", 1), ("fenders", 2), ("cab", 3)])
def test_mire_factors(depth, times):
    assert find(MireRow, depth=depth).factor == times
    truck = Q(5000, "lb")
    assert resistance(truck, times).m_as("lbf") == pytest.approx(5000 * times, rel=1e-12)
    pulls = StuckVehicle(truck, "soft mud", mire=depth).pull_to_start.samples.m_as("lbf")
    assert pulls.max() == pytest.approx(5000 * times, rel=1e-3)
    assert pulls.max() <= 5000 * times


# An examination question (seen, its answer by arithmetic): a 12 000 kg tractor is pulled up 2 %
# by a cable with 720 kgf, grade resistance 10 kg for each tonne and percent: 40 kg a tonne.
def test_tractor_on_a_cable():
    slope = Q(math.atan(0.02), "rad")
    tension = resistance(Q(12_000, "kg"), 40 / 1000, slope).m_as("kgf")
    assert tension == pytest.approx(720, abs=0.5)


# Wong: a vehicle just climbs where its grip equals the slope, tan α = μ − f (derived).
def test_steepest_climb():
    slope = Q(math.atan(0.68 - 0.08), "rad")
    assert drawbar_pull(Q(3000, "kg"), 0.68, 0.08, slope).m_as("N") == pytest.approx(0, abs=1e-8)
