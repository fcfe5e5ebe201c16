"""Lesson 05, the weakest link: its guess and its questions.

All numbers are invented for Marram Point.
"""

from recoverykit.course.questions import (
    ChoiceField,
    ChoiceQuestion,
    Derived,
    Given,
    GuessTemplate,
    Mistake,
    NumericQuestion,
    Option,
    choices,
)
from recoverykit.physics.rigging import (
    BREAKING_STRENGTH,
    UNKNOWN,
    WITHIN,
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
        text=(
            "The list shows what is stamped on the five parts of the yard line. The line is "
            "pulled, harder and harder. Which part passes its working load limit first? Which one "
            "breaks first?"
        ),
        given=choices(),
        fields={
            "limit": ChoiceField("First past its limit", _parts),
            "break": ChoiceField("First to break", _parts),
        },
    ),
)


def _rated(name, limit):
    return Link(name, Rating(limit, WORKING_LOAD_LIMIT))


def _rope(n, *factors):
    return Link("rope", Rating(n.strength, BREAKING_STRENGTH, n.factor.m_as("")), factors)


def _line_limit(n):
    line = RiggingLine([_rated("shackle", n.shackle), _rope(n), _rated("hook", n.hook)])
    return line.working_load_limit


LINE_LIMIT = NumericQuestion(
    id="05.line-limit",
    text=(
        "A line has three parts. The shackle has a working load limit of {shackle}, the hook one "
        "of {hook}. The rope breaks at {strength}; its design factor is {factor}. What is the "
        "working load limit of the whole line?"
    ),
    given=choices(shackle="33 kN", hook="52 kN", strength="100, 110, 116 kN", factor="4, 5"),
    derived={
        "rope": Derived("force", lambda n: _rope(n).working_load_limit),
        "limit": Derived("force", _line_limit),
    },
    asked="limit",
    explained="The lowest of the three: a line is as strong as its weakest part.",
    mistakes={
        "breaking strength for working load limit": Mistake(
            lambda n: n.strength,
            "That is where the rope breaks. Its working load limit is lower by the design factor.",
        ),
        "lowest number in the question": Mistake(
            lambda n: n.shackle,
            "That is the shackle. {strength} looks like more, but it is a breaking strength: bring "
            "the rope to its working load limit first.",
        ),
        "average": Mistake(
            lambda n: (n.shackle + n.hook + n.rope) / 3,
            "That is the average of the three limits. The parts do not help each other: each "
            "carries the whole pull.",
        ),
    },
    hints=(
        "Bring all three parts to their working load limit. Which is the lowest?",
        "The rope is the one to work out: {strength} divided by {factor}.",
        "The rope has {rope}, less than {shackle} and {hook}. So that is the line's, too.",
    ),
)


def _with_stronger_bow(n):
    line = RiggingLine([_rated("soft shackle", n.soft), _rated("bow shackle", n.twice)])
    limit = line.working_load_limit
    return next((name for name in ("stays", "doubles") if limit == getattr(n, name)), "rises")


STRONGER_PART = ChoiceQuestion(
    id="05.stronger-part",
    text=(
        "A line comes to its working load limit at {soft}, at its soft shackle. The bow shackle "
        "has {bow}. It is replaced by one with {twice}. What is the working load limit of the line "
        "now?"
    ),
    given=choices(soft="20, 24, 27 kN", bow="29, 32 kN"),
    derived={
        "twice": Derived("force", lambda n: 2 * n.bow),
        "stays": Derived("force", lambda n: n.soft),
        "doubles": Derived("force", lambda n: 2 * n.soft),
        "gain": Derived("force", lambda n: n.twice - n.bow),
    },
    options={
        "doubles": Option(
            "{doubles}: twice as much as before.",
            "Only the bow shackle is twice as strong. The soft shackle still comes to its limit at "
            "{soft}.",
        ),
        "rises": Option(
            "Something in between: the line has become stronger on the whole.",
            "The bow shackle has gained {gain}, the soft shackle nothing. It carries all of the "
            "pull, as every part does.",
        ),
        "stays": Option(
            "{soft}, as before.",
            "The soft shackle is still the weakest part. To raise the limit of the line, look "
            "there.",
        ),
    },
    right=_with_stronger_bow,
    hints=(
        "How hard may the soft shackle be pulled now?",
        "Each part carries the whole pull of the line.",
    ),
)

# What each answer claims of the line.
_CLAIMS = {WITHIN: "within", UNKNOWN: "nothing"}


def _over_a_tow_ball(n):
    parts = [_rated(f"part {number}", n.limit) for number in range(4)]
    verdict = RiggingLine([*parts, Link("tow ball")]).verdict(n.tension)
    return _CLAIMS.get(verdict, "ball")


