"""What lesson 01 lets learners try: twice the speed, twice the mass, and a drop."""

from recoverykit.course.tasks import Round, Task
from recoverykit.units.quantities import Q

WAIST = Q(0.9, "m")

TASKS = (
    Task(
        "Set the speed to {speed}: twice as fast. How many times more energy is it?",
        "Twice the speed is four times the energy.",
        ({"speed": Round("speed", 8, 5)},),
    ),
    Task(
        "Leave the speed alone and set the vehicle to {mass}: twice as heavy. "
        "How many times more energy is it?",
        "Twice the mass is only twice the energy.",
        ({"mass": Round("mass", 6200, 13600)},),
    ),
    Task(
        "Go from {speed} to {speed_2}, then from {speed_3} to {speed_4}. "
        "Which of these adds more energy?",
        "The same step of speed adds more the faster you already are: here at least three times "
        "as much.",
        (
            {"speed": Round("speed", 2, 1)},
            {"speed": Round("speed", 4, 2)},
            {"speed": Round("speed", 8, 5)},
            {"speed": Round("speed", 10, 6)},
        ),
    ),
    Task(
        "Raise the speed until the vehicle hangs waist high. How fast is that?",
        "At about {speed} it carries the energy of a drop from waist height.",
        ({"speed": Round("speed", 16, 10)},),
        reached=lambda result: result.height >= WAIST,
    ),
)
