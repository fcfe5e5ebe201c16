"""A log of pulls as a table of text: which column is what, and which rows may be pulls.

From a path or bytes to text, from there to lines, a heading, and the rows below it.
"""

import codecs
import csv
import dataclasses
import itertools
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from recoverykit.measurements.outliers import Finding
from recoverykit.units.files import read_file
from recoverykit.units.parsing import read_quantity, reads_as
from recoverykit.units.quantities import KINDS, InputError, Q

MOST_BYTES = 20_000_000
MOST_ROWS = 200_000
LONGEST_LINE = 5_000  # characters
_ROWS_TO_JUDGE = 200  # by which it is judged what commas are
_COUNTED_IN_THOUSANDS = Q(20.0, "N")  # units below it: N, daN, lbf, kgf
_EVEN = 4.0  # the most by which peaks over their speeds differ in a log of one rope (own estimate)
HEADING_WITHIN = 20  # rows; above the heading there may be a title, a date, a name
_LONGEST_TITLE = 100  # characters of a heading that are looked at
_LONGEST_UNIT = 20
_WIDEST_PREVIEW = 12  # columns that a person is shown to choose from

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

_PEAK_ALONE, _NOTHING = "a peak, if no other word says what", "no role"
# Words that people put over a column, in English, German, French and Spanish, as `_plain` leaves
# them. A heading is known if each of its words is.
_NAMES = {
    "speed": "speed|velocity|v|geschwindigkeit|tempo|vitesse|velocidad",
    "peak": "force|load|tension|f|kraft|zugkraft|spitzenkraft|höchstkraft|maximalkraft|zuglast|"
    "last|spitzenlast|effort|traction|charge|fuerza|carga|tensión|tracción",
    "round": "round|matrix|series|set|runde|reihe|serie|durchgang|tour|série|manche|ronda|vuelta",
    "repeat": "repeat|rep|repetition|run|wiederholung|wdh|lauf|essai|répétition|repetición|prueba",
    "note": "note|notes|comment|comments|remark|remarks|bemerkung|bemerkungen|notiz|anmerkung|"
    "kommentar|remarque|remarques|commentaire|commentaires|nota|notas|observación|"
    "observaciones|observations|comentario|comentarios",
    _PEAK_ALONE: "peak|max|maximum|reading|spitze|spitzenwert|höchstwert|pic|pointe|maximale|"
    "maximal|pico|máximo|máxima",
    _NOTHING: "gps|closing|pull|test|target|entry|measured|vehicle|cell|gemessen|gemessene|"
    "messwert|fahrzeug|seil|mesurée|mesuré|medida|medido|the|of|at|am|beim|de|du|la|le|au|del|al",
}
_ROLES = {name: role for role, names in _NAMES.items() for name in names.split("|")}
KINDS_OF = {"speed": "speed", "peak": "force"}  # the two columns with a unit
_EXAMPLES = {"speed": Q(5, "km/h"), "peak": Q(20, "kN")}
HEADINGS = {"speed": '"speed [km/h]"', "peak": '"peak [kN]"'}

_WHOLE = re.compile(r"(?<!\d)[1-9](?:st|[nr]d|th|er|re|e|ª|º)?(?!\w)")
_GROUP = re.compile(r"[0-9]{3}(?:\.[0-9]*)?")
_IN_BRACKETS = re.compile(r"([^\[(]*)[\[(]([^\])]*).*")
_UNIT_LAST = re.compile(r"(.*?)[\s,_:]+(\S+)")


class FieldLogError(InputError):
    """The file cannot be used as a log of pulls at all; the message says what would do."""


class UnknownColumnsError(FieldLogError):
    """It is not known which column is which; `preview` are the first rows, for a person to say."""

    def __init__(self, message: str, preview: list[list[str]]):
        super().__init__(message)
        self.preview = preview


@dataclass(frozen=True)
class Chosen:
    """Which column a person says is which, counted from 0, and the unit of those with one."""

    index: int
    unit: str = ""


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
    columns: dict[str, Column]  # of round, repeat and note
    rounds: list[tuple[Column, Column]]  # speed and peak: one pair, or one for each round
    remarks: tuple[str, ...]
    grouped: bool = False  # commas in numbers without quotes are between thousands


@dataclass
class Table:
    """The rows that may be pulls, as text, and what was found wrong or odd on the way."""

    heading: Heading
    row: list[int] = field(default_factory=list)  # as a spreadsheet counts them
    cells: list[list[str]] = field(default_factory=list)
    problems: list[Finding] = field(default_factory=list)
    warnings: list[Finding] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    preview: list[list[str]] = field(default_factory=list)

    def column(self, column: Column) -> list[str]:
        """The cells below the heading of a column."""
        return [cells[column.index] for cells in self.cells]


