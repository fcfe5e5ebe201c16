"""Panel: the plan of a pull, step by step, and what it says where there is no ladder."""

from dataclasses import dataclass, field

import numpy as np

from recoverykit.course.inputs import Choice
from recoverykit.course.panel import Panel
from recoverykit.course.sliders import length_slider, stretch_slider
from recoverykit.course.stuck_vehicle import STUCK_INPUTS, stuck_vehicle_as_set
from recoverykit.lessons.plan.measured import plan_with_measured
from recoverykit.lessons.plan.picture import PlanPicture
from recoverykit.lessons.plan.tasks import TASKS
from recoverykit.measurements.for_plan import MeasuredRope
from recoverykit.physics.ground import RecoveryVehicle, StuckVehicle, cases
from recoverykit.physics.plan import LADDER, PullPlan, Step, highest_peak, plan_pull
from recoverykit.physics.rigging import BREAKING, UNKNOWN, RiggingLine, demo_line
from recoverykit.physics.rigging_text import alike, rope_of
from recoverykit.physics.rope import Rope
from recoverykit.physics.uncertainty import Band
from recoverykit.tables.marram_point import DemoRope
from recoverykit.tables.records import find
from recoverykit.units.quantities import DisplaySystem, InputError, Q, at_most, brief, display
from recoverykit.units.text import listed

OWN = "my own line"
DEMO_LINES = ("yard line", "line over a tow ball")
ROPE = find(DemoRope, name="yard rope")  # of both


@dataclass(frozen=True)
class FastPull:
    """The fastest pull that the learner would have made, and what the line says to its peak."""

    speed: Q
    peak: Band
    verdict: str


@dataclass(frozen=True)
class _OwnLine:
    """What is known of the learner's own line: it, its rope, and what was measured of that."""

    line: RiggingLine | None = None
    said_of_rope: dict[str, Q] = field(default_factory=dict)
    measured: MeasuredRope | None = None
    pulls_so_far: int | None = None


@dataclass(frozen=True)
class Planned:
    """What the panel works out: the plan, and what it was made for."""

    plan: PullPlan
    line: RiggingLine | None  # None: it is still to be written
    invented: bool  # the line is one of Marram Point
    rope: Rope | None  # None: its strength is not known
    recovery_vehicle: RecoveryVehicle
    stuck_vehicle: StuckVehicle
    contradiction: str  # between what the line says of its rope and the sliders; mostly nothing
    fast_pull: FastPull | None
    measured: str  # what measured pulls change in the plan; nothing without any

    @property
    def needed(self) -> Band:
        """The pull that starts the stuck vehicle."""
        return self.stuck_vehicle.pull_to_start.band

    @property
    def best(self) -> Step:
        """The step with the best chance to start the stuck vehicle; only of a ladder."""
        return max(self.plan.steps, key=lambda step: step.chance)


