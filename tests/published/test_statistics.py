"""Statistics of measured pulls against certified and published values, at their printed digits.

The published problems know no ropes: what they call x stands in for the speed (in any unit of
speed), what they call y for the peak.
"""

from importlib.resources import files

import numpy as np
import pytest

from recoverykit import Q
from recoverykit.measurements.model_selection import compare
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.regression import IN_PROPORTION, SAME, fit
from recoverykit.measurements.repeatability import repeatability, step_statistics
from recoverykit.measurements.sampling import peak_capture
from recoverykit.measurements.shapes import EXPONENTIAL, LINE, ORIGIN, SQUARE

NINE_DIGITS = 5e-10


def log_of(x, y, unit="km/h"):
    return PullLog(Q(np.array(x, dtype=float), unit), Q(np.array(y, dtype=float), "N"))


def nist(folder, name):
    """The data of a NIST StRD problem, as scipy carries it among its own tests."""
    path = files("scipy.stats").joinpath("tests", "data", folder, name)
    lines = path.read_text(encoding="utf-8").splitlines()
    return np.array([line.split() for line in lines[60:] if line.strip()], dtype=float).T


# --- NIST Statistical Reference Datasets, linear regression. Mark: seen -----------------


def test_norris():
    y, x = nist("nist_linregress", "Norris.dat")
    assert len(x) == 36
    fitted = fit(log_of(x, y, "mm/s"), LINE, SAME)
    start, start_error = fitted.parameters["peak at standstill"]
    slope, slope_error = fitted.parameters["slope"]
    assert start.m_as("N") == pytest.approx(-0.262323073774029, rel=NINE_DIGITS)
    assert slope.m_as("N/(mm/s)") == pytest.approx(1.00211681802045, rel=NINE_DIGITS)
    assert start_error.m_as("N") == pytest.approx(0.232818234301152, rel=NINE_DIGITS)
    assert slope_error.m_as("N/(mm/s)") == pytest.approx(0.429796848199937e-03, rel=NINE_DIGITS)
    assert fitted.residual == pytest.approx(0.884796396144373, rel=NINE_DIGITS)
    assert fitted.degrees_of_freedom == 34


def test_no_intercept_1():
    fitted = fit(log_of(np.arange(60, 71), np.arange(130, 141)), ORIGIN, SAME)
    slope, error = fitted.parameters["first slope"]
    assert slope.m_as("N/(km/h)") == pytest.approx(2.07438016528926, rel=NINE_DIGITS)
    assert error.m_as("N/(km/h)") == pytest.approx(0.165289256198347e-01, rel=NINE_DIGITS)
    assert fitted.residual == pytest.approx(3.56753034006338, rel=NINE_DIGITS)


# --- bands ------------------------------------------------------------------------------

# R's data set `cars`: speed in mph, stopping distance in ft.
CARS_SPEED = np.repeat(
    [4, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 22, 23, 24, 25],
    [2, 2, 1, 1, 3, 2, 4, 4, 4, 3, 2, 3, 4, 3, 5, 1, 1, 4, 1],
)
CARS_DISTANCE = np.fromstring(
    "2 10 4 22 16 10 18 26 34 17 28 14 20 24 28 26 34 34 46 26 36 60 80 20 26 54 32 40 32 40 50 42 "
    "56 76 84 36 46 68 32 48 52 56 64 66 54 70 92 93 120 85",
    sep=" ",
)


def test_cars_as_printed_by_r():
    # predict(lm(dist ~ speed, cars), interval = "confidence"), a tutorial's printout (seen);
    # coefficients and standard errors, a second tutorial (byuistats.github.io; seen).
    fitted = fit(log_of(CARS_SPEED, CARS_DISTANCE, "mph"), LINE, SAME)
    (start, start_error), (slope, slope_error) = fitted.parameters.values()
    assert start.m_as("N") == pytest.approx(-17.58, abs=0.005)
    assert start_error.m_as("N") == pytest.approx(6.758, abs=0.0005)
    assert slope.m_as("N/mph") == pytest.approx(3.932, abs=0.0005)
    assert slope_error.m_as("N/mph") == pytest.approx(0.4155, abs=0.00005)
    band = fitted.band(Q([12, 19, 24], "mph"))
    assert band.force.m_as("N") == pytest.approx([29.6, 57.1, 76.8], abs=0.05)
    assert band.confidence_low.m_as("N") == pytest.approx([24.4, 51.8, 68.4], abs=0.05)
    assert band.confidence_high.m_as("N") == pytest.approx([34.8, 62.4, 85.2], abs=0.05)


