"""Limit speeds, and how far a straight line is off beyond the measured speeds."""

import re

import numpy as np
import pytest
from simulations.limit_speed import Setting, outcomes

from recoverykit import InputError, Link, Q, Rating, RiggingLine, display
from recoverykit.measurements.extrapolation import line_extrapolation, measured_limit_speed
from recoverykit.measurements.model_selection import compare
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.regression import fit
from recoverykit.measurements.shapes import LINE, ORIGIN, ROPE, SQUARE, STIFFENING

LADDER = np.arange(1.0, 8.0)


def log_of(shape, values, scatter=0.03, seed=0):
    speeds = np.tile(LADDER, 2)
    peaks = shape.curve(np.array(values), speeds / LADDER[-1])
    noise = 1 + scatter * np.random.default_rng(seed).standard_normal(len(speeds))
    return PullLog(Q(speeds, "km/h"), Q(peaks * noise, "N"))


STRAIGHT = log_of(ORIGIN, [28_000.0])  # 4 kN for each km/h


def line_of(kilonewtons):
    return RiggingLine(
        [
            Link("bow shackle", Rating(Q(kilonewtons, "kN"), "working load limit")),
            Link("hitch", Rating(Q(10 * kilonewtons, "kN"), "working load limit")),
        ]
    )


def test_at_the_limit_speed_the_band_meets_the_working_limit():
    found = measured_limit_speed(compare(STRAIGHT), line_of(20))
    band = fit(STRAIGHT, ROPE).band(found.speed)
    assert band.prediction_high.m_as("kN") == pytest.approx(20)
    assert found.link == "bow shackle"
    assert found.limit == Q(20, "kN")
    assert not found.beyond
    # 5 km/h would be the speed without a band.
    assert 4.0 < found.speed.m_as("km/h") < 4.9


@pytest.mark.parametrize(
    ("rope", "drive"), [("double braid, new", 1.5), ("laid, new", 3.0), ("straight line", 0.0)]
)
def test_few_next_pulls_pass_the_limit_at_the_limit_speed(rope, drive):
    """The worst cells of tests/simulations/README.md, with fewer logs."""
    for found in outcomes(Setting(rope=rope, drive=drive), logs=15, seed=3):
        assert found.above <= 0.05
        assert 0.03 < found.price < 0.25
        assert found.unknown < 0.5


@pytest.mark.parametrize("stated", [True, False])
@pytest.mark.parametrize(("rope", "drive"), [("double braid, new", 1.5), ("laid, new", 3.0)])
def test_few_next_pulls_pass_the_limit_where_the_meter_ended_below_them(rope, drive, stated):
    """Pulls from 6 km/h on are at the meter's full scale, whether somebody stated it or not."""
    setting = Setting(
        rope=rope,
        drive=drive,
        speeds=(1, 2, 3, 4, 5, 6, 7),
        full_scale_at=5.5,
        stated=stated,
        limits_at=(4.5, 5.4, 7.0),
    )
    inside, at_the_end, above_full_scale = outcomes(setting, logs=15, seed=3)
    for found in (inside, at_the_end, above_full_scale):
        assert found.above <= 0.05
    assert inside.unknown == at_the_end.unknown == 0
    assert above_full_scale.unknown > 0.3


def test_one_step_beyond_the_measured_speeds_is_the_end():
    found = measured_limit_speed(compare(STRAIGHT), line_of(60))
    assert found.speed is None
    assert found.next_step.speed.m_as("km/h") == pytest.approx(8)
    assert found.next_step.high.m_as("kN") < 60
    assert "at 8.0 km/h, the next pull is expected between" in found.summary
    assert "measure that step next" in found.summary


