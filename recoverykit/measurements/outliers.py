"""Outliers: the rows of a pull log that look wrong, and what may have happened there."""

import functools
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from recoverykit.units.quantities import Q, as_number, registry
from recoverykit.units.text import listed

_ROWS_NAMED = 5  # of those with one fault
# Rows beyond this are compared with the medians of their speed steps, not one with another.
_MOST_COMPARED = 400

# What √(k m) can be, N/(m/s): from 800 kg on 5 kN/m to 40 t on 400 kN/m (own estimate).
_FORCE_FOR_SPEED = (2e3, 1.3e5)

_OUT_OF_LINE = 0.3  # logarithm: below e^0.3 = 1.35 times, a row is taken for scatter
_OUT_OF_SCATTER = 4.0  # or below four times the scatter of the other rows
_FITS = 0.15  # logarithm: how near a slip must come to explain a row
_AT_FULL_SCALE = 0.99
_LEAST_PEAK = 1.0  # N; a straight line may cross zero, which has no logarithm

_METER_UNITS = ("N", "kgf", "lbf", "kN")
_SPEED_UNITS = ("km/h", "mph", "m/s")


@dataclass(frozen=True)
class Finding:
    """Something about one cell: where it is, what stands there, what is odd, what would do.

    `row` counts as a spreadsheet does; it is None where a whole column is meant. `found` is empty
    where the cell is.

    >>> print(Finding(7, "peak [kN]", "12x", "cannot be read", "write a number such as 20"))
    row 7, column "peak [kN]": "12x" cannot be read; write a number such as 20
    """

    row: int | None
    column: str
    found: str
    fault: str
    remedy: str

    def __str__(self):
        return self.in_rows(() if self.row is None else (self.row,))

    def in_rows(self, rows: Sequence[int]) -> str:
        """The same about some rows."""
        place = f'column "{self.column}"'
        if rows:
            more = [f"{len(rows) - _ROWS_NAMED:,} more"] * (len(rows) > _ROWS_NAMED)
            named = listed([*map(str, rows[:_ROWS_NAMED]), *more])
            place = f"row{'s' * (len(rows) > 1)} {named}, {place}"
        found = f'"{self.found}"' if self.found else "the cell"
        return f"{place}: {found} {self.fault}; {self.remedy}"


