"""Ground: what holds a stuck vehicle, and what the tires of the recovery vehicle can give.

Every figure is a range: the published values for one surface differ about twofold, and nobody
measures the mud before a pull.
"""

import functools
import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar

import numpy as np

from recoverykit.physics.uncertainty import Spread, Uncertain, propagate
from recoverykit.tables.records import Record, find, table
from recoverykit.units.quantities import GRAVITY, InputError, Q
from recoverykit.units.validation import (
    Argument,
    fields_to_si,
    not_negative,
    positive,
    takes_quantities,
)

LIKELY = "likely enough"
POSSIBLE = "possibly enough"
UNLIKELY = "unlikely to be enough"
NOT_ENOUGH = "not enough: reduce the resistance first"

# From which chance on each word is used; below the last of them it is NOT_ENOUGH.
CHANCES = {LIKELY: 0.95, POSSIBLE: 0.5, UNLIKELY: 0.025}

# By how much published tables of one ground differ: traction of gravel 0.35 and 0.60, of ice 0.07
# and 0.15. So a range that one source alone gives is taken at least this wide, high over low.
TWOFOLD = 2.0

STEEPEST = math.radians(45)

# Which rows of the tables of rolling resistance and of traction speak for which ground: our own
# reading of the surfaces that their sources name. Where two surfaces roll, they add up: the table
# for snow leaves out what the tires lose on any ground. There is no traction for mud, as no
# published value fits and a recovery vehicle has no place there.
_SURFACES = {
    "dry road": (["hard road"], "dry road"),
    "wet road": (["hard road"], "wet road"),
    "gravel": (["gravel"], "gravel"),
    "dry earth": (["medium soil"], "dry earth"),
    "wet earth": (["medium soil"], "wet earth"),
    "wet grass": (["medium soil"], "wet grass"),
    "soft mud": (["soft mud"], None),
    "dry sand": (["sand"], "dry sand"),
    "wet sand": (["sand"], "wet sand"),
    "snow": (["hard road", "snow"], "snow"),
    "ice": (["hard road"], "ice"),
}
GROUNDS = tuple(_SURFACES)


# --- published values -------------------------------------------------------------------


@dataclass(frozen=True)
class RollingRow(Record):
    """A published rolling resistance coefficient: resistance over weight, on the level."""

    file: ClassVar[str] = "ground_rolling.csv"

    surface: str
    printed_as: str
    vehicle: str
    low: float
    high: float


@dataclass(frozen=True)
class TractionRow(Record):
    """A published traction coefficient: grip over weight, with wheels at best grip or sliding."""

    file: ClassVar[str] = "ground_traction.csv"

    surface: str
    printed_as: str
    wheels: str
    low: float
    high: float


@dataclass(frozen=True)
class MireRow(Record):
    """How many times its weight a vehicle needs that is mired up to a part of it."""

    file: ClassVar[str] = "mire.csv"

    depth: str
    factor: float


@dataclass(frozen=True)
class Reduction(Record):
    """A way to reduce the resistance before the pull, and which part of it is then left."""

    file: ClassVar[str] = "reductions.csv"

    name: str
    does: str
    low: float
    high: float

    @property
    def left(self) -> Uncertain:
        """The part of the resistance that is left."""
        return _range(self.low, self.high)


MIRE_DEPTHS = tuple(row.depth for row in table(MireRow))
REDUCTIONS = tuple(row.name for row in table(Reduction))


@dataclass(frozen=True)
class Ground:
    """A kind of ground: its rolling resistance and traction, each over the weight on the wheels.

    Each range spans all that the published tables in `data/` say of it (`rows`). Tables of one
    ground differ twofold, so a traction from one source alone spans at least that much, about
    the same middle; it is None for mud.

    >>> print(ground("gravel").traction.ends.m_as("percent"))
    [35. 60.]
    >>> print(ground("wet sand").traction.ends.m_as("percent").round(1))
    [23.3 46.7]
    """

    name: str
    rolling: Uncertain
    traction: Uncertain | None
    rows: tuple[Record, ...]


@functools.cache
def ground(name: str) -> Ground:
    """The ground of a name, one of GROUNDS. Raises InputError for any other."""
    _one_of("ground", name, GROUNDS)
    rolling_surfaces, traction_surface = _SURFACES[name]
    rolling = [_rows(RollingRow, surface) for surface in rolling_surfaces]
    traction = _rows(TractionRow, traction_surface)
    return Ground(
        name,
        rolling=_span(*rolling),
        traction=_as_wide_as_tables_differ(traction) if traction else None,
        rows=(*itertools.chain(*rolling), *traction),
    )


def _rows(record, surface) -> list:
    return [row for row in table(record) if row.surface == surface]


def _as_wide_as_tables_differ(rows) -> Uncertain:
    low, high = (end.m_as("") for end in _span(rows).ends)
    if len({row.source for row in rows}) > 1 or high >= TWOFOLD * low:
        return _span(rows)
    low = (low + high) / (1 + TWOFOLD)
    return _range(low, TWOFOLD * low)


