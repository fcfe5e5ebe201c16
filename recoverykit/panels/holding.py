"""Panel: what holds a stuck vehicle, and whether a steady pull is enough."""

import dataclasses
from dataclasses import dataclass

import numpy as np

from recoverykit.figures.holding import HoldingPicture
from recoverykit.ground import (
    GROUNDS,
    LIKELY,
    MIRE_DEPTHS,
    Casualty,
    RecoveryVehicle,
    Reduction,
    SteadyPull,
    ground,
)
from recoverykit.panels.base import Panel
from recoverykit.panels.inputs import Choice, Input, Slider, Tick
from recoverykit.rigging import demo_line
from recoverykit.spread import Band
from recoverykit.tables import DemoStuck, DemoVehicle, find, table
from recoverykit.units import GRAVITY, Q, show

NOT_MIRED = "not mired"
UNLOADED = 0.2  # of the mass of the casualty, where it is unloaded
FIRM = tuple(name for name in GROUNDS if ground(name).traction)  # a vehicle can pull from these
STEEPEST = Q(15, "degree")


@dataclass(frozen=True)
class Needed:
    """The steady pull that starts a casualty: its band, and what its median is made up of.

    `parts` are slope (below zero where it helps), rolling and mire.
    """

    band: Band
    parts: dict[str, Q]


@dataclass(frozen=True)
class Holding:
    """What the panel reckons: the pull needed, as found and after the work, and the verdict."""

    found: Needed
    worked: Needed
    pull: SteadyPull  # after the work
    work: tuple[str, ...]
    limit: Q  # the lowest working limit of the line
    guess: Q | None  # the pull that the learner expected
    revealed: bool  # False until the learner has guessed


class HoldingPanel(Panel):
    """Inputs for both vehicles and their ground, and work to tick; a picture of both pulls.

    They start at an invented case of Marram Point, named as in the table of stuck vehicles. With
    a `guess`, the answer stays hidden until it is committed.

    >>> panel = HoldingPanel()
    >>> panel.set(dig_out=True, lay_boards=True, vehicle_ground="gravel")
    >>> print(panel.summary)
    To start the casualty it takes 11.2 kN (95 of 100 cases between 5.22 kN and 21.6 kN). The
    tyres of the recovery vehicle give 13.4 kN (95 of 100 cases between 9.60 kN and 17.2 kN). That
    may not be enough. In the model it is enough in 65 of 100 cases. Before the work it took
    26.8 kN.
    """

    picture_type = HoldingPicture

    def __init__(self, stuck="boat carrier on the flat", guess=None):
        demo = find(DemoStuck, name=stuck)
        self.inputs = _inputs(demo)
        self._limit = demo_line(demo.line).working_load_limit
        self._guess = guess
        super().__init__()
        if guess is not None:
            guess.watch(self._refresh)

    def reckon(self, mass, ground, mire, slope, vehicle, vehicle_ground, unload, **ticked):
        """The pull needed before and after the work, and the pull that the tyres can give."""
        found = Casualty(mass, ground, None if mire == NOT_MIRED else mire, slope)
        reductions = tuple(row.name for row in table(Reduction) if ticked[_field(row)])
        worked = dataclasses.replace(
            found, reductions=reductions, unloaded=UNLOADED * mass if unload else 0 * mass
        )
        committed = self._guess is not None and self._guess.committed
        values = self._guess.values if committed else None
        return Holding(
            found=_needed(found),
            worked=_needed(worked),
            pull=SteadyPull(RecoveryVehicle(vehicle, vehicle_ground), worked),
            work=("unload",) * unload + reductions,
            limit=self._limit,
            guess=values and values["pull"],
            revealed=self._guess is None or committed,
        )

    def describe(self, result, system):
        """Both pulls, the verdict, and what the work has done."""
        if not result.revealed:
            return "Write down your guess first: then the pulls and the answer appear here."
        if result.worked.band.high.magnitude == 0:
            return "The slope alone moves the casualty: it has to be held back, not pulled."
        sentences = [
            result.pull.sentence,
            f"In the model it is enough in {100 * result.pull.chance:.0f} of 100 cases.",
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


def _needed(casualty: Casualty) -> Needed:
    # F = W (sin α + c cos α) with one W and one α: the medians of its parts add up to its own.
    level = dataclasses.replace(casualty, slope=0 * casualty.slope)
    along = np.cos(casualty.slope)
    weight = (casualty.mass - casualty.unloaded) * Q(GRAVITY, "m/s**2")
    rolling = level.pull_to_keep_moving.band.median * along
    return Needed(
        casualty.pull_to_start.band,
        {
            "slope": weight * np.sin(casualty.slope),
            "rolling": rolling,
            "mire": level.pull_to_start.band.median * along - rolling,
        },
    )


def _field(reduction: Reduction) -> str:
    return reduction.name.replace(" ", "_")


def _inputs(demo: DemoStuck) -> tuple[Input, ...]:
    return (
        Slider(
            name="mass",
            label="Casualty",
            kind="mass",
            low=Q(1000, "kg"),
            high=Q(9000, "kg"),
            start=find(DemoVehicle, name=demo.casualty).mass,
            steps=(50, 100),
            help="Mass of the stuck vehicle, as loaded now.",
        ),
        Choice(
            name="ground",
            label="It stands in",
            options=GROUNDS,
            start=demo.ground,
            help="The ground under the stuck vehicle.",
        ),
        Choice(
            name="mire",
            label="Mired up to its",
            options=(NOT_MIRED, *MIRE_DEPTHS),
            start=demo.mire,
            help="How deep it has sunk in.",
        ),
        Slider(
            name="slope",
            label="Slope",
            kind="angle",
            low=-STEEPEST,
            high=STEEPEST,
            start=demo.slope,
            steps=(1, 1),
            help="Slope under the stuck vehicle: above zero if the pull goes uphill.",
        ),
        Slider(
            name="vehicle",
            label="Recovery vehicle",
            kind="mass",
            low=Q(1000, "kg"),
            high=Q(9000, "kg"),
            start=find(DemoVehicle, name=demo.vehicle).mass,
            steps=(50, 100),
            help="Mass of the vehicle that pulls, with all wheels driven.",
        ),
        Choice(
            name="vehicle_ground",
            label="It stands on",
            options=FIRM,
            start=demo.vehicle_ground,
            help="The ground under the vehicle that pulls, taken as level.",
        ),
        *(
            Tick(
                name=_field(row),
                label=f"{row.name} (leaves {row.low:.0%} to {row.high:.0%})",
                help=f"{row.does}; the figures are invented for teaching.",
            )
            for row in table(Reduction)
        ),
        Tick(
            name="unload",
            label=f"unload a fifth (leaves {1 - UNLOADED:.0%})",
            help="Take a fifth of its mass off the stuck vehicle.",
        ),
    )
