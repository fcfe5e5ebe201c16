"""Worked problems from textbooks and standards, each at the rounding of its printed answer.

Givens and printed answers stand in `data/check_values.csv`, with source and mark; both are named
again beside each check.
"""

import numpy as np
import pytest
from helpers.source_tables import CheckValue

from recoverykit import (
    Q,
    Rating,
    Rope,
    kinetic_energy,
    peak_tension,
    read_quantity,
    series_stiffness,
    speed_for_tension,
)
from recoverykit.physics.rigging import WORKING_LOAD_LIMIT
from recoverykit.tables.records import find
from recoverykit.units.quantities import GRAVITY

STANDARD_GRAVITY = Q(GRAVITY, "m/s^2")


def given(key):
    return find(CheckValue, key=key).given


def assert_printed(key, result):
    row = find(CheckValue, key=key)
    assert row.agrees(result), (
        f"{key}: {Q(result).to(row.value.units)} is not the printed {row.printed} {row.unit or ''} "
        f"({row.source}; {row.mark})"
    )


def free_fall(height, g=STANDARD_GRAVITY):
    return np.sqrt(2 * g * height).to("m/s")


def test_gere_2_8_11():
    # Gere, Mechanics of Materials, problem 2.8-11. Mark: seen; force derived.
    p = given("gere 2.8-11 compression")
    force = peak_tension(p["weight"] / p["g"], p["speed"], p["stiffness"])
    assert_printed("gere 2.8-11 compression", force / p["stiffness"])
    assert_printed("gere 2.8-11 force", force)


def test_gere_2_8_11_backwards():
    # Gere, Mechanics of Materials, problem 2.8-11. Mark: seen.
    p = given("gere 2.8-11 compression")
    limit = find(CheckValue, key="gere 2.8-11 force").value
    speed = speed_for_tension(p["weight"] / p["g"], limit, p["stiffness"])
    assert speed.m_as("mph") == pytest.approx(7, abs=0.5)


def test_gere_2_8_5():
    # Gere, Mechanics of Materials, problem 2.8-5. Mark: seen. The weight is the drive force.
    p = given("gere 2.8-5 greatest")
    weight, stiffness = p["weight"], p["stiffness"]
    mass, speed = weight / STANDARD_GRAVITY, free_fall(p["height"])
    greatest = peak_tension(mass, speed, stiffness, drive=weight) / stiffness
    static = weight / stiffness
    assert_printed("gere 2.8-5 static", static)
    assert_printed("gere 2.8-5 greatest", greatest)
    assert_printed("gere 2.8-5 impact factor", greatest / static)


def test_beer_and_johnston_13_63():
    # Beer & Johnston, Dynamics, problem 13.63. Mark: seen.
    # The line carries the load before it is stopped, so drive force and pre-tension are its weight.
    p = given("beer 13.63 stretch")
    area = np.pi * p["diameter"] ** 2 / 4
    stiffness = (p["modulus"] * area / p["length"]).to("lbf/ft")
    assert_printed("beer 13.63 stiffness", stiffness)
    load, mass = p["weight"], p["weight"] / p["g"]
    peak = peak_tension(mass, p["speed"], stiffness, drive=load, pretension=load)
    assert_printed("beer 13.63 stretch", (peak - load) / stiffness)


def test_a_slack_line_would_not_give_beer_and_johnston_13_63():
    """The pre-tensioned case is another case than the slack one: here the printed answer tells."""
    p = given("beer 13.63 stretch")
    stiffness = find(CheckValue, key="beer 13.63 stiffness").value
    slack = peak_tension(p["weight"] / p["g"], p["speed"], stiffness, drive=p["weight"])
    row = find(CheckValue, key="beer 13.63 stretch")
    assert not row.agrees((slack - p["weight"]) / stiffness)


@pytest.mark.parametrize("key", ["halliday blocks compression", "verma blocks compression"])
def test_two_blocks(key):
    # Halliday, Resnick & Walker, two blocks and a spring. Mark: seen; stiffness memory (sure).
    # H C Verma, Concepts of Physics, two blocks and a spring. Mark: seen.
    # Two free bodies close on each other as one reduced mass closes on a wall.
    p = given(key)
    mass_1, mass_2 = p["mass_1"], p["mass_2"]
    reduced = mass_1 * mass_2 / (mass_1 + mass_2)
    force = peak_tension(reduced, p["speed_1"] - p["speed_2"], p["stiffness"])
    assert_printed(key, force / p["stiffness"])


def test_halliday_two_blocks_energy():
    # Halliday, Resnick & Walker, two blocks and a spring. Mark: seen; stiffness memory (sure).
    p = given("halliday blocks energy")
    momentum = p["mass_1"] * p["speed_1"] + p["mass_2"] * p["speed_2"]
    both = p["mass_1"] + p["mass_2"]
    assert_printed("halliday blocks common speed", momentum / both)
    before = kinetic_energy(p["mass_1"], p["speed_1"]) + kinetic_energy(p["mass_2"], p["speed_2"])
    assert_printed("halliday blocks energy", kinetic_energy(both, momentum / both) - before)


