"""Compare: all shapes side by side, and which of them the pulls can and cannot tell apart."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.regression import (
    IN_PROPORTION,
    Fit,
    Points,
    fit_points,
    least_squares,
    points_of,
    scatters_of,
)
from recoverykit.measurements.repeatability import step_statistics
from recoverykit.measurements.shapes import IMPOSSIBLE, LINE, SHAPES, Shape
from recoverykit.units.quantities import InputError, Q, show
from recoverykit.units.text import counted
from recoverykit.units.validation import from_si

FEWEST_SPEEDS = 4

CERTAINTY = 0.99  # a right shape is then ruled out in one to three logs of a hundred (simulated)


@dataclass(frozen=True)
class Candidate:
    """A shape with its fit, its leave-one-speed-out error, and whether the pulls rule it out.

    `error` is a force, or a ratio where the pulls scatter in proportion to the peak.
    """

    fit: Fit
    error: Q
    ruled_out: bool

    @property
    def shape(self) -> Shape:
        """The shape that was fitted."""
        return self.fit.shape

    @property
    def summary(self) -> str:
        """Name and error, as read out."""
        kind = "ratio" if self.fit.scatter == IN_PROPORTION else "force"
        return f"{self.shape.name} ({show(self.error, kind, digits=2)})"


@dataclass(frozen=True)
class Comparison:
    """Every shape, the one with the smallest leave-one-speed-out error first.

    `step` is the middle one of the gaps between neighboring measured speeds; `suspicious` is how
    many places in the log still look wrong. `full_scale_at` is the slowest speed at which a pull
    was at the meter's full scale, None if there was none: that speed and all faster ones are left
    out.
    """

    candidates: tuple[Candidate, ...]
    step: Q
    suspicious: int
    full_scale_at: Q | None

    @property
    def possible(self) -> tuple[Candidate, ...]:
        """Shapes that a rope can have and that the pulls do not rule out."""
        return tuple(c for c in self.candidates if c.shape.rope and not c.ruled_out)

    def of(self, shape: Shape) -> Candidate:
        """The candidate of a shape."""
        return next(candidate for candidate in self.candidates if candidate.shape is shape)

    @property
    def summary(self) -> str:
        """Which shapes the pulls allow, which they rule out, and what to make of it."""
        left = [candidate for candidate in self.candidates if not candidate.ruled_out]
        out = [candidate for candidate in self.candidates if candidate.ruled_out]
        parts = [warning_of(self.suspicious)] if self.suspicious else []
        if len(left) > 1:
            parts.append(f"These pulls cannot tell apart: {_listed(left)}.")
        elif self.possible:
            parts.append(f"These pulls leave one shape: {_listed(left)}.")
        parts.append(f"They rule out: {_listed(out)}." if out else "They rule out none.")
        parts.append(
            "In brackets: the typical miss of a speed that was left out. Ruled out is what misses "
            "the pulls by more than their scatter allows."
        )
        if self.of(LINE) in left:
            parts.append(self._straight_line)
        if implausible := [c for c in left if c.shape in IMPOSSIBLE]:
            parts.append(
                f"No rope pulls like the {' or the '.join(c.shape.name for c in implausible)}: "
                f"only "
                f"more pulls, at more speeds, would show it."
            )
        if not self.possible:
            parts.append(
                "No curve a rope could have is left: settle what looks wrong in the log, and "
                "ask what changed during the pulls."
            )
        return " ".join(parts)

    @property
    def _straight_line(self) -> str:
        """What a straight line that fits does not say."""
        standstill, _ = self.of(LINE).fit.parameters["peak at standstill"]
        if standstill.m >= 0:
            return "The straight line says nothing beyond the measured speeds."
        return (
            f"The straight line drops below zero at a standstill "
            f"({show(standstill, 'force')}): that is a rope that stiffens, and beyond the measured "
            f"speeds it pulls harder than the line."
        )


def compare(log: PullLog) -> Comparison:
    """Fit all shapes side by side; rank them by how well they predict a speed that was left out.

    The error of a shape is the root mean square of what it misses the pulls of each speed step
    by, when fitted to the other steps (relative to the step's mean peak, where the pulls scatter
    in proportion to the peak). A shape is ruled out where its sum of squares S is beyond chance:

        S > S₁ (1 + F(0.99; 1, n − p₁) / (n − p₁))

    with S₁ and p₁ parameters of the shape that ranks first, and n pulls. That is the exact F test
    where one shape is the other with a parameter more, and a likelihood ratio otherwise. Where
    the repeats cannot tell how the pulls scatter, it must be so for both kinds of scatter.
    Pulls at the meter's full scale are left out, see `PullLog.below_full_scale`.
    Range: at least 4 speed steps. Raises InputError below. Source: Hastie, Tibshirani &
    Friedman, Elements of Statistical Learning, 7.10 (leaving out groups); Seber & Lee, Linear
    Regression Analysis, 4.1 (F test) (memory, sure).

    >>> log = PullLog(Q([2, 4, 6, 8, 2, 4, 6, 8], "km/h"),
    ...               Q([7.1, 14, 21, 28, 7.4, 15, 22, 29], "kN"))
    >>> print(compare(log).summary)
    These pulls cannot tell apart: stiffening rope (2.7 %), line through the origin (2.7 %),
    straight line (3.1 %), rope with drive kept on (3.1 %), stiffening rope with drive kept on (3.1
    %). They rule out: exponential (31 %), square of the speed (54 %). In brackets: the typical
    miss of a speed that was left out. Ruled out is what misses the pulls by more than their
    scatter allows. The straight line says nothing beyond the measured speeds.
    """
    suspicious, full_scale_at = len(log.open_outliers), log.full_scale_at
    log = log.below_full_scale
    scatters = scatters_of(log)
    points = points_of(log, scatters[0])
    steps = np.unique(points.step)
    if len(steps) < FEWEST_SPEEDS:
        raise InputError(
            f"compare: {counted(len(steps), 'speed')} cannot tell shapes apart; pull at "
            f"{FEWEST_SPEEDS} speeds or more"
        )
    errors = [_left_out_error(shape, points, steps) for shape in SHAPES]
    order = np.argsort(errors, kind="stable")
    fits = {
        scatter: [fit_points(shape, points_of(log, scatter)) for shape in SHAPES]
        for scatter in scatters
    }
    ruled_out = np.all([_beyond_chance(each, order[0]) for each in fits.values()], axis=0)
    kind = "ratio" if scatters[0] == IN_PROPORTION else "force"
    candidates = (
        Candidate(fits[scatters[0]][i], from_si(errors[i], kind), bool(ruled_out[i])) for i in order
    )
    step = float(np.median(np.diff(step_statistics(log)[1])))
    return Comparison(tuple(candidates), from_si(step, "speed"), suspicious, full_scale_at)


def _beyond_chance(fits: Sequence[Fit], first: int) -> np.ndarray:
    """Which fits leave more than chance would, if the first-ranked shape is the right one."""
    from scipy.special import fdtri

    squares = np.array([fitted.residual**2 * fitted.degrees_of_freedom for fitted in fits])
    degrees_of_freedom = fits[first].degrees_of_freedom
    return squares > squares[first] * (
        1 + fdtri(1, degrees_of_freedom, CERTAINTY) / degrees_of_freedom
    )


def warning_of(suspicious: int) -> str:
    """What stands before any result from a log with rows that look wrong."""
    return f"First settle what looks wrong in the log ({counted(suspicious, 'place')})."


def _left_out_error(shape: Shape, points: Points, steps: np.ndarray) -> float:
    missed = 0.0
    for step in steps:
        out = points.step == step
        values, _ = least_squares(shape, points.keep(~out))
        left = points.keep(out)
        off = left.peak - shape.curve(values, left.speed)
        missed += np.sum(left.weight * off**2) + np.sum(left.within)
    return math.sqrt(missed / points.pulls)


def _listed(candidates: Sequence[Candidate]) -> str:
    return ", ".join(candidate.summary for candidate in candidates)