def _span(*added) -> Uncertain:
    return _range(
        sum(min(row.low for row in rows) for rows in added),
        sum(max(row.high for row in rows) for rows in added),
    )


def _range(low: float, high: float) -> Uncertain:
    return Uncertain(Q(low, ""), Q(high, ""))


# --- forces -----------------------------------------------------------------------------

_SLOPE = Argument("angle", at_least=-STEEPEST, at_most=STEEPEST)


@takes_quantities(
    returns="force",
    mass=positive("mass"),
    coefficient=not_negative("ratio", at_most=10.0),
    slope=_SLOPE,
)
def resistance(mass, coefficient, slope=0.0):
    """Steady pull that moves a vehicle up a slope, along the slope.

        F = m g (sin α + c cos α), and 0 where the slope alone moves it

    with the coefficient c of what the wheels stand in: rolling resistance f, or the mire factor.
    The slope α is positive where the pull goes uphill. Scalars or arrays that broadcast. Range:
    mass m > 0, 0 ≤ coefficient c ≤ 10, slope α within ±45°. Raises InputError outside.
    Source: Wong, Theory of Ground Vehicles; Gillespie, Fundamentals of Vehicle Dynamics (memory,
    sure).

    >>> from recoverykit import show
    >>> print(show(resistance(Q(2500, "kg"), 0.30, Q(10, "degree")), "force"))
    11.5 kN
    """
    along = np.sin(slope) + coefficient * np.cos(slope)
    return np.maximum(mass * GRAVITY * along, 0.0)[()]


@takes_quantities(
    returns="force",
    mass=positive("mass"),
    traction=not_negative("ratio", at_most=2.0),
    rolling=not_negative("ratio", at_most=2.0),
    slope=_SLOPE,
)
def drawbar_pull(mass, traction, rolling=0.0, slope=0.0):
    """Steady pull that a vehicle can give at its hitch: grip less its own resistance.

        F = m g (μ cos α − f cos α − sin α), and 0 where the vehicle cannot even move itself

    with traction μ, rolling resistance f and the slope α (positive uphill). All wheels are driven,
    and the engine is taken as strong enough. Scalars or arrays that broadcast. Range: mass m > 0,
    0 ≤ traction μ ≤ 2, 0 ≤ rolling f ≤ 2, slope α within ±45°. Raises InputError outside. Source:
    Wong, Theory of Ground Vehicles (memory, sure).

    >>> from recoverykit import show
    >>> print(show(drawbar_pull(Q(3100, "kg"), 0.35, 0.2), "force"))
    4.56 kN
    """
    along = (traction - rolling) * np.cos(slope) - np.sin(slope)
    return np.maximum(mass * GRAVITY * along, 0.0)[()]


# --- vehicles ---------------------------------------------------------------------------


@dataclass(frozen=True)
class StuckVehicle:
    """A stuck vehicle, the ground it stands on, how deep it is mired, and what was done about it.

    `mire` is one of MIRE_DEPTHS: mud up to the wheels, the fenders or the cab; None: not mired.
    The manual gives one figure for each depth; the range taken here runs from the figure of the
    depth before (for the wheels: from mere rolling) to its own. `unloaded` is mass taken off
    before the pull. Each entry of `reductions` (REDUCTIONS) leaves a part of the resistance; two
    of them leave the product, which is a guess. `slope` is positive where the pull goes uphill.
    Raises InputError for anything else.

    >>> boat_carrier = StuckVehicle(Q(4200, "kg"), "soft mud", mire="wheels")
    >>> print(boat_carrier.pull_to_start.band.words("force"))
    24.7 kN (95 of 100 cases between 9.06 kN and 40.4 kN)
    >>> print(boat_carrier.pull_to_keep_moving.band.words("force"))
    5.77 kN (95 of 100 cases between 3.41 kN and 8.12 kN)
    """

    mass: Q
    ground: str
    mire: str | None = None
    slope: Q = field(default_factory=lambda: Q(0.0, "degree"))
    unloaded: Q = field(default_factory=lambda: Q(0.0, "kg"))
    reductions: tuple[str, ...] = ()

    def __post_init__(self):
        object.__setattr__(self, "reductions", tuple(self.reductions))
        _one_of("Stuck vehicle: ground", self.ground, GROUNDS)
        if self.mire is not None:
            _one_of("Stuck vehicle: mire", self.mire, MIRE_DEPTHS)
        for name in self.reductions:
            _one_of("Stuck vehicle: reductions", name, REDUCTIONS)
        fields_to_si(self, mass=positive("mass"), slope=_SLOPE, unloaded=not_negative("mass"))
        if self.unloaded >= self.mass:
            raise InputError(
                f"Stuck vehicle: unloaded: {self.unloaded} is not less than the mass of the "
                f'vehicle; write how much was taken off it, for example unloaded=Q(300, "kg")'
            )

    @functools.cached_property
    def pull_to_start(self) -> Spread:
        """The steady pull along the slope that breaks the vehicle free."""
        if self.mire is None:
            return self.pull_to_keep_moving
        worst_rolling = ground(self.ground).rolling.ends[1].m_as("")
        factors = [worst_rolling, *(row.factor for row in table(MireRow))]
        which = MIRE_DEPTHS.index(self.mire)
        return self._pull("mire", _range(factors[which], factors[which + 1]))

    @functools.cached_property
    def pull_to_keep_moving(self) -> Spread:
        """The steady pull along the slope that keeps it rolling once it is free."""
        return self._pull("rolling", ground(self.ground).rolling)

    def _pull(self, name: str, coefficient: Uncertain) -> Spread:
        left = {reduction: find(Reduction, name=reduction).left for reduction in self.reductions}

        def pull(**sampled):
            share = math.prod(sampled[reduction] for reduction in left)
            return resistance(self.mass - self.unloaded, sampled[name] * share, self.slope)

        return propagate(pull, {name: coefficient} | left)


