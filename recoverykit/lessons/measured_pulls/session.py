"""What panels on a day of pulls share: the log book that they follow."""

from recoverykit.course.inputs import Input, Tick
from recoverykit.course.panel import Panel
from recoverykit.measurements.session import CurrentSession

LEFT_OUT = "wrong_rows_left_out"
HELP = "These rows look wrong. Ask whoever wrote them down before you leave them out."


class SessionPanel(Panel):
    """A panel that follows a log book; with a `guess`, all stays hidden until it is committed."""

    left_out_on_pages = False  # at first, the rows that look wrong

    def __init__(self, book: CurrentSession | None = None, guess=None):
        self.book = book or CurrentSession()
        if guess is None:  # one's own log, of which no task speaks
            self.tasks = ()
        super().__init__(guess)
        self.book.changed.connect(self._refresh)

    @property
    def on_pages(self) -> tuple[Input, ...]:
        """On pages a tick stands for the list of rows that look wrong."""
        rows = " and ".join(map(str, self._wrong_rows))
        tick = Tick(LEFT_OUT, f"Leave out rows {rows}", self.left_out_on_pages)
        return (tick.with_help(HELP),)

    @property
    def _wrong_rows(self) -> tuple[int, ...]:
        found = (each.row for each in self.book.session.log.outliers)
        return tuple(dict.fromkeys(row for row in found if row))

    def set(self, **values) -> None:
        """Set inputs by name, and on pages whether the rows that look wrong are left out."""
        if LEFT_OUT in values:
            rows = self._wrong_rows if values.pop(LEFT_OUT) else ()
            if rows != self.book.session.kept.left_out:  # else all is worked out twice
                self.book.leave_out(*rows)
        super().set(**values)
