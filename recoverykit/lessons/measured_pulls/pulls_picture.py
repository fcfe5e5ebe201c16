"""Picture: measured pulls, a shape laid through them, and where nothing was measured.

What is drawn here of a log (points, rings, the hatched range) is shared with other pictures.
"""

import textwrap

import numpy as np

from recoverykit.course import picture as p
from recoverykit.units.quantities import Q, show

AXES_TOP = 0.83  # of the height of the wide layout: above is the legend
NARROW_AXES = (0.235, 0.11, 0.735, 0.66)
NARROW_NAME = 20  # letters of the name of a shape in the narrow legend
BEYOND = 4 / 3  # of the highest measured speed: so far the curve is drawn
ROOM = 1.05  # times that speed: so far the axis reaches, for a guess there to be seen whole
MARKERS = "os^D"  # of the rounds; later ones share the last
COLORS = (p.BLUE, p.GREEN, p.PURPLE, p.BLACK)
MOST_NAMED = 8  # suspicious rows; more names would hide the pulls
FLATTENED = 2.5  # times the highest credible peak: what lies above is drawn at the edge


class MeasuredPicture(p.Picture):
    """Pulls by round, suspicious ones ringed and named, and the shape with both of its bands."""

    def build(self):
        """Make the axes; all else comes in `update`."""
        wide = (0.118, 0.125, 0.862, AXES_TOP - 0.125)
        self._axes = self.figure.add_axes(self.place(wide, NARROW_AXES))

    def background_of(self, result, system):
        """All that is shown: nothing in this picture moves."""
        return result.session, result.shape, result.guess

    def move(self, result, system):
        """Nothing moves."""

    def draw_background(self, result, system):
        """Axes that hold the pulls, the shape and the guess, and these."""
        axes, unit = self._axes, system.unit("force")
        shown = [pull.m_as(unit) for _, pull in result.guess]
        if result.curve is not None:
            shown += result.curve.prediction_high.m_as(unit).tolist()
        axes.set_xlim(0, ROOM * result.speeds[-1].m_as(system.unit("speed")))
        axes.set_ylim(0, top_of(result.session, system, shown))
        name_pull_axes(axes, system, self.narrow)
        if self.revealed:
            self._draw(result, system)

    def _draw(self, result, system):
        axes = self._axes
        hatch_unmeasured(axes, result.session, system, self.narrow)
        if result.curve is not None:
            name = textwrap.fill(result.shape.name, self.place(40, NARROW_NAME))
            draw_bands(axes, result.speeds, result.curve, system, name)
        draw_pulls(axes, result.session, system)
        if result.guess:
            self._draw_guess(result.guess, system)
        legend(axes, self.narrow)

    def _draw_guess(self, guess, system):
        """The learner's points; one above the axes stands at their edge, with its number."""
        axes = self._axes
        top = axes.get_ylim()[1]
        xs = [at.m_as(system.unit("speed")) for at, _ in guess]
        ys = [pull.m_as(system.unit("force")) for _, pull in guess]
        looks: p.Looks = {"color": p.PURPLE, "markersize": 9, "markeredgecolor": "k"}
        axes.plot(xs, np.minimum(ys, 0.96 * top), "D:", label="your guess", **looks)
        for x, y, (_, pull) in zip(xs, ys, guess, strict=True):
            if y > top:
                axes.text(
                    x - 0.02 * axes.get_xlim()[1],
                    0.96 * top,
                    f"↑ {show(pull, 'force', system)}",
                    ha="right",
                    va="center",
                    fontsize=p.TEXT,
                    fontweight="bold",
                    color=p.PURPLE,
                    bbox=p.BEHIND_TEXT,
                )


# --- shared by pictures of pulls --------------------------------------------------------


def highest_speed(session):
    """The highest speed of the pulls that are kept; 1 km/h for a log of standing starts."""
    return max(session.kept.speed.max(), Q(1, "km/h"))


def top_of(session, system, values) -> float:
    """The end of the axis of forces: above all values, unless a few would flatten the rest."""
    unit = system.unit("force")
    peaks = session.kept.peak.m_as(unit)
    credible = peaks[[row not in session.rows_to_look_at for row in session.kept.row]]
    highest = np.max(credible) if credible.size else np.max(peaks)
    return p.round_top(min(1.1 * max([*peaks, *values]), FLATTENED * highest))


def name_pull_axes(axes, system, narrow: bool = False) -> None:
    """Name the axes of a picture of pulls."""
    speed = "speed" if narrow else "speed as the rope comes taut"
    p.name_axes(axes, system, x=(speed, "speed"), y=("peak force in the line", "force"))


