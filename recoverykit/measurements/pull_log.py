"""Pull log: measured pulls as a record, with what is known about every row."""

import functools
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from recoverykit.measurements.outliers import (
    Finding,
    at_full_scale,
    by_row,
    out_of_line,
    outliers,
)
from recoverykit.units.quantities import InputError, Q, show
from recoverykit.units.text import counted
from recoverykit.units.validation import fields_to_si, not_negative, positive

STEP_WIDTH = 0.4  # km/h: pulls whose speeds differ by no more are repeats of one speed


_WORKED_OUT: Any = None  # where it is left out


@dataclass(frozen=True, eq=False)
class PullLog:
    """Measured pulls: the speed as the line came taut, and the peak that the meter showed.

    `speed` and `peak` are quantities with one entry a pull, in the order of pulling.
    `round_number` is the number of the series (all speeds once through) that each pull belongs to;
    without it, the first pull at a speed belongs to the first round, the second to the second, and
    so on. `row` says where each pull stands in its file, `full_scale` the most that the meter can
    show. `problems` are rows that could not be read, `remarks` say how the file was read,
    `accepted` are rows that look wrong, were looked at, and stay.
    Range: speed ≥ 0, peak > 0, at least one pull. Raises InputError otherwise.

    >>> log = PullLog(Q([2, 4, 2, 4], "km/h"), Q([7.1, 14.0, 7.4, 14.9], "kN"))
    >>> log.round_number.tolist(), log.step.tolist()
    ([1, 1, 2, 2], [0, 1, 0, 1])
    >>> print(log.summary)
    4 pulls at 2 speeds, from 2.0 km/h to 4.0 km/h.
    """

    speed: Q
    peak: Q
    round_number: np.ndarray = _WORKED_OUT
    note: tuple[str, ...] = _WORKED_OUT
    row: np.ndarray = _WORKED_OUT
    full_scale: Q | None = None
    problems: tuple[Finding, ...] = ()
    warnings: tuple[Finding, ...] = ()  # what reading itself found odd in rows that were kept
    remarks: tuple[str, ...] = ()
    left_out: tuple[int, ...] = ()
    accepted: tuple[int, ...] = ()
    speed_si: np.ndarray = field(init=False, repr=False)
    peak_si: np.ndarray = field(init=False, repr=False)

    def __post_init__(self):
        meter = {} if self.full_scale is None else {"full_scale": positive("force", single=True)}
        si = fields_to_si(self, speed=not_negative("speed"), peak=positive("force"), **meter)
        count = np.size(si["peak"])
        for name in ("speed", "peak"):
            given = getattr(self, name)
            self._set(name, Q(np.broadcast_to(given.m, count).astype(float), given.units))
            self._set(f"{name}_si", np.broadcast_to(si[name], count))
        self._set("row", np.arange(1, count + 1) if self.row is None else np.asarray(self.row))
        self._set("note", ("",) * count if self.note is None else tuple(self.note))
        self._set("round_number", _whole_rounds(self.round_number, self.step))

    def _set(self, name: str, value) -> None:
        object.__setattr__(self, name, value)

    def __len__(self):
        return len(self.peak_si)

    @functools.cached_property
    def step(self) -> np.ndarray:
        """The number of each pull's speed step, counted from 0 for the slowest.

        A step begins with the slowest speed that is left and takes in all within 0.4 km/h of it.
        """
        speeds, position = np.unique(self.speed_si, return_inverse=True)
        step = np.zeros(len(speeds), dtype=int)
        width = STEP_WIDTH / 3.6 * (1 + 1e-9)
        start, number = 0, 0
        while start < len(speeds):
            end = np.searchsorted(speeds, speeds[start] + width, side="right")
            step[start:end] = number
            start, number = end, number + 1
        return step[position]

    @functools.cached_property
    def symbols(self) -> dict[str, str]:
        """The units of speed and peak as they are written."""
        return {name: f"{getattr(self, name).units:~P}" for name in ("speed", "peak")}

    @functools.cached_property
    def outliers(self) -> tuple[Finding, ...]:
        """Rows that look wrong though they could be read; see `outliers.outliers`."""
        return by_row([*self.warnings, *outliers(self)])

    @property
    def open_outliers(self) -> tuple[Finding, ...]:
        """Outliers in rows that nobody has looked at yet."""
        return tuple(finding for finding in self.outliers if finding.row not in self.accepted)

    @functools.cached_property
    def out_of_line(self) -> list[Finding]:
        """Rows that stand out from the others; see `outliers.outliers`."""
        return out_of_line(self)

    @functools.cached_property
    def full_scale_at(self) -> Q | None:
        """The slowest speed at which a pull was at the meter's full scale; None if none was.

        Where nobody said what the meter can show, a highest peak that was read at more than one
        speed counts as its full scale, until all rows with it were looked at.
        """
        stuck = at_full_scale(self)
        if self.full_scale is None:
            accepted = np.all(np.isin(self.row[stuck], self.accepted))
            if accepted or len(np.unique(self.step[stuck])) < 2:
                return None
        return Q(float(self.speed_si[stuck].min()), "m/s") if stuck.any() else None

    @property
    def below_full_scale(self) -> "PullLog":
        """The same log without the speed steps from the slowest on with a pull at full scale.

        Of such a pull it is only known that its peak was as high or higher. The whole step goes,
        and all that are faster: of two pulls at one speed the lower one alone would flatter.
        Raises InputError if no pull would be left.
        """
        if self.full_scale_at is None:
            return self
        first = self.step[self.speed_si >= self.full_scale_at.m_as("m/s")].min()
        if first == 0:
            raise InputError(
                "PullLog.below_full_scale: a pull at the slowest speed was at the meter's full "
                "scale; use a larger meter"
            )
        return self.without(*self.row[self.step >= first].tolist())

    @property
    def summary(self) -> str:
        """How many pulls, at which speeds, and what became of the other rows."""
        low, high = (show(Q(v, "m/s"), "speed") for v in (self.speed_si.min(), self.speed_si.max()))
        steps = self.step.max() + 1
        parts = [
            f"{counted(len(self), 'pull')} at {counted(steps, 'speed')}, from {low} to {high}."
        ]
        if self.problems:
            parts.append(f"{counted(len(self.problems), 'place')} could not be read.")
        if self.open_outliers:
            parts.append(f"{counted(len(self.open_outliers), 'place')} should be looked at again.")
        if self.accepted:
            parts.append(f"Looked at, and kept: {_rows(self.accepted)}.")
        if self.full_scale_at is not None:
            parts.append(
                f"From {show(self.full_scale_at, 'speed')} on no pull is counted: one there was at "
                f"the meter's full scale, and its true peak is not known."
            )
        if self.left_out:
            parts.append(f"Left out on purpose: {_rows(self.left_out)}.")
        return " ".join(parts)

    def without(self, *rows: int) -> "PullLog":
        """The same log without some rows, which it goes on naming in `left_out`.

        Raises InputError for a row that is not there, or if no pull would be left.

        >>> log = PullLog(Q([2, 4, 6], "km/h"), Q([7.1, 14.0, 201], "kN")).without(3)
        >>> len(log), log.left_out
        (2, (3,))
        """
        self._check_rows("without", rows)
        keep = ~np.isin(self.row, rows)
        if not keep.any():
            raise InputError("PullLog.without: no pull would be left; leave out fewer rows")
        return replace(
            self,
            speed=self.speed[keep],
            peak=self.peak[keep],
            round_number=self.round_number[keep],
            note=tuple(note for note, kept in zip(self.note, keep, strict=True) if kept),
            row=self.row[keep],
            warnings=tuple(finding for finding in self.warnings if finding.row not in rows),
            left_out=(*self.left_out, *rows),
            accepted=tuple(row for row in self.accepted if row not in rows),
        )

    def with_accepted(self, *rows: int) -> "PullLog":
        """The same log in which these rows, and no others, were looked at and stay.

        Raises InputError for a row that is not there.

        >>> log = PullLog(Q([2, 4, 6, 8], "km/h"), Q([7.1, 14.0, 60, 28.2], "kN"))
        >>> print(log.with_accepted(3).summary)
        4 pulls at 4 speeds, from 2.0 km/h to 8.0 km/h. Looked at, and kept: row 3.
        """
        self._check_rows("with_accepted", rows)
        return replace(self, accepted=rows)

    def _check_rows(self, method: str, rows: tuple[int, ...]) -> None:
        missing = [row for row in rows if row not in self.row]
        if missing:
            raise InputError(
                f"PullLog.{method}: there is no pull in row {missing[0]}; the pulls stand in rows "
                f"{self.row.min()} to {self.row.max()}"
            )


def _whole_rounds(given: np.ndarray | None, step: np.ndarray) -> np.ndarray:
    """The round of every pull: as given, or else (0, None) how often its speed was pulled."""
    order = np.argsort(step, kind="stable")
    first = np.searchsorted(step[order], step[order])
    round_number = np.empty(len(step), dtype=int)
    round_number[order] = np.arange(len(step)) - first + 1
    if given is None:
        return round_number
    return np.where(np.asarray(given) > 0, given, round_number)


def _rows(numbers: tuple[int, ...]) -> str:
    return f"row{'s' * (len(numbers) > 1)} {', '.join(map(str, numbers))}"
