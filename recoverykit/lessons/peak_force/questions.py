"""Lesson 03, peak force against speed: its guess and its questions.

All numbers are invented for Marram Point.
"""

from recoverykit.course.guesses import GuessTemplate
from recoverykit.course.questions import ChoiceQuestion, Mistake, NumericQuestion, Option
from recoverykit.course.templates import Derived, NumberField, choices
from recoverykit.course.unit_mistakes import same_number
from recoverykit.physics.formulas import kinetic_energy, peak_tension, speed_for_tension
from recoverykit.physics.rope import Rope, demo_rope
from recoverykit.units.quantities import GRAVITY, Q

_yard_rope = demo_rope("yard rope")


def _yard_peak(n):
    rope = Rope(n.length, n.strength, _yard_rope.stretch_at_break)
    return peak_tension(n.mass, n.slow, rope.stiffness)


GUESSES = (
    GuessTemplate(
        id="03.guess",
        text=(
            "In the yard at Marram Point the launch truck ({mass}) rolls, out of gear, until the "
            "slack is out of the yard rope. The other end is tied to the mooring block, which "
            "doesn't move. At {slow} the load cell shows a peak of {slow_peak}. What would you "
            "expect at {middle}? And at {fast}?"
        ),
        given=choices(
            mass="3100 kg | 6800 lb",
            slow="2 km/h | 1.5 mph",
            middle="4 km/h | 3 mph",
            fast="8 km/h | 6 mph",
            length="11 m | 36 ft",
            strength="165 kN | 37000 lbf",
        ),
        derived={"slow_peak": Derived("force", _yard_peak)},
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
        "A recovery vehicle weighing {mass} rolls, out of gear, at {speed} as the slack runs out. "
        "The line has a stiffness of {stiffness}. The stuck vehicle doesn't move. How high does "
        "the force in the line get?"
    ),
    given=choices(
        mass="2500, 2800, 3000 kg | 5500, 6000, 6500 lb",
        speed="1.5, 2.5, 4 km/h | 1, 1.5, 2.5 mph",
        stiffness="30, 35, 65 kN/m | 2000, 2400, 4500 lbf/ft",
    ),
    derived={
        "energy": Derived("energy", lambda n: kinetic_energy(n.mass, n.speed)),
        "peak": Derived("force", lambda n: peak_tension(n.mass, n.speed, n.stiffness)),
    },
    asked="peak",
    explained="With no drive force, it's speed times the square root of stiffness times mass.",
    mistakes={
        "mass for force": Mistake(
            lambda n: n.mass * Q(GRAVITY, "m/s**2"),
            "That's what the vehicle weighs: the force it takes to lift it. The peak depends on "
            "how fast it comes in and how soft the line is.",
        ),
        "energy for force": Mistake(
            lambda n: same_number(n.energy, "energy", "force"),
            "That number is the energy of the moving vehicle, {energy}. The peak is a force: the "
            "same energy gives a low peak on a soft line, a high one on a stiff line.",
        ),
        "force taken as even": Mistake(
            lambda n: n.peak / 2**0.5,
            "That's for a line that pulls equally hard from start to finish. A real one starts at "
            "nothing and builds up, so its peak is higher.",
        ),
    },
    hints=(
        "Put these numbers into the worked example above and run it.",
        "There's no drive force, so it's speed times the square root of stiffness times mass. "
        "[Use m/s, N/m and kg.|Use ft/s, lbf/ft and slugs: pounds divided by 32.2.]",
        "{speed in formulas} times the square root of ({stiffness in formulas} times "
        "{mass in formulas}) is {peak}. The worked example above goes the same way.",
    ),
)

