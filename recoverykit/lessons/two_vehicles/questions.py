"""Lesson 07, two vehicles and one rope: its guess and its questions.

All numbers are invented for Marram Point.
"""

import functools

from recoverykit.course.guesses import GuessTemplate
from recoverykit.course.questions import ChoiceQuestion, Mistake, NumericQuestion, Option
from recoverykit.course.templates import Derived, NumberField, choices
from recoverykit.lessons.two_vehicles.inputs import DEMO, ROPE, pull_as_set
from recoverykit.physics.dynamics import pull_in_time
from recoverykit.physics.formulas import (
    kinetic_energy,
    peak_tension,
    reduced_mass,
    speed_for_tension,
)
from recoverykit.tables.marram_point import DemoVehicle
from recoverykit.tables.records import find

_car = find(DemoVehicle, name=DEMO.stuck_vehicle)


@functools.lru_cache(maxsize=128)  # the numbers and the right answer of a question share pulls
def _pulled(vehicle, stuck_vehicle, speed, breakout):
    """A pull out of gear with the yard rope, against half of the breakout resistance."""
    held = DEMO.held_when_moving
    return pull_in_time(pull_as_set(ROPE, vehicle, stuck_vehicle, breakout, held, speed))


def _demo_pull(n, speed):
    return _pulled(n.vehicle, n.stuck_vehicle, speed, n.breakout)


GUESSES = (
    GuessTemplate(
        id="07.guess",
        text=(
            "The crew car at Marram Point ({stuck_vehicle}) is stuck in a creek. It takes "
            "{breakout} to break it free. The launch truck ({vehicle}) pulls it with the yard "
            "rope, out of gear. At {slow} the peak force is {slow_peak}, and the car moves "
            "{slow_travel}. What would you expect at {fast}?"
        ),
        given=choices(
            vehicle="3100 kg | 6800 lb",
            stuck_vehicle="1850 kg | 4100 lb",
            breakout="12 kN | 2700 lbf",
            slow="4 km/h | 2.5 mph",
            fast="8 km/h | 5 mph",
        ),
        derived={
            "slow_peak": Derived("force", lambda n: _demo_pull(n, n.slow).peak),
            "slow_travel": Derived("length", lambda n: _demo_pull(n, n.slow).stuck_travel),
        },
        fields={
            "peak": NumberField("Peak at {fast}", "force"),
            "travel": NumberField("Distance at {fast}", "length"),
        },
    ),
)


BEGINS = NumericQuestion(
    id="07.begins",
    text=(
        "It takes {breakout} to break a stuck vehicle free. The recovery vehicle ({mass}) comes in "
        "out of gear, and the line has a stiffness of {stiffness}. At what speed does the stuck "
        "vehicle start to move?"
    ),
    given=choices(
        mass="2400, 2800, 3400 kg | 5500, 6000, 7500 lb",
        breakout="18, 21, 24 kN | 4000, 4800, 5400 lbf",
        stiffness="35, 45 kN/m | 2400, 3000 lbf/ft",
    ),
    derived={
        "speed": Derived("speed", lambda n: speed_for_tension(n.mass, n.breakout, n.stiffness))
    },
    asked="speed",
    explained="Any slower, and the line gets pulled but nothing moves.",
    mistakes={
        "force taken as even": Mistake(
            lambda n: n.speed * 2**0.5,
            "That's for a rope that pulls with {breakout} from start to finish. Its pull builds up "
            "from nothing, so on the way it takes up only half that energy.",
        ),
    },
    hints=(
        "Until it breaks free, the stuck vehicle is an anchor, just as in lesson 03.",
        "Use the first worked example above, with {breakout} as the pull.",
        "{breakout in formulas} divided by the square root of ({stiffness in formulas} times "
        "{mass in formulas}) is {speed}.",
    ),
)


