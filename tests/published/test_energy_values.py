"""Drops and lines of lessons 01 and 02 against published values, from `data/check_values.csv`."""

import pytest
from helpers.source_tables import CheckValue, PublishedRope

from recoverykit import Q, kinetic_energy
from recoverykit.physics.formulas import drop_height
from recoverykit.physics.rope import demo_rope
from recoverykit.tables.marram_point import DemoRope
from recoverykit.tables.records import find, table


def test_the_standard_fall_of_a_climbing_rope_test():
    # EN 892:2004: a free fall of 4.6 m ends at 9.5 m/s. Mark: seen. Both are rounded.
    row = find(CheckValue, key="en 892 speed")
    slowest, fastest = (row.value + sign * row.rounding for sign in (-1, 1))
    assert drop_height(slowest) < row.given["fall"] < drop_height(fastest)
    assert drop_height(row.value).m_as("m") == pytest.approx(4.6, abs=0.05)


def test_a_weight_dropped_on_a_spring():
    # Chopra, Dynamics of Structures: 36 in of drop give 166.7 in/s. Mark: seen.
    row = find(CheckValue, key="chopra drop speed")
    assert drop_height(row.value).m_as("in") == pytest.approx(36, abs=0.5)


def test_the_energy_of_a_drop_and_that_of_its_speed():
    # The same two sources: weight times height is the energy of motion at the end. Mark: derived.
    for key, height, mass in (
        ("en 892 speed", Q(4.6, "m"), Q(80, "kg")),
        ("chopra drop speed", Q(36, "in"), Q(1, "lb")),
    ):
        of_height = mass * Q(9.80665, "m/s**2") * height
        ratio = kinetic_energy(mass, find(CheckValue, key=key).value) / of_height
        assert ratio.m_as("") == pytest.approx(1, abs=0.012)  # 9.5 m/s is rounded to 0.5 %


def test_our_winch_line_is_no_stiffer_than_published_ones():
    # Beer & Johnston, Dynamics, problem 13.63: a steel line of 0.4 in and 30 ft. Mark: seen. The
    # course would overstate its case if its invented winch line were stiffer than solid steel.
    steel = find(CheckValue, key="beer 13.63 stiffness")
    winch_line = demo_rope("winch line")
    ours = winch_line.stiffness * winch_line.length
    published = steel.value * steel.given["length"]
    thicker = (find(DemoRope, name="winch line").diameter / steel.given["diameter"]).m_as("")
    assert thicker == pytest.approx(1, abs=0.1)
    assert 0.1 < (ours / published).m_as("") < 1


def test_a_winch_line_pulls_almost_three_times_as_hard_as_published_polyamide():
    # UFC 4-159-03 (2005), Table 6-8: F_b / AE of double braid. Mark: derived.
    winch_line = demo_rope("winch line").stretch_at_break
    ratios = [(row.stretch_at_break / winch_line).m_as("") ** 0.5 for row in table(PublishedRope)]
    assert all(2.7 < ratio < 3 for ratio in ratios)
