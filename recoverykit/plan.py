"""Plan: the limit speed of a line, and the ladder of pulls that stays below it.

The ladder is common practice, no source: a steady pull first, then the slowest speed, a step up
only as long as the band of the next step stays inside the line's limit, and nothing beyond a
ceiling. If it ends before the casualty moves, the resistance is reduced, not the speed raised.
"""

import dataclasses
import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from recoverykit.border import not_negative, positive, to_si
from recoverykit.ground import (
    NOT_ENOUGH,
    REDUCTIONS,
    Casualty,
    RecoveryVehicle,
    as_predicate,
    verdict_on,
)
from recoverykit.pull import Pull
from recoverykit.rigging import UNKNOWN, RiggingLine
from recoverykit.rope import Rope
from recoverykit.spread import Band, Spread, Uncertain, check_fields, propagate
from recoverykit.units import METRIC, InputError, Q, display, show
from recoverykit.wording import listed

# What can come out of a plan.
LADDER = "ladder of pulls"
REDUCE = "do not pull: reduce the resistance first"
TOO_WEAK = "do not pull: the tyres alone can load this line beyond its limit"
HOLD_BACK = "do not pull: the slope alone may move the casualty"

CEILING = Q(5, "mph")  # about 8 km/h: common practice, no source

FOOT = (
    "Keep the foot still as the rope comes taut: the peaks hold for at most {} of the pull that "
    "the tyres can give."
)

# Common practice, no source.
STOP_RULES = (
    "Stop when a step did not help: the casualty moved no farther than at the step before.",
    "Stop when anything shifted, opened, tore, slipped or stretched in a wrong way.",
    "Stop when a measured peak lies outside its band, or above the limit.",
    "Stop when anybody is where nobody may be, or when a signal was not understood.",
    "Stop when the ladder ends: reduce the resistance, and never add speed instead.",
)
REST = (
    "Look at every part after each pull, and let the rope rest for some minutes: polyamide has "
    "warmed and lengthened, and a rope that has not come back is stiffer at the next pull."
)
ROLLS_FREE = (
    "Once it is free the slope alone may move the casualty, towards the recovery vehicle: agree "
    "first how it is held back."
)
CAUTION = (
    "This plan comes from a model. Follow the makers' instructions, local rules and a qualified "
    "trainer; the plan does not replace them."
)


# --- what a plan is made from -----------------------------------------------------------


_STIFFNESS = Uncertain.between(Q(0.8, ""), Q(1.25, ""))
_DRIVE = Uncertain.between(Q(0.0, ""), Q(0.3, ""))


@dataclass(frozen=True)
class Doubts:
    """How far off the inputs of a plan may be that nobody measures before a pull.

    `speed_off` is how far the true speed may be from the wanted one, either way. `stiffness` is
    the true stiffness of the rope over that of its figures: a rope that has worked is stiffer
    than a new one. `drive` is what the driver keeps up while the rope stretches, as a part of
    what the tyres can give: 0 with the clutch down, 1 with the wheels at the edge of spinning,
    which by itself doubles a steady pull. Range: speed_off ≥ 0; stiffness from above 0 to 10;
    drive from 0 to 1. Raises InputError otherwise.
    Source: the usual values are our own estimates, no source; published stretches of polyamide
    differ by more (at break 28 %, derived as F_b / AE from UFC 4-159-03, and 50 %, seen in
    NAVEDTRA 12018).

    >>> print(Doubts().drive.ends.m_as("percent"))
    [ 0. 30.]
    """

    speed_off: Q = field(default_factory=lambda: Q(1.0, "km/h"))
    stiffness: Uncertain = _STIFFNESS
    drive: Uncertain = _DRIVE

    def __post_init__(self):
        check_fields(
            self,
            speed_off=not_negative("speed"),
            stiffness=positive("ratio", at_most=10.0),
            drive=not_negative("ratio", at_most=1.0),
        )

    def inputs(self, recovery_vehicle: RecoveryVehicle) -> dict:
        """Them and what the vehicle's pull depends on, by name, for `propagate`."""
        return recovery_vehicle.inputs | {
            "speedometer": Uncertain(0 * self.speed_off, self.speed_off),
            "stiffness of the rope": self.stiffness,
            "drive kept up": self.drive,
        }