# Computed once with statsmodels 0.15.0, OLS and WLS, get_prediction().summary_frame(): the fitted
# value, then confidence band, then prediction band.
@pytest.mark.parametrize(
    ("shape", "speed", "expected"),
    [
        (LINE, 12, [29.60981022, 24.39513767, 34.82448277, -1.749528805, 60.96914924]),
        (LINE, 24, [76.79871533, 68.38765265, 85.20977801, 44.75247827, 108.8449524]),
        (LINE, 30, [100.3931679, 87.43542745, 113.3509083, 66.86529334, 133.9210424]),
        (ORIGIN, 12, [34.90958573, 31.50049477, 38.31867669, 2.058061327, 67.76111013]),
        (ORIGIN, 30, [87.27396432, 78.75123692, 95.79669171, 53.50655938, 121.0413693]),
    ],
)
def test_cars_as_computed_by_statsmodels(shape, speed, expected):
    fitted = fit(log_of(CARS_SPEED, CARS_DISTANCE, "mph"), shape, SAME)
    assert edges_of(fitted.band(Q(speed, "mph"))) == pytest.approx(expected, rel=1e-8)


def test_weights_as_computed_by_statsmodels():
    # statsmodels 0.15.0, WLS with weights 1 / (mean of the two pulls)². Its prediction band takes
    # a new pull to scatter as one of weight 1 does, ours in proportion to the peak: so only the
    # confidence band can be compared, and ours is checked from it.
    speed, one, two = (
        np.array(values)
        for values in (
            [1, 2, 3, 4, 5, 6],
            [3.1, 6.5, 9.6, 13.4, 17.0, 21.5],
            [3.3, 6.6, 10.2, 13.9, 17.8, 22.9],
        )
    )
    fitted = fit(log_of([*speed, *speed], [*one, *two]), LINE, IN_PROPORTION)
    (start, start_error), (slope, slope_error) = fitted.parameters.values()
    assert start.m_as("N") == pytest.approx(-0.409903017293, rel=1e-9)
    assert start_error.m_as("N") == pytest.approx(0.143983091598, rel=1e-9)
    assert slope.m_as("N/(km/h)") == pytest.approx(3.55541336997, rel=1e-9)
    assert slope_error.m_as("N/(km/h)") == pytest.approx(0.07490301466, rel=1e-9)
    assert fitted.residual == pytest.approx(0.0433190228522, rel=1e-9)
    force, low, high, _, foretold = edges_of(fitted.band(Q(8, "km/h")))
    assert [force, low, high] == pytest.approx([28.03340394, 26.94776056, 29.11904732], rel=1e-8)
    t = 2.2281388520  # Student's t, 97.5 %, 10 degrees of freedom (any table; memory, sure)
    single = 0.0433190228522 * force
    assert foretold - force == pytest.approx(np.hypot(high - force, t * single), rel=1e-8)


def edges_of(band):
    return [
        float(edge.m_as("N"))
        for edge in (
            band.force,
            band.confidence_low,
            band.confidence_high,
            band.prediction_low,
            band.prediction_high,
        )
    ]


# --- repeatability ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "certified"),
    [("SiRstv.dat", 1.04076068334656e-01), ("SmLs01.dat", 1.00000000000000e-01)],
)
def test_scatter_within_groups(name, certified):
    # NIST StRD, analysis of variance: certified residual standard deviation. Mark: seen.
    group, y = nist("nist_anova", name)
    log = log_of(group, y)
    # Readings in tenths share the highest, which is no meter's full scale: looked at, and kept.
    found = repeatability(log.with_accepted(*log.row.tolist()))
    assert found.scatter.m_as("N") == pytest.approx(certified, rel=NINE_DIGITS)
    assert found.degrees_of_freedom == len(y) - len(np.unique(group))


def test_repeatability_of_a_standard():
    # ASTM E691, glucose in serum, material A: 8 laboratories, 3 results each. Printed:
    # mean 41.5183, s_r 1.0632, limit r 2.98. Mark: memory (sure: these results give those digits).
    results = [
        *(41.03, 41.45, 41.37, 41.17, 42.00, 41.15, 41.01, 40.68, 42.66, 39.37, 42.37, 42.63),
        *(41.88, 41.19, 41.32, 43.28, 40.50, 42.28, 41.08, 41.27, 39.02, 43.36, 42.65, 41.72),
    ]
    log = log_of(np.repeat(np.arange(1, 9), 3), results)
    found = repeatability(log)
    assert found.scatter.m_as("N") == pytest.approx(1.0632, abs=0.00005)
    # The standard takes 2.8 for any number of results; Student's t after 16 repeats is 7 % more.
    assert found.limit.m_as("N") / 2.98 == pytest.approx(2.120 / 1.980, abs=0.005)
    assert np.mean(step_statistics(log)[2]) == pytest.approx(41.5183, abs=5e-5)


