"""Units: the one pint registry, what people read and write, and the border of the library.

Public functions take and give pint quantities; inside there are plain SI floats or arrays.
`border` is that border: it checks every argument, converts it, and names all that is wrong
in one sentence each.
"""

import functools
import inspect
import math
import re
import weakref
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
import pint

registry = pint.UnitRegistry()
registry.formatter.default_format = "~P"
Q = registry.Quantity

GRAVITY = 9.80665  # m/s², standard gravity, exact (BIPM)

LONGEST_TEXT = 60  # characters in one number with its unit; more is never a number


class InputError(ValueError):
    """Something that was put in cannot be used; the message says what to write instead."""


@functools.cache
def _unit(name: str) -> pint.Unit:
    return registry.Unit(name)  # parsing the name takes ten times as long as converting


# --- kinds of quantity ------------------------------------------------------------------


@dataclass(frozen=True)
class Kind:
    """One kind of quantity: its units inside, in both display systems, and an example of each.

    `largest` (SI) is the greatest size that this library reckons with. It is far beyond any
    recovery; it only keeps slips of the keyboard from becoming infinite. `decimals` is the most
    that are worth showing.
    """

    article: str
    si: str
    metric: str
    us: str
    examples: tuple[str, str]
    largest: float
    decimals: int = 3

    @property
    def code(self) -> str:
        """How a quantity of this kind is written in Python."""
        value, _, unit = self.examples[0].partition(" ")
        return f'Q({value}, "{unit}")' if unit != "%" else f'Q({value}, "percent")'


KINDS = {
    "mass": Kind("a mass", "kg", "kg", "lb", ("2500 kg", "5500 lb"), 1e6),
    "speed": Kind("a speed", "m/s", "km/h", "mph", ("5 km/h", "3 mph"), 100.0, 1),
    # What a parted line throws: faster than any vehicle.
    "flight": Kind("a speed", "m/s", "km/h", "mph", ("100 km/h", "60 mph"), 1000.0, 1),
    "force": Kind("a force", "N", "kN", "lbf", ("38 kN", "8500 lbf"), 1e9),
    "length": Kind("a length", "m", "m", "ft", ("9 m", "30 ft"), 1e4),
    "diameter": Kind("a diameter", "m", "mm", "in", ("24 mm", "1 in"), 10.0),
    "energy": Kind("an energy", "J", "kJ", "ft*lbf", ("5 kJ", "3700 ft·lbf"), 1e12),
    "stiffness": Kind("a stiffness", "N/m", "kN/m", "lbf/ft", ("15 kN/m", "1000 lbf/ft"), 1e10),
    "time": Kind("a time", "s", "s", "s", ("2 s", "2 s"), 1e6),
    "frequency": Kind("a frequency", "Hz", "Hz", "Hz", ("10 Hz", "10 Hz"), 1e9),
    "angle": Kind("an angle", "rad", "degree", "degree", ("30 °", "30 °"), 10.0),
    "ratio": Kind("a ratio", "", "percent", "percent", ("28 %", "28 %"), 1e6, 1),
    "number": Kind("a number", "", "", "", ("5", "5"), 1e6),
}


# --- display systems --------------------------------------------------------------------


@dataclass(frozen=True)
class DisplaySystem:
    """The units that learners see, and how their numbers are grouped."""

    name: str
    column: str  # attribute of Kind that holds this system's unit
    thousands: str  # between groups of three digits

    def unit(self, kind: str) -> pint.Unit:
        """The unit in which this system shows a kind of quantity."""
        return _unit(getattr(KINDS[kind], self.column))

    def symbol(self, kind: str) -> str:
        """The unit's symbol as printed.

        >>> METRIC.symbol("speed"), US.symbol("energy"), US.symbol("ratio")
        ('km/h', 'ft·lbf', '%')
        """
        unit = getattr(KINDS[kind], self.column)
        return _SYMBOLS.get(unit, unit)


_SYMBOLS = {"ft*lbf": "ft·lbf", "percent": "%", "degree": "°"}

METRIC = DisplaySystem("metric", "metric", " ")
US = DisplaySystem("US", "us", ",")
SYSTEMS = {system.name: system for system in (METRIC, US)}


