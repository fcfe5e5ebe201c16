"""Sessions: the log of a day of pulls that is looked at, and all that follows from it.

A `Session` never changes. A `CurrentSession` holds the one that is open, and tells those who show
it of every change.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

from recoverykit.measurements.log_table import Chosen
from recoverykit.measurements.model_selection import compare
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.reading import read_log
from recoverykit.measurements.regression import fit
from recoverykit.measurements.repeatability import drift, repeatability
from recoverykit.measurements.shapes import ORIGIN, STIFFENING
from recoverykit.measurements.stiffness import effective_stiffness
from recoverykit.tables.records import DATA
from recoverykit.units.quantities import METRIC, US, DisplaySystem, InputError, display
from recoverykit.units.signals import Signal

DEMO_NAME = "Marram Point (invented)"
# By display system: in each the speeds are round.
_DEMO_LOGS = {METRIC: "marram_point_pulls.csv", US: "marram_point_pulls_us.csv"}


@dataclass(frozen=True)
class Answer:
    """What came of a question to a log: a `value`, or None and the reason why there is none."""

    value: Any
    reason: str = ""


def answer(function: Callable, *arguments) -> Answer:
    """Ask a log; a log that has too little in it is no error here.

    >>> from recoverykit.units.quantities import Q
    >>> answer(repeatability, PullLog(Q([2, 4], "km/h"), Q([7.1, 14], "kN"))).reason
    'no speed was pulled twice; pull each speed at least twice, or look at the fit instead'
    """
    try:
        return Answer(function(*arguments))
    except InputError as fault:
        return Answer(None, str(fault).partition(": ")[2])


@dataclass(frozen=True, eq=False)
class Session:
    """A log as it was read, its name, and what is kept of it: all but rows left out on purpose.

    What is kept also knows which of its rows look wrong, but were looked at and stay.

    >>> session = demo_session().without(4, 12)
    >>> len(session.log), len(session.kept), len(session.comparison.value.possible)
    (12, 10, 4)
    """

    log: PullLog
    name: str
    kept: PullLog

    @property
    def invented(self) -> bool:
        """Whether it is the log of Marram Point."""
        return self.name == DEMO_NAME

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
        """What changed from the first round to the last: a Drift."""
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

    def without(self, *rows: int) -> "Session":
        """The same day with these rows left out, and no others.

        Raises InputError for a row that is not there, or if no pull would be left.
        """
        accepted = [row for row in self.kept.accepted if row not in rows]
        return self._keeping(self.log, rows, accepted)

    def with_accepted(self, *rows: int) -> "Session":
        """The same day in which these rows, and no others, were looked at and stay.

        Raises InputError for a row that is not there.
        """
        left_out = [row for row in self.kept.left_out if row not in rows]
        return self._keeping(self.log, left_out, rows)

    def with_full_scale(self, full_scale) -> "Session":
        """The same day with the most that its meter can show; None if that is not known."""
        log = replace(self.log, full_scale=full_scale)
        return self._keeping(log, self.kept.left_out, self.kept.accepted)

    @property
    def rows_to_look_at(self) -> set[int | None]:
        """The rows that look wrong, but for those that were looked at and stay."""
        return {finding.row for finding in self.log.outliers} - {*self.kept.accepted}

    def _keeping(self, log: PullLog, left_out, accepted) -> "Session":
        kept = log.without(*left_out) if left_out else log
        return replace(self, log=log, kept=kept.with_accepted(*accepted) if accepted else kept)


def read_session(
    source: bytes | str | Path,
    name: str,
    full_scale=None,
    chosen: Mapping[str, Chosen] | None = None,
) -> Session:
    """A day from its file, read as `read_log` does. Raises FieldLogError if it cannot be used."""
    log = read_log(source, full_scale, chosen)
    return Session(log, name, log)


def demo_session(full_scale=None, system: DisplaySystem | None = None) -> Session:
    """The invented pulls of Marram Point, with their two mistakes, at round speeds of a system."""
    return read_session(DATA / _DEMO_LOGS[system or display.system], DEMO_NAME, full_scale)


class CurrentSession:
    r"""The day that is looked at; `changed` sends it to those who show it.

    >>> book = CurrentSession()
    >>> book.read(b"speed [mph],peak [lbf]\n1,900\n2,1850\n", "today.csv")
    >>> book.session.name, len(book.session.log)
    ('today.csv', 2)
    >>> book.read(b"PK\x03\x04", "today.xlsx")
    Traceback (most recent call last):
    ...
    recoverykit.measurements.log_table.FieldLogError: this is a workbook, not a CSV file; open it
    in the spreadsheet and save it as CSV
    >>> book.session.name  # what was open stays open
    'today.csv'
    """

    def __init__(self, session: Session | None = None):
        self.session = session or demo_session()
        self.full_scale = self.session.log.full_scale
        self.changed = Signal()
        display.switched.connect(self.show_in)

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system, where the log of Marram Point is open.

        What was left out, or stays, is so in the other log too: their mistakes are in the same
        rows.
        """
        if self.session.invented:
            kept = self.session.kept
            session = demo_session(self.full_scale, system)
            self._turn_to(session.without(*kept.left_out).with_accepted(*kept.accepted))

    def read(
        self, source: bytes | str | Path, name: str, chosen: Mapping[str, Chosen] | None = None
    ) -> None:
        """Open another log. Raises FieldLogError if it cannot be used; then nothing changes."""
        self._turn_to(read_session(source, name, self.full_scale, chosen))

    def open_demo(self) -> None:
        """Open the log of Marram Point again."""
        self._turn_to(demo_session(self.full_scale))

    def leave_out(self, *rows: int) -> None:
        """Leave out these rows, and no others. Raises InputError if no pull would be left."""
        self._turn_to(self.session.without(*rows))

    def accept(self, *rows: int) -> None:
        """Let these rows, and no others, stay as looked at. Raises InputError if one is not there.

        >>> book = CurrentSession()
        >>> book.accept(4, 12)
        >>> book.session.kept.open_outliers, book.session.kept.accepted
        ((), (4, 12))
        """
        self._turn_to(self.session.with_accepted(*rows))

    def set_full_scale(self, full_scale) -> None:
        """Say what the meter can show at most, in this log and in later ones; None: not known.

        Raises InputError for what is no force above zero; then nothing changes.
        """
        self._turn_to(self.session.with_full_scale(full_scale))
        self.full_scale = full_scale

    def _turn_to(self, session: Session):
        self.session = session
        self.changed.send(session)
