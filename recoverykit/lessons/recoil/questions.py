"""Lesson 09, when something lets go: its guess and its questions.

All numbers are invented for Marram Point.
"""

from recoverykit.course.guesses import GuessTemplate
from recoverykit.course.questions import ChoiceQuestion, Mistake, NumericQuestion, Option
from recoverykit.course.templates import ChoiceField, Derived, NumberField, choices
from recoverykit.course.unit_mistakes import same_number
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
            "The yard rope at Marram Point carries {tension} when the bow shackle on its end, "
            "{piece}, tears loose. How fast could the shackle fly? A secondary tether ties it to "
            "the vehicle. The tether is {tether_length} long, with {tether_slack} of that hanging "
            "slack. It breaks at {tether_strength}, more than twice the pull. What does the tether "
            "do?"
        ),
        given=choices(
            tension="20 kN | 4500 lbf",
            piece="0.8 kg | 1.8 lb",
            tether_length="1.2 m | 4 ft",
            tether_strength="45 kN | 10000 lbf",
            tether_slack="50 %",
        ),
        fields={
            "speed": NumberField("Speed of the shackle", "flight"),
            "tether": ChoiceField(
                "The tether",
                {
                    "holds": "It holds the shackle: it's strong enough.",
                    "may": "It may hold or break.",
                    "parts": "It breaks.",
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
        "If something lets go at {low}, a rope with a stiffness of {stiffness} sets {low_energy} "
        "free. The next pull is harder: {high}. How much energy would it set free then?"
    ),
    given=choices(
        times="2, 3", low="8, 10 kN | 1800, 2200 lbf", stiffness="35, 50 kN/m | 2400, 3400 lbf/ft"
    ),
    derived={
        "high": Derived("force", lambda n: n.times * n.low),
        "squared": Derived("number", lambda n: n.times**2),
        "low_energy": Derived("energy", lambda n: _held(n, n.low)),
        "high_energy": Derived("energy", lambda n: n.squared * n.low_energy),
    },
    asked="high_energy",
    explained="The energy grows with the square of the pull.",
    mistakes={
        "in step with the pull": Mistake(
            lambda n: n.times * n.low_energy,
            "You let the energy grow in step with the pull. It grows with the square: the rope "
            "pulls harder, and it's stretched farther as well.",
        ),
        "pull does not matter": Mistake(
            lambda n: n.low_energy,
            "That's the energy at {low}. A harder pull stretches the rope farther.",
        ),
    },
    hints=(
        "In the panel, double the pull and look at the energy the rope sets free.",
        "How many times harder is {high} than {low}? Multiply that number by itself.",
        "{high} is {times} times {low}, and {times} times {times} is {squared}. {squared} times "
        "{low_energy} is {high_energy}.",
    ),
)


SPEED = NumericQuestion(
    id="09.speed",
    text=(
        "A rope weighing {rope_mass} holds {energy}. A piece weighing {piece} tears off and "
        "flies, with the rope still tied to it. What speed can the piece never beat, whatever the "
        "rope does?"
    ),
    given=choices(
        energy="2, 3, 4 kJ | 1500, 2200, 3000 ft·lbf",
        piece="1.5, 2 kg | 3, 4.5 lb",
        rope_mass="4.5, 5 kg | 10, 11 lb",
    ),
    derived={"speed": Derived("flight", lambda n: freed_speed(n.energy, n.piece))},
    asked="speed",
    explained="That's how fast it goes with all of the energy. No piece can have more.",
    mistakes={
        "rope counted in": Mistake(
            lambda n: freed_speed(n.energy, n.piece + n.rope_mass),
            "That lets all of the rope fly as fast as the piece. The rope may come to rest and "
            "leave the piece more: the top speed is the one with all of the energy.",
        ),
        "a third of the rope counted in": Mistake(
            lambda n: freed_speed(n.energy, n.piece + n.rope_mass / 3),
            "You counted a third of the rope, as you would for a spring that swings. A piece that "
            "tears off can go faster than that.",
        ),
    },
    hints=(
        "Use the formula for the top speed above, with the numbers of this question.",
        "At most, the {piece} piece gets all of the {energy}.",
        "The square root of (2 times {energy in formulas} divided by {piece in formulas}) is "
        "{speed in formulas}, or {speed}.",
    ),
)


def _tether(n):
    return Rope(n.tether_length, n.tether_strength, n.tether_stretch)


TETHER = NumericQuestion(
    id="09.tether",
    text=(
        "A tether is {tether_length} long and breaks at {tether_strength}. By then it stretches "
        "{tether_stretch}. How much energy can it absorb before it breaks?"
    ),
    given=choices(
        tether_length="1, 1.5 m | 3, 5 ft",
        tether_strength="40, 60, 80 kN | 9000, 13500, 18000 lbf",
        tether_stretch="8, 12 %",
    ),
    derived={
        "longer": Derived("length", lambda n: _tether(n).extension_at_break),
        "can": Derived("energy", lambda n: n.tether_strength * n.longer / 2),
    },
    asked="can",
    explained="Half the strength, times how far it stretches. Strength alone absorbs nothing.",
    mistakes={
        "half forgotten": Mistake(
            lambda n: 2 * n.can,
            "That's double. The tether doesn't pull with {tether_strength} all the way: it "
            "starts at nothing.",
        ),
        "strength for energy": Mistake(
            lambda n: same_number(n.tether_strength, "force", "energy"),
            "That number is the strength, {tether_strength}. A strong tether that doesn't stretch "
            "absorbs nothing.",
        ),
        "length for stretch": Mistake(
            lambda n: n.tether_strength * n.tether_length / 2,
            "You used the whole length. It stretches only {tether_stretch} of that.",
        ),
    },
    hints=(
        "Put these numbers into the third worked example above.",
        "It stretches {tether_stretch} of {tether_length}, which is {longer}.",
        "Half of {tether_strength}, times {longer in formulas}, is {can}.",
    ),
)


def _catch(n):
    let_go = LetGo(_rope, n.tension, n.piece, _demo.rope_mass)
    return TetherCatch(let_go, _tether(n), n.tether_slack)


CATCHES = ChoiceQuestion(
    id="09.catches",
    text=(
        "A line carries {tension}, and the rope holds {most}. A recovery point weighing {piece} "
        "tears off. When its tether snaps tight, the piece has at least {least}. The tether "
        "breaks at {tether_strength}, twice the pull, and can absorb {can}. What happens?"
    ),
    given=choices(
        tension="30, 35, 40 kN | 7000, 8000, 9000 lbf",
        piece="2.5, 3 kg | 5.5, 6.5 lb",
        tether_length="1.2 m | 4 ft",
        tether_stretch="4, 5 %",
        tether_slack="50 %",
    ),
    derived={
        "tether_strength": Derived("force", lambda n: 2 * n.tension),
        "least": Derived("energy", lambda n: _catch(n).least_to_absorb),
        "most": Derived("energy", lambda n: _catch(n).most_to_absorb),
        "can": Derived("energy", lambda n: _catch(n).can_absorb),
    },
    options={
        NOT_ALONE: Option(
            "The tether holds: it's twice as strong as the pull.",
            "Twice as strong for a steady pull. But the piece comes flying, with at least {least}, "
            "and the tether can absorb only {can}.",
        ),
        MAY_PART: Option(
            "The tether may hold the piece or break: the numbers leave it open.",
            "They would if it could absorb between {least} and {most}. It can absorb {can}.",
        ),
        PARTS: Option(
            "The tether breaks, and the piece flies on.",
            "The piece brings at least {least}, more than the {can} the tether can absorb. Stand "
            "as if there were no tether.",
        ),
    },
    right=lambda n: _catch(n).verdict,
    hints=(
        "Compare energy with energy. The strength of the tether is a force.",
        "The piece brings at least {least}. The tether can absorb {can}.",
    ),
)


def _first_to_break(n):
    strengths = {"rope": n.rope, "soft shackle": n.soft, "steel eye": n.eye}
    return min(strengths, key=lambda name: strengths[name])


METAL = ChoiceQuestion(
    id="09.metal",
    text=(
        "A line has three parts: a rope that breaks at {rope}, a fiber soft shackle that breaks at "
        "{soft}, and the stuck vehicle's steel recovery eye, which breaks at {eye}. Somebody pulls "
        "harder and harder. What lets go first?"
    ),
    given=choices(
        rope="150, 165 kN | 34000, 37000 lbf",
        soft="120, 130 kN | 27000, 30000 lbf",
        eye="72, 78 kN | 16000, 17500 lbf",
    ),
    options={
        "rope": Option(
            "The rope: it's the soft part.",
            "It's soft to bend and to stretch. It breaks at {rope}, and something else lets go "
            "long before that.",
        ),
        "soft shackle": Option(
            "The soft shackle: fiber is weaker than steel.",
            "This one breaks at {soft}. What a part is made of doesn't tell you how strong it is; "
            "its rating does.",
        ),
        "steel eye": Option(
            "The steel recovery eye.",
            "It has the lowest strength, {eye}. And when it tears off, the rope throws a chunk of "
            "steel. The metal end isn't the strong end.",
        ),
    },
    right=_first_to_break,
    hints=(
        "Look at the numbers, not at what the parts are made of.",
        "All parts carry the same pull. It reaches the lowest strength first.",
    ),
)

QUESTIONS = (HIGHER, SPEED, TETHER, CATCHES, METAL)
