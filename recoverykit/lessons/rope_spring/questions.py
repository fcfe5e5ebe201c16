"""Lesson 02, the rope is a spring: its guess and its questions.

All numbers are invented for Marram Point.
"""

from recoverykit.course.claims import nearest
from recoverykit.course.questions import (
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
from recoverykit.course.unit_mistakes import same_number
from recoverykit.physics.formulas import kinetic_energy
from recoverykit.physics.pull import Pull
from recoverykit.physics.rope import Rope, demo_rope
from recoverykit.tables.marram_point import DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q

_truck = find(DemoVehicle, name="launch truck")
_yard_rope, _winch_line = demo_rope("yard rope"), demo_rope("winch line")


def _energy(n):
    return kinetic_energy(n.mass, n.speed)


def _pull(n, rope):
    return Pull(n.mass, rope, n.speed).first_peak.tension


def _straight(stiffness):
    """Some straight rope of a stiffness; it does not matter which."""
    return Rope(Q(100, "m"), stiffness * Q(100, "m"), stretch_at_break=1.0)


GUESSES = (
    GuessTemplate(
        id="02.guess",
        text=(
            "The launch truck of Marram Point ({mass}) comes at {speed} and brings {energy}. The "
            "yard rope takes that up, and pulls with {pull} at the end. Put a winch line in its "
            "place, as long and as strong: how hard does it pull? Or a rope of the same kind and "
            "length, but twice as strong: how hard does that one pull?"
        ),
        given={
            "mass": Given.only("mass", _truck.mass),
            "speed": Given("speed", "km/h", (4,)),
        },
        derived={
            "energy": Derived("energy", _energy),
            "pull": Derived("force", lambda n: _pull(n, _yard_rope)),
        },
        fields={
            "winch_line": NumberField("Winch line", "force"),
            "stronger_rope": NumberField("Rope twice as strong", "force"),
        },
    ),
)


HELD = NumericQuestion(
    id="02.held",
    text=(
        "A rope has a stiffness of {stiffness}. It is pulled out until it is longer by {stretch}. "
        "How much energy does it hold then?"
    ),
    given=choices(stiffness="30, 45, 60 kN/m", stretch="0.4, 0.5, 0.8 m"),
    derived={
        "pull": Derived("force", lambda n: n.stiffness * n.stretch),
        "held": Derived("energy", lambda n: _straight(n.stiffness).stored_energy(n.stretch)),
    },
    asked="held",
    explained="Half of the pull at the end, times the stretch: the area under the line.",
    mistakes={
        "half forgotten": Mistake(
            lambda n: 2 * n.held,
            "That is twice too much. The rope does not pull with {pull} all the way: it starts at "
            "nothing. Its area is a triangle, half of a rectangle.",
        ),
        "force for energy": Mistake(
            lambda n: same_number(n.pull, "force", "energy"),
            "That number is the pull at the end, {pull}. The energy is the area under the line, up "
            "to that pull.",
        ),
    },
    hints=(
        "Use the second worked example above, with the numbers of this question.",
        "At the end the rope pulls with {stiffness} times {stretch}, which is {pull}.",
        "Half of {pull}, times {stretch}, is {held}.",
    ),
)


PULL = NumericQuestion(
    id="02.pull",
    text=(
        "A vehicle brings an energy of {energy} to a rope with a stiffness of {stiffness}. How "
        "hard does the rope pull when it has taken it all up?"
    ),
    given=choices(mass="2200, 2800 kg", speed="3, 5, 7 km/h", stiffness="25, 40 kN/m"),
    derived={
        "energy": Derived("energy", _energy),
        "pull": Derived("force", lambda n: _pull(n, _straight(n.stiffness))),
    },
    asked="pull",
    explained="The root of two times energy times stiffness.",
    mistakes={
        "force taken as even": Mistake(
            lambda n: n.pull / 2**0.5,
            "That comes out when the rope pulls equally hard from start to end. It starts at "
            "nothing and grows, so it ends higher: the 2 under the root does that.",
        ),
        "energy for force": Mistake(
            lambda n: same_number(n.energy, "energy", "force"),
            "That number is the energy, {energy}. How hard the rope pulls depends on how stiff it "
            "is, too.",
        ),
    },
    hints=(
        "Use the third worked example above, with the numbers of this question.",
        "F = √(2 E k): the root of two times energy times stiffness.",
        "The root of 2 times {energy} times {stiffness}, all in one set of units, is {pull}.",
    ),
)

# What each answer to "twice as strong" claims the pull becomes, as a multiple.
_STRONGER_CLAIMS = {"falls": 0.5**0.5, "same": 1.0, "root": 2**0.5, "doubles": 2.0}


def _rope(n, strength=1, length=1):
    """The rope of a question, or one that is so many times as strong or as long."""
    return Rope(length * n.length, strength * n.strength, _yard_rope.stretch_at_break)


STRONGER = ChoiceQuestion(
    id="02.stronger",
    text=(
        "A rope of {length} that breaks at {strength} takes up the energy of a vehicle, {energy}, "
        "and pulls with {pull}. Next time the rope is of the same kind and length, but twice as "
        "strong. Same vehicle, same speed. How hard does it pull?"
    ),
    given=choices(strength="90, 110, 130 kN", length="10, 12 m", mass="2600 kg", speed="5 km/h"),
    derived={
        "energy": Derived("energy", _energy),
        "pull": Derived("force", lambda n: _pull(n, _rope(n))),
        "root_pull": Derived("force", lambda n: n.pull * _STRONGER_CLAIMS["root"]),
        "double_pull": Derived("force", lambda n: n.pull * _STRONGER_CLAIMS["doubles"]),
    },
    options={
        "falls": Option(
            "More gently: a strong rope is hardly loaded.",
            "It is loaded to a smaller part of its strength. But it is thicker, so it stretches "
            "less, and must pull harder to take up the same energy. All else in the line feels "
            "that.",
        ),
        "same": Option(
            "The same: the vehicle decides.",
            "The vehicle decides how much energy comes. The rope decides over which stretch it is "
            "taken up, and so how hard it pulls.",
        ),
        "root": Option(
            "Harder, with about {root_pull}.",
            "Twice the strength is twice the stiffness, and the pull grows with the root of that. "
            "A stronger rope is harsher on every other part of the line.",
        ),
        "doubles": Option(
            "Twice as hard, with {double_pull}.",
            "The stiffness doubles. The pull grows only with the root of it: the rope still "
            "stretches, but less far.",
        ),
    },
    right=lambda n: nearest(_STRONGER_CLAIMS, _pull(n, _rope(n, strength=2)) / n.pull),
    hints=(
        "In the panel, double the strength and leave everything else alone.",
        "The stiffness doubles, and it stands under a root: F = √(2 E k).",
        "The root of 2 is about 1.4, so it pulls with about {root_pull}.",
    ),
)


LONGER = NumericQuestion(
    id="02.longer",
    text=(
        "A rope of {length} takes up the energy of a vehicle, {energy}, and pulls with {pull}. "
        "Next time the rope is of the same kind and strength, but twice as long. Same vehicle, "
        "same speed. How hard does it pull?"
    ),
    given=choices(strength="100, 140 kN", length="5, 10 m", mass="2400, 3000 kg", speed="4 km/h"),
    derived={
        "energy": Derived("energy", _energy),
        "pull": Derived("force", lambda n: _pull(n, _rope(n))),
        "longer_pull": Derived("force", lambda n: _pull(n, _rope(n, length=2))),
    },
    asked="longer_pull",
    explained="Twice the length is half the stiffness, and the pull falls with the root of that.",
    mistakes={
        "half of the pull": Mistake(
            lambda n: n.pull / 2,
            "The stiffness is halved. The pull is not: stiffness stands under a root.",
        ),
        "length does not matter": Mistake(
            lambda n: n.pull,
            "That is the pull of the short rope. The long one stretches twice as far under the "
            "same pull, so a smaller pull takes up the energy.",
        ),
        "longer is harsher": Mistake(
            lambda n: n.pull * 2**0.5,
            "You took the root the other way round. A longer line stretches farther and pulls more "
            "gently.",
        ),
    },
    hints=(
        "In the panel, double the length and leave everything else alone.",
        "k = F_b / (e L): twice the length is half the stiffness. Then F = √(2 E k).",
        "The root of one half is about 0.71. So {pull} becomes {longer_pull}.",
    ),
)


def _winch(n):
    return Rope(n.length, n.strength, _winch_line.stretch_at_break)


WINCH = NumericQuestion(
    id="02.winch",
    text=(
        "A rope of {length} that breaks at {strength} takes up an energy of {energy}, and pulls "
        "with {pull}. A winch line is as long and as strong, but stretches only {stretch} at its "
        "break. It has to take up the same energy. How hard does it pull?"
    ),
    given={
        "strength": Given("force", "kN", (140, 180)),
        "length": Given("length", "m", (10, 14)),
        "mass": Given("mass", "kg", (2500, 3100)),
        "speed": Given("speed", "km/h", (4,)),
        "stretch": Given.only("ratio", _winch_line.stretch_at_break),
    },
    derived={
        "energy": Derived("energy", _energy),
        "pull": Derived("force", lambda n: _pull(n, _rope(n))),
        "stiffness": Derived("stiffness", lambda n: _winch(n).stiffness),
        "winch_pull": Derived("force", lambda n: _pull(n, _winch(n))),
    },
    asked="winch_pull",
    explained="It takes up the same energy over a far shorter stretch.",
    mistakes={
        "a winch line would do": Mistake(
            lambda n: n.pull,
            "That is the pull of the rope. The winch line has hardly any stretch in which to take "
            "the energy up, so it must pull far harder.",
        ),
        "root forgotten": Mistake(
            lambda n: n.pull * (_winch(n).stiffness / _rope(n).stiffness),
            "That comes out when the pull grows in step with the stiffness. It grows with the root "
            "of it.",
        ),
        "pulls up to its strength": Mistake(
            lambda n: n.strength,
            "That is its breaking strength. How far it gets loaded depends on the energy.",
        ),
    },
    hints=(
        "First the stiffness of the winch line, k = F_b / (e L). Then F = √(2 E k).",
        "Its stiffness is {strength} divided by {stretch} of {length}, which is {stiffness}.",
        "The root of 2 times {energy} times {stiffness}, all in one set of units, is {winch_pull}.",
    ),
)

QUESTIONS = (HELD, PULL, STRONGER, LONGER, WINCH)
