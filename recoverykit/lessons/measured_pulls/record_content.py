"""The record of a day of pulls: what of it is kept on paper, in words for one page.

Everything here is text: `recoverykit.lessons.measured_pulls.record_page` lays it out and prints it.
"""

from dataclasses import dataclass

from recoverykit.measurements.extrapolation import measured_limit_speed
from recoverykit.measurements.session import Answer, Session, answer
from recoverykit.physics.rigging import RiggingLine
from recoverykit.units.quantities import display, show
from recoverykit.units.text import as_sentence, counted

TITLE = "Record of measured pulls"
INVENTED = "EXERCISE. These pulls are invented."
BLANKS = ("Date", "Place", "Crew", "Vehicle, its mass", "Rope and line", "Meter, its sample rate")
CAUTIONS = (
    "A stretched line holds energy and can kill. No number here is a permission to pull.",
    "These are the pulls of one day, with one vehicle and one rope. Follow the makers' "
    "instructions, local rules and a qualified trainer; this record does not replace them.",
)
TITLES = ("Row", "Speed", "Peak", "Round", "Mark", "Note")
MOST_ROWS = 24  # on one page
MOST_FINDINGS = 4

LEFT_OUT = "left out"
LOOKS_WRONG = "looks wrong"
LOOKED_AT = "looked at"


@dataclass(frozen=True)
class PullRecord:
    """All that stands on the page, in the order in which it is read."""

    exercise: str  # nothing, unless the pulls are invented
    source: str
    rows: tuple[tuple[str, ...], ...]
    more: str  # what of the rows is not on the page
    sections: tuple[tuple[str, tuple[str, ...]], ...]


def pull_record(session: Session, line: RiggingLine | None) -> PullRecord:
    """The record of a day, with the limit speed of a line, in the display system in force.

    Without a line there is no limit speed.

    >>> from recoverykit.measurements.session import demo_session
    >>> from recoverykit.physics.rigging import demo_line
    >>> record = pull_record(demo_session().without(4, 12), demo_line())
    >>> record.rows[2]
    ('4', '3.0 km/h', '41.1 kN', '1', 'left out, looks wrong', '')
    >>> for heading, sentences in record.sections:
    ...     print(heading, len(sentences))
    What looks wrong 2
    Shape 1
    Repeatability and drift 2
    Limit speed 1
    """
    log, rows = session.log, _rows(session)
    more = ""
    if len(rows) > MOST_ROWS:
        more = (
            f"Only the first {MOST_ROWS} of {len(rows):,} pulls fit on this page. All of them "
            f"are in the file, and all that are not left out count below."
        )
    return PullRecord(
        exercise=INVENTED if session.invented else "",
        source=f"Log: {session.name}. {session.kept.summary}{_full_scale_in_words(log)}",
        rows=rows[:MOST_ROWS],
        more=more,
        sections=(
            ("What looks wrong", _what_looks_wrong(log)),
            ("Shape", (_said(session.comparison, "The shape"),)),
            (
                "Repeatability and drift",
                (_said(session.repeats, "The scatter"), _said(session.drift, "Drift")),
            ),
            ("Limit speed", (_said(limit_speed_of(session, line), "The limit speed"),)),
        ),
    )


def limit_speed_of(session: Session, line: RiggingLine | None) -> Answer:
    """The limit speed of a line after a day of pulls: a LimitSpeed. Without a line, there is none.

    >>> from recoverykit.measurements.session import demo_session
    >>> limit_speed_of(demo_session(), None).reason
    'it needs the lowest working load limit of your own line'
    """
    if line is None:
        return Answer(None, "it needs the lowest working load limit of your own line")
    if session.comparison.value is None:
        return session.comparison
    return answer(measured_limit_speed, session.comparison.value, line)


def _rows(session: Session) -> tuple[tuple[str, ...], ...]:
    log, system = session.log, display.system
    suspicious = {finding.row for finding in log.outliers}
    marks = (
        (LEFT_OUT, session.kept.left_out),
        (LOOKS_WRONG, suspicious),
        (LOOKED_AT, session.kept.accepted),
    )
    return tuple(
        (
            str(row),
            show(speed, "speed", system),
            show(peak, "force", system),
            str(round_number),
            ", ".join(mark for mark, rows in marks if row in rows),
            note,
        )
        for row, speed, peak, round_number, note in zip(
            log.row.tolist(), log.speed, log.peak, log.round_number.tolist(), log.note, strict=True
        )
    )


def _full_scale_in_words(log) -> str:
    if log.full_scale is None:
        return ""
    return f" The meter can show {show(log.full_scale, 'force')} at most."


def _what_looks_wrong(log) -> tuple[str, ...]:
    told = [as_sentence(finding) for finding in log.outliers]
    more = len(told) - MOST_FINDINGS
    told = told[:MOST_FINDINGS] + [f"And {counted(more, 'more place')}."] * (more > 0)
    if log.problems:
        told.append(f"{counted(len(log.problems), 'place')} of the file could not be read.")
    return tuple(told) or ("No row looks wrong, and all could be read.",)


def _said(found: Answer, what: str) -> str:
    return f"{what} is unknown: {found.reason}." if found.value is None else found.value.summary
