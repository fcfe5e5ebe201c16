"""Lesson 01, a vehicle at walking pace: its guess and its questions.

All numbers are invented for Marram Point.
"""

from recoverykit.course.guesses import GuessTemplate
from recoverykit.course.questions import ChoiceQuestion, Mistake, NumericQuestion, Option
from recoverykit.course.templates import Derived, NumberField, choices
from recoverykit.physics.formulas import drop_height, kinetic_energy
from recoverykit.units.quantities import Q

GUESSES = (
    GuessTemplate(
        id="01.guess",
        text=(
            "The launch truck at Marram Point ({mass}) rolls at {slow}, a walking pace. It then "
            "carries {slow_energy} of energy. How much would you expect at {twice}, twice as fast? "
            "And at {four_times}, four times as fast?"
        ),
        given=choices(
            mass="3100 kg | 6800 lb",
            slow="4 km/h | 2.5 mph",
            twice="8 km/h | 5 mph",
            four_times="16 km/h | 10 mph",
        ),
        derived={"slow_energy": Derived("energy", lambda n: kinetic_energy(n.mass, n.slow))},
        fields={
            "twice_energy": NumberField("Energy at {twice}", "energy", at="twice"),
            "four_times_energy": NumberField("Energy at {four_times}", "energy", at="four_times"),
        },
        known=(("slow", "slow_energy"),),
    ),
)

ENERGY = NumericQuestion(
    id="01.energy",
    text="A vehicle weighing {mass} rolls at {speed}. How much energy does it carry?",
    given=choices(
        mass="1800, 2400, 2900 kg | 4000, 5500, 6500 lb",
        speed="2.5, 5, 6, 8 km/h | 1.5, 3, 4, 5 mph",
    ),
    derived={"energy": Derived("energy", lambda n: kinetic_energy(n.mass, n.speed))},
    asked="energy",
    explained="Half the mass, times the speed squared.",
    mistakes={
        "half forgotten": Mistake(
            lambda n: 2 * n.energy,
            "That's double: the formula has a half in front.",
        ),
        "speed not squared": Mistake(
            lambda n: n.mass * n.speed / 2 * Q(1, "m/s"),
            "That's without the square. Speed counts twice: speed times speed.",
        ),
    },
    hints=(
        "Put these numbers into the worked example above and run it.",
        "Take half the mass, times speed, times speed again. [Divide km/h by 3.6 first: the "
        "speed has to be in m/s.|First divide pounds by 32.2 to get mass (in slugs), and multiply "
        "mph by 1.467 to get ft/s.]",
        "Half of {mass in formulas}, times {speed in formulas} squared, is {energy}. The worked "
        "example above goes the same way.",
    ),
)

FASTER = NumericQuestion(
    id="01.faster",
    text=(
        "At {slow} a vehicle carries {slow_energy}. The driver tries again at {fast}. How much "
        "energy is it now?"
    ),
    given=choices(
        times="2, 3",
        slow="2, 2.5 km/h | 1, 1.5 mph",
        mass="2000, 2600, 3300 kg | 4500, 5500, 7000 lb",
    ),
    derived={
        "fast": Derived("speed", lambda n: n.times * n.slow),
        "slow_energy": Derived("energy", lambda n: kinetic_energy(n.mass, n.slow)),
        "squared": Derived("number", lambda n: n.times**2),
        "fast_energy": Derived("energy", lambda n: n.squared * n.slow_energy),
    },
    asked="fast_energy",
    explained="Energy grows with the square of the speed.",
    mistakes={
        "in step with the speed": Mistake(
            lambda n: n.times * n.slow_energy,
            "You let the energy grow in step with the speed. It grows with the square: twice the "
            "speed is four times the energy, three times the speed is nine times.",
        ),
        "speed does not matter": Mistake(
            lambda n: n.slow_energy,
            "That's the energy at {slow}. Same mass, but not the same speed.",
        ),
    },
    hints=(
        "Look at the panel: at half the speed there's a quarter of the energy. And at twice?",
        "How many times faster is {fast} than {slow}? Multiply that number by itself.",
        "{fast} is {times} times {slow}, and {times} times {times} is {squared}. {squared} times "
        "{slow_energy} is {fast_energy}.",
    ),
)

