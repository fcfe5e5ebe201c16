"""The ladder against pulls that are drawn and integrated: how often one passes the line's limit."""

import dataclasses

import numpy as np
import pytest

from recoverykit import Link, Pull, Q, Rating, RiggingLine, pull_in_time
from recoverykit.physics.ground import RecoveryVehicle, StuckVehicle
from recoverykit.physics.plan import USUAL, plan_pull
from recoverykit.physics.rope import RopeKind, demo_rope
from recoverykit.tables.records import find
from recoverykit.units.quantities import METRIC, display

ROPES = {"yard rope": demo_rope()}
ROPES |= {
    name: find(RopeKind, name=name).rope(Q(11, "m"), Q(165, "kN"))
    for name in ("double braid, new", "double braid, worked", "laid, new")
}
STUCK = (("wet sand", "wheels"), ("soft mud", "wheels"), ("wet sand", "fenders"), ("gravel", None))
FOLLOWED = Q(8, "s")
MOMENTS = 401


def line(limit):
    return RiggingLine([Link("shackle", Rating(limit, "working load limit", 5))])


def random_plan(random, rope, ground, slope):
    """A plan of two random vehicles and a random limit, with what it was made for."""
    vehicle = RecoveryVehicle(Q(random.uniform(1500, 6000), "kg"), ground, Q(slope, "degree"))
    stuck, mire = STUCK[random.integers(len(STUCK))]
    stuck_vehicle = StuckVehicle(Q(random.uniform(1000, 4500), "kg"), stuck, mire)
    weight = vehicle.mass.m_as("kg") * 9.81
    limit = Q(weight * random.uniform(0.6, 1.5), "N")
    return vehicle, stuck_vehicle, limit, plan_pull(vehicle, stuck_vehicle, rope, line(limit))


def peaks(random, rope, vehicle, stuck_vehicle, speed, count):
    """Peaks of whole pulls, the inputs drawn within what the plan takes for unknown."""
    drawn = {  # a random value for each uncertain input
        name: given.at(random.random(count)) if hasattr(given, "at") else given
        for name, given in USUAL.inputs(vehicle).items()
    }
    downhill = vehicle.downhill_force(drawn)
    tires = np.maximum(vehicle.pull(drawn) - downhill, 0 * downhill)
    case = random.integers(stuck_vehicle.pull_to_start.samples.size, size=count)
    starts = stuck_vehicle.pull_to_start.samples[case]
    pull = Pull(
        vehicle.mass,
        dataclasses.replace(
            rope, stretch_at_break=rope.stretch_at_break / drawn["stiffness of the rope"]
        ),
        np.maximum(speed + drawn["speedometer"], Q(0, "m/s")),
        stuck_mass=stuck_vehicle.mass,
        drive=downhill + drawn["drive kept up"] * tires,
        breakout_resistance=starts,
        moving_resistance=np.minimum(stuck_vehicle.pull_to_keep_moving.samples[case], starts),
    )
    # The foot comes off where the stuck vehicle has moved that far.
    history = pull_in_time(pull, FOLLOWED, samples=MOMENTS).history
    moved = history.stuck_travel >= drawn["way until the foot is off"]
    first = np.where(moved.any(axis=0), moved.argmax(axis=0), MOMENTS - 1)
    let_off = history.time[np.maximum(first, 1), np.arange(count)]
    motion = pull_in_time(pull, FOLLOWED, drive_time=let_off)
    return np.where(motion.parts, np.inf, motion.peak.m_as("N"))


def chance_above(seed, name, ground, slope, plans, count):
    """How often a pull of the fastest step of a ladder passes the limit, and its median share."""
    random = np.random.default_rng([seed, *name.encode(), *ground.encode(), abs(slope)])
    found = []
    while len(found) < plans:
        vehicle, stuck_vehicle, limit, plan = random_plan(random, ROPES[name], ground, slope)
        if len(plan.steps) > 1:
            speed = plan.steps[-1].speed
            drawn = peaks(random, ROPES[name], vehicle, stuck_vehicle, speed, count)
            found.append(drawn / limit.m_as("N"))
    return float(np.mean(np.array(found) > 1)), float(np.median(found))


@pytest.mark.parametrize(
    ("name", "ground", "slope"),
    [
        ("yard rope", "gravel", 0),
        ("yard rope", "gravel", -10),
        ("laid, new", "dry road", 0),
        ("double braid, new", "wet sand", 0),
    ],
)
def test_a_pull_of_the_ladder_seldom_passes_the_limit(name, ground, slope):
    display.use(METRIC.name)
    above, share = chance_above(1, name, ground, slope, plans=4, count=100)
    assert above <= 0.05
    assert share > 0.2  # the price: the ladder does not end far below what the line bears
