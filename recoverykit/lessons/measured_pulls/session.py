"""What panels on a day of pulls share: the log book that they follow."""

from recoverykit.course.panel import Panel
from recoverykit.measurements.session import CurrentSession, Session


class SessionPanel(Panel):
    """A panel that follows a log book; with a `guess`, all stays hidden until it is committed."""

    def __init__(self, book: CurrentSession | None = None, guess=None):
        self.book = book or CurrentSession()
        if guess is None:  # one's own log, of which no task speaks
            self.tasks = ()
        super().__init__(guess)
        self.book.changed.connect(self.show_session)

    def show_session(self, session: Session) -> None:
        """Follow a change of the log."""
        self._refresh()