def read_table(source, chosen: Mapping[str, Chosen] | None = None) -> tuple[Table, str]:
    """All rows of a file, or its bytes, that may be pulls; and how the file was taken.

    With `chosen`, the columns are those, whatever their headings say.
    """
    text, coding = _decode(_load(source))
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    heading = _chosen_heading(lines, chosen) if chosen else _find_heading(lines)
    heading = dataclasses.replace(heading, grouped=_has_bare_groups(lines, heading))
    table = Table(heading, preview=_preview(lines))
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
    # Without a mark: nearly every letter of a log is one byte, and the other one of it is 0.
    start = data[:1000]
    for first, coding in ((1, "utf-16-le"), (0, "utf-16-be")):
        if 4 * start[first::2].count(0) > len(start) > 4 and not start[1 - first :: 2].count(0):
            return data.decode(coding, errors="replace"), "UTF-16"
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
            if splits := [each for each in splits if _places(each[0])[1]]:
                cells, separator = max(splits, key=lambda each: len(each[0]))
                return _read_heading(number, cells, separator, _unit_row(lines, number, separator))
    first = next((line.strip() for line in lines if line.strip()), "")
    begins = f"begins with {first!r:.60}" if first else "is empty"
    raise UnknownColumnsError(
        f"no heading with a speed and a peak was found in the first {HEADING_WITHIN} rows (the "
        f"file {begins}); let its first row be for example "
        f'"speed [km/h],peak [kN],repeat,note"',
        _preview(lines),
    )


def _preview(lines: list[str]) -> list[list[str]]:
    """The first rows that have any cells beside each other, all as wide as the widest."""
    separator = _most_cells(lines)
    rows = [_split(line[:LONGEST_LINE], separator) for line in lines[:HEADING_WITHIN]]
    rows = [row for row in rows if len(row) > 1 and any(cell.strip() for cell in row)]
    width = min(max(map(len, rows), default=0), _WIDEST_PREVIEW)
    return [
        [cell.strip()[:_LONGEST_TITLE] for cell in [*row, *[""] * width][:width]] for row in rows
    ]


def _most_cells(lines: list[str]) -> str:
    """The separator that parts the first rows into the most cells."""
    start = [line[:LONGEST_LINE] for line in lines[:HEADING_WITHIN]]
    return max(_SEPARATORS, key=lambda separator: sum(line.count(separator) > 0 for line in start))


def _chosen_heading(lines: list[str], chosen: Mapping[str, Chosen]) -> Heading:
    """A heading as a person says it: it stands above the first row with both numbers."""
    separator = _most_cells(lines)
    for number, line in enumerate(lines):  # noqa: B007
        cells = [cell.strip() for cell in _split(line[:LONGEST_LINE], separator)]
        if len(cells) > max(each.index for each in chosen.values()):
            numbers = [cells[chosen[role].index].lstrip("~≈ ") for role in KINDS_OF]
            if all(cell[:1].isdigit() for cell in numbers):
                break
    else:
        raise FieldLogError("no row has numbers in both of these columns; choose others")
    above = [cell.strip() for cell in _split(lines[number - 1], separator)] if number else []
    titles = [above[index] if index < len(above) else "" for index in range(len(cells))]
    columns = {}
    for role, each in chosen.items():
        unit = ""
        if role in KINDS_OF:
            unit = str(read_quantity(f"1 {each.unit}", KINDS_OF[role]).quantity.units)
        title = titles[each.index] or f"column {each.index + 1}"
        columns[role] = Column(role, each.index, title, each.unit, unit)
    pair = columns.pop("speed"), columns.pop("peak")
    return Heading(number - 1, separator, titles, columns, [pair], ("columns as chosen",))


def _places(cells: list[str]) -> tuple[dict[str, int], list[tuple[int, int]]]:
    """Which column has which role, and those of speed and peak for each round.

    The first that fits has a role. Rounds stand side by side where a name comes again, or again
    with another number, as in "Peak 1" and "Peak 2", or "Round 1" and "Round 2".
    """
    places: dict[str, int] = {}
    alike: dict[str, dict[str, list[int]]] = {"speed": {}, "peak": {}}
    for index, cell in enumerate(cells):
        name = _name_and_unit(cell)[0]
        bare = " ".join(_WHOLE.sub(" ", name).split())
        role = _role_of(bare)
        if role in ("round", "repeat") and bare != name:
            role = "peak"
        if role in alike:
            alike[role].setdefault(bare, []).append(index)
        elif role is not None:
            places.setdefault(role, index)
    speeds, peaks = (max(alike[role].values(), key=len, default=[]) for role in KINDS_OF)
    if len(peaks) == 1:  # the first that fits
        peaks = next(iter(alike["peak"].values()))
    if len(speeds) != len(peaks):
        speeds = next(iter(alike["speed"].values()), [])[:1] * len(peaks)
    return places, list(zip(speeds, peaks, strict=True)) if speeds else []


