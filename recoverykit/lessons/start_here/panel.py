"""Panel: how long a slow vehicle takes between two pegs."""

from dataclasses import dataclass

from recoverykit.course.inputs import Slider
from recoverykit.course.panel import Panel
from recoverykit.course.sliders import slider, speed_slider
from recoverykit.lessons.start_here.picture import FASTEST, TimedDistancePicture
from recoverykit.lessons.start_here.tasks import TASKS
from recoverykit.tables.marram_point import DemoPull
from recoverykit.tables.records import find
from recoverykit.units.quantities import METRIC, US, Q, brief, show


@dataclass(frozen=True)
class Passage:
    """A vehicle that drives from one peg to another at a speed."""

    speed: Q
    distance: Q
    time: Q


class TimedDistancePanel(Panel):
    """Sliders for speed and distance; a picture of two pegs, the time, and the speed in both units.

    The speed starts at that of an invented pull of Marram Point, from the table of demo pulls.

    >>> print(TimedDistancePanel().summary)
    At 4 km/h (2.5 mph) the vehicle takes 9.0 s from the first peg to the second, 10 m farther on.
    """

    picture_type = TimedDistancePicture
    tasks = TASKS

    def __init__(self, pull="first pull in the yard"):
        self.inputs = _inputs(find(DemoPull, name=pull))
        super().__init__()

    def compute(self, speed, distance):
        """The time for the distance at this speed."""
        return Passage(speed, distance, (distance / speed).to("s"))

    def describe(self, result, system):
        """The speed in both units, the time and the distance."""
        other = US if system is METRIC else METRIC
        speed, same_speed = (brief(result.speed, "speed", each) for each in (system, other))
        return (
            f"At {speed} ({same_speed}) the vehicle takes {show(result.time, 'time', system, 2)} "
            f"from the first peg to the second, {brief(result.distance, 'length', system)} farther "
            f"on."
        )


def _inputs(demo: DemoPull) -> tuple[Slider, ...]:
    return (
        speed_slider(demo.speed, FASTEST, low=Q(1, "km/h")).with_help(
            "Speed of the vehicle, the same all the way."
        ),
        slider("distance", "Between the pegs", Q(10, "m"), "length", 5, 30, "m", 1, 5).with_help(
            "Distance from one peg to the other."
        ),
    )
