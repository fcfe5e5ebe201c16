"""Picture: a vehicle that drives from peg to peg, the seconds it takes, and a scale of speeds."""

import math

import numpy as np
from matplotlib.patches import Circle
from matplotlib.ticker import MaxNLocator

from recoverykit.course import picture as p
from recoverykit.course.drawing import VEHICLE_LENGTH, Vehicle, draw_ground
from recoverykit.physics.plan import CEILING
from recoverykit.units.quantities import Q, brief, show

FASTEST = Q(15, "km/h")  # where the scale of speeds ends
WALKING = Q(5, "km/h")  # a brisk walk
# The drawing, in meters: the distance between the pegs is to scale, and the first stands at zero.
LEFT, RIGHT, GROUND = -5.5, 31.5, 1.0
PEG_HEIGHT, ARROW_HEIGHT = 3.0, 3.6
CLOCK, CLOCK_RADIUS = (-1.5, 8.2), 2.4
LARGE_TEXT = 26
MOST_MARKS = 20  # of seconds between the pegs; with more of them, every tenth is marked


class TimedDistancePicture(p.Picture):
    """Two pegs and a vehicle that has come to the second, the seconds on its way, and a clock."""

    narrow_height = 310

    def build(self):
        """Make the artists; their values come in `move`."""
        self._track = self.figure.add_axes(self.place((0.02, 0.3, 0.96, 0.68), (0, 0.4, 1, 0.58)))
        self._scale = self.figure.add_axes(
            self.place((0.07, 0.13, 0.8, 0.08), (0.06, 0.15, 0.76, 0.08))
        )
        self._track.set(xlim=(LEFT, RIGHT), ylim=(-GROUND, 12), aspect="equal", anchor="S")
        self._track.set_axis_off()
        line, text = self.moving_line, self.moving_text
        self._peg = line(self._track, "-", color=p.ORANGE, linewidth=7)
        self._seconds = line(self._track, "|", color=p.BLACK, markersize=11, markeredgewidth=2)
        self._arrow = line(self._track, "-", color=p.BLACK, linewidth=1.5)
        self._ends = [line(self._track, marker, color=p.BLACK) for marker in "<>"]
        self._vehicle = Vehicle(self._track)
        for artist in self._vehicle.artists:
            self.moving(artist)
        self._hand = line(self._track, "-", color=p.RED, linewidth=4, solid_capstyle="round")
        self._time = text(self._track, fontsize=LARGE_TEXT, fontweight="bold", va="center")
        self._time.set_position((CLOCK[0] + 1.4 * CLOCK_RADIUS, CLOCK[1]))
        self._distance = text(self._track, ha="center", va="bottom")
        looks = {"color": p.RED, "markersize": 15, "markeredgecolor": "k", "clip_on": False}
        self._here = line(self._scale, "v", **looks)

    def move(self, result, system):
        """Put the second peg, the vehicle, the seconds, the hand and the mark on the scale."""
        distance, time = result.distance.m_as("m"), result.time.m_as("s")
        self._peg.set_data([distance, distance], [0, PEG_HEIGHT])
        self._vehicle.put(distance - VEHICLE_LENGTH, 0)
        every = 1 if time <= MOST_MARKS else 10
        marks = np.arange(0, time - 1e-6, every) * result.speed.m_as("m/s")
        self._seconds.set_data(marks, np.full(len(marks), -0.5))
        self._arrow.set_data([0, distance], [ARROW_HEIGHT] * 2)
        for end, x in zip(self._ends, (0, distance), strict=True):
            end.set_data([x], [ARROW_HEIGHT])
        turned = math.radians(90 - 6 * time)  # a full turn is a minute
        x, y = CLOCK
        reach = 0.75 * CLOCK_RADIUS
        self._hand.set_data([x, x + reach * math.cos(turned)], [y, y + reach * math.sin(turned)])
        self._time.set_text(show(result.time, "time", system, 2))
        self._distance.set_position((distance / 2, ARROW_HEIGHT + 0.2))
        self._distance.set_text(brief(result.distance, "length", system))
        self._here.set_data([result.speed.m_as(system.unit("speed"))], [0.25])

    def draw_background(self, result, system):
        """The ground with the first peg, the clock without its hand, and the scale."""
        track = self._track
        draw_ground(track, LEFT, RIGHT, GROUND)
        track.plot([0, 0], [0, PEG_HEIGHT], color=p.ORANGE, linewidth=7)
        track.add_artist(
            Circle(CLOCK, CLOCK_RADIUS, facecolor="white", edgecolor=p.BLACK, linewidth=2)
        )
        for hour in range(12):
            turned = math.radians(30 * hour)
            rim = CLOCK_RADIUS * np.array([0.85, 0.97])
            track.plot(
                CLOCK[0] + rim * math.cos(turned), CLOCK[1] + rim * math.sin(turned), color=p.BLACK
            )
        p.note(
            track,
            0.99,
            0.9,
            "marks on the ground:\none each second\n(every tenth if many)",
            ha="right",
        )
        self._draw_scale(system)

    def _draw_scale(self, system):
        axes, unit = self._scale, system.unit("speed")
        axes.set(xlim=(0, FASTEST.m_as(unit)), ylim=(0, 1), yticks=[])
        axes.spines[["top", "left", "right"]].set_visible(False)
        axes.set_xlabel(system.symbol("speed"), fontsize=p.TEXT, x=1.06, ha="left", labelpad=-12)
        axes.tick_params(labelsize=p.TEXT)
        axes.xaxis.set_major_locator(MaxNLocator(self.place(8, 5), integer=True))
        for speed, words, side in (
            (WALKING, "brisk walk ", "right"),
            (CEILING, " usual ceiling", "left"),
        ):
            axes.axvline(speed.m_as(unit), color=p.GRAY, linestyle="-.", linewidth=1.5)
            p.note(axes, (speed / FASTEST).m_as(""), 1.35, words, ha=side)
