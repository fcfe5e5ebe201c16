"""Wording: how a number of things, and what went wrong, are put into a sentence."""

from collections.abc import Sequence


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
