"""Lesson 04, what the stamp means: its guess and its questions.

All numbers are invented for Marram Point.
"""

import numpy as np

from recoverykit.course.guesses import GuessTemplate
from recoverykit.course.questions import ChoiceQuestion, Mistake, NumericQuestion, Option
from recoverykit.course.templates import ChoiceField, Derived, choices
from recoverykit.physics.rigging import BREAKING_STRENGTH, WORKING_LOAD_LIMIT, Rating, leg_tension
from recoverykit.units.quantities import Q

GUESSES = (
    GuessTemplate(
        id="04.guess",
        text=(
            "Bow shackle A: working load limit 3 1/4 short tons. Soft shackle B: minimum breaking "
            "strength 30,000 lbf. Both have a design factor of 5. Which one is stronger?"
        ),
        given=choices(),
        fields={
            "stronger": ChoiceField(
                "Stronger is",
                {
                    "a": "A, the bow shackle",
                    "b": "B, the soft shackle",
                    "same": "neither: they hold the same",
                    "unknown": "one of them, but the stamps don't say which",
                },
            )
        },
    ),
)


def _rated(n):
    return Rating(n.strength, BREAKING_STRENGTH, n.factor.m_as(""))


LIMIT = NumericQuestion(
    id="04.limit",
    text=(
        "A soft shackle is stamped: {strength}, minimum breaking strength, design factor {factor}. "
        "What is its working load limit?"
    ),
    given=choices(strength="90, 120, 150 kN | 21000, 27000, 33000 lbf", factor="3, 5"),
    derived={"limit": Derived("force", lambda n: _rated(n).working_load_limit)},
    asked="limit",
    explained="The breaking strength, divided by the design factor.",
    mistakes={
        "breaking strength for working load limit": Mistake(
            lambda n: n.strength,
            "That's where the shackle breaks. You work it at much less than that: the design "
            "factor says how much less.",
        ),
        "multiplied": Mistake(
            lambda n: n.strength * n.factor,
            "That's more than it takes to break it. From the working load limit up to the strength "
            "you multiply by the design factor, so on the way down you divide.",
        ),
    },
    hints=(
        "Which one is lower: what it may carry at work, or what breaks it?",
        "Divide the breaking strength by the design factor.",
        "{strength} divided by {factor} is {limit}.",
    ),
)


def _shackle(n, ton="force_ton"):
    return Rating(Q(n.tons.m_as(""), ton), WORKING_LOAD_LIMIT, n.factor.m_as(""))


TONS = NumericQuestion(
    id="04.tons",
    text=(
        "A bow shackle is stamped: {tons} short tons, working load limit, design factor {factor}. "
        "What is its breaking strength, in [kN|lbf]?"
    ),
    given=choices(tons="2, 3.25, 6.5", factor="5, 6"),
    derived={
        "limit": Derived("force", lambda n: _shackle(n).working_load_limit),
        "strength": Derived("force", lambda n: n.factor * n.limit),
    },
    asked="strength",
    explained="The working load limit, {limit}, times the design factor.",
    mistakes={
        "tonnes for short tons": Mistake(
            lambda n: _shackle(n, "force_metric_ton").breaking_strength,
            "That's with metric tons of 1000 kg. A short ton is 2,000 lb, about a tenth less.",
        ),
        "working load limit for breaking strength": Mistake(
            lambda n: n.limit,
            "That's the working load limit on the stamp. The shackle breaks at several times that: "
            "the design factor says how many.",
        ),
        "divided": Mistake(
            lambda n: n.limit / n.factor,
            "That's less than the working load limit. From the limit up to the strength you "
            "multiply by the design factor.",
        ),
    },
    hints=(
        "How much is one short ton? A pull of 2,000 lbf[, or 8.90 kN|].",
        "The working load limit is {limit}. The breaking strength is {factor} times that.",
        "{factor} times {limit} is {strength}.",
    ),
)