class PlanPanel(Panel):
    """Inputs for the stuck vehicle, the recovery vehicle and the line; a picture of the ladder.

    They start at an invented case of Marram Point. With a `guess`, the answer stays hidden until it
    is committed. `use_line` plans for a line of the learner's own; `unread` says why the line that
    is written down is not the one in the plan, if it is not.

    >>> panel = PlanPanel()
    >>> panel.set(dig_out=True, lay_boards=True)
    >>> print(panel.summary)
    Pull in steps: a steady pull, then 2, 4 and 6 km/h, and no faster. Within the limit of 26.7 kN
    (soft shackle) the ladder ends at 6.0 km/h. The best chance to get it moving is 6 km/h: 96 of
    100 cases. Build the steady pull up slowly, and ease off as it moves. Put it on all at once, and
    the line may see 19.3 kN.
    >>> panel.set(line="line over a tow ball")
    >>> print(panel.summary)
    No ladder: this line has no known limit. No working load limit is known for: tow ball of the
    launch truck. Without it there is no plan.
    """

    picture_type = PlanPicture
    tasks = TASKS
    precomputed = (("dig_out", 2), ("unload", 2), ("mire", 4), ("line", 2))
    inputs = (
        *STUCK_INPUTS,
        Choice("line", "Line", DEMO_LINES[0], (*DEMO_LINES, OWN)).with_help(
            "The parts that carry the load, with their ratings."
        ),
        length_slider(ROPE.length, name="rope_length"),
        stretch_slider(ROPE.stretch_at_break),
    )

    def __init__(self, guess=None):
        self._own = _OwnLine()
        self.unread = ""
        if guess is None:  # one's own plan, which a task would put back to the starting values
            self.tasks = ()
        super().__init__(guess)

    def use_line(
        self,
        line: RiggingLine | None,
        measured: MeasuredRope | None = None,
        pulls_so_far: int | None = None,
        **said_of_rope: Q,
    ) -> None:
        """Plan for a line of the learner's own from now on; None: it is still to be written.

        The sliders go to what is said of the rope: its `rope_length` or its `stretch`, or both.
        With `measured`, the plan takes what was measured of the rope; without, what is usual.
        `pulls_so_far` are the rope's, if they are known. Raises InputError for what is outside the
        limits of a slider; then nothing is changed.
        """
        before = self._own
        self._own = _OwnLine(line, said_of_rope, measured, pulls_so_far)
        try:
            self.set(line=OWN, **said_of_rope)
        except InputError:
            self._own = before
            raise

    @property
    def pulls_so_far(self) -> int | None:
        """How many pulls the rope of the own line has seen; None where that is not known."""
        return self._own.pulls_so_far

    def compute(self, line, rope_length, stretch, vehicle, vehicle_ground, **stuck):
        """The plan for these values, and the learner's fastest pull."""
        set_here = {"rope_length": rope_length, "stretch": stretch}
        said = self._own.said_of_rope if line == OWN else {}
        rigged = self._own.line if line == OWN else demo_line(line)
        recovery_vehicle = RecoveryVehicle(vehicle, vehicle_ground)
        stuck_vehicle = stuck_vehicle_as_set(**stuck)
        measured = ""
        if rigged is None:
            rope, plan = None, PullPlan(UNKNOWN, "Your own line isn't written yet.")
        else:
            rope = rope_of(rigged, rope_length, stretch)
            if self._own.measured is not None and line == OWN and rope is not None:
                plan, measured = plan_with_measured(
                    self._own.measured, recovery_vehicle, stuck_vehicle, rope, rigged
                )
            else:
                plan = plan_pull(recovery_vehicle, stuck_vehicle, rope, rigged)
        return Planned(
            plan=plan,
            line=rigged,
            invented=rigged in [demo_line(name) for name in DEMO_LINES],
            rope=rope,
            recovery_vehicle=recovery_vehicle,
            stuck_vehicle=stuck_vehicle,
            contradiction=_contradiction(said, set_here, display.system),
            fast_pull=self._fast_pull(plan, recovery_vehicle, stuck_vehicle, rope, rigged),
            measured=measured,
        )

    def _fast_pull(self, plan, recovery_vehicle, stuck_vehicle, rope, line):
        speed = self._guessed.get("fastest")
        if speed is None or rope is None:
            return None
        given = recovery_vehicle, stuck_vehicle, rope, line
        peak = highest_peak(*given, speed, plan.input_uncertainty).band
        verdict = line.verdict(peak.high) if np.isfinite(peak.high.m) else BREAKING
        return FastPull(speed, peak, verdict)

    def describe(self, result, system):
        """The outcome; then where the ladder ends, its best step, and the learner's own pull."""
        plan = result.plan
        if plan.limit_speed is None:
            return f"No ladder: this line has no known limit. {plan.reason}"
        verdict, details = f"{plan.outcome.capitalize()}.", [r.sentence for r in plan.remedies]
        if plan.outcome == LADDER:
            verdict = f"Pull in steps: {_steps_in_words(plan.steps, system)}."
            details = [_chance_in_words(result.best, system), plan.steady_pull_rule(system)]
        fast_pull = _fast_pull_in_words(result.fast_pull, system)
        told = [verdict, result.contradiction, plan.reason, *details, result.measured, fast_pull]
        return " ".join(filter(None, told))


# --- words ------------------------------------------------------------------------------


def rope_in_words(values: dict[str, Q], system: DisplaySystem) -> str:
    """What is said of a rope: "a length of 9 m and a stretch at break of 30 %"."""
    nouns = {"rope_length": ("length", "length"), "stretch": ("stretch at break", "ratio")}
    return listed(
        [f"a {nouns[n][0]} of {brief(v, nouns[n][1], system)}" for n, v in values.items()]
    )


def _contradiction(said: dict[str, Q], on_sliders: dict[str, Q], system: DisplaySystem) -> str:
    """That the row of the rope and the sliders differ; nothing where they do not."""
    written = {name: value for name, value in said.items() if not alike(value, on_sliders[name])}
    if not written:
        return ""
    there = rope_in_words({name: on_sliders[name] for name in written}, system)
    return (
        f"The row of the rope says {rope_in_words(written, system)}, but this is worked out for "
        f"{there}, as the sliders stand."
    )


def _steps_in_words(steps, system) -> str:
    speeds = [brief(step.speed, "speed", system).partition(" ")[0] for step in steps[1:]]
    if not speeds:
        return "a steady pull, and no more"
    return f"a steady pull, then {listed(speeds)} {system.symbol('speed')}, and no faster"


def _chance_in_words(step: Step, system) -> str:
    name = "the steady pull" if step.speed is None else brief(step.speed, "speed", system)
    return f"The best chance to get it moving is {name}: {cases(step.chance)}.{step.parting}"


def _fast_pull_in_words(pull: FastPull | None, system) -> str:
    if pull is None:
        return ""
    speed = brief(pull.speed, "speed", system)
    if pull.verdict == BREAKING:
        return f"At your {speed} the line may part."
    if pull.verdict == UNKNOWN:
        return f"Your {speed}: {UNKNOWN}."
    high = at_most(pull.peak.high, "force", system)
    return f"Your {speed} may load the line with {high}: {pull.verdict}."
