"""A line of one's own: what people write about its parts, one part to a row, and the rope in it."""

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

from recoverykit.physics.rigging import (
    BREAKING_STRENGTH,
    FACTORS,
    WORKING_LOAD_LIMIT,
    Factor,
    Link,
    Rating,
    RiggingLine,
    bridle,
    factor,
)
from recoverykit.physics.rope import Rope
from recoverykit.units.parsing import Reading, read_quantity
from recoverykit.units.quantities import InputError, Q, show
from recoverykit.units.text import left_to_right, listed

MOST_PARTS = 8  # as many as a card has room for
LONGEST_NAME = 40  # letters in the name of a part
LONGEST_ROW = 160  # letters in all that is said of a part
WIDEST_LEGS = Q(60, "degree")  # as `bridle` takes them
SHORTEST_ROPE = Q(0.3, "m")  # a shorter length in the name of a rope is its diameter

# The yard line of Marram Point, as it would be written.
EXAMPLE = """\
recovery point of the launch truck: 4 1/2 short tons, WLL, factor 3
bow shackle: 3 1/4 short tons, WLL, factor 5
yard rope: 165 kN, breaking strength, factor 4
soft shackle: 30,000 lbf, breaking strength, factor 5
recovery eye of the stuck vehicle: 78 kN, breaking strength, factor 2
"""

_ROW_EXAMPLE = '"bow shackle: 3 1/4 short tons, WLL, factor 5"'

_BASES = {
    "wll": WORKING_LOAD_LIMIT,
    "swl": WORKING_LOAD_LIMIT,  # as older stamps have it
    "working load limit": WORKING_LOAD_LIMIT,
    "mbs": BREAKING_STRENGTH,
    "mbl": BREAKING_STRENGTH,
    "minimum breaking strength": BREAKING_STRENGTH,
    "minimum breaking load": BREAKING_STRENGTH,
    "breaking strength": BREAKING_STRENGTH,
    "breaking load": BREAKING_STRENGTH,
}
_UNRATED = ("no stamp", "not stamped", "unstamped", "unrated", "unknown")


def _any_of(words: Iterable[str]) -> str:
    """A pattern of words, with hyphens or spaces between the parts of each."""
    longest_first = sorted((re.escape(word) for word in words), key=len, reverse=True)
    either = "|".join(re.sub(r"\\[ -]", "[ -]", word) for word in longest_first)
    return rf"\b(?:{either})(?!\w)"


def _pattern(*patterns: str) -> re.Pattern:
    return re.compile("|".join(patterns), re.IGNORECASE)


_NUMBER = r"(?<![\d.,/])(?:\d+[ -]\d+/\d+|\d+/\d+|\d[\d.,]*[½¼¾]?)[ -]?"
_IN_WORDS = (
    r"\b(?:(?:design |safety )?factor(?: of(?: safety)?)?|fos|sf)[ :=]+([\d.]+)(?: ?: ?1\b)?"
)

_BASIS = _pattern(_any_of(_BASES))
_NO_STAMP = _pattern(_any_of(_UNRATED))
_FACTOR_NAME = _pattern(_any_of(FACTORS))
_DESIGN_FACTOR = _pattern(_IN_WORDS, r"(?<![\d.])([\d.]+) ?(?::|to) ?1\b")
_TWO_LEGS = _pattern(r"\b(?:two|2) legs(?: at|,)? ([\d.]+) ?(?:°|deg(?:rees?)?\b)")
_LENGTH = _pattern(
    rf"(?P<amount>{_NUMBER}(?:(?:mm|cm|m|ft|in|yd)\b|met(?:er|re)s?\b|f(?:ee|oo)t\b|"
    r"inch(?:es)?\b|yards?\b|['\"’″]))"
)
_STRETCH = _pattern(
    rf"(?:\bstretch(?:es)?(?: at break)?:? )?(?P<amount>{_NUMBER}(?:%|percent\b))"
    r"(?: stretch\b)?(?: at break\b)?"
)
_FORCE = _pattern(
    rf"(?P<amount>{_NUMBER}(?:(?:short |long |metric |us |uk )?tons?|tonnes?|t|n|kn|dan|lbs?f?|"
    r"pounds?|kgs?f?|kilos?|kips?)\b)"
)
# Words of a name that say what stands behind the colon else. "3 to 1" is none: it may be a tackle.
_SAID_IN_A_NAME = _pattern(
    _BASIS.pattern, _NO_STAMP.pattern, _FACTOR_NAME.pattern, _TWO_LEGS.pattern, _IN_WORDS
)
# Words of a name for a state or a rigging that no table has, or that lack their angle.
_NOT_TABLED = _pattern(
    r"\b(?:worn|old|used|frayed|chafed|abraded|cut|torn|damaged|bent|cracked|rusty|rusted|corroded|"
    r"kinked|faded|bleached|melted|burnt|burned|frozen|icy|soaked|damp|knot|knots|knotted|tied|"
    r"hitched|splice|spliced|repaired|welded|doubled|(?:two|2)[ -]legs?|choker|choke|basket|"
    r"sideways)(?!\w)",
    r"\d ?to ?1\b",
)

