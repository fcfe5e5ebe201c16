"""Lesson 01, a vehicle at walking pace: its guess and its questions.

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
from recoverykit.course.unit_mistakes import speed_unit_mistakes
from recoverykit.physics.formulas import drop_height, kinetic_energy
from recoverykit.tables.marram_point import DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q

_truck = find(DemoVehicle, name="launch truck")


GUESSES = (
    GuessTemplate(
        id="01.guess",
        text=(
            "The launch truck of Marram Point ({mass}) rolls at {slow}, walking pace. The energy "
            "of its motion is then {slow_energy}. What energy do you expect at {twice}, twice as "
            "fast, and at {four_times}, four times as fast?"
        ),
        given={
            "mass": Given.only("mass", _truck.mass),
            "slow": Given("speed", "km/h", (4,)),
            "twice": Given("speed", "km/h", (8,)),
            "four_times": Given("speed", "km/h", (16,)),
        },
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
    text="A vehicle of {mass} rolls at {speed}. How much energy is in its motion?",
    given=choices(mass="1800, 2400, 2900 kg", speed="2.4, 5, 6, 8 km/h"),
    derived={"energy": Derived("energy", lambda n: kinetic_energy(n.mass, n.speed))},
    asked="energy",
    explained="Half of the mass, times the square of the speed.",
    mistakes={
        "half forgotten": Mistake(
            lambda n: 2 * n.energy,
            "That is twice too much: the half in ½ m v² was left out.",
        ),
        "speed not squared": Mistake(
            lambda n: n.mass * n.speed / 2 * Q(1, "m/s"),
            "That comes out without the square: the speed counts twice over, v times v.",
        ),
        **speed_unit_mistakes(lambda n, speed: kinetic_energy(n.mass, speed)),
    },
    hints=(
        "Use the worked example above: put the numbers of this question into its cell and run it.",
        "The energy is ½ m v². In a metric set of units the speed goes in as meters a second.",
        "Half of {mass}, times {speed} squared, all in one set of units, is {energy}.",
    ),
)

FASTER = NumericQuestion(
    id="01.faster",
    text=(
        "At {slow} the energy of a vehicle is {slow_energy}. The driver tries again at {fast}. How "
        "much energy is it now?"
    ),
    given={
        "times": Given("ratio", "", (2, 3)),
        "slow": Given("speed", "km/h", (1.6, 2.4)),
        "mass": Given("mass", "kg", (2000, 2600, 3300)),
    },
    derived={
        "fast": Derived("speed", lambda n: n.times * n.slow),
        "slow_energy": Derived("energy", lambda n: kinetic_energy(n.mass, n.slow)),
        "fast_energy": Derived("energy", lambda n: kinetic_energy(n.mass, n.fast)),
    },
    asked="fast_energy",
    explained="The energy grows with the square of the speed.",
    mistakes={
        "in step with the speed": Mistake(
            lambda n: n.times * n.slow_energy,
            "You let the energy grow in step with the speed. It grows with the square: twice the "
            "speed is four times the energy, three times the speed is nine times.",
        ),
        "speed does not matter": Mistake(
            lambda n: n.slow_energy,
            "That is the energy at {slow}. The mass is the same, but the speed is not.",
        ),
    },
    hints=(
        "Look at the panel: at half the speed the energy is a quarter. What is it at twice?",
        "How many times faster is {fast} than {slow}? Take that number times itself.",
        "{fast} divided by {slow}, squared, times {slow_energy}, is {fast_energy}.",
    ),
)

DROP = NumericQuestion(
    id="01.drop",
    text=(
        "A vehicle of {mass} rolls at {speed}. From what height would you have to drop it so that "
        "it hits the ground with as much energy?"
    ),
    given=choices(mass="1800, 3000 kg", speed="8, 12, 16, 20 km/h"),
    derived={"height": Derived("length", lambda n: drop_height(n.speed))},
    asked="height",
    explained="The mass does not matter: it stands on both sides.",
    mistakes={
        "two forgotten": Mistake(
            lambda n: 2 * n.height,
            "That is twice too high: it is v² divided by two times g.",
        ),
        **speed_unit_mistakes(lambda n, speed: drop_height(speed)),
    },
    hints=(
        "Use the second worked example above. The mass is not needed.",
        "The height is v² divided by two times g, and g is 9.81 m/s².",
        "For {speed} that is {height}, whatever the mass.",
    ),
)

# What each answer claims the energy of a vehicle twice as heavy becomes, as a multiple.
_HEAVIER_CLAIMS = {"same": 1.0, "root": 2**0.5, "doubles": 2.0, "four": 4.0}


HEAVIER = ChoiceQuestion(
    id="01.heavier",
    text=(
        "At {speed} a vehicle of {light} has {light_energy}. Another vehicle is twice as heavy, "
        "{heavy}, and goes at the same speed. What is its energy?"
    ),
    given=choices(light="1500, 2000, 2500 kg", speed="4, 5, 6 km/h"),
    derived={
        "heavy": Derived("mass", lambda n: 2 * n.light),
        "light_energy": Derived("energy", lambda n: kinetic_energy(n.light, n.speed)),
        "energy_root": Derived("energy", lambda n: n.light_energy * _HEAVIER_CLAIMS["root"]),
        "energy_doubles": Derived("energy", lambda n: n.light_energy * _HEAVIER_CLAIMS["doubles"]),
        "energy_four": Derived("energy", lambda n: n.light_energy * _HEAVIER_CLAIMS["four"]),
    },
    options={
        "same": Option(
            "The same: the speed is the same.",
            "The same speed, but twice as much mass moves with it. Each half of the heavy vehicle "
            "carries as much energy as the light one.",
        ),
        "root": Option(
            "About {energy_root}.",
            "Mass counts in full here, not with its root. A root of the mass comes up in lesson "
            "03, with the force.",
        ),
        "doubles": Option(
            "Twice as much, {energy_doubles}.",
            "Mass counts once: twice the mass, twice the energy. Speed counts twice over.",
        ),
        "four": Option(
            "Four times as much, {energy_four}.",
            "The square belongs to the speed. Mass counts once.",
        ),
    },
    right=lambda n: nearest(_HEAVIER_CLAIMS, kinetic_energy(n.heavy, n.speed) / n.light_energy),
    hints=(
        "In the panel, double the mass and leave the speed alone.",
        "In ½ m v² the mass has no square and no root.",
        "Twice the mass is twice the energy: {energy_doubles}.",
    ),
)


# Of the slow and heavy vehicle's energy: what each answer claims the fast one's to be.
_LIGHTER_CLAIMS = {"less": 0.5, "same": 1.0, "more": 2.0}


FAST_OR_HEAVY = ChoiceQuestion(
    id="01.fast-or-heavy",
    text=(
        "One vehicle has {heavy} and goes at {slow}. Another has half the mass, {light}, and goes "
        "twice as fast, at {fast}. Compare their energies."
    ),
    given=choices(light="1500, 2000, 2500 kg", slow="3, 4, 5 km/h"),
    derived={
        "heavy": Derived("mass", lambda n: 2 * n.light),
        "fast": Derived("speed", lambda n: 2 * n.slow),
        "heavy_energy": Derived("energy", lambda n: kinetic_energy(n.heavy, n.slow)),
        "light_energy": Derived("energy", lambda n: kinetic_energy(n.light, n.fast)),
    },
    options={
        "less": Option(
            "The heavy one has more.",
            "It has {heavy_energy}, and the light one has {light_energy}. Half the mass halves the "
            "energy, but twice the speed makes four times as much.",
        ),
        "same": Option(
            "They are equal: half the mass, twice the speed.",
            "They would be equal if both counted once. Speed counts twice over: {light_energy} "
            "against {heavy_energy}.",
        ),
        "more": Option(
            "The light one has more.",
            "Half the mass and four times for the speed: {light_energy} against {heavy_energy}. A "
            "bit of speed does more than a lot of mass.",
        ),
    },
    right=lambda n: nearest(_LIGHTER_CLAIMS, n.light_energy / n.heavy_energy),
    hints=(
        "Which of the two has a square in ½ m v²?",
        "Halve for the mass. Then take four times as much for the speed.",
        "The light one has {light_energy}, the heavy one {heavy_energy}.",
    ),
)

QUESTIONS = (ENERGY, FASTER, HEAVIER, FAST_OR_HEAVY, DROP)
