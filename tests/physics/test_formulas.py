"""Formulas: energy, peak tension, its inverse, and springs one behind the other."""

import inspect
import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from recoverykit import (
    InputError,
    Q,
    kinetic_energy,
    peak_tension,
    series_stiffness,
    speed_for_tension,
)
from recoverykit.physics.formulas import drop_height, reduced_mass, time_under_load

pytestmark = pytest.mark.filterwarnings("error")  # nothing is computed by way of a bad root

quick = settings(max_examples=80, deadline=None)

masses = st.floats(100, 40_000).map(lambda x: Q(x, "kg"))
speeds = st.floats(0, 40).map(lambda x: Q(x, "km/h"))
moving = st.floats(0.1, 40).map(lambda x: Q(x, "km/h"))
stiffnesses = st.floats(1, 5_000).map(lambda x: Q(x, "kN/m"))
forces = st.floats(0, 100).map(lambda x: Q(x, "kN"))


def newtons(quantity):
    return quantity.m_as("N")


# --- by hand ----------------------------------------------------------------------------


def test_kinetic_energy_by_hand():
    assert kinetic_energy(Q(2000, "kg"), Q(3, "m/s")).m_as("kJ") == pytest.approx(9.0)


def test_drop_height_by_hand():
    # After one second of falling the speed is 9.80665 m/s, and half as many meters are behind.
    heights = drop_height(Q([0.0, 9.80665, 2 * 9.80665], "m/s"))
    assert heights.m_as("m") == pytest.approx([0, 4.903325, 4 * 4.903325])


def test_peak_tension_by_hand():
    # k m v² = 40 000 · 2500 · 0.09 = 9 000 000 N², so 3 kN; with D = 4 kN it is 4 + √(16 + 9).
    pull = (Q(2500, "kg"), Q(0.3, "m/s"), Q(40, "kN/m"))
    assert peak_tension(*pull).m_as("kN") == pytest.approx(3.0)
    assert peak_tension(*pull, drive=Q(4, "kN")).m_as("kN") == pytest.approx(9.0)
    taut = {"pretension": Q(4, "kN")}
    assert peak_tension(*pull, drive=Q(4, "kN"), **taut).m_as("kN") == pytest.approx(7.0)
    assert peak_tension(*pull, **taut).m_as("kN") == pytest.approx(5.0)


def test_series_by_hand():
    assert series_stiffness(Q(30, "kN/m"), Q(60, "kN/m")).m_as("kN/m") == pytest.approx(20.0)


def test_reduced_mass_by_hand():
    assert reduced_mass(Q(3000, "kg"), Q(1500, "kg")).m_as("kg") == pytest.approx(1000)


def test_time_under_load_against_a_pull_in_small_steps():
    mass, stiffness, speed = 3100.0, 45_000.0, 5 / 3.6
    step, time, x, v = 1e-5, 0.0, 0.0, speed
    highest = 0.0
    while x >= 0:
        v -= stiffness * x / mass * step  # semi-implicit Euler
        x += v * step
        time += step
        highest = max(highest, stiffness * x)
    found = time_under_load(Q(mass, "kg"), Q(stiffness, "N/m"))
    assert found.m_as("s") == pytest.approx(time, rel=1e-3)
    assert peak_tension(Q(mass, "kg"), Q(speed, "m/s"), Q(stiffness, "N/m")).m_as(
        "N"
    ) == pytest.approx(highest, rel=1e-3)


# --- dimensions -------------------------------------------------------------------------


@given(masses, moving, stiffnesses, forces)
@quick
def test_dimensions(mass, speed, stiffness, drive):
    peak = peak_tension(mass, speed, stiffness, drive)
    assert peak.check("[force]")
    assert kinetic_energy(mass, speed).check("[energy]")
    assert speed_for_tension(mass, peak, stiffness, drive).check("[speed]")
    assert series_stiffness(stiffness, stiffness).check("[force]/[length]")


@given(masses, speeds, stiffnesses, forces, forces)
@quick
def test_units_do_not_matter(mass, speed, stiffness, drive, pretension):
    metric = peak_tension(mass, speed, stiffness, drive, pretension)
    us = peak_tension(
        mass.to("lb"),
        speed.to("mph"),
        stiffness.to("lbf/in"),
        drive.to("lbf"),
        pretension.to("kip"),
    )
    assert newtons(us) == pytest.approx(newtons(metric), rel=1e-12)


# --- monotony and scaling ---------------------------------------------------------------


