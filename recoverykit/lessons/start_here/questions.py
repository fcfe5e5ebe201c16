"""Lesson 00, start here: two questions to warm up with.

All numbers are invented for Marram Point.
"""

from recoverykit.course.questions import Derived, Mistake, NumericQuestion, choices
from recoverykit.course.unit_mistakes import in_other_unit, other_system
from recoverykit.units.quantities import Q

GUESSES = ()

READING = NumericQuestion(
    id="00.reading",
    text=(
        "A load cell is a meter for the pull in a line. The one in the yard at Marram Point shows "
        "a peak of {force}. Write that down, as a number with its unit."
    ),
    given=choices(force="38, 24, 31, 17, 45 kN"),
    asked="force",
    explained="Number and unit are both there. Either unit system would do.",
    mistakes={
        "other unit": Mistake(
            lambda n: other_system(n.force, "force"),
            "The number is right, the unit is not. A kilonewton (kN) is about 225 pounds-force "
            "(lbf).",
        ),
        "tonnes for kilonewtons": Mistake(
            lambda n: Q(n.force.m_as("kN"), "force_metric_ton"),
            "A tonne hangs with nearly ten kilonewtons on a rope. Tonnes and kilonewtons are not "
            "the same.",
        ),
    },
    hints=(
        "Type the number, a space, and then the unit as it stands in the question.",
        "Write {force}.",
    ),
)


PEGS = NumericQuestion(
    id="00.pegs",
    text=(
        "Two pegs stand {distance} apart. The launch truck takes {time} from one to the other. How "
        "fast is it?"
    ),
    given=choices(distance="9, 12 m", time="6, 8, 10 s"),
    derived={"speed": Derived("speed", lambda n: n.distance / n.time)},
    asked="speed",
    explained="Distance divided by time.",
    mistakes={
        "meters a second": Mistake(
            lambda n: Q(n.speed.m_as("m/s"), "km/h"),
            "That number is the speed in meters a second. In km/h it is 3.6 times as much.",
        ),
        "feet a second": Mistake(
            lambda n: Q(n.speed.m_as("ft/s"), "mph"),
            "That number is the speed in feet a second. In mph it is about two thirds of that.",
        ),
        **in_other_unit("speed"),
    },
    hints=(
        "Set the distance in the panel above, and move the speed until the time is right.",
        "Divide {distance} by {time}. Then convert: 1 m/s is 3.6 km/h, and 1 ft/s is 0.68 mph.",
        "{distance} in {time} is {speed}.",
    ),
)

QUESTIONS = (READING, PEGS)