@dataclass(frozen=True)
class RecoveryVehicle:
    """The vehicle that pulls, and the ground under it.

    All its wheels are driven; `slope` is positive where it drives uphill. Raises InputError for
    anything else, and for mud, where no published traction fits.

    >>> truck = RecoveryVehicle(Q(3100, "kg"), "wet grass")
    >>> print(truck.steady_pull.band.words("force"))
    3.95 kN (95 of 100 cases between 1.97 kN and 5.94 kN)
    """

    mass: Q
    ground: str
    slope: Q = field(default_factory=lambda: Q(0.0, "degree"))

    def __post_init__(self):
        _one_of(
            "RecoveryVehicle: ground",
            self.ground,
            [name for name in GROUNDS if ground(name).traction],
        )
        fields_to_si(self, mass=positive("mass"), slope=_SLOPE)

    @property
    def inputs(self) -> dict:
        """What its steady pull depends on that nobody knows exactly, by name."""
        under = ground(self.ground)
        return {"traction": under.traction, "rolling of the recovery vehicle": under.rolling}

    @property
    def downhill_force(self):
        """With what its weight drives it down a slope; 0 uphill."""
        return resistance(self.mass, 0.0, -self.slope)

    def pull(self, sampled: Mapping):
        """The steady pull for values of its `inputs`; others in `sampled` do not matter."""
        traction, rolling = (sampled[name] for name in self.inputs)
        return drawbar_pull(self.mass, traction, rolling, self.slope)

    @functools.cached_property
    def steady_pull(self) -> Spread:
        """The steady pull that its tires can give at the hitch."""
        return propagate(lambda **sampled: self.pull(sampled), self.inputs)


# --- enough or not ----------------------------------------------------------------------


def verdict_on(chance: float) -> str:
    """LIKELY, POSSIBLE, UNLIKELY or NOT_ENOUGH for a chance from 0 to 1, as in CHANCES.

    >>> verdict_on(0.95), verdict_on(0.94), verdict_on(0.5)
    ('likely enough', 'possibly enough', 'possibly enough')
    >>> verdict_on(0.49), verdict_on(0.01)
    ('unlikely to be enough', 'not enough: reduce the resistance first')
    """
    return next((word for word, least in CHANCES.items() if chance >= least), NOT_ENOUGH)


def cases(chance: float) -> str:
    """A chance from 0 to 1 in words, rounded down: never more than it is.

    >>> cases(0.819), cases(0.29)
    ('81 of 100 cases', '29 of 100 cases')
    """
    return f"{math.floor(round(100 * chance, 6))} of 100 cases"


@dataclass(frozen=True, eq=False)
class SteadyPull:
    """A steady pull: what starts the stuck vehicle, what the tires give, and the verdict.

    >>> pull = SteadyPull(
    ...     RecoveryVehicle(Q(3100, "kg"), "wet grass"),
    ...     StuckVehicle(Q(4200, "kg"), "soft mud", mire="wheels"))
    >>> print(pull.verdict)
    not enough: reduce the resistance first
    """

    recovery_vehicle: RecoveryVehicle
    stuck_vehicle: StuckVehicle

    @property
    def available(self) -> Spread:
        """The pull that the recovery vehicle can give."""
        return self.recovery_vehicle.steady_pull

    @property
    def chance(self) -> float:
        """In which part of the sampled cases the pull suffices, 0 to 1."""
        needed = self.stuck_vehicle.pull_to_start
        return float(np.mean(self.available.samples >= needed.samples))

    @property
    def verdict(self) -> str:
        """LIKELY, POSSIBLE, UNLIKELY or NOT_ENOUGH."""
        return verdict_on(self.chance)


def _one_of(what: str, given, allowed) -> None:
    if given not in allowed:
        choices = ", ".join(f'"{name}"' for name in allowed)
        raise InputError(f"{what}: there is no {given!r}; write one of {choices}")
