"""Lesson 09, when something lets go: its guess and its questions.

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
from recoverykit.course.unit_mistakes import in_meters_per_second, in_other_unit, same_number
from recoverykit.physics.recoil import MAY_PART, NOT_ALONE, PARTS, LetGo, TetherCatch, freed_speed
from recoverykit.physics.rope import Rope, demo_rope
from recoverykit.tables.marram_point import DemoLetGo
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q

_demo = find(DemoLetGo, name="bow shackle of the yard line")
_rope = demo_rope(_demo.rope)

GUESSES = (
    GuessTemplate(
        id="09.guess",
        text=(
            "The yard rope of Marram Point carries {tension} when the bow shackle at its end, "
            "{piece}, tears loose. How fast could the shackle fly off? A secondary tether ties it "
            "to the vehicle. The tether is {tether_length} long, with {tether_slack} of that "
            "hanging slack. It breaks at {tether_strength}, more than twice the pull. What does "
            "the tether do?"
        ),
        given={
            "tension": Given.only("force", _demo.tension),
            "piece": Given.only("mass", _demo.piece_mass),
            "tether_length": Given.only("length", _demo.tether_length),
            "tether_strength": Given.only("force", _demo.tether_strength),
            "tether_slack": Given.only("ratio", _demo.tether_slack),
        },
        fields={
            "speed": NumberField("Speed of the shackle", "flight"),
            "tether": ChoiceField(
                "The tether",
                {
                    "holds": "It holds the shackle: it is strong enough.",
                    "may": "It may hold or part.",
                    "parts": "It parts.",
                },
            ),
        },
    ),
)


def _held(n, tension):
    rope = Rope(Q(100, "m"), n.stiffness * Q(100, "m"), stretch_at_break=1.0)  # any such rope
    return rope.stored_energy(rope.extension(tension))


HIGHER = NumericQuestion(
    id="09.higher",
    text=(
        "A rope with a stiffness of {stiffness} would let go {low_energy} if something failed at "
        "{low}. The next pull is harder: {high}. How much energy would it let go then?"
    ),
    given={
        "times": Given("ratio", "", (2, 3)),
        "low": Given("force", "kN", (8, 10)),
        "stiffness": Given("stiffness", "kN/m", (35, 50)),
    },
    derived={
        "high": Derived("force", lambda n: n.times * n.low),
        "low_energy": Derived("energy", lambda n: _held(n, n.low)),
        "high_energy": Derived("energy", lambda n: _held(n, n.high)),
    },
    asked="high_energy",
    explained="The energy grows with the square of the pull.",
    mistakes={
        "in step with the pull": Mistake(
            lambda n: n.times * n.low_energy,
            "You let the energy grow in step with the pull. It grows with the square: the rope "
            "pulls harder, and it is stretched farther as well.",
        ),
        "pull does not matter": Mistake(
            lambda n: n.low_energy,
            "That is the energy at {low}. A harder pull stretches the rope farther.",
        ),
    },
    hints=(
        "In the panel, double the pull and look at the energy that the rope lets go.",
        "How many times harder is {high} than {low}? Take that number times itself.",
        "{high} divided by {low}, squared, times {low_energy}, is {high_energy}.",
    ),
)


SPEED = NumericQuestion(
    id="09.speed",
    text=(
        "A rope of {rope_mass} holds {energy}. A piece of {piece} tears off and flies away with "
        "the rope still tied to it. What speed can the piece not pass, whatever the rope does?"
    ),
    given=choices(energy="2, 3, 4 kJ", piece="1.5, 2 kg", rope_mass="4.5, 5 kg"),
    derived={"speed": Derived("flight", lambda n: freed_speed(n.energy, n.piece))},
    asked="speed",
    explained="It would be that fast with all of the energy. No piece can have more.",
    mistakes={
        "rope counted in": Mistake(
            lambda n: freed_speed(n.energy, n.piece + n.rope_mass),
            "You let all of the rope fly as fast as the piece. The rope may come to rest and leave "
            "the piece more: the limit is the speed with all of the energy.",
        ),
        "a third of the rope counted in": Mistake(
            lambda n: freed_speed(n.energy, n.piece + n.rope_mass / 3),
            "You counted a third of the rope, as for a spring that swings. A piece that tears off "
            "can be faster than that.",
        ),
        **in_meters_per_second("speed", "flight"),
        **in_other_unit("speed", "flight"),
    },
    hints=(
        "Use the formula for the highest speed above, with the numbers of this question.",
        "At most, the piece of {piece} has all of the {energy}.",
        "The root of 2 times {energy} over {piece}, all in one set of units, is {speed}.",
    ),
)


def _tether(n):
    return Rope(n.tether_length, n.tether_strength, n.tether_stretch)


TETHER = NumericQuestion(
    id="09.tether",
    text=(
        "A tether is {tether_length} long and breaks at {tether_strength}. Until then it stretches "
        "by {tether_stretch}. How much energy can it absorb before it breaks?"
    ),
    given=choices(
        tether_length="1, 1.5 m", tether_strength="40, 60, 80 kN", tether_stretch="8, 12 percent"
    ),
    derived={
        "longer": Derived("length", lambda n: _tether(n).extension_at_break),
        "can": Derived("energy", lambda n: _tether(n).stored_energy(n.longer)),
    },
    asked="can",
    explained="Half of the strength, times how far it stretches. Strength alone absorbs nothing.",
    mistakes={
        "half forgotten": Mistake(
            lambda n: 2 * n.can,
            "That is twice too much. The tether does not pull with {tether_strength} all the way: "
            "it starts at nothing.",
        ),
        "strength for energy": Mistake(
            lambda n: same_number(n.tether_strength, "force", "energy"),
            "That number is the strength, {tether_strength}. A strong tether that does not stretch "
            "absorbs nothing.",
        ),
        "length for stretch": Mistake(
            lambda n: n.tether_strength * n.tether_length / 2,
            "You took the whole length. It stretches only by {tether_stretch} of that.",
        ),
    },
    hints=(
        "Use the third worked example above, with the numbers of this question.",
        "At its break it is longer by {tether_stretch} of {tether_length}, which is {longer}.",
        "Half of {tether_strength}, times {longer}, is {can}.",
    ),
)


def _catch(n):
    let_go = LetGo(_rope, n.tension, n.piece, _demo.rope_mass)
    return TetherCatch(let_go, _tether(n), n.tether_slack)


CATCHES = ChoiceQuestion(
    id="09.catches",
    text=(
        "A line carries {tension}, and the rope holds {most}. A recovery point of {piece} tears "
        "off. When its tether comes taut, the piece has at least {least}. The tether breaks at "
        "{tether_strength}, twice the pull, and can absorb {can}. What happens?"
    ),
    given=choices(
        tension="30, 35, 40 kN",
        piece="2.5, 3 kg",
        tether_length="1.2 m",
        tether_stretch="4, 5 percent",
        tether_slack="50 percent",
    ),
    derived={
        "tether_strength": Derived("force", lambda n: 2 * n.tension),
        "least": Derived("energy", lambda n: _catch(n).least_to_absorb),
        "most": Derived("energy", lambda n: _catch(n).most_to_absorb),
        "can": Derived("energy", lambda n: _catch(n).can_absorb),
    },
    options={
        NOT_ALONE: Option(
            "The tether holds: it is twice as strong as the pull.",
            "Twice as strong for a steady pull. But the piece comes flying, with at least {least}, "
            "and the tether can absorb only {can}.",
        ),
        MAY_PART: Option(
            "The tether may hold the piece, or part: the figures leave it open.",
            "They would if it could absorb between {least} and {most}. It can absorb {can}.",
        ),
        PARTS: Option(
            "The tether parts, and the piece flies on.",
            "The piece brings at least {least}, more than the {can} that the tether can absorb. "
            "Stand as if there were no tether.",
        ),
    },
    right=lambda n: _catch(n).verdict,
    hints=(
        "Compare energies with energies. The strength of the tether is a force.",
        "The piece brings at least {least}. The tether can absorb {can}.",
    ),
)


def _first_to_break(n):
    strengths = {"rope": n.rope, "soft shackle": n.soft, "steel eye": n.eye}
    return min(strengths, key=lambda name: strengths[name])


METAL = ChoiceQuestion(
    id="09.metal",
    text=(
        "A line has three parts: a rope that breaks at {rope}, a soft shackle of fiber that breaks "
        "at {soft}, and the steel recovery eye of the stuck vehicle that breaks at {eye}. It is "
        "pulled harder and harder. What lets go first?"
    ),
    given=choices(rope="150, 165 kN", soft="120, 133 kN", eye="72, 78 kN"),
    options={
        "rope": Option(
            "The rope: it is the soft part.",
            "It is soft to bend and to stretch. It breaks at {rope}, and at that pull something "
            "else has long let go.",
        ),
        "soft shackle": Option(
            "The soft shackle: fiber is weaker than steel.",
            "This one breaks at {soft}. What a part is made of does not say how strong it is; its "
            "rating does.",
        ),
        "steel eye": Option(
            "The steel recovery eye.",
            "It has the lowest strength, {eye}. And when it tears off, the rope throws a lump of "
            "steel. The metal end is not the strong end.",
        ),
    },
    right=_first_to_break,
    hints=(
        "Look at the numbers, and not at what the parts are made of.",
        "All parts carry the same pull. The lowest strength is reached first.",
    ),
)

QUESTIONS = (HIGHER, SPEED, TETHER, CATCHES, METAL)