def _role_of(name: str) -> str | None:
    """What a name stands for, if all of its words are known, and do not contradict each other."""
    words = name.replace("load cell", "reading").split()
    roles = {_ROLES.get(word) for word in words} - {_NOTHING}
    if roles == {_PEAK_ALONE}:
        return "peak"
    roles -= {_PEAK_ALONE}
    return roles.pop() if len(roles) == 1 else None


def _name_and_unit(cell: str) -> tuple[str, str]:
    """Part "Peak force [lbf]", "peak (lbf)" or "peak_lbf" into name and unit."""
    cell = cell.strip(' "')[:_LONGEST_TITLE]
    parts = _IN_BRACKETS.fullmatch(cell)
    if parts is None and _role_of(_WHOLE.sub(" ", _plain(cell))) is None:
        parts = _UNIT_LAST.fullmatch(cell)
    name, unit = parts.groups() if parts else (cell, "")
    return _plain(name), unit.strip()


def _plain(name: str) -> str:
    return " ".join(re.sub("[_.:-]", " ", name.casefold()).split())


def _unit_row(lines: list[str], number: int, separator: str) -> list[str]:
    """The cells of the row below the heading, if units stand there and nothing else."""
    following = lines[number + 1] if number + 1 < len(lines) else ""
    cells = [cell.strip(' "[]()') for cell in _split(following[:LONGEST_LINE], separator)]
    known = [cell for cell in cells if any(_is_unit(cell, kind) for kind in KINDS_OF.values())]
    others = [cell for cell in cells if cell.strip("-–—/ ") and cell not in known]
    return cells if known and not others else []


def _is_unit(text: str, kind: str) -> bool:
    if not text or text[:1].isdigit() or len(text) > _LONGEST_UNIT:
        return False
    return reads_as(f"1 {text}", kind)


def _read_heading(
    number: int, cells: list[str], separator: str, below: Sequence[str] = ()
) -> Heading:
    cells = [cell.strip() for cell in cells]
    remarks, faults = [], []
    places, rounds = _places(cells)

    def column(role: str, index: int) -> Column:
        title, unit = cells[index], KINDS[KINDS_OF[role]].metric
        written = _name_and_unit(title)[1] or (below[index] if index < len(below) else "")
        if written:
            try:
                reading = read_quantity(f"1 {written}", KINDS_OF[role])
            except InputError as fault:
                faults.append(
                    f'row {number + 1}, column "{title}": {why(fault)}; '
                    f"write for example {HEADINGS[role]}"
                )
                return Column(role, index, title)
            unit = str(reading.quantity.units)
            if reading.note and reading.note not in remarks:
                remarks.append(reading.note)
        return Column(role, index, title, written, unit)

    pairs = [(column("speed", speed), column("peak", peak)) for speed, peak in rounds]
    columns = {
        role: Column(role, index, cells[index])
        for role, index in places.items()
        if role == "note" or len(rounds) == 1
    }
    if faults:
        raise FieldLogError("\n".join(dict.fromkeys(faults)))
    used = {each.index for each in itertools.chain(columns.values(), *pairs)}
    if others := [cell for index, cell in enumerate(cells) if cell and index not in used]:
        remarks.append("columns that are not read: " + ", ".join(others)[:200])
    return Heading(number + bool(below), separator, cells, columns, pairs, tuple(remarks))


def why(fault: InputError) -> str:
    """What `read_quantity` found wrong, without its advice, which is about a lone quantity."""
    return str(fault).partition("; write for example")[0]


# --- the rows ---------------------------------------------------------------------------


def _rows(lines: list[str], heading: Heading, problems: list[Finding]) -> Iterator:
    """Each row that may be a pull: its number, and as many cells as the heading has."""
    blank = heading.separator + ' \t"'
    width, speed = len(heading.cells), heading.rounds[0][0].index
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
        if not heading.grouped and len(cells) == width and cells[speed][:1].isdigit():
            yield number, cells
            continue
        cells = _repaired(cells, line, heading)
        if fault := _row_fault(cells, line, heading):
            problems.append(Finding(number, "the whole row", f"{line.strip():.60}", *fault))
            if fault is _OTHER_HEADING:
                return
        else:
            yield number, cells


