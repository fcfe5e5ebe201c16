"""What a sampling meter misses of a peak."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recoverykit import Pull, Q, Rope, pull_in_time
from recoverykit.measurements.sampling import peak_capture
from recoverykit.physics.formulas import time_under_load
from recoverykit.physics.load_curve import LoadCurve


def sampled(samples, phases=20_001):
    """The highest sample of a half-sine of height 1, for each place that sampling may start at."""
    starts = np.linspace(0, 1, phases, endpoint=False)
    times = starts[:, np.newaxis] + np.arange(int(samples) + 2)
    loaded = times <= samples
    return np.max(np.where(loaded, np.sin(np.pi * times / samples), 0.0), axis=1)


@pytest.mark.parametrize("samples", [1.0, 1.3, 2.0, 3.7, 5.0, 10.0, 50.0])
def test_the_bound_is_met_by_real_samples_and_never_passed(samples):
    capture = peak_capture(Q(samples, "Hz"), Q(1, "s"))
    seen = sampled(samples)
    assert seen.min() == pytest.approx(capture.worst.m_as(""), abs=2e-4)
    assert seen.mean() == pytest.approx(capture.mean.m_as(""), abs=2e-4)


@pytest.mark.parametrize("samples", [0.2, 0.7, 0.99])
def test_too_slow_a_meter_may_miss_the_pull(samples):
    capture = peak_capture(Q(samples, "Hz"), Q(1, "s"))
    assert capture.worst.m_as("") == 0
    assert sampled(samples).min() == pytest.approx(0, abs=2e-4)
    assert sampled(samples).mean() == pytest.approx(capture.mean.m_as(""), abs=2e-4)
    assert capture.peak_behind(Q(20, "kN"))[1].m_as("kN") == np.inf


@given(st.floats(1.0, 1e4), st.floats(1.001, 10.0))
def test_more_samples_miss_less(samples, more):
    slow, fast = (peak_capture(Q(rate, "Hz"), Q(1, "s")) for rate in (samples, samples * more))
    assert 0 <= slow.worst.m_as("") <= fast.worst.m_as("") <= 1
    assert slow.mean.m_as("") <= fast.mean.m_as("") <= 1
    assert slow.worst <= slow.mean


def test_only_samples_in_the_time_under_load_count():
    one = peak_capture(Q(10, "Hz"), Q(0.8, "s"))
    other = peak_capture(Q(40, "Hz"), Q(200, "ms"))
    assert one.worst.m_as("") == pytest.approx(other.worst.m_as(""))


def test_the_peak_behind_a_reading():
    capture = peak_capture(Q(5, "Hz"), Q(0.8, "s"))
    least, most = capture.peak_behind(Q(20, "kN"))
    assert least == Q(20, "kN")
    assert most.m_as("kN") == pytest.approx(20 / np.cos(np.pi / 8))


# --- a rope that stiffens ---------------------------------------------------------------


@settings(max_examples=25, deadline=None)
@given(
    stiffening=st.floats(0.0, 0.99),
    speed=st.floats(1.0, 10.0),
    drive=st.floats(0.0, 0.5),
    samples=st.floats(2.0, 30.0),
)
def test_the_bound_holds_for_a_rope_that_stiffens(stiffening, speed, drive, samples):
    """Against the integrated pull: T = k x (1 + b x), which gives back all of its work."""
    part = np.linspace(0, 1, 60)
    load = (1 - stiffening) * part + stiffening * part**2
    rope = Rope(Q(11, "m"), Q(165, "kN"), Q(30, "%"), LoadCurve(tuple(part), tuple(load)))
    mass = Q(3100, "kg")
    pull = Pull(mass, rope, Q(speed, "km/h"), drive=drive * Q(20, "kN"))
    peak = pull.first_peak
    x = (rope.extension(peak.tension) / rope.extension_at_break).m_as("")
    slope = (1 - stiffening + 2 * stiffening * x) * rope.stiffness
    duration = time_under_load(mass, slope)
    motion = pull_in_time(pull, 8 * duration, samples=4001)
    time, tension = motion.history.time.m_as("s"), motion.history.tension.m_as("kN")
    crest = motion.peak_time.m_as("s")
    gap = duration.m_as("s") / samples
    # Samples around the first peak, for each place that sampling may start at.
    offsets = np.linspace(-0.5, 0.5, 41) * gap
    seen = np.interp(crest + offsets, time, tension) / peak.tension.m_as("kN")
    worst = peak_capture(Q(1 / gap, "Hz"), duration).worst.m_as("")
    assert seen.min() >= worst - 1e-4
    if stiffening < 1e-3 and drive == 0:
        assert seen.min() == pytest.approx(worst, abs=1e-3)