def test_an_edge_just_below_the_limit_is_not_told_as_lower_than_it_is():
    high = measured_limit_speed(compare(STRAIGHT), line_of(60)).next_step.high.m_as("kN")
    found = measured_limit_speed(compare(STRAIGHT), line_of(high + 1e-6))
    assert found.speed is None
    low, told, _ = map(float, re.findall(r"([\d.]+) kN", found.summary))
    assert low < found.next_step.low.m_as("kN")
    assert told >= high
    assert "below" not in found.summary


def test_pulls_at_full_scale_are_not_fitted_as_they_stand():
    most = Q(22, "kN")
    peaks = Q(np.minimum(STRAIGHT.peak.m_as("kN"), 22), "kN")
    shown = PullLog(STRAIGHT.speed, peaks, full_scale=most)
    cut = STRAIGHT.without(*STRAIGHT.row[STRAIGHT.speed_si > 5.5 / 3.6].tolist())
    for log in (shown, PullLog(STRAIGHT.speed, peaks)):
        assert log.full_scale_at.m_as("km/h") == pytest.approx(6)
        assert fit(log, ROPE).values == pytest.approx(fit(cut, ROPE).values)
        found = measured_limit_speed(compare(log), line_of(30))
        assert found.speed is None
        assert "larger meter" in found.summary
    # Looked at, they count again; not where the meter is known to show no more.
    stuck = shown.row[shown.peak_si >= 0.99 * most.m_as("N")].tolist()
    assert PullLog(STRAIGHT.speed, peaks).with_accepted(*stuck).full_scale_at is None
    assert shown.with_accepted(*stuck).full_scale_at is not None


def test_the_next_step_does_not_go_past_a_speed_at_which_the_meter_was_at_its_full_scale():
    log = PullLog(
        Q([1, 3, 5, 7, 8, 1, 3, 5, 7, 8], "km/h"),
        Q([4, 12, 20, 28, 30, 4.1, 11.9, 20.2, 28.1, 30], "kN"),
        full_scale=Q(30, "kN"),
    )
    comparison = compare(log)
    assert comparison.step.m_as("km/h") == pytest.approx(2)
    found = measured_limit_speed(comparison, line_of(60))
    assert found.next_step.speed.m_as("km/h") == pytest.approx(8)


def test_a_band_below_zero_is_told_as_none():
    wild = PullLog(Q([2, 4, 6, 8, 10], "km/h"), Q([4, 22, 14, 40, 25], "kN"))
    found = measured_limit_speed(compare(wild), line_of(9000))
    assert found.next_step.low.m < 0
    assert "expected between 0 kN and" in found.summary


def test_a_higher_limit_allows_no_less_speed():
    comparison = compare(STRAIGHT)
    speeds = [
        measured_limit_speed(comparison, line_of(limit)).speed.m_as("km/h")
        for limit in range(5, 28)
    ]
    assert np.all(np.diff(speeds) > 0)


def test_a_limit_that_is_met_just_above_standstill():
    # 4 kN for each km/h, measured almost without scatter; the first speeds that are looked at are
    # 0 and some 0.05 km/h.
    comparison = compare(log_of(ORIGIN, [28_000.0], scatter=1e-4))
    for limit in (0.02, 0.05, 0.1):
        speed = measured_limit_speed(comparison, line_of(limit)).speed.m_as("km/h")
        assert 0.8 * limit / 4 < speed < limit / 4
    assert measured_limit_speed(comparison, line_of(1e-4)).speed == Q(0, "m/s")


def test_beyond_the_measured_speeds_it_is_said_first():
    found = measured_limit_speed(compare(STRAIGHT), line_of(32))
    assert found.beyond
    assert found.speed > found.measured_to
    assert found.summary.startswith("BEYOND THE MEASURED SPEEDS, which end at 7.0 km/h.")


def test_an_unrated_link_leaves_the_limit_unknown():
    line = RiggingLine([*line_of(20).links, Link("tow ball")])
    found = measured_limit_speed(compare(STRAIGHT), line)
    assert found.speed is None
    assert found.summary == (
        "The limit speed is unknown: no working load limit is known for tow ball."
    )


