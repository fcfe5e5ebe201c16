"""Field log: reads measured pulls from the file in which they were written down.

Nothing is lost without a word: a row that cannot be read becomes a problem with its place, a row
that can be read but looks wrong becomes a suspicion, and the file on disk is never changed.
"""

import codecs
import csv
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from recoverykit.plausibility import Finding
from recoverykit.pulllog import PullLog, counted
from recoverykit.units import KINDS, InputError, Q, display, read_quantity

MOST_BYTES = 20_000_000
MOST_ROWS = 200_000
LONGEST_LINE = 5_000  # characters
HEADING_WITHIN = 20  # rows; above the heading there may be a title, a date, a name

_PICTURES = (b"%PDF", b"\x89PNG", b"\xff\xd8\xff", b"GIF8")

_SEPARATORS = {";": "semicolons", "\t": "tabs", ",": "commas"}

# Words that people put over a column, as `_plain` leaves them.
_NAMES = {
    "speed": "speed|velocity|v|closing speed|pull speed|test speed|target speed|entry speed|"
    "geschwindigkeit|tempo|vitesse|velocidad",
    "peak": "peak|peak force|peak load|peak tension|peak pull|force|load|tension|max|max force|"
    "max load|maximum|load cell|reading|f|spitze|spitzenkraft|spitzenlast|höchstkraft|kraft|"
    "maximalkraft|force maximale|fuerza",
    "matrix": "matrix|series|set|round|reihe|serie|durchgang",
    "repeat": "repeat|rep|repetition|run|wiederholung|wdh|lauf",
    "note": "note|notes|comment|comments|remark|remarks|bemerkung|bemerkungen|notiz|anmerkung|"
    "kommentar",
}
_ROLES = {name: role for role, names in _NAMES.items() for name in names.split("|")}
_KINDS = {"speed": "speed", "peak": "force"}  # the two columns with a unit
_EXAMPLES = {"speed": Q(5, "km/h"), "peak": Q(20, "kN")}
_HEADINGS = {"speed": '"speed [km/h]"', "peak": '"peak [kN]"'}

_TEMPLATE_SPEEDS = {"metric": range(2, 8), "US": range(1, 6)}


class FieldLogError(InputError):
    """The file cannot be used as a log of pulls at all; the message says what would do."""


def read_log(source, full_scale=None) -> PullLog:
    r"""Read a log of pulls as people write it, and say what became of every row.

    `source` is the path of a CSV file, or its bytes. The file has a heading row with units, for
    example `speed [km/h], peak [lbf], repeat, note`; rows above it and other columns are left
    alone. Cells are parted by commas, semicolons or tabs; decimals have a point or a comma;
    text is UTF-8, UTF-16 or cp1252; blank lines do not matter. A cell may carry its own unit,
    "38 kN". `matrix` (or `repeat`) numbers the series of speeds. `full_scale` is the most that
    the meter can show.

    Rows that cannot be read become `problems`, rows that look wrong `suspicions`; all other rows
    are kept and the file is not changed. Raises FieldLogError if the file cannot be used at all:
    not there, not text, more than 20 MB or 200,000 rows, no heading, no unit, no pull.

    >>> log = read_log(b"speed [km/h];peak [kN];note\n2,5;8,5;\n3;1O.2;windy\n4;14;\n")
    >>> print(log.summary)
    2 pulls at 2 speeds, from 2.5 km/h to 4.0 km/h. 1 place could not be read.
    >>> print(*log.problems)
    row 3, column "peak [kN]": "1O.2" cannot be read: the unit 'O.2' is not known for a force;
    write a plain number such as 20
    """
    text, coding = _decode(_load(source))
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    heading = _find_heading(lines)
    table = _read_rows(lines, heading)
    matrix, note = _read_matrix(table), _read_notes(table)
    mark, mark_remarks = _decimal_mark(table)
    speed, peak = (_read_numbers(table, role, mark) for role in _KINDS)
    problems, doubts = (
        sorted(findings, key=lambda finding: finding.row)
        for findings in (table.problems, table.doubts)
    )
    good = np.flatnonzero(~np.isnan(speed) & ~np.isnan(peak)).tolist()
    if not good:
        raise FieldLogError(_no_pull(heading, problems))
    row, matrix, note = (
        values and [values[index] for index in good] for values in (table.row, matrix, note)
    )
    read = set(row)
    return PullLog(
        speed=Q(speed[good], heading.columns["speed"].unit),
        peak=Q(peak[good], heading.columns["peak"].unit),
        matrix=matrix,
        note=note,
        row=row,
        full_scale=full_scale,
        problems=tuple(problems),
        doubts=tuple(finding for finding in doubts if finding.row in read),
        remarks=(_how_read(coding, heading), *heading.remarks, *mark_remarks),
    )