def test_chopra_drop():
    # Chopra, Dynamics of Structures, free vibration after a drop. Mark: seen.
    # No mass is given and none is needed: any will do.
    p = given("chopra drop amplitude")
    mass = Q(1, "kg")
    weight = mass * p["g"]
    stiffness = weight / p["static_deflection"]
    speed = free_fall(p["height"], p["g"])
    peak = peak_tension(mass, speed, stiffness, drive=weight)
    assert_printed("chopra drop speed", speed)
    assert_printed("chopra drop frequency", np.sqrt(stiffness / mass) * Q(1, "rad"))
    assert_printed("chopra drop amplitude", (peak - weight) / stiffness)
    assert_printed("chopra drop acceleration", (peak - weight) / mass)


def test_hibbeler_14_96():
    # Hibbeler, Dynamics, 11th edition, problem 14-96. Mark: seen. Feet in, meters out.
    p = given("hibbeler 14-96 stretch")
    both = series_stiffness(p["stiffness_1"], p["stiffness_2"])
    force = peak_tension(p["weight"] / p["g"], p["speed"], both)
    assert_printed("hibbeler 14-96 stretch", force / p["stiffness_1"])
    assert not find(CheckValue, key="hibbeler 14-96 stretch").agrees(force / p["stiffness_2"])


@pytest.mark.parametrize("key", ["climber fall factor 1", "climber fall factor 0.5"])
def test_climbers_fall(key):
    # Impact force equation after Wexler, 1950. Mark: equation seen; numbers derived.
    # F = mg + √((mg)² + 2 mg E q f) is peak_tension with the weight as drive force, since
    # k = E q / L and v² = 2 g f L. The rated force in the standard fall gives E q.
    p = given(key)
    mass, length = p["mass"], p["length"]
    weight = mass * STANDARD_GRAVITY
    energy_of_fall = weight * p["fall"]
    stiffness = p["rated_force"] * (p["rated_force"] - 2 * weight) / (2 * energy_of_fall)
    rated = peak_tension(mass, free_fall(p["fall"]), stiffness, drive=weight)
    assert rated.m_as("kN") == pytest.approx(p["rated_force"].m_as("kN"))
    speed = free_fall(p["fall_factor"] * length)
    assert_printed(key, peak_tension(mass, speed, stiffness, drive=weight))


def test_en_892_standard_fall():
    # EN 892:2004, standard fall of 2 · 2.3 m on 2.6 m of rope. Mark: seen.
    p = given("en 892 speed")
    assert_printed("en 892 fall factor", p["fall"] / p["length"])
    assert_printed("en 892 speed", free_fall(p["fall"]))
    printed = find(CheckValue, key="en 892 speed")
    energy_of_fall = p["mass"] * STANDARD_GRAVITY * p["fall"]
    assert kinetic_energy(p["mass"], printed.value - printed.rounding) < energy_of_fall
    assert kinetic_energy(p["mass"], printed.value + printed.rounding) > energy_of_fall


@pytest.mark.parametrize("key", ["steady tow stretch", "steady tow stretch, heavier"])
def test_steady_tow(key):
    # School problems with their solutions, univerkov.com. Mark: seen.
    p = given(key)
    rope = Rope(Q(10, "m"), Q(2, "m") * p["stiffness"], Q(20, "%"))
    stretch = find(CheckValue, key=key).value
    assert rope.stiffness.m_as("kN/m") == pytest.approx(p["stiffness"].m_as("kN/m"))
    assert_printed(key, p["mass"] * p["acceleration"] / rope.stiffness)
    pull = (p["mass"] * p["acceleration"]).m_as("N")
    assert rope.tension(stretch).m_as("N") == pytest.approx(pull, rel=0.05)


def test_openstax_7_22():
    # OpenStax, College Physics, chapter 7, problem 22, as solved elsewhere. Mark: quoted.
    p = given("openstax 7-22 stiffness")
    twice_the_energy = 2 * kinetic_energy(p["mass"], p["speed"])
    assert_printed("openstax 7-22 stiffness", twice_the_energy / p["compression"] ** 2)
    stiffness = find(CheckValue, key="openstax 7-22 stiffness").value
    force = peak_tension(p["mass"], p["speed"], stiffness)
    assert (force / stiffness).m_as("m") == pytest.approx(0.400, abs=0.0005)
    speed = speed_for_tension(p["mass"], stiffness * p["compression"], stiffness)
    assert speed.m_as("m/s") == pytest.approx(0.500, abs=0.0005)


def test_drop_on_a_spring():
    # School problem with its answer, physicsforums.com, thread 52330. Mark: seen.
    p = given("drop on spring 28.9 cm")
    weight, speed = p["mass"] * p["g"], free_fall(p["height"], p["g"])
    force = peak_tension(p["mass"], speed, p["stiffness"], drive=weight)
    assert_printed("drop on spring 28.9 cm", force / p["stiffness"])


def test_bumper_car():
    # School problem, physicsforums.com, thread 60053. Mark: seen.
    p = given("bumper car 7.7 mm")
    force = peak_tension(p["mass"], p["speed"], p["stiffness"])
    assert_printed("bumper car 7.7 mm", force / p["stiffness"])


@pytest.mark.parametrize(
    ("key", "stamped"),
    [("ton trap short tons", "4-3/4 short tons"), ("ton trap tonnes", "4-3/4 tonnes")],
)
def test_ton_trap(key, stamped):
    # Arithmetic with the exact units of BIPM and NIST. Mark: derived.
    stamp = read_quantity(stamped, "force").quantity
    assert stamp == given(key)["stamp"]
    factor = given(key)["design_factor"].m_as("")
    assert_printed(key, Rating(stamp, WORKING_LOAD_LIMIT, factor).breaking_strength)
