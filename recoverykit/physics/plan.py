"""Plan: the limit speed of a line, and the ladder of pulls that stays below it.

The ladder is common practice, no source: a steady pull first, then the slowest run-up that pulls
harder, a step up only as long as the band of the next step stays inside the line's limit, and
nothing beyond a ceiling. If it ends before the stuck vehicle moves, the resistance is reduced, not
the speed raised.
"""

import dataclasses
import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from recoverykit.physics.ground import (
    NOT_ENOUGH,
    REDUCTIONS,
    RecoveryVehicle,
    StuckVehicle,
    verdict_on,
)
from recoverykit.physics.pull import Pull
from recoverykit.physics.rigging import UNKNOWN, RiggingLine
from recoverykit.physics.rope import Rope
from recoverykit.physics.uncertainty import Band, Spread, Uncertain, propagate
from recoverykit.units.quantities import (
    METRIC,
    DisplaySystem,
    InputError,
    Q,
    at_most,
    display,
    show,
)
from recoverykit.units.text import listed
from recoverykit.units.validation import not_negative, positive, to_si

# What can come out of a plan.
LADDER = "ladder of pulls"
REDUCE = "do not pull: reduce the resistance first"
TOO_WEAK = "do not pull: the tires alone can load this line beyond its limit"
HOLD_BACK = "do not pull: the slope alone may move the stuck vehicle"

CEILING = Q(5, "mph")  # about 8 km/h: common practice, no source

# Common practice, no source.
STOP_RULES = (
    "Stop if anything shifts, opens, tears, slips or stretches oddly.",
    "Stop if a measured peak is outside its band or above the limit.",
    "Stop if anyone is where nobody should be, or a signal wasn't understood.",
    "Stop when the ladder ends. Reduce the resistance; don't add speed.",
)
ROLLS_FREE = (
    "Once it's free, the slope alone may roll the stuck vehicle toward the recovery vehicle. "
    "Agree first on how it will be held back."
)


# --- what a plan is made from -----------------------------------------------------------


_STIFFNESS = Uncertain(Q(0.8, ""), Q(1.25, ""))
_DRIVE = Uncertain(Q(0.0, ""), Q(0.3, ""))
_LET_OFF = Uncertain(Q(0.0, "m"), Q(1.0, "m"))
_ALL_DRIVE = Uncertain(Q(1.0, ""), Q(1.0, ""))
_ON_THE_SPOT = Uncertain(Q(0.0, "m"), Q(0.0, "m"))


@dataclass(frozen=True)
class InputUncertainty:
    """How far off the inputs of a plan may be that nobody measures before a pull.

    `speed_off` is how far the true speed may be from the wanted one, either way. `stiffness` is
    the true stiffness of the rope over that of its figures: a rope that has worked is stiffer
    than a new one. `drive` is what the driver keeps up while the rope stretches, as a part of
    what the tires can give: 0 with the clutch down, 1 with the wheels at the edge of spinning,
    which by itself doubles a steady pull. `let_off` is how far the stuck vehicle has moved by the
    time that the foot is off, and on a slope on the brake. Range: speed_off and let_off ≥ 0;
    stiffness from above 0 to 10; drive from 0 to 1. Raises InputError otherwise.
    Source: the usual values are our own estimates, no source; published stretches of polyamide
    differ by more (at break 28 %, derived as F_b / AE from UFC 4-159-03, and 50 %, seen in
    NAVEDTRA 12018).

    >>> print(InputUncertainty().drive.ends.m_as("percent"))
    [ 0. 30.]
    """

    speed_off: Q = field(default_factory=lambda: Q(1.0, "km/h"))
    stiffness: Uncertain = _STIFFNESS
    drive: Uncertain = _DRIVE
    let_off: Uncertain = _LET_OFF

    def __post_init__(self):
        limits = {
            "speed_off": not_negative("speed"),
            "stiffness": positive("ratio", at_most=10.0),
            "drive": not_negative("ratio", at_most=1.0),
            "let_off": not_negative("length"),
        }
        ends = {name: getattr(self, name).ends for name in ("stiffness", "drive", "let_off")}
        to_si("InputUncertainty", limits, {"speed_off": self.speed_off, **ends})

    def inputs(self, recovery_vehicle: RecoveryVehicle) -> dict:
        """Them and what the vehicle's pull depends on, by name, for `propagate`."""
        return recovery_vehicle.inputs | {
            "speedometer": Uncertain(-1 * self.speed_off, self.speed_off),
            "stiffness of the rope": self.stiffness,
            "drive kept up": self.drive,
            "way until the foot is off": self.let_off,
        }


