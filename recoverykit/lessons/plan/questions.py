"""Lesson 10, plan a pull: its guess and its questions.

All numbers are invented for Marram Point.
"""

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
    choices,
)
from recoverykit.course.unit_mistakes import in_other_unit
from recoverykit.physics.formulas import speed_for_tension
from recoverykit.physics.rigging import (
    ABOVE,
    BREAKING,
    BREAKING_STRENGTH,
    WITHIN,
    WORKING_LOAD_LIMIT,
    Link,
    Rating,
    RiggingLine,
    demo_line,
)
from recoverykit.tables.marram_point import DemoStuck, DemoVehicle
from recoverykit.tables.records import find

_stuck = find(DemoStuck, name="boat carrier on the flat")
_line = demo_line(_stuck.line)

GUESSES = (
    GuessTemplate(
        id="10.guess",
        text=(
            "The boat carrier of Marram Point ({mass}) stands in soft mud up to its wheels. The "
            "launch truck ({vehicle}) stands ready on wet sand. The lowest working limit of the "
            "line between them is {limit}. The tide is coming in. How do you begin, and what is "
            "the fastest pull that you would make?"
        ),
        given={
            "mass": Given.only("mass", find(DemoVehicle, name=_stuck.stuck_vehicle).mass),
            "vehicle": Given.only("mass", find(DemoVehicle, name=_stuck.vehicle).mass),
            "limit": Given.only("force", _line.working_load_limit),
        },
        fields={
            "first": ChoiceField(
                "First",
                {
                    "big": "One big pull: there is no time for more.",
                    "ceiling": "A pull at the usual ceiling.",
                    "slow": "A pull at the slowest speed.",
                    "steady": "A steady pull, without a run-up.",
                    "work": "No pull yet: dig, lay boards, unload.",
                },
            ),
            "fastest": NumberField("Fastest pull", "speed"),
        },
    ),
)


MARGIN = NumericQuestion(
    id="10.margin",
    text=(
        "Worked out exactly, a line comes to its limit at {limit_speed}. The speedometer may show "
        "up to {off} too little: the true speed may be that much higher. What is the fastest speed "
        "on the speedometer at which the line stays within its limit in every case?"
    ),
    given=choices(
        mass="2600, 3000 kg", stiffness="40, 58 kN/m", limit="27, 33 kN", off="1.6, 2.4 km/h"
    ),
    derived={
        "limit_speed": Derived("speed", lambda n: speed_for_tension(n.mass, n.limit, n.stiffness)),
        "fastest": Derived("speed", lambda n: n.limit_speed - n.off),
    },
    asked="fastest",
    careful_from=0.8,  # 5 mph on the dial, where 5.7 mph would just do
    explained="A step counts as within the limit when the worst of its band is.",
    mistakes={
        "no margin": Mistake(
            lambda n: n.limit_speed,
            "That would do if the speedometer were exact. At {limit_speed} on the speedometer the "
            "true speed may be {off} higher, and then the line is past its limit.",
        ),
        "margin on the other side": Mistake(
            lambda n: n.limit_speed + n.off,
            "You added what the speedometer may be off. It has to come off the limit speed.",
        ),
        **in_other_unit("fastest"),
    },
    hints=(
        "Which true speed must not be passed? How much lower has the speedometer to stand?",
        "Take the {off} off the {limit_speed}.",
        "{limit_speed} less {off} is {fastest}.",
    ),
)


NEXT = ChoiceQuestion(
    id="10.next",
    text=(
        "Out of gear, the step at {slow} gave a measured peak of {slow_peak}, within its band. The "
        "stuck vehicle has not moved, and nothing has shifted. The next step is {fast}. Peaks "
        "there may be up to {over} higher than worked out. The limit of the line is {limit}. What "
        "now?"
    ),
    given={
        "slow": Given("speed", "km/h", (1.6, 2.4)),
        "times": Given("ratio", "", (2,)),
        "slow_peak": Given("force", "kN", (6, 8)),
        "over": Given("ratio", "percent", (25,)),
        "limit": Given("force", "kN", (13.5, 18, 24)),
    },
    derived={
        "fast": Derived("speed", lambda n: n.times * n.slow),
        "middle": Derived("force", lambda n: n.slow_peak * n.times),
        "high": Derived("force", lambda n: n.middle * (1 + n.over)),
    },
    options={
        "up": Option(
            "Go up to {fast}.",
            "At {fast} the peak is {middle} in the middle, and up to {high} at worst. The worst "
            "counts, against a limit of {limit}.",
        ),
        "end": Option(
            "The ladder ends here: what holds the stuck vehicle has to be made less.",
            "The worst peak at {fast} is {high}, and the limit is {limit}. A ladder ends when the "
            "worst is past the limit, and not before.",
        ),
        "ceiling": Option(
            "Go to the usual ceiling at once, as the line holds.",
            "That it held {slow_peak} says nothing of more. The ceiling is not a target, and your "
            "line may come to its limit before.",
        ),
        "heavier": Option(
            "Stay at {slow}, but with a heavier recovery vehicle.",
            "That is a step up, too: twice the mass gives about 1.4 times the peak. It needs a "
            "plan of its own.",
        ),
    },
    right=lambda n: "up" if n.high <= n.limit else "end",
    hints=(
        "Out of gear the peak grows in step with the speed.",
        "At {fast} the middle of the band is {middle}. What is the worst?",
        "The worst is {high}. Hold that against {limit}.",
    ),
)