_ROPE = re.compile(r"\brope\b", re.IGNORECASE)
# Parts that join others: none of them is a point of a vehicle.
_JOINS = _pattern(
    r"\b(?:rope|shackle|strap|sling|bridle|chain|link|cable|carabiner|webbing|swivel|thimble|"
    r"connector|snatch block)s?(?!\w)"
)
_HARDLY_STRETCHES = _pattern(_any_of(("wire", "steel", "winch", "static", "low-stretch")))


@dataclass(frozen=True)
class LineReading(Reading):
    """A line that was read, and what the row of its rope says of length and stretch at break.

    Both are None where the row does not say them.
    """

    rope_length: Q | None = None
    stretch: Q | None = None


def read_line(text: str) -> LineReading:
    r"""Read a line as people write it: one part to a row, its name, a colon, and its stamp.

    The stamp is a force with its unit, what it means (WLL or breaking strength), and the design
    factor if the maker states one: "factor 5" or "5:1". "no stamp" makes a part unrated. How a
    part is rigged may follow: a name that `factor` knows, or "two legs at 30°". Commas between
    them may be left out, and so may empty rows. Words of this kind in a part's name count as if
    they stood after the colon, and the note says so. The rope's row may also say how long the rope
    is and how far it stretches before it breaks ("30 ft", "stretch 25 %"). Raises one InputError
    that says for each row what to write instead; also for a force in a name that is not that of
    the stamp, for a state that no table has (such as "worn"), for more than 8 parts, and for a
    line without exactly one rope (a part with the word "rope" in its name).

    >>> reading = read_line("bow shackle: 9500 lb, WLL, factor 5\nrope: 165 kN MBS 4:1 wet")
    >>> [link.name for link in reading.quantity.links], reading.note
    (['bow shackle', 'rope'], 'pounds are read as pounds-force (lbf)')
    >>> reading = read_line("wet rope, 9 m: 165 kN, MBS, factor 4")
    >>> print(reading.note, reading.rope_length, sep="; ")
    the name of wet rope, 9 m says "wet", and that counts; 9.0 m
    >>> read_line("rope: 30,000 lbf\nshackle: 4 3/4 tons, WLL")
    Traceback (most recent call last):
    ...
    recoverykit.units.quantities.InputError: Row 1, rope: nothing says what the force is; write
    "WLL" or
    "breaking strength" after it.
    Row 2, shackle: 'tons' can mean three things: ask the maker; if you must, take short tons, the
    lowest; write for example "38 kN" or "8500 lbf".
    """
    plain = left_to_right(str(text))
    rows = [(number, row.strip()) for number, row in enumerate(plain.splitlines(), 1)]
    parts, faults = [], []
    for number, row in rows:
        if not row:
            continue
        try:
            parts.append(read_part(row))
        except InputError as fault:
            name = row.partition(":")[0].strip() if ":" in row else ""
            faults.append(f"Row {number}{f', {name:.{LONGEST_NAME}}' if name else ''}: {fault}.")
    if not parts and not faults:
        faults.append(
            f"There's nothing here yet; write each part in its own row, like {_ROW_EXAMPLE}."
        )
    if len(parts) > MOST_PARTS:
        faults.append(
            f"That's {len(parts)} parts, and there's room for {MOST_PARTS}; ask a trainer about a "
            f"pull with that many."
        )
    if faults:
        raise InputError("\n".join(faults))
    line = RiggingLine([part.quantity for part in parts])
    rope = parts[line.links.index(rope_link(line))]
    notes = [note for part in parts for note in part.note.split("; ") if note]
    return LineReading(line, "; ".join(dict.fromkeys(notes)), rope.rope_length, rope.stretch)


