"""Spread against analytic propagation, scipy's distributions, and itself."""

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
    propagate,
)

CHANCES = np.array([0.001, 0.025, 0.2, 0.5, 0.8, 0.975, 0.999])


def ranging(value, plus_minus, unit=""):
    return Uncertain(Q(value - plus_minus, unit), Q(value + plus_minus, unit))


def edges(band: Band, unit: str) -> np.ndarray:
    return np.array([edge.m_as(unit) for edge in band])


# --- distributions ----------------------------------------------------------------------


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6))
def test_a_range_is_the_uniform_distribution(value, half):
    drawn = ranging(value, half, "kg").at(CHANCES).m_as("kg")
    expected = stats.uniform(value - half, 2 * half).ppf(CHANCES)
    np.testing.assert_allclose(drawn, expected, rtol=1e-12, atol=1e-9 * half + 1e-9 * abs(value))


def test_the_ends_may_be_in_two_units_of_one_kind():
    span = Uncertain(Q(10, "percent"), Q(0.3, ""))
    assert span.ends.m_as("percent") == pytest.approx([10, 30])


def test_both_ends_may_be_one():
    assert Uncertain(Q(3, "m"), Q(3, "m")).at(CHANCES).m_as("m").tolist() == [3] * len(CHANCES)


@pytest.mark.parametrize(
    ("low", "high"),
    [
        (38, Q(40, "kN")),
        (Q(38, "kN"), Q(10**400, "kN")),
        (Q(38 + 1j, "kN"), Q(40, "kN")),
        (Q(38, "kN"), Q("40", "kN")),
        (Q([38, 39], "kN"), Q(40, "kN")),
        (Q(float("nan"), "kN"), Q(40, "kN")),
        (Q(38, "kN"), Q(float("inf"), "kN")),
        (Q(38, "kN"), Q(40, "kg")),
        (Q(38, "kN"), Q(36, "kN")),
    ],
)
def test_other_than_two_ends_of_one_kind_is_refused(low, high):
    with pytest.raises(InputError, match="are not two quantities of one kind, the lower one first"):
        Uncertain(low, high)


# --- propagation against formulas -------------------------------------------------------


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
        propagate(root, {"a": ranging(0, 1)})


# --- draws ------------------------------------------------------------------------------


def test_a_name_keeps_its_draws_whatever_else_is_sampled():
    mass = ranging(2500, 100, "kg")
    alone = propagate(lambda mass: mass, {"mass": mass})
    among = propagate(
        lambda speed, mass: mass + 0 * speed * Q(1, "kg*s/m"),
        {
            "speed": ranging(5, 1, "km/h"),
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
            "mass": ranging(mass, mass * mass_off, "kg"),
            "stiffness": ranging(stiffness, stiffness * stiffness_off, "kN/m"),
        },
    ).band
    low, median, high = edges(band, "kN")
    assert np.all(np.isfinite(high))
    assert np.all(low >= 0)
    assert np.all((low <= median) & (median <= high))
    assert np.all(np.diff(high) >= 0)


# --- cases in which a part breaks -------------------------------------------------------


def parting_in(share):
    """A pull of 10 to 30 kN, in the hardest `share` of which a part breaks."""

    def pull(load):
        return Q(np.where(load.m >= 30 - 20 * share, np.inf, load.m), "kN")

    return propagate(pull, {"load": Uncertain(Q(10, "kN"), Q(30, "kN"))})


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
