"""Picture: peak force against speed, with the limits of every link."""

import textwrap

import numpy as np

from recoverykit.course import picture as p
from recoverykit.course.drawing import VEHICLE_LENGTH, Vehicle
from recoverykit.units.quantities import at_least, show

WIDE_AXES, NARROW_AXES = (0.118, 0.125, 0.537, 0.69), (0.24, 0.435, 0.68, 0.425)
# The drawing of the line above them, and its size in CSS pixels.
WIDE_LINE, NARROW_LINE = (0.05, 0.875, 0.6, 0.125), (0, 0.905, 1, 0.085)
LINE_WIDTH, LINE_HEIGHT = 366, 58
METERS = 13  # CSS pixels of the drawing for a meter of a vehicle
HITCH = 12  # height of the line in it
ROPE_SHARE = 4  # of the line, where any other part takes one
# Letters that fit between the axes and the edge of the wide picture, and into the narrow one.
LABEL_LENGTH, ROW_LENGTH = 30, 38
LABEL_GAP = 0.1  # of the axes' height, between two labels of two lines
NUMBER_GAP = 0.055  # of it, between two numbers
LIST_TOP, LIST_LINE = 0.345, 0.022  # of the narrow picture's height, for what the numbers mean
LIMIT_LOOKS: p.Looks = {"color": p.ORANGE, "linestyle": "--"}
BREAK_LOOKS: p.Looks = {"color": p.RED, "linestyle": "-"}