def _has_bare_groups(lines: list[str], heading: Heading) -> bool:
    """Whether commas part thousands and cells alike, as in "2,1,420" for 2 and 1420.

    That could also be 2.1 and 420. It is thousands in a unit that is counted in them, if a group
    cannot begin a number ("1,050"), or a decimal point shows that commas are none, or only then
    the peaks rise with the speeds about as evenly as those of any rope.
    """
    speed, peak = (each.index for each in heading.rounds[0])
    width, rows = len(heading.cells), []
    is_small = Q(1.0, heading.rounds[0][1].unit or "kN") < _COUNTED_IN_THOUSANDS
    if heading.separator != "," or len(heading.rounds) > 1 or not is_small:
        return False
    for line in lines[heading.line + 1 : heading.line + 1 + _ROWS_TO_JUDGE]:
        cells = [cell.strip() for cell in _split(line[:LONGEST_LINE], ",")]
        whole = _joined(cells, peak, heading)
        if whole is not cells:
            decimal = [*cells[:speed], f"{cells[speed]}.{cells[speed + 1]}", *cells[speed + 2 :]]
            rows.append((whole, decimal))
        elif len(cells) >= width and cells[speed][:1].isdigit() and cells[peak][:1].isdigit():
            rows.append((cells, cells))
    bare = [(whole, decimal) for whole, decimal in rows if whole is not decimal]
    if not bare:
        return False
    as_thousands, as_decimals = (
        _unevenness([row[way] for row in rows], speed, peak) for way in (0, 1)
    )
    no_decimals = (
        speed + 1 != peak
        or any("." in whole[speed] for whole, _ in rows)
        or any(decimal[peak].startswith("0") for _, decimal in bare)
    )
    if no_decimals:
        return as_thousands <= 2 * as_decimals
    return as_thousands < _EVEN and as_decimals > 2 * as_thousands


def _joined(cells: list[str], index: int, heading: Heading) -> list[str]:
    """The cells of a row with two that are one number with a group of thousands put together.

    They are left alone where the row has no cell too many; a number for a note is one.
    """
    first, second = (cells[index], cells[index + 1]) if index + 1 < len(cells) else ("", "")
    note, width = heading.columns.get("note"), len(heading.cells)
    too_many = len(cells) == width + 1 or (
        len(cells) == width and note is not None and note.index == index + 1
    )
    is_start = 1 <= len(first) <= 3 and first.isdecimal() and first[0] != "0"
    if too_many and is_start and _GROUP.fullmatch(second):
        joined = [*cells[:index], first + second, *cells[index + 2 :]]
        return joined + [""] * (width - len(joined))
    return cells


def _unevenness(rows: list[list[str]], speed: int, peak: int) -> float:
    """The largest peak over its speed, over the smallest."""
    ratios = []
    for cells in rows:
        try:
            ratios.append(float(cells[peak]) / float(cells[speed]))
        except (ValueError, ZeroDivisionError):
            continue
    return max(ratios) / min(ratios) if len(ratios) >= 3 and min(ratios) > 0 else math.inf


def _repaired(cells: list[str], line: str, heading: Heading) -> list[str]:
    """The cells of a row as they are probably meant, if they are not as many as the heading's."""
    width = len(heading.cells)
    if heading.grouped:
        cells = _joined([cell.strip() for cell in cells], heading.rounds[0][1].index, heading)
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
        joined = _joined(cells, heading.rounds[0][1].index, heading)
        if heading.separator == "," and len(joined) == len(heading.cells):
            return (
                "can be read in two ways: its comma may part thousands, or be a decimal comma",
                "leave it out, or part the cells by semicolons",
            )
        return (
            f"has {len(cells)} cells under a heading of {len(heading.cells)}",
            "if that is a decimal comma, write a point, or part the cells by semicolons",
        )
    speed = cells[heading.rounds[0][0].index].strip()
    peak = "".join(cells[each.index].strip() for _, each in heading.rounds)
    if not peak and not any(letter.isdigit() for letter in speed):
        return (
            "has neither a speed nor a peak",
            "if it is the rest of a note, keep each note on one line",
        )
    if speed[:1].isalpha() and _places(cells)[1]:
        if [cell.strip() for cell in cells] == heading.cells:
            return "is the heading once more", "delete this row"
        return _OTHER_HEADING
    return None