class Display:
    """The display system in force; a whole lesson follows when it changes.

    >>> display.use("US")
    >>> show(Q(38, "kN"), "force")
    '8,540 lbf'
    >>> display.use("metric")
    """

    def __init__(self):
        self.system = METRIC
        self._watchers = weakref.WeakSet()

    def use(self, name: str) -> None:
        """Switch to "metric" or "US" and tell everything that is shown."""
        if name not in SYSTEMS:
            raise InputError(f'there is no display system {name!r}; write "metric" or "US"')
        if self.system is not SYSTEMS[name]:
            self.system = SYSTEMS[name]
            for watcher in list(self._watchers):
                watcher.show_in(self.system)

    def watch(self, watcher) -> None:
        """Call `watcher.show_in(system)` at every switch, for as long as the watcher lives."""
        self._watchers.add(watcher)


display = Display()


def show(quantity, kind: str, system: DisplaySystem | None = None, digits: int = 3) -> str:
    """Write a quantity for a person: rounded to `digits` significant digits, with its unit.

    >>> show(Q(8500, "lbf"), "force", METRIC), show(Q(8500, "lbf"), "force", US)
    ('37.8 kN', '8,500 lbf')
    """
    system = system or display.system
    value = Q(quantity).m_as(system.unit(kind))
    number = as_number(value, system, digits, KINDS[kind].decimals)
    symbol = system.symbol(kind)
    return f"{number}°" if symbol == "°" else f"{number} {symbol}".rstrip()


def brief(quantity, kind: str, system: DisplaySystem | None = None) -> str:
    """Write a quantity as `show` does, without zeros at the end of its decimals.

    For numbers that were given, not reckoned: 2 km/h, not 2.0 km/h.

    >>> brief(Q(2, "km/h"), "speed"), brief(Q(80, "kN"), "force"), brief(Q(2.50, "m"), "length")
    ('2 km/h', '80 kN', '2.5 m')
    >>> brief(Q(5, ""), "number")
    '5'
    """
    return re.sub(r"(\.\d*?)0+(?= |$|°)", lambda m: m[1].rstrip("."), show(quantity, kind, system))


