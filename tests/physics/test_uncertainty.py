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
    RANGE,
    SAMPLES,
    STANDARD_DEVIATION,
    Band,
    Uncertain,
    check_fields,
    propagate,
)
from recoverykit.units.validation import not_negative

CHANCES = np.array([0.001, 0.025, 0.2, 0.5, 0.8, 0.975, 0.999])


def normal(value, deviation, unit=""):
    return Uncertain(Q(value, unit), Q(deviation, unit), STANDARD_DEVIATION)


def edges(band: Band, unit: str) -> np.ndarray:
    return np.array([edge.m_as(unit) for edge in band])


# --- distributions ----------------------------------------------------------------------


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6))
def test_a_range_is_the_uniform_distribution(value, half):
    drawn = Uncertain(Q(value, "kg"), Q(half, "kg")).at(CHANCES).m_as("kg")
    expected = stats.uniform(value - half, 2 * half).ppf(CHANCES)
    np.testing.assert_allclose(drawn, expected, rtol=1e-12, atol=1e-9 * half + 1e-9 * abs(value))


@given(st.floats(0, 1e6), st.floats(0.01, 3))
def test_a_standard_deviation_is_the_normal_distribution_cut_at_zero(value, relative):
    deviation = relative * max(value, 1.0)
    drawn = normal(value, deviation).at(CHANCES).m_as("")
    expected = stats.truncnorm(-value / deviation, np.inf, value, deviation).ppf(CHANCES)
    np.testing.assert_allclose(drawn, expected, rtol=1e-8, atol=1e-9 * deviation)


def test_a_small_standard_deviation_is_hardly_cut():
    assert normal(2500, 100, "kg").at(0.975).m_as("kg") == pytest.approx(
        stats.norm(2500, 100).ppf(0.975), rel=1e-9
    )


def test_nothing_uncertain_gives_the_value_itself():
    for stated_as in (RANGE, STANDARD_DEVIATION):
        steady = Uncertain(Q(38, "kN"), Q(0, "kN"), stated_as)
        np.testing.assert_array_equal(steady.at(CHANCES).m_as("kN"), np.full(len(CHANCES), 38.0))


def test_plus_minus_may_be_in_another_unit_of_the_kind():
    assert Uncertain(Q(1, "m"), Q(10, "cm")).ends.m_as("m") == pytest.approx([0.9, 1.1])


@pytest.mark.parametrize(
    ("value", "plus_minus", "stated_as", "says"),
    [
        (38, Q(2, "kN"), RANGE, "value: 38 is not one number with its unit"),
        (Q(10**400, "kN"), Q(2, "kN"), RANGE, "… is not one number with its unit"),
        (Q(38 + 1j, "kN"), Q(2, "kN"), RANGE, "(38+1j) kN is not one number with its unit"),
        (Q(38, "kN"), Q("2", "kN"), RANGE, "plus_minus: 2 kN is not one number with its unit"),
        (Q([38, 39], "kN"), Q(2, "kN"), RANGE, "value: "),
        (Q(float("nan"), "kN"), Q(2, "kN"), RANGE, "value: nan"),
        (Q(38, "kN"), Q(2, "kg"), RANGE, "plus_minus: 2 kg is not of the same kind as 38 kN"),
        (Q(38, "kN"), Q(-2, "kN"), RANGE, "plus_minus: -2 kN is below 0"),
        (Q(38, "kN"), Q(2, "kN"), "sigma", "stated_as: 'sigma' is neither"),
        (Q(-38, "kN"), Q(2, "kN"), STANDARD_DEVIATION, "value: -38 kN is below 0"),
    ],
)
def test_bad_input_is_named(value, plus_minus, stated_as, says):
    with pytest.raises(InputError) as error:
        Uncertain(value, plus_minus, stated_as)
    assert says in str(error.value)


def test_all_faults_are_named_at_once():
    with pytest.raises(InputError, match=r"value: .*\n.*plus_minus: .*\n.*stated_as: "):
        Uncertain(1, 2, "3")


