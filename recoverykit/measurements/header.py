"""The heading row: what parts the cells, which column is what, and in which unit."""

import csv
import math
import re
from dataclasses import dataclass

from recoverykit.measurements.source import FieldLogError
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import KINDS, InputError, Q

LONGEST_LINE = 5_000  # characters
HEADING_WITHIN = 20  # rows; above the heading there may be a title, a date, a name

_SEPARATORS = {";": "semicolons", "\t": "tabs", ",": "commas"}

# Words that people put over a column, as `_plain` leaves them.
_NAMES = {
    "speed": "speed|velocity|v|closing speed|pull speed|test speed|target speed|entry speed|"
    "geschwindigkeit|tempo|vitesse|velocidad",
    "peak": "peak|peak force|peak load|peak tension|peak pull|force|load|tension|max|max force|"
    "max load|maximum|load cell|reading|f|spitze|spitzenkraft|spitzenlast|höchstkraft|kraft|"
    "maximalkraft|force maximale|fuerza",
    "round": "round|matrix|series|set|reihe|serie|durchgang",
    "repeat": "repeat|rep|repetition|run|wiederholung|wdh|lauf",
    "note": "note|notes|comment|comments|remark|remarks|bemerkung|bemerkungen|notiz|anmerkung|"
    "kommentar",
}
_ROLES = {name: role for role, names in _NAMES.items() for name in names.split("|")}
KINDS_OF = {"speed": "speed", "peak": "force"}  # the two columns with a unit
_EXAMPLES = {"speed": Q(5, "km/h"), "peak": Q(20, "kN")}
HEADINGS = {"speed": '"speed [km/h]"', "peak": '"peak [kN]"'}


def split(line: str, separator: str) -> list[str]:
    """The cells of a line."""
    if '"' not in line:
        return line.split(separator)
    # One line at a time: a quote that is never closed must not swallow the rows below it.
    return next(csv.reader([line], delimiter=separator, skipinitialspace=True), [])


_LONGEST_TITLE = 100  # characters of a heading that are looked at
_IN_BRACKETS = re.compile(r"([^\[(]*)[\[(]([^\])]*).*")
_UNIT_LAST = re.compile(r"(.*?)[\s,_:]+(\S+)")


@dataclass(frozen=True)
class Column:
    """Where a column stands, and its unit as written ("" if each cell has its own) and in pint."""

    role: str
    index: int
    title: str
    written: str = ""
    unit: str = ""

    @property
    def example(self) -> str:
        """A plain number such as this column might hold."""
        value = _EXAMPLES[self.role].m_as(self.unit)
        return f"{round(value, 1 - math.floor(math.log10(value))):g}"


@dataclass(frozen=True)
class Heading:
    """The heading row: where it is, what parts its cells, and the columns that are read."""

    line: int
    separator: str
    cells: list[str]
    columns: dict[str, Column]
    remarks: tuple[str, ...]


def find_heading(lines: list[str]) -> Heading:
    """The first row with a speed and a peak, parted so that it has the most cells."""
    for number, line in enumerate(lines[:HEADING_WITHIN]):
        if len(line) <= LONGEST_LINE:
            ways = [(split(line, separator), separator) for separator in _SEPARATORS]
            ways = [(cells, separator) for cells, separator in ways if is_heading(cells)]
            if ways:
                return _read_heading(number, *max(ways, key=lambda way: len(way[0])))
    first = next((line.strip() for line in lines if line.strip()), "")
    begins = f"begins with {first!r:.60}" if first else "is empty"
    raise FieldLogError(
        f"no heading with a speed and a peak was found in the first {HEADING_WITHIN} rows (the "
        f"file {begins}); let its first row be for example "
        f'"speed [km/h],peak [kN],repeat,note"'
    )


def is_heading(cells: list[str]) -> bool:
    """Whether cells name a speed and a peak."""
    return KINDS_OF.keys() <= _places(cells).keys()


def _places(cells: list[str]) -> dict[str, int]:
    """Which column has which role; the first that fits has it."""
    places: dict[str, int] = {}
    for index, cell in enumerate(cells):
        role = _ROLES.get(_name_and_unit(cell)[0])
        if role is not None:
            places.setdefault(role, index)
    return places


def _name_and_unit(cell: str) -> tuple[str, str]:
    """Part "Peak force [lbf]", "peak (lbf)" or "peak_lbf" into name and unit."""
    cell = cell.strip(' "')[:_LONGEST_TITLE]
    parts = _IN_BRACKETS.fullmatch(cell)
    if parts is None and _plain(cell) not in _ROLES:
        parts = _UNIT_LAST.fullmatch(cell)
    name, unit = parts.groups() if parts else (cell, "")
    return _plain(name), unit.strip()


def _plain(name: str) -> str:
    return " ".join(re.sub("[_.:-]", " ", name.casefold()).split())


def _read_heading(number: int, cells: list[str], separator: str) -> Heading:
    cells = [cell.strip() for cell in cells]
    columns, remarks, faults = {}, [], []
    for role, index in _places(cells).items():
        written, unit = "", ""
        if role in KINDS_OF:
            try:
                written, unit, note = _read_unit(cells[index], role)
                remarks += [note] if note else []
            except InputError as fault:
                faults.append(f'row {number + 1}, column "{cells[index]}": {fault}')
        columns[role] = Column(role, index, cells[index], written, unit)
    if faults:
        raise FieldLogError("\n".join(faults))
    read = {column.index for column in columns.values()}
    if others := [cell for index, cell in enumerate(cells) if cell and index not in read]:
        remarks.append("columns that are not read: " + ", ".join(others)[:200])
    return Heading(number, separator, cells, columns, tuple(remarks))


def _read_unit(title: str, role: str) -> tuple[str, str, str]:
    """The unit in a heading as written and in pint, and in which sense it was taken."""
    written = _name_and_unit(title)[1]
    if not written:
        return "", KINDS[KINDS_OF[role]].metric, ""
    try:
        reading = read_quantity(f"1 {written}", KINDS_OF[role])
    except InputError as fault:
        raise InputError(f"{why(fault)}; write for example {HEADINGS[role]}") from None
    return written, str(reading.quantity.units), reading.note


def why(fault: InputError) -> str:
    """What `read_quantity` found wrong, without its advice, which is about a lone quantity."""
    return str(fault).partition("; write for example")[0]


def how_read(coding: str, heading: Heading) -> str:
    """How a file was taken: its coding, what parts its cells, and where its heading is."""
    return (
        f"read as {coding}, cells separated by {_SEPARATORS[heading.separator]}, "
        f"heading in row {heading.line + 1}"
    )