def missing_from(line: RiggingLine) -> str:
    r"""What a line lacks to be a whole one, as a sentence; nothing, where it is whole.

    A whole line goes from a point of one vehicle to a point of the other, with something between
    them that stretches. What a part is, is taken from its name: a line with a rope in it that
    ends at a shackle, strap or rope is not whole.

    >>> print(missing_from(read_line("eye: 40 kN, WLL\nrope: 165 kN, MBS, 4:1").quantity))
    The line is not complete: its last row, rope, isn't a point on the stuck vehicle; write that
    point below it, with its stamp.
    """
    first, last = line.links[0].name, line.links[-1].name
    lacks = []
    if _JOINS.search(first):
        lacks.append(
            f"its first row, {first}, isn't a point on the recovery vehicle; write that point "
            f"above it, with its stamp"
        )
    if _JOINS.search(last):
        lacks.append(
            f"its last row, {last}, isn't a point on the stuck vehicle; write that point below it, "
            f"with its stamp"
        )
    rope = rope_link(line).name
    if _HARDLY_STRETCHES.search(rope):
        lacks.append(f"nothing in it stretches; the {rope} isn't a stretchy polyamide rope")
    return f"The line is not complete: {'; and '.join(lacks)}." if lacks else ""


def rope_link(line: RiggingLine) -> Link:
    """The one part of a line with the word "rope" in its name. Raises InputError otherwise."""
    ropes = [link for link in line.links if _ROPE.search(link.name)]
    if len(ropes) != 1:
        found = f"there is more than one: {', '.join(link.name for link in ropes)}"
        raise InputError(
            f'Just one part of the line has to be the rope, with the word "rope" in its name: '
            f"{found if ropes else 'there is none'}."
        )
    (rope,) = ropes
    if any("legs" in each.name for each in rope.factors):
        raise InputError(
            f"The {rope.name} shares its load over two legs, and the course can't work out a pull "
            f"for that; write the rope as one leg."
        )
    return rope


def rope_of(line: RiggingLine, length, stretch_at_break) -> Rope | None:
    """The rope of a line, as strong as the line says; None where its strength is not known.

    What it is rigged with (a knot, say) takes from its strength and not from its stiffness.
    Raises InputError as `rope_link` and `Rope` do.

    >>> from recoverykit import show
    >>> from recoverykit.physics.rigging import demo_line
    >>> rope = rope_of(demo_line(), Q(11, "m"), Q(30, "percent"))
    >>> print(show(rope.parting_tension, "force"), show(rope.stiffness, "stiffness"))
    165 kN 50.0 kN/m
    """
    link = rope_link(line)
    if link.rating is None or link.rating.breaking_strength is None:
        return None
    left = math.prod(each.value for each in link.factors)
    return Rope(length, link.rating.breaking_strength, stretch_at_break, strength_factor=left)


# --- one row ----------------------------------------------------------------------------


def read_part(row: str) -> LineReading:
    """A part, a note where its row was taken in one sense, and what it says of a rope."""
    if len(row) > LONGEST_ROW:
        raise InputError(f"that is {len(row)} letters; write at most {LONGEST_ROW}")
    name, colon, said = (piece.strip() for piece in row.partition(":"))
    if not (name and colon):
        raise InputError(f"write the name of a part, a colon and its stamp, like {_ROW_EXAMPLE}")
    if len(name) > LONGEST_NAME:
        raise InputError(f"the name has {len(name)} letters; write at most {LONGEST_NAME}")
    length = stretch = None
    if _ROPE.search(name):
        lengths, said = _take(_LENGTH, said)
        length = _rope_length([*_LENGTH.finditer(name), *lengths])
        stretches, said = _take(_STRETCH, said)
        stretch = _one_of("stretch", "ratio", [*_STRETCH.finditer(name), *stretches])
    in_name, rest_of_name = _take(_SAID_IN_A_NAME, name.replace("_", " "))
    _refuse_not_tabled(rest_of_name)
    words = [found[0] for found in in_name]
    said = ", ".join([said, *words])
    rigged, said = _take(_TWO_LEGS, said)
    factors = [_two_legs(found[1]) for found in rigged]
    named, said = _take(_FACTOR_NAME, said)
    factors += [_tabled_factor(found[0]) for found in named]
    rating, note = _read_rating(said)
    _check_force_in(name, rating)
    link = Link(name, rating, tuple(dict.fromkeys(factors)))
    notes = [note] if note else []
    if words:
        quoted = listed([f'"{word}"' for word in dict.fromkeys(words)])
        notes.append(f"the name of {name} says {quoted}, and that counts")
    return LineReading(link, "; ".join(notes), length, stretch)


