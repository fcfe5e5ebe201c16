"""Lesson 08, measured pulls: its guess and its questions.

All numbers are invented for Marram Point.
"""

import numpy as np

from recoverykit.course.claims import nearest
from recoverykit.course.questions import (
    ChoiceField,
    ChoiceQuestion,
    Derived,
    Given,
    GuessTemplate,
    Mistake,
    NumberField,
    NumericQuestion,
    Option,
)
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.repeatability import repeatability
from recoverykit.measurements.sampling import peak_capture
from recoverykit.measurements.session import demo_session
from recoverykit.tables.marram_point import DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q

_truck = find(DemoVehicle, name="launch truck")
_log = demo_session().log


def _written(row: int) -> float:
    """The peak in a row of the log of Marram Point, in lbf as it stands there."""
    return _log.peak.m_as("lbf")[_log.row.tolist().index(row)]


GUESSES = (
    GuessTemplate(
        id="08.guess",
        text=(
            "This is the log of a morning at Marram Point. The launch truck ({mass}) pulled at the "
            "mooring block, the load cell took {rate} samples a second and held the highest. At "
            "{middle} it showed {middle_peak}, at {top} {top_peak}. Nobody pulled at {fast}: what "
            "do you expect there? Which rows look as if they were written down wrongly? And is "
            "what the load cell shows the true peak?"
        ),
        given={
            "mass": Given.only("mass", _truck.mass),
            "rate": Given("number", "", (10,)),
            "middle": Given("speed", "km/h", (3,)),
            "middle_peak": Given("force", "lbf", (_written(10),)),
            "top": Given("speed", "km/h", (6,)),
            "top_peak": Given("force", "lbf", (_written(13),)),
            "fast": Given("speed", "km/h", (8,)),
        },
        fields={
            "fast_peak": NumberField("Peak at {fast}", "force", at="fast"),
            "rows": ChoiceField(
                "Written wrongly",
                {
                    "none": "None: every row looks right.",
                    "fastest": "Rows 7 and 13: the two fastest are too high.",
                    "right": "Rows 4 and 12.",
                    "windy": "Row 5: there was a gust.",
                },
            ),
            "meter": ChoiceField(
                "True peak",
                {
                    "same": "It is what the load cell shows.",
                    "higher": "It is what the load cell shows, or higher.",
                    "lower": "It is lower than what the load cell shows.",
                },
            ),
        },
        known=(("middle", "middle_peak"), ("top", "top_peak")),
    ),
)

# How many times too high each slip makes a number.
_SLIPS = {"newtons": Q(1, "lbf").m_as("N"), "digit": 10.0}


WRONG_ROW = ChoiceQuestion(
    id="08.wrong-row",
    text=(
        "A log is kept in pounds-force, and shown here in your units. At {speed} the other rows "
        "let you expect {expected}. One row says {written}. What explains it?"
    ),
    given={
        "expected": Given("force", "lbf", (1800, 2400, 3000)),
        "speed": Given("speed", "km/h", (3.2, 4)),
        "times": Given("ratio", "", tuple(_SLIPS.values())),
    },
    derived={"written": Derived("force", lambda n: n.times * n.expected)},
    options={
        "newtons": Option(
            "The load cell stood on newtons, and its number was written down as pounds-force.",
            "A pound-force is 4.448 newtons, so that slip makes a number 4.448 times too high. "
            "Divide what is written by what is expected.",
        ),
        "digit": Option(
            "A digit too many was written.",
            "A digit too many makes a number about ten times too high. Divide what is written by "
            "what is expected.",
        ),
        "gust": Option(
            "There was a gust of wind.",
            "Wind, slack and a warm rope change a peak by some percent, not to several times as "
            "much. Divide what is written by what is expected.",
        ),
        "stiffer": Option(
            "The rope was stiffer at this pull.",
            "For a peak four times as high the rope would have to be sixteen times as stiff. "
            "Divide what is written by what is expected.",
        ),
    },
    right=lambda n: nearest(_SLIPS, n.written / n.expected),
    hints=(
        "Divide {written} by {expected}.",
        "It is 10 times for a digit too many, and 4.448 times for newtons taken for pounds-force.",
        "{written} is {times} times {expected}.",
    ),
)


