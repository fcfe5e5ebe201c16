"""Lesson 02, the rope is a spring: its guess and its questions.

All numbers are invented for Marram Point.
"""

from recoverykit.course.guesses import GuessTemplate
from recoverykit.course.questions import ChoiceQuestion, Mistake, NumericQuestion, Option
from recoverykit.course.templates import Derived, Given, NumberField, choices
from recoverykit.course.unit_mistakes import same_number
from recoverykit.physics.formulas import kinetic_energy, peak_tension
from recoverykit.physics.rope import Rope, demo_rope
from recoverykit.units.quantities import Q

_yard_rope, _winch_line = demo_rope("yard rope"), demo_rope("winch line")


def _pull(energy, stiffness):
    """The pull with which a rope has taken up the energy of a vehicle; it does not matter which."""
    speed = Q(1, "m/s")
    return peak_tension((2 * energy / speed**2).to("kg"), speed, stiffness)


def _rope(n, strength=1, length=1):
    """The rope of a question, or one that is so many times as strong or as long."""
    return Rope(length * n.length, strength * n.strength, _yard_rope.stretch_at_break)


GUESSES = (
    GuessTemplate(
        id="02.guess",
        text=(
            "The launch truck at Marram Point ({mass}) comes in at {speed} with {energy} of "
            "energy. The yard rope takes that up and ends with a pull of {pull}. How hard would a "
            "winch line of the same length and strength pull? And a rope twice as strong?"
        ),
        given=choices(
            mass="3100 kg | 6800 lb",
            speed="4 km/h | 2.5 mph",
            length="11 m | 36 ft",
            strength="165 kN | 37000 lbf",
        ),
        derived={
            "energy": Derived("energy", lambda n: kinetic_energy(n.mass, n.speed)),
            "pull": Derived("force", lambda n: peak_tension(n.mass, n.speed, _rope(n).stiffness)),
        },
        fields={
            "winch_line": NumberField("Winch line", "force"),
            "stronger_rope": NumberField("Rope twice as strong", "force"),
        },
    ),
)


def _straight(stiffness):
    """Some straight rope of a stiffness; it does not matter which."""
    return Rope(Q(100, "m"), stiffness * Q(100, "m"), stretch_at_break=1.0)


HELD = NumericQuestion(
    id="02.held",
    text=(
        "A rope has a stiffness of {stiffness}. You stretch it by {stretch}. How much energy does "
        "it hold then?"
    ),
    given=choices(
        stiffness="30, 45, 60 kN/m | 2000, 3000, 4000 lbf/ft",
        stretch="0.4, 0.5, 0.8 m | 1.2, 1.5, 2.5 ft",
    ),
    derived={
        "pull": Derived("force", lambda n: n.stiffness * n.stretch),
        "held": Derived("energy", lambda n: _straight(n.stiffness).stored_energy(n.stretch)),
    },
    asked="held",
    explained="Half the final pull, times the stretch: the area under the line.",
    mistakes={
        "half forgotten": Mistake(
            lambda n: 2 * n.held,
            "That's double. The rope doesn't pull with {pull} all the way: it starts at "
            "nothing. The area is a triangle, half of a rectangle.",
        ),
        "force for energy": Mistake(
            lambda n: same_number(n.pull, "force", "energy"),
            "That number is the final pull, {pull}. The energy is the area under the line up to "
            "there.",
        ),
    },
    hints=(
        "Put these numbers into the second worked example above.",
        "At the end the rope pulls with {stiffness} times {stretch}, which is {pull}.",
        "Half of {pull}, times {stretch}, is {held}. The second worked example above goes the same "
        "way.",
    ),
)


PULL = NumericQuestion(
    id="02.pull",
    text=(
        "A vehicle brings {energy} of energy into a rope with a stiffness of {stiffness}. How hard "
        "is the rope pulling once it has taken all of that up?"
    ),
    given=choices(
        energy="0.8, 1.6, 2.5, 4 kJ | 600, 1200, 2000, 3000 ft·lbf",
        stiffness="25, 40 kN/m | 1700, 2800 lbf/ft",
    ),
    derived={"pull": Derived("force", lambda n: _pull(n.energy, n.stiffness))},
    asked="pull",
    explained="The square root of two times energy times stiffness.",
    mistakes={
        "force taken as even": Mistake(
            lambda n: n.pull / 2**0.5,
            "That's for a rope that pulls equally hard from start to finish. A real one starts at "
            "nothing, so it ends higher: that's the 2 under the square root.",
        ),
        "energy for force": Mistake(
            lambda n: same_number(n.energy, "energy", "force"),
            "That number is the energy, {energy}. How hard the rope pulls also depends on how "
            "stiff it is.",
        ),
    },
    hints=(
        "Put these numbers into the third worked example above.",
        "The pull is the square root of two times energy times stiffness.",
        "The square root of (2 times {energy in formulas} times {stiffness in formulas}) is "
        "{pull}. The third worked example above goes the same way.",
    ),
)

