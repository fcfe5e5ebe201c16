"""Pages of paper: text, tables and boxes in black and white, as PDF and as PNG.

Places are in mm from the upper left corner of the sheet. Nothing here depends on the time or on
the machine: the same page always gives the same bytes.
"""

import functools
import io
import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import matplotlib
import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, findfont, get_font
from matplotlib.ft2font import FT2Font
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.textpath import TextPath, text_to_path
from matplotlib.transforms import Affine2D
from PIL import Image

from recoverykit.units.quantities import InputError
from recoverykit.units.text import left_to_right

PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm: ISO 216, ANSI/ASME Y14.1
PAPER_OF = {"metric": "A4", "US": "Letter"}  # what printers of each system hold
MARGIN = 10.0  # mm
GAP = 3.0  # mm, between two sections
SHADE = "#E4E4E4"
PALE = "#EEEEEE"
DOTS_PER_INCH = 150  # of the PNG
# Letters as wide as they are measured, and as in the PDF.
UNHINTED: dict[Any, str] = {"text.hinting": "none"}

_POINT = 25.4 / 72  # mm
_LEADING = 1.14  # from line to line, over the size of the text
_LONGEST = 200  # letters that are worth measuring for one line
_FONT = "DejaVu Sans"  # comes with matplotlib


def as_pdf(page: Figure, title: str) -> bytes:
    """A page as a PDF file."""
    file = io.BytesIO()
    # Type 42: letters stay letters, to be searched for and copied.
    with matplotlib.rc_context({"pdf.fonttype": 42}):
        page.savefig(file, format="pdf", metadata={"CreationDate": None, "Title": title})
    return file.getvalue()


def as_png(page: Figure) -> bytes:
    """A page as a PNG file, in grays: less than half of the bytes that colors take."""
    page.set_dpi(DOTS_PER_INCH)
    canvas = FigureCanvasAgg(page)
    with matplotlib.rc_context(UNHINTED):
        canvas.draw()
    grays = np.asarray(canvas.buffer_rgba())[:, :, 0]
    file = io.BytesIO()
    Image.fromarray(grays).save(file, "PNG", dpi=(DOTS_PER_INCH, DOTS_PER_INCH))
    return file.getvalue()


@dataclass
class Column:
    """A part of the page's width, and how far down it is written; all in mm."""

    left: float
    width: float
    y: float


