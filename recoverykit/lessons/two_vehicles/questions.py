"""Lesson 07, two vehicles and one rope: its guess and its questions.

All numbers are invented for Marram Point.
"""

import functools

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
from recoverykit.course.unit_mistakes import in_meters_per_second, in_other_unit, unconverted
from recoverykit.physics.dynamics import pull_in_time
from recoverykit.physics.formulas import (
    kinetic_energy,
    peak_tension,
    reduced_mass,
    speed_for_tension,
)
from recoverykit.physics.pull import Pull
from recoverykit.physics.rope import demo_rope
from recoverykit.tables.marram_point import DemoHeld, DemoVehicle
from recoverykit.tables.records import find

_demo = find(DemoHeld, name="crew car in the creek")
_truck = find(DemoVehicle, name=_demo.vehicle)
_car = find(DemoVehicle, name=_demo.stuck_vehicle)
_rope = demo_rope(_demo.rope)


@functools.lru_cache(maxsize=128)  # the numbers and the right answer of a question share pulls
def _pulled(vehicle, stuck_vehicle, speed, breakout):
    """A pull out of gear with the yard rope, against half of the breakout resistance."""
    return pull_in_time(
        Pull(
            vehicle,
            _rope,
            speed,
            stuck_mass=stuck_vehicle,
            breakout_resistance=breakout,
            moving_resistance=_demo.held_when_moving * breakout,
        )
    )


def _demo_pull(n, speed):
    return _pulled(n.vehicle, n.stuck_vehicle, speed, n.breakout)


_ONE_CASE = {
    "vehicle": Given.only("mass", _truck.mass),
    "stuck_vehicle": Given.only("mass", _car.mass),
    "breakout": Given.only("force", _demo.breakout_resistance),
}

GUESSES = (
    GuessTemplate(
        id="07.guess",
        text=(
            "The crew car of Marram Point ({stuck_vehicle}) is stuck in a creek. It takes "
            "{breakout} to break it free. The launch truck ({vehicle}) pulls it with the yard "
            "rope, out of gear. At {slow} the peak force is {slow_peak}, and the car moves by "
            "{slow_travel}. What do you expect at {fast}?"
        ),
        given={
            **_ONE_CASE,
            "slow": Given("speed", "km/h", (4,)),
            "fast": Given("speed", "km/h", (8,)),
        },
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
        "It takes {breakout} to break a stuck vehicle free. The recovery vehicle ({mass}) comes "
        "out of gear, and the line has a stiffness of {stiffness}. At what speed does the stuck "
        "vehicle begin to move?"
    ),
    given=choices(mass="2400, 2800, 3400 kg", breakout="18, 21, 24 kN", stiffness="35, 45 kN/m"),
    derived={
        "speed": Derived("speed", lambda n: speed_for_tension(n.mass, n.breakout, n.stiffness))
    },
    asked="speed",
    explained="Below that speed the line is pulled and nothing moves.",
    mistakes={
        "force taken as even": Mistake(
            lambda n: n.speed * 2**0.5,
            "That comes out when the rope pulls with {breakout} from start to end. Its pull grows "
            "from nothing, so it takes up only half of that energy on the way.",
        ),
        **in_other_unit("speed"),
        **in_meters_per_second("speed"),
    },
    hints=(
        "Until it breaks free the stuck vehicle is an anchor, as in lesson 03.",
        "Use the first worked example above, with {breakout} as the pull.",
        "{breakout} over the root of ({stiffness} times {mass}) is {speed}.",
    ),
)


