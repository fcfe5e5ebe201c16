"""A kept figure: a still background, drawn once, and moving artists, drawn at every change."""

import struct
import zlib
from collections.abc import Callable
from typing import Any, TypeAlias

import numpy as np
from matplotlib.figure import Figure
from matplotlib.text import Text

from recoverykit.course.lettering import WordCanvas
from recoverykit.physics.plan import CEILING
from recoverykit.units.quantities import show

WIDTH, HEIGHT = 760, 472  # of a panel's picture on the page, in CSS pixels
NARROW_WIDTH = 366  # of its layout for phones; about 30 letters beside axes, or 46 across
SHARPNESS = 1.25  # picture pixels for each CSS pixel; more looks finer and takes longer to pack
NARROW_SHARPNESS = 2  # the narrow layout has half as many of those, and phones show more

# Okabe & Ito (2008), "Color universal design": told apart with all common kinds of color vision.
BLACK = "#000000"
ORANGE = "#E69F00"
SKY = "#56B4E9"
GREEN = "#009E73"
BLUE = "#0072B2"
RED = "#D55E00"
PURPLE = "#CC79A7"
GRAY = "#595959"

Looks: TypeAlias = dict[str, Any]  # what artists of matplotlib are told by name

TEXT = 11  # points at 100 dpi: 15 CSS pixels, for the back row of a room
SMALL_TEXT = 9.5
GUESS_FIRST = "write down\nyour guess first"
BESIDE_POINT = 12  # CSS pixels from the middle of a point to its label
LABEL_WIDTH = 105  # CSS pixels of axes; a longer label may stand out over their end
BEHIND_TEXT = {"facecolor": "white", "edgecolor": "none", "alpha": 0.75, "pad": 1.5}


class Picture:
    """One figure of fixed size, kept and updated in place, in one of two layouts.

    The wide layout is for laptops and walls, the `narrow` one for phones: what stands beside the
    axes in the first stands below them in the second. `place` chooses what a layout needs.

    Subclasses make their artists once, in `build`, mark those that change with `moving`, and give
    them their values in `move`. All else is the background: `draw_background` draws it anew when
    the display system changes, the answer is revealed, or what `background_of` gives is another.
    Patches are added with `add_artist`: `add_patch` would look for limits, which are set here.
    """

    narrow_height = 460  # CSS pixels

    def __init__(self, narrow: bool = False):
        self.narrow = narrow
        self.width = self.place(WIDTH, NARROW_WIDTH)  # CSS pixels, as is the height
        self.height = self.place(HEIGHT, self.narrow_height)
        sharpness = self.place(SHARPNESS, NARROW_SHARPNESS)
        self.figure = Figure(figsize=(self.width / 100, self.height / 100), dpi=100 * sharpness)
        self._canvas = WordCanvas(self.figure)
        self.revealed = True
        self._moving: list[Any] = []
        self._shown_before_guess: list[Any] = []
        self._background: Any = None
        self._background_png: Any = None
        self._background_of: Any = None
        self.build()

    def place(self, wide: Any, narrow: Any) -> Any:
        """What holds in this layout: a place, a size, or how many letters go into a line."""
        return narrow if self.narrow else wide

    def build(self):
        """Make the axes and artists."""
        raise NotImplementedError

    def background_of(self, result, system):
        """What the background depends on, beside the display system; compared with `==`."""
        return ()

    def draw_background(self, result, system):
        """Draw on the axes, which are cleared of all that does not move."""
        raise NotImplementedError

    def move(self, result, system):
        """Give the moving artists the values of a result, in the units of a display system."""
        raise NotImplementedError

    @property
    def answer_axes(self):
        """The axes that are empty until the learner has guessed."""
        return self.figure.axes[:1]

    def update(self, result, system):
        """Show a result; of the answer nothing, as long as it is not `revealed`."""
        background_of = (system, self.revealed, self.background_of(result, system))
        if background_of != self._background_of:
            self._background_of = background_of
            for axes in self.figure.axes:
                self.clear_background(axes)
            self.draw_background(result, system)
            if not self.revealed:
                for axes in self.answer_axes:
                    note(axes, 0.5, 0.45, GUESS_FIRST, fontsize=TEXT + 4)
            self.redraw_background()
        for artist in self._moving:
            artist.set_visible(True)
        self.move(result, system)
        if not self.revealed:
            for artist in self._moving:
                artist.set_visible(artist in self._shown_before_guess)

    def moving(self, artist, before_guess=False):
        """Mark an artist as one that changes; it is drawn over the background."""
        artist.set_animated(True)
        self._moving.append(artist)
        if before_guess:
            self._shown_before_guess.append(artist)
        return artist

    def moving_line(self, axes, style, **looks):
        """Make a moving line, empty at first, to be given its points with `set_data`."""
        return self.moving(axes.plot([], [], style, **looks)[0])

    def moving_text(self, axes, before_guess=False, **looks):
        """Make a moving text, empty at first."""
        place: Looks = {"transform": axes.transData, "clip_on": False}  # as `axes.text` has it
        looks = place | {"fontsize": TEXT, "bbox": BEHIND_TEXT} | looks
        return self.moving(axes.add_artist(Text(0, 0, "", **looks)), before_guess)

    def clear_background(self, axes):
        """Take from axes all that `moving` did not mark."""
        for artist in [*axes.collections, *axes.texts, *axes.lines, *axes.patches]:
            if artist not in self._moving:
                artist.remove()
        if axes.get_legend():
            axes.get_legend().remove()

    def redraw_background(self):
        """Draw the background anew next time."""
        self._background = self._background_png = None

    def pixels(self) -> np.ndarray:
        """The picture as it is now: red, green and blue by row and column. Good until the next."""
        self._restore_background()
        self._draw_moving()
        return self._pixels[..., :3]

    def png(self) -> bytes:
        """The picture as it is now, as a PNG file."""
        self.pixels()
        return _as_png(self._pixels, TRUECOLOR)

    def layers(self) -> tuple[bytes, bytes]:
        """The picture as two PNG files: the background, and what moves, on a transparent ground.

        The second is small and quickly packed; the first stays the same object until it changes.
        """
        if self._background_png is None:
            self._restore_background()
            self._background_png = _as_png(self._pixels, TRUECOLOR)
        self._canvas.get_renderer().clear()
        self._draw_moving()
        return self._background_png, _as_png(*_indexed(self._pixels))

    @property
    def _pixels(self):
        return np.asarray(self._canvas.buffer_rgba())

    def _restore_background(self):
        if self._background is None:
            self._canvas.draw()
            self._background = self._canvas.copy_from_bbox(self.figure.bbox)
        self._canvas.restore_region(self._background)

    def _draw_moving(self):
        for artist in self._moving:
            artist.axes.draw_artist(artist)


