"""The learner's own gear on disk: plain CSV files in their folder, which a spreadsheet opens.

A file is read anew before each change, under a lock, and only the changed row of it is: two pages
that edit lose nothing, and columns and rows that somebody else wrote stay as they are.
"""

import contextlib
import csv
import io
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from recoverykit.units.files import locked, read_file, replace_file
from recoverykit.units.quantities import InputError
from recoverykit.units.text import left_to_right

LARGEST = 1_000_000  # bytes
MOST_ROWS = 500
LONGEST_CELL = 200  # characters
LOCK_TIMEOUT = 5.0  # seconds
_SEPARATORS = ",;\t"
NO_NAME = "the name is empty; write what you call it"

Row = dict[str, str]


@dataclass
class GearFile:
    """A file of one kind of gear; `columns` are those that it is begun with, "name" among them.

    `notice` says what a learner should be told about the file; it is empty if there is nothing.

    >>> import tempfile
    >>> folder = tempfile.TemporaryDirectory()
    >>> ropes = GearFile(Path(folder.name) / "my-ropes.csv", ("name", "length"))
    >>> ropes.save({"name": "blue rope", "length": "9 m"})
    >>> ropes.save({"name": "blue rope", "length": "30 ft"}, ropes.rows()[0])
    >>> ropes.rows(), ropes.path.read_text().splitlines()
    ([{'name': 'blue rope', 'length': '30 ft'}], ['name,length', 'blue rope,30 ft'])
    >>> folder.cleanup()
    """

    path: Path
    columns: tuple[str, ...]
    notice: str = ""

    def rows(self) -> list[Row]:
        """The rows as they are on disk now; each has all of `columns`, and those of its own.

        A file that is damaged is set aside, under another name that `notice` tells. Raises OSError
        where the disk refuses.
        """
        if not os.path.lexists(self.path):
            return []  # and no lock is left where nobody keeps any gear
        try:
            with self._turn():
                return self._read()[1]
        except PermissionError:
            return self._read()[1]  # in a folder that cannot be written to nobody else writes

    def names(self) -> list[str]:
        """The names in its rows, each once. Raises OSError where the disk refuses."""
        return list(dict.fromkeys(row["name"] for row in self.rows()))

    def save(self, row: Row, old: Row | None = None) -> None:
        """Write a row: a new one, or in the place of `old` as it was when it was read.

        Where `old` was changed or deleted meanwhile, both stay, and `notice` says so. Raises
        InputError for a name that another row has, or for none, and OSError.
        """
        clean = {column: _clean(text) for column, text in row.items()}
        name = clean.get("name", "")
        if not name:
            raise InputError(NO_NAME)
        with self._changed() as rows:
            place = rows.index(old) if old in rows else None
            others = [each["name"] for n, each in enumerate(rows) if n != place]
            if old is not None and place is None:
                if clean in rows:
                    return
                self.notice = f'"{old["name"]}" was changed or deleted on another page: both stay.'
                clean["name"] = _free(name, others)
            elif name in others:
                raise InputError(f'there is a "{name}" already; write another name, or edit it')
            if place is None:
                rows.append(clean)
            else:
                rows[place] |= clean

    def delete(self, old: Row) -> None:
        """Delete a row as it was read; one changed meanwhile stays, and `notice` says so."""
        with self._changed() as rows:
            if old in rows:
                rows.remove(old)
            elif any(each["name"] == old["name"] for each in rows):
                self.notice = f'"{old["name"]}" was changed on another page, and stays.'

    @contextlib.contextmanager
    def _changed(self) -> Iterator[list[Row]]:
        """The rows, to be changed; then they are written."""
        with self._turn():
            separator, rows = self._read()
            yield rows
            if len(rows) > MOST_ROWS:
                raise InputError(f"{self.path.name} has room for {MOST_ROWS} rows")
            columns = dict.fromkeys([*self.columns, *(name for row in rows for name in row)])
            text = io.StringIO()
            writer = csv.DictWriter(
                text, list(columns), "", delimiter=separator, lineterminator="\n"
            )
            writer.writeheader()
            writer.writerows(rows)
            replace_file(self.path, text.getvalue().encode())

    def _turn(self):
        return locked(self.path.with_suffix(".lock"), LOCK_TIMEOUT)

    def _read(self) -> tuple[str, list[Row]]:
        try:
            content = read_file(self.path, LARGEST)
        except FileNotFoundError:
            return ",", []
        try:
            return self._parse(content)
        except (UnicodeDecodeError, csv.Error, InputError) as fault:
            aside = self._free_name()
            self.path.rename(aside)
            reason = "it is no text" if isinstance(fault, UnicodeDecodeError) else fault
            self.notice = (
                f"{self.path.name} could not be read ({reason}). It is kept as {aside.name}, and a "
                f"new file is begun."
            )
            return ",", []

    def _parse(self, content: bytes) -> tuple[str, list[Row]]:
        if len(content) > LARGEST:
            raise InputError("it is far too large")
        try:
            text = content.decode("utf-8-sig")
        except UnicodeDecodeError:
            if b"\0" in content:
                raise
            text = content.decode("cp1252")  # as a German or US spreadsheet saves it
        heading = text.partition("\n")[0]
        separator = max(_SEPARATORS, key=heading.count)
        table = [row for row in csv.reader(io.StringIO(text), delimiter=separator) if any(row)]
        if not table:
            return separator, []
        written = [name.strip() for name in table[0]]
        names = [low if (low := name.lower()) in self.columns else name for name in written]
        if "name" not in names:
            raise InputError("it has no column name")
        if len(table) > MOST_ROWS + 1:
            raise InputError(f"it has more than {MOST_ROWS} rows")
        return separator, [
            dict.fromkeys([*self.columns, *names], "")
            | {name: _clean(cell) for name, cell in zip(names, cells, strict=False)}
            for cells in table[1:]
        ]

    def _free_name(self) -> Path:
        number = 1
        while (aside := self.path.with_name(f"{self.path.stem}-damaged-{number}.csv")).exists():
            number += 1
        return aside


def _clean(text: str) -> str:
    """A cell on one line, not endless, and without what would turn the words after it."""
    return left_to_right(" ".join(str(text).split()))[:LONGEST_CELL]


def _free(name: str, others: Sequence[str]) -> str:
    number = 2
    while f"{name} ({number})" in others:
        number += 1
    return f"{name} ({number})" if name in others else name
