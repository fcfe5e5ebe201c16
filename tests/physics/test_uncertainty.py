"""Spread against analytic propagation, scipy's distributions, and itself."""

import itertools
from contextlib import nullcontext
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from recoverykit import InputError, Q
from recoverykit.physics.formulas import peak_tension
from recoverykit.physics.uncertainty import (
    SAMPLES,
    Band,
    Uncertain,
    check_fields,
    propagate,
)
from recoverykit.units.validation import not_negative

CHANCES = np.array([0.001, 0.025, 0.2, 0.5, 0.8, 0.975, 0.999])


def ranging(value, plus_minus, unit=""):
    return Uncertain(Q(value, unit), Q(plus_minus, unit))


def edges(band: Band, unit: str) -> np.ndarray:
    return np.array([edge.m_as(unit) for edge in band])


# --- distributions ----------------------------------------------------------------------


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6))
def test_a_range_is_the_uniform_distribution(value, half):
    drawn = ranging(value, half, "kg").at(CHANCES).m_as("kg")
    expected = stats.uniform(value - half, 2 * half).ppf(CHANCES)
    np.testing.assert_allclose(drawn, expected, rtol=1e-12, atol=1e-9 * half + 1e-9 * abs(value))


def test_nothing_uncertain_gives_the_value_itself():
    steady = ranging(38, 0, "kN").at(CHANCES).m_as("kN")
    np.testing.assert_array_equal(steady, np.full(len(CHANCES), 38.0))


def test_plus_minus_may_be_in_another_unit_of_the_kind():
    assert Uncertain(Q(1, "m"), Q(10, "cm")).ends.m_as("m") == pytest.approx([0.9, 1.1])


@pytest.mark.parametrize(
    ("value", "plus_minus", "says"),
    [
        (38, Q(2, "kN"), "value: 38 is not one number with its unit"),
        (Q(10**400, "kN"), Q(2, "kN"), "… is not one number with its unit"),
        (Q(38 + 1j, "kN"), Q(2, "kN"), "(38+1j) kN is not one number with its unit"),
        (Q(38, "kN"), Q("2", "kN"), "plus_minus: 2 kN is not one number with its unit"),
        (Q([38, 39], "kN"), Q(2, "kN"), "value: "),
        (Q(float("nan"), "kN"), Q(2, "kN"), "value: nan"),
        (Q(38, "kN"), Q(2, "kg"), "plus_minus: 2 kg is not of the same kind as 38 kN"),
        (Q(38, "kN"), Q(-2, "kN"), "plus_minus: -2 kN is below 0"),
    ],
)
def test_bad_input_is_named(value, plus_minus, says):
    with pytest.raises(InputError) as error:
        Uncertain(value, plus_minus)
    assert says in str(error.value)


def test_all_faults_are_named_at_once():
    with pytest.raises(InputError, match=r"value: .*\n.*plus_minus: "):
        Uncertain(1, 2)


@pytest.mark.parametrize(
    ("low", "high"), [(Q(1, "kg"), Q(2, "m")), (1, 2), (Q(2, "kg"), Q(1, "kg"))]
)
def test_between_needs_a_lower_and_an_upper_end_of_one_kind(low, high):
    with pytest.raises(InputError):
        Uncertain.between(low, high)


def test_between_reaches_from_one_end_to_the_other():
    span = Uncertain.between(Q(10, "percent"), Q(0.3, ""))
    assert span.value.m_as("percent") == pytest.approx(20)
    assert span.ends.m_as("percent") == pytest.approx([10, 30])
    certain = Uncertain.between(Q(3, "m"), Q(3, "m"))
    assert certain.ends.m_as("m").tolist() == [3, 3]


@pytest.mark.parametrize(
    ("value", "says"), [(0.1, r"share: -0\.1"), (0.9, r"share: 1\.1"), (0.5, None)]
)
def test_both_ends_of_a_field_are_checked(value, says):
    record = SimpleNamespace(share=Uncertain(Q(value, ""), Q(0.2, "")))
    refused = pytest.raises(InputError, match=says) if says else nullcontext()
    with refused:
        check_fields(record, share=not_negative("ratio", at_most=1.0))


# --- propagation against formulas -------------------------------------------------------


def test_linear_propagation():
    spread = propagate(lambda a: 3 * a - Q(20, "m"), {"a": ranging(10, 2, "m")})
    exact = stats.uniform(4, 12).ppf([0.025, 0.5, 0.975])
    np.testing.assert_allclose(edges(spread.band, "m"), exact, atol=0.002)


def test_peak_force_spreads_by_half_of_mass_and_half_of_stiffness():
    # F = v √(k m): relative variances add as u_v² + u_k²/4 + u_m²/4 (GUM 5.1.6).
    spread = propagate(
        peak_tension,
        {
            "mass": ranging(2500, 100, "kg"),
            "speed": ranging(5, 0.2, "km/h"),
            "stiffness": ranging(40, 2.4, "kN/m"),
        },
    )
    peak = peak_tension(Q(2500, "kg"), Q(5, "km/h"), Q(40, "kN/m")).m_as("kN")
    relative = np.sqrt((0.04**2 + (0.06 / 2) ** 2 + (0.04 / 2) ** 2) / 3)  # of ranges: GUM 4.3.7
    assert np.std(spread.samples.m_as("kN")) / peak == pytest.approx(relative, rel=0.01)


