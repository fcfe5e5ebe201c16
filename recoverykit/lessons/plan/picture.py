"""Picture: the ladder of pulls, each step's predicted peak against the limit of the line."""

import textwrap

import numpy as np
from matplotlib.lines import Line2D
from matplotlib.patches import Patch, Rectangle
from matplotlib.ticker import AutoLocator

from recoverykit.course import picture as p
from recoverykit.course.drawing import draw_legend
from recoverykit.units.quantities import METRIC, Q, at_least, at_most, show

FASTEST = Q(10, "km/h")  # the end of the axis, unless a guess goes beyond it
FASTEST_GUESS = Q(30, "km/h")  # one beyond that is a slip of the keyboard
WIDE_AXES, NARROW_AXES = (0.118, 0.125, 0.617, 0.725), (0.25, 0.44, 0.72, 0.42)
LABEL_LENGTH = 27  # letters that fit between the axes and the edge of the picture
LABEL_GAP = 0.22  # of the axes' height, between two labels of at most five lines
STEP: p.Looks = {"color": p.BLUE, "linewidth": 7, "solid_capstyle": "butt"}
PAST: p.Looks = {"color": p.RED, "linewidth": 11, "solid_capstyle": "butt"}
NOT_IN_PLAN: p.Looks = {"color": p.GRAY, "linewidth": 2}
MEDIAN: p.Looks = {"markersize": 9, "markerfacecolor": "white", "markeredgewidth": 2}
NEEDED: p.Looks = {"facecolor": "#CFE8DE", "edgecolor": p.GREEN, "hatch": "\\\\", "linewidth": 1}
STRIP = 0.03  # of the axes' width: the strip of the pull that is needed
LIMIT: p.Looks = {"color": p.ORANGE, "linestyle": "--", "linewidth": 2.4}
GUESS: p.Looks = {"color": p.PURPLE, "linewidth": 2.5, "linestyle": "--"}
STOP_WHEN = (  # STOP_RULES of recoverykit/physics/plan in short
    "anything shifted or tore",
    "a peak is outside its bar",
    "someone is in the way",
    "a signal was not clear",
    "the ladder ends",
)


