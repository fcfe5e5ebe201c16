"""Lesson 08, measured pulls: its guess and its questions.

All numbers are invented for Marram Point.
"""

import numpy as np

from recoverykit.course.guesses import GuessTemplate
from recoverykit.course.questions import ChoiceQuestion, Mistake, NumericQuestion, Option
from recoverykit.course.templates import ChoiceField, Derived, Given, NumberField, choices
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.repeatability import repeatability
from recoverykit.measurements.sampling import peak_capture
from recoverykit.measurements.session import demo_session
from recoverykit.units.quantities import METRIC, US, Q

_logs = [demo_session(system=system).log for system in (METRIC, US)]


def _written(row: int) -> dict[str, Given]:
    """Speed and peak of a row in the logs of Marram Point, one for each system."""
    metric, us = ((log.speed[log.row == row], log.peak[log.row == row]) for log in _logs)
    return {
        "speed": Given("speed", tuple(metric[0].m_as("km/h")), tuple(us[0].m_as("mph"))),
        "peak": Given("force", tuple(metric[1].m_as("kN")), tuple(us[1].m_as("lbf"))),
    }


_middle, _top = _written(10), _written(13)

GUESSES = (
    GuessTemplate(
        id="08.guess",
        text=(
            "This is the log of one morning at Marram Point. The launch truck ({mass}) pulled on "
            "the mooring block. The load cell took {rate} samples a second and kept the highest. "
            "At {middle} it showed {middle_peak}, at {top} {top_peak}. Nobody pulled at {fast}: "
            "what would you expect there? Which rows look like mistakes? And is what the load cell "
            "shows the true peak?"
        ),
        given={
            **choices(mass="3100 kg | 6800 lb", rate="10", fast="8 km/h | 5 mph"),
            "middle": _middle["speed"],
            "middle_peak": _middle["peak"],
            "top": _top["speed"],
            "top_peak": _top["peak"],
        },
        fields={
            "fast_peak": NumberField("Peak at {fast}", "force", at="fast"),
            "rows": ChoiceField(
                "Rows with a mistake",
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
                    "same": "It's what the load cell shows.",
                    "higher": "It's what the load cell shows, or higher.",
                    "lower": "It's lower than what the load cell shows.",
                },
            ),
        },
        known=(("middle", "middle_peak"), ("top", "top_peak")),
    ),
)

# How many times too high each slip makes a number.
_NEWTONS, _DIGIT = Q(1, "lbf").m_as("N"), 10.0

WRONG_ROW = ChoiceQuestion(
    id="08.wrong-row",
    text=(
        "A log is kept in pounds-force[, and shown here in kilonewtons|]. At {speed} the other "
        "rows say to expect {expected}. One row says {written}. What explains it?"
    ),
    given={
        **choices(expected="8, 11, 13 kN | 1800, 2500, 3000 lbf", speed="3, 4 km/h | 2, 2.5 mph"),
        "times": Given("number", (_NEWTONS, _DIGIT), (_NEWTONS, _DIGIT)),
    },
    derived={"written": Derived("force", lambda n: n.times * n.expected)},
    options={
        "newtons": Option(
            "The load cell was set to newtons, and somebody wrote its number down as pounds-force.",
            "A pound-force is 4.448 newtons, so that makes a number 4.448 times too high. Divide "
            "what's written by what you'd expect.",
            claims=_NEWTONS,
        ),
        "digit": Option(
            "Somebody wrote a digit too many.",
            "A digit too many makes a number about ten times too high. Divide what's written by "
            "what you'd expect.",
            claims=_DIGIT,
        ),
        "gust": Option(
            "There was a gust of wind.",
            "Wind, slack and a warm rope change a peak by a few percent, not by several times. "
            "Divide what's written by what you'd expect.",
        ),
        "stiffer": Option(
            "The rope was stiffer on this pull.",
            "For a peak four times as high the rope would have to be sixteen times as stiff. "
            "Divide what's written by what you'd expect.",
        ),
    },
    right=lambda n: n.written / n.expected,
    hints=(
        "Divide {written} by {expected}.",
        "A digit too many makes it 10 times. Newtons taken for pounds-force make it 4.448 times.",
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
        "(standard deviation, from {repeats} repeats). How far apart can two more of them be, 19 "
        "times out of 20?"
    ),
    given=choices(
        speed="4, 5 km/h | 2.5, 3 mph",
        peak="14, 17 kN | 3200, 3800 lbf",
        scatter="0.4, 0.5, 0.7 kN | 90, 120, 150 lbf",
        repeats="3, 9",
    ),
    derived={
        "limit": Derived("force", _limit),
        "factor": Derived("number", lambda n: _limit(n) / n.scatter),
    },
    asked="limit",
    explained=(
        "4.5 times the scatter after 3 repeats, 3.2 times after 9. A smaller difference tells you "
        "nothing about rope or driver."
    ),
    mistakes={
        "scatter itself": Mistake(
            lambda n: n.scatter,
            "That's the scatter itself. About one pull in three is farther off than that.",
        ),
        "one pull for two": Mistake(
            lambda n: 1.96 * n.scatter,
            "Twice the scatter covers 19 out of 20 single pulls. Here you compare two, and both "
            "scatter: multiply by the square root of 2 as well.",
        ),
        "many repeats for few": Mistake(
            lambda n: 2.8 * n.scatter,
            "2.8 times is for a scatter known from a great many pulls. After a few repeats you "
            "know the scatter only roughly: use the factor for {repeats} repeats.",
        ),
    },
    hints=(
        "Look for the repeatability limit under Explain.",
        "It's 4.5 times the scatter after 3 repeats, and 3.2 times after 9.",
        "After {repeats} repeats, {factor} times {scatter} is {limit}.",
    ),
)


