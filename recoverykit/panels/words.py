"""Plain sentences as HTML."""

import html
import re

import ipywidgets


def as_html(text: str) -> str:
    """Plain text as HTML in which numbers stay on a line with their units."""
    return re.sub(r"(?<=[0-9]) (?=\S)", "\N{NO-BREAK SPACE}", html.escape(text))


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
