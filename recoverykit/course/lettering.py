"""Text of pictures, put together from words whose pixels are kept: to draw letters takes long."""

import functools
import math
import re
import unicodedata

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg, RendererAgg

MARGIN = 2  # pixels around a word, for letters that stand out over their width


class WordCanvas(FigureCanvasAgg):
    """A canvas whose level text is drawn by `WordRenderer`."""

    _made_for: tuple = ()

    def get_renderer(self):
        """A renderer of the figure's size, which stays the same until that changes."""
        wanted = *self.get_width_height(physical=True), self.figure.dpi
        if wanted != self._made_for:
            self._made_for, self.renderer = wanted, WordRenderer(*wanted)
        return self.renderer


class WordRenderer(RendererAgg):
    """Draws level text from kept words, each of which begins at a whole pixel."""

    def draw_text(self, gc, x, y, s, prop, angle, ismath=False, mtext=None):
        """Put the words of a line one beside the other."""
        words = [] if angle or ismath else words_of(s)
        if not words:
            return super().draw_text(gc, x, y, s, prop, angle, ismath, mtext)
        font = prop.copy()
        for word in words:
            pixels, below = _drawn(word, font, self.dpi, gc.get_rgb())
            self.draw_image(gc, round(x) - MARGIN, round(self.height - y) - below, pixels)
            x += _size(word, font, self.dpi)[0]

    def get_text_width_height_descent(self, s, prop, ismath):
        """How large a line is, from how large its words are."""
        words = [] if ismath else words_of(s)
        if not words:
            return super().get_text_width_height_descent(s, prop, ismath)
        font = prop.copy()
        sizes = [_size(word, font, self.dpi) for word in words]
        descent = max(descent for _, _, descent in sizes)
        ascent = max(height - descent for _, height, descent in sizes)
        return sum(width for width, _, _ in sizes), ascent + descent, descent


def words_of(line: str) -> list[str]:
    """The words of a line, each with the space before it; none where some are read leftward.

    >>> words_of("holds 12 kN")
    ['holds', ' 12', ' kN']
    """
    if any(unicodedata.bidirectional(letter) in ("R", "AL") for letter in line):
        return []
    return re.findall(r"\s*\S+", line)


@functools.lru_cache(2000)
def _size(word, font, dpi) -> tuple[float, float, float]:
    """Width, height and descent of a word, in pixels."""
    return RendererAgg(1, 1, dpi).get_text_width_height_descent(word, font, False)


@functools.lru_cache(2000)
def _drawn(word, font, dpi, color) -> tuple[np.ndarray, int]:
    """The pixels of a word, lowest row first, and how many rows are below its baseline."""
    width, height, descent = _size(word, font, dpi)
    below = MARGIN + math.ceil(descent)
    rows = below + math.ceil(height - descent) + MARGIN
    renderer = RendererAgg(math.ceil(width) + 2 * MARGIN, rows, dpi)
    gc = renderer.new_gc()
    gc.set_foreground(color, isRGBA=True)
    renderer.draw_text(gc, MARGIN, rows - below, word, font, 0)
    return np.asarray(renderer.buffer_rgba())[::-1].copy(), below
