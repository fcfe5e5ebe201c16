"""Repeats: how far pulls at one speed scatter, and whether the rope changed in between."""

import math
from dataclasses import dataclass

import numpy as np

from recoverykit.measurements.pull_log import PullLog
from recoverykit.units.quantities import InputError, Q, show
from recoverykit.units.text import counted
from recoverykit.units.validation import from_si

LEVEL = 0.95  # of all intervals and bands


@dataclass(frozen=True)
class Repeatability:
    """How far repeated pulls scatter; `degrees_of_freedom` is the number of repeats behind it."""

    scatter: Q
    limit: Q
    relative: Q
    degrees_of_freedom: int

    @property
    def summary(self) -> str:
        """What the scatter means for two pulls at one speed."""
        return (
            f"Pulls at one speed scatter by {show(self.scatter, 'force')} (standard deviation, "
            f"{show(self.relative, 'ratio', digits=2)} of the peak, from "
            f"{counted(self.degrees_of_freedom, 'repeat')}). Two more of them differ by more than "
            f"{show(self.limit, 'force')} only about once in 20 times."
        )


def repeatability(log: PullLog) -> Repeatability:
    """Scatter within the speeds of a log, and the repeatability limit.

        s_r² = Σ (nᵢ − 1) sᵢ² / f,   f = Σ (nᵢ − 1),   r = t √2 s_r

    over the speed steps i, with nᵢ pulls of standard deviation sᵢ. Student's t (95 %, two-sided)
    for f repeats allows for a scatter that is itself known from few pulls: t √2 is 6.1 after 2
    repeats, 3.9 after 4, 3.2 after 10, and comes down to the 2.8 of the standard after very many.
    With it, two more pulls differ by more than r once in 20 times whatever f is. `relative` is
    s_r with each step's peaks over their mean. Peaks at speeds that differ within a step are
    first moved to its mean speed, along the straight line through all pulls. What changed between
    the rounds is in the scatter: see `drift`. Pulls at the meter's full scale are left out, see
    `PullLog.below_full_scale`. Range: at least one speed pulled twice. Raises InputError
    otherwise. Source: ISO 5725-2:1994, 7.4.5 (s_r); ISO 5725-6:1994, 4.1.4 (2.8 for a known
    scatter) (memory, sure); Student's t for an estimated one: any statistics text.

    >>> log = PullLog(Q([2, 4, 2, 4], "km/h"), Q([7.1, 14.0, 7.4, 14.9], "kN"))
    >>> print(repeatability(log).summary)
    Pulls at one speed scatter by 0.474 kN (standard deviation, 3.7 % of the peak, from 2 repeats).
    Two more of them differ by more than 2.89 kN only about once in 20 times.
    """
    pulls, _, mean, squares = step_statistics(log.below_full_scale)
    degrees_of_freedom = int(np.sum(pulls - 1))
    if degrees_of_freedom == 0:
        raise InputError(
            "repeatability: no speed was pulled twice; pull each speed at least twice, or look at "
            "the fit instead"
        )
    scatter = math.sqrt(np.sum(squares) / degrees_of_freedom)
    relative = math.sqrt(np.sum(squares / mean**2) / degrees_of_freedom)
    return Repeatability(
        from_si(scatter, "force"),
        from_si(student_t(degrees_of_freedom) * math.sqrt(2) * scatter, "force"),
        from_si(relative, "ratio"),
        degrees_of_freedom,
    )