@given(masses, moving, stiffnesses, forces)
@quick
def test_more_of_anything_is_more_tension(mass, speed, stiffness, drive):
    peak = peak_tension(mass, speed, stiffness, drive)
    assert peak_tension(1.1 * mass, speed, stiffness, drive) > peak
    assert peak_tension(mass, 1.1 * speed, stiffness, drive) > peak
    assert peak_tension(mass, speed, 1.1 * stiffness, drive) > peak
    assert peak_tension(mass, speed, stiffness, drive + Q(1, "kN")) > peak


@given(masses, speeds, stiffnesses)
@quick
def test_scaling(mass, speed, stiffness):
    """Twice the speed, or four times mass or stiffness: twice the tension, but not energy."""
    energy = kinetic_energy(mass, speed).m_as("J")
    assert kinetic_energy(mass, 2 * speed).m_as("J") == pytest.approx(4 * energy)
    twice = pytest.approx(2 * newtons(peak_tension(mass, speed, stiffness)))
    assert newtons(peak_tension(mass, 2 * speed, stiffness)) == twice
    assert newtons(peak_tension(4 * mass, speed, stiffness)) == twice
    assert newtons(peak_tension(mass, speed, 4 * stiffness)) == twice


@given(masses, moving, stiffnesses, forces)
@quick
def test_with_drive_twice_the_speed_is_less_than_twice_the_tension(mass, speed, stiffness, drive):
    assume(drive > Q(0.1, "kN"))
    peak = newtons(peak_tension(mass, speed, stiffness, drive))
    assert newtons(peak_tension(mass, 2 * speed, stiffness, drive)) < 2 * peak


# --- limits -----------------------------------------------------------------------------


@given(masses, speeds, stiffnesses)
@quick
def test_without_drive_it_is_v_root_k_m(mass, speed, stiffness):
    straight = speed * np.sqrt(stiffness * mass)
    assert newtons(peak_tension(mass, speed, stiffness)) == pytest.approx(newtons(straight))
    tiny = peak_tension(mass, speed, stiffness, drive=Q(1e-9, "N"))
    assert newtons(tiny) == pytest.approx(newtons(straight), abs=1e-8)


@given(masses, stiffnesses, forces)
@quick
def test_without_speed_a_sudden_load_pulls_twice(mass, stiffness, drive):
    still = peak_tension(mass, Q(0, "m/s"), stiffness, drive)
    assert newtons(still) == pytest.approx(2 * newtons(drive))
    creeping = peak_tension(mass, Q(1e-9, "m/s"), stiffness, drive)
    assert newtons(creeping) == pytest.approx(2 * newtons(drive), abs=0.02)


@given(masses, speeds, stiffnesses, forces, forces)
@quick
def test_energy_is_conserved_to_the_peak(mass, speed, stiffness, drive, pretension):
    """What moved and what the drive did on the way are in the line: nothing is lost."""
    peak = peak_tension(mass, speed, stiffness, drive, pretension)
    stretch, at_first = peak / stiffness, pretension / stiffness
    brought = kinetic_energy(mass, speed) + drive * (stretch - at_first)
    stored = (peak * stretch - pretension * at_first) / 2
    most = max(1.0, (peak * stretch).m_as("J"))
    assert brought.m_as("J") == pytest.approx(stored.m_as("J"), abs=1e-9 * most)


# --- pre-tension ------------------------------------------------------------------------


@given(masses, speeds, stiffnesses, forces)
@quick
def test_a_winch_line_that_carries_its_load(mass, speed, stiffness, load):
    stopped = peak_tension(mass, speed, stiffness, drive=load, pretension=load)
    snatch = peak_tension(mass, speed, stiffness)
    assert newtons(stopped) == pytest.approx(newtons(load) + newtons(snatch))


@given(masses, speeds, stiffnesses, forces, forces)
@quick
def test_pretension_up_to_the_drive_force_lowers_the_peak(mass, speed, stiffness, drive, other):
    """A taut line is kinder than a slack one, until it pulls back harder than the drive."""
    lower, higher = sorted((drive, other))
    slack = peak_tension(mass, speed, stiffness, drive=higher)
    taut = peak_tension(mass, speed, stiffness, drive=higher, pretension=lower)
    assert newtons(taut) <= newtons(slack) * (1 + 1e-12)


@given(masses, speeds, stiffnesses, forces, forces)
@quick
def test_the_peak_is_never_below_what_is_there_already(mass, speed, stiffness, drive, pretension):
    peak = newtons(peak_tension(mass, speed, stiffness, drive, pretension))
    assert peak >= newtons(pretension) * (1 - 1e-12)
    assert peak >= newtons(drive)


# --- inverse ----------------------------------------------------------------------------