def by_row(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings in the order of their rows, those of whole columns first."""
    return tuple(sorted(findings, key=lambda finding: finding.row or 0))


def by_cause(findings: Iterable[Finding]) -> list[str]:
    """One sentence for each cause, however many rows it is found in.

    >>> empty = [Finding(row, "peak", "", "is empty", "write a number") for row in (3, 5, 6)]
    >>> by_cause([*empty, Finding(4, "peak", "x", "cannot be read", "write a number")])[0]
    'rows 3, 5 and 6, column "peak": the cell is empty; write a number'
    """
    rows: dict[Finding, list[int | None]] = {}
    for finding in findings:
        rows.setdefault(replace(finding, row=None), []).append(finding.row)
    return [
        cause.in_rows([row for row in found if row is not None]) for cause, found in rows.items()
    ]


def outliers(log) -> tuple[Finding, ...]:
    """The rows of a PullLog that look wrong; all of them stay in the log.

    A row stands out where its peak is more than 1.35 times, and four times the scatter, off both
    curves through the other rows: F = c vᵖ and F = a + b v, by repeated medians, so that a few
    wrong rows do not bend them. A slip that would explain it is named: another unit on the meter
    or the speedometer, a digit too many or too few. Pointed out as well: a peak below the one
    before it at a higher speed, peaks at the meter's full scale (or, where nobody said what that
    is, a highest peak that was read more than once), and a whole column that no vehicle and rope
    could give. Source of the fit: Siegel (1982), repeated medians, as in
    scipy.stats.siegelslopes.

    >>> from recoverykit.measurements.pull_log import PullLog
    >>> log = PullLog(Q([2, 3, 4, 5, 6], "km/h"), Q([1500, 2300, 31000, 3900, 4700], "lbf"))
    >>> for finding in outliers(log):
    ...     print(finding)
    row 3, column "peak [lbf]": "31000 lbf" is 10 times what the other rows suggest at 4 km/h
    (about 3100 lbf); a digit too many would explain it: check it against what was written down
    """
    return by_row(
        [
            *log.out_of_line,
            *_below_the_one_before(log),
            *_at_full_scale(log),
            *_impossible_column(log),
        ]
    )


# --- out of line with the other rows ----------------------------------------------------


def out_of_line(log) -> list[Finding]:
    """The rows of a PullLog that stand out from the other rows; see `outliers`."""
    moving = np.flatnonzero(log.speed_si > 0)
    if len(np.unique(log.step[moving])) < 3 or len(moving) < 4:
        return []
    speed, peak = log.speed_si[moving], log.peak_si[moving]
    curves = _curves_through(speed, peak, log.step[moving])
    off = np.array([np.log(peak / curve(speed)) for curve in curves])
    scatter = 1.4826 * np.median(np.abs(off), axis=1)  # a standard deviation, if it is normal
    limits = np.maximum(_OUT_OF_LINE, _OUT_OF_SCATTER * scatter)
    tolerances = np.maximum(_FITS, 2 * scatter)
    better = int(np.argmin(scatter))
    findings = []
    # Each curve is wrong somewhere: a row must be off both, and either may explain it.
    for index in np.flatnonzero(np.all(np.abs(off) > limits[:, np.newaxis], axis=0)):
        slips = {
            slip: column
            for curve, away, tolerance in zip(curves, off[:, index], tolerances, strict=True)
            for column, slip, shift in _slips(log, moving[index], curve)
            if abs(away - shift) < tolerance
        }
        findings.append(_stands_out(log, moving[index], off[better, index], slips))
    return findings


def _curves_through(speed, peak, step) -> list[Callable]:
    """A power law and a straight line through most rows."""
    from scipy import stats  # takes half a second to load

    if len(speed) > _MOST_COMPARED:
        members = [np.flatnonzero(step == number) for number in np.unique(step)]
        speed, peak = (
            np.array([np.median(values[rows]) for rows in members]) for values in (speed, peak)
        )
    power, factor = stats.siegelslopes(np.log(peak), np.log(speed))
    slope, standstill = stats.siegelslopes(peak, speed)

    def power_law(v):
        return np.exp(factor) * v**power

    def line(v):
        return np.maximum(standstill + slope * v, _LEAST_PEAK)

    return [power_law, line]


def _stands_out(log, index: int, off: float, slips: dict[str, str]) -> Finding:
    times = math.exp(abs(off))
    size = f"{as_number(times, digits=2)} times"
    if off < 0:
        size = f"only {as_number(100 / times, digits=2)} % of"
    likely = log.peak[index].m * math.exp(-off)
    fault = (
        f"is {size} what the other rows suggest at {_written(log, 'speed', index)} "
        f"(about {float(f'{likely:.2g}'):g} {log.symbols['peak']})"
    )
    remedy = "look at its note, and leave it out only for a reason"
    if slips:
        remedy = f"{' or '.join(slips)} would explain it: check it against what was written down"
    column = "peak" if "peak" in slips.values() or not slips else "speed"
    return _finding(log, index, column, fault, remedy)


def _slips(log, index: int, expected: Callable):
    """Every slip known: its column, its name, and how far it shifts the logarithm of the peak."""
    peak, speed = log.peak[index], log.speed[index]
    for unit in _METER_UNITS:
        if registry.Unit(unit) != peak.units:
            yield "peak", f"{peak.m:g} {unit} on the meter", _shift(peak.units, unit)
    yield "peak", "a digit too many", math.log(10)
    yield "peak", "a digit missing", -math.log(10)

    def faster(times):
        v = log.speed_si[index]
        return math.log(expected(times * v) / expected(v))

    for unit in _SPEED_UNITS:
        if registry.Unit(unit) != speed.units:
            times = math.exp(-_shift(speed.units, unit))
            yield "speed", f"a speed of {speed.m:g} {unit}", faster(times)
    yield "speed", "a digit too many in the speed", faster(0.1)


@functools.cache
def _shift(unit, other: str) -> float:
    return math.log(Q(1, unit).m_as(other))


# --- the other signs --------------------------------------------------------------------


def _below_the_one_before(log) -> list[Finding]:
    explained = {finding.row for finding in log.out_of_line}
    faster = np.diff(log.step) > 0
    lower = np.diff(log.peak_si) < 0
    findings = []
    for before in np.flatnonzero(faster & lower).tolist():
        index = before + 1
        if explained.isdisjoint((log.row[before], log.row[index])):
            fault = (
                f"is below {_written(log, 'peak', before)} in row {log.row[before]}, though "
                f"{_written(log, 'speed', index)} is faster than {_written(log, 'speed', before)}"
            )
            remedy = "are the two rows interchanged, or was the line not slack?"
            findings.append(_finding(log, index, "peak", fault, remedy))
    return findings


def at_full_scale(log) -> np.ndarray:
    """Which pulls of a PullLog are at the meter's full scale, as far as the log can tell.

    Where nobody said what the meter can show: those that share the highest peak, of rows that
    are not out of line.
    """
    if log.full_scale is not None:
        return log.peak_si >= _AT_FULL_SCALE * log.full_scale.m_as("N")
    explained = [finding.row for finding in log.out_of_line]
    credible = ~np.isin(log.row, explained)
    highest = credible & (log.peak_si == np.max(log.peak_si, where=credible, initial=0.0))
    return highest if np.sum(highest) > 1 else np.zeros(len(log), dtype=bool)


def _at_full_scale(log) -> list[Finding]:
    fault = "is the highest peak, and was read more than once"
    if log.full_scale is not None:
        fault = f"is at the meter's full scale of {log.full_scale:g~P}"
    remedy = "if the meter can show no more, the true peak was higher: use a larger meter"
    return [
        _finding(log, index, "peak", fault, remedy)
        for index in np.flatnonzero(at_full_scale(log)).tolist()
    ]


def _impossible_column(log) -> list[Finding]:
    moving = log.speed_si > 0
    if not np.any(moving):
        return []
    middle = float(np.median(log.peak_si[moving] / log.speed_si[moving]))
    least, most = _FORCE_FOR_SPEED
    if least <= middle <= most:
        return []
    size = "far less" if middle < least else "far more"
    fault = f"comes to {size} force for each km/h than any vehicle on a rope gives"
    found = f"{as_number(Q(middle, 'N/(m/s)').m_as('kN/(km/h)'), digits=2)} kN per km/h"
    remedy = "check the units in the heading, and how decimals are written"
    return [Finding(None, f"peak [{log.symbols['peak']}]", found, fault, remedy)]


def _finding(log, index: int, column: str, fault: str, remedy: str) -> Finding:
    heading = f"{column} [{log.symbols[column]}]"
    return Finding(int(log.row[index]), heading, _written(log, column, index), fault, remedy)


def _written(log, column: str, index: int) -> str:
    return f"{getattr(log, column).m[index]:g} {log.symbols[column]}"
