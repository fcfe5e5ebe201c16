"""Lesson 06, what holds the vehicle: its guess and its questions.

All numbers are invented for Marram Point, but for the mire factor of the manuals.
"""

import numpy as np

from recoverykit.course.guesses import GuessTemplate
from recoverykit.course.questions import ChoiceQuestion, Mistake, NumericQuestion, Option
from recoverykit.course.templates import ChoiceField, Derived, Given, NumberField, choices
from recoverykit.physics.ground import MireRow, drawbar_pull, resistance
from recoverykit.tables.marram_point import DemoStuck
from recoverykit.tables.records import find
from recoverykit.units.quantities import METRIC, Q

_stuck = find(DemoStuck, name="boat carrier on the flat")


def _weight(mass):
    return resistance(mass, 1.0)


GUESSES = (
    GuessTemplate(
        id="06.guess",
        text=(
            "The boat carrier at Marram Point ({mass}[, which is a weight of {weight}|]) is stuck "
            "in soft mud up to its wheels. The pull goes up a slope of {slope}. What steady pull "
            "would you expect it takes to get it moving? The launch truck ({vehicle}) is ready on "
            "wet sand. What would you do first?"
        ),
        given={
            **choices(mass="4200 kg | 9300 lb", vehicle="3100 kg | 6800 lb"),
            "slope": Given.only("angle", _stuck.slope),
        },
        derived={"weight": Derived("force", lambda n: _weight(n.mass))},
        fields={
            "pull": NumberField("Pull to start it", "force"),
            "first": ChoiceField(
                "What comes first",
                {
                    "steady": "A steady pull: the launch truck is strong enough.",
                    "speed": "A run-up with the stretchy rope, and more speed if it won't budge.",
                    "heavier": "Wait for a heavier recovery vehicle.",
                    "work": "Dig, lay boards, air down and unload.",
                },
            ),
        },
    ),
)


MIRED = NumericQuestion(
    id="06.mired",
    text=(
        "A vehicle weighing {mass} is stuck in mud up to its fenders, on level ground. For that "
        "the manuals figure {share} times its weight. What steady pull is that?"
    ),
    given={
        **choices(mass="1600, 1900, 2300, 2700, 3300 kg | 3500, 4200, 5000, 6000, 7500 lb"),
        "share": Given.only("number", find(MireRow, depth="fenders").factor),
    },
    derived={
        "weight": Derived("force", lambda n: _weight(n.mass)),
        "pull": Derived("force", lambda n: n.share * n.weight),
    },
    asked="pull",
    explained="Twice the weight, and every part of the line would have to take it.",
    mistakes={
        "weight alone": Mistake(
            lambda n: n.weight,
            "That's its weight, and the manuals' figure for mud up to the wheels. Up to the "
            "fenders it's {share} times that.",
        ),
        "kilograms for newtons": Mistake(
            lambda n: Q((n.mass * n.share).m_as("kg"), "N"),
            "You took kilograms for newtons. One kilogram weighs 9.81 newtons.",
            METRIC,
        ),
        "wheels and fenders added": Mistake(
            lambda n: n.weight + n.pull,
            "You added the figures for wheels and fenders. The one for fenders covers all of the "
            "mud.",
        ),
    },
    hints=(
        "Use the second worked example above, with 2 in place of 1.",
        "[The weight is mass times 9.81 m/s², which is {weight}.|A pound is a weight: {mass} "
        "weighs {weight}.]",
        "{share} times {weight} is {pull}.",
    ),
)


def _slope_of_as_many_percent(n):
    return Q(np.arctan(n.slope.m_as("degree") / 100), "rad")


SLOPE = NumericQuestion(
    id="06.slope",
    text=(
        "A vehicle weighing {mass} is out of the mud and rolls with a resistance of {rolling} of "
        "its weight. It gets pulled up a slope of {slope}. What steady pull keeps it rolling?"
    ),
    given=choices(
        mass="2100, 2800, 3600 kg | 4500, 6000, 8000 lb", rolling="10, 12 %", slope="5, 6, 8 °"
    ),
    derived={
        "for_slope": Derived("force", lambda n: resistance(n.mass, 0.0, n.slope)),
        "level": Derived("force", lambda n: resistance(n.mass, n.rolling)),
        "for_rolling": Derived("force", lambda n: n.level * np.cos(n.slope)),
        "pull": Derived("force", lambda n: n.for_slope + n.for_rolling),
    },
    asked="pull",
    explained="The slope and the rolling add up.",
    mistakes={
        "slope forgotten": Mistake(
            lambda n: n.level,
            "That's the pull on level ground. The slope of {slope} comes on top.",
        ),
        "rolling forgotten": Mistake(
            lambda n: n.for_slope,
            "That's the slope alone, as if it rolled on rails. The ground holds it, too.",
        ),
        "degrees for percent": Mistake(
            lambda n: resistance(n.mass, n.rolling, _slope_of_as_many_percent(n)),
            "You took degrees for percent. One degree is a slope of 1.75 %.",
        ),
    },
    hints=(
        "Put these numbers into the third worked example above.",
        "On this slope the rolling takes {for_rolling}, and the slope itself takes {for_slope}.",
        "{for_rolling} plus {for_slope} is {pull}.",
    ),
)


