"""Picture: a line drawn part by part, with the limits of each part and the tension on all."""

import textwrap

import numpy as np
from matplotlib.patches import Polygon, Rectangle

from recoverykit.course import picture as p
from recoverykit.course.drawing import name_x_axis
from recoverykit.course.parts import broken_edges, draw_part, draw_vehicle
from recoverykit.physics.rigging import ABOVE, BREAKING, UNKNOWN, WITHIN
from recoverykit.units.quantities import brief, show

MOST_PARTS = 6
DRAWING = 52  # CSS pixels from the left to the middle of the line
VEHICLE = 60  # height
EDGE: p.Looks = {"edgecolor": p.BLACK, "linewidth": 0.8}
LOOKS: dict[str, p.Looks] = {
    WITHIN: {"facecolor": p.SKY},
    ABOVE: {"facecolor": "#F5D08A", "hatch": "//"},
    BREAKING: {"facecolor": "#F0B48A", "hatch": "xx"},
    UNKNOWN: {"facecolor": "white", "hatch": ".."},
}
SIGNS = {WITHIN: "○", ABOVE: "▲", BREAKING: "✕", UNKNOWN: "?"}


class WeakestLinkPicture(p.Picture):
    """Down the page the line, and beside each part its limits and its verdict.

    In the wide layout these stand in columns, in the narrow one below each other.
    """

    narrow_height = 915

    def build(self):
        """Make the artists; their values come in `update`."""
        # CSS pixels from the left and from the bottom.
        self._bottom, self._top = self.place((62, 408), (92, 787))
        self._names, self._bars, self._bars_end = self.place((108, 254, 590), (108, 108, 354))
        self._words_at = self.place(602, 108)
        self._bar_height = self.place(20, 14)
        self._name_length, self._words_length = self.place((21, 22), (34, 34))  # letters
        width, height = self.width, self.height
        self._paper = self.figure.add_axes((0, 0, 1, 1), xlim=(0, width), ylim=(0, height))
        self._paper.set_axis_off()
        bars = self._bars_end - self._bars, self._top - self._bottom
        place = (self._bars / width, self._bottom / height, bars[0] / width, bars[1] / height)
        self._axes = self.figure.add_axes(place, ylim=(self._bottom, self._top))
        self._axes.patch.set_visible(False)  # the paper lies below it
        self._tension = self.moving_line(
            self._axes, "-", color=p.BLACK, linewidth=3, solid_capstyle="butt", clip_on=False
        )
        self._label = self.moving_text(self._axes, ha="center", va="bottom", fontweight="bold")
        self._words = [
            self.moving_text(
                self._paper, va=self.place("center", "top"), fontsize=p.SMALL_TEXT, bbox=None
            )
            for _ in range(MOST_PARTS)
        ]
        gap: p.Looks = {"facecolor": "white", "edgecolor": p.RED, "linewidth": 2, "zorder": 3}
        self._gap = self.moving(self._paper.add_artist(Polygon(np.zeros((3, 2)), **gap)))

    @property
    def answer_axes(self):
        """The axes of the bars."""
        return (self._axes,)

    def background_of(self, result, system):
        """The vehicle that pulls, the parts, and what was guessed of them."""
        return result.pulls, result.parts, result.guess

    def _rows(self, result):
        """The heights of the middles of all rows."""
        step = (self._top - self._bottom) / len(result.parts)
        return self._top - step * (np.arange(len(result.parts)) + 0.5), step

    def move(self, result, system):
        """Put the tension across all bars, and write what it is to each part, until one breaks."""
        broken = result.broken
        tension = result.tension if broken is None else broken.breaking_strength
        at = tension.m_as(system.unit("force"))
        self._tension.set_xdata(np.full(len(self._tension.get_ydata()), at))
        self._label.set_text(show(tension, "force", system))
        end = self._axes.get_xlim()[1]
        edge = self.place(0, 0.16) * end  # room for half of the label
        self._label.set_position((min(max(at, edge), end - edge), self._top + 10))
        self._gap.set_visible(self._gap.get_visible() and broken is not None)
        for words in self._words:
            words.set_text("")
        heights, _ = self._rows(result)
        rows = zip(self._words, result.loads, result.parts, heights, strict=False)
        for words, load, part, height in rows:
            if broken is None:
                words.set_text(self._verdict(load))
            elif load.link is broken:
                words.set_text(f"{SIGNS[BREAKING]} the line parts here")
                self._gap.set_xy(broken_edges(part.kind, DRAWING, height))

    def draw_background(self, result, system):
        """The line down the page, and beside each part its bar and its limits."""
        axes, end = self._axes, p.round_top(result.most.m_as(system.unit("force")))
        axes.set_xlim(0, end)
        name_x_axis(axes, system, "tension of the line", "force")
        axes.locator_params(axis="x", nbins=self.place(9, 4), prune="upper")
        axes.set_yticks([])
        axes.grid(visible=False)
        axes.spines["left"].set_visible(False)
        heights, step = self._rows(result)
        self._draw_vehicles(result.pulls)
        bars = []
        for part, height, words in zip(result.parts, heights, self._words, strict=False):
            draw_part(self._paper, part.kind, DRAWING, height, step, part.angle)
            below = self._name(part, height, step, result.guess)
            bar = self.place(height, below - self._bar_height / 2 - 3)
            bars.append(bar)
            words.set_position((self._words_at, self.place(height, bar - 24)))
            if self.revealed:
                self._draw_bar(part.link, bar, end, system)
                self._draw_limits(part.link, bar, result, system)
        # The line across all bars leaves out the words between them.
        over = self._bar_height / 2 + 1
        pieces = [(self._top + 8, self._top + 1), *((bar + over, bar - over) for bar in bars)]
        self._tension.set_ydata([end for piece in pieces for end in (*piece, np.nan)])
        if self.revealed:
            self._draw_legend()

    def _draw_vehicles(self, pulls):
        draw_vehicle(self._paper, DRAWING, self._top + VEHICLE / 2, VEHICLE)
        draw_vehicle(self._paper, DRAWING, self._bottom - VEHICLE / 2, VEHICLE)
        self._write(self._names, self._top + self.place(22, 45), pulls)
        self._write(self.place(self._names, 4), self._bottom - self.place(30, 74), "stuck vehicle")

    def _name(self, part, height, step, guess):
        """Name a part, and tell what was guessed of it; the height below these lines."""
        lines = textwrap.wrap(part.link.name, self._name_length)
        rigged = ", ".join(each.name for each in part.link.factors)
        lines += textwrap.wrap(rigged, self._name_length)
        guessed = guess.get(part.link.name, ())
        if guessed:
            lines += textwrap.wrap(f"◆ your guess: {', '.join(guessed)}", self._name_length)
        top = height + step / 2 - 3
        self._write(
            self._names,
            self.place(height, top),
            "\n".join(lines),
            va=self.place("center", "top"),
        )
        return top - 15.5 * len(lines)

    def _write(self, x, y, words, **looks):
        looks = {"va": "center", "fontsize": p.SMALL_TEXT, "linespacing": 1.15, **looks}
        self._paper.text(x, y, words, **looks)

    def _verdict(self, load) -> str:
        """A part's verdict and shares, in a few short lines."""
        lines = textwrap.wrap(f"{SIGNS[load.verdict]} {load.verdict}", self._words_length)
        shares = [
            f"{100 * share:.0f} % of {what}"
            for share, what in (
                (load.over_working_limit, "limit"),
                (load.over_strength, "strength"),
            )
            if share is not None
        ]
        return "\n".join([*lines, self.place("\n", ", ").join(shares)]).strip()

    def _draw_bar(self, link, height, end, system):
        """Where a part is within its limit, above it, and breaking."""
        limit, strength = (
            None if force is None else force.m_as(system.unit("force"))
            for force in (link.working_load_limit, link.breaking_strength)
        )
        breaks_at = end if strength is None else strength
        above_from = breaks_at if limit is None else limit
        pieces = {
            UNKNOWN if limit is None else WITHIN: (0, above_from),
            ABOVE: (above_from, breaks_at),
            BREAKING: (breaks_at, end),
        }
        for verdict, (start, stop) in pieces.items():
            if stop > start:
                corner, looks = (start, height - self._bar_height / 2), EDGE | LOOKS[verdict]
                self._axes.add_artist(Rectangle(corner, stop - start, self._bar_height, **looks))

    def _draw_limits(self, link, height, result, system):
        """Both limits of a part in words, and whether it is the first to come to one.

        Beside an unrated part nothing is the first: nobody knows where that one gives.
        """
        y = height + self.place(1, -1) * (self._bar_height / 2 + 8)
        breaks, align = self.place((416, "left"), (self.width - 3, "right"))
        for x, ha, what, force, first in (
            (self._bars, "left", "limit", link.working_load_limit, result.first),
            (breaks, align, "breaks", link.breaking_strength, result.weakest),
        ):
            known = "unknown" if force is None else brief(force, "force", system)
            is_first = link is first
            mark = self.place(" ◀ 1st", " ◀") * is_first
            weight = "bold" if is_first and not self.narrow else "normal"
            self._write(x, y, f"{what} {known}{mark}", fontweight=weight, ha=ha)

    def _draw_legend(self):
        top = self.height - 14
        places = self.place(
            [(98, top), (265, top), (431, top), (666, top)],
            [(4, top), (4, top - 20), (4, top - 40), (240, top)],
        )
        if self.narrow:
            self._write(240, top - 20, "◀ first")
        for name, (x, y) in zip((WITHIN, ABOVE, BREAKING, UNKNOWN), places, strict=True):
            self._paper.add_artist(Rectangle((x, y - 6), 22, 12, **EDGE, **LOOKS[name]))
            self._write(x + 27, y, name)
