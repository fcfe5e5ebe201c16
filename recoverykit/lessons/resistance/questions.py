"""Lesson 06, what holds the vehicle: its guess and its questions.

All numbers are invented for Marram Point, but for the mire factor of the manuals.
"""

import numpy as np

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
from recoverykit.physics.ground import MireRow, drawbar_pull, resistance
from recoverykit.tables.marram_point import DemoStuck, DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q

_stuck = find(DemoStuck, name="boat carrier on the flat")
_carrier = find(DemoVehicle, name=_stuck.stuck_vehicle)
_truck = find(DemoVehicle, name=_stuck.vehicle)


def _weight(mass):
    return resistance(mass, 1.0)


GUESSES = (
    GuessTemplate(
        id="06.guess",
        text=(
            "The boat carrier of Marram Point ({mass}, which is a weight of {weight}) stands in "
            "soft mud up to its wheels. The pull goes up a slope of {slope}. What steady pull do "
            "you expect it takes to start it? The launch truck ({vehicle}) stands ready on wet "
            "sand. What would you do first?"
        ),
        given={
            "mass": Given.only("mass", _carrier.mass),
            "vehicle": Given.only("mass", _truck.mass),
            "slope": Given.only("angle", _stuck.slope),
        },
        derived={"weight": Derived("force", lambda n: _weight(n.mass))},
        fields={
            "pull": NumberField("Pull to start it", "force"),
            "first": ChoiceField(
                "What comes first",
                {
                    "steady": "A steady pull: the launch truck is strong enough.",
                    "speed": "A run-up with the stretchy rope, and more speed if it does not move.",
                    "heavier": "Wait for a heavier recovery vehicle.",
                    "work": "Dig, lay boards, let air down and unload.",
                },
            ),
        },
    ),
)


MIRED = NumericQuestion(
    id="06.mired",
    text=(
        "A vehicle of {mass} stands in mud up to its fenders, on level ground. The manuals count "
        "{share} times its weight for that. What steady pull is that?"
    ),
    given={
        "mass": Given("mass", "kg", (1600, 1900, 2300, 2700, 3300)),
        "share": Given("number", "", (find(MireRow, depth="fenders").factor,)),
    },
    derived={
        "weight": Derived("force", lambda n: _weight(n.mass)),
        "pull": Derived("force", lambda n: resistance(n.mass, n.share)),
    },
    asked="pull",
    explained="Twice the weight, and every part of the line would have to bear it.",
    mistakes={
        "weight alone": Mistake(
            lambda n: n.weight,
            "That is its weight, and what the manuals count at wheel depth. Up to the fenders it "
            "is {share} times that.",
        ),
        "kilograms for newtons": Mistake(
            lambda n: Q((n.mass * n.share).m_as("kg"), "N"),
            "You took kilograms for newtons. A mass of one kilogram weighs 9.81 newtons.",
        ),
        "wheels and fenders added": Mistake(
            lambda n: n.weight + n.pull,
            "You added the figures for wheels and for fenders. The one for the fenders is for all "
            "of the mud.",
        ),
    },
    hints=(
        "Use the second worked example above, with 2 in place of 1.",
        "The weight is mass times 9.81 m/s², which is {weight}.",
        "{share} times {weight} is {pull}.",
    ),
)


def _slope_of_as_many_percent(n):
    return Q(np.arctan(n.slope.m_as("degree") / 100), "rad")


SLOPE = NumericQuestion(
    id="06.slope",
    text=(
        "A vehicle of {mass} is free of the mud and rolls with a resistance of {rolling} of its "
        "weight. It is pulled up a slope of {slope}. What steady pull keeps it rolling?"
    ),
    given=choices(mass="2100, 2800, 3600 kg", rolling="10, 12 percent", slope="5, 6, 8 degree"),
    derived={
        "for_slope": Derived("force", lambda n: resistance(n.mass, 0.0, n.slope)),
        "level": Derived("force", lambda n: resistance(n.mass, n.rolling)),
        "pull": Derived("force", lambda n: resistance(n.mass, n.rolling, n.slope)),
    },
    asked="pull",
    explained="The slope and the rolling add up.",
    mistakes={
        "slope forgotten": Mistake(
            lambda n: n.level,
            "That is the pull on level ground. The slope of {slope} comes on top.",
        ),
        "rolling forgotten": Mistake(
            lambda n: n.for_slope,
            "That is for the slope alone, as if it rolled on rails. The ground holds it, too.",
        ),
        "degrees for percent": Mistake(
            lambda n: resistance(n.mass, n.rolling, _slope_of_as_many_percent(n)),
            "You took degrees for percent. One degree is a slope of 1.75 %.",
        ),
    },
    hints=(
        "Use the third worked example above, with the numbers of this question.",
        "On level ground it would take {level}. The slope alone would take {for_slope}.",
        "Together that is {pull}.",
    ),
)