def hatch_unmeasured(axes, session, system, narrow: bool = False) -> None:
    """Hatch the speeds at which nothing was measured, and say so loudly above the fastest pull."""
    speeds = session.kept.speed.m_as(system.unit("speed"))
    end = axes.get_xlim()[1]
    looks = {"facecolor": "#F3F3F3", "hatch": "//", "edgecolor": "#C4C4C4", "linewidth": 0}
    for start, stop in ((0, speeds.min()), (speeds.max(), end)):
        axes.axvspan(start, stop, zorder=0, **looks)
    axes.axvline(speeds.max(), color=p.RED, linewidth=2.5, zorder=1)
    middle = (speeds.max() + end) / 2 / end
    words, size = "BEYOND\nTHE MEASURED\nSPEEDS", float(p.TEXT)
    if narrow:
        words, size = words.replace(" ", "\n"), p.SMALL_TEXT
    p.note(axes, middle, 0.13, words, fontsize=size, fontweight="bold", color=p.RED)


def draw_bands(axes, speeds, curve, system, name: str) -> None:
    """Draw a fitted curve, dashed where nothing was measured, and its two 95 % bands."""
    x, unit = speeds.m_as(system.unit("speed")), system.unit("force")
    force = curve.force.m_as(unit)
    bands = (
        ("next pull, 95 % band", 0.3, curve.prediction_low, curve.prediction_high),
        ("curve, 95 % band", 0.7, curve.confidence_low, curve.confidence_high),
    )
    for label, alpha, *edges in bands:
        low, high = (edge.m_as(unit) for edge in edges)
        axes.fill_between(x, low, high, alpha=alpha, label=label, facecolor=p.SKY, linewidth=0)
    for edge in (curve.prediction_low, curve.prediction_high):
        axes.plot(x, edge.m_as(unit), ":", color=p.BLUE, linewidth=1.2)
    axes.plot(x, np.where(curve.beyond, np.nan, force), color=p.BLUE, linewidth=3, label=name)
    axes.plot(x, np.where(curve.beyond, force, np.nan), "--", color=p.BLUE, linewidth=2)


def draw_pulls(axes, session, system) -> None:
    """Draw every pull: a marker for its round, a ring if it looks wrong, a cross if left out."""
    log, top = session.log, axes.get_ylim()[1]
    x = log.speed.m_as(system.unit("speed"))
    peaks = log.peak.m_as(system.unit("force"))
    y = np.minimum(peaks, 0.95 * top)
    out = np.isin(log.row, session.kept.left_out)
    for number in sorted(
        {min(round_number, len(MARKERS)) for round_number in log.round_number.tolist()}
    ):
        rows = ~out & (np.minimum(log.round_number, len(MARKERS)) == number)
        later = " and later" if number == len(MARKERS) else ""
        axes.plot(
            x[rows],
            y[rows],
            MARKERS[number - 1],
            color=COLORS[number - 1],
            markersize=8,
            markeredgecolor="white",
            label=f"round {number}{later}",
        )
    if out.any():
        axes.plot(x[out], y[out], "x", color=p.GRAY, markersize=9, label="left out")
    _ring(axes, session, x, y, peaks > top)


def _ring(axes, session, x, y, at_edge) -> None:
    ringed = np.array([row in session.rows_to_look_at for row in session.log.row])
    if not ringed.any():
        return
    looks = {"markerfacecolor": "none", "markeredgecolor": p.RED, "markeredgewidth": 2}
    axes.plot(x[ringed], y[ringed], "o", markersize=18, label="looks wrong", **looks)
    for index in np.flatnonzero(ringed)[:MOST_NAMED]:
        above = " ↑" if at_edge[index] else ""
        label = axes.annotate(
            f"row {session.log.row[index]}{above}",
            (x[index], y[index]),
            xytext=(13, -4),
            textcoords="offset points",
            fontsize=p.TEXT,
            fontweight="bold",
            bbox=p.BEHIND_TEXT,
        )
        if x[index] > 0.8 * np.max(x):  # the hatched range begins where the fastest pull is
            label.set_ha("right")
            label.set_position((-13, -4))


def legend(axes, narrow: bool = False) -> None:
    """Say above the axes what is what."""
    marks = axes.legend(
        loc="lower center",
        bbox_to_anchor=(0.35, 1.0) if narrow else (0.47, 1.0),
        ncols=2 if narrow else 4,
        fontsize=p.SMALL_TEXT,
        frameon=False,
        columnspacing=1.2,
        handlelength=1.6,
    )
    for line in marks.get_lines():
        line.set_markersize(min(line.get_markersize(), 9))