STRONGER = ChoiceQuestion(
    id="02.stronger",
    text=(
        "A rope {length} long that breaks at {strength} takes up {energy} from a vehicle, and "
        "pulls with {pull}. Next time the rope is the same kind and length, but twice as strong. "
        "Same vehicle, same speed. How hard does it pull?"
    ),
    given=choices(
        strength="90, 110, 130 kN | 20000, 25000, 30000 lbf",
        length="10, 12 m | 30, 40 ft",
        energy="2.5 kJ | 1800 ft·lbf",
    ),
    derived={
        "pull": Derived("force", lambda n: _pull(n.energy, _rope(n).stiffness)),
        "root_pull": Derived("force", lambda n: n.pull * 2**0.5),
        "double_pull": Derived("force", lambda n: n.pull * 2),
    },
    options={
        "falls": Option(
            "More gently: a strong rope is hardly loaded.",
            "It's loaded less for its strength, sure. But it's thicker, so it stretches less and "
            "has to pull harder to take up the same energy. The rest of the line feels that.",
            claims=0.5**0.5,
        ),
        "same": Option(
            "The same: the vehicle decides.",
            "The vehicle decides how much energy comes in. The rope decides how far it stretches "
            "to take that up, and so how hard it pulls.",
            claims=1.0,
        ),
        "root": Option(
            "Harder, about {root_pull}.",
            "Twice the strength is twice the stiffness, and the pull grows with the square root of "
            "that. A stronger rope is harder on every other part of the line.",
            claims=2**0.5,
        ),
        "doubles": Option(
            "Twice as hard, {double_pull}.",
            "The stiffness doubles. The pull grows only with its square root: the rope still "
            "stretches, just not as far.",
            claims=2.0,
        ),
    },
    right=lambda n: _pull(n.energy, _rope(n, strength=2).stiffness) / n.pull,
    hints=(
        "In the panel, double the strength and leave everything else alone.",
        "The stiffness doubles, and the pull grows with the square root of the stiffness.",
        "The square root of 2 is about 1.41, and 1.41 times {pull} is about {root_pull}.",
    ),
)


LONGER = NumericQuestion(
    id="02.longer",
    text=(
        "A rope {length} long takes up {energy} from a vehicle, and pulls with {pull}. Next time "
        "the rope is the same kind and strength, but twice as long. Same vehicle, same speed. How "
        "hard does it pull?"
    ),
    given=choices(
        strength="100, 140 kN | 22000, 32000 lbf",
        length="5, 10 m | 15, 30 ft",
        energy="1.5, 2 kJ | 1100, 1500 ft·lbf",
    ),
    derived={
        "pull": Derived("force", lambda n: _pull(n.energy, _rope(n).stiffness)),
        "longer_pull": Derived(
            "force",
            lambda n: n.pull * (_rope(n, length=2).stiffness / _rope(n).stiffness) ** 0.5,
        ),
    },
    asked="longer_pull",
    explained="Twice the length is half the stiffness, and the pull goes with the square root.",
    mistakes={
        "half of the pull": Mistake(
            lambda n: n.pull / 2,
            "The stiffness is cut in half. The pull isn't: it goes with the square root.",
        ),
        "length does not matter": Mistake(
            lambda n: n.pull,
            "That's the pull of the short rope. The long one stretches twice as far for the same "
            "pull, so it takes up the energy with less.",
        ),
        "longer is harsher": Mistake(
            lambda n: n.pull * 2**0.5,
            "You took the square root the other way around. A longer line stretches farther, so it "
            "pulls more gently.",
        ),
    },
    hints=(
        "In the panel, double the length and leave everything else alone.",
        "Twice the length is half the stiffness. The pull goes with the square root of the "
        "stiffness.",
        "The square root of one half is about 0.707, and 0.707 times {pull} is {longer_pull}.",
    ),
)


def _winch(n):
    return Rope(n.length, n.strength, n.stretch)


WINCH = NumericQuestion(
    id="02.winch",
    text=(
        "A rope {length} long that breaks at {strength} takes up {energy}, and pulls with {pull}. "
        "A winch line of the same length and strength stretches only {stretch} before it breaks. "
        "It has to take up the same energy. How hard does it pull?"
    ),
    given={
        **choices(
            strength="140, 180 kN | 32000, 40000 lbf",
            length="10, 14 m | 35, 45 ft",
            energy="1.5, 2 kJ | 1100, 1500 ft·lbf",
        ),
        "stretch": Given.only("ratio", _winch_line.stretch_at_break),
    },
    derived={
        "pull": Derived("force", lambda n: _pull(n.energy, _rope(n).stiffness)),
        "longer": Derived("length", lambda n: _winch(n).extension_at_break),
        "stiffness": Derived("stiffness", lambda n: n.strength / n.longer),
        "winch_pull": Derived("force", lambda n: _pull(n.energy, n.stiffness)),
    },
    asked="winch_pull",
    explained="Same energy, far less stretch.",
    mistakes={
        "a winch line would do": Mistake(
            lambda n: n.pull,
            "That's the pull of the rope. The winch line has hardly any stretch to take the energy "
            "up in, so it has to pull much harder.",
        ),
        "root forgotten": Mistake(
            lambda n: n.pull * (_winch(n).stiffness / _rope(n).stiffness),
            "That lets the pull grow in step with the stiffness. It grows with the square root.",
        ),
        "pulls up to its strength": Mistake(
            lambda n: n.strength,
            "That's its breaking strength. How hard it gets pulled depends on the energy.",
        ),
    },
    hints=(
        "First find the stiffness of the winch line: its strength divided by how far it stretches.",
        "{stretch} of {length} is {longer}, and {strength} divided by {longer} is {stiffness}.",
        "The square root of (2 times {energy in formulas} times {stiffness in formulas}) is "
        "{winch_pull}. The third worked example above goes the same way.",
    ),
)

QUESTIONS = (HELD, PULL, STRONGER, LONGER, WINCH)
