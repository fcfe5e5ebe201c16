"""A log of pulls as a table of text: which column is what, and which rows may be pulls.

From a path or bytes to text, from there to lines, a heading, and the rows below it.
"""

import codecs
import csv
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from recoverykit.measurements.outliers import Finding
from recoverykit.units.files import read_file
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import KINDS, InputError, Q

MOST_BYTES = 20_000_000
MOST_ROWS = 200_000
LONGEST_LINE = 5_000  # characters
HEADING_WITHIN = 20  # rows; above the heading there may be a title, a date, a name
_LONGEST_TITLE = 100  # characters of a heading that are looked at

_NOT_TEXT = {
    (b"PK\x03\x04", b"\xd0\xcf\x11\xe0"): (
        "this is a workbook, not a CSV file; open it in the spreadsheet and save it as CSV"
    ),
    (b"%PDF", b"\x89PNG", b"\xff\xd8\xff", b"GIF8"): (
        "this is a picture or a PDF, not a CSV file; give the file in which the pulls were "
        "written down"
    ),
}
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

_IN_BRACKETS = re.compile(r"([^\[(]*)[\[(]([^\])]*).*")
_UNIT_LAST = re.compile(r"(.*?)[\s,_:]+(\S+)")


class FieldLogError(InputError):
    """The file cannot be used as a log of pulls at all; the message says what would do."""


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


@dataclass
class Table:
    """The rows that may be pulls, as text, and what was found wrong or odd on the way."""

    heading: Heading
    row: list[int] = field(default_factory=list)
    cells: list[list[str]] = field(default_factory=list)
    problems: list[Finding] = field(default_factory=list)
    warnings: list[Finding] = field(default_factory=list)

    def column(self, role: str) -> list[str]:
        """The cells below the heading of a column."""
        index = self.heading.columns[role].index
        return [cells[index] for cells in self.cells]


def read_table(source) -> tuple[Table, str]:
    """All rows of a file, or its bytes, that may be pulls; and how the file was taken."""
    text, coding = _decode(_load(source))
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    heading = _find_heading(lines)
    table = Table(heading)
    for row, cells in _rows(lines, heading, table.problems):
        table.row.append(row)
        table.cells.append(cells)
    return table, (
        f"read as {coding}, cells separated by {_SEPARATORS[heading.separator]}, "
        f"heading in row {heading.line + 1}"
    )


# --- text -------------------------------------------------------------------------------


def _load(source) -> bytes:
    """The bytes of a log, of which the path or they themselves are given."""
    is_bytes = isinstance(source, bytes | bytearray | memoryview)
    data = bytes(source) if is_bytes else _load_path(source)
    if len(data) > MOST_BYTES:
        raise FieldLogError(
            f"the file has more than {MOST_BYTES // 1_000_000} MB, too much for a log of pulls; "
            f"keep only the peaks, one row for each pull"
        )
    for beginnings, message in _NOT_TEXT.items():
        if data.startswith(beginnings):
            raise FieldLogError(message)
    return data


def _load_path(source) -> bytes:
    try:
        path = Path(source)
        if path.is_file():
            if not path.stat().st_size:
                return b""  # not opened: what the system writes while it is read may never end
            return read_file(path, MOST_BYTES, follow_links=True)
    except (OSError, ValueError, TypeError) as error:
        raise FieldLogError(
            f"{source!r:.200} cannot be opened ({error}); write the path of your CSV file"
        ) from None
    raise FieldLogError(f"{path!s:.200} is not a file; write the path of your CSV file")


