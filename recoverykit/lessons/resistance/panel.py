"""Panel: what holds a stuck vehicle, and whether a steady pull is enough."""

import dataclasses
import math
from dataclasses import dataclass

import numpy as np

from recoverykit.course.panel import Panel
from recoverykit.course.stuck_vehicle import stuck_inputs, stuck_vehicle_as_set
from recoverykit.lessons.resistance.picture import HoldingPicture
from recoverykit.physics.ground import LIKELY, RecoveryVehicle, SteadyPull, StuckVehicle
from recoverykit.physics.rigging import demo_line
from recoverykit.physics.uncertainty import Band
from recoverykit.tables.marram_point import DemoStuck
from recoverykit.tables.records import find
from recoverykit.units.quantities import GRAVITY, Q, show


@dataclass(frozen=True)
class Needed:
    """The steady pull that starts a stuck vehicle: its band, and what its median is made up of.

    `parts` are slope (below zero where it helps), rolling and mire.
    """

    band: Band
    parts: dict[str, Q]


@dataclass(frozen=True)
class Holding:
    """What the panel works out: the pull needed, as found and after the work, and the verdict."""

    found: Needed
    worked: Needed
    pull: SteadyPull  # after the work
    work: tuple[str, ...]
    limit: Q  # the lowest working limit of the line
    guess: Q | None  # the pull that the learner expected


class HoldingPanel(Panel):
    """Inputs for both vehicles and their ground, and work to tick; a picture of both pulls.

    They start at an invented case of Marram Point, named as in the table of stuck vehicles. With
    a `guess`, the answer stays hidden until it is committed.

    >>> panel = HoldingPanel()
    >>> panel.set(dig_out=True, lay_boards=True, vehicle_ground="gravel")
    >>> print(panel.summary)
    To start the stuck vehicle it takes 11.2 kN (95 of 100 cases between 5.22 kN and 21.6 kN). The
    tires of the recovery vehicle give 13.4 kN (95 of 100 cases between 9.59 kN and 17.2 kN). That
    is possibly enough. In the model it is enough in 64 of 100 cases. Before the work it took
    26.8 kN.
    """

    picture_type = HoldingPicture

    def __init__(self, stuck="boat carrier on the flat", guess=None):
        demo = find(DemoStuck, name=stuck)
        self.inputs = stuck_inputs(demo)
        self._limit = demo_line(demo.line).working_load_limit
        super().__init__(guess)

    def compute(self, mass, ground, mire, slope, vehicle, vehicle_ground, **work):
        """The pull needed before and after the work, and the pull that the tires can give."""
        found = stuck_vehicle_as_set(mass, ground, mire, slope)
        worked = stuck_vehicle_as_set(mass, ground, mire, slope, **work)
        return Holding(
            found=_needed(found, mass, slope),
            worked=_needed(worked, mass, slope),
            pull=SteadyPull(RecoveryVehicle(vehicle, vehicle_ground), worked),
            work=("unload",) * work["unload"] + worked.reductions,
            limit=self._limit,
            guess=self._guessed.get("pull"),
        )

    def describe(self, result, system):
        """Both pulls, the verdict, and what the work has done."""
        if result.worked.band.high.magnitude == 0:
            return "The slope alone moves the stuck vehicle: it has to be held back, not pulled."
        sentences = [
            result.pull.sentence,
            f"In the model it is enough in {math.floor(100 * result.pull.chance)} of 100 cases.",
            _slope_in_words(result.worked, system),
            _work_in_words(result, system),
            _limit_in_words(result, system),
        ]
        return " ".join(filter(None, sentences))


def _slope_in_words(needed: Needed, system) -> str:
    helps = -needed.parts["slope"]
    return f"The slope helps with {show(helps, 'force', system)}." if helps.magnitude > 0 else ""


def _work_in_words(result: Holding, system) -> str:
    before = show(result.found.band.median, "force", system)
    return f"Before the work it took {before}." if result.work else ""


def _limit_in_words(result: Holding, system) -> str:
    if result.pull.verdict == LIKELY or result.worked.band.median <= result.limit:
        return ""
    return (
        f"The line comes to its lowest working limit before that, at "
        f"{show(result.limit, 'force', system)}: no run-up makes up for what is missing."
    )


def _needed(stuck_vehicle: StuckVehicle, mass: Q, slope: Q) -> Needed:
    # F = W (sin α + c cos α) with one W and one α: the medians of its parts add up to its own.
    level = dataclasses.replace(stuck_vehicle, slope=0 * slope)
    along = np.cos(slope)
    weight = (mass - stuck_vehicle.unloaded) * Q(GRAVITY, "m/s**2")
    rolling = level.pull_to_keep_moving.band.median * along
    return Needed(
        stuck_vehicle.pull_to_start.band,
        {
            "slope": weight * np.sin(slope),
            "rolling": rolling,
            "mire": level.pull_to_start.band.median * along - rolling,
        },
    )