WHICH = ChoiceQuestion(
    id="04.which",
    text=(
        "A shackle has a working load limit of {tons} short tons. A strap is stamped: {strength}, "
        "minimum breaking strength, design factor {factor}. Which one has the higher working load "
        "limit?"
    ),
    given=choices(
        tons="3.25, 6.5", strength="110, 120, 130 kN | 25000, 27000, 29000 lbf", factor="5, 7"
    ),
    derived={
        "shackle_limit": Derived("force", lambda n: Q(n.tons.m_as(""), "force_ton")),
        "strap_limit": Derived("force", lambda n: _rated(n).working_load_limit),
    },
    options={
        "shackle": Option(
            "The shackle.",
            "Put both on one basis: {shackle_limit} for the shackle, {strap_limit} for the strap.",
        ),
        "strap": Option(
            "The strap.",
            "The strap breaks at {strength}. Its working load limit is {strap_limit}. The "
            "shackle's is {shackle_limit}.",
        ),
        "same": Option(
            "Neither: they're the same.",
            "Work out both. For the strap, {strength} divided by {factor} is {strap_limit}. The "
            "shackle's short tons come to {shackle_limit}.",
        ),
        "not told": Option(
            "The stamps don't say.",
            "Nothing is missing. The strap states its design factor, so you can work out its "
            "working load limit: {strap_limit}.",
        ),
    },
    right=lambda n: "shackle" if n.shackle_limit > n.strap_limit else "strap",
    hints=(
        "The two stamps mean different things. First find the strap's working load limit.",
        "Then put both in one unit: a short ton is [8.90 kN|2,000 lbf].",
        "For the strap, {strength} divided by {factor} is {strap_limit}. The shackle has "
        "{shackle_limit}.",
    ),
)


NOT_STATED = ChoiceQuestion(
    id="04.not-stated",
    text=(
        "A rope's tag says {strength}, minimum breaking strength, and nothing else. A shackle has "
        "a working load limit of {limit}. Which one reaches its working load limit first?"
    ),
    given=choices(
        strength="110, 120, 130 kN | 24000, 27000, 30000 lbf", limit="24, 28 kN | 5400, 6300 lbf"
    ),
    derived={
        "at_three": Derived("force", lambda n: n.strength / 3),
        "at_seven": Derived("force", lambda n: n.strength / 7),
    },
    options={
        "shackle": Option(
            "The shackle.",
            "Maybe, but the tag doesn't say. With a design factor of 7 the rope's limit would be "
            "{at_seven}, and the rope would come first.",
        ),
        "rope": Option(
            "The rope.",
            "Maybe, but the tag doesn't say. With a design factor of 3 the rope's limit would be "
            "{at_three}, and the shackle would come first.",
        ),
        "not told": Option(
            "The stamps don't say.",
            "Without a design factor, a breaking strength gives you no limit to work to. Ask the "
            "maker, and treat the rope as unrated until you know.",
        ),
    },
    right=lambda n: "not told",
    hints=(
        "What do you need to get from a breaking strength to a working load limit?",
        "Only the maker gets to pick the design factor.",
    ),
)


BRIDLE = NumericQuestion(
    id="04.bridle",
    text=(
        "A bridle has two equal legs, one on each side, each at {angle} to the line of pull. The "
        "line pulls with {tension}. How hard does each leg get pulled?"
    ),
    given=choices(tension="20, 25, 32 kN | 4500, 5500, 7000 lbf", angle="30, 40, 45 °"),
    derived={
        "half": Derived("force", lambda n: n.tension / 2),
        "cosine": Derived("number", lambda n: np.cos(n.angle)),
        "leg": Derived("force", lambda n: leg_tension(n.tension, n.angle)),
    },
    asked="leg",
    explained="Half the tension, divided by the cosine of the angle.",
    mistakes={
        "half for each leg": Mistake(
            lambda n: n.half,
            "That would be right if both legs ran side by side. These two also pull against each "
            "other, so each gets pulled harder.",
        ),
        "all for each leg": Mistake(
            lambda n: n.tension,
            "That's the pull in the whole line. The two legs share it, just not as well as two "
            "that run side by side.",
        ),
        "angle between the legs": Mistake(
            lambda n: leg_tension(n.tension, n.angle / 2),
            "You took {angle} as the angle between the legs. It's the angle between one leg and "
            "the line of pull.",
        ),
    },
    hints=(
        "Side by side, each leg would take half: {half}. Here it's more.",
        "Use the last worked example above, with {tension} and {angle}.",
        "The cosine of {angle} is {cosine}, and {half} divided by {cosine} is {leg}.",
    ),
)

QUESTIONS = (LIMIT, TONS, WHICH, NOT_STATED, BRIDLE)