def _rope_length(found: list[re.Match]) -> Q | None:
    """How long a rope is said to be; what is as short as a diameter is taken for one."""
    long = [each for each in found if _quantity(each, "length") >= SHORTEST_ROPE]
    return _one_of("length", "length", long)


def _one_of(what: str, kind: str, found: list[re.Match]) -> Q | None:
    """What is said once, or several times alike."""
    quantities = [_quantity(each, kind) for each in found]
    if any(not alike(each, quantities[0]) for each in quantities):
        said = listed([f'"{each[0].strip()}"' for each in found])
        raise InputError(f"the rope has more than one {what}: {said}; write one")
    return quantities[0] if quantities else None


def _quantity(found: re.Match, kind: str) -> Q:
    return read_quantity(found["amount"].replace("-", " "), kind).quantity


def alike(one: Q, other: Q) -> bool:
    """Whether two quantities are one, but for the rounding of their units."""
    return math.isclose(one.m, other.m_as(one.u), rel_tol=1e-3)


def _refuse_not_tabled(name: str) -> None:
    if found := _NOT_TABLED.search(name):
        raise InputError(
            f'the name says "{found[0]}", and the course has no number for that; write something '
            f'it has one for (lesson 04), such as "wet", "bowline" or "two legs at 30°", and leave '
            f"a part that you doubt out of the line"
        )


def _check_force_in(name: str, rating: Rating | None) -> None:
    """Refuse a force in the name of a part that is not the stamped one."""
    for found in _FORCE.finditer(name):
        if rating is None or not alike(_quantity(found, "force"), rating.value):
            stamp = "no stamp" if rating is None else show(rating.value, "force")
            raise InputError(
                f'the name says "{found[0]}", but {stamp} comes after it; leave one of them out'
            )


def _tabled_factor(written: str) -> Factor:
    return next(factor(name) for name in FACTORS if _plain(name) == _plain(written))


def _plain(words: str) -> str:
    return words.lower().replace("-", " ")


def _two_legs(digits: str) -> Factor:
    angle = read_quantity(f"{digits} °", "angle").quantity
    if angle > WIDEST_LEGS:
        raise InputError(
            f"legs at {digits}° are spread too far; measure from the line of pull to one leg, at "
            f"most {WIDEST_LEGS.m:g}°"
        )
    return bridle(angle)


def _read_rating(said: str) -> tuple[Rating | None, str]:
    unrated, said = _take(_NO_STAMP, said)
    bases, said = _take(_BASIS, said)
    design_factors, said = _take(_DESIGN_FACTOR, said)
    force = said.strip(" ,;")
    if unrated:
        if force or bases or design_factors:
            raise InputError("a part can't have a stamp and none; write one or the other")
        return None, ""
    if not force:
        raise InputError('the force is missing; write what is stamped, or "no stamp"')
    meanings = {_BASES[_plain(found[0])] for found in bases}
    numbers = {_design_factor(found[1] or found[2]) for found in design_factors}
    if len(meanings) > 1 or len(numbers) > 1:
        raise InputError("there is more than one stamp; write one force, and say what it is")
    reading = read_quantity(force, "force")
    if reading.quantity.magnitude == 0:
        raise InputError('0 is no stamp; write "no stamp"')
    if not meanings:
        raise InputError(
            'nothing says what the force is; write "WLL" or "breaking strength" after it'
        )
    (basis,), design_factor = meanings, next(iter(numbers), None)
    return Rating(reading.quantity, basis, design_factor), reading.note


def _design_factor(digits: str) -> float:
    number = read_quantity(digits, "number").quantity.m_as("")
    if not 1 < number <= 20:
        raise InputError(
            f'a design factor is above 1 and at most 20, not {digits}; write for example "factor 5"'
        )
    return number


def _take(pattern: re.Pattern, text: str) -> tuple[list[re.Match], str]:
    """All that a pattern finds in a text, and the text without it."""
    return list(pattern.finditer(text)), pattern.sub(" ", text)
