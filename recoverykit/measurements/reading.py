"""Field log: reads measured pulls from the file in which they were written down.

Nothing is lost without a word: a row that cannot be read becomes a problem with its place, a row
that can be read but looks wrong becomes an outlier, and the file on disk is never changed.
"""

import csv
import io
import math
import re
from collections.abc import Mapping

import numpy as np

from recoverykit.measurements.log_table import (
    HEADINGS,
    KINDS_OF,
    Chosen,
    Column,
    FieldLogError,
    Table,
    UnknownColumnsError,
    read_table,
    why,
)
from recoverykit.measurements.outliers import Finding, by_row
from recoverykit.measurements.pull_log import PullLog
from recoverykit.units.parsing import read_quantity, reads_as
from recoverykit.units.quantities import KINDS, InputError, Q, display
from recoverykit.units.text import counted
from recoverykit.units.validation import from_si

_TEMPLATE_SPEEDS = {"metric": range(2, 8), "US": range(1, 6)}


def read_log(source, full_scale=None, chosen: Mapping[str, Chosen] | None = None) -> PullLog:
    r"""Read a log of pulls as people write it, and say what became of every row.

    `source` is the path of a CSV file, or its bytes. The file has a heading row with units, for
    example `speed [km/h], peak [lbf], repeat, note`; rows above it and other columns are left
    alone. Cells are separated by commas, semicolons or tabs; decimals have a point or a comma;
    text is UTF-8, UTF-16 or cp1252; blank lines do not matter. A cell may carry its own unit,
    "38 kN". `round` (or `repeat`) numbers the rounds of speeds. `full_scale` is the most that the
    meter can show. Rounds may also stand side by side: "Peak 1", "Peak 2"; then row 5 of the
    second round counts as row 205. `chosen` says which column is which, whatever the headings say.

    Rows that cannot be read become `problems`, rows that look wrong `outliers`; all other rows
    are kept and the file is not changed. Raises FieldLogError if the file cannot be used at all:
    not there, not text, more than 20 MB or 200,000 rows, no pull; UnknownColumnsError if it is not
    known which column is which: no heading, no unit, speeds and peaks that look swapped.

    >>> log = read_log(b"speed [km/h];peak [kN];note\n2,5;8,5;\n3;1O.2;windy\n4;14;\n")
    >>> print(log.summary)
    2 pulls at 2 speeds, from 2.5 km/h to 4.0 km/h. 1 place could not be read.
    >>> print(*log.problems)
    row 3, column "peak [kN]": "1O.2" cannot be read: the unit 'O.2' is not known for a force;
    write a plain number such as 20
    """
    table, how_read = read_table(source, chosen)
    heading = table.heading
    mark, mark_remarks = _decimal_mark(table)
    if not chosen:
        _refuse_swapped(table)
    first, *numbers = zip(*_read_pairs(table, mark), strict=True)
    notes = _read_notes(table) * len(first)
    speeds, peaks = heading.rounds[0]
    row = np.add.outer(first, table.row).ravel()
    if len(first) == 1:
        round_number = np.array(_read_rounds(table))
    else:
        round_number = np.repeat(np.arange(1, len(first) + 1), len(table.row))
    speed, peak = map(np.concatenate, numbers)
    problems = by_row(dict.fromkeys(table.problems))
    good = np.flatnonzero(~np.isnan(speed) & ~np.isnan(peak))
    if not good.size:
        raise _no_pull(table, problems)
    row = row[good]
    kept = set(row.tolist())
    return PullLog(
        speed=Q(speed[good], speeds.unit),
        peak=Q(peak[good], peaks.unit),
        round_number=round_number[good],
        note=tuple(notes[index] for index in good),
        row=row,
        full_scale=full_scale,
        problems=problems,
        warnings=by_row(finding for finding in table.warnings if finding.row in kept),
        remarks=(how_read, *heading.remarks, *mark_remarks, *table.remarks),
    )


