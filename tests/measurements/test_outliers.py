"""Rows that look wrong, and what explains them."""

import math
import re

import numpy as np
import pytest

from recoverykit import Q
from recoverykit.measurements.outliers import outliers
from recoverykit.measurements.pull_log import PullLog

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
    return [finding for finding in outliers(log) if "other rows" in finding.fault]


@each_curve
def test_sound_logs_raise_no_alarm(curve):
    for seed in range(30):
        # Neighboring speeds differ by far more than the scatter here.
        assert outliers(log_of(SPEEDS, scattered(curve, seed))) == ()


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


# --- thresholds, from both sides --------------------------------------------------------


def one_row_off(by, spread=0.0):
    """Three pulls at each speed, at e^±spread and in the middle; one is off by e^by."""
    speeds = np.tile(SPEEDS[:8], 3)
    peaks = 4.6 * speeds * np.exp(np.repeat([-spread, 0.0, spread], 8))
    peaks[11] = 4.6 * speeds[11] * math.exp(by)
    return log_of(speeds, peaks)


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize(
    ("spread", "limit"),
    [(0.0, 0.3), (0.02, 0.3), (0.08, 4 * 1.4826 * 0.08)],
    ids=["no scatter", "small scatter", "large scatter"],
)
def test_a_row_stands_out_beyond_the_threshold_and_not_before(sign, spread, limit):
    assert out_of_line(one_row_off(sign * 0.99 * limit, spread)) == []
    (finding,) = out_of_line(one_row_off(sign * 1.01 * limit, spread))
    assert finding.row == 12
    assert finding.fault.startswith(
        f"is only {100 * math.exp(-1.01 * limit):.0f} % of what"
        if sign < 0
        else f"is {math.exp(1.01 * limit):.1f}"
    )


@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize(
    ("spread", "near"),
    [(0.0, 0.15), (0.04, 0.15), (0.08, 2 * 1.4826 * 0.08)],
    ids=["no scatter", "small scatter", "large scatter"],
)
def test_a_slip_explains_a_row_that_is_near_enough_to_it(side, spread, near):
    (explained,) = out_of_line(one_row_off(math.log(10) + side * 0.98 * near, spread))
    assert explained.remedy.startswith("a digit too many would explain it")
    (unexplained,) = out_of_line(one_row_off(math.log(10) + side * 1.02 * near, spread))
    assert "look at its note" in unexplained.remedy


def test_four_pulls_at_three_speeds_are_enough_to_judge():
    (finding,) = out_of_line(log_of([4, 5, 6, 7], [18.4, 23, 276, 32.2]))
    assert finding.row == 3
    assert [f.row for f in out_of_line(log_of([4, 5, 6, 6], [18.4, 23, 27.6, 276]))] == [4]


@pytest.mark.parametrize(("share", "rows"), [(0.9899, []), (0.99, [8, 16]), (1.0, [8, 16])])
def test_a_peak_near_full_scale_is_pointed_out(share, rows):
    peaks = 4.6 * SPEEDS
    log = log_of(SPEEDS, peaks, full_scale=Q(max(peaks) / share, "kN"))
    assert [finding.row for finding in outliers(log)] == rows
    for finding in outliers(log):
        assert "meter's full scale" in finding.fault


@pytest.mark.parametrize(
    ("newtons", "word"),
    [
        (1.99e3, "far less"),
        (2.0e3, None),
        (2.01e3, None),
        (1.29e5, None),
        (1.3e5, None),
        (1.31e5, "far more"),
    ],
)
def test_a_column_that_no_vehicle_gives_begins_at_its_limits(newtons, word):
    # Newtons for each meter per second; powers of two, so that nothing is rounded.
    speeds = np.array([0.5, 1, 2, 4])
    findings = outliers(PullLog(Q(speeds, "m/s"), Q(newtons * speeds, "N")))
    assert [finding.row for finding in findings] == ([None] if word else [])
    for finding in findings:
        assert word in finding.fault
        assert str(finding).startswith('column "peak [N]": ')


# --- speeds -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "meant", "slip"),
    [(5 / 1.609344, 5, "a speed of 3.10686 mph"), (2, 7.2, "a speed of 2 m/s")],
)
def test_a_slip_in_the_speed_alone_is_put_to_the_speed(written, meant, slip):
    speeds, peaks = SPEEDS.copy(), 4.6 * SPEEDS
    speeds[12], peaks[12] = written, 4.6 * meant
    (finding,) = out_of_line(log_of(speeds, peaks))
    assert (finding.row, finding.column) == (13, "speed [km/h]")
    assert finding.found == f"{written:g} km/h"
    assert finding.remedy.startswith(f"{slip} would explain it")


def test_a_slip_that_may_be_in_either_column_names_both():
    speeds, peaks = SPEEDS.copy(), 4.6 * SPEEDS
    speeds[12] = 50
    (finding,) = out_of_line(log_of(speeds, peaks))
    assert (finding.row, finding.column) == (13, "peak [kN]")
    assert "a digit missing or a digit too many in the speed would explain it" in finding.remedy


def test_a_log_at_zero_speed_has_nothing_to_compare():
    with np.errstate(all="raise"):
        assert outliers(log_of([0, 0, 0, 0, 0], [9, 90, 9.2, 0.9, 9.1])) == ()


def test_pulls_at_zero_speed_do_not_hide_what_is_wrong_at_others():
    speeds, peaks = np.repeat([SPEEDS, 0 * SPEEDS], 2, axis=0).ravel(), np.full(64, 9.0)
    # No two pulls are quite the same: the same highest peak would be a meter's full scale.
    peaks[:32] = 4.6 * speeds[:32] * (1 + 1e-4 * np.arange(32))
    peaks[20] *= 10
    with np.errstate(all="raise"):
        findings = outliers(log_of(speeds, peaks))
    assert [(finding.row, finding.column) for finding in findings] == [(21, "peak [kN]")]


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
        ([4, 4, 4, 5, 5, 5], [18, 18.1, 180, 23, 22.9, 23.1]),
    ],
)
def test_too_few_pulls_to_judge(speeds, peaks):
    assert out_of_line(log_of(speeds, peaks)) == []


def test_interchanged_rows_show():
    peaks = scattered(CURVES["straight"])
    peaks[[4, 5]] = peaks[[5, 4]]
    (finding,) = outliers(log_of(SPEEDS, peaks))
    assert finding.row == 6
    assert "in row 5, though 6 km/h is faster than 5 km/h" in finding.fault


def test_a_peak_below_a_wrong_one_is_not_blamed():
    peaks = scattered(CURVES["straight"])
    peaks[4] *= 4.448
    assert [finding.row for finding in outliers(log_of(SPEEDS, peaks, "lbf"))] == [5]


def test_the_full_scale_of_the_meter():
    peaks = np.minimum(scattered(CURVES["straight"]), 30)
    log = log_of(SPEEDS, peaks, full_scale=Q(30, "kN"))
    rows = [f.row for f in outliers(log) if "full scale" in f.fault]
    assert rows == [7, 8, 15, 16]
    # Without being told, the same highest peak at two speeds gives it away.
    guessed = [f.row for f in outliers(log_of(SPEEDS, peaks)) if "read more than once" in f.fault]
    assert guessed == rows
    # Also where only the fastest speed came so far.
    assert [f.row for f in outliers(log_of([2, 3, 3], [9, 14, 14]))] == [2, 3]
    assert outliers(log_of([2, 3, 3], [9, 14, 14.1])) == ()
