"""Picture: a vehicle between two pegs, the time it takes, and a scale of speeds in both units."""

from recoverykit.course import picture as p
from recoverykit.course.drawing import Vehicle, draw_ground
from recoverykit.physics.plan import CEILING
from recoverykit.units.quantities import METRIC, US, Q, brief, show

FASTEST = Q(15, "km/h")  # where the scale of speeds ends
WALKING = Q(5, "km/h")  # a brisk walk
# The drawing, in meters; the distance between the pegs is written on it and not to scale.
LEFT, RIGHT, GROUND = 0.0, 21.0, 1.2
PEGS = (4.0, 17.0)
PEG_HEIGHT, ARROW_HEIGHT = 2.6, 3.1
LARGE_TEXT = 26


class TimedDistancePicture(p.Picture):
    """Two pegs with a vehicle on its way, the seconds to count, and the speed on two scales."""

    only_wide = True

    def build(self):
        """Make the artists; only time, distance and speed change later."""
        track = self.figure.add_axes((0.02, 0.43, 0.96, 0.55))
        track.set(xlim=(LEFT, RIGHT), ylim=(-GROUND, 5.8))
        track.set_axis_off()
        _draw_track(track)
        scale = self.figure.add_axes((0.07, 0.2, 0.86, 0.1))
        _draw_scale(scale)
        middle = {"ha": "center", "va": "bottom"}
        self._time = self.moving_text(track, fontsize=LARGE_TEXT, fontweight="bold", **middle)
        self._time.set_position((sum(PEGS) / 2, 4.1))
        self._distance = self.moving_text(track, **middle)
        self._distance.set_position((sum(PEGS) / 2, ARROW_HEIGHT + 0.1))
        looks = {"color": p.RED, "markersize": 15, "markeredgecolor": "k", "clip_on": False}
        self._here = self.moving_line(scale, "v", **looks)

    def update(self, result, system):
        """Show a result of the pegs panel."""
        self._time.set_text(show(result.time, "time", system, 2))
        self._distance.set_text(brief(result.distance, "length", system))
        self._here.set_data([result.speed.m_as("km/h")], [0.25])


def _draw_track(axes):
    draw_ground(axes, LEFT, RIGHT, GROUND)
    Vehicle(axes).put(6.2, 0)
    axes.plot([11.3, 13.3], [1, 1], color=p.BLACK, linewidth=2.5)
    axes.plot([13.3], [1], ">", color=p.BLACK, markersize=11)
    for peg in PEGS:
        axes.plot([peg, peg], [0, PEG_HEIGHT], color=p.ORANGE, linewidth=7)
        axes.plot([peg, peg], [0, ARROW_HEIGHT + 0.3], color=p.BLACK, linewidth=1)
    axes.plot(PEGS, [ARROW_HEIGHT] * 2, color=p.BLACK, linewidth=1.5)
    axes.plot(PEGS[0], ARROW_HEIGHT, "<", PEGS[1], ARROW_HEIGHT, ">", color=p.BLACK)


def _draw_scale(axes):
    """The same speeds in metric units above the line and in US units below it."""
    axes.set(xlim=(0, FASTEST.m_as("km/h")), ylim=(0, 1), yticks=[])
    axes.spines[["top", "left", "right"]].set_visible(False)
    in_mph = Q(1, "km/h").m_as("mph")
    below = axes.secondary_xaxis(-0.9, functions=(lambda x: x * in_mph, lambda x: x / in_mph))
    for scale, system in ((axes, METRIC), (below, US)):
        scale.set_xlabel(system.symbol("speed"), fontsize=p.TEXT, x=1.0, ha="left", labelpad=-12)
        scale.tick_params(labelsize=p.TEXT)
    for speed, words, side in (
        (WALKING, "brisk walk ", "right"),
        (CEILING, " usual ceiling", "left"),
    ):
        at = speed.m_as("km/h")
        axes.axvline(at, color=p.GRAY, linestyle="-.", linewidth=1.5)
        p.note(axes, at / FASTEST.m_as("km/h"), 1.25, words, ha=side)
