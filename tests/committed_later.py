"""A stand-in for a guess that a panel waits for."""


class CommittedLater:
    """A guess as the panel sees it."""

    committed = False
    values = None
    points = None

    def __init__(self):
        self._told = []

    def watch(self, callback):
        self._told.append(callback)

    def commit(self, values=None, *, points=None):
        self.committed, self.values, self.points = True, values, points
        for tell in self._told:
            tell()
