"""Picture: peak force against speed, with the limits of every link."""

import textwrap

import numpy as np

from recoverykit.course import picture as p
from recoverykit.units.quantities import show

WIDE_AXES, NARROW_AXES = (0.118, 0.125, 0.537, 0.8), (0.24, 0.485, 0.68, 0.47)
# Letters that fit between the axes and the edge of the wide picture, and into the narrow one.
LABEL_LENGTH, ROW_LENGTH = 30, 38
LABEL_GAP = 0.088  # of the axes' height, between two labels of two lines
NUMBER_GAP = 0.055  # of it, between two numbers
LIST_TOP, LIST_LINE = 0.385, 0.0245  # of the narrow picture's height, for what the numbers mean
LIMIT_LOOKS: p.Looks = {"color": p.ORANGE, "linestyle": "--"}
BREAK_LOOKS: p.Looks = {"color": p.RED, "linestyle": "-"}


class PeakForcePicture(p.Picture):
    """The curve, where the learner is on it, the learner's guess, and the links' limits."""

    narrow_height = 620

    def build(self):
        """Make the artists; their values come in `update`."""
        self._axes = self.figure.add_axes(self.place(WIDE_AXES, NARROW_AXES))
        line, text = self.moving_line, self.moving_text
        self._curve = line(self._axes, "-", color=p.BLUE, linewidth=3.5)
        self._limit = line(self._axes, "--", color=p.RED, linewidth=2)
        self._guess = line(self._axes, "D:", color=p.PURPLE, markersize=9, markeredgecolor="k")
        self._parts = line(self._axes, "X", color=p.RED, markersize=14, markeredgecolor="k")
        self._here = line(self._axes, "o", color=p.BLACK, markersize=10)
        self._limit_label = text(self._axes, color=p.RED, va="bottom")
        self._here_label = text(self._axes, va="center", fontweight="bold")

    def background_of(self, result, system):
        """The line with its limits, and the guess."""
        return result.line, result.guess

    def move(self, result, system):
        """Show the curve as far as nothing breaks, the pull, the limit speed, and the guess."""
        speed, force = system.unit("speed"), system.unit("force")
        speeds, peaks = result.speeds.m_as(speed), result.peaks.m_as(force)
        ends_at = result.weakest.breaking_strength.m_as(force)
        self._curve.set_data(speeds, np.where(peaks <= ends_at, peaks, np.nan))
        beyond = peaks > ends_at
        self._parts.set_data(([speeds[beyond.argmax()]], [ends_at]) if beyond.any() else ([], []))
        self._here.set_data([], [])
        self._here_label.set_text("")
        if not result.parted:
            here, peak = result.speed.m_as(speed), result.peak.m_as(force)
            self._here.set_data([here], [peak])
            self._here_label.set_text(show(result.peak, "force", system))
            p.put_beside(self._here_label, here, peak)
        self._move_limit_speed(result, system, speeds[-1])
        self._guess.set_data(
            [at.m_as(speed) for at, _ in result.guess],
            [pull.m_as(force) for _, pull in result.guess],
        )

    def _move_limit_speed(self, result, system, fastest):
        limit = result.limit_speed
        shown = limit is not None and limit.m_as(system.unit("speed")) <= fastest
        self._limit.set_visible(shown)
        self._limit_label.set_visible(shown)
        if shown:
            at = limit.m_as(system.unit("speed"))
            pull = result.first.working_load_limit
            self._limit.set_data([at, at], [0, pull.m_as(system.unit("force"))])
            self._limit_label.set_text(f"limit at {show(limit, 'speed', system)}")
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
        if result.guess:
            p.note(axes, 0.98, 0.15, "◆ your guess", ha="right")
        self._draw_limits(result, top, system)

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
