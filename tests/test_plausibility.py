"""Rows that look wrong, and what explains them."""

import re

import numpy as np
import pytest

from recoverykit import Q
from recoverykit.plausibility import suspicions
from recoverykit.pulllog import PullLog

SPEEDS = np.tile([1.0, 2, 3, 4, 5, 6, 7, 8], 2)
CURVES = {
    "straight": lambda v: 4.6 * v,
    "with drive": lambda v: 3 + np.sqrt(9 + (4.2 * v) ** 2),
    "stiffening": lambda v: 3.4 * v**1.2,
}
SCATTER = 0.03

each_curve = pytest.mark.parametrize("curve", CURVES.values(), ids=CURVES.keys())


def log_of(speeds, kilonewtons, unit="kN", **options):
    return PullLog(Q(speeds, "km/h"), Q(kilonewtons, "kN").to(unit), **options)


def scattered(curve, seed=0, scatter=SCATTER):
    random = np.random.default_rng(seed)
    return curve(SPEEDS) * (1 + scatter * random.standard_normal(len(SPEEDS)))


def out_of_line(log):
    return [finding for finding in suspicions(log) if "other rows" in finding.fault]


@each_curve
def test_sound_logs_raise_no_alarm(curve):
    for seed in range(30):
        log = log_of(SPEEDS, scattered(curve, seed))
        assert out_of_line(log) == []
        # Neighbouring speeds differ by far more than the scatter here.
        assert suspicions(log) == ()


@each_curve
@pytest.mark.parametrize("place", [0, 5, 11, 15])
@pytest.mark.parametrize(
    ("unit", "factor", "explanation"),
    [
        ("lbf", 4.4482216, "N on the meter"),
        ("lbf", 1 / 2.2046226, "kgf on the meter"),
        ("kgf", 2.2046226, "lbf on the meter"),
        ("kgf", 9.80665, "N on the meter"),
        ("N", 1 / 4.4482216, "lbf on the meter"),
        ("N", 1 / 1000, "kN on the meter"),
        ("kN", 224.80894, "lbf on the meter"),
        ("kN", 10, "a digit too many"),
        ("lbf", 0.1, "a digit missing"),
    ],
)
def test_a_slip_in_one_peak_is_named(curve, place, unit, factor, explanation):
    peaks = scattered(curve)
    peaks[place] *= factor
    (finding,) = out_of_line(log_of(SPEEDS, peaks, unit))
    assert finding.row == place + 1
    assert explanation in finding.remedy
    assert f"{Q(peaks[place], 'kN').to(unit):g~P}" == finding.found


@each_curve
@pytest.mark.parametrize("place", [3, 12, 15])
def test_a_speed_in_miles_an_hour_is_named(curve, place):
    speeds = SPEEDS.copy()
    speeds[place] /= 1.609344
    findings = out_of_line(log_of(speeds, scattered(curve, scatter=0.01)))
    assert [finding.row for finding in findings] == [place + 1]
    assert f"{speeds[place]:g} mph" in findings[0].remedy


def test_a_pull_that_nothing_explains_is_still_pointed_out():
    peaks = scattered(CURVES["straight"])
    peaks[6] *= 6.5
    (finding,) = out_of_line(log_of(SPEEDS, peaks))
    assert finding.row == 7
    assert re.search(r"6\.\d times", finding.fault)
    assert "look at its note" in finding.remedy


def test_a_few_wrong_rows_do_not_hide_one_another():
    peaks = scattered(CURVES["straight"])
    peaks[[2, 9, 13, 15]] *= [4.448, 0.1, 4.448, 10]
    assert [finding.row for finding in out_of_line(log_of(SPEEDS, peaks))] == [3, 10, 14, 16]


def test_many_rows_are_compared_with_the_medians_of_their_steps():
    random = np.random.default_rng(1)
    speeds = np.tile(SPEEDS, 100)
    peaks = 4.6 * speeds * (1 + SCATTER * random.standard_normal(len(speeds)))
    peaks[[7, 1001]] *= 4.448
    assert [finding.row for finding in out_of_line(log_of(speeds, peaks))] == [8, 1002]


@pytest.mark.parametrize(
    ("speeds", "peaks"),
    [
        ([4], [18]),
        ([4, 5, 6], [18, 23, 280]),
        ([4, 4, 5, 5], [18, 1, 23, 230]),
        ([0, 0, 0, 0], [9, 9.1, 9, 8.9]),
    ],
)
def test_too_few_pulls_to_judge(speeds, peaks):
    assert out_of_line(log_of(speeds, peaks)) == []


def test_pulls_at_standstill_are_left_aside():
    speeds, peaks = [0, *SPEEDS], [5, *scattered(CURVES["straight"])]
    assert out_of_line(log_of(speeds, peaks)) == []


def test_interchanged_rows_show():
    peaks = scattered(CURVES["straight"])
    peaks[[4, 5]] = peaks[[5, 4]]
    (finding,) = suspicions(log_of(SPEEDS, peaks))
    assert finding.row == 6
    assert "in row 5, though 6 km/h is faster than 5 km/h" in finding.fault


def test_a_peak_below_a_wrong_one_is_not_blamed():
    peaks = scattered(CURVES["straight"])
    peaks[4] *= 4.448
    assert [finding.row for finding in suspicions(log_of(SPEEDS, peaks, "lbf"))] == [5]


def test_the_full_scale_of_the_meter():
    peaks = np.minimum(scattered(CURVES["straight"]), 30)
    log = log_of(SPEEDS, peaks, full_scale=Q(30, "kN"))
    rows = [f.row for f in suspicions(log) if "full scale" in f.fault]
    assert rows == [7, 8, 15, 16]
    # Without being told, the same highest peak at two speeds gives it away.
    guessed = [f.row for f in suspicions(log_of(SPEEDS, peaks)) if "same at more" in f.fault]
    assert guessed == rows
    assert suspicions(log_of([2, 3, 3], [9, 14, 14])) == ()


@pytest.mark.parametrize(
    ("written", "meant", "word"), [("kN", "lbf", "far more"), ("lbf", "kN", "far less")]
)
def test_a_whole_column_in_another_unit(written, meant, word):
    numbers = Q(scattered(CURVES["straight"]), "kN").m_as(meant)
    findings = suspicions(PullLog(Q(SPEEDS, "km/h"), Q(numbers, written)))
    assert [finding.row for finding in findings] == [None]
    assert word in findings[0].fault
    assert str(findings[0]).startswith(f'column "peak [{written}]": ')


def test_nothing_is_dropped():
    peaks = scattered(CURVES["straight"])
    peaks[4] *= 10
    log = log_of(SPEEDS, peaks)
    assert suspicions(log)
    assert len(log) == len(SPEEDS)