USUAL = Doubts()


# --- what a plan is ---------------------------------------------------------------------


@dataclass(frozen=True)
class Step:
    """One step of the ladder; the steady pull has no speed.

    `chance` says in which part of the sampled cases the casualty starts to move.
    """

    number: int
    speed: Q | None
    peak: Band
    chance: float

    @property
    def sentence(self) -> str:
        """Speed, predicted peak and what to expect, read out."""
        how = "steady pull, rope tight" if self.speed is None else show(self.speed, "speed")
        expect = verdict_on(self.chance).partition(":")[0]
        return (
            f"Step {self.number}, {how}: {self.peak.words('force')}; {expect} to start the "
            f"casualty."
        )


@dataclass(frozen=True)
class Way:
    """Reductions after which there would be a ladder, and the verdict on it."""

    reductions: tuple[str, ...]
    verdict: str

    @property
    def sentence(self) -> str:
        """What to do, and what the ladder then is."""
        first = listed(self.reductions)
        return f"First {first}: then there is a ladder; it {as_predicate(self.verdict)}."


@dataclass(frozen=True, eq=False)
class PullPlan:
    """What came out of `plan_pull`.

    `outcome` is LADDER, REDUCE, TOO_WEAK, HOLD_BACK or UNKNOWN; only a LADDER has `steps`.
    `limit` (the line's working load limit) and `limit_speed` are None if the outcome is UNKNOWN.
    `ways` are the smallest sets of reductions after which there would be a ladder; only REDUCE
    has any. `rolls_free`: once it has started, the slope alone may keep the casualty moving.
    `tried` is every step up to the fastest speed, those beyond the limit among them: it shows why
    a ladder ends, and is no ladder itself. `reason` is one sentence.
    """

    outcome: str
    reason: str
    limit: Q | None = None
    limit_speed: Spread | None = None
    doubts: Doubts = USUAL
    tried: tuple[Step, ...] = ()
    steps: tuple[Step, ...] = ()
    ways: tuple[Way, ...] = ()
    rolls_free: bool = False

    @property
    def sentences(self) -> tuple[str, ...]:
        """The whole plan, read out."""
        lines = [f"{self.outcome[0].upper()}{self.outcome[1:]}.", self.reason]
        lines += [step.sentence for step in self.steps] + [way.sentence for way in self.ways]
        if self.steps:
            lines += [ROLLS_FREE] * self.rolls_free
            lines += [FOOT.format(show(self.doubts.drive.ends[1], "ratio")), *STOP_RULES, REST]
        return (*lines, CAUTION)


# --- how it is made ---------------------------------------------------------------------


def ladder_speeds() -> tuple:
    """The usual steps in the display system in force: 2 to 8 km/h by 2, or 1 to 5 mph by 1.

    >>> [f"{speed:~P}" for speed in ladder_speeds()]
    ['2 km/h', '4 km/h', '6 km/h', '8 km/h']
    """
    numbers, unit = ((2, 4, 6, 8), "km/h") if display.system is METRIC else (range(1, 6), "mph")
    return tuple(Q(number, unit) for number in numbers)


def limit_speed(
    recovery_vehicle: RecoveryVehicle, rope: Rope, limit, doubts: Doubts = USUAL
) -> Spread:
    """The speed on the speedometer at which the first peak comes just to a limit, as a spread.

    Worked out with a casualty that does not move, which loads the line most. 0 where the drive
    alone passes the limit. Range: as `Pull`; 0 < limit ≤ what the rope bears. Raises InputError
    outside.

    >>> from recoverykit.rope import demo_rope
    >>> truck = RecoveryVehicle(Q(3100, "kg"), "wet grass")
    >>> speed = limit_speed(truck, demo_rope(), Q(30, "kN"))
    >>> print(speed.band.words("speed"))
    8.5 km/h (95 of 100 cases between 7.0 km/h and 10.0 km/h)
    """
    _check_limit(rope, limit)

    def speed(**sampled):
        still = _pull(recovery_vehicle, rope, Q(0, "m/s"), sampled)
        bears = still.first_peak.tension <= limit
        borne = dataclasses.replace(still, drive=bears * still.drive)
        true_speed = bears * borne.speed_for_tension(limit)
        return np.maximum(true_speed - sampled["speedometer"], Q(0, "m/s"))

    return propagate(speed, doubts.inputs(recovery_vehicle))