FREE = NumericQuestion(
    id="07.free",
    text=(
        "A stuck vehicle of {stuck_vehicle} stands on a hard road with its brake off, so that next "
        "to nothing holds it. A recovery vehicle of {vehicle} comes out of gear at {speed}. The "
        "line has a stiffness of {stiffness}. How high is the peak force?"
    ),
    given=choices(
        vehicle="2600, 3200 kg",
        stuck_vehicle="1500, 2000 kg",
        speed="4, 6 km/h",
        stiffness="40, 50 kN/m",
    ),
    derived={
        "together": Derived("mass", lambda n: reduced_mass(n.vehicle, n.stuck_vehicle)),
        "peak": Derived("force", lambda n: peak_tension(n.together, n.speed, n.stiffness)),
    },
    asked="peak",
    explained="The stuck vehicle gives way, and keeps a part of the energy as its own motion.",
    mistakes={
        "stuck vehicle for an anchor": Mistake(
            lambda n: peak_tension(n.vehicle, n.speed, n.stiffness),
            "That is the peak if the stuck vehicle stays where it is. This one rolls: it gives way "
            "while the rope stretches.",
        ),
        "masses added": Mistake(
            lambda n: peak_tension(n.vehicle + n.stuck_vehicle, n.speed, n.stiffness),
            "You added the masses. A stuck vehicle that rolls makes the peak lower, not higher.",
        ),
        "mass of the stuck vehicle": Mistake(
            lambda n: peak_tension(n.stuck_vehicle, n.speed, n.stiffness),
            "You took the mass of the stuck vehicle alone. Both masses count: take their product "
            "over their sum.",
        ),
        "speed not converted": Mistake(
            lambda n: peak_tension(n.together, unconverted(n.speed), n.stiffness),
            "That comes out when {speed} is put in as if it were meters a second.",
        ),
    },
    hints=(
        "Which mass stands under the root when both vehicles can move? See the second formula.",
        "Product over sum: {vehicle} and {stuck_vehicle} count as {together}.",
        "{speed} times the root of ({stiffness} times {together}) is {peak}.",
    ),
)


MOST = NumericQuestion(
    id="07.at-most",
    text=(
        "A recovery vehicle of {mass} comes out of gear at {speed}. The stuck vehicle breaks free "
        "at {breakout}, and {moving} still hold it while it moves. How far can one pull move it at "
        "most?"
    ),
    given=choices(
        mass="2500, 3000, 3500 kg", speed="6, 7, 8 km/h", breakout="11 kN", moving="4, 5 kN"
    ),
    derived={
        "energy": Derived("energy", lambda n: kinetic_energy(n.mass, n.speed)),
        "travel": Derived("length", lambda n: (n.energy / n.moving).to("m")),
    },
    asked="travel",
    explained="The energy of the vehicle is all there is; force times distance uses it up.",
    mistakes={
        "half forgotten": Mistake(
            lambda n: 2 * n.travel,
            "You forgot the half: the energy is half the mass times the square of the speed.",
        ),
        "breakout for moving resistance": Mistake(
            lambda n: (n.energy / n.breakout).to("m"),
            "You took the pull that breaks it free. Once it moves, {moving} hold it.",
        ),
        "both resistances added": Mistake(
            lambda n: (n.energy / (n.breakout + n.moving)).to("m"),
            "You added the two resistances. They hold one after the other: {breakout} until it "
            "moves, {moving} from then on.",
        ),
    },
    hints=(
        "All that moves the stuck vehicle is the energy that the recovery vehicle brings.",
        "The energy is {energy}. It is used up as {moving} times the distance.",
        "{energy} over {moving} is {travel}.",
    ),
)


def _held_pull(n, speed):
    return _pulled(n.vehicle, _car.mass, speed, n.breakout)


# What each answer to "twice the speed" claims: how many times the force, and the distance.
_FASTER_CLAIMS = {"in step": (2, 2), "less": (2, 1.2), "more": (1.6, 4.5), "runaway": (4, 2)}


def _true_claim(n):
    forces, travels = (n.fast_peak / n.slow_peak).m_as(""), (n.fast_travel / n.slow_travel).m_as("")

    def error(claim):
        return abs(claim[0] - forces) / forces + abs(claim[1] - travels) / travels

    return min(_FASTER_CLAIMS, key=lambda name: error(_FASTER_CLAIMS[name]))