def test_pure_error_of_a_textbook():
    # Montgomery & Runger, Applied Statistics and Probability for Engineers, example S11-1: line
    # 1.697 + 0.259 x, residual mean square 0.5241, pure error 3.0366 with 7 degrees. Mark: seen.
    # (The text seen prints 0.0166 for the level x = 4.0; only 0.1066 adds up to its total.)
    x = [1, 1, 2, 3.3, 3.3, 4, 4, 4, 5, 5.6, 5.6, 5.6, 6, 6, 6.5, 6.9]
    y = [2.3, 1.8, 2.8, 1.8, 3.7, 2.6, 2.6, 2.2, 2.0, 3.5, 2.8, 2.1, 3.4, 3.2, 3.4, 5.0]
    log = log_of(x, y, "m/s")
    found = repeatability(log)
    assert found.degrees_of_freedom == 7
    assert found.scatter.m_as("N") ** 2 * 7 == pytest.approx(3.0366, abs=0.0001)
    fitted = fit(log, LINE, SAME)
    (start, _), (slope, _) = fitted.parameters.values()
    assert start.m_as("N") == pytest.approx(1.697, abs=0.0005)
    assert slope.m_as("N/(m/s)") == pytest.approx(0.259, abs=0.0005)
    assert fitted.residual**2 == pytest.approx(0.5241, abs=0.00005)


@pytest.mark.parametrize(
    ("scatter", "limit"), [(0.021, 0.059), (0.042, 0.118), (0.047, 0.131)], ids=str
)
def test_limit_of_a_cross_test(scatter, limit):
    # Cross-test of total sulfur in aggregates, BRE: printed s_r and r, three levels. Mark: seen.
    # Both are rounded, so s_r is only known to half its last digit. As after very many repeats.
    found = repeatability(log_of(np.ones(2000), np.tile([5 + scatter, 5 - scatter], 1000)))
    assert found.scatter.m_as("N") == pytest.approx(scatter, rel=1e-3)
    ratio = found.limit.m_as("N") / scatter
    assert ratio * (scatter - 0.0005) - 0.0005 <= limit <= ratio * (scatter + 0.0005) + 0.0005


# --- peak capture -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("samples_a_period", "worst", "mean", "digit"),
    [(10, 4.894, 1.637, 0.0005), (20, 1.2312, 0.4107, 0.00005)],
)
def test_missed_share_of_a_peak(samples_a_period, worst, mean, digit):
    # N samples a period of a sine, largest sample: 1 − cos(π/N) and 1 − sin(π/N)/(π/N) in percent.
    # Formula memory (sure), numbers derived. A pull is half a period.
    capture = peak_capture(Q(samples_a_period / 2, "Hz"), Q(1, "s"))
    assert (1 - capture.worst).m_as("percent") == pytest.approx(worst, abs=digit)
    assert (1 - capture.mean).m_as("percent") == pytest.approx(mean, abs=digit)


# --- field practice (common practice, no source) ----------------------------------------


def test_shape_of_field_practice():
    # A loaded mid-size 4×4, speed held: about a straight line, 1000 to 1100 lbf for each km/h,
    # from 1250 lbf at 1 km/h to 8700 lbf at 8 km/h. The 3 % of scatter are our own estimate.
    speeds = np.tile(np.arange(1.0, 9.0), 2)
    line = 1250 + (8700 - 1250) / 7 * (speeds - 1)
    peaks = line * np.where(np.arange(16) % 3 == 0, 1.03, 0.985)
    found = compare(PullLog(Q(speeds, "km/h"), Q(peaks, "lbf")))
    ruled_out = {candidate.shape for candidate in found.candidates if candidate.ruled_out}
    assert LINE not in ruled_out
    assert {SQUARE, EXPONENTIAL} <= ruled_out
    straight = next(c.fit for c in found.candidates if c.shape is LINE)
    assert 1000 < straight.parameters["slope"][0].m_as("lbf/(km/h)") < 1100