def first_peak(
    recovery_vehicle: RecoveryVehicle, rope: Rope, speed, doubts: Doubts = USUAL
) -> Spread:
    """The first peak at a speed on the speedometer, as a spread.

    Worked out as in `limit_speed`; where the rope parts it is the tension of that moment. Range: as
    `Pull`; one speed, 0 or more. Raises InputError outside.

    >>> from recoverykit.rope import demo_rope
    >>> truck = RecoveryVehicle(Q(3100, "kg"), "wet grass")
    >>> peak = first_peak(truck, demo_rope(), Q(4, "km/h"))
    >>> print(peak.band.words("force"))
    14.5 kN (95 of 100 cases between 10.7 kN and 18.9 kN)
    """
    to_si("first_peak", {"speed": not_negative("speed")}, {"speed": speed})

    def peak(**sampled):
        true_speed = np.maximum(speed + sampled["speedometer"], Q(0, "m/s"))
        return _pull(recovery_vehicle, rope, true_speed, sampled).first_peak.tension

    return propagate(peak, doubts.inputs(recovery_vehicle))


def plan_pull(
    recovery_vehicle: RecoveryVehicle,
    casualty: Casualty,
    rope: Rope | None,
    line: RiggingLine,
    speeds: Sequence | None = None,
    doubts: Doubts = USUAL,
) -> PullPlan:
    """Plan the pulls on a casualty: the ladder, or why there is none and what would help.

    `line` holds every part that carries the load, the rope among them with its own rating; `rope`
    is None where its strength is not known, and then the plan is UNKNOWN. The ladder is a steady
    pull and then each of `speeds` (rising, at most about 8 km/h, 5 mph; those of `ladder_speeds`
    unless given) as long as the band of its first peak ends below the line's working load limit.
    Peaks are worked out as in `limit_speed`. Raises InputError for speeds that do not rise or pass
    the ceiling, and for a limit that the rope itself cannot bear.
    Source of the rules: common practice, no source.

    >>> from recoverykit.rigging import demo_line
    >>> from recoverykit.rope import demo_rope
    >>> truck = RecoveryVehicle(Q(3100, "kg"), "gravel")
    >>> car = Casualty(Q(1850, "kg"), "wet sand", mire="wheels")
    >>> plan = plan_pull(truck, car, demo_rope(), demo_line())
    >>> print(plan.outcome)
    ladder of pulls
    >>> print(plan.reason)
    Within the limit of 26.7 kN (soft shackle) the ladder ends at 4.0 km/h.
    >>> print(plan.steps[-1].sentence)
    Step 3, 4.0 km/h: 16.1 kN (95 of 100 cases between 11.4 kN and 21.3 kN); may not be enough to
    start the casualty.
    >>> carrier = Casualty(Q(4200, "kg"), "wet sand", mire="fenders")
    >>> plan = plan_pull(truck, carrier, demo_rope(), demo_line())
    >>> print(plan.outcome)
    do not pull: reduce the resistance first
    >>> print(plan.ways[0].sentence)
    First dig out and let air down: then there is a ladder; it may not be enough.
    """
    speeds = ladder_speeds() if speeds is None else tuple(speeds)
    _check_speeds(speeds)
    limit, first = line.working_load_limit, line.first_past_working_limit
    if limit is None or first is None:
        names = ", ".join(link.name for link in line.unrated)
        return PullPlan(
            UNKNOWN, f"No working load limit is known for: {names}. Without it there is no plan."
        )
    if rope is None:
        return PullPlan(
            UNKNOWN,
            "The breaking strength of the rope is not known, so its stretch cannot be worked out: "
            "write its design factor, too.",
        )
    _check_limit(rope, limit)

    peaks = [(None, recovery_vehicle.steady_pull)]
    peaks += [(speed, first_peak(recovery_vehicle, rope, speed, doubts)) for speed in speeds]
    tried = _steps(peaks, casualty)
    steps = tuple(itertools.takewhile(lambda step: step.peak.high <= limit, tried))
    known = {
        "doubts": doubts,
        "limit": limit,
        "limit_speed": limit_speed(recovery_vehicle, rope, limit, doubts),
        "tried": tried,
        "rolls_free": _may_be_nothing(casualty.pull_to_keep_moving),
    }
    if _may_be_nothing(casualty.pull_to_start):
        return PullPlan(HOLD_BACK, "It has to be held back, not pulled.", **known)
    the_limit = f"the limit of {show(limit, 'force')} ({first.name})"
    if not steps:
        most = show(tried[0].peak.high, "force")
        return PullPlan(TOO_WEAK, f"A steady pull can come to {most}, above {the_limit}.", **known)
    if len(steps) == len(tried):
        reason = f"All steps stay within {the_limit}."
    else:
        last = "the steady pull" if steps[-1].speed is None else show(steps[-1].speed, "speed")
        reason = f"Within {the_limit} the ladder ends at {last}."
    if _verdict(steps) != NOT_ENOUGH:
        return PullPlan(LADDER, reason, steps=steps, **known)
    ways = tuple(_ways(peaks[: len(steps)], casualty))
    reason += " That is not enough to start the casualty. Every load taken off helps in proportion."
    if not ways:
        reason += " No reduction in our table is enough, not even all together."
    return PullPlan(REDUCE, reason, ways=ways, **known)


