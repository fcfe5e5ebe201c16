"""Plain sentences as HTML."""

import html
import re

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
    """HTML that screen readers read out when it comes."""
    return (
        '<div role="status" aria-live="polite" style="font-size: 16px; line-height: 1.45">'
        f"{as_html(text)}</div>"
    )