FASTER = ChoiceQuestion(
    id="07.faster",
    text=(
        "The stuck crew car breaks free at {breakout}. A pull at {slow}, out of gear, has a peak "
        "of {slow_peak} and moves it by {slow_travel}. What does the model say of a pull at twice "
        "the speed?"
    ),
    given=choices(vehicle="2800, 3100, 3400 kg", breakout="10, 12 kN", slow="4, 4.5 km/h"),
    derived={
        "slow_peak": Derived("force", lambda n: _held_pull(n, n.slow).peak),
        "slow_travel": Derived("length", lambda n: _held_pull(n, n.slow).stuck_travel),
        "fast_peak": Derived("force", lambda n: _held_pull(n, 2 * n.slow).peak),
        "fast_travel": Derived("length", lambda n: _held_pull(n, 2 * n.slow).stuck_travel),
    },
    options={
        "in step": Option(
            "Force and movement both about double.",
            "The force does so at most. The movement began only at breakout, and is paid for with "
            "energy: twice the speed brings four times as much.",
        ),
        "less": Option(
            "The force doubles, and the movement hardly grows.",
            "Most of the energy goes into moving it, once it moves. What hardly grows is what the "
            "line can bear.",
        ),
        "more": Option(
            "The force doubles at most, and the movement grows far more.",
            "The model says {fast_peak} and {fast_travel}. But the limit of the line is a force, "
            "and the line comes nearer to it with every step.",
        ),
        "runaway": Option(
            "The force grows fourfold, and the movement doubles.",
            "The energy grows fourfold. The force does not: at most it doubles.",
        ),
    },
    right=_true_claim,
    hints=(
        "In the panel, compare the black mark with the white one, on both sides.",
        "Force goes with speed. Movement goes with the energy that is left after breakout.",
        "At twice the speed it is {fast_peak} and {fast_travel}.",
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
        "At {speed} the launch truck pulls with {peak}, and the crew car does not move: it takes "
        "{breakout}. Which of these moves it with the lowest peak in the line?"
    ),
    given=choices(vehicle="2900, 3100 kg", breakout="14, 15, 16 kN", speed="3.5, 4 km/h"),
    derived={
        "peak": Derived("force", lambda n: _held_pull(n, n.speed).peak),
        "fast": Derived("speed", lambda n: 1.5 * n.speed),
        "heavy": Derived("mass", lambda n: 2 * n.vehicle),
        "dug": Derived("force", lambda n: n.breakout / 2),
        "faster_peak": Derived("force", lambda n: _alternatives(n)["faster"].peak),
        "heavier_peak": Derived("force", lambda n: _alternatives(n)["heavier"].peak),
        "dug_peak": Derived("force", lambda n: _alternatives(n)["dig"].peak),
    },
    options={
        "faster": Option(
            "Pull faster, at {fast}.",
            "It moves, with a peak of {faster_peak}. All of that is in the line, and in both "
            "vehicles.",
        ),
        "heavier": Option(
            "Pull at {speed} with a vehicle of {heavy}.",
            "It moves, with a peak of {heavier_peak}. A heavier vehicle is not kinder to the line.",
        ),
        "dig": Option(
            "Dig until {dug} break it free, and pull at {speed} again.",
            "It moves, with a peak of {dug_peak}: less than the pull that did nothing.",
        ),
        "again": Option(
            "Pull again at {speed}.",
            "It did not move under {peak}, and it will not. The rope pulls no harder than before.",
        ),
    },
    right=_gentlest,
    hints=(
        "In the panel, lower what holds the stuck vehicle and watch the force.",
        "A stuck vehicle that gives way early takes off some of the peak.",
        "Faster gives {faster_peak}, heavier {heavier_peak}, digging {dug_peak}.",
    ),
)

QUESTIONS = (BEGINS, FREE, MOST, FASTER, NEXT)
