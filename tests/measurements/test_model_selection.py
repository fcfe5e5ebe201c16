"""Shapes side by side: the right one is never lost, the wrong ones mostly are."""

import numpy as np
import pytest
from scipy.stats import f

from recoverykit import InputError, Q
from recoverykit.measurements.model_selection import compare
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.regression import IN_PROPORTION, SAME, fit, scatters_of
from recoverykit.measurements.shapes import (
    DRIVE,
    EXPONENTIAL,
    LINE,
    ORIGIN,
    ROPE,
    SHAPES,
    SQUARE,
    STIFFENING,
)

LADDER = np.arange(1.0, 8.0)
TRUE = {
    LINE: [3000.0, 22_000.0],
    ORIGIN: [24_000.0],
    DRIVE: [22_000.0, 0.25],
    STIFFENING: [24_000.0, 0.6],
    ROPE: [24_000.0, 0.6, 0.2],
    SQUARE: [25_000.0],
    EXPONENTIAL: [3_000.0, 2.2],
}
WRONG = {SQUARE, EXPONENTIAL}


def log_of(shape, scatter, seed=0, kind=IN_PROPORTION, rounds=2, values=None):
    speeds = np.tile(LADDER, rounds)
    peaks = shape.curve(np.array(values or TRUE[shape]), speeds / LADDER[-1])
    noise = scatter * np.random.default_rng(seed).standard_normal(len(speeds))
    peaks = peaks * (1 + noise) if kind == IN_PROPORTION else peaks + noise
    return PullLog(Q(speeds, "km/h"), Q(peaks, "N"))


def ruled_out(comparison):
    return {candidate.shape for candidate in comparison.candidates if candidate.ruled_out}


def test_the_error_of_a_speed_that_was_left_out_by_hand():
    # Lines through the origin, fitted without one speed: slopes from the other three.
    log = PullLog(Q([1, 2, 3, 4], "m/s"), Q([1.0, 2.2, 2.9, 4.1], "kN"))
    found = compare(log).of(ORIGIN)
    v, peak = log.speed_si, log.peak_si
    missed = []
    for out in range(4):
        kept = np.arange(4) != out
        # Without repeats the scatter is in proportion: weights 1 / peak².
        slope = np.sum(v[kept] / peak[kept]) / np.sum((v[kept] / peak[kept]) ** 2)
        missed.append((peak[out] - slope * v[out]) / peak[out])
    assert found.error.m_as("") == pytest.approx(np.sqrt(np.mean(np.square(missed))))


def test_ruled_out_is_what_misses_the_pulls_by_more_than_chance_by_hand():
    over = []  # of each shape in each log, the squares that it leaves over what chance allows
    for seed, stiffening in ((0, 0.12), (0, 0.13), (3, 0.25), (3, 0.29), (3, 0.3)):
        log = log_of(STIFFENING, 0.03, seed, values=[24_000.0, stiffening])
        candidates = compare(log).candidates
        by_scatter = []  # in the third log only one kind of it would rule out a shape
        for scatter in scatters_of(log):
            fits = [fit(log, each.shape, scatter) for each in candidates]
            squares = [each.residual**2 * each.degrees_of_freedom for each in fits]
            degrees = fits[0].degrees_of_freedom
            allowed = squares[0] * (1 + f.ppf(0.99, 1, degrees) / degrees)
            by_scatter.append(np.array(squares) / allowed)
        over += np.min(by_scatter, axis=0).tolist()
        assert [each.ruled_out for each in candidates] == [
            each > 1 for each in over[-len(SHAPES) :]
        ]
    assert any(0.9 < each < 1 for each in over)
    assert any(1 < each < 1.1 for each in over)


@pytest.mark.parametrize(
    ("kind", "scatter"), [(IN_PROPORTION, 0.03), (SAME, 150.0)], ids=["in proportion", "same"]
)
def test_the_right_shape_is_rarely_ruled_out(kind, scatter):
    missed = []
    for true in SHAPES:
        # Ropes are slow to fit to what is no rope's.
        count = 2 if true in WRONG else 6
        found = [ruled_out(compare(log_of(true, scatter, seed, kind))) for seed in range(count)]
        missed += [true in out for out in found]
        if true not in WRONG:
            # With a drive kept on, the peaks begin above zero and rise as an exponential may.
            for implausible in WRONG - ({EXPONENTIAL} if true in (DRIVE, ROPE) else set()):
                assert np.mean([implausible in out for out in found]) > 0.95
    assert np.mean(missed) <= 0.05


def test_the_best_predicts_best_and_the_rest_follow():
    found = compare(log_of(STIFFENING, 0.02))
    errors = [candidate.error.m_as("") for candidate in found.candidates]
    assert errors == sorted(errors)
    # The rope with a drive kept on includes the one without.
    assert {candidate.shape for candidate in found.candidates[:2]} == {STIFFENING, ROPE}


