"""Units: the one pint registry, the kinds of quantity, and how they are shown."""

import contextlib
import functools
import math
import numbers
import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
import pint

from recoverykit.units.signals import Signal


class InputError(ValueError):
    """Something that was put in cannot be used; the message says what to write instead."""


class _Quantity(pint.UnitRegistry.Quantity):
    """pint's quantity, which refuses in the library's own words what is neither number nor list."""

    def __new__(cls, value, units=None):
        if isinstance(value, (list, tuple)):
            value = _as_array(value)
        elif value is None or isinstance(value, (bool, dict)):
            raise InputError(f'{value!s:.60} is not a number; write for example Q(2500, "kg")')
        return super().__new__(cls, value, units)


def _as_array(values) -> np.ndarray:
    """A list as an array, which would lend the values that are masked in it."""
    if any(np.ma.is_masked(value) for value in values):
        raise InputError(_MASKED)
    try:
        return np.asarray(values)
    except (TypeError, ValueError):  # of quantities; lists in it are of different lengths
        raise InputError(f"{excerpt(values)} is not a list of numbers") from None


_MASKED = "some of its values are masked: leave these out, with .compressed()"


class _Registry(pint.registry.GenericUnitRegistry[_Quantity, pint.Unit]):
    Quantity: TypeAlias = _Quantity
    Unit: TypeAlias = pint.Unit


registry = _Registry()
registry.formatter.default_format = "~P"
if TYPE_CHECKING:  # pint makes the class of a registry's quantities when it runs
    Q: TypeAlias = pint.Quantity
else:
    Q = registry.Quantity

GRAVITY = 9.80665  # m/s², standard gravity, exact (BIPM)


@functools.cache
def unit_of(name: str) -> pint.Unit:
    """A unit of the registry by its name."""
    return registry.Unit(name)  # parsing the name takes ten times as long as converting


# --- kinds of quantity ------------------------------------------------------------------


@dataclass(frozen=True)
class Kind:
    """One kind of quantity: its units inside, in both display systems, and an example of each.

    `smallest` and `largest` (SI) are the least size other than zero and the greatest one that this
    library computes with. Both are far beyond any recovery; they only keep typing errors from
    becoming absurd or infinite. `decimals` is the most that are worth showing.
    """

    article: str
    si: str
    metric: str
    us: str
    examples: tuple[str, str]
    smallest: float
    largest: float
    decimals: int = 3

    @property
    def noun(self) -> str:
        """What a quantity of this kind is called."""
        return self.article.partition(" ")[2]

    @property
    def code(self) -> str:
        """How a quantity of this kind is written in Python."""
        value, _, unit = self.examples[0].partition(" ")
        return f'Q({value}, "{unit}")' if unit != "%" else f'Q({value}, "percent")'


KINDS = {
    "mass": Kind("a mass", "kg", "kg", "lb", ("2500 kg", "5500 lb"), 1e-3, 1e6),
    "speed": Kind("a speed", "m/s", "km/h", "mph", ("5 km/h", "3 mph"), 1e-6, 100.0, 1),
    # What a parted line throws: faster than any vehicle.
    "flight": Kind("a speed", "m/s", "km/h", "mph", ("100 km/h", "60 mph"), 1e-6, 1000.0, 1),
    "force": Kind("a force", "N", "kN", "lbf", ("38 kN", "8500 lbf"), 1e-3, 1e9),
    "length": Kind("a length", "m", "m", "ft", ("9 m", "30 ft"), 1e-6, 1e4),
    # Of a rope under load: in US units it is inches, however many.
    "stretch": Kind("a stretch", "m", "m", "in", ("0.5 m", "20 in"), 1e-6, 1e4),
    "diameter": Kind("a diameter", "m", "mm", "in", ("24 mm", "1 in"), 1e-6, 10.0),
    "energy": Kind("an energy", "J", "kJ", "ft*lbf", ("5 kJ", "3700 ft·lbf"), 1e-6, 1e12),
    "stiffness": Kind(
        "a stiffness", "N/m", "kN/m", "lbf/ft", ("15 kN/m", "1000 lbf/ft"), 1e-3, 1e10
    ),
    "time": Kind("a time", "s", "s", "s", ("2 s", "2 s"), 1e-12, 1e6),
    "frequency": Kind("a frequency", "Hz", "Hz", "Hz", ("10 Hz", "10 Hz"), 1e-6, 1e9),
    "angle": Kind("an angle", "rad", "degree", "degree", ("30 °", "30 °"), 1e-9, 10.0),
    "ratio": Kind("a ratio", "", "percent", "percent", ("28 %", "28 %"), 1e-9, 1e6, 1),
    "number": Kind("a number", "", "", "", ("5", "5"), 1e-9, 1e6),
}