@given(masses, moving, stiffnesses, forces)
@quick
def test_speed_for_tension_undoes_peak_tension(mass, speed, stiffness, drive):
    peak = peak_tension(mass, speed, stiffness, drive)
    # Near a standstill the peak hardly depends on the speed, and the digits of v are lost.
    assume(peak > 1.001 * 2 * drive)
    back = speed_for_tension(mass, peak, stiffness, drive)
    assert back.m_as("m/s") == pytest.approx(speed.m_as("m/s"), rel=1e-9)


@given(masses, st.floats(1, 500), stiffnesses, forces)
@quick
def test_peak_tension_undoes_speed_for_tension(mass, above, stiffness, drive):
    tension = 2 * drive + Q(above, "kN")
    assume(tension / (mass * stiffness) ** 0.5 < Q(99, "m/s"))
    speed = speed_for_tension(mass, tension, stiffness, drive)
    assert newtons(peak_tension(mass, speed, stiffness, drive)) == pytest.approx(newtons(tension))


def test_the_slowest_speed_is_a_standing_start():
    at_rest = speed_for_tension(Q(2500, "kg"), Q(20, "kN"), Q(40, "kN/m"), drive=Q(10, "kN"))
    assert at_rest == Q(0, "m/s")


@given(masses, stiffnesses, st.floats(0.1, 100), st.floats(0.01, 0.999))
@quick
def test_no_speed_is_slow_enough_for_less_than_a_standing_start(mass, stiffness, drive, share):
    with pytest.raises(InputError, match="no speed is slow enough for"):
        speed_for_tension(mass, Q(2 * drive * share, "kN"), stiffness, drive=Q(drive, "kN"))


def test_no_speed_is_slow_enough_names_the_first_that_fails():
    limits = Q([50, 30, 12], "kN")
    with pytest.raises(InputError, match=r"for 30\.0 kN: without any speed .* to 40\.0 kN"):
        speed_for_tension(Q(2500, "kg"), limits, Q(40, "kN/m"), drive=Q(20, "kN"))


# --- series -----------------------------------------------------------------------------


@given(st.lists(stiffnesses, min_size=1, max_size=6))
@quick
def test_a_chain_is_softer_than_its_softest_part(parts):
    chain = series_stiffness(*parts).m_as("N/m")
    softest = min(part.m_as("N/m") for part in parts)
    assert softest / len(parts) <= chain * (1 + 1e-12)
    assert chain <= softest * (1 + 1e-12)


@given(stiffnesses, stiffnesses, stiffnesses)
@quick
def test_order_and_grouping_of_parts_do_not_matter(a, b, c):
    chain = pytest.approx(series_stiffness(a, b, c).m_as("N/m"))
    assert series_stiffness(c, a, b).m_as("N/m") == chain
    assert series_stiffness(a, series_stiffness(b, c)).m_as("N/m") == chain


@given(stiffnesses, st.integers(1, 8))
@quick
def test_equal_parts_share_the_stretch(part, number):
    assert series_stiffness(*[part] * number).m_as("N/m") == pytest.approx(
        part.m_as("N/m") / number
    )


def test_series_of_arrays():
    chain = series_stiffness(Q([30, 60], "kN/m"), Q(60, "kN/m"))
    np.testing.assert_allclose(chain.m_as("kN/m"), [20, 30])


@pytest.mark.parametrize(
    ("parts", "fault"),
    [
        ((), "nothing came"),
        ((40,), "stiffness_1: 40 has no unit"),
        ((Q(40, "kN/m"), Q(40, "kN")), "stiffness_2: 40 kN is not a stiffness"),
        ((Q(40, "kN/m"), Q(0, "kN/m")), "stiffness_2: 0 kN/m is not above 0"),
        ((Q([1, 2], "kN/m"), Q([1, 2, 3], "kN/m")), "do not fit together"),
    ],
)
def test_bad_series_are_refused(parts, fault):
    with pytest.raises(InputError, match="series_stiffness:") as error:
        series_stiffness(*parts)
    assert fault in str(error.value)


# --- arrays -----------------------------------------------------------------------------


