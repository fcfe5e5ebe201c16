"""A line of one's own: what people write about its parts, one part to a row, and the rope in it."""

import math
import re

from recoverykit.reading import Reading, read_quantity
from recoverykit.rigging import (
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
from recoverykit.rope import Rope
from recoverykit.units import InputError, Q

MOST_PARTS = 8  # as many as a card has room for
LONGEST_NAME = 40  # letters in the name of a part
LONGEST_ROW = 160  # letters in all that is said of a part
WIDEST_LEGS = Q(60, "degree")  # as `bridle` takes them

# The yard line of Marram Point, as it would be written.
EXAMPLE = """\
recovery point of the launch truck: 4 1/2 short tons, WLL, factor 3
bow shackle: 3 1/4 short tons, WLL, factor 5
yard rope: 165 kN, breaking strength, factor 4
soft shackle: 30,000 lbf, breaking strength, factor 5
recovery eye of the casualty: 78 kN, breaking strength, factor 2
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


def _any_of(words) -> re.Pattern:
    longest_first = sorted(map(re.escape, words), key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(longest_first)})(?!\w)", re.IGNORECASE)


_BASIS = _any_of(_BASES)
_NO_STAMP = _any_of(_UNRATED)
_FACTOR_NAME = _any_of(FACTORS)
_DESIGN_FACTOR = re.compile(
    r"\b(?:design |safety )?factor (?:of )?([\d.]+)(?: ?: ?1\b)?|(?<![\d.])([\d.]+) ?(?::|to) ?1\b",
    re.IGNORECASE,
)
_TWO_LEGS = re.compile(r"\btwo legs(?: at)? ([\d.]+) ?(?:°|deg(?:rees?)?\b)", re.IGNORECASE)


def read_line(text: str) -> Reading:
    r"""Read a line as people write it: one part to a row, its name, a colon, and its stamp.

    The stamp is a force with its unit, what it means (WLL or breaking strength), and the design
    factor if the maker states one: "factor 5" or "5:1". "no stamp" makes a part unrated. How a
    part is rigged may follow: a name that `factor` knows, or "two legs at 30°". Commas between
    them may be left out, and so may empty rows. Raises one InputError that says for each row what
    to write instead; also for more than 8 parts, and for a line without exactly one rope (a part
    with the word "rope" in its name).

    >>> reading = read_line("bow shackle: 9500 lb, WLL, factor 5\nrope: 165 kN MBS 4:1 wet")
    >>> [link.name for link in reading.quantity.links], reading.note
    (['bow shackle', 'rope'], 'pounds on a force stamp are read as pounds-force (lbf)')
    >>> read_line("rope: 30,000 lbf\nshackle: 4 3/4 tons, WLL")
    Traceback (most recent call last):
    ...
    recoverykit.units.InputError: Row 1, rope: what the force means is missing; write "WLL" or
    "breaking strength" after it.
    Row 2, shackle: a bare 'tons' can mean short tons (42.3 kN) or tonnes (46.6 kN): look at the
    stamp or the maker's sheet, and write "short tons" or "tonnes"; write for example "38 kN" or
    "8500 lbf".
    """
    rows = [(number, row.strip()) for number, row in enumerate(str(text).splitlines(), 1)]
    links, notes, faults = [], [], []
    for number, row in rows:
        if not row:
            continue
        try:
            link, note = _read_row(row)
        except InputError as fault:
            name = row.partition(":")[0].strip() if ":" in row else ""
            faults.append(f"Row {number}{f', {name:.{LONGEST_NAME}}' if name else ''}: {fault}.")
        else:
            links.append(link)
            notes += note.split("; ") if note else []
    if not links and not faults:
        faults.append(f"Nothing is written; write each part in a row, like {_ROW_EXAMPLE}.")
    if len(links) > MOST_PARTS:
        faults.append(
            f"These are {len(links)} parts, and there is room for {MOST_PARTS}; a pull with so "
            f"many parts is one to ask a trainer about."
        )
    if faults:
        raise InputError("\n".join(faults))
    line = RiggingLine(links)
    rope_link(line)
    return Reading(line, "; ".join(dict.fromkeys(notes)))


def rope_link(line: RiggingLine) -> Link:
    """The one part of a line with the word "rope" in its name. Raises InputError otherwise."""
    ropes = [link for link in line.links if re.search(r"\brope\b", link.name, re.IGNORECASE)]
    if len(ropes) != 1:
        found = f"these are called so: {', '.join(link.name for link in ropes)}"
        raise InputError(
            f'One part of the line has to be the rope, with the word "rope" in its name: '
            f"{found if ropes else 'none is called so'}."
        )
    (rope,) = ropes
    if any(each.value > 1 for each in rope.factors):
        raise InputError(
            f"The {rope.name} shares its load over two legs, and no pull can be worked out for "
            f"such a rope; write the rope as one leg."
        )
    return rope


def rope_of(line: RiggingLine, length, stretch_at_break) -> Rope | None:
    """The rope of a line, as strong as the line says; None where its strength is not known.

    What it is rigged with (a knot, say) takes from its strength and not from its stiffness.
    Raises InputError as `rope_link` and `Rope` do.

    >>> from recoverykit import show
    >>> from recoverykit.rigging import demo_line
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


def _read_row(row: str) -> tuple[Link, str]:
    """A part, and a note where its stamp was taken in one sense."""
    if len(row) > LONGEST_ROW:
        raise InputError(f"that is {len(row)} letters; write at most {LONGEST_ROW}")
    name, colon, said = (piece.strip() for piece in row.partition(":"))
    if not (name and colon):
        raise InputError(f"write the name of a part, a colon and its stamp, like {_ROW_EXAMPLE}")
    if len(name) > LONGEST_NAME:
        raise InputError(f"the name has {len(name)} letters; write at most {LONGEST_NAME}")
    rigged, said = _take(_TWO_LEGS, said)
    factors = [_two_legs(found[1]) for found in rigged]
    named, said = _take(_FACTOR_NAME, said)
    factors += [factor(found[0].lower()) for found in named]
    rating, note = _read_rating(said)
    return Link(name, rating, factors), note


def _two_legs(digits: str) -> Factor:
    angle = read_quantity(f"{digits} °", "angle").quantity
    if angle > WIDEST_LEGS:
        raise InputError(
            f"legs at {digits}° are spread too far; count from the line of pull to one leg, at "
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
            raise InputError('a part has a stamp or has none; write one of the two, as "no stamp"')
        return None, ""
    if not force:
        raise InputError('the force is missing; write what is stamped, or "no stamp"')
    if len(bases) > 1 or len(design_factors) > 1:
        raise InputError("more than one stamp came; write one force, and what that one means")
    reading = read_quantity(force, "force")
    if reading.quantity.magnitude == 0:
        raise InputError('a stamp of 0 is none; write "no stamp"')
    if not bases:
        raise InputError(
            'what the force means is missing; write "WLL" or "breaking strength" after it'
        )
    basis = _BASES[bases[0][0].lower()]
    return Rating(reading.quantity, basis, _design_factor(design_factors)), reading.note


def _design_factor(found: list[re.Match]) -> float | None:
    if not found:
        return None
    digits = found[0][1] or found[0][2]
    number = read_quantity(digits, "number").quantity.m_as("")
    if not 1 <= number <= 20:
        raise InputError(
            f'a design factor is from 1 to 20, and {digits} came; write for example "factor 5"'
        )
    return number


def _take(pattern: re.Pattern, text: str) -> tuple[list[re.Match], str]:
    """All that a pattern finds in a text, and the text without it."""
    return list(pattern.finditer(text)), pattern.sub(" ", text)
