"""Picture: the ladder of pulls, each step's predicted peak against the limit of the line."""

import textwrap

import numpy as np
from matplotlib.lines import Line2D
from matplotlib.patches import Patch, Rectangle
from matplotlib.ticker import AutoLocator

from recoverykit.course import picture as p
from recoverykit.units.quantities import METRIC, Q, show

FASTEST = Q(10, "km/h")  # the end of the axis, unless a guess goes beyond it
FASTEST_GUESS = Q(30, "km/h")  # one beyond that is a slip of the keyboard
AXES_END = 0.735  # of the width: here the axes end and the labels begin
LABEL_LENGTH = 27  # letters that fit between the axes and the edge of the picture
LABEL_GAP = 0.22  # of the axes' height, between two labels of at most five lines
STEP: p.Looks = {"color": p.BLUE, "linewidth": 7, "solid_capstyle": "butt"}
NOT_IN_PLAN: p.Looks = {"color": p.RED, "linewidth": 2.5}
MEDIAN: p.Looks = {"markersize": 9, "markerfacecolor": "white", "markeredgewidth": 2}
NEEDED: p.Looks = {"facecolor": "#CFE8DE", "edgecolor": p.GREEN, "hatch": "\\\\", "linewidth": 1}
STRIP = 0.03  # of the axes' width: the strip of the pull that is needed
LIMIT: p.Looks = {"color": p.ORANGE, "linestyle": "--", "linewidth": 2.4}
GUESS: p.Looks = {"color": p.PURPLE, "linewidth": 2.5, "linestyle": "--"}