@pytest.mark.parametrize(
    ("low", "high"), [(Q(1, "kg"), Q(2, "m")), (1, 2), (Q(2, "kg"), Q(1, "kg"))]
)
def test_between_needs_a_lower_and_an_upper_end_of_one_kind(low, high):
    with pytest.raises(InputError):
        Uncertain.between(low, high)


def test_between_reaches_from_one_end_to_the_other():
    span = Uncertain.between(Q(10, "percent"), Q(0.3, ""))
    assert span.stated_as == RANGE
    assert span.value.m_as("percent") == pytest.approx(20)
    assert span.ends.m_as("percent") == pytest.approx([10, 30])
    certain = Uncertain.between(Q(3, "m"), Q(3, "m"))
    assert certain.ends.m_as("m").tolist() == [3, 3]


def test_the_ends_of_a_standard_deviation_leave_out_two_in_a_million():
    ends = normal(2500, 100, "kg").ends.m_as("kg")
    assert ends == pytest.approx(stats.norm(2500, 100).ppf([1e-6, 1 - 1e-6]))


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
    # GUM 5.1.2: the variances of a sum add, each times the square of its factor.
    spread = propagate(
        lambda a, b, c: 3 * a - 2 * b + c,
        {"a": normal(100, 4), "b": normal(50, 3), "c": normal(10, 1)},
    )
    exact = stats.norm(210, np.sqrt(12**2 + 6**2 + 1**2))
    np.testing.assert_allclose(
        edges(spread.band, ""), exact.ppf([0.025, 0.5, 0.975]), atol=0.02 * exact.std()
    )
    total = 12**2 + 6**2 + 1**2
    assert list(spread.shares) == ["a", "b", "c"]
    for name, part in (("a", 144), ("b", 36), ("c", 1)):
        assert spread.shares[name] == pytest.approx(part / total, abs=0.02)
    assert sum(spread.shares.values()) == pytest.approx(1, abs=0.03)


def test_peak_force_spreads_by_half_of_mass_and_half_of_stiffness():
    # F = v √(k m): relative variances add as u_v² + u_k²/4 + u_m²/4 (GUM 5.1.6).
    spread = propagate(
        peak_tension,
        {
            "mass": normal(2500, 100, "kg"),
            "speed": normal(5, 0.2, "km/h"),
            "stiffness": normal(40, 2.4, "kN/m"),
        },
    )
    relative = np.sqrt(0.04**2 + (0.06 / 2) ** 2 + (0.04 / 2) ** 2)
    peak = peak_tension(Q(2500, "kg"), Q(5, "km/h"), Q(40, "kN/m")).m_as("kN")
    # To second order the median is that of a log-normal answer, the product of the medians.
    exact = stats.lognorm(relative, scale=peak)
    np.testing.assert_allclose(edges(spread.band, "kN"), exact.ppf([0.025, 0.5, 0.975]), rtol=0.006)
    parts = {"speed": 0.04**2, "stiffness": 0.03**2, "mass": 0.02**2}
    assert list(spread.shares) == list(parts)
    for name, part in parts.items():
        assert spread.shares[name] == pytest.approx(part / relative**2, abs=0.02)


def test_a_product_of_log_normal_inputs_is_log_normal():
    inputs = {"a": normal(3, 0.3), "b": normal(2, 0.4)}
    band = propagate(lambda a, b: np.exp(a) * np.exp(b), inputs).band
    exact = stats.lognorm(0.5, scale=np.exp(5)).ppf([0.025, 0.5, 0.975])
    np.testing.assert_allclose(edges(band, ""), exact, rtol=0.015)


def test_the_sum_of_two_equal_ranges_is_a_triangle():
    spread = propagate(lambda a, b: a + b, dict.fromkeys("ab", Uncertain(Q(10, "m"), Q(1, "m"))))
    exact = stats.triang(0.5, 18, 4).ppf([0.025, 0.5, 0.975])
    np.testing.assert_allclose(edges(spread.band, "m"), exact, atol=0.01)
    assert spread.shares["a"] == pytest.approx(0.5, abs=0.02)


