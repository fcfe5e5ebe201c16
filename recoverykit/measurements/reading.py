"""Field log: reads measured pulls from the file in which they were written down.

Nothing is lost without a word: a row that cannot be read becomes a problem with its place, a row
that can be read but looks wrong becomes a suspicion, and the file on disk is never changed.
"""

import csv
import io

import numpy as np

from recoverykit.measurements.header import HEADINGS, KINDS_OF, Heading, find_heading, how_read
from recoverykit.measurements.numbers import decimal_mark, read_numbers
from recoverykit.measurements.outliers import Finding, by_row
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.rows import read_notes, read_rounds, read_rows
from recoverykit.measurements.source import FieldLogError, decode, load
from recoverykit.units.quantities import Q, display
from recoverykit.units.text import counted

_TEMPLATE_SPEEDS = {"metric": range(2, 8), "US": range(1, 6)}


def read_log(source, full_scale=None) -> PullLog:
    r"""Read a log of pulls as people write it, and say what became of every row.

    `source` is the path of a CSV file, or its bytes. The file has a heading row with units, for
    example `speed [km/h], peak [lbf], repeat, note`; rows above it and other columns are left
    alone. Cells are separated by commas, semicolons or tabs; decimals have a point or a comma;
    text is UTF-8, UTF-16 or cp1252; blank lines do not matter. A cell may carry its own unit,
    "38 kN". `round` (or `repeat`) numbers the rounds of speeds. `full_scale` is the most that the
    meter can show.

    Rows that cannot be read become `problems`, rows that look wrong `outliers`; all other rows
    are kept and the file is not changed. Raises FieldLogError if the file cannot be used at all:
    not there, not text, more than 20 MB or 200,000 rows, no heading, no unit, no pull.

    >>> log = read_log(b"speed [km/h];peak [kN];note\n2,5;8,5;\n3;1O.2;windy\n4;14;\n")
    >>> print(log.summary)
    2 pulls at 2 speeds, from 2.5 km/h to 4.0 km/h. 1 place could not be read.
    >>> print(*log.problems)
    row 3, column "peak [kN]": "1O.2" cannot be read: the unit 'O.2' is not known for a force;
    write a plain number such as 20
    """
    text, coding = decode(load(source))
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    heading = find_heading(lines)
    table = read_rows(lines, heading)
    round_number, note = read_rounds(table), read_notes(table)
    mark, mark_remarks = decimal_mark(table)
    speed, peak = (read_numbers(table, role, mark) for role in KINDS_OF)
    problems = by_row(table.problems)
    good = np.flatnonzero(~np.isnan(speed) & ~np.isnan(peak))
    if not good.size:
        raise FieldLogError(_no_pull(heading, problems))
    row = np.array(table.row)[good]
    read = set(row.tolist())
    return PullLog(
        speed=Q(speed[good], heading.columns["speed"].unit),
        peak=Q(peak[good], heading.columns["peak"].unit),
        round_number=np.array(round_number)[good],
        note=tuple(note[index] for index in good),
        row=row,
        full_scale=full_scale,
        problems=problems,
        warnings=by_row(finding for finding in table.warnings if finding.row in read),
        remarks=(how_read(coding, heading), *heading.remarks, *mark_remarks),
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


def _no_pull(heading: Heading, problems: tuple[Finding, ...]) -> str:
    if not problems:
        return "there is no pull below the heading; write one row for each pull, with its peak"
    lines = [f"no pull could be read ({counted(len(problems), 'problem')}):", *problems[:5]]
    for role in KINDS_OF:
        if not heading.columns[role].written:
            title = heading.columns[role].title
            lines.append(f'the heading "{title}" has no unit; write for example {HEADINGS[role]}')
    return "\n".join(map(str, lines))