FREE = NumericQuestion(
    id="07.free",
    text=(
        "A stuck vehicle weighing {stuck_vehicle} stands on a hard road with its brakes off, so "
        "next to nothing holds it. A recovery vehicle weighing {vehicle} comes in out of gear at "
        "{speed}. The line has a stiffness of {stiffness}. How high does the force in the line "
        "get?"
    ),
    given=choices(
        vehicle="2600, 3200 kg | 5500, 7000 lb",
        stuck_vehicle="1500, 2000 kg | 3500, 4500 lb",
        speed="4, 6 km/h | 2.5, 4 mph",
        stiffness="40, 50 kN/m | 2800, 3400 lbf/ft",
    ),
    derived={
        "together": Derived("mass", lambda n: reduced_mass(n.vehicle, n.stuck_vehicle)),
        "peak": Derived("force", lambda n: peak_tension(n.together, n.speed, n.stiffness)),
    },
    asked="peak",
    explained="The stuck vehicle gives way, and keeps part of the energy as its own motion.",
    mistakes={
        "stuck vehicle for an anchor": Mistake(
            lambda n: peak_tension(n.vehicle, n.speed, n.stiffness),
            "That's the peak if the stuck vehicle stays put. This one rolls: it gives way while "
            "the rope stretches.",
        ),
        "masses added": Mistake(
            lambda n: peak_tension(n.vehicle + n.stuck_vehicle, n.speed, n.stiffness),
            "You added the two masses. A stuck vehicle that rolls makes the peak lower, not "
            "higher.",
        ),
        "mass of the stuck vehicle": Mistake(
            lambda n: peak_tension(n.stuck_vehicle, n.speed, n.stiffness),
            "You used the stuck vehicle's mass alone. Both count: multiply them, then divide by "
            "their sum.",
        ),
    },
    hints=(
        "Which mass goes into the formula when both vehicles can move? See the second formula.",
        "Multiply the two masses and divide by their sum: {vehicle} and {stuck_vehicle} count as "
        "{together}.",
        "{speed in formulas} times the square root of ({stiffness in formulas} times "
        "{together in formulas}) is {peak}.",
    ),
)


MOST = NumericQuestion(
    id="07.at-most",
    text=(
        "A recovery vehicle weighing {mass} comes in out of gear at {speed}. The stuck vehicle "
        "breaks free at {breakout}, and {moving} still holds it while it moves. How far can one "
        "pull move it at the most?"
    ),
    given=choices(
        mass="2500, 3000, 3500 kg | 5500, 6500, 7500 lb",
        speed="6, 7, 8 km/h | 4, 4.5, 5 mph",
        breakout="11 kN | 2500 lbf",
        moving="4, 5 kN | 900, 1100 lbf",
    ),
    derived={
        "energy": Derived("energy", lambda n: kinetic_energy(n.mass, n.speed)),
        "travel": Derived("length", lambda n: (n.energy / n.moving).to("m")),
    },
    asked="travel",
    explained="The vehicle's energy is all there is; force times distance uses it up.",
    mistakes={
        "half forgotten": Mistake(
            lambda n: 2 * n.travel,
            "You left out the half: the energy is half the mass times the speed squared.",
        ),
        "breakout for moving resistance": Mistake(
            lambda n: (n.energy / n.breakout).to("m"),
            "You used the pull that breaks it free. Once it moves, {moving} holds it.",
        ),
        "both resistances added": Mistake(
            lambda n: (n.energy / (n.breakout + n.moving)).to("m"),
            "You added the two. They hold it one after the other: {breakout} until it moves, "
            "{moving} from then on.",
        ),
    },
    hints=(
        "All that moves the stuck vehicle is the energy the recovery vehicle brings.",
        "The energy is {energy}. It gets used up as {moving} times the distance.",
        "{energy in formulas} divided by {moving in formulas} is {travel}.",
    ),
)


def _held_pull(n, speed):
    return _pulled(n.vehicle, _car.mass, speed, n.breakout)


# What each answer to "twice the speed" claims: how many times the force, and the distance.
_FASTER_CLAIMS = {"in step": (2, 2), "less": (2, 1.2), "more": (1.6, 4.5), "runaway": (4, 2)}


def _true_claim(n):
    forces = (n.fast_peak / n.slow_peak).m_as("")
    travels = (n.fast_travel / n.slow_travel).m_as("")

    def error(claim):
        return abs(claim[0] - forces) / forces + abs(claim[1] - travels) / travels

    return min(_FASTER_CLAIMS, key=lambda name: error(_FASTER_CLAIMS[name]))