USUAL = InputUncertainty()


# --- what a plan is ---------------------------------------------------------------------


@dataclass(frozen=True)
class Step:
    """One step of the ladder; the steady pull has no speed.

    `chance` says in which part of the sampled cases the stuck vehicle starts to move, and
    `parting_chance` in which part of the line breaks (a case that counts as no start).
    """

    number: int
    speed: Q | None
    peak: Band
    chance: float
    parting_chance: float

    @property
    def parting(self) -> str:
        """In how many cases the line parts, as a further sentence; nothing if in none."""
        if self.parting_chance == 0:
            return ""
        return f" The line may part: {math.ceil(round(100 * self.parting_chance, 6))} of 100 cases."


@dataclass(frozen=True)
class Remedy:
    """Reductions after which there would be a ladder, and the verdict on it."""

    reductions: tuple[str, ...]
    verdict: str

    @property
    def sentence(self) -> str:
        """What to do, and what the ladder then is."""
        first = listed(self.reductions)
        return f"First {first}: then there's a ladder; it's {self.verdict}."


@dataclass(frozen=True, eq=False)
class PullPlan:
    """What came out of `plan_pull`.

    `outcome` is LADDER, REDUCE, TOO_WEAK, HOLD_BACK or UNKNOWN; only a LADDER has `steps`.
    `limit` (the line's working load limit) and `limit_speed` are None if the outcome is UNKNOWN.
    `remedies` are the smallest sets of reductions after which there would be a ladder; only REDUCE
    has any. `rolls_free`: once it has started, the slope alone may keep the stuck vehicle moving.
    `set_on_at_once` is what the line sees if the steady pull of a LADDER is not built up slowly.
    `tried` is every pull up to the fastest speed, those beyond the limit and those that pull less
    than the steady pull among them: it shows why a ladder begins and ends where it does, and is no
    ladder itself. `reason` is one sentence or two.
    """

    outcome: str
    reason: str
    limit: Q | None = None
    limit_speed: Spread | None = None
    input_uncertainty: InputUncertainty = USUAL
    tried: tuple[Step, ...] = ()
    steps: tuple[Step, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    rolls_free: bool = False
    set_on_at_once: Band | None = None

    def steady_pull_rule(self, *systems: DisplaySystem) -> str:
        """How the steady pull is made, and what comes of it otherwise; in one system or in two."""
        assert self.set_on_at_once is not None  # or there would be no ladder
        high = self.set_on_at_once.high
        if np.isfinite(high.m):
            first, *second = dict.fromkeys(at_most(high, "force", system) for system in systems)
            happens = f"may see {first}{f' ({second[0]})' if second else ''}"
            happens += ", beyond its limit" * bool(high > self.limit)
        else:
            happens = "may part"
        return (
            f"Build the steady pull up slowly, and ease off as it moves. Put it on all at once, "
            f"and the line {happens}."
        )


# --- how it is made ---------------------------------------------------------------------


def ladder_speeds(system: DisplaySystem | None = None) -> tuple:
    """The usual steps: 2 to 8 km/h by 2, or 1 to 5 mph by 1; in the display system in force.

    >>> [f"{speed:~P}" for speed in ladder_speeds()]
    ['2 km/h', '4 km/h', '6 km/h', '8 km/h']
    """
    metric = (system or display.system) is METRIC
    numbers, unit = ((2, 4, 6, 8), "km/h") if metric else (range(1, 6), "mph")
    return tuple(Q(number, unit) for number in numbers)


def limit_speed(
    recovery_vehicle: RecoveryVehicle,
    stuck_vehicle: StuckVehicle,
    rope: Rope,
    limit,
    input_uncertainty: InputUncertainty = USUAL,
) -> Spread:
    """The speed on the speedometer at which `highest_peak` comes just to a limit, as a spread.

    0 where the drive alone passes the limit. Range: as `Pull`; 0 < limit < what the rope bears.
    Raises InputError outside.

    >>> from recoverykit.physics.rope import demo_rope
    >>> truck = RecoveryVehicle(Q(3100, "kg"), "wet grass")
    >>> carrier = StuckVehicle(Q(4200, "kg"), "soft mud", mire="wheels")
    >>> speed = limit_speed(truck, carrier, demo_rope(), Q(30, "kN"))
    >>> print(speed.band.words("speed"))
    8.5 km/h (95 of 100 cases between 6.9 km/h and 10.1 km/h)
    """
    _check_limit(rope, limit)

    def speed(**sampled):
        still = _pull(recovery_vehicle, rope, Q(0, "m/s"), sampled)
        bears = still.first_peak.tension <= limit
        borne = dataclasses.replace(still, drive=bears * still.drive)
        gained = _gained(borne, stuck_vehicle, sampled) * (
            stuck_vehicle.pull_to_start.samples <= limit
        )
        square = np.maximum(borne.speed_for_tension(limit) ** 2 - gained, 0 * gained)
        true_speed = bears * np.sqrt(square)
        return np.maximum(true_speed - sampled["speedometer"], Q(0, "m/s"))

    return propagate(speed, input_uncertainty.inputs(recovery_vehicle))


def highest_peak(
    recovery_vehicle: RecoveryVehicle,
    stuck_vehicle: StuckVehicle,
    rope: Rope,
    line: RiggingLine,
    speed,
    input_uncertainty: InputUncertainty = USUAL,
) -> Spread:
    """What the tension of a whole pull stays below, at a speed on the speedometer, as a spread.

    It is the first peak against a stuck vehicle that stays where it is, F with E(x) − D x = m1
    v²/2: nothing loads the line more up to then. One that breaks free, and sticks again, can be
    jerked later. By then it has moved by s, the drive D has brought D s more than on the spot, and
    the ground has taken R_m s of it. So no jerk passes the first peak of a start at

        v'² = v² + 2 (D − R_m) s / m1, where D is above R_m

    with s the way until the foot is off. Down a slope the weight of the recovery vehicle belongs
    to D. Infinite where the rope or a part of the line breaks. Range: as `Pull`; one speed, 0 or
    more. Raises InputError outside. Source: work and energy, as in any mechanics text.

    >>> from recoverykit.physics.rigging import demo_line
    >>> from recoverykit.physics.rope import demo_rope
    >>> truck = RecoveryVehicle(Q(3100, "kg"), "wet grass")
    >>> carrier = StuckVehicle(Q(4200, "kg"), "soft mud", mire="wheels")
    >>> peak = highest_peak(truck, carrier, demo_rope(), demo_line(), Q(4, "km/h"))
    >>> print(peak.band.words("force"))
    14.5 kN (95 of 100 cases between 10.7 kN and 18.9 kN)
    """
    to_si("highest_peak", {"speed": not_negative("speed")}, {"speed": speed})

    def peak(**sampled):
        true_speed = np.maximum(speed + sampled["speedometer"], Q(0, "m/s"))
        pull = _pull(recovery_vehicle, rope, true_speed, sampled)
        starts = pull.first_peak.tension >= stuck_vehicle.pull_to_start.samples
        gained = _gained(pull, stuck_vehicle, sampled) * starts
        if np.any(gained.m > 0):
            pull = dataclasses.replace(pull, speed=np.sqrt(true_speed**2 + gained))
        tension = pull.first_peak.tension
        return np.where(pull.first_peak.parts | _breaks(line, tension), Q(np.inf, "N"), tension)

    return propagate(peak, input_uncertainty.inputs(recovery_vehicle))


def set_on_at_once(
    recovery_vehicle: RecoveryVehicle,
    stuck_vehicle: StuckVehicle,
    rope: Rope,
    line: RiggingLine,
    input_uncertainty: InputUncertainty = USUAL,
) -> Spread:
    """The tension if all of a steady pull comes on at once against a vehicle that holds, a spread.

    It is `highest_peak` at no speed, with all that the tires can give as the drive, on the spot:
    twice the steady pull on a straight rope, more on one that stiffens. A vehicle that comes free
    makes it less, and a later jerk seldom more: drawn whole pulls, the foot off within 1 m, pass
    the upper end of the band in no more than 5 of 100 cases (see the tests). Range and errors: as
    `highest_peak`.
    """
    whole = dataclasses.replace(
        input_uncertainty, speed_off=Q(0.0, "m/s"), drive=_ALL_DRIVE, let_off=_ON_THE_SPOT
    )
    return highest_peak(recovery_vehicle, stuck_vehicle, rope, line, Q(0.0, "m/s"), whole)


def plan_pull(
    recovery_vehicle: RecoveryVehicle,
    stuck_vehicle: StuckVehicle,
    rope: Rope | None,
    line: RiggingLine,
    speeds: Sequence | None = None,
    input_uncertainty: InputUncertainty = USUAL,
) -> PullPlan:
    """Plan the pulls on a stuck vehicle: the ladder, or why there is none and what would help.

    `line` holds every part that carries the load, the rope among them with its own rating; `rope`
    is None where its strength is not known, and then the plan is UNKNOWN. The ladder is a steady
    pull and then each of `speeds` (rising, at most about 8 km/h, 5 mph; those of `ladder_speeds`
    unless given) that pulls harder than the steady pull, by their medians, as long as the band of
    its `highest_peak` ends below the line's working load limit. Raises InputError for speeds that
    do not rise or pass the ceiling, and for a limit that the rope itself cannot bear.
    Source of the rules: common practice, no source.

    >>> from recoverykit.physics.rigging import demo_line
    >>> from recoverykit.physics.rope import demo_rope
    >>> truck = RecoveryVehicle(Q(3100, "kg"), "gravel")
    >>> car = StuckVehicle(Q(1850, "kg"), "wet sand", mire="wheels")
    >>> plan = plan_pull(truck, car, demo_rope(), demo_line())
    >>> print(plan.outcome)
    ladder of pulls
    >>> print(plan.reason)
    Within the limit of 26.7 kN (soft shackle) the ladder ends at 4.0 km/h. A run-up at 2.0 km/h
    pulls less than the steady pull, so it's not in the ladder.
    >>> print(plan.steps[-1].peak.words("force"))
    16.3 kN (95 of 100 cases between 11.4 kN and 22.5 kN)
    >>> carrier = StuckVehicle(Q(4200, "kg"), "wet sand", mire="fenders")
    >>> plan = plan_pull(truck, carrier, demo_rope(), demo_line())
    >>> print(plan.outcome)
    do not pull: reduce the resistance first
    >>> print(plan.remedies[0].sentence)
    First dig out and air down: then there's a ladder; it's unlikely to be
    enough.
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

    steady = _steady_peak(recovery_vehicle, rope, line)
    pulls = [(None, steady)]
    for speed in speeds:
        peak = highest_peak(recovery_vehicle, stuck_vehicle, rope, line, speed, input_uncertainty)
        pulls.append((speed, peak))
    rising = [pulls[0], *(pull for pull in pulls[1:] if pull[1].band.median > steady.band.median)]
    inside = list(itertools.takewhile(lambda pull: pull[1].band.high <= limit, rising))
    steps = _steps(inside, stuck_vehicle)
    known = {
        "input_uncertainty": input_uncertainty,
        "limit": limit,
        "limit_speed": limit_speed(recovery_vehicle, stuck_vehicle, rope, limit, input_uncertainty),
        "tried": _steps(pulls, stuck_vehicle),
        "rolls_free": _may_be_nothing(stuck_vehicle.pull_to_keep_moving),
    }
    if _may_be_nothing(stuck_vehicle.pull_to_start):
        return PullPlan(HOLD_BACK, "It has to be held back, not pulled.", **known)
    the_limit = f"the limit of {show(limit, 'force')} ({first.name})"
    if not steps:
        comes_to = f"come to {show(steady.band.high, 'force')}, above {the_limit}"
        most = comes_to if np.isfinite(steady.band.high.m) else "part the line"
        return PullPlan(TOO_WEAK, f"A steady pull can {most}.", **known)
    reason = _why_it_ends(rising, steps, the_limit)
    gentler = [speed for speed, _ in pulls[1 : 1 + len(pulls) - len(rising)]]
    if gentler:
        said = listed([show(speed, "speed") for speed in gentler])
        reason += f" A run-up at {said} pulls less than the steady pull, so it's not in the ladder."
    if _verdict(steps) != NOT_ENOUGH:
        at_once = set_on_at_once(recovery_vehicle, stuck_vehicle, rope, line, input_uncertainty)
        return PullPlan(LADDER, reason, steps=steps, set_on_at_once=at_once.band, **known)
    remedies = tuple(_remedies(inside, stuck_vehicle))
    reason += " That isn't enough to start the stuck vehicle. Anything you unload helps."
    if not remedies:
        reason += " Nothing in our table is enough, not even all of it together."
    return PullPlan(REDUCE, reason, remedies=remedies, **known)


def _why_it_ends(rising: Sequence, steps: Sequence[Step], the_limit: str) -> str:
    if len(steps) < len(rising):
        last = "the steady pull" if steps[-1].speed is None else show(steps[-1].speed, "speed")
        return f"Within {the_limit} the ladder ends at {last}."
    if len(rising) == 1:
        return "No run-up pulls harder than the steady pull."
    return f"All steps stay within {the_limit}."


def _may_be_nothing(pull: Spread) -> bool:
    """Whether some of the cases need no pull at all."""
    return bool(pull.band.low.m <= 0)


def _check_limit(rope: Rope, limit) -> None:
    to_si("plan_pull", {"limit": positive("force")}, {"limit": limit})
    if limit >= rope.parting_tension:
        raise InputError(
            f"plan_pull: line: its limit of {show(limit, 'force')} is not below the "
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
    """Pulls on a stuck vehicle that stays where it is."""
    stretch = rope.stretch_at_break / sampled["stiffness of the rope"]
    downhill = recovery_vehicle.downhill_force
    from_tires = np.maximum(recovery_vehicle.pull(sampled) - downhill, 0 * downhill)
    return Pull(
        recovery_vehicle.mass,
        dataclasses.replace(rope, stretch_at_break=stretch),
        speed,
        drive=downhill + sampled["drive kept up"] * from_tires,
    )


def _gained(pull: Pull, stuck_vehicle: StuckVehicle, sampled):
    """What the drive can add to the square of the speed until the foot is off."""
    left = pull.drive - stuck_vehicle.pull_to_keep_moving.samples
    travel = sampled["way until the foot is off"]
    return (2 * np.maximum(left, 0 * left) * travel / pull.recovery_mass).to("m**2/s**2")


def _breaks(line: RiggingLine, tension):
    """Where a tension comes to the breaking strength of a part of the line, as far as known."""
    weakest = line.first_to_break
    return False if weakest is None else tension >= weakest.breaking_strength


def _steady_peak(recovery_vehicle: RecoveryVehicle, rope: Rope, line: RiggingLine) -> Spread:
    steady = recovery_vehicle.steady_pull
    broken = (steady.samples >= rope.parting_tension) | _breaks(line, steady.samples)
    return Spread(Q(np.where(broken, np.inf, steady.samples.m_as("N")), "N"))


def _steps(pulls: Iterable, stuck_vehicle: StuckVehicle) -> tuple[Step, ...]:
    needed = stuck_vehicle.pull_to_start.samples
    steps = []
    for number, (speed, peak) in enumerate(pulls, start=1):
        holds = np.isfinite(peak.samples.m)
        starts = (peak.samples >= needed) & holds
        steps.append(Step(number, speed, peak.band, float(np.mean(starts)), float(np.mean(~holds))))
    return tuple(steps)


def _remedies(inside: Iterable, stuck_vehicle: StuckVehicle) -> Iterable[Remedy]:
    """The smallest sets of further reductions with which a step is more than not enough."""
    further = [name for name in REDUCTIONS if name not in stuck_vehicle.reductions]
    found: list[Remedy] = []
    for count in range(1, len(further) + 1):
        for names in itertools.combinations(further, count):
            if any(set(remedy.reductions) < set(names) for remedy in found):
                continue
            reduced = dataclasses.replace(
                stuck_vehicle, reductions=(*stuck_vehicle.reductions, *names)
            )
            verdict = _verdict(_steps(inside, reduced))
            if verdict != NOT_ENOUGH:
                found.append(Remedy(names, verdict))
    return found


def _verdict(steps: Iterable[Step]) -> str:
    """What is to be expected of the best step."""
    return verdict_on(max(step.chance for step in steps))
