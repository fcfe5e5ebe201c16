"""What panels on a day of pulls share: the log book that they follow, and a guess to wait for."""

from recoverykit.course.panel import Panel
from recoverykit.measurements.session import CurrentSession, Session

WAITING = "Write down your guess first: then the answer appears here."


class SessionPanel(Panel):
    """A panel that follows a log book; with a `guess`, all stays hidden until it is committed.

    Result records have a field `revealed`, and a panel of its own gives `words` for `describe`.
    """

    def __init__(self, book: CurrentSession | None = None, guess=None):
        self.book = book or CurrentSession()
        super().__init__(guess)
        self.book.watch(self)

    def show_session(self, session: Session) -> None:
        """Follow a change of the log."""
        self._refresh()

    def describe(self, result, system):
        """What there is to say, once the learner has guessed."""
        return self.words(result, system) if result.revealed else WAITING

    def words(self, result, system) -> str:
        """One to three plain sentences on a result."""
        raise NotImplementedError