FASTER = NumericQuestion(
    id="03.faster",
    text=(
        "Out of gear at {slow}, the load cell showed a peak of {slow_peak}. Same vehicle, same "
        "rope, now at {fast}. What do you expect?"
    ),
    given=choices(
        times="2, 3",
        slow="2, 2.5 km/h | 1, 1.5 mph",
        mass="2200, 2700, 3400 kg | 5000, 6000, 7500 lb",
        stiffness="35, 45 kN/m | 2400, 3000 lbf/ft",
    ),
    derived={
        "fast": Derived("speed", lambda n: n.times * n.slow),
        "slow_peak": Derived("force", lambda n: peak_tension(n.mass, n.slow, n.stiffness)),
        "fast_peak": Derived("force", lambda n: n.times * n.slow_peak),
    },
    asked="fast_peak",
    explained="The peak grows in step with the speed.",
    mistakes={
        "square of the speed": Mistake(
            lambda n: n.slow_peak * n.times**2,
            "You squared the speed. The energy grows that way, but a stretched rope holds energy "
            "as the square of its force: the two squares cancel.",
        ),
        "speed does not matter": Mistake(
            lambda n: n.slow_peak,
            "That's the peak at {slow}. More speed means more energy to catch, and the rope has to "
            "stretch farther for it.",
        ),
        "root of the speed": Mistake(
            lambda n: n.slow_peak * n.times**0.5,
            "You took the square root of the speed. The square root goes with mass and stiffness. "
            "Speed counts in full.",
        ),
    },
    hints=(
        "Look at the panel: is the line from zero straight, or does it bend?",
        "How many times faster is {fast} than {slow}? The force goes up just as many times.",
        "{fast} is {times} times {slow}, and {times} times {slow_peak} is {fast_peak}.",
    ),
)

HEAVIER = ChoiceQuestion(
    id="03.heavier",
    text=(
        "A recovery vehicle weighing {light}, out of gear at {speed}, gives a peak of "
        "{light_peak}. Now one twice as heavy, {heavy}, takes its place: same rope, same speed. "
        "What happens to the peak?"
    ),
    given=choices(
        light="1800, 2200, 2600 kg | 4000, 5000, 5500 lb",
        speed="3, 4, 5 km/h | 2, 2.5, 3 mph",
        stiffness="30, 40, 50 kN/m | 2000, 2800, 3400 lbf/ft",
    ),
    derived={
        "heavy": Derived("mass", lambda n: 2 * n.light),
        "light_peak": Derived("force", lambda n: peak_tension(n.light, n.speed, n.stiffness)),
        "root_peak": Derived("force", lambda n: n.light_peak * 2**0.5),
        "double_peak": Derived("force", lambda n: n.light_peak * 2),
    },
    options={
        "falls": Option(
            "It falls: a heavier vehicle pulls more gently.",
            "At the same speed a heavier vehicle brings more energy, and the rope has to catch all "
            "of it. It may feel gentler from the driver's seat. The line doesn't feel that.",
            claims=0.5**0.5,
        ),
        "same": Option(
            "It stays the same: the speed sets it.",
            "The speed is the same, but the energy isn't: twice the mass, twice the energy, and "
            "the rope has to stretch farther to catch it.",
            claims=1.0,
        ),
        "root": Option(
            "It rises to about {root_peak}.",
            "Twice the mass is twice the energy, and the peak grows with the square root of that: "
            "about 1.4 times. A heavier recovery vehicle isn't easier on the line.",
            claims=2**0.5,
        ),
        "doubles": Option(
            "It doubles, to {double_peak}.",
            "The energy doubles. The force grows only with its square root: the rope stretches "
            "farther, and force and stretch share the growth.",
            claims=2.0,
        ),
    },
    right=lambda n: peak_tension(n.heavy, n.speed, n.stiffness) / n.light_peak,
    hints=(
        "In the panel, double the mass and leave everything else alone.",
        "The peak goes with the square root of the mass.",
        "The square root of 2 is about 1.41, and 1.41 times {light_peak} is about {root_peak}.",
    ),
)


def _speed_to(n, tension):
    return speed_for_tension(n.mass, tension, n.stiffness, n.drive)