class Page:
    """A sheet of paper, written on from the top, with a text size in points.

    Raises InputError for a paper that is none of PAPERS.
    """

    def __init__(self, paper: str, size: float):
        if paper not in PAPERS:
            raise InputError(f"paper: there is no {paper!r:.60}; write one of {', '.join(PAPERS)}")
        self.width, self.height = PAPERS[paper]
        self.size = size
        self.bottom = self.height - MARGIN
        self.all = Column(MARGIN, self.width - 2 * MARGIN, MARGIN)
        self._marks: list[Callable[[Axes], object]] = []

    @functools.cached_property
    def figure(self) -> Figure:
        """The page with all that was written on it.

        Made when first asked for: most pages are laid out only to see whether a size fits, and
        artists take longer than that.
        """
        figure = Figure(figsize=(self.width / 25.4, self.height / 25.4))
        axes = figure.add_axes((0, 0, 1, 1), xlim=(0, self.width), ylim=(self.height, 0))
        axes.axis("off")
        for mark in self._marks:
            mark(axes)
        return figure

    # --- parts, each of which moves its column down ----------------------------------------

    def heading(self, column: Column, words: str) -> None:
        """Write a heading, underlined over the whole column."""
        self.write(column.left, column.y, words, 1.15 * self.size, "bold")
        column.y += self.line_height(1.15 * self.size)
        self.rule(column.left, column.left + column.width, column.y, linewidth=1.2)
        column.y += 1.2

    def paragraph(self, column: Column, words: str, size=None, weight="normal") -> None:
        """Write a text in as many lines as it takes."""
        size = size or self.size
        for line in self.wrapped(words, column.width, size, weight):
            self.write(column.left, column.y, line, size, weight)
            column.y += self.line_height(size)

    def boxed(self, column: Column, sentences: Sequence[str]) -> None:
        """Write bold sentences in a box."""
        top = column.y
        inside = Column(column.left + 2, column.width - 4, top + 1.2)
        for sentence in sentences:
            self.paragraph(inside, sentence, weight="bold")
        column.y = inside.y + 1
        self.box(column.left, top, column.width, column.y - top, linewidth=1.8)

    def blank(self, column: Column, label: str) -> None:
        """Write a label and a line to write on beside it."""
        self.write(column.left, column.y, label)
        start = column.left + self.measure(label) + 2
        self.rule(start, column.left + column.width, column.y + self.line_height())
        column.y += 7.0

    def row(self, column, cells, widths, weights, size=None, height=0.0, **looks) -> None:
        """Write one row of a table, boxed; `looks` are those of the boxes."""
        size = size or self.size
        wrapped = [
            self.wrapped(cell, width - 2.4, size, weight)
            for cell, width, weight in zip(cells, widths, weights, strict=True)
        ]
        height = max(height, max(map(len, wrapped)) * self.line_height(size) + 1.4)
        left = column.left
        for lines, width, weight in zip(wrapped, widths, weights, strict=True):
            self.box(left, column.y, width, height, **looks)
            top = column.y + (height - len(lines) * self.line_height(size)) / 2
            for number, line in enumerate(lines):
                self.write(left + 1.2, top + number * self.line_height(size), line, size, weight)
            left += width
        column.y += height

    def axes(self, left: float, top: float, width: float, height: float) -> Axes:
        """Axes for a drawing, without their labels in these measures."""
        bottom = self.height - top - height
        place = left / self.width, bottom / self.height, width / self.width, height / self.height
        return self.figure.add_axes(place)

    # --- marks on the paper -----------------------------------------------------------------

    def write(
        self, x: float, y: float, words: str, size=None, weight="normal", ha="left", color="black"
    ) -> None:
        """Write one line of text, the top of which is at y."""
        if words:
            size = size or self.size
            looks = {"ha": ha, "color": color, "parse_math": False}
            looks["fontproperties"] = _font(size, weight)
            bottom = y + 0.95 * size * _POINT
            self._marks.append(lambda axes: axes.text(x, bottom, printable(words, weight), **looks))

    def rule(self, left: float, right: float, y: float, linewidth=0.7) -> None:
        """Draw a line across."""
        looks = {"color": "black", "linewidth": linewidth}
        self._marks.append(lambda axes: axes.plot([left, right], [y, y], **looks))

    def across(self, words: str) -> None:
        """Write large hollow letters across the page, from its lower left to its upper right.

        Their outlines are black, so that they stay where a copy knows no gray; behind all else.
        """
        length = 0.8 * math.hypot(self.width, self.height)
        letters = TextPath((0, 0), words, prop=_font(1, "bold"))
        (x0, y0), (x1, y1) = letters.get_extents().get_points()
        scale = length / (x1 - x0)
        place = Affine2D().translate(-(x0 + x1) / 2, -(y0 + y1) / 2).scale(scale, -scale)
        place = place.rotate(-math.atan(self.height / self.width)).translate(
            self.width / 2, self.height / 2
        )
        looks = {"facecolor": PALE, "edgecolor": "black", "linewidth": 0.5, "zorder": 0}
        self._marks.append(
            lambda axes: axes.add_artist(PathPatch(place.transform_path(letters), **looks))
        )

    def box(self, left, top, width, height, facecolor="none", linewidth=0.7) -> None:
        """Draw a box."""
        looks = {"facecolor": facecolor, "edgecolor": "black", "linewidth": linewidth}
        self._marks.append(
            lambda axes: axes.add_artist(Rectangle((left, top), width, height, **looks))
        )

    # --- measures -----------------------------------------------------------------------------

    def line_height(self, size=None) -> float:
        """From one line of text to the next."""
        return _LEADING * (size or self.size) * _POINT

    def measure(self, words: str, size=None, weight="normal") -> float:
        """How wide one line of text is."""
        return _width(words, size or self.size, weight)

    def wrapped(self, words: str, width: float, size: float, weight: str) -> list[str]:
        """Text in lines that are not wider than this, broken at spaces."""
        lines = []
        for line in words.split("\n"):
            first, *others = re.split(r"(?<![0-9]) ", line)  # a number stays with its unit
            lines.append(first)
            for word in others:
                longer = f"{lines[-1]} {word}"
                if _width(longer, size, weight) <= width:
                    lines[-1] = longer
                else:
                    lines.append(word)
        return lines

    def cut(self, words: str, width: float) -> str:
        """As much of a text as goes into one line of this width."""
        words = " ".join(words.split())[:_LONGEST]
        if _width(words, self.size, "normal") <= width:
            return words
        while words and _width(f"{words}…", self.size, "normal") > width:
            words = words[:-1]
        return f"{words.rstrip()}…"


def _font(size: float, weight: str) -> FontProperties:
    return FontProperties(family=_FONT, size=size, weight=weight)


def printable(words: str, weight: str = "normal") -> str:
    r"""A text with a box in the place of every sign that the letters of a page do not have.

    >>> printable("windy \N{DUCK} ½ \udc80 \u202e8 kN")
    'windy □ ½ □ 8 kN'
    """
    has = _letters(weight).get_char_index
    return "".join(sign if has(ord(sign)) else "□" for sign in left_to_right(words))


@functools.cache
def _letters(weight: str) -> FT2Font:
    return get_font(findfont(_font(10, weight)))


def _width(words: str, size: float, weight: str) -> float:
    """How wide a line of text is, in mm."""
    parts = words.split(" ")
    ems = sum(_ems(part, weight) for part in parts) + (len(parts) - 1) * _ems(" ", weight)
    return ems * size * _POINT


@functools.lru_cache(maxsize=4096)
def _ems(word: str, weight: str) -> float:
    """How wide a word is, over the size of its letters."""
    font = _font(100.0, weight)
    width, *_ = text_to_path.get_text_width_height_descent(printable(word, weight), font, False)
    return width / 100.0