def write_template(path, decimal_comma: bool = False) -> Path:
    """Write an empty log to fill in, with a ladder of speeds pulled twice; give its path.

    Units are those of the display system in force. With `decimal_comma` the cells are parted by
    semicolons, as spreadsheets with a decimal comma want it. Raises FieldLogError if there is
    such a file already (it is not touched), or if the folder cannot be written.

    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     print(write_template(Path(folder) / "pulls.csv").read_text().splitlines()[:2])
    ['speed [km/h],peak [kN],repeat,note', '2,,1,']
    """
    path = Path(path)
    system = display.system
    heading = [f"speed [{system.symbol('speed')}]", f"peak [{system.symbol('force')}]"]
    rows = [[speed, "", matrix, ""] for matrix in (1, 2) for speed in _TEMPLATE_SPEEDS[system.name]]
    try:
        with path.open("x", newline="", encoding="utf-8") as file:
            writer = csv.writer(file, delimiter=";" if decimal_comma else ",")
            writer.writerows([[*heading, "repeat", "note"], *rows])
    except FileExistsError:
        raise FieldLogError(
            f"{path} is there already and stays as it is; give another name"
        ) from None
    except (OSError, ValueError) as error:
        raise FieldLogError(
            f"{path!s:.200} cannot be written ({error}); give another place"
        ) from None
    return path


# --- from the file to lines of text -----------------------------------------------------


def _load(source) -> bytes:
    if isinstance(source, bytes | bytearray | memoryview):
        data = bytes(source)
    else:
        data = _load_path(source)
    if len(data) > MOST_BYTES:
        raise FieldLogError(
            f"the file has more than {MOST_BYTES // 1_000_000} MB, too much for a log of pulls; "
            f"keep only the peaks, one row for each pull"
        )
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise FieldLogError(
            "this is a workbook, not a CSV file; open it in the spreadsheet and save it as CSV"
        )
    if data.startswith(_PICTURES):
        raise FieldLogError(
            "this is a picture or a PDF, not a CSV file; give the file in which the pulls were "
            "written down"
        )
    return data


def _load_path(source) -> bytes:
    try:
        path = Path(source)
        if path.is_file():
            with path.open("rb") as file:
                return file.read(MOST_BYTES + 1)
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
    if '"' not in line:
        return line.split(separator)
    # One line at a time: a quote that is never closed must not swallow the rows below it.
    return next(csv.reader([line], delimiter=separator, skipinitialspace=True), [])


# --- the heading ------------------------------------------------------------------------

_LONGEST_TITLE = 100  # characters of a heading that are looked at
_IN_BRACKETS = re.compile(r"([^\[(]*)[\[(]([^\])]*).*")
_UNIT_LAST = re.compile(r"(.*?)[\s,_:]+(\S+)")


@dataclass(frozen=True)
class _Column:
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
class _Heading:
    """The heading row: where it is, what parts its cells, and the columns that are read."""

    line: int
    separator: str
    cells: list[str]
    columns: dict[str, _Column]
    remarks: tuple[str, ...]


def _find_heading(lines: list[str]) -> _Heading:
    for number, line in enumerate(lines[:HEADING_WITHIN]):
        if len(line) <= LONGEST_LINE:
            ways = [(_split(line, separator), separator) for separator in _SEPARATORS]
            ways = [(cells, separator) for cells, separator in ways if _is_heading(cells)]
            if ways:
                return _read_heading(number, *max(ways, key=lambda way: len(way[0])))
    first = next((line.strip() for line in lines if line.strip()), "")
    raise FieldLogError(
        f"no heading with a speed and a peak was found in the first {HEADING_WITHIN} rows (the "
        f"file begins with {first!r:.60}); let its first row be for example "
        f'"speed [km/h],peak [kN],repeat,note"'
    )


