"""What lesson 08 lets learners try in its three panels."""

from recoverykit.course.tasks import Round, Task

PULLS = (
    Task(
        'Pick "square of the speed", with every row still in. Is it ruled out?',
        "No: two wrong rows hide everything. Leave out rows 4 and 12 below, and look again.",
        ({"shape": "square of the speed"},),
    ),
)
EXTRAPOLATION = (
    Task(
        "Carry on to {speed}, then to {speed_2}. How far apart are the line and the rope?",
        "The farther out, the farther apart. The straight line is the lower one: it flatters you.",
        ({"speed": Round("speed", 8, 5)}, {"speed": Round("speed", 12, 7.5)}),
    ),
    Task(
        "Switch to the line over a tow ball. What's the limit speed now?",
        "There isn't one: the tow ball has no rating.",
        ({"line": "line over a tow ball"},),
    ),
)
METER = (
    Task(
        "Set the sample rate to {rate} and the first sample to {phase}, then to {phase_2}. Same "
        "pull: what does the reading do?",
        "It wanders. A slow meter reads low, and by how much is luck.",
        (
            {"rate": Round("frequency", 4, 4), "phase": Round("ratio", 0, 0)},
            {"rate": Round("frequency", 4, 4), "phase": Round("ratio", 60, 60)},
        ),
    ),
    Task(
        "Raise the rate until the meter misses next to nothing. How often does it have to sample?",
        "About 40 times a second. Ask the maker how often yours does.",
        ({"rate": Round("frequency", 60, 60)},),
        reached=lambda result: result.value is not None and result.value.is_seen_whole,
    ),
)