DROP = NumericQuestion(
    id="01.drop",
    text=(
        "A vehicle weighing {mass} rolls at {speed}. How high would you have to lift it, and drop "
        "it, to hit the ground with that much energy?"
    ),
    given=choices(
        mass="1800, 3000 kg | 4000, 6500 lb", speed="8, 12, 16, 20 km/h | 5, 7.5, 10, 12.5 mph"
    ),
    derived={"height": Derived("length", lambda n: drop_height(n.speed))},
    asked="height",
    explained="The mass doesn't matter: it's on both sides.",
    mistakes={
        "two forgotten": Mistake(
            lambda n: 2 * n.height,
            "That's double: divide speed squared by two times g.",
        ),
    },
    hints=(
        "Use the second worked example above. You don't need the mass.",
        "The height is the speed squared, divided by two times g. Here g is "
        "[9.81 m/s², and the speed has to be in m/s|32.2 ft/s², and the speed has to be in ft/s].",
        "{speed in formulas} squared, divided by 2 and by [9.81|32.2], is {height}. The second "
        "worked example above goes the same way.",
    ),
)

HEAVIER = ChoiceQuestion(
    id="01.heavier",
    text=(
        "At {speed} a vehicle weighing {light} carries {light_energy}. Another one weighs twice "
        "as much, {heavy}, and goes at the same speed. How much energy does it carry?"
    ),
    given=choices(
        light="1500, 2000, 2500 kg | 3500, 4500, 5500 lb", speed="4, 5, 6 km/h | 2.5, 3, 4 mph"
    ),
    derived={
        "heavy": Derived("mass", lambda n: 2 * n.light),
        "light_energy": Derived("energy", lambda n: kinetic_energy(n.light, n.speed)),
        "energy_root": Derived("energy", lambda n: n.light_energy * 2**0.5),
        "energy_doubles": Derived("energy", lambda n: n.light_energy * 2),
        "energy_four": Derived("energy", lambda n: n.light_energy * 4),
    },
    options={
        "same": Option(
            "The same: the speed is the same.",
            "Same speed, but twice as much mass is moving. Think of two of the light vehicles side "
            "by side: each one carries {light_energy}.",
            claims=1.0,
        ),
        "root": Option(
            "About {energy_root}.",
            "Here mass counts in full, with no square root. You'll meet a square root of the mass "
            "in lesson 03, with the force.",
            claims=2**0.5,
        ),
        "doubles": Option(
            "Twice as much, {energy_doubles}.",
            "Mass counts once: twice the mass, twice the energy. Speed counts twice.",
            claims=2.0,
        ),
        "four": Option(
            "Four times as much, {energy_four}.",
            "The square goes with the speed. Mass counts once.",
            claims=4.0,
        ),
    },
    right=lambda n: kinetic_energy(n.heavy, n.speed) / n.light_energy,
    hints=(
        "In the panel, double the mass and leave the speed alone.",
        "Energy is half the mass times the speed squared. Is there a square on the mass?",
        "Twice the mass is twice the energy: 2 times {light_energy} is {energy_doubles}.",
    ),
)


FAST_OR_HEAVY = ChoiceQuestion(
    id="01.fast-or-heavy",
    text=(
        "One vehicle weighs {heavy} and goes {slow}. Another weighs half of that, {light}, and "
        "goes twice as fast, {fast}. Which one carries more energy?"
    ),
    given=choices(
        light="1500, 2000, 2500 kg | 3500, 4500, 5500 lb", slow="3, 4, 5 km/h | 2, 2.5, 3 mph"
    ),
    derived={
        "heavy": Derived("mass", lambda n: 2 * n.light),
        "fast": Derived("speed", lambda n: 2 * n.slow),
        "heavy_energy": Derived("energy", lambda n: kinetic_energy(n.heavy, n.slow)),
        "light_energy": Derived("energy", lambda n: kinetic_energy(n.light, n.fast)),
    },
    options={
        "less": Option(
            "The heavy one has more.",
            "The heavy one has {heavy_energy}, the light one {light_energy}. Half the mass halves "
            "the energy, but twice the speed makes it four times as much.",
            claims=0.5,
        ),
        "same": Option(
            "They're equal: half the mass, twice the speed.",
            "They'd be equal if both counted once. Speed counts twice: {light_energy} against "
            "{heavy_energy}.",
            claims=1.0,
        ),
        "more": Option(
            "The light one has more.",
            "Half for the mass, four times for the speed: {light_energy} against {heavy_energy}. A "
            "little speed does more than a lot of mass.",
            claims=2.0,
        ),
    },
    right=lambda n: n.light_energy / n.heavy_energy,
    hints=(
        "In the formula, which one has the square: mass or speed?",
        "Take half for the mass. Then take four times that for the speed.",
        "The light one has {light_energy}, the heavy one {heavy_energy}.",
    ),
)

QUESTIONS = (ENERGY, FASTER, HEAVIER, FAST_OR_HEAVY, DROP)