def as_number(value, system: DisplaySystem | None = None, digits: int = 3, decimals: int = 6):
    """Write a plain number, rounded to significant digits and grouped in threes.

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
    text = f"{once_rounded:,.{min(wanted, decimals)}f}".replace("-", "−")
    return text.replace(",", (system or display.system).thousands)


# --- the border: quantities outside, SI floats inside -----------------------------------


@dataclass(frozen=True)
class Argument:
    """What one argument must be: its kind and its limits (SI)."""

    kind: str
    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None

    @property
    def example(self) -> str:
        """What could be written for it in Python."""
        return KINDS[self.kind].code

    def convert(self, given):
        """The SI float or array of a quantity. Raises InputError if it is not what it must be."""
        kind = KINDS[self.kind]
        value = _magnitude_in(kind, given)
        if value.size == 0:
            raise InputError("an empty list came")
        if not np.all(np.isfinite(value)):
            raise InputError(f"{given} is not a finite number")
        if np.any(np.abs(value) > kind.largest):
            largest = f"{kind.largest:g} {kind.si}".strip()
            raise InputError(f"{given} is beyond {largest}, the largest that can be reckoned with")
        if self.above is not None and np.any(value <= self.above):
            raise InputError(f"{given} is not above {_limit(self.above, kind)}")
        if self.at_least is not None and np.any(value < self.at_least):
            raise InputError(f"{given} is below {_limit(self.at_least, kind)}")
        if self.at_most is not None and np.any(value > self.at_most):
            raise InputError(f"{given} is above {_limit(self.at_most, kind)}")
        return value if value.ndim else float(value)


def positive(kind: str, at_most: float | None = None) -> Argument:
    """An argument that must be greater than zero."""
    return Argument(kind, above=0.0, at_most=at_most)


def not_negative(kind: str, at_most: float | None = None) -> Argument:
    """An argument that must be zero or more."""
    return Argument(kind, at_least=0.0, at_most=at_most)


def border(returns: str | None = None, **arguments: Argument) -> Callable:
    """Make a function on SI floats public: it then takes and gives quantities.

    Every argument named here is checked and converted; all faults are reported at once.
    The function on floats stays at hand as `.si`, for loops and other modules of the library.

    >>> @border(returns="energy", mass=positive("mass"), height=not_negative("length"))
    ... def energy_of_height(mass, height):
    ...     return mass * GRAVITY * height
    >>> show(energy_of_height(Q(1000, "kg"), Q(3, "ft")), "energy")
    '8.97 kJ'
    >>> energy_of_height(Q(1000, "lbf"), 3)
    Traceback (most recent call last):
    ...
    recoverykit.units.InputError: energy_of_height:
      mass: 1000 lbf is not a mass; write for example mass=Q(2500, "kg")
      height: 3 has no unit; write for example height=Q(9, "m")
    """

    def decorate(function):
        signature = inspect.signature(function)

        @functools.wraps(function)
        def public(*args, **kwargs):
            try:
                given = signature.bind(*args, **kwargs).arguments
            except TypeError as error:
                usage = ", ".join(f"{n}={a.example}" for n, a in arguments.items())
                raise InputError(
                    f"{function.__name__}: {error}; write for example {function.__name__}({usage})"
                ) from None
            checked = {name: arguments[name] for name in given if name in arguments}
            floats = to_si(function.__name__, checked, given)
            result = function(**{**given, **floats})
            return result if returns is None else from_si(result, returns)

        public.si = function
        return public

    return decorate


def to_si(owner: str, arguments: Mapping[str, Argument], given: Mapping[str, Any]) -> dict:
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
            shapes = ", ".join(f"{name} {np.shape(value)}" for name, value in values.items())
            faults.append(f"these arrays do not fit together: {shapes}; give them equal lengths")
    if faults:
        raise InputError("\n  ".join([f"{owner}:", *faults]))
    return values


def from_si(value, kind: str):
    """An SI float or array as a quantity in SI units."""
    return Q(value, _unit(KINDS[kind].si))


def _magnitude_in(kind: Kind, given) -> np.ndarray:
    if isinstance(given, str):
        raise InputError(f"{given[:LONGEST_TEXT]!r} is text")
    if kind.si and not isinstance(given, Q):
        raise InputError(f"{given!r:.60} has no unit")
    try:
        value = Q(given).m_as(_unit(kind.si))
        if np.iscomplexobj(value):
            raise TypeError
        return np.asarray(value, dtype=float)
    except pint.DimensionalityError:
        raise InputError(f"{given} is not {kind.article}") from None
    except (TypeError, ValueError):
        raise InputError(f"{given!r:.60} is not a number") from None


def _limit(value: float, kind: Kind) -> str:
    return "0" if value == 0 else f"{value:g} {kind.si}".strip()


# --- reading what people write ----------------------------------------------------------


@dataclass(frozen=True)
class Reading:
    """A quantity that was read from text, and a note where the text was taken in one sense."""

    quantity: Any
    note: str = ""


# What people write → (pint unit, note). Keys are as `_squeeze` leaves them. Two names for one
# kind of ton differ by up to 12 %, so a bare ton is refused (see _BARE_TONS).
_LBF_NOTE = "pounds on a force stamp are read as pounds-force (lbf)"
_KGF_NOTE = "kilograms on a force stamp are read as kilograms-force (kgf)"
_FT_LB_NOTE = "foot-pounds are read as ft·lbf"


def _spellings(*groups) -> dict[str, tuple[str, str]]:
    return {word: (unit, note) for words, unit, note in groups for word in words.split("|")}


_SPELLINGS = {
    "mass": _spellings(
        ("kg|kgs|kilo|kilos|kilogram|kilograms", "kg", ""),
        ("lb|lbs|pound|pounds", "lb", ""),
        ("t", "tonne", "t is read as tonne (1000 kg)"),
        ("tonne|tonnes|metric ton|metric tons", "tonne", ""),
        ("short ton|short tons|us ton|us tons", "short_ton", ""),
        ("long ton|long tons|uk ton|uk tons", "long_ton", ""),
    ),
    "speed": _spellings(
        ("km/h|kmh|kph|kmph|km per hour|kilometres per hour|kilometers per hour", "km/h", ""),
        ("mph|mi/h|miles per hour", "mph", ""),
        ("m/s|metres per second|meters per second", "m/s", ""),
        ("ft/s|fps|feet per second", "ft/s", ""),
    ),
    "force": _spellings(
        ("n|newton|newtons", "N", ""),
        ("dan", "daN", ""),
        ("kn|kilonewton|kilonewtons", "kN", ""),
        ("lbf|lbsf|pound-force|pounds-force|pound force|pounds force", "lbf", ""),
        ("lb|lbs|pound|pounds", "lbf", _LBF_NOTE),
        ("kgf|kilogram-force|kilograms-force", "kgf", ""),
        ("kg|kgs|kilo|kilos|kilogram|kilograms", "kgf", _KGF_NOTE),
        ("kip|kips|klbf", "kip", ""),
        ("short ton|short tons|us ton|us tons|short ton-force|short tons-force", "force_ton", ""),
        ("long ton|long tons|uk ton|uk tons|long ton-force|long tons-force", "force_long_ton", ""),
        ("tonne|tonnes|metric ton|metric tons|tonne-force|tonnes-force", "force_metric_ton", ""),
    ),
    "length": _spellings(
        ("m|metre|metres|meter|meters", "m", ""),
        ("cm|centimetre|centimetres|centimeter|centimeters", "cm", ""),
        ("mm|millimetre|millimetres|millimeter|millimeters", "mm", ""),
        ("ft|foot|feet|'", "ft", ""),
        ('in|inch|inches|"', "in", ""),
    ),
    "energy": _spellings(
        ("j|joule|joules", "J", ""),
        ("kj|kilojoule|kilojoules", "kJ", ""),
        ("ft·lbf|ft-lbf|ft lbf|ft*lbf|ftlbf", "ft*lbf", ""),
        (
            "ft·lb|ft-lb|ft lb|ft*lb|ftlb|ft-lbs|ft lbs|foot-pounds|foot pounds",
            "ft*lbf",
            _FT_LB_NOTE,
        ),
    ),
    "stiffness": _spellings(
        ("n/m", "N/m", ""),
        ("kn/m", "kN/m", ""),
        ("n/mm", "N/mm", ""),
        ("lbf/ft", "lbf/ft", ""),
        ("lbf/in", "lbf/in", ""),
        ("lb/ft", "lbf/ft", _LBF_NOTE),
        ("lb/in", "lbf/in", _LBF_NOTE),
    ),
    "time": _spellings(
        ("s|sec|secs|second|seconds", "s", ""),
        ("ms|millisecond|milliseconds", "ms", ""),
        ("min|minute|minutes", "min", ""),
    ),
    "frequency": _spellings(("hz|hertz|samples per second", "Hz", ""), ("khz", "kHz", "")),
    "angle": _spellings(("°|deg|degree|degrees", "degree", "")),
    "ratio": _spellings(("%|percent|per cent", "percent", ""), ("|x|×|times|fold", "", "")),
    "number": _spellings(("", "", "")),
}
_SPELLINGS["diameter"] = _SPELLINGS["length"]
_SPELLINGS["flight"] = _SPELLINGS["speed"]

_BARE_TONS = {"force": {"t", "ton", "tons"}, "mass": {"ton", "tons"}}

_VULGAR = {
    sign: f" {fraction}"
    for sign, fraction in zip(
        "½⅓⅔¼¾⅛⅜⅝⅞",
        ["1/2", "1/3", "2/3", "1/4", "3/4", "1/8", "3/8", "5/8", "7/8"],
        strict=True,
    )
}
_FRACTION = re.compile(r"(?:([0-9]{1,9})(?:\s+|-|\s+-\s+))?([0-9]{1,4})/([0-9]{1,4})")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}([,' ][0-9]{3})+(\.[0-9]{1,12})?")
_GROUPED_BY_POINTS = re.compile(
    r"[1-9][0-9]{0,2}((\.[0-9]{3}){2,}(,[0-9]{1,12})?|\.[0-9]{3},[0-9]{1,12})"
)
_DECIMAL = re.compile(
    r"([0-9]{1,18}([.,][0-9]{0,12})?|[.,][0-9]{1,12})(e[+-]?[0-9]{1,2})?", re.IGNORECASE
)
_NUMBER_THEN_UNIT = re.compile(
    r"([-+]?)\s*([0-9.,/' -]*[0-9][.,]?(?:[eE][+-]?[0-9]+(?![\w/]))?)\s*(.*)"
)


def read_quantity(text: str, kind: str) -> Reading:
    """Read what a person writes, such as "38 kN", "8,500 lbf", "4 3/4 short tons" or "9500 lb".

    `kind` is one of KINDS ("force", "mass", "speed", ...). A number may have groups of three
    digits ("8,500" or "8 500"), a decimal point or comma ("8.5", "8,5") or a fraction ("4 3/4",
    "4¾"). The text is matched against a list of spellings and never evaluated. Raises
    InputError, with what to write instead, for anything else: no unit, another kind's unit, a
    bare "ton" (short tons and tonnes differ by 10 %), a negative number, text that is too long.

    >>> read_quantity("4 3/4 short tons", "force").quantity.to("lbf")
    <Quantity(9500.0, 'force_pound')>
    >>> read_quantity("9500 lb", "force").note
    'pounds on a force stamp are read as pounds-force (lbf)'
    >>> read_quantity("4.75 T", "force")
    Traceback (most recent call last):
    ...
    recoverykit.units.InputError: a bare 'T' can mean short tons (42.3 kN) or tonnes (46.6 kN):
    look at the stamp or the maker's sheet, and write "short tons" or "tonnes"; write for example
    "38 kN" or "8500 lbf"
    """
    if kind not in KINDS:
        raise InputError(f"there is no kind of quantity {kind!r}; there are {', '.join(KINDS)}")
    hint = "write for example " + " or ".join(f'"{e}"' for e in dict.fromkeys(KINDS[kind].examples))
    if not isinstance(text, str):
        raise InputError(f"{text!r:.60} is not text; {hint}")
    if len(text) > LONGEST_TEXT:
        raise InputError(f"that is {len(text):,} characters, too long for one number; {hint}")
    try:
        return _read(_squeeze(text), kind)
    except InputError as fault:
        raise InputError(f"{fault}; {hint}") from None


def _read(text: str, kind: str) -> Reading:
    if not text:
        raise InputError("nothing was written")
    parts = _NUMBER_THEN_UNIT.fullmatch(text)
    if parts is None:
        raise InputError(f"{text!r} does not start with a number")
    sign, digits, spelling = parts.groups()
    number, number_note = _read_number(digits.strip())
    if sign == "-" and number != 0:
        raise InputError(f"{text!r} is negative, and only zero or more makes sense here")
    unit, unit_note = _read_unit(spelling.rstrip("."), kind, number)
    quantity = Q(number, unit)
    if quantity.m_as(KINDS[kind].si) > KINDS[kind].largest:
        raise InputError(f"{text!r} is far too large for {KINDS[kind].article}")
    return Reading(quantity, "; ".join(filter(None, [number_note, unit_note])))


def _squeeze(text: str) -> str:
    """One plain form of what was typed: single spaces, plain minus, fractions written out."""
    for sign, fraction in _VULGAR.items():
        text = text.replace(sign, fraction)
    text = text.replace("−", "-").replace("⁄", "/").replace("’", "'").replace("″", '"')
    return " ".join(text.split())


def _read_number(digits: str) -> tuple[float, str]:
    if fraction := _FRACTION.fullmatch(digits):
        whole, top, bottom = (int(part or 0) for part in fraction.groups())
        if bottom == 0:
            raise InputError(f"{digits!r} divides by zero")
        return float(whole + Fraction(top, bottom)), ""
    if _GROUPED.fullmatch(digits):
        plain = re.sub("[,' ]", "", digits)
        return float(plain), f"{digits} is read as {plain}" if "," in digits else ""
    if _GROUPED_BY_POINTS.fullmatch(digits):
        plain = digits.replace(".", "").replace(",", ".")
        return float(plain), f"{digits} is read as {plain}"
    if _DECIMAL.fullmatch(digits):
        return float(digits.replace(",", ".")), ""
    raise InputError(f"the number {digits!r} cannot be read")


def _read_unit(written: str, kind: str, number: float) -> tuple[str, str]:
    spelling = written.casefold()
    wanted = KINDS[kind].article
    if spelling in _SPELLINGS[kind]:
        return _SPELLINGS[kind][spelling]
    if not written:
        raise InputError("the unit is missing")
    if spelling in _BARE_TONS.get(kind, ()):
        short, metric = (
            show(Q(number, _SPELLINGS[kind][ton][0]), kind) for ton in ("short tons", "tonnes")
        )
        raise InputError(
            f"a bare {written!r} can mean short tons ({short}) or tonnes ({metric}): look at the "
            f'stamp or the maker\'s sheet, and write "short tons" or "tonnes"'
        )
    for other, spellings in _SPELLINGS.items():
        if spelling in spellings:
            raise InputError(f"{written!r} is a unit of {other}, not of {kind}")
    raise InputError(f"the unit {written!r} is not known for {wanted}")