def kind_named(name: str) -> Kind:
    """A kind of quantity by its name."""
    if not isinstance(name, str) or name not in KINDS:
        raise InputError(f"there is no kind of quantity {name!r}; there are {', '.join(KINDS)}")
    return KINDS[name]


# --- from a quantity to floats ------------------------------------------------------------


def floats_in(unit: pint.Unit, kind: Kind, given) -> np.ndarray:
    """A quantity of a kind as floats in a unit, in the shape in which it came.

    Raises InputError, which says what came instead, for anything that is no real number of this
    kind. Not-a-number and infinity are floats.

    >>> float(floats_in(unit_of("kg"), KINDS["mass"], Q(2, "tonne")))
    2000.0
    """
    if isinstance(given, str):
        raise InputError(f"{given[:60]!r} is text")
    if isinstance(given, Q):
        values, given_unit = given.m, given.units
    elif isinstance(given, pint.Quantity):
        raise InputError(f"{excerpt(given)} has a unit of another registry")
    elif kind.si:
        raise InputError(f"{excerpt(given)} has no unit")
    else:
        values, given_unit = given, unit_of("")
    factor = _factor(given_unit, unit)
    if factor is None:
        raise InputError(f"{excerpt(given)} is not {kind.article}")
    return as_floats(values) * factor


def excerpt(given) -> str:
    """What was given, as it can be quoted in a sentence: on one line, and not too long."""
    try:
        text = str(given) if isinstance(given, pint.Quantity) else repr(given)
    except ValueError:  # Python writes no whole number of more than 4300 digits
        text = f"a {type(given).__name__} of very many digits"
    text = " ".join(text.split())
    return text if len(text) <= 60 else f"{text[:60]}…"


@functools.lru_cache(maxsize=1024)
def _factor(given_unit: pint.Unit, unit: pint.Unit) -> float | None:
    """What converts numbers from one unit to another; None where these measure different things.

    pint takes a radian for a plain number, so that turns per minute would pass for a frequency, and
    percent for an angle. Here both units have to hold the same power of an angle. Degrees of
    temperature and decibels have no factor.
    """
    try:
        ratio = Q(1.0, given_unit / unit).to_root_units()
        if ratio.unitless and Q(0.0, given_unit).m_as(unit) == 0:
            return Q(1.0, given_unit).m_as(unit)
    except pint.DimensionalityError:
        pass
    return None


def as_floats(values) -> np.ndarray:
    """Real numbers as floats; what only looks like one, such as text or a date, is refused."""
    if np.ma.is_masked(values):
        raise InputError(_MASKED)
    array = values if isinstance(values, np.ndarray) else _as_objects(values)
    if array.dtype.kind not in "iufO":
        raise InputError(f"{excerpt(values)} is not a number")
    if array.dtype.kind == "O":
        for value in array.flat:
            # A span of time of numpy is a whole number to Python.
            no_number = isinstance(value, (bool, np.timedelta64))
            if no_number or not isinstance(value, (numbers.Real, Decimal)):
                raise InputError(f"{excerpt(value)} is not a number")
    try:
        with np.errstate(over="ignore"):  # infinity is refused where it matters
            return np.asarray(array, dtype=float)
    except OverflowError:
        raise InputError(f"{excerpt(values)} is too large a number") from None
    except (TypeError, ValueError):
        raise InputError(f"{excerpt(values)} is not a number") from None


