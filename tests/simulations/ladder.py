"""The ladder against pulls that are drawn and integrated: how often one passes the line's limit.

    PYTHONPATH=tests .venv/bin/python -m simulations.ladder

prints the table in README.md (some minutes).
"""

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from recoverykit import Link, Pull, Q, Rating, RiggingLine, pull_in_time
from recoverykit.physics.ground import RecoveryVehicle, StuckVehicle
from recoverykit.physics.plan import InputUncertainty, plan_pull
from recoverykit.physics.rope import RopeKind, demo_rope
from recoverykit.physics.uncertainty import Uncertain
from recoverykit.tables.records import find
from recoverykit.units.quantities import METRIC, display

ROPES = {"yard rope": demo_rope()}
ROPES |= {
    name: find(RopeKind, name=name).rope(Q(11, "m"), Q(165, "kN"))
    for name in ("double braid, new", "double braid, worked", "laid, new")
}
FOLLOWED = Q(8, "s")
MOMENTS = 401
MOST_DRAWN = 12  # random vehicles for each plan: with some ropes hardly one has a run-up


@dataclass(frozen=True)
class Held:
    """How the stuck vehicles are held, their mass (kg), and limits over the most steady pull."""

    grounds: Sequence[tuple[str, str | None]]
    mass: tuple[float, float]
    limit: tuple[float, float]


HELD = {
    "lightly": Held(
        (("wet sand", "wheels"), ("soft mud", "wheels"), ("wet sand", "fenders"), ("gravel", None)),
        (1000, 4500),
        (1.0, 2.5),
    ),
    "firmly": Held(
        (("soft mud", "fenders"), ("wet sand", "fenders"), ("wet sand", "cab")),
        (2000, 6000),
        (1.5, 4.0),
    ),
}


@dataclass(frozen=True)
class Cell:
    """What the pulls of one cell have in common."""

    rope: str
    ground: str
    slope: int = 0  # degrees, of the recovery vehicle
    held: str = "lightly"
    drive: tuple[int, int] = (0, 30)  # percent of the tires' pull that is kept up

    def __str__(self):
        slope = f", {abs(self.slope)}° {'down' if self.slope < 0 else 'up'}hill" * bool(self.slope)
        least, most = self.drive
        return f"{self.rope} | {self.ground}{slope} | {self.held} | {least}–{most} %"


CELLS = (
    *(Cell(rope, ground) for rope in ROPES for ground in ("gravel", "dry road")),
    *(Cell(rope, "gravel", -10) for rope in ROPES),
    *(Cell(rope, "dry road", -10) for rope in ("double braid, new", "laid, new")),
    *(Cell(rope, "gravel", held="firmly") for rope in ROPES),
    *(Cell(rope, "dry road", held="firmly") for rope in ("yard rope", "laid, new")),
    *(Cell(rope, "gravel", drive=(30, 60)) for rope in ("yard rope", "laid, new")),
    *(Cell(rope, "gravel", drive=(60, 100)) for rope in ("yard rope", "double braid, new")),
    Cell("yard rope", "gravel", held="firmly", drive=(30, 60)),
    Cell("laid, new", "gravel", -10, "firmly", (30, 60)),
)


def chance_above(cell: Cell, seed: int, plans: int, count: int) -> tuple[float, float]:
    """How often a pull of the fastest step of a ladder passes the limit, and its median share.

    Both are not a number where no ladder has a run-up.
    """
    random = np.random.default_rng([seed, *str(cell).encode()])
    drive = Uncertain(*(Q(share / 100, "") for share in cell.drive))
    uncertainty = InputUncertainty(drive=drive)
    found = []
    for _ in range(MOST_DRAWN * plans):
        if len(found) == plans:
            break
        vehicle, stuck_vehicle, limit = _drawn_vehicles(random, cell)
        line = RiggingLine([Link("shackle", Rating(limit, "working load limit", 5))])
        plan = plan_pull(
            vehicle, stuck_vehicle, ROPES[cell.rope], line, input_uncertainty=uncertainty
        )
        if len(plan.steps) > 1:
            speed, rope = plan.steps[-1].speed, ROPES[cell.rope]
            peaks = _peaks(random, rope, vehicle, stuck_vehicle, speed, uncertainty, count)
            found.append(peaks / limit.m_as("N"))
    if not found:
        return np.nan, np.nan
    return float(np.mean(np.array(found) > 1)), float(np.median(found))


def _drawn_vehicles(random, cell: Cell):
    held = HELD[cell.held]
    slope = Q(cell.slope, "degree")
    vehicle = RecoveryVehicle(Q(random.uniform(1500, 6000), "kg"), cell.ground, slope)
    ground, mire = held.grounds[random.integers(len(held.grounds))]
    stuck_vehicle = StuckVehicle(Q(random.uniform(*held.mass), "kg"), ground, mire)
    limit = random.uniform(*held.limit) * vehicle.steady_pull.band.high
    return vehicle, stuck_vehicle, min(limit, ROPES[cell.rope].breaking_strength / 2)


def _peaks(random, rope, vehicle, stuck_vehicle, speed, uncertainty, count):
    """Peaks (N) of whole pulls, the inputs drawn within what the plan takes for unknown."""
    drawn = {
        name: given.at(random.random(count)) for name, given in uncertainty.inputs(vehicle).items()
    }
    downhill = vehicle.downhill_force
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


def main() -> None:
    """Print the table, cell by cell."""
    display.use(METRIC.name)
    for cell in CELLS:
        above, share = chance_above(cell, seed=3, plans=6, count=100)
        print(f"| {cell} | {above:.3f} | {share:.2f} |", flush=True)


if __name__ == "__main__":
    main()
