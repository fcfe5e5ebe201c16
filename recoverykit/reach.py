"""Reach: up to which speed measured pulls carry, and what waits beyond them."""

import math
from dataclasses import dataclass

import numpy as np

from recoverykit.border import border, from_si, positive
from recoverykit.compare import Comparison, warning_of
from recoverykit.fits import Fit, fit
from recoverykit.pulllog import PullLog
from recoverykit.repeats import LEVEL
from recoverykit.rigging import RiggingLine
from recoverykit.shapes import LINE, STIFFENING
from recoverykit.units import Q, display, show

SEARCH = 4.0  # times the highest measured speed; no pull is carried further than that

_GRID = 400  # speeds at which a band is looked at before its crossing is pinned down


@dataclass(frozen=True)
class LimitSpeed:
    """The speed at which the next pull may meet the working limit of a line.

    `by_shape` gives, for each shape that the pulls allow, the speed at which the upper edge of
    its prediction band meets the limit (None: not within four times the highest measured
    speed). `speed` is the lowest of them; where it is None, `unknown` says why. `beyond` is True
    where that speed lies past all measured ones; `suspicious` counts the places in the log that
    still look wrong.
    """

    speed: Q | None
    unknown: str
    limit: Q | None
    link: str
    by_shape: dict[str, Q | None]
    measured_to: Q
    beyond: bool
    suspicious: int

    @property
    def summary(self) -> str:
        """The limit speed, with all that it hangs on."""
        if self.suspicious:
            return f"{warning_of(self.suspicious)} {self._words}"
        return self._words

    @property
    def _words(self) -> str:
        if self.speed is None:
            return f"The limit speed is unknown: {self.unknown}."
        shapes = ", ".join(
            f"{name} {rounded_down(speed) if speed is not None else 'not met'}"
            for name, speed in self.by_shape.items()
        )
        text = (
            f"At {rounded_down(self.speed)} the next pull may meet the working limit of "
            f"{show(self.limit, 'force')} ({self.link}): there the upper edge of the band reaches "
            f"it. By shape: {shapes}."
        )
        if not self.beyond:
            return text
        return (
            f"BEYOND THE MEASURED SPEEDS, which end at {show(self.measured_to, 'speed')}. {text} "
            f"No pull was measured there: go up by small steps, and measure each."
        )


def rounded_down(speed) -> str:
    """Write a speed to one decimal, in the display system in force, but never more than it is.

    >>> rounded_down(Q(6.48, "km/h"))
    '6.4 km/h'
    """
    unit = display.system.unit("speed")
    return show(Q(math.floor(speed.m_as(unit) * 10 + 1e-6) / 10, unit), "speed")


def measured_limit_speed(
    comparison: Comparison, line: RiggingLine, level: float = LEVEL
) -> LimitSpeed:
    """The lowest speed at which the upper edge of a prediction band meets a working limit.

    Solves F(v) + t √(g' C g + s²) = working load limit of the line, for every shape that the
    pulls allow (`Comparison.possible`), and takes the lowest answer: which of those shapes is
    the right one is not known. Unknown with an unrated link. Range: 0 < level < 1, up to four
    times the highest measured speed. The working limit is for a steady load: makers'
    instructions for the parts go first. Source: `Fit.band`; scipy.optimize.brentq for the root.

    >>> from recoverykit import Link, Rating
    >>> from recoverykit.compare import compare
    >>> log = PullLog(Q([2, 4, 6, 8, 2, 4, 6, 8], "km/h"),
    ...               Q([7.1, 14, 21, 28, 7.4, 15, 22, 29], "kN"))
    >>> line = RiggingLine([Link("bow shackle", Rating(Q(25, "kN"), "working load limit"))])
    >>> print(measured_limit_speed(compare(log), line).summary)
    At 6.4 km/h the next pull may meet the working limit of 25.0 kN (bow shackle): there the upper
    edge of the band reaches it. By shape: line through the origin 6.4 km/h, stiffening rope 6.4
    km/h, straight line 6.4 km/h, rope with drive kept on 6.4 km/h.
    """
    fits = [candidate.fit for candidate in comparison.possible]
    measured_to = from_si(comparison.best.fit.highest, "speed")
    limit, first = line.working_load_limit, line.first_past_working_limit
    unknown, link, met, lowest = "", "", {}, None
    if limit is None or first is None:
        names = ", ".join(link.name for link in line.unrated)
        unknown = f"no working load limit is known for {names}"
    elif not fits:
        unknown = "the pulls rule out every shape that a rope can have"
    else:
        link = first.name
        met = {fitted.shape.name: _meets(fitted, limit.m_as("N"), level) for fitted in fits}
        lowest = min((speed for speed in met.values() if speed is not None), default=None)
        if lowest is None:
            unknown = (
                f"up to {show(SEARCH * measured_to, 'speed')}, four times the highest measured "
                f"speed, no band meets {show(limit, 'force')} ({link})"
            )
    return LimitSpeed(
        speed=_as_speed(lowest),
        unknown=unknown,
        limit=limit,
        link=link,
        by_shape={name: _as_speed(speed) for name, speed in met.items()},
        measured_to=measured_to,
        beyond=lowest is not None and bool(lowest > comparison.best.fit.highest * (1 + 1e-9)),
        suspicious=comparison.suspicious,
    )