def _as_objects(values) -> np.ndarray:
    try:
        return np.asarray(values, dtype=object)
    except ValueError:  # lists in it are of different lengths
        raise InputError(f"{excerpt(values)} is not a number") from None


# --- display systems --------------------------------------------------------------------


@dataclass(frozen=True)
class DisplaySystem:
    """The units that learners see, and how their numbers are grouped."""

    name: str
    column: str  # attribute of Kind that holds this system's unit
    thousands: str  # between groups of three digits
    grouped_from: int  # four in a row are read at a glance: SI brochure 5.4.4 (from memory)

    def unit(self, kind: str) -> pint.Unit:
        """The unit in which this system shows a kind of quantity."""
        return unit_of(getattr(KINDS[kind], self.column))

    def symbol(self, kind: str) -> str:
        """The unit's symbol as printed.

        >>> METRIC.symbol("speed"), US.symbol("energy"), US.symbol("ratio")
        ('km/h', 'ft·lbf', '%')
        """
        unit = getattr(KINDS[kind], self.column)
        return _SYMBOLS.get(unit, unit)

    def grouped(self, value: float, form: str) -> str:
        """A number in a format such as ".1f", its digits in groups where it is large.

        >>> METRIC.grouped(3100, ".0f"), METRIC.grouped(31000, ".0f"), US.grouped(3100, ".0f")
        ('3100', '31 000', '3,100')
        """
        plain = f"{value:{form}}"
        if abs(float(plain)) < self.grouped_from:
            return plain
        return f"{value:,{form}}".replace(",", self.thousands)


_SYMBOLS = {"ft*lbf": "ft·lbf", "percent": "%", "degree": "°"}

METRIC = DisplaySystem("metric", "metric", " ", 10_000)
US = DisplaySystem("US", "us", ",", 1_000)
SYSTEMS = {system.name: system for system in (METRIC, US)}


class Display:
    """The display system in force; `switched` sends each new one, and a whole lesson follows.

    >>> display.use("US")
    >>> show(Q(38, "kN"), "force")
    '8,540 lbf'
    >>> display.use("metric")
    """

    def __init__(self):
        self.system = METRIC
        self.switched = Signal()

    def use(self, name: str) -> None:
        """Switch to "metric" or "US" and tell everything that is shown."""
        if not isinstance(name, str) or name not in SYSTEMS:
            raise InputError(f'there is no display system {name!r}; write "metric" or "US"')
        if self.system is not SYSTEMS[name]:
            self.system = SYSTEMS[name]
            self.switched.send(self.system)

    @contextlib.contextmanager
    def numbers_of(self, system: DisplaySystem) -> Iterator[None]:
        """Compute with the round numbers of a system; nothing that is shown is told."""
        before, self.system = self.system, system
        try:
            yield
        finally:
            self.system = before


display = Display()


def show(quantity, kind: str, system: DisplaySystem | None = None, digits: int = 3) -> str:
    """Write a quantity for a person: rounded to `digits` significant digits, with its unit.

    A length below a foot is written in inches in US units.

    >>> show(Q(8500, "lbf"), "force", METRIC), show(Q(8500, "lbf"), "force", US)
    ('37.8 kN', '8,500 lbf')
    >>> show(Q(0.814, "ft"), "length", US), show(Q(0.9999, "ft"), "length", US)
    ('9.8 in', '1.00 ft')
    """
    system = system or display.system
    value, unit, decimals = _shown("show", quantity, kind, system)
    number, symbol = as_number(value, system, digits, decimals), _SYMBOLS.get(unit, unit)
    return f"{number}°" if symbol == "°" else f"{number} {symbol}".rstrip()


