"""Picture: the guesses of a class in one lesson, a dot for each, and what came out."""

import textwrap
from collections import Counter

import numpy as np

from recoverykit.classroom.guesses import ChoiceSpread, GuessSpread, NumberSpread
from recoverykit.course import picture as p
from recoverykit.units.quantities import display

STRIP, BESIDE_BARS, BAR = 170, 76, 34  # CSS pixels: a strip of dots; a row of bars, and each bar
LEFT, ACROSS = 0.035, 0.93  # of the width
_TITLE: p.Looks = {"fontsize": p.TEXT + 2, "pad": 10}
COLUMNS = 45  # of dots: guesses in one column are about the same
BEYOND = 3  # times what came out: the end of a strip, unless no guess is near it
LONGEST = 78  # letters of an option


class GuessPicture(p.Picture):
    """A strip of dots for each number that was guessed, and bars for each choice."""

    def build(self):
        """Nothing is there before there are guesses."""

    def update(self, result: GuessSpread, system=None):
        """Show the guesses of a class in one lesson."""
        self.figure.clear()
        heights = [_height(each) for each in result.fields]
        self.figure.set_size_inches(p.WIDTH / 100, sum(heights) / 100)
        top = sum(heights)
        for spread, height in zip(result.fields, heights, strict=True):
            top -= height
            room = 34 if isinstance(spread, NumberSpread) else 8
            place = (LEFT, (top + room) / sum(heights), ACROSS, (height - room - 40) / sum(heights))
            axes = self.figure.add_axes(place)
            axes.set_title(_heading(spread), fontweight="bold", loc="left", **_TITLE)
            axes.spines[["top", "right", "left"]].set_visible(False)
            axes.tick_params(labelsize=p.TEXT, left=False, labelleft=False)
            if isinstance(spread, NumberSpread):
                _draw_dots(axes, spread)
            else:
                _draw_bars(axes, spread)
        self.redraw_background()


def _heading(spread: NumberSpread | ChoiceSpread) -> str:
    if isinstance(spread, ChoiceSpread):
        return spread.label
    return f"{spread.label} [{display.system.symbol(spread.kind)}]"


def _height(spread: NumberSpread | ChoiceSpread) -> float:
    return STRIP if isinstance(spread, NumberSpread) else BESIDE_BARS + BAR * len(spread.options)


def _draw_dots(axes, spread: NumberSpread):
    unit = display.system.unit(spread.kind)
    low, high = (end.m_as(unit) for end in spread.right)
    guesses = np.array([each.m_as(unit) for each in spread.guesses])
    end = p.round_top(max([*guesses[guesses <= BEYOND * high], 1.2 * high]))
    inside = guesses[guesses <= end]
    columns = np.minimum(inside * COLUMNS // end, COLUMNS - 1)
    tallest = max([*Counter(columns).values(), 5])
    heights = [np.count_nonzero(columns[:n] == column) for n, column in enumerate(columns)]
    axes.set_xlim(0, end)
    axes.set_ylim(-0.6, tallest)
    axes.xaxis.set_major_formatter(p.in_groups(display.system))
    axes.axvspan(low, high, color=p.GREEN, alpha=0.25, linewidth=0)
    for edge in {low, high}:
        axes.axvline(edge, color=p.GREEN, linewidth=3)
    size = min(11.0, 80 / tallest)
    middles = (columns + 0.5) * end / COLUMNS
    axes.plot(middles, heights, "o", color=p.BLUE, markersize=size, clip_on=False)
    close = f", {spread.close} of {len(guesses)} close" * bool(len(guesses))
    axes.set_title(f"{spread.right_in_words}{close}", loc="right", **_TITLE)
    if beyond := len(guesses) - len(inside):
        p.note(axes, 0.99, 0.8, f"{beyond} further up →", ha="right", fontsize=p.TEXT)


def _draw_bars(axes, spread: ChoiceSpread):
    axes.set_xlim(0, max([*spread.counts.values(), 1]) * 1.08)
    axes.set_ylim(len(spread.options) - 0.5, -0.5)
    axes.spines["bottom"].set_visible(False)
    axes.tick_params(bottom=False, labelbottom=False)
    for row, (name, text) in enumerate(spread.options.items()):
        right, count = name == spread.right, spread.counts[name]
        looks: p.Looks = {"edgecolor": p.BLACK, "linewidth": 0.8}
        looks |= {"color": "#8FD3BF", "hatch": "//"} if right else {"color": "#F3CF86"}
        axes.barh(row, count, height=0.78, **looks)
        said = textwrap.shorten(f"{count} {'✓ ' * right}{text}", LONGEST, placeholder=" …")
        axes.text(
            0.01 * axes.get_xlim()[1],
            row,
            said,
            va="center",
            fontsize=p.TEXT,
            fontweight="bold" if right else "normal",
            bbox=p.BEHIND_TEXT,
        )
