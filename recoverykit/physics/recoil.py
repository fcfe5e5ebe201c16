"""Recoil: the energy that a tight line holds, and where it goes when something lets go.

All figures are for teaching: they show of what size the danger is. None of them says where a
person may stand.
"""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Annotated, ClassVar

import numpy as np

from recoverykit.physics.formulas import kinetic_energy
from recoverykit.physics.load_curve import rising_root
from recoverykit.physics.rope import Rope
from recoverykit.tables.records import Record, table
from recoverykit.units.quantities import (
    GRAVITY,
    METRIC,
    US,
    Q,
    brief,
    display,
)
from recoverykit.units.validation import (
    fields_to_si,
    from_si,
    not_negative,
    positive,
    takes_quantities,
)

CAUTION = "By these numbers, no distance from a loaded line is enough."

PARTS = "the tether parts"
MAY_PART = "the tether may part"
NOT_ALONE = "this energy alone does not part the tether"


# --- published values -------------------------------------------------------------------


@dataclass(frozen=True)
class EnergyRow(Record):
    """A thing whose energy people can picture, given outright or by mass and height or speed.

    Its numbers are round in one display system (`system` is None for a thing of both). `thing`
    names mass, height and speed in braces; `words` fills them in.
    """

    file: ClassVar[str] = "energy_scale.csv"

    thing: str
    system: str | None
    mass: Annotated[Q | None, "mass"]
    height: Annotated[Q | None, "length"]
    speed: Annotated[Q | None, "speed"]
    energy: Annotated[Q | None, "energy"]

    @property
    def joules(self) -> float:
        """The energy: as given, or m g h, or m v² / 2."""
        if self.energy is not None:
            return self.energy.m_as("J")
        if self.mass is not None and self.height is not None:
            return self.mass.m_as("kg") * GRAVITY * self.height.m_as("m")
        return kinetic_energy(self.mass, self.speed).m_as("J")

    @property
    def words(self) -> str:
        """The thing, in the display system in force."""
        kinds = {"mass": "mass", "height": "length", "speed": "speed"}
        given = {name: getattr(self, name) for name in kinds if getattr(self, name) is not None}
        return self.thing.format(**{name: brief(given[name], kinds[name]) for name in given})


def energy_scale() -> tuple[EnergyRow, ...]:
    """The things whose energies people can picture, round in the display system in force.

    >>> [row.words for row in energy_scale()][1:3]
    ['75 kg person falling 3 m', '2500 kg vehicle at 10 km/h']
    """
    return tuple(row for row in table(EnergyRow) if row.system in (None, display.system.name))


@dataclass(frozen=True)
class PartedLineRow(Record):
    """How fast the end of a parted line has been said or worked out to fly."""

    file: ClassVar[str] = "parted_lines.csv"

    line: str
    fastest: Annotated[Q, Q]  # beyond the speeds of vehicles


# --- energy and speed -------------------------------------------------------------------


@takes_quantities(returns="speed", energy=not_negative("energy"), mass=positive("mass"))
def freed_speed(energy, mass):
    """Speed of a mass that moves with an energy, v = √(2 E / m).

    With all the energy that a line holds and the mass of the piece that tears off, it is a speed
    that the piece cannot pass. With the mass of the whole rope it is the speed of a rope that
    parts at its far end. Scalars or arrays that broadcast. Range: energy E ≥ 0, mass m > 0.
    Raises InputError outside. Source: energy balance; any mechanics text.

    >>> from recoverykit import show
    >>> print(show(freed_speed(Q(9, "kJ"), Q(3, "kg")), "speed"))
    279 km/h
    """
    return (2 * energy / mass) ** 0.5