def _may_be_nothing(pull: Spread) -> bool:
    """Whether some of the cases need no pull at all."""
    return bool(pull.band.low.m <= 0)


def _check_limit(rope: Rope, limit) -> None:
    to_si("plan_pull", {"limit": positive("force")}, {"limit": limit})
    if limit > rope.parting_tension:
        raise InputError(
            f"plan_pull: line: its limit of {show(limit, 'force')} is above the "
            f"{show(rope.parting_tension, 'force')} at which the rope parts; put the rope into "
            f"the line as a link with its own rating"
        )


def _check_speeds(speeds) -> None:
    given = {f"speeds[{place}]": speed for place, speed in enumerate(speeds)}
    to_si("plan_pull", dict.fromkeys(given, positive("speed")), given)
    if not speeds or any(slow >= fast for slow, fast in itertools.pairwise(speeds)):
        raise InputError(
            "plan_pull: speeds: these are none, or they do not rise; write for example "
            'speeds=[Q(2, "km/h"), Q(4, "km/h")]'
        )
    if speeds[-1] > CEILING:
        raise InputError(
            f"plan_pull: speeds: {show(speeds[-1], 'speed')} is above the ceiling of the trade, "
            f"{show(CEILING, 'speed')}; leave it out"
        )


def _pull(recovery_vehicle: RecoveryVehicle, rope: Rope, speed, sampled) -> Pull:
    stretch = rope.stretch_at_break / sampled["stiffness of the rope"]
    return Pull(
        sampled["mass of the recovery vehicle"],
        dataclasses.replace(rope, stretch_at_break=stretch),
        speed,
        drive=sampled["drive kept up"] * recovery_vehicle.pull(sampled),
    )


def _steps(inside: Iterable, casualty: Casualty) -> tuple[Step, ...]:
    needed = casualty.pull_to_start.samples
    return tuple(
        Step(number, speed, peak.band, float(np.mean(peak.samples >= needed)))
        for number, (speed, peak) in enumerate(inside, start=1)
    )


def _ways(inside: Iterable, casualty: Casualty) -> Iterable[Way]:
    """The smallest sets of further reductions with which a step is more than not enough."""
    further = [name for name in REDUCTIONS if name not in casualty.reductions]
    found: list[Way] = []
    for count in range(1, len(further) + 1):
        for names in itertools.combinations(further, count):
            if any(set(way.reductions) < set(names) for way in found):
                continue
            reduced = dataclasses.replace(casualty, reductions=(*casualty.reductions, *names))
            verdict = _verdict(_steps(inside, reduced))
            if verdict != NOT_ENOUGH:
                found.append(Way(names, verdict))
    return found


def _verdict(steps: Iterable[Step]) -> str:
    """What is to be expected of the best step."""
    return verdict_on(max(step.chance for step in steps))
