"""Meter: what a load cell that takes samples can miss of a short peak."""

import math
from dataclasses import dataclass

from recoverykit.units.quantities import Q
from recoverykit.units.validation import from_si, positive, takes_quantities


@dataclass(frozen=True)
class PeakCapture:
    """The share of a peak that a sampling meter sees: at worst, and on average."""

    worst: Q
    mean: Q

    def peak_behind(self, reading) -> tuple[Q, Q]:
        """The true peak that a reading may stand for: the reading itself, and the most it may be.

        Infinite where the meter can miss the pull altogether.
        """
        worst = self.worst.m_as("")
        return reading, reading / worst if worst > 0 else reading * math.inf


@takes_quantities(
    sample_rate=positive("frequency", single=True), duration=positive("time", single=True)
)
def peak_capture(sample_rate, duration):
    """Share of a peak that the highest of evenly spaced samples shows, at worst and on average.

        worst = cos(π f / f_s),   mean = sin(π f / f_s) / (π f / f_s),   f = 1 / (2 D)

    for a half-sine that loads the line for the time D, and f_s samples a second. At worst the peak
    falls midway between two samples; on average it falls anywhere. For a rope that stiffens, with
    the drive kept on or not, both are lower bounds where D = π √(m / k_t), with the stiffness k_t
    of the rope at the peak itself: from m x'' = D₀ − T(x) follows T'' ≥ −(k_t / m) T, so that by
    Sturm's comparison T falls from its peak no faster than a sine of that stiffness. A rope that
    loses work falls faster after its peak, and a meter may miss more of it.

    With peak hold switched on, the rate that counts is the one at which the meter samples inside;
    without it, the rate at which the display or the log is renewed, often far lower. A meter that
    averages over its samples shows less again. Range: sample_rate f_s > 0, duration D > 0, and
    f_s D ≥ 1; below that the worst is 0, as no sample need fall near the peak. Scalars. Raises
    InputError for what is not positive.
    Source: a sine sampled at phase ± π f/f_s from its crest; Sturm's comparison theorem, any text
    on differential equations (derived).

    >>> from recoverykit import show
    >>> capture = peak_capture(Q(10, "Hz"), Q(0.8, "s"))
    >>> print(show(capture.worst, "ratio"), show(capture.mean, "ratio"))
    98.1 % 99.4 %
    >>> print(*(show(peak, "force") for peak in capture.peak_behind(Q(20, "kN"))))
    20.0 kN 20.4 kN
    """
    samples = sample_rate * duration
    phase = math.pi / (2 * samples)
    worst = math.cos(phase) if samples >= 1 else 0.0
    # Below one sample a pull, the mean counts the pulls that are missed as 0.
    mean = math.sin(phase) / phase if samples >= 1 else samples * 2 / math.pi
    return PeakCapture(from_si(worst, "ratio"), from_si(mean, "ratio"))