def _is_heading(cells: list[str]) -> bool:
    return _KINDS.keys() <= _places(cells).keys()


def _places(cells: list[str]) -> dict[str, int]:
    """Which column has which role; the first that fits has it."""
    places = {}
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


def _read_heading(number: int, cells: list[str], separator: str) -> _Heading:
    cells = [cell.strip() for cell in cells]
    columns, remarks, faults = {}, [], []
    for role, index in _places(cells).items():
        written, unit = "", ""
        if role in _KINDS:
            try:
                written, unit, note = _read_unit(cells[index], role)
                remarks += [note] if note else []
            except InputError as fault:
                faults.append(f'row {number + 1}, column "{cells[index]}": {fault}')
        columns[role] = _Column(role, index, cells[index], written, unit)
    if faults:
        raise FieldLogError("\n".join(faults))
    read = {column.index for column in columns.values()}
    if others := [cell for index, cell in enumerate(cells) if cell and index not in read]:
        remarks.append("columns that are not read: " + ", ".join(others)[:200])
    return _Heading(number, separator, cells, columns, tuple(remarks))


def _read_unit(title: str, role: str) -> tuple[str, str, str]:
    """The unit in a heading as written and in pint, and in which sense it was taken."""
    written = _name_and_unit(title)[1]
    if not written:
        return "", KINDS[_KINDS[role]].metric, ""
    try:
        reading = read_quantity(f"1 {written}", _KINDS[role])
    except InputError as fault:
        raise InputError(f"{_why(fault)}; write for example {_HEADINGS[role]}") from None
    return written, str(reading.quantity.units), reading.note


def _why(fault: InputError) -> str:
    """What `read_quantity` found wrong, without its advice, which is about a lone quantity."""
    return str(fault).partition("; write for example")[0]


def _how_read(coding: str, heading: _Heading) -> str:
    return (
        f"read as {coding}, cells parted by {_SEPARATORS[heading.separator]}, "
        f"heading in row {heading.line + 1}"
    )


def _no_pull(heading: _Heading, problems: list[Finding]) -> str:
    if not problems:
        return "there is no pull below the heading; write one row for each pull, with its peak"
    lines = [f"no pull could be read ({counted(len(problems), 'problem')}):", *problems[:5]]
    for role in _KINDS:
        if not heading.columns[role].written:
            title = heading.columns[role].title
            lines.append(f'the heading "{title}" has no unit; write for example {_HEADINGS[role]}')
    return "\n".join(map(str, lines))


# --- the rows below it, still as text ---------------------------------------------------

_LONE_NUMBER = re.compile(r"[0-9.,]+")
_SMALL_NUMBER = re.compile(r"\s*([1-9][0-9]?)(?:[.,]0*)?\s*")


@dataclass
class _Table:
    """The rows that may be pulls, as text, and what was found wrong or odd on the way."""

    heading: _Heading
    row: list[int] = field(default_factory=list)
    cells: list[list[str]] = field(default_factory=list)
    problems: list[Finding] = field(default_factory=list)
    doubts: list[Finding] = field(default_factory=list)

    def column(self, role: str) -> list[str]:
        """The cells below the heading of a column."""
        index = self.heading.columns[role].index
        return [cells[index] for cells in self.cells]


def _read_rows(lines: list[str], heading: _Heading) -> _Table:
    table = _Table(heading)
    for row, cells in _rows(lines, heading, table.problems):
        table.row.append(row)
        table.cells.append(cells)
    return table


def _rows(lines: list[str], heading: _Heading, problems: list[Finding]) -> Iterator:
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
        cells = _mended(cells, line, heading)
        if fault := _row_fault(cells, line, heading):
            problems.append(Finding(number, "the whole row", f"{line.strip():.60}", *fault))
            if fault is _OTHER_HEADING:
                return
        else:
            yield number, cells


