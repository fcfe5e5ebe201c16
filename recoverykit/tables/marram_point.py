"""Demo: the invented world of Marram Point, as its tables in `data/` have it."""

from dataclasses import dataclass
from typing import Annotated, ClassVar

from recoverykit.tables.records import Record
from recoverykit.units.quantities import Q


@dataclass(frozen=True)
class DemoVehicle(Record):
    """A vehicle of Marram Point, with the mass it usually has on the flat."""

    file: ClassVar[str] = "demo_vehicles.csv"

    name: str
    mass: Annotated[Q, "mass"]


@dataclass(frozen=True)
class DemoRope(Record):
    """A rope of Marram Point."""

    file: ClassVar[str] = "demo_ropes.csv"

    name: str
    diameter: Annotated[Q, "diameter"]
    length: Annotated[Q, "length"]
    breaking_strength: Annotated[Q, "force"]
    stretch_at_break: Annotated[Q, "ratio"]


@dataclass(frozen=True)
class DemoLink(Record):
    """A part of a rigging line of Marram Point, with what is stamped on it, if anything is."""

    file: ClassVar[str] = "demo_links.csv"

    line: str
    link: str
    rating: Annotated[Q | None, "force"]
    basis: str | None
    design_factor: float | None


@dataclass(frozen=True)
class DemoPull(Record):
    """A pull at Marram Point, with the names of its vehicle, stuck vehicle, rope and line."""

    file: ClassVar[str] = "demo_pulls.csv"

    name: str
    vehicle: str
    stuck_vehicle: str
    rope: str
    line: str
    speed: Annotated[Q, "speed"]


@dataclass(frozen=True)
class DemoStuck(Record):
    """A stuck vehicle of Marram Point, what it stands in, and what stands ready to pull it.

    `mire` is the depth; the slope is positive where the pull goes uphill.
    """

    file: ClassVar[str] = "demo_stuck.csv"

    name: str
    stuck_vehicle: str
    ground: str
    mire: str
    slope: Annotated[Q, "angle"]
    vehicle: str
    vehicle_ground: str
    line: str


@dataclass(frozen=True)
class DemoHeld(Record):
    """A stuck vehicle of Marram Point by the forces that hold it, and the pull that is tried.

    `held_when_moving` is the part of the breakout resistance that still holds it once it moves.
    """

    file: ClassVar[str] = "demo_held.csv"

    name: str
    vehicle: str
    stuck_vehicle: str
    rope: str
    line: str
    speed: Annotated[Q, "speed"]
    breakout_resistance: Annotated[Q, "force"]
    held_when_moving: Annotated[Q, "ratio"]


@dataclass(frozen=True)
class DemoLetGo(Record):
    """A piece of a line of Marram Point that may let go, and the tether that is to hold it."""

    file: ClassVar[str] = "demo_let_go.csv"

    name: str
    rope: str
    rope_mass: Annotated[Q, "mass"]
    tension: Annotated[Q, "force"]
    piece: str
    piece_mass: Annotated[Q, "mass"]
    tether_length: Annotated[Q, "length"]
    tether_strength: Annotated[Q, "force"]
    tether_stretch_at_break: Annotated[Q, "ratio"]
    tether_slack: Annotated[Q, "ratio"]
