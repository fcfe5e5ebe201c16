"""The demonstration of lesson 10: a day in the yard, in its order, to be read outside."""

from recoverykit.course import picture as p
from recoverykit.course.demonstration import Demonstration, Screen
from recoverykit.course.illustration import MUD, VEHICLE, Illustration, pull_of_a_sunk_vehicle
from recoverykit.lessons.plan.card_content import PEGS, REST_MINUTES, peg_to_peg
from recoverykit.physics.plan import ladder_speeds
from recoverykit.units.quantities import DisplaySystem, brief, display
from recoverykit.units.text import listed

HEIGHT, GROUND = 140, 45  # units of the drawing
PEG_PLACES = (340, 450)

# Button, large words, one sentence, what is written over the line. Common practice, no source.
BEFORE = (
    (
        "walk the line",
        "WALK THE LINE",
        "Touch every part, and say its limit out loud. No stamp, worn or cut: no pull.",
        "from point to point",
    ),
    (
        "briefing",
        "WHO DOES WHAT",
        "One leader, two drivers, one lookout. Try out signals and horn. Anyone can call STOP, and "
        "everyone obeys.",
        "anyone can call STOP",
    ),
    (
        "clear the yard",
        "KEEP CLEAR",
        "Nobody on foot near the line, ahead of, behind or over it. Damper on, hoods up, belts on.",
        "nobody here",
    ),
    (
        "steady pull",
        "STEADY PULL",
        "The rope is tight: no run-up. Build the pull up slowly, and ease off as it moves.",
        "tight, no run-up",
    ),
    (
        "shovel",
        "SHOVEL",
        "It didn't move? Dig, air down, lay boards, unload. More speed isn't the next step.",
        "dig, boards, unload",
    ),
)
LOOK = "Nothing shifted, peak inside its band."
STOP = (
    "stop",
    "STOP",
    "Stop if anything shifts, tears or slips, a peak is outside its band, someone is too near, or "
    "the card ends.",
    "load off first, then look",
)
REST = f"rest {REST_MINUTES} min before each"


class YardDemonstration(Demonstration):
    """What is done on the ground, step by step, with the seconds from peg to peg of each run-up.

    >>> shown = YardDemonstration().screen(5)
    >>> print(f"{shown.number}: {shown.sentence}")
    18.0 s: 2 km/h over 10 m, if on your card. It moves: foot off. Nothing shifted, peak inside
    its band.
    """

    def labels(self, system):
        """What is done, and how fast the run-ups are."""
        run_ups = [f"run-up, {words}" for words, _ in _run_ups(system)]
        labels = [*(label for label, *_ in BEFORE), *run_ups, STOP[0]]
        return [f"{number} · {words}" for number, words in enumerate(labels, 1)]

    def screen(self, step):
        """What is done, and what to look for."""
        run_ups = _run_ups(display.system)
        if len(BEFORE) <= step < len(BEFORE) + len(run_ups):
            speed, seconds = run_ups[step - len(BEFORE)]
            pegs = brief(PEGS[display.system.name], "length")
            sentence = f"{speed} over {pegs}, if on your card. It moves: foot off. {LOOK}"
            return Screen(seconds, sentence, _run_up(pegs).figure)
        _, words, sentence, line = (*BEFORE, *run_ups, STOP)[step]
        drawing = Illustration(HEIGHT, sentence)
        pull_of_a_sunk_vehicle(drawing, MUD, line)
        return Screen(words, sentence, drawing.figure)


def _run_ups(system: DisplaySystem) -> list[tuple[str, str]]:
    """The speeds of the first run-up, of those after it and of the last, and what a watch shows."""
    first, *between, last = ladder_speeds(system)
    return [_in_words(speeds, system) for speeds in ([first], between, [last])]


def _in_words(speeds, system: DisplaySystem) -> tuple[str, str]:
    numbers = [f"{speed.m_as(system.unit('speed')):g}" for speed in speeds]
    seconds = [peg_to_peg(speed, PEGS[system.name]) for speed in speeds]
    return f"{listed(numbers)} {system.symbol('speed')}", f"{', '.join(seconds)} s"


def _run_up(pegs: str) -> Illustration:
    """The truck on its way to the first of two pegs, the rope still slack."""
    drawing = Illustration(HEIGHT, f"The truck rolls past two pegs that are {pegs} apart.")
    drawing.ground(GROUND)
    drawing.vehicle(PEG_PLACES[0] - VEHICLE - 6, GROUND)
    for place in PEG_PLACES:
        drawing.axes.plot([place, place], [GROUND, GROUND + 50], color=p.RED, linewidth=4)
    drawing.arrow(PEG_PLACES[0], GROUND + 62, PEG_PLACES[1] - PEG_PLACES[0], pegs)
    drawing.write(0, GROUND + 40, f"count the seconds,\n{REST}", ha="left")
    return drawing