def _limit(n):
    """The repeatability limit of so many pulls at one speed that scatter as much."""
    pulls = round(n.repeats.m_as("")) + 1
    off = n.scatter.m_as("lbf") * np.sqrt((pulls - 1) / pulls)
    peaks = n.peak.m_as("lbf") + off * np.tile([-1, 1], pulls // 2)
    return repeatability(PullLog(n.speed, Q(peaks, "lbf"))).limit


REPEATS = NumericQuestion(
    id="08.repeats",
    text=(
        "At {speed} the peaks are about {peak}, and pulls at one speed scatter by {scatter} "
        "(standard deviation, from {repeats} repeats). By how much may two more of them differ in "
        "19 cases out of 20?"
    ),
    given={
        "speed": Given("speed", "km/h", (4, 4.8)),
        "peak": Given("force", "lbf", (3100, 3800)),
        "scatter": Given("force", "lbf", (90, 120, 150)),
        "repeats": Given("number", "", (3, 9)),
    },
    derived={"limit": Derived("force", _limit)},
    asked="limit",
    explained=(
        "4.5 times the scatter after 3 repeats, 3.2 times after 9. A smaller difference says "
        "nothing about rope or driver."
    ),
    mistakes={
        "scatter itself": Mistake(
            lambda n: n.scatter,
            "That is the scatter itself. About one pull in three lies farther off than that.",
        ),
        "one pull for two": Mistake(
            lambda n: 1.96 * n.scatter,
            "Twice the scatter holds 19 of 20 single pulls. Here two pulls are compared, and both "
            "scatter: that takes the root of 2 on top.",
        ),
        "many repeats for few": Mistake(
            lambda n: 2.8 * n.scatter,
            "2.8 times is for a scatter that is known from very many pulls. After a few repeats "
            "the scatter itself is known only roughly: take the factor for {repeats} repeats.",
        ),
    },
    hints=(
        "Look for the repeatability limit under Explain.",
        "It is 4.5 times the scatter after 3 repeats, and 3.2 times after 9.",
        "From {repeats} repeats and {scatter} it comes to {limit}.",
    ),
)


def _capture(n):
    return peak_capture(n.rate, n.duration)


METER = NumericQuestion(
    id="08.meter",
    text=(
        "A load cell samples at {rate}: so many times a second. A pull loads the line for "
        "{duration}. The highest sample is {reading}. How high can the true peak have been at most?"
    ),
    given={
        "rate": Given("frequency", "Hz", (4,)),
        "duration": Given("time", "s", (0.5, 0.6)),
        "reading": Given("force", "lbf", (3600, 4300, 5200)),
    },
    derived={"most": Derived("force", lambda n: _capture(n).peak_behind(n.reading)[1])},
    asked="most",
    explained="The peak may fall midway between two samples: then both miss it.",
    mistakes={
        "reading for true peak": Mistake(
            lambda n: n.reading,
            "That is what the load cell shows. Between two samples it sees nothing: the peak can "
            "have been there.",
        ),
        "average for worst": Mistake(
            lambda n: n.reading / _capture(n).mean,
            "That is the middle of many pulls. In the worst case the peak falls midway between two "
            "samples, and more is missed.",
        ),
        "lower": Mistake(
            lambda n: n.reading**2 / n.most,
            "You made it lower. A sample is on the curve, so the peak is as high or higher.",
        ),
    },
    hints=(
        "How many samples fall into {duration}? Then use the worked example on the meter above.",
        "Divide the reading by cos(90° / N), with N samples in the time under load.",
        "With {rate} and {duration} the peak can have been up to {most}.",
    ),
)

BEYOND = ChoiceQuestion(
    id="08.beyond",
    text=(
        "Your fastest measured pull was at {top}. A straight line through your pulls meets the "
        "working limit at {met}. What does that say about {met}?"
    ),
    given={
        "top": Given("speed", "km/h", (4, 4.8, 5.6)),
        "times": Given("ratio", "", (1.5, 2)),
    },
    derived={"met": Derived("speed", lambda n: n.times * n.top)},
    options={
        "holds": Option(
            "The line holds up to {met}: the fit was good.",
            "The fit was good where you measured. Beyond that the line is carried on by hope: a "
            "rope that stiffens comes to the limit earlier.",
        ),
        "margin": Option(
            "The line holds up to a tenth below {met}.",
            "A tenth is a number out of the air. At twice the measured speed a straight line can "
            "be too low by far more.",
        ),
        "unknown": Option(
            "Little: nothing was measured there. One small step past {top}, and measure again.",
            "Only the next measured step shows whether the rope stiffens. And the limit speed is "
            "where the upper edge of the band meets the limit, not the line in its middle.",
        ),
        "nothing": Option(
            "Nothing: a fit is never worth anything.",
            "Between measured speeds it is worth much, band and all. It is beyond them that it has "
            "nothing to stand on.",
        ),
    },
    right=lambda n: "unknown",
    hints=(
        "Look at the second panel: how far apart are straight line and rope at twice the speed?",
        "What do you know about the rope at {met}? Has it ever been stretched so far?",
        "Nothing was measured above {top}. Go up by one small step, measure, and fit again.",
    ),
)

QUESTIONS = (WRONG_ROW, REPEATS, METER, BEYOND)