def _mended(cells: list[str], line: str, heading: _Heading) -> list[str]:
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


def _row_fault(cells: list[str], line: str, heading: _Heading) -> tuple[str, str] | None:
    """Why a row as a whole cannot be a pull, and what would do."""
    if len(line) > LONGEST_LINE:
        return f"and more, has {len(line):,} characters", "shorten its note"
    if len(cells) > len(heading.cells):
        return (
            f"has {len(cells)} cells under a heading of {len(heading.cells)}",
            "if that is a decimal comma, write a point, or part the cells by semicolons",
        )
    speed, peak = (cells[heading.columns[role].index].strip() for role in _KINDS)
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


def _read_matrix(table: _Table) -> list[int] | None:
    """The matrix of each row, 0 where it is not a whole number; None without such a column."""
    columns = table.heading.columns
    role = next((role for role in ("matrix", "repeat") if role in columns), None)
    if role is None:
        return None
    cells = table.column(role)
    number = {cell: _whole_number(cell) for cell in set(cells)}
    for row, cell in zip(table.row, cells, strict=True):
        if number[cell] == 0 and cell.strip():
            fault = "is not a whole number from 1 to 99; the order of the rows is counted instead"
            remedy = "write 1 when a speed was pulled for the first time, 2 for the second"
            finding = Finding(row, columns[role].title, f"{cell.strip():.60}", fault, remedy)
            table.doubts.append(finding)
    return [number[cell] for cell in cells]


def _whole_number(cell: str) -> int:
    parts = _SMALL_NUMBER.fullmatch(cell)
    return int(parts[1]) if parts else 0


def _read_notes(table: _Table) -> list[str] | None:
    if "note" not in table.heading.columns:
        return None
    notes = [cell.strip() for cell in table.column("note")]
    for row, note in zip(table.row, notes, strict=True):
        if note[:1].isdigit() and _LONE_NUMBER.fullmatch(note):
            fault = "is a number where a note should be: the cells of this row may be shifted"
            remedy = "if a decimal comma did that, write a point, or part the cells by semicolons"
            title = table.heading.columns["note"].title
            table.doubts.append(Finding(row, title, f"{note:.60}", fault, remedy))
    return notes


# --- numbers ----------------------------------------------------------------------------

# A number whose decimal mark M can be told from the grouping mark O by looking at it alone.
_TELLING = (
    r"^ *(?:\d*M(?:\d{0,2}|\d{4,})|\d{4,}M\d*|0?M\d+|[1-9]\d{0,2}(?:O\d{3})+M\d*"
    r"|[1-9]\d{0,2}(?:O\d{3}){2,}) *(?:[^\d., \n].*)?$"
)
_POINT = re.compile(_TELLING.replace("M", r"\.").replace("O", ","), re.MULTILINE)
_COMMA = re.compile(_TELLING.replace("M", ",").replace("O", r"\."), re.MULTILINE)
_EITHER = re.compile(r"^ *([1-9]\d{0,2})([.,])(\d{3})(?![\d.,])", re.MULTILINE)

_PLAIN = {
    ".": re.compile(r" *[0-9]{1,9}(?:\.[0-9]{0,9})? *"),
    ",": re.compile(r" *[0-9]{1,9}(?:,[0-9]{0,9})? *"),
    None: re.compile(r" *[0-9]{1,9} *"),
}
_DIGITS = {mark: re.compile(f"[0-9 \n{mark or ''}]*") for mark in _PLAIN}
_EXPONENT = re.compile(r"(?<=\d)e(?=[+-]?\d)", re.IGNORECASE)
_GROUPED_BY_POINTS = re.compile(r"([1-9]\d{0,2}(?:\.\d{3})+)(,\d*)?(?![\d.,])")


