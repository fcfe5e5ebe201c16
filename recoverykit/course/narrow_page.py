"""Whether the page that shows a lesson is narrow, as on a phone; only the page itself knows."""

import ipywidgets

from recoverykit.units.signals import Signal


class Page:
    """The page of a lesson; `changed` sends whether it is narrow to what has such a layout."""

    def __init__(self):
        self.narrow = False
        self.changed = Signal()

    def show_narrow(self, narrow: bool) -> None:
        """Tell everything that is shown that the page is narrow, or is no longer."""
        self.narrow = narrow
        self.changed.send(narrow)


page = Page()


class NarrowPage(ipywidgets.Checkbox):
    """A box that nobody sees; the page ticks it where it is narrow."""

    def __init__(self):
        super().__init__(value=page.narrow, layout={"display": "none"})
        self.add_class("recoverykit-narrow-page")  # what accessible.js knows it by
        self.observe(lambda change: page.show_narrow(change["new"]), "value")
