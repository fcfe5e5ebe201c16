"""Lesson 05, the weakest link: its guess and its questions.

All numbers are invented for Marram Point.
"""

import numpy as np

from recoverykit.course.guesses import GuessTemplate
from recoverykit.course.questions import ChoiceQuestion, Mistake, NumericQuestion, Option
from recoverykit.course.templates import ChoiceField, Derived, Given, choices
from recoverykit.physics.rigging import (
    BREAKING_STRENGTH,
    WORKING_LOAD_LIMIT,
    Link,
    Rating,
    RiggingLine,
    bridle,
    demo_line,
    factor,
)

_parts = {link.name: link.name for link in demo_line().links}

GUESSES = (
    GuessTemplate(
        id="05.guess",
        text=("The pull keeps growing. Which part passes its limit first? Which one breaks first?"),
        given=choices(),
        fields={
            "limit": ChoiceField("First past its limit", _parts),
            "break": ChoiceField("First to break", _parts),
        },
    ),
)


def _rated(limit, *factors):
    return Link("part", Rating(limit, WORKING_LOAD_LIMIT), factors)


def _rope(n, *factors):
    return Link("rope", Rating(n.strength, BREAKING_STRENGTH, n.factor.m_as("")), factors)


def _limit_of(*links):
    """The working load limit of a line of these parts."""
    return RiggingLine(links).working_load_limit


LINE_LIMIT = NumericQuestion(
    id="05.line-limit",
    text=(
        "A line has three parts. The shackle has a working load limit of {shackle}, the hook one "
        "of {hook}. The rope breaks at {strength}, with a design factor of {factor}. What is the "
        "working load limit of the whole line?"
    ),
    given=choices(
        shackle="33 kN | 7500 lbf",
        hook="52 kN | 11500 lbf",
        strength="100, 110, 120 kN | 22000, 24000, 26000 lbf",
        factor="4, 5",
    ),
    derived={
        "rope": Derived("force", lambda n: _rope(n).working_load_limit),
        "limit": Derived("force", lambda n: _limit_of(_rated(n.shackle), _rope(n), _rated(n.hook))),
    },
    asked="limit",
    explained="The lowest of the three: a line is only as strong as its weakest part.",
    mistakes={
        "breaking strength for working load limit": Mistake(
            lambda n: n.strength,
            "That's where the rope breaks. Divide by the design factor to get its working load "
            "limit.",
        ),
        "lowest number in the question": Mistake(
            lambda n: n.shackle,
            "That's the shackle. The rope's {strength} looks like more, but it's a breaking "
            "strength: find its working load limit first.",
        ),
        "average": Mistake(
            lambda n: (n.shackle + n.hook + n.rope) / 3,
            "That's the average of the three limits. The parts don't help each other: each one "
            "carries the whole pull.",
        ),
    },
    hints=(
        "Find the working load limit of all three parts. Which one is lowest?",
        "The rope is the one to work out: divide {strength} by {factor}.",
        "{strength} divided by {factor} is {rope}, less than {shackle} and {hook}. So that's the "
        "limit of the line, too.",
    ),
)


STRONGER_PART = ChoiceQuestion(
    id="05.stronger-part",
    text=(
        "A line reaches its working load limit at {soft}, in its soft shackle. Its bow shackle is "
        "good for {bow}. You swap the bow shackle for one good for {twice}. What is the working "
        "load limit of the line now?"
    ),
    given=choices(soft="20, 24, 27 kN | 4500, 5400, 6000 lbf", bow="29, 32 kN | 6500, 7000 lbf"),
    derived={
        "twice": Derived("force", lambda n: 2 * n.bow),
        "doubles": Derived("force", lambda n: 2 * n.soft),
        "gain": Derived("force", lambda n: n.twice - n.bow),
    },
    options={
        "doubles": Option(
            "{doubles}: twice as much as before.",
            "Only the bow shackle got twice as strong. The soft shackle still reaches its limit at "
            "{soft}.",
            claims=2.0,
        ),
        "rises": Option(
            "Something in between: the line as a whole got stronger.",
            "The bow shackle gained {gain}, the soft shackle nothing. And the soft shackle still "
            "carries the whole pull, like every part.",
            claims=1.5,
        ),
        "stays": Option(
            "{soft}, as before.",
            "The soft shackle is still the weakest part. To raise the limit of the line, start "
            "there.",
            claims=1.0,
        ),
    },
    right=lambda n: _limit_of(_rated(n.soft), _rated(n.twice)) / n.soft,
    hints=(
        "How hard may you pull on the soft shackle now?",
        "Each part carries the whole pull of the line.",
    ),
)


