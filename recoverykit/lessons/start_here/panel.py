"""Panel: how long a slow vehicle takes between two pegs."""

from dataclasses import dataclass

from recoverykit.course.panel import Panel
from recoverykit.course.sliders import slider, speed_slider
from recoverykit.lessons.start_here.picture import FASTEST, TimedDistancePicture
from recoverykit.lessons.start_here.tasks import TASKS
from recoverykit.tables.marram_point import DemoPull
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q, brief, show

_DEMO = find(DemoPull, name="first pull in the yard")


@dataclass(frozen=True)
class Passage:
    """A vehicle that drives from one peg to another at a speed."""

    speed: Q
    distance: Q
    time: Q


class TimedDistancePanel(Panel):
    """Sliders for speed and distance; a picture of two pegs, the time, and a scale of speeds.

    The speed starts at that of an invented pull of Marram Point.

    >>> print(TimedDistancePanel().summary)
    9.0 s from peg to peg. The pegs are 10 m apart, and the vehicle goes 4 km/h.
    """

    picture_type = TimedDistancePicture
    tasks = TASKS
    precomputed = (("speed", 16), ("distance", 4))
    inputs = (
        speed_slider(_DEMO.speed, FASTEST, low=Q(1, "km/h")).with_help(
            "Speed of the vehicle, the same all the way."
        ),
        slider("distance", "Between the pegs", Q(10, "m"), "length", 5, 30, "m", 1, 5).with_help(
            "Distance from one peg to the other."
        ),
    )

    def compute(self, speed, distance):
        """The time for the distance at this speed."""
        return Passage(speed, distance, (distance / speed).to("s"))

    def describe(self, result, system):
        """The time, the distance and the speed."""
        return (
            f"{show(result.time, 'time', system, 2)} from peg to peg. The pegs are "
            f"{brief(result.distance, 'length', system)} apart, and the vehicle goes "
            f"{brief(result.speed, 'speed', system)}."
        )
