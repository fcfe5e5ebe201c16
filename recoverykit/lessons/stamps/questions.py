"""Lesson 04, what the stamp means: its guess and its questions.

All numbers are invented for Marram Point.
"""

from recoverykit.course.questions import (
    ChoiceField,
    ChoiceQuestion,
    Derived,
    GuessTemplate,
    Mistake,
    NumericQuestion,
    Option,
    choices,
)
from recoverykit.physics.rigging import (
    BREAKING_STRENGTH,
    WORKING_LOAD_LIMIT,
    Link,
    Rating,
    RiggingLine,
    leg_tension,
)
from recoverykit.units.quantities import Q

GUESSES = (
    GuessTemplate(
        id="04.guess",
        text=(
            "A is a bow shackle of Marram Point, stamped: 3 1/4 short tons, working load limit, "
            "design factor 5. B is a soft shackle, stamped: 30,000 lbf, minimum breaking strength, "
            "design factor 5. Which of the two is stronger?"
        ),
        given=choices(),
        fields={
            "stronger": ChoiceField(
                "Stronger is",
                {
                    "a": "A, the bow shackle",
                    "b": "B, the soft shackle",
                    "same": "neither: both hold the same",
                    "unknown": "one of them, but the stamps do not tell which",
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
    given=choices(strength="90, 126, 150 kN", factor="3, 5"),
    derived={"limit": Derived("force", lambda n: _rated(n).working_load_limit)},
    asked="limit",
    explained="The breaking strength, divided by the design factor.",
    mistakes={
        "breaking strength for working load limit": Mistake(
            lambda n: n.strength,
            "That is where the shackle breaks. In work it may be pulled with much less: the design "
            "factor says how much less.",
        ),
        "multiplied": Mistake(
            lambda n: n.strength * n.factor,
            "That is more than the strength at which it breaks. The design factor leads from the "
            "working load limit up to the strength, so downwards you divide.",
        ),
    },
    hints=(
        "Which is lower, the limit for work or the strength at which it breaks?",
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
        "What is its breaking strength, in kN or lbf?"
    ),
    given=choices(tons="2, 3.25, 6.5", factor="5, 6"),
    derived={
        "limit": Derived("force", lambda n: _shackle(n).working_load_limit),
        "strength": Derived("force", lambda n: _shackle(n).breaking_strength),
    },
    asked="strength",
    explained="The working load limit, {limit}, times the design factor.",
    mistakes={
        "tonnes for short tons": Mistake(
            lambda n: _shackle(n, "force_metric_ton").breaking_strength,
            "That comes out with tonnes of 1000 kg. A short ton is 2000 lb, about a tenth less.",
        ),
        "working load limit for breaking strength": Mistake(
            lambda n: n.limit,
            "That is the working load limit that is stamped. The shackle breaks at a multiple of "
            "it: the design factor says which.",
        ),
        "divided": Mistake(
            lambda n: n.limit / n.factor,
            "That is less than the working load limit. From the limit up to the strength you "
            "multiply by the design factor.",
        ),
    },
    hints=(
        "How much is one short ton? A pull of 2000 lbf, which is 8.90 kN.",
        "The working load limit is {limit}. The breaking strength is {factor} times that.",
        "{factor} times {limit} is {strength}.",
    ),
)


def _two_parts(n):
    return {
        "shackle": Link("shackle", Rating(n.shackle_limit, WORKING_LOAD_LIMIT)),
        "strap": Link("strap", _rated(n)),
    }


def _higher_limit(n):
    """The name of the part with the higher working load limit, or that it cannot be told."""
    parts = _two_parts(n)
    line = RiggingLine(parts.values())
    if line.unrated:
        return "not told"
    return max(parts, key=lambda name: parts[name].working_load_limit)


WHICH = ChoiceQuestion(
    id="04.which",
    text=(
        "A shackle has a working load limit of {tons} short tons. A strap is stamped: {strength}, "
        "minimum breaking strength, design factor {factor}. Which of the two has the higher "
        "working load limit?"
    ),
    given=choices(tons="3.25, 6.5", strength="110, 120, 130 kN", factor="5, 7"),
    derived={
        "shackle_limit": Derived("force", lambda n: Q(n.tons.m_as(""), "force_ton")),
        "strap_limit": Derived("force", lambda n: _two_parts(n)["strap"].working_load_limit),
    },
    options={
        "shackle": Option(
            "The shackle.",
            "Both on one basis: the shackle has {shackle_limit}, the strap {strap_limit}.",
        ),
        "strap": Option(
            "The strap.",
            "At {strength} the strap breaks. Its working load limit is {strap_limit}; that of the "
            "shackle is {shackle_limit}.",
        ),
        "same": Option(
            "Neither: they are the same.",
            "Work out both: the strap's {strength} divided by {factor} is {strap_limit}, and the "
            "shackle's short tons are {shackle_limit}.",
        ),
        "not told": Option(
            "The stamps do not tell.",
            "Nothing is missing. The strap states its design factor, so its working load limit can "
            "be worked out: {strap_limit}.",
        ),
    },
    right=_higher_limit,
    hints=(
        "The two stamps mean different things. Bring the strap to its working load limit first.",
        "Then bring both to one unit: a short ton is 8.90 kN or 2000 lbf.",
        "The strap has {strength} divided by {factor}, which is {strap_limit}. The shackle has "
        "{shackle_limit}.",
    ),
)


def _told(n):
    line = RiggingLine(
        [
            Link("rope", Rating(n.strength, BREAKING_STRENGTH)),
            Link("shackle", Rating(n.limit, WORKING_LOAD_LIMIT)),
        ]
    )
    first = line.first_past_working_limit
    return "not told" if first is None or line.unrated else first.name


NOT_STATED = ChoiceQuestion(
    id="04.not-stated",
    text=(
        "The tag of a rope says {strength}, minimum breaking strength, and nothing else. A shackle "
        "has a working load limit of {limit}. Which of them comes to its working load limit first?"
    ),
    given=choices(strength="110, 120, 130 kN", limit="24, 28 kN"),
    derived={
        "at_three": Derived("force", lambda n: n.strength / 3),
        "at_seven": Derived("force", lambda n: n.strength / 7),
    },
    options={
        "shackle": Option(
            "The shackle.",
            "That may be so, but the tag does not tell. At a design factor of 7 the rope would "
            "have {at_seven}, and come first.",
        ),
        "rope": Option(
            "The rope.",
            "That may be so, but the tag does not tell. At a design factor of 3 the rope would "
            "have {at_three}, and the shackle would come first.",
        ),
        "not told": Option(
            "The stamps do not tell.",
            "Without a design factor a breaking strength says nothing about work. Ask the maker, "
            "and treat the rope as unrated until you know.",
        ),
    },
    right=_told,
    hints=(
        "What do you need to get from a breaking strength to a working load limit?",
        "Nobody may choose the design factor but the maker.",
    ),
)


BRIDLE = NumericQuestion(
    id="04.bridle",
    text=(
        "A bridle has two equal legs. Each stands {angle} off the line of pull, one to either "
        "side. The line pulls with {tension}. How hard is each leg pulled?"
    ),
    given=choices(tension="20, 25, 32 kN", angle="30, 40, 45 degree"),
    derived={
        "half": Derived("force", lambda n: n.tension / 2),
        "leg": Derived("force", lambda n: leg_tension(n.tension, n.angle)),
    },
    asked="leg",
    explained="Half of the tension, divided by the cosine of the angle.",
    mistakes={
        "half for each leg": Mistake(
            lambda n: n.half,
            "That would hold if both legs ran side by side. These pull apart as well, against each "
            "other, and so each is pulled harder.",
        ),
        "all for each leg": Mistake(
            lambda n: n.tension,
            "That is the pull of the whole line. Two legs share it, though not as well as two that "
            "run side by side.",
        ),
        "angle between the legs": Mistake(
            lambda n: leg_tension(n.tension, n.angle / 2),
            "That comes out when {angle} is taken for the angle between the legs. It is the angle "
            "between one leg and the line of pull.",
        ),
    },
    hints=(
        "Side by side each leg would have half: {half}. Here it is more.",
        "Use the last worked example above, with {tension} and {angle}.",
        "{half} divided by the cosine of {angle} is {leg}.",
    ),
)

QUESTIONS = (LIMIT, TONS, WHICH, NOT_STATED, BRIDLE)
