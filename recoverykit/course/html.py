"""Plain sentences as HTML."""

import html
import re
from collections.abc import Iterable

import ipywidgets

from recoverykit.units.text import left_to_right


def as_html(text: str) -> str:
    r"""Plain text as HTML in which numbers stay on a line with their units.

    Half a sign, as in a damaged file name, and what reverses words do not get onto the page.

    >>> as_html("38 kN <b> \udc80 \u202e8 kN")
    '38\xa0kN &lt;b&gt; ? 8\xa0kN'
    """
    sendable = left_to_right(text).encode("utf-8", "replace").decode("utf-8")
    return re.sub(r"(?<=[0-9]) (?=\S)", "\N{NO-BREAK SPACE}", html.escape(sendable))


class LiveText(ipywidgets.HTML):
    """A place for HTML that screen readers read out when it changes."""

    def __init__(self, **looks):
        super().__init__(**looks)
        self.add_class("recoverykit-live-text")  # what accessible.js knows it by


def as_live_text(text: str) -> str:
    """HTML of a plain text that screen readers read out when it comes."""
    return as_live_html(as_html(text))


def as_live_html(content: str) -> str:
    """HTML that screen readers read out when it comes."""
    looks = "font-size: 16px; line-height: 1.45"
    return f'<div role="status" aria-live="polite" style="{looks}">{content}</div>'


def as_table(heads: Iterable[str], rows: Iterable[Iterable[str]], caption: str = "") -> str:
    """HTML of a table of plain texts; the first cell of a row names it."""
    head = "".join(f'<th scope="col" style="{_CELL}">{as_html(text)}</th>' for text in heads)
    body = ""
    for first, *others in rows:
        cells = "".join(f'<td style="{_CELL}">{as_html(text)}</td>' for text in others)
        body += f'<tr><th scope="row" style="{_CELL}">{as_html(first)}</th>{cells}</tr>'
    named = f'<caption style="text-align: left; font-weight: bold">{caption}</caption>'
    return (
        f'<table style="border-collapse: collapse; font-size: 15px; line-height: 1.4; '
        f'margin: 12px 0">{named * bool(caption)}<thead><tr>{head}</tr></thead>'
        f"<tbody>{body}</tbody></table>"
    )


_CELL = (
    "border: 1px solid #BBB; padding: 6px 8px; text-align: left; vertical-align: top; "
    "white-space: pre-line"
)
