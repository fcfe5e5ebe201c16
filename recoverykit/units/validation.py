"""Validation: quantities outside, SI floats inside.

Public functions take and give pint quantities; inside there are plain floats or arrays.
`takes_quantities` checks every argument, converts it, and names each fault in one sentence.
"""

import functools
import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Protocol, cast

import numpy as np

from recoverykit.units.quantities import KINDS, InputError, Q, brief, excerpt, floats_in, unit_of
from recoverykit.units.text import counted


class Check(Protocol):
    """What is asked of one argument."""

    @property
    def example(self) -> str:
        """What could be written for it in Python."""

    def convert(self, given):
        """What is worked with. Raises InputError for what is not as it must be."""


@dataclass(frozen=True)
class Argument(Check):
    """What one argument must be: its kind, its limits (SI), and whether arrays will not do."""

    kind: str
    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    single: bool = False

    @property
    def example(self) -> str:
        """What could be written for it in Python."""
        return KINDS[self.kind].code

    def convert(self, given):
        """The SI float or array of a quantity. Raises InputError if it is not what it must be."""
        kind = KINDS[self.kind]
        value = floats_in(unit_of(kind.si), kind, given)
        if value.size == 0:
            raise InputError("an empty list came")
        if self.single and value.ndim:
            raise InputError(f"{excerpt(given)} is a list, and one {kind.noun} is wanted")
        self._refuse(given, ~np.isfinite(value), "is not a finite number")
        largest = "is beyond {}, the largest that can be used"
        self._refuse(given, np.abs(value) > kind.largest, largest, kind.largest)
        if self.above is not None:
            self._refuse(given, value <= self.above, "is not above {}", self.above)
            # What must not be zero is often divided by.
            smallest = f"is below {kind.smallest:g} {kind.si}".rstrip()
            too_small = np.abs(value) < kind.smallest
            self._refuse(given, too_small, f"{smallest}, the smallest that can be used")
        if self.at_least is not None:
            self._refuse(given, value < self.at_least, "is below {}", self.at_least)
        if self.at_most is not None:
            self._refuse(given, value > self.at_most, "is above {}", self.at_most)
        return value if value.ndim else float(value)

    def _refuse(self, given, wrong: np.ndarray, why: str, limit: float = 0.0) -> None:
        """Raise InputError for the first number, of one or many, that is wrong."""
        if np.any(wrong):
            number = np.ravel(Q(given))[np.argmax(wrong)] if wrong.ndim else given
            shown = brief(from_si(limit, self.kind), self.kind) if limit else "0"
            raise InputError(f"{excerpt(number)} {why.format(shown)}")


def positive(kind: str, at_most: float | None = None, single: bool = False) -> Argument:
    """An argument that must be greater than zero."""
    return Argument(kind, above=0.0, at_most=at_most, single=single)


def not_negative(kind: str, at_most: float | None = None, single: bool = False) -> Argument:
    """An argument that must be zero or more."""
    return Argument(kind, at_least=0.0, at_most=at_most, single=single)


class TakesQuantities(Protocol):
    """A public function: the one on SI floats, what it asks of its arguments, and what it gives."""

    si: Callable
    arguments: Mapping[str, Argument]
    returns: str | None

    def __call__(self, *args, **kwargs) -> Any:
        """Take and give quantities."""


def takes_quantities(
    returns: str | None = None, **arguments: Argument
) -> Callable[[Callable], TakesQuantities]:
    """Make a function on SI floats public: it then takes and gives quantities.

    Every argument named here is checked and converted; all faults are reported at once.
    The function on floats stays at hand as `.si`, for loops and other modules of the library.

    >>> from recoverykit.units.quantities import GRAVITY, show
    >>> @takes_quantities(returns="energy", mass=positive("mass"), height=not_negative("length"))
    ... def energy_of_height(mass, height):
    ...     return mass * GRAVITY * height
    >>> show(energy_of_height(Q(1000, "kg"), Q(3, "ft")), "energy")
    '8.97 kJ'
    >>> energy_of_height(Q(1000, "lbf"), 3)
    Traceback (most recent call last):
    ...
    recoverykit.units.quantities.InputError: energy_of_height:
      mass: 1000 lbf is not a mass; write for example mass=Q(2500, "kg")
      height: 3 has no unit; write for example height=Q(9, "m")
    """

    def decorate(function):
        signature = inspect.signature(function)
        name = function.__qualname__.rpartition("<locals>.")[2]
        if unknown := arguments.keys() - signature.parameters.keys():
            raise TypeError(f"{name} has no argument {', '.join(sorted(unknown))} to check")

        @functools.wraps(function)
        def public(*args, **kwargs):
            try:
                given = signature.bind(*args, **kwargs).arguments
            except TypeError as error:
                usage = ", ".join(f"{n}={a.example}" for n, a in arguments.items())
                raise InputError(f"{name}: {error}; write for example {name}({usage})") from None
            checked = {each: arguments[each] for each in given if each in arguments}
            floats = to_si(name, checked, given)
            result = function(**{**given, **floats})
            return result if returns is None else from_si(result, returns)

        takes_quantities_of = cast(TakesQuantities, public)
        takes_quantities_of.si, takes_quantities_of.arguments, takes_quantities_of.returns = (
            function,
            arguments,
            returns,
        )
        return takes_quantities_of

    return decorate


def to_si(owner: str, arguments: Mapping[str, Check], given: Mapping[str, Any]) -> dict:
    """Check quantities and give them as SI floats or arrays; raise one InputError for all faults.

    >>> to_si("Rope", {"length": positive("length")}, {"length": Q(900, "cm")})
    {'length': 9.0}
    """
    values, faults = {}, []
    for name, argument in arguments.items():
        try:
            values[name] = argument.convert(given[name])
        except InputError as fault:
            faults.append(f"{name}: {fault}; write for example {name}={argument.example}")
    if not faults:
        try:
            np.broadcast_shapes(*(np.shape(value) for value in values.values()))
        except ValueError:
            sizes = {name: np.size(value) for name, value in values.items() if np.ndim(value)}
            told = ", ".join(f"{name} has {counted(size, 'value')}" for name, size in sizes.items())
            faults.append(f"these lists do not fit together: {told}; give them equal lengths")
    if faults:
        raise InputError("\n  ".join([f"{owner}:", *faults]))
    return values


def fields_to_si(record, **arguments: Check) -> dict:
    """Check fields of a dataclass and give them as SI floats or arrays; see `to_si`."""
    given = {name: getattr(record, name) for name in arguments}
    return to_si(type(record).__name__, arguments, given)


def from_si(value, kind: str):
    """An SI float or array as a quantity in SI units."""
    return Q(value, unit_of(KINDS[kind].si))
