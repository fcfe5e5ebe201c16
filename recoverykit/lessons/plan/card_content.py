"""The pull card: what of a plan is taken along to the pull, in words for one page.

Everything here is text: `recoverykit.lessons.plan.card_page` lays it out and prints it.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from recoverykit.physics.ground import RecoveryVehicle, StuckVehicle, verdict_on
from recoverykit.physics.plan import LADDER, ROLLS_FREE, InputUncertainty, PullPlan, Step
from recoverykit.physics.rigging import Link, RiggingLine
from recoverykit.physics.rigging_text import missing_from
from recoverykit.physics.rope import Rope
from recoverykit.physics.uncertainty import Band
from recoverykit.units.quantities import METRIC, DisplaySystem, InputError, Q, at_least, brief, show
from recoverykit.units.text import counted, listed

TITLE = "Pull card"
MARK = "EXAMPLE WITH INVENTED VALUES"
WHY_MARKED = "Not for a real pull. Not confirmed as the user's own: {}."
OWN_VALUES = ("recovery vehicle", "stuck vehicle", "rope", "line")  # what a user confirms
BLANK = ""  # a box to write in

# Common practice, no source.
BLANKS = (("Date", "Place, position"), ("Weather", "Tide", "Emergency number"))
CHECKS = (
    "Shackle pins all the way in",
    "Soft shackles: no wear, closed right",
    "Rope: no twists, slack laid out",
    "Points on both vehicles: bolts and metal look good",
    "Hoods up or screens covered",
    "Damper on the line",
    "Gloves on",
)
TICK = "\N{BALLOT BOX}\N{NO-BREAK SPACE}"
CREW = ("Leader", "Recovery driver", "Stuck driver", "Lookout")
SIGNALS = (
    ("Ready?", "one arm straight up", "1 short"),
    ("Which step", "as many fingers", "say it"),
    ("Take up slack", "arm up, hand circles", "say it"),
    ("Pull", "the raised arm drops", "2 short"),
    ("Ease off", "both palms press down", "3 short"),
    ("STOP", "arms crossed overhead", "1 long"),
)
SIGNALS_TITLE = "Signals: arms, horn, radio channel:"
WORK_CAUTION = "How much it helps is invented, not measured: it may help less."
WHO_STOPS = "Anyone can call STOP, any time. Everyone obeys; nobody asks why first."
REST_MINUTES = 10
STUCK_DRIVER = "Stuck driver: steer, and brake when told to."
PEGS = {"metric": Q(10, "m"), "US": Q(30, "ft")}  # apart, to time a speed with a watch
FEET = (  # what a part of the tires' pull that may be kept up means at the wheel, at most
    (0.05, "clutch down or in neutral"),
    (0.5, "idle in first, foot off"),
    (1.0, "add no gas"),
)
NOT_MOVED = (
    "Doesn't move? Dig, air down, lay boards, unload before any run-up. A run-up that doesn't "
    "move it doesn't end the ladder."
)
TITLES = ("Step", "Speed", "Peg to peg", "Predicted peak", "Measured", "Starts it?", "Go on?")

# Common practice, no source, but for the distance.
# The distance: TM 9-2320-356-BD, 4-6, "not closer than the longest line in use" (seen).
KEEP_CLEAR = (
    "Nobody on foot within {rope} of the line (the least a manual asks for; what flies can fly "
    "farther, damper or not), nor ahead of, behind or over it. Only the drivers inside, belts on."
)
SOURCES = (
    "Ladder, rules, checks, signals: common practice, no source; distance: TM 9-2320-356-BD, 4-6."
)
DANGER = "A stretched line holds energy and can kill. No number here is a permission to pull."
FOLLOW = "Makers' instructions, local rules and a qualified trainer come first."
SIGN = ("Checked by (trainer)", "Signed")


class NoCardError(InputError):
    """There is no ladder to print; the message says why."""


@dataclass(frozen=True)
class Table:
    """Titles of columns, and rows of cells."""

    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class PullCard:
    """All that stands on a card, in the order in which it is read."""

    mark: str  # across the page, and nothing if the user has confirmed every value
    why_marked: str
    case: str  # what the ladder was worked out for
    rope: str
    limit: str
    work: str  # what is done before the first pull; nothing, if nothing was planned
    work_caution: str
    parts: tuple[str, ...]  # each with its limit as rigged
    pegs: str
    ladder: Table
    wheel: tuple[str, ...]
    keep_clear: str
    assumed: str


def pull_card(
    plan: PullPlan,
    line: RiggingLine,
    rope: Rope,
    recovery_vehicle: RecoveryVehicle,
    stuck_vehicle: StuckVehicle,
    systems: Sequence[DisplaySystem] = (METRIC,),
    unconfirmed: Sequence[str] = OWN_VALUES,
    pulls_so_far: int | None = None,
) -> PullCard:
    r"""The card of a plan for a line, in one display system or in two.

    `unconfirmed` are those of OWN_VALUES that the user has not confirmed as their own: with any,
    the card is marked as an example. `pulls_so_far` are those of the rope, if they are known. All
    else is what the plan was made with. Raises NoCardError if the plan is no ladder (with an
    unrated link above all), and if the line is not a whole one.

    >>> from recoverykit.physics.plan import plan_pull
    >>> from recoverykit.physics.rigging import demo_line
    >>> from recoverykit.physics.rope import demo_rope
    >>> from recoverykit.units.quantities import US, Q
    >>> truck = RecoveryVehicle(Q(3100, "kg"), "gravel")
    >>> car = StuckVehicle(Q(1850, "kg"), "wet sand")
    >>> plan = plan_pull(truck, car, demo_rope(), demo_line())
    >>> card = pull_card(plan, demo_line(), demo_rope(), truck, car, (METRIC, US))
    >>> print(card.limit)
    Limit of the line: 26.7 kN (6,000 lbf), soft shackle. The line may hit it from 5.2 km/h (3.2
    mph) up.
    >>> card.ladder.rows[-1][:4]
    ('2', '4 km/h (2.5 mph)', '9.0 s', '11.4 to 22.4 kN (2,570 to 5,050 lbf)')
    >>> tow_ball = demo_line("line over a tow ball")
    >>> plan = plan_pull(truck, car, demo_rope(), tow_ball)
    >>> pull_card(plan, tow_ball, demo_rope(), truck, car)
    Traceback (most recent call last):
    ...
    recoverykit.lessons.plan.card_content.NoCardError: There is no card: no ladder to print.
    Unknown. No working load limit is known for: tow ball of the launch truck. Without it there is
    no plan.
    """
    if plan.outcome != LADDER:
        raise NoCardError(
            f"There is no card: no ladder to print. {plan.outcome.capitalize()}. {plan.reason}"
        )
    if lacks := missing_from(line):
        raise NoCardError(f"There is no card. {lacks}")
    say = _Saying(systems)
    pegs = PEGS[systems[0].name]
    return PullCard(
        mark=MARK if unconfirmed else "",
        why_marked=WHY_MARKED.format(listed(unconfirmed)) if unconfirmed else "",
        case=_case(recovery_vehicle, stuck_vehicle, say),
        rope=_rope(rope, pulls_so_far, say),
        limit=_limit(plan, line, say),
        work=_work(stuck_vehicle, say),
        work_caution=WORK_CAUTION * bool(stuck_vehicle.reductions),
        parts=tuple(_part(link, line, say) for link in line.links),
        pegs=f"pegs {say.amount(pegs, 'length')} apart",
        ladder=_ladder_table(plan.steps, pegs, say),
        wheel=_at_the_wheel(plan, say),
        keep_clear=KEEP_CLEAR.format(rope=say.amount(rope.length, "length")),
        assumed=_assumed(plan.input_uncertainty, say),
    )


def own_values(
    recovery_vehicle: RecoveryVehicle,
    stuck_vehicle: StuckVehicle,
    rope_length,
    stretch,
    line: RiggingLine | None,
    system: DisplaySystem = METRIC,
) -> dict[str, str]:
    """What a user confirms as their own before a card is theirs, in words, by OWN_VALUES.

    >>> from recoverykit.units.quantities import Q
    >>> truck = RecoveryVehicle(Q(3100, "kg"), "gravel")
    >>> car = StuckVehicle(Q(1850, "kg"), "wet sand")
    >>> for name, said in own_values(truck, car, Q(9, "m"), Q(30, "percent"), None).items():
    ...     print(name, said, sep=": ")
    recovery vehicle: 3100 kg, on gravel
    stuck vehicle: 1850 kg, in wet sand, not mired, on the level
    rope: 9 m long, stretch at break 30 %
    line: not written yet
    """
    say = _Saying((system,))
    stuck, work = _stuck_vehicle(stuck_vehicle, say), _planned_work(stuck_vehicle, say)
    return {
        "recovery vehicle": _recovery_vehicle(recovery_vehicle, say),
        "stuck vehicle": f"{stuck}; before the pull: {', '.join(work)}" if work else stuck,
        "rope": (
            f"{say.amount(rope_length, 'length')} long, stretch at break "
            f"{brief(stretch, 'ratio', system)}"
        ),
        "line": _line_in_words(line),
    }


def _line_in_words(line: RiggingLine | None) -> str:
    if line is None:
        return "not written yet"
    first, last = line.links[0].name, line.links[-1].name
    return f"{counted(len(line.links), 'part')}, from {first} to {last}"


@dataclass(frozen=True)
class _Saying:
    """How quantities are said on a card: in one system, or in the first and then the second."""

    systems: Sequence[DisplaySystem]

    def amount(self, quantity, kind: str) -> str:
        """A quantity: "26.7 kN (6,000 lbf)", but "3°"."""
        return self.each_once(brief(quantity, kind, system) for system in self.systems)

    def at_least(self, quantity, kind: str) -> str:
        """A lower bound, never rounded up."""
        return self.each_once(at_least(quantity, kind, system) for system in self.systems)

    def band(self, band: Band, kind: str) -> str:
        """From where to where a band goes: "11.4 to 22.4 kN"."""
        return self.each_once(self._band_in(system, band, kind) for system in self.systems)

    @staticmethod
    def each_once(said: Iterable[str]) -> str:
        """What is said in one system, or in two that do not say the same."""
        first, *second = dict.fromkeys(said)
        return f"{first} ({second[0]})" if second else first

    @staticmethod
    def _band_in(system: DisplaySystem, band: Band, kind: str) -> str:
        low = show(band.low, kind, system).rpartition(" ")[0]
        return f"{low} to {show(band.high, kind, system)}"


def _limit(plan: PullPlan, line: RiggingLine, say: _Saying) -> str:
    first = line.first_past_working_limit
    assert first is not None  # or there would be no ladder
    assert plan.limit_speed is not None
    return (
        f"Limit of the line: {say.amount(plan.limit, 'force')}, {first.name}. The line may hit "
        f"it from {say.at_least(plan.limit_speed.band.low, 'speed')} up."
    )


def _case(vehicle: RecoveryVehicle, stuck_vehicle: StuckVehicle, say: _Saying) -> str:
    return (
        f"Worked out for: stuck vehicle {_stuck_vehicle(stuck_vehicle, say)}; "
        f"recovery vehicle {_recovery_vehicle(vehicle, say)}."
    )


def _recovery_vehicle(vehicle: RecoveryVehicle, say: _Saying) -> str:
    return f"{say.amount(vehicle.mass, 'mass')}, on {vehicle.ground}"


def _stuck_vehicle(stuck_vehicle: StuckVehicle, say: _Saying) -> str:
    mire = f"mired up to its {stuck_vehicle.mire}" if stuck_vehicle.mire else "not mired"
    return (
        f"{say.amount(stuck_vehicle.mass, 'mass')}, in {stuck_vehicle.ground}, {mire}, "
        f"{_slope_in_words(stuck_vehicle, say)}"
    )


def _rope(rope: Rope, pulls_so_far: int | None, say: _Saying) -> str:
    pulls = "______" if pulls_so_far is None else str(pulls_so_far)
    return (
        f"Rope: {say.amount(rope.length, 'length')}, stretch at break "
        f"{brief(rope.stretch_at_break, 'ratio')}. Pulls so far: {pulls}. Rest between pulls: "
        f"{REST_MINUTES} min or more."
    )


def _at_the_wheel(plan: PullPlan, say: _Saying) -> tuple[str, ...]:
    """What both drivers do, in words that mean something at the wheel."""
    keeps_up = plan.input_uncertainty.drive.ends[1].m_as("")
    let_off = plan.input_uncertainty.let_off.ends[1]
    moved = say.each_once(show(let_off, "length", system, 1) for system in say.systems)
    foot = next(words for most, words in FEET if keeps_up <= most)
    return (
        f"Recovery driver. {plan.steady_pull_rule(*say.systems)} {NOT_MOVED}",
        f"Run-ups: count the seconds from peg to peg. As the rope comes tight: {foot}. It moves: "
        f"clutch down or neutral, before it has gone {moved}.",
        f"{STUCK_DRIVER} {ROLLS_FREE if plan.rolls_free else ''}".strip(),
    )


def _slope_in_words(stuck_vehicle: StuckVehicle, say: _Saying) -> str:
    slope = stuck_vehicle.slope
    if slope.m == 0:
        return "on the level"
    return f"{say.amount(abs(slope), 'angle')} {'uphill' if slope.m > 0 else 'downhill'}"


def _work(stuck_vehicle: StuckVehicle, say: _Saying) -> str:
    work = listed(_planned_work(stuck_vehicle, say) or [""])
    return f"First {work}: the ladder needs it." * bool(work)


def _planned_work(stuck_vehicle: StuckVehicle, say: _Saying) -> list[str]:
    work = list(stuck_vehicle.reductions)
    if stuck_vehicle.unloaded.m > 0:
        work.append(f"unload {say.amount(stuck_vehicle.unloaded, 'mass')}")
    return work


def _part(link: Link, line: RiggingLine, say: _Saying) -> str:
    """A part, how it is rigged if not straight, and its limit as rigged."""
    rigged = f" ({', '.join(each.name for each in link.factors)})" * bool(link.factors)
    lowest = ", lowest" * (link is line.first_past_working_limit)
    return f"{link.name}{rigged} {say.amount(link.working_load_limit, 'force')}{lowest}"


def _ladder_table(steps: Sequence[Step], pegs: Q, say: _Saying) -> Table:
    return Table(
        TITLES,
        tuple(
            (
                str(step.number),
                "steady pull" if step.speed is None else say.amount(step.speed, "speed"),
                "" if step.speed is None else f"{peg_to_peg(step.speed, pegs)} s",
                say.band(step.peak, "force"),
                BLANK,
                _enough(step),
                BLANK,
            )
            for step in steps
        ),
    )


def peg_to_peg(speed: Q, pegs: Q) -> str:
    """The seconds that a watch shows from peg to peg, rounded to the slow side."""
    return f"{math.ceil(round(10 * (pegs / speed).m_as('s'), 6)) / 10:.1f}"


def _enough(step: Step) -> str:
    parting = f".{step.parting}" if step.parting else ""
    return verdict_on(step.chance).partition(" ")[0] + parting


def _assumed(input_uncertainty: InputUncertainty, say: _Saying) -> str:
    softest, stiffest = (brief(end, "ratio") for end in input_uncertainty.stiffness.ends)
    let_off = input_uncertainty.let_off.ends[1]
    moved = say.each_once(show(let_off, "length", system, 1) for system in say.systems)
    return (
        f"Assumed: speed up to {say.amount(input_uncertainty.speed_off, 'speed')} off; at most "
        f"{brief(input_uncertainty.drive.ends[1], 'ratio')} of the grip kept up, until it has "
        f"moved {moved}; a rested, straight rope, {softest} to {stiffest} of its stated stiffness."
    )