def _shown(function: str, quantity, kind: str, system: DisplaySystem) -> tuple[float, str, int]:
    """The number that a display system shows, the name of its unit, and how many decimals at most.

    Raises InputError for what is no single quantity.
    """
    wanted = kind_named(kind)
    unit = getattr(wanted, system.column)
    try:
        value = floats_in(system.unit(kind), wanted, quantity)
        if value.ndim:
            raise InputError(f"{excerpt(quantity)} is a list, and one {wanted.noun} is wanted")
    except InputError as fault:
        raise InputError(
            f'{function}: quantity: {fault}; write for example {function}({wanted.code}, "{kind}")'
        ) from None
    if unit == "ft" and 0 < round(abs(12 * float(value)), 1) < 12:
        return 12 * float(value), "in", 1
    return float(value), unit, wanted.decimals


def brief(quantity, kind: str, system: DisplaySystem | None = None) -> str:
    """Write a quantity as `show` does, without zeros at the end of its decimals.

    For numbers that were given, not worked out: 2 km/h, not 2.0 km/h.

    >>> brief(Q(2, "km/h"), "speed"), brief(Q(80, "kN"), "force"), brief(Q(2.50, "m"), "length")
    ('2 km/h', '80 kN', '2.5 m')
    >>> brief(Q(5, ""), "number")
    '5'
    """
    return re.sub(r"(\.\d*?)0+(?= |$|°)", lambda m: m[1].rstrip("."), show(quantity, kind, system))


def at_least(quantity, kind: str, system: DisplaySystem | None = None) -> str:
    """Write a lower bound as `show` does, but rounded down: never more than it is.

    >>> at_least(Q(6.48, "km/h"), "speed"), at_least(Q(4, "kJ"), "energy")
    ('6.4 km/h', '4.00 kJ')
    """
    return _bound("at_least", quantity, kind, system or display.system, math.floor)


def at_most(quantity, kind: str, system: DisplaySystem | None = None) -> str:
    """Write an upper bound as `show` does, but rounded up: never less than it is.

    >>> at_most(Q(6.41, "km/h"), "speed"), at_most(Q(4, "kJ"), "energy")
    ('6.5 km/h', '4.00 kJ')
    """
    return _bound("at_most", quantity, kind, system or display.system, math.ceil)


def _bound(function, quantity, kind, system, to_whole) -> str:
    value, unit, decimals = _shown(function, quantity, kind, system)
    if value and math.isfinite(value):
        last_digit = math.floor(math.log10(abs(value))) - 2
        step = 10.0 ** max(last_digit, -decimals)
        # 3.9999999999 is a 4 of floating-point numbers, not a bound of 3.99.
        value = to_whole(round(value / step, 6)) * step
    return show(Q(value, unit_of(unit)), kind, system)


def as_number(
    value, system: DisplaySystem | None = None, digits: int = 3, decimals: int = 6
) -> str:
    """Write a plain number, rounded to significant digits and grouped as a display system does.

    >>> as_number(12345.6, US), as_number(0.04567, US), as_number(9.999, US), as_number(0, US)
    ('12,300', '0.0457', '10.0', '0')
    >>> as_number(4.4444, decimals=1), as_number(1.652, decimals=1)
    ('4.4', '1.7')
    """
    value = float(value)
    if not math.isfinite(value):
        return "∞" if value > 0 else "−∞" if value < 0 else "unknown"
    if value == 0:
        return "0"
    rounded = float(f"{value:.{digits - 1}e}")
    wanted = max(0, digits - 1 - math.floor(math.log10(abs(rounded))))
    once_rounded = value if wanted else rounded  # 1.652 to one decimal is 1.7; 1.65 would be 1.6
    system = system or display.system
    return system.grouped(once_rounded, f".{min(wanted, decimals)}f").replace("-", "−")
