"""Panel: what holds a stuck vehicle, and whether a steady pull is enough."""

import dataclasses
from dataclasses import dataclass

import numpy as np

from recoverykit.course.panel import Panel
from recoverykit.course.stuck_vehicle import DEMO, STUCK_INPUTS, stuck_vehicle_as_set
from recoverykit.lessons.resistance.picture import HoldingPicture
from recoverykit.lessons.resistance.tasks import TASKS
from recoverykit.physics.ground import (
    LIKELY,
    REDUCTIONS,
    RecoveryVehicle,
    SteadyPull,
    StuckVehicle,
    cases,
)
from recoverykit.physics.rigging import demo_line
from recoverykit.physics.uncertainty import Band
from recoverykit.units.quantities import GRAVITY, Q, at_least, at_most, show


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

    They start at an invented case of Marram Point. With a `guess`, the answer stays hidden until it
    is committed.

    >>> panel = HoldingPanel()
    >>> panel.set(dig_out=True, lay_boards=True, vehicle_ground="gravel")
    >>> print(panel.summary)
    Possibly enough: do more of the work first. Starting it takes 11.2 kN, between 5.22 kN and
    21.6 kN. The tires give 13.4 kN, between 9.59 kN and 17.2 kN. That's enough in 64 of 100 cases.
    Before the work: 26.8 kN.
    """

    picture_type = HoldingPicture
    tasks = TASKS
    precomputed = (("dig_out", 2), ("lay_boards", 2), ("unload", 2), ("mire", 4))
    inputs = STUCK_INPUTS

    def compute(self, mass, ground, mire, slope, vehicle, vehicle_ground, **work):
        """The pull needed before and after the work, and the pull that the tires can give."""
        found = stuck_vehicle_as_set(mass, ground, mire, slope)
        worked = stuck_vehicle_as_set(mass, ground, mire, slope, **work)
        return Holding(
            found=_needed(found, mass, slope),
            worked=_needed(worked, mass, slope),
            pull=SteadyPull(RecoveryVehicle(vehicle, vehicle_ground), worked),
            work=("unload",) * work["unload"] + worked.reductions,
            limit=demo_line(DEMO.line).working_load_limit,
            guess=self._guessed.get("pull"),
        )

    def describe(self, result, system):
        """The verdict, both pulls, and what the work has done."""
        if result.worked.band.high.magnitude == 0:
            return "Hold it back, don't pull: the slope alone moves the stuck vehicle."
        needed, given = result.worked.band, result.pull.available.band
        sentences = [
            _verdict_in_words(result),
            f"Starting it takes {_band_in_words(needed, system)}.",
            f"The tires give {_band_in_words(given, system)}.",
            f"That's enough in {cases(result.pull.chance)}.",
            _slope_in_words(result.worked, system),
            _work_in_words(result, system),
            _limit_in_words(result, system),
        ]
        return " ".join(filter(None, sentences))


def _verdict_in_words(result: Holding) -> str:
    """The verdict, and what comes before a harder pull."""
    verdict, _, _ = result.pull.verdict.partition(":")
    if result.pull.verdict == LIKELY:
        advice = " for a steady pull"
    elif result.pull.stuck_vehicle.mire and "dig out" not in result.work:
        advice = ": dig first"
    elif len(result.work) <= len(REDUCTIONS):
        advice = ": do more of the work first"
    else:
        advice = ", with all the work done"
    return f"{verdict.capitalize()}{advice}."


def _band_in_words(band: Band, system) -> str:
    median, low = show(band.median, "force", system), at_least(band.low, "force", system)
    return f"{median}, between {low} and {at_most(band.high, 'force', system)}"


def _slope_in_words(needed: Needed, system) -> str:
    helps = -needed.parts["slope"]
    return f"The slope helps: {show(helps, 'force', system)}." if helps.magnitude > 0 else ""


def _work_in_words(result: Holding, system) -> str:
    before = show(result.found.band.median, "force", system)
    return f"Before the work: {before}." if result.work else ""


def _limit_in_words(result: Holding, system) -> str:
    if result.pull.verdict == LIKELY or result.worked.band.median <= result.limit:
        return ""
    return f"The line's limit, {show(result.limit, 'force', system)}, comes first: no run-up helps."


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
