"""The pull card: what of a plan is taken along to the pull, in words for one page.

Everything here is text: `recoverykit.lessons.plan.card_page` lays it out and prints it.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from recoverykit.physics.ground import RecoveryVehicle, StuckVehicle, verdict_on
from recoverykit.physics.plan import (
    CAUTION,
    CEILING,
    LADDER,
    NOT_MOVED,
    ROLLS_FREE,
    WORK_FIRST,
    InputUncertainty,
    PullPlan,
    Step,
)
from recoverykit.physics.rigging import Link, RiggingLine
from recoverykit.physics.rigging_text import missing_from
from recoverykit.physics.rope import Rope
from recoverykit.physics.uncertainty import Band, Uncertain
from recoverykit.units.quantities import (
    METRIC,
    US,
    DisplaySystem,
    InputError,
    at_least,
    at_most,
    brief,
    show,
)
from recoverykit.units.text import counted, listed

TITLE = "Pull card"
MARK = "EXAMPLE WITH INVENTED VALUES"
WHY_MARKED = "Not for a real pull. Not confirmed as the user's own: {}."
OWN_VALUES = ("recovery vehicle", "stuck vehicle", "rope", "line")  # what a user confirms
BLANK = ""  # a box to write in

# Common practice, no source.
LEADER = "Give the signals, alone. See the line and both its ends."
STUCK_DRIVER = "Steer, and brake when told to."
LOOKOUT = "Keep people out. Stop the pull if anybody comes."
# Common practice, no source.
SIGNALS = (
    ("Ready?", "One arm straight up. Drivers answer alike."),
    ("Which step", "As many fingers as its number."),
    ("Take up slack", "Arm up, the hand circles slowly."),
    ("Pull", "The raised arm drops, to where the pull goes."),
    ("Ease off", "Both palms press down, slowly."),
    ("STOP", "Arms crossed overhead, or the word. Anybody gives it, everybody obeys it."),
)
SIGNALS_NOTE = "Your team has signals of its own? Strike these out."

# Common practice, no source, but for the distance.
# The distance: TM 9-2320-356-BD, 4-6, "not closer than the longest line in use" (seen).
KEEP_CLEAR = (
    "Nobody on foot nearer than the longest line in use, on any side: this rope is {rope} long. "
    "That is the least a manual asks for. What flies can fly farther.",
    "Nobody ahead of or behind the line: what lets go flies that way.",
    "Nobody touches or steps over a fastened line.",
    "In the vehicles only the drivers, belts on, windows shut.",
    "A tether or a weight on the line changes none of this.",
)
SOURCES = (
    "Ladder, ceiling, rules, roles and signals: common practice, no source; the distance to keep: "
    "TM 9-2320-356-BD, 4-6."
)
DANGER = "A stretched line holds energy and can kill. No number here is a permission to pull."
END_OF_LADDER = "Here the ladder ends. Not free yet? Reduce the resistance: there is no next step."


class NoCardError(InputError):
    """There is no ladder to print; the message says why."""


@dataclass(frozen=True)
class Table:
    """Titles of columns, and rows of cells; `marked` is the row to be set off, if any."""

    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    marked: int | None = None


@dataclass(frozen=True)
class PullCard:
    """All that stands on a card, in the order in which it is read."""

    mark: str  # across the page, and nothing if the user has confirmed every value
    why_marked: str
    occasion: tuple[str, ...]  # to be filled in by pen, as the vehicles
    vehicles: tuple[str, ...]
    facts: tuple[tuple[str, str, str], ...]  # a title, a value and a remark each
    line: Table
    case: str  # what the ladder was worked out for
    work: str  # what is done before the first pull; nothing, if nothing was planned
    ladder: Table
    ladder_rules: tuple[str, ...]
    roles: tuple[tuple[str, str], ...]  # a name and what is to be done
    keep_clear: tuple[str, ...]
    cautions: tuple[str, ...]
    assumed: str
    sources: str


def pull_card(
    plan: PullPlan,
    line: RiggingLine,
    rope: Rope,
    recovery_vehicle: RecoveryVehicle,
    stuck_vehicle: StuckVehicle,
    systems: Sequence[DisplaySystem] = (METRIC,),
    unconfirmed: Sequence[str] = OWN_VALUES,
) -> PullCard:
    r"""The card of a plan for a line, in one display system or in two.

    `unconfirmed` are those of OWN_VALUES that the user has not confirmed as their own: with any,
    the card is marked as an example. All else is what the plan was made with. Raises NoCardError
    if the plan is no ladder (with an unrated link above all), and if the line is not a whole one.

    >>> from recoverykit.physics.plan import plan_pull
    >>> from recoverykit.physics.rigging import demo_line
    >>> from recoverykit.physics.rope import demo_rope
    >>> from recoverykit.units.quantities import Q
    >>> truck = RecoveryVehicle(Q(3100, "kg"), "gravel")
    >>> car = StuckVehicle(Q(1850, "kg"), "wet sand")
    >>> plan = plan_pull(truck, car, demo_rope(), demo_line())
    >>> card = pull_card(plan, demo_line(), demo_rope(), truck, car, (METRIC, US))
    >>> card.facts[0]
    ('Limit of the line', '26.7 kN (6,000 lbf)', 'soft shackle')
    >>> card.ladder.rows[-1][:3]
    ('2', '4 km/h (2.5 mph)', '16.3 kN (11.4 to 22.4)\n3,660 lbf (2,570 to 5,050)')
    >>> tow_ball = demo_line("line over a tow ball")
    >>> plan = plan_pull(truck, car, demo_rope(), tow_ball)
    >>> pull_card(plan, tow_ball, demo_rope(), truck, car)
    Traceback (most recent call last):
    ...
    recoverykit.lessons.plan.card_content.NoCardError: There is no card, as there is no ladder to
    print: unknown. No
    working load limit is known for: tow ball of the launch truck. Without it there is no plan.
    """
    if plan.outcome != LADDER:
        raise NoCardError(
            f"There is no card, as there is no ladder to print: {plan.outcome}. {plan.reason}"
        )
    if lacks := missing_from(line):
        raise NoCardError(f"There is no card. {lacks}")
    say = _Saying(systems)
    return PullCard(
        mark=MARK if unconfirmed else "",
        why_marked=WHY_MARKED.format(listed(unconfirmed)) if unconfirmed else "",
        occasion=("Date", "Place"),
        vehicles=(
            f"Recovery vehicle, {say.amount(recovery_vehicle.mass, 'mass')}",
            f"Stuck vehicle, {say.amount(stuck_vehicle.mass, 'mass')}",
        ),
        facts=_facts(plan, line, say),
        line=_line_table(line, say),
        case=_case(recovery_vehicle, stuck_vehicle, rope, say),
        work=_work(stuck_vehicle, say),
        ladder=_ladder_table(plan.steps, say),
        ladder_rules=(plan.steady_pull_rule(*systems), WORK_FIRST, NOT_MOVED),
        roles=(
            ("Leader", LEADER),
            ("Recovery driver", plan.input_uncertainty.foot_rule(*systems)),
            ("Stuck vehicle's driver", f"{STUCK_DRIVER} {ROLLS_FREE if plan.rolls_free else ''}"),
            ("Lookout", LOOKOUT),
        ),
        keep_clear=tuple(
            rule.format(rope=say.amount(rope.length, "length")) for rule in KEEP_CLEAR
        ),
        cautions=(DANGER, CAUTION),
        assumed=_assumed(plan.input_uncertainty, say),
        sources=SOURCES,
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
    stuck = f"{say.amount(stuck_vehicle.mass, 'mass')}, in {_stuck_in(stuck_vehicle, say)}"
    work = _planned_work(stuck_vehicle, say)
    return {
        "recovery vehicle": (
            f"{say.amount(recovery_vehicle.mass, 'mass')}, on {recovery_vehicle.ground}"
        ),
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
        """A quantity, or the middle of an uncertain one: "26.7 kN (6,000 lbf)", but "3°"."""
        if isinstance(quantity, Uncertain):
            quantity = quantity.value
        return self.each_once(brief(quantity, kind, system) for system in self.systems)

    def at_least(self, quantity, kind: str) -> str:
        """A lower bound, never rounded up."""
        return self.each_once(at_least(quantity, kind, system) for system in self.systems)

    def band(self, band: Band, kind: str) -> str:
        """A band: "14.7 kN (10.7 to 19.1)", and on a second line in the second system."""
        return "\n".join(self._band_in(system, band, kind) for system in self.systems)

    def ends(self, band: Band, kind: str) -> str:
        """From where to where a band goes."""
        said = []
        for system in self.systems:
            low, high = at_least(band.low, kind, system), at_most(band.high, kind, system)
            said.append(f"{_bare(low)} to {high}")
        return ", ".join(said)

    @staticmethod
    def each_once(said: Iterable[str]) -> str:
        """What is said in one system, or in two that do not say the same."""
        first, *second = dict.fromkeys(said)
        return f"{first} ({second[0]})" if second else first

    def _band_in(self, system: DisplaySystem, band: Band, kind: str) -> str:
        low, median, high = (show(edge, kind, system) for edge in band)
        return f"{median} ({_bare(low)} to {_bare(high)})"


def _bare(shown: str) -> str:
    """A shown number without its unit."""
    return shown.rpartition(" ")[0]


def _facts(plan: PullPlan, line: RiggingLine, say: _Saying):
    fastest, first = plan.steps[-1].speed, line.first_past_working_limit
    assert first is not None  # or there would be no ladder
    assert plan.limit_speed is not None
    return (
        (
            "Limit of the line",
            say.amount(plan.limit, "force"),
            first.name,
        ),
        (
            "The line may come to it from",
            say.at_least(plan.limit_speed.band.low, "speed"),
            f"95 of 100 cases: {say.ends(plan.limit_speed.band, 'speed')}",
        ),
        (
            "Fastest step of this card",
            "steady pull only" if fastest is None else say.amount(fastest, "speed"),
            f"usual ceiling: about {show(CEILING, 'speed', METRIC, 1)}, "
            f"{show(CEILING, 'speed', US, 1)}",
        ),
    )


def _case(vehicle: RecoveryVehicle, stuck_vehicle: StuckVehicle, rope: Rope, say: _Saying) -> str:
    return (
        f"Worked out for: stuck vehicle in {_stuck_in(stuck_vehicle, say)}; recovery vehicle on "
        f"{vehicle.ground}; rope {say.amount(rope.length, 'length')}, stretch at break "
        f"{brief(rope.stretch_at_break, 'ratio')}."
    )


def _stuck_in(stuck_vehicle: StuckVehicle, say: _Saying) -> str:
    mire = f"mired up to its {stuck_vehicle.mire}" if stuck_vehicle.mire else "not mired"
    return f"{stuck_vehicle.ground}, {mire}, {_slope_in_words(stuck_vehicle, say)}"


def _slope_in_words(stuck_vehicle: StuckVehicle, say: _Saying) -> str:
    slope = (
        stuck_vehicle.slope.value
        if isinstance(stuck_vehicle.slope, Uncertain)
        else stuck_vehicle.slope
    )
    if slope.m == 0:
        return "on the level"
    return f"{say.amount(abs(slope), 'angle')} {'uphill' if slope.m > 0 else 'downhill'}"


def _work(stuck_vehicle: StuckVehicle, say: _Saying) -> str:
    work = ", ".join(_planned_work(stuck_vehicle, say))
    return f"Before the first pull: {work}. The ladder counts on it.{_invented(stuck_vehicle)}" * (
        bool(work)
    )


def _invented(stuck_vehicle: StuckVehicle) -> str:
    """That nobody measured what the work does; nothing where only load is taken off."""
    said = (
        " How much the work helps is an invented figure, nothing measured: it may help less, and "
        "then a step starts the vehicle less often than stands here."
    )
    return said * bool(stuck_vehicle.reductions)


def _planned_work(stuck_vehicle: StuckVehicle, say: _Saying) -> list[str]:
    work = list(stuck_vehicle.reductions)
    if stuck_vehicle.unloaded.m > 0:
        work.append(f"take {say.amount(stuck_vehicle.unloaded, 'mass')} off the stuck vehicle")
    return work


def _line_table(line: RiggingLine, say: _Saying) -> Table:
    first = line.first_past_working_limit
    return Table(
        ("Part", "Stamped and rigged", "Working load limit", "Breaking strength"),
        tuple(
            (
                f"{link.name}: lowest limit" if link is first else link.name,
                _stamp(link),
                say.amount(link.working_load_limit, "force"),
                _strength(link, say),
            )
            for link in line.links
        ),
        marked=line.links.index(first),
    )


def _stamp(link: Link) -> str:
    """What was stamped, and how the part is rigged, if not straight."""
    assert link.rating is not None  # or there would be no ladder
    meaning = link.rating.basis.removeprefix("minimum ")
    factor = link.rating.design_factor
    stamped = f"{meaning}, factor {factor:g}" if factor else meaning
    left = math.prod(each.value for each in link.factors)
    rigged = f"; {', '.join(each.name for each in link.factors)}: × {left:.2f}"
    return stamped + rigged * bool(link.factors)


def _strength(link: Link, say: _Saying) -> str:
    strength = link.breaking_strength
    return "not known" if strength is None else say.amount(strength, "force")


def _ladder_table(steps: Sequence[Step], say: _Saying) -> Table:
    return Table(
        (
            "Step",
            "Speed as rope comes taut",
            "Predicted peak (95 of 100)",
            "To start it",
            "Measured peak",
            "It moved",
            "Go on? (leader)",
        ),
        tuple(
            (
                str(step.number),
                "steady pull" if step.speed is None else say.amount(step.speed, "speed"),
                say.band(step.peak, "force"),
                verdict_on(step.chance).partition(":")[0] + _parting(step),
                BLANK,
                BLANK,
                BLANK,
            )
            for step in steps
        ),
    )


def _parting(step: Step) -> str:
    return f".{step.parting}" if step.parting else ""


def _assumed(input_uncertainty: InputUncertainty, say: _Saying) -> str:
    softest, stiffest = (brief(end, "ratio") for end in input_uncertainty.stiffness.ends)
    let_off = input_uncertainty.let_off.ends[1]
    moved = say.each_once(show(let_off, "length", system, 1) for system in say.systems)
    return (
        f"Assumed: a speed up to {say.amount(input_uncertainty.speed_off, 'speed')} off; at most "
        f"{brief(input_uncertainty.drive.ends[1], 'ratio')} of the grip kept up, until it has "
        f"moved {moved}; a rested, straight rope with {softest} to {stiffest} of its stated "
        f"stiffness; grip and resistance as tabled."
    )