def _decode(data: bytes) -> tuple[str, str]:
    """The text, and the name of the coding that it was taken for."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return data.decode("utf-16", errors="replace"), "UTF-16"
    try:
        return data.decode("utf-8-sig"), "UTF-8"
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace"), "cp1252"


def _split(line: str, separator: str) -> list[str]:
    """The cells of a line."""
    if '"' not in line:
        return line.split(separator)
    # One line at a time: a quote that is never closed must not swallow the rows below it.
    return next(csv.reader([line], delimiter=separator, skipinitialspace=True), [])


# --- the heading ------------------------------------------------------------------------


def _find_heading(lines: list[str]) -> Heading:
    """The first row with a speed and a peak, parted so that it has the most cells."""
    for number, line in enumerate(lines[:HEADING_WITHIN]):
        if len(line) <= LONGEST_LINE:
            splits = [(_split(line, separator), separator) for separator in _SEPARATORS]
            if splits := [each for each in splits if _is_heading(each[0])]:
                return _read_heading(number, *max(splits, key=lambda each: len(each[0])))
    first = next((line.strip() for line in lines if line.strip()), "")
    begins = f"begins with {first!r:.60}" if first else "is empty"
    raise FieldLogError(
        f"no heading with a speed and a peak was found in the first {HEADING_WITHIN} rows (the "
        f"file {begins}); let its first row be for example "
        f'"speed [km/h],peak [kN],repeat,note"'
    )


def _is_heading(cells: list[str]) -> bool:
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
        title, written, unit = cells[index], "", ""
        if role in KINDS_OF:
            written, unit = _name_and_unit(title)[1], KINDS[KINDS_OF[role]].metric
        if written:
            try:
                reading = read_quantity(f"1 {written}", KINDS_OF[role])
            except InputError as fault:
                faults.append(
                    f'row {number + 1}, column "{title}": {why(fault)}; '
                    f"write for example {HEADINGS[role]}"
                )
                continue
            unit = str(reading.quantity.units)
            remarks += [reading.note] if reading.note else []
        columns[role] = Column(role, index, title, written, unit)
    if faults:
        raise FieldLogError("\n".join(faults))
    read = {column.index for column in columns.values()}
    if others := [cell for index, cell in enumerate(cells) if cell and index not in read]:
        remarks.append("columns that are not read: " + ", ".join(others)[:200])
    return Heading(number, separator, cells, columns, tuple(remarks))


def why(fault: InputError) -> str:
    """What `read_quantity` found wrong, without its advice, which is about a lone quantity."""
    return str(fault).partition("; write for example")[0]


# --- the rows ---------------------------------------------------------------------------


def _rows(lines: list[str], heading: Heading, problems: list[Finding]) -> Iterator:
    """Each row that may be a pull: its number, and as many cells as the heading has."""
    blank = heading.separator + ' \t"'
    width, speed = len(heading.cells), heading.columns["speed"].index
    first = heading.line + 1
    count = 0
    for number, line in enumerate(lines[first:], start=first + 1):
        if not line.strip(blank):
            continue
        count += 1
        if count > MOST_ROWS:
            raise FieldLogError(
                f"the file has more than {MOST_ROWS:,} rows, too many for a log of pulls; keep "
                f"only the peaks, one row for each pull"
            )
        cells = _split(line, heading.separator) if len(line) <= LONGEST_LINE else []
        # Nearly every row is a plain one; only the others need a closer look.
        if len(cells) == width and cells[speed][:1].isdigit():
            yield number, cells
            continue
        cells = _repaired(cells, line, heading)
        if fault := _row_fault(cells, line, heading):
            problems.append(Finding(number, "the whole row", f"{line.strip():.60}", *fault))
            if fault is _OTHER_HEADING:
                return
        else:
            yield number, cells


def _repaired(cells: list[str], line: str, heading: Heading) -> list[str]:
    """The cells of a row as they are probably meant, if they are not as many as the heading's."""
    width = len(heading.cells)
    if len(cells) == width:
        return cells
    if '"' in line and len(cells) < width:
        # A quote that opens and is never closed is a slip.
        cells = line.replace('"', "").split(heading.separator)
    if not any(cell.strip() for cell in cells[width:]):
        cells = cells[:width]
    note = heading.columns.get("note")
    if len(cells) > width and note is not None and note.index == width - 1:
        text = heading.separator.join(cells[note.index :])
        # A number under "note" means that the cells are shifted, by a decimal comma perhaps.
        if not text.strip()[:1].isdigit():
            cells = [*cells[: note.index], text]
    return cells + [""] * (width - len(cells))


_OTHER_HEADING = (
    "is another heading, and the rows below it are not read",
    "put them into a file of their own",
)


def _row_fault(cells: list[str], line: str, heading: Heading) -> tuple[str, str] | None:
    """Why a row as a whole cannot be a pull, and what would do."""
    if len(line) > LONGEST_LINE:
        return f"and more, has {len(line):,} characters", "shorten its note"
    if len(cells) > len(heading.cells):
        return (
            f"has {len(cells)} cells under a heading of {len(heading.cells)}",
            "if that is a decimal comma, write a point, or part the cells by semicolons",
        )
    speed, peak = (cells[heading.columns[role].index].strip() for role in KINDS_OF)
    if not peak and not any(letter.isdigit() for letter in speed):
        return (
            "has neither a speed nor a peak",
            "if it is the rest of a note, keep each note on one line",
        )
    if speed[:1].isalpha() and _is_heading(cells):
        if [cell.strip() for cell in cells] == heading.cells:
            return "is the heading once more", "delete this row"
        return _OTHER_HEADING
    return None
