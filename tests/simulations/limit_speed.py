"""How often the next pull passes the working limit at the limit speed that a log is given.

    PYTHONPATH=tests .venv/bin/python -m simulations.limit_speed

prints the table of README.md beside this. The pulls are those of `recoverykit.physics.pull` at a
block, on each kind of rope; they scatter, and sometimes the meter ends below them.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtr

from recoverykit import Link, Q, Rating, RiggingLine
from recoverykit.measurements.extrapolation import measured_limit_speed
from recoverykit.measurements.model_selection import Candidate, Comparison
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.regression import IN_PROPORTION, SAME, fit
from recoverykit.measurements.repeatability import step_statistics
from recoverykit.measurements.shapes import ROPE
from recoverykit.physics.pull import Pull
from recoverykit.physics.rope import RopeKind
from recoverykit.tables.records import find, table

ROPES = tuple(kind.name for kind in table(RopeKind))
DRIVES = (0.0, 1.5, 3.0, 5.0)  # kN
SCATTERS = (IN_PROPORTION, SAME)
LEAST_PEAK = 0.05  # kN; a log holds no peak of nothing


@dataclass(frozen=True)
class Setting:
    """What is pulled, and how: speeds (km/h) and repeats, one vehicle, one rope.

    The working limit is the peak at each of `limits_at` (km/h) in turn. Peaks scatter by
    `scatter`, as a share of each, or alike by that share of the peak at the middle speed.
    A meter shows no more than the peak at `full_scale_at`; `stated` if somebody said so.
    """

    rope: str = ROPES[0]
    drive: float = 0.0
    kind: str = IN_PROPORTION
    speeds: tuple[float, ...] = (1, 2, 3, 4, 5, 6)
    repeats: int = 2
    limits_at: tuple[float, ...] = (4.5, 6.0, 6.8)
    scatter: float = 0.04
    mass: float = 3100
    length: float = 11
    strength: float = 165
    full_scale_at: float | None = None
    stated: bool = True

    def peak(self, speed) -> np.ndarray:
        """The true peak (kN) at a speed (km/h)."""
        rope = find(RopeKind, name=self.rope).rope(Q(self.length, "m"), Q(self.strength, "kN"))
        pull = Pull(Q(self.mass, "kg"), rope, Q(speed, "km/h"), drive=Q(self.drive, "kN"))
        return pull.first_peak.tension.m_as("kN")

    def deviation(self, peak):
        """The standard deviation (kN) of pulls with a true peak."""
        middle = self.speeds[len(self.speeds) // 2]
        return self.scatter * (peak if self.kind == IN_PROPORTION else self.peak(middle))

    def log(self, random) -> PullLog:
        """One log of scattered pulls."""
        speeds = np.tile(self.speeds, self.repeats).astype(float)
        true = self.peak(speeds)
        peaks = true + self.deviation(true) * random.standard_normal(len(speeds))
        peaks = np.maximum(peaks, LEAST_PEAK)
        full_scale = None
        if self.full_scale_at is not None:
            most = float(self.peak(self.full_scale_at))
            peaks = np.minimum(peaks, most)
            full_scale = Q(most, "kN") if self.stated else None
        return PullLog(Q(speeds, "km/h"), Q(peaks, "kN"), full_scale=full_scale)


@dataclass(frozen=True)
class Outcome:
    """Of many logs: the share of next pulls above the limit, the price, and unknown speeds.

    A log without a limit speed counts as no pull above the limit. The price is how much lower
    than the speed at which the true peak meets the limit the stated one lies, in the middle.
    """

    setting: Setting
    limit_at: float
    above: float
    price: float
    unknown: float


def outcomes(setting: Setting, logs: int, seed: int) -> Iterator[Outcome]:
    """What becomes of so many logs, for each limit of a setting."""
    random = np.random.default_rng(seed)
    comparisons = [_comparison(setting.log(random)) for _ in range(logs)]
    for limit_at in setting.limits_at:
        limit = float(setting.peak(limit_at))
        line = RiggingLine([Link("shackle", Rating(Q(limit, "kN"), "working load limit"))])
        found = [measured_limit_speed(each, line).speed for each in comparisons]
        stated = np.array([speed.m_as("km/h") for speed in found if speed is not None])
        peaks = setting.peak(stated) if stated.size else stated
        above = ndtr((peaks - limit) / setting.deviation(peaks))
        yield Outcome(
            setting,
            limit_at,
            above=float(np.sum(above) / logs),
            price=float(1 - np.median(stated) / limit_at) if stated.size else np.nan,
            unknown=1 - stated.size / logs,
        )


def _comparison(log: PullLog) -> Comparison:
    """As by `compare`, without the other shapes: they can only take a limit speed away."""
    counted = log.below_full_scale
    step = Q(float(np.median(np.diff(step_statistics(counted)[1]))), "m/s")
    rope = Candidate(fit(log, ROPE), Q(0, ""), ruled_out=False)
    return Comparison((rope,), step, 0, log.full_scale_at)


def cells(setting: Setting) -> Iterator[Setting]:
    """A setting on every kind of rope, with every drive and both kinds of scatter."""
    for rope in ROPES:
        for drive in DRIVES:
            for kind in SCATTERS:
                yield replace(setting, rope=rope, drive=drive, kind=kind)


def main(logs: int = 60) -> None:
    """Print the table: for each cell, P in percent / price in percent (unknown in percent)."""
    limits_at = Setting.limits_at
    print(f"| rope | drive | scatter | {' | '.join(f'{at:g} km/h' for at in limits_at)} |")
    for number, cell in enumerate(cells(Setting())):
        found = " | ".join(
            f"{100 * each.above:.1f} / {100 * each.price:.0f}"
            + (f" ({100 * each.unknown:.0f})" if each.unknown else "")
            for each in outcomes(cell, logs, seed=number)
        )
        print(f"| {cell.rope} | {cell.drive:g} kN | {cell.kind} | {found} |", flush=True)


if __name__ == "__main__":
    main()