def test_two_rounds_cannot_tell_a_little_stiffening_but_many_can():
    few, many = (
        compare(log_of(STIFFENING, 0.03, seed=3, rounds=rounds, values=[22_000.0, 0.1]))
        for rounds in (2, 40)
    )
    assert {ORIGIN, STIFFENING} <= {candidate.shape for candidate in few.possible}
    assert "cannot tell apart" in few.summary
    assert ORIGIN in ruled_out(many)
    assert STIFFENING not in ruled_out(many)


def test_a_stiffening_rope_is_found_with_or_without_drive():
    found = compare(log_of(STIFFENING, 0.005))
    assert {candidate.shape for candidate in found.possible} == {STIFFENING, ROPE}
    for shape in (ORIGIN, SQUARE, EXPONENTIAL):
        assert shape.name in found.summary.partition("rule out: ")[2]


def test_a_straight_line_is_never_the_one_shape_that_is_left():
    # Below nothing at standstill, as a stiffening rope makes it; the line fits best by far.
    speeds = np.tile(LADDER, 2)
    found = compare(PullLog(Q(speeds, "km/h"), Q(-0.64 + 2.4 * speeds + 0.01 * speeds % 3, "kN")))
    assert LINE not in {candidate.shape for candidate in found.possible}
    assert "leave one shape: straight line" not in found.summary
    assert "drops below zero at a standstill" in found.summary
    assert "a rope that stiffens" in found.summary


def test_a_wrong_shape_that_fits_is_called_wrong():
    found = compare(log_of(SQUARE, 0.03))
    assert found.candidates[0].shape is SQUARE
    assert SQUARE not in {candidate.shape for candidate in found.possible}
    assert "No rope pulls like the square of the speed" in found.summary
    assert "No curve a rope could have is left" in found.summary
    assert "leave one shape" not in compare(log_of(SQUARE, 0.003)).summary


def test_rows_that_look_wrong_are_mentioned_first():
    log = log_of(ORIGIN, 0.03)
    peaks = log.peak.m_as("kN").copy()
    peaks[4] *= 10
    spoiled = PullLog(log.speed, Q(peaks, "kN"))
    assert compare(spoiled).summary.startswith("First settle what looks wrong in the log (1 place)")
    assert compare(spoiled.without(5)).suspicious == 0
    assert compare(spoiled.with_accepted(5)).suspicious == 0


def test_errors_carry_the_kind_of_scatter():
    relative, absolute = (
        compare(log_of(ORIGIN, size, kind=kind, rounds=6))
        for kind, size in ((IN_PROPORTION, 0.03), (SAME, 400.0))
    )
    assert "%" in relative.candidates[0].summary
    assert "kN" in absolute.candidates[0].summary
    assert absolute.candidates[0].error.m_as("N") == pytest.approx(400, rel=0.3)


def test_fits_are_those_of_fit():
    log = log_of(LINE, 0.03)
    for candidate in compare(log).candidates:
        assert candidate.fit.values == pytest.approx(fit(log, candidate.shape).values)


@pytest.mark.parametrize("speeds", [[4], [2, 4, 6], [2, 4, 6, 2, 4, 6]])
def test_too_few_speeds(speeds):
    log = PullLog(Q(speeds, "km/h"), Q(4.6 * np.array(speeds), "kN"))
    with pytest.raises(InputError, match="pull at 4 speeds or more"):
        compare(log)


def test_pulls_at_full_scale_are_not_compared_and_a_step_is_the_middle_gap():
    speeds = np.tile([1.0, 2.0, 3.0, 4.0, 8.0, 9.0], 2)
    peaks = 4.6 * speeds * (1 + 0.02 * np.random.default_rng(1).standard_normal(12))
    log = PullLog(Q(speeds, "km/h"), Q(np.minimum(peaks, 38), "kN"), full_scale=Q(38, "kN"))
    below = log.without(*log.row[speeds == 9].tolist())
    found, expected = compare(log), compare(below)
    assert found.full_scale_at == Q(9, "km/h")
    assert expected.full_scale_at is None
    assert found.step.m_as("km/h") == pytest.approx(1)  # of gaps 1, 1, 1 and 4
    for shape in SHAPES:
        assert found.of(shape).fit.values == pytest.approx(expected.of(shape).fit.values)


def test_pulls_at_standstill_are_no_obstacle():
    speeds = np.tile([0.0, *LADDER], 2)
    peaks = 3 + np.sqrt(9 + (4 * speeds) ** 2)
    noise = 1 + 0.02 * np.random.default_rng(1).standard_normal(16)
    found = compare(PullLog(Q(speeds, "km/h"), Q(peaks * noise, "kN")))
    assert found.candidates[0].shape is DRIVE
    assert {ORIGIN, STIFFENING, SQUARE} <= ruled_out(found)
    assert ROPE not in ruled_out(found)