def test_the_sum_of_two_equal_ranges_is_a_triangle():
    spread = propagate(lambda a, b: a + b, dict.fromkeys("ab", ranging(10, 1, "m")))
    exact = stats.triang(0.5, 18, 4).ppf([0.025, 0.5, 0.975])
    np.testing.assert_allclose(edges(spread.band, "m"), exact, atol=0.01)


@pytest.mark.parametrize(
    ("function", "given"),
    [(lambda a: 0 * a + Q(6, "m"), ranging(1, 1, "m")), (lambda a: 2 * a, Q(3, "m"))],
    ids=["certain answer", "certain input"],
)
def test_what_is_certain_has_no_spread(function, given):
    band = propagate(function, {"a": given}).band
    assert edges(band, "m").tolist() == [6.0, 6.0, 6.0]


def test_an_answer_that_is_no_number_is_refused():
    def root(a):
        with np.errstate(invalid="ignore"):
            return np.sqrt(a)

    with pytest.raises(InputError, match="narrow their range"):
        propagate(root, {"a": Uncertain(Q(0, ""), Q(1, ""))})


# --- draws ------------------------------------------------------------------------------


def test_a_name_keeps_its_draws_whatever_else_is_sampled():
    mass = ranging(2500, 100, "kg")
    alone = propagate(lambda mass: mass, {"mass": mass})
    among = propagate(
        lambda speed, mass: mass + 0 * speed * Q(1, "kg*s/m"),
        {
            "speed": Uncertain(Q(5, "km/h"), Q(1, "km/h")),
            "mass": mass,
        },
    )
    np.testing.assert_allclose(alone.samples.m_as("kg"), among.samples.m_as("kg"), rtol=1e-12)


def test_names_are_drawn_independently():
    names = ["mass", "speed", "stiffness", "traction", "slope"]
    drawn = [propagate(lambda **by: next(iter(by.values())), {n: ranging(0, 1)}) for n in names]
    correlation = np.corrcoef([spread.samples.m for spread in drawn])
    assert np.max(np.abs(correlation - np.eye(len(names)))) < 0.04


def test_one_sample_lies_in_each_slice_of_chance():
    chances = propagate(lambda a: a, {"a": ranging(0.5, 0.5)}).samples.m
    assert sorted((chances * SAMPLES).astype(int)) == list(range(SAMPLES))


# --- curves -----------------------------------------------------------------------------

SPEEDS = Q(np.linspace(0, 12, 6), "km/h")


@given(st.floats(500, 20000), st.floats(0, 0.5), st.floats(5, 500), st.floats(0, 0.5))
def test_a_band_is_in_order_and_finite(mass, mass_off, stiffness, stiffness_off):
    band = propagate(
        lambda mass, stiffness: peak_tension(mass, SPEEDS[:, np.newaxis], stiffness),
        {
            "mass": Uncertain(Q(mass, "kg"), Q(mass * mass_off, "kg")),
            "stiffness": ranging(stiffness, stiffness * stiffness_off, "kN/m"),
        },
    ).band
    low, median, high = edges(band, "kN")
    assert np.all(np.isfinite(high))
    assert np.all(low >= 0)
    assert np.all((low <= median) & (median <= high))
    assert np.all(np.diff(high) >= 0)


def test_a_wider_input_makes_a_wider_band():
    def width(plus_minus):
        band = propagate(
            peak_tension,
            {
                "mass": Uncertain(Q(2500, "kg"), Q(plus_minus, "kg")),
                "speed": Q(5, "km/h"),
                "stiffness": Q(40, "kN/m"),
            },
        ).band
        return (band.high - band.low).m_as("kN")

    widths = [width(plus_minus) for plus_minus in (0, 50, 100, 400)]
    assert widths[0] == 0
    assert all(narrow < wide for narrow, wide in itertools.pairwise(widths))


# --- cases in which a part breaks -------------------------------------------------------


def parting_in(share):
    """A pull of 10 to 30 kN, in the hardest `share` of which a part breaks."""

    def pull(load):
        return Q(np.where(load.m >= 30 - 20 * share, np.inf, load.m), "kN")

    return propagate(pull, {"load": Uncertain.between(Q(10, "kN"), Q(30, "kN"))})


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.01, "20.0 kN (95 of 100 cases between 10.5 kN and 29.5 kN)"),
        (0.10, "20.0 kN or more: the line may part"),
        (0.60, "no number: the line may part"),
        (1.00, "no number: the line may part"),
    ],
)
def test_a_case_in_which_a_part_breaks_is_above_every_limit(share, words):
    spread = parting_in(share)
    assert spread.band.words("force") == words
    assert np.mean(np.isinf(spread.samples.m)) == pytest.approx(share, abs=1e-3)
    assert not any(np.isnan(edge.m) for edge in spread.band)
