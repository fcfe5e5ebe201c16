"""Scatter of repeated pulls, and drift between the rounds."""

import numpy as np
import pytest
from scipy.special import ndtr

from recoverykit import InputError, Q
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.repeatability import drift, repeatability

LADDER = np.arange(1.0, 9.0)


def log_of(speeds, peaks, **options):
    return PullLog(Q(speeds, "km/h"), Q(peaks, "kN"), **options)


def two_rounds(change, scatter, seed):
    random = np.random.default_rng(seed)
    peaks = np.concatenate([4.6 * LADDER, 4.6 * LADDER * (1 + change)])
    return log_of(np.tile(LADDER, 2), peaks * (1 + scatter * random.standard_normal(16)))


def test_scatter_by_hand():
    # Speed 2: 9, 11 (mean 10, squares 2). Speed 5: 20, 23, 26 (mean 23, squares 18). (2 + 18) / 3.
    found = repeatability(log_of([2, 5, 2, 5, 5, 7], [9, 20, 11, 23, 26, 30]))
    assert found.degrees_of_freedom == 3
    assert found.scatter.m_as("kN") == pytest.approx((20 / 3) ** 0.5)
    # Student's t(3) is 3.182.
    assert found.limit.m_as("kN") == pytest.approx(3.182446 * (2 * 20 / 3) ** 0.5)
    assert found.relative.m_as("") == pytest.approx(((2 / 10**2 + 18 / 23**2) / 3) ** 0.5)


@pytest.mark.parametrize("repeats", [2, 4, 10])
def test_the_limit_is_passed_once_in_20_times_however_few_the_repeats(repeats):
    random = np.random.default_rng(repeats)
    passed = []
    for _ in range(600):
        peaks = 20 + random.standard_normal(repeats + 1)
        limit = repeatability(log_of([4] * (repeats + 1), peaks)).limit.m_as("kN")
        passed.append(2 * ndtr(-limit / 2**0.5))  # of two more pulls, which differ by √2
    assert np.mean(passed) == pytest.approx(0.05, abs=0.008)


def test_speeds_that_are_not_quite_equal_do_not_count_as_scatter():
    speeds = [1.9, 2.1, 3.9, 4.2, 6.0, 6.3]
    found = repeatability(log_of(speeds, 4.6 * np.array(speeds)))
    assert found.degrees_of_freedom == 3
    assert found.scatter.m_as("kN") == pytest.approx(0, abs=1e-9)


def test_no_speed_pulled_twice():
    with pytest.raises(InputError, match="pull each speed at least twice"):
        repeatability(log_of(LADDER, 4.6 * LADDER))


def test_pulls_at_the_full_scale_of_the_meter_do_not_count():
    below = log_of([2, 4, 6] * 2, [10, 20, 30, 11, 22, 34])
    log = log_of([2, 4, 6, 8] * 2, [10, 20, 30, 38, 11, 22, 34, 40], full_scale=Q(40, "kN"))
    assert repeatability(log) == repeatability(below)
    assert drift(log) == drift(below)


# --- drift ------------------------------------------------------------------------------


def test_drift_by_hand():
    found = drift(log_of([2, 4, 2, 4], [10, 20, 11, 20]))
    # ln 1.1 and 0: mean ln 1.1 / 2, standard deviation ln 1.1 / √2, Student's t(1) 12.7062.
    middle, half = np.log(1.1) / 2, 12.7062047 * np.log(1.1) / 2
    assert found.change.m_as("") == pytest.approx(np.expm1(middle))
    assert found.low.m_as("") == pytest.approx(np.expm1(middle - half))
    assert found.high.m_as("") == pytest.approx(np.expm1(middle + half))
    assert not found.found


def test_drift_is_found_as_often_as_it_should():
    hits = [drift(two_rounds(0.0, 0.03, seed)).found for seed in range(400)]
    assert np.mean(hits) == pytest.approx(0.05, abs=0.03)
    covered = [
        found.low.m_as("") <= 0.08 <= found.high.m_as("")
        for found in (drift(two_rounds(0.08, 0.03, seed)) for seed in range(400))
    ]
    assert np.mean(covered) == pytest.approx(0.95, abs=0.03)
    assert np.mean([drift(two_rounds(0.08, 0.03, seed)).found for seed in range(100)]) > 0.9


@pytest.mark.parametrize(("change", "word"), [(0.08, "harder"), (-0.08, "less hard")])
def test_words_for_the_drift(change, word):
    found = drift(two_rounds(change, 0.005, 3))
    assert found.found
    assert word in found.summary
    assert "No drift" in drift(two_rounds(0, 0.05, 3)).summary


def test_drift_needs_no_full_rounds():
    found = drift(log_of([2, 4, 6, 2, 4, 8], [10, 20, 30, 11, 22, 44]))
    assert found.speeds == 2
    assert found.change.m_as("") == pytest.approx(0.1)


def test_drift_compares_the_first_with_the_last():
    speeds, rounds = [2, 4] * 3, [1, 1, 2, 2, 5, 5]
    found = drift(log_of(speeds, [10, 20, 98, 99, 12, 24], round_number=rounds))
    assert (found.first, found.last) == (1, 5)
    assert found.change.m_as("") == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("speeds", "round_number"),
    [([2, 4, 6, 8], None), ([2, 4, 6, 2], None), ([2, 4, 2, 4], [3, 3, 3, 3])],
)
def test_no_two_rounds(speeds, round_number):
    with pytest.raises(InputError, match="pull the whole ladder of speeds twice"):
        drift(log_of(speeds, [10, 20, 30, 11], round_number=round_number))
