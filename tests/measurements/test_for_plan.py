"""From measured pulls to a plan: no peak is predicted below what was measured."""

import numpy as np
import pytest

from recoverykit.measurements.for_plan import measured_rope
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.session import Session, demo_session
from recoverykit.measurements.shapes import ROPE
from recoverykit.physics.ground import RecoveryVehicle, StuckVehicle
from recoverykit.physics.plan import USUAL, highest_peak, plan_pull
from recoverykit.physics.rigging import demo_line
from recoverykit.physics.rope import Rope, demo_rope
from recoverykit.units.quantities import InputError, Q

TRUCK = RecoveryVehicle(Q(3100, "kg"), "gravel")
HELD = StuckVehicle(Q(4200, "kg"), "soft mud", mire="fenders")
SPEEDS = np.tile([2.0, 3.0, 4.0, 5.0, 6.0], 2)


def a_day(stiffness, scatter, seed=1, stiffens=0.0):
    """Pulls of 3100 kg on a rope of this stiffness (N/m), each off by a few percent."""
    random = np.random.default_rng(seed)
    peaks = SPEEDS / 3.6 * np.sqrt(stiffness * 3100) * (1 + stiffens * SPEEDS / 6)
    log = PullLog(Q(SPEEDS, "km/h"), Q(peaks * random.normal(1, scatter, len(peaks)), "N"))
    return Session(log, "own.csv", log)


@pytest.mark.parametrize("stiffness", [25e3, 50e3, 90e3])
@pytest.mark.parametrize(("scatter", "stiffens"), [(0.01, 0.0), (0.03, 0.0), (0.02, 0.2)])
def test_no_peak_is_predicted_below_the_upper_edge_of_the_measured_band(
    stiffness, scatter, stiffens
):
    day = a_day(stiffness, scatter, stiffens=stiffens)
    found = measured_rope(day, Q(3100, "kg"))
    rope = Rope(Q(11, "m"), Q(stiffness * 3.3, "N"), Q(30, "percent"))
    band_of = day.comparison.value.of(ROPE).fit.band
    for speed in Q(np.linspace(0.5, 1, 6), "") * found.fastest:
        peak = highest_peak(TRUCK, HELD, rope, demo_line(), speed, found.input_uncertainty(rope))
        measured = band_of(speed)
        assert peak.band.high >= measured.prediction_high
        assert peak.band.low <= measured.prediction_low * 1.02


def test_the_stiffness_that_was_pulled_lies_between_the_ends():
    for stiffness in (25e3, 50e3, 90e3):
        found = measured_rope(a_day(stiffness, 0.02), Q(3100, "kg"))
        assert found.softest.m_as("N/m") < stiffness < found.stiffest.m_as("N/m")
        assert found.fastest.m_as("km/h") == pytest.approx(7)
        assert found.pulls == 10


def test_a_stiffer_rope_ends_the_ladder_no_later():
    ends = []
    for stiffness in (50e3, 120e3):
        doubts = measured_rope(a_day(stiffness, 0.02), Q(3100, "kg")).input_uncertainty(demo_rope())
        plan = plan_pull(TRUCK, HELD, demo_rope(), demo_line(), input_uncertainty=doubts)
        ends.append(plan.limit_speed.band.low)
    assert ends[1] < ends[0]


def test_what_is_not_measured_stays_as_usual():
    doubts = measured_rope(a_day(50e3, 0.02), Q(3100, "kg")).input_uncertainty(demo_rope())
    assert (doubts.speed_off, doubts.drive, doubts.let_off) == (
        USUAL.speed_off,
        USUAL.drive,
        USUAL.let_off,
    )


def test_pulls_left_out_do_not_count():
    with_mistakes, without = demo_session(), demo_session().without(4, 12)
    found = measured_rope(without, Q(3100, "kg"))
    assert found.pulls == 10
    with pytest.raises(InputError, match="scatter too much"):
        measured_rope(with_mistakes, Q(3100, "kg"))


def test_too_few_pulls_say_too_little():
    log = PullLog(Q([2, 4], "km/h"), Q([7, 14], "kN"))
    with pytest.raises(InputError, match="these pulls say too little about the rope"):
        measured_rope(Session(log, "own.csv", log), Q(3100, "kg"))


def test_a_rope_that_does_not_fit_its_figures_is_refused():
    found = measured_rope(a_day(50e3, 0.02), Q(3100, "kg"))
    for other in (
        Rope(Q(11, "m"), Q(10, "kN"), Q(30, "percent")),  # would be ten times as stiff
        Rope(Q(3, "m"), Q(500, "kN"), Q(30, "percent")),  # would more than double its length
    ):
        with pytest.raises(InputError, match="that is another rope, or another mass"):
            found.input_uncertainty(other)
