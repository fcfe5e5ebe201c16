"""Logbook: the log of a day of pulls that is looked at, and all that follows from it.

A `DayOfPulls` never changes. A `LogBook` holds the one that is open, and tells those who show it
of every change.
"""

import weakref
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

from recoverykit.compare import compare
from recoverykit.fieldlog import read_log
from recoverykit.fits import fit
from recoverykit.pulllog import PullLog
from recoverykit.repeats import drift, repeatability
from recoverykit.shapes import ORIGIN, STIFFENING
from recoverykit.stiffness import effective_stiffness
from recoverykit.tables import DATA
from recoverykit.units import InputError

DEMO_NAME = "Marram Point (invented)"


@dataclass(frozen=True)
class Answer:
    """What came of a question to a log: a `value`, or None and the reason why there is none."""

    value: Any
    reason: str = ""


def answer(function: Callable, *arguments) -> Answer:
    """Ask a log; a log that has too little in it is no error here.

    >>> from recoverykit.units import Q
    >>> answer(repeatability, PullLog(Q([2, 4], "km/h"), Q([7.1, 14], "kN"))).reason
    'no speed was pulled twice; pull each speed at least twice, or look at the fit instead'
    """
    try:
        return Answer(function(*arguments))
    except InputError as fault:
        return Answer(None, str(fault).partition(": ")[2])


@dataclass(frozen=True, eq=False)
class DayOfPulls:
    """A log as it was read, its name, and what is kept of it: all but rows left out on purpose.

    >>> day = demo_day().without(4, 12)
    >>> len(day.log), len(day.kept), day.comparison.value.best.shape.name
    (12, 10, 'stiffening rope')
    """

    log: PullLog
    name: str
    kept: PullLog

    @cached_property
    def comparison(self) -> Answer:
        """All shapes side by side: a Comparison."""
        return answer(compare, self.kept)

    @cached_property
    def repeats(self) -> Answer:
        """How far pulls at one speed scatter: a Repeatability."""
        return answer(repeatability, self.kept)

    @cached_property
    def drift(self) -> Answer:
        """What changed from the first matrix to the last: a Drift."""
        return answer(drift, self.kept)

    def fit(self, shape) -> Answer:
        """A shape laid through the pulls: a Fit."""
        return answer(fit, self.kept, shape)

    def stiffness(self, mass) -> Answer:
        """The rope that would give these peaks: an EffectiveStiffness.

        Of a stiffening rope, or of a straight one where the pulls are too few for that.
        """
        fitted = self.fit(STIFFENING)
        if fitted.value is None:
            fitted = self.fit(ORIGIN)
        return answer(effective_stiffness, fitted.value, mass) if fitted.value else fitted

    def without(self, *rows: int) -> "DayOfPulls":
        """The same day with these rows left out, and no others.

        Raises InputError for a row that is not there, or if no pull would be left.
        """
        return replace(self, kept=self.log.without(*rows) if rows else self.log)


def read_day(source: bytes | str | Path, name: str) -> DayOfPulls:
    """A day from its file. Raises FieldLogError if that cannot be used."""
    log = read_log(source)
    return DayOfPulls(log, name, log)


def demo_day() -> DayOfPulls:
    """The invented pulls of Marram Point, with their two mistakes."""
    return read_day(DATA / "marram_point_pulls.csv", DEMO_NAME)


class LogBook:
    r"""The day that is looked at; `watch` is for those who show it.

    >>> book = LogBook()
    >>> book.read(b"speed [mph],peak [lbf]\n1,900\n2,1850\n", "today.csv")
    >>> book.day.name, len(book.day.log)
    ('today.csv', 2)
    >>> book.read(b"PK\x03\x04", "today.xlsx")
    Traceback (most recent call last):
    ...
    recoverykit.fieldlog.source.FieldLogError: this is a workbook, not a CSV file; open it in the
    spreadsheet and save it as CSV
    >>> book.day.name  # what was open stays open
    'today.csv'
    """

    def __init__(self, day: DayOfPulls | None = None):
        self.day = day or demo_day()
        self._watchers: weakref.WeakSet = weakref.WeakSet()

    def watch(self, watcher) -> None:
        """Call `watcher.show_day(day)` at every change, for as long as the watcher lives."""
        self._watchers.add(watcher)

    def read(self, source: bytes | str | Path, name: str) -> None:
        """Open another log. Raises FieldLogError if it cannot be used; then nothing changes."""
        self._turn_to(read_day(source, name))

    def open_demo(self) -> None:
        """Open the log of Marram Point again."""
        self._turn_to(demo_day())

    def leave_out(self, *rows: int) -> None:
        """Leave out these rows, and no others. Raises InputError if no pull would be left."""
        self._turn_to(self.day.without(*rows))

    def _turn_to(self, day: DayOfPulls):
        self.day = day
        for watcher in list(self._watchers):
            watcher.show_day(day)
