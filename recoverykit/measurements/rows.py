"""The rows below the heading, still as text: which of them may be pulls, and in which series."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from recoverykit.measurements.header import KINDS_OF, LONGEST_LINE, Heading, is_heading, split
from recoverykit.measurements.outliers import Finding
from recoverykit.measurements.source import FieldLogError

MOST_ROWS = 200_000


_LONE_NUMBER = re.compile(r"[0-9.,]+")
_SMALL_NUMBER = re.compile(r"\s*([1-9][0-9]?)(?:[.,]0*)?\s*")


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


def read_rows(lines: list[str], heading: Heading) -> Table:
    """All rows below a heading that may be pulls."""
    table = Table(heading)
    for row, cells in _rows(lines, heading, table.problems):
        table.row.append(row)
        table.cells.append(cells)
    return table


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
        cells = split(line, heading.separator) if len(line) <= LONGEST_LINE else []
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


def _mended(cells: list[str], line: str, heading: Heading) -> list[str]:
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
    if speed[:1].isalpha() and is_heading(cells):
        if [cell.strip() for cell in cells] == heading.cells:
            return "is the heading once more", "delete this row"
        return _OTHER_HEADING
    return None


def read_rounds(table: Table) -> list[int]:
    """The round of each row, 0 where there is no whole number."""
    columns = table.heading.columns
    role = next((role for role in ("round", "repeat") if role in columns), None)
    if role is None:
        return [0] * len(table.row)
    cells = table.column(role)
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


def read_notes(table: Table) -> list[str]:
    """The note of each row, empty without such a column."""
    if "note" not in table.heading.columns:
        return [""] * len(table.row)
    notes = [cell.strip() for cell in table.column("note")]
    for row, note in zip(table.row, notes, strict=True):
        if note[:1].isdigit() and _LONE_NUMBER.fullmatch(note):
            fault = "is a number where a note should be: the cells of this row may be shifted"
            remedy = "if a decimal comma did that, write a point, or part the cells by semicolons"
            title = table.heading.columns["note"].title
            table.warnings.append(Finding(row, title, f"{note:.60}", fault, remedy))
    return notes