# Of the PNG format (ISO/IEC 15948).
TRUECOLOR, INDEXED = 6, 3
BLANK = 0x00FFFFFF  # what Agg clears a canvas to: white, and wholly transparent


def _indexed(pixels) -> tuple[np.ndarray, int, list[tuple[bytes, bytes]]]:
    """Pixels as numbers of a palette of 255 colors and none, for drawings that are mostly blank.

    Of more colors, those that are the same but for their last bits become the most frequent one.
    """
    flat = pixels.view("<u4").ravel()
    drawn = np.flatnonzero(flat != BLANK)
    colors, counts = np.unique(flat[drawn], return_counts=True)
    for dropped in range(8):  # bits of each channel
        mask = np.frombuffer(4 * bytes([0xFF << dropped & 0xFF]), "<u4")
        kept, entry = np.unique(colors & mask, return_inverse=True)
        if len(kept) < 256:
            break
    palette = np.zeros(1 + len(kept), "<u4")
    by_frequency = np.argsort(counts)
    palette[1 + entry[by_frequency]] = colors[by_frequency]  # of several, the last one stays
    numbers = np.zeros(flat.shape, np.uint8)
    numbers[drawn] = 1 + entry[np.searchsorted(colors, flat[drawn])]
    channels = palette.view(np.uint8).reshape(-1, 4)
    chunks = [(b"PLTE", channels[:, :3].tobytes()), (b"tRNS", channels[:, 3].tobytes())]
    return numbers.reshape(pixels.shape[:2]), INDEXED, chunks


