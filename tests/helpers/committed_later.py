"""A stand-in for a guess that a panel waits for."""


class CommittedLater:
    """A guess as the panel sees it."""

    committed = False

    def __init__(self):
        self.values, self.points = {}, []
        self._told = []

    def watch(self, callback):
        self._told.append(callback)

    def commit(self, values=(), *, points=()):
        self.committed, self.values, self.points = True, dict(values), list(points)
        for tell in self._told:
            tell()