class PeakForcePicture(p.Picture):
    """The curve, where the learner is on it, the learner's guess, and the links' limits."""

    narrow_height = 690

    def build(self):
        """Make the artists; their values come in `update`."""
        self._axes = self.figure.add_axes(self.place(WIDE_AXES, NARROW_AXES))
        self._line = self.figure.add_axes(self.place(WIDE_LINE, NARROW_LINE))
        line, text = self.moving_line, self.moving_text
        self._curve = line(self._axes, "-", color=p.BLUE, linewidth=3.5)
        self._limit = line(self._axes, "--", color=p.RED, linewidth=2)
        self._guess = line(self._axes, "D:", color=p.PURPLE, markersize=9, markeredgecolor="k")
        self._parts = line(self._axes, "X", color=p.RED, markersize=14, markeredgecolor="k")
        # Also where it lies on an edge of the axes.
        self._here = line(self._axes, "o", color=p.BLACK, markersize=10, clip_on=False)
        self._limit_label = text(self._axes, color=p.RED, va="bottom")
        self._here_label = text(self._axes, va="center", fontweight="bold")
        self._guess_label = text(self._axes, fontsize=p.SMALL_TEXT, ha="right", va="center")
        self._guess_label.set(transform=self._axes.transAxes, position=(0.98, 0.15))

    def background_of(self, result, system):
        """The line with its limits, whether it is parted, and the guess."""
        return result.line, result.parted, result.guess

    def move(self, result, system):
        """Show the curve as far as nothing breaks, the pull, the limit speed, and the guess."""
        speed, force = system.unit("speed"), system.unit("force")
        speeds, peaks = result.speeds.m_as(speed), result.peaks.m_as(force)
        ends_at = result.weakest.breaking_strength.m_as(force)
        self._curve.set_data(speeds, np.where(peaks <= ends_at, peaks, np.nan))
        beyond = peaks > ends_at
        self._parts.set_data(([speeds[beyond.argmax()]], [ends_at]) if beyond.any() else ([], []))
        here = result.speed.m_as(speed)
        # A parted line pulls with nothing.
        peak = 0.0 if result.parted else result.peak.m_as(force)
        self._here.set_data([here], [peak])
        words = "parted" if result.parted else show(result.peak, "force", system)
        self._here_label.set_text(words)
        p.put_beside(self._here_label, here, max(peak, 0.035 * self._axes.get_ylim()[1]))
        self._move_limit_speed(result, system, speeds[-1])
        self._guess.set_data(
            [at.m_as(speed) for at, _ in result.guess],
            [pull.m_as(force) for _, pull in result.guess],
        )
        self._guess_label.set_text("◆ your guess" if result.guess else "")

    def _move_limit_speed(self, result, system, fastest):
        limit = result.limit_speed
        shown = (
            not result.parted and limit is not None and limit.m_as(system.unit("speed")) <= fastest
        )
        self._limit.set_visible(shown)
        self._limit_label.set_visible(shown)
        if shown:
            at = limit.m_as(system.unit("speed"))
            pull = result.first.working_load_limit
            self._limit.set_data([at, at], [0, pull.m_as(system.unit("force"))])
            self._limit_label.set_text(f"limit at {at_least(limit, 'speed', system)}")
            p.put_beside(self._limit_label, at, 0)

    def draw_background(self, result, system):
        """Axes, shading, ceiling and limits."""
        axes = self._axes
        ends_at = result.weakest.breaking_strength.m_as(system.unit("force"))
        guessed = [pull.m_as(system.unit("force")) for _, pull in result.guess]
        top = p.round_top(min(1.15 * max([ends_at, *guessed]), 3 * ends_at))
        axes.set_xlim(0, result.speeds[-1].m_as(system.unit("speed")))
        axes.set_ylim(0, top)
        p.name_axes(
            axes,
            system,
            x=("speed as the rope comes taut", "speed"),
            y=("peak force in the line", "force"),
        )
        axes.axhspan(ends_at, top, facecolor="#E8E8E8", hatch="//", edgecolor="#CFCFCF")
        broken = self.place(
            "something has broken: no force to show", "something has broken:\nno force to show"
        )
        p.note(axes, 0.5, (ends_at + top) / 2 / top, broken)
        p.draw_ceiling(axes, system)
        self._draw_line(result.line.links, result.parted if self.revealed else None)
        self._draw_limits(result, top, system)

    def _draw_line(self, links, parted):
        """Draw the line between the vehicles, with a gap where it is parted."""
        axes = self._line
        axes.set(xlim=(0, LINE_WIDTH), ylim=(0, LINE_HEIGHT))
        axes.set_axis_off()
        length = METERS * VEHICLE_LENGTH
        for x in (0, LINE_WIDTH - length):
            Vehicle(axes).put(x, 2, METERS)
        shares = [ROPE_SHARE if "rope" in link.name else 1 for link in links]
        left, right = length, LINE_WIDTH - length
        ends = right - np.cumsum([0, *shares]) / sum(shares) * (right - left)
        for link, start, end in zip(links, ends[1:], ends, strict=False):
            if link is parted:
                self._draw_gap(link, start, end)
            else:
                _draw_link(axes, link, start, end)

    def _draw_gap(self, link, start, end):
        middle, torn = (start + end) / 2, (end - start) / 4
        for x, way in ((start, 1), (end, -1)):
            xs = [x, x + way * torn, x + way * 0.8 * torn]
            self._line.plot(xs, [HITCH, HITCH - 5, HITCH - 9], color=p.RED, linewidth=2.5)
        looks: p.Looks = {"color": p.RED, "markersize": 12, "markeredgecolor": "k"}
        self._line.plot([middle], [HITCH + 6], "X", **looks)
        # Where the vehicles leave room for it.
        words: p.Looks = {"ha": "center", "va": "bottom", "fontsize": p.SMALL_TEXT, "color": p.RED}
        self._line.text(LINE_WIDTH / 2, 36, f"{link.name} parted", fontweight="bold", **words)

    def _draw_limits(self, result, top, system):
        """Every link's working limit and breaking strength, with a label for each."""
        rows = [
            (name, link, word, looks, first)
            for name, word, looks, first in (
                ("working_load_limit", "limit", LIMIT_LOOKS, result.first),
                ("breaking_strength", "breaks", BREAK_LOOKS, result.weakest),
            )
            for link in result.line.links
            if getattr(link, name) is not None
        ]
        rows.sort(key=lambda row: getattr(row[1], row[0]))  # for those above the axes
        forces = [getattr(link, name) for name, link, *_ in rows]
        heights = [force.m_as(system.unit("force")) / top for force in forces]
        gap = self.place(LABEL_GAP, NUMBER_GAP)
        places = p.spread_out(np.minimum(heights, 1), gap, 0.02, 1.03)
        listed = []
        for number, ((_, link, word, looks, first), force, height, place) in enumerate(
            zip(rows, forces, heights, places, strict=True), 1
        ):
            shown = show(force, "force", system).replace(" ", "\N{NO-BREAK SPACE}")
            text = f"{'' if height <= 1 else '↑ '}{link.name} {word} {shown}"
            if height <= 1:
                width = 2.4 if link is first else 1.3
                self._axes.axhline(height * top, linewidth=width, **looks)
                self._leader(height, place, looks["color"])
            bold = "bold" if link is first else "normal"
            if self.narrow:
                self._label(place, f"{number}", bold)
                listed.append((f"{number}  {text}", bold))
            else:
                self._label(place, textwrap.fill(text, LABEL_LENGTH), bold)
        self._list(listed[::-1])  # the largest force above, as on the axes

    def _label(self, height, text, weight):
        """Write beside the axes."""
        looks = {"va": "center", "fontsize": p.SMALL_TEXT, "fontweight": weight}
        self._axes.text(1.045, height, text, transform=self._axes.transAxes, **looks)

    def _list(self, rows):
        """Write below the axes what the numbers beside them mean."""
        height = LIST_TOP
        for text, weight in rows:
            lines = textwrap.wrap(text, ROW_LENGTH, subsequent_indent="    ")
            self._axes.text(
                0.03,
                height,
                "\n".join(lines),
                transform=self.figure.transFigure,
                va="top",
                fontsize=p.SMALL_TEXT,
                fontweight=weight,
            )
            height -= len(lines) * LIST_LINE

    def _leader(self, height, label_height, color):
        self._axes.plot(
            [1, 1.035],
            [height, label_height],
            color=color,
            linewidth=1,
            transform=self._axes.transAxes,
            clip_on=False,
        )


def _draw_link(axes, link, start: float, end: float) -> None:
    """Draw a part of the line: a rope, a ring of steel or of rope, or a plate with an eye."""
    middle = (start + end) / 2
    width, color = (6.0, p.BLUE) if "rope" in link.name else (2.5, p.BLACK)
    axes.plot([start, end], [HITCH, HITCH], color=color, linewidth=width, solid_capstyle="butt")
    ring = {"markerfacecolor": "white", "markeredgewidth": 3}
    if "shackle" in link.name:
        color = p.BLUE if "soft" in link.name else p.GRAY
        axes.plot([middle], [HITCH], "o", markersize=10, markeredgecolor=color, **ring)
    elif "rope" not in link.name:
        axes.plot([middle], [HITCH], "s", markersize=11, markeredgecolor=p.GRAY, **ring)
