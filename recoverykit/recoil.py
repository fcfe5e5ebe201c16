"""Recoil: the energy that a tight line holds, and where it goes when something lets go.

All figures are for teaching: they show of what size the danger is. None of them says where a
person may stand.
"""

from dataclasses import dataclass
from typing import Annotated, ClassVar

from recoverykit.border import border, fields_to_si, not_negative, positive
from recoverykit.formulas import kinetic_energy
from recoverykit.rope import Rope
from recoverykit.tables import Record, table
from recoverykit.units import GRAVITY, Q, as_number, brief, show

CAUTION = (
    "This is a teaching scale. No distance from a loaded line is enough by these figures: keep "
    "everybody out of the line of pull and clear of both vehicles, and follow the makers' "
    "instructions, local rules and a qualified trainer."
)

PARTS = "the tether parts"
MAY_PART = "the tether may part"
NOT_ALONE = "this energy alone does not part the tether"


# --- published values -------------------------------------------------------------------


@dataclass(frozen=True)
class EnergyRow(Record):
    """A thing whose energy people can picture, given outright or by mass and height or speed.

    `thing` names mass, height and speed in braces; `words` fills them in.
    """

    file: ClassVar[str] = "energy_scale.csv"

    thing: str
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


@dataclass(frozen=True)
class PartedLineRow(Record):
    """How fast the end of a parted line has been said or worked out to fly."""

    file: ClassVar[str] = "parted_lines.csv"

    line: str
    fastest: Annotated[Q, Q]  # beyond the speeds that vehicles are reckoned with


# --- energy and speed -------------------------------------------------------------------


@border(returns="ratio", piece=positive("mass"), rope=not_negative("mass"))
def share_of_piece(piece, rope):
    """Which part of the energy a piece takes that is torn loose with a rope still tied to it.

        share = m / (m + M / 3)

    The piece m flies; the rope of mass M behind it moves as fast at the piece and not at all at
    its other end, which counts as a third of its mass. Scalars or arrays that broadcast. Range:
    piece m > 0, rope M ≥ 0. Raises InputError outside.
    Source: Rayleigh's effective mass of a spring, any text on vibrations (memory, sure).

    >>> print(show(share_of_piece(Q(3, "kg"), Q(6, "kg")), "ratio"))
    60.0 %
    """
    return piece / (piece + rope / 3)


@border(
    returns="speed",
    energy=not_negative("energy"),
    mass=positive("mass"),
    share=not_negative("ratio", at_most=1.0),
)
def freed_speed(energy, mass, share=1.0):
    """Speed of a piece that is let go, v = √(2 E share / m).

    E is the energy that the line held, m the mass of what flies and `share` the part of E that
    becomes its motion; 1 is the upper limit, and what is missing goes into the rope, air and
    heat. With m the mass of the whole rope and share 1 it is the speed of a rope that parts at
    its far end. Scalars or arrays that broadcast. Range: energy E ≥ 0, mass m > 0,
    0 ≤ share ≤ 1. Raises InputError outside. Source: energy balance; any mechanics text.

    >>> print(show(freed_speed(Q(18, "kJ"), Q(3, "kg"), 0.5), "speed"))
    279 km/h
    """
    return (2 * energy * share / mass) ** 0.5