@dataclass(frozen=True)
class Drift:
    """How much harder the last round pulled than the first, with a 95 % band.

    `change` is 0.05 for 5 % harder; it lies between `low` and `high`. `found` is False where the
    band includes no change.
    """

    first: int
    last: int
    speeds: int
    change: Q
    low: Q
    high: Q

    @property
    def found(self) -> bool:
        """Whether the band leaves out "no change"."""
        return bool(self.low > 0 or self.high < 0)

    @property
    def summary(self) -> str:
        """What changed from the first round to the last, and what that may mean."""
        low, high = (show(edge, "ratio", digits=2) for edge in (self.low, self.high))
        band = f"95 % band {low} to {high}, from {counted(self.speeds, 'speed')}"
        if not self.found:
            return (
                f"No drift from round {self.first} to round {self.last} shows through the "
                f"scatter ({band})."
            )
        size = show(abs(self.change), "ratio", digits=2)
        if self.change > 0:
            return (
                f"Round {self.last} pulled {size} harder than round {self.first} ({band}). A "
                f"polyamide rope stiffens as it is used and needs rest between pulls: the later "
                f"pulls say more about the next one."
            )
        return (
            f"Round {self.last} pulled {size} less hard than round {self.first} ({band}). Look "
            f"at what changed: the speed, the slack, a wet rope, the meter."
        )


def drift(log: PullLog) -> Drift:
    """Change of the peaks from the first round of a log to its last, speed by speed.

        d = mean of ln(F_last / F_first) over the speeds pulled in both;   change = eᵈ − 1

    with Student's interval for the mean of paired differences. Range: at least two speeds that
    were pulled in both rounds. Raises InputError otherwise. Source: any statistics text on
    paired comparisons, e.g. NIST/SEMATECH e-Handbook, 7.3.1.

    >>> log = PullLog(Q([2, 4, 6, 2, 4, 6], "km/h"), Q([7.1, 14.0, 21, 7.4, 14.9, 22], "kN"))
    >>> print(drift(log).summary)
    Round 2 pulled 5.1 % harder than round 1 (95 % band 2.3 % to 8.0 %, from 3 speeds). A
    polyamide rope stiffens as it is used and needs rest between pulls: the later pulls say more
    about the next one.
    """
    log = log.below_full_scale
    first, last = int(log.round_number.min()), int(log.round_number.max())
    peak = np.log(peaks_at_step_speed(log))
    steps = [
        peak[(log.step == step) & (log.round_number == round_number)]
        for step in np.unique(log.step)
        for round_number in (first, last)
    ]
    pairs = zip(steps[::2], steps[1::2], strict=True)
    change = [
        np.mean(after) - np.mean(before) for before, after in pairs if len(before) * len(after)
    ]
    if first == last or len(change) < 2:
        raise InputError(
            "drift: no two speeds were pulled in a first and in a second round; pull the whole "
            "ladder of speeds twice"
        )
    middle, spread = np.mean(change), np.std(change, ddof=1)
    half = student_t(len(change) - 1) * spread / math.sqrt(len(change))
    return Drift(
        first,
        last,
        speeds=len(change),
        change=from_si(math.expm1(middle), "ratio"),
        low=from_si(math.expm1(middle - half), "ratio"),
        high=from_si(math.expm1(middle + half), "ratio"),
    )


def student_t(degrees_of_freedom: int) -> float:
    """Student's t for a two-sided interval of LEVEL, from so many degrees of freedom."""
    from scipy.special import stdtrit  # takes long to load

    return float(stdtrit(degrees_of_freedom, (1 + LEVEL) / 2))


def peaks_at_step_speed(log: PullLog) -> np.ndarray:
    """Each peak (N), moved along the straight line through all pulls to its step's mean speed."""
    off = log.speed_si - _step_means(log, log.speed_si)[log.step]
    if np.allclose(off, 0):
        return log.peak_si
    slope = np.polynomial.Polynomial.fit(log.speed_si, log.peak_si, 1).convert().coef[1]
    return log.peak_si - slope * off


def step_statistics(log: PullLog) -> tuple[np.ndarray, ...]:
    """For each speed step: pulls, mean speed (m/s), mean peak (N), squared deviations (N²)."""
    peak = peaks_at_step_speed(log)
    mean = _step_means(log, peak)
    squares = np.bincount(log.step, weights=(peak - mean[log.step]) ** 2)
    return np.bincount(log.step), _step_means(log, log.speed_si), mean, squares


def _step_means(log: PullLog, values: np.ndarray) -> np.ndarray:
    return np.bincount(log.step, weights=values) / np.bincount(log.step)