TIRES = NumericQuestion(
    id="06.tires",
    text=(
        "A four-wheel-drive recovery vehicle weighing {mass} stands on level ground. Its tires "
        "grip with {traction} of its weight, and it rolls with a resistance of {rolling} of its "
        "weight. How hard can it pull, steadily?"
    ),
    given=choices(
        mass="2400, 2900, 3500 kg | 5500, 6500, 7500 lb", traction="40, 55 %", rolling="6, 8 %"
    ),
    derived={
        "grip": Derived("force", lambda n: drawbar_pull(n.mass, n.traction)),
        "own": Derived("force", lambda n: resistance(n.mass, n.rolling)),
        "pull": Derived("force", lambda n: n.grip - n.own),
    },
    asked="pull",
    explained="That's the grip left once the vehicle has moved itself. No engine adds to it.",
    mistakes={
        "own rolling forgotten": Mistake(
            lambda n: n.grip,
            "That's the grip. The vehicle has to move itself first; only the rest can pull.",
        ),
        "rolling added": Mistake(
            lambda n: n.grip + n.own,
            "You added its own resistance. Take it off: the vehicle has to move itself before it "
            "pulls anything.",
        ),
        "its weight": Mistake(
            lambda n: _weight(n.mass),
            "That's its weight. The tires spin long before that, at {traction} of it.",
        ),
    },
    hints=(
        "Put these numbers into the fourth worked example above.",
        "The grip is {grip}, and its own rolling takes {own} of that.",
        "{grip} minus {own} is {pull}.",
    ),
)


WORK = NumericQuestion(
    id="06.work",
    text=(
        "On level ground it takes {needed} to get a stuck vehicle moving. Say digging leaves {dug} "
        "of the resistance, and boards leave {boards} of what's left then. What does it take after "
        "both?"
    ),
    given=choices(needed="18, 24, 30 kN | 4000, 5400, 6800 lbf", dug="60, 70 %", boards="75, 80 %"),
    derived={
        "after_digging": Derived("force", lambda n: n.needed * n.dug),
        "pull": Derived("force", lambda n: n.after_digging * n.boards),
    },
    asked="pull",
    explained="Each one leaves its share of what the one before has left.",
    mistakes={
        "savings added": Mistake(
            lambda n: n.needed * (n.dug + n.boards - Q(1, "")),
            "You added up what both take away. The boards only work on what the digging left.",
        ),
        "digging alone": Mistake(
            lambda n: n.after_digging,
            "That's after the digging. The boards take their share off that.",
        ),
        "boards alone": Mistake(
            lambda n: n.needed * n.boards,
            "That's what the boards leave if nobody digs.",
        ),
        "what is taken away": Mistake(
            lambda n: n.needed - n.pull,
            "That's what the work takes away. You still have to pull what's left.",
        ),
    },
    hints=(
        "Put these numbers into the last worked example above.",
        "{dug} of {needed} is {after_digging}: that's after the digging.",
        "{boards} of {after_digging} is {pull}.",
    ),
)


def _only_way(n):
    """The only answer after which the stuck vehicle can be started within the line's limit."""
    pulls = {
        "speed": (n.limit, n.needed),
        "heavier": (min(n.twice, n.limit), n.needed),
        "work": (min(n.available, n.limit), n.left),
    }
    (only,) = (name for name, (pull, needed) in pulls.items() if pull >= needed)
    return only


FIRST = ChoiceQuestion(
    id="06.first",
    text=(
        "A stuck vehicle takes {needed} to get moving. The recovery vehicle's tires can give "
        "{available}. The lowest working load limit in the line is {limit}. Digging and boards "
        "would leave {share} of the resistance. What do you do first?"
    ),
    given=choices(
        needed="34, 37, 40 kN | 7600, 8300, 9000 lbf",
        available="14, 15 kN | 3100, 3400 lbf",
        limit="26, 28 kN | 5800, 6300 lbf",
        share="30 %",
    ),
    derived={
        "twice": Derived("force", lambda n: 2 * n.available),
        "left": Derived("force", lambda n: n.needed * n.share),
    },
    options={
        "speed": Option(
            "Take a run-up: the stretchy rope adds what the tires lack.",
            "It adds, but the line may carry {limit} and no more, run-up or not. The stuck vehicle "
            "takes {needed}. No speed is right here.",
        ),
        "heavier": Option(
            "Get a recovery vehicle twice as heavy.",
            "Its tires could give {twice}. That's still short of {needed}, and the limit of the "
            "line stays at {limit}.",
        ),
        "work": Option(
            "Dig and lay boards.",
            "That leaves {left} to pull, and the tires give {available}: a steady pull may do it, "
            "with no run-up at all. A shovel is the cheapest force there is.",
        ),
    },
    right=_only_way,
    hints=(
        "Which of these numbers can you change? More speed doesn't move the limit of the line.",
        "Work out what's left after digging and boards: {share} of {needed} is {left}. Compare "
        "that with the {available} from the tires.",
    ),
)

QUESTIONS = (MIRED, SLOPE, TIRES, WORK, FIRST)