def _line_of(n):
    shackle = Rating(n.limit, WORKING_LOAD_LIMIT)
    return RiggingLine(
        [Link("shackle", shackle), Link("eye", Rating(n.strength, BREAKING_STRENGTH, 2))]
    )


_VERDICTS = {WITHIN: "within", ABOVE: "above", BREAKING: "breaks"}

BIG_PULL = ChoiceQuestion(
    id="10.big-pull",
    text=(
        "The tide is coming in. At {slow} the peak was {slow_peak}, and the stuck vehicle hardly "
        "moved. Somebody wants one big pull at {fast} in place of the steps, to save time. The "
        "lowest working limit of the line is {limit}. Its first part breaks at {strength}. What "
        "does the big pull do?"
    ),
    given={
        "slow": Given("speed", "km/h", (3.2, 4)),
        "times": Given("ratio", "", (4,)),
        "slow_peak": Given("force", "kN", (13, 15)),
        "limit": Given("force", "kN", (22, 24)),
        "strength": Given("force", "kN", (48, 78)),
    },
    derived={
        "fast": Derived("speed", lambda n: n.times * n.slow),
        "peak": Derived("force", lambda n: n.times * n.slow_peak),
    },
    options={
        "within": Option(
            "The line stays within its working limit: the rope takes up the rest.",
            "Four times the speed is four times the peak, {peak}: far more than {limit}.",
        ),
        "above": Option(
            "It takes the line past its working limit. New parts may hold that.",
            "The peak is {peak}. That is past {limit}; the first part breaks at {strength}. Parts "
            "that were loaded so are taken out of use, and there is no line left to pull with.",
        ),
        "breaks": Option(
            "Something breaks.",
            "The peak comes to {peak} if nothing breaks at {strength}. A broken line costs more "
            "time than all the steps, and may cost far more than time.",
        ),
    },
    right=lambda n: _VERDICTS[_line_of(n).verdict(n.peak)],
    hints=(
        "How many times faster is {fast} than {slow}?",
        "The peak would be {peak}. Hold that against {limit} and {strength}.",
    ),
)


def _with_an_eye_without_stamp(n):
    shackle, rope = (Rating(limit, WORKING_LOAD_LIMIT) for limit in (n.shackle, n.rope))
    return RiggingLine([Link("shackle", shackle), Link("rope", rope), Link("eye")])


UNRATED = ChoiceQuestion(
    id="10.unrated",
    text=(
        "The shackle of your line has a working limit of {shackle}, the rope one of {rope}. The "
        "eye on the stuck vehicle has no stamp and no maker's sheet. Which plan do you write?"
    ),
    given=choices(shackle="24, 29, 33 kN", rope="38, 41 kN"),
    derived={"half": Derived("force", lambda n: n.shackle / 2)},
    options={
        "rated": Option(
            "A ladder up to {shackle}, the lowest limit that is stamped.",
            "The eye may come to its limit long before {shackle}. Nobody can say at what force.",
        ),
        "half": Option(
            "A ladder up to {half}: half of the lowest stamp, to be careful.",
            "Half of a stamp on the shackle says nothing of the eye.",
        ),
        "steady": Option(
            "A steady pull only: that is gentle.",
            "A steady pull loads the eye, too, for as long as it lasts. Its limit is still not "
            "known.",
        ),
        "none": Option(
            "No ladder, until another point is found or the eye is known.",
            "One part without a rating leaves the whole line without one. So this course prints no "
            "card for it.",
        ),
    },
    right=lambda n: "none" if _with_an_eye_without_stamp(n).working_load_limit is None else "rated",
    hints=(
        "What is the working limit of a line with this eye in it?",
        "In the panel above, choose the line over a tow ball, and look at the ladder.",
    ),
)


QUESTIONS = (MARGIN, NEXT, BIG_PULL, UNRATED)