def test_without_a_shape_that_a_rope_can_have_it_is_unknown():
    found = measured_limit_speed(compare(log_of(SQUARE, [28_000.0], scatter=0.01)), line_of(20))
    assert found.speed is None
    assert "rule out every curve" in found.summary


def test_a_limit_that_any_pull_may_pass():
    speed = STRAIGHT.speed.m
    noise = 1 + 0.01 * np.random.default_rng(2).standard_normal(len(speed))
    drive = PullLog(STRAIGHT.speed, Q((10 + np.hypot(10, 3 * speed)) * noise, "kN"))
    found = measured_limit_speed(compare(drive), line_of(15))
    assert found.speed.m_as("km/h") == 0
    assert "At 0 km/h" in found.summary


@pytest.mark.parametrize("system", ["metric", "US"])
def test_a_limit_speed_is_never_rounded_up(system):
    display.use(system)
    unit = {"metric": "km/h", "US": "mph"}[system]
    comparison = compare(STRAIGHT)
    for limit in np.linspace(10, 25, 16):
        found = measured_limit_speed(comparison, line_of(limit))
        shown = float(re.search(rf"At ([0-9.]+) {unit}", found.summary)[1])
        assert found.speed.m_as(unit) - 0.1 < shown <= found.speed.m_as(unit) + 1e-9


def test_rows_that_look_wrong_are_mentioned_first():
    peaks = STRAIGHT.peak.m_as("kN").copy()
    peaks[3] /= 10
    spoiled = PullLog(STRAIGHT.speed, Q(peaks, "kN"))
    assert measured_limit_speed(compare(spoiled), line_of(20)).summary.startswith("First settle")


# --- a straight line carried on ---------------------------------------------------------


def test_a_straight_line_is_short_where_the_rope_stiffens():
    values = [30_000.0, 0.7]
    log = log_of(STIFFENING, values, scatter=0.01)
    true = STIFFENING.curve(np.array(values), 10 / 7)
    found = line_extrapolation(log, Q(10, "km/h"))
    assert found.straight.m_as("N") < true
    assert found.stiffening.m_as("N") == pytest.approx(true, rel=0.05)
    assert found.stiffest > found.stiffening
    assert found.short_at_most.m_as("") > 1 - found.straight.m_as("N") / true


def test_the_further_the_shorter():
    log = log_of(STIFFENING, [30_000.0, 0.7], scatter=0.01)
    found = [line_extrapolation(log, Q(speed, "km/h")) for speed in (8, 10, 12, 16)]
    assert np.all(np.diff([each.short_at_most.m_as("") for each in found]) > 0)


def test_the_straight_line_is_the_fitted_one():
    found = line_extrapolation(STRAIGHT, Q(5, "km/h"))
    force = fit(STRAIGHT, LINE).band(Q(5, "km/h")).force
    assert found.straight.m_as("N") == pytest.approx(force.m_as("N"))


def test_a_line_that_says_no_less():
    drive = PullLog(
        STRAIGHT.speed, Q(20 + 2 * STRAIGHT.speed.m, "kN") * (1 + STRAIGHT.peak_si / 1e7)
    )
    assert line_extrapolation(drive, Q(1, "km/h")).short_at_most.m_as("") < 0


def test_a_line_that_says_more_than_the_fit_and_less_than_the_pulls_allow():
    found = line_extrapolation(STRAIGHT, Q(1, "km/h"))
    assert found.stiffening < found.straight < found.stiffest
    assert found.short_at_most.m_as("percent") == pytest.approx(1.5, abs=0.05)


@pytest.mark.parametrize("speed", [Q([3, 4], "km/h"), Q(3, "kN"), Q(0, "km/h"), 3])
def test_one_speed_above_0_is_asked_for(speed):
    with pytest.raises(InputError, match="line_extrapolation"):
        line_extrapolation(STRAIGHT, speed)