UNRATED = ChoiceQuestion(
    id="05.unrated",
    text=(
        "Four parts of a line have a working load limit of at least {limit} each. The fifth is a "
        "tow ball, with no rating for a pull like this. The line gets pulled with {tension}. What "
        "can you say about the line?"
    ),
    given=choices(
        limit="30, 36, 40 kN | 7000, 8000, 9000 lbf", tension="8, 12 kN | 1800, 2700 lbf"
    ),
    options={
        "within": Option(
            "It's within its working load limit: {tension} is far less than {limit}.",
            "That goes for four parts. The fifth carries the same pull, and nobody knows what it "
            "can take.",
        ),
        "ball": Option(
            "The tow ball breaks.",
            "Nobody can say that either. No rating doesn't mean weak: it means there's nothing to "
            "go by.",
        ),
        "nothing": Option(
            "Nothing: one part with no rating leaves the whole line with none.",
            "So don't pull with this line. Use a rated recovery point in place of the ball.",
        ),
    },
    right=lambda n: "nothing",
    hints=(
        "Ask about each part: what may it carry, and who says so?",
        "Is there a number for the fifth part?",
    ),
)


KNOT = NumericQuestion(
    id="05.knot",
    text=(
        "A rope breaks at {strength}, with a design factor of {factor}. The shackle next to it has "
        "a working load limit of {shackle}. There's no eye on that end of the rope, so somebody "
        "ties a bowline, which leaves {left} of its strength. What is the working load limit of "
        "the line?"
    ),
    given={
        **choices(
            strength="140, 150, 160 kN | 32000, 34000, 36000 lbf",
            factor="4",
            shackle="30, 33 kN | 7000, 7500 lbf",
        ),
        "left": Given.only("ratio", factor("bowline").value),
    },
    derived={
        "rope": Derived("force", lambda n: _rope(n).working_load_limit),
        "knotted": Derived("force", lambda n: n.strength * n.left),
        "limit": Derived(
            "force", lambda n: _limit_of(_rope(n, factor("bowline")), _rated(n.shackle))
        ),
    },
    asked="limit",
    explained="The knot made the rope the weakest part.",
    mistakes={
        "knot forgotten": Mistake(
            lambda n: n.shackle,
            "That's the shackle's limit, the lowest before the knot. The rope was good for {rope}. "
            "What's left of that with the knot?",
        ),
        "breaking strength for working load limit": Mistake(
            lambda n: n.knotted,
            "That's where the knotted rope breaks. Divide by the design factor to get its working "
            "load limit.",
        ),
        "what is lost for what is left": Mistake(
            lambda n: n.rope * (1 - n.left),
            "You took what the knot costs. It leaves {left}.",
        ),
    },
    hints=(
        "Find the rope's working load limit first. Then take what the knot leaves of it.",
        "Without the knot the rope is good for {rope}. The knot leaves {left} of that.",
        "{left} of {rope} is {limit}, and that's less than the shackle's {shackle}.",
    ),
)


BRIDLE = NumericQuestion(
    id="05.bridle",
    text=(
        "Each of the two equal legs of a bridle has a working load limit of {leg}. Each one is at "
        "{angle} to the line of pull. At what tension in the line do the legs reach their limit?"
    ),
    given=choices(leg="18, 20, 24 kN | 4000, 4500, 5400 lbf", angle="30, 45, 50 °"),
    derived={
        "twice": Derived("force", lambda n: 2 * n.leg),
        "cosine": Derived("number", lambda n: np.cos(n.angle)),
        "limit": Derived("force", lambda n: _limit_of(_rated(n.leg, bridle(n.angle)))),
    },
    asked="limit",
    explained="Twice the limit of one leg, times the cosine of the angle.",
    mistakes={
        "twice one leg": Mistake(
            lambda n: n.twice,
            "That would be right if both legs ran side by side. The wider they spread, the more "
            "they pull against each other.",
        ),
        "one leg": Mistake(
            lambda n: n.leg,
            "That's the limit of one leg. The two share the pull, so the line can take more than "
            "that.",
        ),
        "divided": Mistake(
            lambda n: n.leg / bridle(n.angle).value,
            "That's the pull in each leg when the line is pulled with {leg}. The question goes the "
            "other way.",
        ),
    },
    hints=(
        "Side by side both legs would hold {twice}. At an angle it's less.",
        "Rearrange the formula from lesson 04: the tension is twice the leg times the cosine of "
        "the angle.",
        "The cosine of {angle} is {cosine}, and {twice} times {cosine} is {limit}.",
    ),
)

QUESTIONS = (LINE_LIMIT, STRONGER_PART, UNRATED, KNOT, BRIDLE)
