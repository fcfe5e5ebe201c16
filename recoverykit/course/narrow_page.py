"""Whether the page that shows a lesson is narrow, as on a phone; only the page itself knows."""

import weakref

import ipywidgets


class Page:
    """The page of a lesson; whatever has a layout for phones follows it."""

    def __init__(self):
        self.narrow = False
        self._watchers: weakref.WeakSet = weakref.WeakSet()

    def show_narrow(self, narrow: bool) -> None:
        """Tell everything that is shown that the page is narrow, or is no longer."""
        self.narrow = narrow
        for watcher in list(self._watchers):
            watcher.show_narrow(narrow)

    def watch(self, watcher) -> None:
        """Call `watcher.show_narrow(narrow)` at every change, for as long as the watcher lives."""
        self._watchers.add(watcher)


page = Page()


class NarrowPage(ipywidgets.Checkbox):
    """A box that nobody sees; the page ticks it where it is narrow."""

    def __init__(self):
        super().__init__(value=page.narrow, layout={"display": "none"})
        self.add_class("recoverykit-narrow-page")  # what accessible.js knows it by
        self.observe(lambda change: page.show_narrow(change["new"]), "value")
