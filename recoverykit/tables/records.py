"""Tables: the course's data, read from `data/` into typed records.

A table is a CSV file with a record class that names its columns: field `average_break` is the
column `average break`. Its unit stands in the header, `average break [kip]`, or in every cell,
"30,000 lbf". To add a table, write `data/<name>.csv`, write a record class like those below, and
ask for `table(ThatClass)`.
"""

import csv
import functools
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from types import NoneType
from typing import Annotated, ClassVar, TypeVar, get_args, get_origin, get_type_hints

from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import InputError

# A wheel has the tables beside this module, a checkout at its top.
_IN_WHEEL = Path(__file__).resolve().parent / "data"
DATA = _IN_WHEEL if _IN_WHEEL.is_dir() else Path(__file__).resolve().parents[2] / "data"

INVENTED = "invented"


class TableError(InputError):
    """A table is missing or damaged; the message says where."""


def _number(cell: str) -> float:
    return read_quantity(cell, "ratio").quantity.m_as("")


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


# --- reading ----------------------------------------------------------------------------


AnyRecord = TypeVar("AnyRecord", bound=Record)


def table(record: type[AnyRecord]) -> tuple[AnyRecord, ...]:
    """All rows of the table of a record class, read once.

    >>> from recoverykit.tables.marram_point import DemoVehicle
    >>> [str(vehicle.mass) for vehicle in table(DemoVehicle)][:2]
    ['3100.0 kg', '1850.0 kg']
    """
    return _read_once(DATA / record.file, record)


def find(record: type[AnyRecord], **wanted) -> AnyRecord:
    """The row of a table whose column has the wanted value.

    >>> from recoverykit.tables.marram_point import DemoVehicle
    >>> print(find(DemoVehicle, name="launch truck").mass)
    3100.0 kg
    >>> find(DemoVehicle, name="lunch truck")
    Traceback (most recent call last):
    ...
    recoverykit.units.quantities.InputError: demo_vehicles.csv has no row with name='lunch truck';
    there are
    'launch truck', 'crew car', 'boat carrier'
    """
    ((name, value),) = wanted.items()
    rows = {getattr(row, name): row for row in table(record)}
    if value not in rows:
        there = ", ".join(map(repr, rows))
        raise InputError(f"{record.file} has no row with {name}={value!r}; there are {there}")
    return rows[value]


def read_table(path: Path, record: type[AnyRecord]) -> tuple[AnyRecord, ...]:
    """Read a CSV file into records; raise one TableError that names every fault and its place."""
    header, *rows = _rows(path)
    columns = _columns(path, header, record)
    records, faults = [], []
    for row_number, cells in enumerate(rows, start=2):
        if not any(cells):
            continue
        place = f"{path}, row {row_number}"
        if len(cells) != len(header):
            faults.append(f"{place}: it has {len(cells)} cells, the heading has {len(header)}")
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


_read_once: Callable = functools.cache(read_table)


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
        raise TableError(f"{path} is missing; get a fresh copy of the course") from None
    except (OSError, UnicodeError, csv.Error) as error:
        raise TableError(
            f"{path} cannot be read ({error}); get a fresh copy of the course"
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
