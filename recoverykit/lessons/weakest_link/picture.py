"""Picture: a line drawn part by part, with the limits of each part and the tension on all."""

import textwrap

import numpy as np
from matplotlib.patches import Rectangle

from recoverykit.course import picture as p
from recoverykit.course.parts import draw_part, draw_vehicle
from recoverykit.physics.rigging import ABOVE, BREAKING, UNKNOWN, WITHIN
from recoverykit.units.quantities import brief, show

# Columns and rows, in CSS pixels from the left and from the bottom.
DRAWING, NAMES, BARS, BREAKS, WORDS = 50, 104, 254, 416, 602
BARS_END = 590
BOTTOM, TOP = 62, 408
MOST_PARTS = 6
BAR_HEIGHT = 20
NAME_LENGTH, WORDS_LENGTH = 22, 22  # letters that fit into a column

EDGE: p.Looks = {"edgecolor": p.BLACK, "linewidth": 0.8}
LOOKS: dict[str, p.Looks] = {
    WITHIN: {"facecolor": p.SKY},
    ABOVE: {"facecolor": "#F5D08A", "hatch": "//"},
    BREAKING: {"facecolor": "#F0B48A", "hatch": "xx"},
    UNKNOWN: {"facecolor": "white", "hatch": ".."},
}
LEGEND = {WITHIN: 98, ABOVE: 265, BREAKING: 431, UNKNOWN: 666}  # from the left
LEGEND_HEIGHT = 458
SIGNS = {WITHIN: "○", ABOVE: "▲", BREAKING: "✕", UNKNOWN: "?"}


class WeakestLinkPicture(p.Picture):
    """Down the page the line, and beside each part its limits and its verdict."""

    only_wide = True

    def build(self):
        """Make the artists; their values come in `update`."""
        self._paper = self.figure.add_axes((0, 0, 1, 1), xlim=(0, p.WIDTH), ylim=(0, p.HEIGHT))
        self._paper.set_axis_off()
        left, bottom = BARS / p.WIDTH, BOTTOM / p.HEIGHT
        width, height = (BARS_END - BARS) / p.WIDTH, (TOP - BOTTOM) / p.HEIGHT
        self._axes = self.figure.add_axes((left, bottom, width, height), ylim=(BOTTOM, TOP))
        self._axes.patch.set_visible(False)  # the paper lies below it
        self._tension = self.moving_line(
            self._axes, "-", color=p.BLACK, linewidth=3, solid_capstyle="butt", clip_on=False
        )
        self._label = self.moving_text(self._axes, ha="center", va="bottom", fontweight="bold")
        self._words = [
            self.moving_text(self._paper, va="center", fontsize=p.SMALL_TEXT, bbox=None)
            for _ in range(MOST_PARTS)
        ]

    @property
    def answer_axes(self):
        """The axes of the bars."""
        return (self._axes,)

    def background_of(self, result, system):
        """The parts, and what was guessed of them."""
        return result.parts, result.guess

    def move(self, result, system):
        """Put the tension across all bars, and write what it is to each part."""
        at = result.tension.m_as(system.unit("force"))
        self._tension.set_xdata(np.full(len(self._tension.get_ydata()), at))
        self._label.set_text(show(result.tension, "force", system))
        self._label.set_position((at, TOP + 10))
        for words in self._words:
            words.set_text("")
        for words, load in zip(self._words, result.loads, strict=False):
            words.set_text(_verdict(load))

    def draw_background(self, result, system):
        """The line down the page, and beside each part its bar and its limits."""
        axes, end = self._axes, p.round_top(result.most.m_as(system.unit("force")))
        axes.set_xlim(0, end)
        p.name_axes(axes, system, x=("tension of the line", "force"), y=("", "force"))
        axes.set_ylabel("")
        axes.xaxis.set_major_formatter(p.in_groups(system))
        axes.set_yticks([])
        axes.grid(visible=False)
        axes.spines["left"].set_visible(False)
        step = (TOP - BOTTOM) / len(result.parts)
        heights = TOP - step * (np.arange(len(result.parts)) + 0.5)
        self._tension.set_ydata(_across_bars(heights))
        self._draw_vehicles()
        for part, height, words in zip(result.parts, heights, self._words, strict=False):
            draw_part(self._paper, part.kind, DRAWING, height, step, part.angle)
            self._name(part, height, result.guess)
            words.set_position((WORDS, height))
            if self.revealed:
                self._draw_bar(part.link, height, end, system)
                self._draw_limits(part.link, height, result.line, system)
        if self.revealed:
            self._draw_legend()

    def _draw_vehicles(self):
        draw_vehicle(self._paper, DRAWING, TOP + 30, 60)
        draw_vehicle(self._paper, DRAWING, BOTTOM - 30, 60)
        self._write(NAMES, TOP + 22, "launch truck, pulls")
        self._write(NAMES, BOTTOM - 30, "stuck vehicle")

    def _name(self, part, height, guess):
        lines = textwrap.wrap(part.link.name, NAME_LENGTH)
        lines += [", ".join(each.name for each in part.link.factors)]
        lines += [f"◆ your guess: {what}" for what in guess.get(part.link.name, ())]
        self._write(NAMES, height, "\n".join(filter(None, lines)))

    def _write(self, x, y, words, **looks):
        looks = {"va": "center", "fontsize": p.SMALL_TEXT, "linespacing": 1.15, **looks}
        self._paper.text(x, y, words, **looks)

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
                corner, looks = (start, height - BAR_HEIGHT / 2), EDGE | LOOKS[verdict]
                self._axes.add_patch(Rectangle(corner, stop - start, BAR_HEIGHT, **looks))

    def _draw_limits(self, link, height, line, system):
        """Both limits of a part in words, and whether it is the first to come to one."""
        for x, what, force, first in (
            (BARS, "limit", link.working_load_limit, line.first_past_working_limit),
            (BREAKS, "breaks", link.breaking_strength, line.first_to_break),
        ):
            known = "unknown" if force is None else brief(force, "force", system)
            mark, weight = (" ◀ 1st", "bold") if link is first else ("", "normal")
            words = f"{what} {known}{mark}"
            self._write(x, height + BAR_HEIGHT / 2 + 8, words, fontweight=weight)

    def _draw_legend(self):
        for name, x in LEGEND.items():
            corner, looks = (x, LEGEND_HEIGHT - 6), EDGE | LOOKS[name]
            self._paper.add_patch(Rectangle(corner, 22, 12, **looks))
            self._write(x + 27, LEGEND_HEIGHT, name)


def _across_bars(heights) -> list[float]:
    """The ends of a line down the page that leaves out the words above each bar."""
    over = BAR_HEIGHT / 2 + 1
    pieces = [(height + over, height - over - 8) for height in heights]
    return [
        end for piece in [(TOP + 8, heights[0] + over + 16), *pieces] for end in (*piece, np.nan)
    ]


def _verdict(load) -> str:
    """A part's verdict and shares, in a few short lines."""
    lines = textwrap.wrap(f"{SIGNS[load.verdict]} {load.verdict}", WORDS_LENGTH)
    if load.over_working_limit is not None:
        lines.append(f"{100 * load.over_working_limit:.0f} % of limit")
    if load.over_strength is not None:
        lines.append(f"{100 * load.over_strength:.0f} % of strength")
    return "\n".join(lines)