class PlanPicture(p.Picture):
    """Bands of the predicted peaks over speed, the limit, and the pull that is needed."""

    only_wide = True

    def build(self):
        """Make the artists; their values come in `update`."""
        axes = self._axes = self.figure.add_axes((0.118, 0.125, AXES_END - 0.118, 0.725))
        self._needed = self.moving(axes.add_patch(Rectangle((0, 0), 0, 0, **NEEDED)))
        self._needed_median = self.moving_line(axes, ":", color=p.GREEN, linewidth=2)
        self._limit_speed = self.moving_line(
            axes, "|-", color=p.BLACK, linewidth=2, markersize=15, markeredgewidth=2
        )
        self._others = self._bands(NOT_IN_PLAN, "X")
        self._steps = self._bands(STEP, "o")
        self._guess = self._bands(GUESS, "D")
        beside = {"fontsize": p.SMALL_TEXT, "va": "center", "clip_on": False}
        self._limit_label = self.moving_text(axes, **beside)
        self._needed_label = self.moving_text(axes, **beside)
        self._outcome = self.moving_text(axes, va="bottom", fontweight="bold", clip_on=False)

    def _bands(self, looks, marker):
        """Upright bands, and markers at their medians."""
        band = self.moving(self._axes.plot([], [], **looks)[0])
        edge = {"markeredgecolor": looks["color"]}
        return band, self.moving_line(self._axes, marker, **MEDIAN, **edge)

    def background_of(self, result, system):
        """The ends of the axes, and what the plan says of the limit of the line."""
        return self._ends(result, system), result.plan.limit, result.plan.reason

    def move(self, result, system):
        """Show all bands, the pull that is needed, and the speed at the limit, if there is one."""
        plan, guess = result.plan, result.fast_pull
        for artist in self._moving:
            artist.set_visible(plan.limit is not None)
        if plan.limit is None:
            return
        in_ladder = [step.speed for step in plan.steps]
        others = [step for step in plan.tried if step.speed not in in_ladder]
        self._put(self._steps, [(step.speed, step.peak) for step in plan.steps], system)
        self._put(self._others, [(step.speed, step.peak) for step in others], system)
        self._put(self._guess, [(guess.speed, guess.peak)] if guess else [], system)
        self._move_needed(result, system)
        self._move_limit_speed(plan, system)
        count = len(plan.steps)
        steps = f"{count} step{'s' if count > 1 else ''}"
        self._write_beside(self._outcome, 0.0, steps if count else plan.outcome.partition(":")[0])

    def _put(self, bands, places, system):
        """Give bands their speeds (None: the steady pull) and forces."""
        speed, force = system.unit("speed"), system.unit("force")
        band, medians = bands
        xs = [0.0 if x is None else x.m_as(speed) for x, _ in places]
        # Where the line may part there is no number: the bar runs off the picture.
        top = 10 * self._axes.get_ylim()[1]
        low, median, high = (
            [min(edge.m_as(force), top) for edge in edges] for edges in _turned(places)
        )
        gaps = np.full(len(xs), np.nan)
        band.set_data(
            np.column_stack([xs, xs, gaps]).ravel(), np.column_stack([low, high, gaps]).ravel()
        )
        medians.set_data(xs, median)

    def _move_needed(self, result, system):
        unit, needed = system.unit("force"), result.needed
        left, right = self._axes.get_xlim()
        top = self._axes.get_ylim()[1]
        low, high = needed.low.m_as(unit), needed.high.m_as(unit)
        width = STRIP * (right - left)
        self._needed.set(x=right - width, width=width, y=low, height=high - low)
        self._needed_median.set_data([left, right], [needed.median.m_as(unit)] * 2)
        forces = [result.plan.limit.m_as(unit), needed.median.m_as(unit)]
        heights = [min(force / top, 1) for force in forces]
        limit_place, needed_place = p.spread_out(heights, LABEL_GAP, 0.2, 0.93)
        self._write_beside(self._limit_label, limit_place, _limit_in_words(result, system))
        median, low, high = (
            show(edge, "force", system) for edge in (needed.median, needed.low, needed.high)
        )
        self._write_beside(
            self._needed_label, needed_place, f"it takes {median}\n({low} to {high})\nto start"
        )

    def _write_beside(self, text, height, words):
        """Write right of the axes, at a part of their height."""
        left, right = self._axes.get_xlim()
        bottom, top = self._axes.get_ylim()
        text.set_position((right + 0.03 * (right - left), bottom + height * (top - bottom)))
        text.set_text(words)

    def _move_limit_speed(self, plan, system):
        unit, limit = system.unit("speed"), plan.limit.m_as(system.unit("force"))
        speeds = [speed.m_as(unit) for speed in plan.limit_speed.band]
        self._limit_speed.set_data(speeds, [limit] * len(speeds))

    def _ends(self, result, system):
        """Round ends of both axes; None while no limit is to be shown."""
        plan, guess = result.plan, result.fast_pull
        if plan.limit is None or not self.revealed:
            return None
        fastest, highest = FASTEST, [step.peak.high for step in plan.tried]
        if guess is not None and guess.speed <= FASTEST_GUESS:
            fastest = max(FASTEST, 1.1 * guess.speed)
            highest.append(guess.peak.high)
        top = min(max(1.1 * max(highest), 1.3 * plan.limit), 3 * plan.limit)
        return fastest.m_as(system.unit("speed")), p.round_top(top.m_as(system.unit("force")))

    def draw_background(self, result, system):
        """Axes and ceiling, and the limit of the line or why there is none."""
        axes, ends = self._axes, self._ends(result, system)
        right, top = ends or (FASTEST.m_as(system.unit("speed")), 1.0)
        axes.set(xlim=(-0.07 * right, right), ylim=(0, top))
        p.name_axes(
            axes,
            system,
            x=("speed as the rope comes taut", "speed"),
            y=("peak force in the line", "force"),
        )
        step = (2 if system is METRIC else 1) * (1 if right < 14 else 2)
        ticks = np.arange(0, right + 1e-9, step)
        axes.set_xticks(ticks, ["steady", *(f"{tick:g}" for tick in ticks[1:])])
        axes.yaxis.set_major_locator(AutoLocator())
        p.draw_ceiling(axes, system)
        self._draw_legend(result.fast_pull is not None)
        if ends:
            limit = result.plan.limit.m_as(system.unit("force"))
            axes.axhspan(limit, top, facecolor="#EEEEEE", hatch="//", edgecolor="#D8D8D8")
            axes.axhline(limit, **LIMIT)
            return
        axes.set_yticks([])
        if self.revealed:
            words = f"unknown: no ladder\n\n{textwrap.fill(result.plan.reason, 40)}"
            p.note(axes, 0.5, 0.5, words, fontsize=p.TEXT + 2)

    def _draw_legend(self, has_guess):
        samples = [
            self._sample(STEP, "o", "step of the ladder"),
            self._sample(NOT_IN_PLAN, "X", "not in the plan"),
            Patch(label="pull to start it", **NEEDED),
            *[self._sample(GUESS, "D", "your fastest pull")] * has_guess,
        ]
        self._axes.legend(
            handles=samples,
            loc="lower left",
            bbox_to_anchor=(-0.02, 1.07),
            borderaxespad=0,
            ncols=len(samples),
            frameon=False,
            fontsize=p.SMALL_TEXT,
        )

    def _sample(self, looks, marker, label):
        edge = {"marker": marker, "markeredgecolor": looks["color"]}
        return Line2D([], [], label=label, **looks, **MEDIAN, **edge)


def _limit_in_words(result, system) -> str:
    limit = show(result.plan.limit, "force", system)
    first = textwrap.fill(result.line.first_past_working_limit.name, LABEL_LENGTH)
    low, median, high = (show(edge, "speed", system) for edge in result.plan.limit_speed.band)
    return f"limit {limit}\n{first}\nat {median}\n({low} to {high})"


def _turned(places) -> tuple[list, ...]:
    """Lows, medians and highs of the bands of places."""
    bands = [band for _, band in places]
    return tuple([band[edge] for band in bands] for edge in range(3))