def _capture(n):
    return peak_capture(n.rate, n.duration)


METER = NumericQuestion(
    id="08.meter",
    text=(
        "A load cell samples at {rate}: that many times a second. A pull loads the line for "
        "{duration}. The highest sample is {reading}. How high may the true peak have been, at "
        "most?"
    ),
    given=choices(
        rate="4 Hz", duration="0.5, 0.6 s", reading="16, 19, 23 kN | 3600, 4300, 5200 lbf"
    ),
    derived={
        "samples": Derived("number", lambda n: n.rate * n.duration),
        "cosine": Derived("number", lambda n: np.cos(Q(90, "degree") / n.samples)),
        "most": Derived("force", lambda n: _capture(n).peak_behind(n.reading)[1]),
    },
    asked="most",
    explained="The peak may fall halfway between two samples: then both miss it.",
    mistakes={
        "reading for true peak": Mistake(
            lambda n: n.reading,
            "That's what the load cell shows. Between two samples it sees nothing, and that may be "
            "where the peak was.",
        ),
        "average for worst": Mistake(
            lambda n: n.reading / _capture(n).mean,
            "That's the average over many pulls. In the worst case the peak falls halfway between "
            "two samples, and you miss more.",
        ),
        "lower": Mistake(
            lambda n: n.reading**2 / n.most,
            "You made it lower. A sample is on the curve, so the peak is that high or higher.",
        ),
    },
    hints=(
        "How many samples fall into {duration}? Then use the worked example on the meter above.",
        "Divide 90° by the number of samples in the time under load. Then divide the reading by "
        "the cosine of that angle.",
        "At {rate}, {duration} is {samples} samples. The cosine of 90° divided by {samples} is "
        "{cosine}, and {reading} divided by {cosine} is {most}.",
    ),
)

BEYOND = ChoiceQuestion(
    id="08.beyond",
    text=(
        "Your fastest measured pull was at {top}. A straight line through your pulls reaches the "
        "working limit at {met}. What does that tell you about {met}?"
    ),
    given=choices(top="4, 5, 6 km/h | 2, 3, 4 mph", times="1.5, 2"),
    derived={"met": Derived("speed", lambda n: n.times * n.top)},
    options={
        "holds": Option(
            "The line holds up to {met}: it was a good fit.",
            "It was a good fit where you measured. Past that it's hope: a rope that stiffens gets "
            "to the limit sooner.",
        ),
        "margin": Option(
            "The line holds up to a tenth below {met}.",
            "A tenth is a number out of thin air. At twice the measured speed a straight line can "
            "read low by much more.",
        ),
        "unknown": Option(
            "Little: nobody measured there. Take one small step past {top}, and measure again.",
            "Only the next measured step shows whether the rope stiffens. And the speed to stop at "
            "is where the top of the band meets the limit, not the line in the middle.",
        ),
        "nothing": Option(
            "Nothing: a fit is never worth anything.",
            "Between measured speeds it's worth a lot, band and all. Past them it has nothing to "
            "stand on.",
        ),
    },
    right=lambda n: "unknown",
    hints=(
        "Look at the second panel: how far apart are straight line and rope at twice the speed?",
        "What do you know about the rope at {met}? Has it ever been stretched that far?",
        "Nobody measured above {top}. Go up one small step, measure, and fit again.",
    ),
)

QUESTIONS = (WRONG_ROW, REPEATS, METER, BEYOND)