UNRATED = ChoiceQuestion(
    id="05.unrated",
    text=(
        "Four parts of a line have a working load limit of at least {limit} each. The fifth is a "
        "tow ball that states no rating for a pull like this. The line is pulled with {tension}. "
        "What can be said of the line?"
    ),
    given=choices(limit="30, 36, 40 kN", tension="8, 12 kN"),
    options={
        "within": Option(
            "It is within working limit: {tension} is far less than {limit}.",
            "That holds for four parts. The fifth carries the same pull, and nobody knows what it "
            "may carry.",
        ),
        "ball": Option(
            "The tow ball breaks.",
            "Nobody can say that either. No rating does not mean weak: it means that there is "
            "nothing to go by.",
        ),
        "nothing": Option(
            "Nothing: one part without a rating leaves the whole line without one.",
            "So this line is not pulled. A rated recovery point has to take the place of the ball.",
        ),
    },
    right=_over_a_tow_ball,
    hints=(
        "Ask of every part: what may it carry, and who says so?",
        "Is there a number for the fifth part?",
    ),
)


def _knotted_line_limit(n):
    line = RiggingLine([_rope(n, factor("bowline")), _rated("shackle", n.shackle)])
    return line.working_load_limit


KNOT = NumericQuestion(
    id="05.knot",
    text=(
        "A rope breaks at {strength}; its design factor is {factor}. A shackle with a working load "
        "limit of {shackle} is next to it. The rope has no eye at that end: a bowline is tied, "
        "which leaves {left} of its strength. What is the working load limit of the line?"
    ),
    given={
        "strength": Given("force", "kN", (140, 150, 160)),
        "factor": Given("number", "", (4,)),
        "shackle": Given("force", "kN", (30, 33)),
        "left": Given("ratio", "", (factor("bowline").value,)),
    },
    derived={
        "rope": Derived("force", lambda n: _rope(n).working_load_limit),
        "knotted": Derived("force", lambda n: n.strength * n.left),
        "limit": Derived("force", _knotted_line_limit),
    },
    asked="limit",
    explained="The knot has made the rope the weakest part.",
    mistakes={
        "knot forgotten": Mistake(
            lambda n: n.shackle,
            "That is the shackle's limit, which was the lowest before the knot. The rope had "
            "{rope}; what does it have with the knot?",
        ),
        "breaking strength for working load limit": Mistake(
            lambda n: n.knotted,
            "That is where the knotted rope breaks. Its working load limit is lower by the design "
            "factor.",
        ),
        "what is lost for what is left": Mistake(
            lambda n: n.rope * (1 - n.left),
            "That comes out with what the knot takes away. It leaves {left}.",
        ),
    },
    hints=(
        "Bring the rope to its working load limit, and then take what the knot leaves of it.",
        "Without the knot the rope has {rope}. The knot leaves {left} of that.",
        "{left} of {rope} is {limit}, and that is less than the {shackle} of the shackle.",
    ),
)


def _bridle_limit(n):
    legs = Link("bridle", Rating(n.leg, WORKING_LOAD_LIMIT), [bridle(n.angle)])
    return legs.working_load_limit


BRIDLE = NumericQuestion(
    id="05.bridle",
    text=(
        "Each of the two equal legs of a bridle has a working load limit of {leg}. Each stands "
        "{angle} off the line of pull. At what tension of the line do the legs come to their limit?"
    ),
    given=choices(leg="18, 20, 24 kN", angle="30, 45, 50 degree"),
    derived={
        "twice": Derived("force", lambda n: 2 * n.leg),
        "limit": Derived("force", _bridle_limit),
    },
    asked="limit",
    explained="Twice the limit of one leg, times the cosine of the angle.",
    mistakes={
        "twice one leg": Mistake(
            lambda n: n.twice,
            "That would hold if both legs ran side by side. The wider they stand, the more they "
            "pull against each other.",
        ),
        "one leg": Mistake(
            lambda n: n.leg,
            "That is the limit of one leg. The two share the pull of the line, so the line may be "
            "pulled harder than that.",
        ),
        "divided": Mistake(
            lambda n: n.leg / bridle(n.angle).value,
            "That is the pull in each leg when the line is pulled with {leg}. It was asked the "
            "other way round.",
        ),
    },
    hints=(
        "Side by side both legs would hold {twice}. At an angle it is less.",
        "Turn the formula of lesson 04 round: tension is 2 times leg times cosine of the angle.",
        "{twice} times the cosine of {angle} is {limit}.",
    ),
)

QUESTIONS = (LINE_LIMIT, STRONGER_PART, UNRATED, KNOT, BRIDLE)
