"""A stand-in for a guess that a panel waits for."""

from recoverykit.units.signals import Signal


class CommittedLater:
    """A guess as the panel sees it."""

    committed = False

    def __init__(self):
        self.values, self.points = {}, []
        self.changed = Signal()

    def commit(self, values=(), *, points=()):
        self.committed, self.values, self.points = True, dict(values), list(points)
        self.changed.send()
