"""Lesson 10, plan a pull: its guess and its questions.

All numbers are invented for Marram Point.
"""

from recoverykit.course.guesses import GuessTemplate
from recoverykit.course.questions import ChoiceQuestion, Mistake, NumericQuestion, Option
from recoverykit.course.templates import ChoiceField, Derived, Given, NumberField, choices
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
from recoverykit.tables.marram_point import DemoStuck
from recoverykit.tables.records import find

_stuck = find(DemoStuck, name="boat carrier on the flat")
_limit = demo_line(_stuck.line).working_load_limit

GUESSES = (
    GuessTemplate(
        id="10.guess",
        text=(
            "The boat carrier at Marram Point ({mass}) is stuck in soft mud up to its wheels. The "
            "launch truck ({vehicle}) is ready on wet sand. The lowest working load limit in the "
            "line is {limit}. The tide is coming in. How do you start, and what's the fastest pull "
            "you'd make?"
        ),
        given={
            **choices(mass="4200 kg | 9300 lb", vehicle="3100 kg | 6800 lb"),
            # As it is stamped, whatever the units.
            "limit": Given("force", (_limit.m_as("kN"),), (_limit.m_as("lbf"),)),
        },
        fields={
            "first": ChoiceField(
                "First",
                {
                    "big": "One big pull: there's no time for more.",
                    "ceiling": "A pull at the usual top speed.",
                    "slow": "A pull at the slowest speed.",
                    "steady": "A steady pull, with no run-up.",
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
        "Worked out exactly, a line reaches its limit at {limit_speed}. The speedometer may read "
        "up to {off} low: the true speed may be that much higher. What's the fastest you may go by "
        "the speedometer and stay within the limit every time?"
    ),
    given=choices(
        limit_speed="8.5, 9.5, 11, 12 km/h | 5.5, 6, 7, 7.5 mph", off="1.5, 2.5 km/h | 1, 1.5 mph"
    ),
    derived={"fastest": Derived("speed", lambda n: n.limit_speed - n.off)},
    asked="fastest",
    careful_from=0.8,  # 5 mph on the dial, where 5.7 mph would just do
    explained="A step is within the limit when its worst case is.",
    mistakes={
        "no margin": Mistake(
            lambda n: n.limit_speed,
            "That would do if the speedometer were exact. When it reads {limit_speed}, the true "
            "speed may be {off} higher, and then the line is past its limit.",
        ),
        "margin on the other side": Mistake(
            lambda n: n.limit_speed + n.off,
            "You added what the speedometer may be off. Take it off the limit speed.",
        ),
    },
    hints=(
        "What true speed must you not pass? How much lower does the speedometer have to read?",
        "Take the {off} off the {limit_speed}.",
        "{limit_speed} minus {off} is {fastest}.",
    ),
)


NEXT = ChoiceQuestion(
    id="10.next",
    text=(
        "Out of gear, the step at {slow} gave a measured peak of {slow_peak}, within its band. The "
        "stuck vehicle hasn't moved, and nothing has shifted. The next step is {fast}. Peaks there "
        "may be up to {over} higher than worked out. The limit of the line is {limit}. What now?"
    ),
    given=choices(
        slow="1.5, 2.5 km/h | 1, 1.5 mph",
        times="2",
        slow_peak="6, 8 kN | 1400, 1800 lbf",
        over="25 %",
        limit="13.5, 18, 24 kN | 3200, 4000, 5400 lbf",
    ),
    derived={
        "fast": Derived("speed", lambda n: n.times * n.slow),
        "middle": Derived("force", lambda n: n.slow_peak * n.times),
        "high": Derived("force", lambda n: n.middle * (1 + n.over)),
    },
    options={
        "up": Option(
            "Go up to {fast}.",
            "At {fast} the peak is {middle} in the middle, and {high} at worst. The worst is what "
            "counts, against a limit of {limit}.",
        ),
        "end": Option(
            "The ladder ends here: now make less of what holds the stuck vehicle.",
            "The worst peak at {fast} is {high}, and the limit is {limit}. A ladder ends when the "
            "worst is past the limit, and not before.",
        ),
        "ceiling": Option(
            "Go straight to the usual top speed, since the line holds.",
            "It held {slow_peak}. That says nothing about more. The usual top speed isn't a "
            "target, and your line may reach its limit before that.",
        ),
        "heavier": Option(
            "Stay at {slow}, but with a heavier recovery vehicle.",
            "That's a step up, too: twice the mass gives about 1.4 times the peak. It needs a plan "
            "of its own.",
        ),
    },
    right=lambda n: "up" if n.high <= n.limit else "end",
    hints=(
        "Out of gear the peak grows in step with the speed.",
        "At {fast} the middle of the band is {middle}. What's the worst?",
        "{over} more than {middle} is {high}. Compare that with {limit}.",
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
        "moved. Somebody wants one big pull at {fast} instead of the steps, to save time. The "
        "lowest working load limit in the line is {limit}. Its first part breaks at {strength}. "
        "What does the big pull do?"
    ),
    given=choices(
        slow="3, 4 km/h | 2, 2.5 mph",
        times="4",
        slow_peak="13, 15 kN | 3000, 3500 lbf",
        limit="22, 24 kN | 5000, 5400 lbf",
        strength="48, 78 kN | 11000, 17500 lbf",
    ),
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
            "The peak is {peak}. That's past {limit}; the first part breaks at {strength}. Parts "
            "loaded like that go out of service, and then you have no line left to pull with.",
        ),
        "breaks": Option(
            "Something breaks.",
            "The peak would be {peak}, and the first part breaks at {strength}. A broken line "
            "costs more time than all the steps, and may cost far more than time.",
        ),
    },
    right=lambda n: _VERDICTS[_line_of(n).verdict(n.peak)],
    hints=(
        "How many times faster is {fast} than {slow}?",
        "{times} times {slow_peak} is {peak}. Compare that with {limit} and {strength}.",
    ),
)


UNRATED = ChoiceQuestion(
    id="10.unrated",
    text=(
        "The shackle in your line has a working load limit of {shackle}, the rope one of {rope}. "
        "The eye on the stuck vehicle has no stamp, and nobody has its data sheet. Which plan do "
        "you write?"
    ),
    given=choices(
        shackle="24, 29, 33 kN | 5400, 6500, 7500 lbf", rope="38, 41 kN | 8500, 9200 lbf"
    ),
    derived={"half": Derived("force", lambda n: n.shackle / 2)},
    options={
        "rated": Option(
            "A ladder up to {shackle}, the lowest limit that is stamped.",
            "The eye may reach its limit long before {shackle}. Nobody can say where.",
        ),
        "half": Option(
            "A ladder up to {half}: half of the lowest stamp, to be careful.",
            "Half of the shackle's stamp says nothing about the eye.",
        ),
        "steady": Option(
            "A steady pull only: that's gentle.",
            "A steady pull loads the eye, too, for as long as it lasts. And you still don't know "
            "its limit.",
        ),
        "none": Option(
            "No ladder, until you find another point or know the eye.",
            "One part with no rating leaves the whole line with none. So this course prints no "
            "card for it.",
        ),
    },
    right=lambda n: "none",
    hints=(
        "What's the working load limit of a line with this eye in it?",
        "In the panel above, choose the line over a tow ball, and look at the ladder.",
    ),
)


QUESTIONS = (MARGIN, NEXT, BIG_PULL, UNRATED)