@dataclass(frozen=True)
class LetGo:
    """A line that carries a tension when a piece of it lets go, bounded from both sides.

    `piece` is the mass of what flies, `rope_mass` that of the rope behind it. At most, the piece
    gets all the energy that the rope holds: nothing is taken off for heat, as losses are measured
    on ropes that go slack slowly. That bound holds at any time, also when the rope flies up from
    behind. At least, it gets what the first wave in the rope gives it, until that wave is back from
    the other end:

        v = F / √(k M) · (1 − e^(−2 M / m))

    with the greatest stiffness k that the rope shows as it goes slack, heat counted: the stiffer
    a rope is, the sooner its tension is gone. On a straight rope without loss that is its own.

    The other end of the rope is held fast; air, ground and the vehicles' own motion are left out.
    Range: 0 ≤ tension ≤ what the rope bears, piece > 0, rope_mass ≥ 0, each a single value.
    Raises InputError otherwise (RopePartsError for more than the rope bears).

    >>> from recoverykit import show
    >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "percent"))
    >>> shackle = LetGo(rope, tension=Q(40, "kN"), piece=Q(3, "kg"), rope_mass=Q(6, "kg"))
    >>> print(show(shackle.energy, "energy"), show(shackle.least_energy, "energy"))
    18.0 kJ 8.67 kJ
    >>> print(show(shackle.least_speed, "flight"), show(shackle.most_speed, "flight"))
    274 km/h 394 km/h
    """

    rope: Rope
    tension: Q
    piece: Q
    rope_mass: Q

    def __post_init__(self):
        fields_to_si(
            self,
            tension=not_negative("force", single=True),
            piece=positive("mass", single=True),
            rope_mass=not_negative("mass", single=True),
        )
        self.rope.extension(self.tension)  # refuses what parts the rope

    @cached_property
    def energy(self):
        """The work that it took to load the rope to the tension: the most that can fly."""
        return self.rope.stored_energy(self.rope.extension(self.tension))

    @takes_quantities(returns="energy", travel=not_negative("length", single=True))
    def energy_after(self, travel):
        """Energy that the piece has at least after it has flown a travel ≥ 0."""
        tension, rope_mass = self.tension.m_as("N"), self.rope_mass.m_as("kg")
        if tension == 0 or self.energy.m_as("J") == 0:  # the smallest tensions hold 0 J as floats
            return 0.0
        stiffest = self._stiffest
        ratio = self.piece.m_as("kg") / rope_mass if rope_mass else math.inf
        share = _first_wave_share(ratio, travel * stiffest / tension)
        return share * tension**2 / (2 * stiffest)

    @cached_property
    def least_energy(self):
        """The energy that the piece comes up to at least."""
        return from_si(self.energy_after.si(self, math.inf), "energy")

    @property
    def least_speed(self):
        """The speed that the piece comes up to at least."""
        return freed_speed(self.least_energy, self.piece)

    @property
    def most_speed(self):
        """The speed that the piece cannot pass."""
        return freed_speed(self.energy, self.piece)

    @property
    def _stiffest(self) -> float:
        """No less than the greatest stiffness that the rope shows on its way back, in N/m.

        The slope of the unloading curve of `Rope`, with the greatest of each of its factors.
        """
        rope, tension, energy = self.rope.si, self.tension.m_as("N"), self.energy.m_as("J")
        extension = self.rope.extension(self.tension).m_as("m")
        reached = self.rope.curve.knots[:-1] * rope["full_extension"] <= extension
        steepest = self.rope.curve.slopes[1][reached].max()
        loading = steepest * rope["breaking_strength"] / rope["full_extension"]
        return float(loading + 2 * rope["loss"] * tension**2 / energy)


# 2 M / m where the first wave leaves a piece the greatest share of the energy: the root of
# 2 u = e^u − 1. It is a piece of 1.59 times the rope's mass.
_BEST_EXPONENT = 1.2564312086


def _first_wave_share(ratio: float, travel: float) -> float:
    """Least part of F² / 2k with which a piece flies, for a `ratio` m / M and a `travel` in F / k.

        share = m / M · (1 − e^(−u))²,  u = 2 M / m, or less: (m / M) (u − 1 + e^(−u)) = travel

    A wave runs from the piece down the rope of mass M and stiffness k. Behind it the tension has
    fallen by √(k M) times the speed of the rope there, so until it is back from the fixed end,
    after 2 √(M / k), a tension of F − v √(k M) accelerates the piece. Afterwards the rope may pull
    or hang slack; it cannot push, so it never slows the piece.

    Above m = 1.59 M a heavier piece takes a larger share than that one, though the first wave
    alone no longer shows it: the share at 1.59 M is then used. That is compared with chains of
    masses in the tests, and not derived.
    Source: impedance of a rod, any text on waves in solids (memory, sure); the bound is our own.
    """
    ratio = min(ratio, 2 / _BEST_EXPONENT)
    scaled = min(travel, 2.0) / ratio  # at 2 the wave is back, whatever the piece
    flown = rising_root(lambda u: (u + np.expm1(-u) - scaled, -np.expm1(-u)), 0.0, scaled + 1.0)
    return ratio * math.expm1(-min(flown, 2 / ratio)) ** 2


# --- what a tether can do ---------------------------------------------------------------


