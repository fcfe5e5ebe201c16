"""Picture: two stamps as they are written, and both parts on one basis."""

import textwrap

from matplotlib.patches import FancyBboxPatch, Rectangle
from matplotlib.ticker import MaxNLocator

from recoverykit.course import picture as p
from recoverykit.units.quantities import show

PLATES = {"a": 0.205, "b": 0.795}  # of the width: their middles
PLATE_WIDTH, PLATE_LENGTH = 0.37, 32  # of the width, and letters that fit on a plate
ROOM_FOR_WORDS = 1.6  # how much longer the axis is than the longest bar
UNKNOWN_LOOKS = {"facecolor": "white", "edgecolor": p.GRAY, "hatch": "..", "linestyle": ":"}
LOOKS: dict[str, p.Looks] = {
    "a": {"facecolor": p.SKY, "edgecolor": p.BLACK, "hatch": "", "linestyle": "-"},
    "b": {"facecolor": p.ORANGE, "edgecolor": p.BLACK, "hatch": "//", "linestyle": "-"},
}
# Where the bars of both limits of both parts stand, and above them their headings.
ROWS = {
    ("working_load_limit", "a"): 3.55,
    ("working_load_limit", "b"): 2.75,
    ("breaking_strength", "a"): 1.25,
    ("breaking_strength", "b"): 0.45,
}
HEADINGS = {"working load limit": 4.1, "minimum breaking strength": 1.8}
GUESSES = {"a": "A", "b": "B", "same": "neither", "unknown": "cannot be told"}


class StampsPicture(p.Picture):
    """Two plates with what is stamped on them; below, bars for both limits of both parts."""

    only_wide = True

    def build(self):
        """Make the artists; their values come in `update`."""
        self._plates = self.figure.add_axes((0, 0.72, 1, 0.28), xlim=(0, 1), ylim=(0, 1))
        self._plates.set_axis_off()
        self._axes = self.figure.add_axes((0.055, 0.12, 0.885, 0.59))
        self._stamps = {part: self._words_at(middle, 0.6) for part, middle in PLATES.items()}
        self._rigged = self._words_at(PLATES["b"] + PLATE_WIDTH / 2, 0.1)
        self._rigged.set(ha="right", fontsize=p.SMALL_TEXT)
        self._bars = {row: self._bar(row[1], height) for row, height in ROWS.items()}

    def _words_at(self, x, y):
        looks = {"ha": "center", "va": "center", "linespacing": 1.4, "bbox": None}
        words = self.moving_text(self._plates, before_guess=True, **looks)
        words.set_position((x, y))
        return words

    def _bar(self, part, height):
        bar = self._axes.add_patch(Rectangle((0, height - 0.3), 0, 0.6, **LOOKS[part]))
        return self.moving(bar), self.moving_text(self._axes, va="center")

    @property
    def answer_axes(self):
        """The axes of the bars."""
        return (self._axes,)

    def background_of(self, result, system):
        """The end of the axis, and the guess."""
        return self._end(result, system), result.guess

    def move(self, result, system):
        """Write the stamps, and show both limits of both parts."""
        for part, words in self._stamps.items():
            lines = getattr(result, part).plate
            words.set_text("\n".join(textwrap.shorten(line, PLATE_LENGTH) for line in lines))
        self._rigged.set_text(f"rigged: {result.rigged}")
        for (limit, part), artists in self._bars.items():
            self._show_limit(artists, result, limit, part, system)

    def _show_limit(self, artists, result, limit, part, system):
        bar, words = artists
        link = getattr(result, part).link
        value, end = getattr(link, limit), self._axes.get_xlim()[1]
        stronger = result.stronger(limit) == link.name
        if value is None:
            bar.update(UNKNOWN_LOOKS)
            bar.set_width(end)  # it may be anywhere
            words.set_text("? unknown")
        else:
            bar.update(LOOKS[part])
            bar.set_width(value.m_as(system.unit("force")))
            words.set_text(show(value, "force", system) + "  ◀ stronger" * stronger)
        at = end / 2 if value is None else bar.get_width()
        words.set_position((at + 0.012 * end, bar.get_y() + 0.3))
        words.set_fontweight("bold" if stronger else "normal")

    def _end(self, result, system):
        """The end of the axis: a round number beyond the longest bar and its words."""
        limits = [getattr(stamp.link, limit) for limit, _ in ROWS for stamp in (result.a, result.b)]
        known = [limit.m_as(system.unit("force")) for limit in limits if limit is not None]
        return p.round_top(ROOM_FOR_WORDS * max(known, default=1.0))

    def draw_background(self, result, system):
        """Two empty plates; below them the axes of the bars."""
        self._draw_plates(result.guess)
        axes = self._axes
        axes.set(xlim=(0, self._end(result, system)), ylim=(0, 4.4))
        p.name_axes(axes, system, x=("force in the line, as rigged", "force"), y=("", "force"))
        axes.set_ylabel("")
        axes.xaxis.set_major_locator(MaxNLocator(6))
        axes.xaxis.set_major_formatter(p.in_groups(system))
        axes.set_yticks(
            list(ROWS.values()), [part.upper() for _, part in ROWS], fontsize=p.TEXT + 2
        )
        axes.grid(visible=False, axis="y")
        if self.revealed:
            for heading, height in HEADINGS.items():
                axes.text(0, height, heading, fontsize=p.TEXT, fontweight="bold")

    def _draw_plates(self, guess):
        axes = self._plates
        for part, middle in PLATES.items():
            left = middle - PLATE_WIDTH / 2
            axes.add_patch(
                FancyBboxPatch(
                    (left, 0.26),
                    PLATE_WIDTH,
                    0.66,
                    boxstyle="round,pad=0.01,rounding_size=0.02",
                    facecolor="#F2F2F2",
                    edgecolor=LOOKS[part]["facecolor"],
                    linewidth=3,
                )
            )
            axes.text(left + 0.01, 0.78, part.upper(), fontsize=p.TEXT + 4, fontweight="bold")
        if guess:
            words = f"◆ your guess\nat the start:\n{GUESSES[guess]}"
            p.note(axes, 0.5, 0.6, words, fontsize=p.TEXT, linespacing=1.4)