@dataclass(frozen=True)
class LetGo:
    """A line that carries a tension when a piece of it lets go.

    `piece` is the mass of what flies, `rope_mass` that of the rope behind it. All that the rope
    gives back goes into the two, as in `share_of_piece`: an upper limit, as air and ground take
    some. Range: 0 ≤ tension ≤ what the rope bears, piece > 0, rope_mass ≥ 0, each a single value.
    Raises InputError otherwise (RopePartsError for more than the rope bears).

    >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "percent"))
    >>> shackle = LetGo(rope, tension=Q(40, "kN"), piece=Q(3, "kg"), rope_mass=Q(6, "kg"))
    >>> print(show(shackle.energy, "energy"), show(shackle.speed, "speed"))
    18.0 kJ 305 km/h
    >>> print(shackle.sentence)
    At 40 kN the rope lets go 18.0 kJ. A piece of 3 kg could fly off with it at up to 305 km/h.
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

    @property
    def held(self):
        """The work that it took to load the rope to the tension."""
        return self.rope.stored_energy(self.rope.extension(self.tension))

    @property
    def energy(self):
        """What the rope gives back of it when something lets go."""
        return self.held - self.rope.heat(self.rope.extension(self.tension))

    @property
    def energy_of_piece(self):
        """The part of that energy with which the piece flies."""
        return self.energy * share_of_piece(self.piece, self.rope_mass)

    @property
    def speed(self):
        """The greatest speed that the piece can have."""
        return freed_speed(self.energy_of_piece, self.piece)

    @property
    def sentence(self) -> str:
        """Energy and speed, read out."""
        return (
            f"At {brief(self.tension, 'force')} the rope lets go {show(self.energy, 'energy')}. A "
            f"piece of {brief(self.piece, 'mass')} could fly off with it at up to "
            f"{show(self.speed, 'speed')}."
        )


# --- what a tether can do ---------------------------------------------------------------


@dataclass(frozen=True)
class TetherCatch:
    """A secondary tether that is to catch what lets go: what it must absorb, and what it can.

    The tether must stop at least the piece (its share of the energy), at most the piece and the
    rope behind it (all of the energy). It can absorb what it holds when it breaks: half of
    breaking strength times stretch for a straight line. A short or stiff tether absorbs little,
    however strong it is. Its anchor, knots, wear and the way it runs round edges are left out,
    and all of them make it worse.

    >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "percent"))
    >>> shackle = LetGo(rope, tension=Q(40, "kN"), piece=Q(3, "kg"), rope_mass=Q(6, "kg"))
    >>> strap = Rope(length=Q(1.5, "m"), breaking_strength=Q(60, "kN"),
    ...              stretch_at_break=Q(15, "percent"))
    >>> catch = TetherCatch(shackle, strap)
    >>> print(catch.sentence)
    The tether must absorb 10.8 kJ to 18.0 kJ; it can absorb 6.75 kJ before it breaks: the tether
    parts.
    """

    let_go: LetGo
    tether: Rope

    @property
    def least_to_absorb(self):
        """The energy of the flying piece alone."""
        return self.let_go.energy_of_piece

    @property
    def most_to_absorb(self):
        """The energy of the piece and of the rope behind it."""
        return self.let_go.energy

    @property
    def can_absorb(self):
        """The energy that the tether holds when it breaks."""
        return self.tether.stored_energy(self.tether.extension_at_break)

    @property
    def verdict(self) -> str:
        """PARTS, MAY_PART or NOT_ALONE."""
        if self.can_absorb < self.least_to_absorb:
            return PARTS
        return MAY_PART if self.can_absorb < self.most_to_absorb else NOT_ALONE

    @property
    def sentence(self) -> str:
        """What it must, what it can, and the verdict, read out."""
        least, most, can = (
            show(energy, "energy")
            for energy in (self.least_to_absorb, self.most_to_absorb, self.can_absorb)
        )
        return (
            f"The tether must absorb {least} to {most}; it can absorb {can} before it breaks: "
            f"{self.verdict}."
        )


# --- in words ---------------------------------------------------------------------------


@border(energy=not_negative("energy", single=True))
def energy_in_words(energy) -> str:
    """Compare an energy ≥ 0 with things that people can picture, and with a hazardous fragment.

    Source of the fragment, 58 ft·lbf (79 J): DDESB TP-12 (quoted): small fragments of explosions,
    no limit for people near a line. The rest is worked out from mass and height or speed.

    >>> print(energy_in_words(Q(18, "kJ")))
    The energy, 18.0 kJ, is 1.87 times that of a vehicle of 2500 kg at 10 km/h and 228 times
    that of a fragment counted as hazardous.
    """
    hazardous, *things = table(EnergyRow)
    below = max(
        (row for row in things if row.joules <= energy), key=lambda row: row.joules, default=None
    )
    compared = [hazardous] if below is None else [below, hazardous]
    times = (f"{as_number(energy / row.joules)} times that of {row.words}" for row in compared)
    return f"The energy, {show(Q(energy, 'J'), 'energy')}, is {' and '.join(times)}."


@border(longest_line=positive("length", single=True))
def keep_clear(longest_line) -> str:
    """The rule of the trade for all who do not work at the line, with its limits.

    Range: longest_line > 0. Raises InputError otherwise. Source: TM 9-2320-356-BD, 4-6 (seen).

    >>> print(keep_clear(Q(9, "m")))
    Nobody who is not needed stands closer to the vehicles than the longest line in use, here
    9 m; nobody at all stands in the line of pull. A parted line or a torn-off piece can fly
    farther than that.
    """
    longest = brief(Q(longest_line, "m"), "length")
    return (
        f"Nobody who is not needed stands closer to the vehicles than the longest line in use, "
        f"here {longest}; nobody at all stands in the line of pull. A parted line or a torn-off "
        f"piece can fly farther than that."
    )