@dataclass(frozen=True)
class TetherCatch:
    """A secondary tether that is to catch what lets go: what it must absorb, and what it can.

    `slack` is the part of the tether's length that hangs loose: so far the piece flies before the
    tether is taut. Then the tether must stop at least the piece as fast as it is by then, at most
    all that the rope holds. It can absorb what it holds when it breaks: half of
    breaking strength times stretch for a straight line. A short or stiff tether absorbs little,
    however strong it is. Its anchor, knots, wear, its own mass and the way it runs round edges are
    left out, and all of them make it worse. A verdict is certain within the model only where both
    bounds agree; else it is MAY_PART. To choose a tether, go by `most_to_absorb`.
    Range: 0 ≤ slack ≤ 1. Raises InputError outside.

    >>> from recoverykit import show
    >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "percent"))
    >>> shackle = LetGo(rope, tension=Q(40, "kN"), piece=Q(3, "kg"), rope_mass=Q(6, "kg"))
    >>> strap = Rope(length=Q(1.5, "m"), breaking_strength=Q(60, "kN"),
    ...              stretch_at_break=Q(10, "percent"))
    >>> catch = TetherCatch(shackle, strap, slack=Q(50, "percent"))
    >>> print(show(catch.least_to_absorb, "energy"), show(catch.can_absorb, "energy"))
    7.70 kJ 4.50 kJ
    >>> catch.verdict
    'the tether parts'
    """

    let_go: LetGo
    tether: Rope
    slack: Q | float

    def __post_init__(self):
        fields_to_si(self, slack=not_negative("ratio", at_most=1.0, single=True))

    @cached_property
    def least_to_absorb(self):
        """The energy that the piece has at least when the tether comes taut."""
        return self.let_go.energy_after(self.slack * self.tether.length)

    @property
    def most_to_absorb(self):
        """All the energy that the rope holds: it goes on pulling at the piece and the tether."""
        return self.let_go.energy

    @cached_property
    def can_absorb(self):
        """The energy that the tether holds when it breaks."""
        return self.tether.stored_energy(self.tether.extension_at_break)

    @property
    def verdict(self) -> str:
        """PARTS, MAY_PART or NOT_ALONE."""
        if self.can_absorb < self.least_to_absorb:
            return PARTS
        return MAY_PART if self.can_absorb < self.most_to_absorb else NOT_ALONE


# --- in words ---------------------------------------------------------------------------


_PERSON = {METRIC: Q(75, "kg"), US: Q(165, "lb")}
_VEHICLE = {METRIC: Q(2500, "kg"), US: Q(5500, "lb")}
_TALLEST_FALL = 20.0  # meters: from higher up, nobody can picture a fall


@takes_quantities(energy=not_negative("energy", single=True))
def like(energy) -> str:
    """Compare an energy ≥ 0 with a person who falls, or with a vehicle where that is too high.

    Both have a round mass; height and speed, from m g h and m v² / 2, are rounded up. Source:
    energy balance; any mechanics text.

    >>> like(Q(4, "kJ")), like(Q(60, "kJ"))
    ('like a 75 kg person falling 5.5 m', 'like a 2500 kg vehicle at 25 km/h')
    >>> display.use("US")
    >>> like(Q(2000, "ft*lbf")), like(Q(1300, "ft*lbf")), like(Q(100, "ft*lbf"))
    ('like a 165 lb person falling 13 ft', 'like a 165 lb person falling 8 ft', \
'like a 165 lb person falling 8 in')
    >>> display.use("metric")
    """
    person, vehicle = _PERSON[display.system], _VEHICLE[display.system]
    height = energy / (person.m_as("kg") * GRAVITY)
    if height <= _TALLEST_FALL:
        return f"like a {brief(person, 'mass')} person falling {_round_height(height)}"
    speed = Q((2 * energy / vehicle.m_as("kg")) ** 0.5, "m/s").m_as(display.system.unit("speed"))
    return (
        f"like a {brief(vehicle, 'mass')} vehicle at {math.ceil(round(speed, 6))} "
        f"{display.system.symbol('speed')}"
    )


def _round_height(meters: float) -> str:
    """A height as people say it, rounded up: in half feet, inches, or tenths of a meter."""
    if display.system is METRIC:
        tenths = math.ceil(round(10 * meters, 6))
        return f"{tenths / 10:g} m" if tenths < 100 else f"{math.ceil(round(meters, 6))} m"
    feet = Q(meters, "m").m_as("ft")
    if feet < 1:
        return f"{math.ceil(round(12 * feet, 6))} in"
    whole, half = divmod(math.ceil(round(2 * feet, 6)), 2)
    return f"{whole}½ ft" if half and feet < 10 else f"{whole + half} ft"
