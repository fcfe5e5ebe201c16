"""The numbers in the cells: which decimal mark the file has, and what each cell comes to."""

import re

import numpy as np

from recoverykit.measurements.header import KINDS_OF, Column, why
from recoverykit.measurements.outliers import Finding
from recoverykit.measurements.rows import Table
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import KINDS, InputError, Q

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


def decimal_mark(table: Table) -> tuple[str | None, tuple[str, ...]]:
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


def read_numbers(table: Table, role: str, mark: str | None) -> np.ndarray:
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
    kind = KINDS[KINDS_OF[role]]
    too_large = values * Q(1, column.unit).m_as(kind.si) > kind.largest
    faults |= dict.fromkeys(np.flatnonzero(too_large).tolist(), f"is too large for {kind.article}")
    if role == "peak":
        faults |= dict.fromkeys(np.flatnonzero(values == 0).tolist(), "is no pull at all")
    remedy = f"write a plain number such as {column.example}"
    for index, implausible in faults.items():
        values[index] = np.nan
        found = f"{cells[index].strip():.60}"
        table.problems.append(Finding(table.row[index], column.title, found, implausible, remedy))
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


def _read_cell(index: int, cell: str, column: Column, mark: str | None, table: Table) -> float:
    """Read one number; the unit of the heading holds, unless the cell has its own."""
    if column.written and _PLAIN[mark].fullmatch(cell):
        return float(cell.replace(",", "."))
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
        return read_quantity(f"{text} {column.written}", kind).quantity.m_as(column.unit)
    except InputError as fault:
        if not own_unit:
            raise InputError(f"cannot be read: {why(fault)}") from None
    try:
        reading = read_quantity(text, kind)
    except InputError as fault:
        raise InputError(f"cannot be read: {why(fault)}") from None
    odd = f"has a unit of its own, and was read as {reading.quantity:g~P}"
    remedy = f"write it in {column.written} like the other rows"
    table.warnings.append(Finding(table.row[index], column.title, text, odd, remedy))
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