def _as_speed(speed: float | None):
    return None if speed is None else from_si(speed, "speed")


def _meets(fitted: Fit, limit: float, level: float) -> float | None:
    """The lowest speed (m/s) at which the upper edge of the band is at a limit (N)."""
    from scipy.optimize import brentq

    def above(speed):
        force, _, half = fitted.band_si(speed, level)
        return force + half - limit

    speeds = np.linspace(0.0, SEARCH * fitted.highest, _GRID)
    over = np.flatnonzero(above(speeds) >= 0)
    if not over.size:
        return None
    first = over[0]
    return brentq(above, speeds[first - 1], speeds[first]) if first else 0.0


@dataclass(frozen=True)
class StraightOn:
    """A straight line carried to a speed, against a rope that stiffens as the pulls allow.

    `stiffening` is the fitted stiffening rope, `stiffest` the upper edge of its confidence band.
    `short` is how much the straight line says too little against the first, and `short_at_most`
    against the second, as a share of each.
    """

    speed: Q
    straight: Q
    stiffening: Q
    stiffest: Q
    short: Q
    short_at_most: Q
    beyond: bool

    @property
    def summary(self) -> str:
        """How far off the straight line may be."""
        place = show(self.speed, "speed")
        line = show(self.straight, "force") if self.straight.m > 0 else "no force at all"
        text = (
            f"At {place} the straight line says {line}; a rope that "
            f"stiffens as in these pulls gives {show(self.stiffening, 'force')}, and up to "
            f"{show(self.stiffest, 'force')} for all that they can tell: the straight line "
        )
        if self.short_at_most.m > 0:
            text += f"may be too low by {show(self.short_at_most, 'ratio', digits=2)}."
        else:
            text += "says no less."
        return f"BEYOND THE MEASURED SPEEDS. {text}" if self.beyond else text


@border(speed=positive("speed", single=True))
def straight_on(log: PullLog, speed) -> StraightOn:
    """How wrong a straight line is at a speed, if the rope stiffens.

        short = 1 − F_line(v) / F_stiffening(v)

    with the fits LINE and STIFFENING, and the second also at the upper edge of its 95 %
    confidence band. Negative where the line says more. Range: one speed > 0, a log that both can
    be fitted to. Raises InputError otherwise.

    >>> log = PullLog(Q([2, 3, 4, 5, 6], "km/h"), Q([7.1, 11, 15.4, 20, 25], "kN"))
    >>> print(straight_on(log, Q(8, "km/h")).summary)
    BEYOND THE MEASURED SPEEDS. At 8.0 km/h the straight line says 33.0 kN; a rope that stiffens
    as in these pulls gives 36.9 kN, and up to 37.7 kN for all that they can tell: the straight
    line may be too low by 13 %.
    """
    straight, _, _ = fit(log, LINE).band_si(speed)
    rope = fit(log, STIFFENING)
    stiffening, half, _ = rope.band_si(speed)
    stiffest = stiffening + half
    return StraightOn(
        speed=from_si(speed, "speed"),
        straight=from_si(float(straight), "force"),
        stiffening=from_si(float(stiffening), "force"),
        stiffest=from_si(float(stiffest), "force"),
        short=from_si(float(1 - straight / stiffening), "ratio"),
        short_at_most=from_si(float(1 - straight / stiffest), "ratio"),
        beyond=bool(speed > rope.highest * (1 + 1e-9)),
    )
