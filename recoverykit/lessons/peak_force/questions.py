"""Lesson 03, peak force against speed: its guess and its questions.

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
from recoverykit.course.unit_mistakes import (
    in_meters_per_second,
    in_other_unit,
    same_number,
    speed_unit_mistakes,
)
from recoverykit.physics.formulas import kinetic_energy, peak_tension, speed_for_tension
from recoverykit.physics.rigging import (
    BREAKING_STRENGTH,
    WORKING_LOAD_LIMIT,
    Link,
    Rating,
    RiggingLine,
)
from recoverykit.physics.rope import Rope
from recoverykit.tables.marram_point import DemoRope, DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import GRAVITY, Q

_truck = find(DemoVehicle, name="launch truck")
_yard_rope = find(DemoRope, name="yard rope")
YARD_ROPE = Rope(_yard_rope.length, _yard_rope.breaking_strength, _yard_rope.stretch_at_break)


def _weight(mass):
    return mass * Q(GRAVITY, "m/s**2")


def _yard_peak(n, speed):
    return peak_tension(n.mass, speed, YARD_ROPE.stiffness)


GUESSES = (
    GuessTemplate(
        id="03.guess",
        text=(
            "In the yard at Marram Point the launch truck ({mass}) rolls, out of gear, until the "
            "slack of the yard rope is gone. The other end is made fast to the mooring block, "
            "which does not move. At {slow} the load cell shows a peak of {slow_peak}. What do you "
            "expect it to show at {middle}, and at {fast}?"
        ),
        given={
            "mass": Given.only("mass", _truck.mass),
            "slow": Given("speed", "km/h", (2,)),
            "middle": Given("speed", "km/h", (4,)),
            "fast": Given("speed", "km/h", (8,)),
        },
        derived={"slow_peak": Derived("force", lambda n: _yard_peak(n, n.slow))},
        fields={
            "middle_peak": NumberField("Peak at {middle}", "force", at="middle"),
            "fast_peak": NumberField("Peak at {fast}", "force", at="fast"),
        },
        known=(("slow", "slow_peak"),),
    ),
)


PEAK = NumericQuestion(
    id="03.peak",
    text=(
        "A recovery vehicle of {mass} rolls, out of gear, at {speed} when the slack is gone. The "
        "line has a stiffness of {stiffness}. The stuck vehicle does not move. How high is the "
        "peak force in the line?"
    ),
    given=choices(
        mass="2500, 2800, 3000 kg", speed="1.6, 2.4, 4 km/h", stiffness="30, 35, 65 kN/m"
    ),
    derived={
        "energy": Derived("energy", lambda n: kinetic_energy(n.mass, n.speed)),
        "peak": Derived("force", lambda n: peak_tension(n.mass, n.speed, n.stiffness)),
    },
    asked="peak",
    explained="No drive force, so it is the speed times the root of stiffness times mass.",
    mistakes={
        "mass for force": Mistake(
            lambda n: _weight(n.mass),
            "That is the weight of the vehicle: the force that would lift it. The peak depends on "
            "how fast it comes and on how soft the line is, too.",
        ),
        "energy for force": Mistake(
            lambda n: same_number(n.energy, "energy", "force"),
            "That number is the energy of the moving vehicle, {energy}. The peak is a force: the "
            "same energy gives a low peak on a soft line and a high one on a stiff line.",
        ),
        **speed_unit_mistakes(lambda n, speed: peak_tension(n.mass, speed, n.stiffness)),
        "force taken as even": Mistake(
            lambda n: n.peak / 2**0.5,
            "That comes out when the line pulls equally hard from start to end. It starts at "
            "nothing and grows, so its peak is higher than that.",
        ),
    },
    hints=(
        "Use the worked example above: put the numbers of this question into its cell and run it.",
        "There is no drive force, so F = v √(k m): speed times the root of stiffness times mass.",
        "{speed} times the root of ({stiffness} times {mass}), all in one set of units, is {peak}.",
    ),
)

FASTER = NumericQuestion(
    id="03.faster",
    text=(
        "Out of gear at {slow} the load cell showed a peak of {slow_peak}. Same vehicle, same "
        "rope, now at {fast}. What do you expect?"
    ),
    given={
        "times": Given("ratio", "", (2, 3)),
        "slow": Given("speed", "km/h", (1.6, 2.4)),
        "mass": Given("mass", "kg", (2200, 2700, 3400)),
        "stiffness": Given("stiffness", "kN/m", (35, 45)),
    },
    derived={
        "fast": Derived("speed", lambda n: n.times * n.slow),
        "slow_peak": Derived("force", lambda n: peak_tension(n.mass, n.slow, n.stiffness)),
        "fast_peak": Derived("force", lambda n: peak_tension(n.mass, n.fast, n.stiffness)),
    },
    asked="fast_peak",
    explained="The peak grows in step with the speed.",
    mistakes={
        "square of the speed": Mistake(
            lambda n: n.slow_peak * n.times**2,
            "You took the square of the speed. The energy grows that way, but a stretched rope "
            "holds energy as the square of its force: the two squares cancel.",
        ),
        "speed does not matter": Mistake(
            lambda n: n.slow_peak,
            "That is the peak at {slow}. More speed means more energy to catch, and the rope has "
            "to stretch farther for it.",
        ),
        "root of the speed": Mistake(
            lambda n: n.slow_peak * n.times**0.5,
            "You took the root of the speed. The root belongs to mass and stiffness. Speed counts "
            "in full.",
        ),
    },
    hints=(
        "Look at the panel: is the line from zero straight, or does it bend?",
        "How many times faster is {fast} than {slow}? The force grows by the same factor.",
        "{fast} divided by {slow}, times {slow_peak}, is {fast_peak}.",
    ),
)

# What each answer to "a vehicle twice as heavy" claims the peak becomes, as a multiple.
_HEAVIER_CLAIMS = {"falls": 0.5**0.5, "same": 1.0, "root": 2**0.5, "doubles": 2.0}


HEAVIER = ChoiceQuestion(
    id="03.heavier",
    text=(
        "A recovery vehicle of {light} at {speed}, out of gear, gives a peak of {light_peak}. A "
        "vehicle twice as heavy, {heavy}, takes its place: same rope, same speed. What happens to "
        "the peak?"
    ),
    given=choices(light="1800, 2200, 2600 kg", speed="3.2, 4, 5 km/h", stiffness="30, 40, 50 kN/m"),
    derived={
        "heavy": Derived("mass", lambda n: 2 * n.light),
        "light_peak": Derived("force", lambda n: peak_tension(n.light, n.speed, n.stiffness)),
        "root_peak": Derived("force", lambda n: n.light_peak * _HEAVIER_CLAIMS["root"]),
        "double_peak": Derived("force", lambda n: n.light_peak * _HEAVIER_CLAIMS["doubles"]),
    },
    options={
        "falls": Option(
            "It falls: a heavier vehicle pulls more gently.",
            "A heavier vehicle brings more energy at the same speed, and the rope has to catch all "
            "of it. It can feel gentler from the driver's seat: the line does not feel that.",
        ),
        "same": Option(
            "It stays the same: the speed sets it.",
            "The speed is the same, but the energy is not: twice the mass, twice the energy, and "
            "the rope has to stretch farther to catch it.",
        ),
        "root": Option(
            "It rises to about {root_peak}.",
            "Twice the mass is twice the energy, and the peak grows with the root of that: about "
            "1.4 times. A heavier recovery vehicle is not kinder to the line.",
        ),
        "doubles": Option(
            "It doubles, to {double_peak}.",
            "The energy doubles. The force grows only with the root of it: the rope stretches "
            "farther, and both force and stretch share the growth.",
        ),
    },
    right=lambda n: nearest(
        _HEAVIER_CLAIMS, peak_tension(n.heavy, n.speed, n.stiffness) / n.light_peak
    ),
    hints=(
        "In the panel, double the mass and leave everything else alone.",
        "Mass stands under the root: F = v √(k m).",
        "The root of 2 is about 1.4, so the peak rises to about {root_peak}.",
    ),
)


def _line(n):
    rope = Rating(n.rope_strength, BREAKING_STRENGTH, n.rope_factor.m_as(""))
    shackle = Rating(n.shackle_limit, WORKING_LOAD_LIMIT)
    return RiggingLine([Link("rope", rope), Link("shackle", shackle)])


def _speed_to(n, tension):
    return speed_for_tension(n.mass, tension, n.stiffness, n.drive)


FIRST_LIMIT = NumericQuestion(
    id="03.first-limit",
    text=(
        "A line has two links. The rope has a working load limit of {rope_limit} and breaks at "
        "{rope_strength}. The shackle has a working load limit of {shackle_limit}. The line's "
        "stiffness is {stiffness}, the recovery vehicle's mass {mass}. The driver keeps a drive "
        "force of {drive} on. At what speed does the first link come to its working load limit?"
    ),
    given={
        "mass": Given("mass", "kg", (2400, 2800, 3200)),
        "stiffness": Given("stiffness", "kN/m", (35, 45)),
        "drive": Given("force", "kN", (3, 4)),
        "rope_strength": Given("force", "kN", (75, 84)),
        "rope_factor": Given("ratio", "", (3,)),
        "shackle_limit": Given("force", "kN", (34,)),
    },
    derived={
        "rope_limit": Derived("force", lambda n: n.rope_strength / n.rope_factor),
        "speed": Derived("speed", lambda n: _speed_to(n, _line(n).working_load_limit)),
    },
    asked="speed",
    explained="The link with the lowest working load limit comes first, whatever the others hold.",
    mistakes={
        "drive force forgotten": Mistake(
            lambda n: speed_for_tension(n.mass, n.rope_limit, n.stiffness),
            "That is the speed out of gear. The driver keeps {drive} on, and it adds to the peak: "
            "the limit comes at a lower speed.",
        ),
        "breaking strength for working load limit": Mistake(
            lambda n: _speed_to(n, n.rope_strength),
            "That is the speed at which the rope breaks. Its working load limit, {rope_limit}, "
            "comes much earlier.",
        ),
        "another link": Mistake(
            lambda n: _speed_to(n, n.shackle_limit),
            "That is where the shackle comes to its limit. Another link is past its own by then.",
        ),
        **in_other_unit("speed"),
        **in_meters_per_second("speed"),
    },
    hints=(
        "Which of the two working load limits is lower? That link comes first.",
        "Use the last worked example above, with {rope_limit} as the limit, and with the drive "
        "force.",
        "The rope comes first, at {rope_limit}. With a drive force of {drive} that is at {speed}.",
    ),
)


def _standing_start(n):
    # Mass and stiffness do not matter without speed; any will do.
    return peak_tension(_truck.mass, Q(0, "km/h"), YARD_ROPE.stiffness, n.drive)


STANDING_START = NumericQuestion(
    id="03.standing-start",
    text=(
        "The line is just taut and nobody moves. The driver lets the clutch in at once, so that "
        "the wheels pull with {drive} from then on. How high is the peak force in the line?"
    ),
    given=choices(drive="4, 5, 6, 8, 9 kN"),
    derived={"peak": Derived("force", _standing_start)},
    asked="peak",
    explained="A load put on at once pulls twice as hard as the same load put on gently.",
    mistakes={
        "load put on gently": Mistake(
            lambda n: n.drive,
            "That is the force when the drive is built up gently. Put on at once, it has the "
            "vehicle moving by the time the line carries {drive}, and the line has to stop it.",
        ),
        "no speed, no load": Mistake(
            lambda n: 0 * n.drive,
            "There is no speed at the start, but the wheels pull: the line stretches, and the "
            "vehicle gathers speed while it does.",
        ),
    },
    hints=(
        "In the panel, set the speed to zero and raise the drive force.",
        "With v = 0 the formula is F = D + √(D²).",
        "Twice {drive} is {peak}.",
    ),
)

QUESTIONS = (PEAK, FASTER, HEAVIER, FIRST_LIMIT, STANDING_START)
