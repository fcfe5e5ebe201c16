"""Formulas: energies, peak tension, its inverse, and springs one behind the other.

That each gives what its docstring's equation says is tested with the docstrings.
"""

import inspect

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from recoverykit import (
    InputError,
    Q,
    kinetic_energy,
    peak_tension,
    reduced_mass,
    series_stiffness,
    speed_for_tension,
)
from recoverykit.physics.formulas import drop_height, time_under_load

pytestmark = pytest.mark.filterwarnings("error")  # nothing is computed by way of a bad root

quick = settings(max_examples=80, deadline=None)

masses = st.floats(100, 40_000).map(lambda x: Q(x, "kg"))
speeds = st.floats(0, 40).map(lambda x: Q(x, "km/h"))
stiffnesses = st.floats(1, 5_000).map(lambda x: Q(x, "kN/m"))
forces = st.floats(0, 100).map(lambda x: Q(x, "kN"))


# --- against mechanics ------------------------------------------------------------------


def test_peak_and_time_under_load_against_a_pull_in_small_steps():
    mass, stiffness, speed = 3100.0, 45_000.0, 5 / 3.6
    step, time, x, v = 1e-5, 0.0, 0.0, speed
    highest = 0.0
    while x >= 0:
        v -= stiffness * x / mass * step  # semi-implicit Euler
        x += v * step
        time += step
        highest = max(highest, stiffness * x)
    assert time_under_load.si(mass, stiffness) == pytest.approx(time, rel=1e-3)
    assert peak_tension.si(mass, speed, stiffness) == pytest.approx(highest, rel=1e-3)


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
    # The balance has a second solution, the other end of the swing.
    assert peak.m_as("N") >= max(drive, pretension).m_as("N") * (1 - 1e-12)


# --- inverse ----------------------------------------------------------------------------


@given(masses, st.floats(1, 500), stiffnesses, forces)
@quick
def test_peak_tension_undoes_speed_for_tension(mass, above, stiffness, drive):
    tension = 2 * drive + Q(above, "kN")
    assume(tension / (mass * stiffness) ** 0.5 < Q(99, "m/s"))
    speed = speed_for_tension(mass, tension, stiffness, drive)
    peak = peak_tension(mass, speed, stiffness, drive)
    assert peak.m_as("N") == pytest.approx(tension.m_as("N"))


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


# --- series -----------------------------------------------------------------------------


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


# --- all of them ------------------------------------------------------------------------


def test_a_curve_over_a_grid_broadcasts():
    speeds = Q(np.linspace(0, 3, 7), "m/s")
    masses = Q([[2000], [3000]], "kg")
    assert peak_tension(masses, speeds, Q(40, "kN/m")).m.shape == (2, 7)


@pytest.mark.parametrize(
    "function",
    [
        kinetic_energy,
        drop_height,
        peak_tension,
        speed_for_tension,
        reduced_mass,
        time_under_load,
    ],
)
def test_every_argument_is_checked(function):
    names = list(inspect.signature(function).parameters)
    with pytest.raises(InputError) as error:
        function(**dict.fromkeys(names, Q(3, "degree")))
    faults = [line.split(":")[0].strip() for line in str(error.value).splitlines()]
    assert faults == [function.__name__, *names]