def empty_log(decimal_comma: bool = False) -> bytes:
    """The bytes of a log to fill in, with a ladder of speeds pulled twice.

    Units are those of the display system in force. With `decimal_comma` the cells are separated by
    semicolons, as spreadsheets with a decimal comma want it.

    >>> empty_log().decode().splitlines()[:2]
    ['speed [km/h],peak [kN],repeat,note', '2,,1,']
    """
    system = display.system
    heading = [f"speed [{system.symbol('speed')}]", f"peak [{system.symbol('force')}]"]
    rows = [
        [speed, "", round_number, ""]
        for round_number in (1, 2)
        for speed in _TEMPLATE_SPEEDS[system.name]
    ]
    text = io.StringIO()
    writer = csv.writer(text, delimiter=";" if decimal_comma else ",")
    writer.writerows([[*heading, "repeat", "note"], *rows])
    return text.getvalue().encode()


def _no_pull(table: Table, problems: tuple[Finding, ...]) -> FieldLogError:
    if not problems:
        return FieldLogError(
            "there is no pull below the heading; write one row for each pull, with its peak"
        )
    without_unit = {
        f'the heading "{column.title}" has no unit; write for example {HEADINGS[column.role]}': None
        for pair in table.heading.rounds
        for column in pair
        if not column.written
    }
    if without_unit:
        return UnknownColumnsError("\n".join(without_unit), table.preview)
    lines = []
    for title in dict.fromkeys(problem.column for problem in problems):
        first, *others = (problem for problem in problems if problem.column == title)
        more = f"; and so in {counted(len(others), 'more row')}" if others else ""
        lines.append(f"no pull could be read: {first}{more}")
    return FieldLogError("\n".join(lines))


# --- rounds side by side, and columns the wrong way round -----------------------------------


def _read_pairs(table: Table, mark: str | None) -> list[tuple[int, np.ndarray, np.ndarray]]:
    """What the rows of each round count from; its speeds and peaks, in the units of the first.

    Of one peak in two units only the first is read.
    """
    first, *others = table.heading.rounds
    rounds = [(0, _read_numbers(table, first[0], mark), _read_numbers(table, first[1], mark))]
    base = max(100, 10 ** len(str(max(table.row, default=0))))
    for number, (speeds, peaks) in enumerate(others, 2):
        shift = number * base
        speed = rounds[0][1]
        if speeds.index != first[0].index:
            speed = _read_numbers(table, speeds, mark, shift) * _ratio(speeds, first[0])
        peak = _read_numbers(table, peaks, mark, shift) * _ratio(peaks, first[1])
        with np.errstate(invalid="ignore"):
            off = np.abs(peak / rounds[0][2] - 1)
        if peaks.unit != first[1].unit and np.nanmedian([*off, np.inf]) < _SAME_IN_TWO_UNITS:
            table.remarks.append(
                f'"{peaks.title}" says the same as "{first[1].title}", and counts once'
            )
            return rounds
        rounds.append((shift, speed, peak))
    if others:
        table.remarks.append(
            f"{len(rounds)} rounds stand side by side: row 5 of round 2 is called row "
            f"{2 * base + 5}"
        )
    return rounds


def _ratio(column: Column, other: Column) -> float:
    return Q(1.0, column.unit).m_as(other.unit)


_SAME_IN_TWO_UNITS = 0.02  # relative: two columns that differ by less are one
# km/h: most pulls in a log are slower, for the usual ceiling of a run-up is 8 km/h (own estimate).
_FASTER_THAN_PULLS = 12.0


def _refuse_swapped(table: Table) -> None:
    """Raise UnknownColumnsError where speeds seem to stand under the peaks, and peaks under speed.

    Nothing is exchanged unasked: a log of very fast pulls may look alike.
    """
    columns = table.heading.rounds[0]
    cells = [[cell.strip() for cell in table.column(column)] for column in columns]
    per_unit = Q(1.0, columns[0].unit).m_as("km/h")
    speeds, peaks = (per_unit * _middle(each) for each in cells)
    by_size = speeds > _FASTER_THAN_PULLS > peaks
    by_unit = all(
        any(map(str.strip, each)) and all(reads_as(cell, kind) for cell in each[:20] if cell)
        for each, kind in zip(cells, ("force", "speed"), strict=True)
    )
    if by_size or by_unit:
        titles = [f'"{column.title}"' for column in columns]
        raise UnknownColumnsError(
            f"swapped? What stands under {titles[0]} looks like peaks, and what stands under "
            f"{titles[1]} like speeds; put each under its own heading",
            table.preview,
        )


