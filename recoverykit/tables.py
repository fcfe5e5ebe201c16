"""Tables: the course's data, read from `data/` into typed records.

A table is a CSV file with a record class that names its columns: field `average_break` is the
column `average break`. Its unit stands in the header, `average break [kip]`, or in every cell,
"30,000 lbf". To add a table, write `data/<name>.csv`, write a record class like those below, and
ask for `table(ThatClass)`.
"""

import csv
import functools
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from decimal import Decimal, DecimalException
from pathlib import Path
from types import MappingProxyType, NoneType
from typing import Annotated, ClassVar, get_args, get_origin, get_type_hints

import pint

from recoverykit.units import InputError, Q, read_quantity, registry

DATA = Path(__file__).resolve().parent.parent / "data"

INVENTED = "invented"


class TableError(InputError):
    """A table is missing or damaged; the message says where."""


# --- cells ------------------------------------------------------------------------------


# Units as tables write them, such as lbf/ft or in/s^2. Nothing else comes near pint's parser.
_UNIT = re.compile(r"([a-z_]+(\^[1-9])?([*/][a-z_]+(\^[1-9])?)*)?", re.IGNORECASE | re.ASCII)


def _number(cell: str) -> float:
    return read_quantity(cell, "ratio").quantity.m_as("")


def _given(cell: str) -> Mapping[str, Q]:
    """Read "mass=1500 kg; speed=2 m/s" into quantities by name; any unit of the registry goes."""
    quantities = {}
    for part in cell.split(";"):
        name, _, value = (piece.strip() for piece in part.partition("="))
        digits, _, unit = value.partition(" ")
        try:
            quantities[name] = Q(float(_printed(digits)), _unit(unit))
        except ValueError:
            raise InputError(f"{part.strip()!r} is not like mass=1500 kg") from None
    return MappingProxyType(quantities)


def _unit(cell: str) -> str:
    if not _UNIT.fullmatch(cell):
        raise InputError(f"{cell!r} is not a unit")
    try:
        registry.parse_units(cell)
    except (pint.UndefinedUnitError, ValueError):
        raise InputError(f"the unit {cell!r} is not known") from None
    return cell


def _printed(cell: str) -> str:
    try:
        finite = Decimal(cell).is_finite()
    except DecimalException:
        finite = False
    if not finite:
        raise InputError(f"{cell!r} is not a printed number, such as 11.0 or 121.47e3")
    return cell


# --- records ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Record:
    """One row of a table, and where it comes from.

    `source` is a citation or "invented"; `mark` says how far a source was seen: seen, quoted
    (seen in a secondary text only), memory (and how surely) or derived (by arithmetic).
    """

    file: ClassVar[str]

    source: str
    mark: str | None
    note: str | None

    def __post_init__(self):
        if self.source != INVENTED and self.mark is None:
            raise InputError('a source needs a mark: write "seen", "quoted", "memory" or "derived"')


@dataclass(frozen=True)
class PublishedRope(Record):
    """A size of polyamide double-braid rope, new and dry, as tabled by its source."""

    file: ClassVar[str] = "ropes.csv"

    diameter: Annotated[Q, "diameter"]
    average_break: Annotated[Q, "force"]
    axial_stiffness: Annotated[Q, "force"]  # AE: the load for each unit of strain

    @property
    def stretch_at_break(self):
        """The strain at which a straight line of slope AE meets the breaking load, F_b / AE."""
        return (self.average_break / self.axial_stiffness).to("percent")


@dataclass(frozen=True)
class Shackle(Record):
    """A size of carbon-steel shackle, its working load limit given in tons of no stated kind."""

    file: ClassVar[str] = "shackles.csv"

    size: Annotated[Q, "diameter"]
    working_load_limit_in_tons: float
    breaking_strength: Annotated[Q | None, "force"]

    @property
    def working_load_limit_readings(self) -> tuple[Q, Q]:
        """The working load limit if the tons are short tons, and if they are tonnes."""
        tons = self.working_load_limit_in_tons
        return Q(tons, "force_ton"), Q(tons, "force_metric_ton")


@dataclass(frozen=True)
class Turnbuckle(Record):
    """A size of forged turnbuckle, each load as printed in both units."""

    file: ClassVar[str] = "turnbuckles.csv"

    size: Annotated[Q, "diameter"]
    breaking_strength: Annotated[Q, "force"]
    working_load_limit: Annotated[Q, "force"]
    metric_breaking_strength: Annotated[Q, "force"]
    metric_working_load_limit: Annotated[Q, "force"]


@dataclass(frozen=True)
class DesignFactor(Record):
    """Breaking strength over working load limit, as a standard asks for a kind of part."""

    file: ClassVar[str] = "design_factors.csv"

    part: str
    design_factor: float


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
    """A pull at Marram Point, with the names of its vehicle, casualty, rope and line."""

    file: ClassVar[str] = "demo_pulls.csv"

    name: str
    vehicle: str
    casualty: str
    rope: str
    line: str
    speed: Annotated[Q, "speed"]
    drive_force: Annotated[Q, "force"]


@dataclass(frozen=True)
class DemoStuck(Record):
    """A stuck vehicle of Marram Point, what it stands in, and what stands ready to pull it.

    `mire` is the depth; the slope is positive where the pull goes uphill.
    """

    file: ClassVar[str] = "demo_stuck.csv"

    name: str
    casualty: str
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
    casualty: str
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