FIRST_LIMIT = NumericQuestion(
    id="03.first-limit",
    text=(
        "A line has two parts. The rope has a working load limit of {rope_limit} and breaks at "
        "{rope_strength}. The shackle has a working load limit of {shackle_limit}. The line's "
        "stiffness is {stiffness}, and the recovery vehicle weighs {mass}. The driver keeps "
        "{drive} of drive force on. At what speed does the first part reach its limit?"
    ),
    given=choices(
        mass="2400, 2800, 3200 kg | 5500, 6000, 7000 lb",
        stiffness="35, 45 kN/m | 2400, 3000 lbf/ft",
        drive="3, 4 kN | 700, 900 lbf",
        rope_strength="75, 84 kN | 16500, 18000 lbf",
        rope_factor="3",
        shackle_limit="34 kN | 7500 lbf",
    ),
    derived={
        "rope_limit": Derived("force", lambda n: n.rope_strength / n.rope_factor),
        "above_drive": Derived(
            "force", lambda n: ((n.rope_limit - n.drive) ** 2 - n.drive**2) ** 0.5
        ),
        "speed": Derived("speed", lambda n: _speed_to(n, min(n.rope_limit, n.shackle_limit))),
    },
    asked="speed",
    explained="The part with the lowest working load limit gets there first, whatever the rest.",
    mistakes={
        "drive force forgotten": Mistake(
            lambda n: speed_for_tension(n.mass, n.rope_limit, n.stiffness),
            "That's the speed out of gear. The driver keeps {drive} on, and it adds to the peak: "
            "you reach the limit at a lower speed.",
        ),
        "breaking strength for working load limit": Mistake(
            lambda n: _speed_to(n, n.rope_strength),
            "That's the speed where the rope breaks. It reaches its working load limit, "
            "{rope_limit}, long before that.",
        ),
        "another link": Mistake(
            lambda n: _speed_to(n, n.shackle_limit),
            "That's where the shackle reaches its limit. By then another part is past its own.",
        ),
    },
    hints=(
        "Which of the two working load limits is lower? That part gets there first.",
        "Use the last worked example above, with {rope_limit} as the limit, and with the drive "
        "force.",
        "({rope_limit} minus {drive}) squared, minus {drive} squared: the square root of that is "
        "{above_drive in formulas}. Divided by the square root of ({stiffness in formulas} times "
        "{mass in formulas}), that's {speed}.",
    ),
)


def _standing_start(n):
    # Mass and stiffness do not matter without speed; any will do.
    return peak_tension(Q(3000, "kg"), Q(0, "km/h"), _yard_rope.stiffness, n.drive)


STANDING_START = NumericQuestion(
    id="03.standing-start",
    text=(
        "The line is just tight and nothing is moving. The driver dumps the clutch, and from then "
        "on the wheels pull with {drive}. How high does the force in the line get?"
    ),
    given=choices(drive="4, 5, 6, 8, 9 kN | 900, 1100, 1400, 1800, 2000 lbf"),
    derived={"peak": Derived("force", _standing_start)},
    asked="peak",
    explained="A load put on all at once pulls twice as hard as the same load eased on.",
    mistakes={
        "load put on gently": Mistake(
            lambda n: n.drive,
            "That's the force if the driver eases it on. All at once, the vehicle is already "
            "moving by the time the line carries {drive}, and the line has to stop it.",
        ),
        "no speed, no load": Mistake(
            lambda n: 0 * n.drive,
            "There's no speed at the start, but the wheels pull: the line stretches, and the "
            "vehicle picks up speed while it does.",
        ),
    },
    hints=(
        "In the panel, set the speed to zero and turn up the drive force.",
        "With no speed, the formula leaves the drive force, plus the square root of its square.",
        "Twice {drive} is {peak}.",
    ),
)

QUESTIONS = (PEAK, FASTER, HEAVIER, FIRST_LIMIT, STANDING_START)