FASTER = ChoiceQuestion(
    id="07.faster",
    text=(
        "The stuck crew car breaks free at {breakout}. A pull at {slow}, out of gear, peaks at "
        "{slow_peak} and moves it {slow_travel}. What does the model say about a pull at twice the "
        "speed?"
    ),
    given=choices(
        vehicle="2800, 3100, 3400 kg | 6200, 6800, 7500 lb",
        breakout="10, 12 kN | 2300, 2700 lbf",
        slow="4 km/h | 2.5 mph",
    ),
    derived={
        "slow_peak": Derived("force", lambda n: _held_pull(n, n.slow).peak),
        "slow_travel": Derived("length", lambda n: _held_pull(n, n.slow).stuck_travel),
        "fast_peak": Derived("force", lambda n: _held_pull(n, 2 * n.slow).peak),
        "fast_travel": Derived("length", lambda n: _held_pull(n, 2 * n.slow).stuck_travel),
    },
    options={
        "in step": Option(
            "Force and movement both about double.",
            "The force does, at most. The movement only starts at breakout, and energy pays for "
            "it: twice the speed brings four times as much.",
        ),
        "less": Option(
            "The force doubles, and the movement hardly grows.",
            "Once it moves, most of the energy goes into moving it. What hardly grows is what the "
            "line can take.",
        ),
        "more": Option(
            "The force doubles at most, and the movement grows much more.",
            "The model says {fast_peak} and {fast_travel}. But the limit of the line is a force, "
            "and every step brings the line closer to it.",
        ),
        "runaway": Option(
            "The force grows fourfold, and the movement doubles.",
            "The energy grows fourfold. The force doesn't: at most it doubles.",
        ),
    },
    right=_true_claim,
    hints=(
        "In the panel, compare the black mark with the white one, on both sides.",
        "Force goes with speed. Movement goes with the energy left over after breakout.",
        "At twice the speed it's {fast_peak} and {fast_travel}.",
    ),
)


def _alternatives(n):
    """The pulls that each option stands for."""
    return {
        "faster": _held_pull(n, n.fast),
        "heavier": _pulled(n.heavy, _car.mass, n.speed, n.breakout),
        "dig": _pulled(n.vehicle, _car.mass, n.speed, n.dug),
        "again": _held_pull(n, n.speed),
    }


def _gentlest(n):
    moving = {name: pull for name, pull in _alternatives(n).items() if pull.stuck_travel.m > 0}
    return min(moving, key=lambda name: moving[name].peak)


NEXT = ChoiceQuestion(
    id="07.next",
    text=(
        "At {speed} the launch truck pulls with {peak}, and the crew car doesn't budge: it takes "
        "{breakout}. Which of these moves it with the lowest peak in the line?"
    ),
    given=choices(
        vehicle="2700, 2900, 3100 kg | 6000, 6400, 6800 lb",
        breakout="14, 15, 16 kN | 3200, 3400, 3600 lbf",
        speed="4 km/h | 2.5 mph",
        fast="6 km/h | 4 mph",
    ),
    derived={
        "peak": Derived("force", lambda n: _held_pull(n, n.speed).peak),
        "heavy": Derived("mass", lambda n: 2 * n.vehicle),
        "dug": Derived("force", lambda n: n.breakout / 2),
        "faster_peak": Derived("force", lambda n: _alternatives(n)["faster"].peak),
        "heavier_peak": Derived("force", lambda n: _alternatives(n)["heavier"].peak),
        "dug_peak": Derived("force", lambda n: _alternatives(n)["dig"].peak),
    },
    options={
        "faster": Option(
            "Pull faster, at {fast}.",
            "It moves, with a peak of {faster_peak}. All of that is in the line and in both "
            "vehicles.",
        ),
        "heavier": Option(
            "Pull at {speed} with a vehicle weighing {heavy}.",
            "It moves, with a peak of {heavier_peak}. A heavier vehicle isn't easier on the line.",
        ),
        "dig": Option(
            "Dig until {dug} breaks it free, and pull at {speed} again.",
            "It moves, with a peak of {dug_peak}: less than the pull that did nothing.",
        ),
        "again": Option(
            "Pull again at {speed}.",
            "It didn't move at {peak}, and it won't. The rope pulls no harder than before.",
        ),
    },
    right=_gentlest,
    hints=(
        "In the panel, lower what holds the stuck vehicle and watch the force.",
        "A stuck vehicle that gives way early takes some of the peak off.",
        "Faster gives {faster_peak}, heavier {heavier_peak}, digging {dug_peak}.",
    ),
)

QUESTIONS = (BEGINS, FREE, MOST, FASTER, NEXT)