def _middle(cells: list[str]) -> float:
    numbers = [float(cell.replace(",", ".")) for cell in cells if _ANY_PLAIN.fullmatch(cell)]
    return float(np.median(numbers)) if numbers else math.nan


# --- rounds and notes -------------------------------------------------------------------

_LONE_NUMBER = re.compile(r"[0-9.,]+")
_SMALL_NUMBER = re.compile(r"\s*([1-9][0-9]?)(?:[.,]0*)?\s*")


def _read_rounds(table: Table) -> list[int]:
    """The round of each row, 0 where there is no whole number."""
    columns = table.heading.columns
    role = next((role for role in ("round", "repeat") if role in columns), None)
    if role is None:
        return [0] * len(table.row)
    cells = table.column(columns[role])
    number = {cell: _whole_number(cell) for cell in set(cells)}
    for row, cell in zip(table.row, cells, strict=True):
        if number[cell] == 0 and cell.strip():
            fault = "is not a whole number from 1 to 99; the order of the rows is counted instead"
            remedy = "write 1 when a speed was pulled for the first time, 2 for the second"
            finding = Finding(row, columns[role].title, f"{cell.strip():.60}", fault, remedy)
            table.warnings.append(finding)
    return [number[cell] for cell in cells]


def _whole_number(cell: str) -> int:
    parts = _SMALL_NUMBER.fullmatch(cell)
    return int(parts[1]) if parts else 0


def _read_notes(table: Table) -> list[str]:
    """The note of each row, empty without such a column."""
    if "note" not in table.heading.columns:
        return [""] * len(table.row)
    notes = [cell.strip() for cell in table.column(table.heading.columns["note"])]
    for row, note in zip(table.row, notes, strict=True):
        if note[:1].isdigit() and _LONE_NUMBER.fullmatch(note):
            fault = "is a number where a note should be: the cells of this row may be shifted"
            remedy = "if a decimal comma did that, write a point, or part the cells by semicolons"
            title = table.heading.columns["note"].title
            table.warnings.append(Finding(row, title, f"{note:.60}", fault, remedy))
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
    ".": re.compile(r" *[0-9]+(?:\.[0-9]*)? *"),
    ",": re.compile(r" *[0-9]+(?:,[0-9]*)? *"),
    None: re.compile(r" *[0-9]+ *"),
}
_ANY_PLAIN = re.compile(r"[0-9]+(?:[.,][0-9]*)?")
_ROUGHLY = re.compile(
    r"^ *(?:~|≈|±|(?:ca|circa|app?rox|about|around|roughly|etwa|env|environ)\b\.?) *",
    re.IGNORECASE,
)
_ROUGH_REMARK = 'numbers marked as rough ("~", "ca.") are read as they stand'
_EXPONENT = re.compile(r"(?<=\d)e(?=[+-]?\d)", re.IGNORECASE)
_GROUPED_BY_POINTS = re.compile(r"([1-9]\d{0,2}(?:\.\d{3})+)(,\d*)?(?![\d.,])")


