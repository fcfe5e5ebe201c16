"""Changes that others follow."""

import weakref
from collections.abc import Callable


class Signal:
    """A change, and the methods that are called when it comes.

    An object that nobody else holds is let go, and no longer called.

    >>> class Dial:
    ...     def show(self, number):
    ...         print("now", number)
    >>> turned, dial = Signal(), Dial()
    >>> turned.connect(dial.show)
    >>> turned.send(3)
    now 3
    """

    def __init__(self) -> None:
        self._methods: list[weakref.WeakMethod] = []

    def __len__(self) -> int:
        """How many are called."""
        return sum(method() is not None for method in self._methods)

    def connect(self, method: Callable[..., object]) -> None:
        """Call this method of an object at every change, once, for as long as the object lives."""
        self._methods = [each for each in self._methods if each() not in (None, method)]
        self._methods.append(weakref.WeakMethod(method))

    def send(self, *news: object) -> None:
        """Call all methods with the news, in the order in which they were connected."""
        for each in tuple(self._methods):
            if method := each():
                method(*news)
