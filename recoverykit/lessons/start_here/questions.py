"""Lesson 00, start here: two questions to warm up with.

All numbers are invented for Marram Point.
"""

from recoverykit.course.questions import Mistake, NumericQuestion
from recoverykit.course.templates import Derived, choices
from recoverykit.course.unit_mistakes import other_system
from recoverykit.units.quantities import METRIC, US, Q, display

GUESSES = ()

READING = NumericQuestion(
    id="00.reading",
    text=(
        "A load cell measures the pull in a line. The one in the yard at Marram Point shows a peak "
        "of {force}. Write that down: the number and its unit."
    ),
    given=choices(force="38, 24, 31, 17, 45 kN | 8500, 5400, 7000, 3800, 10000 lbf"),
    asked="force",
    explained="A number and a unit. Either system will do.",
    mistakes={
        "other unit": Mistake(
            lambda n: other_system(n.force, "force"),
            "Right number, other unit. One kilonewton (kN) is about 225 pounds-force (lbf).",
        ),
        "tonnes for kilonewtons": Mistake(
            lambda n: Q(n.force.m_as("kN"), "force_metric_ton"),
            "A metric ton hanging on a rope pulls with nearly ten kilonewtons. Don't swap the two.",
            METRIC,
        ),
        "tons for thousands of pounds": Mistake(
            lambda n: Q(n.force.m_as("kip"), "force_ton"),
            "A short ton is 2,000 pounds, not 1,000.",
            US,
        ),
    },
    hints=(
        "Type the number, a space, and the unit just as the question has it.",
        "Write {force}.",
    ),
)


def _rate(n):
    length = display.system.unit("length")
    return Q(n.distance.m_as(length) / n.time.m_as("s"), "")


PEGS = NumericQuestion(
    id="00.pegs",
    text=(
        "Two pegs are {distance} apart. The launch truck takes {time} from one to the other. How "
        "fast is it going?"
    ),
    given=choices(distance="9, 12 m | 30, 40 ft", time="5, 6, 7 s"),
    derived={
        "rate": Derived("number", _rate),
        "speed": Derived("speed", lambda n: n.distance / n.time),
    },
    asked="speed",
    explained="Distance divided by time.",
    mistakes={
        "meters per second": Mistake(
            lambda n: Q(n.speed.m_as("m/s"), "km/h"),
            "That number is in meters per second. Multiply it by 3.6 to get km/h.",
            METRIC,
        ),
        "feet per second": Mistake(
            lambda n: Q(n.speed.m_as("ft/s"), "mph"),
            "That number is in feet per second. Two thirds of it, about, is mph.",
            US,
        ),
    },
    hints=(
        "In the panel above, set the distance, then move the speed until the time fits.",
        "Divide the distance by the time. Then convert: [1 m/s is 3.6 km/h|1 ft/s is 0.682 mph].",
        "{distance} divided by {time} is {rate} [m/s. Times 3.6|ft/s. Times 0.682], that's "
        "{speed}.",
    ),
)

QUESTIONS = (READING, PEGS)
