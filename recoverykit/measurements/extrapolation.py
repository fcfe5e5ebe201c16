"""Reach: up to which speed measured pulls carry, and what waits beyond them."""

from dataclasses import dataclass

import numpy as np

from recoverykit.measurements.model_selection import Comparison, warning_of
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.regression import Fit, fit
from recoverykit.measurements.shapes import LINE, ROPE, STIFFENING
from recoverykit.physics.rigging import RiggingLine
from recoverykit.units.quantities import Q, at_least, at_most, show
from recoverykit.units.validation import from_si, positive, takes_quantities

_GRID = 200  # speeds at which a band is looked at before its crossing is pinned down


@dataclass(frozen=True)
class NextStep:
    """The fastest speed that measured pulls say anything about, and the band of a pull there.

    It lies one step beyond the fastest pull that counts.
    """

    speed: Q
    low: Q
    high: Q


@dataclass(frozen=True)
class LimitSpeed:
    """The speed at which the next pull may meet the working limit of a line.

    At `speed` the upper edge of the prediction band meets the limit. Where it is None, `unknown`
    says why: in most cases that is a band which stays below the limit as far as the pulls carry,
    which is to `next_step`. `beyond` is True where the speed lies past all measured ones;
    `suspicious` counts the places in the log that still look wrong.
    """

    speed: Q | None
    unknown: str
    limit: Q | None
    link: str
    measured_to: Q
    next_step: NextStep
    beyond: bool
    suspicious: int

    @property
    def summary(self) -> str:
        """The limit speed, with all that it hangs on."""
        warning = f"{warning_of(self.suspicious)} " * bool(self.suspicious)
        if self.speed is None:
            return f"{warning}The limit speed is unknown: {self.unknown}."
        text = (
            f"At {at_least(self.speed, 'speed')} the next pull may meet the working limit of "
            f"{show(self.limit, 'force')} ({self.link}): there the upper edge of the band reaches "
            f"it."
        )
        if not self.beyond:
            return f"{warning}{text}"
        return (
            f"{warning}BEYOND THE MEASURED SPEEDS, which end at "
            f"{show(self.measured_to, 'speed')}. {text} "
            f"No pull was measured there: go up by small steps, and measure each."
        )


def measured_limit_speed(comparison: Comparison, line: RiggingLine) -> LimitSpeed:
    """The lowest speed at which the upper edge of the prediction band meets a working limit.

    Solves F(v) + t √(g' C g + c² + s²) = working load limit of the line, for the shape ROPE: a rope
    that stiffens, with the drive kept on, each as far as the pulls allow. Simpler shapes often
    fit as well, and with fewer values to fit their bands are narrower; where one of them is not
    the right one, it flatters. In simulated logs of the course's kinds of rope, with up to 5 kN
    of drive, at most 5 of 100 next pulls at the limit speed come out above the limit
    (`tests/simulations`). Unknown with an unrated link. Range: up to one step, the middle one of
    the gaps between measured speeds, beyond the fastest measured speed; where pulls were at the
    meter's full scale, up to the slowest of them. The working limit is for a steady load: makers'
    instructions for the parts go first. Source: `Fit.band`; scipy.optimize.brentq for the root.

    >>> from recoverykit import Link, Rating
    >>> from recoverykit.measurements.model_selection import compare
    >>> log = PullLog(Q([2, 4, 6, 8, 2, 4, 6, 8], "km/h"),
    ...               Q([7.1, 14, 21, 28, 7.4, 15, 22, 29], "kN"))
    >>> line = RiggingLine([Link("bow shackle", Rating(Q(25, "kN"), "working load limit"))])
    >>> print(measured_limit_speed(compare(log), line).summary)
    At 6.2 km/h the next pull may meet the working limit of 25.0 kN (bow shackle): there the upper
    edge of the band reaches it.
    """
    rope = comparison.of(ROPE)
    step = next_step(comparison)
    limit, first = line.working_load_limit, line.first_past_working_limit
    unknown, link, speed = "", "", None
    if limit is None or first is None:
        names = ", ".join(link.name for link in line.unrated)
        unknown = f"no working load limit is known for {names}"
    elif rope.ruled_out:
        unknown = "the pulls rule out every curve a rope could have"
    else:
        link = first.name
        speed = _meets(rope.fit, limit.m_as("N"), step.speed.m_as("m/s"))
        if speed is None:
            unknown = _not_met(comparison, step, f"{show(limit, 'force')} ({link})")
    highest = rope.fit.highest
    return LimitSpeed(
        speed=None if speed is None else from_si(speed, "speed"),
        unknown=unknown,
        limit=limit,
        link=link,
        measured_to=from_si(highest, "speed"),
        next_step=step,
        beyond=speed is not None and speed > highest * (1 + 1e-9),
        suspicious=comparison.suspicious,
    )


