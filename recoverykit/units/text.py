"""Wording: how a number of things, and what went wrong, are put into a sentence."""

import re
from collections.abc import Sequence

# Characters, as in a set of a regular expression, that are not seen and turn the direction of the
# words after them: UAX #9, Unicode bidirectional algorithm, table 4 and section 2.
DIRECTION_MARKS = r"\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"


def counted(number: int, noun: str) -> str:
    """Write a number of things.

    >>> counted(1, "pull"), counted(2000, "pull")
    ('1 pull', '2,000 pulls')
    """
    return f"{number:,} {noun}" + ("" if number == 1 else "s")


def listed(things: Sequence[str]) -> str:
    """Things in a row, the last one after an "and".

    >>> listed(["dig"]), listed(["dig", "unload", "lay boards"])
    ('dig', 'dig, unload and lay boards')
    """
    *others, last = things
    return f"{', '.join(others)} and {last}" if others else last


def as_sentence(said: object) -> str:
    """What a fault or a finding says, with a capital and a full stop.

    >>> as_sentence("row 4 is empty")
    'Row 4 is empty.'
    """
    text = str(said)
    return f"{text[:1].upper()}{text[1:]}."


def in_brackets(note: str) -> str:
    """A note as a sentence in brackets, to stand after another one; nothing for an empty note.

    >>> in_brackets("8,500 is read as 8500")
    ' (8,500 is read as 8500.)'
    """
    return f" ({as_sentence(note)})" if note else ""


def left_to_right(text: str) -> str:
    r"""A text of a learner without the characters that would reverse the words after them.

    >>> left_to_right("limit \u202e8 kN")
    'limit 8 kN'
    """
    return re.sub(f"[{DIRECTION_MARKS}]", "", text)