def _as_png(pixels, color_type: int, chunks=()) -> bytes:
    """Write a PNG file (ISO/IEC 15948) of rows of RGBA pixels, or of numbers of a palette.

    Pillow would try every filter on each row, which takes twice as long as all the rest and makes
    drawings no smaller.
    """
    height, width = pixels.shape[:2]
    pixels = pixels.reshape(height, -1)
    rows = np.zeros((height, 1 + pixels.shape[1]), np.uint8)  # each begins with 0: no filter
    rows[:, 1:] = pixels
    header = struct.pack(">IIBBBBB", width, height, 8, color_type, 0, 0, 0)  # of 8 bits a channel
    # Level 1: the page is on this machine, and smaller files would take longer to make.
    data = (b"IDAT", zlib.compress(rows.data, level=1))
    chunks = [(b"IHDR", header), *chunks, data, (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(_as_chunk(*chunk) for chunk in chunks)


def _as_chunk(kind: bytes, content: bytes) -> bytes:
    checksum = zlib.crc32(kind + content)
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", checksum)


# --- what many pictures have ------------------------------------------------------------


def name_axes(axes, system, x: tuple[str, str], y: tuple[str, str]) -> None:
    """Name both axes, each by a label and a kind of quantity, and give them the house's looks."""
    axes.set_xlabel(f"{x[0]} [{system.symbol(x[1])}]", fontsize=TEXT)
    axes.set_ylabel(f"{y[0]} [{system.symbol(y[1])}]", fontsize=TEXT)
    axes.grid(color="#DDDDDD", linewidth=0.8)
    axes.tick_params(labelsize=SMALL_TEXT)
    axes.spines[["top", "right"]].set_visible(False)
    axes.yaxis.set_major_formatter(in_groups(system))


def in_groups(system) -> Callable[[float, float], str]:
    """A formatter of ticks that groups digits as a display system does."""
    return lambda value, _: system.grouped(value, ".10g")


def note(axes, x: float, y: float, text: str, **looks) -> None:
    """Write a still text at a place given as parts of the axes' width and height."""
    looks = {"ha": "center", "va": "center", "fontsize": SMALL_TEXT, "color": "#333333"} | looks
    axes.text(x, y, text, transform=axes.transAxes, bbox=BEHIND_TEXT, **looks)


def _css_width(axes) -> float:
    """How wide axes are, in CSS pixels."""
    return axes.bbox.width / axes.figure.dpi * 100


def put_beside(label, x: float, y: float) -> None:
    """Put a text right of a point, or left of it where the axes end."""
    left, right = label.axes.get_xlim()
    width = _css_width(label.axes)
    offset = BESIDE_POINT / width * (right - left)
    at_end = x > right - LABEL_WIDTH / width * (right - left)
    label.set_ha("right" if at_end else "left")
    label.set_position((x - offset if at_end else x + offset, y))


def draw_ceiling(axes, system) -> None:
    """Mark the trade's usual ceiling on an axis of speeds, and write it above the axes."""
    ceiling = CEILING.m_as(system.unit("speed"))
    axes.axvline(ceiling, color=GRAY, linestyle="-.", linewidth=1.5)
    words = f"usual ceiling, about {show(CEILING, 'speed', system, 1)}"
    left, right = axes.get_xlim()
    half = 105 / _css_width(axes)  # of the words, as a part of the axes
    note(axes, min((ceiling - left) / (right - left), 1.03 - half), 1.035, words)


def round_top(value: float) -> float:
    """The next round number above a value, for the end of an axis that seldom has to change.

    >>> round_top(133), round_top(8500), round_top(60)
    (150.0, 10000.0, 60.0)
    """
    power = 10.0 ** np.floor(np.log10(value))
    return float(power * min(step for step in (1, 1.5, 2, 3, 4, 6, 8, 10) if step >= value / power))


def spread_out(positions, gap: float, low: float, high: float) -> list[float]:
    """Move labels as little as can be so that they are a gap apart, in order, within low and high.

    >>> spread_out([0.10, 0.12, 0.50], 0.05, 0, 1)
    [0.085, 0.135, 0.5]
    >>> spread_out([1.0, 0.99], 0.05, 0, 1)
    [1.0, 0.95]
    """
    from scipy.optimize import isotonic_regression  # slow to import, so only when it is needed

    order = np.argsort(positions, kind="stable")
    steps = gap * np.arange(len(order))
    room = high - low - (steps[-1] if len(order) else 0)
    apart = isotonic_regression(np.asarray(positions, dtype=float)[order] - low - steps).x
    placed = np.empty(len(order))
    placed[order] = low + np.clip(apart, 0, room) + steps
    return placed.round(6).tolist()
