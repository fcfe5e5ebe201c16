"""The record of a day of pulls as a page: blanks, pulls, picture, and what follows from them."""

import numpy as np
from matplotlib.figure import Figure

from recoverykit.course import picture as p
from recoverykit.course.page import GAP, SHADE, Column, Page
from recoverykit.lessons.measured_pulls.pulls_picture import (
    BEYOND,
    draw_bands,
    draw_pulls,
    hatch_unmeasured,
    highest_speed,
    legend,
    name_pull_axes,
    top_of,
)
from recoverykit.lessons.measured_pulls.record_content import (
    BLANKS,
    CAUTIONS,
    TITLE,
    TITLES,
    PullRecord,
    pull_record,
)
from recoverykit.measurements.extrapolation import next_step
from recoverykit.measurements.session import Session
from recoverykit.measurements.shapes import ROPE
from recoverykit.physics.rigging import RiggingLine
from recoverykit.units.quantities import InputError, display

SIZES = tuple(8.5 - 0.25 * step for step in range(11))  # points; the largest that fits is taken
SHARES = (0.06, 0.11, 0.13, 0.08, 0.24, 0.38)  # of the width: the columns of the table
LEAST_PICTURE, TALLEST_PICTURE = 62.0, 110.0  # mm


def record_page(session: Session, line: RiggingLine | None, paper: str) -> Figure:
    """Lay the record of a day out on a paper, "A4" or "Letter", in the largest text that fits.

    Raises InputError for another paper, and for a record that does not fit on one page.
    """
    record = pull_record(session, line)
    for size in SIZES:
        spare = _Sheet(paper, size).lay(record, LEAST_PICTURE)[1]
        if spare >= 0:
            sheet = _Sheet(paper, size)
            place, _ = sheet.lay(record, min(LEAST_PICTURE + spare, TALLEST_PICTURE))
            draw_session(sheet.axes(*place), session, line, size)
            return sheet.figure
    raise InputError("the record does not fit on one page: leave out rows, or use a shorter log")


class _Sheet(Page):
    """The page of a record."""

    def lay(self, record: PullRecord, picture: float) -> tuple[tuple[float, ...], float]:
        """Write a record around a picture of some height.

        Returns where the picture goes, and how much room is left below: less than nothing if none.
        """
        column = self.all
        self._head(column, record)
        self._table(column, record)
        place = (column.left + 18, column.y + 9, column.width - 21, picture - 20)
        column.y += picture
        for heading, sentences in record.sections:
            self.heading(column, heading)
            for sentence in sentences:
                self.paragraph(column, sentence)
            column.y += 0.6 * GAP
        self.boxed(column, CAUTIONS)
        return place, self.bottom - column.y

    def _head(self, column, record):
        size = 2 * self.size
        self.write(column.left, column.y, TITLE, size, "bold")
        right = column.left + column.width
        self.write(right, column.y + 1.5, record.exercise, self.size, "bold", ha="right")
        column.y += self.line_height(size) + 2
        width = (column.width - 6) / 2
        halves = [Column(column.left + n * (width + 6), width, column.y) for n in (0, 1)]
        for number, label in enumerate(BLANKS):
            self.blank(halves[number % 2], label)
        column.y = halves[0].y
        self.paragraph(column, record.source)
        column.y += 0.5 * GAP

    def _table(self, column, record):
        widths = [share * column.width for share in SHARES]
        normal = ["normal"] * len(widths)
        self.row(column, TITLES, widths, ["bold"] * len(widths), facecolor=SHADE)
        for *cells, note in record.rows:
            note = self.cut(note, widths[-1] - 2.4)
            self.row(column, [*cells, note], widths, normal)
        if record.more:
            column.y += 0.3 * GAP
            self.paragraph(column, record.more, weight="bold")
        column.y += GAP


def draw_session(axes, session: Session, line: RiggingLine | None, size: float) -> None:
    """Draw a day's pulls with the rope that they show and its bands, and the line's working limit.

    The rope is the shape behind the limit speed, unless the pulls rule it out; it is drawn no
    further than one step beyond the measured speeds. `size` is that of the text, in points.
    """
    system = display.system
    end, curve = BEYOND * highest_speed(session), None
    comparison = session.comparison.value
    if comparison and not comparison.of(ROPE).ruled_out:
        last = next_step(comparison).speed
        end, speeds = max(end, last), np.linspace(0, 1, 121) * last
        curve = comparison.of(ROPE).fit.band(speeds)
    limit = line.working_load_limit if line else None
    values = [] if curve is None else curve.prediction_high.m_as(system.unit("force"))
    shown = 0 if limit is None else limit.m_as(system.unit("force"))
    top = top_of(session, system, values)
    axes.set_xlim(0, end.m_as(system.unit("speed")))
    axes.set_ylim(0, max(top, p.round_top(1.1 * shown)) if 0 < shown < 2 * top else top)
    name_pull_axes(axes, system)
    hatch_unmeasured(axes, session, system)
    if curve is not None:
        draw_bands(axes, speeds, curve, system, ROPE.name)
    draw_pulls(axes, session, system)
    if limit is not None:
        axes.axhline(shown, color=p.BLACK, linestyle="--", linewidth=1.5, label="working limit")
    legend(axes)
    labels = [axes.xaxis.label, axes.yaxis.label, *axes.texts, *axes.get_legend().get_texts()]
    for label in (*labels, *axes.get_xticklabels(), *axes.get_yticklabels()):
        label.set_fontsize(size)
