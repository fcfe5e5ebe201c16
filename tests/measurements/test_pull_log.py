"""The record of measured pulls."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import InputError, Q
from recoverykit.measurements.outliers import Finding
from recoverykit.measurements.pull_log import STEP_WIDTH, PullLog

speeds = st.lists(st.integers(0, 4000).map(lambda number: number / 100), min_size=1, max_size=40)


def log_at(*values, **options):
    return PullLog(Q(list(values), "km/h"), Q(9.0 + np.arange(len(values)), "kN"), **options)


def test_repeats_of_a_speed_are_one_step():
    assert log_at(2, 4, 2.4, 4.05, 2, 6).step.tolist() == [0, 1, 0, 1, 0, 2]
    assert log_at(2, 2.41).step.tolist() == [0, 1]
    assert log_at(5).step.tolist() == [0]


@given(speeds)
def test_steps_rise_with_speed_and_are_narrow(values):
    log = log_at(*values)
    values = np.array(values)
    for number in range(log.step.max() + 1):
        inside = values[log.step == number]
        assert inside.size
        assert np.ptp(inside) <= STEP_WIDTH + 1e-9
        slower = values[log.step < number]
        # A step takes in all it can, so the next one begins out of its reach.
        assert not slower.size or inside.min() > slower.max()
    starts = [values[log.step == number].min() for number in range(log.step.max() + 1)]
    assert np.all(np.diff(starts) > STEP_WIDTH)


@given(speeds)
def test_rounds_count_the_pulls_of_each_step(values):
    log = log_at(*values)
    for number in range(log.step.max() + 1):
        at_step = log.round_number[log.step == number]
        assert at_step.tolist() == list(range(1, len(at_step) + 1))


def test_a_given_round_stands_and_gaps_are_filled():
    assert log_at(2, 4, 2, 4, round_number=[2, 2, 3, 3]).round_number.tolist() == [2, 2, 3, 3]
    assert log_at(2, 4, 2, 4, round_number=[1, 0, 2, 0]).round_number.tolist() == [1, 1, 2, 2]


@pytest.mark.parametrize(
    ("speed", "peak", "words"),
    [
        (Q([1, 2], "kN"), Q([1, 2], "kN"), ["speed", "is not a speed"]),
        (Q([1, 2], "km/h"), Q([1, 2], "kg"), ["peak", "is not a force"]),
        (Q([1, 2], "km/h"), Q([1, 0], "kN"), ["peak", "not above 0"]),
        (Q([-1, 2], "km/h"), Q([1, 2], "kN"), ["speed", "below 0"]),
        (Q([1, 2, 3], "km/h"), Q([1, 2], "kN"), ["equal lengths"]),
        (Q([], "km/h"), Q([], "kN"), ["empty list"]),
        ([1, 2], Q([1, 2], "kN"), ["speed", "has no unit"]),
        (Q([1, np.nan], "km/h"), Q([1, 2], "kN"), ["finite"]),
    ],
)
def test_a_log_of_something_else_is_refused(speed, peak, words):
    with pytest.raises(InputError) as caught:
        PullLog(speed, peak)
    for word in words:
        assert word in str(caught.value)


def test_rows_left_out_are_named_and_the_first_log_stays():
    log = log_at(2, 4, 6, note=["a", "b", "c"], row=[2, 3, 5])
    rest = log.without(3)
    assert rest.note == ("a", "c")
    assert rest.row.tolist() == [2, 5]
    assert rest.left_out == (3,)
    assert "row 3" in rest.summary
    assert rest.without(2).left_out == (3, 2)
    assert len(log) == 3
    assert log.left_out == ()


def test_rows_that_are_not_there_cannot_be_left_out():
    log = log_at(2, 4, row=[2, 3])
    with pytest.raises(InputError, match=r"no pull in row 7.*rows 2 to 3"):
        log.without(7)
    with pytest.raises(InputError, match="no pull would be left"):
        log.without(2, 3)


def test_what_reading_found_odd_goes_with_its_row():
    doubt = Finding(3, "repeat", "x", "is no number", "write 1")
    log = log_at(2, 4, 6, row=[2, 3, 4], warnings=(doubt,))
    assert doubt in log.outliers
    assert log.without(3).outliers == ()
    assert log.without(4).warnings == (doubt,)


def test_a_log_is_frozen():
    with pytest.raises(dataclasses.FrozenInstanceError):
        log_at(2, 4).peak = None