def _decimal_mark(table: _Table) -> tuple[str | None, tuple[str, ...]]:
    """The decimal mark of the whole file, since "1.250" alone can mean 1250 or 1.25.

    Semicolons go with a decimal comma, commas with a decimal point, unless the contrary shows in
    more cells than agree, and in more than a slip or two. None where it cannot be told.
    """
    separator = table.heading.separator
    text = "\n".join(table.column("speed") + table.column("peak"))
    if "," not in text and ("." not in text or separator == ","):
        return ".", ()
    count = {".": len(_POINT.findall(text)), ",": len(_COMMA.findall(text))}
    either = list(_EITHER.finditer(text))
    if separator == "\t":
        mark = max(count, key=count.get) if count["."] != count[","] else None
    else:
        usual, other = (",", ".") if separator == ";" else (".", ",")
        slips = max(1, len(either) // 4)
        mark = other if count[other] > max(count[usual], slips) else usual
    if mark is None or not either:
        return mark, ()
    whole, between, rest = either[0].groups()
    value = f"{whole}.{rest}" if between == mark else whole + rest
    return mark, (f'numbers such as "{whole}{between}{rest}" are read as {value}',)


def _read_numbers(table: _Table, role: str, mark: str | None) -> np.ndarray:
    """The numbers of a column in its unit, NaN where a cell cannot be used."""
    column, cells = table.heading.columns[role], table.column(role)
    faults = {}
    values = _all_plain(cells, mark) if column.written else None
    if values is None:
        values = np.full(len(cells), np.nan)
        for index, cell in enumerate(cells):
            try:
                values[index] = _read_cell(index, cell, column, mark, table)
            except InputError as fault:
                faults[index] = str(fault)
    kind = KINDS[_KINDS[role]]
    too_large = values * Q(1, column.unit).m_as(kind.si) > kind.largest
    faults |= dict.fromkeys(np.flatnonzero(too_large).tolist(), f"is too large for {kind.article}")
    if role == "peak":
        faults |= dict.fromkeys(np.flatnonzero(values == 0).tolist(), "is no pull at all")
    remedy = f"write a plain number such as {column.example}"
    for index, fault in faults.items():
        values[index] = np.nan
        found = f"{cells[index].strip():.60}"
        table.problems.append(Finding(table.row[index], column.title, found, fault, remedy))
    return values


def _all_plain(cells: list[str], mark: str | None) -> np.ndarray | None:
    """The numbers of a column that holds nothing but plain ones, all at once; or else None."""
    text = "\n".join(cells)
    if not _DIGITS[mark].fullmatch(text):
        return None
    try:
        return np.fromiter(map(float, text.replace(",", ".").split("\n")), float)
    except ValueError:
        return None


def _read_cell(index: int, cell: str, column: _Column, mark: str | None, table: _Table) -> float:
    """Read one number; the unit of the heading holds, unless the cell has its own."""
    if column.written and _PLAIN[mark].fullmatch(cell):
        return float(cell.replace(",", "."))
    text = " ".join(cell.split())
    kind = _KINDS[column.role]
    if not text:
        raise InputError("is empty")
    if mark is None and (either := _EITHER.match(text)):
        whole, between, rest = either.groups()
        raise InputError(f"can mean {whole}{rest} or {whole}.{rest}: leave out the {between!r}")
    text = _with_point(text, mark)
    own_unit = any(letter.isalpha() for letter in _EXPONENT.sub("", text))
    try:
        return read_quantity(f"{text} {column.written}", kind).quantity.m_as(column.unit)
    except InputError as fault:
        if not own_unit:
            raise InputError(f"cannot be read: {_why(fault)}") from None
    try:
        reading = read_quantity(text, kind)
    except InputError as fault:
        raise InputError(f"cannot be read: {_why(fault)}") from None
    if column.written:
        fault = f"has a unit of its own, and was read as {reading.quantity:g~P}"
        remedy = f"write it in {column.written} like the other rows"
        finding = Finding(table.row[index], column.title, text, fault, remedy)
        table.doubts.append(finding)
    return reading.quantity.m_as(column.unit)


def _with_point(text: str, mark: str | None) -> str:
    """The same number with a decimal point, and its groups of digits as `read_quantity` takes."""
    if mark != ",":
        return text
    if grouped := _GROUPED_BY_POINTS.match(text):
        whole, rest = grouped.groups()
        point = (rest or "").replace(",", ".")
        return whole.replace(".", "") + point + text[grouped.end() :]
    return text.replace(",", ".") if text.count(",") == 1 and "." not in text else text