class PlanPicture(p.Picture):
    """Bands of the predicted peaks over speed, the limit, and the pull that is needed."""

    narrow_height = 600

    def build(self):
        """Make the artists; their values come in `update`."""
        axes = self._axes = self.figure.add_axes(self.place(WIDE_AXES, NARROW_AXES))
        self._needed = self.moving(axes.add_artist(Rectangle((0, 0), 0, 0, **NEEDED)))
        self._needed_median = self.moving_line(axes, ":", color=p.GREEN, linewidth=2)
        self._limit_speed = self.moving_line(
            axes, "|-", color=p.BLACK, linewidth=2, markersize=15, markeredgewidth=2
        )
        self._others = self._bands(NOT_IN_PLAN, "v")
        self._past = self._bands(PAST, "X")
        self._steps = self._bands(STEP, "o")
        self._guess = self._bands(GUESS, "D")
        self._guess_label = self.moving_text(axes, ha="right", fontweight="bold", color=p.PURPLE)
        self._stop = self.moving_text(axes, va="center", fontweight="bold", color=p.RED)
        beside = {"fontsize": p.SMALL_TEXT, "va": "center", "transform": axes.transAxes}
        self._limit_label = self.moving_text(axes, **beside)
        self._needed_label = self.moving_text(axes, **beside)
        self._outcome = self.moving_text(axes, **beside, fontweight="bold")

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
        past = [step for step in others if step.peak.high > plan.limit]
        self._put(self._steps, plan.steps, system)
        self._put(self._past, past, system)
        self._put(self._others, [step for step in others if step not in past], system)
        self._put(self._guess, [guess] if guess else [], system)
        self._stop.set_text("STOP" if past else "")
        if past:
            xs, (_, _, high) = self._places(past[:1], system)
            right, top = self._axes.get_xlim()[1], self._axes.get_ylim()[1]
            at_start = xs[0] == 0  # where there is no room left of it
            self._stop.set_ha("left" if at_start else "right")
            beside = 0.03 * right * (1 if at_start else -1)
            self._stop.set_position((xs[0] + beside, min(high[0], 0.93 * top)))
        self._move_guess_label(guess, system)
        self._move_needed(result, system)
        speeds = [speed.m_as(system.unit("speed")) for speed in plan.limit_speed.band]
        self._limit_speed.set_data(speeds, [plan.limit.m_as(system.unit("force"))] * len(speeds))
        count = len(plan.steps)
        steps = f"{count} step{'s' if count > 1 else ''}, then stop"
        self._outcome.set_position(self.place((1.03, 0.36), (-0.317, -0.5)))
        self._outcome.set_text(steps if count else plan.outcome.partition(":")[0])

    def _places(self, pulls, system):
        """Speeds (the steady pull's is 0), and low ends, medians and high ends of the peaks.

        Where the line may part there is no number: the bar runs off the picture.
        """
        speed, force = system.unit("speed"), system.unit("force")
        top = 10 * self._axes.get_ylim()[1]
        xs = [0.0 if pull.speed is None else pull.speed.m_as(speed) for pull in pulls]
        return xs, [[min(pull.peak[n].m_as(force), top) for pull in pulls] for n in range(3)]

    def _put(self, bands, pulls, system):
        """Give bands the speeds and the peaks of pulls; a dot never leaves the axes."""
        band, medians = bands
        right, top = self._axes.get_xlim()[1], self._axes.get_ylim()[1]
        xs, (low, median, high) = self._places(pulls, system)
        xs = np.minimum(xs, 0.98 * right)
        gaps = np.full(len(xs), np.nan)
        band.set_data(
            np.column_stack([xs, xs, gaps]).ravel(), np.column_stack([low, high, gaps]).ravel()
        )
        medians.set_data(xs, np.minimum(median, 0.97 * top))

    def _move_guess_label(self, guess, system):
        """Give the number of a guess whose dot stands at an edge."""
        right, top = self._axes.get_xlim()[1], self._axes.get_ylim()[1]
        label = ""
        if guess:
            peak, speed = guess.peak.median, guess.speed
            if peak.m_as(system.unit("force")) > top:
                label = f"↑ {show(peak, 'force', system)}" if np.isfinite(peak.m) else "↑ parts"
            if speed.m_as(system.unit("speed")) > right:
                label = f"→ {show(speed, 'speed', system)} {label}".strip()
        self._guess_label.set_text(label)
        at = min(guess.speed.m_as(system.unit("speed")), 0.98 * right) if guess else 0
        self._guess_label.set_position((at - 0.03 * right, 0.945 * top))

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
        limit_place, needed_place = p.spread_out(heights, LABEL_GAP, 0.53, 0.93)
        self._limit_label.set_position(self.place((1.03, limit_place), (-0.317, -0.317)))
        self._needed_label.set_position(self.place((1.03, needed_place), (0.41, -0.317)))
        self._limit_label.set_text(_limit_in_words(result, system))
        median, low, high = (
            show(edge, "force", system) for edge in (needed.median, needed.low, needed.high)
        )
        self._needed_label.set_text(
            f"it takes {median}\n({low.partition(' ')[0]} to {high})\nto start"
        )

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
            x=(self.place("speed as the rope comes taut", "speed"), "speed"),
            y=("peak force in the line", "force"),
        )
        step = (2 if system is METRIC else 1) * (1 if right < self.place(14, 7) else 2)
        ticks = np.arange(0, right + 1e-9, step)
        axes.set_xticks(ticks, ["steady", *(f"{tick:g}" for tick in ticks[1:])])
        axes.yaxis.set_major_locator(AutoLocator())
        p.draw_ceiling(axes, system)
        self._draw_legend(result.fast_pull is not None)
        self._write_stop_rules()
        if ends:
            limit = result.plan.limit.m_as(system.unit("force"))
            axes.axhspan(limit, top, facecolor="#EEEEEE", hatch="//", edgecolor="#D8D8D8")
            axes.axhline(limit, **LIMIT)
            return
        axes.set_yticks([])
        if self.revealed:
            words = f"unknown: no ladder\n\n{textwrap.fill(result.plan.reason, self.place(40, 26))}"
            p.note(axes, 0.5, 0.5, words, fontsize=self.place(p.TEXT + 2, p.TEXT))

    def _draw_legend(self, has_guess):
        samples = [
            self._sample(STEP, "o", "step"),
            self._sample(PAST, "X", "past the limit"),
            self._sample(NOT_IN_PLAN, "v", "not in the plan"),
            Patch(label="to start it", **NEEDED),
            *[self._sample(GUESS, "D", "your guess")] * has_guess,
        ]
        place, columns = self.place(((-0.06, 1.07), len(samples)), ((-0.31, 1.07), 2))
        draw_legend(self._axes, samples, place, columns, columnspacing=1.2)

    def _write_stop_rules(self):
        """Write beside the axes, or below them, what ends a ladder."""
        x, y = self.place((1.03, 0.3), (-0.317, -0.563))
        axes = self._axes
        looks: p.Looks = {"va": "top", "fontsize": p.SMALL_TEXT, "transform": axes.transAxes}
        axes.text(x, y, "Stop when", color=p.RED, fontweight="bold", **looks)
        rules = "\n".join(f"• {rule}" for rule in STOP_WHEN)
        axes.text(x, y - self.place(0.055, 0.065), rules, linespacing=1.25, **looks)

    def _sample(self, looks, marker, label):
        edge = {"marker": marker, "markeredgecolor": looks["color"]}
        return Line2D([], [], label=label, **looks, **MEDIAN, **edge)


def _limit_in_words(result, system) -> str:
    limit = show(result.plan.limit, "force", system)
    first = textwrap.fill(result.line.first_past_working_limit.name, LABEL_LENGTH)
    low, _, high = result.plan.limit_speed.band
    from_speed = at_least(low, "speed", system).partition(" ")[0]
    return f"limit {limit}\n{first}\nmet at {from_speed} to {at_most(high, 'speed', system)}"
