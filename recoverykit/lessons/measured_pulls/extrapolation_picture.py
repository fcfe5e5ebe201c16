"""Picture: how far measured pulls carry, the limit of the line, and what waits beyond."""

import textwrap

import numpy as np

from recoverykit.course import picture as p
from recoverykit.lessons.measured_pulls.pulls_picture import (
    AXES_TOP,
    NARROW_NAME,
    draw_pulls,
    hatch_unmeasured,
    legend,
    name_pull_axes,
    top_of,
)
from recoverykit.units.quantities import Q, at_least, at_most, show

AXES_END = 0.83  # of the width: here the axes end and the label of the limit begins
LABEL_LENGTH = 14  # letters beside the axes
NARROW_AXES = (0.235, 0.27, 0.735, 0.52)

# Of the rope and the straight line; the dotted line is the upper edge of the rope.
_LOOKS = (("-", p.BLUE), ("--", p.GREEN))


class ExtrapolationPicture(p.Picture):
    """The general rope with its upper edge, a straight line, the working limit, and one speed."""

    narrow_height = 560

    def build(self):
        """Make what moves; the rest comes in `update`."""
        wide = (0.118, 0.125, AXES_END - 0.118, AXES_TOP - 0.125)
        self._axes = self.figure.add_axes(self.place(wide, NARROW_AXES))
        line = self.moving_line
        self._straight = line(self._axes, "s", color=p.BLACK, markersize=10, markeredgecolor="w")
        self._rope = line(self._axes, "o", color=p.RED, markersize=11, markeredgecolor="w")
        self._gap = line(self._axes, ":", color=p.BLACK, linewidth=2)
        self._label = self.moving_text(
            self._axes, fontsize=p.SMALL_TEXT, transform=self._axes.transAxes
        )

    def background_of(self, result, system):
        """The pulls, the limit, and the end of the axis of speeds."""
        return result.session, result.line, self._end(result, system)

    def _end(self, result, system):
        return p.round_top(1.02 * result.shown_to.m_as(system.unit("speed")))

    def move(self, result, system):
        """Show the straight line and the rope at one speed, if they are known there."""
        on = result.line_extrapolation.value
        for artist in self._moving:
            artist.set_visible(on is not None)
        if on is None:
            return
        x, unit = on.speed.m_as(system.unit("speed")), system.unit("force")
        top = self._axes.get_ylim()[1]
        forces = on.straight.m_as(unit), on.stiffest.m_as(unit)
        # A dot never vanishes.
        straight, rope = min(forces[0], 0.91 * top), min(forces[1], 0.97 * top)
        self._straight.set_data([x], [straight])
        self._rope.set_data([x], [rope])
        self._gap.set_data([x, x], [straight, rope])
        arrows = ["↑ " if force > top else "" for force in forces]
        breaks = self.place("\n", " ")
        low = show(max(on.straight, Q(0, "N")), "force", system)
        self._label.set_text(
            f"at {show(on.speed, 'speed', system)}:\n"
            f"■ straight line{breaks}{arrows[0]}{low}\n"
            f"● stiff rope up to{breaks}{arrows[1]}{at_most(on.stiffest, 'force', system)}"
        )
        above = self._limit_height(result, system) < 0.45  # where there is room beside the axes
        self._label.set_va(self.place("top" if above else "bottom", "top"))
        self._label.set_position(self.place((1.02, 0.98 if above else 0.0), (-0.28, -0.33)))

    def _limit_height(self, result, system) -> float:
        """Where beside the axes the limit is named, as a part of their height."""
        limit = result.line and result.line.working_load_limit
        if limit is None:
            return 0.5
        return min(limit.m_as(system.unit("force")) / self._axes.get_ylim()[1], 0.95)

    def draw_background(self, result, system):
        """Axes, and on them the pulls, the curves behind the limit speed, and the limit."""
        axes, unit, end = self._axes, system.unit("force"), self._end(result, system)
        curves = []
        for number, fitted in enumerate(result.fits):
            # The rope: no further than one step beyond the measured speeds.
            last = end if number else result.fit_to.m_as(system.unit("speed"))
            speeds = Q(np.linspace(0, last, 161), system.unit("speed"))
            curves.append((fitted.shape.name, speeds, fitted.band(speeds)))
        edges = [band.prediction_high.m_as(unit) for _, _, band in curves[:1]]
        axes.set_xlim(0, end)
        axes.set_ylim(0, self._top(result, system, np.ravel(edges)))
        name_pull_axes(axes, system, self.narrow)
        if not self.revealed:
            return
        hatch_unmeasured(axes, result.session, system, self.narrow)
        for (name, speeds, band), (style, color) in zip(curves, _LOOKS, strict=False):
            axes.plot(
                speeds.m,
                band.force.m_as(unit),
                style,
                color=color,
                linewidth=2.5,
                label=textwrap.fill(name, self.place(40, NARROW_NAME)),
            )
        for (_, speeds, band), edge in zip(curves[:1], edges, strict=True):
            axes.plot(speeds.m, edge, ":", color=p.BLUE, linewidth=2)
            axes.fill_between(
                speeds.m, band.force.m_as(unit), edge, color=p.BLUE, alpha=0.15, linewidth=0
            )
        draw_pulls(axes, result.session, system)
        self._draw_limit(result, system)
        axes.plot([], [], "k:", label="upper edge, 95 %")
        legend(axes, self.narrow)

    def _top(self, result, system, edges) -> float:
        """The end of the axis of forces: the limit is inside, unless it is far above all pulls."""
        top = top_of(result.session, system, edges)
        limit = result.line and result.line.working_load_limit
        shown = 0 if limit is None else 1.2 * limit.m_as(system.unit("force"))
        return max(top, p.round_top(shown)) if 0 < shown < 4 * top else top

    def _draw_limit(self, result, system):
        axes, height = self._axes, self._limit_height(result, system)
        if result.line is None:
            self._write_beside(height, "no limit of your own yet")
            return
        limit = result.line.working_load_limit
        if limit is None:
            self._write_beside(height, "working limit unknown: an unrated part")
            return
        force, top = limit.m_as(system.unit("force")), axes.get_ylim()[1]
        arrow = "↑ " if force > top else ""
        shown = show(limit, "force", system).replace(" ", "\N{NO-BREAK SPACE}")
        name = result.line.first_past_working_limit.name
        met = result.limit.value and result.limit.value.speed
        met_in_words = "" if met is None else f", met at {at_least(met, 'speed', system)}"
        label = f"{arrow}limit {shown} {name}"
        self._write_beside(height, label + self.place("", met_in_words))
        axes.axhline(force, color=p.ORANGE, linestyle="--", linewidth=2.5)
        if met is not None and force <= top:
            self._draw_limit_speed(met, force, system)

    def _draw_limit_speed(self, speed, force, system):
        axes, at = self._axes, speed.m_as(system.unit("speed"))
        axes.plot([at, at], [0, force], color=p.RED, linestyle="--", linewidth=2)
        axes.plot([at], [force], "X", color=p.RED, markersize=13, markeredgecolor="k")
        if self.narrow:  # it is written below the axes
            return
        # Above the limit and left of the crossing no curve can be in the way.
        left = at < 0.4 * axes.get_xlim()[1]
        axes.annotate(
            f"limit speed {at_least(speed, 'speed', system)}",
            (at, force),
            xytext=(10 if left else -10, 10),
            textcoords="offset points",
            ha="left" if left else "right",
            fontsize=p.TEXT,
            fontweight="bold",
            color=p.RED,
            bbox=p.BEHIND_TEXT,
        )

    def _write_beside(self, height: float, text: str):
        """Write something right of the axes, at a part of their height, or below them."""
        x, y = self.place((1.02, height), (-0.28, -0.25))
        self._axes.text(
            x,
            y,
            textwrap.fill(text, self.place(LABEL_LENGTH, 44)),
            transform=self._axes.transAxes,
            va="center",
            fontsize=p.SMALL_TEXT,
            fontweight="bold",
        )