def _decimal_mark(table: Table) -> tuple[str | None, tuple[str, ...]]:
    """The decimal mark of the whole file, since "1.250" alone can mean 1250 or 1.25.

    Semicolons go with a decimal comma, commas with a decimal point, unless the contrary shows in
    more cells than agree, and in more than a slip or two. None where it cannot be told.
    """
    separator = table.heading.separator
    columns = dict.fromkeys(column for pair in table.heading.rounds for column in pair)
    text = "\n".join(cell for column in columns for cell in table.column(column))
    if "," not in text and ("." not in text or separator == ","):
        return ".", ()
    count = {".": len(_POINT.findall(text)), ",": len(_COMMA.findall(text))}
    either = list(_EITHER.finditer(text))
    if separator == "\t":
        mark = max(count, key=lambda mark: count[mark]) if count["."] != count[","] else None
    else:
        usual, other = (",", ".") if separator == ";" else (".", ",")
        slips = max(1, len(either) // 4)
        mark = other if count[other] > max(count[usual], slips) else usual
    if mark is None or not either:
        return mark, ()
    whole, between, rest = either[0].groups()
    value = f"{whole}.{rest}" if between == mark else whole + rest
    return mark, (f'numbers such as "{whole}{between}{rest}" are read as {value}',)


def _read_numbers(table: Table, column: Column, mark: str | None, first: int = 0) -> np.ndarray:
    """The numbers of a column in its unit, NaN where a cell cannot be used.

    `first` is what the rows of this round count from.
    """
    cells = table.column(column)
    may_be_empty = column.role == "peak" and len(table.heading.rounds) > 1
    kind = KINDS_OF[column.role]
    largest = from_si(KINDS[kind].largest, kind).m_as(column.unit)
    read = {cell: _read_cell(_ROUGHLY.sub("", cell), column, mark, largest) for cell in set(cells)}
    if any(map(_ROUGHLY.match, read)) and _ROUGH_REMARK not in table.remarks:
        table.remarks.append(_ROUGH_REMARK)
    plain = f"write a plain number such as {column.example}"
    alike = f"write it in {column.written} like the other rows"
    for row, cell in zip(table.row, cells, strict=True):
        _, fault, warning = read[cell]
        found = " ".join(cell.split())
        if fault and not (may_be_empty and not found):
            table.problems.append(Finding(row, column.title, f"{found:.60}", fault, plain))
        if warning:
            table.warnings.append(Finding(row + first, column.title, found, warning, alike))
    return np.array([read[cell][0] for cell in cells])


def _read_cell(
    cell: str, column: Column, mark: str | None, largest: float
) -> tuple[float, str, str]:
    """The number in a cell, what is wrong with it, and what is odd about it."""
    try:
        value, warning = _read_number(cell, column, mark)
        if value > largest:
            raise InputError(f"is too large for {KINDS[KINDS_OF[column.role]].article}")
        if value == 0 and column.role == "peak":
            raise InputError("is no pull at all")
    except InputError as fault:
        return np.nan, str(fault), ""
    return value, "", warning


def _read_number(cell: str, column: Column, mark: str | None) -> tuple[float, str]:
    """A number in the unit of its column, unless the cell has its own: that is pointed out."""
    if column.written and _PLAIN[mark].fullmatch(cell):
        return float(cell.replace(",", ".")), ""
    text = " ".join(cell.split())
    kind = KINDS_OF[column.role]
    if not text:
        raise InputError("is empty")
    if mark is None and (either := _EITHER.match(text)):
        whole, between, rest = either.groups()
        raise InputError(f"can mean {whole}{rest} or {whole}.{rest}: leave out the {between!r}")
    text = _with_point(text, mark)
    own_unit = any(letter.isalpha() for letter in _EXPONENT.sub("", text))
    try:
        with_unit = read_quantity(f"{text} {column.written}", kind)
        return with_unit.quantity.m_as(column.unit), ""
    except InputError as fault:
        if not own_unit:
            raise InputError(f"cannot be read: {why(fault)}") from None
    try:
        reading = read_quantity(text, kind)
    except InputError as fault:
        raise InputError(f"cannot be read: {why(fault)}") from None
    warning = f"has a unit of its own, and was read as {reading.quantity:g~P}"
    return reading.quantity.m_as(column.unit), warning


def _with_point(text: str, mark: str | None) -> str:
    """The same number with a decimal point, and its groups of digits as `read_quantity` takes."""
    if mark != ",":
        return text
    if grouped := _GROUPED_BY_POINTS.match(text):
        whole, rest = grouped.groups()
        point = (rest or "").replace(",", ".")
        return whole.replace(".", "") + point + text[grouped.end() :]
    return text.replace(",", ".") if text.count(",") == 1 and "." not in text else text