@dataclass(frozen=True)
class CheckValue(Record):
    """A published answer to check the library against, exactly as printed.

    >>> problem = find(CheckValue, key="gere 2.8-11 compression")
    >>> print(problem.given["speed"], problem.printed, problem.unit, problem.mark)
    7.0 mph 11.0 in seen
    >>> problem.agrees(Q(11.04, "in")), problem.agrees(Q(11.06, "in"))
    (True, False)
    """

    file: ClassVar[str] = "check_values.csv"

    key: str
    problem: str
    given: Annotated[Mapping[str, Q], _given]
    answer: str
    printed: Annotated[str, _printed]
    unit: Annotated[str | None, _unit]

    @property
    def value(self):
        """The printed answer."""
        return Q(float(self.printed), self.unit or "")

    @property
    def rounding(self):
        """Half a unit of the last digit printed."""
        return Q(0.5 * 10.0 ** Decimal(self.printed).as_tuple().exponent, self.unit or "")

    def agrees(self, result) -> bool:
        """Whether a result would be printed as the source printed it."""
        unit = self.value.units
        off = abs(Q(result).m_as(unit) - self.value.m_as(unit))
        return bool(off <= self.rounding.m_as(unit) * (1 + 1e-9))


# --- reading ----------------------------------------------------------------------------


@functools.cache
def table(record: type[Record]) -> tuple:
    """All rows of the table of a record class, read once.

    >>> [str(rope.average_break) for rope in table(PublishedRope)][:2]
    ['33.6 kip', '45.0 kip']
    """
    return read_table(DATA / record.file, record)


def find(record: type[Record], **wanted):
    """The row of a table whose column has the wanted value.

    >>> print(find(DemoVehicle, name="launch truck").mass)
    3100.0 kg
    >>> find(DemoVehicle, name="lunch truck")
    Traceback (most recent call last):
    ...
    recoverykit.units.InputError: demo_vehicles.csv has no row with name='lunch truck'; there are
    'launch truck', 'crew car', 'boat carrier'
    """
    ((name, value),) = wanted.items()
    rows = {getattr(row, name): row for row in table(record)}
    if value not in rows:
        there = ", ".join(map(repr, rows))
        raise InputError(f"{record.file} has no row with {name}={value!r}; there are {there}")
    return rows[value]


def read_table(path: Path, record: type[Record]) -> tuple:
    """Read a CSV file into records; raise one TableError that names every fault and its place."""
    header, *rows = _rows(path)
    columns = _columns(path, header, record)
    records, faults = [], []
    for row_number, cells in enumerate(rows, start=2):
        if not any(cells):
            continue
        place = f"{path}, row {row_number}"
        if len(cells) != len(header):
            faults.append(f"{place}: it has {len(cells)} cells, the header has {len(header)}")
            continue
        values, row_faults = _read_cells(place, cells, columns)
        faults += row_faults
        if not row_faults:
            try:
                records.append(record(**values))
            except InputError as fault:
                faults.append(f"{place}: {fault}")
    if not records and not faults:
        faults.append(f"{path} has no rows")
    if faults:
        raise TableError("\n".join(faults))
    return tuple(records)


@dataclass(frozen=True)
class _Column:
    """Where a field's cells stand, and how they are read."""

    index: int
    header: str
    unit: str
    read: Callable[[str], object]
    optional: bool

    def value(self, cell: str):
        if cell:
            return self.read(f"{cell} {self.unit}".strip())
        if self.optional:
            return None
        raise InputError("the cell is empty")


def _reader(hint) -> tuple[Callable[[str], object], bool]:
    """How cells of a field's type are read, and whether they may be empty."""
    kind = None
    if get_origin(hint) is Annotated:
        hint, kind = get_args(hint)
    optional = NoneType in get_args(hint)
    if isinstance(kind, str):
        return lambda cell: read_quantity(cell, kind).quantity, optional
    return kind or (_number if hint in (float, float | None) else str), optional


def _rows(path: Path) -> list[list[str]]:
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            rows = [[cell.strip() for cell in row] for row in csv.reader(file, strict=True)]
    except FileNotFoundError:
        raise TableError(f"{path} is missing; fetch it again: git restore data") from None
    except (OSError, UnicodeError, csv.Error) as error:
        raise TableError(
            f"{path} cannot be read ({error}); fetch it again: git restore data"
        ) from None
    return rows or [[]]


def _columns(path: Path, header: list[str], record: type[Record]) -> dict[str, _Column]:
    hints = get_type_hints(record, include_extras=True)
    expected = {item.name.replace("_", " "): item.name for item in fields(record)}
    columns, faults = {}, []
    for index, title in enumerate(header):
        name, _, unit = title.partition("[")
        name, unit = name.strip(), unit.removesuffix("]")
        if name not in expected:
            faults.append(f"the column {title!r} is not known")
        elif expected[name] in columns:
            faults.append(f"the column {title!r} is there twice")
        else:
            field = expected[name]
            columns[field] = _Column(index, title, unit, *_reader(hints[field]))
    missing = [repr(name) for name, field in expected.items() if field not in columns]
    if missing:
        faults.append(f"missing: {', '.join(missing)}")
    if faults:
        raise TableError(f"{path}, row 1: " + "; ".join(faults))
    return columns


def _read_cells(place: str, cells: list[str], columns: Mapping[str, _Column]) -> tuple[dict, list]:
    values, faults = {}, []
    for name, source in columns.items():
        try:
            values[name] = source.value(cells[source.index])
        except InputError as fault:
            faults.append(f'{place}, column "{source.header}": {fault}')
    return values, faults
