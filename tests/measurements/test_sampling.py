"""What a sampling meter misses of a peak."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import InputError, Q
from recoverykit.measurements.sampling import peak_capture


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
    assert "miss the peak altogether" in capture.summary
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
    assert "7.6 %" in capture.summary  # 1 − cos(π/8) = 0.0761


@pytest.mark.parametrize(
    ("rate", "duration"),
    [(Q(0, "Hz"), Q(1, "s")), (Q(10, "s"), Q(1, "s")), (10, Q(1, "s")), (Q(10, "Hz"), Q(-1, "s"))],
)
def test_what_is_no_meter(rate, duration):
    with pytest.raises(InputError, match="peak_capture"):
        peak_capture(rate, duration)