def next_step(comparison: Comparison) -> NextStep:
    """One step beyond the fastest pull that counts, and the band of the shape ROPE there.

    The step is the middle one of the gaps between measured speeds. It does not go past a speed at
    which the meter was at its full scale.
    """
    rope = comparison.of(ROPE).fit
    speed = from_si(rope.highest, "speed") + comparison.step
    if comparison.full_scale_at is not None:
        speed = min(speed, comparison.full_scale_at)
    band = rope.band(speed)
    return NextStep(speed, band.prediction_low, band.prediction_high)


def _not_met(comparison: Comparison, step: NextStep, limit: str) -> str:
    low, high = at_least(max(step.low, Q(0, "N")), "force"), at_most(step.high, "force")
    speed = show(step.speed, "speed")
    full_scale_at = comparison.full_scale_at
    if full_scale_at is not None and step.speed >= full_scale_at * (1 - 1e-9):
        return (
            f"up to {speed} the band does not come to {limit}, and from there on the peaks are at "
            f"the meter's full scale; pull there with a larger meter"
        )
    return (
        f"one step beyond the fastest pull, at {speed}, the next pull is expected between {low} "
        f"and {high} (95 % band), and the limit is {limit}; measure that step next"
    )


def _meets(fitted: Fit, limit: float, end: float) -> float | None:
    """The lowest speed (m/s) up to an end at which the upper edge of the band is at a limit (N)."""
    from scipy.optimize import brentq

    def above(speed):
        force, _, half = fitted.band_si(speed)
        return force + half - limit

    speeds = np.linspace(0.0, end, _GRID)
    over = np.flatnonzero(above(speeds) >= 0)
    if not over.size:
        return None
    first = over[0]
    return brentq(above, speeds[first - 1], speeds[first]) if first else 0.0


@dataclass(frozen=True)
class LineExtrapolation:
    """A straight line carried to a speed, against a rope that stiffens as the pulls allow.

    `stiffening` is the fitted stiffening rope, `stiffest` the upper edge of its confidence band.
    `short_at_most` is how much the straight line says too little against that, as a share of it.
    """

    speed: Q
    straight: Q
    stiffening: Q
    stiffest: Q
    short_at_most: Q


@takes_quantities(speed=positive("speed", single=True))
def line_extrapolation(log: PullLog, speed) -> LineExtrapolation:
    """How wrong a straight line is at a speed, if the rope stiffens.

        short_at_most = 1 − F_line(v) / F_stiffest(v)

    with the fit LINE, and the upper edge of the 95 % confidence band of the fit STIFFENING.
    Negative where the line says more. Range: one speed > 0, a log that both can
    be fitted to. Raises InputError otherwise.

    >>> log = PullLog(Q([2, 3, 4, 5, 6], "km/h"), Q([7.1, 11, 15.4, 20, 25], "kN"))
    >>> found = line_extrapolation(log, Q(8, "km/h"))
    >>> print(show(found.straight, "force"), show(found.stiffest, "force"))
    33.0 kN 36.0 kN
    >>> print(show(found.short_at_most, "ratio"))
    8.4 %
    """
    straight, _, _ = fit(log, LINE).band_si(speed)
    rope = fit(log, STIFFENING)
    stiffening, half, _ = rope.band_si(speed)
    stiffest = stiffening + half
    return LineExtrapolation(
        speed=from_si(speed, "speed"),
        straight=from_si(float(straight), "force"),
        stiffening=from_si(float(stiffening), "force"),
        stiffest=from_si(float(stiffest), "force"),
        short_at_most=from_si(float(1 - straight / stiffest), "ratio"),
    )
