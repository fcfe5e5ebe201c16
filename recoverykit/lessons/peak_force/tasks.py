"""What lesson 03 lets learners try: speed, mass, stretch, a standing start, and the limits."""

from recoverykit.course.tasks import Round, Task
from recoverykit.physics.rigging import ABOVE

TASKS = (
    Task(
        "Set the speed to {speed}: twice as fast. How many times higher is the peak?",
        "Twice the speed, twice the peak: the line in the picture is straight.",
        ({"speed": Round("speed", 8, 5)},),
    ),
    Task(
        "Leave the speed alone and set the vehicle to {mass}: twice as heavy. "
        "Does the peak go down, stay or go up?",
        "It goes up to about 1.4 times. A heavier vehicle isn't easier on the line.",
        ({"mass": Round("mass", 6200, 13600)},),
    ),
    Task(
        "Set the stretch at break to {stretch}: half as much. What does a stiffer rope do?",
        "A stiffer rope pulls harder: about 1.4 times the peak.",
        ({"stretch": Round("ratio", 15, 15)},),
    ),
    Task(
        "Set the speed to zero and the drive force to {drive}. How high is the peak?",
        "Twice the drive force, though the vehicle wasn't moving.",
        ({"speed": Round("speed", 0, 0), "drive": Round("force", 10, 2000)},),
    ),
    Task(
        "Raise the speed until a part passes its working limit. Which one is it, and how fast?",
        "The soft shackle is the first, just below the usual ceiling.",
        ({"speed": Round("speed", 8, 5)},),
        reached=lambda result: any(load.verdict == ABOVE for load in result.loads),
    ),
    Task(
        "Keep raising the speed until something breaks. What's left of the line?",
        "The recovery eye breaks. From there on the line is parted, and pulls nothing.",
        ({"speed": Round("speed", 25, 15)},),
        reached=lambda result: result.parted is not None,
    ),
)
