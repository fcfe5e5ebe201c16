"""Reading: quantities as people write them, such as "8,500 lbf" or "4 3/4 short tons"."""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from recoverykit.units.quantities import KINDS, InputError, Q, kind_named

LONGEST_TEXT = 60  # characters in one number with its unit; more is never a number


@dataclass(frozen=True)
class Reading:
    """A quantity that was read from text, and a note where the text was taken in one sense."""

    quantity: Any
    note: str = ""


# What people write → (pint unit, note). Keys are as `_squeeze` leaves them. Two names for one
# kind of ton differ by up to 12 %, so a bare ton is refused (see _BARE_TONS).
_LBF_NOTE = "pounds are read as pounds-force (lbf)"
_KGF_NOTE = "kilograms are read as kilograms-force (kgf)"
_FT_LB_NOTE = "foot-pounds are read as ft·lbf"
_TONNE_NOTE = "t is read as tonne (1000 kg)"
# What a unit's name is always taken for; to be told once. Other notes are about one number.
CONVENTIONS = frozenset({_LBF_NOTE, _KGF_NOTE, _FT_LB_NOTE, _TONNE_NOTE})


def _spellings(*groups) -> dict[str, tuple[str, str]]:
    return {word: (unit, note) for words, unit, note in groups for word in words.split("|")}


_SPELLINGS = {
    "mass": _spellings(
        ("kg|kgs|kilo|kilos|kilogram|kilograms", "kg", ""),
        ("lb|lbs|pound|pounds", "lb", ""),
        ("t", "tonne", _TONNE_NOTE),
        ("tonne|tonnes|metric ton|metric tons", "tonne", ""),
        ("short ton|short tons|us ton|us tons", "short_ton", ""),
        ("long ton|long tons|uk ton|uk tons", "long_ton", ""),
    ),
    "speed": _spellings(
        ("km/h|kmh|kph|kmph|km per hour|kilometers per hour", "km/h", ""),
        ("mph|mi/h|miles per hour", "mph", ""),
        ("m/s|meters per second", "m/s", ""),
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
        ("kip|kips|klbf|k lbf|klb|k lb|klbs|k lbs", "kip", ""),
        ("short ton|short tons|us ton|us tons|short ton-force|short tons-force", "force_ton", ""),
        ("long ton|long tons|uk ton|uk tons|long ton-force|long tons-force", "force_long_ton", ""),
        ("tonne|tonnes|metric ton|metric tons|tonne-force|tonnes-force", "force_metric_ton", ""),
    ),
    "length": _spellings(
        ("m|meter|meters", "m", ""),
        ("cm|centimeter|centimeters", "cm", ""),
        ("mm|millimeter|millimeters", "mm", ""),
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
_SPELLINGS["stretch"] = _SPELLINGS["diameter"] = _SPELLINGS["length"]
_SPELLINGS["flight"] = _SPELLINGS["speed"]

_LOWEST_TON = "ask the maker; if you must, take short tons, the lowest"
_WHICH_TON = 'write "short tons", "metric tons" or "long tons"'
_BARE_TONS = {
    "force": dict.fromkeys(("t", "ton", "tons"), _LOWEST_TON),
    "mass": dict.fromkeys(("ton", "tons"), _WHICH_TON),  # of a mass, less is not the careful side
}

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
# Where commas are for decimals, 8,500 is written 8.500; with these units that is likely.
_COUNTED_IN_THOUSANDS = {"N", "lbf", "kg", "kgf", "lb", "J", "ft*lbf", "lbf/ft", "N/m"}
_LIKE_ONE_GROUP = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")
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
    'pounds are read as pounds-force (lbf)'
    >>> read_quantity("4.75 T", "force")
    Traceback (most recent call last):
    ...
    recoverykit.units.quantities.InputError: 'T' can mean three things: ask the maker; if you must,
    take short tons, the lowest; write for example "38 kN" or "8500 lbf"
    """
    examples = dict.fromkeys(kind_named(kind).examples)
    hint = "write for example " + " or ".join(f'"{example}"' for example in examples)
    if not isinstance(text, str):
        raise InputError(f"{text!r:.60} is not text; {hint}")
    if len(text) > LONGEST_TEXT:
        raise InputError(f"that is {len(text):,} characters, too long for one number; {hint}")
    try:
        return _read(_squeeze(text), kind)
    except InputError as fault:
        raise InputError(f"{fault}; {hint}") from None


def reads_as(text: str, kind: str) -> bool:
    """Whether a text is a quantity of a kind.

    >>> reads_as("38 kN", "force"), reads_as("38 kN", "mass")
    (True, False)
    """
    try:
        read_quantity(text, kind)
    except InputError:
        return False
    return True


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
    unit, unit_note = _read_unit(spelling.rstrip("."), kind)
    if _LIKE_ONE_GROUP.fullmatch(digits.strip()):
        by_thousands = unit in _COUNTED_IN_THOUSANDS
        if "." in digits and by_thousands:
            number_note = f"{digits.strip()} is read as {number:g}, not as {1000 * number:.0f}"
        elif "," in digits and not by_thousands:
            number_note = f"{digits.strip()} is read as {number:.0f}, not as {number / 1000:g}"
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
        return float(plain), ""
    if _GROUPED_BY_POINTS.fullmatch(digits):
        plain = digits.replace(".", "").replace(",", ".")
        return float(plain), f"{digits} is read as {plain}"
    if _DECIMAL.fullmatch(digits):
        return float(digits.replace(",", ".")), ""
    raise InputError(f"the number {digits!r} cannot be read")


def _read_unit(written: str, kind: str) -> tuple[str, str]:
    spelling = re.sub("met(re)", "meter", written.casefold())  # as British English has it
    wanted = KINDS[kind].article
    if spelling in _SPELLINGS[kind]:
        return _SPELLINGS[kind][spelling]
    if not written:
        raise InputError("the unit is missing")
    if spelling in _BARE_TONS.get(kind, ()):
        raise InputError(f"{written!r} can mean three things: {_BARE_TONS[kind][spelling]}")
    for other, spellings in _SPELLINGS.items():
        if spelling in spellings:
            raise InputError(f"{written!r} is a unit of {other}, not of {KINDS[kind].noun}")
    raise InputError(f"the unit {written!r} is not known for {wanted}")
