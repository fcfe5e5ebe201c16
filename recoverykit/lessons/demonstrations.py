"""The demonstrations that a lesson has on a projector, by the lesson's number."""

from collections.abc import Callable

from recoverykit.course.demonstration import Demonstration
from recoverykit.lessons.peak_force.demonstration import PeakForceDemonstration
from recoverykit.lessons.plan.demonstration import YardDemonstration
from recoverykit.lessons.recoil.demonstration import LettingGoDemonstration

DEMONSTRATIONS: dict[str, Callable[[], Demonstration]] = {
    "03": PeakForceDemonstration,
    "09": LettingGoDemonstration,
    "10": YardDemonstration,
}


def demonstration(lesson: str) -> Demonstration:
    """The demonstration of a lesson.

    >>> type(demonstration("03")).__name__
    'PeakForceDemonstration'
    """
    return DEMONSTRATIONS[lesson]()