@given(st.lists(st.tuples(masses, moving, stiffnesses, forces), min_size=1, max_size=5))
@quick
def test_arrays_equal_scalars(pulls):
    units = ("kg", "m/s", "N/m", "N")
    columns = [
        Q([value.m_as(unit) for value in column], unit)
        for column, unit in zip(zip(*pulls, strict=True), units, strict=True)
    ]
    peaks = peak_tension(*columns)
    np.testing.assert_allclose(
        peaks.m_as("N"), [newtons(peak_tension(*pull)) for pull in pulls], rtol=1e-12
    )
    energies = kinetic_energy(*columns[:2])
    np.testing.assert_allclose(
        energies.m_as("J"), [kinetic_energy(*pull[:2]).m_as("J") for pull in pulls], rtol=1e-12
    )
    mass, _, stiffness, drive = columns
    speeds = speed_for_tension(mass, 1.5 * peaks, stiffness, drive)
    one_by_one = [
        speed_for_tension(m, 1.5 * peak, k, d).m_as("m/s")
        for (m, _, k, d), peak in zip(pulls, peaks, strict=True)
    ]
    np.testing.assert_allclose(speeds.m_as("m/s"), one_by_one, rtol=1e-12)


def test_a_curve_over_a_grid_broadcasts():
    speeds = Q(np.linspace(0, 3, 7), "m/s")
    masses = Q([[2000], [3000]], "kg")
    assert peak_tension(masses, speeds, Q(40, "kN/m")).m.shape == (2, 7)


# --- refused ----------------------------------------------------------------------------

GOOD = {
    "mass": Q(2500, "kg"),
    "speed": Q(5, "km/h"),
    "stiffness": Q(40, "kN/m"),
    "tension": Q(60, "kN"),
    "drive": Q(5, "kN"),
    "pretension": Q(1, "kN"),
}
WRONG_UNIT = Q(3, "degree")
BAD = [7, "7 kN", None, [7], WRONG_UNIT, Q(math.nan, "N"), Q(math.inf, "N"), Q([], "N")]
FUNCTIONS = [kinetic_energy, peak_tension, speed_for_tension]


def arguments_of(function):
    return {name: GOOD[name] for name in inspect.signature(function).parameters}


CASES = [(function, name) for function in FUNCTIONS for name in arguments_of(function)]
case_ids = [f"{function.__name__}-{name}" for function, name in CASES]


@pytest.mark.parametrize(("function", "name"), CASES, ids=case_ids)
@pytest.mark.parametrize("bad", BAD, ids=repr)
def test_bad_arguments_are_refused_by_name(function, name, bad):
    if isinstance(bad, Q) and bad is not WRONG_UNIT:
        bad = Q(bad.m, GOOD[name].units)
    with pytest.raises(InputError) as error:
        function(**{**arguments_of(function), name: bad})
    assert f"{function.__name__}:\n  {name}: " in str(error.value)
    assert f"write for example {name}=Q(" in str(error.value)


@pytest.mark.parametrize(("function", "name"), CASES, ids=case_ids)
def test_negative_and_huge_arguments_are_refused_by_name(function, name):
    for factor, fault in ((-1, f"{name}: -"), (1e12, "the largest that can be used")):
        with pytest.raises(InputError) as error:
            function(**{**arguments_of(function), name: factor * GOOD[name]})
        assert fault in str(error.value)


@pytest.mark.parametrize("function", FUNCTIONS)
def test_all_faults_are_named_at_once(function):
    names = list(arguments_of(function))
    with pytest.raises(InputError) as error:
        function(**dict.fromkeys(names, WRONG_UNIT))
    assert [line.split(":")[0].strip() for line in str(error.value).splitlines()[1:]] == names


@pytest.mark.parametrize("function", FUNCTIONS)
def test_arrays_that_do_not_fit_are_refused(function):
    arguments = arguments_of(function)
    for length, name in enumerate(arguments, start=2):
        arguments[name] = Q([arguments[name].m] * length, arguments[name].units)
    with pytest.raises(InputError, match="do not fit together: mass has 2 values, "):
        function(**arguments)


@pytest.mark.parametrize("name", ["mass", "stiffness"])
def test_nothing_moves_without_mass_or_stiffness(name):
    with pytest.raises(InputError, match=f"{name}: 0 .* is not above 0"):
        peak_tension(**{**arguments_of(peak_tension), name: 0 * GOOD[name]})


@pytest.mark.parametrize(
    ("mass", "stiffness", "fault"),
    [
        (1e-300, 4e4, "mass: 1×10⁻³⁰⁰ kg is below 0.001 kg"),
        (2500, 1e-300, "stiffness: 1×10⁻³⁰⁰ N/m is below 0.001 N/m"),
        (1, 1, "only at more than 3600 km/h"),
        ([2500, 1], [4e4, 1], "only at more than 3600 km/h"),
    ],
)
def test_no_absurd_speed_comes_of_absurdly_small_numbers(mass, stiffness, fault):
    with pytest.raises(InputError) as error:
        speed_for_tension(Q(mass, "kg"), Q(38, "kN"), Q(stiffness, "N/m"))
    assert fault in str(error.value)