def test_an_input_that_acts_only_together_with_another_explains_nothing_alone():
    # a b with both means 0: var(E[ab | a]) = 0, although the answer depends on a.
    both = {n: Uncertain(Q(0, ""), Q(1, "")) for n in ("a", "b")}
    shares = propagate(lambda a, b: a * b, both).shares
    assert max(shares.values()) < 0.02


def test_an_input_without_any_effect_has_no_share():
    spread = propagate(lambda a, b: a + 0 * b, {"a": normal(5, 1), "b": normal(5, 1)})
    assert spread.shares["a"] == pytest.approx(1, abs=0.01)
    assert spread.shares["b"] < 0.01


@pytest.mark.parametrize(
    ("function", "given", "shares"),
    [
        (lambda a: 0 * a + Q(6, "m"), Uncertain(Q(1, "m"), Q(1, "m")), {"a": 0.0}),
        (lambda a: 2 * a, Q(3, "m"), {}),
    ],
    ids=["certain answer", "certain input"],
)
def test_what_is_certain_has_no_spread_and_no_shares(function, given, shares):
    spread = propagate(function, {"a": given})
    assert edges(spread.band, "m").tolist() == [6.0, 6.0, 6.0]
    assert spread.shares == shares


def test_an_answer_that_is_no_number_is_refused():
    def root(a):
        with np.errstate(invalid="ignore"):
            return np.sqrt(a)

    with pytest.raises(InputError, match="narrow their range"):
        propagate(root, {"a": Uncertain(Q(0, ""), Q(1, ""))})


# --- draws ------------------------------------------------------------------------------


def test_one_seed_gives_one_answer_and_another_hardly_another():
    inputs = {"mass": normal(2500, 100, "kg"), "speed": Q(5, "km/h"), "stiffness": Q(40, "kN/m")}
    bands = [edges(propagate(peak_tension, inputs, seed=s).band, "kN") for s in (1, 1, 2)]
    assert bands[0].tolist() == bands[1].tolist()
    assert bands[0].tolist() != bands[2].tolist()
    np.testing.assert_allclose(bands[0], bands[2], rtol=2e-3)


def test_a_name_keeps_its_draws_whatever_else_is_sampled():
    mass = normal(2500, 100, "kg")
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
    spread = propagate(
        lambda **by_name: by_name["mass"], {n: Uncertain(Q(0, ""), Q(1, "")) for n in names}
    )
    correlation = np.corrcoef([spread.chances[name] for name in names])
    assert np.max(np.abs(correlation - np.eye(len(names)))) < 0.04


def test_one_sample_lies_in_each_slice_of_chance():
    spread = propagate(lambda a: a, {"a": Uncertain(Q(0, ""), Q(1, ""))}, samples=1000)
    assert sorted((spread.chances["a"] * 1000).astype(int)) == list(range(1000))


def test_the_draws_cannot_be_overwritten():
    spread = propagate(lambda a: a, {"a": Uncertain(Q(0, ""), Q(1, ""))})
    assert spread.samples.shape == (SAMPLES,)
    with pytest.raises(ValueError, match="read-only"):
        spread.chances["a"][0] = 0.5


# --- curves -----------------------------------------------------------------------------

SPEEDS = Q(np.linspace(0, 12, 60), "km/h")


@given(st.floats(500, 20000), st.floats(0, 0.5), st.floats(5, 500), st.floats(0, 0.5))
def test_a_band_is_in_order_and_finite(mass, mass_off, stiffness, stiffness_off):
    band = propagate(
        lambda mass, stiffness: peak_tension(mass, SPEEDS[:, np.newaxis], stiffness),
        {
            "mass": Uncertain(Q(mass, "kg"), Q(mass * mass_off, "kg")),
            "stiffness": normal(stiffness, stiffness * stiffness_off, "kN/m"),
        },
        samples=500,
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
