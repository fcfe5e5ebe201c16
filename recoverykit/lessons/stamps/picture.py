"""Picture: two parts with their stamps on them, and both on one basis."""

import textwrap

from matplotlib.patches import Rectangle
from matplotlib.ticker import MaxNLocator

from recoverykit.course import picture as p
from recoverykit.course.drawing import name_x_axis
from recoverykit.lessons.stamps.stamped_parts import WIDTH, draw_stamped
from recoverykit.units.quantities import show

STAMP_LENGTH = 30  # letters that fit on a part
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
GUESSES = {"a": "A", "b": "B", "same": "neither", "unknown": "no way to tell"}


class StampsPicture(p.Picture):
    """Two parts with what is stamped on them; below, bars for both limits of both parts."""

    narrow_height = 650

    def build(self):
        """Make the artists; their values come in `update`."""
        self._paper = self.figure.add_axes(
            (0, 0, 1, 1), xlim=(0, self.width), ylim=(0, self.height)
        )
        self._paper.set_axis_off()
        self._axes = self.figure.add_axes(
            self.place((0.055, 0.12, 0.885, 0.56), (0.08, 0.09, 0.87, 0.445))
        )
        # CSS pixels from the left and from the bottom: the middles of both parts.
        top, right = self.height - 60, self.width - WIDTH / 2 - 8
        self._middles = {
            "a": (WIDTH / 2 + 8, top),
            "b": self.place((right, top), (right, top - 124)),
        }
        looks = {"ha": "center", "va": "center", "bbox": None, "before_guess": True}
        self._stamps = {
            part: [self.moving_text(self._paper, **looks) for _ in range(3)]
            for part in self._middles
        }
        self._bars = {row: self._bar(row[1], height) for row, height in ROWS.items()}

    def _bar(self, part, height):
        bar = self._axes.add_artist(Rectangle((0, height - 0.3), 0, 0.6, **LOOKS[part]))
        return self.moving(bar), self.moving_text(self._axes, va="center")

    @property
    def answer_axes(self):
        """The axes of the bars."""
        return (self._axes,)

    def background_of(self, result, system):
        """The end of the axis, how B is rigged, and the guess."""
        return self._end(result, system), result.rigged, result.guess

    def move(self, result, system):
        """Write the stamps, and show both limits of both parts."""
        for part, words in self._stamps.items():
            for each, line in zip(words, getattr(result, part).lines, strict=True):
                each.set_text(textwrap.shorten(line, STAMP_LENGTH))
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
            words.set_text(
                show(value, "force", system) + self.place("  ◀ stronger", " ◀") * stronger
            )
        at = end / 2 if value is None else bar.get_width()
        words.set_position((at + 0.012 * end, bar.get_y() + 0.3))
        words.set_fontweight("bold" if stronger else "normal")

    def _end(self, result, system):
        """The end of the axis: a round number beyond the longest bar, with room for words."""
        limits = [getattr(stamp.link, limit) for limit, _ in ROWS for stamp in (result.a, result.b)]
        known = [limit.m_as(system.unit("force")) for limit in limits if limit is not None]
        return p.round_top(self.place(1.6, 2.2) * max(known, default=1.0))

    def draw_background(self, result, system):
        """Two parts without their stamps; below them the axes of the bars."""
        self._draw_parts(result)
        axes = self._axes
        axes.set(xlim=(0, self._end(result, system)), ylim=(0, 4.4))
        name_x_axis(axes, system, "force in the line, as rigged", "force")
        axes.xaxis.set_major_locator(MaxNLocator(self.place(6, 3), prune=self.place(None, "upper")))
        axes.set_yticks(
            list(ROWS.values()), [part.upper() for _, part in ROWS], fontsize=p.TEXT + 2
        )
        if self.revealed:
            if self.narrow:
                p.note(axes, 1, 4.15 / 4.4, "◀ stronger", ha="right")
            for heading, height in HEADINGS.items():
                axes.text(0, height, heading, fontsize=p.TEXT, fontweight="bold")

    def _draw_parts(self, result):
        paper = self._paper
        for part, (x, y) in self._middles.items():
            places = draw_stamped(paper, getattr(result, part).kind, x, y)
            for words, place in zip(self._stamps[part], places, strict=True):
                words.set_position(place)
            looks: p.Looks = {"fontsize": p.TEXT + 4, "fontweight": "bold", "va": "top"}
            paper.text(x - WIDTH / 2, y + 58, part.upper(), **looks)
        below = self._middles["b"][1] - 70
        x, ha = self.place((self.width - 8, "right"), (8, "left"))
        paper.text(
            x, below, f"B is rigged: {result.rigged}", ha=ha, va="center", fontsize=p.SMALL_TEXT
        )
        if result.guess:
            words = f"◆ your guess at the start: {GUESSES[result.guess]}"
            y = below - self.place(0, 20)
            paper.text(8, y, words, va="center", fontsize=p.SMALL_TEXT)
