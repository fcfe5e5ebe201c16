"""A stand-in for a guess that a panel waits for."""


class CommittedLater:
    """A guess as the panel sees it."""

    committed = False
    values = None

    def watch(self, callback):
        self.tell = callback

    def commit(self, values):
        self.committed, self.values = True, values
        self.tell()