TIRES = NumericQuestion(
    id="06.tires",
    text=(
        "A recovery vehicle of {mass}, all wheels driven, stands on level ground. Its tires grip "
        "with {traction} of its weight, and it rolls with a resistance of {rolling} of its weight. "
        "What steady pull can it give?"
    ),
    given=choices(mass="2400, 2900, 3500 kg", traction="40, 55 percent", rolling="6, 8 percent"),
    derived={
        "grip": Derived("force", lambda n: drawbar_pull(n.mass, n.traction)),
        "own": Derived("force", lambda n: resistance(n.mass, n.rolling)),
        "pull": Derived("force", lambda n: drawbar_pull(n.mass, n.traction, n.rolling)),
    },
    asked="pull",
    explained="What is left of the grip when the vehicle has moved itself. No engine adds to it.",
    mistakes={
        "own rolling forgotten": Mistake(
            lambda n: n.grip,
            "That is the grip. The vehicle has to move itself first, and only the rest can pull.",
        ),
        "rolling added": Mistake(
            lambda n: n.grip + n.own,
            "You added its own resistance. It has to be taken off: the vehicle must move itself "
            "before it pulls anything.",
        ),
        "its weight": Mistake(
            lambda n: _weight(n.mass),
            "That is its weight. The tires slip long before that, at {traction} of it.",
        ),
    },
    hints=(
        "Use the fourth worked example above, with the numbers of this question.",
        "The grip is {grip}, and its own rolling takes {own} of that.",
        "{grip} less {own} is {pull}.",
    ),
)


WORK = NumericQuestion(
    id="06.work",
    text=(
        "On level ground it takes {needed} to start a stuck vehicle. Say that digging leaves {dug} "
        "of the resistance, and that boards leave {boards} of what there is. What does it take "
        "after both?"
    ),
    given=choices(needed="18, 24, 30 kN", dug="60, 70 percent", boards="75, 80 percent"),
    derived={
        "after_digging": Derived("force", lambda n: n.needed * n.dug),
        "pull": Derived("force", lambda n: n.after_digging * n.boards),
    },
    asked="pull",
    explained="Each leaves its part of what the one before has left.",
    mistakes={
        "savings added": Mistake(
            lambda n: n.needed * (n.dug + n.boards - Q(1, "")),
            "You added up what both take away. The boards only work on what the digging has left.",
        ),
        "digging alone": Mistake(
            lambda n: n.after_digging,
            "That is after the digging. The boards take their part off that.",
        ),
        "boards alone": Mistake(
            lambda n: n.needed * n.boards,
            "That is what the boards leave if nobody digs.",
        ),
        "what is taken away": Mistake(
            lambda n: n.needed - n.pull,
            "That is what the work takes away. What is left has to be pulled.",
        ),
    },
    hints=(
        "Use the last worked example above, with the numbers of this question.",
        "After the digging it is {after_digging}.",
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
        "A stuck vehicle takes {needed} to start. The tires of the recovery vehicle give "
        "{available}. The lowest working limit of the line is {limit}. Digging and boards would "
        "leave {share} of the resistance. What do you do first?"
    ),
    given=choices(
        needed="34, 37, 40 kN", available="14, 15 kN", limit="26, 28 kN", share="30 percent"
    ),
    derived={
        "twice": Derived("force", lambda n: 2 * n.available),
        "left": Derived("force", lambda n: n.needed * n.share),
    },
    options={
        "speed": Option(
            "Take a run-up: the stretchy rope adds what the tires lack.",
            "It adds, but the line may carry {limit} and no more, with a run-up or without. The "
            "stuck vehicle takes {needed}. No speed is right here.",
        ),
        "heavier": Option(
            "Fetch a recovery vehicle that is twice as heavy.",
            "Its tires could give {twice}. That is still short of {needed}, and the limit of the "
            "line stays at {limit}.",
        ),
        "work": Option(
            "Dig and lay boards.",
            "That leaves {left} to pull, and the tires give {available}: a steady pull may do, "
            "with no run-up at all. Work with a shovel is the cheapest force there is.",
        ),
    },
    right=_only_way,
    hints=(
        "Which of the numbers can you change? More speed does not move the limit of the line.",
        "Work out what is left after the digging and the boards, and put it beside what the tires "
        "give: {left} against {available}.",
    ),
)

QUESTIONS = (MIRED, SLOPE, TIRES, WORK, FIRST)
