"""The plan with what measured pulls say of the rope, and how it differs from the one without."""

from recoverykit.measurements.for_plan import MeasuredRope
from recoverykit.physics.ground import RecoveryVehicle, StuckVehicle
from recoverykit.physics.plan import LADDER, PullPlan, ladder_speeds, plan_pull
from recoverykit.physics.rigging import UNKNOWN, RiggingLine
from recoverykit.physics.rope import Rope
from recoverykit.units.quantities import InputError, show
from recoverykit.units.text import as_sentence


def plan_with_measured(
    measured: MeasuredRope,
    recovery_vehicle: RecoveryVehicle,
    stuck_vehicle: StuckVehicle,
    rope: Rope,
    line: RiggingLine,
) -> tuple[PullPlan, str]:
    """The plan, no step of it faster than the pulls carry; and what they change, in words."""
    try:
        input_uncertainty = measured.input_uncertainty(rope)
    except InputError as fault:
        return PullPlan(UNKNOWN, as_sentence(fault)), ""
    speeds = [speed for speed in ladder_speeds() if speed <= measured.fastest]
    given = (recovery_vehicle, stuck_vehicle, rope, line)
    plan = plan_pull(*given, speeds or [measured.fastest], input_uncertainty)
    before, after = _end(plan_pull(*given)), _end(plan)
    change = "That does not change where the plan ends."
    if before != after:
        change = f"Without them the plan would be: {before}; with them: {after}."
    return plan, f"{measured.words(rope)} {change}"


def _end(plan: PullPlan) -> str:
    """How a plan ends, in a few words."""
    if plan.outcome != LADDER:
        return plan.outcome
    speed = plan.steps[-1].speed
    return "a steady pull only" if speed is None else f"steps up to {show(speed, 'speed')}"
